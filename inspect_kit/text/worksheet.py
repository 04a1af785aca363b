"""Worksheets: the page of a job. Reading keeps the lines of every entry, so that an edit touches no other line.

    ---
    job: NAME | "work"     aircraft: REGISTRATION     begun: DATE
    [ meters: {NAME: NUMBER} ]  [ inspector: NAME ]  [ helpers: [NAME …] ]
    ---
    then items as in `text.items`: VERB `PANEL`, `CHECK`, or `RECORD#F1` for a finding that still stands.

    under a check or a panel   found: [ "F" N " " ] text   with, indented:  fix, may wait because, waiting, note,
                               cleared: DATE " " text [ "; by: " NAME ]
                               not applicable: reason | not done: reason | note: text | took: minutes | by: NAME
                               second look by: NAME
    under a check              LABEL: value [ measure ] [ "(" bound ")" ]   with, indented:  again: value
                               good until: DATE | paper: reference | disturbed: ids
                               used: "as planned" | "none" | parts as in `uses`   [ "(planned: " parts ")" ]
    under a standing finding   cleared, fix, may wait because, note, took, by
    `____` stands where something is still to be written.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Finding, Fix, Reading
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.text import grammar
from inspect_kit.text.items import Bullet, Item, Paper, read_paper
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_values import (
    is_blank,
    parse_cleared,
    parse_used,
    plain_answer,
    split_reading,
    unless_blank,
    without_planned,
)
from inspect_kit.text.source import Source

NOTE, TOOK, BY, PAPER = "note", "took", "by", "paper"
FOUND, FIX, MAY_WAIT, WAITING, CLEARED, AGAIN = "found", "fix", "may wait because", "waiting", "cleared", "again"
GOOD_UNTIL, SECOND_LOOK, DISTURBED, USED = "good until", "second look by", "disturbed", "used"
# What may stand under each kind of box; under a check any other key is the label of a reading.
PANEL_KEYS = (FOUND, NOTE, TOOK, BY, SECOND_LOOK, NOT_APPLICABLE, NOT_DONE)
CHECK_KEYS = (*PANEL_KEYS, GOOD_UNTIL, PAPER, DISTURBED, USED)
STANDING_KEYS = (CLEARED, FIX, MAY_WAIT, NOTE, TOOK, BY)
FINDING_KEYS = (FIX, MAY_WAIT, WAITING, CLEARED, NOTE)
KNOWN = tuple(dict.fromkeys((*CHECK_KEYS, *STANDING_KEYS, *FINDING_KEYS, AGAIN)))
# The field of Entry that a key fills; both answers fill one.
FIELDS = {GOOD_UNTIL: "good_until", SECOND_LOOK: "second_look", MAY_WAIT: "may_wait"}
FIELDS |= {NOT_APPLICABLE: "answer", NOT_DONE: "answer"}
# A bullet with one of these that stands under no box is an entry that lost its place.
NEVER_NOTES = tuple(key for key in KNOWN if key not in (NOTE, BY, PAPER))


def read_worksheet(text: str, file: str) -> tuple[Worksheet | None, Source]:
    """The page, or None when its front matter cannot be read; the source holds every problem."""
    paper = read_paper(text, file)
    source = paper.source
    _strays(paper)
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
        "inspector": unless_blank(fields.text("inspector")),
        "helpers": fields.texts("helpers"),
    }
    fields.finish()
    entries = _entries(paper)
    if job is None or begun is None:
        return None, source
    name = file.rsplit("/", 1)[-1].removesuffix(".md")
    front |= {"place": source.place(1), "lines": fields.lines()}
    return Worksheet(name=name, job=job, begun=begun, entries=entries, **front), source


def _strays(paper: Paper) -> None:
    """Entries that stand under no box: right below one without an indent, or somewhere else by themselves."""
    for number, note in paper.notes:
        match = re.match(r"[-*+]\s+([^:]{1,40}?)\s*:", note)
        if match and (number in paper.strays or match.group(1) in NEVER_NOTES):
            told = f"`{match.group(1)}` stands under no box: indent it below the one it belongs to"
            paper.source.problem(number, told)


def _meters(fields: Fields) -> dict[str, Decimal]:
    """NAME: NUMBER | blank: a meter that is still to be read is left out."""
    found = fields.each_parsed(lambda value: None if is_blank(value) else grammar.parse_number(value))
    return {name: number for name, number in found.items() if number is not None}


def _entries(paper: Paper) -> tuple[Entry, ...]:
    """All boxes; findings without an id get the next free one of the page."""
    taken = {
        match.group(1)
        for item in paper.items
        for bullet in item.bullets
        if bullet.key == FOUND and (match := re.match(r"(F[0-9]{1,5})\b", bullet.value.text))
    }
    free = (name for number in range(1, 200_000) if (name := f"F{number}") not in taken)
    named: set[str] = set()
    return tuple(_entry(item, free, named, paper.source) for item in paper.items)


def _entry(item: Item, free: Iterator[str], named: set[str], source: Source) -> Entry:
    found: dict[str, Any] = {"readings": (), "findings": (), "notes": ()}
    allowed = PANEL_KEYS if item.verb else STANDING_KEYS if "#" in item.id else CHECK_KEYS
    for bullet in item.bullets:
        if bullet.key == FOUND and FOUND in allowed:
            found["findings"] += (_finding(bullet, item, free, named, source),)
        elif bullet.key in allowed:
            _read_key(bullet, item, found, source)
        elif allowed is CHECK_KEYS and bullet.key not in KNOWN:
            found["readings"] += (_reading(bullet, item.id, source),)
        else:
            _misplaced(bullet, allowed, source)
    return Entry(
        verb=item.verb,
        id=item.id,
        text=item.text,
        ticked=item.ticked,
        place=source.place(item.lines[0]),
        lines=item.lines,
        **found,
    )


def _misplaced(bullet: Bullet, allowed: tuple[str, ...], source: Source) -> None:
    """A key that does not belong under this kind of box."""
    if bullet.key in (*FINDING_KEYS, AGAIN) and FOUND in allowed:
        _problem_at(bullet, f"`{bullet.key}` stands under a finding or a reading, indented", source)
    elif bullet.key in KNOWN:
        kind = "panel" if FOUND in allowed else "finding that stands from before"
        _problem_at(bullet, f"`{bullet.key}` does not belong under the box of a {kind}", source)
    else:
        hint = grammar.did_you_mean(bullet.key, allowed)
        _problem_at(bullet, f"unknown key `{bullet.key[:60]}`{hint}", source)


def _problem_at(bullet: Bullet, message: str, source: Source) -> None:
    """A problem with the key of a bullet underlined."""
    line = bullet.lines[0]
    column = max(source.lines[line - 1].find(bullet.key), 0)
    source.problem(line, message, column, column + len(bullet.key))


def _read_key(bullet: Bullet, item: Item, found: dict[str, Any], source: Source) -> None:
    key, value = bullet.key, bullet.value
    written = unless_blank(value.text)
    for below in bullet.children:
        _problem_at(below, f"nothing stands under `{key}`", source)
    if key == NOTE:
        found["notes"] += (value.text,)
        return
    name = FIELDS.get(key, key)
    if found.get(name):
        _problem_at(bullet, f"`{key}` stands twice under `{item.id}`", source)
        return
    match key:
        case "not applicable" | "not done":
            found["answer"], found["reason"] = key, written
        case "good until":
            readable = not written or source.parse(grammar.parse_date, value, key) is not None
            found[name] = written if readable else ""
        case "by" | "second look by" | "paper" | "may wait because":
            found[name] = written
        case "used":
            written = unless_blank(without_planned(value.text))
            parts = source.parse(parse_used, replace(value, text=written), key) if written else None
            # The two answers in the words of the grammar, whatever a pen makes of their capitals.
            found[name] = "" if parts is None else written if parts else plain_answer(written)
        case _ if written:
            parsed = source.parse(PARSERS[key], value, key)
            if parsed is not None:
                found[name] = parsed


PARSERS: dict[str, Any] = {
    TOOK: grammar.parse_minutes,
    DISTURBED: grammar.parse_ids,
    CLEARED: parse_cleared,
    FIX: grammar.parse_fix,
}


def _finding(bullet: Bullet, item: Item, free: Iterator[str], named: set[str], source: Source) -> Finding:
    """found = [ "F" N " " ] text, with the keys of a finding indented below it."""
    match = re.match(r"(F[0-9]{1,5})\b:?\s*(.*)", bullet.value.text, re.DOTALL)
    name, text = match.groups() if match else (next(free), bullet.value.text)
    if name in named:
        _problem_at(bullet, f"the finding {name} stands twice on this page", source)
        name = next(free)
    named.add(name)
    if is_blank(text):
        _problem_at(bullet, f"the finding {name} says nothing", source)
    found: dict[str, Any] = {}
    for below in bullet.children:
        if below.key not in FINDING_KEYS:
            hint = grammar.did_you_mean(below.key, FINDING_KEYS)
            _problem_at(below, f"unknown key `{below.key[:60]}` under a finding{hint}", source)
        elif below.key in found and below.key != NOTE:
            _problem_at(below, f"`{below.key}` stands twice under {name}", source)
        elif below.key == NOTE:
            # A finding has no notes of its own: what is remarked belongs to what was found.
            text = f"{text}; {below.value.text}"
        elif not is_blank(below.value.text):
            found[below.key] = source.parse(PARSERS.get(below.key, str), below.value, below.key)
    return Finding(
        id=name,
        panel=item.id if item.verb else None,
        check=None if item.verb else item.id,
        text=text,
        fix=found.get(FIX) or Fix(),
        may_wait=found.get(MAY_WAIT, ""),
        waiting=found.get(WAITING, ""),
        cleared=found.get(CLEARED),
        place=source.place(bullet.lines[0]),
    )


def _reading(bullet: Bullet, check: str, source: Source) -> Reading:
    """LABEL: value [ measure ] [ "(" bound ")" ], with `again` indented below it."""
    value, measure, bound = split_reading(bullet.value, source, bullet.key)
    again = []
    for below in bullet.children:
        if below.key != AGAIN:
            _problem_at(below, f"expected `again: value` under a reading, not `{below.key[:40]}`", source)
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
