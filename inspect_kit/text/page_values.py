"""The words of a page that its record repeats: blanks, readings, how a finding was put right.

    reading = value [ measure ] [ "(" ( bound | "words" ) ")" ]       cleared = DATE " " text [ "; by: " NAME ]
    used = ( "as planned" | "none" | part { ";" part } ) [ "(planned: " text ")" ]
    name = what a person is called: two letters at least, on one line, and no word that stands for nobody
    `____` stands where something is still to be written; what a pen put before or behind it counts.
"""

import re
import unicodedata

from inspect_kit.model.checklist import WORDS, Bound, Part, decimal
from inspect_kit.model.finding import Cleared, Reading
from inspect_kit.model.interval import Limit
from inspect_kit.model.owed import slip_of
from inspect_kit.model.reason import is_no_reason, leads_nowhere, names_no_page, names_no_person, names_nobody
from inspect_kit.model.worksheet import AS_PLANNED, NOTHING_USED
from inspect_kit.text.check_values import parse_bound, parse_parts
from inspect_kit.text.grammar import Unreadable, parse_at, parse_date, parse_list
from inspect_kit.text.limits import parse_limits
from inspect_kit.text.source import Source, Value

BLANK = "____"
ANSWERED = re.compile(rf"\b{AS_PLANNED}\b.|.\b{AS_PLANNED}\b|^{NOTHING_USED}\b.")
# Words by which a part was left; `No. 10 screw` and `no-spill funnel` are parts.
NOT_USED = re.compile(r"^not\b|^no (?!\d|spill|slip)|\b(?:not|never) (?:used|taken|needed)\b|\bunused\b|\bput back$")
NO_PARTS = (AS_PLANNED, NOTHING_USED, "yes", "done", "okay", "planned", "nothing", "all", "same")
# How an answer begins that points at what was planned, in whatever words: no part is called so.
POINTS = re.compile(
    r"^(?:all |everything |used |same )?(?:as|like|same as|according to|per|to) |^planned\b|^everything\b"
    r"|^(?:used|both|new)$|^(?:all|both|some|most|half|rest|none) of (?:it|them|these|those|what)\b"
    r"|^of (?:it|them|these|those)\b"
)


def on_the_line(value: str) -> str:
    """What is written there, before or behind the line of underscores that was printed; nothing where only that is."""
    text = value.strip()
    text = text.lstrip("_ \t") if text.startswith("__") else text
    return text.rstrip("_ \t") if text.endswith("__") else text


def is_blank(value: str) -> bool:
    """Whether something is still to be written there: nothing, or a line of underscores alone."""
    return not on_the_line(value)


def filled(value: Value) -> Value:
    """The value without the line of underscores that was printed for it, at its own column."""
    text = on_the_line(value.text)
    column = value.column if value.column < 0 else value.column + max(value.text.find(text), 0)
    return Value(text, value.line, column, value.begins)


def finding_id(value: str) -> tuple[str | None, str]:
    """[ "F" N ] text: the id that a finding was given, or None, and what was found."""
    text = on_the_line(value)
    match = re.match(r"[Ff]([0-9]{1,5})\b[:.]?\s*(.*)", text, re.DOTALL)
    return (f"F{match.group(1)}", match.group(2)) if match else (None, text)


def parse_reference(value: str) -> str:
    """reference = what leads to a paper: logbook and page, the number of a work order"""
    if leads_nowhere(value):
        raise Unreadable(f"`{value[:40]}` leads nowhere: say which logbook and page, or the number of the paper")
    return value.strip()


def parse_logbook_page(value: str) -> str:
    """page = where ink stands: logbook and page, with a number"""
    if names_no_page(value):
        raise Unreadable(f"`{value[:40]}` leads nowhere: say which logbook and page, such as `aircraft log p. 44`")
    return value.strip()


def parse_reason(value: str) -> str:
    """reason = why or how, in words that say something"""
    if is_no_reason(value):
        raise Unreadable(f"`{value[:40]}` says nothing: write it in words")
    return value


# Alphabets with letters that look the same: one name in both is a slip of an editor, or two people made of one.
MIXED = ("LATIN", "CYRILLIC", "GREEK")


