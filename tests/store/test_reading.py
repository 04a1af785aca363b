"""Which files count, and what is said of each one that cannot be taken: nothing is skipped in silence."""

import hashlib
import os
import socket
import stat
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import StoreUnreadable
from inspect_kit.store import reading
from tests.store.asking import ask
from tests.store.scratch import CHECKLIST, HOURS, HOURS_TEXT, PAGE, RECORD, complaints, make_store, settled, sign


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_store(tmp_path / "store")


def told(root: Path) -> list[str]:
    return [str(problem) for problem in store.read_settled(root).problems]


def test_a_store_is_found_upwards(root: Path) -> None:
    assert store.find_store(root / "records/open") == root
    assert store.find_store(root) == root


def test_no_store_is_said(tmp_path: Path) -> None:
    (tmp_path / "checklists").mkdir()
    with pytest.raises(StoreUnreadable, match="no store here"):
        store.find_store(tmp_path)
    with pytest.raises(StoreUnreadable, match="is no store: it does not hold both"):
        store.at(tmp_path)
    with pytest.raises(StoreUnreadable, match="cannot be read: no such file"):
        store.at(tmp_path / "nowhere")


def test_files_are_found_by_ending_at_any_depth(root: Path) -> None:
    (root / "records/by hand/old").mkdir(parents=True)
    (root / "records/by hand/old/Anything at all.yaml").write_bytes(HOURS_TEXT)
    (root / "checklists/a/b").mkdir(parents=True)
    (root / "checklists/a/b/Ünïcode.md").write_bytes(CHECKLIST)
    names = settled(root)
    assert "records/by hand/old/Anything at all.yaml" in names
    assert "checklists/a/b/Ünïcode.md" in names
    assert told(root) == []


@pytest.mark.parametrize(
    ("name", "meant"),
    [("records/2026/a.yml", ".yaml"), ("records/2026/a.YAML", ".yaml"), ("records/open/a.MD", ".md"),
     ("checklists/a.markdown", ".md"), ("checklists/a.Md", ".md"), ("records/2026/a.YML", ".yaml")],
)  # fmt: skip
def test_an_ending_that_people_also_give_is_said(root: Path, name: str, meant: str) -> None:
    (root / name).write_bytes(HOURS_TEXT)
    ending = "." + name.rsplit(".", 1)[1]
    assert told(root) == [f"{name}: its ending is {ending}; rename it to {meant} so that it counts"]


def test_a_record_among_the_checklists_is_said(root: Path) -> None:
    (root / "checklists/nose/hours.yaml").write_bytes(HOURS_TEXT)
    assert told(root) == ["checklists/nose/hours.yaml: stands among the checklists; a record belongs in records/"]


def test_what_an_editor_leaves_and_photographs_are_no_records(root: Path) -> None:
    before = settled(root)
    for name in ("records/2026/.hidden.yaml", f"{PAGE}~", f"{HOURS}.orig", "checklists/a.txt", "records/2026/a.jpg"):
        (root / name).write_bytes(b"\xff")
    (root / "records/open/.#page.md").symlink_to("somebody@computer.1234")
    folder = root / HOURS.removesuffix(".yaml")
    folder.mkdir()
    (folder / "invoice.md").write_bytes(b"\xff")
    (folder / "tag.yaml").write_bytes(b"\xff")
    assert settled(root) == before
    assert told(root) == []


