"""Seals: every changed byte, a renamed or removed record, an altered or missing page, and since when."""

import hashlib
import json
import os
import random
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit import store
from inspect_kit.errors import Misused, ProgramFault
from inspect_kit.store.seals import claims_seal, date_of, named_after, seal_record
from inspect_kit.store.verification import CURE_ADDED
from tests.store.scratch import (
    BODY,
    PAGE,
    RECORD,
    WORKSHEET,
    WORKSHEET_TEXT,
    complaints,
    make_store,
    record_hours,
    settled,
    sign,
    start,
    without_codes,
)

SECOND_PAGE = "records/open/2027-11-01-condition-next.md"
SECOND = "records/2027/2027-11-20-condition-next.yaml"
SECOND_BODY = BODY.replace(b"2026-11-28", b"2027-11-20")

NO_SEAL = "the seal at its end is broken: it is not in the form in which records are sealed"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = make_store(tmp_path / "store")
    sign(root)
    return root


def sign_second(root: Path) -> None:
    start(root, SECOND_PAGE, WORKSHEET_TEXT.replace(b"2026-11-21", b"2027-11-01"))
    sign(root, SECOND_PAGE, SECOND, SECOND_BODY)


def forget(root: Path) -> None:
    """As in a fresh clone, which has nothing but what git carries."""
    (root / ".inspect-kit/seals").unlink()


def seal_complaints(files: dict[str, bytes]) -> list[str]:
    return [str(problem) for problem in store.check_seals(files, {})]


@pytest.mark.parametrize(
    ("left", "told"),
    [
        ("a folder", "is a folder, not a file"),
        ("a link", "is a symbolic link; it is not followed"),
        (os.urandom(400).replace(b"\n", b"\xff"), "line 1 cannot be read"),
        (b"\0" * 80, "line 1 cannot be read"),
        # The line of a record that vanished with it, cut.
        (b"\n" + b"a" * 64 + b" records/20", "line 2 was cut, and no other line begins so"),
        (b"\n" + b"a" * 20, "line 2 was cut, and no other line begins so"),
        # As a kill leaves it, before the line is written anew and after that; or as good as none.
        ("torn", ""),
        ("torn and anew", ""),
        (b"", ""),
    ],
)
def test_a_register_that_cannot_be_read_is_told(root: Path, left: str | bytes, told: str) -> None:
    register = root / ".inspect-kit/seals"
    whole = register.read_bytes()
    register.unlink()
    if left == "a folder":
        register.mkdir()
    elif left == "a link":
        register.symlink_to(root / RECORD)
    elif isinstance(left, str):
        register.write_bytes(whole.rstrip()[:-9] + (whole if "anew" in left else b""))
    else:
        register.write_bytes(left)
    found = [each for each in store.load(root).problems if each.place.file == ".inspect-kit/seals"]
    assert [each.message.partition(": ")[0] for each in found] == ([told] if told else [])


def test_the_canonical_form_to_the_byte(root: Path) -> None:
    """Built here from the words of the documentation, with hashlib and nothing of the program."""
    before = (
        BODY
        + b"seal:\n  record: " + RECORD.encode()
        + b"\n  page: " + PAGE.encode()
        + b"\n  worksheet: " + hashlib.sha256(WORKSHEET_TEXT).hexdigest().encode()
        + b"\n  sha256: "
    )  # fmt: skip
    assert (root / RECORD).read_bytes() == before + hashlib.sha256(before).hexdigest().encode() + b"\n"
    assert (root / WORKSHEET).read_bytes() == WORKSHEET_TEXT


def test_a_second_seal_names_the_first(root: Path) -> None:
    sign_second(root)
    first = re.findall(rb"sha256: ([0-9a-f]{64})\n\Z", (root / RECORD).read_bytes())[0]
    assert b"\n  after:\n    - " + first + b"\n  sha256: " in (root / SECOND).read_bytes()
    assert complaints(root) == []


@pytest.mark.parametrize("name", [RECORD, WORKSHEET])
def test_every_flipped_byte_is_found(root: Path, name: str) -> None:
    files = settled(root)
    data = files[name]
    assert seal_complaints(files) == []
    for at in range(len(data)):
        for bit in (1, 1 << at % 7 + 1):
            changed = data[:at] + bytes([data[at] ^ bit]) + data[at + 1 :]
            assert seal_complaints({**files, name: changed}), f"byte {at} of {name}"


