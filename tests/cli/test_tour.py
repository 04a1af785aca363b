"""The tour goes through: the README's first command runs the whole job, and no answer is other than it must be."""

import errno
import io
import re
import sys
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import main as program
from inspect_kit.cli import touring
from tests.cli.conftest import Run


def test_ctrl_c_while_a_step_runs_is_no_fault(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(store, "load", stopped)
    told = run(None, "tour")
    assert (told.code, "fault" in told.err, "interrupted" in told.err) == (130, False, True)


@pytest.mark.parametrize(("number", "code"), [(errno.EPIPE, 0), (errno.ENOSPC, 3)])
def test_an_answer_that_nobody_takes_while_a_step_runs_is_no_fault(
    run: Run, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], number: int, code: int
) -> None:
    class Lost(io.StringIO):
        """Standard output that breaks off behind the name of the first command."""

        def write(self, text: str) -> int:
            if "reason" in self.getvalue() + text and "$ " in self.getvalue():
                raise OSError(number, "gone")
            return super().write(text)

    monkeypatch.setattr(sys, "stdout", Lost())
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert program.main(["tour"]) == code
    assert "fault" not in capsys.readouterr().err


def test_a_command_of_the_tour_is_not_broken_inside_a_word_on_a_narrow_terminal(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Shown(io.StringIO):
        def isatty(self) -> bool:
            return True

    def ended(*_: object) -> int:
        raise KeyboardInterrupt

    shown = Shown()
    monkeypatch.setattr(sys, "stdout", shown)
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setattr(program, "main", ended)
    words = ("start", "condition", "tach=250.4", "hobbs=782.1", "landings=1776")
    with pytest.raises(KeyboardInterrupt):
        touring._Tour(Path(), can_wait=False).step("x", *words)
    told = "$ inspect-kit start condition tach=250.4 hobbs=782.1 \\\n    landings=1776\n"
    assert told in shown.getvalue()


def test_the_tour_goes_through(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # As at a terminal, where `sign` asks more than in a pipe: what the tour types goes to the question it is meant for.
    monkeypatch.setattr("inspect_kit.cli.signing.somebody", lambda: True)
    told = run(None, "tour", "--to", str(tmp_path / "report.html"))
    assert told.code == 0
    # What the plan takes in of its own is said beside it, and what comes after `start`; nothing else is.
    beside = ("Owed by this work itself, and taken in: ", "Next: inspect-kit walk")
    assert all(line.startswith(beside) for line in told.err.splitlines())
    assert "That was the whole job." in told.out
    assert "This loading stays inside the limits" in told.out

    # Few lines a step; what is left out is counted, with the command that shows it.
    steps = re.split(r"(?m)^\$ inspect-kit ", told.out)[1:]
    assert len(steps) > 10
    for step in steps:
        command, _, shown = step.partition("\n")
        # Behind the last empty line stands why the next step comes.
        lines = shown.rstrip("\n").rpartition("\n\n")[0].strip("\n").split("\n")
        more = [line for line in lines if line.startswith("    ... and ")]
        assert all(line.endswith(f": inspect-kit {command}") or "records/open/" in line for line in more), command
        # Behind what `start` says comes the head of the page.
        assert not more or len(lines) - len(more) <= (20 if command.startswith("start") else 15), step
        # No caution is cut, and no statement that somebody is to sign.
        assert not (more and re.search("CAUTION|To be signed", shown)), step

    # One story: the cylinder whose trend was shown is weak, its finding says so, and the mending answers it.
    assert 'trend "cylinder 3"' in told.out
    assert "Cylinder 3 reads 54" in told.out
    assert "cylinder 3 is 54 psi, the limit is at least 60" in " ".join(told.out.split())
    assert '"cylinder 3, 54 psi, leaks past the exhaust valve"' in told.out
    assert '"valve lapped in place, 72 psi after 5 min run"' in told.out

    # The report stays where it was asked for; at the end stand three commands.
    report = re.sub("</?span[^>]*>", "", (tmp_path / "report.html").read_text(encoding="utf-8"))
    assert "72 psi after 5 min run" in report
    assert told.out.splitlines()[-3:] == [
        "    inspect-kit new my-sample --sample",
        "    cd my-sample",
        "    inspect-kit due",
    ]
