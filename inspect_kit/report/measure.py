"""How wide text is in the cells of a terminal, and how it is wrapped: a number never leaves its unit.

Nor, where there is room, does it leave what it counts or what it is the number of: `2 gaskets`, `tach 25.0`. What is to
be typed stays on one line too, for whoever copies it.
"""

import itertools
import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Final

# What people write behind a number and read together with it: times, then what is measured.
_WRITTEN = (
    "h min s second seconds minute minutes hour hours day days week weeks month months year years landings cycles "
    "% V mV A mA Ah W ohm ohms Hz kHz MHz rpm psi bar hPa kPa mbar inHg lb kg g oz N Nm lbf daN in ft m mm cm thou nm "
    "nmi sm km gal l ml dl qt pt cc hp kW kt kn knots mph fpm ft/min gal/h l/h kg/l lb/gal lb-in in-lb ft-lb kg-m "
    "degree degrees deg ° °C °F people panel panels landing cycle knot"
)
UNITS: Final = frozenset(_WRITTEN.split())
_CURRENCY = re.compile("[A-Z]{3}")
_NUMBER = re.compile(r"[^\w\s]*\d[\d.,:/]*(?:[-\u2013]\d[\d.,/]*)?(?:\u2026)?")
_COUNT = re.compile(r"[(\[]?[-+]?\d[\d.,]*")
# Words behind which a number, or one capital letter, says which: `cylinder 3`, `appendix D`.
_MONTHS = "January February March April May June July August September October November December"
_NAMING = "appendix cfr chapter cylinder letter line log no. number p. page paragraph part phase section table"
_WHICH = frozenset(f"{_NAMING} {_MONTHS}".lower().split())
_COUNTED = frozenset(f"CFR {_MONTHS}".split())
# Words that begin something else when they stand behind a number.
_OTHER_WORDS = (
    "a after again all an and are as at because before behind below but by for from had has have if inside instead is "
    "it left less may must no not off on open only or out over per so than that the then to under until up was were "
    "when where which while with within"
)
_NO_NOUNS = frozenset(_OTHER_WORDS.split())
# A mark that says something of the word before it never begins a line.
BELONGS_TO: Final = ("*", "…")
# How what is to be typed begins, such as `- 19`.
QUOTED: Final = "`-"
# A whole command that ends a text, behind a colon or from its beginning: half of one is another command.
_ENDS_IN = re.compile(r"""(?:^|(?<=: ))inspect-kit(?:(?<![,:]) (?:"[^"]*"|'[^']*'|[^\s"'`;])+)+$""")
# What stands in backticks is typed, and a longer text that is no command is quoted.
_TYPED = re.compile(r"`(?:inspect-kit [^`]+|[^`]{1,30})`")
# Where the rest is, way by way.
_WAY = re.compile(r"(?<=[:;] )[^;]+")
# What Enter takes, where that ends a question; it may hold brackets itself.
_ENTER = re.compile(r"\((?:[^()]|\([^()]*\))*\)$")
# Stands for a blank at which no line is broken.
_HELD = "\0"


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

    A number stays with its unit, and where there is room with its word; so does what is to be typed. A command for
    which one line has not room goes on as a shell takes it.
    """
    return [line for each in text.split("\n") for line in _wrapped(each, room) or [""]]


def _wrapped(text: str, room: int) -> list[str]:
    text = text.strip()
    command = _ENDS_IN.search(text) if "inspect-kit " in text else None
    typed = continued(command[0], room) if command else []
    if command and len(typed) > 1 and max(map(width, typed)) <= room:
        return [*_wrapped(text[: command.start()], room), *typed]

    def held(typed: re.Match[str]) -> str:
        return typed[0].replace(" ", _HELD) if width(typed[0]) <= room else typed[0]

    for whole, has in ((_ENDS_IN, "inspect-kit "), (_TYPED, "`"), (_ENTER, "Enter: ")):
        text = whole.sub(held, text) if has in text else text
    if text.startswith("More: "):
        text = _WAY.sub(held, text)
    words = words_together(text)
    return in_lines((word.replace(_HELD, " ") for word in words), room)


def words_together(text: str) -> list[str]:
    """The words of a text; a number is one with its unit, and with its word."""
    return _with_counts(kept_together(text))


def continued(typed: str, room: int) -> list[str]:
    """What is typed, in lines as a shell takes them: one that goes on in the next ends in a backslash."""
    if width(typed) <= room:
        return [typed]
    lines = [""]
    # What stands in quotation marks is one word, and an option stays with its value where there is room for both.
    found = re.findall(r'(--[a-z-]+ +(?!-))?((?:"[^"]*"|[^\s"])+)', typed)
    parts = ([both] if len(both := option + value) + 4 <= room else [option.strip(), value] for option, value in found)
    for word in filter(None, itertools.chain.from_iterable(parts)):
        if lines[-1] and len(lines[-1]) + len(word) + 3 > room:
            lines.append("")
        lines[-1] += f" {word}" if lines[-1] else f"{'  ' if len(lines) > 1 else ''}{word}"
    return [each + (" \\" if each is not lines[-1] else "") for each in lines]


def _with_counts(words: list[str]) -> list[str]:
    """Words of which a number and what it counts, or what it is the number of, are one."""
    if not any(_COUNT.match(word) for word in words):
        return words
    together = words[:1]
    for before, word, after in zip(words, words[1:], [*words[2:], ""], strict=False):
        in_a_list = len(together) < 2 or together[-2][-1] in ",;:"
        if (together[-1] == before and _counts(before, word, in_a_list)) or _says_which(before, word, after):
            together[-1] += f" {word}"
        else:
            together.append(word)
    return together


def kept_together(text: str) -> list[str]:
    """The words of a text; a number and its unit are one, so is a time of two parts, such as `2 h 26 min`, and the
    page of a book."""
    words = text.split()
    together = words[:1]
    for before, word, after in zip(words, words[1:], [*words[2:], ""], strict=False):
        is_unit = _NUMBER.fullmatch(before) and (bare(word) in UNITS or _CURRENCY.fullmatch(bare(word)))
        is_minutes = before == "h" and _NUMBER.fullmatch(word) and bare(after) == "min"
        is_page = before in ("p.", "pp.") and word[0].isdigit()
        if word in BELONGS_TO or before == QUOTED or is_unit or is_minutes or is_page:
            together[-1] += f" {word}"
        else:
            together.append(word)
    return together


def _counts(number: str, word: str, in_a_list: bool = False) -> bool:
    """Whether a number is that of what the word behind it names, such as a name of a list to choose from."""
    if not (_COUNT.fullmatch(number) and number[-1].isdigit()):
        return False
    if word[0].isupper():
        return in_a_list or bare(word) in _COUNTED
    return word[0].islower() and bare(word) not in _NO_NOUNS


def _says_which(word: str, number: str, after: str) -> bool:
    """Whether a number, or a capital letter, ends what the word before it begins: `appendix D`, `landings 1820 or`."""
    if word.lstrip("([").lower() in _WHICH:
        return number[0].isdigit() or (len(bare(number)) == 1 and number[0].isupper())
    ends = bool(_COUNT.fullmatch(bare(number))) and number[0] not in "([" and word[-1].isalpha()
    return ends and not (after and _counts(number, after))


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


def clipped_label(label: str, room: int) -> str:
    """A name shortened where it does not fit; how many others stand with it, such as `+54`, stays."""
    name, plus, others = label.rpartition(" +")
    if not others.isdigit():
        return clipped(label, room)
    return clipped(name, room - width(plus) - width(others)) + plus + others
