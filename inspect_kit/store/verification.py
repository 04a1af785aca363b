"""Which seals are broken, and since when: told from the files alone, without git.

That a record names a seal in its `after` shows that the sealed record and its worksheet were whole when it was
written, because only whole ones are named.
"""

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping

from inspect_kit.errors import Place, Problem
from inspect_kit.noun import dataclass
from inspect_kit.store.layout import OPEN, RECORDS, worksheet_of
from inspect_kit.store.reading import is_whole_record, printable
from inspect_kit.store.seals import (
    SealBlock,
    claims_seal,
    date_of,
    mentions_seal,
    named_after,
    read_seal,
    seals_of,
    sha256,
    unturned,
)

# An entry that a merge put into a sealed page is a few lines; looking for longer ones takes longer than it helps.
LONGEST_ADDITION = 12
TURNED = "its line endings were changed from LF to CRLF, and nothing else"

Named = Mapping[str, tuple[tuple[str, str], ...]]


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that is no longer as it was sealed; `record` is the file of the record that no seal holds any more.

    "" where a seal holds all the same: a line ending that git turned, a page that came back, a record that is gone.
    `gone` says of such a record which one it is, and what names it.
    """

    problem: Problem
    record: str = ""
    gone: str = ""


def check_seals(files: Mapping[str, bytes], registered: Mapping[str, str]) -> tuple[Problem, ...]:
    """The problems alone of `seal_faults`."""
    return tuple(fault.problem for fault in seal_faults(files, registered))


def seal_faults(
    files: Mapping[str, bytes], registered: Mapping[str, str], said: Mapping[str, tuple[str, ...]] | None = None
) -> tuple[Fault, ...]:
    """Everything that is no longer as it was sealed; `files` are those of `read_settled`.

    `registered` are the seals that this folder has held, with the record's name, as `register.registered` gives them;
    `said` is by file what a record that was read says under `after`, however its YAML is written.
    """
    records = {name: data for name, data in files.items() if name.startswith(f"{RECORDS}/") and name.endswith(".yaml")}
    seals, said = seals_of(records), said or {}
    # With its line ends turned back its seal holds, and whoever names it names one that is there.
    plain = {name: read_seal(unturned(data)) for name, data in records.items() if b"\r" in data and name not in seals}
    turned = {name: seal for name, seal in plain.items() if seal is not None and seal.whole}
    seals |= turned
    mentioning = {name: data for name, data in records.items() if mentions_seal(data) or said.get(name)}
    named = _named(mentioning, seals, said)
    back = f"{TURNED}; change them back and the seal holds"
    faults: list[Fault] = [Fault(Problem(Place(name), back)) for name in turned]
    for name, data in mentioning.items():
        if name in seals:
            faults += _check_one(name, seals[name], files, seals, named)
        elif claims_seal(data):
            faults.append(Fault(Problem(Place(name), _why_no_seal(data)), name))
    faults += _sealed_twice(records, seals)
    faults += _vanished(records, seals, named, registered)
    faults += _orphans(files, seals, registered)
    return tuple(sorted(faults, key=lambda fault: fault.problem))


def _named(
    records: Mapping[str, bytes], seals: Mapping[str, SealBlock], said: Mapping[str, tuple[str, ...]]
) -> dict[str, tuple[tuple[str, str], ...]]:
    """For each seal the records that name it, as (date, name), earliest first. A broken record is no witness."""
    found: dict[str, list[tuple[str, str]]] = {}
    for name, data in records.items():
        own = seals.get(name)
        if own is None or own.whole:
            for seal in own.after if own is not None else said.get(name) or named_after(data):
                found.setdefault(seal, []).append((date_of(data), name))
    return {seal: tuple(sorted(names)) for seal, names in found.items()}


def _check_one(
    name: str, seal: SealBlock, files: Mapping[str, bytes], seals: Mapping[str, SealBlock], named: Named
) -> Iterator[Fault]:
    since = _since(seal, named)
    if not seal.whole:
        yield Fault(Problem(Place(name), f"is not what was sealed{_on(seal)}: its bytes were changed{since}"), name)
        return
    if seal.record != name:
        twin = seals.get(seal.record)
        what = "is a copy of" if twin is not None and twin.sha256 == seal.sha256 else "was renamed; it was sealed as"
        yield Fault(Problem(Place(name), f"{what} {seal.record}{since}"), name)
    worksheet = worksheet_of(name) if worksheet_of(name) in files else worksheet_of(seal.record)
    if worksheet not in files:
        told = f"its worksheet {worksheet} is missing; the record was sealed{_on(seal)}{since}"
        yield Fault(Problem(Place(name), told), name)
    elif sha256(files[worksheet]) != seal.worksheet:
        place, what = _altered(worksheet, files[worksheet], seal.worksheet)
        told = f"{what}{',' if what == TURNED else ''} after it was sealed{_on(seal)} in {name}{since}"
        told += f". {CURE_ADDED}" if what.endswith(ADDED) else ""
        yield Fault(Problem(place, told), "" if what == TURNED else name)
    if seal.page is not None and seal.page in files and seal.page.startswith(f"{OPEN}/"):
        told = (
            f"was signed{_on(seal)} as {name} and changed after that: what was added stands in no record. "
            "Write it down in a new one, then take this page away"
        )
        yield Fault(Problem(Place(seal.page), told))


def _sealed_twice(records: Mapping[str, bytes], seals: Mapping[str, SealBlock]) -> Iterator[Fault]:
    """One page that two records have sealed, in two clones perhaps: what stands on it was done once, the first time."""
    first: dict[object, str] = {}
    for name, seal in sorted(seals.items(), key=lambda each: (each[1].date, each[0])):
        if seal.whole and seal.record == name and seal.page is not None:
            key = (seal.page, *_BEGUN.findall(b"\n" + records[name]))
            other = first.setdefault(key, name)
            if other != name:
                yield Fault(Problem(Place(name), f"seals the same page as {other}: of one page the first counts"), name)


# A page that was written by hand may have the name of one of another year.
_BEGUN = re.compile(rb"\nbegun: *(\S+)")


def _altered(worksheet: str, now: bytes, sealed: str) -> tuple[Place, str]:
    """Where a sealed page was altered: exactly, if taking some lines out or a tick off gives the sealed bytes again."""
    lines = now.splitlines(keepends=True) if b"\r" not in now.replace(b"\r\n", b"") else [now]
    start = hashlib.sha256()
    for index, line in enumerate(lines):
        for length in range(1, min(LONGEST_ADDITION, len(lines) - index) + 1):
            if _hash_with(start, lines[index + length :]) == sealed:
                number = index + 1
                which = "this line was" if length == 1 else f"lines {number} to {number + length - 1} were"
                return Place(worksheet, number), f"{_which(lines[index : index + length])}{which} {ADDED}"
        for old, new in ((b"[x]", b"[ ]"), (b"[X]", b"[ ]"), (b"[ ]", b"[x]"), (b"[ ]", b"[X]")):
            if old in line and _hash_with(start, [line.replace(old, new, 1), *lines[index + 1 :]]) == sealed:
                return Place(worksheet, index + 1), f"the box was `{new.decode()}` and was changed"
        start.update(line)
    if sha256(unturned(now)) == sealed:
        return Place(worksheet), TURNED
    return Place(worksheet), "was altered"


ADDED = "added"
CURE_ADDED = (
    "What was added stands in no record: write it down anew, such as with `inspect-kit finding` or `work`, then take "
    "it out here, and the seal holds"
)
_FOUND = re.compile(r"^\s*\S{1,3}\s+found\s*:")


def _which(lines: Iterable[bytes]) -> str:
    """What lines that were added say, a finding before all else: somebody who did not know of the seal wrote it."""
    said = [line.decode("utf-8", "replace").strip() for line in lines]
    said = sorted(filter(None, said), key=lambda line: not _FOUND.match(line))
    return f"`{printable(said[0])[:60]}`: " if said else ""


def _hash_with(start: "hashlib._Hash", rest: list[bytes]) -> str:
    whole = start.copy()
    whole.update(b"".join(rest))
    return whole.hexdigest()


def _why_no_seal(data: bytes) -> str:
    if b"\nseal:" not in b"\n" + data:
        return "is an inspection without a seal: the seal was taken away, or it was not written by `sign`"
    return "the seal at its end is broken: it is not in the form in which records are sealed"


def _vanished(
    records: Mapping[str, bytes], seals: Mapping[str, SealBlock], named: Named, registered: Mapping[str, str]
) -> Iterator[Fault]:
    whole = {name for name, seal in seals.items() if seal.whole}
    present = {seal.sha256 for seal in seals.values()}
    for seal, names in named.items():
        if seal not in present:
            what = registered.get(seal, f"with the seal {seal[:12]}…")
            date, witness = names[-1]
            told = (
                f"came after a sealed record that is gone or changed: {what}. "
                f"It was still whole when {witness} of {date} was written"
            )
            gone = f"a sealed record is gone or changed: {what}, named by {witness} of {date}"
            yield Fault(Problem(Place(names[0][1]), told), gone=gone)
    for seal, record in registered.items():
        # One that stands there broken, or is missed by a later entry, is told of already.
        if seal not in present and (record in whole or (seal not in named and record not in records)):
            what = "is sealed anew" if record in whole else "is gone"
            told = f"this folder held a sealed record of this name (seal {seal[:12]}…): it {what}"
            if record in whole:
                yield Fault(Problem(Place(record), told), record)
            else:
                yield Fault(
                    Problem(Place(record), told), gone=f"a sealed record is gone: {record}, which this folder held"
                )


# How a page is named, and what stands on it; a README is and has neither.
_DATED, _BOX = r"/\d{4}-\d\d-\d\d-[^/]*$", rb"(?m)^\s*\S{1,3}\s*\[.\]"


def _orphans(
    files: Mapping[str, bytes], seals: Mapping[str, SealBlock], registered: Mapping[str, str]
) -> Iterator[Fault]:
    expected = {worksheet_of(seal.record) for seal in seals.values()}
    for name in files:
        if not name.startswith(f"{RECORDS}/") or not name.endswith(".md") or name.startswith(f"{OPEN}/"):
            continue
        if f"{name.removesuffix('.md')}.yaml" not in files and name not in expected:
            if not re.search(_DATED, name) and not re.search(_BOX, files[name]):
                continue
            if is_whole_record(files[name]):
                # It is no page, and that is told.
                continue
            never = f"unless it was never sealed: then move it into {OPEN}/"
            told = f"is a worksheet without its record: the record was removed or renamed, {never}"
            gone = f"a sealed record is gone: that of the worksheet {name}, {never}"
            # One that this folder held is missed by its seal.
            missed = f"{name.removesuffix('.md')}.yaml" in registered.values()
            yield Fault(Problem(Place(name), told), gone="" if missed else gone)


def _since(seal: SealBlock, named: Named) -> str:
    if not (names := named.get(seal.sha256)):
        return ""
    date, witness = names[-1]
    return f"; it was still whole when {witness} of {date} was written"


def _on(seal: SealBlock) -> str:
    return f" on {seal.date}" if seal.date else ""
