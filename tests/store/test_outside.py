"""Reports and new stores: whole or not at all."""

import errno
import os
import re
import stat
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.store import AnswerMark
from tests.store.hostile import time_limit
from tests.store.killing import WAYS, count_calls, run_killed
from tests.store.scratch import HOURS, make_store

MARK = AnswerMark("report", "N0TS-Turnstone-001")
FILES = {"records/aircraft.yaml": b"format: 1\n", "checklists/nose/a.md": b"---\n", ".gitattributes": b"* -text\n"}


def test_a_report_replaces_the_old_one_and_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    store.write_outside(path, b"one\n", MARK)
    path.chmod(0o640)
    store.write_outside(path, b"two\n", MARK)
    assert path.read_bytes().startswith(b"two\n<!-- inspect-kit report N0TS-Turnstone-001 ")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [each.name for each in tmp_path.iterdir()] == ["report.html"]


@pytest.mark.parametrize("force", [False, True])
def test_a_report_made_read_only_stays_as_it_is(tmp_path: Path, force: bool) -> None:
    path = tmp_path / "report.html"
    store.write_outside(path, b"one\n", MARK)
    path.chmod(0o444)
    if path.stat().st_mode & 0o222:
        pytest.skip("this disk has no modes")
    with pytest.raises(Misused, match=r"report.html is read-only, and stays as it is: give another name"):
        store.write_outside(path, b"two\n", MARK, force=force)
    assert path.read_bytes().startswith(b"one\n")


def test_a_full_disk_leaves_the_old_report(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "report.html"
    store.write_outside(path, b"one\n", MARK)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StoreUnreadable, match=r"report.html cannot be written: no space left on device"):
        store.write_outside(path, b"two\n", MARK)
    assert path.read_bytes() == MARK.signed(b"one\n", ".html")
    assert [each.name for each in tmp_path.iterdir()] == ["report.html"]


def test_a_report_goes_through_a_link_and_into_what_is_no_file(tmp_path: Path) -> None:
    store.write_outside(tmp_path / "real.txt", b"old\n", MARK)
    (tmp_path / "link.txt").symlink_to("real.txt")
    store.write_outside(tmp_path / "link.txt", b"new\n", MARK)
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "real.txt").read_bytes().startswith(b"new\n")
    store.write_outside(Path(os.devnull), b"gone", MARK)
    assert not Path(os.devnull).is_file()


