"""What is said and asked beside an answer: broken between words where a terminal would break inside them.

In a pipe a message stays one line, so that whatever reads it finds its words.
"""

import os
import sys
from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import field
from typing import TextIO, TypeVar

import click

from inspect_kit.errors import Misused
from inspect_kit.noun import dataclass
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import width, wrap

# Room that a question leaves for what is typed behind it.
ANSWER = 12
NARROWEST = 20
# What is asked of a meter that is changed.
OLD_READ = "The old {} read last"
YES, NO, EITHER = "yes", "no", "yes, no"
# What goes back to the question before, wherever one follows another.
BACK = "<"
# Before what presses, in red on a terminal, as on every page.
PRESSES = "!!"
ONCE_MORE = f"Your answers are kept; the last question comes once more. {BACK} goes back further, Ctrl-C stops."
T = TypeVar("T")


class WentBack(Exception):
    """The command begins anew, with what was typed up to the question that is to be asked again."""


@dataclass(slots=True)
class TypedLines:
    """What was typed in this run, each line with its question; `at` of them were taken since it began anew.

    `kept` says whether something was written, which nothing typed takes back; `ended` whether the input has; `former`
    is what was typed at the questions that were gone back to; `given` what meters read by the line of the command, with
    the question that would ask it, and `anew` what was said in the place of that. `files` tell how the files of the
    store stand by now, `seen` how they stood at the first question. `goes_on` says whether what an earlier run kept was
    looked for.
    """

    kept: Callable[[], bool]
    files: Callable[[], object] = lambda: None
    seen: object = None
    lines: list[tuple[str, str]] = field(default_factory=list)
    former: dict[str, str] = field(default_factory=dict)
    given: dict[str, tuple[str, str]] = field(default_factory=dict)
    anew: dict[tuple[str, str], str] = field(default_factory=dict)
    at: int = 0
    ended: bool = False
    goes_on: bool = False

    def again(self, question: str) -> str | None:
        """What was typed at this question before the run began anew, if it was."""
        if self.at < len(self.lines) and self.lines[self.at][0] == question:
            self.at += 1
            return self.lines[self.at - 1][1]
        # Where another question comes up than before, what was typed answers it no more.
        del self.lines[self.at :]
        return None

    def add(self, question: str, line: str) -> None:
        self.lines.append((question, line))
        self.at += 1

    def drop_last(self) -> None:
        """Forget the last question, with all that was typed at it."""
        last = self.lines[-1][0] if self.lines else ""
        while self.lines and self.lines[-1][0] == last:
            self.lines.pop()
        self.at = len(self.lines)


TYPED: ContextVar[TypedLines | None] = ContextVar("typed", default=None)


def with_back(run: Callable[[], T], kept: Callable[[], bool], files: Callable[[], object] = lambda: None) -> T:
    """Run a command that asks, and run it anew whenever a person goes back to the question before, or has changed a
    file by which an answer was refused."""
    typed = TypedLines(kept, files)
    token = TYPED.set(typed)
    try:
        while True:
            typed.at, typed.seen = 0, None
            try:
                return run()
            except WentBack:
                continue
            except Misused as refused:
                # Whoever has answered ten questions does not begin anew because of one of them.
                if kept() or not typed.lines or typed.ended or _declined(*typed.lines[-1]) or not somebody():
                    raise
                if files_changed():
                    continue
                typed.at = len(typed.lines)
                say(f"inspect-kit: {refused}\n{ONCE_MORE}", err=True)
                typed.drop_last()
    finally:
        TYPED.reset(token)


def _declined(question: str, line: str) -> bool:
    """Whether a question whether to go on was answered with a no, which is an answer."""
    return f"({EITHER}" in " ".join(question.split()) and yes_or_no(line) is not True


