"""The small grammars that every file shares: ids, lists, dates, numbers, minutes, and when a finding is to be fixed.

Each `parse_x` docstring is its grammar. A value that cannot be read raises Unreadable with the characters at fault,
from 0 within the value; the readers of files turn it into a Problem with file, line and caret. Digits are the ASCII
ones. Limits are in `text.limits`, the other keys of a check in `text.check_values`.
"""

import datetime as dt
import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import TypeVar

from inspect_kit.model.checklist import FLIGHT, NOTHING, Bars, Retired, decimal
from inspect_kit.model.finding import Fix
from inspect_kit.model.reason import in_doubt, is_no_reason, left_to_write, says_nothing

T = TypeVar("T")

ID_PATTERN = r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*"
REF_PATTERN = r"[^\s`/\\#][^`/\\#]*#F[0-9]{1,5}"
CODE_PATTERN = r"[a-z][0-9]{0,3}(?:\.[0-9]{1,3})?"
# Neither 0 and o nor 1, i and l: a code is read from paper and typed again.
CODE_ALPHABET = "23456789bcdfghjkmnpqrstvwxz"
LONGEST_LIST = 200
LONGEST_ID = 80
MANY = 500
# A beginning of fewer letters says nothing.
LEAST_BEGINNING, MOST_BEGINNING = 3, 4
# No aircraft flew before, and what is written for later than that is a slip of the pen.
FIRST_YEAR, LAST_YEAR = 1900, 2199


# What people write where they mean `flight` or `nothing`: none of it names anything that could be used.
NO_NAMES = ("none", "no", "yes", "all", "never", "flying", "all flight", "any flight", "all flights", "-", "")


class Unreadable(Exception):
    """A value that cannot be read; `start` and `end` are the characters at fault."""

    def __init__(self, message: str, start: int = 0, end: int | None = None) -> None:
        super().__init__(message)
        self.message, self.start, self.end = message, start, end


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that is near enough to have been meant: the only one with this beginning, or one nearly alike."""
    import difflib

    candidates = sorted(known)
    if len(found := beginning_so(word, candidates)) == 1:
        return found[0]
    if len(candidates) > MANY:
        # Among thousands of records only those of the same month are looked at: comparing all takes seconds.
        candidates = [name for name in candidates if name[:7] == word[:7]][:MANY]
    return next(iter(difflib.get_close_matches(word[:LONGEST_ID], candidates, n=1, cutoff=0.7)), None)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean \\`every\\`?`, or nothing when no known word is near; all that begin so, where they are few."""
    known = [*known]
    begun = beginning_so(word, known)
    near = begun if 1 < len(begun) <= MOST_BEGINNING else [nearest(word, known)]
    told = " or ".join(f"`{each}`" for each in near if each)
    return f"; did you mean {told}?" if told else ""


def beginning_so(word: str, known: Iterable[str]) -> list[str]:
    """The known words with this beginning, as it would stand in an id."""
    begin = "-".join(word.casefold().split())
    return sorted(each for each in known if each.startswith(begin)) if len(begin) >= LEAST_BEGINNING else []


def parse_at(parse: Callable[[str], T], word: str, offset: int) -> T:
    """Parse a word that stands `offset` characters into its value, so that the caret lands under it."""
    try:
        return parse(word)
    except Unreadable as fault:
        end = fault.end if fault.end is not None else len(word)
        raise Unreadable(fault.message, fault.start + offset, end + offset) from None


def parse_id(value: str) -> str:
    """ID = [a-z][a-z0-9]* { "-" [a-z0-9]+ }"""
    if len(value) > LONGEST_ID or not re.fullmatch(ID_PATTERN, value):
        raise Unreadable(not_an_id(value))
    return value


def not_an_id(word: str) -> str:
    """What is told of a word that stands where an id must."""
    return f"`{word[:60]}` is not an id: lower-case letters, digits and single hyphens, a letter first"


def parse_record_name(value: str) -> str:
    """RECORD = the name of its file, with or without its folders and its ending"""
    return value.rsplit("/", 1)[-1].removesuffix(".yaml")


def parse_money(value: str) -> Decimal:
    """money = NUMBER, no less than 0, in the owner's currency, which is not written beside it"""
    number = decimal(value)
    if number is None:
        told = f"expected an amount such as `180` or `12.50`, without its currency, not `{value[:40]}`"
        raise Unreadable(f"{told}{with_point(value)}")
    if number < 0:
        raise Unreadable("no amount of money here is less than 0")
    return number