def parse_name(value: str) -> str:
    """name = what a person is called; blanks between the words are one each"""
    name = " ".join(value.split())
    if names_nobody(name):
        raise Unreadable(f"`{value[:40]}` names nobody: write the name of the person")
    if re.search(r"\s[-\u2013\u2014*\u2022]\s", name):
        # Two lines of a list that became one value: `crack found` above `- Pip Ash`.
        raise Unreadable(f"`{name[:40]}` is no one person's name: give each name a line of its own")
    for word in name.split(" "):
        used = {alphabet for alphabet in MIXED for mark in word if unicodedata.name(mark, "").startswith(alphabet)}
        if len(used) > 1:
            raise Unreadable(f"`{word[:40]}` has letters of two alphabets that look alike: write it in one of them")
    return name


def parse_typed_name(value: str) -> str:
    """name, where no question offers people by their numbers"""
    if value.strip().isdecimal():
        told = "a number stands for somebody only in the question that offers it; here a word of the name will do"
        raise Unreadable(f"`{value[:40]}` names nobody: {told}")
    if "=" in value or re.match(r"\s*(?:inspect-kit\b|--)", value):
        raise Unreadable(f"`{value[:40]}` is no person's name: it is typed as a command is; write the name alone")
    return parse_name(value)


def parse_one_name(value: str) -> str:
    """name, of a list: `Pip Ash, Ann Lee` are two, `Ash, Pip` is one"""
    parts = value.split(",")
    if len(parts) > 1 and all(len(part.split()) > 1 for part in parts):
        raise Unreadable(f"`{value[:40]}` are several names: give each a line of its own")
    if names_no_person(value):
        raise Unreadable(f"`{value[:40]}` is no person's name: what was found is written under its check")
    return parse_name(value)


def parse_cleared(value: str) -> Cleared:
    """cleared = DATE " " text [ "; by: " NAME ]"""
    head, _, by = value.partition("; by:")
    word, _, text = head.strip().partition(" ")
    date = parse_at(parse_date, word.rstrip(",:"), 0)
    if is_blank(text):
        raise Unreadable("says no more than the date: what was done?", 0, len(head.rstrip()))
    return Cleared(date=date, text=text.strip(), by=by.strip())


def cleared_text(cleared: Cleared) -> str:
    """DATE text; by: NAME"""
    return f"{cleared.date} {cleared.text}" + (f"; by: {cleared.by}" if cleared.by else "")


def parse_recheck(value: str) -> tuple[Limit, ...]:
    """recheck = [ "in " ] limit { " or " limit }: whichever comes first"""
    ahead = len("in ") if value.casefold().startswith("in ") else 0
    return parse_at(parse_limits, value[ahead:], ahead)


def parse_repaired(value: str) -> tuple[str, ...]:
    """repaired = LABEL { "," LABEL }"""
    return tuple(" ".join(word.split()) for word, _ in parse_list(value))


def without_planned(value: str) -> str:
    """What was used, without the reminder of what was planned that the page prints behind the blank."""
    head, found, _ = value.rstrip().partition("(planned: ")
    return head.rstrip() if found and value.rstrip().endswith(")") else value


def planned_of(value: str) -> str:
    """What was planned, as the page reminds of it behind the blank; "" where it does not."""
    _, found, planned = value.rstrip().partition("(planned: ")
    return planned[:-1] if found and planned.endswith(")") else ""


def plain_answer(value: str) -> str:
    """An answer without capitals, hyphens and spare spaces: `As-planned` is `as planned`."""
    return " ".join(value.replace("-", " ").casefold().split())


# How a remark behind a number begins; another word there may be the measure that somebody read it in.
REMARK = re.compile(r"(?:after|with|when|while|before|once|cold|hot|warm|at|on|in the|by)\b|[,;(]")
# How a bound begins that a page prints in brackets; and a number behind all that was printed, `psi (at least 60) 65`.
BOUND = r"(?:at (?:least|most)\b|-?[0-9.]+ to |by [a-z]|(?:falls|rises) at most )"
BEHIND = re.compile(rf"([^()]+\({BOUND}[^()]*\))\s+([0-9]+(?:\.[0-9]+)?)")
# A comma, and behind it an amount of something else.
BY_COMMA = re.compile(r",\s*[0-9][0-9./]*\s+(?:[^\W\d_]{3,}|\S+\s+[^\W\d_]{3,})")


