"""The words of a page that its record repeats: blanks, readings, how a finding was put right.

    reading = value [ measure ] [ "(" ( bound | "words" ) ")" ]       cleared = DATE " " text [ "; by: " NAME ]
    `____` stands where something is still to be written.
"""

import re

from inspect_kit.model.checklist import WORDS, Bound
from inspect_kit.model.finding import Cleared
from inspect_kit.text.check_values import parse_bound
from inspect_kit.text.grammar import Unreadable, parse_at, parse_date
from inspect_kit.text.source import Source, Value

BLANK = "____"


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
