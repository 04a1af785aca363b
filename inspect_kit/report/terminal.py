"""A page on a terminal, drawn by rich: rules, tables and panels. The only door to rich here.

What rich cannot draw is laid out by `plain`: which columns of a table fold below their row, lines across all columns of
one, charts and plots. All text is made inert and wrapped before rich sees it, so that nothing in it is markup.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import accumulate

from rich import box
from rich.cells import cell_len
from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.panel import Panel
from rich.rule import Rule
from rich.table import Table as Grid
from rich.text import Text

from inspect_kit.report import plain
from inspect_kit.report.blocks import (
    GOOD,
    PLAIN,
    QUIET,
    STOP,
    STRONG,
    WARN,
    Block,
    Caution,
    Heading,
    Page,
    Quote,
    Row,
    SignatureLine,
    Table,
)
from inspect_kit.report.inert import inert
from inspect_kit.report.layout import GAP, INDENT, Layout, lay_out
from inspect_kit.report.measure import is_figure, wrap

# Words stand in the terminal's own ink: the red of most dark grounds has a contrast of 3 to 1, the green of most light
# ones of 2 to 1, and dim text is below 4.5 to 1 on many a ground. What is quiet is slanted; colour is for marks alone.
STYLES = {
    PLAIN: "",
    STOP: "bold",
    WARN: "bold",
    GOOD: "",
    QUIET: "italic",
    STRONG: "bold",
    plain.TITLE: "bold",
    plain.HEADING: "bold",
    plain.CAUTION: "bold",
}
# What is set off in a line that presses: the mark before it in red, and the word for danger in reverse, grey or not.
MARK, DANGER = "red", "reverse"
_MARKS, _DANGER = r"^(?:!!|[─-]{3})(?= |$)", r"\bCAUTION\b"
WIDEST = 120
# As many lines as an ordinary window shows.
SHORT = 24
# The border of a panel and the blank inside it, on both sides.
BORDER = 4
SIGN_HERE = "Signed in ink"


def print_page(page: Page, console: Console) -> None:
    """Print a page, as wide as the console but never wider than can be read."""
    room = room_of(console)
    if page.foot == page.title and _is_short(page, console):
        # Paper has its foot on every sheet; below a title that is still in sight it says nothing.
        page = replace(page, foot="")
    for each in renderables(page, room, console.encoding):
        console.print(each, width=room, markup=False, highlight=False, emoji=False, soft_wrap=False, no_wrap=True)


def room_of(console: Console) -> int:
    return max(20, min(console.width, WIDEST))


def lines_of(page: Page, console: Console) -> int:
    """How many lines a page takes on a console."""
    return sum(_lines_of_each(page, console))


def _lines_of_each(page: Page, console: Console) -> Iterator[int]:
    room = room_of(console)
    options = console.options.update(width=room, no_wrap=True)
    for each in renderables(page, room, console.encoding):
        yield len(console.render_lines(each, options, pad=False))


def _is_short(page: Page, console: Console) -> bool:
    """Whether its title is in sight at its end; of a long page no more is counted than tells that."""
    return all(so_far <= SHORT for so_far in accumulate(_lines_of_each(page, console)))


def renderables(page: Page, room: int, encoding: str = "utf-8") -> Iterator[RenderableType]:
    """What rich prints of a page, block after block, in characters that the encoding has."""
    pen = _Pen(room, encoding)
    yield _text(pen.lines(page.title, room), plain.TITLE)
    if not page.dense:
        yield Rule(characters=pen.signs.rule, style=STYLES[plain.TITLE])
    before: Block | None = None
    for block in page.blocks:
        if page.dense:
            yield from [Text()] if isinstance(block, Heading) else []
        elif not (isinstance(block, Caution) and isinstance(before, Caution)):
            yield Text()
        yield from pen.drawn(block, dense=page.dense)
        before = block
    if page.foot:
        yield Text()
        yield _text(pen.lines(page.foot, room), QUIET)


def of_block(block: Block, room: int, encoding: str = "utf-8") -> Iterator[RenderableType]:
    """What rich prints of one block alone, dense, to stand among other lines."""
    return _Pen(room, encoding).drawn(block, dense=True)


def _text(lines: list[str], tone: str = PLAIN) -> Text:
    """Lines that are wrapped already; one that an encoding has made longer is folded."""
    return _set_off(Text("\n".join(lines), style=STYLES[tone], no_wrap=False, overflow="fold"), tone)


def _set_off(text: Text, tone: str) -> Text:
    if tone in (STOP, plain.CAUTION):
        text.highlight_regex(_MARKS, MARK)
        text.highlight_regex(_DANGER, DANGER)
    return text


class _Pen:
    """Draws blocks in so much room, in the characters of an encoding."""

    def __init__(self, room: int, encoding: str) -> None:
        self.room, self.encoding = room, encoding
        self.signs = plain.signs_of(encoding)
        self.box = box.ROUNDED if self.signs is plain.UNICODE else box.ASCII

    def lines(self, text: str, room: int, *, several: bool = False) -> list[str]:
        """Text made inert, wrapped and possible; a line feed stays one where `several` lines are meant."""
        return [possible(line, self.encoding) for line in wrap(inert(text, lines=several), room)]

    def drawn(self, block: Block, *, dense: bool) -> Iterator[RenderableType]:
        """One block."""
        match block:
            case Heading():
                yield from self._heading(block, dense=dense)
            case Caution():
                yield self._panel(block.text, "CAUTION", plain.CAUTION)
            case Quote():
                yield self._panel(block.text, "", STRONG)
            case SignatureLine():
                yield self._signature(block)
            case Table():
                yield from self._table(block, dense=dense)
            case _:
                for text, tone in plain.WRITERS[type(block)](block, self.room, self.signs):
                    yield _set_off(Text(possible(text, self.encoding), style=STYLES[tone]), tone)

    def _heading(self, block: Heading, *, dense: bool) -> Iterator[RenderableType]:
        yield _text(self.lines(block.text, self.room), plain.HEADING)
        if block.level == 2 and not dense:
            yield Rule(characters=self.signs.under, style="none")

    def _panel(self, text: str, title: str, tone: str) -> Panel:
        told = _text(self.lines(text, self.room - BORDER, several=True), tone)
        border = MARK if tone == plain.CAUTION else STYLES[tone]
        head = Text.assemble((title, f"bold {DANGER} default")) if title else None
        return Panel(told, title=head, title_align="left", border_style=border, box=self.box)

    def _signature(self, block: SignatureLine) -> Panel:
        grid = Grid.grid(padding=(0, GAP, 0, 0))
        told = (
            ("Name", block.name),
            ("Certificate", f"{block.kind}, number {block.certificate}"),
            ("Date", block.date),
            ("Signature", block.state),
        )
        first = max(len(name) for name in (SIGN_HERE, *(name for name, _ in told)))
        for name, value in told:
            grid.add_row(name, _text(self.lines(value, max(4, self.room - BORDER - first - GAP))))
        if not (block.signed or block.void):
            line = "_" * max(4, min(30, self.room - BORDER - first - GAP))
            grid.add_row(SIGN_HERE, line)
        title = "Signed" if block.signed else "Does not count" if block.void else "Not signed yet"
        style = STYLES[PLAIN] if block.signed else STYLES[WARN]
        return Panel(grid, title=title, title_align="left", border_style=style or "none", box=self.box)

    def _table(self, block: Table, *, dense: bool) -> Iterator[RenderableType]:
        """One table, or several of the same widths: a band and a folded line go across all columns."""
        layout = lay_out(block, self.room)
        head = layout.has_header(block)
        rows: list[tuple[list[list[str]], str]] = []
        for row in block.rows:
            if not row.band:
                rows.append((self._cells(row, layout), row.tone))
            if row.band or (folded := layout.folded_words(block, row)):
                if rows or head:
                    yield self._grid(block, layout, rows, head=head, dense=dense)
                rows, head = [], False
                if row.band:
                    lead = self.signs.under * 3
                    first, *others = self.lines(row.band, self.room - len(lead) - 1)
                    told = [f"{lead} {first}", *(f"{' ' * len(lead)} {text}" for text in others)]
                    yield _text(told, row.tone or plain.HEADING)
                else:
                    tone = layout.folded_tone(block, row)
                    yield Padding(_text(self.lines(folded, self.room - INDENT), tone), (0, 0, 0, INDENT))
        if rows or head:
            yield self._grid(block, layout, rows, head=head, dense=dense)

    def _cells(self, row: Row, layout: Layout) -> list[list[str]]:
        return [self.lines(row.cells[place], size) for place, size in zip(layout.shown, layout.widths, strict=True)]

    def _grid(
        self, block: Table, layout: Layout, rows: list[tuple[list[list[str]], str]], *, head: bool, dense: bool
    ) -> Grid:
        ruled = head and not dense
        grid = Grid(
            box=(box.SIMPLE_HEAD if self.signs is plain.UNICODE else box.ASCII_DOUBLE_HEAD) if ruled else None,
            show_header=head,
            show_edge=False,
            pad_edge=False,
            padding=(0, layout.gap - 1 if ruled else layout.gap, 0, 0),
            header_style=STYLES[QUIET],
        )
        for index, (place, size) in enumerate(zip(layout.shown, layout.widths, strict=True)):
            column = block.columns[place]
            # What we and rich take a character to be wide may differ: nothing is cut for that.
            name = self.lines(column.name, size)
            widest = max(cell_len(line) for line in (*name, *(line for cells, _ in rows for line in cells[index])))
            grid.add_column(
                Text("\n".join(name)),
                width=max(size, widest),
                justify="right" if column.right else "left",
                no_wrap=True,
            )
        for cells, tone in rows:
            # Words stand left in a column of figures too, and what takes several lines is words.
            told = (
                Text("\n".join(lines), justify=None if len(lines) < 2 and is_figure("".join(lines)) else "left")
                for lines in cells
            )
            grid.add_row(*(_set_off(text, tone) for text in told), style=STYLES[tone])
        return grid


def possible(text: str, encoding: str) -> str:
    try:
        return text.encode(encoding, "backslashreplace").decode(encoding)
    except LookupError:
        return text.encode("ascii", "backslashreplace").decode("ascii")


def safe(text: str) -> str:
    """Text for a message outside a page: nothing in it acts on the terminal; line feeds stay."""
    return inert(text, lines=True)
