"""How people spell a key, and which key they mean.

    line  = indent { MARK } [ WRAP ] KEY [ WRAP ] COLON value
    MARK  = dash | bullet | asterisk | arrow | number ( "1." "1)" "(1)" ) | letter ( "a." "a)" )
    WRAP  = emphasis, backtick, quotation mark or bracket of any kind
    COLON = ":" in any script

A key is meant whatever its capitals, hyphens, widths and blanks, and whatever mark stands before it; `Keys.near` adds
slips of the finger, which are never read, only named. What is done with either is `text.items`'s to say.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache

from inspect_kit.noun import dataclass

# Every blank that is one character counts as one, so that a column in the line stays a column in the file.
BLANKS = {ord(mark): " " for mark in "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009"}
BLANKS |= {ord(mark): " " for mark in "\u200a\u202f\u205f\u3000"}
DASHES = "-‐‑‒–—―−⁃﹘﹣－"
BULLETS = "*+•◦‣⁌⁍∙·⋅・●○◆◇■□▪▫▶►▸▹➢✦✱＊＋※"
ARROWS = "→⇒➔➜➤⟶⟹↳›»>=~①②③④⑤⑥⑦⑧⑨⑩"
# What stands before a heading, in a table or before a line struck out is no bullet: such a line is named, not read.
FOREIGN = "#|"
NUMBERED = r"\(?(?:[0-9]{1,3}|[A-Za-z]|[ivxIVX]{2,5})[.)]"
MARKS = re.compile(rf"(?:[{re.escape(DASHES + BULLETS + ARROWS + FOREIGN)}\s]|{NUMBERED})*")
COLONS = ":：﹕︓∶꞉ː։"
# A slip of the finger beside the colon's key, or what stands for it elsewhere.
NEARLY_COLONS = ";；=＝"
COLON = re.compile(f"[{COLONS}]")
NEARLY_COLON = re.compile(f"[{NEARLY_COLONS}]")
WRAPS = "*_`\"'“”„‘’‚´«»‹›<>[](){}ˋ｀［］（）\u00ad\u200b\u200c\u200d\u2060"
CLOSING = ")]}»”’‘］）"
STRUCK = re.compile(r"~~|<(?:s|del|strike)>", re.IGNORECASE)
# How people and editors strike words out, or comment them out, within a line; a tilde alone is `about`, as in `~8 mm`.
STRIKES = re.compile(
    r"~~.+?~~|(?<![\w~])~(?=[^\s~])[^~]+(?<=[^\s~])~(?![\w~])|<!--.*?(?:-->|$)|</?(?:s|del|strike)\b[^<>]*>"
    r"|%%.+?%%|\{--.+?--\}|(?:\S[\u0335-\u0338])+",
    re.IGNORECASE | re.DOTALL,
)
TAG = re.compile(r"</?(?:b|i|em|strong|u|code|p|li)>", re.IGNORECASE)
# Longer than any key with a slip in it; what is looked at of a long line stays short by it.
LONGEST_KEY = 60


@dataclass(frozen=True, slots=True)
class Spelled:
    """A line taken apart at its colon: `key` as it is typed, from column `start` to `end`; the value from `value_at`.

    `mark` is what stands before the key, without blanks; `colon` the character taken for a colon.
    """

    mark: str
    key: str
    start: int
    end: int
    colon: str
    value_at: int

    @property
    def is_readable(self) -> bool:
        """Whether a known key spelt like this is read: no heading, no table, nothing struck out, and a colon."""
        return self.colon in COLONS and not any(mark in self.mark for mark in (*FOREIGN, "~~"))


def flat(line: str) -> str:
    """The line with every kind of blank as a plain one; columns stay."""
    return line if line.isascii() else line.translate(BLANKS)


def struck(words: str) -> re.Match[str] | None:
    """What is struck out or commented out in words."""
    if words.isascii() and not any(mark in words for mark in "~<%{"):
        # As nearly all are.
        return None
    return STRIKES.search(words)


def bullet_of(line: str) -> tuple[str, int]:
    """The marks before the words of a line, without blanks, and the column where the words begin."""
    found = MARKS.match(line)
    assert found is not None
    end = found.end()
    return "".join(found.group().split()), end


# A walk reads its page again after every answer, and most of its lines stand as they stood.
@lru_cache(maxsize=1 << 13)
def spellings(line: str) -> tuple[Spelled, ...]:
    """The line taken apart at its first colon, and at the first character that may stand for one; it is `flat`."""
    return tuple(_spellings(line))


def _spellings(line: str) -> Iterator[Spelled]:
    mark, words_at = bullet_of(line)
    if STRUCK.match(line, words_at):
        mark += "~~"
    for pattern in (COLON, NEARLY_COLON):
        found = pattern.search(line, words_at, words_at + 2 * LONGEST_KEY)
        if found is not None:
            start, end = _unwrapped(line, words_at, found.start())
            if 0 < end - start <= LONGEST_KEY:
                touching = words_at > 0 and line[words_at - 1] in "*_＊"
                value_at = _value(line, found.end(), wrapped=touching or start > words_at)
                yield Spelled(mark, line[start:end], start, end, found.group(), value_at)


def labelled(line: str, at: int) -> Spelled | None:
    """The words from a column to the next colon, just as they stand; None where there is no colon or no word."""
    found = COLON.search(line, at)
    label = line[at : found.start()].strip() if found else ""
    if found is None or not label:
        return None
    start = line.index(label, at)
    return Spelled("", label, start, start + len(label), found.group(), _value(line, found.end(), wrapped=False))


def _unwrapped(line: str, start: int, end: int) -> tuple[int, int]:
    """The part of a stretch of the line without blanks, wraps and tags at its ends."""
    while start < end:
        if tag := TAG.match(line, start, end):
            start = tag.end()
        elif line[start] in WRAPS or line[start].isspace():
            start += 1
        else:
            break
    while start < end:
        tail = re.search(TAG.pattern + r"\Z", line[start:end], re.IGNORECASE)
        if tail is not None:
            end = start + tail.start()
        elif line[end - 1] in WRAPS or line[end - 1].isspace():
            end -= 1
        else:
            break
    return start, end


def _value(line: str, at: int, *, wrapped: bool) -> int:
    """Where the value begins: behind blanks, more colons, and the wraps that close what was opened before the key."""
    while at < len(line) and line[at] in COLONS + CLOSING:
        at += 1
    if wrapped:
        while at < len(line) and (line[at] in WRAPS or TAG.match(line, at)):
            tag = TAG.match(line, at)
            at = tag.end() if tag else at + 1
    return at + len(line[at:]) - len(line[at:].lstrip())


@lru_cache(maxsize=1 << 13)
def folded(word: str) -> str:
    """A key without capitals, widths, invisible characters, and with every hyphen, underline and blank as one blank."""
    plain = "".join(mark for mark in unicodedata.normalize("NFKC", word) if unicodedata.category(mark) != "Cf")
    return re.sub(rf"[\s_{re.escape(DASHES)}]+", " ", plain.casefold()).strip()


class Keys:
    """The keys of a grammar, found by what a person typed."""

    def __init__(self, keys: Iterable[str]) -> None:
        self.by_folded = {folded(key): key for key in keys}
        self.keys = frozenset(self.by_folded.values())

    def meant(self, word: str) -> str | None:
        """The key that is spelt so, whatever its capitals and hyphens."""
        return word if word in self.keys else self.by_folded.get(folded(word))

    def near(self, word: str) -> str | None:
        """The key that was meant by a slip of the finger: a letter wrong, missing, doubled or swapped; two if long."""
        plain = _near(tuple(self.by_folded), folded(word).strip(WRAPS)[:LONGEST_KEY])
        return None if plain is None else self.by_folded[plain]


# A page of ten thousand lines asks for the same few words again and again.
@lru_cache(maxsize=1 << 13)
def _near(keys: tuple[str, ...], typed: str) -> str | None:
    for plain in keys:
        slips = 0 if len(plain) < 3 else 1 if len(plain) < 7 else 2
        if slips and abs(len(plain) - len(typed)) <= slips and distance(plain, typed) <= slips:
            return plain
    return None


def distance(one: str, other: str) -> int:
    """How many letters are wrong, missing, too many or swapped with their neighbour (optimal string alignment)."""
    rows = [list(range(len(other) + 1))]
    for at, letter in enumerate(one, 1):
        row = [at]
        for to, another in enumerate(other, 1):
            cost = min(rows[-1][to] + 1, row[-1] + 1, rows[-1][to - 1] + (letter != another))
            if at > 1 and to > 1 and letter == other[to - 2] and one[at - 2] == another:
                cost = min(cost, rows[-2][to - 2] + 1)
            row.append(cost)
        rows.append(row)
    return rows[-1][-1]
