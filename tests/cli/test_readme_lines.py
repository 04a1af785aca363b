"""The README's first hour, and what it says for when something happens: every line works when it is typed."""

import contextlib
import datetime as dt
import io
import os
import re
import shutil
import sys
from pathlib import Path
from unittest import mock

import pytest

from inspect_kit import store
from inspect_kit.cli import main as program
from inspect_kit.inspection import edit
from inspect_kit.inspection.questions import open_questions
from inspect_kit.inspection.walk import blanks, check_of_box
from inspect_kit.model.checklist import Bound, Check
from inspect_kit.model.logbook import Logbook
from tests.cli import readme
from tests.cli.readme import Block, Typed

# The day of the records that the README shows, and one a quarter of a year later.
DAY, LATER = dt.date(2026, 11, 28), dt.date(2027, 2, 26)
HOUR = readme.section("## Your own aircraft: a first hour")
WHEN = readme.parts(readme.section("## When ... happens"), "###")


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Typist:
    """Types README's lines, one after another, in the folder in which each ended; keeps what was said and written."""

    def __init__(self, folder: Path, on: dt.date) -> None:
        self.folder, self.on = folder, on
        self.said, self.sheet = "", ""
        self.wrote: list[Path] = []

    def types(self, typed: Typed) -> None:
        """One line; it must end well, ask what the README says and nothing else that wants an answer."""
        words = readme.words(typed.line)
        if words[0] == "cd":
            self.folder = (self.folder / words[1]).resolve()
            assert self.folder.is_dir(), typed.line
        elif words[0] == "git":
            done = readme.git(self.folder, words[1:])
            assert done.returncode == 0, (typed.line, done.stderr)
        else:
            self._runs(typed, words[1:])

    def _runs(self, typed: Typed, words: list[str]) -> None:
        before = self.records()
        words = [word.replace("k3f9qx", self.sheet) for word in words]
        if words[0] == "sign":
            self.settle()
        # Whoever sits at a terminal is asked more; the walk reads keys from one, not lines.
        lines = "".join(f"{answer}\n" for _, answer in typed.answers)
        answers = io.StringIO(lines) if words[0] == "walk" else Terminal(lines)
        code, out = self._ran(words, answers)
        self.said = " ".join(out.split())
        assert code == 0, (typed.line, out)
        at = 0
        for question, _ in typed.answers:
            # `...` stands for the words of a check that are left out.
            for part in f"{question}:".split(" ... "):
                found = self.said.find(part, at)
                assert found >= 0, (typed.line, question, self.said[at:])
                at = found + len(part) - 1
        self.wrote = sorted({*self.records()} - {*before})
        if match := re.search(r"--from-paper (\w+)`", self.said):
            self.sheet = match.group(1)

    def _ran(self, words: list[str], answers: io.StringIO) -> tuple[int, str]:
        """The exit code, and what was said on both streams."""
        told, before = Terminal(), Path.cwd()
        os.chdir(self.folder)
        try:
            with (
                mock.patch.object(program, "today", return_value=self.on),
                mock.patch.object(sys, "stdin", answers),
                mock.patch.dict(os.environ, {"COLUMNS": "200"}),
                contextlib.redirect_stdout(told),
                contextlib.redirect_stderr(told),
            ):
                return program.main(words), told.getvalue()
        finally:
            os.chdir(before)

    def records(self) -> list[Path]:
        return sorted(self.folder.glob("records/20*/*.yaml"))

    def logbook(self) -> Logbook:
        loaded = store.load(self.folder)
        assert loaded.logbook is not None
        assert not loaded.problems
        return loaded.logbook

    def settle(self) -> None:
        """What an owner does at the aircraft: every box that is still open, by pen."""
        logbook = self.logbook()
        (page,) = logbook.pages
        path = self.folder / page.place.file
        sheet = edit.opened(path.read_text(encoding="utf-8"), page.place.file)
        assert sheet is not None
        for at, entry in enumerate(sheet.entries):
            check = check_of_box(logbook, entry)
            if not entry.answered:
                sheet = edit.tick_in_order(sheet, at)
            for blank in blanks(sheet.entries[at], check):
                if blank.is_reading:
                    sheet = edit.measure(sheet, at, blank.key, _reading(blank.key, check))
                else:
                    told = {"second look by": "Your Helper", "used": "as planned", "paper": "work order 7"}
                    sheet = edit.write(sheet, at, blank.key, told.get(blank.key, "2031-05-31"))
        for key in open_questions(logbook, sheet.page):
            sheet = edit.answer_page(sheet, key, "no change" if key == "equipment" else "{not needed: ground run}")
        path.write_text(sheet.text, encoding="utf-8")


