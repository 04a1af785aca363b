"""How the walk talks: single keys at a terminal, whole lines in a pipe or with `--lines`. Nothing here knows a page."""

import os
import re
import shutil
import sys
from collections.abc import Callable, Sequence
from dataclasses import field

import click

from inspect_kit.cli.said import PRESSES
from inspect_kit.cli.walk_keys import END, NOT_TEXT, RESIZED, Keyboard, came_behind, one_key
from inspect_kit.noun import dataclass
from inspect_kit.report import terminal
from inspect_kit.report.measure import in_lines, wrap
from inspect_kit.text.source import odd_character

NARROWEST, WIDEST = 32, 100
COLUMN = re.compile(r"\S.{,20}?  +(?=\S)")
ROOM_TO_TYPE = 24


class WalkStopped(Exception):
    """The person stops the walk, or the input has ended."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One answer: its key, the word beside it, and what it does, for `?`; `also` is a second key for it.

    What is not `shown` stands only behind `?`.
    """

    key: str
    word: str
    does: str = ""
    also: str = ""
    shown: bool = True


STOP = Choice(key="s", word="stop", does="all that was answered is saved", shown=False)
MORE = Choice(key="?", word="more", does="this list")


@dataclass(slots=True)
class Talk:
    """One conversation: by single keys where `source` is a terminal that gives them, else by whole lines.

    `pinned` are the cautions of what is asked about; `below` counts the lines of the window from the first of them on.
    """

    source: Keyboard | None = None
    pinned: list[str] = field(default_factory=list)
    below: int = 0

    def width(self) -> int:
        """Columns to write in: those of the window, but no more than can be read."""
        columns = self.source.size()[0] if self.source else shutil.get_terminal_size().columns
        return max(NARROWEST, min(columns - 1, WIDEST))

    def wrapped(self, text: str, indent: str = "", hang: str = "") -> str:
        """Lines no wider than the window, broken between words; nothing in them acts on the terminal.

        What stands before two blanks or more, such as a number or an example, is a column of its own.
        """
        lines: list[str] = []
        for line in terminal.safe(text).split("\n"):
            match = COLUMN.match(line)
            column = match.group() if match else ""
            first, *more = wrap(line[len(column) :], self.width() - len(indent) - max(len(hang), len(column)))
            lines += [indent + column + first, *(indent + hang + each for each in more)]
        return _possible("\n".join(lines))

    def say(self, text: str = "", *, indent: str = "", hang: str = "", strong: bool = False) -> None:
        """Say something; `indent` is for all its lines, `hang` for all but the first.

        The mark of what presses stands out as it does on a page, and the words beside one another.
        """
        presses = text.startswith(f"{PRESSES} ")
        told = self.wrapped(text, indent, " " * (len(PRESSES) + 1) if presses else hang)
        self._counted(told)
        if presses:
            click.echo(indent, nl=False)
            click.secho(PRESSES, bold=True, fg=None if os.environ.get("NO_COLOR") else "red", nl=False)
            told = told.removeprefix(indent + PRESSES)
        click.secho(told, bold=strong)

    def drawn(self, lines: str) -> None:
        """Lines that were drawn to the width of the window already, each with its ending."""
        self._counted(lines.removesuffix("\n"))
        click.echo(lines, nl=False)

    def begin(self) -> None:
        """Something else is asked about from here on: no caution of before stands over it."""
        self.pinned.clear()
        self.below = 0

    def caution(self, text: str) -> None:
        """What can hurt somebody. Until something else begins it is in sight whenever anything is asked."""
        self.pinned.append(text)
        self._caution(text)

    def _caution(self, text: str) -> None:
        """The first word is set off: in the terminal's own ink, which no ground swallows."""
        word, told = "CAUTION", self.wrapped(f"CAUTION: {text}", hang="  ")
        self._counted(told)
        click.secho(word, bold=True, reverse=True, nl=False)
        click.secho(told.removeprefix(word), bold=True)

    def _counted(self, told: str) -> None:
        if self.pinned:
            self.below += told.count("\n") + 1

    def _keep_cautions(self, coming: int) -> None:
        """Say the cautions once more where so many lines to come would push the first of them out of the window."""
        if self.source is None or not self.pinned or self.below + coming <= self.source.size()[1]:
            return
        self.below = 0
        for text in self.pinned:
            self._caution(text)

    def choose(self, choices: Sequence[Choice], draw: Callable[[], None]) -> str:
        """The key of the choice that is made; Stop when the person stops or the input has ended.

        `draw` shows what is chosen about; it has been called before, and is again when the window has changed. Enter
        alone, or an empty line, chooses nothing.
        """
        offered = (*choices, STOP, MORE)
        self._offer(offered)
        while True:
            chosen = self._key(offered) if self.source else self._word(offered)
            if chosen is None:
                draw()
                self._offer(offered)
            elif chosen is STOP:
                raise WalkStopped
            elif chosen is MORE:
                self._explain(offered)
                self._offer(offered)
            else:
                return chosen.key

    def line(self, prompt: str, *, prose: bool = False) -> str:
        """A line that is typed, with single blanks between its words; "" when it is empty. Stop at the end of input.

        Of a text of several lines that is pasted nothing answers what is asked next: as `prose` it is one line,
        elsewhere none of it is taken.
        """
        while True:
            lines = self.lines(prompt)
            if len(lines) <= 1:
                return "".join(lines)
            if prose:
                self.say(f"Taken as one line: {' '.join(lines)}", indent="  ")
                return " ".join(lines)
            told = f"Not taken: {len(lines)} lines at once, and one is asked here: type it, or paste one."
            self.say(told, indent="  ")

    def lines(self, prompt: str) -> list[str]:
        """The same, and those that were pasted with it; no line of these is empty."""
        while True:
            *above, last = self.wrapped(prompt, "  ").split("\n")
            self._keep_cautions(len(above) + 2)
            if above or len(last) + ROOM_TO_TYPE > self.width():
                # What is typed begins on a line of its own, so that its words stay whole as well; so it does wherever
                # a question is broken.
                above, last = [*above, last], "  >"
            for text in above:
                click.echo(text)
            self._counted("\n".join([*above, last]))
            typed = self._line(f"{last} ")
            lines = (typed + ("" if self.source else came_behind())).split("\n")
            if len(lines) > 1:
                self._counted("\n".join(lines[1:]))
                # The last of them has its Enter, or none.
                click.echo(nl=bool(lines[-1]))
            odd = next(filter(None, map(odd_character, lines)), None)
            if odd is None:
                return [" ".join(line.split()) for line in lines if line.strip()]
            self.say(f"Not taken: {odd}.", indent="  ")

    def _offer(self, choices: Sequence[Choice]) -> None:
        told = [terminal.safe(f"{choice.key} {choice.word}") for choice in choices if choice.shown]
        # A list above may be out of sight after a key that is none of them.
        if listed := [choice.key for choice in choices if choice.key.isdigit() and not choice.shown]:
            told.insert(0, f"{listed[0]}-{listed[-1]} of the list")
        lines = in_lines((f" {each}" for each in told), self.width() - 1)
        self._keep_cautions(len(lines) + 1)
        for line in lines:
            click.echo(_possible(f" {line}"))
        # And the line on which the key stands.
        self._counted("\n".join([*lines, ""]))

    def _explain(self, choices: Sequence[Choice]) -> None:
        """Every choice with what it does."""
        for choice in choices:
            key = f"{choice.key} or space" if choice.also == " " else choice.key
            self.say(f"{key}: {choice.word}" + (f", {choice.does}" if choice.does else ""), indent="    ", hang="   ")
        if self.source:
            told = "One key answers, without Enter. A key that is held, or several at once, answer nothing."
            self.say(told, indent="    ")

    def _key(self, offered: Sequence[Choice]) -> Choice | None:
        """The choice of a single key; None to draw again."""
        assert self.source is not None
        while True:
            key = one_key(self.source, ready=self._ready, refused=lambda: self._refused(offered))
            if key == END:
                raise WalkStopped
            if key == RESIZED:
                click.clear()
                return None
            for choice in offered:
                if key in (choice.key, choice.also or choice.key):
                    click.echo(_possible(wrap(terminal.safe(choice.word), self.width() - 4)[0]))
                    return choice
            click.echo()
            told = "Enter answers nothing" if key in "\r\n" else f"`{key}` is none of them" if key.isprintable() else ""
            self.say(f"{told or 'That is none of them'}: press one of these.", indent="  ")
            self._offer(offered)

    def _ready(self) -> None:
        click.echo("  > ", nl=False)

    def _refused(self, offered: Sequence[Choice]) -> None:
        """Nothing is answered; what may be is offered again, which many of these would push out of the window."""
        click.echo()
        self.say("Several keys, or one that is held: nothing is answered. Let go, then press one key.", indent="  ")
        self._offer(offered)

    def _word(self, offered: Sequence[Choice]) -> Choice:
        """The choice that a whole line names by its key or its word."""
        while True:
            typed = " ".join(self._line("  > ").split()).casefold()
            for choice in offered:
                if typed in (choice.key, choice.word.casefold()):
                    return choice
            if typed:
                self.say(f"`{typed[:40]}` is none of them; ? shows all.", indent="  ")

    def _line(self, prompt: str) -> str:
        typed = self.source.line(prompt) if self.source else _from_stdin(prompt)
        if typed is None:
            raise WalkStopped
        return typed


def _possible(text: str) -> str:
    """Text in characters that standard output has."""
    return terminal.possible(text, getattr(sys.stdout, "encoding", None) or "utf-8")


def _from_stdin(prompt: str) -> str | None:
    """A line of standard input without its ending; None when there is no more, or no standard input at all."""
    click.echo(prompt, nl=False)
    if sys.stdin is None or sys.stdin.closed:
        return None
    try:
        typed = sys.stdin.readline()
    except UnicodeDecodeError:
        return NOT_TEXT
    if not sys.stdin.isatty():
        # A terminal shows what is typed; input from a pipe is shown here.
        click.echo(terminal.safe(typed.rstrip("\r\n")))
    return typed.removesuffix("\n").removesuffix("\r") if typed else None
