"""One walk of a page: what is on the disk, what was left for later, and the way back."""

import shutil
import textwrap
from dataclasses import dataclass, field

import click

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.sheets import again, save
from inspect_kit.inspection import edit
from inspect_kit.model.logbook import Logbook
from inspect_kit.report import terminal
from inspect_kit.store import ChangedSinceRead, load

STOP = "stop"


@dataclass(slots=True)
class Walk:
    """One walk: the page with the bytes it was read from, what was left for later, and the way back."""

    desk: Desk
    logbook: Logbook
    sheet: edit.OpenPage
    read: bytes
    by: str
    later: set[int] = field(default_factory=set)
    trail: list[int] = field(default_factory=list)

    def keep(self, sheet: edit.OpenPage) -> bool:
        """Save; when the page was changed by hand meanwhile, read it again and say so."""
        try:
            self.read = save(self.desk, sheet, self.read)
        except ChangedSinceRead:
            file = self.sheet.page.place.file
            self.read = load(self.desk.root).files[file]
            self.sheet = again(self.read, file)
            say("The page was changed by hand meanwhile. It was read again; please answer once more.")
            return False
        self.sheet = sheet
        return True


# Holds the words of one answer together when a line is wrapped.
JOINT = "\u00a0"


def wrapped(text: str) -> str:
    """Lines no wider than the terminal (40 to 100 columns), broken between words."""
    room = max(40, min(shutil.get_terminal_size().columns - 1, 100))
    lines = (textwrap.fill(line, room, subsequent_indent="  ", break_long_words=False) for line in text.split("\n"))
    return "\n".join(lines).replace(JOINT, " ")


def say(text: str = "", *, strong: bool = False) -> None:
    click.secho(wrapped(terminal.safe(text)), bold=strong)


def ask(text: str, default: str = "") -> str:
    answer: str = click.prompt(wrapped(text), default=default, show_default=False, prompt_suffix=" ")
    return answer.strip()
