"""Bytes that are no text, and what git leaves behind, are problems with file and line; never data."""

import pytest

from inspect_kit.store import decode

PAGE = "records/open/page.md"
RECORD = "records/2026/record.yaml"


def told(name: str, data: bytes) -> list[str]:
    return [str(problem) for problem in decode(name, data)[1]]


@pytest.mark.parametrize(
    "data", [b"", b"a\n", b"a\r\nb\r\n", "Müller – 5 µm\n".encode(), b"\t\x0b\x0c\n", "\u2028".encode()]
)
def test_text_keeps_every_character_and_line_ending(data: bytes) -> None:
    assert decode(PAGE, data) == (data.decode(), ())


@pytest.mark.parametrize(
    ("data", "line", "message"),
    [
        (b"\xef\xbb\xbfa\n", 1, "begins with a byte order mark; save it as UTF-8 without one"),
        ("a\n".encode("utf-16"), 1, "is UTF-16; save it as UTF-8"),
        ("ab\n".encode("utf-16-be"), 1, "is UTF-16 without a byte order mark; save it as UTF-8"),
        ("abc\n".encode("utf-16-le"), 1, "is UTF-16 without a byte order mark; save it as UTF-8"),
        ("a\n".encode("utf-32"), 1, "is UTF-32; save it as UTF-8"),
        (b"\0\0\xfe\xff" + "a\n".encode("utf-32-be"), 1, "is UTF-32; save it as UTF-8"),
        ("kind: hours\n".encode("utf-32-be"), 1, "is UTF-32 without a byte order mark; save it as UTF-8"),
        ("kind: hours\n".encode("utf-32-le"), 1, "is UTF-32 without a byte order mark; save it as UTF-8"),
        (b"\xfe\xffa", 1, "is UTF-16; save it as UTF-8"),
        (b"a\nb\nc\0d\n", 3, "has a NUL character in it; it is no text"),
        (b"a\n\xe9t\xe9\n", 2, "is not UTF-8: byte 0xe9, `\u00e9` in Windows-1252 or Latin-1; save it as UTF-8"),
        (b"at 90\xb0\n", 1, "is not UTF-8: byte 0xb0, `\u00b0` in Windows-1252 or Latin-1; save it as UTF-8"),
        (b"\xc3\xa9 and \xe9\n", 1, "is not UTF-8: byte 0xe9"),  # two sorts in one file: nobody knows
        (b"a\n\n\xed\xa0\x80\n", 3, "is not UTF-8: byte 0xed"),  # a lone surrogate
        (b"\xc0\xaf", 1, "is not UTF-8: byte 0xc0"),  # an overlong slash
        (b"\xf5\x80\x80\x80", 1, "is not UTF-8: byte 0xf5"),  # beyond U+10FFFF
        (b"ok\n\xe2\x82", 2, "is not UTF-8: byte 0xe2"),  # cut off in the middle
    ],
)
def test_what_is_no_text_is_said_with_its_line(data: bytes, line: int, message: str) -> None:
    assert told(PAGE, data) == [f"{PAGE}:{line}: {message}"]
    assert decode(PAGE, data)[0] == ""


CONFLICT = b"""\
- [x] `a` A

<<<<<<< HEAD
- [x] `b` B
=======
- [ ] `b` B
>>>>>>> other
"""


@pytest.mark.parametrize("ending", [b"\n", b"\r\n"])
def test_every_line_of_a_conflict_is_named(ending: bytes) -> None:
    lines = told(PAGE, CONFLICT.replace(b"\n", ending))
    assert [line.split(" ")[0] for line in lines] == [f"{PAGE}:{number}:" for number in (3, 5, 7)]
    assert all("a conflict was left in this file by git" in line for line in lines)


@pytest.mark.parametrize(
    "left",
    [b"<<<<<<< HEAD\n", b">>>>>>> 0a1b2c\n", b"||||||| base\n", b"<<<<<<<\n", b"a: 1\n=======\n", b"\n=======\n",
     b"- [x] `a` A\n=======\n", b"=======\n", b">>>>>>> x"],
)  # fmt: skip
@pytest.mark.parametrize("name", [PAGE, RECORD])
def test_a_single_marker_that_was_overlooked_is_named(name: str, left: bytes) -> None:
    if name == PAGE and left == b"a: 1\n=======\n":
        pytest.skip("this is a heading in Markdown")
    assert len(told(name, left)) == 1


@pytest.mark.parametrize(
    "text",
    [b"Cowling\n=======\n", b"Lower cowling\n=============\n", b"a <<<<<<< b\n", b"  <<<<<<< HEAD\n", b"<<<<<<<<\n",
     b"========\n", b"> > > > > > >\n", b"|||||||||\n", b"<<<<<<\n", b">>>>>>>x\n"],
)  # fmt: skip
def test_what_only_looks_like_a_marker_is_text(text: bytes) -> None:
    assert told(PAGE, text) == []


def test_a_heading_between_markers_counts_as_one() -> None:
    """Where a conflict is certain, seven equals signs are its middle even below a paragraph."""
    data = b"<<<<<<< HEAD\nCowling\n=======\nCowl\n>>>>>>> other\n"
    assert [line.split(":")[1] for line in told(PAGE, data)] == ["1", "3", "5"]
