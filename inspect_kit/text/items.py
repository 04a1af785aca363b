"""Markdown with boxes: the one grammar that checklists and worksheets share.

    page   = [ "---" YAML "---" ] { heading | text | item }     text and headings are notes
    item   = [ bullet ] box [ VERB ] "`" ( ID | REF ) "`" text { indented [ bullet ] KEY ":" value }
    box    = "[ ]" | "[x]"          VERB = "remove" | "refit" | "make" | "undo"
    ID     = [a-z][a-z0-9]* { "-" [a-z0-9]+ }           REF = NAME "#F" digits      (a finding that still stands)
    bullet = "-" | "*" | "+", or any dash, dot, arrow, number or letter that people and editors put there

KEY ends at the first colon; a value runs on over lines indented deeper. Nothing inside a code fence is an item. How
else a box and a key may be drawn and spelt stands in `text.spelling` and in BOX below: what can be meant in one way
only is read, everything else that looks like a box, a key or a finding is a problem, and so is a line between the keys
that belongs to none of them. Text before the first item stays free.
"""

import itertools
import re
from collections.abc import Callable
from dataclasses import field

from inspect_kit.noun import dataclass
from inspect_kit.text.fields import Mapping, front_matter, read_yaml
from inspect_kit.text.grammar import ID_PATTERN, LONGEST_ID, REF_PATTERN, did_you_mean, not_an_id
from inspect_kit.text.source import Source, Value, odd_character, split_lines
from inspect_kit.text.spelling import (
    ARROWS,
    BULLETS,
    DASHES,
    NUMBERED,
    Keys,
    Spelled,
    bullet_of,
    flat,
    labelled,
    spellings,
)

TAB = 4
VERBS = ("remove", "refit", "make", "undo")
# Boxes that mean one thing, whatever was typed or an editor made of it; the second x is the Cyrillic one.
OPEN_BOX = r"\[[\s_]{0,4}\]|\(\s?\)|☐"
TICKED_BOX = r"\[\s{0,4}[xXхХ×✓✔☑]\s{0,4}\]|\(\s?[xXхХ×✓✔]\s?\)|[☑✅✓✔]"
BEFORE_ITEM = rf"(?:[{re.escape(DASHES + BULLETS)}→⇒➔➜➤]|{NUMBERED})?\s*"
# A backtick, or the accent that lies beside it on many keyboards; twice, and in bold, it is still a backtick.
TICK = "[`´ˋ｀‵′]"
ITEM = re.compile(
    rf"{BEFORE_ITEM}(?:(?P<open>{OPEN_BOX})|(?P<ticked>{TICKED_BOX}))\s*(?:(?P<verb>[*_]{{0,3}}[A-Za-z]+[*_:]{{0,3}})\s+)?"
    rf"[*_]{{0,3}}{TICK}{{1,2}}\s?(?P<id>{ID_PATTERN}|{REF_PATTERN})\s?{TICK}{{1,2}}[*_]{{0,3}}(?P<text>.*)"
)
# Whatever else people draw for a box or a tick: in a quotation, a table, a comment, or with another mark in it.
BEFORE_BOX = rf"(?:<!--|[{re.escape(DASHES + BULLETS + ARROWS)}|#\s]|{NUMBERED})*"
DRAWN_BOX = (
    r"\[\s{0,4}[xXvVyYoOхХ✓✔✗✘☑☒+*~/\\.×_-]?\s{0,4}\](?![(:\[])|\(\s?[xXхХ✓✔×]?\s?\)\s*[`´]|[☐☑☒✅✔✓🗹]"
    r"|[\[({<][^\s\])}>]{0,8}[\])}>]\s*(?:\S+\s+)?[`´]"
)
LOOKS_LIKE_BOX = re.compile(BEFORE_BOX + f"(?:{DRAWN_BOX})")
# What people put round a word in a cell of a table.
WRAPPED = "*_`~"
BULLET = re.compile(r"[-*+]\s+")
FENCE = re.compile(r"(`{3,}|~{3,})(.*)")
# What begins an entry, and no line over which words go on: a bullet, or dashes right before a word.
NO_EMPHASIS = BULLETS.replace("*", "").replace("+", "")
LISTED = re.compile(rf"[{re.escape(NO_EMPHASIS)}]|[{re.escape(DASHES)}]+[^\W\d_]|[{re.escape(DASHES)}]{{2,}}\d")
MARKER = re.compile(r"(<{7}|={7}|>{7}|\|{7})(\s|$)")
FINDING = re.compile(r"[*_`'\"(\[#\s]*(F[ -]?[0-9]{1,5})(?![0-9A-Za-z])", re.IGNORECASE)
# A word of three letters that is nearly a key is one only before a value that can be its own.
SHORT = 3
LAZY = re.compile(r"[#>|]|(?:[-*_]\s*){3,}\Z|=+\Z|<!--")


