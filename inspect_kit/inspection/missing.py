"""Everything that is still missing before a page may be signed, all of it at once.

The rules behind it: the aircraft's operating limitations (scope and detail of 14 CFR Part 43 Appendix D; who may sign;
what the entry shows), 14 CFR 43.11(a) as a model for the entry, 14 CFR 3.403 (nothing is ticked for anybody).
"""

import datetime as dt
import re
from collections.abc import Iterable, Iterator

from inspect_kit.errors import Place, Problem
from inspect_kit.inspection.elsewhere import as_sealed, on_other_pages, standing_elsewhere, was_sealed
from inspect_kit.inspection.findings_missing import finding_missing, standing_missing, standing_untold
from inspect_kit.inspection.order_missing import left_on_missing, order_missing, panels_missing
from inspect_kit.inspection.owed import box_below, left_owed
from inspect_kit.inspection.past_limit import AGAIN, HOW
from inspect_kit.inspection.people import no_inspector
from inspect_kit.inspection.questions import unanswered_questions
from inspect_kit.inspection.signing import Request
from inspect_kit.inspection.unread import LIKE_AN_ENTRY, unread
from inspect_kit.model.aircraft import plain_name
from inspect_kit.model.checklist import INSPECTOR, OTHERS, WORDS, Check, Panel, Reads, part_key
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Reading
from inspect_kit.model.lines import place_of
from inspect_kit.model.other_eyes import may_be_one, no_other
from inspect_kit.model.owed import at_once
from inspect_kit.model.reason import (
    is_no_reason_why_not,
    leads_nowhere,
    names_no_page,
    says_left_out,
    says_off,
    says_unlooked,
    tells_nothing_seen,
)
from inspect_kit.model.worksheet import (
    CLOSING,
    JOB_WORK,
    NOT_COVERED,
    NOT_READ,
    NOT_TICKED,
    NOT_WRITTEN,
    NOTHING_USED,
    Entry,
    Missing,
    Worksheet,
)
from inspect_kit.rules import profile_of, scope_coverage, signer_refusal
from inspect_kit.text.grammar import did_you_mean, with_blank
from inspect_kit.text.page_values import parse_used
from inspect_kit.text.worksheet import GOOD_UNTIL, PAPER, SECOND_LOOK, USED


def missing(request: Request) -> tuple[Missing, ...]:
    """All that stands between this page and a signature, in the order of the page; empty when it may be signed."""
    found = [
        *_signer(request),
        *_day(request),
        *_meters(request),
        *_inspector(request),
        *(fault for entry in request.page.entries for fault in _entry(request, entry)),
        *panels_missing(request),
        *order_missing(request),
        *unread(request),
        *unanswered_questions(request),
        *as_sealed(request),
    ]
    if request.closing:
        found += _closed(request)
    if request.is_inspection:
        found += [*_owed(request), *_left_out(request), *standing_elsewhere(request)]
        found += [*on_other_pages(request), *_scope(request)]
    return tuple(found)


def _closed(request: Request) -> Iterator[Missing]:
    """A page is closed as work; an inspection that found something is sealed with its list of discrepancies first."""
    begun = request.page.job != JOB_WORK and request.done()
    if begun and _is_list(request.page) and not was_sealed(request):
        told = "checks are ticked, and a finding is open: what was found so far is sealed with `--not-passed` first"
        yield Missing("", f"{told}, then the page is closed", request.page.place)


def missing_for_discrepancies(request: Request) -> tuple[Missing, ...]:
    """What is missing before a list of discrepancies may be sealed: who, when, total time, and a discrepancy.

    What is ticked counts from that day on, and what is cleared stands no more: of these all that a statement asks. What
    is not ticked may be missing.
    """
    found = [*_signer(request), *_day(request), *_meters(request)]
    if any(each.ticked and not each.answer and not each.by for each in request.page.entries):
        found += _inspector(request)
    for entry in request.page.entries:
        found += _said(request, entry)
    found += [*order_missing(request), *unread(request), *as_sealed(request)]
    if not _is_list(request.page):
        told = "no finding is open on the page: there is no list to give"
        ends = "`sign --closed --reason WHY` ends a page as it stands"
        found.append(Missing("", f"{told}; {ends}", request.page.place))
    return tuple(found)


