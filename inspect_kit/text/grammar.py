"""The small grammars of values: limits, readings, durations, people, triggers, dates.

Each `parse_x` docstring is its grammar. A value that cannot be read raises Unreadable with the characters at fault,
from 0 within the value; the readers of files turn it into a Problem with file, line and caret.
"""

import datetime as dt
import difflib
import re
from collections.abc import Iterable
from decimal import Decimal

from inspect_kit.model import checklist as nouns
from inspect_kit.model.checklist import Bound, Lag, Part, Reads, Retired, Trigger, decimal
from inspect_kit.model.finding import Fix
from inspect_kit.model.interval import (
    CALENDAR_UNITS,
    METER_UNITS,
    SINGULAR,
    AsMarked,
    AtInspection,
    Limit,
    Term,
)

ID_PATTERN = r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*"
CODE_PATTERN = r"[a-z][0-9]*(?:\.[0-9]+)?"
LONGEST_LIST = 200


class Unreadable(Exception):
    """A value that cannot be read; `start` and `end` are the characters at fault."""

    def __init__(self, message: str, start: int = 0, end: int | None = None) -> None:
        super().__init__(message)
        self.message, self.start, self.end = message, start, end


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean \\`every\\`?`, or nothing when no known word is near."""
    near = difflib.get_close_matches(word[:80], sorted(known), n=1, cutoff=0.7)
    return f"; did you mean `{near[0]}`?" if near else ""


def parse_id(value: str) -> str:
    """ID = [a-z][a-z0-9]* { "-" [a-z0-9]+ }"""
    if not re.fullmatch(ID_PATTERN, value) or len(value) > 80:
        raise Unreadable(f"`{value[:80]}` is no id: lower-case letters, digits and single hyphens, a letter first")
    return value


def parse_list(value: str) -> tuple[tuple[str, int], ...]:
    """list = word { "," word }: comma-separated without brackets; returns each word with its offset."""
    if value.startswith("["):
        raise Unreadable("a list in an item is comma-separated, without brackets", 0, 1)
    found = []
    offset = 0
    for piece in value.split(","):
        word = piece.strip()
        at = offset + (len(piece) - len(piece.lstrip()))
        if not word:
            raise Unreadable("a word is missing between commas", offset, offset + max(1, len(piece)))
        found.append((word, at))
        offset += len(piece) + 1
    if len(found) > LONGEST_LIST:
        raise Unreadable(f"a list holds at most {LONGEST_LIST} words")
    return tuple(found)


def parse_ids(value: str) -> tuple[str, ...]:
    """ids = ID { "," ID }"""
    return tuple(_at(parse_id, word, offset) for word, offset in parse_list(value))


def parse_codes(value: str) -> tuple[str, ...]:
    """codes = CODE { "," CODE }, CODE = letter [ digits ] [ "." digits ] such as `d3`, `f`, `f.1`"""

    def code(word: str) -> str:
        if not re.fullmatch(CODE_PATTERN, word):
            raise Unreadable(f"`{word[:40]}` is no scope code such as `d3`", 0, len(word))
        return word

    return tuple(_at(code, word, offset) for word, offset in parse_list(value))


def _at(parse, word: str, offset: int):  # type: ignore[no-untyped-def]
    """Parse a word that stands `offset` characters into its value, so that the caret lands under it."""
    try:
        return parse(word)
    except Unreadable as fault:
        end = fault.end if fault.end is not None else len(word)
        raise Unreadable(fault.message, fault.start + offset, end + offset) from None


def parse_limit(value: str) -> Limit:
    """limit = NUMBER " " unit [ " on " METER ]

    unit = "h" | "landings" | "days" | "months" | "years" | "calendar months", singular too
    """
    match = re.fullmatch(r"(\S+)(?: +(.*?))?(?: +on +(\S+))?", value)
    number, unit, meter = match.groups() if match else (value, None, None)
    amount = decimal(number)
    if amount is None:
        raise Unreadable(
            f"expected a limit such as `50 h` or `12 calendar months`, not `{value[:60]}`", 0, len(number)
        )
    start = len(number) + 1
    if not unit:
        raise Unreadable(f"`{number}` needs a unit: {', '.join(METER_UNITS + CALENDAR_UNITS)}", 0, len(number))
    full = next((plural for plural, one in SINGULAR.items() if unit == one), " ".join(unit.split()))
    if full not in METER_UNITS + CALENDAR_UNITS:
        hint = did_you_mean(full, (*METER_UNITS, *CALENDAR_UNITS, *SINGULAR.values()))
        raise Unreadable(f"`{unit[:40]}` is no unit of a limit{hint}", start, start + len(unit))
    if meter is not None:
        _at(parse_id, meter, len(value) - len(meter))
    try:
        return Limit(number=amount, unit=full, meter=meter)
    except ValueError as reason:
        raise Unreadable(str(reason), 0, len(value)) from None


def _terms(value: str) -> list[tuple[str, int]]:
    """Split at " or ", each piece with its offset."""
    pieces = []
    offset = 0
    for piece in re.split(r"( +or +)", value):
        if not re.fullmatch(r" +or +", piece):
            pieces.append((piece.strip(), offset + len(piece) - len(piece.lstrip())))
        offset += len(piece)
    return pieces


def parse_limits(value: str) -> tuple[Limit, ...]:
    """limits = limit { " or " limit }: whichever comes first"""
    return tuple(_at(parse_limit, piece, offset) for piece, offset in _terms(value))


def parse_every(value: str) -> tuple[Term, ...]:
    """every = term { " or " term }; term = limit | NAME " inspection" | "as marked" """

    def term(piece: str) -> Term:
        if piece == "as marked":
            return AsMarked()
        match = re.fullmatch(rf"({ID_PATTERN}) inspection", piece)
        return AtInspection(name=match.group(1)) if match else parse_limit(piece)

    return tuple(_at(term, piece, offset) for piece, offset in _terms(value))


def parse_first(value: str) -> tuple[Limit, ...]:
    """first = limit { "," limit }: the first limits one after another, each counted from the fitting or the trigger"""
    return tuple(_at(parse_limit, word, offset) for word, offset in parse_list(value))


def parse_once(value: str) -> tuple[Limit, ...] | dt.date:
    """once = limits | DATE"""
    return parse_date(value) if re.match(r"\d{4}-", value) else parse_limits(value)


def parse_date(value: str) -> dt.date:
    """DATE = YYYY "-" MM "-" DD, a day that exists"""
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            raise Unreadable(f"{value} is a day that does not exist") from None
    raise Unreadable(f"expected a date such as 2026-05-31, not `{value[:40]}`")


def parse_number(value: str) -> Decimal:
    """NUMBER = digits [ "." digits ], exact"""
    number = decimal(value)
    if number is None:
        raise Unreadable(f"expected a number such as 412.6, not `{value[:40]}`")
    return number


def parse_minutes(value: str) -> int:
    """minutes = N " min" | N " h" [ " " N " min" ]; at most a week"""
    match = re.fullmatch(r"(?:(\d{1,3}) h)?(?: ?)(?:(\d{1,5}) min)?", value)
    if not match or not any(match.groups()):
        raise Unreadable(f"expected minutes such as `15 min`, not `{value[:40]}`")
    minutes = 60 * int(match.group(1) or 0) + int(match.group(2) or 0)
    if minutes > 7 * 24 * 60:
        raise Unreadable("more than a week is no single step")
    return minutes


def parse_time(value: str) -> tuple[int, int]:
    """time = minutes [ "," N ( " people" | " person" ) ]; returns minutes and people"""
    head, comma, tail = value.partition(",")
    minutes = _at(parse_minutes, head.strip(), 0)
    if not comma:
        return minutes, 1
    match = re.fullmatch(r"([1-9]) (?:people|person)", tail.strip())
    if not match:
        raise Unreadable("expected people such as `2 people`", len(head) + 1, len(value))
    return minutes, int(match.group(1))


def parse_who(value: str) -> tuple[str, str]:
    """who = "inspector" | "anyone" | "others" [ ":" text ]; returns who and, for others, who they are"""
    head, _, detail = (part.strip() for part in value.partition(":"))
    if head not in (nouns.INSPECTOR, nouns.ANYONE, nouns.OTHERS) or (detail and head != nouns.OTHERS):
        raise Unreadable(f"expected `inspector`, `anyone` or `others: repair station`, not `{value[:40]}`")
    return head, detail


def parse_when(value: str) -> tuple[str, tuple[str, ...]]:
    """when = "before" | "open" | "closed" | "closed except " ids; returns the phase and the panels left off"""
    prefix = "closed except "
    if value.startswith(prefix):
        return nouns.OPEN, _at(parse_ids, value[len(prefix) :], len(prefix))
    if value not in (nouns.BEFORE, nouns.OPEN, nouns.CLOSED):
        raise Unreadable(f"expected `before`, `open`, `closed` or `closed except PANELS`, not `{value[:40]}`")
    return value, ()


def parse_within(value: str) -> Lag:
    """within = minutes " of " ID"""
    return _lag(value, "of")


def parse_wait(value: str) -> Lag:
    """wait = minutes " after " ID"""
    return _lag(value, "after")


def _lag(value: str, word: str) -> Lag:
    head, found, check = value.partition(f" {word} ")
    if not found:
        raise Unreadable(f"expected minutes and a check, such as `30 min {word} run-before`")
    return Lag(minutes=_at(parse_minutes, head, 0), check=_at(parse_id, check, len(head) + len(word) + 2))


def parse_reads(value: str) -> Reads:
    """reads = label [ " " INT " to " INT ] ", " measure [ ", " bound ]

    bound = "at least " N | "at most " N | N " to " N

    A range of labels makes one reading for each: `cylinder 1 to 4` reads cylinder 1, 2, 3 and 4.
    """
    parts = [part.strip() for part in value.split(",")]
    if len(parts) not in (2, 3) or not all(parts):
        raise Unreadable("expected a label, a measure and perhaps a bound, such as `oil pressure, psi, 60 to 90`")
    label, measure = parts[0], parts[1]
    if re.search(r"[:\[\]`]", label + measure):
        raise Unreadable("a label and a measure have no colon, bracket or backtick", 0, len(value))
    bound = _at(_parse_bound, parts[2], value.rindex(parts[2])) if len(parts) == 3 else None
    if bound is not None and measure == "words":
        raise Unreadable("words have no bound", value.rindex(parts[2]), len(value))
    match = re.fullmatch(r"(.*?) ?\b(\d{1,3}) to (\d{1,3})", label)
    labels: tuple[str, ...] = (label,)
    if match:
        first, last = int(match.group(2)), int(match.group(3))
        if not first < last:
            raise Unreadable("a range of labels runs upwards, such as `cylinder 1 to 4`", 0, len(label))
        labels = tuple(f"{match.group(1)} {number}".strip() for number in range(first, last + 1))
    return Reads(labels=labels, measure=measure, bound=bound)


