"""Checklist pages: front matter to a Panel, boxes to Checks.

---
panel: ID          name: text       zone: ID
[ kind: "setup" ]  [ remove: minutes  refit: minutes ]  or, for a setup,  [ make: minutes  undo: minutes ]
[ people: N ]  [ behind: [ID …] ]  [ needs: [GEAR …] ]  [ fasteners: text ]  [ tools: list ]  [ caution: text ]
[ second-look: yes ]  [ overnight: yes | no ]  [ disturbs: [ID …] ]  [ was: [ID …] ]  [ retired: DATE, reason ]
---
then notes and items as in `text.items`; the keys of an item are in KEYS below.
"""

import re
from collections.abc import Callable
from typing import Any

from inspect_kit.model.checklist import FLIGHT, PANEL, PLACE_FILE, SETUP, WORDS, Check, Panel, Reckons
from inspect_kit.model.formulas import FORMULAS
from inspect_kit.text import check_values, grammar, limits
from inspect_kit.text.items import Bullet, Grammar, MarkdownBox, MarkdownPage, read_paper
from inspect_kit.text.mapping import Fields
from inspect_kit.text.source import Source
from inspect_kit.text.spelling import Keys
from inspect_kit.text.worksheet import WORKSHEET

# Key of an item, the field of Check it fills, and its grammar. Those in REPEATED may be repeated.
KEYS: dict[str, tuple[str, Callable[[str], Any]]] = {
    "every": ("every", limits.parse_every),
    "once": ("once", limits.parse_once),
    "life": ("life", limits.parse_life),
    "first": ("first", limits.parse_first),
    "grace": ("grace", limits.parse_limits),
    "counts-on": ("counts_on", grammar.parse_id),
    "owed-after": ("owed_after", check_values.parse_triggers),
    "disturbs": ("disturbs", grammar.parse_ids),
    "bars": ("bars", grammar.parse_bars),
    "covers": ("covers", grammar.parse_codes),
    "time": ("time", check_values.parse_time),
    "who": ("who", check_values.parse_who),
    "with": ("with_", grammar.parse_ids),
    "when": ("when", check_values.parse_when),
    "after": ("after", grammar.parse_ids),
    "within": ("within", check_values.parse_within),
    "wait": ("wait", check_values.parse_wait),
    "not-while": ("not_while", grammar.parse_ids),
    "alone": ("alone", grammar.parse_yes),
    "needs": ("needs", grammar.parse_ids),
    "reads": ("reads", check_values.parse_reads),
    "reckons": ("reckons", check_values.parse_reckons),
    "uses": ("uses", check_values.parse_parts),
    "tools": ("tools", check_values.parse_tools),
    "costs": ("costs", grammar.parse_money),
    "source": ("source", str),
    "caution": ("cautions", str),
    "second-look": ("second_look", grammar.parse_yes),
    "replace": ("replace", str),
    "was": ("was", grammar.parse_ids),
    "retired": ("retired", grammar.parse_retired_check),
}
REPEATED = ("reads", "reckons", "caution", "uses")
# An aircraft is not left on jacks from one session to the next unless the file says that it may be.
JACKS = "jacks"
# Keys without which the check's due point is not known: it must not seem to be due later.
DUE_KEYS = ("every", "once", "life", "first", "grace", "counts-on", "owed-after")
BARS = "bars"


def read_checklist(text: str, file: str) -> tuple[Panel | None, list[Check], Source]:
    """The panel, its checks, and the source with every problem. A check with a bad key stands, with `unread` named."""
    paper = read_paper(text, file, CHECKLIST)
    panel = _panel(paper)
    checks = []
    fenced = {number for number, _ in paper.fenced}
    ends = [*(item.lines[0] for item in paper.items[1:]), len(paper.source.lines) + 1]
    for item, end in zip(paper.items, ends, strict=False):
        for number in range(item.lines[0], end):
            if number not in fenced:
                _inside_words(item, number, paper.source)
        check = _check(item, panel.id if panel else "", paper.source)
        if check is not None:
            checks.append(check)
    return panel, checks, paper.source


# What says when a check or another is due, or what it bars, behind other words of its line: two lines that an editor
# joined, a bracket, a comment.
INSIDE = re.compile(
    r"(?i)(?<![\w`-])(?:(every|once|first|life|owed-after)\s*[:\uff1a]\s*"
    r"(?=\d|as marked|on condition|\w[\w -]* inspection|did\b|installed\b|disturbed\b)"
    r"|(disturbs|counts-on)\s*[:\uff1a]\s*(?=[a-z])|(bars)\s*[:\uff1a]\s*(?=flight\b))"
)


