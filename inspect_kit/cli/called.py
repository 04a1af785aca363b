"""The one door for a name that was typed: an id of today or of before, or words of a name that only one thing has."""

import contextlib
from collections.abc import Callable, Iterable, Iterator

from inspect_kit.errors import Misused
from inspect_kit.model.logbook import Logbook
from inspect_kit.past import said_units
from inspect_kit.text.grammar import Unreadable, did_you_mean, parse_date, parse_number, said_decimals
from inspect_kit.text.limits import parse_every

CHECK, PANEL, POSITION, INSPECTION = "check", "panel", "position", "inspection"


def id_meant(logbook: Logbook, typed: str, *kinds: str) -> str:
    """Today's id of what is meant, of these kinds; what was typed, as `id_now` has it, where it names none of them.

    Whole words are compared, capitals and order aside: `left magneto` is magneto-left. Misused where several have them.
    What is the id of something else is that, and no words of a name.
    """
    known = dict(_names(logbook, kinds))
    current = typed if typed in known else logbook.id_now(typed)
    words = _words(typed)
    if current in known or not words or noun_of_id(logbook, current):
        return current
    by_id = [name for name in known if words == _words(name)]
    alike = [name for name, told in known.items() if words in (_words(name), _words(told))]
    having = [name for name, told in known.items() if words <= _words(name) | _words(told)]
    # All words of an id are nearer than those of a name: `left magneto` is the position, though a check is called so.
    found = next((each for each in (by_id, alike) if len(each) == 1), having)
    if len(found) > 1:
        listed = "".join(f"\n  {name}  {known[name] or noun_of_id(logbook, name)}" for name in found)
        raise Misused(f"`{typed}` may be one of {len(found)}; name one by its id:{listed}")
    return found[0] if found else current


def noun_of_id(logbook: Logbook, name: str) -> str:
    """Of what an id is the id, such as `position`; "" where it is none, of today or retired."""
    known = {CHECK: logbook.checks, PANEL: logbook.panels, POSITION: logbook.aircraft.positions}
    return next((kind for kind, ids in known.items() if name in ids), "")


def _words(name: str) -> frozenset[str]:
    plain = "".join(mark if mark.isalnum() else " " for mark in name.casefold())
    return frozenset(plain.split())


def _names(logbook: Logbook, kinds: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The ids in use of these kinds, each with its name."""
    if INSPECTION in kinds:
        yield from ((name, f"{name} inspection") for name in logbook.aircraft.inspections)
    if CHECK in kinds:
        yield from ((each.id, each.title) for each in logbook.checks.values() if each.retired is None)
    if PANEL in kinds:
        yield from ((each.id, each.name) for each in logbook.panels.values() if each.retired is None)
    if POSITION in kinds:
        yield from ((each.id, "") for each in logbook.aircraft.positions.values() if each.retired is None)


def near_or_find(word: str, known: Iterable[str]) -> str:
    """What may have been meant instead of a word that names nothing; where to look for it if nothing is near."""
    if near := did_you_mean(word, known):
        return near
    if kind := _kind_of(word):
        return f"; that reads as {kind}: give an id, or words of a name"
    return f"; `inspect-kit find {word}` looks everywhere"


def _kind_of(word: str) -> str:
    """What a word is that can be no name, such as `a limit`; "" for any other."""
    readers: dict[str, Callable[[str], object]] = {
        "a number": parse_number,
        "a date": parse_date,
        "a limit": lambda word: parse_every(said_units(word)),
    }
    for kind, read in readers.items():
        with contextlib.suppress(Unreadable):
            read(said_decimals(word))
            return kind
    return ""
