"""Photographs, tags and invoices: copied in, named with their SHA-256, checked."""

import hashlib
import os
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.errors import Misused, StoreUnreadable
from tests.store.scratch import HOURS, PAGE, make_store

PICTURE = b"\xff\xd8\xff\xe0 a picture"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_store(tmp_path / "store")


def attach(root: Path, source: Path) -> tuple[str, str]:
    with store.writing(root, command="attach") as writer:
        return store.attach(writer, HOURS, source)


def test_a_photograph_is_copied_named_and_checked(root: Path, tmp_path: Path) -> None:
    (tmp_path / "weld 3.jpg").write_bytes(PICTURE)
    name, digest = attach(root, tmp_path / "weld 3.jpg")
    assert (name, digest) == ("weld 3.jpg", hashlib.sha256(PICTURE).hexdigest())
    assert store.file_sums(root, HOURS) == {name: digest}
    assert store.check_files(root, HOURS, {name: digest}) == ()
    assert store.file_sums(root, PAGE) == {}
    with pytest.raises(store.AlreadyThere):
        attach(root, tmp_path / "weld 3.jpg")


@pytest.mark.parametrize(
    "name",
    ["CON.jpg", "nul", "lpt1.txt", "COM9", "trail.", "trail ", "a?.jpg", "a*.jpg", 'a".jpg', "a<b>.jpg", "a|b", "a:b"],
)
def test_a_name_that_windows_takes_for_no_file_is_refused(root: Path, tmp_path: Path, name: str) -> None:
    try:
        (tmp_path / name).write_bytes(PICTURE)
    except OSError:
        pytest.skip("this disk itself takes no file of this name")
    with pytest.raises(Misused, match="Windows takes no file of this name"):
        attach(root, tmp_path / name)
    assert store.file_sums(root, HOURS) == {}


def test_a_link_is_refused_in_plain_words(root: Path, tmp_path: Path) -> None:
    """The system said: too many levels of symbolic links."""
    (tmp_path / "a.jpg").write_bytes(PICTURE)
    os.symlink(tmp_path / "a.jpg", tmp_path / "link.jpg")
    with pytest.raises(Misused, match=r"link.jpg cannot be read: it is a symbolic link: the file itself is"):
        attach(root, tmp_path / "link.jpg")
    beside = (root / HOURS).with_suffix("")
    beside.mkdir()
    os.symlink(tmp_path / "a.jpg", beside / "link.jpg")
    with pytest.raises(StoreUnreadable, match=r"link.jpg cannot be taken: it is a symbolic link: the file itself is"):
        store.file_sums(root, HOURS)


def test_an_empty_file_is_no_photograph(root: Path, tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"")
    with pytest.raises(Misused, match="is empty"):
        attach(root, tmp_path / "a.jpg")


@pytest.mark.parametrize(("one", "other"), [("a.jpg", "A.JPG"), ("caf\u00e9.jpg", "cafe\u0301.jpg")])
def test_two_names_of_which_most_disks_keep_one(root: Path, tmp_path: Path, one: str, other: str) -> None:
    """Found on a disk that tells them apart; the first clone on another one would have lost a photograph."""
    for name in (one, other):
        (tmp_path / name).write_bytes(PICTURE + name.encode())
    attach(root, tmp_path / one)
    with pytest.raises(Misused, match="are one name on many disks"):
        attach(root, tmp_path / other)
    with pytest.raises(Misused, match="are one name on many disks"):
        store.refuse_alike([one, other])


def test_what_changed_or_is_gone_is_named(root: Path, tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(PICTURE)
    name, digest = attach(root, tmp_path / "a.jpg")
    folder = HOURS.removesuffix(".yaml")
    (root / folder / name).write_bytes(PICTURE + b" ")
    assert [str(each) for each in store.check_files(root, HOURS, {name: digest})] == [
        f"{folder}/a.jpg: was changed: it has not the SHA-256 that {HOURS} names"
    ]
    (root / folder / name).unlink()
    assert [str(each) for each in store.check_files(root, HOURS, {name: digest})] == [
        f"{folder}/a.jpg: is missing; {HOURS} names it with its SHA-256"
    ]


def test_what_a_file_manager_leaves_behind_is_no_attachment(root: Path, tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(PICTURE)
    name, digest = attach(root, tmp_path / "a.jpg")
    folder = root / HOURS.removesuffix(".yaml")
    for left in (".DS_Store", "._a.jpg", ".a.jpg.swp"):
        (folder / left).write_bytes(b"left behind")
    assert store.file_sums(root, HOURS) == {name: digest}


@pytest.mark.parametrize("name", ["../../aircraft.yaml", "/etc/hostname", "..", "", "a/../../x", "a\x00b", "a\\b"])
def test_a_name_in_a_record_never_leads_out(root: Path, name: str) -> None:
    (found,) = store.check_files(root, HOURS, {name: "0" * 64})
    assert "is not the name of a file in the store" in found.message or "give the file another name" in found.message


def test_links_and_devices_are_no_photographs(root: Path, tmp_path: Path) -> None:
    folder = root / HOURS.removesuffix(".yaml")
    folder.mkdir()
    (folder / "out.jpg").symlink_to(tmp_path)
    digest = hashlib.sha256(b"").hexdigest()
    assert store.check_files(root, HOURS, {"out.jpg": digest}) != ()
    with pytest.raises(StoreUnreadable, match=r"out\.jpg cannot be taken"):
        store.file_sums(root, HOURS)
    (folder / "out.jpg").unlink()
    os.mkfifo(folder / "pipe.jpg")
    assert "cannot be read: it is not a file" in str(store.check_files(root, HOURS, {"pipe.jpg": digest})[0])
    with pytest.raises(Misused, match="cannot be read"):
        attach(root, tmp_path / "nothing.jpg")
    with pytest.raises(Misused, match="plain name"):
        attach(root, tmp_path / ".hidden")
