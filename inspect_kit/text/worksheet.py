"""Worksheets: the page of a job. Reading keeps the lines of every entry, so that an edit touches no other line.

    ---
    job: NAME | "work"     aircraft: REGISTRATION     begun: DATE
    [ meters: {NAME: NUMBER} ]  [ inspector: NAME ]  [ helpers: [NAME …] ]
    ---
    then items as in `text.items`: VERB `PANEL`, `CHECK`, or `RECORD#F1` for a finding that still stands.

    under a check or a panel   found: [ "F" N " " ] text   with, indented:  fix, may wait because, waiting,
                               cleared: DATE " " text [ "; by: " NAME ]
    under a check              LABEL: value [ measure ] [ "(" bound ")" ]   with, indented:  again: value
                               not applicable: reason | not done: reason | note: text | took: minutes | by: NAME
                               good until: DATE | second look by: NAME | paper: reference | disturbed: ids
    under a standing finding   cleared, fix, may wait because, note
    `____` stands where something is still to be written.
"""

import datetime as dt
import re
from decimal import Decimal
from typing import Any

from inspect_kit.model.checklist import Bound
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Cleared, Finding, Fix, Reading
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.text import grammar
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.items import Bullet, Item, Paper, read_paper
from inspect_kit.text.mapping import Fields
from inspect_kit.text.source import Source, Value

BLANK = "____"
# Keys with a meaning of their own; any other key under a check is the label of a reading.
KNOWN = (
    *("found", "fix", "may wait because", "waiting", "cleared", "again", "note", "took", "by"),
    *("good until", "second look by", "paper", "disturbed", NOT_APPLICABLE, NOT_DONE),
)
FINDING_KEYS = ("fix", "may wait because", "waiting", "cleared", "note")


def read_worksheet(text: str, file: str) -> tuple[Worksheet | None, Source]:
    """The page, or None when its front matter cannot be read; the source holds every problem."""
    paper = read_paper(text, file)
    source = paper.source
    if paper.front is None:
        if not source.problems:
            source.problem(1, "a worksheet begins with front matter between two lines `---` that names its job")
        return None, source
    fields = Fields(paper.front, source)
    job = fields.parsed("job", grammar.parse_id, required=True)
    begun = fields.date("begun", required=True)
    meters = fields.mapping("meters")
    front: dict[str, Any] = {
        "registration": fields.text("aircraft", required=True),
        "meters": _meters(meters) if meters else {},
        "inspector": _unless_blank(fields.text("inspector")),
        "helpers": fields.texts("helpers"),
    }
    fields.finish()
    entries = _entries(paper)
    if job is None or begun is None:
        return None, source
    name = file.rsplit("/", 1)[-1].removesuffix(".md")
    return Worksheet(name=name, job=job, begun=begun, entries=entries, place=source.place(1), **front), source


def _meters(fields: Fields) -> dict[str, Decimal]:
    """NAME: NUMBER | blank: a meter that is still to be read is left out."""
    found = fields.each_parsed(lambda value: None if is_blank(value) else grammar.parse_number(value))
    return {name: number for name, number in found.items() if number is not None}


def _unless_blank(value: str) -> str:
    return "" if is_blank(value) else value


def is_blank(value: str) -> bool:
    """Whether something is still to be written there: nothing, or a line of underscores, perhaps before a measure."""
    return not value.strip() or re.match(r"_{2,}", value.strip()) is not None


def _entries(paper: Paper) -> tuple[Entry, ...]:
    """All boxes; findings without an id get the next free one of the page."""
    taken = {
        match.group(1)
        for item in paper.items
        for bullet in item.bullets
        if bullet.key == "found" and (match := re.match(r"(F\d+)\b", bullet.value.text))
    }
    free = (f"F{number}" for number in range(1, 100_000) if f"F{number}" not in taken)
    named: set[str] = set()
    entries = []
    for item in paper.items:
        entry: dict[str, Any] = {"readings": [], "findings": [], "notes": []}
        for bullet in item.bullets:
            if bullet.key == "found":
                entry["findings"].append(_finding(bullet, item, free, named, paper.source))
            else:
                _read_key(bullet, item, entry, paper.source)
        for key in ("readings", "findings", "notes"):
            entry[key] = tuple(entry[key])
        entries.append(
            Entry(
                verb=item.verb,
                id=item.id,
                text=item.text,
                ticked=item.ticked,
                place=paper.source.place(item.lines[0]),
                lines=item.lines,
                **entry,
            )
        )
    return tuple(entries)


