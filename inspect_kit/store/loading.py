"""All that a store says, in one value: bytes from the disk, texts to the readers, nouns into one Logbook."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import TypeVar

from inspect_kit.audit import names
from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.store.decoding import decode
from inspect_kit.store.layout import AIRCRAFT, CHECKLISTS, OPEN
from inspect_kit.store.seals import broken_seals
from inspect_kit.store.transaction import read_settled
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.source import split_lines
from inspect_kit.text.spelling import flat
from inspect_kit.text.worksheet import read_worksheet

Noun = TypeVar("Noun", Panel, Check)


@dataclass(frozen=True, kw_only=True, slots=True)
class Loaded:
    """What stands in a store: the `files` as read (signed pages moved), and the logbook that they make.

    `logbook` is None when there is no aircraft.yaml that can be read; `problems` are all that could not be read, and
    are the logbook's as well. While there are any, every answer is incomplete.
    """

    root: Path
    files: Mapping[str, bytes]
    logbook: Logbook | None
    problems: tuple[Problem, ...]


def load(root: Path) -> Loaded:
    """Read the whole store at `root`. Nothing is left out in silence: whatever cannot be read is a problem."""
    snapshot = read_settled(root)
    problems = list(snapshot.problems)
    aircraft: Aircraft | None = None
    panels: list[Panel] = []
    checks: list[Check] = []
    records: list[Record] = []
    pages: list[Worksheet] = []
    for name, data in snapshot.files.items():
        text, unreadable = decode(name, data)
        problems += unreadable
        if unreadable:
            continue
        if name.startswith(f"{CHECKLISTS}/"):
            panel, found, source = read_checklist(text, name)
            panels += [panel] if panel else []
            checks += found
        elif name == AIRCRAFT:
            aircraft, source = read_aircraft(text, name)
        elif name.endswith(".yaml"):
            record, source = read_record(text, name)
            records += [record] if record else []
        elif name.startswith(f"{OPEN}/"):
            page, source = read_worksheet(text, name)
            pages += [page] if page else []
        else:
            # A sealed worksheet is what its seal says; its facts stand in its record.
            continue
        problems += source.problems
    problems += _twins(records)
    known = names(aircraft, panels, checks)
    problems += known.problems
    if AIRCRAFT not in snapshot.files and not any(problem.place.file == AIRCRAFT for problem in problems):
        problems.append(Problem(Place(AIRCRAFT), "is missing: no answer can be given without the aircraft"))
    ordered = tuple(sorted(set(problems), key=lambda problem: (problem.place, problem.message)))
    logbook = None
    if aircraft is not None:
        logbook = Logbook(
            aircraft=aircraft,
            panels=_first(panels),
            checks=_first(checks),
            records=tuple(sorted(records, key=lambda record: (record.date, record.name, record.place))),
            pages=tuple(sorted(pages, key=lambda page: page.name)),
            current=known.current,
            problems=ordered,
            broken=frozenset(PurePosixPath(name).stem for name in broken_seals(snapshot.files)),
        )
    return Loaded(root=root, files=snapshot.files, logbook=logbook, problems=ordered)


def pointed(problems: tuple[Problem, ...], files: Mapping[str, bytes]) -> tuple[Problem, ...]:
    """The problems, those that know only their line with a caret in it where one can be set."""
    lines: dict[str, list[str]] = {}
    found = []
    for problem in problems:
        name, number = problem.place.file, problem.place.line
        if problem.excerpt is None and number and name in files:
            if name not in lines:
                lines[name] = split_lines(files[name].decode("utf-8", "replace"))
            text = lines[name]
            problem = problem.pointing(flat(text[number - 1])) if number <= len(text) else problem
        found.append(problem)
    return tuple(found)


def _first(nouns: list[Noun]) -> dict[str, Noun]:
    """By id; of two with one id, which is a problem already, the first."""
    found: dict[str, Noun] = {}
    for noun in nouns:
        found.setdefault(noun.id, noun)
    return found


def _twins(records: list[Record]) -> list[Problem]:
    """Records of one name in two folders: a reference to that name would be a guess."""
    seen: dict[str, Record] = {}
    problems = []
    for record in records:
        first = seen.setdefault(record.name, record)
        if first is not record:
            problems.append(
                Problem(record.place, f"a record of the same name stands in {first.place.file}; rename one")
            )
    return problems
