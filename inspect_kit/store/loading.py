"""All that a store says, in one value: bytes from the disk, texts to the readers, nouns into one Logbook.

A store is only text: nothing here depends on who wrote it, a command or an editor. `load` reads the disk; `would_be`
answers from the same files with some of them as they would be written, so that a command can ask what its entry would
do before it writes it. Both go one way: each file to what is read from it, and all of that to one logbook, in which
seals are checked, signatures judged, and amendments laid over what they name.
"""

import datetime as dt
import hashlib
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import field, replace
from pathlib import Path
from typing import TypeVar

from inspect_kit.audit import names
from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Aircraft, plain_name
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.store.judging import judge
from inspect_kit.store.kept import Kept, digest_of
from inspect_kit.store.layout import (
    AIRCRAFT,
    CHECKLISTS,
    OPEN,
    RECORDS,
    folder_of,
    is_open_page,
    is_withdrawn,
    nowhere_on_windows,
    one_name,
    worksheet_of,
)
from inspect_kit.store.read_file import ReadFile
from inspect_kit.store.reading import Snapshot, Watch, is_whole_record, printable, watched
from inspect_kit.store.register import register_faults, registered
from inspect_kit.store.transaction import read_settled
from inspect_kit.store.verification import Fault, seal_faults

Noun = TypeVar("Noun", Panel, Check)
# Under this name stands what was found of all files together; no file of a store lies outside its folders.
PROBLEMS = "problems"
# Kinds of records that may say of which aircraft they are.
OF_AN_AIRCRAFT = (Inspection, Work)


@dataclass(frozen=True, kw_only=True, slots=True)
class Loaded:
    """What stands in a store: the `files` as read (signed pages moved), and the logbook that they make.

    `logbook` is None when there is no aircraft.yaml that can be read; `problems` are all that could not be read, and
    are the logbook's as well. While there are any, every answer is incomplete. `read` is what each file was read as,
    `refused` what could not be read as a file at all. `broken` are seals that do not hold and records that are gone.
    """

    root: Path
    files: Mapping[str, bytes]
    read: Mapping[str, ReadFile]
    refused: tuple[Problem, ...]
    astray: tuple[str, ...]
    logbook: Logbook | None
    problems: tuple[Problem, ...]
    broken: tuple[Fault, ...]
    kept: Kept | None = field(default=None, repr=False, compare=False)


def load(root: Path, watch: Watch | None = None, cache: Path | None = None) -> Loaded:
    """Read the whole store at `root`. Nothing is left out in silence: whatever cannot be read is a problem.

    With `cache`, the user's own folder for such things, what files were read as before is taken from there.
    """
    snapshot = read_settled(root, watch)
    kept = Kept(cache, root) if cache is not None else None
    read: dict[str, ReadFile] = {}
    for name, data in watched(snapshot.files.items(), "checking", watch):
        read[name] = _kept_or_read(kept, name, data, _read)
    if kept is not None:
        kept.write()
    return _loaded(root, snapshot, read, kept)


def kept_problems(loaded: Loaded, day: dt.date, find: Callable[[], tuple[Problem, ...]]) -> tuple[Problem, ...]:
    """What `find` says on a day of all files together, taken from the cache while nothing that it rests on changed."""
    if loaded.kept is None:
        return find()
    found = _kept_or_read(loaded.kept, PROBLEMS, problems_rest_on(loaded, day), lambda *_: ReadFile(problems=find()))
    loaded.kept.write()
    return found.problems


def problems_rest_on(loaded: Loaded, day: dt.date) -> bytes:
    """The SHA-256 of all that the problems of a day rest on: every file, what could not be read at all, what the
    register of this folder says, and how the signatures were judged on this computer.
    """
    judged = loaded.logbook.verdicts if loaded.logbook is not None else {}
    known = loaded.kept.digests if loaded.kept is not None else {}
    files = [known.get(name) or digest_of(name, data) for name, data in loaded.files.items()]
    basis = repr((day, loaded.refused, loaded.astray, loaded.broken, judged, files))
    return hashlib.sha256(basis.encode()).digest()


