"""Which columns of a table fit a width, how wide each is, and which fold into a line below their row.

A date, an id, a number: what has no blank in it is never broken where columns can fold instead. Of the widths that are
left the table takes those with which it has the fewest lines.
"""

from collections.abc import Iterable
from dataclasses import field

from inspect_kit.noun import dataclass
from inspect_kit.report.blocks import QUIET, STOP, WARN, Row, Table
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import kept_together, width, wrap

GAP = 2
# Figures under short names, as of the twelve months, may stand so close before one of them folds.
CLOSE = 1
NARROWEST = 18
INDENT = 4
# A word longer than this may be broken: a digest. The id of a finding is not, nor the place of a line in a file.
LONGEST_WORD = 60
# How many cells are moved from one column to another at once while the fewest lines are looked for.
MOVES = (16, 8, 4, 2, 1)
# A column that fits folds below its row only where the table gets so much shorter by it.
WORTH_IT = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Columns shown (by place) with their widths in cells and the gap between them, and columns folded."""

    shown: tuple[int, ...]
    widths: tuple[int, ...]
    folded: tuple[int, ...]
    gap: int = GAP

    def has_header(self, table: Table) -> bool:
        """Whether names stand over the columns: one that is left alone, as the others folded, says nothing there."""
        named = [place for place in self.shown if table.columns[place].name]
        return len(named) > 1 or (bool(named) and not any(table.columns[place].name for place in self.folded))

    def folded_words(self, table: Table, row: Row) -> str:
        """What stands below a row for want of room: `panel: cowl-lower; source: engine maker`."""
        told = [(table.columns[place].name, row.cells[place]) for place in self.folded if row.cells[place]]
        # A sentence that something else stands behind ends with that.
        told[:-1] = [(name, cell.removesuffix(".")) for name, cell in told[:-1]]
        return "; ".join(f"{name}: {cell}" if name else cell for name, cell in told)

    def folded_tone(self, table: Table, row: Row) -> str:
        """What stands below its row is quiet; but of a row that presses it presses too, unless it only says where.

        Below the name of a fact stands the fact itself.
        """
        told = [place for place in self.folded if row.cells[place] and not table.columns[place].aside]
        is_fact = not any(column.name for column in table.columns)
        return row.tone if told and (is_fact or row.tone in (STOP, WARN)) else QUIET


@dataclass(slots=True)
class _Texts:
    """The cells of one column, its name first: the width that wraps none, the longest word, the least width, lines."""

    table: Table
    place: int
    cells: list[str] = field(default_factory=list)
    widths: list[int] = field(default_factory=list)
    wanted: int = 1
    longest: int = 1
    least: int = 1
    counted: dict[int, list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        name = self.table.columns[self.place].name
        self.cells = [inert(cell) for cell in (name, *(row.cells[self.place] for row in self.table.cell_rows))]
        self.widths = [width(cell) for cell in self.cells]
        self.wanted = max([1, *self.widths])
        words = {word for cell in self.cells for word in kept_together(cell)}
        self.longest = max((size for word in words if (size := width(word)) <= LONGEST_WORD), default=1)
        self.least = max(self.longest, min(self.wanted, NARROWEST))

    def lines(self, size: int) -> list[int]:
        """How many lines each cell takes in so many cells of width."""
        if size not in self.counted:
            self.counted[size] = [
                1 if whole <= size else len(wrap(cell, size))
                for cell, whole in zip(self.cells, self.widths, strict=True)
            ]
        return self.counted[size]


def lay_out(table: Table, room: int) -> Layout:
    """Fold columns, highest rank first, until the rest fit, and further while that makes the table much shorter.

    Where those that should never fold do not fit either, long cells are wrapped and then the last columns fold after
    all: a date that is broken is read wrongly, one below its row is not.
    """
    columns = table.columns
    texts = [_Texts(table, place) for place in range(len(columns))]
    wide = {each.place for each in texts if columns[each.place].wide}
    # The narrowest that a column can be: of a wide one its longest word, of any other all of it.
    least = [each.least if each.place in wide else each.wanted for each in texts]
    shown = list(range(len(columns)))
    numbers_alone = not wide and all(each.right for each in columns[1:])
    if numbers_alone and not _fits(shown, least, room) and _fits(shown, least, room, CLOSE):
        return Layout(shown=tuple(shown), widths=tuple(least), folded=(), gap=CLOSE)
    by_rank = sorted((place for place in shown if columns[place].rank), key=lambda place: (columns[place].rank, place))
    _fold(shown, by_rank, least, room)
    if not _fits(shown, least, room):
        # What is short, a date or a state, stays whole; a column of figures is as narrow as they are.
        figures = {place for place in shown if columns[place].right}
        wide |= figures | {place for place in shown if texts[place].wanted > NARROWEST}
        easy = [each.longest if each.place in figures else least[each.place] for each in texts]
        easy = [each.least if each.place in wide - figures else easy[each.place] for each in texts]
        tight = [each.longest if each.place in wide else least[each.place] for each in texts]
        ways = [_layout(texts, each, _fold([*shown], [*shown], each, room), wide, room) for each in (easy, tight)]
        return min(ways, key=lambda layout: _height(texts, layout, room))
    best = _layout(texts, least, shown, wide, room)
    while by_rank and len(shown) > 1:
        shown.remove(by_rank.pop())
        other = _layout(texts, least, shown, wide, room)
        worth_it = 1 if _is_aside(texts, best) else WORTH_IT
        if _height(texts, other, room) > _height(texts, best, room) * worth_it:
            break
        best = other
    return best


def _is_aside(texts: list[_Texts], layout: Layout) -> bool:
    """Whether words are wrapped for the sake of a path beside them."""
    columns = texts[0].table.columns
    sizes = zip(layout.shown, layout.widths, strict=True)
    return any(columns[place].aside for place in layout.shown) and any(
        size < texts[place].wanted for place, size in sizes if not columns[place].rank
    )


def _fits(shown: list[int], least: list[int], room: int, gap: int = GAP) -> bool:
    return sum(least[place] for place in shown) + gap * (len(shown) - 1) <= room


def _fold(shown: list[int], last_first: list[int], least: list[int], room: int) -> list[int]:
    """Take columns out of those shown until the rest fit; one stays."""
    while last_first and len(shown) > 1 and not _fits(shown, least, room):
        shown.remove(last_first.pop())
    return shown


def _layout(texts: list[_Texts], least: list[int], shown: list[int], wide: set[int], room: int) -> Layout:
    able = [place for place in shown if place in wide]
    widths = _share([each.wanted for each in texts], least, shown, able, room)
    _fewest_lines(texts, least, widths, able)
    folded = tuple(each.place for each in texts if each.place not in shown)
    return Layout(shown=tuple(shown), widths=tuple(widths[place] for place in shown), folded=folded)


def _height(texts: list[_Texts], layout: Layout, room: int) -> int:
    """The lines of a table, those below its rows included."""
    sizes = zip(layout.shown, layout.widths, strict=True)
    across: Iterable[tuple[int, ...]] = zip(*(texts[place].lines(size) for place, size in sizes), strict=True)
    below = zip(*(texts[place].cells[1:] for place in layout.folded), strict=True)
    names = [texts[place].cells[0] for place in layout.folded]
    told = ("; ".join(f"{name}: {cell}" for name, cell in zip(names, cells, strict=True) if cell) for cells in below)
    return sum(map(max, across)) + sum(len(wrap(text, room - INDENT)) for text in told if text)


def _share(wanted: list[int], least: list[int], shown: list[int], wide: list[int], room: int) -> dict[int, int]:
    """Widths to begin with: each its least, and what is left to the wide column that lacks most."""
    widths = {place: least[place] for place in shown}
    left = room - GAP * (len(shown) - 1) - sum(widths.values())
    if left < 0:
        # One column is left, and a word of it is wider than the paper.
        return {shown[0]: room}
    while left > 0:
        hungry = [place for place in wide if widths[place] < wanted[place]]
        if not hungry:
            break
        # The one that lacks most gets the next cell, so that long texts share the paper.
        widths[max(hungry, key=lambda place: wanted[place] - widths[place])] += 1
        left -= 1
    return widths


def _fewest_lines(texts: list[_Texts], least: list[int], widths: dict[int, int], wide: list[int]) -> None:
    """Move cells from one wide column to another as long as the table gets shorter by it."""
    if len(wide) < 2:
        return
    for move in MOVES:
        better = True
        while better:
            better = False
            now = _lines(texts, widths, wide)
            for giver in wide:
                for taker in wide:
                    room = widths[giver] - move
                    if giver == taker or room < least[giver] or widths[taker] >= texts[taker].wanted:
                        continue
                    tried = widths | {giver: room, taker: widths[taker] + move}
                    if (lines := _lines(texts, tried, wide)) < now:
                        widths.update(tried)
                        now, better = lines, True


def _lines(texts: list[_Texts], widths: dict[int, int], wide: list[int]) -> int:
    """The lines of the whole table by its wide columns."""
    return sum(map(max, zip(*(texts[place].lines(widths[place]) for place in wide), strict=True)))
