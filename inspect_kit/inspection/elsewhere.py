"""What a statement has to do with that stands elsewhere than on its page: what the page was sealed with before it
passed, findings in other records, and other pages that are open.
"""

from collections.abc import Iterator

from inspect_kit.inspection.findings_missing import passed_limits
from inspect_kit.inspection.past_limit import AGAIN
from inspect_kit.inspection.signing import Request
from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.worksheet import MAKE, Missing


def as_sealed(request: Request) -> Iterator[Missing]:
    """What this page was sealed with before, not passed, and what stands on it no more as it was: nobody cleared it."""
    boxes = {entry.id for entry in request.page.entries if entry.is_standing}
    standing = request.logbook.standing()
    for early in _sealed_before(request):
        for finding in early.findings:
            reference = f"{early.name}#{finding.id}"
            if reference in standing and reference not in boxes:
                told = f"was sealed in {early.place.file} and is not on the page as it was: write it again, "
                under = f"`- found: {finding.id} {finding.text}` under `{finding.check or finding.panel}`"
                yield Missing(finding.id, f"{told}{under}, and say there how it was cleared", request.page.place)
        were_open = {finding.id for finding in early.findings if finding.cleared is None}
        for own in (finding for entry in request.page.entries for finding in entry.findings):
            if own.id in were_open and own.cleared is not None and own.cleared.date < early.date:
                told = f"was sealed as open in {early.place.file} of {early.date}, and is cleared on {own.cleared.date}"
                yield Missing(own.id, f"{told}: write the day on which it was cleared since", own.place)
        for reading in early.readings:
            yield from _read_as_sealed(request, early, reading)


def _read_as_sealed(request: Request, early: Inspection, reading: Reading) -> Iterator[Missing]:
    """A reading out of its limit that was sealed stays; what it reads since is a second value."""
    now, sealed = request.logbook.id_now, [reading.value, *reading.again]
    if not reading.out_of_limits or reading.reckoned:
        return
    for entry in request.page.checks:
        if now(entry.id) == now(reading.check):
            for each in entry.readings:
                if each.label == reading.label and [each.value, *each.again][: len(sealed)] == sealed:
                    return
    told = f"{reading.label} was sealed in {early.place.file} as {reading.last} {reading.measure}"
    cure = f"and is not on the page: write it as it was, and what it reads now below it ({AGAIN})"
    yield Missing(reading.check, f"{told}, {cure}", request.page.place)


def was_sealed(request: Request) -> bool:
    """Whether this page was sealed before, not passed."""
    return any(_sealed_before(request))


def _sealed_before(request: Request) -> Iterator[Inspection]:
    """What this page was sealed as before, not passed."""
    sheet = (request.page.name, request.page.begun)
    for early in request.logbook.of_kind(Inspection):
        if not early.passed and request.logbook.page_of(early) == sheet:
            yield early


def standing_elsewhere(request: Request) -> Iterator[Missing]:
    """Findings of other records that no statement stands over, and that have no box on the page."""
    there = {entry.id for entry in request.page.entries if entry.is_standing}
    # What was found on this very page has its place on it, and wants no box.
    there |= {f"{early.name}#{finding.id}" for early in _sealed_before(request) for finding in early.findings}
    # What was found after the day that is signed is no matter of that day.
    later = {record.name for record in request.logbook.records if record.date > request.on}
    for reference, finding in request.logbook.standing().items():
        due_now = finding.before_flight or finding.fix.at_inspection == request.page.job
        past = next(passed_limits(request, finding), "")
        if (due_now or past) and reference not in there and reference.partition("#")[0] not in later:
            told = f"is open since {finding.place} and has no box on the page: {finding.text}"
            cure = f"say how it was corrected, `inspect-kit finding {reference} --cleared HOW`"
            yield Missing(reference, f"{f'{past}; it ' if past else ''}{told}; {cure}", request.page.place)


def on_other_pages(request: Request) -> Iterator[Missing]:
    """What another page that is open holds off or found: a statement speaks of the whole aircraft."""
    for page in request.logbook.pages:
        if page.place.file == request.page.place.file or page.begun > request.on:
            continue
        for name in page.panels_off():
            entry = next(entry for entry in page.entries if entry.id == name)
            what = "is set up" if entry.verb == MAKE else "is off"
            told = f"{what} on another open page ({entry.place}): end that there first"
            yield Missing(name, told, request.page.place)
        for finding in (finding for entry in page.entries for finding in entry.findings):
            told = next(passed_limits(request, finding), "")
            told = "is to be fixed before flight" if finding.before_flight else told
            if told and finding.cleared is None:
                where = f"{told}, on another open page ({finding.place}): {finding.text}"
                yield Missing(finding.id, f"{where}; clear it there", request.page.place)
    for place in request.logbook.unread:
        if place.file != request.page.place.file:
            told = f"{place.file} is an open page that cannot be read, and something may be off or found on it"
            yield Missing("page", f"{told}: `inspect-kit verify` says what is wrong", request.page.place)
