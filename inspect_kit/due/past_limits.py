"""Readings past their limit that nothing within it followed, and findings that were cleared all the same.

A finding that a reading past its limit raised is cleared with what that measure reads since: words alone show nothing.
A part that was taken out takes its readings along.
"""

from collections.abc import Iterable, Mapping, Set

from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.trends import InTurn, readings_in_turn
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import Bound
from inspect_kit.model.finding import Finding, Reading
from inspect_kit.model.found import found_at
from inspect_kit.model.kinds.inspection import is_not_passed
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Judged
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PastLimit:
    """The last value of a label on the part that is there now, past its limit; `record` is where it stands.

    `told` is `cylinder 3 is 58 psi, the limit is at least 60`.
    """

    label: str
    record: str
    told: str


def past_limits(logbook: Logbook, checks: Iterable[str] | None = None) -> dict[str, dict[str, PastLimit]]:
    """What reads past its limit now, by today's id of the check and by label; of these checks, or of all."""
    keys = _ever_past(logbook)
    if checks is not None:
        wanted = {*checks}
        keys = {(check, label) for check, label in keys if check in wanted}
    if not keys:
        return {}
    after, book = _after(logbook), chronicle(logbook)
    last: dict[tuple[str, str], InTurn] = {}
    for one in readings_in_turn(book, sorted(keys)):
        before = last.get((one.check, one.reading.label))
        if not one.there or (before is not None and _comes_after(before, one, after)):
            continue
        if before is not None and _told(logbook, before) and not _surely_read_after(book, one, before, after):
            # Which was read last the names of the files do not say: what is past its limit counts.
            continue
        last[one.check, one.reading.label] = one
    found: dict[str, dict[str, PastLimit]] = {}
    for (check, label), one in last.items():
        if told := _told(logbook, one):
            found.setdefault(check, {})[label] = PastLimit(label=label, record=one.record, told=told)
    return found


After = Set[tuple[str, str]]
ANY = ""


def _after(logbook: Logbook) -> After:
    """Records that come after others of their day by what they say: what clears a finding after what raised it, and
    what a page became after the list of discrepancies that it was before. `ANY` is a finding that came alone."""
    found = set()
    own = {each.name: each for each in logbook.of_kind(PageRecord)}
    for record in own.values():
        for reference in record.clears:
            raised = reference.rpartition("#")[0]
            found.add((record.name, raised if raised in own else ANY))
        if not is_not_passed(record):
            found |= {(record.name, each.name) for each in logbook.sealed_before().get(record.name, ())}
    return found


def _surely_read_after(book: Chronicle, one: InTurn, before: InTurn, after: After) -> bool:
    """Whether a value was read after another one, by its day, its meters or what the records say."""
    if one.record == before.record or (one.record, before.record) in after or (one.record, ANY) in after:
        return True
    return book.moments[before.record].clearly_before(book.moments[one.record], book.clock)


def _comes_after(before: InTurn, one: InTurn, after: After) -> bool:
    """Whether what the meters and names put first was read last all the same."""
    if before.when.date != one.when.date or before.record == one.record:
        return False
    return (before.record, one.record) in after or (before.record, ANY) in after


def _ever_past(logbook: Logbook) -> set[tuple[str, str]]:
    """The labels of checks in use that ever read past a plain limit: others need no look."""
    found = set()
    for record in logbook.of_kind(PageRecord):
        for reading in record.readings:
            number = reading.number
            if number is None:
                continue
            check = logbook.id_now(reading.check)
            bound = _bound(logbook, check, reading)
            if bound is not None and not bound.holds(number):
                found.add((check, reading.label))
    return found


def _bound(logbook: Logbook, check: str, reading: Reading) -> Bound | None:
    """The limit beside a reading, of its own day; where none stands there, the plain one of its check today."""
    if reading.bound is not None:
        return reading.bound
    noun = logbook.checks.get(check)
    if noun is None:
        return None
    reckoned = (each for each in noun.reckons if each.label == reading.label)
    asked = noun.asked.get(reading.label) or next(reckoned, None)
    fits = asked is not None and asked.bound is not None and not asked.bound.table
    return asked.bound if asked is not None and fits and reading.is_in(asked.measure) else None


def _told(logbook: Logbook, one: InTurn) -> str:
    """How a value is past its limit; "" where it is not, or where its check asks for it no more."""
    reading, check = one.reading, logbook.checks[one.check]
    bound = _bound(logbook, one.check, reading)
    known = reading.label in check.asked or any(each.label == reading.label for each in check.reckons)
    if bound is None or not known or bound.holds(one.value):
        return ""
    judged = Judged(label=reading.label, measure=reading.measure, value=one.value)
    return f"{judged.told}, the limit is {bound}"


def _check_of(logbook: Logbook, finding: Finding) -> str:
    return logbook.id_now(finding.check) if finding.check else ""


def cleared_problems(logbook: Logbook) -> tuple[Problem, ...]:
    """Findings that were cleared while what was read at their check is still past its limit, each at its clearing.

    One of a check that still stands, on an open page too, says enough.
    """
    if not (keys := _ever_past(logbook)):
        return ()
    at = _cleared_at(logbook, {check for check, _ in keys})
    standing = {_check_of(logbook, each) for each in logbook.standing().values()}
    on_pages = {
        logbook.id_now(entry.id)
        for page in logbook.pages
        for entry in page.checks
        if any(finding.stands for finding in entry.findings)
    }
    checks = at.keys() - standing - on_pages
    if not checks:
        return ()
    records = {record.name: record for record in logbook.of_kind(PageRecord)}
    found = []
    for check, labels in past_limits(logbook, checks).items():
        out = [each for each in labels.values() if check in found_at(logbook, records[each.record])]
        if out:
            reference, place, sealed = at[check]
            told = "; ".join(each.told for each in out)
            named = "" if any(reference.startswith(f"{each.record}#") for each in out) else f" ({out[0].record})"
            why = f"{reference} was cleared, and at `{check}` nothing was read since that is within its limit: {told}"
            found.append(Problem(place, f"clears: {why}{named}", note=sealed))
    return tuple(found)


def _cleared_at(logbook: Logbook, checks: set[str]) -> Mapping[str, tuple[str, Place, bool]]:
    """Of each of these checks the finding that was cleared last: its reference, the line, and whether it is sealed."""
    known = logbook.findings()
    sealed = {each.name for each in logbook.records if each.seal is not None and each.name not in logbook.broken}
    found: dict[str, tuple[str, Place, bool]] = {}
    for record in logbook.records:
        own = [name for name in known if name.rpartition("#")[0] == record.name and known[name].cleared]
        cleared = {name: known[name].place for name in own}
        if isinstance(record, PageRecord):
            cleared |= {name: place_of(record, "clears") for name in record.clears if name in known}
        for name, place in cleared.items():
            if (check := _check_of(logbook, known[name])) in checks:
                found[check] = (name, place, record.name in sealed)
    return found