@pytest.mark.parametrize("name", [RECORD, WORKSHEET])
def test_every_deleted_inserted_and_doubled_byte_is_found(root: Path, name: str) -> None:
    files = settled(root)
    data = files[name]
    for at in range(len(data) + 1):
        for changed in (data[:at] + data[at + 1 :], data[:at] + b" " + data[at:], data[:at] + b"\n" + data[at:]):
            if changed != data:
                assert seal_complaints({**files, name: changed}), f"byte {at} of {name}"
        if at < len(data) - 1 and data[at] != data[at + 1]:
            swapped = data[:at] + data[at + 1 : at + 2] + data[at : at + 1] + data[at + 2 :]
            assert seal_complaints({**files, name: swapped}), f"bytes {at} and {at + 1} of {name}"


@given(seed=st.integers(0, 2**32))
def test_any_other_file_is_not_the_sealed_one(seed: int) -> None:
    """Random edits of several bytes at once: pieces cut, copied and written over."""
    choose = random.Random(seed)
    sealed = seal_record(BODY, record=RECORD, page=None, worksheet=WORKSHEET_TEXT, after=())
    files = {RECORD: sealed, WORKSHEET: WORKSHEET_TEXT}
    name = choose.choice(sorted(files))
    data = bytearray(files[name])
    for _ in range(choose.randint(1, 4)):
        start_at, end_at = sorted(choose.choices(range(len(data) + 1), k=2))
        to = choose.randint(0, len(data))
        data[to : to + choose.randint(0, 5)] = data[start_at:end_at]
    if bytes(data) != files[name]:
        assert seal_complaints({**files, name: bytes(data)})


@given(
    body=st.binary(max_size=200).filter(lambda data: b"\r" not in data and b"\0" not in data and b"seal" not in data),
    page=st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="/\\"), min_size=1, max_size=20),
    heads=st.lists(st.integers(0, 2**256 - 1).map(lambda number: f"{number:064x}"), max_size=4),
    worksheet=st.binary(max_size=100),
)
def test_what_is_sealed_reads_back(body: bytes, page: str, heads: list[str], worksheet: bytes) -> None:
    name = f"records/open/p{page}.md"
    sealed = seal_record(body + b"\n", record=RECORD, page=name, worksheet=worksheet, after=heads)
    seal = store.read_seal(sealed)
    assert seal is not None
    assert seal.whole
    assert (seal.record, seal.page, seal.after) == (RECORD, name, tuple(sorted(set(heads))))
    assert seal.worksheet == hashlib.sha256(worksheet).hexdigest()


@pytest.mark.parametrize(
    "body", [b"no end", b"", b"a: 1\r\n", b"a\0\n", b"seal:\n", b"a: 1\nseal: x\n", b"a: 1\nseal :\n"]
)
def test_what_cannot_be_sealed_is_refused(body: bytes) -> None:
    with pytest.raises(ProgramFault):
        seal_record(body, record=RECORD, page=None, worksheet=b"", after=())


def test_two_seals_in_one_record_are_no_seal() -> None:
    """A record glued to a sealed one keeps the last hash right; there must be one seal only."""
    once = seal_record(BODY, record=RECORD, page=None, worksheet=b"", after=())
    before = once + b"seal:\n  record: " + RECORD.encode() + b"\n  worksheet: " + b"0" * 64 + b"\n  sha256: "
    twice = before + hashlib.sha256(before).hexdigest().encode() + b"\n"
    seal = store.read_seal(twice)
    assert seal is None or not seal.whole
    assert claims_seal(twice)


def test_a_changed_record_is_named_with_since_when(root: Path) -> None:
    sign_second(root)
    data = (root / RECORD).read_bytes()
    (root / RECORD).write_bytes(data.replace(b"tach: 611.2", b"tach: 511.2"))
    (line,) = [line for line in complaints(root) if line.startswith(RECORD)]
    assert line == (
        f"{RECORD}: is not what was sealed on 2026-11-28: its bytes were changed; "
        f"it was still whole when {SECOND} of 2027-11-20 was written"
    )


def test_a_seal_taken_off_is_found(root: Path) -> None:
    data = (root / RECORD).read_bytes()
    (root / RECORD).write_bytes(data[: data.index(b"seal:")])
    assert any("is an inspection without a seal" in line for line in complaints(root))
    (root / RECORD).write_bytes(data.rstrip(b"\n"))
    assert f"{RECORD}: the seal at its end is broken: it is not in the form in which records are sealed" in complaints(
        root
    )


