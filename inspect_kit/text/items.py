"""Markdown with boxes: the one grammar that checklists and worksheets share.

    page   = [ "---" YAML "---" ] { heading | text | item }     text and headings are notes
    item   = bullet "[" (" " | "x" | "X") "]" [ VERB ] "`" ( ID | REF ) "`" text { indented bullet KEY ":" value }
    bullet = "-" | "*" | "+"        VERB = "remove" | "refit" | "make" | "undo"
    ID     = [a-z][a-z0-9]* { "-" [a-z0-9]+ }           REF = NAME "#F" digits      (a finding that still stands)

KEY ends at the first colon; a value runs on over lines indented deeper. Nothing inside a code fence is an item. A line
that looks like a box and is none is a problem: a tick must never be lost.
"""

import re
from dataclasses import dataclass, field

from inspect_kit.text.fields import Mapping, front_matter, read_yaml
from inspect_kit.text.grammar import ID_PATTERN, LONGEST_ID, did_you_mean
from inspect_kit.text.source import Source, Value, odd_character, split_lines

TAB = 4
VERBS = ("remove", "refit", "make", "undo")
REF_PATTERN = r"[^\s`/\\#][^`/\\#]*#F[0-9]{1,5}"
ITEM = re.compile(rf"[-*+]\s+\[([ xX])\]\s+(?:(\S+)\s+)?`({ID_PATTERN}|{REF_PATTERN})`(.*)")
# Whatever people draw for a box or a tick: behind a bullet, a number, a quotation mark, a table's bar, a comment.
BEFORE_BOX = r"(?:<!--|[-*+•–—·>|#\s]|[0-9]{1,4}[.)])*"
DRAWN_BOX = r"\[\s{0,4}[xXvVyYoO✓✔✗✘☑☒+*~/\\.-]?\s{0,4}\](?![(:\[])|\(\s?[xX✓✔]?\s?\)\s*`|[☐☑☒✅✔✓🗹]"
LOOKS_LIKE_BOX = re.compile(BEFORE_BOX + f"(?:{DRAWN_BOX})")
BULLET = re.compile(r"([-*+])(\s+)(.*)")
FENCE = re.compile(r"(`{3,}|~{3,})(.*)")
MARKER = re.compile(r"(<{7}|={7}|>{7}|\|{7})(\s|$)")


@dataclass(slots=True)
class Bullet:
    """`KEY: value` under an item, with what is indented under it; `lines` are its first and last line."""

    key: str
    value: Value
    lines: tuple[int, int]
    indent: int
    children: list["Bullet"] = field(default_factory=list)


@dataclass(slots=True)
class Item:
    """One box with its id, text and bullets; `lines` are its first and last line, bullets included."""

    ticked: bool
    verb: str
    id: str
    text: str
    lines: tuple[int, int]
    indent: int
    bullets: list[Bullet] = field(default_factory=list)


@dataclass(slots=True)
class Paper:
    """A Markdown page as read: front matter, boxes, and the notes between them with their lines.

    `strays` are the lines of `KEY: value` bullets that stand right below a box without being indented.
    """

    source: Source
    front: Mapping | None = None
    items: list[Item] = field(default_factory=list)
    notes: list[tuple[int, str]] = field(default_factory=list)
    strays: set[int] = field(default_factory=set)


def read_paper(text: str, file: str) -> Paper:
    """Read a page; whatever cannot be read is in `source.problems`."""
    source = Source(file, split_lines(text))
    paper = Paper(source)
    front, skipped = front_matter(text)
    if skipped < 0:
        source.problem(1, "the front matter begins with `---` but has no second `---`")
        skipped = 1
    if front is not None:
        paper.front, problems = read_yaml(front, file, first_line=2)
        source.problems += problems
    reader = _Reader(paper)
    for number, line in enumerate(source.lines[skipped:], start=skipped + 1):
        reader.line(number, line)
    reader.end()
    return paper


