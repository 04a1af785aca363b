"""The answers of a long talk, kept in a file until the talk is done, so that it goes on where it broke off."""

import contextlib
import os
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import field
from pathlib import Path

import click

from inspect_kit import store
from inspect_kit.cli.said import BACK, TYPED, asked, confirmed, say, somebody
from inspect_kit.errors import INTERRUPTED, InspectKitError, Misused, Problem
from inspect_kit.noun import dataclass
from inspect_kit.report.words import counted
from inspect_kit.text.fields import Scalar, read_yaml, write_yaml
from inspect_kit.text.grammar import Unreadable

# As many letters of the name of a folder as are taken into the name of its answers.
LONGEST = 50
# A full stop ends the questions, `=` is an answer before once more, `-` leaves open what may stay so.
STOP, SAME, OPEN = ".", "=", "-"
# By this a file of answers is known, so that no other file is taken for one, written over or taken away.
OURS = "answers"
NEW, IMPORT = "kept by inspect-kit new until the store is made", "kept by inspect-kit import until all is asked"
# Under this the answers about a table say by its digest which one that was.
TABLE = "table"

# Where a question says what Enter takes: by itself, or behind the answers that there are.
ENTER = re.compile(r" \((?P<answers>[^()]*; )?Enter: (?P<takes>[^()]*)\)$")

Reads = Callable[[str], str]
# What is doubtful in an answer, as a sentence; "" if nothing is.
Doubts = Callable[[str], str]


class Ended(Exception):
    """A full stop, or the end of the input, where an answer may be left out: nothing more is asked."""


class Back(Exception):
    """The question before is to be asked again."""


@dataclass(slots=True)
class Answers:
    """Everything answered so far by question, in the file in which it is kept; "" is `not known`.

    `order` has the questions that a person answered, the last one last; `before` what was answered to those that were
    gone back to, so that Enter can keep it.
    """

    path: Path
    told: dict[str, str] = field(default_factory=dict)
    order: list[str] = field(default_factory=list)
    before: dict[str, str] = field(default_factory=dict)
    ours: str = NEW

    @classmethod
    def beside(cls, folder: Path) -> "Answers":
        """The answers kept from an earlier run, or none."""
        whole = folder.resolve()
        # Behind a name that is nearly too long for the disk there would be no room for this one's ending.
        return cls.kept_in(whole.parent / f"{whole.name[:LONGEST]}.answers.yaml", NEW)

    @classmethod
    def kept_in(cls, path: Path, ours: str) -> "Answers":
        answers = cls(path, ours=ours)
        if not os.path.lexists(path):
            return answers
        if path.is_symlink() or not path.is_file():
            raise Misused(f"{path} is no file of answers: take it away to begin anew")
        problems: Sequence[Problem] = ()
        try:
            node, problems = read_yaml(path.read_text(encoding="utf-8"), path.name)
        except OSError:
            return answers
        except UnicodeDecodeError:
            node = None
        if node is None or problems:
            raise Misused(f"{path} cannot be read: mend it, or take it away to begin anew")
        answers.told = {key.text: value.text for key, value in node.pairs if isinstance(value, Scalar)}
        if answers.told.pop(OURS, None) != ours:
            told = f"{path} is no file of answers that this command kept"
            raise Misused(f"{told}: give {'the folder' if ours == NEW else 'the table'} another name, or move that")
        answers.order = [*answers.told]
        return answers

    @property
    def many(self) -> str:
        """`6 answers are kept in FILE`"""
        return f"{counted(len(self.order), 'answer is', 'answers are')} kept in {self.path}"

    def keep(self, key: str, value: str) -> None:
        self.told[key] = value
        self.order = [*(each for each in self.order if each != key), key]
        self.write()

    def take_back(self) -> None:
        """The last answer is given anew; the first question has none before it."""
        if self.order:
            key = self.order.pop()
            self.before[key] = self.told.pop(key)
            self.write()

    def write(self) -> None:
        # Where nothing can be kept the talk goes on: whether the store itself can be made is said at its end.
        with contextlib.suppress(OSError):
            half = self.path.with_name(f".{self.path.name}.half")
            half.unlink(missing_ok=True)
            with half.open("x", encoding="utf-8", newline="\n") as stream:
                stream.write(write_yaml({OURS: self.ours, **{key: self.told[key] for key in self.order}}))
            os.replace(half, self.path)

    def forget(self) -> None:
        """All that was asked is done: what was answered stands in what was made of it."""
        with contextlib.suppress(OSError):
            self.path.unlink(missing_ok=True)


