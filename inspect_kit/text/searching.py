"""Words looked for in every text of a store: which items, panels, records and lines of aircraft.yaml have all of them.

    a checklist or page   is cut at its boxes (`- [ ] ...`) and headings; before the first stands its panel or head
    aircraft.yaml         is cut at each key of its first and second level and at each entry of a list
    any other file        is one piece

A piece is found when it has all the words, in any order, without regard to capitals, accents and hyphens. What is
called so (its id, name, serial) comes first, then what has the words in its name, then as the whole of another value,
then whole words, then parts of words, of three letters or more; among equals the newest first, and what stands in no
dated file counts as of today.
"""

import datetime as dt
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence

from inspect_kit.errors import Place
from inspect_kit.noun import dataclass

NAME, VALUE, WORDS, PARTS = "name", "value", "words", "parts"
RANKS = (NAME, VALUE, WORDS, PARTS)
# The keys under which a piece is called something; an item has its id in its first line.
NAMING = re.compile(r"\s*(?:- )?\{?(?:panel|setup|place|name|serial|part|item|position|meter|number):")
ANY_BOX = re.compile(r"- \[.?\] ")
SHORTEST = 3
WORD = re.compile(r"[^\W_]+")
# What stands between the values of a line, in YAML and in a checklist.
ENDS_OF_VALUES = re.compile(r"[:,;{}\[\]\"'`|]|^\s*- ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A piece of a file that has all the words: what it is called, and the line that has most of them.

    `rank` is name, value, words or parts; `exact` whether the whole name is what was asked for; `date` that of a dated
    file.
    """

    title: str
    text: str
    place: Place
    rank: str
    exact: bool = False
    date: dt.date | None = None


def search(files: Mapping[str, str], words: Sequence[str]) -> tuple[Found, ...]:
    """Every piece of these texts (by file name) that has all the words, best first; nothing for no words."""
    asked = plain_words(" ".join(words))
    wanted = asked.split()
    if not wanted:
        return ()
    found = [hit for file, text in files.items() for hit in _in_file(file, text, asked, wanted)]
    return tuple(sorted(found, key=_order))


def _order(found: Found) -> tuple[int, bool, int, str, int]:
    newest = -found.date.toordinal() if found.date else -dt.date.max.toordinal()
    return RANKS.index(found.rank), not found.exact, newest, found.place.file, found.place.line or 0


def plain_words(text: str) -> str:
    """The words of a text alone, in small letters without accents, with one blank between them."""
    return " ".join(WORD.findall(_bare(text)))


def _bare(text: str) -> str:
    """A text in small letters without accents: what `plain_words` has is in it, and each line stays one."""
    bare = text.casefold()
    if not bare.isascii():
        bare = unicodedata.normalize("NFKD", bare)
        if marks := [ord(mark) for mark in set(bare) if unicodedata.combining(mark)]:
            bare = bare.translate(dict.fromkeys(marks))
    return bare


def _in_file(file: str, text: str, asked: str, wanted: Sequence[str]) -> Iterator[Found]:
    bare = _bare(text)
    stem = _bare(_stem(file))
    # A word has no blank, so it is among the words of a text wherever it is in it.
    if any(word not in bare and word not in stem for word in wanted):
        return
    lines, bare_lines = text.split("\n"), bare.split("\n")
    dated = re.match(r"(\d{4}-\d\d-\d\d)\b", file.rsplit("/", 1)[-1])
    begins = _begins(file)
    starts = [0, *(at for at, line in enumerate(lines) if at and begins(line))] if begins else [0]
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        piece, said = lines[start:end], bare_lines[start:end]
        rank, exact = _rank(file, piece, said, asked, wanted, whole=len(starts) == 1)
        if not rank:
            continue
        # Most lines have none of the words, and say nothing.
        having = [at for at, each in enumerate(said) if any(word in each for word in wanted)] or [0]
        best = max(having, key=lambda at: (_most(piece[at], asked, wanted), -at))
        yield Found(
            title=_title(file, piece, start),
            text=piece[best].strip(),
            place=Place(file, start + best + 1),
            rank=rank,
            exact=exact,
            date=_date(dated.group(1)) if dated else None,
        )


def _begins(file: str) -> Callable[[str], object] | None:
    """What tells whether a line begins a piece; None for a file that is one."""
    if file.endswith(".md"):
        return lambda line: line.startswith("#") or (line.startswith("- [") and ANY_BOX.match(line))
    return re.compile(r"(?:  )?(?:- )?[^\s#-]").match if file == "records/aircraft.yaml" else None


def _rank(
    file: str, piece: Sequence[str], bare: Sequence[str], asked: str, wanted: Sequence[str], *, whole: bool
) -> tuple[str, bool]:
    """How a piece fits, "" where it does not; and whether it is called what was asked for and nothing more."""
    # A file that is one piece may be known by its name.
    known_by = plain_words(_stem(file)) if whole else ""
    text = "\n".join(bare)
    if any(word not in text for word in wanted):
        return (NAME, True) if asked == known_by else ("", False)
    said = " ".join(WORD.findall(text))
    naming = [_called(piece[0]), *(line for line in piece[1:] if NAMING.match(line))]
    if _has_value(naming, asked, said) or asked == known_by:
        return NAME, True
    own = set(said.split())
    whole_words = set(wanted) <= own
    if whole_words and set(wanted) <= {*plain_words("\n".join(naming)).split(), *known_by.split()}:
        return NAME, False
    # A value is in one line, and has them all.
    having = [line for line, each in zip(piece, bare, strict=True) if all(word in each for word in wanted)]
    if _has_value(having, asked, said):
        return VALUE, False
    if whole_words:
        return WORDS, False
    # `ma` and `1` of MA-1 are parts of half of all words.
    of_all = any(len(word) < SHORTEST and word.isascii() and word not in own for word in wanted)
    return ("", False) if of_all else (PARTS, False)


def _called(line: str) -> str:
    """What a piece is called by its first line: of a box its id and its subject, and not what is looked for there."""
    return line.partition(":")[0] if ANY_BOX.match(line) else line


def _has_value(piece: Sequence[str], asked: str, said: str) -> bool:
    """Whether one value is what was asked for; `said`, the words of it all, has them then one after the other."""
    return asked in said and asked in map(plain_words, _values(piece))


def _values(piece: Sequence[str]) -> Iterator[str]:
    for line in piece:
        yield from (value for value in ENDS_OF_VALUES.split(line) if value.strip())


def _most(line: str, asked: str, wanted: Sequence[str]) -> tuple[bool, bool, int, int]:
    """How well one line has the words: as the whole of a value, of a name, as whole words, as parts."""
    said = plain_words(line)
    exact = _has_value([line], asked, said)
    own = set(said.split())
    whole, part = sum(word in own for word in wanted), sum(word in said for word in wanted)
    return exact, exact and NAMING.match(line) is not None, whole, part


def _title(file: str, piece: Sequence[str], start: int) -> str:
    """The id of an item, or its words if it has none; the key of a line of aircraft.yaml; else the name of the file."""
    if file.endswith(".md") and start:
        box = ANY_BOX.sub("", piece[0], count=1).strip("# ")
        return box.split("`")[1] if box.count("`") > 1 else box
    if file == "records/aircraft.yaml":
        return piece[0].partition(":")[0].strip(" -{")
    return _stem(file)


def _stem(file: str) -> str:
    return file.rsplit("/", 1)[-1].rpartition(".")[0]


def _date(word: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(word)
    except ValueError:
        return None
