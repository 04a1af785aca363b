"""Writing: whole or not at all, never over what somebody else wrote, and every trouble said plainly."""

import errno
import os
import re
import shutil
import socket
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.store import ChangedSinceRead
from tests.store.asking import ask
from tests.store.hostile import time_limit
from tests.store.scratch import (
    BODY,
    HOURS,
    HOURS_TEXT,
    PAGE,
    RECORD,
    WORKSHEET_TEXT,
    make_store,
    settled,
    sign,
    tools_files,
)

NEW = "records/2027/2027-01-02-hours-x.yaml"
ROOT_USER = hasattr(os, "geteuid") and os.geteuid() == 0


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_store(tmp_path / "store")


def create(root: Path, name: str = NEW, data: bytes = HOURS_TEXT) -> None:
    with store.writing(root, command="hours") as writer:
        store.create(writer, name, data)


def edit(root: Path, data: bytes = WORKSHEET_TEXT + b"more\n", read: bytes = WORKSHEET_TEXT) -> None:
    with store.writing(root, command="walk") as writer:
        store.replace(writer, PAGE, data, read=read)


@pytest.mark.usefixtures("modes")
def test_a_new_file_has_the_bytes_and_the_mode_of_any_new_file(root: Path) -> None:
    create(root)
    assert (root / NEW).read_bytes() == HOURS_TEXT
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE((root / NEW).stat().st_mode) == 0o666 & ~mask


def test_create_never_replaces(root: Path) -> None:
    create(root)
    with pytest.raises(store.AlreadyThere, match="exists already and was left as it is"):
        create(root, data=b"other\n")
    assert (root / NEW).read_bytes() == HOURS_TEXT
    assert tools_files(root) == []


def test_create_never_replaces_where_there_are_no_hard_links(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    create(root)
    with pytest.raises(store.AlreadyThere):
        create(root, data=b"other\n")
    assert (root / NEW).read_bytes() == HOURS_TEXT
    assert tools_files(root) == []


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_an_edit_keeps_the_mode(root: Path, mode: int) -> None:
    (root / PAGE).chmod(mode)
    edit(root)
    assert stat.S_IMODE((root / PAGE).stat().st_mode) == mode


@pytest.mark.skipif(not ROOT_USER, reason="only root may give a file to somebody else")
def test_an_edit_by_root_keeps_the_owner(root: Path) -> None:
    os.chown(root / PAGE, 1234, 4321)
    edit(root)
    assert ((root / PAGE).stat().st_uid, (root / PAGE).stat().st_gid) == (1234, 4321)


@pytest.mark.parametrize("data", [b"a\r\nb\r\n", b"no end", b"", b"\xff\x00\xfe", b"x" * 300_000])
def test_bytes_are_written_as_they_are(root: Path, data: bytes) -> None:
    edit(root, data)
    assert (root / PAGE).read_bytes() == data


def test_an_edit_refuses_what_was_changed_since_it_was_read(root: Path) -> None:
    (root / PAGE).write_bytes(b"somebody else's\n")
    with pytest.raises(store.ChangedSinceRead, match="was changed by somebody else since it was read"):
        edit(root)
    assert (root / PAGE).read_bytes() == b"somebody else's\n"


def saved_once(root: Path, real: Callable[..., object], when: Callable[..., bool]) -> Callable[..., object]:
    """`real`, but an editor saves the page right before the first call for which `when` holds, and then no more."""
    saved = False

    def call(*arguments: object, **options: object) -> object:
        nonlocal saved
        if not saved and when(*arguments):
            saved = True
            (root / PAGE).write_bytes(b"saved in an editor\n")
        return real(*arguments, **options)

    return call


def is_half(root: Path, handle: object) -> bool:
    """Whether this is the file in which the new page is being written."""
    mode = os.fstat(handle)  # type: ignore[arg-type]
    halves = ((half.stat().st_dev, half.stat().st_ino) for half in (root / ".inspect-kit/half").glob("*.half"))
    return (mode.st_dev, mode.st_ino) in halves


@pytest.mark.parametrize("call", ["fchmod", "write", "fsync", "lseek"])
def test_an_edit_sees_what_an_editor_saves_while_it_writes(
    root: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    """The page changes after it was compared for the first time: while the new one is written, flushed or read back.

    The new one is begun after that comparison, so whatever is done to it comes later.
    """
    meddled = saved_once(root, getattr(os, call), lambda handle, *_: is_half(root, handle))
    monkeypatch.setattr(os, call, meddled)
    with pytest.raises(store.ChangedSinceRead, match="was changed by somebody else since it was read"):
        edit(root)
    assert (root / PAGE).read_bytes() == b"saved in an editor\n"
    assert tools_files(root) == []


def test_an_edit_of_a_page_that_is_gone(root: Path) -> None:
    (root / PAGE).unlink()
    with pytest.raises(store.ChangedSinceRead, match="is gone since it was read"):
        edit(root)


def test_remove_takes_only_what_was_read(root: Path) -> None:
    with store.writing(root, command="x") as writer:
        with pytest.raises(store.ChangedSinceRead):
            store.remove_file(writer, PAGE, read=b"other")
        assert (root / PAGE).exists()
        store.remove_file(writer, PAGE, read=WORKSHEET_TEXT)
        assert not (root / PAGE).exists()
        store.remove_file(writer, PAGE, read=WORKSHEET_TEXT)


FAILING = ("write", "fsync", "link", "replace", "mkdir", "open")
TROUBLES = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO, errno.EACCES, errno.ENOENT)


def failing(real: Callable[..., object], number: int, trouble: int) -> Callable[..., object]:
    """`real`, but the call with that number fails; open counts only where it would make a file."""
    seen = 0

    def call(*arguments: object, **options: object) -> object:
        nonlocal seen
        if real.__name__ == "open" and not int(arguments[1]) & os.O_CREAT:  # type: ignore[call-overload]
            return real(*arguments, **options)
        seen += 1
        if seen == number:
            raise OSError(trouble, os.strerror(trouble))
        return real(*arguments, **options)

    return call


def refusal(act: Callable[[Path], object], root: Path) -> str:
    """What is said when something cannot be done, "" when it was done."""
    try:
        act(root)
    except StoreUnreadable as error:
        return str(error)
    return ""


@pytest.mark.parametrize("call", FAILING)
def test_a_disk_that_refuses_at_any_call_loses_nothing(root: Path, call: str) -> None:
    """Full, over quota, read-only, broken, forbidden, vanished: in turn at every call, for entry, edit and signing."""
    told = 0
    for act in (create, edit, sign):
        for number in range(1, 13):
            trouble = TROUBLES[number % len(TROUBLES)]
            shutil.rmtree(root)
            make_store(root)
            before = settled(root)
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(os, call, failing(getattr(os, call), number, trouble))
                message = refusal(act, root)
            if message:
                told += 1
                assert os.strerror(trouble).lower() in message or "gone since" in message
            after = settled(root)
            if after != before:
                done = {create: NEW, edit: PAGE, sign: RECORD}[act]
                assert after[done] != before.get(done)
            assert tools_files(root, ["half"]) == []
            with store.writing(root, command="next"):
                pass
            assert settled(root) == after
            assert tools_files(root) == []
    assert told >= 1


def test_a_disk_that_forgets_what_was_written_is_noticed(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, b"\0" * len(data)))
    with pytest.raises(StoreUnreadable, match="did not give back what was written"):
        edit(root)
    monkeypatch.undo()
    assert (root / PAGE).read_bytes() == WORKSHEET_TEXT


