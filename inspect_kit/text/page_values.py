"""The words of a page that its record repeats: blanks, readings, how a finding was put right.

    reading = value [ measure ] [ "(" ( bound | "words" ) ")" ]       cleared = DATE " " text [ "; by: " NAME ]
    used = ( "as planned" | "none" | part { ";" part } ) [ "(planned: " text ")" ]
    `____` stands where something is still to be written.
"""

import re

from inspect_kit.model.checklist import WORDS, Bound, Part
from inspect_kit.model.finding import Cleared
from inspect_kit.model.worksheet import AS_PLANNED, NOTHING_USED
from inspect_kit.text.check_values import parse_bound, parse_parts
from inspect_kit.text.grammar import Unreadable, parse_at, parse_date
from inspect_kit.text.source import Source, Value

BLANK = "____"
NO_PARTS = (AS_PLANNED, NOTHING_USED, "yes", "done", "okay", "planned", "nothing", "all", "same")


def is_blank(value: str) -> bool:
    """Whether something is still to be written there: nothing, or a line of underscores, perhaps before a measure."""
    return not value.strip() or re.match(r"_{2,}", value.strip()) is not None


def unless_blank(value: str) -> str:
    """What is written there, or nothing where only a blank stands."""
    return "" if is_blank(value) else value


def parse_cleared(value: str) -> Cleared:
    """cleared = DATE " " text [ "; by: " NAME ]"""
    head, _, by = value.partition("; by:")
    word, _, text = head.strip().partition(" ")
    date = parse_at(parse_date, word.rstrip(",:"), 0)
    if is_blank(text):
        raise Unreadable("says no more than the date: what was done?", 0, len(head.rstrip()))
    return Cleared(date=date, text=text.strip(), by=by.strip())


def without_planned(value: str) -> str:
    """What was used, without the reminder of what was planned that the page prints behind the blank."""
    head, found, _ = value.rstrip().partition("(planned: ")
    return head.rstrip() if found and value.rstrip().endswith(")") else value


def plain_answer(value: str) -> str:
    """An answer without capitals, hyphens and spare spaces: `As-planned` is `as planned`."""
    return " ".join(value.replace("-", " ").casefold().split())


def parse_used(value: str) -> tuple[Part, ...]:
    """used = "as planned" | "none" | part { ";" part }, capitals aside; the parts named, none for the two answers"""
    if plain_answer(value) in (AS_PLANNED, NOTHING_USED):
        return ()
    parts = parse_parts(value)
    if any(len(re.findall(r"[^\W\d_]", part.name)) < 3 or plain_answer(part.name) in NO_PARTS for part in parts):
        # `yes` or a stray tick is no answer: it would be sealed as the name of a part.
        raise Unreadable(f"expected `{AS_PLANNED}`, `{NOTHING_USED}`, or what it was, such as `5 qt engine oil`")
    return parts


def split_reading(value: Value, source: Source, key: str) -> tuple[str, str, Bound | None]:
    """Value, measure and bound of a reading as the page shows it: `76 psi (at least 60)`, `____ psi (at least 60)`.

    The value of a reading in words is everything; the measure is then `words`, which the page shows in brackets.
    """
    text = value.text.strip()
    bound: Bound | None = None
    open_at = text.rfind("(")
    inside = text[open_at + 1 : -1] if open_at >= 0 and text.endswith(")") else ""
    if inside == WORDS:
        return unless_blank(text[:open_at].rstrip()), WORDS, None
    if re.match(r"at (?:least|most)\b|-?[0-9.]+ to ", inside):
        text = text[:open_at].rstrip()
        column = value.column if value.column < 0 else value.column + open_at + 1
        bound = source.parse(parse_bound, Value(inside, value.line, column), key)
    measure = ""
    if match := re.fullmatch(r"(_{2,}|-?[0-9.]+)(?:\s+(.*))?", text, re.DOTALL):
        text, measure = match.group(1), match.group(2) or ""
    return unless_blank(text), measure, bound