def _reading(label: str, check: Check | None) -> str:
    """A value within its limit, or words where words are asked."""
    asked = next(each for each in check.reads if label in each.labels) if check else None
    if asked is None or asked.in_words:
        return "nothing found"
    bound = asked.bound or Bound()
    within = bound.low if bound.low is not None else bound.high
    return "40" if within is None else str(within)


def lives(typist: Typist, text: str, without: tuple[str, ...] = ()) -> list[Block]:
    """Do what a section says, `without` some commands; its blocks."""
    found = list(readme.blocks(text))
    for block in found:
        if block.file:
            path = typist.folder / block.file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(block.body, encoding="utf-8")
        for typed in block.typed:
            if readme.words(typed.line)[1] not in without:
                typist.types(typed)
        if block.before == "The record:":
            shown = [_plain(path.read_text(encoding="utf-8")) for path in typist.wrote]
            assert _plain(block.text) in shown, "\n".join(shown)
    return found


def _plain(text: str) -> str:
    """A record without the seals that it came after, and without the codes and digests of one store."""
    text = re.sub(r"(?m)^after:.*\n(?:[ -].*\n)*", "", text)
    text = re.sub(r"(2026-11-28-\S+-)[a-z0-9]{4}(?=#F1$|$)", r"\1k3f9", text, flags=re.MULTILINE)
    return re.sub(r"[0-9a-f]{64}", "...", text)


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in which every line of the first hour was typed, on the day of the records that the README shows."""
    folder = tmp_path_factory.mktemp("hour")
    _the_first_hour(Typist(folder, DAY))
    return folder


def _the_first_hour(hand: Typist, without: tuple[str, ...] = ()) -> None:
    """Every line of it, from an empty folder to a signed inspection."""
    lives(hand, HOUR, without)
    logbook = hand.logbook()
    (inspection,) = [record for record in logbook.records if record.seal is not None]
    assert inspection.date == hand.on
    assert logbook.signatures(inspection.name)
    assert not logbook.pages


def test_the_first_hour(lived: Path) -> None:
    assert [path.name for path in lived.iterdir() if path.is_dir()] == ["my-plane"]


def test_the_first_hour_a_quarter_later(tmp_path: Path) -> None:
    """The same in another year; all but the plans again."""
    _the_first_hour(Typist(tmp_path, LATER), without=("plan",))


@pytest.mark.parametrize("what", WHEN)
def test_when_it_happens(what: str, lived: Path, tmp_path: Path) -> None:
    """Each by itself, after the first hour; the records are as shown."""
    shutil.copytree(lived, tmp_path / "home", symlinks=True)
    (tmp_path / "home" / "filter.jpg").write_bytes(b"\xff\xd8\xff\xe0 a picture")
    found = lives(Typist(tmp_path / "home" / "my-plane", DAY), WHEN[what])
    assert any(block.typed for block in found), "it says nothing to type"


def test_each_that_the_issue_names_is_told() -> None:
    """Common practice, no source: what an owner of a home-built aeroplane meets in two years."""
    told = " ".join(WHEN).casefold()
    for what in (
        *("puncture", "oil change", "magneto", "tachometer", "mechanic", "wrong entry", "photograph", "flight"),
        *("print", "two clones", "sold", "id "),
    ):
        assert what in told, what
