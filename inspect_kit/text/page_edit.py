"""Edits of an open page, line by line: a text in, a text out, no other line touched.

A box is named by its place among the boxes of the page (from 0), since a panel may come off more than once. Line
endings are kept as the page has them. What an edit writes is read back by the caller (`inspection.edit`).
"""

import json
import re
from collections.abc import Mapping, Sequence

from inspect_kit.text.items import Bullet, MarkdownBox
from inspect_kit.text.page_values import finding_id
from inspect_kit.text.source import one_line
from inspect_kit.text.worksheet import FOUND, boxes_of

# A line of the front matter that says nothing to the program: empty, or a remark.
REMARK = r"\s*(?:#.*)?"


def write_tick(text: str, box: int, ticked: bool = True) -> str:
    """Put a tick into a box, or take it away."""
    item = _items(text)[box]
    if item.ticked == ticked:
        return text
    lines = text.split("\n")
    at, (start, end) = item.lines[0] - 1, item.box
    lines[at] = lines[at][:start] + ("[x]" if ticked else "[ ]") + lines[at][end:]
    return "\n".join(lines)


def write_key(text: str, box: int, key: str, value: str) -> str:
    """Write `KEY: value` under a box, in the place of the same key if it stands there, else as its last line."""
    item = _items(text)[box]
    for bullet in item.bullets:
        if bullet.key == key:
            return _replace_value(text, bullet, value)
    return add_below(text, box, [f"- {key}: {one_line(value)}"])


def drop_keys(text: str, box: int, keys: Sequence[str]) -> str:
    """Take lines `KEY: …` away from under a box, with what is indented below them."""
    for bullet in reversed(_items(text)[box].bullets):
        if bullet.key in keys:
            lines = text.split("\n")
            del lines[bullet.lines[0] - 1 : bullet.lines[1]]
            text = "\n".join(lines)
    return text


def write_again(text: str, box: int, label: str, value: str) -> str:
    """Write `again: value` under a reading; the first value stays."""
    bullet = next(bullet for bullet in _items(text)[box].bullets if bullet.key == label)
    return _insert(text, bullet.lines[1], [f"{' ' * (bullet.indent + 2)}- again: {one_line(value)}"])


def replace_again(text: str, box: int, label: str, value: str) -> str:
    """Write another value in the place of the last `again` under a reading."""
    bullet = next(bullet for bullet in _items(text)[box].bullets if bullet.key == label)
    return _replace_value(text, bullet.children[-1], value)


def add_below(text: str, box: int, bullets: Sequence[str]) -> str:
    """Add bullets as the last lines under a box; they come with their own relative indent."""
    item = _items(text)[box]
    last = item.lines[1]
    return _insert(text, last, [" " * (item.indent + 2) + one_line(line) for line in bullets])


def write_below_finding(text: str, box: int, line: int, key: str, value: str) -> str:
    """Write `KEY: value` under the finding that begins on that line, under a box.

    By its line, for two people may have called two findings F1, and git puts both into one page.
    """
    found = next(bullet for bullet in _items(text)[box].bullets if bullet.lines[0] == line)
    for below in found.children:
        if below.key == key:
            return _replace_value(text, below, value)
    return _insert(text, found.lines[1], [f"{' ' * (found.indent + 2)}- {key}: {one_line(value)}"])


def write_helper(text: str, name: str) -> str:
    """Write a name at the end of `helpers` in the front matter: a list in brackets or in lines, or none yet; remarks
    stay.

    A list in a form that is not known here stays as it is.
    """
    lines = text.split("\n")
    ending = "\r" if lines[0].endswith("\r") else ""
    end = next(at for at, line in enumerate(lines[1:], 1) if line.rstrip() == "---")
    quoted = json.dumps(name, ensure_ascii=False)
    at = next((at for at, line in enumerate(lines[:end]) if re.match(r"helpers\s*:", line)), None)
    if at is None:
        return _insert(text, end, [f"helpers: [{quoted}]"])
    if match := re.fullmatch(r"(helpers\s*:\s*\[)([^\[\]#]*)(\](?:\s*|\s+#.*))", lines[at]):
        kept = match[2].rstrip().removesuffix(",").rstrip()
        lines[at] = f"{match[1]}{f'{kept}, ' if kept else ''}{quoted}{match[3]}"
        return "\n".join(lines)
    last = at
    for below in range(at + 1, end):
        if re.match(r"\s*- ", lines[below]):
            last = below
        elif not re.fullmatch(REMARK, lines[below]):
            break
    if last == at:
        # Nothing stands there, or something in another form.
        empty = re.fullmatch(r"helpers\s*:(?P<remark>\s+#.*?)?\s*", lines[at])
        lines[at] = f"helpers: [{quoted}]{empty['remark'] or ''}{ending}" if empty else lines[at]
        return "\n".join(lines)
    indent = re.match(r"\s*", lines[last])
    return _insert(text, last + 1, [f"{indent.group() if indent else ''}- {quoted}"])