def test_a_short_write_is_gone_on_with(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, bytes(data[:7])))
    edit(root)
    assert (root / PAGE).read_bytes() == WORKSHEET_TEXT + b"more\n"


def unprivileged(root: Path, code: str) -> subprocess.CompletedProcess[str]:
    """Run some code as nobody, for whom permissions hold even if the tests run as root."""
    os.chown(root, 65534, 65534)
    for path in root.rglob("*"):
        os.chown(path, 65534, 65534, follow_symlinks=False)
    # What is imported is read before the rights are given up: the interpreter may stand in root's own folder.
    rooms = "import inspect_kit.store.parsing, inspect_kit.store.lock, inspect_kit.store.loading"
    drop = f"import os\n{rooms}\nfrom inspect_kit import store\nos.setgroups([]); os.setgid(65534); os.setuid(65534)\n"
    script = f"{drop}{code}" if ROOT_USER else code
    return subprocess.run(
        [sys.executable, "-B", "-c", script],
        capture_output=True,
        text=True,
        check=False,
        cwd=Path(__file__).parents[2],
    )


def test_a_read_only_folder_is_said_and_read_all_the_same(tmp_path: Path, root: Path) -> None:
    for parent in (*tmp_path.parents, tmp_path):
        if parent.stat().st_mode & 0o001 == 0:
            parent.chmod(parent.stat().st_mode | 0o055)
    for folder in (root / "records/2026", root / "records/open", root / "records", root):
        folder.chmod(0o555)
    code = f"""
from pathlib import Path
from inspect_kit import store
from inspect_kit.errors import StoreUnreadable
root = Path({str(root)!r})
print(len(store.load(root).files), store.load(root).problems)
try:
    with store.writing(root, command="hours"):
        print("written")
except StoreUnreadable as error:
    print(error)
"""
    done = unprivileged(root, code)
    assert done.stderr == ""
    assert done.stdout.splitlines() == [
        "4 ()",
        f"the store at {root} cannot be written: permission denied",
    ]


