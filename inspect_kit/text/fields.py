"""YAML as text keeps it: nodes with their line, values with their own characters. The only door to yaml.

`NO` stays `NO`, `010` stays `010`, `on:` stays a key. A duplicate key, an alias, an anchor or a tag is refused; so
is anything nested deeper than a record can be, and a value that YAML would cut off at a number sign (`weld #3`).
"""

import math
import re
from dataclasses import field

import yaml
from yaml import MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent

from inspect_kit.errors import Place, Problem
from inspect_kit.noun import dataclass
from inspect_kit.text.source import CONTROL, TURNING, odd_character, split_lines

# The libyaml parser gives the same events, only sooner; a wheel without it still works.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# What nests so deep is nobody's record (the deepest file of the sample has five), and would exhaust the reader.
DEEPEST = 20
# A number sign that was meant as one: a comment has a blank behind it, and then no number but perhaps a year.
CUT = re.compile(r"[ \t]+(#(?:[0-9]|[ \t]+(?!(?:19|20)[0-9]{2}\b)[0-9]))")
# Asked of a whole file: a pattern that begins with many blanks would begin anew at each of them.
MAY_CUT = re.compile(r"[ \t]#[ \t]*[0-9]")
# What has no number of its own by a number sign, as words have: a date, a figure, a figure and its unit.
FIGURE = re.compile(r"[+-]?\d[\d.,:/-]*[ \t]*(?:[^\W\d_]+|%)?")


@dataclass(slots=True)
class Scalar:
    """A value as written, from `line`, in the file, from 1, and `column` on.

    `style` is "" where it stands plain, else the quotation mark, `|` or `>` that it begins with; `end` are the line
    and the column behind its last character.
    """

    text: str
    line: int
    column: int = 0
    style: str = ""
    end: tuple[int, int] = field(default=(0, 0), compare=False)

    @property
    def plain(self) -> bool:
        return not self.style


@dataclass(slots=True)
class Sequence:
    items: tuple["Node", ...]
    line: int
    column: int = 0


@dataclass(slots=True)
class Mapping:
    """Keys in their order, each with its own Scalar (for its line) and its value.

    Without `has_texts` no value below it goes on over several lines.
    """

    pairs: tuple[tuple[Scalar, "Node"], ...]
    line: int
    column: int = 0
    has_texts: bool = field(default=True, compare=False)

    def get(self, key: str) -> "Node | None":
        return next((value for name, value in self.pairs if name.text == key), None)


Node = Scalar | Sequence | Mapping


class _Refused(Exception):
    """Something YAML allows and a record may not have; caught in `read_yaml`, never seen outside."""

    def __init__(self, line: int, column: int, message: str, width: int = 1) -> None:
        super().__init__(message)
        self.line, self.column, self.message, self.width = line, column, message, width


@dataclass(slots=True)
class _Open:
    """A collection whose end has not been seen; `has_texts` once something in it goes on over several lines."""

    line: int
    column: int
    is_mapping: bool
    children: list[Node] = field(default_factory=list)
    has_texts: bool = False


def read_yaml(text: str, file: str, first_line: int = 1) -> tuple[Mapping | None, list[Problem]]:
    """Read one YAML document whose top is a mapping; `first_line` is the line of the file on which `text` begins.

    Returns (None, problems) when it cannot be read; problems carry file and line.
    """
    lines = split_lines(text)
    whole = "".join(lines)
    is_odd = odd_character(whole) is not None
    odd = [
        Problem(Place(file, number), told)
        for number, line in enumerate(lines if is_odd else (), start=first_line)
        if (told := odd_character(line))
    ]
    if is_odd and CONTROL.search(whole):
        # YAML takes some of these for the end of a line and refuses the others: no line number would be right.
        return None, odd
    try:
        root = _compose(text, lines, first_line)
    except _Refused as bad:
        return None, [_problem(file, lines, first_line, bad.line, bad.column, bad.message, bad.width)]
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line, mark.column) if mark else (0, 0)
        # A half-written file ends in the middle: the mark stands behind its last line.
        line = min(line, len(lines) - 1)
        return None, [_problem(file, lines, first_line, line, column, f"cannot be read as YAML: {error.problem}")]
    except yaml.YAMLError as error:
        return None, [Problem(Place(file, first_line), f"cannot be read as YAML: {getattr(error, 'reason', error)}")]
    if root is None:
        return None, [Problem(Place(file, first_line), "is empty: expected keys and values")]
    if not isinstance(root, Mapping):
        return None, [Problem(Place(file, first_line), "expected keys and values, such as `format: 1`")]
    return root, odd