def parse_used(value: str) -> tuple[Part, ...]:
    """used = "as planned" | "none" | part { ";" part }, capitals aside; the parts named, none for the two answers"""
    if plain_answer(value) in (AS_PLANNED, NOTHING_USED):
        return ()
    if "(planned:" in value:
        raise Unreadable("write what was used in front of what was planned", value.index("(planned:"), len(value))
    parts = parse_parts(value)
    if mixed := next((part.name for part in parts if ANSWERED.search(plain_answer(part.name))), ""):
        # Sealed as the name of a part, it would take nothing off the shelf.
        raise Unreadable(f"`{mixed[:40]}` is an answer and more: write every part with its amount, by semicolons")
    if several := next((part.name for part in parts if BY_COMMA.search(part.name)), ""):
        raise Unreadable(f"`{several[:60]}` is several parts: they stand apart by semicolons, `1 filter; 2 gaskets`")
    if any(map(_is_no_part, parts)):
        # `yes` or a stray tick is no answer: it would be sealed as the name of a part.
        raise Unreadable(f"expected `{AS_PLANNED}`, `{NOTHING_USED}`, or what it was, such as `5 qt engine oil`")
    if left := next((str(part) for part in parts if NOT_USED.search(plain_answer(str(part)))), ""):
        raise Unreadable(f"`{left[:40]}` was not used: leave it out, or write `{NOTHING_USED}`")
    return parts


def _is_no_part(part: Part) -> bool:
    """Whether the name of a part is too short for one, or one of the answers, perhaps with a slip of a key in it."""
    plain = plain_answer(part.name)
    pointing = POINTS.match(plain) is not None or slip_of(plain, (AS_PLANNED, NOTHING_USED, "planned")) != ""
    counted = part.amount and not plain.startswith("of ")
    return len(re.findall(r"[^\W\d_]", part.name)) < 3 or plain in NO_PARTS or (pointing and not counted)


def split_reading(value: Value, source: Source, key: str) -> tuple[str, str, Bound | None]:
    """Value, measure and bound of a reading as the page shows it: `76 psi (at least 60)`, `____ psi (at least 60)`.

    The value of a reading in words is everything; the measure is then `words`, which the page shows in brackets.
    """
    # What was printed as `____ psi` and never written on is a blank with its measure.
    blank, text = value.text.lstrip().startswith("__"), on_the_line(value.text)
    if blank and text.startswith(f"({WORDS}) "):
        return text.removeprefix(f"({WORDS})").strip(), WORDS, None
    if blank and (behind := BEHIND.fullmatch(text)):
        text = f"{behind[2]} {behind[1]}"
    bound: Bound | None = None
    open_at = text.rfind("(")
    inside = text[open_at + 1 : -1] if open_at >= 0 and text.endswith(")") else ""
    if inside == WORDS:
        return on_the_line(text[:open_at]), WORDS, None
    if re.match(BOUND, inside):
        text = text[:open_at].rstrip()
        column = value.column if value.column < 0 else value.column + value.text.rindex("(") + 1
        bound = source.parse(parse_bound, Value(inside, value.line, column), key)
    if match := re.fullmatch(r"(-?[0-9.]+)(?:[\s_]+(.*))?", text, re.DOTALL):
        return match.group(1), match.group(2) or "", bound
    return ("", text, bound) if blank else (text, "", bound)


def measured_text(value: str, reading: Reading) -> str:
    """`72 psi`, `72 psi after a run`, as it stands under `again`; other words stay as they were said."""
    if reading.measure == WORDS:
        return value
    number, _, rest = value.partition(" ")
    if decimal(number) is None or (rest and REMARK.match(rest.strip()) is None):
        return value
    return " ".join(filter(None, (number, reading.measure, rest.strip())))


def reading_text(value: str, reading: Reading) -> str:
    """`76 psi (at least 60)`, as the page shows it."""
    if reading.measure == "words":
        return f"{value} (words)"
    bound = f" ({reading.bound})" if reading.bound else ""
    arithmetic = f" = {reading.reckoned}" if reading.reckoned else ""
    return f"{value} {reading.measure}".strip() + bound + arithmetic
