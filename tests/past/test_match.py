"""Rows against what was imported before: each story told by letters, a capital letter a row that was changed."""

import datetime as dt
from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.kinds.paper_entry import Imported, PaperEntry
from inspect_kit.past import match


def rows(letters: str, file: str = "log.csv") -> tuple[PaperEntry, ...]:
    seen: Counter[str] = Counter()
    made = []
    for line, letter in enumerate(letters, 2):
        seen[letter] += 1
        source = Imported(
            file=file, line=Decimal(line), cells=letter, digest=letter, occurrence=Decimal(seen[letter])
        )
        day = dt.date(2014, 3, 2)
        made.append(PaperEntry(name=f"r{line}", date=day, text=letter, imported=source, place=Place(file, line)))
    return tuple(made)


def told(entries: tuple[PaperEntry, ...]) -> str:
    return "".join(entry.text for entry in entries)


@pytest.mark.parametrize(
    ("before", "now", "new", "changed", "gone"),
    [
        ("", "abc", "abc", "", ""),
        ("abc", "abc", "", "", ""),
        ("abc", "abcd", "d", "", ""),
        ("abc", "xabc", "x", "", ""),
        ("abc", "axbc", "x", "", ""),
        ("abc", "aBc", "", "Bb", ""),
        ("abc", "aBcd", "d", "Bb", ""),
        ("abc", "ac", "", "", "b"),
        ("aa", "aaa", "a", "", ""),
        ("aa", "a", "", "", "a"),
        ("abc", "cab", "", "", ""),
        ("abc", "", "", "", "abc"),
    ],
)
def test_new_changed_and_gone(before: str, now: str, new: str, changed: str, gone: str) -> None:
    found = match(rows(now), rows(before), "log.csv")
    assert told(found.new) == new
    assert "".join(row.text + old.text for row, old in found.changed) == changed
    assert told(found.gone) == gone


def test_no_row_is_taken_for_one_that_is_left_out_now() -> None:
    """The next new row was named as that one, changed, and never written."""
    assert told(match(rows("abd"), rows("abc"), "log.csv").new) == ""
    found = match(rows("abd"), rows("abc"), "log.csv", left_out={"c"})
    assert (told(found.new), found.changed, told(found.gone)) == ("d", (), "c")


def test_a_row_of_another_day_in_the_place_of_one_that_is_gone_is_new() -> None:
    """The first row was taken out of the table, and a wash written behind the last; a slip put right stays."""

    def row(line: int, day: str, cells: str) -> PaperEntry:
        source = Imported(file="log.csv", line=Decimal(line), cells=cells, digest=cells, occurrence=Decimal(1))
        date = dt.date.fromisoformat(day)
        return PaperEntry(name=f"r{line}", date=date, text=cells, imported=source, place=Place("log.csv", line))

    old = row(2, "2025-06-14", "2025-06-14,321.0,Oil and filter changed")
    wash = row(2, "2025-10-30", "2025-10-30,350.5,Wash")
    found = match((wash,), (old,), "log.csv")
    assert (found.new, found.changed, found.gone) == ((wash,), (), (old,))
    slip = row(2, "2025-06-15", "2025-06-15,321.0,Oil and filter changed")
    found = match((slip,), (old,), "log.csv")
    assert (found.new, found.changed, found.gone) == ((), ((slip, old),), ())


def test_a_row_of_another_file_is_not_written_again() -> None:
    found = match(rows("abd"), rows("ab", "old.csv"), "log.csv")
    assert (told(found.new), found.before, found.gone) == ("d", (), ())
    assert "".join(row.text + old.text for row, old in found.elsewhere) == "aabb"


def test_a_row_that_was_withdrawn_is_not_written_again() -> None:
    found = match(rows("abd"), rows("a"), "log.csv", rows("xb")[1:])
    assert (told(found.new), told(found.before), found.gone) == ("d", "a", ())
    assert "".join(row.text + old.text for row, old in found.withdrawn) == "bb"
    # Written by hand or imported once more since: then it stands, and was not only taken back.
    assert match(rows("ab"), rows("ab"), "log.csv", rows("ab")).withdrawn == ()


