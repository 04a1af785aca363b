"""The record that a page becomes: what it says, in the nouns of a record, ready to be written and sealed."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from inspect_kit.errors import Place
from inspect_kit.inspection.owed import left_owed
from inspect_kit.inspection.people import is_somebody
from inspect_kit.inspection.signing import Request
from inspect_kit.model.aircraft import Person
from inspect_kit.model.checklist import OTHERS, Check, Panel, Part, added_up, decimal, part_key
from inspect_kit.model.finding import DONE, NOT_DONE, Cleared, Finding, Reading, Result, put_off_as
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import SLIPPED, kept
from inspect_kit.model.owed import done_in_order
from inspect_kit.model.page_record import PageRecord, box_name
from inspect_kit.model.part_names import alike
from inspect_kit.model.record import FileSum
from inspect_kit.model.worksheet import AS_PLANNED, CLOSING, JOB_WORK, OPENING, Entry, Worksheet
from inspect_kit.text.page_values import parse_used


def statement(request: Request) -> str:
    """The statement of the operating limitations with the date of signing in it."""
    rule = request.rule
    return rule.statement.replace("{date}", request.on.isoformat()) if rule else ""


def record_of(
    request: Request, *, name: str, entered: dt.date, passed: bool = True, files: Iterable[FileSum] = ()
) -> PageRecord:
    """The record of a signed page: an Inspection, or Work. With `passed` False it has no statement.

    Nothing is checked here: `missing` has been empty before.
    """
    page = request.page
    signer = request.signer or Person(name="")
    carried, cleared = _standing(request, passed=passed)
    found = ((entry, finding) for entry in page.entries for finding in entry.findings)
    own = (replace(finding, cleared=_by_whom(request, entry, finding.cleared)) for entry, finding in found)
    findings = (*own, *carried)
    done = {check.id: check for check in request.done()}
    common: dict[str, Any] = {
        "name": name,
        "date": request.on,
        "entered": entered,
        "meters": dict(page.meters),
        "totals": request.totals(),
        # With the keys of that day, so that a later change of people unmakes no signature.
        "by": Person(name=signer.name, kind=signer.kind, certificate=signer.certificate, ssh=signer.ssh),
        "identity": request.logbook.aircraft.identity,
        "files": tuple(files),
        "sheet": page.name,
        "begun": page.begun,
        "helpers": page.helpers,
        "equipment": page.equipment,
        "flight_check": page.flight_check,
        "results": tuple(_results(request)),
        "boxes": tuple(_boxes(request)),
        "readings": tuple(reading for entry in page.checks for reading in _readings(request, entry)),
        "findings": findings,
        "opened": tuple(dict.fromkeys(e.id for e in page.entries if e.verb in OPENING and e.ticked)),
        "disturbed": tuple(dict.fromkeys(_disturbed(request))),
        "left_owed": tuple(owed.check.id for owed in left_owed(request.logbook, page)),
        "clears": tuple(cleared),
        "cleared": cleared,
        "next": marked_on(request.logbook, page),
        "parts": tuple(str(part) for part in added_up(_used(request))),
        "place": Place(f"{name}.yaml"),
    }
    rule = request.rule
    if rule is None or not request.is_inspection:
        return Work(did=tuple(done), text=_words(request), **common)
    return Inspection(
        inspection=page.job,
        passed=passed,
        signers=rule.signers,
        basis=rule.scope,
        statement=statement(request) if passed else "",
        not_applicable=dict(request.logbook.aircraft.not_applicable),
        **common,
    )


def _words(request: Request) -> str:
    """What was done, in the words of the checks; of a page that was closed, why the rest was not."""
    page = request.page
    done = "; ".join(dict.fromkeys(entry.text for entry in page.checks if entry.ticked and not entry.answer))
    if not request.closing:
        return done or "; ".join(dict.fromkeys(f"{each.text}: {each.answer}: {each.reason}" for each in page.checks))
    what = "" if page.job == JOB_WORK else f"{page.job.capitalize()} inspection begun on {page.begun}: "
    rest = "not done" if any(entry.answer for entry in page.checks) else "closed"
    return f"{what}{done}; {rest}: {request.closing}" if done else f"{what}nothing was done: {request.closing}"


def _used(request: Request) -> Iterator[Part]:
    """The parts that somebody confirmed under a ticked check: those planned, or those named instead."""
    for entry in request.page.checks:
        yield from used_at(entry, request.check(entry))


def used_at(entry: Entry, check: Check | None) -> tuple[Part, ...]:
    """What was used at one box of a page: what its check plans, or what was named instead."""
    if not entry.ticked or entry.answer or not entry.used:
        return ()
    return (check.uses if check else ()) if entry.used == AS_PLANNED else parse_used(entry.used)


def over_already(marked: Mapping[str, dt.date], on: dt.date) -> Iterator[str]:
    """What speaks for a slip in the dates that parts carry: one that was over on the day on which it was looked at."""
    for check, date in marked.items():
        if date < on:
            yield f"`{check}` is good until {date}, which was over on {on}."


def marked_on(logbook: Logbook, page: Worksheet) -> dict[str, dt.date]:
    """The dates that parts carry, by the checks that are ticked on a page."""
    return {
        logbook.id_now(entry.id): dt.date.fromisoformat(entry.good_until)
        for entry in page.checks
        if entry.good_until and entry.ticked and not entry.answer
    }


def far_from(planned: Iterable[Part], used: Iterable[Part], where: str = "") -> Iterator[str]:
    """Each part that was used in many times its planned amount, in another measure, or under a name that differs from
    a planned one by a slip; `where` stands behind its name.
    """
    usually = {part_key(each.name): (*_amount(each), each) for each in planned}
    for part in used:
        number, measure = _amount(part)
        own = usually.get(part_key(part.name))
        if own is None:
            # `filter` of an oil filter would come off no shelf.
            if near := part_key(alike(part.name, usually)):
                yield f"{part}{where}, where {usually[near][2]} is planned."
            continue
        usual, counted, plan = own
        if part.amount and measure != counted:
            yield f"{part}{where}, where {plan} is planned."
        elif number and usual and number >= SLIPPED * usual:
            yield f"{part}{where}, where {usual} {measure}".rstrip() + " are planned."


def _amount(part: Part) -> tuple[Decimal | None, str]:
    """How many, and of which measure; a part without an amount is one."""
    number, _, measure = part.amount.partition(" ")
    return (decimal(number) if number else Decimal(1)), measure


def _disturbed(request: Request) -> Iterator[str]:
    """What was disturbed: as the page says, and as the checklists say of the checks done and the panels put back."""
    checks = {check.id: check for check in request.done()}
    now = request.logbook.id_now
    for entry in request.page.entries:
        yield from entry.disturbed
        if done_in_order(entry):
            noun: Check | Panel | None = checks.get(now(entry.id)) if entry.is_check else None
            noun = request.logbook.panels.get(now(entry.id)) if entry.verb in CLOSING else noun
            yield from noun.disturbs if noun is not None else ()


def _results(request: Request) -> Iterator[Result]:
    """What became of each check, in the order of the page; of a check with two boxes the last one answered."""
    last = {request.logbook.id_now(entry.id): entry for entry in request.page.checks if entry.answered}
    kept = {entry.lines for entry in last.values()}
    for entry in request.page.checks:
        if entry.lines in kept:
            yield _with_earlier(_result(request, entry), _earlier(request, entry))


def _earlier(request: Request, entry: Entry) -> list[Entry]:
    """The answered boxes of the same check above the last one."""
    now = request.logbook.id_now
    return [e for e in request.page.checks if now(e.id) == now(entry.id) and e.answered and e.lines < entry.lines]


def _with_earlier(result: Result, earlier: Iterable[Entry]) -> Result:
    """The result of a check with what is to be looked at again, and what was made good, by earlier boxes of it too."""
    if result.answer != DONE:
        return result
    asked = [entry for entry in earlier if entry.recheck or entry.repaired]
    notes = [note for entry in asked for note in entry.notes]
    return replace(
        result,
        recheck=tuple(dict.fromkeys((*(limit for each in asked for limit in each.recheck), *result.recheck))),
        repaired=tuple(dict.fromkeys((*(label for each in asked for label in each.repaired), *result.repaired))),
        notes=tuple(dict.fromkeys((*notes, *result.notes))),
    )


def _boxes(request: Request) -> Iterator[Result]:
    """What was said under boxes that are no result: of panels, of findings from before, of a check that has another
    box further below.
    """
    told = {each.place.line for each in _results(request)}
    count: Counter[tuple[str, str]] = Counter()
    for entry in request.page.entries:
        box = entry.verb, entry.id if entry.is_standing else request.logbook.id_now(entry.id)
        before, count[box] = count[box], count[box] + 1
        if entry.place.line in told or not (entry.answered or entry.is_standing):
            continue
        result = replace(_result(request, entry), check=box_name(*box, before), recheck=(), repaired=())
        if not entry.answered:
            result = replace(result, answer=NOT_DONE, reason=request.closing)
        if entry.notes or entry.took is not None or entry.by or entry.second_look or entry.answer or entry.paper:
            yield result


def _result(request: Request, entry: Entry) -> Result:
    return Result(
        check=request.logbook.id_now(entry.id),
        answer=entry.answer or "done",
        reason=entry.reason,
        took=entry.took,
        by=entry.by or _other_doer(request, entry),
        second_look=entry.second_look or "",
        good_until=dt.date.fromisoformat(entry.good_until) if entry.good_until else None,
        paper=entry.paper or "",
        disturbed=entry.disturbed,
        repaired=entry.repaired,
        recheck=entry.recheck,
        notes=entry.notes,
        place=entry.place,
    )


def _other_doer(request: Request, entry: Entry | None = None) -> str:
    """The inspector of the page, who did what has no `by` there, where somebody else signs it: in a record whoever has
    signed did it. "" where they are one, and of the box of a check that is for others: its paper says who did it.
    """
    check = request.check(entry) if entry is not None and entry.is_check else None
    if check is not None and check.who == OTHERS:
        return ""
    name, signer = request.page.inspector, request.signer
    is_other = is_somebody(name) and not (signer and request.logbook.aircraft.same_person(name, signer.name))
    return name if is_other else ""


def _by_whom(request: Request, entry: Entry, cleared: Cleared | None) -> Cleared | None:
    """How a finding was cleared, by whoever did its box where nobody is named with it."""
    if cleared is None or cleared.by:
        return cleared
    return replace(cleared, by=entry.by or _other_doer(request))


def _readings(request: Request, entry: Entry) -> tuple[Reading, ...]:
    """Readings with the check's measure where the page left it out, the limit that counted, what follows from them."""
    check = request.check(entry)
    if check is None or not entry.ticked or entry.answer:
        return ()
    asked = {label: reads for reads in check.reads for label in reads.labels}
    found = []
    for reading in entry.readings:
        reads = asked.get(reading.label)
        if reading.value and reads is not None:
            reading = replace(reading, measure=reads.measure, bound=reading.bound or reads.bound)
        if reading.value:
            found.append(replace(reading, check=check.id))
    return kept(found, request.judged(entry, check))


def _standing(request: Request, *, passed: bool) -> tuple[tuple[Finding, ...], dict[str, Cleared]]:
    """Findings from before that were put off again, as findings of this page, and what was cleared and how.

    While an inspection is not passed its page stays open and nothing is put off by it: what was found before stands
    where it was found, within the limit that it has there, until the page is signed.
    """
    taken = [int(finding.id[1:]) for entry in request.page.entries for finding in entry.findings]
    number = max(taken, default=0)
    carried = []
    cleared: dict[str, Cleared] = {}
    known = request.logbook.findings()
    signer = request.signer.name if request.signer else ""
    for entry in request.page.entries:
        if not entry.is_standing or not entry.ticked:
            continue
        if entry.cleared is not None:
            cleared[entry.id] = _by_whom(request, entry, entry.cleared) or entry.cleared
        elif passed and entry.fix is not None and entry.id in known:
            number += 1
            old = known[entry.id]
            carried.append(replace(old, id=f"F{number}", fix=entry.fix, may_wait=entry.may_wait, place=entry.place))
            cleared[entry.id] = put_off_as(f"F{number}", request.on, entry.by or _other_doer(request) or signer)
    return tuple(carried), cleared
