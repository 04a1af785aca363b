"""What is said and asked beside an answer: broken between words where a terminal would break inside them.

In a pipe a message stays one line, so that whatever reads it finds its words.
"""

import sys
from typing import TextIO

import click

from inspect_kit.report.inert import inert
from inspect_kit.report.measure import width, wrap

# Room that a question leaves for what is typed behind it.
ANSWER = 12
NARROWEST = 20
YES, NO, EITHER = "yes", "no", "yes, no"


def say(text: str, *, err: bool = False) -> None:
    """A message on standard output, or on standard error, with nothing in it that acts on a terminal."""
    click.echo(broken(inert(text, lines=True), sys.stderr if err else sys.stdout), err=err)


def broken(text: str, stream: TextIO, *, room: int = 0) -> str:
    """Text in lines that the terminal of this stream holds, `room` less; as it is where the stream is none.

    A line that goes on is indented as its first one, and two further where that is indented.
    """
    import shutil

    try:
        if not stream.isatty():
            return text
    except (OSError, ValueError):
        # A stream that was closed is no terminal.
        return text
    columns = max(NARROWEST, shutil.get_terminal_size().columns)
    lines = []
    for line in text.split("\n"):
        if width(line) <= columns - room:
            lines.append(line)
            continue
        blank = line[: len(line) - len(line.lstrip(" "))]
        more = blank + "  " if blank else ""
        first, *rest = wrap(line, columns - room - len(more))
        lines += [blank + first, *(more + each for each in rest)]
    return "\n".join(lines)


def asked(words: str, *, default: str | None = None, show_default: bool = False, err: bool = False) -> str | None:
    """What a person types; None where the input has ended."""
    question = broken(inert(words, lines=True), sys.stderr if err else sys.stdout, room=ANSWER)
    try:
        return str(click.prompt(question, default=default, show_default=show_default, err=err))
    except click.Abort as stopped:
        if isinstance(stopped.__context__, EOFError):
            click.echo(err=err)
            return None
        raise


def yes_or_no(typed: str) -> bool | None:
    """Whether an answer is a yes, or a no, or the beginning of one; None for neither."""
    said = typed.strip().casefold()
    return next((word == YES for word in (YES, NO) if said and word.startswith(said)), None)


def confirmed(question: str, *, enter: bool | None = False) -> bool | None:
    """A yes or a no to a question, asked until it is one; `enter` is what Enter says (None: it is asked again).

    None where the input has ended.
    """
    hint = EITHER if enter is None else f"{EITHER}; Enter: {YES if enter else NO}"
    while True:
        typed = asked(f"{question} ({hint})", default="", err=True)
        if typed is None:
            return None
        if not typed.strip() and enter is not None:
            return enter
        answer = yes_or_no(typed)
        if answer is not None:
            return answer
        say("  expected yes or no", err=True)
