"""Bytes to text: UTF-8 without a byte order mark, no NUL, and no conflict that git left behind."""

from collections.abc import Iterator

from inspect_kit.errors import Place, Problem

# The longer marks first: that of UTF-32 begins with that of UTF-16.
MARKS = {
    b"\xff\xfe\0\0": "UTF-32",
    b"\0\0\xfe\xff": "UTF-32",
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
}
# Of four bytes those that are 0 in Latin text, by either order of bytes.
EMPTY = (("UTF-32", (1, 2, 3)), ("UTF-32", (0, 1, 2)), ("UTF-16", (1, 3)), ("UTF-16", (0, 2)))
GLANCE, MOSTLY = 4096, 0.8
# What stands in Windows-1252 between 0x80 and 0xbf and in plain text: dashes, quotes, degree, micro, fractions.
SIGNS = frozenset("…‘’“”•–—°±²³µ·¼½¾§«»".encode("cp1252"))

# What git writes at the beginning of a line where a merge could not decide (gitattributes(5), conflict-marker-size 7).
OURS, BASE, MIDDLE, THEIRS = "<" * 7, "|" * 7, "=" * 7, ">" * 7


def decode(name: str, data: bytes) -> tuple[str, tuple[Problem, ...]]:
    """The text of a file, line endings as they are, or "" and the problems that keep it from being read."""
    if wide := _wide(data):
        return "", (Problem(Place(name, 1), f"is {wide}; save it as UTF-8"),)
    if data.startswith(b"\xef\xbb\xbf"):
        return "", (Problem(Place(name, 1), "begins with a byte order mark; save it as UTF-8 without one"),)
    if (at := data.find(b"\0")) >= 0:
        return "", (Problem(Place(name, _line(data, at)), "has a NUL character in it; it is no text"),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        told = f"is not UTF-8: byte 0x{data[error.start]:02x}{_letter(data, error.start)}"
        return "", (Problem(Place(name, _line(data, error.start)), told),)
    problems = tuple(conflicts(name, text))
    return ("", problems) if problems else (text, ())


def _wide(data: bytes) -> str:
    """What a text of two or four bytes a letter is called; "" where it is none.

    The mark of UTF-32 begins with that of UTF-16 (The Unicode Standard, 3.10, table 3-6). Without a mark they are known
    by where their letters have no bits: nearly all of what stands in a store is Latin.
    """
    for mark, called in MARKS.items():
        if data.startswith(mark):
            return called
    head = data[: 4 * (GLANCE // 4)]
    if b"\0" not in head:
        return ""
    nuls = [head[at::4].count(0) / max(1, len(head[at::4])) for at in range(4)]
    for called, empty in EMPTY:
        full = [nuls[at] for at in range(4) if at not in empty]
        if len(head) >= 4 and all(nuls[at] > MOSTLY for at in empty) and all(share < 1 - MOSTLY for share in full):
            return f"{called} without a byte order mark"
    return ""


def _letter(data: bytes, at: int) -> str:
    """Which letter a byte is where the whole file reads as text of one byte a letter."""
    try:
        data.decode("cp1252")
        letter = data[at : at + 1].decode("cp1252")
    except UnicodeDecodeError:
        return ""
    alone = all(not 0x80 <= byte < 0xC0 or byte in SIGNS for byte in data)
    return f", `{letter}` in Windows-1252 or Latin-1; save it as UTF-8" if alone and letter.isprintable() else ""


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