@dataclass(slots=True)
class Bullet:
    """`KEY: value` under an item, with what is indented under it; `lines` are its first and last line.

    `key` is the key that was meant, `start` and `end` the columns of what was typed for it, `head` the column behind
    its colon.
    """

    key: str
    value: Value
    lines: tuple[int, int]
    indent: int
    start: int
    end: int
    head: int
    children: list["Bullet"] = field(default_factory=list)


@dataclass(slots=True)
class MarkdownBox:
    """One box with its id, text and bullets; `lines` are its first and last line, bullets included.

    `box` are the columns of the box in its line; `run_on` the lines, with their number, over which its text goes on, or
    the value of the key that is named with them;
    `doubts` the keys that a line which is a problem was most likely meant for.
    """

    ticked: bool
    verb: str
    id: str
    text: str
    lines: tuple[int, int]
    indent: int
    box: tuple[int, int]
    bullets: list[Bullet] = field(default_factory=list)
    run_on: list[tuple[int, str, str]] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)


@dataclass(slots=True)
class MarkdownPage:
    """A Markdown page as read: front matter, boxes, and the notes between them with their lines.

    `fenced` are the lines in code fences, with the fences themselves; `first` is the line of the first box, or 0.
    """

    source: Source
    front: Mapping | None = None
    items: list[MarkdownBox] = field(default_factory=list)
    notes: list[tuple[int, str]] = field(default_factory=list)
    fenced: list[tuple[int, str]] = field(default_factory=list)

    @property
    def first(self) -> int:
        return self.items[0].lines[0] if self.items else 0


def _no_keys(host: str) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Grammar:
    """What may stand under a box, for the reader of lines.

    `below(key)` are the keys that may stand under a key; `anywhere` those that count for nothing above the first box
    either; `owner` is what a key stands under. With `labels` any other word before a colon is a reading's, and the id
    of a finding at the beginning of a line is one. `parses(key, value)` says whether the value can be that key's;
    `bare` are the keys that are recognised by such a value even without a colon.
    """

    keys: Keys
    owner: str
    anywhere: tuple[str, ...] = ()
    below: Callable[[str], tuple[str, ...]] = _no_keys
    labels: bool = False
    parses: Callable[[str, str], bool] = lambda key, value: True
    bare: tuple[str, ...] = ()


def read_paper(text: str, file: str, grammar: Grammar) -> MarkdownPage:
    """Read a page; whatever cannot be read is in `source.problems`."""
    source = Source(file, split_lines(text))
    paper = MarkdownPage(source)
    front, skipped = front_matter(text)
    if skipped < 0:
        source.problem(1, "the front matter begins with `---` but has no second `---`")
        skipped = 1
    if front is not None:
        paper.front, problems = read_yaml(front, file, first_line=2)
        source.problems += problems
    reader = _Reader(paper, grammar)
    for number, line in enumerate(source.lines[skipped:], start=skipped + 1):
        reader.line(number, line)
    reader.end()
    return paper