def test_a_pipe_is_written_to_and_one_without_a_reader_does_not_hold_us(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.txt"
    os.mkfifo(pipe)
    with time_limit(10):
        with pytest.raises(StoreUnreadable, match="is a pipe that nobody reads from; nothing was written"):
            store.write_outside(pipe, b"x", MARK)
        reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
        store.write_outside(pipe, b"x", MARK)
        assert os.read(reader, 10) == b"x"
        os.close(reader)


def test_a_place_that_may_not_be_written_to_is_not_called_a_pipe(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pipe = tmp_path / "pipe.txt"
    os.mkfifo(pipe)
    opened = os.open

    def refused(path, flags, *more, **named):
        if flags & os.O_WRONLY and Path(path) == pipe:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return opened(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", refused)
    with time_limit(10), pytest.raises(StoreUnreadable, match="cannot be written: permission denied"):
        store.write_outside(pipe, b"x", MARK)


@pytest.mark.parametrize("ending", [".html", ".md", ".txt", ".ics", ".csv", ".html2", ""])
@pytest.mark.parametrize("text", [b"mine\n", b"", b"\n", b"no line feed", b"one\n<!-- inspect-kit report X 00 -->\n"])
def test_a_file_that_is_not_its_own_stays_unless_it_is_told_to(tmp_path: Path, ending: str, text: bytes) -> None:
    path = tmp_path / f"letter{ending}"
    path.write_bytes(text)
    with pytest.raises(Misused, match="is there already, and is no unchanged older answer of `report`"):
        store.write_outside(path, b"two\n", MARK)
    assert path.read_bytes() == text
    store.write_outside(path, b"two\n", MARK, force=True)
    assert path.read_bytes() == MARK.signed(b"two\n", ending)


ANSWERS = dict.fromkeys((".html", ".md", ".txt"), b"one\ntwo\n")
ANSWERS[".ics"] = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n"


@pytest.mark.parametrize("ending", ANSWERS)
def test_an_older_answer_is_replaced_only_as_long_as_nobody_changed_a_byte_of_it(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"report{ending}"
    written = MARK.signed(ANSWERS[ending], ending)
    for at in range(len(written)):
        path.write_bytes(written[:at] + bytes([written[at] ^ 1]) + written[at + 1 :])
        with pytest.raises(Misused):
            store.write_outside(path, b"new\n", MARK)
    for changed in (written + b"\n", written + b"a remark\n", written[:-1], b"\xef\xbb\xbf" + written, written[4:]):
        path.write_bytes(changed)
        with pytest.raises(Misused):
            store.write_outside(path, b"new\n", MARK)
    for other in (AnswerMark("plan", MARK.aircraft), AnswerMark("report", "N0XX-Turnstone-001")):
        path.write_bytes(written)
        with pytest.raises(Misused):
            store.write_outside(path, b"new\n", other)
    if ending == ".ics":
        path.write_bytes(written.replace(b"VERSION", b"X-INSPECT-KIT:more\r\nVERSION"))
        with pytest.raises(Misused):
            store.write_outside(path, b"new\n", MARK)
    path.write_bytes(written)
    store.write_outside(path, b"new\n", MARK)
    assert path.read_bytes() == MARK.signed(b"new\n", ending)


def test_what_another_wrote_between_the_look_and_the_name_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other writes while our bytes are flushed: a new file, and then over an older answer."""
    path = tmp_path / "report.txt"
    flush = os.fsync

    def meanwhile(handle: int) -> None:
        flush(handle)
        path.write_bytes(b"theirs")

    monkeypatch.setattr(os, "fsync", meanwhile)
    for before in (None, MARK.signed(b"one\n", ".txt")):
        path.unlink(missing_ok=True)
        if before is not None:
            path.write_bytes(before)
        with pytest.raises(Misused, match="was written by somebody else meanwhile; it stays as it is"):
            store.write_outside(path, b"ours\n", MARK)
        assert path.read_bytes() == b"theirs"
    assert [each.name for each in tmp_path.iterdir()] == ["report.txt"]


PLACES = (
    *("records/report.html", "records/2026/report.html", "records/open/page.md", "checklists/report.html"),
    *("checklists/nose/new/report.html", ".inspect-kit/report.html", ".git/report.html", ".git/refs/x/report.txt"),
    *("checklists/../records/2026/report.html", "notes/../records/report.html"),
    *(
        "by-link/report.html",
        "by-link/../2026/report.html",
        "deep-link/report.html",
        "to-a-record.html",
        "dangling.html",
    ),
    *("bare.git/report.html", "bare.git/objects/report.txt"),
    # Where capitals, dots and blanks at the end, or wide letters make no difference.
    *("RECORDS/x.html", "Records/2026/x.html", "records./x.html", "CheckLists /x.html", ".INSPECT-KIT/x.html"),
    *(".Git./x.html", "GIT~1/x.html", "\uff32ecords/x.html"),
)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("force", [False, True])
def test_nothing_is_written_into_a_store_or_into_git(tmp_path: Path, place: str, force: bool) -> None:
    """By name, round corners, and by links, whether anything is there or not, and told to or not."""
    root = make_store(tmp_path / "store")
    for folder in ("notes", ".git/refs/x", ".inspect-kit", "checklists/nose/new", "bare.git/objects", "bare.git/refs"):
        (root / folder).mkdir(parents=True, exist_ok=True)
    (root / "bare.git/HEAD").write_text("ref: refs/heads/main\n")
    links = {"by-link": "records/2026", "deep-link": tmp_path / "link", "../link": root / "checklists"}
    links |= {"to-a-record.html": HOURS, "dangling.html": "records/2026/new.html"}
    # A place without a link in it is tried on a disk without links as well.
    for name, to in links.items() if "link" in place or "to-a" in place or "dangling" in place else ():
        (root / name).symlink_to(to)
    before = snapshot(tmp_path)
    with pytest.raises(Misused, match="an answer is written elsewhere"):
        store.write_outside(root / place, b"x\n", MARK, force=force)
    assert snapshot(tmp_path) == before


def test_a_link_among_the_records_is_not_written_through_either(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    (root / "records/2026/report.txt").symlink_to(tmp_path / "elsewhere.txt")
    with pytest.raises(Misused, match="lies in the records/ of the store"):
        store.write_outside(root / "records/2026/report.txt", b"x\n", MARK, force=True)
    assert not (tmp_path / "elsewhere.txt").exists()


def test_the_root_of_a_store_and_a_folder_of_that_name_elsewhere_are_free(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    (tmp_path / "records").mkdir()
    for path in (root / "report.html", tmp_path / "records/report.html"):
        store.write_outside(path, b"x\n", MARK)
        assert path.read_bytes() == MARK.signed(b"x\n", ".html")


def test_no_answer_is_asked_for_in_the_root_of_a_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = make_store(tmp_path / "store")
    store.refuse_root(root.parent / "sheet.html")
    store.refuse_root(root / "notes" / "sheet.html")
    with pytest.raises(Misused, match=f"such as {re.escape(str(tmp_path / 'sheet.html'))}$"):
        store.refuse_root(root / "sheet.html")
    monkeypatch.chdir(root)
    with pytest.raises(Misused, match=r"sheet\.html would lie in the store itself.* such as \.\./sheet\.html$"):
        store.refuse_root(Path("sheet.html"))


@pytest.mark.parametrize("inside", ["copy", "papers/copy", "../plane/copy"])
def test_no_copy_is_made_in_a_store(tmp_path: Path, inside: str) -> None:
    """What is handed over would be committed with the store that it is of."""
    root = make_store(tmp_path / "plane")
    with pytest.raises(Misused, match=f"give a name beside it, such as {re.escape(str(tmp_path / 'copy'))}$"):
        store.make_outside(root / inside, {"records/a.yaml": b"x\n"})
    assert not list(tmp_path.rglob("copy"))


def snapshot(folder: Path) -> dict[str, object]:
    return {
        str(path.relative_to(folder)): path.readlink()
        if path.is_symlink()
        else path.read_bytes()
        if path.is_file()
        else None
        for path in sorted(folder.rglob("*"))
    }


def test_a_folder_that_is_missing_is_said(tmp_path: Path) -> None:
    with pytest.raises(StoreUnreadable, match="cannot be written: no such file or directory"):
        store.write_outside(tmp_path / "nowhere/report.txt", b"x", MARK)


def test_a_new_store(tmp_path: Path) -> None:
    for folder in (tmp_path / "a/b/new", tmp_path / "empty"):
        if folder.name == "empty":
            folder.mkdir()
        store.make_store(folder, FILES)
        assert {name: (folder / name).read_bytes() for name in FILES} == FILES
        assert store.at(folder) == folder.resolve()


def test_a_folder_that_is_there_stays_the_folder_that_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`new .`: whoever stands in it, or has it mounted, still does; its mode and what begins with a dot stay too."""
    folder = tmp_path / "plane"
    (folder / ".git").mkdir(parents=True)
    (folder / ".git/HEAD").write_text("ref: refs/heads/main\n")
    folder.chmod(0o750)
    before = folder.stat()
    monkeypatch.chdir(folder)
    store.make_store(Path(), FILES)
    assert {name: (Path() / name).read_bytes() for name in FILES} == FILES
    assert store.find_store(Path.cwd()) == folder
    assert (folder.stat().st_ino, folder.stat().st_mode) == (before.st_ino, before.st_mode)
    assert sorted(os.listdir(folder)) == [".git", ".gitattributes", "checklists", "records"]


def test_a_folder_whose_parent_cannot_be_written_is_filled_all_the_same(tmp_path: Path) -> None:
    folder = tmp_path / "only/plane"
    folder.mkdir(parents=True)
    store.make_store(folder, FILES)
    assert [each.name for each in folder.parent.iterdir()] == ["plane"]


def test_a_new_store_never_goes_where_something_is(tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full/letter.txt").write_text("mine")
    (tmp_path / "half").mkdir()
    (tmp_path / "half/checklists").mkdir()
    (tmp_path / "file").write_text("mine")
    (tmp_path / "link").symlink_to("full")
    (tmp_path / "dangling").symlink_to("nothing")
    (tmp_path / "dotted").mkdir()
    (tmp_path / "dotted/.gitattributes").write_text("mine")
    before = snapshot(tmp_path)
    for name in ("full", "half", "file", "link", "dangling", "dotted"):
        with pytest.raises(Misused, match="is there already"):
            store.make_store(tmp_path / name, FILES)
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize("place", ["records/new", "checklists/nose/new", ".git/new", "records"])
def test_a_new_store_is_not_made_in_the_folders_of_another(tmp_path: Path, place: str) -> None:
    root = make_store(tmp_path / "store")
    (root / ".git").mkdir()
    before = snapshot(tmp_path)
    with pytest.raises(Misused):
        store.make_store(root / place, FILES)
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize("there", [False, True])
def test_killed_while_a_store_is_made_there_is_none_or_a_whole_one(tmp_path: Path, there: bool) -> None:
    def make(folder: Path) -> None:
        store.make_store(folder, FILES)

    def fresh(name: str) -> Path:
        folder = tmp_path / name
        if there:
            folder.mkdir()
        return folder

    counted = fresh("counted")
    calls = count_calls(lambda: make(counted))
    assert calls >= 10
    for at in range(calls):
        for way in WAYS:
            folder = fresh(f"new-{at}-{way}")
            assert run_killed(lambda folder=folder: make(folder), at, way)
            try:
                store.at(folder)
            except StoreUnreadable:
                make(folder)
            assert {name: (folder / name).read_bytes() for name in FILES} == FILES
            assert store.at(folder)


def test_a_disk_that_fills_up_leaves_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "plane"
    folder.mkdir()
    rename = os.rename

    def full(old: Path, new: Path) -> None:
        if Path(new).name == "records":
            raise OSError(28, "No space left on device")
        rename(old, new)

    monkeypatch.setattr(os, "rename", full)
    with pytest.raises(StoreUnreadable, match="plane cannot be written: no space left on device"):
        store.make_store(folder, FILES)
    assert list(folder.iterdir()) == []
