"""Tables for spreadsheets: no cell acts as a formula, and every cell comes back as it was."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.report.cells import csv_text
from inspect_kit.text.cells import guarded, unguarded
from tests.cli.conftest import Run, calm, entered, run, wren  # noqa: F401 - fixtures
from tests.report.cells_read import read_csv

ACTS = (
    *("=1+1", "+1-1", "-2+3", "@SUM(A1)", "\t=1", "\rx", "  =1", "\u00a0@x", "\n=1", "\ufeff=1"),
    *("\uff1d1", "\uff0bx", "\uff0dx", " \uff20x"),
)
PLAIN = ("-5", "-12.50", "412.6", "oil, 6 qt", "'tis", "", " x", "a=b", "2026-05-14", "+", "-")


@pytest.mark.parametrize("cell", ACTS)
def test_what_could_act_gets_an_apostrophe(cell: str) -> None:
    assert guarded(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", PLAIN[:-2])
def test_what_cannot_act_stays_as_it_is(cell: str) -> None:
    assert guarded(cell) == cell


@given(st.text(alphabet=st.sampled_from("'=+-@\t\r\n \u00a0\uff1dab1."), max_size=12) | st.text(max_size=20))
def test_a_cell_comes_back_as_it_was(cell: str) -> None:
    assert unguarded(guarded(cell)) == cell


@given(
    st.lists(
        st.lists(
            st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12),
            min_size=1,
            max_size=4,
        )
    )
)
def test_a_table_comes_back_as_it_was(rows: list[list[str]]) -> None:
    assert read_csv(csv_text(rows)) == rows


def test_every_record_is_a_row(run: Run, wren: Path, tmp_path: Path) -> None:  # noqa: F811
    entered(
        wren,
        "2026-11-02-trap",
        "kind: work\ndate: 2026-11-02\nmeters: {tach: 24.5}\ntext: '=HYPERLINK(\"x\")'\nby: Wilma Fieldfare\n",
    )
    target = tmp_path / "all.csv"
    assert run(wren, "export", "--csv", "--to", str(target)).code == 0
    rows = list(csv.DictReader(io.StringIO(target.read_bytes().decode(), newline="")))
    assert len(rows) == len(list((wren / "records/2026").glob("*.yaml")))
    (trap,) = [row for row in rows if row["record"] == "2026-11-02-trap"]
    assert trap["what"] == '\'=HYPERLINK("x")'
    assert (trap["tach"], trap["date"], trap["by"], trap["certificate"]) == (
        "24.5",
        "2026-11-02",
        "Wilma Fieldfare",
        "",
    )
    assert run(wren, "export", "--csv").out.count("\n") == len(rows) + 1


def test_what_was_brought_forward_is_a_row_that_says_it(run: Run, wren: Path) -> None:  # noqa: F811
    entered(
        wren,
        "2026-11-03-start",
        "kind: brought-forward\ndate: 2026-11-03\nmeters: {tach: {reads: 24.6, total: 324.6}}\n"
        "last: {oil-change: {date: 2026-10-01, tach: 320.5, paper: log p. 3}}\n"
        "fitted: {engine: {serial: '00123', part: Acme E-4}}\n",
    )
    rows = csv.DictReader(io.StringIO(run(wren, "export", "--csv").out))
    (row,) = [row for row in rows if row["record"] == "2026-11-03-start"]
    assert row["tach"] == "24.6"
    assert row["what"] == "oil-change: 2026-10-01, tach 320.5, log p. 3; engine: Acme E-4 00123 fitted"