def write_at_top(text: str, note: str) -> str:
    """Write a note as a paragraph of its own right below the front matter."""
    lines = text.split("\n")
    end = next(at for at, line in enumerate(lines[1:], 1) if line.rstrip() == "---")
    return _insert(text, end + 1, ["", one_line(note)])


def write_front(text: str, key: str, value: str) -> str:
    """Write `KEY: value` into the front matter, in the place of the same key or before its end; `value` is YAML.

    What is indented below the key is its old value, and goes with it; remarks stay, below the new one.
    """
    lines = text.split("\n")
    ending = "\r" if lines[0].endswith("\r") else ""
    end = next(at for at, line in enumerate(lines[1:], 1) if line.rstrip() == "---")
    named = rf"([\"']?){re.escape(key)}\1\s*:"
    at = next((at for at, line in enumerate(lines[:end]) if re.match(named, line)), None)
    if at is None:
        return _insert(text, end, [f"{key}: {value}"])
    below = at + 1
    for place in range(at + 1, end):
        if lines[place].startswith((" ", "\t")) and lines[place].strip():
            below = place + 1
        elif not re.fullmatch(REMARK, lines[place]):
            break
    remarks = (match[1].rstrip() for line in lines[at:below] if (match := re.search(r"(?:^|\s)(#.*)", line)))
    lines[at:below] = [f"{key}: {value}{ending}", *(f"  {remark}{ending}" for remark in remarks)]
    return "\n".join(lines)


def unnamed_findings(text: str) -> tuple[int, ...]:
    """The lines of the `found:` keys that give no id."""
    bullets = (bullet for item in _items(text) for bullet in item.bullets if bullet.key == FOUND)
    return tuple(bullet.lines[0] for bullet in bullets if finding_id(bullet.value.text)[0] is None)


def write_finding_ids(text: str, names: Mapping[int, str]) -> str:
    """Write an id into `found:` lines that have none, by their line (from 1)."""
    lines = text.split("\n")
    for bullet in (bullet for item in _items(text) for bullet in item.bullets):
        if name := names.get(bullet.lines[0]):
            line = lines[bullet.lines[0] - 1]
            between = "" if line[: bullet.head].endswith(" ") else " "
            lines[bullet.lines[0] - 1] = f"{line[: bullet.head]}{between}{name} {line[bullet.head :]}"
    return "\n".join(lines)


def insert_boxes(text: str, after: int, blocks: Sequence[Sequence[str]]) -> str:
    """Insert boxes after the box `after` (-1: at the end of the page), set apart by blank lines."""
    items = _items(text)
    at = items[after].lines[1] if items else len(text.rstrip("\n").split("\n"))
    new: list[str] = []
    for block in blocks:
        new += ["", *block]
    return _insert(text, at, new)


def _items(text: str) -> list[MarkdownBox]:
    return boxes_of(text).items


def _insert(text: str, after_line: int, new: Sequence[str]) -> str:
    lines = text.split("\n")
    ending = "\r" if lines[0].endswith("\r") else ""
    if after_line >= len(lines):
        # The page did not end with a line feed: the last line gets one before anything follows it.
        lines.append("")
    lines[after_line:after_line] = [line + ending for line in new]
    return "\n".join(lines)


def _replace_value(text: str, bullet: Bullet, value: str) -> str:
    lines = text.split("\n")
    at = bullet.value.line - 1
    ending = "\r" if lines[at].endswith("\r") else ""
    head = lines[at][: bullet.head].rstrip()
    # A value that ran on over several lines is replaced whole; what is indented below it as bullets stays.
    last = min((child.lines[0] for child in bullet.children), default=bullet.lines[1] + 1) - 1
    lines[at:last] = [f"{head} {one_line(value)}{ending}"]
    return "\n".join(lines)
