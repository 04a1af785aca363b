"""Pages as plain text: they fit, and they lose nothing."""

import io
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console, Group

from inspect_kit.report import plain, terminal
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


MEASURED = (
    *("13.7 gal/h", "547.6 h", "2 h 26 min", "(615.0 h)", "1,234.5 lb-in,"),
    *("3 days", "868 USD", "96 %.", "14 CFR"),
)
OTHERS = ("by", "gravity", "a longer word", "F1", "2027-04-30", "h", "min")
SAID = st.lists(st.sampled_from([*MEASURED, *OTHERS]), max_size=12)


@given(SAID, st.integers(min_value=max(map(len, MEASURED)), max_value=40))
def test_a_number_is_never_parted_from_its_unit(said: list[str], room: int) -> None:
    lines = wrap(" ".join(said), room)
    for measured in MEASURED:
        assert sum(line.count(measured) for line in lines) >= said.count(measured), measured


def test_where_even_a_number_and_its_unit_do_not_fit_they_are_parted_at_the_blank() -> None:
    assert wrap("takes 2 h 26 min", 6) == ["takes", "2 h 26", "min"]


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        # What a number counts; `of` and `more` go with it too, another word does not.
        ("2 l solvent; 1 small tin of varnish", 14, ["2 l solvent;", "1 small tin of", "varnish"]),
        ("for 2 people, 1 of them inspecting", 15, ["for 2 people,", "1 of them", "inspecting"]),
        ("flow where 13.65 are asked", 16, ["flow where 13.65", "are asked"]),
        # What it is the number of, and what says which.
        ("2026-12-01 or tach 25.0", 18, ["2026-12-01 or", "tach 25.0"]),
        ("reads 291.0 (total 647.6) or later", 18, ["reads 291.0", "(total 647.6) or", "later"]),
        ("scope of part 43 appendix D", 26, ["scope of part 43", "appendix D"]),
        ("before cylinder 3 leaks", 17, ["before cylinder 3", "leaks"]),
        ("per 100 h (-1.5 to -0.38)", 18, ["per 100 h (-1.5", "to -0.38)"]),
        ("14 CFR 91.207(d) by 30 June 2027", 25, ["14 CFR 91.207(d) by", "30 June 2027"]),
        ("a log p. 61, torque wrench 10-100 in-lb", 23, ["a log p. 61, torque", "wrench 10-100 in-lb"]),
        ("see the log p. 61", 14, ["see the log", "p. 61"]),
        ("Who: 1 Ann Lee, 2 Pip Day", 17, ["Who: 1 Ann Lee,", "2 Pip Day"]),
        # Where there is no room for both they are parted.
        ("25 gaskets", 8, ["25", "gaskets"]),
    ],
)
def test_a_number_stays_with_its_word_where_there_is_room(text: str, room: int, lines: list[str]) -> None:
    assert wrap(text, room) == lines


SHEET = "inspect-kit sheet --to ../sheet.html"
CLEARED = 'inspect-kit finding F1 --cleared "valve lapped"'
QUOTED = ["inspect-kit: `What was set, such as the idle", "mixture` has no answer"]


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        # What stands in backticks, in the midst of a text or at its end.
        (f"type it in with `{SHEET}`, later", 40, ["type it in with", f"`{SHEET}`,", "later"]),
        ("a, `no: reason` or `not decided`", 24, ["a, `no: reason` or", "`not decided`"]),
        # A sentence is quoted so, not typed.
        ("inspect-kit: `What was set, such as the idle mixture` has no answer", 44, QUOTED),
        # A command that ends a text, of several the last.
        (f"Next: inspect-kit walk, or on paper: {SHEET}", 60, ["Next: inspect-kit walk, or on paper:", SHEET]),
        # One that does not fit goes on as a shell takes it, an option with its value.
        (f"Next: {SHEET}", 26, ["Next:", "inspect-kit sheet \\", "  --to ../sheet.html"]),
        (SHEET, 26, ["inspect-kit sheet \\", "  --to ../sheet.html"]),
        # And without it where both are too wide for a line.
        (CLEARED, 24, ["inspect-kit finding F1 \\", "  --cleared \\", '  "valve lapped"']),
        # Where even a part of it does not fit, or a sentence goes on after it, it is broken as words are.
        (f"Next: {SHEET}", 14, ["Next:", "inspect-kit", "sheet --to", "../sheet.html"]),
        ("on paper: inspect-kit sheet; then a pen", 24, ["on paper: inspect-kit", "sheet; then a pen"]),
        # Each way to the rest.
        ("More: visits --all; visits --to FILE.html", 36, ["More: visits --all;", "visits --to FILE.html"]),
        # What Enter takes at a question.
        ("How often it asks for it (Enter: not known)", 36, ["How often it asks for it", "(Enter: not known)"]),
    ],
)
def test_what_is_to_be_typed_stays_on_one_line(text: str, room: int, lines: list[str]) -> None:
    """For whoever copies it: half of a command is another one."""
    assert wrap(text, room) == lines


def test_a_mark_that_says_something_of_the_word_before_it_begins_no_line() -> None:
    assert wrap("REMOVE Lower cowling, 14 min, together *", 36) == ["REMOVE Lower cowling, 14 min,", "together *"]


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


def test_words_in_a_column_of_numbers_stand_left_and_a_long_band_has_one_rule() -> None:
    """Both as text and as drawn: words set right were ragged, and a second rule looked like a second band."""
    cells = [("a", "12 V"), ("b", "none"), ("c", "-"), ("d", "clean, one carbon flake")]
    rows = [Row(band="battery, " * 6 + "serial 7"), *(Row(cells=each) for each in cells)]
    made = table((Column(name="reading"), Column(name="value", right=True)), rows)
    page = Page(title="t", blocks=(made,))
    lines = plain.render(page, 22).split("\n")
    assert [line for line in lines if line.startswith("─── ")] == ["─── battery, battery,"]
    figures = [f"a{'12 V':>21}", "b        none", f"c{'-':>21}"]
    assert lines[-6:] == [*figures, "d        clean, one", "         carbon flake", ""]
    drawn = Console(width=22, file=io.StringIO(), _environ={})
    with drawn.capture() as captured:
        drawn.print(Group(*terminal.renderables(page, 22)))
    shown = [line.rstrip() for line in captured.get().split("\n")]
    assert shown[-6:] == lines[-6:]
    assert [line for line in shown if line.startswith("─── ")] == ["─── battery, battery,"]