def test_a_full_disk(tmp_path: Path) -> None:
    """A real one: a small disk in memory, filled to the last byte."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if not ROOT_USER or shutil.which("mount") is None:
        pytest.skip("only root can mount a small disk")
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(disk)], check=False)
    if mounted.returncode != 0:
        pytest.skip("a disk in memory cannot be mounted here")
    try:
        root = make_store(disk / "store")
        create(root)
        filler = disk / "filler"
        # Written past its end by a process of its own, until the disk has no byte left.
        filled = subprocess.run(["dd", "if=/dev/zero", f"of={filler}", "bs=512"], capture_output=True, check=False)
        assert b"No space left on device" in filled.stderr
        before = settled(root)
        for act in (edit, sign, lambda root: create(root, "records/2027/2027-01-03-hours-y.yaml")):
            with pytest.raises(StoreUnreadable, match="no space left on device"):
                act(root)
            assert settled(root) == before
            assert tools_files(root) == []
        filler.unlink()
        sign(root)
        assert RECORD in settled(root)
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_folder_that_vanishes(root: Path) -> None:
    with store.writing(root, command="walk") as writer:
        try:
            shutil.rmtree(root)
        except OSError:
            pytest.skip("this disk keeps a folder as long as a file in it is open")
        with pytest.raises(StoreUnreadable, match=f"{PAGE} is gone since it was read"):
            store.replace(writer, PAGE, b"new\n", read=WORKSHEET_TEXT)
        assert not root.exists()
        with pytest.raises(StoreUnreadable, match="no such file or directory"):
            store.create(writer, NEW, b"new\n")
        assert not root.exists()


@pytest.mark.parametrize(
    "name",
    ["", "/etc/x.yaml", "../x.yaml", "records/../../x.yaml", "records//x.yaml", "records/./x.yaml", "records\\..\\x",
     "records/x\0.yaml", "records/x\n.yaml", "records/x\x1b.yaml", "C:/x.yaml"],
)  # fmt: skip
def test_a_name_that_climbs_out_is_refused(root: Path, name: str) -> None:
    with pytest.raises(Misused, match=r"is not the name of a file in the store|give the file another name"):
        create(root, name)


def test_a_folder_that_leads_out_is_refused(root: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (root / "records/2027").symlink_to(outside)
    with pytest.raises(Misused, match="leaves the store by a symbolic link"):
        create(root)
    assert list(outside.iterdir()) == []


@pytest.mark.parametrize("own", [".inspect-kit", ".inspect-kit/half", ".inspect-kit/lock", ".inspect-kit/pages"])
def test_nothing_is_cleared_or_written_through_a_link(root: Path, tmp_path: Path, own: str) -> None:
    """A clone may bring such a link; what it points to must stay."""
    outside = tmp_path / "outside"
    (outside / "half").mkdir(parents=True)
    for kept in (outside / "letter.md", outside / "half/letter.md"):
        kept.write_text("mine")
    if own != ".inspect-kit":
        (root / ".inspect-kit").mkdir()
    (root / own).symlink_to(outside if "lock" not in own else outside / "letter.md")
    with pytest.raises((StoreUnreadable, Misused), match="symbolic link"):
        sign(root)
    assert (outside / "letter.md").read_text() == "mine"
    assert (outside / "half/letter.md").read_text() == "mine"
    assert PAGE in settled(root)


def test_git_does_not_see_the_tools_own_files(root: Path) -> None:
    create(root)
    subprocess.run(["git", "init", "-q"], cwd=root, check=True)
    shown = subprocess.run(["git", "status", "--short", "-uall"], cwd=root, check=True, capture_output=True, text=True)
    assert "inspect-kit" not in shown.stdout
    assert NEW in shown.stdout


OWN = (
    *(".inspect-kit", ".inspect-kit/lock", ".inspect-kit/lock.held", ".inspect-kit/half", ".inspect-kit/seals"),
    *(".inspect-kit/.gitignore", ".inspect-kit/pages"),
)


def socket_at(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        # A name in the folder itself: the system allows a hundred characters.
        here = Path.cwd()
        os.chdir(path.parent)
        try:
            made.bind(path.name)
        finally:
            os.chdir(here)


SORTS: dict[str, Callable[[Path], None]] = {
    "a named pipe": lambda path: os.mkfifo(path),
    "a socket": socket_at,
    "a symbolic link": lambda path: path.symlink_to(path.parent),
    "a folder": lambda path: path.mkdir(),
    "a file": lambda path: path.write_bytes(b""),
}


@pytest.mark.parametrize("sort", SORTS)
@pytest.mark.parametrize("place", OWN)
def test_what_stands_where_the_tools_own_is_holds_nobody(tmp_path: Path, place: str, sort: str) -> None:
    """Said in a sentence, or put up with; never waited for, never written through."""
    root = make_store(tmp_path / "store")
    path = root / place
    path.parent.mkdir(exist_ok=True)
    SORTS[sort](path)
    with time_limit(20):
        # What a register of seals knew that cannot be read is lost, which is a problem.
        assert ask(root, "due").code == (3 if place.endswith("seals") and sort != "a file" else 0)
        answers = [ask(root, "hours", "tach=612.0"), ask(root, "finding", "baffles", "a crack"), ask(root, "verify")]
    for answer in answers[:2]:
        assert answer.code in (0, 3)
        assert "fault" not in answer.err
        if answer.code == 3:
            assert re.search(rf"{re.escape(sort)} in the place of|is a symbolic link|cannot be|not a file", answer.err)
    own = place in (".inspect-kit", ".inspect-kit/half", ".inspect-kit/pages")
    fits = (sort == "a folder" and own) or (sort == "a file" and not own and place != ".inspect-kit/lock.held")
    assert not fits or [answer.code for answer in answers] == [0, 0, 0]


def test_a_pipe_in_the_place_of_a_page_that_was_read_holds_nobody(tmp_path: Path) -> None:
    root = make_store(tmp_path / "store")
    read = (root / PAGE).read_bytes()
    (root / PAGE).unlink()
    os.mkfifo(root / PAGE)
    with store.writing(root, command="walk") as writer, time_limit(10):
        for act in (
            lambda: store.replace(writer, PAGE, b"x", read=read),
            lambda: store.remove_file(writer, PAGE, read=read),
        ):
            with pytest.raises(ChangedSinceRead, match="was changed by somebody else since it was read"):
                act()


WITHDRAWN = b"withdrawn: {date: 2026-11-28, reason: of another aircraft, by: Sample Builder}\n"


def withdraw(root: Path) -> None:
    with store.writing(root, command="withdraw") as writer:
        store.withdraw(writer, HOURS, read=HOURS_TEXT, whole=HOURS_TEXT + WITHDRAWN)


@pytest.mark.usefixtures("modes")
def test_what_only_its_owner_may_read_stays_so_when_it_is_withdrawn(root: Path) -> None:
    (root / HOURS).chmod(0o600)
    withdraw(root)
    assert stat.S_IMODE((root / store.withdrawn_name(HOURS)).stat().st_mode) == 0o600


@pytest.mark.usefixtures("modes")
@pytest.mark.parametrize("stays", [False, True])
def test_what_only_its_owner_may_read_stays_so_when_it_is_signed(root: Path, stays: bool) -> None:
    picture = f"{PAGE.removesuffix('.md')}/weld.jpg"
    (root / picture).parent.mkdir()
    (root / picture).write_bytes(b"picture")
    for name in (PAGE, picture):
        (root / name).chmod(0o600)
    with store.writing(root, command="sign") as writer:
        store.sign(writer, page=PAGE, read=WORKSHEET_TEXT, record=RECORD, body=BODY, stays=stays)
    stem = RECORD.removesuffix(".yaml")
    found = {stat.S_IMODE((root / f"{stem}{each}").stat().st_mode) for each in (".yaml", ".md", "/weld.jpg")}
    assert found == {0o600}


@pytest.mark.usefixtures("modes")
def test_a_page_made_read_only_is_not_written_over(root: Path) -> None:
    """Its folder would let it be replaced: what its owner wanted kept was gone without a word."""
    (root / PAGE).chmod(0o444)
    with pytest.raises(StoreUnreadable, match=r"is read-only; nothing was written: make it writable first"):
        edit(root)
    assert (root / PAGE).read_bytes() == WORKSHEET_TEXT
    (root / PAGE).chmod(0o644)
    edit(root)
    assert (root / PAGE).read_bytes() == WORKSHEET_TEXT + b"more\n"


@pytest.mark.parametrize("kind", ["folder", "file"])
def test_a_record_is_not_withdrawn_where_its_photographs_could_not_go_with_it(root: Path, kind: str) -> None:
    """They stayed behind, in the folder of a record that was gone."""
    stem = Path(HOURS).stem
    (root / HOURS).with_suffix("").mkdir()
    ((root / HOURS).with_suffix("") / "a.jpg").write_bytes(b"picture")
    taken = root / "records/withdrawn" / stem
    taken.parent.mkdir()
    taken.mkdir() if kind == "folder" else taken.write_bytes(b"")
    with pytest.raises(store.AlreadyThere, match=r"is there already, where the files of .* are to be kept; "):
        withdraw(root)
    assert (root / HOURS).read_bytes() == HOURS_TEXT
    taken.rmdir() if kind == "folder" else taken.unlink()
    withdraw(root)
    assert (taken / "a.jpg").read_bytes() == b"picture"