def _is_list(page: Worksheet) -> bool:
    """Whether a finding of the page is open: there is a list of discrepancies to give."""
    return any(finding.stands for entry in page.entries for finding in entry.findings)


def _said(request: Request, entry: Entry) -> Iterator[Missing]:
    """What a box says that counts on a page which does not pass: its tick, why it does not apply, what is cleared."""
    check = request.check(entry) if entry.is_check else None
    if entry.answer == NOT_APPLICABLE or (entry.ticked and not entry.answer and not entry.is_standing):
        yield from _told(request, entry, check)
    elif check is not None:
        yield from _limits(request, entry, check)
    if entry.is_standing and entry.ticked and entry.cleared is not None:
        yield from standing_missing(request, entry)
        yield from _doer(request, entry, None)
    for finding in entry.findings:
        if finding.cleared is not None:
            yield from finding_missing(request, finding)


def touching(
    told: Iterable[Problem], grave: Iterable[Problem], request: Request
) -> tuple[Problem, ...]:
    """The problems of the store on which what this page would seal rests; the others keep nobody from signing.

    `told` are all of them; `grave` those that leave something untold wherever they are: what could not be read, and
    meters that contradict each other. An inspection speaks of the whole aircraft, other work of its own panels.
    """
    logbook, page = request.logbook, request.page
    untold = {(problem.place, problem.message) for problem in grave}
    own = {panel.place.file for entry in page.entries if (panel := _panel_of(request, entry)) is not None}

    def touches(problem: Problem) -> bool:
        file = problem.place.file
        if file in (page.place.file, logbook.aircraft.place.file):
            return True
        if file == "checklists" or file.startswith("checklists/"):
            return request.is_inspection or file in own or (problem.place, problem.message) in untold
        if file.startswith("records/open/"):
            # What is no page there belongs to one: photographs that would be left behind, a page under another name.
            return not file.endswith(".md") and not problem.note
        return (problem.place, problem.message) in untold

    return tuple(problem for problem in told if touches(problem))


def _panel_of(request: Request, entry: Entry) -> Panel | None:
    check = request.check(entry) if entry.is_check else None
    return request.logbook.panels.get(check.panel if check else request.logbook.id_now(entry.id))


def _signer(request: Request) -> Iterator[Missing]:
    place = request.page.place
    if request.signer is None:
        people = [person.name for person in request.logbook.aircraft.people]
        unknown = f"nobody among the people of aircraft.yaml is called `{request.named}`"
        told = f"{unknown}{did_you_mean(request.named, people)}"
        yield Missing("", told if request.named else "say with `--as` who signs", place)
    elif request.is_inspection and request.rule is not None:
        refusal = signer_refusal(request.logbook.aircraft, request.rule, request.signer, request.on)
        if refusal is not None:
            yield Missing("", f"{refusal}", place)
    if request.is_inspection and request.rule is None:
        yield Missing("", f"aircraft.yaml knows no inspection `{request.page.job}`", place_of(request.page, "job"))
    aircraft = request.logbook.aircraft.identity.registration
    if request.page.registration != aircraft:
        told = f"the page is of {request.page.registration}, this aircraft is {aircraft}"
        yield Missing("", told, place_of(request.page, "aircraft"))


def _day(request: Request) -> Iterator[Missing]:
    if request.on < request.page.begun:
        told = f"{request.on} is before the job was begun, {request.page.begun}"
        yield Missing("", told, place_of(request.page, "begun"))


def _meters(request: Request) -> Iterator[Missing]:
    service = request.logbook.aircraft.time_in_service
    if service not in request.page.meters and request.is_inspection:
        told = f"no total time: sign with what {service} reads now, {service}=READING"
        yield Missing("", told, place_of(request.page, "meters"))
    for name, total in request.totals().items():
        last, earlier = request.last_totals.get(name), request.before_day.get(name)
        of_day = earlier is not None and total >= earlier
        # That it was read earlier that day somebody was asked, and said.
        if last is not None and total < last and not (of_day and name in request.read_now):
            again = f" ({name}={request.page.meters[name]:f} if it read that earlier that day)" if of_day else ""
            yield Missing(
                "",
                f"{name} on the page stands for a total of {total}, and {last} was recorded before: sign with what it "
                f"reads now, {name}=READING{again}, or as of the day on which the work was finished, --on DATE",
                place_of(request.page, "meters", name),
            )