def _read_key(bullet: Bullet, item: Item, entry: dict[str, Any], source: Source) -> None:
    key, value, line = bullet.key, bullet.value, bullet.lines[0]
    column = max(source.lines[line - 1].find(key), 0)
    written = "" if is_blank(value.text) else value.text
    if key not in KNOWN:
        if item.verb or "#" in item.id:
            hint = grammar.did_you_mean(key, KNOWN)
            source.problem(line, f"unknown key `{key[:60]}`{hint}", column, column + len(key))
        else:
            entry["readings"].append(_reading(bullet, item.id, source))
        return
    for below in bullet.children:
        source.problem(below.lines[0], f"nothing stands under `{key}`")
    single = {NOT_APPLICABLE: "answer", NOT_DONE: "answer", "may wait because": "may_wait"}.get(key, key)
    if key not in ("note", "again") and entry.get(single) and single in entry:
        source.problem(line, f"`{key}` stands twice under `{item.id}`", column, column + len(key))
        return
    match key:
        case "note":
            entry["notes"].append(value.text)
        case "by":
            entry["by"] = written
        case "took" if written:
            entry["took"] = source.parse(grammar.parse_minutes, value, key)
        case "second look by":
            entry["second_look"] = written
        case "paper":
            entry["paper"] = written
        case "good until":
            entry["good_until"] = written
            if written and source.parse(grammar.parse_date, value, key) is None:
                entry["good_until"] = ""
        case "disturbed" if written:
            entry["disturbed"] = source.parse(grammar.parse_ids, value, key) or ()
        case "not applicable" | "not done":
            entry["answer"], entry["reason"] = key, written
        case "cleared" if written:
            entry["cleared"] = source.parse(parse_cleared, value, key)
        case "fix" if written:
            entry["fix"] = source.parse(grammar.parse_fix, value, key)
        case "may wait because":
            entry["may_wait"] = written
        case "waiting" | "again":
            source.problem(line, f"`{key}` stands under a finding or a reading, indented", column, column + len(key))


def _finding(bullet: Bullet, item: Item, free: Any, named: set[str], source: Source) -> Finding:
    """found = [ "F" N " " ] text, with the keys of a finding indented below it."""
    match = re.match(r"(F\d+)\b:?\s*(.*)", bullet.value.text, re.DOTALL)
    name, text = match.groups() if match else (next(free), bullet.value.text)
    line = bullet.lines[0]
    if name in named:
        source.problem(line, f"the finding {name} stands twice on this page")
        name = next(free)
    named.add(name)
    if is_blank(text):
        source.problem(line, f"the finding {name} says nothing")
    found: dict[str, Any] = {}
    for below in bullet.children:
        column = max(source.lines[below.lines[0] - 1].find(below.key), 0)
        if below.key not in FINDING_KEYS:
            hint = grammar.did_you_mean(below.key, FINDING_KEYS)
            source.problem(
                below.lines[0],
                f"unknown key `{below.key[:60]}` under a finding{hint}",
                column,
                column + len(below.key),
            )
        elif below.key in found:
            source.problem(below.lines[0], f"`{below.key}` stands twice under {name}", column, column + len(below.key))
        elif not is_blank(below.value.text):
            found[below.key] = _finding_key(below, source)
    return Finding(
        id=name,
        panel=item.id if item.verb else None,
        check=None if item.verb else item.id,
        text=text,
        fix=found.get("fix") or Fix(),
        may_wait=found.get("may wait because", ""),
        waiting=found.get("waiting", ""),
        cleared=found.get("cleared"),
        place=source.place(line),
    )


def _finding_key(below: Bullet, source: Source) -> Any:
    if below.key == "fix":
        return source.parse(grammar.parse_fix, below.value, "fix")
    if below.key == "cleared":
        return source.parse(parse_cleared, below.value, "cleared")
    return below.value.text


def parse_cleared(value: str) -> Cleared:
    """cleared = DATE " " text [ "; by: " NAME ]"""
    head, _, by = value.partition("; by:")
    word, _, text = head.strip().partition(" ")
    date: dt.date = grammar.parse_date(word.rstrip(",:"))
    if not text.strip() or is_blank(text):
        raise Unreadable("says no more than the date: what was done?")
    return Cleared(date=date, text=text.strip(), by=by.strip())


def _reading(bullet: Bullet, check: str, source: Source) -> Reading:
    """LABEL: value [ measure ] [ "(" bound ")" ], with `again` indented below it."""
    value, measure, bound = split_reading(bullet.value, source, bullet.key)
    again = []
    for below in bullet.children:
        if below.key != "again":
            source.problem(below.lines[0], f"expected `again: value` under a reading, not `{below.key[:40]}`")
        elif not is_blank(below.value.text):
            again.append(below.value.text)
    return Reading(
        check=check,
        label=bullet.key,
        value=value,
        measure=measure,
        bound=bound,
        again=tuple(again),
        place=source.place(bullet.lines[0]),
    )


def split_reading(value: Value, source: Source, key: str) -> tuple[str, str, Bound | None]:
    """Value, measure and bound of a reading as the page shows it: `76 psi (at least 60)`, `____ psi (at least 60)`.

    The value of a reading in words is everything; the measure is then `words`, which the page shows in brackets.
    """
    text = value.text.strip()
    bound: Bound | None = None
    measure = ""
    if match := re.fullmatch(r"(.*?)\s*\(((?:at least|at most) [^()]*|[-\d.]+ to [-\d.]+|words)\)", text):
        text = match.group(1)
        if match.group(2) == "words":
            return ("" if is_blank(text) else text), "words", None
        reads = source.parse(lambda tail: grammar.parse_reads(f"x, x, {tail}"), Value(match.group(2), value.line), key)
        bound = reads.bound if reads else None
    if match := re.fullmatch(r"(_{2,}|-?[\d.]+)\s*(.*)", text):
        text, measure = match.groups()
    return ("" if is_blank(text) else text), measure, bound