def _problem(
    file: str, lines: list[str], first_line: int, line: int, column: int, message: str, width: int = 1
) -> Problem:
    excerpt = lines[line]
    column = min(column, len(excerpt))
    end = max(column + 1, min(column + width, len(excerpt)))
    return Problem(Place(file, line + first_line), message, excerpt, column, end)


def _scalar(event: yaml.ScalarEvent, by: int = 0) -> Scalar:
    """A value, its lines counted from `by` on."""
    start, end = event.start_mark, event.end_mark
    assert start is not None
    assert end is not None
    # A plain scalar has the style None in one parser and "" in the other.
    return Scalar(event.value, start.line + by, start.column, event.style or "", (end.line + by, end.column))


def _refuse_cut(event: yaml.ScalarEvent, lines: list[str]) -> None:
    """Refuse a value that YAML cuts off: `crack at weld #3` would be `crack at weld`, for ` #` begins a comment.

    So is `weld # 3`; `100 h # 3 of them`, and what has its quotes already, has a comment.
    """
    end = event.end_mark
    assert end is not None
    if not event.style and end.line < len(lines) and (cut := CUT.match(lines[end.line], end.column)):
        if cut.group(1)[1] in " \t" and (not event.value or FIGURE.fullmatch(event.value)):
            return
        told = "what stands behind ` #` is a comment in YAML and would be lost: put the whole value in quotes"
        told += ", or the comment on a line of its own"
        raise _Refused(end.line, cut.start(1), told, len(lines[end.line]) - cut.start(1))


def _compose(text: str, lines: list[str], first_line: int) -> Node | None:
    """Build nodes from events, without recursion, so that nothing an attacker nests can exhaust the stack."""
    stack: list[_Open] = []
    root: Node | None = None
    documents = 0
    may_cut = MAY_CUT.search(text) is not None
    loader = LOADER(text)
    next_event = loader.get_event
    try:
        while (event := next_event()) is not None:
            kind = type(event)
            if kind is ScalarEvent:
                if event.anchor is not None or event.tag is not None:
                    _refuse_tricks(event)
                if may_cut:
                    _refuse_cut(event, lines)
                node: Node = (value := _scalar(event, first_line))
                has_texts = value.end[0] > value.line
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                opened = stack.pop()
                node, has_texts = _closed(opened, first_line), opened.has_texts
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                _refuse_tricks(event)
                mark = event.start_mark
                if len(stack) >= DEEPEST:
                    raise _Refused(mark.line, mark.column, f"is nested more than {DEEPEST} deep")
                stack.append(_Open(mark.line + first_line, mark.column, kind is MappingStartEvent))
                continue
            else:
                if kind is yaml.AliasEvent:
                    _refuse_tricks(event)
                elif kind is yaml.DocumentStartEvent:
                    documents += 1
                    if documents > 1:
                        raise _Refused(event.start_mark.line, 0, "a second document begins here; a file holds one")
                continue
            if stack:
                stack[-1].children.append(node)
                if has_texts:
                    stack[-1].has_texts = True
            else:
                root = node
    finally:
        loader.dispose()
    return root


def _refuse_tricks(event: yaml.Event) -> None:
    mark = event.start_mark
    assert mark is not None
    anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
    if isinstance(event, yaml.AliasEvent):
        raise _Refused(mark.line, mark.column, f"the alias `*{anchor}` is not allowed: write the value out")
    if anchor is not None:
        raise _Refused(mark.line, mark.column, f"the anchor `&{anchor}` is not allowed: write the value out")
    if tag is not None:
        raise _Refused(mark.line, mark.column, f"the tag `{tag}` is not allowed: write the plain value")


def _closed(opened: _Open, first_line: int) -> Node:
    if not opened.is_mapping:
        return Sequence(tuple(opened.children), opened.line, opened.column)
    pairs: list[tuple[Scalar, Node]] = []
    seen: dict[str, int] = {}
    for key, value in zip(opened.children[::2], opened.children[1::2], strict=True):
        if not isinstance(key, Scalar):
            raise _Refused(key.line - first_line, key.column, "a key is a word, not a list or a mapping")
        if key.text in seen:
            told = f"the key `{key.text[:60]}` stands twice, first in line {seen[key.text]}"
            raise _Refused(key.line - first_line, key.column, told, len(key.text))
        seen[key.text] = key.line
        pairs.append((key, value))
    return Mapping(tuple(pairs), opened.line, opened.column, opened.has_texts)


