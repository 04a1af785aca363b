"""What `directive` asks where its check was last done before it was issued: whether that was done as it asks."""

import datetime as dt
from collections.abc import Mapping
from functools import partial
from typing import Any

from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import EITHER, NO, YES, yes_or_no
from inspect_kit.due import Moment, all_fittings, chronicle
from inspect_kit.due.directives import dones, older_than
from inspect_kit.model.aircraft import Person
from inspect_kit.model.kinds.directive import AIRCRAFT, NOT_AS_ASKED, Directive
from inspect_kit.model.logbook import Logbook
from inspect_kit.past import parse_said_date
from inspect_kit.text.grammar import Unreadable

OPTION = "previously-complied"


def complied(
    facts: dict[str, Any], logbook: Logbook, on: dt.date, given: str | None
) -> tuple[dict[str, Any], str]:
    """The facts with `done-on` where the older work complies, and the words of the entry where it does not."""
    work = _older(facts, logbook, on)
    if work is None:
        return facts, ""
    told = f"the work of {work.date or 'a day not on record'} ({work.record})"
    words = f"Was {told} done as it asks, before it was known ({EITHER})"
    if answers({OPTION: given}, [Question(name=OPTION, words=words, read=_yes_or_no, required=True)])[OPTION] == NO:
        return facts, f"{told} {NOT_AS_ASKED}"
    record = logbook.record(work.record)
    read = partial(parse_said_date, today=on)
    asks = [] if work.date else [Question(name="done-on", words="When it was done", read=read, required=True)]
    by = record.by if record is not None and not work.brought else None
    asks += [] if by else [Question(name="done-by", words="Who did it, with kind and number", required=True)]
    found = answers({}, asks)
    return {
        **facts,
        "done-on": work.date or found["done-on"],
        "done": facts["done"] or f"as it asks, by {told}",
        "done-by": _who(by) if by else found["done-by"],
    }, ""


def _older(facts: Mapping[str, Any], logbook: Logbook, on: dt.date) -> Moment | None:
    """When its check was last done, where that is older than the directive and nothing says how it was done."""
    check = logbook.checks.get(logbook.id_now(facts["check"])) if facts["check"] else None
    if check is None or facts["done-on"] is not None:
        return None
    product = facts["on"] if facts["on"] == AIRCRAFT else logbook.id_now(facts["on"])
    book = chronicle(logbook)
    before = [
        each.date
        for each in logbook.of_kind(Directive)
        if (each.number, logbook.id_now(each.on), each.revision) == (facts["number"], product, facts["revision"] or "")
    ]
    since = facts["issued"] or min([*before, on])
    return older_than(since, dones(book, check, all_fittings(book).get(product, ())))


def _who(person: Person) -> str:
    return ", ".join(filter(None, (person.name, person.kind, person.certificate)))


def _yes_or_no(words: str) -> str:
    said = yes_or_no(words)
    if said is None:
        raise Unreadable(f"expected {YES} or {NO}")
    return YES if said else NO