def _parse_bound(value: str) -> Bound:
    match = re.fullmatch(r"at (least|most) (\S+)", value)
    if match:
        number = _at(parse_number, match.group(2), match.start(2))
        return Bound(low=number) if match.group(1) == "least" else Bound(high=number)
    low, found, high = value.partition(" to ")
    if not found:
        raise Unreadable(f"expected `at least 60`, `at most 0.3` or `60 to 90`, not `{value[:40]}`")
    bound = Bound(low=_at(parse_number, low, 0), high=_at(parse_number, high, len(low) + 4))
    if bound.low is not None and bound.high is not None and bound.low > bound.high:
        raise Unreadable("the lower end of a bound comes first", 0, len(value))
    return bound


# Measures that belong to an amount; any other word begins the name of the part.
PART_MEASURES = (
    *("qt", "gal", "oz", "pt", "ml", "l", "ft", "in", "m", "cm", "mm", "g", "kg", "lb"),
    *("set", "sets", "pair", "pairs", "tube", "tubes", "roll", "rolls", "sheet", "sheets", "can", "cans"),
)


def parse_parts(value: str) -> tuple[Part, ...]:
    """uses = part { ";" part }; part = [ NUMBER [ measure ] ] name"""
    parts = []
    for piece in _semicolons(value):
        match = re.fullmatch(rf"(\d+(?:[./]\d+)?(?: (?:{'|'.join(PART_MEASURES)})\b)?) +(\S.*)", piece)
        amount, name = match.groups() if match else ("", piece)
        parts.append(Part(amount=amount, name=name))
    return tuple(parts)


