"""Which seals are broken, and since when: told from the files alone, without git.

That a record names a seal in its `after` shows that the sealed record and its worksheet were whole when it was
written, because only whole ones are named.
"""

import hashlib
from collections.abc import Iterator, Mapping

from inspect_kit.errors import Place, Problem
from inspect_kit.store.layout import OPEN, RECORDS, worksheet_of
from inspect_kit.store.seals import Seal, claims_seal, date_of, named_after, read_seal, sha256

# An entry that a merge put into a sealed page is a few lines; looking for longer ones takes longer than it helps.
LONGEST_ADDITION = 12

Named = Mapping[str, tuple[tuple[str, str], ...]]


def check_seals(files: Mapping[str, bytes], registered: Mapping[str, str]) -> tuple[Problem, ...]:
    """Everything that is no longer as it was sealed; `files` are those of `read_settled`.

    `registered` are the seals that this folder has held, with the record's name, as `register.registered` gives them.
    """
    records = {name: data for name, data in files.items() if name.startswith(f"{RECORDS}/") and name.endswith(".yaml")}
    seals = {name: seal for name, data in records.items() if (seal := read_seal(data)) is not None}
    named = _named(records, seals)
    problems: list[Problem] = []
    for name, data in records.items():
        if name in seals:
            problems += _check_one(name, seals[name], files, seals, named)
        elif claims_seal(data):
            problems.append(Problem(Place(name), _why_no_seal(data)))
    problems += _vanished(records, seals, named, registered)
    problems += _orphans(files, seals)
    return tuple(sorted(problems))


def _named(records: Mapping[str, bytes], seals: Mapping[str, Seal]) -> dict[str, tuple[tuple[str, str], ...]]:
    """For each seal the records that name it, as (date, name), earliest first. A broken record is no witness."""
    found: dict[str, tuple[tuple[str, str], ...]] = {}
    for name, data in records.items():
        if name not in seals or seals[name].whole:
            for seal in named_after(data):
                found[seal] = (*found.get(seal, ()), (date_of(data), name))
    return {seal: tuple(sorted(names)) for seal, names in found.items()}


def _check_one(
    name: str, seal: Seal, files: Mapping[str, bytes], seals: Mapping[str, Seal], named: Named
) -> Iterator[Problem]:
    since = _since(seal, named)
    if not seal.whole:
        yield Problem(Place(name), f"is not what was sealed{_on(seal)}: its bytes were changed{since}")
        return
    if seal.record != name:
        twin = seals.get(seal.record)
        what = "is a copy of" if twin is not None and twin.sha256 == seal.sha256 else "was renamed; it was sealed as"
        yield Problem(Place(name), f"{what} {seal.record}{since}")
    worksheet = worksheet_of(name) if worksheet_of(name) in files else worksheet_of(seal.record)
    if worksheet not in files:
        yield Problem(Place(name), f"its worksheet {worksheet} is missing; the record was sealed{_on(seal)}{since}")
    elif sha256(files[worksheet]) != seal.worksheet:
        place, what = _altered(worksheet, files[worksheet], seal.worksheet)
        yield Problem(place, f"{what} after it was sealed{_on(seal)} in {name}{since}")
    if seal.page is not None and seal.page in files and seal.page.startswith(f"{OPEN}/"):
        yield Problem(
            Place(seal.page),
            f"was signed{_on(seal)} as {name} and changed after that: what was added stands in no record. "
            "Write it down in a new one, then take this page away",
        )


def _altered(worksheet: str, now: bytes, sealed: str) -> tuple[Place, str]:
    """Where a sealed page was altered: exactly, if taking some lines out or a tick off gives the sealed bytes again."""
    lines = now.splitlines(keepends=True) if b"\r" not in now.replace(b"\r\n", b"") else [now]
    start = hashlib.sha256()
    for index, line in enumerate(lines):
        for length in range(1, min(LONGEST_ADDITION, len(lines) - index) + 1):
            if _hash_with(start, lines[index + length :]) == sealed:
                number = index + 1
                which = "this line was" if length == 1 else f"lines {number} to {number + length - 1} were"
                return Place(worksheet, number), f"{which} added"
        for old, new in ((b"[x]", b"[ ]"), (b"[X]", b"[ ]"), (b"[ ]", b"[x]"), (b"[ ]", b"[X]")):
            if old in line and _hash_with(start, [line.replace(old, new, 1), *lines[index + 1 :]]) == sealed:
                return Place(worksheet, index + 1), f"the box was `{new.decode()}` and was changed"
        start.update(line)
    if sha256(now.replace(b"\r\n", b"\n")) == sealed:
        return Place(worksheet), "its line endings were changed from LF to CRLF, and nothing else,"
    return Place(worksheet), "was altered"


def _hash_with(start: "hashlib._Hash", rest: list[bytes]) -> str:
    whole = start.copy()
    whole.update(b"".join(rest))
    return whole.hexdigest()


def _why_no_seal(data: bytes) -> str:
    plain = read_seal(data.replace(b"\r\n", b"\n"))
    if plain is not None and plain.whole:
        return "its line endings were changed from LF to CRLF, and nothing else; change them back and the seal holds"
    if b"\nseal:" not in b"\n" + data:
        return "is an inspection without a seal: the seal was taken away, or it was not written by `sign`"
    return "the seal at its end is broken: it is not in the form in which records are sealed"


def _vanished(
    records: Mapping[str, bytes], seals: Mapping[str, Seal], named: Named, registered: Mapping[str, str]
) -> Iterator[Problem]:
    whole = {name for name, seal in seals.items() if seal.whole}
    present = {seal.sha256 for seal in seals.values()}
    for seal, names in named.items():
        if seal not in present:
            what = registered.get(seal, f"with the seal {seal[:12]}…")
            date, witness = names[-1]
            yield Problem(
                Place(names[0][1]),
                f"came after a sealed record that is gone or changed: {what}. "
                f"It was still whole when {witness} of {date} was written",
            )
    for seal, record in registered.items():
        # A record that stands there broken is told of already.
        if seal not in present and seal not in named and (record not in records or record in whole):
            what = "is sealed anew" if record in whole else "is gone"
            yield Problem(
                Place(record), f"this folder held a sealed record of this name (seal {seal[:12]}…): it {what}"
            )


def _orphans(files: Mapping[str, bytes], seals: Mapping[str, Seal]) -> Iterator[Problem]:
    expected = {worksheet_of(seal.record) for seal in seals.values()}
    for name in files:
        if not name.startswith(f"{RECORDS}/") or not name.endswith(".md") or name.startswith(f"{OPEN}/"):
            continue
        if f"{name.removesuffix('.md')}.yaml" not in files and name not in expected:
            yield Problem(Place(name), "is a worksheet without its record: the record was removed or renamed")


def _since(seal: Seal, named: Named) -> str:
    if not (names := named.get(seal.sha256)):
        return ""
    date, witness = names[-1]
    return f"; it was still whole when {witness} of {date} was written"


def _on(seal: Seal) -> str:
    return f" on {seal.date}" if seal.date else ""