class _Reader:
    """Reads line by line; holds the open items and the open bullets of the last one by indent, and the open fence."""

    def __init__(self, paper: Paper) -> None:
        self.paper, self.source = paper, paper.source
        self.items: list[Item] = []
        self.open: dict[int, list[Bullet]] = {}
        self.fence: tuple[str, int] | None = None
        self.right_below = False

    def line(self, number: int, raw: str) -> None:
        if odd := odd_character(raw):
            self.source.problem(number, odd)
        line = raw.expandtabs(TAB)
        body = line.strip()
        indent = len(line) - len(line.lstrip())
        right_below, self.right_below = self.right_below, False
        if self._fenced(number, body) or not body:
            return
        if MARKER.match(raw) and not re.fullmatch(r"=+", body):
            self.source.problem(number, "a conflict marker of a merge: settle which side is right", 0, 7)
        elif (match := ITEM.fullmatch(body)) and len(match.group(3)) <= LONGEST_ID + 40:
            self._item(number, indent, match, raw)
        elif LOOKS_LIKE_BOX.match(body):
            self._broken_box(number, indent, raw, body)
        else:
            self._other(number, indent, body, raw, right_below)

    def end(self) -> None:
        if self.fence is not None:
            self.source.problem(self.fence[1], "this code fence is never closed: all below it would be lost")

    def _fenced(self, number: int, body: str) -> bool:
        match = FENCE.match(body)
        if self.fence is None:
            if match and not (match.group(1)[0] == "`" and "`" in match.group(2)):
                self.fence = (match.group(1), number)
                return True
            return False
        opener = self.fence[0]
        if match and match.group(1).startswith(opener) and not match.group(2).strip():
            self.fence = None
        return True

    def _item(self, number: int, indent: int, match: re.Match[str], raw: str) -> None:
        box, verb, name, text = match.groups()
        if verb and verb not in VERBS:
            start = raw.index(verb)
            hint = did_you_mean(verb, VERBS)
            self.source.problem(number, f"`{verb[:40]}` is no verb of a box{hint}", start, start + len(verb))
        self._leave(indent)
        item = Item(box != " ", verb or "", name, text.strip(), (number, number), indent)
        self.items.append(item)
        self.open[id(item)] = []
        self.paper.items.append(item)
        self.right_below = True

    def _leave(self, indent: int) -> None:
        """Close the items that a line of this indent does not belong to."""
        while self.items and indent <= self.items[-1].indent:
            self.items.pop()

    def _broken_box(self, number: int, indent: int, raw: str, body: str) -> None:
        self._leave(indent)
        start = len(raw) - len(raw.lstrip())
        hint = "expected a bullet, a box and an id in backticks, such as - [ ] `oil-change` Change the oil"
        if match := re.match(r"[-*+]\s+\[[ xX]\]\s+(?:\S+\s+)?`([^`]*)`", body):
            hint = f"`{match.group(1)[:60]}` is no id: lower-case letters, digits and single hyphens, a letter first"
        self.source.problem(number, f"a box that cannot be read: {hint}", start, start + len(body))

    def _other(self, number: int, indent: int, body: str, raw: str, right_below: bool) -> None:
        """A line that is no box: a bullet or the run-on of one below an item, else a note."""
        self._leave(indent)
        if not self.items:
            if right_below and BULLET.fullmatch(body):
                self.paper.strays.add(number)
                self.right_below = True
            self.paper.notes.append((number, body))
            return
        self.right_below = True
        item = self.items[-1]
        item.lines = (item.lines[0], number)
        opened = self.open[id(item)]
        bullet = BULLET.fullmatch(body)
        while opened and indent <= opened[-1].indent:
            opened.pop()
        if bullet is None:
            _run_on(item, opened, number, body)
            return
        key, colon, value = bullet.group(3).partition(":")
        column = len(raw) - len(raw.lstrip())
        if not colon or not key.strip():
            self.source.problem(number, "expected `KEY: value` after the bullet", column, column + len(body))
            return
        at = raw.index(":", column) + 1
        at += len(raw[at:]) - len(raw[at:].lstrip())
        made = Bullet(" ".join(key.split()), Value(value.strip(), number, at), (number, number), indent)
        (opened[-1].children if opened else item.bullets).append(made)
        for above in opened:
            above.lines = (above.lines[0], number)
        opened.append(made)


def _run_on(item: Item, opened: list[Bullet], number: int, body: str) -> None:
    """Add a line to the value of the bullet above it, or to the text of the item."""
    if not opened:
        item.text = f"{item.text} {body}".strip()
        return
    bullet = opened[-1]
    bullet.value = Value(f"{bullet.value.text} {body}".strip(), bullet.value.line, -1)
    for above in opened:
        above.lines = (above.lines[0], number)
