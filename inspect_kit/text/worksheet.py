"""Worksheets: the page of a job. Reading keeps the lines of every entry, so that an edit touches no other line.

    ---
    job: NAME | "work"     aircraft: REGISTRATION     begun: DATE
    [ meters: {NAME: NUMBER} ]  [ inspector: NAME ]  [ helpers: [NAME …] ]
    [ equipment: "no change" | RECORD { "," RECORD } ]  [ flight-check: as in `text.flight_check` ]
    ---
    then items as in `text.items`: VERB `PANEL`, `CHECK`, or `RECORD#F1` for a finding that still stands.

    under a check or a panel   found: [ "F" N " " ] text   with, indented:  fix, may wait because, waiting, note,
                               cleared: DATE " " text [ "; by: " NAME ]
                               not applicable: reason | not done: reason | note: text | took: minutes | by: NAME
                               second look by: NAME
    under a check, a finding   recheck: [ "in " ] limit { " or " limit }
    under a check              LABEL: value [ measure ] [ "(" bound ")" ]   with, indented:  again: value
                               good until: DATE | paper: reference | disturbed: ids | repaired: LABEL { "," LABEL }
                               used: "as planned" | "none" | parts as in `uses`   [ "(planned: " parts ")" ]
    under a standing finding   cleared, fix, may wait because, note, took, by
    `____` stands where something is still to be written.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from inspect_kit.errors import Place
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Finding, Fix, Reading
from inspect_kit.model.worksheet import Entry, Loose, Worksheet
from inspect_kit.text import grammar
from inspect_kit.text.flight_check import read_flight_check
from inspect_kit.text.items import Bullet, Grammar, MarkdownBox, MarkdownPage, read_paper
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_values import (
    filled,
    finding_id,
    is_blank,
    on_the_line,
    parse_cleared,
    parse_name,
    parse_one_name,
    parse_recheck,
    parse_repaired,
    parse_used,
    plain_answer,
    planned_of,
    split_reading,
    without_planned,
)
from inspect_kit.text.source import Source
from inspect_kit.text.spelling import Keys, struck

NOTE, TOOK, BY, PAPER = "note", "took", "by", "paper"
FOUND, FIX, MAY_WAIT, WAITING, CLEARED, AGAIN = "found", "fix", "may wait because", "waiting", "cleared", "again"
GOOD_UNTIL, SECOND_LOOK, DISTURBED, USED = "good until", "second look by", "disturbed", "used"
REPAIRED, RECHECK = "repaired", "recheck"
# What may stand under each kind of box; under a check any other key is the label of a reading.
PANEL_KEYS = (FOUND, NOTE, TOOK, BY, SECOND_LOOK, NOT_APPLICABLE, NOT_DONE)
CHECK_KEYS = (*PANEL_KEYS, GOOD_UNTIL, PAPER, DISTURBED, USED, REPAIRED, RECHECK)
STANDING_KEYS = (CLEARED, FIX, MAY_WAIT, NOTE, TOOK, BY)
FINDING_KEYS = (FIX, MAY_WAIT, WAITING, CLEARED, RECHECK, NOTE)
KNOWN = tuple(dict.fromkeys((*CHECK_KEYS, *STANDING_KEYS, *FINDING_KEYS, AGAIN)))
# The field of Entry that a key fills; both answers fill one.
FIELDS = {GOOD_UNTIL: "good_until", SECOND_LOOK: "second_look", MAY_WAIT: "may_wait"}
FIELDS |= {NOT_APPLICABLE: "answer", NOT_DONE: "answer"}
# A bullet with one of these that stands under no box is an entry that lost its place, wherever that is.
NEVER_NOTES = tuple(key for key in KNOWN if key not in (NOTE, BY, PAPER))


def keys_below(host: str) -> tuple[str, ...]:
    """The keys that stand under a key: those of a finding, and under the label of a reading what was read again."""
    return FINDING_KEYS if host == FOUND else () if host in KNOWN else (AGAIN,)


WORKSHEET = Grammar(keys=Keys(KNOWN), owner="box", anywhere=NEVER_NOTES, below=keys_below, labels=True)


def is_note(line: str) -> bool:
    """Whether a line between the boxes of a page is text there, and nothing that looks like an entry or a box."""
    paper = read_paper(f"- [ ] `a` A\n\n{line}", "", WORKSHEET)
    return not paper.source.problems and len(paper.items) == 1 and not paper.fenced


@lru_cache(maxsize=4)
def boxes_of(text: str) -> MarkdownPage:
    """The lines of a page, in a file without a name. An edit asks for the text that it made just before: nobody
    changes what stands here.
    """
    return read_paper(text, "", WORKSHEET)


def read_worksheet(text: str, file: str) -> tuple[Worksheet | None, Source]:
    """The page, or None when its front matter cannot be read; the source holds every problem."""
    paper = boxes_of(text)
    found = [replace(each, place=Place(file, each.place.line)) for each in paper.source.problems]
    source = Source(file, paper.source.lines, found)
    paper = replace(paper, source=source)
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
        "inspector": fields.parsed("inspector", lambda value: parse_name(value) if on_the_line(value) else "") or "",
        "helpers": fields.list_of("helpers", parse_one_name),
        "equipment": fields.parsed("equipment", on_the_line) or "",
        "flight_check": read_flight_check(fields, on_page=True),
    }
    for key in ("inspector", "helpers"):
        fields.on_one_line(key)
    fields.finish()
    entries = _entries(paper)
    _name_struck(paper)
    if job is None or begun is None:
        return None, source
    name = file.rsplit("/", 1)[-1].removesuffix(".md")
    front |= {"place": source.place(1), "lines": fields.lines(), "loose": _loose(paper)}
    return Worksheet(name=name, job=job, begun=begun, entries=entries, **front), source


def _name_struck(paper: MarkdownPage) -> None:
    """What is struck out or commented out in the front matter and in the entries, notes aside, is a problem where none
    was told of its line: it would count as if it still stood.
    """
    source = paper.source
    told = {problem.place.line for problem in source.problems}
    for number, line in enumerate(source.lines[1:], start=2):
        if line.rstrip() == "---":
            break
        if number not in told and not line.lstrip().startswith("#"):
            _struck_at(number, line, source)
    for bullet in (each for item in paper.items for top in item.bullets for each in (top, *top.children)):
        number = bullet.lines[0]
        if bullet.key == NOTE or number in told or _struck_at(number, source.lines[number - 1], source):
            continue
        if (found := struck(bullet.value.text)) and bullet.value.column < 0:
            source.problem(number, _struck_words(found.group()), bullet.head, len(source.lines[number - 1]))


def _struck_at(number: int, line: str, source: Source) -> bool:
    """Whether something is struck out in a line; then the problem is told."""
    if found := struck(line):
        source.problem(number, _struck_words(found.group()), *found.span())
    return found is not None


def _struck_words(words: str) -> str:
    told = "is struck out or commented out, and would count all the same"
    return f"`{words[:40]}` {told}: take it out, or take out the marks around it"


def _meters(fields: Fields) -> dict[str, Decimal]:
    """NAME: NUMBER | blank: a meter that is still to be read is left out."""
    found = fields.each_parsed(lambda value: None if is_blank(value) else grammar.parse_number(on_the_line(value)))
    return {name: number for name, number in found.items() if number is not None}


def _loose(paper: MarkdownPage) -> tuple[Loose, ...]:
    """What stands below the first box and is neither a box nor a key, in the order of the page."""
    found = [(number, Loose(text=text, place=paper.source.place(number))) for number, text in paper.notes]
    found += [(number, Loose(text=text, place=paper.source.place(number))) for number, text in paper.fenced if text]
    for box, item in enumerate(paper.items):
        for number, text, key in item.run_on:
            found.append((number, Loose(text=text, place=paper.source.place(number), box=box, key=key)))
    return tuple(loose for number, loose in sorted(found, key=lambda each: each[0]) if number > paper.first > 0)


def _entries(paper: MarkdownPage) -> tuple[Entry, ...]:
    """All boxes; findings without an id get the next free one of the page."""
    bullets = (bullet for item in paper.items for bullet in item.bullets)
    taken = {finding_id(bullet.value.text)[0] for bullet in bullets if bullet.key == FOUND}
    free = (name for number in range(1, 200_000) if (name := f"F{number}") not in taken)
    named: set[str] = set()
    return tuple(_entry(item, free, named, paper.source) for item in paper.items)


def _entry(item: MarkdownBox, free: Iterator[str], named: set[str], source: Source) -> Entry:
    found: dict[str, Any] = {"readings": (), "findings": (), "notes": ()}
    allowed = PANEL_KEYS if item.verb else STANDING_KEYS if "#" in item.id else CHECK_KEYS
    for bullet in item.bullets:
        if bullet.key == FOUND and FOUND in allowed:
            found["findings"] += (_finding(bullet, item, free, named, source),)
            begun = [below.key for below in bullet.children if not filled(below.value).text]
            found["blank"] = (*found.get("blank", ()), *begun)
        elif bullet.key in allowed:
            _read_key(bullet, item, found, source)
        elif allowed is CHECK_KEYS and bullet.key not in KNOWN:
            found["readings"] += (_reading(bullet, item.id, source),)
            begun = [below.key for below in bullet.children if not on_the_line(below.value.text)]
            found["blank"] = (*found.get("blank", ()), *begun)
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
        kind = "panel" if FOUND in allowed else "finding open from before"
        _problem_at(bullet, f"`{bullet.key}` does not belong under the box of a {kind}", source)
    else:
        hint = grammar.did_you_mean(bullet.key, allowed)
        _problem_at(bullet, f"unknown key `{bullet.key[:60]}`{hint}", source)


def _problem_at(bullet: Bullet, message: str, source: Source) -> None:
    """A problem with the key of a bullet underlined."""
    source.problem(bullet.lines[0], message, bullet.start, bullet.end)


def _nothing_below(bullet: Bullet, source: Source) -> None:
    """Whatever an editor indented under a value: a finding there would be read by nobody."""
    for below in bullet.children:
        _problem_at(below, f"nothing stands under `{bullet.key}`", source)


def _read_key(bullet: Bullet, item: MarkdownBox, found: dict[str, Any], source: Source) -> None:
    key, value = bullet.key, filled(bullet.value)
    if not value.text:
        found["blank"] = (*found.get("blank", ()), key)
    if key == USED:
        found["planned"] = planned_of(bullet.value.text)
        value = filled(replace(bullet.value, text=without_planned(bullet.value.text)))
    _nothing_below(bullet, source)
    if key == NOTE:
        found["notes"] += (bullet.value.text,)
        return
    name = FIELDS.get(key, key)
    if found.get(name):
        _problem_at(bullet, f"`{key}` stands twice under `{item.id}`", source)
        return
    if key in (NOT_APPLICABLE, NOT_DONE):
        found["answer"], found["reason"] = key, value.text
    elif key in (BY, SECOND_LOOK) and value.column < 0:
        _problem_at(bullet, f"`{key}` names a person, on one line: what goes on below it is no name", source)
    elif value.text:
        parsed = source.parse(PARSERS.get(key, str), value, key)
        if key == USED and parsed is not None:
            # The two answers in the words of the grammar, whatever a pen makes of their capitals.
            found[name] = value.text if parsed else plain_answer(value.text)
        elif parsed is not None:
            # The date on a part stays the text that it is until the page is signed.
            found[name] = value.text if key == GOOD_UNTIL else parsed
    elif key in ASKED:
        found[name] = ""


# What the page prints a blank for: "" says that it still asks.
ASKED = (BY, SECOND_LOOK, PAPER, MAY_WAIT, GOOD_UNTIL, USED)
PARSERS: dict[str, Any] = {
    TOOK: grammar.parse_minutes,
    GOOD_UNTIL: grammar.parse_date,
    BY: parse_name,
    SECOND_LOOK: parse_name,
    USED: parse_used,
    DISTURBED: grammar.parse_ids,
    REPAIRED: parse_repaired,
    RECHECK: parse_recheck,
    CLEARED: parse_cleared,
    FIX: grammar.parse_fix,
}


def _finding(bullet: Bullet, item: MarkdownBox, free: Iterator[str], named: set[str], source: Source) -> Finding:
    """found = [ "F" N " " ] text, with the keys of a finding indented below it."""
    own, text = finding_id(bullet.value.text)
    name = own or next(free)
    if name in named:
        told, name = f"the finding {name} stands twice on this page", next(free)
        _problem_at(bullet, f"{told}: call this one {name}", source)
    named.add(name)
    if is_blank(text):
        _problem_at(bullet, f"the finding {name} says nothing", source)
    found: dict[str, Any] = {}
    for below in bullet.children:
        _nothing_below(below, source)
        if below.key not in FINDING_KEYS:
            hint = grammar.did_you_mean(below.key, FINDING_KEYS)
            _problem_at(below, f"unknown key `{below.key[:60]}` under a finding{hint}", source)
        elif below.key in found and below.key != NOTE:
            _problem_at(below, f"`{below.key}` stands twice under {name}", source)
        elif below.key == NOTE:
            # A finding has no notes of its own: what is remarked belongs to what was found.
            text = f"{text}; {below.value.text}"
        elif (value := filled(below.value)).text:
            found[below.key] = source.parse(PARSERS.get(below.key, str), value, below.key)
    return Finding(
        id=name,
        panel=item.id if item.verb else None,
        check=None if item.verb else item.id,
        text=text,
        fix=found.get(FIX) or Fix(),
        may_wait=found.get(MAY_WAIT, ""),
        waiting=found.get(WAITING, ""),
        cleared=found.get(CLEARED),
        recheck=found.get(RECHECK) or (),
        place=source.place(bullet.lines[0]),
    )


def _reading(bullet: Bullet, check: str, source: Source) -> Reading:
    """LABEL: value [ measure ] [ "(" bound ")" ], with `again` indented below it."""
    value, measure, bound = split_reading(bullet.value, source, bullet.key)
    again: dict[int, str] = {}
    for below in bullet.children:
        _nothing_below(below, source)
        if below.key != AGAIN:
            _problem_at(below, f"expected `again: value` under a reading, not `{below.key[:40]}`", source)
        elif more := on_the_line(below.value.text):
            again[below.value.line] = more
    return Reading(
        check=check,
        label=bullet.key,
        value=value,
        measure=measure,
        bound=bound,
        again=tuple(again.values()),
        place=source.place(bullet.lines[0]),
        again_at=tuple(map(source.place, again)),
    )