def _inspector(request: Request) -> Iterator[Missing]:
    """Whoever did all that names nobody else: told once, not under every box."""
    name = request.page.inspector
    place = place_of(request.page, "inspector")
    if name and not request.is_known(name):
        yield Missing("inspector", request.stranger(name), place)
    elif name and request.is_inspection and (refusal := no_inspector(request.logbook.aircraft, request.page, name)):
        yield Missing("inspector", f"{name} may not do the checks of the inspector: {refusal}", place)


def _doer(request: Request, entry: Entry, check: Check | None) -> Iterator[Missing]:
    """That somebody did it who is somebody, and who may. What others do is told by their paper."""
    if check is not None and check.who == OTHERS:
        return
    if entry.by and not request.is_known(entry.by):
        yield Missing(entry.id, f"is done by {request.stranger(entry.by)}", entry.place)
    elif entry.by and check is not None and check.who == INSPECTOR and request.is_inspection:
        refusal = no_inspector(request.logbook.aircraft, request.page, entry.by)
        if refusal is not None:
            yield Missing(entry.id, f"is a check of the inspector and is done by {entry.by}: {refusal}", entry.place)


def _entry(request: Request, entry: Entry) -> Iterator[Missing]:
    check = request.check(entry) if entry.is_check else None
    if not entry.answered and not (entry.is_standing and request.closing):
        told = f"{entry.verb} is not ticked" if entry.verb else "is not ticked"
        yield _rest(request, entry, told, entry.place, NOT_TICKED)
    if entry.is_standing and (entry.ticked or not request.closing):
        yield from standing_missing(request, entry)
        yield from _doer(request, entry, None)
    elif entry.is_standing:
        yield from standing_untold(entry)
    yield from _told(request, entry, check)
    for finding in entry.findings:
        yield from finding_missing(request, finding)


def _told(request: Request, entry: Entry, check: Check | None) -> Iterator[Missing]:
    """What is wrong with the answer of a box, or with what stands under its tick."""
    if entry.answer:
        yield from _answer(request, entry, check)
        if check is not None:
            yield from _limits(request, entry, check)
    elif entry.is_check and check is not None:
        yield from _doer(request, entry, check)
        yield from _readings(request, entry, check)
        yield from _written(request, entry, check)
        yield from _again(entry)
    if entry.is_panel and not entry.answer:
        yield from _doer(request, entry, None)
        yield from _notes(entry)
        panel = request.logbook.panels.get(request.logbook.id_now(entry.id))
        wanted = panel is not None and panel.second_look and entry.verb in CLOSING
        if wanted or entry.second_look is not None:
            yield from _second_look(request, entry)
    if entry.answered:
        yield from _begun(entry, check)


def _rest(request: Request, entry: Entry, text: str, place: Place, rest: str) -> Missing:
    """Something under a box that is merely still empty, counted at its panel."""
    check = request.check(entry) if entry.is_check else None
    panel = check.panel if check else request.logbook.id_now(entry.id) if entry.is_panel else ""
    return Missing(entry.id, text, place, rest, panel)