def parse_list(value: str) -> tuple[tuple[str, int], ...]:
    """list = word { "," word } | "[" word { "," word } "]", as YAML writes it; returns each word with its offset."""
    if value.startswith("[") != value.endswith("]"):
        at = 0 if value.startswith("[") else len(value) - 1
        raise Unreadable("a list has a bracket at both ends, or none", at, at + 1)
    inside = value[1:-1] if value.startswith("[") else value
    found = tuple((word, at + (inside is not value)) for word, at in split_at(inside, ","))
    for word, at in found:
        if not word:
            raise Unreadable("a word is missing between commas", max(0, min(at, len(value) - 1)), at + 1)
    if len(found) > LONGEST_LIST:
        raise Unreadable(f"a list holds at most {LONGEST_LIST} words")
    return found


def split_at(value: str, separator: str) -> tuple[tuple[str, int], ...]:
    """The pieces between separators, blanks around them left out, each with its offset."""
    found = []
    offset = 0
    for piece in value.split(separator):
        found.append((piece.strip(), offset + len(piece) - len(piece.lstrip())))
        offset += len(piece) + len(separator)
    return tuple(found)


def parse_ids(value: str) -> tuple[str, ...]:
    """ids = ID { "," ID }"""
    return tuple(parse_at(parse_id, word, offset) for word, offset in parse_list(value))


def parse_codes(value: str) -> tuple[str, ...]:
    """codes = CODE { "," CODE }, CODE = letter [ digits ] [ "." digits ] such as `d3`, `f`, `f.1`"""

    def code(word: str) -> str:
        if not re.fullmatch(CODE_PATTERN, word):
            raise Unreadable(f"`{word[:40]}` is no scope code such as `d3`", 0, len(word))
        return word

    return tuple(parse_at(code, word, offset) for word, offset in parse_list(value))


def parse_date(value: str) -> dt.date:
    """DATE = YYYY "-" MM "-" DD, a day that exists, from 1900 to 2199"""
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        raise Unreadable(f"expected a date such as 2026-05-31, not `{value[:40]}`")
    try:
        date = dt.date.fromisoformat(value)
    except ValueError:
        raise Unreadable(f"{value} is a day that does not exist") from None
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise Unreadable(f"{value} is outside the years {FIRST_YEAR} to {LAST_YEAR}")
    return date


def parse_label_date(value: str) -> dt.date:
    """DATE | YYYY "-" MM, the date on a label; a month alone is its first day, so that nothing lasts longer by it"""
    if re.fullmatch(r"[0-9]{4}-(00|1[3-9]|[2-9][0-9])", value):
        raise Unreadable(f"{value} is a month that does not exist")
    return parse_date(f"{value}-01" if re.fullmatch(r"[0-9]{4}-[0-9]{2}", value) else value)


def said_decimals(words: str) -> str:
    """A number as a person types it, `412,6`, with its point; before three digits a comma may part thousands, and
    stays.
    """
    return re.sub(r"^(-?[0-9]+),([0-9]{1,2}|[0-9]{4,})(?![0-9.,])", r"\1.\2", words)


def with_point(value: str) -> str:
    """What is added to the refusal of a number with a comma, its measure behind it or not, or of one without a digit
    before its point: how it is written here; "" where there is none.

    Before three digits the comma may as well stand between thousands.
    """
    if (bare := re.match(r"(-?)(\.[0-9]+)(?![0-9.,])", value)) is not None:
        return f": with a digit before the point, as in {bare[1]}0{bare[2]}"
    match = re.match(r"(-?[0-9]{1,15}),([0-9]{1,15})(?![0-9.,]|[eE][-+0-9])", value)
    if match is None:
        return ""
    whole, part = match.groups()
    point = f"a decimal point, as in {whole}.{part}"
    return f": {point}, or no comma, as in {whole}{part}" if len(part) == 3 else f": {point}"


def with_blank(value: str) -> str:
    """The same of a reading, which may have its measure behind it, but not without a blank: `70psi`."""
    run_on = re.fullmatch(r"(-?[0-9]+(?:\.[0-9]+)?)((?:[^\W\d_]|[°%])[^\d]*)", value)
    return f": with a blank between, as in {run_on[1]} {run_on[2]}" if run_on is not None else with_point(value)


def parse_number(value: str) -> Decimal:
    """NUMBER = digits [ "." digits ], exact, no sign, at most 15 digits"""
    number = decimal(value)
    if number is None or value.startswith("-"):
        raise Unreadable(f"expected a number such as 412.6, not `{value[:40]}`{with_point(value)}")
    return number