def somebody() -> bool:
    """Whether a person sits at both ends."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))


def files_changed() -> bool:
    """Whether a file of the store has changed since the first question, so that what was refused may be right now."""
    typed = TYPED.get()
    return typed is not None and bool(typed.lines) and not typed.kept() and typed.files() != typed.seen


def forget_answer() -> None:
    """What was just typed was no answer: whoever goes back to another question does not see it refused again."""
    typed = TYPED.get()
    if typed is not None and typed.at:
        typed.at -= 1
        del typed.lines[typed.at]


def go_back() -> None:
    """Back to the question before that at which `<` was just typed, whatever asked it; said where there is none."""
    typed = TYPED.get()
    if typed is not None:
        typed.drop_last()
    if typed is None or not typed.lines:
        say("  this is the first question: there is none before it", err=True)
    elif typed.kept():
        say("  what was asked before is written: inspect-kit amend corrects it", err=True)
    else:
        question, line = typed.lines[-1]
        typed.former[" ".join(question.split())] = line.strip()
        typed.drop_last()
        raise WentBack


def keep_asked() -> None:
    """What was asked so far is kept where the command finds it again: one that begins anew asks none of it, so there is
    no going back to it, nor is it asked once more after a refusal.
    """
    typed = TYPED.get()
    if typed is not None:
        typed.lines.clear()
        typed.at = 0


def was_asked_more() -> bool:
    """Whether anything was asked before the last question."""
    typed = TYPED.get()
    return typed is not None and any(question != typed.lines[-1][0] for question, _ in typed.lines)


def as_given(meter: str, words: str, question: str = "") -> str:
    """What a meter reads by the line of the command, or as it was said anew after a doubt."""
    typed = TYPED.get()
    if typed is None:
        return words
    typed.given[meter] = (words, question or f"{meter} reads")
    return typed.anew.get((meter, words), words)


def read_anew(meter: str, read: Callable[[str], object]) -> None:
    """Ask what a meter reads once more, where its question was answered or the line said it, and begin the command
    anew with that: no other answer is lost. Nothing where neither is so.
    """
    from inspect_kit.text.grammar import Unreadable

    typed = TYPED.get()
    if typed is None:
        return
    begins = (f"{meter} reads", OLD_READ.format(meter))
    at = next((at for at, (words, _) in enumerate(typed.lines) if words.startswith(begins)), None)
    if at is None and meter not in typed.given:
        return
    typed.drop_last()
    given, question = typed.given.get(meter, ("", "")) if at is None else ("", typed.lines[at][0])
    while (line := asked(question, default="", err=True)) is not None:
        if line.strip() == BACK:
            go_back()
            continue
        forget_answer()
        try:
            read(line.strip().removeprefix(f"{meter}="))
        except Unreadable as fault:
            say(f"  {fault.message}", err=True)
            continue
        if at is None:
            typed.anew[meter, given] = line.strip()
        else:
            typed.lines[at] = (question, line)
        raise WentBack


def typed_before(words: str) -> str:
    """What was typed at a question, by its words without what Enter takes, before it was gone back to; or nothing."""
    typed, begin = TYPED.get(), " ".join(words.split())
    found = typed.former.items() if typed is not None else ()
    said = [line for question, line in found if question == begin or question.startswith(f"{begin} (Enter: ")]
    return said[-1] if said else ""


def say(text: str, *, err: bool = False, bold: bool = False, always: bool = False) -> None:
    """A message on standard output, or on standard error, with nothing in it that acts on a terminal.

    One that begins with the mark of what presses stands out as it does on a page.

    What was said already, before a question that was gone back over, is not said again, unless it is `always`.
    """
    typed = TYPED.get()
    if err and not always and typed is not None and typed.at < len(typed.lines):
        return
    shown = broken(inert(text, lines=True), sys.stderr if err else sys.stdout)
    if not shown.startswith(f"{PRESSES} "):
        click.secho(shown, err=err, bold=bold or None)
        return
    click.secho(PRESSES, err=err, bold=True, fg=None if os.environ.get("NO_COLOR") else "red", nl=False)
    click.secho(shown.removeprefix(PRESSES), err=err, bold=True)


def broken(text: str, stream: TextIO, *, room: int = 0) -> str:
    """Text in lines that the terminal of this stream holds, the last one `room` less; as it is where it is none.

    A line that goes on is indented as its first one, and two further where that is indented; below a mark it stands
    below the words.
    """
    try:
        if not stream.isatty():
            return text
    except (OSError, ValueError):
        # A stream that was closed is no terminal.
        return text
    import shutil

    columns = max(NARROWEST, shutil.get_terminal_size().columns)
    *before, last = text.split("\n")
    lines = [each for line in before for each in _in_window(line, columns)]
    *above, end = _in_window(last, columns)
    if width(end) > columns - room:
        return "\n".join([*lines, *_in_window(last, columns - room)])
    return "\n".join([*lines, *above, end])


def _in_window(line: str, columns: int) -> list[str]:
    """A line in lines of a window; one word alone, such as a path, is broken by the terminal, for whoever copies it."""
    if width(line) <= columns or " " not in line.strip():
        return [line]
    blank = line[: len(line) - len(line.lstrip(" "))]
    mark = line.startswith(f"{PRESSES} ")
    more = " " * (len(PRESSES) + 1) if mark else blank + "  " if blank else ""
    first, *rest = wrap(line, columns - len(more))
    return [blank + first, *(more + each for each in rest)]


def asked(words: str, *, default: str | None = None, err: bool = False) -> str | None:
    """What a person types; None where the input has ended."""
    # As a window breaks it, it would be another question in a wider one.
    question = inert(words, lines=True)
    typed = TYPED.get()
    if typed is not None and typed.seen is None:
        typed.seen = typed.files()
    if typed is not None and (before := typed.again(question)) is not None:
        return before
    shown = broken(question, sys.stderr if err else sys.stdout, room=ANSWER)
    try:
        line = str(click.prompt(shown, default=default, show_default=False, err=err))
    except click.Abort as stopped:
        if isinstance(stopped.__context__, EOFError):
            click.echo(err=err)
            if typed is not None:
                typed.ended = True
            return None
        raise
    if typed is not None:
        typed.add(question, line)
    return line


def yes_or_no(typed: str) -> bool | None:
    """Whether an answer is a yes, or a no, or the beginning of one; None for neither."""
    said = typed.strip().casefold()
    return next((word == YES for word in (YES, NO) if said and word.startswith(said)), None)


def confirmed(
    question: str, *, enter: bool | None = False, no: str = NO, instead: Callable[[str], None] | None = None
) -> bool | None:
    """A yes or a no to a question, asked until it is one; `enter` is what Enter says (None: it is asked again).

    None where the input has ended. `no` is another word for no: `<` where what is doubted is then asked again;
    `instead` takes what is neither and may be the answer itself to that, which is a no.
    """
    # Where Enter says neither it is no slip that stands in a record.
    hint = EITHER if enter is None else f"{EITHER}; Enter: {YES if enter else NO}"
    while True:
        typed = asked(f"{question} ({hint})", default="", err=True)
        if typed is None:
            return None
        if not typed.strip() and enter is not None:
            return enter
        if typed.strip() == no:
            return False
        if typed.strip() == BACK:
            go_back()
            continue
        answer = yes_or_no(typed)
        if answer is not None:
            return answer
        if instead is not None:
            instead(typed)
            return False
        forget_answer()
        say("  expected yes or no", err=True)