def _inside_words(item: MarkdownBox, number: int, source: Source) -> None:
    """A key of when the check is due that stands in the words of a line: it would be lost, and the check never due."""
    line = source.lines[number - 1]
    if INSIDE.search(line) is None:
        return
    own = [bullet.end for bullet in item.bullets if bullet.lines[0] == number]
    found = INSIDE.search(line, max([item.box[1] if number == item.lines[0] else 0, *own]))
    if found is not None and not any(problem.place.line == number for problem in source.problems):
        key = found[found.lastindex or 0].lower()
        told = f"`{key}` stands in the words of another line: give it a line of its own, `- {key}: ...`"
        _problem(source, (number, found.start(), found.start() + len(key)), told)
        item.doubts.append(key)


def _parses(key: str, value: str) -> bool:
    """Whether a value can be that of a key."""
    try:
        KEYS[key][1](value)
    except grammar.Unreadable:
        return False
    return bool(value)


CHECKLIST = Grammar(keys=Keys(KEYS), owner="check", anywhere=DUE_KEYS, parses=_parses, bare=DUE_KEYS)


def _panel(paper: MarkdownPage) -> Panel | None:
    source = paper.source
    if paper.front is None:
        if not source.problems:
            source.problem(1, "a checklist begins with front matter between two lines `---` that names its panel")
        return None
    fields = Fields(paper.front, source)
    name = fields.parsed("panel", grammar.parse_id, required=True)
    kind = fields.text("kind") or PANEL
    if kind not in (PANEL, SETUP):
        fields.problem("kind", f"expected `panel` or `setup`, not `{kind[:40]}`")
    opening, closing = ("make", "undo") if kind == SETUP else ("remove", "refit")
    remove = fields.parsed(opening, grammar.parse_minutes)
    refit = fields.parsed(closing, grammar.parse_minutes)
    if fields.has(opening) != fields.has(closing):
        there, missing = (opening, closing) if fields.has(opening) else (closing, opening)
        fields.problem(there, f"`{missing}` is missing beside it")
    if kind == SETUP and not fields.has("make"):
        fields.problem("kind", "a setup says `make` and `undo` in minutes")
    comes_off = fields.has(opening) or fields.has(closing) or kind == SETUP
    needs = fields.list_of("needs", grammar.parse_id)
    made: dict[str, Any] = {
        "name": fields.text("name", required=True),
        "zone": fields.text("zone", required=True),
        "kind": kind if comes_off else PLACE_FILE,
        "remove": (remove or 0) if comes_off else None,
        "refit": (refit or 0) if comes_off else None,
        "people": fields.parsed("people", _people) or 1,
        "behind": fields.list_of("behind", grammar.parse_id),
        "needs": needs,
        "fasteners": fields.text("fasteners"),
        "tools": fields.texts("tools"),
        "cautions": fields.texts("caution"),
        "second_look": fields.parsed("second-look", grammar.parse_yes) or False,
        "overnight": fields.parsed("overnight", grammar.parse_yes) is not False
        if fields.has("overnight")
        else JACKS not in needs,
        "disturbs": fields.list_of("disturbs", grammar.parse_id),
        "not_while": fields.list_of("not-while", grammar.parse_id),
        "wait": fields.parsed("wait", check_values.parse_wait),
        "was": fields.list_of("was", grammar.parse_id),
        "retired": fields.parsed("retired", grammar.parse_retired),
        "notes": tuple(note for _, note in paper.notes),
    }
    fields.finish()
    lines = fields.lines()
    place = source.place(lines.get(("panel", ""), 1))
    return Panel(id=name, place=place, lines=lines, **made) if name else None


def _people(value: str) -> int:
    """people = 1 … 9"""
    if value not in tuple("123456789"):
        raise grammar.Unreadable(f"expected 1 to 9 people, not `{value[:20]}`")
    return int(value)


def _check(item: MarkdownBox, panel: str, source: Source) -> Check | None:
    if item.verb or "#" in item.id:
        what = f"`{item.verb}`" if item.verb else "a finding"
        _problem(source, (item.lines[0], *item.box), f"{what} belongs on a worksheet; a checklist holds checks")
        return None
    found: dict[str, Any] = {}
    unread = []
    seen: set[str] = set()
    understood = []
    for bullet in item.bullets:
        if _read_key(bullet, found, seen, source):
            understood.append(bullet)
        else:
            unread.append(bullet.key)
    unread += item.doubts
    box = (item.lines[0], *item.box)
    if item.ticked:
        _problem(source, box, f"`{item.id}` is ticked: a checklist is a master, work on the page of `start`")
    if len([key for key in ("every", "once", "once_date", "life") if key in found]) > 1:
        _problem(source, box, f"`{item.id}`: only one of `every`, `once` and `life` may stand")
        unread.append("every")
        for key in ("once", "once_date", "life"):
            found.pop(key, None)
    _labels(understood, found, source)
    if not item.text:
        _problem(source, box, f"`{item.id}` says nothing after its id")
    if BARS in unread:
        # What it bars was written and cannot be read: until then it bars most.
        found["bars"] = FLIGHT
    due_unread = tuple(dict.fromkeys(key for key in unread if key in DUE_KEYS))
    return Check(
        id=item.id,
        panel=panel,
        text=item.text,
        unread=due_unread,
        place=source.place(item.lines[0]),
        lines={(bullet.key, ""): bullet.lines[0] for bullet in reversed(item.bullets)},
        **found,
    )


