"""How wide text is in the cells of a terminal, and how it is wrapped."""

import unicodedata


def width(text: str) -> int:
    """The number of cells: 2 for a wide character, 0 for a mark that sits on the one before."""
    if text.isascii():
        return len(text)
    return sum(_cells(character) for character in text)


def _cells(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def wrap(text: str, room: int) -> list[str]:
    """The text in lines of at most `room` cells, broken at spaces, and inside a word only where it is too long."""
    room = max(room, 2)
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split():
            if not line:
                line = word
            elif width(line) + 1 + width(word) <= room:
                line = f"{line} {word}"
            else:
                lines.append(line)
                line = word
            while width(line) > room:
                head = _broken(line, room)
                lines.append(head)
                line = line[len(head) :]
        lines.append(line)
    return lines


def _broken(word: str, room: int) -> str:
    """Where a word that is too long is broken: after a hyphen or a slash, if there is one late enough."""
    head = _head(word, room)
    at = max(head.rfind(mark) for mark in "-/_.#") + 1
    return head[:at] if at > len(head) // 2 else head


def _head(word: str, room: int) -> str:
    """As much of a word as fits."""
    used = 0
    for index, character in enumerate(word):
        used += _cells(character)
        if used > room:
            return word[:index]
    return word


def padded(text: str, room: int, *, right: bool = False) -> str:
    """The text filled with spaces to `room` cells; `right` puts the spaces before it."""
    fill = " " * max(0, room - width(text))
    return fill + text if right else text + fill


def clipped(text: str, room: int) -> str:
    """The text, shortened with `…` where it does not fit."""
    return text if width(text) <= room else f"{_head(text, room - 1)}…"
