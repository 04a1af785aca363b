"""Ids through the decades: what has which id, what had it before, and where an old id leads today."""

from collections.abc import Iterable, Iterator, Mapping

from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Aircraft, Person
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """`current` leads from each id (or name of a person) that is no longer used to today's; `problems` are ids used
    twice.
    """

    current: Mapping[str, str]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class _Claim:
    """One id that something has, and those it had before."""

    kind: str
    id: str
    was: tuple[str, ...]
    place: Place


def names(aircraft: Aircraft | None, panels: Iterable[Panel], checks: Iterable[Check]) -> Names:
    """Where every old id leads, chains followed, with a problem for each id that two things have or had.

    Panels, checks, positions and inspections share their ids; people have names of their own. `panels` and `checks`
    are all that were read, those with an id used twice included.
    """
    rules = aircraft.inspections.values() if aircraft is not None else ()
    things = [_Claim("inspection", rule.name, (), rule.place) for rule in rules]
    things += [_Claim("panel", panel.id, panel.was, panel.place) for panel in panels]
    things += [_Claim("check", check.id, check.was, check.place) for check in checks]
    people: list[_Claim] = []
    if aircraft is not None:
        things += [_Claim("position", each.id, each.was, each.place) for each in aircraft.positions.values()]
        people = [_person(person, aircraft.place) for person in aircraft.people]
    current, problems = _lead(things)
    people_now, people_twice = _lead(people)
    # An id has no capitals and no blanks, so a name hardly ever looks like one; where it does the id is meant.
    return Names(current=people_now | current, problems=(*problems, *people_twice))


def _person(person: Person, otherwise: Place) -> _Claim:
    return _Claim("person", person.name, person.was, person.place or otherwise)


def _lead(claims: list[_Claim]) -> tuple[dict[str, str], list[Problem]]:
    owners: dict[str, _Claim] = {}
    problems = list(_used_twice(claims, owners))
    lead: dict[str, str] = {}
    for claim in claims:
        for old in claim.was:
            if old == claim.id:
                problems.append(Problem(claim.place, f"`{old}` is the id of this {claim.kind} and its old id too"))
            elif (other := owners.setdefault(old, claim)) is not claim:
                is_now = other.id == old
                told = f"is that of {_one(other.kind)}" if is_now else f"was that of the {other.kind} `{other.id}`"
                # Two that one was split into have one past, and it is that of one of them.
                own = ", and write down that of the other: `work --on DATE`" if claim.kind == "check" else ""
                cure = "" if is_now else f": leave it with one of them{own}"
                where = f"{told} in {other.place}{cure}"
                problems.append(Problem(claim.place, f"the old id `{old}` of the {claim.kind} `{claim.id}` {where}"))
            else:
                lead[old] = claim.id
    return {old: _end(old, lead) for old in lead}, problems


def _used_twice(claims: list[_Claim], owners: dict[str, _Claim]) -> Iterator[Problem]:
    """Note the owner of each id; yield a problem for every further thing with the same one."""
    for claim in claims:
        first = owners.setdefault(claim.id, claim)
        if first is not claim:
            same = f"another {first.kind}" if first.kind == claim.kind else _one(first.kind)
            what = "name" if claim.kind == "person" else "id"
            told = f"the {what} `{claim.id}` of this {claim.kind} is that of {same} in {first.place}"
            yield Problem(claim.place, told)


def _one(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _end(old: str, lead: Mapping[str, str]) -> str:
    """Follow a chain to its end; every step leads to an id somebody has, so a circle ends where it began."""
    seen = {old}
    name = lead[old]
    while name in lead and name not in seen:
        seen.add(name)
        name = lead[name]
    return name
