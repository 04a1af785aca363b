"""The walk under odd hands: odd answers, a page that is gone, no input, output that cannot show a character."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from inspect_kit.errors import Refused
from inspect_kit.model.kinds.work import Work
from inspect_kit.store import load
from tests.cli.conftest import Run
from tests.cli.hand import Hand
from tests.cli.walk_store import ADA, COWL, FRONT, PAGE, page, walk, walk_store
from tests.store.asking import acting

Out = pytest.CaptureFixture[str]


class TestMeanwhile:
    @pytest.mark.parametrize("gone", ["deleted", "moved"])
    def test_a_page_that_is_no_longer_there(self, tmp_path: Path, gone: str) -> None:
        root = walk_store(tmp_path, "shell", "stacks")

        class Meanwhile(Hand):
            def read(self, seconds: float) -> bytes | None:
                if len(self.left) == 1 and (root / PAGE).exists():
                    if gone == "moved":
                        os.rename(root / PAGE, root / "records/2026-elsewhere.md")
                    else:
                        (root / PAGE).unlink()
                return super().read(seconds)

        with pytest.raises(Refused, match="is no longer there: it was signed"):
            walk(root, Meanwhile(["o", "o"]))

    def test_a_page_that_another_process_signs(self, tmp_path: Path) -> None:
        """A second window signs while the first one is at a box: what is sealed stays as it was signed."""
        root = walk_store(tmp_path, "shell", "stacks", "mount", front=FRONT.replace("job: condition", "job: work"))
        signing = (
            "import datetime, sys; from inspect_kit.cli import main; main.today = lambda: datetime.date(2026, 11, 25); "
            f"sys.exit(main.main(['--store', {str(root)!r}, 'sign', '--as', {ADA!r}, '--closed', '--reason', 'rain']))"
        )

        class Meanwhile(Hand):
            def read(self, seconds: float) -> bytes | None:
                if (root / PAGE).exists() and "[x]" in (root / PAGE).read_text():
                    command = (sys.executable, "-c", signing)
                    done = subprocess.run(command, input=f"{ADA}\n", text=True, capture_output=True, check=False)
                    assert done.returncode == 0, done.stdout + done.stderr
                return super().read(seconds)

        with pytest.raises(Refused) as refused:
            walk(root, Meanwhile(["o", "o", "o"]))
        [sealed] = root.glob("records/2026/*.md")
        name = sealed.relative_to(root).as_posix()
        told = f"{PAGE} is no longer there: it was signed or moved meanwhile ({name}). The last answer was not written"
        assert told in str(refused.value)
        assert sealed.read_text().count("[x]") == 1
        assert not (root / PAGE).exists()
        loaded = load(root)
        assert loaded.problems == ()
        assert loaded.logbook is not None
        [record] = [each for each in loaded.logbook.of_kind(Work) if each.seal is not None]
        assert (record.did, record.name) == (("shell",), sealed.stem)


ODD = (
    *("", " ", "\u00a0", "\u200b", "\u3000", "\x00", "\x1b[A", "\x9b31m", "\u202eabc", "\udc80", "____", "_", "-", ":"),
    *("- [x] `a` b", "F1 x", "found: F9 crack", "cleared: 2026-11-25 x", "```", "---", "<!--", "9" * 20, "-1", "1e5"),
    *(
        "76 psi (at least x)",
        "76 (words)",
        "½",
        "٣",
        "２",
        "x" * 20_000,
        "a: b: c",
        "31.5.2031",
        "2031-02-30",
        "y",
        "n",
    ),
)
# Every question of the walk: the box at which it is asked, and what leads to it.
QUESTIONS = (
    *(("shell", start) for start in ((), ("n",), ("d",), ("r",), ("t",), ("t", "x"), ("g",), ("w", "0"))),
    *(("shell", ("f", *start)) for start in ((), ("crack",), *(("crack", limit) for limit in "234w"))),
    *(("F1", start) for start in ((), ("c",), ("p",), ("p", "2"), ("p", "3"), ("p", "4"))),
    *(("compression", start) for start in (("o",), ("o", "76", "76"), ("o", "5"), ("o", "5", "m"), ("o", "5", "c"))),
    *(("bottle", ("o",)), ("altimeter", ("o",)), ("oil", ("o",)), ("oil", ("o", "x"))),
    *(("stick-bolt", ("o",)), ("stick-bolt", ("o", "0")), ("stick-bolt", ("o", "0", "Zoe Zerk"))),
    ("refit", ("o", "o")),
)


class TestOddAnswers:
    @pytest.mark.parametrize(("name", "start"), QUESTIONS, ids=lambda each: "-".join(each) if each else "at-once")
    def test_no_fault_nothing_acts_and_the_page_reads_back(
        self, run: Run, tmp_path: Path, name: str, start: tuple[str, ...]
    ) -> None:
        # Every other word here, the rest at the next question.
        for answer in ODD[QUESTIONS.index((name, start)) % 2 :: 2]:
            # What goes back on has come off first.
            first = ("remove",) if name == "refit" else ()
            root = walk_store(tmp_path, *dict.fromkeys((*first, name, "shell", "baffles")))
            outcome = run(root, "walk", typed=(*start, answer, answer, answer))
            assert outcome.code == 0, (answer, outcome.err)
            assert acting(outcome.out) == [], answer
            page(root)

    def test_prompts_are_inert(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        path = root / "checklists/nose/cowl.md"
        for mark in ("\x1b[2J", "\x9b2J", "\u202e", "\x07"):
            path.write_text(COWL.replace("where it leaks", f"where{mark}it leaks"), encoding="utf-8")
            outcome = run(root, "walk", typed=("o", "76", "76", "x", "o"))
            assert acting(outcome.out) == [], mark


def command(root: Path, *, stdin: object, env: dict[str, str] | None = None) -> "subprocess.CompletedProcess[bytes]":
    """`walk` as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "inspect_kit", "--store", str(root), "walk"],
        stdin=stdin,  # type: ignore[call-overload]
        capture_output=True,
        check=False,
        env={**os.environ, **(env or {})},
    )


class TestTheCommand:
    def test_closed_standard_input_ends_the_walk(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell")
        closed = f'exec "{sys.executable}" -m inspect_kit --store "{root}" walk 0<&-'
        done = subprocess.run(["bash", "-c", closed], capture_output=True, check=False)
        assert done.returncode == 0, done.stderr
        assert b"0 of 1 boxes are settled" in done.stdout

    def test_output_that_cannot_show_a_character_escapes_it(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "run-before", "compression")
        done = command(root, stdin=subprocess.DEVNULL, env={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
        assert done.returncode == 0, done.stderr
        assert done.stdout.isascii()

    def test_input_that_is_no_text(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        (tmp_path / "typed").write_bytes(b"\xff\xfe\n" * 3 + b"o\n")
        with (tmp_path / "typed").open("rb") as stream:
            done = command(root, stdin=stream)
        assert done.returncode == 0, done.stderr
