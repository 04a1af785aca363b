"""Rows of a table as entries, or as rows that cannot be read and why: no cell and no row is left out unsaid."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit.past import entries_of, guess, read_table
from inspect_kit.past.entries import Entries

TODAY = dt.date(2026, 11, 27)
NAMES = "Date,Tach,Work,Signed,Page\n"
ROWS = "2026-08-01,400.0,Oil,Jo Invented,1\n2026-08-08,400.5,Tyre,Jo Invented,2\n2026-08-14,401.0,Oil,Jo Invented,3\n"


def read(text: str, **columns: object) -> Entries:
    table = read_table(text)
    return entries_of(table, replace(guess(table, ("tach",), "tach"), **columns), "log.csv", TODAY)  # type: ignore[arg-type]


def told(found: Entries) -> list[tuple[int, str]]:
    return [(each.line, "; ".join(each.reasons)) for each in found.bad]


def test_a_row_with_a_comma_too_many_is_named() -> None:
    found = read(NAMES + ROWS + "2026-08-15,401.5,Oil,Jo Invented,4,crack in spar\n")
    assert len(found.entries) == 3
    assert told(found) == [(5, "has more cells than there are columns: a comma or a quotation mark too many?")]


def test_a_column_without_a_name_is_one_where_half_of_the_rows_use_it() -> None:
    text = NAMES.replace("\n", ",\n") + ROWS.replace("\n", ",seen\n")
    found = read(text)
    assert (len(found.entries), told(found)) == (3, [])


@pytest.mark.parametrize("title", ["Log of N0XX,,,,\n", "printed,2026-08-20\n", ",,,,\n"])
def test_an_entry_above_the_names_is_named_and_a_title_is_none(title: str) -> None:
    above = "2026-07-01,399.0,crack in the lip,Jo Invented,1\n"
    with_entry = title + above + NAMES + ROWS
    table = read_table(with_entry)
    columns = replace(guess(table, ("tach",), "tach"), names=3)
    found = entries_of(table, columns, "log.csv", TODAY)
    assert told(found) == [(2, "stands above the names of the columns, in line 3: no entry is read there")]
    assert len(found.entries) == 3
    left = entries_of(table, replace(columns, leave_out={2: "crack in the lip"}), "log.csv", TODAY)
    assert (told(left), [row.line for row in left.left_out]) == ([], [2])


@pytest.mark.parametrize("day", ["2018-05-{:02}", "5/{}/2018", "{}.5.2018", "May {}, 2018"])
@pytest.mark.parametrize("names", ["Date,Work\n", "Date,Tach,Work\n"])
@pytest.mark.parametrize("are_last", [True, False])
def test_a_day_and_words_above_the_names_are_an_entry(day: str, names: str, are_last: bool) -> None:
    """A table sorted by date with its head: the names come last, or in the middle."""
    between = "," if names.count(",") == 1 else ",,"
    rows = [f'"{day.format(number)}"{between}Oil changed\n' for number in (1, 2, 14)]
    text = "".join([*rows, names]) if are_last else "".join([*rows[:2], names, rows[2]])
    table = read_table(text)
    found = entries_of(table, guess(table, ("tach",), "tach"), "log.csv", TODAY)
    assert [bad.line for bad in found.bad if "stands above" in bad.reasons[0]] == [*range(1, 4 if are_last else 3)]


@pytest.mark.parametrize(
    ("signed", "page", "paper", "unsaid"),
    [
        ("Jo Invented", "3", "", ""),
        ("Jo Invented", "", "aircraft log 2", ""),
        ("Jo Invented", "", "aircraft log", "on which page it stands"),
        ("Jo Invented", "", "", "on which page it stands"),
        ("Jo Invented", "n/a", "", "on which page it stands"),
        ("", "3", "aircraft log", "who signed that"),
        ("-", "3", "aircraft log", "who signed that"),
        ("", "", "aircraft log", "who signed that or on which page it stands"),
    ],
)
def test_a_row_that_counts_for_an_inspection_says_who_signed_it_and_where(
    signed: str, page: str, paper: str, unsaid: str
) -> None:
    row = f"2026-08-20,402.0,Condition inspection,{signed},{page}\n"
    found = read(NAMES + ROWS + row, last={"condition inspection": ("condition",)}, paper=paper)
    reason = f"counts for the condition inspection, and does not say {unsaid}"
    assert told(found) == ([(5, reason)] if unsaid else [])
    assert [each.last for each in found.entries if each.last] == ([] if unsaid else [("condition",)])


@pytest.mark.parametrize(
    ("signed", "name", "kind", "number"),
    [
        ("Jo Invented", "Jo Invented", "", ""),
        ("Invented, Jo", "Invented, Jo", "", ""),
        ("Jo Invented, A&P 7654321", "Jo Invented, A&P 7654321", "", ""),
        ("Jo Invented, mechanic (airframe)", "Jo Invented", "mechanic (airframe)", ""),
        ("Jo Invented, Private Pilot, 7654321", "Jo Invented", "Private Pilot", "7654321"),
    ],
)
def test_a_kind_beside_the_name_is_a_kind(signed: str, name: str, kind: str, number: str) -> None:
    """It was part of the name, and so anybody's kind was unknown and believed."""
    found = read(NAMES + ROWS + f'2026-08-15,401.5,Condition inspection,"{signed}",4\n')
    by = found.entries[-1].by
    assert by is not None
    assert (by.name, by.kind, by.certificate) == (name, kind, number)


def test_two_columns_of_one_meter_that_say_two_things_are_a_bad_row() -> None:
    """The first one was thrown away unsaid."""
    text = "Date,Tach,Hobbs,Work\n2026-01-10,390.0,391.2,flown\n2026-01-11,391.5,391.5,washed\n"
    roles = {"Date": "date", "Tach": "reads tach", "Hobbs": "reads tach", "Work": "text"}
    found = read(text, roles=roles)
    reason = "`Tach` and `Hobbs` are both `reads tach`, and say 390.0 and 391.2: one of the columns is something else, "
    assert [(row.line, row.reasons) for row in found.bad] == [(2, (f"{reason}or left out",))]
    assert [entry.text for entry in found.entries] == ["washed"]
    assert guess(read_table(text), ("tach",), "tach").roles["Hobbs"] == "left out"
