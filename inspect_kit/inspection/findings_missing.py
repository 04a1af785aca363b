"""What a finding on a page still wants before a signature: one written here, and one that stands from before.

The rules behind it are those of `missing`.
"""

from collections.abc import Iterator

from inspect_kit.errors import Place
from inspect_kit.inspection.past_limit import HOW
from inspect_kit.inspection.signing import Request
from inspect_kit.model.finding import Cleared, Finding
from inspect_kit.model.reason import is_no_reason, may_not_wait, word_that_may_not_wait
from inspect_kit.model.worksheet import Entry, Missing
from inspect_kit.rules import signer_refusal


def standing_missing(request: Request, entry: Entry) -> Iterator[Missing]:
    """A finding from before: cleared, or put off again with limit and reason, or still within its limit."""
    finding = request.logbook.findings().get(entry.id)
    if finding is None:
        yield Missing(entry.id, "no record holds this finding", entry.place)
        return
    if entry.id not in request.logbook.standing():
        # Cleared by a record meanwhile, in another clone perhaps: the tick is all that is left to do.
        return
    if entry.cleared is not None and entry.fix is not None:
        yield Missing(entry.id, "is cleared, and put off again by `fix`: which of the two?", entry.place)
    if entry.cleared is not None and entry.may_wait:
        told = f"is cleared, and `{entry.may_wait[:40]}` says why it may wait: which of the two?"
        yield Missing(entry.id, told, entry.place)
    if entry.cleared is not None:
        yield from _cleared(request, entry.id, entry.cleared, entry.place)
        yield from _read_since(request, entry, finding)
        return
    if entry.may_wait and entry.fix is None:
        told = f"says why it may wait, `{entry.may_wait[:40]}`, and not until when: `fix`"
        yield Missing(entry.id, told, entry.place)
    if entry.fix is not None:
        yield from _put_off(request, entry)
        carried = Finding(id=entry.id, text=finding.text, fix=entry.fix, may_wait=entry.may_wait, place=entry.place)
        yield from finding_missing(request, carried)
        return
    if finding.fix.at_inspection == request.page.job or finding.before_flight:
        told = f"was to be fixed {_fix(request, finding)}: say how it was cleared, or until when it may wait and why"
        yield Missing(entry.id, told, entry.place)
    else:
        here = Finding(id=entry.id, text=finding.text, fix=finding.fix, may_wait=finding.may_wait, place=entry.place)
        yield from finding_missing(request, here)


def standing_untold(entry: Entry) -> Iterator[Missing]:
    """What the box of a finding from before says unticked, on a page that is closed: no record would hold it."""
    for key, said in (("cleared", entry.cleared), ("fix", entry.fix), ("may wait because", entry.may_wait)):
        if said:
            told = f"is not ticked, and has `{key}`, which would stand in no record: tick it, or take that out"
            yield Missing(entry.id, told, entry.place)


def finding_missing(request: Request, finding: Finding) -> Iterator[Missing]:
    if finding.cleared is not None:
        yield from _cleared(request, finding.id, finding.cleared, finding.place)
        return
    if request.closing:
        # Whatever was found stays a finding that stands, with or without a limit.
        return
    if finding.fix.before_flight:
        yield Missing(finding.id, f"is to be fixed before flight and is open: {finding.text}", finding.place)
        return
    if may_not_wait(finding.may_wait):
        said = word_that_may_not_wait(finding.may_wait)
        why = f"`{finding.may_wait[:40]}` says that it may not (`{said}`)" if said else "no reason says why"
        yield Missing(finding.id, f"may wait {_fix(request, finding)}, but {why}", finding.place)
    for told in passed_limits(request, finding):
        yield Missing(finding.id, told, finding.place)


def passed_limits(request: Request, finding: Finding) -> Iterator[str]:
    """What is said of the day and of the total by which a finding was to be fixed, where that is past."""
    if finding.fix.by_date is not None and finding.fix.by_date < request.on:
        yield f"was to be fixed {_fix(request, finding)} and is open"
    if finding.fix.by_total is not None:
        meter = finding.fix.meter or request.logbook.aircraft.time_in_service
        total = request.totals().get(meter, request.last_totals.get(meter))
        if total is not None and total > finding.fix.by_total:
            yield f"was to be fixed {_fix(request, finding)}, the total is {total}"


def _put_off(request: Request, entry: Entry) -> Iterator[Missing]:
    """What is on record is put off by whom the limitations let sign an inspection, on a page of other work too."""
    aircraft, signer = request.logbook.aircraft, request.signer
    if signer is None or request.is_inspection:
        return
    refusals = [signer_refusal(aircraft, rule, signer, request.on) for rule in aircraft.inspections.values()]
    if None not in refusals:
        why = next(iter(refusals), "") or "aircraft.yaml names no inspection"
        told = f"is put off again, for which an inspector signs, and {signer.name} is none: {why}"
        yield Missing(entry.id, told, entry.place)


def _read_since(request: Request, entry: Entry, finding: Finding) -> Iterator[Missing]:
    """A finding from before whose check reads past its limit on record is cleared with what this page reads."""
    check = request.logbook.checks.get(request.logbook.id_now(finding.check)) if finding.check else None
    for label, told in request.past.get(check.id, {}).items() if check is not None else ():
        if check is not None and not request.judge.read_on(request.page, check, label):
            why = f"is cleared, and {told} on record: {HOW}: read {label} at `{check.id}`"
            yield Missing(entry.id, f"{why}, here or with `inspect-kit work`", entry.place)


def _cleared(request: Request, name: str, cleared: Cleared, place: Place) -> Iterator[Missing]:
    if cleared.date > request.on:
        yield Missing(name, f"is cleared on {cleared.date}, after {request.on}", place)
    if is_no_reason(cleared.text):
        yield Missing(name, "is cleared, and nothing says how", place)
    elif cleared.undone:
        yield Missing(name, f"is cleared, and `{cleared.text[:40]}` does not say that it was corrected", place)
    if cleared.by and not request.is_known(cleared.by):
        yield Missing(name, f"is cleared by {request.stranger(cleared.by)}", place)


def _fix(request: Request, finding: Finding) -> str:
    return request.logbook.fix_words(finding.fix)