def _kept_or_read(kept: Kept | None, name: str, data: bytes, read: Callable[[str, bytes], ReadFile]) -> ReadFile:
    """What a file was read as before; where that is not known it is read, and kept."""
    if kept is None:
        return read(name, data)
    known = kept.read(name, data)
    if known is None:
        known = read(name, data)
        kept.keep(name, data, known)
    return known


def _read(name: str, data: bytes) -> ReadFile:
    # The readers, and YAML below them, are not wanted where all is kept.
    from inspect_kit.store.parsing import parse

    return parse(name, data)


def pages_of_records(loaded: Loaded, cache: Path | None = None) -> tuple[Worksheet, ...]:
    """The pages beside sealed records, named as these, with no boxes but those of panels: all else that they say stands
    in the records. One that cannot be read is told elsewhere, by its seal.

    With `cache`, what they were read as before is taken from there.
    """
    kept = Kept(cache, loaded.root, "pages") if cache is not None else None
    pages = []
    for record in loaded.logbook.of_kind(PageRecord) if loaded.logbook is not None else ():
        name = worksheet_of(record.place.file)
        if (data := loaded.files.get(name)) is None:
            continue
        pages.append(_kept_or_read(kept, name, data, _read_page).page)
    if kept is not None:
        kept.write()
    return tuple(page for page in pages if page is not None)


def _read_page(name: str, data: bytes) -> ReadFile:
    from inspect_kit.store.parsing import parse_page

    page = parse_page(name, data).page
    boxes = tuple(each for each in page.entries if each.is_panel) if page is not None else ()
    return ReadFile(page=replace(page, entries=boxes, loose=()) if page is not None else None)


def would_be(loaded: Loaded, changes: Mapping[str, bytes | None]) -> Loaded:
    """The store as it would be with these files written; None takes one away. Only they are read anew."""
    files = {name: data for name, data in {**loaded.files, **changes}.items() if data is not None}
    read = {name: loaded.read[name] for name in files if name in loaded.read and name not in changes}
    read |= {name: _read(name, data) for name, data in changes.items() if data is not None}
    snapshot = Snapshot(files=dict(sorted(files.items())), problems=loaded.refused, astray=loaded.astray)
    return _loaded(loaded.root, snapshot, dict(sorted(read.items())))


def _loaded(root: Path, snapshot: Snapshot, read: Mapping[str, ReadFile], kept: Kept | None = None) -> Loaded:
    files = snapshot.files
    problems = [*snapshot.problems, *(problem for each in read.values() for problem in each.problems)]
    panels = [each.panel for each in read.values() if each.panel]
    checks = [check for each in read.values() for check in each.checks]
    records = [each.record for each in read.values() if each.record]
    aircraft = read[AIRCRAFT].aircraft if AIRCRAFT in read else None
    withdrawn = [each.withdrawn for each in read.values() if each.withdrawn]
    problems += [*_twins(records), *_alike(files), *_half_withdrawn(records, withdrawn)]
    problems += [*_astray(snapshot.astray, records), *_under_other_names(files)]
    problems += register_faults(root, files)
    known = names(aircraft, panels, checks)
    problems += known.problems
    if AIRCRAFT not in files and not any(problem.place.file == AIRCRAFT for problem in problems):
        problems.append(Problem(Place(AIRCRAFT), "is missing: no answer can be given without the aircraft"))
    broken = seal_faults(files, registered(root), {each.place.file: each.after for each in records if each.after})
    if aircraft is not None:
        foreign = tuple(record for record in records if not _is_own(record, aircraft))
        problems += [_foreign(record, aircraft) for record in foreign]
    ordered = tuple(sorted(set(problems), key=lambda problem: (problem.place, problem.message)))
    logbook = None
    if aircraft is not None:
        own = [record for record in records if record not in foreign]
        book = Logbook(
            aircraft=aircraft,
            panels=_first(panels),
            checks=_checks(checks),
            pages=tuple(sorted((each.page for each in read.values() if each.page), key=lambda page: page.name)),
            current=known.current,
            problems=ordered,
            foreign=foreign,
            unread=_unread_pages(ordered, read),
            lost=(*_lost(ordered, read), *_passed_over(own)),
            withdrawn=tuple(sorted(withdrawn, key=lambda each: (each.date, each.record.name))),
        )
        logbook = _settled(book, own, files, broken)
    return Loaded(
        root=root,
        files=files,
        read=read,
        refused=snapshot.problems,
        astray=snapshot.astray,
        logbook=logbook,
        problems=ordered,
        broken=broken,
        kept=kept,
    )