NOT_READ = "is not read, because its name"
LIKE = "reads like an entry and is not read, because its name"
CURE = "so that it counts, or take it out of the folder"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("records/2026/oil.yaml.txt", f"{NOT_READ} goes on behind .yaml: end its name in .yaml {CURE}"),
        ("records/2026/oil.yml.txt", f"{NOT_READ} goes on behind .yml: end its name in .yaml {CURE}"),
        ("records/2026/oil.yaml~", f"{NOT_READ} goes on behind .yaml: end its name in .yaml {CURE}"),
        ("records/2026/oil.yaml.orig", f"{NOT_READ} goes on behind .yaml: end its name in .yaml {CURE}"),
        ("records/2026/oil.yaml.rej", f"{NOT_READ} goes on behind .yaml: end its name in .yaml {CURE}"),
        ("records/2026/oil.yaml_", f"{NOT_READ} goes on behind .yaml: end its name in .yaml {CURE}"),
        ("records/2026/oil.yaml (1)", f"{NOT_READ} goes on behind .yaml: end its name in .yaml {CURE}"),
        ("records/open/page.md.docx", f"{NOT_READ} goes on behind .md: end its name in .md {CURE}"),
        ("records/2026/oil", f"{NOT_READ} has no ending: end its name in .yaml {CURE}"),
        ("checklists/nose/cowl", f"{NOT_READ} has no ending: end its name in .md {CURE}"),
        ("checklists/nose/cowl.md.txt", f"{NOT_READ} goes on behind .md: end its name in .md {CURE}"),
        ("records/2026/oil.txt", f"{LIKE} ends in .txt: end its name in .yaml {CURE}"),
        ("records/2026/oil.json", f"{LIKE} ends in .json: end its name in .yaml {CURE}"),
        ("checklists/belly.text", f"{LIKE} ends in .text: end its name in .md {CURE}"),
        ("oil.yaml", "reads like a record and is not read here: move it into records/"),
        ("oil.yml", "reads like a record and is not read here: move it into records/"),
    ],
)  # fmt: skip
def test_what_may_be_meant_for_an_entry_and_is_not_read_is_said(root: Path, name: str, said: str) -> None:
    """By `due` and by `verify`; an empty file as well, where its name alone tells."""
    (root / name).write_bytes(b"# Belly\n\n- [ ] `belly` Look at the belly\n" if ".text" in name else HOURS_TEXT)
    assert complaints(root) == [f"{name}: {said}"]
    for command in ("due", "verify"):
        answer = ask(root, command)
        assert answer.code == 3
        assert f"{name}: {said}" in answer.err + answer.out
    if "reads like" not in said:
        (root / name).write_bytes(b"")
        assert complaints(root) == [f"{name}: {said}"]


@pytest.mark.parametrize(
    "folder",
    ["Records", "record", "recrods", "records (1)", "records-old", "RECORDS/2026", "2026", "1999/06", "open"],
)
def test_a_folder_called_nearly_like_that_of_the_records_is_said(root: Path, folder: str) -> None:
    """As a clone on a disk that tells capitals apart has it; one that holds no entry is nobody's business."""
    (root / folder).mkdir(parents=True)
    (root / folder / "list.txt").write_text("plugs\n")
    assert complaints(root) == []
    (root / folder / "oil.yaml").write_bytes(HOURS_TEXT)
    top = folder.partition("/")[0]
    told = f"{top}: is not read, and {folder}/oil.yaml reads like an entry: move what is in it into records/"
    assert complaints(root) == [told]


@pytest.mark.parametrize(
    ("name", "text", "is_note"),
    [
        ("README.md", "# Our lists\n\nThe nose comes first.\n", True),
        ("gear/Notes.md", "plugs\n", True),
        # What may be left of a checklist is none of these, nor is a checklist of that name.
        ("gear/notes.md", "- [ ] `plugs` Plugs\n", False),
        ("gear/readme.md", "", False),
        ("gear/wheel.md", "plugs\n", False),
    ],
)
def test_what_people_write_beside_checklists_is_a_note(root: Path, name: str, text: str, is_note: bool) -> None:
    (root / "checklists/gear").mkdir(parents=True)
    (root / "checklists" / name).write_text(text)
    loaded = store.load(root)
    assert loaded.logbook is not None
    assert not (is_note and loaded.logbook.lost)
    assert {each.note for each in loaded.problems if each.place.file.endswith(name)} == {is_note}


def test_a_folder_of_the_checklists_beside_them_is_said(root: Path) -> None:
    (root / "checklists/gear").mkdir(parents=True)
    (root / "gear").mkdir()
    (root / "gear/list.md").write_text("plugs\n")
    assert complaints(root) == []
    (root / "gear/wheel.md").write_text("---\npanel: wheel\n---\n")
    told = "gear: is not read, and gear/wheel.md reads like an entry: move what is in it into checklists/"
    assert complaints(root) == [told]


