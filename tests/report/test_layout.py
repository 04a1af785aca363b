"""Columns of a table: what has no blank is not broken where columns can fold, and the table is short."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.report import plain
from inspect_kit.report.blocks import Column, Page, Row, Table
from inspect_kit.report.layout import GAP, lay_out
from inspect_kit.report.measure import width, wrap

WORDS = ("2026-11-30", "2025-11-22-condition-j4jj#F2", "tach", "258.4", "14 CFR 91.413,", "engine", "overhauled,", "a")
CELL = st.lists(st.sampled_from(WORDS), max_size=9).map(" ".join)


@st.composite
def tables(draw: st.DrawFn) -> Table:
    count = draw(st.integers(2, 5))
    columns = tuple(Column(name="n", wide=True, rank=place) for place in range(count))
    rows = draw(st.lists(st.tuples(*[CELL] * count), min_size=1, max_size=8))
    return Table(columns=columns, rows=tuple(Row(cells=cells) for cells in rows))


@given(tables(), st.sampled_from([60, 80, 120]))
@settings(max_examples=150)
def test_a_date_an_id_or_a_number_is_never_broken_where_columns_can_fold(table: Table, room: int) -> None:
    text = plain.render(Page(title="x", blocks=(table,)), room)
    words = {word for row in table.rows for cell in row.cells for word in cell.split()}
    for word in words:
        assert word in text, word


def lines_at(table: Table, widths: tuple[int, ...]) -> int:
    return sum(max(len(wrap(cell, size)) for cell, size in zip(row.cells, widths, strict=True)) for row in table.rows)


@given(tables().filter(lambda table: len(table.columns) == 2), st.sampled_from([60, 72]))
@settings(max_examples=100)
def test_of_two_columns_no_other_widths_make_much_fewer_lines(table: Table, room: int) -> None:
    """Every other pair of widths is tried; moving cells one way may stop a line short of the best."""
    layout = lay_out(table, room)
    if len(layout.shown) < 2:
        return
    taken = lines_at(table, layout.widths)
    free = room - GAP
    words = [{word for row in table.rows for word in row.cells[place].split()} for place in (0, 1)]
    first, second = (max([18, *map(width, each)]) for each in words)
    others = [lines_at(table, (one, free - one)) for one in range(first, free - second + 1)]
    best = min([taken, *others])
    assert taken <= best * 1.15 + 1


def test_the_column_that_makes_the_lines_gets_the_room() -> None:
    """Both texts lack as much; one is long in one row only, the other in every row."""
    long = "word " * 18
    rows = [Row(cells=("short " * 3, long)) for _ in range(9)] + [Row(cells=("short " * 15, "word"))]
    table = Table(columns=(Column(wide=True), Column(wide=True)), rows=tuple(rows))
    first, second = lay_out(table, 80).widths
    assert second > first


@pytest.mark.parametrize("room", [20, 30, 40])
def test_where_nothing_can_fold_it_is_squeezed_and_fits(room: int) -> None:
    table = Table(columns=(Column(), Column(wide=True)), rows=(Row(cells=("2026-11-30", "2025-11-22-condition-j4jj")),))
    assert max(map(len, plain.render(Page(title="x", blocks=(table,)), room).splitlines())) <= room