@pytest.mark.parametrize("taken", [0, 1, 2])
@pytest.mark.parametrize("wider", [True, False])
def test_a_column_more_or_less_is_no_new_row(taken: int, wider: bool) -> None:
    """Each row is held against the record of its own day, and what was taken back stays so."""
    said = [("1", "Annual inspection,Rita"), ("2", "mag points,Rita"), ("5", "washed,Rita")]

    def entry(line: int, day: str, cells: str) -> PaperEntry:
        source = Imported(file="log.csv", line=Decimal(line), cells=cells, digest=cells, occurrence=Decimal(1))
        date = dt.date(2026, 8, int(day))
        return PaperEntry(name=f"r{line}", date=date, text=cells, imported=source, place=Place("log.csv", line))

    short = [entry(line, day, f"2026-08-0{day},{words}") for line, (day, words) in enumerate(said, 2)]
    long = [entry(line, day, f"2026-08-0{day},{words},home") for line, (day, words) in enumerate(said, 2)]
    old, now = (short, long) if wider else (long, short)
    stand = [record for record in old if record is not old[taken]]
    found = match(tuple(now), stand, "log.csv", [old[taken]])
    assert (found.new, found.gone) == ((), ())
    assert found.withdrawn == ((now[taken], old[taken]),)
    assert {row.name: was.name for row, was in found.changed} == {each.name: each.name for each in stand}
    # Taken back to the last row, nothing is left that could show it.
    found = match(tuple(now), [], "log.csv", old)
    assert (found.new, {row.name for row, _ in found.withdrawn}) == ((), {each.name for each in now})
    # Corrected in what it says it is another row.
    better = entry(taken + 2, said[taken][0], now[taken].text.replace("Rita", "Ada"))
    found = match((*now[:taken], better, *now[taken + 1 :]), stand, "log.csv", [old[taken]])
    assert (found.new, found.withdrawn, found.gone) == ((better,), (), ())


POINTS = ("2026-02-01", "375.0", "Magneto points", "3")


@pytest.mark.parametrize(
    ("row", "is_it"),
    [
        (("2026-02-01", "375.0", "Magneto points set", "3"), True),
        (("2026-02-01", "379.0", "Magneto points", "3"), True),
        (("2026-03-01", "375.0", "Magneto points", "3"), True),
        (("2026-03-01", "379.0", "Magneto points", "3"), False),
        (("2026-02-01", "375.0", "Wash", "3"), True),
        (("2026-02-01", "401.5", "Wash, polish and a new cover", "17"), False),
    ],
)
def test_a_changed_row_is_known_in_a_table_sorted_anew(row: tuple[str, ...], is_it: bool) -> None:
    """A and B stay, the newest comes first now, and the last is another: the same row, or one gone and one new."""

    def entry(line: int, cells: tuple[str, ...]) -> PaperEntry:
        day, tach, words, page = cells
        text = ",".join(cells)
        source = Imported(file="log.csv", line=Decimal(line), cells=text, digest=text, occurrence=Decimal(1))
        return PaperEntry(
            name=f"r{line}",
            date=dt.date.fromisoformat(day),
            text=words,
            meters={"tach": Decimal(tach)},
            paper=page,
            imported=source,
            place=Place("log.csv", line),
        )

    first, second = ("2025-06-14", "321.0", "Oil changed", "1"), ("2025-09-30", "349.5", "New tyre", "2")
    old = [entry(2, first), entry(3, second), entry(4, POINTS)]
    now = entry(2, row)
    found = match((now, entry(3, second), entry(4, first)), old, "log.csv")
    assert found.changed == (((now, old[2]),) if is_it else ())
    assert found.new == (() if is_it else (now,))
    assert found.gone == (() if is_it else (old[2],))


@given(st.text("abcd", max_size=8), st.text("abcd", max_size=8))
def test_no_row_is_written_twice_and_none_is_lost(before: str, now: str) -> None:
    found = match(rows(now), rows(before), "log.csv")
    new, changed = Counter(told(found.new)), Counter(row.text for row, _ in found.changed)
    # Of each row as many stand in the records and the table together as in the one that has more of it.
    assert new + changed == Counter(now) - Counter(before)
    assert Counter(told(found.gone)) + Counter(old.text for _, old in found.changed) == Counter(before) - Counter(now)