def parse_tools(value: str) -> tuple[str, ...]:
    """tools = tool { ";" tool }"""
    return tuple(_semicolons(value))


def _semicolons(value: str) -> list[str]:
    pieces = [piece.strip() for piece in value.split(";")]
    if pieces and not pieces[-1]:
        pieces.pop()
    if not pieces or not all(pieces):
        raise Unreadable("something is missing between semicolons")
    return pieces


def parse_triggers(value: str) -> tuple[Trigger, ...]:
    """owed-after = trigger { "," trigger }; trigger = ( "did" | "disturbed" | "installed" ) " " ID"""

    def trigger(word: str) -> Trigger:
        verb, _, what = word.partition(" ")
        if verb not in (nouns.DID, nouns.DISTURBED, nouns.INSTALLED) or not what:
            raise Unreadable("expected `did CHECK`, `disturbed THING` or `installed POSITION`", 0, len(word))
        return Trigger(verb=verb, what=_at(parse_id, what.strip(), len(verb) + 1))

    return tuple(_at(trigger, word, offset) for word, offset in parse_list(value))


def parse_retired(value: str) -> Retired:
    """retired = DATE [ "," reason ]"""
    date, _, reason = value.partition(",")
    return Retired(date=_at(parse_date, date.strip(), 0), reason=reason.strip())


def parse_yes(value: str) -> bool:
    """yes | no"""
    if value not in ("yes", "no"):
        raise Unreadable(f"expected `yes` or `no`, not `{value[:40]}`")
    return value == "yes"


def parse_fix(value: str) -> Fix:
    """fix = "before flight" | "by " DATE | "by " NUMBER " h" [ " on " METER ] | "at next " NAME " inspection" """
    if value == "before flight":
        return Fix()
    if match := re.fullmatch(rf"at next ({ID_PATTERN}) inspection", value):
        return Fix(at_inspection=match.group(1))
    if match := re.fullmatch(rf"by (\d[\d.]*) h(?: on ({ID_PATTERN}))?", value):
        return Fix(by_total=_at(parse_number, match.group(1), 3), meter=match.group(2))
    if value.startswith("by "):
        return Fix(by_date=_at(parse_date, value[3:], 3))
    raise Unreadable(
        "expected `before flight`, `by 2027-01-31`, `by 430.0 h` or `at next condition inspection`, "
        f"not `{value[:40]}`"
    )
