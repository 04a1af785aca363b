"""Bytes to text: UTF-8 without a byte order mark, no NUL, and no conflict that git left behind."""

from collections.abc import Iterator

from inspect_kit.errors import Place, Problem

# What git writes at the beginning of a line where a merge could not decide (gitattributes(5), conflict-marker-size 7).
OURS, BASE, MIDDLE, THEIRS = "<" * 7, "|" * 7, "=" * 7, ">" * 7


def decode(name: str, data: bytes) -> tuple[str, tuple[Problem, ...]]:
    """The text of a file, line endings as they are, or "" and the problems that keep it from being read."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "", (Problem(Place(name, 1), "is UTF-16; save it as UTF-8"),)
    if data.startswith(b"\xef\xbb\xbf"):
        return "", (Problem(Place(name, 1), "begins with a byte order mark; save it as UTF-8 without one"),)
    if (at := data.find(b"\0")) >= 0:
        return "", (Problem(Place(name, _line(data, at)), "has a NUL character in it; it is no text"),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        bad = data[error.start]
        return "", (Problem(Place(name, _line(data, error.start)), f"is not UTF-8: byte 0x{bad:02x}"),)
    problems = tuple(conflicts(name, text))
    return ("", problems) if problems else (text, ())


def conflicts(name: str, text: str) -> Iterator[Problem]:
    """Every line that git left of an undecided merge.

    Seven equals signs alone also underline a heading in Markdown; there they count as a marker only together with
    another one, or where there is no paragraph above that they could underline.
    """
    if not any(mark in text for mark in (OURS, BASE, MIDDLE, THEIRS)):
        return
    lines = text.split("\n")
    marks = [(number, mark) for number, line in enumerate(lines, 1) if (mark := _marker(line))]
    certain = any(mark != MIDDLE for _, mark in marks)
    for number, mark in marks:
        above = lines[number - 2] if number > 1 else ""
        if mark != MIDDLE or certain or name.endswith(".yaml") or not _is_paragraph(above):
            yield Problem(Place(name, number), f"a conflict was left in this file by git ({mark}); decide it by hand")


def _marker(line: str) -> str:
    line = line.rstrip("\r")
    if line == MIDDLE:
        return MIDDLE
    return next((mark for mark in (OURS, BASE, THEIRS) if line == mark or line.startswith(mark + " ")), "")


def _is_paragraph(line: str) -> bool:
    return bool(line.strip()) and line[0] not in " \t-*+#>|<`~"


def _line(data: bytes, at: int) -> int:
    return data.count(b"\n", 0, at) + 1