def test_a_record_in_a_folder_of_photographs_is_said_unless_it_is_a_paper_of_that_record(root: Path) -> None:
    folder = root / HOURS.removesuffix(".yaml")
    (folder / "deeper").mkdir(parents=True)
    for name in ("oil.yaml", "oil.yaml.txt", "deeper/oil"):
        (folder / name).write_bytes(HOURS_TEXT)
    (folder / "notes.yaml").write_text("seller: Ridge Parts\n")
    told = "reads like a record and is not read among the photographs of one: move it up"
    inside = folder.relative_to(root).as_posix()
    wanted = [f"{inside}/{name}: {told}" for name in ("deeper/oil", "oil.yaml", "oil.yaml.txt")]
    assert complaints(root) == wanted
    digest = hashlib.sha256(HOURS_TEXT).hexdigest()
    (root / HOURS).write_bytes(HOURS_TEXT + f"files: {{oil.yaml: {digest}}}\n".encode())
    assert complaints(root) == [wanted[0], wanted[2]]


def test_a_folder_of_photographs_that_is_a_link_is_never_looked_into(root: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "oil.yaml").write_bytes(HOURS_TEXT)
    album = HOURS.removesuffix(".yaml")
    (root / album).symlink_to(elsewhere)
    assert complaints(root) == [f"{album}: is a symbolic link to a folder; it is not followed"]


@pytest.mark.parametrize(
    "names",
    [
        ("2026-07-01-oil-abc2", "2026-07-01-OIL-abc2"),
        ("2026-07-01-caf\u00e9", "2026-07-01-cafe\u0301"),
        ("2026-07-01-stra\u00dfe", "2026-07-01-STRASSE"),
    ],
)
def test_two_names_of_which_most_disks_keep_one(root: Path, names: tuple[str, str]) -> None:
    """A clone on a disk that tells no capitals apart would have one of the two records, and nobody would notice."""
    for name in names:
        (root / f"records/2026/{name}.yaml").write_bytes(HOURS_TEXT.replace(b"2026-05-14", b"2026-07-01"))
    if len([*(root / "records/2026").glob("2026-07-01-*")]) < 2:
        pytest.skip("this disk itself tells the two names not apart")
    told_ = [each for each in complaints(root) if "one name" in each]
    first, second = sorted(f"records/2026/{name}.yaml" for name in names)
    assert told_ == [f"{second}: is one name with {first} on many disks, which keep one of the two: rename one"]


@pytest.mark.parametrize("name", ["CON", "2026/nul", "lpt1/2026-07-01-oil-abc2", "2026/2026-07-01-a:b-abc2", "2026/b?"])
def test_a_name_that_windows_does_not_take_is_told(root: Path, name: str) -> None:
    file = root / f"records/{name}.yaml"
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(HOURS_TEXT.replace(b"2026-05-14", b"2026-07-01"))
    assert [each.partition(": ")[0] for each in complaints(root) if "Windows takes no" in each] == [
        f"records/{name}.yaml"
    ]


def test_links_that_stay_are_followed_and_links_that_leave_are_refused(root: Path, tmp_path: Path) -> None:
    secret = tmp_path / "secret.yaml"
    secret.write_bytes(HOURS_TEXT)
    (root / "records/2026/out.yaml").symlink_to(secret)
    (root / "records/2026/up.yaml").symlink_to("../../../secret.yaml")
    (root / "records/2026/in.yaml").symlink_to(Path(HOURS).name)
    (root / "records/2026/none.yaml").symlink_to("nothing.yaml")
    (root / "records/2026/loop.yaml").symlink_to("loop.yaml")
    (root / "records/2027").symlink_to(tmp_path)
    (root / "checklists/again").symlink_to("nose")
    assert told(root) == [
        "checklists/again: is a symbolic link to a folder; it is not followed",
        "records/2026/loop.yaml: cannot be read: too many levels of symbolic links",
        "records/2026/none.yaml: is a symbolic link to nothing",
        "records/2026/out.yaml: is a symbolic link that leaves the store; it is not followed",
        "records/2026/up.yaml: is a symbolic link that leaves the store; it is not followed",
        "records/2027: is a symbolic link to a folder; it is not followed",
    ]
    assert settled(root)["records/2026/in.yaml"] == HOURS_TEXT
    assert "records/2026/out.yaml" not in settled(root)