def _answer(request: Request, entry: Entry, check: Check | None) -> Iterator[Missing]:
    if is_no_reason_why_not(entry.reason):
        yield Missing(entry.id, f"says `{entry.answer}` without the reason", entry.place)
    elif entry.answer == NOT_APPLICABLE and entry.is_check and says_unlooked(entry.reason):
        told = f"is called not applicable, and `{entry.reason[:40]}` does not say why it is not on the aircraft"
        yield Missing(entry.id, f"{told}: do it, or write what there is in its place", entry.place)
    if entry.is_panel and not is_no_reason_why_not(entry.reason):
        yield from left_on_missing(request, entry)
    belongs = check is not None and (check.covers or check.at_inspection(request.page.job))
    if entry.answer == NOT_DONE and request.is_inspection and belongs:
        yield Missing(entry.id, "belongs to the inspection: it cannot be left as `not done`", entry.place)
    if entry.answer == NOT_APPLICABLE and entry.findings:
        yield Missing(entry.id, "is called not applicable and has a finding", entry.place)
    if entry.answer in UNREAD and any(each.value for each in entry.readings):
        # They would be sealed nowhere.
        yield Missing(entry.id, UNREAD[entry.answer], entry.place)
    if entry.answer and entry.used and entry.used != NOTHING_USED:
        told = f"is called {entry.answer}, and says what was used, `{entry.used[:40]}`: which of the two?"
        yield Missing(entry.id, told, entry.place)


UNREAD = {
    NOT_APPLICABLE: "is called not applicable and has a reading: which of the two?",
    NOT_DONE: "is called not done and has a reading, which would stand in no record: tick it with all its readings, or "
    "take the reading out and say it in a `note`",
}


def _readings(request: Request, entry: Entry, check: Check) -> Iterator[Missing]:
    written = {reading.label: reading for reading in entry.readings}
    for reads in check.reads:
        for label in reads.labels:
            reading = written.get(label)
            if reading is not None and _is_behind(reading, reads):
                told = f"the reading of {label} is not read where it stands, `{reading.measure[:40]}`"
                yield Missing(entry.id, f"{told}: write it right behind `{label}:`", reading.place)
            elif reading is None or not reading.last:
                place = reading.place if reading else entry.place
                yield _rest(request, entry, f"the reading of {label} is empty", place, NOT_READ)
            elif not reads.in_words and reading.number is None:
                told = f"the reading of {label} is no number: `{reading.last}`{with_blank(reading.last)}"
                yield Missing(entry.id, told, reading.place)
            elif reads.in_words and tells_nothing_seen(reading.last):
                told = f"the reading of {label} says nothing: `{reading.last}`: write what was seen, or `not done: why`"
                yield Missing(entry.id, told, reading.place)
    yield from _limits(request, entry, check)


def _is_behind(reading: Reading, reads: Reads) -> bool:
    """Whether what was read stands behind a blank as its measure does."""
    read = reads.in_words or any(map(str.isdigit, reading.measure))
    return not reading.last and read and reading.measure not in ("", WORDS, reads.measure)


def _limits(request: Request, entry: Entry, check: Check) -> Iterator[Missing]:
    """What was read out of its limit wants a finding, whatever else is said of its check.

    The stricter counts of the limit of the checklist and of the one that the page was printed with.
    """
    ones = request.judged(entry, check)
    judged = {one.label: one for one in ones}
    written = {reading.label: reading for reading in entry.readings}
    for reading in entry.readings:
        one = judged.get(reading.label)
        if one is not None and not one.fault and reading.out_of_limits and not entry.findings:
            told = f"{reading.label} is {reading.number} {one.measure}, the limit is {reading.bound}"
            yield Missing(entry.id, f"{told}, {_without(entry)}", reading.place)
    for one in ones:
        place = written[one.label].place if one.label in written else entry.place
        if one.waits:
            # That the other reading is empty is said already.
            continue
        if one.refused:
            yield Missing(entry.id, one.refused, place)
        elif one.fault and not entry.findings:
            yield Missing(entry.id, f"{one.fault}, {_without(entry)}", place)
    if entry.findings and not any(finding.stands for finding in entry.findings):
        named = " and ".join(finding.id for finding in entry.findings)
        for label, told in request.judge.still_past(request.page, entry, check).items():
            place = written[label].place if label in written else entry.place
            yield Missing(entry.id, f"{told}, and {named} is cleared: {what_it_reads(label)}", place)


def what_it_reads(label: str) -> str:
    """What a finding that was cleared in words alone still wants."""
    return f"{HOW}: read {label} again ({AGAIN})"


def _without(entry: Entry) -> str:
    return f"and no finding is written under it: `inspect-kit finding {entry.id} WHAT` writes one"


