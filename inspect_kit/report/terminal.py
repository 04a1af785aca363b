"""A page on a terminal: the lines of `plain`, set off by weight and a little colour. The only door to rich here."""

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from inspect_kit.report import plain
from inspect_kit.report.blocks import GOOD, PLAIN, QUIET, STOP, STRONG, WARN, Page
from inspect_kit.report.inert import inert

# Only colours that can be read on a light and on a dark ground, and never without a word that says the same.
STYLES = {
    PLAIN: "",
    STOP: "bold red",
    WARN: "bold",
    GOOD: "green",
    QUIET: "dim",
    STRONG: "bold",
    plain.TITLE: "bold",
    plain.HEADING: "bold",
    plain.CAUTION: "bold red",
}
WIDEST = 120


def renderables(page: Page, room: int, encoding: str = "utf-8") -> Iterator[Text]:
    """The lines of a page for rich, as text without markup, in characters that the encoding has."""
    signs = plain.UNICODE if _has_signs(encoding) else plain.ASCII
    for text, tone in plain.lines(page, room, signs):
        yield Text(possible(text, encoding), style=STYLES[tone], no_wrap=True, overflow="ignore", end="\n")


def show(page: Page, console: Console) -> None:
    """Print a page, as wide as the console but never wider than can be read."""
    room = max(20, min(console.width, WIDEST))
    for line in renderables(page, room, console.encoding):
        console.print(line, markup=False, highlight=False, emoji=False, soft_wrap=True)


def _has_signs(encoding: str) -> bool:
    try:
        "═─│•◆●├┤◀▶▼■◇█▒━┊…".encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def possible(text: str, encoding: str) -> str:
    try:
        return text.encode(encoding, "backslashreplace").decode(encoding)
    except LookupError:
        return text.encode("ascii", "backslashreplace").decode("ascii")


def safe(text: str) -> str:
    """Text for a message outside a page: nothing in it acts on the terminal; line feeds stay."""
    return inert(text, lines=True)
