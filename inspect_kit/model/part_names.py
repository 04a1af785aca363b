"""Names of parts as people write them: which of them may be one that is known, in other words."""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Generic, TypeVar

from inspect_kit.model.checklist import part_key
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import slip_of

# How many letters make a word: `a`, `of`, `x` and measures tell no two parts apart.
WORD = 3
# Digits that stand where a letter was meant: `oi1`.
LIKE_LETTERS = str.maketrans("01", "ol")
T = TypeVar("T")


def alike(name: str, known: Iterable[str]) -> str:
    """The known name of what may be the same thing: but for a slip, a count, a remark or a word more or less; "" if
    none is. A name that is known itself is alike to none. `filter`, `one oil filter` and `oil filter (lot 2605)`
    may be an `oil filter`; `oil filter gasket` and `air filter` are none, `5.00-5 tube` is no `6.00-6 tube`.
    """
    names = {part_key(each): each for each in known}
    own = part_key(name)
    if own in names:
        return ""
    meant = own.translate(LIKE_LETTERS)
    if near := meant if meant in names else slip_of(own, names) or slip_of(meant, names):
        return names[near]
    words, of = _words(own), {key: _words(key) for key in names}
    same = [key for key, other in of.items() if {*other} == {*words}]
    more = [key for key, other in of.items() if {*other} < {*words} and _head(other) == _head(words)]
    fewer = [key for key, other in of.items() if {*words} < {*other}]
    fewer.sort(key=lambda key: _head(of[key]) not in words)
    return next((names[key] for key in (*same, *more, *fewer) if words and of[key]), "")


def _words(key: str) -> list[str]:
    """The words of a name that tell it from others, without a count before it and what stands behind a comma."""
    plain = re.sub(r"(?<=[a-z])-(?=[a-z])", " ", re.split(r"[,(\[]", key)[0].strip() or key)
    found = [part_key(word) for word in plain.split() if not re.fullmatch(r"\d+x?", word)]
    return [word for word in found if _letters(word) >= WORD or re.search(r"\d", word)]


def _letters(word: str) -> int:
    return len(re.findall(r"[^\W\d_]", word))


def _head(words: list[str]) -> str:
    """The word that says what it is: the last one that is no number of a type."""
    return next((word for word in reversed(words) if _letters(word) >= WORD), "")


def wanted_items(logbook: Logbook) -> dict[str, tuple[str, str]]:
    """What checks use, and what has a life, by the key of its name: the name, and which of the two in words."""
    live = [check for check in logbook.checks.values() if check.retired is None]
    wanted = {part.name: f"`{check.id}` uses" for check in live for part in check.uses}
    wanted |= {check.counts_on or check.id: "a life ends of" for check in live if check.life}
    return {part_key(name): (name, why) for name, why in wanted.items()}


def item_doubt(wanted: Mapping[str, tuple[str, str]], item: str, before: Mapping[str, str]) -> str:
    """What speaks for a slip in the name of what lies on the shelf: no check uses it and nothing was counted so
    `before`, by the keys of the names, and something of nearly the same name is. As a sentence without its point; ""
    where nothing does.
    """
    key = part_key(item)
    if key in wanted or key in before:
        return ""
    if near := alike(item, (name for name, _ in wanted.values())):
        return f"no check uses `{item[:40]}`; {wanted[part_key(near)][1]} {near}, which is never taken off this"
    near = alike(item, before.values())
    return f"nothing is called `{item[:40]}` yet; {near} is on the shelf, and this would lie beside it" if near else ""


class ByName(Generic[T]):
    """Values by the keys of names of parts. `near` gives those among which `alike` would find, of thousands a few."""

    def __init__(self, values: Mapping[str, T]) -> None:
        self._values = dict(values)
        # Most names are known, and nothing is looked for.
        self._waiting = [*values]
        self._turns: dict[str, int] = {}
        self._by_mark: dict[int, list[str]] = {}
        self._words: dict[str, frozenset[str]] = {}
        self._said: set[tuple[str, ...]] = set()
        self._by_word: dict[str, list[str]] = {}
        self._by_rarest: dict[str, list[str]] = {}

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def __setitem__(self, key: str, value: T) -> None:
        if key not in self._values:
            self._waiting.append(key)
        self._values[key] = value

    def near(self, name: str) -> dict[str, T]:
        """Those that a slip, or words more or less, tell from a name, in the order in which they came; of several with
        the same words the first.
        """
        for key in self._waiting:
            self._place(key)
        self._waiting.clear()
        own = part_key(name)
        words = frozenset(_words(own))
        marks = (mark for each in (own, own.translate(LIKE_LETTERS)) for mark in _marks(each))
        found = {key for mark in marks for key in self._by_mark.get(mark, ())}
        # What has fewer words is found by its rarest one, what has more by the rarest of these.
        found |= {key for word in words for key in self._by_rarest.get(word, ()) if self._words[key] <= words}
        with_more = min((self._by_word.get(word, []) for word in words), key=len, default=[])
        found |= {key for key in with_more if self._words[key] >= words}
        return {key: self._values[key] for key in sorted(found, key=self._turns.__getitem__)}

    def _place(self, key: str) -> None:
        self._turns[key] = len(self._turns)
        for mark in _marks(key):
            self._by_mark.setdefault(mark, []).append(key)
        said = tuple(_words(key))
        if not said or said in self._said:
            return
        self._said.add(said)
        words = self._words[key] = frozenset(said)
        for word in words:
            self._by_word.setdefault(word, []).append(key)
        rarest = min(words, key=lambda word: (len(self._by_rarest.get(word, ())), word))
        self._by_rarest.setdefault(rarest, []).append(key)


def _marks(key: str) -> Iterator[int]:
    """Two keys that differ by a slip have one of these in common: of the key, and of what is left without one letter; a
    digit is none. As numbers, for a long name has as many as letters.
    """
    yield hash(key)
    yield from (hash(key[:at] + key[at + 1 :]) for at, letter in enumerate(key) if not letter.isdigit())