def _begun(entry: Entry, check: Check | None) -> Iterator[Missing]:
    """What was begun below a box and says nothing: it would be sealed as if it did not stand there."""
    asked = {SECOND_LOOK, USED}
    if check is not None and not entry.answer:
        asked |= {GOOD_UNTIL} if check.marked else set()
        asked |= {PAPER} if check.who == OTHERS else set()
    for key in dict.fromkeys(entry.blank):
        if (entry.answer and key in (*asked, GOOD_UNTIL, PAPER)) or key in asked or key == entry.answer:
            # Printed, and asked by its own rule where it must be said.
            continue
        yield Missing(entry.id, f"`{key}` is begun and says nothing: write it, or take the line out", entry.place)


def _is_over(check: Check, entry: Entry, on: dt.date) -> bool:
    """Whether the date that a part carries is over on a day."""
    return check.marked and bool(entry.good_until) and dt.date.fromisoformat(entry.good_until or "") < on


def _written(request: Request, entry: Entry, check: Check) -> Iterator[Missing]:
    if entry.good_until and not check.marked:
        told = "has a date of its part, `good until`, and is none that counts by it (`every: as marked`)"
        yield Missing(entry.id, f"{told}: say it in a `note`", entry.place)
    planned = "; ".join(map(str, check.uses))
    if entry.planned and entry.planned.split() != planned.split():
        told = f"`planned: {entry.planned[:60]}` is not what the checklist plans, {planned or 'nothing'}"
        yield Missing(entry.id, f"{told}: write there what it plans, and in front of it what was used", entry.place)
    if check.marked and not entry.good_until:
        yield _rest(request, entry, "the date on the part is missing: `good until`", entry.place, NOT_WRITTEN)
    elif request.is_inspection and check.bars_past_due.flight and _is_over(check, entry, request.on):
        told = f"was good until {entry.good_until}, and bars flight when that is over"
        yield Missing(entry.id, f"{told}: fit one that is good, or correct the date", entry.place)
    if check.who != OTHERS and entry.paper and leads_nowhere(entry.paper):
        told = f"`paper: {entry.paper[:40]}` leads nowhere: say which logbook and page, or the number of the paper"
        yield Missing(entry.id, told, entry.place)
    who = check.others or "others"
    if check.who == OTHERS and leads_nowhere(entry.paper or ""):
        told = f"is done by {who}: the reference of their paper is missing: `paper`"
        yield _rest(request, entry, told, entry.place, NOT_WRITTEN)
    elif check.who == OTHERS and names_no_page(entry.paper or ""):
        told = f"is done by {who}, and `paper: {(entry.paper or '')[:40]}` has no number by which it is found"
        yield Missing(entry.id, f"{told}: that of their work order, a page, or the day of it", entry.place)
    if entry.used == "" or (entry.used is None and check.uses):
        planned = "; ".join(map(str, check.uses))
        told = f"what was used is not said ({planned}): `used: as planned`, `used: none`, or what it was"
        yield _rest(request, entry, told, entry.place, NOT_WRITTEN)
    for part in parse_used(entry.used or NOTHING_USED):
        named = [each.name for each in check.uses if part_key(each.name) in part_key(part.name)]
        if len(named) > 1 and re.search(r"[\s,+&]\d+(?:[./]\d+)?\s+\S", part.name):
            told = f"`used` has {' and '.join(named)} in one, `{part.name[:40]}`: a semicolon stands between two"
            yield Missing(entry.id, told, entry.place)
    if check.second_look or entry.second_look is not None:
        yield from _second_look(request, entry)


def _notes(entry: Entry) -> Iterator[Missing]:
    """A note that says of a ticked box that nothing was done, or of a panel that is back on that it is off."""
    for note in (each for each in entry.notes if not entry.answer and not LIKE_AN_ENTRY.match(each)):
        if says_left_out(note):
            told = f"`{note[:40]}` under a ticked box: say `not done` with its reason, or take the note away"
            yield Missing(entry.id, told, entry.place)
        elif entry.verb in CLOSING and entry.ticked and says_off(note):
            told = f"`{note[:40]}` under the ticked box `{entry.verb}`: take the tick away, or the note"
            yield Missing(entry.id, told, entry.place)