def front_matter(text: str) -> tuple[str | None, int]:
    """The YAML between the first line `---` and the next one, and the number of lines up to and with the second.

    Returns (None, 0) when the text does not begin with `---`, and (None, -1) when the second `---` is missing.
    """
    lines = text.split("\n")
    if lines[0].rstrip() != "---":
        return None, 0
    for number, line in enumerate(lines[1:], start=1):
        if line.rstrip() == "---":
            return "".join(f"{line}\n" for line in lines[1:number]), number + 1
    return None, -1


class Plain(str):
    """Text that is written without quotes whatever it looks like: a date, a number, an id, a digest."""


# At the beginning of a line of a text: what would look like a key that slipped into it.
LIKE_A_KEY = re.compile(r"\W*\w[\w -]{0,60}?\W{0,3}[:：﹕︓∶꞉ː։;；=＝]")


class _Dumper(yaml.SafeDumper):
    """Writes block style, keeps the order of keys, never an alias; `quoted` are texts that get double quotes."""

    quoted: frozenset[str] = frozenset()

    def ignore_aliases(self, data: object) -> bool:
        return True

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        # Lists stand indented under their key, so that two people's additions merge line by line.
        super().increase_indent(flow, False)


def _write_text(dumper: yaml.SafeDumper, data: str) -> yaml.ScalarNode:
    # Lines of their own are kept as such; anything else is left to the emitter, which quotes what needs it. What no
    # file may hold as a character is written as an escape, which only double quotes know.
    lines = data.split("\n")
    style = "|" if len(lines) > 1 and not any(line != line.rstrip() for line in lines) else None
    if any(map(odd_character, lines)) or getattr(dumper, "quoted", frozenset()) & {data}:
        style = '"'
    return dumper.represent_scalar("tag:yaml.org,2002:str", data, style=style)


def _write_plain(dumper: yaml.SafeDumper, data: Plain) -> yaml.ScalarNode:
    # The tag of the implicit resolution is named so that the emitter sees no need for quotes.
    tag = dumper.resolve(yaml.ScalarNode, str(data), (True, False))  # type: ignore[no-untyped-call]
    return dumper.represent_scalar(tag, str(data))


class _Inline(_Dumper):
    """Writes everything on one line; what has lines of its own stands in double quotes."""


def _write_inline(dumper: yaml.SafeDumper, data: str) -> yaml.ScalarNode:
    style = '"' if odd_character(data) or "\n" in data else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", data, style=style)


_Inline.add_representer(str, _write_inline)
_Dumper.add_representer(str, _write_text)
for _each in (_Dumper, _Inline):
    _each.add_representer(Plain, _write_plain)


def _dumped(value: object, dumper: type[_Dumper], *, flow: bool = False, width: float = 118) -> str:
    return yaml.dump(value, Dumper=dumper, sort_keys=False, allow_unicode=True, width=width, default_flow_style=flow)


def _like_keys(text: str) -> frozenset[str]:
    """The texts that go on over lines one of which begins like a key: a reader would have to ask what was meant."""
    lines = text.split("\n")
    found = set()
    for event in yaml.parse(text, Loader=LOADER):
        if isinstance(event, yaml.ScalarEvent) and (event.style or "") not in ("'", '"'):
            value = _scalar(event)
            last = value.end[0] if value.plain else value.end[0] - 1
            if any(map(LIKE_A_KEY.match, lines[value.line + 1 : last + 1])):
                found.add(event.value)
    return frozenset(found)


Writable = str | Plain | list["Writable"] | dict[str, "Writable"]


def write_yaml(value: dict[str, Writable]) -> str:
    """YAML text of nested dicts and lists of text, block style, one line feed at the end; `read_yaml` reads it back."""
    text = _dumped(value, _Dumper)
    if doubtful := _like_keys(text):
        text = _dumped(value, type("_Quoting", (_Dumper,), {"quoted": doubtful}))
    # The emitter takes these for printable; they stand in double quotes by now, where an escape means the same.
    return TURNING.sub(lambda match: f"\\u{ord(match.group()):04X}", text)


def yaml_line(key: str, value: Writable) -> str:
    """`key: value` as a person may type it into a file, on one line: lists and mappings in brackets."""
    shown = _dumped({key: value}, _Inline, flow=True, width=math.inf).rstrip("\n")
    return TURNING.sub(lambda match: f"\\u{ord(match.group()):04X}", shown[1:-1])