def test_an_altered_page_is_named_with_its_lines(root: Path) -> None:
    lines = WORKSHEET_TEXT.split(b"\n")
    at = lines.index(b"- [x] `oil-change` Change the oil")
    added = [*lines[: at + 1], b"  - note: the plug was tight", *lines[at + 1 :]]
    (root / WORKSHEET).write_bytes(b"\n".join(added))
    assert complaints(root) == [
        f"{WORKSHEET}:{at + 2}: `- note: the plug was tight`: this line was added after it was sealed on 2026-11-28 in "
        f"{RECORD}. {CURE_ADDED}"
    ]
    (root / WORKSHEET).write_bytes(WORKSHEET_TEXT.replace(b"- [x] `oil", b"- [ ] `oil"))
    assert complaints(root) == [
        f"{WORKSHEET}:{at + 1}: the box was `[x]` and was changed after it was sealed on 2026-11-28 in {RECORD}"
    ]
    (root / WORKSHEET).write_bytes(WORKSHEET_TEXT.replace(b"8 mm", b"3 mm"))
    assert complaints(root) == [f"{WORKSHEET}: was altered after it was sealed on 2026-11-28 in {RECORD}"]
    (root / WORKSHEET).write_bytes(WORKSHEET_TEXT + b"\n- [x] `more` M\n  - note: a\n  - note: b\n")
    last = len(lines)
    assert complaints(root) == [
        f"{WORKSHEET}:{last}: `- [x] `more` M`: lines {last} to {last + 3} were added after it was sealed "
        f"on 2026-11-28 in {RECORD}. {CURE_ADDED}"
    ]


def test_line_endings_that_git_changed_are_called_that(root: Path) -> None:
    for name in (RECORD, WORKSHEET):
        (root / name).write_bytes((root / name).read_bytes().replace(b"\n", b"\r\n"))
    changed = "its line endings were changed from LF to CRLF, and nothing else"
    assert complaints(root) == [
        f"{WORKSHEET}: {changed}, after it was sealed on 2026-11-28 in {RECORD}",
        f"{RECORD}: {changed}; change them back and the seal holds",
    ]
    # What was altered besides is told as before.
    (root / RECORD).write_bytes((root / RECORD).read_bytes().replace(b"2026", b"2025", 1))
    assert not any(line.startswith(f"{RECORD}: its line endings") for line in complaints(root))
    (root / RECORD).write_bytes((root / RECORD).read_bytes().replace(b"2025", b"2026", 1))
    (root / RECORD).write_bytes((root / RECORD).read_bytes().replace(b"\r\n", b"\n"))
    assert complaints(root) == [f"{WORKSHEET}: {changed}, after it was sealed on 2026-11-28 in {RECORD}"]


def test_a_missing_page(root: Path) -> None:
    (root / WORKSHEET).unlink()
    assert complaints(root) == [f"{RECORD}: its worksheet {WORKSHEET} is missing; the record was sealed on 2026-11-28"]


def test_a_renamed_record(root: Path) -> None:
    other = RECORD.replace("seal", "moved")
    (root / RECORD).rename(root / other)
    assert f"{other}: was renamed; it was sealed as {RECORD}" in complaints(root)
    (root / WORKSHEET).rename(root / WORKSHEET.replace("seal", "moved"))
    assert complaints(root) == [f"{other}: was renamed; it was sealed as {RECORD}"]


def test_a_copied_record(root: Path) -> None:
    other = RECORD.replace("seal", "copy")
    (root / other).write_bytes((root / RECORD).read_bytes())
    assert complaints(root) == [f"{other}: is a copy of {RECORD}"]


def test_a_removed_record_whose_page_is_left(root: Path) -> None:
    forget(root)
    (root / RECORD).unlink()
    assert complaints(root) == [
        f"{WORKSHEET}: is a worksheet without its record: the record was removed or renamed, unless it was never "
        "sealed: then move it into records/open/"
    ]


@pytest.mark.parametrize("name", ["records/README.md", "records/2026/notes.md"])
def test_words_beside_the_records_are_no_page(root: Path, name: str) -> None:
    (root / name).parent.mkdir(parents=True, exist_ok=True)
    (root / name).write_text("# What lies here\n\nRecords; the paper logbook is in the safe.\n", encoding="utf-8")
    assert complaints(root) == []


