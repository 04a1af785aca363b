"""The commands themselves, killed at every writing call: entries, the walk, findings, and signing."""

from functools import partial
from pathlib import Path

import pytest

from inspect_kit import rules, store
from tests.store.asking import ask
from tests.store.scratch import AIRCRAFT, PAGE, WORKSHEET_TEXT
from tests.store.test_killed import Deed, kill_everywhere, states_between

SIGNER = "Sample Builder"


@pytest.fixture(autouse=True)
def _one_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every run writes under the same names, so that states can be compared."""
    monkeypatch.setattr(store, "new_code", lambda: "k3f9")


def command(*words: str, stdin: str = "") -> partial[None]:
    return partial(_command, words, stdin)


def _command(words: tuple[str, ...], stdin: str, root: Path) -> None:
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
    Deed("not passed", all_ticked, command("sign", "--as", SIGNER, "--not-passed", stdin=f"{SIGNER}\n")),
)


@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.name)
def test_a_killed_command_leaves_before_or_after(tmp_path: Path, deed: Deed) -> None:
    assert kill_everywhere(tmp_path, deed, every=3) >= 14


def test_what_these_commands_do(tmp_path: Path) -> None:
    """The oracle of the others: how many states each command has, and that it ends in what was asked."""
    states = {deed.name: states_between(tmp_path / deed.name.replace(" ", "-"), deed) for deed in DEEDS}
    # Signing first gives the finding of the page its name, which is a state of its own.
    assert {name: len(found) for name, found in states.items()} == {
        "hours": 2, "work": 2, "start": 2, "finding": 2, "walk": 5, "sign": 3, "sign in ink": 4, "not passed": 3,
    }  # fmt: skip
    assert states["walk"][-1][PAGE].count(b"[x]") == 4
    sealed = [name for name in states["sign"][-1] if name.endswith("condition-k3f9.yaml")]
    assert len(sealed) == 1
    assert PAGE not in states["sign"][-1]
    assert PAGE in states["not passed"][-1]
