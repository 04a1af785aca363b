"""How wide text is in the cells of a terminal, and how it is wrapped: a number never leaves its unit."""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Final

# What people write behind a number and read together with it: times, then what is measured.
_WRITTEN = (
    "h min s second seconds minute minutes hour hours day days week weeks month months year years landings cycles "
    "% V mV A mA Ah W ohm ohms Hz kHz MHz rpm psi bar hPa kPa mbar inHg lb kg g oz N Nm lbf daN in ft m mm cm thou nm "
    "nmi sm km gal l ml dl qt pt cc hp kW kt kn knots mph fpm ft/min gal/h l/h kg/l lb/gal lb-in in-lb ft-lb kg-m "
    "degree degrees deg ° °C °F people panels"
)
UNITS: Final = frozenset(_WRITTEN.split())
_CURRENCY = re.compile("[A-Z]{3}")
_NUMBER = re.compile(r"[^\w\s]*\d[\d.,:/]*(?:\u2026)?")
# A mark that says something of the word before it never begins a line.
BELONGS_TO: Final = ("*", "…")
# How what is to be typed begins, such as `- 19`.
QUOTED: Final = "`-"


def width(text: str) -> int:
    """The number of cells: 2 for a wide character, 0 for a mark that sits on the one before."""
    if text.isascii():
        return len(text)
    return sum(_cells(character) for character in text)


def _cells(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def wrap(text: str, room: int) -> list[str]:
    """The text in lines of at most `room` cells, broken at spaces, and inside a word only where it is too long.

    A number stays with its unit.
    """
    return [line for paragraph in text.split("\n") for line in in_lines(kept_together(paragraph), room) or [""]]


def kept_together(text: str) -> list[str]:
    """The words of a text; a number and its unit are one, and so is a time of two parts, such as `2 h 26 min`."""
    words = text.split()
    together = words[:1]
    for before, word, after in zip(words, words[1:], [*words[2:], ""], strict=False):
        is_unit = _NUMBER.fullmatch(before) and (bare(word) in UNITS or _CURRENCY.fullmatch(bare(word)))
        is_minutes = before == "h" and _NUMBER.fullmatch(word) and bare(after) == "min"
        if word in BELONGS_TO or before == QUOTED or is_unit or is_minutes:
            together[-1] += f" {word}"
        else:
            together.append(word)
    return together


def is_figure(cell: str) -> bool:
    """Whether a cell of a column of figures is one, or a sign for none: words among them stand left."""
    return not cell[:1].isalpha()


def bare(word: str) -> str:
    """A word without the stops and brackets that may follow it."""
    return word.rstrip(").,;:!?]'\"…")


def in_lines(words: Iterable[str], room: int) -> list[str]:
    """Words in lines of at most `room` cells; what is wider by itself is broken at its blanks, then inside."""
    room = max(room, 2)
    lines: list[str] = []
    line = ""
    for word in _no_wider(words, room):
        if not line:
            line = word
        elif width(line) + 1 + width(word) <= room:
            line = f"{line} {word}"
        else:
            lines.append(line)
            line = word
    return [*lines, line] if line else lines


def _no_wider(words: Iterable[str], room: int) -> Iterator[str]:
    for word in words:
        for each in word.split(" ") if width(word) > room else (word,):
            yield from _pieces(each, room)


def _pieces(word: str, room: int) -> Iterator[str]:
    """A word in pieces of at most `room` cells, in a time that grows with its length and no faster."""
    at = 0
    while len(word) - at > room // 2:
        ahead = word[at : at + 4 * room]
        head = ahead if width(ahead) <= room else _broken(ahead, room)
        yield head
        at += len(head)
    if at < len(word):
        yield word[at:]


def _broken(word: str, room: int) -> str:
    """Where a word that is too long is broken: after a hyphen or a slash, if there is one late enough."""
    head = _head(word, room)
    at = max(head.rfind(mark) for mark in "-/_.#") + 1
    return head[:at] if at > len(head) // 2 else head


def _head(word: str, room: int) -> str:
    """As much of a word as fits."""
    used = 0
    for index, character in enumerate(word):
        used += _cells(character)
        if used > room:
            return word[:index]
    return word


def padded(text: str, room: int, *, right: bool = False) -> str:
    """The text filled with spaces to `room` cells; `right` puts the spaces before it."""
    fill = " " * max(0, room - width(text))
    return fill + text if right else text + fill


def clipped(text: str, room: int) -> str:
    """The text, shortened with `…` where it does not fit."""
    return text if width(text) <= room else f"{_head(text, room - 1)}…"
