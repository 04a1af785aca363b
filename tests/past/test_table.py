"""Bytes of a table to rows of cells."""

import pytest

from inspect_kit.errors import Misused
from inspect_kit.past import decode_table, guess, read_columns, read_table, write_columns
from inspect_kit.past.table import clean


@pytest.mark.parametrize(
    ("sign", "word"), [(",", "comma"), (";", "semicolon"), ("\t", "tab"), ("|", "bar")]
)
def test_what_parts_the_cells_is_seen(sign: str, word: str) -> None:
    text = sign.join(("Date", "Tach", "Remarks")) + "\r\n" + sign.join(("2014-03-02", "412.6", '"a, b; c"')) + "\r\n"
    table = read_table(text)
    assert table.delimiter == word
    assert [row.cells for row in table.rows] == [("Date", "Tach", "Remarks"), ("2014-03-02", "412.6", "a, b; c")]


def test_a_row_over_several_lines_keeps_the_line_it_begins_on() -> None:
    table = read_table('a,"one\ntwo\nthree"\nb,last\n')
    assert [(row.line, row.cells) for row in table.rows] == [(1, ("a", "one two three")), (4, ("b", "last"))]


def test_a_quotation_mark_that_is_never_closed_is_named_by_its_line() -> None:
    text = "a,b\n" + 'c,"never closed\n' + "d,e\n" * 80
    with pytest.raises(Misused, match="line 2: a quotation mark is opened here"):
        read_table(text)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('a,b,c\nd,,"swallowed\ne,,f\ng,,h"\n', 2),
        ('a,b,c\nd,,"swallowed\ne,,f\n', 2),
        ('a,b\n1,2\nd,"never closed\nand no more\n', 3),
        ('a,b\n1,2\n3,"x', 3),
    ],
)
def test_a_quotation_mark_that_swallows_what_follows_loses_no_row(text: str, line: int) -> None:
    with pytest.raises(Misused, match=f"line {line}: a quotation mark is opened here"):
        read_table(text, "comma")


def test_a_remark_over_several_lines_may_have_commas() -> None:
    table = read_table('a,b,c\nd,,"oil, filter\ncut open, no metal"\n')
    assert table.rows[1].cells == ("d", "", "oil, filter cut open, no metal")


@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        ("Öl,1".encode(), "UTF-8"),
        ("\ufeffÖl,1".encode(), "UTF-8"),
        ("Öl,1".encode("utf-16"), "UTF-16"),
        ("Öl,1".encode("cp1252"), "Windows-1252"),
    ],
)
def test_encodings_that_spreadsheets_save(data: bytes, encoding: str) -> None:
    assert decode_table(data) == ("Öl,1", encoding)


@pytest.mark.parametrize("data", [b"PK\x03\x04\x00\x00", b"\x81\x8d\x8f", b"\xff\xfea"])
def test_what_is_no_text(data: bytes) -> None:
    with pytest.raises(Misused, match="no table of text"):
        read_table(decode_table(data)[0])


@pytest.mark.parametrize(
    ("typed", "cleaned"),
    [
        ("  a \u00a0 b\t", "a b"),
        ("'=SUM(A1)", "=SUM(A1)"),
        ("' +1", "+1"),
        ("'tis done", "'tis done"),
        ("'", "'"),
        ("\x1b[2Jgone\u202e", "[2Jgone"),
        ("e\u0301lan", "\u00e9lan"),
    ],
)
def test_cells_are_cleaned(typed: str, cleaned: str) -> None:
    assert clean(typed) == cleaned


def test_the_digest_is_of_the_cleaned_cells() -> None:
    plain, spaced, other = read_table("a,b,,\n a , b\na,c\n").rows
    assert plain.digest == spaced.digest != other.digest


def test_what_is_written_beside_a_table_reads_back() -> None:
    table = read_table("Total log;;\nDate;Hobbs total;Remarks\n1.2.14;3,5;x\n")
    columns = guess(table, ("tach", "hobbs"), "tach")
    assert columns.names == 2
    assert dict(columns.roles) == {"Date": "date", "Hobbs total": "total hobbs", "Remarks": "text"}
    again, source = read_columns(write_columns(columns, "a.csv"), "a.columns.yaml", ("tach", "hobbs"))
    assert source.problems == []
    assert again == columns


@pytest.mark.parametrize(
    ("clock", "head", "roles"),
    [
        ("tach", "date,hobbs,what,init", ["date", "left out", "text", "by"]),
        ("tach", "date,hobbs,tach,carried out,init", ["date", "left out", "reads tach", "text", "by"]),
        ("hobbs", "date,tach,what,init", ["date", "left out", "text", "by"]),
        # What a meter of no kind that is known is called elsewhere nobody knows.
        ("recorder", "date,hobbs,what,init", ["date", "reads recorder", "text", "by"]),
        # Of two columns of words either may be it.
        ("tach", "date,one,two", ["date", "left out", "left out"]),
    ],
)
def test_a_meter_that_is_not_there_is_no_other_one_and_the_only_words_are_the_text(
    clock: str, head: str, roles: list[str]
) -> None:
    """Enter took what a Hobbs read for the tachometer, 1200 against 57, and left out the only words of the table."""
    cells = {"date": "2020-06-10", "hobbs": "1200.4", "tach": "57.1", "init": "JQ"}
    row = ",".join(cells.get(name, "Annual wheels greased") for name in head.split(","))
    columns = guess(read_table(f"{head}\n{row}\n{row}\n"), (clock,), clock)
    assert [*columns.roles.values()] == roles