@contextlib.contextmanager
def kept_of_table(path: Path, digest: str, mark: store.AnswerMark) -> Iterator[None]:
    """What is asked within this of a table is kept when somebody stops half-way, and not asked again as long as the
    table is the same.
    """
    typed = TYPED.get()
    assert typed is not None
    answers = Answers.kept_in(path, IMPORT)
    # A run that begins anew has what was typed in this one; whoever went back to the first question has nothing.
    if answers.told and not typed.goes_on:
        if answers.told.pop(TABLE, None) == digest:
            typed.lines += answers.told.items()
            many = counted(len(typed.lines), "answer is", "answers are")
            say(f"{many} kept in {path}; it goes on there.", err=True, always=True)
        else:
            say(f"The table has changed since {path} was kept: all is asked anew.", err=True)
    typed.goes_on = True
    try:
        yield
    except (click.Abort, Misused) as stopped:
        if not typed.lines:
            # What was answered before stands beside the table by now.
            answers.forget()
        left = isinstance(stopped, click.Abort) or (typed.ended and somebody())
        if not left or not typed.lines:
            raise
        try:
            text = write_yaml({OURS: IMPORT, TABLE: digest, **dict(typed.lines)})
            store.write_outside(path, text.encode(), mark, force=True)
        except InspectKitError:
            raise stopped from None
        click.echo(err=True)
        say(f"interrupted; the answers are kept in {path}: the same command goes on there", err=True)
        raise click.exceptions.Exit(INTERRUPTED) from None
    answers.forget()


def said(words: str, *, kept: str = "", default: str = "") -> str | None:
    """What a person answers; None where the input has ended, Back where the question before is to be asked again.

    Enter takes what was `kept` from before, else the default.
    """
    if kept:
        hint = ENTER.search(words)
        among = hint["answers"] or "" if hint else ""
        # What Enter takes elsewhere is then what `-` means.
        open_now = f"; {OPEN}: {hint['takes']}" if hint and not among else ""
        words = f"{ENTER.sub('', words)} ({among}Enter: {_shown(kept)}{open_now})"
    typed = asked(words, default=kept or default, err=True)
    if typed is not None and typed.strip() == BACK:
        raise Back
    return typed


def _shown(value: str) -> str:
    """An answer of several words without the places that were left open at its end."""
    return value.rstrip(" ,")


def optional(answers: Answers, key: str, words: str, read: Reads, doubt: Doubts = lambda value: "") -> None:
    """Ask what need not be known; Ended after a full stop, and where the input has ended.

    What cannot be read, or is not meant so after all, is asked again; what is taken from another answer is shown.
    """
    if STOP in answers.told:
        raise Ended
    if key in answers.told:
        return
    instead: list[str] = []
    while True:
        typed = instead.pop() if instead else said(words, kept=answers.before.get(key, ""))
        typed = None if typed is None else " ".join(typed.split())
        if typed == STOP:
            answers.keep(STOP, STOP)
        if typed in (None, STOP):
            raise Ended
        try:
            value = read(typed) if typed not in ("", OPEN) else ""
        except Unreadable as fault:
            say(f"  {fault.message}", err=True)
            continue
        if typed == SAME:
            say(f"  {SAME} {_shown(value)}", err=True)
        if value and (question := doubt(value)):
            # The right answer itself is an answer to that, too.
            sure = confirmed(f"  {question} Is it right?", no=BACK, instead=instead.append)
            if sure is None:
                raise Ended
            if not sure:
                continue
        answers.keep(key, value)
        return