@pytest.mark.parametrize("top", ["records", "checklists"])
def test_a_store_whose_own_folder_is_a_link_is_not_read_through_it(root: Path, tmp_path: Path, top: str) -> None:
    (root / top).rename(tmp_path / "elsewhere")
    (root / top).symlink_to(tmp_path / "elsewhere")
    assert f"{top}: is a symbolic link; the folder must lie in the store itself" in told(root)
    assert not any(name.startswith(top) for name in settled(root))


def test_what_is_no_file_is_refused_by_name_and_never_waited_for(root: Path) -> None:
    os.mkfifo(root / "records/open/pipe.md")
    (root / "records/open/folder.md").mkdir()
    # The name of a socket is short by its nature; it is bound from within its folder.
    here = os.getcwd()
    os.chdir(root / "records/open")
    try:
        with socket.socket(socket.AF_UNIX) as listening:
            listening.bind("s.md")
    finally:
        os.chdir(here)
    (root / "records/open/null.md").symlink_to("/dev/null")
    said: list[list[str]] = []
    reader = threading.Thread(target=lambda: said.append(told(root)), daemon=True)
    reader.start()
    reader.join(20)
    assert said, "a named pipe was waited for"
    assert [line.split(":")[0] for line in said[0]] == [
        f"records/open/{name}" for name in ("folder.md", "null.md", "pipe.md", "s.md")
    ]
    assert "is a folder, and its name ends in .md like a file's" in said[0][0]
    assert "leaves the store" in said[0][1]
    assert "is a named pipe, not a file" in said[0][2]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can make a device")
def test_a_device_is_refused(root: Path) -> None:
    try:
        os.mknod(root / "checklists/zero.md", stat.S_IFCHR | 0o666, os.makedev(1, 5))
    except OSError:
        pytest.skip("devices cannot be made here")
    if told(root) == []:
        pytest.fail("a device was read")
    assert "checklists/zero.md: " in told(root)[0]


def test_names_are_shown_inert(root: Path) -> None:
    names = ["a\x1b[31mred.yaml", "a\nb.yaml", "a\u202eb.yaml", "a\x07.yaml"]
    try:
        for name in (*names, os.fsdecode(b"a\xff.yaml")):
            (root / "records/2026" / name).write_bytes(HOURS_TEXT)
    except OSError:
        pytest.skip("this disk itself takes no such name")
    lines = told(root)
    assert len(lines) == 5
    for line in lines:
        assert "the name is not UTF-8 text, or has a control character in it" in line
        assert line.isprintable()
        line.encode("utf-8")


def test_a_blank_of_any_width_is_no_control_character(root: Path) -> None:
    for name in ("oil\u00a0change", "oil\u2009change"):
        (root / f"records/2026/2026-05-14-{name}.yaml").write_bytes(HOURS_TEXT)
    assert [line for line in told(root) if "control character" in line] == []


def test_a_huge_file_is_refused_without_reading_it(root: Path) -> None:
    try:
        with (root / "records/2026/huge.yaml").open("wb") as stream:
            stream.truncate(50 * 2**30)
    except OSError:
        pytest.skip("this disk holds no file of 50 GB, or no file with a hole in it")
    assert told(root) == ["records/2026/huge.yaml: is larger than 4 MB, which no page or record is; it is not read"]