def _settled(
    book: Logbook, records: Iterable[Record], files: Mapping[str, bytes], broken: tuple[Fault, ...]
) -> Logbook:
    """The logbook with its records: seals checked, signatures judged, then amendments laid over what they name."""
    by_name = {record.name: record for record in records}
    verdicts = {
        record.name: verdict
        for record in by_name.values()
        if isinstance(record, Signature) and (verdict := judge(record, by_name, files, book.aircraft)) is not None
    }
    told: dict[str, str] = {}
    for fault in broken:
        place, message = fault.problem.place, fault.problem.message
        # What was altered may be its page.
        told.setdefault(fault.record, message if place.file == fault.record else f"{place}: {message}")
    faults = {name: told[record.place.file] for name, record in by_name.items() if record.place.file in told}
    gone = tuple(Problem(fault.problem.place, fault.gone) for fault in broken if fault.gone)
    return replace(book, broken=faults, gone=gone, verdicts=verdicts).with_records(by_name.values())


def _unread_pages(problems: Iterable[Problem], read: Mapping[str, ReadFile]) -> tuple[Place, ...]:
    """Where each open page that is no page as it stands says so first."""
    found: dict[str, Place] = {}
    for problem in problems:
        file = problem.place.file
        if is_open_page(file) and (file not in read or read[file].page is None):
            found.setdefault(file, problem.place)
    return tuple(found.values())


def _lost(problems: Iterable[Problem], read: Mapping[str, ReadFile]) -> tuple[Place, ...]:
    """Where each checklist and each record says so first of which nothing at all is read: whatever stands in it is in
    no answer.
    """
    found: dict[str, Place] = {}
    for problem in problems:
        if problem.note:
            continue
        file = problem.place.file
        own = read.get(file, ReadFile())
        is_record = file.startswith(f"{RECORDS}/") and file.endswith(".yaml") and file != AIRCRAFT
        is_list = file.startswith(f"{CHECKLISTS}/") and file.endswith(".md")
        if (is_record and not is_withdrawn(file) and own.record is None) or (
            is_list and own.panel is None and not own.checks
        ):
            found.setdefault(file, problem.place)
    return tuple(found.values())


def _passed_over(records: Iterable[Record]) -> Iterator[Place]:
    """Records that give way to another of their name: the last one is taken, and nothing of these is in an answer."""
    taken = {record.name: record for record in records}
    return (record.place for record in records if taken[record.name] is not record)


def _is_own(record: Record, aircraft: Aircraft) -> bool:
    identity = record.identity if isinstance(record, OF_AN_AIRCRAFT) else None
    return identity is None or aircraft.is_own(identity)


