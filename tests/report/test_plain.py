"""Pages as plain text: they fit, and they lose nothing."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.report import plain
from inspect_kit.report.blocks import Column, Page, Row, Table, facts, table
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import width, wrap
from tests.report.strategies import PAGES, TEXT, tables


@given(PAGES, st.sampled_from([40, 80, 100, 120]))
def test_no_line_is_wider_than_the_paper(page: Page, room: int) -> None:
    assert max(width(line) for line in plain.render(page, room).split("\n")) <= room


@given(tables(), st.sampled_from([30, 80, 120]))
def test_nothing_in_a_table_is_lost(made: Table, room: int) -> None:
    printed = Counter(squeezed(plain.render(Page(title="t", blocks=(made,)), room)))
    written = Counter(squeezed(inert("".join(cell for row in made.cell_rows for cell in row.cells))))
    assert not written - printed


@given(tables())
def test_on_wide_paper_every_cell_stands_whole(made: Table) -> None:
    text = plain.render(Page(title="t", blocks=(made,)), 3000)
    for row in made.cell_rows:
        assert all(" ".join(inert(cell).split()) in text for cell in row.cells)


def squeezed(text: str) -> str:
    return "".join(text.split())


@given(TEXT, st.integers(min_value=2, max_value=30))
def test_wrapping_keeps_every_word_in_order(text: str, room: int) -> None:
    shown = inert(text, lines=True)
    wrapped = wrap(shown, room)
    assert squeezed("".join(wrapped)) == squeezed(shown)
    assert all(width(line) <= room for line in wrapped)


def test_columns_of_highest_rank_fold_below_their_row_where_paper_is_narrow() -> None:
    made = Table(
        columns=(Column(name="check"), Column(name="source", rank=2), Column(name="panel", rank=1)),
        rows=(Row(cells=("oil-change", "engine maker", "lower cowling of the nose")),),
    )
    page = Page(title="x", blocks=(made,))
    assert "oil-change  engine maker  lower cowling of the nose" in plain.render(page, 80)
    narrow = plain.render(page, 38)
    assert "oil-change  lower cowling of the nose\n    source: engine maker" in narrow
    narrowest = plain.render(page, 30)
    assert "oil-change\n    source: engine maker;\n    panel: lower cowling of\n    the nose" in narrowest


def test_a_table_leaves_out_columns_in_which_nothing_stands() -> None:
    made = table((Column(name="a"), Column(name="b"), Column(name="c")), [Row(cells=("1", "", "3")), Row(band="x")])
    assert [column.name for column in made.columns] == ["a", "c"]
    assert made.rows[0].cells == ("1", "3")
    assert [row[1] for row in (each.cells for each in facts(("A", "1"), ("B", "")).rows)] == ["1"]


def test_a_row_that_does_not_fit_its_table_is_refused() -> None:
    with pytest.raises(ValueError, match="as many cells"):
        Table(columns=(Column(name="a"),), rows=(Row(cells=("1", "2")),))


def test_wide_characters_take_two_cells() -> None:
    assert width("日本") == 4
    assert width("e\u0301") == 1
    assert wrap("日本語", 4) == ["日本", "語"]