def _as_minutes(value: str) -> str:
    """What is added to the refusal of parts of an hour: `1,5 h` in hours and minutes; "" where it is none."""
    match = re.fullmatch(r"([0-9]{1,2})[.,]([0-9]{1,2}) ?(?:h|hrs?|hours?)", value)
    if match is None:
        return ""
    hours, minutes = divmod(round(Decimal(f"{match[1]}.{match[2]}") * 60), 60)
    told = " ".join(f"{many} {unit}" for many, unit in ((hours, "h"), (minutes, "min")) if many)
    return f": it is written `{told}`" if told else ""


def parse_minutes(value: str) -> int:
    """minutes = N " min" | N " h" [ " " N " min" ]; at most a week"""
    match = re.fullmatch(r"(?:([0-9]{1,3}) h)?(?:(?(1) |)([0-9]{1,5}) min)?", value)
    if not match or not any(match.groups()):
        raise Unreadable(f"expected minutes such as `15 min`, not `{value[:40]}`{_as_minutes(value)}")
    minutes = 60 * int(match.group(1) or 0) + int(match.group(2) or 0)
    if minutes > 7 * 24 * 60:
        raise Unreadable("more than a week is no single step")
    return minutes


def parse_retired(value: str) -> Retired:
    """retired = DATE [ "," reason ]"""
    date, _, reason = value.partition(",")
    return Retired(date=parse_at(parse_date, date.strip(), 0), reason=reason.strip())


def parse_retired_check(value: str) -> Retired:
    """retired = DATE "," reason; the reason is what tells an item that is gone from one that was lost"""
    retired = parse_retired(value)
    if is_no_reason(retired.reason):
        raise Unreadable("says not why it is gone: `retired: DATE, reason`", 0, len(value))
    return retired


def parse_yes(value: str) -> bool:
    """yes | no"""
    if value not in ("yes", "no"):
        raise Unreadable(f"expected `yes` or `no`, not `{value[:40]}`")
    return value == "yes"


# Between two things: nothing bars flight and something besides. `flight under IFR` is a thing of its own.
SEVERAL = re.compile(r"[,;:/&+()|]|\s(?:and|or)\s")
ALL_FLIGHT = frozenset(
    ("flight", "flights", "fly", "flying", "aircraft", "aeroplane", "airplane", "everything", "anything", "all")
)


# Whoever bars both of them bars all.
BOTH = ({"ifr", "vfr"}, {"day", "night"})


def _without_article(words: str) -> str:
    return re.sub(r"^(?:(?:the|to|any|all|every|whole|entire|no) )+", "", words.strip())


def parse_bars(value: str) -> Bars:
    """bars = "flight" | "nothing" | TEXT (what may not be used, such as `the transponder`)"""
    known = {str(bars): bars for bars in (FLIGHT, NOTHING)}
    if value in known:
        return known[value]
    # A slip of the pen must not turn what bars flight into the name of something that may not be used.
    plain = value.casefold().strip(" .")
    near = nearest(plain, known) if " " not in plain else None
    if near is None and any(part in ALL_FLIGHT for part in map(_without_article, SEVERAL.split(plain))):
        near = str(FLIGHT)
    if any(pair <= {*re.findall(r"\w+", plain)} for pair in BOTH):
        near = str(FLIGHT)
    if near is not None or plain in NO_NAMES or says_nothing(value) or in_doubt(value) or left_to_write(value):
        hint = f"; did you mean `{near}`?" if near else ""
        raise Unreadable(f"expected `flight`, `nothing`, or what may not be used, not `{value[:40]}`{hint}")
    return Bars(what=value)


def parse_fix(value: str) -> Fix:
    """fix = "before flight" | "by " DATE | "by " NUMBER " h" [ " on " METER ] | "at next " NAME " inspection" """
    if value == "before flight":
        return Fix()
    if match := re.fullmatch(rf"at next ({ID_PATTERN}) inspection", value):
        return Fix(at_inspection=match.group(1))
    if match := re.fullmatch(rf"by ([0-9][0-9.]*) h(?: on ({ID_PATTERN}))?", value):
        return Fix(by_total=parse_at(parse_number, match.group(1), 3), meter=match.group(2))
    if value.startswith("by "):
        return Fix(by_date=parse_at(parse_date, value[3:], 3))
    raise Unreadable(
        f"expected `before flight`, `by 2027-01-31`, `by 430.0 h` or `at next condition inspection`, not `{value[:40]}`"
    )