def _foreign(record: Record, aircraft: Aircraft) -> Problem:
    """A record of another aircraft, which does not count."""
    from inspect_kit.text.fields import yaml_line

    assert isinstance(record, OF_AN_AIRCRAFT)
    assert record.identity is not None
    theirs, ours = record.identity, aircraft.identity
    known = set(map(plain_name, aircraft.was))
    words = ((getattr(theirs, key), getattr(ours, key)) for key in ("registration", "make", "serial"))
    other = [old for old, new in words if plain_name(old) not in known | {plain_name(new)}]
    was = [*aircraft.was, *dict.fromkeys(other)]
    told = (
        f"is of {theirs.registration}, {theirs.make} serial {theirs.serial}, and this aircraft is "
        f"{ours.registration}, {ours.make} serial {ours.serial}: it does not count. Where only the name changed, say "
        f"so in {aircraft.place.file}, under `aircraft`: `{yaml_line('was', was)}`"
    )
    return Problem(record.place, told)


def pointed(problems: tuple[Problem, ...], files: Mapping[str, bytes]) -> tuple[Problem, ...]:
    """The problems, those that know only their line with a caret in it where one can be set."""
    if all(problem.excerpt is not None or not problem.place.line for problem in problems):
        return problems
    from inspect_kit.text.source import split_lines
    from inspect_kit.text.spelling import flat

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


def _under_other_names(files: Mapping[str, bytes]) -> Iterator[Problem]:
    """Records that end in `.md`, which is the ending of pages, and open pages from which nothing could be signed."""
    for name, data in files.items():
        if not name.startswith(f"{RECORDS}/") or not name.endswith(".md") or is_open_page(name):
            continue
        if name.startswith(f"{OPEN}/"):
            yield Problem(Place(name), f"lies in a folder of {OPEN}/: move it into {OPEN}/ itself, where it is signed")
        elif f"{name.removesuffix('.md')}.yaml" not in files and is_whole_record(data):
            told = "reads like a record and is not read, because its name ends in .md: end it in .yaml, and it counts"
            yield Problem(Place(name), told)


def _first(nouns: list[Noun]) -> dict[str, Noun]:
    """By id; of two with one id, which is a problem already, the first."""
    found: dict[str, Noun] = {}
    for noun in nouns:
        found.setdefault(noun.id, noun)
    return found


def _checks(checks: list[Check]) -> dict[str, Check]:
    """By id; when one is due whose id another has, with limits of its own, nobody knows, and both may bar flight."""
    first = _first(checks)
    found = dict(first)
    for check in checks:
        kept = found[check.id]
        if first[check.id] is not check:
            bars = next((each.bars for each in (kept, check) if each.bars is not None and each.bars.flight), kept.bars)
            found[check.id] = replace(kept, unread=(f"`{check.id}`, the id of several checks,",), bars=bars)
    return found


def _half_withdrawn(records: list[Record], withdrawn: list[Withdrawn]) -> list[Problem]:
    """Records that stand among the withdrawn and among those that count: a killed `withdraw`, or a merge."""
    kept = {each.record.name: each for each in withdrawn}
    return [
        Problem(record.place, f"was withdrawn ({kept[record.name].place}) and stands here still: withdraw it once more")
        for record in records
        if record.name in kept
    ]


def _astray(names: tuple[str, ...], records: list[Record]) -> Iterator[Problem]:
    """Records in a folder of photographs, where nothing is read, unless they are there as papers of their record."""
    papers = {f"{folder_of(record.place.file)}/{file.name}" for record in records for file in record.files}
    for name in names:
        if name not in papers:
            told = "reads like a record and is not read among the photographs of one: move it up"
            yield Problem(Place(printable(name)), told)


def _alike(files: Collection[str]) -> Iterator[Problem]:
    """Files of which a clone on a disk that tells no capitals apart, as most are, would have only one, or none."""
    # As nearly all are: all of them are asked at once.
    if len({*map(one_name, files)}) == len(files) and not nowhere_on_windows(*files):
        return
    seen: dict[str, str] = {}
    for name in sorted(files):
        if nowhere_on_windows(name):
            yield Problem(Place(name), "Windows takes no file of this name, and a clone there is without it: rename it")
        first = seen.setdefault(one_name(name), name)
        if first != name:
            yield Problem(Place(name), f"is one name with {first} on many disks, which keep one of the two: rename one")


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