def _read_key(bullet: Bullet, found: dict[str, Any], seen: set[str], source: Source) -> bool:
    """Read one bullet of a check into `found`; False when it could not be read."""
    key, value = bullet.key, bullet.value
    at = (bullet.lines[0], bullet.start, bullet.end)
    if key not in KEYS:
        near = grammar.nearest(key, KEYS)
        _problem(source, at, f"unknown key `{key[:60]}`" + (f"; did you mean `{near}`?" if near else ""))
        # An interval under a misspelt key must not make the check seem to have none, nor to bar nothing.
        bullet.key = near or key
        return near is None
    for below in bullet.children:
        _problem(source, (below.lines[0], below.start, below.end), f"nothing stands under `{key}`")
    if key in seen and key not in REPEATED:
        _problem(source, at, f"`{key}` stands twice in one check")
        return False
    seen.add(key)
    if not value.text:
        _problem(source, at, f"`{key}` has no value")
        return False
    name, parser = KEYS[key]
    parsed = source.parse(parser, value, key)
    if parsed is None:
        return False
    _keep(name, parsed, found)
    return True


def _labels(bullets: list[Bullet], found: dict[str, Any], source: Source) -> None:
    """Labels that would be taken for something else on the worksheet, and reckoned values that do not fit them.

    `bullets` are those that were understood: of each `reads` and `reckons` there is one for each value found.
    """
    measures: dict[str, str] = {}
    for bullet, reads in zip(_called(bullets, "reads"), found.get("reads", ()), strict=True):
        for label in reads.labels:
            if WORKSHEET.keys.meant(label):
                told = f"reads: `{label}` is a key of the worksheet: give the reading another name"
                _problem(source, _at(bullet), told)
            elif label in measures:
                _problem(source, _at(bullet), f"reads: `{label}` is asked for twice")
            measures[label] = reads.measure
    for key in ("reads", "reckons"):
        for bullet, each in zip(_called(bullets, key), found.get(key, ()), strict=True):
            if each.bound is not None and each.bound.table and measures.get(each.bound.at, WORDS) == WORDS:
                _problem(source, _at(bullet), f"{key}: `{each.bound.at}` is no number that this check reads")
    kept = []
    seen = {*measures}
    for bullet, reckons in zip(_called(bullets, "reckons"), found.get("reckons", ()), strict=True):
        fault = _misreckoned(reckons, measures)
        if WORKSHEET.keys.meant(reckons.label):
            fault = f"`{reckons.label}` is a key of the worksheet: give it another name"
        elif reckons.label in seen:
            fault = f"`{reckons.label}` is read or reckoned already: give it another name"
        seen.add(reckons.label)
        if fault:
            _problem(source, _at(bullet), f"reckons: {fault}")
        else:
            kept.append(reckons)
    if "reckons" in found:
        found["reckons"] = tuple(kept)


def _misreckoned(reckons: Reckons, measures: dict[str, str]) -> str:
    """Why a value cannot be reckoned from the readings of its check; "" where it can."""
    for label in reckons.labels:
        if measures.get(label, WORDS) == WORDS:
            return f"`{label}` is no number that this check reads{grammar.did_you_mean(label, measures)}"
    given = [measures[each] if isinstance(each, str) else each[1] for each in reckons.operands]
    fault = FORMULAS[reckons.formula].fault(given, reckons.measure)
    return f"{reckons.formula} {fault}" if fault else ""


def _called(bullets: list[Bullet], key: str) -> list[Bullet]:
    return [bullet for bullet in bullets if bullet.key == key]


def _at(bullet: Bullet) -> tuple[int, int, int]:
    return bullet.lines[0], bullet.start, bullet.end


def _problem(source: Source, at: tuple[int, int, int], message: str) -> None:
    """A problem in a line, with a caret from one column to another."""
    line, start, end = at
    source.problem(line, message, start, end)


def _keep(name: str, parsed: Any, found: dict[str, Any]) -> None:
    """Store a parsed value in the field, or fields, of Check that it fills."""
    match name:
        case "time":
            found["minutes"], found["people"] = parsed
        case "who":
            found["who"], found["others"] = parsed
        case "when":
            found["when"], found["closed_except"] = parsed
        case "once" if not isinstance(parsed, tuple):
            found["once_date"] = parsed
        case "reads" | "reckons" | "cautions":
            found[name] = (*found.get(name, ()), parsed)
        case "uses":
            found[name] = (*found.get(name, ()), *parsed)
        case _:
            found[name] = parsed