def test_a_removed_record_is_missed_by_the_next_seal(root: Path) -> None:
    sign_second(root)
    forget(root)
    for name in (RECORD, WORKSHEET):
        (root / name).unlink()
    assert [without_codes(line) for line in complaints(root)] == [
        f"{SECOND}: came after a sealed record that is gone or changed: with the seal SHA…. "
        f"It was still whole when {SECOND} of 2027-11-20 was written"
    ]


@pytest.mark.parametrize("kept", ["a", "b", "c"])
def test_the_newest_record_is_missed_by_any_entry_after_it(root: Path, kept: str) -> None:
    """A mere reading of the meter, written by the tool after the signature, and whichever of them is left."""
    for day, name in enumerate("abc", start=1):
        record_hours(root, f"records/2026/2026-12-0{day}-hours-{name}.yaml", f"2026-12-0{day}", f"61{day + 4}.0")
    forget(root)
    for name in (RECORD, WORKSHEET):
        (root / name).unlink()
    for path in (root / "records/2026").glob("2026-12-*"):
        if not path.stem.endswith(kept):
            path.unlink()
    (line,) = complaints(root)
    assert f"hours-{kept}.yaml: came after a sealed record that is gone or changed" in line


def test_the_newest_record_is_missed_by_the_folder_that_held_it(root: Path) -> None:
    for name in (RECORD, WORKSHEET):
        (root / name).unlink()
    assert [without_codes(line) for line in complaints(root)] == [
        f"{RECORD}: this folder held a sealed record of this name (seal SHA…): it is gone"
    ]


def test_a_record_sealed_anew_is_missed_under_its_old_seal(root: Path) -> None:
    sign_second(root)
    anew = seal_record(BODY.replace(b"611.2", b"511.2"), record=RECORD, page=PAGE, worksheet=WORKSHEET_TEXT, after=())
    (root / RECORD).write_bytes(anew)
    assert any("came after a sealed record that is gone or changed" in line for line in complaints(root))


def test_a_record_sealed_anew_is_missed_by_the_folder(root: Path) -> None:
    anew = seal_record(BODY.replace(b"611.2", b"511.2"), record=RECORD, page=PAGE, worksheet=WORKSHEET_TEXT, after=())
    (root / RECORD).write_bytes(anew)
    assert [without_codes(line) for line in complaints(root)] == [
        f"{RECORD}: this folder held a sealed record of this name (seal SHA…): it is sealed anew"
    ]


def test_a_broken_record_is_no_witness(root: Path) -> None:
    """A flipped byte in the `after` of a broken record does not make a second complaint of a record that is gone."""
    sign_second(root)
    data = (root / SECOND).read_bytes()
    at = data.index(b"    - ") + 6
    (root / SECOND).write_bytes(data[:at] + (b"0" if data[at : at + 1] != b"0" else b"1") + data[at + 1 :])
    assert len(complaints(root)) == 1


def test_seals_make_no_complaint_about_what_they_do_not_cover(root: Path) -> None:
    (root / "checklists/nose/cowl-upper.md").write_bytes(b"changed")
    assert seal_complaints(settled(root)) == []


def hostile(page: str, record: str, worksheet: bytes) -> bytes:
    """A record whose seal is right in every byte, made without the program, that names any page."""
    before = BODY + f"seal:\n  record: {record}\n  page: {json.dumps(page)}\n".encode()
    before += b"  worksheet: " + hashlib.sha256(worksheet).hexdigest().encode() + b"\n  sha256: "
    return before + hashlib.sha256(before).hexdigest().encode() + b"\n"


def test_a_hostile_record_cannot_take_a_checklist_away(root: Path) -> None:
    """Its seal is right, and it says that a checklist was the page that it was signed from."""
    checklist = "checklists/nose/cowl-upper.md"
    data = (root / checklist).read_bytes()
    evil = "records/2026/2026-12-01-condition-evil.yaml"
    (root / evil).write_bytes(hostile(checklist, evil, data))
    (root / evil.replace(".yaml", ".md")).write_bytes(data)
    (root / ".inspect-kit/pages/x.md").write_bytes(b"something to finish")
    with store.writing(root, command="hours"):
        pass
    assert (root / checklist).read_bytes() == data
    assert checklist in settled(root)