def _again(entry: Entry) -> Iterator[Missing]:
    """A second look later that does not say at what: it wants a note or a finding beside it."""
    yield from _notes(entry)
    if entry.recheck and not (entry.notes or entry.findings):
        told = "says when to look again, and not at what: a `note` or a finding beside it"
        yield Missing(entry.id, told, entry.place)


def _second_look(request: Request, entry: Entry) -> Iterator[Missing]:
    """The second look of a box: by somebody known, and never by who did it."""
    who = (entry.second_look or "").strip()
    if not who:
        yield _rest(request, entry, "the second look is missing: `second look by`", entry.place, NOT_WRITTEN)
    elif not request.is_known(who):
        yield Missing(entry.id, f"the second look is by {request.stranger(who)}", entry.place)
    elif request.logbook.aircraft.same_person(who, request.doer(entry)):
        told = f"the second look is by {who}, who did it: another pair of eyes is asked"
        if not entry.by:
            told += "; if somebody else did it, name them: `by`"
        yield Missing(entry.id, told, entry.place)
    elif no_other(request.logbook.aircraft, who, request.doer(entry)):
        told = f"the second look is by {who}, and it was done by {request.doer(entry)}"
        two = "if these are two people, write both names in full"
        if not may_be_one(who, request.doer(entry)):
            # One letter is all that keeps them apart.
            two += ", each under `people` of aircraft.yaml"
        elif _are_full_names(who, request.doer(entry)):
            two = "if these are two people, name each under `people` of aircraft.yaml with their certificate number"
        yield Missing(entry.id, f"{told}: {two}", entry.place)


def _are_full_names(one: str, other: str) -> bool:
    """Whether two names are in full, and not the same words: `Ada Bellcrank` and `Ada J. Bellcrank`."""
    first, second = ({word for word in plain_name(each).split() if len(word) > 1} for each in (one, other))
    return min(len(first), len(second)) > 1 and sorted(plain_name(one).split()) != sorted(plain_name(other).split())


def _owed(request: Request) -> Iterator[Missing]:
    """What this page made owed and bars flight, undone: no statement stands over it.

    What bars no flight, comes hours later or is for others to do is said beside the statement and stops nothing.
    """
    for owed in left_owed(request.logbook, request.page):
        check, below = owed.check, box_below(request.logbook, request.page, owed)
        if not at_once(check) or not check.bars_owed.flight or (below is not None and not below.answered):
            continue
        why = f"is owed after {owed.cause} (line {owed.after.place.line})"
        if below is not None:
            yield Missing(check.id, f"{why} and is answered `{below.answer}`: only doing it answers that", below.place)
        elif owed.above is not None:
            told = f"{why}, and its box stands above: do it again, in a box below; `walk` writes one"
            yield Missing(check.id, told, owed.above.place)
        else:
            yield Missing(check.id, f"{why} and has no box: `walk` writes one", owed.after.place)


def _left_out(request: Request) -> Iterator[Missing]:
    """Checks that belong to the inspection and are not on the page."""
    there = {request.logbook.id_now(entry.id) for entry in request.page.checks}
    for check in request.logbook.checks.values():
        if check.retired is None and check.at_inspection(request.page.job) and check.id not in there:
            yield Missing(check.id, f"belongs to the inspection and is not on the page ({check.place})", _end(request))


def _scope(request: Request) -> Iterator[Missing]:
    rule = request.rule
    scope = profile_of(request.logbook.aircraft).scope(rule.scope) if rule else None
    if rule is not None and scope is None:
        yield Missing("", f"the scope `{rule.scope}` of aircraft.yaml is not known here", rule.place)
    if scope is None:
        return
    open_ = [check for entry in request.page.checks if not entry.answered and (check := request.check(entry))]
    never = scope_coverage([*request.done(), *open_], request.logbook.aircraft, scope).missing
    for clause in scope_coverage(request.done(), request.logbook.aircraft, scope).missing:
        rest = "" if clause in never else NOT_COVERED
        yield Missing(clause.code, f"nothing done on this page covers it: {clause.subject}", _end(request), rest)


def _end(request: Request) -> Place:
    return request.page.place
