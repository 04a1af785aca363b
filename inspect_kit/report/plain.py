"""A page as plain text of a given width: the lines that a terminal shows too, and what is pasted elsewhere."""

from collections.abc import Callable, Iterator
from typing import Any

from inspect_kit.noun import dataclass
from inspect_kit.report import drawing, plot
from inspect_kit.report.blocks import (
    QUIET,
    STRONG,
    WARN,
    Block,
    Caution,
    Chart,
    Heading,
    Listing,
    Page,
    Paragraph,
    Plot,
    Quote,
    Row,
    SignatureLine,
    Table,
)
from inspect_kit.report.inert import inert
from inspect_kit.report.layout import INDENT, Layout, lay_out
from inspect_kit.report.measure import is_figure, padded, width, wrap


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """The few characters that are drawn and not written, so that a terminal without them can have others."""

    rule: str
    under: str
    bar: str
    bullet: str
    glyphs: drawing.Glyphs


UNICODE = Signs(rule="═", under="─", bar="│", bullet="•", glyphs=drawing.UNICODE)
ASCII = Signs(rule="=", under="-", bar="|", bullet="-", glyphs=drawing.ASCII)


def signs_of(encoding: str) -> Signs:
    """The signs to draw with in an encoding: lines and marks where it has them, else letters and hyphens."""
    try:
        "═─│•◆●├┤◀▶▼■◇█▒━┊…╭╮╰╯".encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return ASCII
    return UNICODE


Line = tuple[str, str]
HEADING = "heading"
TITLE = "title"
CAUTION = "caution"


def render(page: Page, room: int = 100, signs: Signs = UNICODE) -> str:
    """The page as text, no line wider than `room` cells."""
    return "".join(f"{text.rstrip()}\n" for text, _ in lines(page, room, signs))


def lines(page: Page, room: int, signs: Signs = UNICODE) -> Iterator[Line]:
    """The lines of a page, each with its tone, `title`, `heading` or `caution`."""
    for text in wrap(inert(page.title), room):
        yield text, TITLE
    if not page.dense:
        yield signs.rule * min(room, max(width(text) for text in wrap(inert(page.title), room))), TITLE
    before: Block | None = None
    for block in page.blocks:
        if page.dense:
            yield from _dense(block, room, signs)
            continue
        # Things of one kind that say the same kind of thing stand together without an empty line.
        if not (isinstance(block, Caution) and isinstance(before, Caution)):
            yield "", ""
        yield from WRITERS[type(block)](block, room, signs)
        before = block
    if page.foot:
        yield "", ""
        for text in wrap(inert(page.foot), room):
            yield text, QUIET


def _dense(block: Block, room: int, signs: Signs) -> Iterator[Line]:
    """A block where lines are dear."""
    if isinstance(block, Heading):
        yield "", ""
        block = Heading(text=block.text, level=3)
    if isinstance(block, Table):
        yield from _table(block, room, signs, ruled=False)
    else:
        yield from WRITERS[type(block)](block, room, signs)


def _heading(block: Heading, room: int, signs: Signs) -> Iterator[Line]:
    texts = wrap(inert(block.text), room)
    for text in texts:
        yield text, HEADING
    if block.level == 2:
        yield signs.under * max(map(width, texts)), HEADING


def _paragraph(block: Paragraph, room: int, signs: Signs) -> Iterator[Line]:
    for text in wrap(inert(block.text, lines=True), room):
        yield text, block.tone


def _caution(block: Caution, room: int, signs: Signs) -> Iterator[Line]:
    lead = "CAUTION: "
    for number, text in enumerate(wrap(inert(block.text), room - len(lead))):
        yield (lead if number == 0 else " " * len(lead)) + text, CAUTION


def _quote(block: Quote, room: int, signs: Signs) -> Iterator[Line]:
    for text in wrap(inert(block.text, lines=True), room - 4):
        yield f"  {signs.bar} {text}", STRONG


def _listing(block: Listing, room: int, signs: Signs) -> Iterator[Line]:
    for number, item in enumerate(block.items, start=1):
        lead = f"{number:>2}. " if block.numbered else f"{signs.bullet} "
        for index, text in enumerate(wrap(inert(item), room - len(lead))):
            yield (lead if index == 0 else " " * len(lead)) + text, ""


def _table(block: Table, room: int, signs: Signs, *, ruled: bool = True) -> Iterator[Line]:
    layout = lay_out(block, room)
    if layout.has_header(block):
        head = Row(cells=tuple(column.name for column in block.columns))
        heads = list(_cells(block, layout, head, is_head=True))
        for text in heads:
            yield text, QUIET
        if ruled:
            yield (" " * layout.gap).join(signs.under * size for size in layout.widths), QUIET
    for row in block.rows:
        if row.band:
            for number, text in enumerate(wrap(inert(row.band), room - 4)):
                yield f"{signs.under * 3 if number == 0 else '   '} {text}", HEADING
            continue
        for text in _cells(block, layout, row):
            yield text, row.tone
        if folded := layout.folded_words(block, row):
            for text in wrap(inert(folded), room - INDENT):
                yield " " * INDENT + text, layout.folded_tone(block, row)


def _cells(block: Table, layout: Layout, row: Row, *, is_head: bool = False) -> Iterator[str]:
    """The lines of one row: cells wrapped side by side.

    Words stand left in a column of figures too, and what takes several lines is words; not so its name.
    """
    wrapped = [wrap(inert(row.cells[place]), size) for place, size in zip(layout.shown, layout.widths, strict=True)]
    rights = [block.columns[place].right for place in layout.shown]
    aligned = [
        right and (is_head or (len(cell) == 1 and is_figure(cell[0])))
        for cell, right in zip(wrapped, rights, strict=True)
    ]
    for index in range(max(map(len, wrapped))):
        pieces = [
            padded(cell[index] if index < len(cell) else "", size, right=right)
            for cell, right, size in zip(wrapped, aligned, layout.widths, strict=True)
        ]
        yield (" " * layout.gap).join(pieces).rstrip()


def _chart(block: Chart, room: int, signs: Signs) -> Iterator[Line]:
    for text in wrap(inert(block.title), room):
        yield text, HEADING
    yield from drawing.draw_chart(block, room, signs.glyphs)


def _plot(block: Plot, room: int, signs: Signs) -> Iterator[Line]:
    for text in wrap(inert(block.title), room):
        yield text, HEADING
    yield from plot.draw_plot(block, room, ascii_only=signs is ASCII)


def _signature(block: SignatureLine, room: int, signs: Signs) -> Iterator[Line]:
    texts = [
        f"Name: {inert(block.name)}",
        f"Certificate: {inert(block.kind)}, number {inert(block.certificate)}",
        f"Date: {inert(block.date)}",
        f"Signature: {inert(block.state)}",
    ]
    for text in texts:
        for piece in wrap(text, room - 4):
            yield f"  {signs.bar} {piece}", "" if block.signed else WARN
    if not (block.signed or block.void):
        yield f"  {signs.bar} Signed in ink: {'_' * min(30, max(4, room - 20))}", ""


WRITERS: dict[type[Any], Callable[[Any, int, Signs], Iterator[Line]]] = {
    Heading: _heading,
    Paragraph: _paragraph,
    Caution: _caution,
    Quote: _quote,
    Listing: _listing,
    Table: _table,
    Chart: _chart,
    Plot: _plot,
    SignatureLine: _signature,
}