def test_a_folder_that_cannot_be_listed_is_said(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    scan = os.scandir

    def refuse(path: Path) -> object:
        if Path(path).name == "2026":
            raise PermissionError(13, "Permission denied")
        return scan(path)

    monkeypatch.setattr(os, "scandir", refuse)
    assert told(root) == ["records/2026: the folder cannot be read: permission denied"]


def test_a_file_that_cannot_be_opened_is_said(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    open_file = os.open

    def refuse(path: Path, flags: int, *rest: int) -> int:
        if Path(path).name == Path(HOURS).name:
            raise PermissionError(13, "Permission denied")
        return open_file(path, flags, *rest)

    monkeypatch.setattr(os, "open", refuse)
    assert told(root) == [f"{HOURS}: cannot be read: permission denied"]


@pytest.fixture(params=[False, True], ids=["stamps by the files", "stamps by the listing"])
def stamps(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """As a store is read on most systems, and on Windows."""
    monkeypatch.setattr(reading, "LISTED_WITH_STAMPS", request.param)


Read = Callable[[Path, str], object]


def reading_with(monkeypatch: pytest.MonkeyPatch, read: Callable[[Read, Path, str], object]) -> None:
    """Each file is read by `read`, which is given how that is done."""
    plainly = reading._read_listed

    def listed(root: Path, name: str, path: str) -> object:
        return read(lambda root, name: plainly(root, name, path), root, name)

    monkeypatch.setattr(reading, "_read_listed", listed)


@pytest.mark.usefixtures("stamps")
def test_a_page_on_its_way_is_never_missed(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page is signed between the listing of the folders and the reading of the files."""
    done: list[bool] = []

    def sign_meanwhile(read: Read, root: Path, name: str) -> object:
        if not done:
            done.append(True)
            sign(root)
        return read(root, name)

    reading_with(monkeypatch, sign_meanwhile)
    files = settled(root)
    assert (PAGE in files) != (RECORD in files)
    assert told(root) == []


@pytest.mark.usefixtures("stamps")
@pytest.mark.parametrize("before", [True, False], ids=["before it is read", "after it was read"])
def test_what_is_rewritten_meanwhile_is_read_as_it_stands(
    root: Path, monkeypatch: pytest.MonkeyPatch, before: bool
) -> None:
    """As long as it was, in its place, while the files are read: one that is a link to another in the store too."""
    link = "records/2026/2026-11-03-hours-link.yaml"
    (root / link).symlink_to(root / HOURS)
    done: set[str] = set()
    times = iter(range(1, 9))

    def rewrite(root: Path, name: str) -> None:
        if name in (HOURS, link) and name not in done:
            done.add(name)
            (root / HOURS).write_bytes(HOURS_TEXT.replace(b"611.0", f"61{len(done)}.0".encode()))
            # No clock is so coarse that two times of writing would be one.
            os.utime(root / HOURS, (0, next(times)))

    def rewritten(read: Read, root: Path, name: str) -> object:
        if before:
            rewrite(root, name)
        found = read(root, name)
        if not before:
            rewrite(root, name)
        return found

    reading_with(monkeypatch, rewritten)
    files = settled(root)
    assert done == {HOURS, link}
    assert files[HOURS] == (root / HOURS).read_bytes()


@pytest.mark.usefixtures("stamps")
def test_a_store_that_never_rests_is_said(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    count = iter(range(1000))

    def scribble(read: Read, root: Path, name: str) -> object:
        (root / f"records/2026/new{next(count)}.yaml").write_bytes(HOURS_TEXT)
        return read(root, name)

    reading_with(monkeypatch, scribble)
    assert told(root) == ["records: files kept changing while they were read; run the command again"]


@pytest.mark.usefixtures("stamps")
def test_what_cannot_be_taken_is_no_change(root: Path) -> None:
    """A file that is refused, and a link, are seen to stand still as others are."""
    with (root / "records/2026/huge.yaml").open("wb") as stream:
        stream.truncate(5 * 2**20)
    (root / "records/2026/nowhere.yaml").symlink_to(root / "records/2026/gone.yaml")
    assert told(root) == [
        "records/2026/huge.yaml: is larger than 4 MB, which no page or record is; it is not read",
        "records/2026/nowhere.yaml: is a symbolic link to nothing",
    ]


def test_everything_refused_reaches_the_logbook(root: Path) -> None:
    (root / "checklists/x.md").symlink_to("/etc/hostname")
    loaded = store.load(root)
    assert loaded.logbook is not None
    assert loaded.logbook.problems == loaded.problems
    assert [problem.place.file for problem in loaded.problems] == ["checklists/x.md"]


def test_without_an_aircraft_there_is_no_logbook(root: Path) -> None:
    (root / "records/aircraft.yaml").unlink()
    loaded = store.load(root)
    assert loaded.logbook is None
    assert "records/aircraft.yaml: is missing: no answer can be given without the aircraft" in complaints(root)


HIDDEN = "is not read, because its name begins with a full stop, and it reads like an entry: take the full stop away"


@pytest.mark.parametrize(
    "name",
    ["records/2026/.oil.yaml", "checklists/nose/.rope.md", "checklists/.#rope.md", "records/open/.rope.markdown"],
)
def test_an_entry_under_a_name_that_begins_with_a_full_stop(root: Path, name: str) -> None:
    (root / name).write_bytes(HOURS_TEXT)
    assert told(root) == [f"{name}: {HIDDEN} {CURE}"]


@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("records/2026/.oil.yaml.icloud", "oil.yaml"),
        ("records/open/.by hand.md.icloud", "by hand.md"),
        ("records/2026/.oil.yaml.swp", "oil.yaml"),
        ("checklists/nose/.rope.md.icloud", "rope.md"),
        # A checklist of another zone is called like it.
        ("checklists/fin/.cowl-upper.md.icloud", "cowl-upper.md"),
    ],
)
def test_what_stands_for_a_file_that_is_not_on_this_disk(root: Path, name: str, of: str) -> None:
    (root / name).parent.mkdir(exist_ok=True)
    (root / name).write_bytes(b"bplist00\0")
    assert told(root) == [
        f"{name}: stands for {of}, which is not here and is not read: bring that back, or take this out of the folder"
    ]


@pytest.mark.parametrize(
    "name",
    [
        *(".{}.swp", "../open/.{}.icloud", ".invoice.pdf.icloud", ".DS_Store"),
        # Of a page that was signed while an editor had it open.
        *("../open/.page gone.md.un~", "../open/.page gone.md.swp"),
    ],
)
def test_what_stands_beside_its_file_or_for_no_entry_is_nothing(root: Path, name: str) -> None:
    (root / "records/2026" / name.format(Path(HOURS).name)).write_bytes(b"bplist00\0")
    assert told(root) == []


def test_a_checklist_in_a_folder_called_like_one_beside_it_is_read(root: Path) -> None:
    behind = root / "checklists/nose/cowl-upper/behind.md"
    behind.parent.mkdir()
    behind.write_bytes(CHECKLIST.replace(b"cowl-upper", b"behind-it").replace(b"oil-change", b"brand-new"))
    name = behind.relative_to(root).as_posix()
    assert name in settled(root)
    (behind.parent / "notes.txt").write_bytes(CHECKLIST)
    assert [each.partition(":")[0] for each in told(root)] == [name.replace("behind.md", "notes.txt")]


def test_a_folder_whose_name_begins_with_a_full_stop(root: Path) -> None:
    folder = root / "checklists/.old/deep"
    folder.mkdir(parents=True)
    for name in ("a.md", "b.md", "photo.jpg"):
        (folder / name).write_bytes(HOURS_TEXT)
    assert told(root) == [
        "checklists/.old: is not read, because its name begins with a full stop, and deep/a.md and 1 more in it reads "
        f"like an entry: take the full stop away {CURE}"
    ]


@pytest.mark.parametrize("name", [".stversions/{}~20261127-101500.yaml", ".git/{}.yaml", ".trash/{}.yaml", ".{}.yaml"])
def test_a_copy_that_a_tool_keeps_of_a_file_that_is_read_is_none(root: Path, name: str) -> None:
    copy = root / "records/2026" / name.format(Path(HOURS).stem)
    copy.parent.mkdir(exist_ok=True)
    copy.write_bytes(HOURS_TEXT)
    assert told(root) == []
