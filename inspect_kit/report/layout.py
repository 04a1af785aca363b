"""Which columns of a table fit a width, how wide each is, and which fold into a line below their row."""

from dataclasses import dataclass

from inspect_kit.report.blocks import Column, Table
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import width

GAP = 2
NARROWEST = 18
INDENT = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Columns shown (by place) with their widths in cells, and columns folded."""

    shown: tuple[int, ...]
    widths: tuple[int, ...]
    folded: tuple[int, ...]


def lay_out(table: Table, room: int) -> Layout:
    """Fold columns, highest rank first, until the rest fit; then share out what is left among the wide ones."""
    wanted = [_wanted(table, place) for place in range(len(table.columns))]
    shown = list(range(len(table.columns)))
    folded: list[int] = []
    while _least(table.columns, wanted, shown) > room:
        place = max(shown, key=lambda place: (table.columns[place].rank, place))
        if table.columns[place].rank == 0 or len(shown) == 1:
            break
        shown.remove(place)
        folded.append(place)
    widths = _share(table.columns, wanted, shown, room)
    return Layout(shown=tuple(shown), widths=tuple(widths), folded=tuple(sorted(folded)))


def _wanted(table: Table, place: int) -> int:
    """The width at which nothing in a column is wrapped."""
    cells = [width(inert(row.cells[place])) for row in table.cell_rows]
    return max([width(table.columns[place].name), 1, *cells])


def _least(columns: tuple[Column, ...], wanted: list[int], shown: list[int]) -> int:
    """The narrowest that the shown columns can be, gaps included."""
    least = [min(wanted[place], NARROWEST) if columns[place].wide else wanted[place] for place in shown]
    return sum(least) + GAP * (len(shown) - 1)


def _share(columns: tuple[Column, ...], wanted: list[int], shown: list[int], room: int) -> list[int]:
    widths = {place: min(wanted[place], NARROWEST) if columns[place].wide else wanted[place] for place in shown}
    left = room - GAP * (len(shown) - 1) - sum(widths.values())
    # Where even the narrowest is too wide, the widest column gives way cell by cell.
    while left < 0:
        widest = max(shown, key=lambda place: widths[place])
        if widths[widest] <= 2:
            break
        widths[widest] -= 1
        left += 1
    while left > 0:
        hungry = [place for place in shown if columns[place].wide and widths[place] < wanted[place]]
        if not hungry:
            break
        # The one that lacks most gets the next cell, so that long texts share the paper.
        widths[max(hungry, key=lambda place: wanted[place] - widths[place])] += 1
        left -= 1
    return [widths[place] for place in shown]
