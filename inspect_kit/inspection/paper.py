"""What is typed from a sheet that a pen has filled: the exceptions by box number; and which ticks a count may confirm.

    line    = NUMBER " " ( LETTER [ " " text ] | values )  |  "-" { " " numbers }
    LETTER  = "o" (ticked)  |  "-" (left empty)  |  "f" what was found  |  "n" why not applicable
            | "d" why not done  |  "r" a remark; in capitals too, and with signs around it: `F`, `(f)`, `n:`
    values  = value { " " value }      one for each well of the box, in their order; "-" where the well is empty
    numbers = NUMBER [ "-" NUMBER ]    boxes left empty

A well for words takes what is left of the line; one that is not the last stands between semicolons: `32 76; leaks; 77`.
"""

import re
import unicodedata
from collections.abc import Collection, Sequence

from inspect_kit.inspection.boxes import box_at
from inspect_kit.inspection.walk import asked_alone, check_of_box
from inspect_kit.inspection.wanted import Wanted
from inspect_kit.model.checklist import WORDS, Panel, decimal
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.reason import tells_nothing_seen
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable, said_decimals, with_point
from inspect_kit.text.page_values import is_blank

TICKED, EMPTY, FOUND, NOT_APPLICABLE, NOT_DONE, REMARK, VALUES = "o", "-", "f", "n", "d", "r", "values"
WITH_WORDS = (FOUND, NOT_APPLICABLE, NOT_DONE, REMARK)
NO_VALUE = "-"
# Where a value in words stands, a first word that tells of a finding: it belongs to the box, not into the well.
OF_A_FINDING = (*WITH_WORDS, "found", "finding", "fnd", "defect", "discrepancy")


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """One line: the boxes it is about (places from 0), what it says of them (a letter, or VALUES), and its words."""

    boxes: tuple[int, ...]
    kind: str
    words: str = ""


def parse_line(line: str, boxes: int) -> Typed:
    """A line as in the grammar above; Unreadable when it is none, or names a box that the page does not have."""
    head, _, rest = line.partition(" ")
    if head == EMPTY:
        return Typed(boxes=_numbers(rest, boxes), kind=EMPTY)
    number = _number(head, boxes)
    letter, _, words = rest.strip().partition(" ")
    letter = _plain(letter) or letter
    if letter in (TICKED, EMPTY) and not words:
        return Typed(boxes=(number,), kind=letter)
    if letter in WITH_WORDS:
        if is_blank(words):
            raise Unreadable(f"box {head} `{letter}` wants words behind it")
        return Typed(boxes=(number,), kind=letter, words=words.strip())
    if not rest.strip():
        raise Unreadable(f"box {head} and nothing behind it: `{head} o` is ticked, `{head} -` was left empty")
    return Typed(boxes=(number,), kind=VALUES, words=rest.strip())


def _plain(word: str) -> str:
    """A word as it is meant, whatever stands around it on paper or a telephone makes of it: `F`, `(f)`, `n:`, `d-`."""
    return re.sub(r"^[\W_]+|[\W_]+$", "", unicodedata.normalize("NFKC", word).casefold())


def _first_word(value: str) -> str:
    return next(filter(None, map(_plain, value.split())), "")


def values_of(words: str, wells: Sequence[Wanted]) -> tuple[tuple[str, str], ...]:
    """Label and value for each well that has one; Unreadable when they do not fit."""
    if not wells:
        raise Unreadable("this box has nothing to be read: o, -, f, n, d or r, and words behind it")
    measures = {well.measure for well in wells} - {""}
    if WORDS not in measures:
        # The sheet prints the measure beside its well: whoever copies it says the same.
        for measure in measures:
            words = re.sub(rf"(?<=[0-9]) *{re.escape(measure)}(?=[ ;]|$)", "", words)
    in_words = wells[-1].measure == WORDS
    if in_words and len(wells) == 1:
        pieces = [words.strip()]
    elif ";" in words:
        # What is said in words last may have one of its own.
        pieces = [piece.strip() for piece in words.split(";", len(wells) - 1 if in_words else -1)]
    else:
        pieces = words.split(maxsplit=len(wells) - 1) if in_words else words.split()
    if len(pieces) != len(wells):
        asked = ", ".join(well.label for well in wells)
        told = ((len(pieces), "value"), (len(wells), "well"))
        values, places = (f"{many} {word}" if many == 1 else f"{many} {word}s" for many, word in told)
        raise Unreadable(f"{values} for {places} ({asked}); `-` stands for an empty one")
    found = []
    for well, value in zip(wells, pieces, strict=True):
        if value == NO_VALUE:
            continue
        if is_blank(value):
            raise Unreadable(f"{well.label}: `-` stands for an empty well")
        if well.measure == WORDS and (tells_nothing_seen(value) or _first_word(value) in OF_A_FINDING):
            why = "what was found, or why it was not done, is a line of its own: `NUMBER f crack`, `NUMBER d no time`"
            raise Unreadable(f"{well.label}: `{value[:40]}` does not say what was seen; {why}")
        value = value if well.measure == WORDS else said_decimals(value)
        if well.measure != WORDS and decimal(value.split()[0]) is None:
            raise Unreadable(f"{well.label}: `{value[:40]}` is no number such as 76 or 0.3{with_point(value)}")
        found.append((well.label, value))
    return tuple(found)


def boxes_by_count(
    logbook: Logbook, page: Worksheet, left_out: Collection[object]
) -> tuple[tuple[Panel, tuple[int, ...]], ...]:
    """The boxes whose ticks a count may confirm, by panel, in the order of the page.

    Never panels, setups, readings, second looks, cautions, engine runs, work by others, dates, parts, or what has an
    open finding; nor what is answered already, nor the boxes `left_out` by their names.
    """
    found: dict[str, list[int]] = {}
    for at, entry in enumerate(page.entries):
        check = check_of_box(logbook, entry)
        if check is None or entry.answered or asked_alone(entry, check) or box_at(page, at) in left_out:
            continue
        found.setdefault(check.panel, []).append(at)
    return tuple((logbook.panels[panel], tuple(boxes)) for panel, boxes in found.items())


def as_numbers(boxes: Sequence[int]) -> str:
    """`31, 33-36, 40`: places from 0 as the numbers on the paper."""
    found: list[list[int]] = []
    for at in boxes:
        if found and found[-1][1] == at:
            found[-1][1] = at + 1
        else:
            found.append([at + 1, at + 1])
    return ", ".join(f"{first}-{last}" if last > first else f"{first}" for first, last in found)


def _number(word: str, boxes: int) -> int:
    """NUMBER of a box, from 1; its place from 0."""
    if not re.fullmatch(r"[0-9]{1,6}", word):
        raise Unreadable(f"`{word[:40]}` is no number of a box")
    number = int(word)
    if not 0 < number <= boxes:
        raise Unreadable(f"there is no box {number}: the page has 1 to {boxes}")
    return number - 1


def _numbers(words: str, boxes: int) -> tuple[int, ...]:
    found: list[int] = []
    for word in words.replace(",", " ").split():
        first, dash, last = word.partition("-")
        start = _number(first, boxes)
        end = _number(last, boxes) if dash else start
        if end < start:
            raise Unreadable(f"`{word}` counts backwards")
        found += range(start, end + 1)
    if not found:
        raise Unreadable("`-` wants the numbers of the boxes left empty behind it, such as `- 12 40-44`")
    return tuple(dict.fromkeys(found))
