"""What `directive` asks where its check was last done before it was issued: whether that was done as it asks.

Or before its part came: whether it was done to that.
"""

import datetime as dt
from collections.abc import Mapping
from functools import partial
from typing import Any

from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import EITHER, NO, YES, yes_or_no
from inspect_kit.due import Moment, all_fittings, chronicle
from inspect_kit.due.directives import dones, older_than, to_another
from inspect_kit.model.aircraft import Person
from inspect_kit.model.kinds.directive import AIRCRAFT, NOT_AS_ASKED, NOT_TO_THIS_PART, Directive
from inspect_kit.model.logbook import Logbook
from inspect_kit.past import parse_said_date
from inspect_kit.text.grammar import Unreadable

OPTION = "previously-complied"


def complied(
    facts: dict[str, Any], logbook: Logbook, on: dt.date, given: str | None
) -> tuple[dict[str, Any], str]:
    """The facts with `done-on` where the older work complies, and the words of the entry where it does not."""
    found = _older(facts, logbook, on)
    if found is None:
        return facts, ""
    work, another = found
    told = f"the work of {work.date or 'a day not on record'} ({work.record})"
    words = f"Was {told} done as it asks, before it was known ({EITHER})"
    if another:
        came = f"The part in {facts['on']} came after {told}, or may have"
        words = f"{came}. Was it done to that part as it asks, before it was fitted ({EITHER})"
    if answers({OPTION: given}, [Question(name=OPTION, words=words, read=_yes_or_no, required=True)])[OPTION] == NO:
        return facts, f"{told} {NOT_TO_THIS_PART if another else NOT_AS_ASKED}"
    record = logbook.record(work.record)
    read = partial(parse_said_date, today=on)
    when = Question(name="done-on", words="When it was done", read=read, required=True)
    asks = [] if work.date and not another else [when]
    by = record.by if record is not None and not work.brought and not another else None
    asks += [] if by else [Question(name="done-by", words="Who did it, with kind and number", required=True)]
    said = answers({}, asks)
    return {
        **facts,
        "done-on": said.get("done-on", work.date),
        "done": facts["done"] or ("as it asks, before it was fitted" if another else f"as it asks, by {told}"),
        "done-by": _who(by) if by else said["done-by"],
    }, ""


def _older(facts: Mapping[str, Any], logbook: Logbook, on: dt.date) -> tuple[Moment, bool] | None:
    """When its check was last done, where that is older than the directive and nothing says how it was done; or than
    the part that it is about, and whether it is.
    """
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
    stays = all_fittings(book).get(product, ())
    if done := dones(book, check, stays):
        older = older_than(since, done)
        return (older, False) if older is not None else None
    work = to_another(book, check, stays)
    return (work, True) if work is not None else None


def _who(person: Person) -> str:
    return ", ".join(filter(None, (person.name, person.kind, person.certificate)))


def _yes_or_no(words: str) -> str:
    said = yes_or_no(words)
    if said is None:
        raise Unreadable(f"expected {YES} or {NO}")
    return YES if said else NO
