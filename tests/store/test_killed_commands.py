"""The commands themselves, killed at every writing call: entries, the walk, findings, and signing."""

from functools import partial
from pathlib import Path

import pytest

from inspect_kit import rules, store
from inspect_kit.cli import desk
from tests.store.asking import ask
from tests.store.killing import run_killed
from tests.store.scratch import AIRCRAFT, PAGE, WORKSHEET_TEXT
from tests.store.test_killed import Deed, calls_of, fresh, kill_everywhere, next_command, states_between

SIGNER = "Sample Builder"


@pytest.fixture(autouse=True)
def _one_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every run writes under the same names, so that states can be compared."""
    monkeypatch.setattr(store, "new_code", lambda: "k3f9")


def command(*words: str, stdin: str = "") -> partial[None]:
    return partial(_command, words, stdin)


def _command(words: tuple[str, ...], stdin: str, root: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        # The calls are counted, and what is kept outside of the store is written the first time only.
        patch.setattr(desk, "cache_folder", lambda: None)
        answer = ask(root, *words, stdin=stdin)
    assert answer.code == 0, answer.err


def can_be_signed(root: Path) -> None:
    """An aircraft that has next to nothing of what Appendix D names, so that a short page covers all of it."""
    codes = [code for code in rules.APPENDIX_D.codes if code != "d1"]
    lines = "".join(f"  {code}: not on this aircraft\n" for code in codes)
    (root / "records/aircraft.yaml").write_bytes(AIRCRAFT + f"not-applicable:\n{lines}".encode())
    panel = root / "checklists/nose/cowl-upper.md"
    panel.write_bytes(panel.read_bytes() + b"  - covers: d1\n")
    (root / PAGE).write_bytes(WORKSHEET_TEXT.replace(b"[x]", b"[ ]"))


def all_ticked(root: Path) -> None:
    can_be_signed(root)
    (root / PAGE).write_bytes(WORKSHEET_TEXT.replace(b"found: F1 crack", b"found: crack"))


def nothing(root: Path) -> None:
    can_be_signed(root)
    (root / PAGE).unlink()


ENTRY = "records/2026/2026-11-20-hours-tach.yaml"
GIVEN = ("--part", "Acme M-4", "--since-new", "0", "--since-overhaul", "", "--made", "", "--from", "", "--where", "")
SWAP = ("install", "magneto", "tach=612.4", "--serial", "B2", *GIVEN, "--reason", "rough", "--by", SIGNER)
LOGBOOK = "date,tach,entry\n2026-11-21,611.5,flown\n2026-11-22,611.9,washed\n2026-11-23,612.0,flown home\n"
COLUMNS = """\
format: 1
cells: comma
names: 1
columns: {date: date, tach: reads tach, entry: text}
dates: year first
decimals: point
"""


def with_papers(root: Path) -> None:
    """An entry with a photograph, on which nothing rests."""
    nothing(root)
    folder = root / ENTRY.removesuffix(".yaml")
    folder.mkdir()
    (folder / "tach.jpg").write_bytes(b"\xff\xd8 a picture")


def fitted(root: Path) -> None:
    """A magneto that was fitted before."""
    nothing(root)
    aircraft = root / "records/aircraft.yaml"
    aircraft.write_bytes(aircraft.read_bytes() + b"positions: {magneto: {}}\n")
    part = "position: magneto\nserial: A1\npart: Acme M-4\nsince-new: 0\nmeters: {tach: 611.0}\n"
    (root / "records/2026/2026-11-20-old.yaml").write_text(f"format: 1\nkind: installed\ndate: 2026-11-20\n{part}")


def with_logbook(root: Path) -> None:
    nothing(root)
    (root / "log.csv").write_text(LOGBOOK)
    (root / "log.columns.yaml").write_text(COLUMNS)


def attach(root: Path) -> None:
    (root / "tag.jpg").write_bytes(b"\xff\xd8 a tag")
    command("attach", Path(ENTRY).stem, str(root / "tag.jpg"), "--text", "its tag", "--by", SIGNER)(root)


def import_all(root: Path) -> None:
    command("import", str(root / "log.csv"), "--write")(root)


IN_INK = ("--ink", "airframe log p. 44")


def sign_again(root: Path) -> None:
    """What is still missing: the whole signing, or only the note of where it is signed in ink."""
    page = (root / PAGE).exists()
    command(*(("sign", *IN_INK, "--as", SIGNER) if page else ("signature", *IN_INK)), stdin=f"{SIGNER}\n")(root)


DEEDS = (
    Deed("hours", nothing, command("hours", "tach=612.4")),
    Deed("work", nothing, command("work", "oil-change", "tach=612.4", "--by", SIGNER)),
    Deed("start", nothing, command("start", "condition", "tach=612.4", "--only", "--by", SIGNER)),
    Deed("finding", can_be_signed, command("finding", "baffles", "a crack", "--fix", "before flight")),
    Deed("walk", can_be_signed, command("walk", stdin="o\n" * 8)),
    Deed("sign", all_ticked, command("sign", "--as", SIGNER, stdin=f"{SIGNER}\n")),
    Deed("sign in ink", all_ticked, command("sign", *IN_INK, "--as", SIGNER, stdin=f"{SIGNER}\n"), sign_again),
    Deed("amend", nothing, command("amend", Path(ENTRY).stem, "tach=611.1", "--text", "a slip", "--by", SIGNER)),
    Deed("attach", nothing, attach),
    Deed("withdraw", with_papers, command("withdraw", Path(ENTRY).stem, "--text", "another's", "--by", SIGNER)),
    Deed("install", fitted, command(*SWAP)),
    Deed("import", with_logbook, import_all),
    Deed("not passed", all_ticked, command("sign", "--as", SIGNER, "--not-passed", stdin=f"{SIGNER}\n")),
)


@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.name)
def test_a_killed_command_leaves_before_or_after(tmp_path: Path, deed: Deed) -> None:
    # Every call in `python -m tests.bench store kills`.
    assert kill_everywhere(tmp_path, deed, every=7) >= 5


def test_what_these_commands_do(tmp_path: Path) -> None:
    """The oracle of the others: how many states each command has, and that it ends in what was asked."""
    states = {deed.name: states_between(tmp_path / deed.name.replace(" ", "-"), deed) for deed in DEEDS}
    # Signing first gives the finding of the page its name, which is a state of its own.
    assert {name: len(found) for name, found in states.items()} == {
        "hours": 2, "work": 2, "start": 2, "finding": 2, "walk": 5, "sign": 3, "sign in ink": 4, "not passed": 3,
        "amend": 2, "attach": 2, "withdraw": 2, "install": 2, "import": 2,
    }  # fmt: skip
    assert states["walk"][-1][PAGE].count(b"[x]") == 4
    sealed = [name for name in states["sign"][-1] if name.endswith("condition-k3f9.yaml")]
    assert len(sealed) == 1
    assert PAGE not in states["sign"][-1]
    assert PAGE in states["not passed"][-1]
    assert {Path(name).name for name in states["install"][-1]} - {Path(name).name for name in states["install"][0]} == {
        "2026-12-31-magneto-removed-k3f9.yaml", "2026-12-31-magneto-fitted-k3f9.yaml",
    }  # fmt: skip
    assert len(states["import"][-1]) - len(states["import"][0]) == 3
    assert ENTRY not in states["withdraw"][-1]


def test_nothing_of_the_papers_is_lost(tmp_path: Path) -> None:
    """Photographs are copied with the record that names them, and go with the one that is withdrawn."""
    by_name = {deed.name: deed for deed in DEEDS}
    for deed, picture in ((by_name["withdraw"], b"\xff\xd8 a picture"), (by_name["attach"], b"\xff\xd8 a tag")):
        for at in range(calls_of(tmp_path, deed)):
            root = fresh(tmp_path / "killed", deed)
            run_killed(partial(deed.act, root), at, "after")
            before = ask(root, "verify")
            assert before.code == 0, before.err
            next_command(root)
            assert ask(root, "verify").code == 0
            pictures = [path for path in root.glob("records/**/*.jpg") if path.read_bytes() == picture]
            stands = any(path.with_suffix(".yaml").exists() for path in root.glob("records/**/") if path.is_dir())
            assert [path.parent.with_suffix(".yaml").exists() for path in pictures] == ([True] if stands else [])