@pytest.mark.parametrize(
    "page",
    ["checklists.md", "checklists/nose.md", "records.md", "records/open.md", "records/open/../2026.md",
     "records/open/..md", "records/open/.md", "records/open/...md", "records/open/sub/page.md", "records/open/a\\b.md",
     "records/open/\u0000.md", ".md", "", "/etc.md"],
)  # fmt: skip
def test_a_hostile_record_cannot_rename_a_folder(root: Path, page: str) -> None:
    """The folder of photographs of the page that it names would be moved."""
    evil = "records/2026/2026-12-01-condition-evil.yaml"
    (root / evil).write_bytes(hostile(page, evil, WORKSHEET_TEXT))
    (root / "records/open/2026-12-01-condition-evil.md").write_bytes(WORKSHEET_TEXT)
    (root / "records/open/sub").mkdir()
    (root / "records/open/sub/letter.txt").write_bytes(b"mine")
    kept = sorted(str(path.relative_to(root)) for path in root.rglob("*") if ".inspect-kit" not in str(path))
    (root / ".inspect-kit/pages/x.md").write_bytes(b"something to finish")
    with store.writing(root, command="hours"):
        pass
    assert kept == sorted(str(path.relative_to(root)) for path in root.rglob("*") if ".inspect-kit" not in str(path))
    assert f"{evil}: the seal at its end is broken: it is not in the form in which records are sealed" in complaints(
        root
    )


def test_only_a_page_in_its_folder_can_be_signed(root: Path) -> None:
    (root / "records/open/sub").mkdir()
    (root / "records/open/sub/page.md").write_bytes(WORKSHEET_TEXT)
    for page in ("records/open/sub/page.md", "checklists/nose/cowl-upper.md", WORKSHEET):
        with pytest.raises(Misused, match="a page is signed from records/open/"):
            sign(root, page, SECOND, SECOND_BODY)
    assert SECOND not in settled(root)


@pytest.mark.parametrize("name", ["records/2026/a:b.yaml", "records/2026/a\\b.yaml"])
def test_a_hostile_name_does_not_keep_anybody_from_writing(root: Path, name: str) -> None:
    try:
        (root / name).write_bytes(hostile("records/open/x.md", name, b"nobody's page"))
    except OSError:
        pytest.skip("this disk itself takes no file of this name")
    (root / "records/open/x.md").write_bytes(b"nobody's page")
    (root / ".inspect-kit/pages/x.md").write_bytes(b"something to finish")
    with store.writing(root, command="hours"):
        pass
    assert any(line.startswith(f"{name}: ") for line in complaints(root))


def test_a_worksheet_that_cannot_be_read_does_not_keep_anybody_from_writing(root: Path) -> None:
    (root / WORKSHEET).unlink()
    (root / WORKSHEET).symlink_to("/etc/hostname")
    seal = store.read_seal((root / RECORD).read_bytes())
    assert seal is not None
    kept = root / f".inspect-kit/pages/{seal.worksheet}.md"
    kept.write_bytes(WORKSHEET_TEXT)
    with store.writing(root, command="hours"):
        pass
    assert (root / WORKSHEET).is_symlink()
    assert kept.read_bytes() == WORKSHEET_TEXT
    assert f"{WORKSHEET}: is a symbolic link that leaves the store; it is not followed" in complaints(root)
    (root / WORKSHEET).unlink()
    with store.writing(root, command="hours"):
        pass
    assert (root / WORKSHEET).read_bytes() == WORKSHEET_TEXT
    assert not kept.exists()


@pytest.mark.parametrize("before", [b"", b"format: 1\n", b"format: 1\r\n", b"text: |\n  kind: hours\n"])
@pytest.mark.parametrize("end", [b"", b"\n", b"\r\n", b"  \ndate: 2026-01-02\n", b"\r\ndate: 2026-01-02 \r\n"])
def test_a_line_is_known_at_the_beginning_in_the_middle_and_at_the_end(before: bytes, end: bytes) -> None:
    assert claims_seal(before + b"kind: inspection" + end)
    assert not claims_seal(before + b"  kind: inspection" + end)
    assert not claims_seal(before + b"kind: inspections" + end)
    seal = b"0" * 64
    assert named_after(before + b"after:\n  - " + seal + b"\n") == (seal.decode(),)
    assert named_after(before + b"run-after:\n  - " + seal + b"\n") == ()
    assert date_of(before + b"date: 2026-03-04" + end) == "2026-03-04"