class _Reader:
    """Reads line by line; holds the open items and the open bullets of the last one by indent, and the open fence."""

    def __init__(self, paper: MarkdownPage, grammar: Grammar) -> None:
        self.paper, self.source, self.grammar = paper, paper.source, grammar
        self.items: list[MarkdownBox] = []
        self.open: dict[int, list[Bullet]] = {}
        self.fence: tuple[str, int] | None = None
        self.right_below = False

    def line(self, number: int, raw: str) -> None:
        if odd := odd_character(raw):
            self.source.problem(number, odd)
        line = flat(raw)
        body = line.strip()
        wide = line.expandtabs(TAB)
        indent = len(wide) - len(wide.lstrip())
        right_below, self.right_below = self.right_below, False
        if self._fenced(number, body):
            self.paper.fenced.append((number, body))
            return
        if not body:
            return
        start = len(line) - len(line.lstrip())
        if MARKER.match(raw) and not re.fullmatch(r"=+", body):
            self.source.problem(number, "a conflict marker of a merge: settle which side is right", 0, 7)
        elif (match := ITEM.fullmatch(line, start, start + len(body))) and len(match["id"]) <= LONGEST_ID + 40:
            self._item(number, indent, match)
        elif LOOKS_LIKE_BOX.match(body):
            self._broken_box(number, indent, start, body)
        else:
            self._leave(indent)
            if self.items:
                self.right_below = True
                self._inside(number, indent, line, self.items[-1])
            else:
                self._outside(number, line, right_below)

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

    def _item(self, number: int, indent: int, match: re.Match[str]) -> None:
        typed = match["verb"] or ""
        verb = typed.strip("*_:").lower()
        if verb not in ("", *VERBS):
            hint = did_you_mean(verb, VERBS)
            self.source.problem(number, f"`{typed[:40]}` is no verb of a box{hint}", *match.span("verb"))
        self._leave(indent)
        box = "ticked" if match["ticked"] is not None else "open"
        item = MarkdownBox(
            box == "ticked", verb, match["id"], match["text"].strip(), (number, number), indent, match.span(box)
        )
        self.items.append(item)
        self.open[id(item)] = []
        self.paper.items.append(item)
        self.right_below = True

    def _leave(self, indent: int) -> None:
        """Close the items that a line of this indent does not belong to."""
        while self.items and indent <= self.items[-1].indent:
            self.items.pop()

    def _broken_box(self, number: int, indent: int, start: int, body: str) -> None:
        self._leave(indent)
        hint = "expected a bullet, a box and an id in backticks, such as - [ ] `oil-change` Change the oil"
        match = re.match(rf"{BEFORE_BOX}(?:{OPEN_BOX}|{TICKED_BOX})\s*(?:\S+\s+)?`([^`]*)`", body)
        if match and not re.fullmatch(ID_PATTERN, match.group(1)):
            hint = not_an_id(match.group(1))
        elif re.match(rf"{BEFORE_ITEM}\[[^\]\s][^\]]*\]\s*(?:\S+\s+)?`{ID_PATTERN}`", body):
            hint = "between its brackets stands a blank, or one x where it is done: `[ ]`, `[x]`"
        self.source.problem(number, f"a box that cannot be read: {hint}", start, start + len(body))

    def _inside(self, number: int, indent: int, line: str, item: MarkdownBox) -> None:
        """A line below an item: a key, or a line over which a value or the item's own text goes on."""
        item.lines = (item.lines[0], number)
        opened = self.open[id(item)]
        while opened and indent <= opened[-1].indent:
            opened.pop()
        host = opened[-1] if opened else None
        for spelled in spellings(line):
            if key := self.grammar.keys.meant(spelled.key):
                own = host is None or key in self.grammar.below(host.key)
                if spelled.is_readable and (spelled.mark or own):
                    self._bullet(number, indent, line, key, spelled, item)
                elif spelled.is_readable and host is not None:
                    item.doubts.append(key)
                    told = f"`{key}` begins a line over which `{host.key}` goes on: give it a bullet, or join the lines"
                    self.source.problem(number, told, spelled.start, spelled.end)
                else:
                    item.doubts.append(key)
                    told = f"`{key}` is not read as it is spelt here: write `- {key}: ...`"
                    self.source.problem(number, told, spelled.start, spelled.end)
                return
        if self._is_row(number, line):
            return
        mark, _ = bullet_of(line)
        bullet = BULLET.match(line.lstrip())
        if bullet is None and self._looks_like_entry(number, line):
            return
        if bullet is not None or (mark and self.grammar.labels and (host is None or self.grammar.below(host.key))):
            # A label is asked for as it stands in the checklist: behind a hyphen nothing is taken off it.
            label = next(iter(spellings(line)), None)
            if bullet is not None:
                label = labelled(line, len(line) - len(line.lstrip()) + bullet.end())
            if label is None or not label.is_readable:
                word = line[bullet_of(line)[1] :].partition(" ")[0]
                if key := self.grammar.keys.meant(word) or self.grammar.keys.near(word):
                    item.doubts.append(key)
                self._problem(number, line, "expected `KEY: value` after the bullet")
            else:
                self._bullet(number, indent, line, " ".join(label.key.split()), label, item)
        elif host is None and item.bullets:
            item.doubts.append(item.bullets[-1].key)
            told = f"stands between the keys of `{item.id}` and belongs to none: indent it deeper to go on with a value"
            self._problem(number, line, told)
        elif host is None and LISTED.match(line.strip()):
            self._problem(number, line, "expected `KEY: value` after the bullet")
        elif host is None:
            item.text = f"{item.text} {line.strip()}".strip()
            item.run_on.append((number, line.strip(), ""))
        else:
            item.run_on.append((number, line.strip(), host.key))
            host.value = Value(f"{host.value.text} {line.strip()}".strip(), host.value.line, begins=host.head)
            for above in opened:
                above.lines = (above.lines[0], number)

    def _bullet(self, number: int, indent: int, line: str, key: str, spelled: Spelled, item: MarkdownBox) -> None:
        opened = self.open[id(item)]
        value = Value(line[spelled.value_at :].strip(), number, spelled.value_at)
        made = Bullet(key, value, (number, number), indent, spelled.start, spelled.end, spelled.value_at)
        (opened[-1].children if opened else item.bullets).append(made)
        for above in opened:
            above.lines = (above.lines[0], number)
        opened.append(made)

    def _outside(self, number: int, line: str, right_below: bool) -> None:
        """A line under no box: a note, unless it looks like an entry that lost its place."""
        body = line.strip()
        bullet = BULLET.match(body)
        self.right_below = right_below and bullet is not None
        self.paper.notes.append((number, body))
        if self.paper.items and self._is_row(number, line, first_only=True):
            return
        for spelled in spellings(line):
            key = self.grammar.keys.meant(spelled.key)
            if key and (self.paper.items or (spelled.mark and key in self.grammar.anywhere)):
                self._astray(number, key, spelled)
                return
        label = labelled(line, len(line) - len(line.lstrip()) + bullet.end()) if bullet and right_below else None
        if label is not None and self.grammar.labels:
            self._astray(number, label.key, label)
        elif not self.paper.items or self._looks_like_entry(number, line, outside=True):
            return
        elif right_below and bullet is None and not LAZY.match(body):
            self._doubt(*(bullet.key for bullet in self.paper.items[-1].bullets[-1:]))
            told = "stands right below a box without being indented: indent it, or leave a line free above it"
            self._problem(number, line, told)

    def _is_row(self, number: int, line: str, *, first_only: bool = False) -> bool:
        """Whether a line is a row of a table with a key in it, `| every | 6 months |`; then the problem is told."""
        body = line.strip()
        if not body.startswith("|"):
            return False
        cells = [cell.strip().strip(WRAPPED).strip() for cell in body.strip("|").split("|")]
        for cell, value in itertools.pairwise(cells):
            word = cell.rstrip(":").rstrip()
            near = self.grammar.keys.near(word)
            key = self.grammar.keys.meant(word) or (near if near and self.grammar.parses(near, value) else None)
            if key is None and self.grammar.labels and FINDING.match(word):
                key = "found"
            if key:
                self._doubt(key)
                self._problem(number, line, f"is a row of a table, and none is read: write `- {key}: {value[:60]}`")
                return True
            if first_only:
                break
        return False

    def _looks_like_entry(self, number: int, line: str, *, outside: bool = False) -> bool:
        """Whether a line that no key begins was to be an entry all the same; then the problem is told."""
        words_at = bullet_of(line)[1]
        if self.grammar.labels and (match := FINDING.match(line, words_at)):
            told = f"begins with the id of a finding: write `- found: {match.group(1)} ...` below the box it belongs to"
            self.source.problem(number, told, *match.span(1))
            return True
        for spelled in spellings(line):
            key = self.grammar.keys.near(spelled.key)
            sure = not outside and len(key or "") > SHORT
            if key and (sure or self.grammar.parses(key, line[spelled.value_at :].strip())):
                self._doubt(key)
                told = f"`{spelled.key}` is no key; did you mean `{key}`?"
                self.source.problem(number, told, spelled.start, spelled.end)
                return True
        word, _, value = line[words_at:].strip().partition(" ")
        key = self.grammar.keys.meant(word) or self.grammar.keys.near(word)
        if key in self.grammar.bare and self.grammar.parses(key, value.strip()):
            self._doubt(key)
            self._problem(number, line, f"reads like a key without its colon: write `- {key}: {value.strip()[:60]}`")
            return True
        return False

    def _astray(self, number: int, key: str, spelled: Spelled) -> None:
        self._doubt(key)
        told = f"`{key[:40]}` stands under no {self.grammar.owner}: indent it below the one it belongs to"
        self.source.problem(number, told, spelled.start, spelled.end)

    def _doubt(self, *keys: str) -> None:
        """Note on the last box the keys that an unreadable line below it was probably meant to be."""
        if self.paper.items:
            self.paper.items[-1].doubts += keys

    def _problem(self, number: int, line: str, message: str) -> None:
        """A problem with a whole line."""
        self.source.problem(number, message, len(line) - len(line.lstrip()), len(line.rstrip()))
