"""Line ends and code pages of Windows, and disks of another kind: each kind of file is read rightly, or told with its
line.

A disk without second names, such as a memory card, is played by a `link` that is refused.
"""

import errno
import os
from pathlib import Path

import pytest

from inspect_kit import store
from tests.store.asking import ask
from tests.store.scratch import HOURS, PAGE, make_store, sign
from tests.store.test_killed_commands import SWAP, fitted

CHECKLIST = "checklists/nose/cowl-upper.md"
# Where each kind of file gets a word with an accent, and the line of it.
WORDS = {
    "records/aircraft.yaml": ("make: Turnstone", "make: Turnstoné", 2),
    CHECKLIST: ("Change the oil", "Change the oil, café", 10),
    HOURS: ("kind: hours", "kind: hours\ntext: café", 3),
    PAGE: ("Change the oil", "Change the oil, café", 13),
}
CURE = "begins with a byte order mark; save it as UTF-8 without one"
TOLD = {
    "mac": (lambda text, _: text.replace("\n", "\r").encode(), 1, "a line break of another kind than the rest"),
    "mark": (lambda text, _: b"\xef\xbb\xbf" + text.encode(), 1, CURE),
    "mark and CR LF": (lambda text, _: b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode(), 1, CURE),
    "Windows-1252": (lambda _, text: text.encode("cp1252"), 0, "is not UTF-8: byte 0xe9"),
    "DOS 437": (lambda _, text: text.encode("cp437"), 0, "is not UTF-8: byte 0x82"),
    "UTF-16": (lambda text, _: text.encode("utf-16"), 1, "is UTF-16; save it as UTF-8"),
    "UTF-16 without a mark": (
        lambda text, _: text.encode("utf-16-be"),
        1,
        "is UTF-16 without a byte order mark; save it as UTF-8",
    ),
    "UTF-32": (lambda text, _: text.encode("utf-32"), 1, "is UTF-32; save it as UTF-8"),
}


@pytest.mark.parametrize("name", WORDS)
@pytest.mark.parametrize("turned", [-1, 3])
def test_line_ends_of_windows_change_nothing(tmp_path: Path, name: str, turned: int) -> None:
    root = make_store(tmp_path / "store")
    before = ask(root, "due", "--json")
    path = root / name
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n", turned))
    after = ask(root, "due", "--json")
    assert (after.code, after.out, after.err) == (before.code, before.out, "")


@pytest.mark.parametrize("name", WORDS)
@pytest.mark.parametrize("form", TOLD)
def test_what_cannot_be_read_rightly_is_told_with_its_line(tmp_path: Path, name: str, form: str) -> None:
    root = make_store(tmp_path / "store")
    text = (root / name).read_text(encoding="utf-8")
    plain, accented, at = WORDS[name]
    turn, line, words = TOLD[form]
    assert plain in text
    (root / name).write_bytes(turn(text, text.replace(plain, accented, 1)))
    answer = ask(root, "due")
    assert answer.code == 3
    place = f"{name}:{line or at}: "
    assert any(said.startswith(place) and words in said for said in answer.err.splitlines()), answer.err


def test_a_disk_without_second_names_takes_all_that_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def link(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    root = make_store(tmp_path / "store")
    monkeypatch.setattr(os, "link", link)
    sign(root)
    fitted(root)
    start = ("start", "condition", "tach=613.0", "--only", "--by", "Sample Builder")
    for words in (SWAP, ("hours", "tach=613.0"), start):
        answer = ask(root, *words)
        assert answer.code == 0, answer.err
    kept = ask(root, "withdraw", Path(HOURS).stem, "--text", "a slip", "--by", "Sample Builder")
    assert kept.code == 1
    assert "something was sealed since" in kept.err
    assert len(list(root.glob("records/2026/2026-12-31-magneto-*.yaml"))) == 2
    with store.writing(root, command="x") as writer, pytest.raises(store.AlreadyThere):
        store.create(writer, HOURS, b"")
