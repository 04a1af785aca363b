"""What open pages say that the checklists and the records do not bear out."""

import re
from collections.abc import Iterable, Iterator, Sequence

from inspect_kit.audit.known import (
    CHECK,
    PANEL,
    Known,
    each_fault,
    fix_fault,
    missing_ever,
    undisturbable,
    unknown_meter,
)
from inspect_kit.audit.readings import astray_words
from inspect_kit.errors import Place, Problem
from inspect_kit.model.checklist import PLACE_FILE, SETUP, Bound, Check, Reads, decimal
from inspect_kit.model.finding import NOT_DONE, Reading
from inspect_kit.model.lines import place_of
from inspect_kit.model.owed import causes, deeds
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import CLOSING, JOB_WORK, OPENING, Entry, Loose, Worksheet
from inspect_kit.text.grammar import did_you_mean, with_blank
from inspect_kit.text.spelling import Keys, flat, spellings


def fronts(names: Known) -> Iterator[Problem]:
    """Whose page it is, for which job, and with which meters."""
    aircraft = names.aircraft
    for page in names.logbook.pages:
        if page.registration and page.registration != aircraft.identity.registration:
            told = f"aircraft: this page is of `{page.registration}`, the store is of {aircraft.identity.registration}"
            yield Problem(place_of(page, "aircraft"), told)
        if page.job != JOB_WORK and page.job not in aircraft.inspections:
            hint = did_you_mean(page.job, (JOB_WORK, *aircraft.inspections))
            told = f"job: `{page.job}` is neither `work` nor an inspection of aircraft.yaml{hint}"
            yield Problem(place_of(page, "job"), told)
        for meter in page.meters:
            yield from each_fault(place_of(page, "meters", meter), (unknown_meter(names, meter),), "meters")


def boxes(names: Known) -> Iterator[Problem]:
    """Boxes of checks, panels and findings that are not there, and boxes that stand twice or contradict themselves."""
    for page in names.logbook.pages:
        seen: dict[str, int] = {}
        for at, entry in enumerate(page.entries):
            fault = _unknown(names, entry)
            if fault is not None:
                what = f"`{entry.id}` is ticked here: {fault}" if entry.answered else fault
                yield Problem(entry.place, what)
            # A check may be ticked and called not applicable; a panel that is ticked came off, or is on again.
            if entry.ticked and entry.answer and (entry.answer == NOT_DONE or entry.is_panel):
                yield Problem(entry.place, f"`{entry.id}` is ticked, and says `{entry.answer}`: which of the two?")
            if not entry.is_panel:
                first = seen.get(names.logbook.id_now(entry.id))
                if first is not None and not _owed_between(names, entry, page.entries[first + 1 : at]):
                    line = page.entries[first].place.line
                    yield Problem(entry.place, f"`{entry.id}` has a box already in line {line}")
                seen[names.logbook.id_now(entry.id)] = at
            yield from _below(names, page, entry)
        yield from _put_back(names, page)


def _owed_between(names: Known, again: Entry, between: Sequence[Entry]) -> bool:
    """Whether a box between two of one check makes it owed: then it is done again."""
    logbook, now = names.logbook, names.logbook.id_now
    check = logbook.checks.get(now(again.id))
    if check is None:
        return False
    done = deeds(
        logbook.checks,
        logbook.panels,
        did=[now(entry.id) for entry in between if entry.is_check],
        closed=[now(entry.id) for entry in between if entry.verb in CLOSING],
        disturbed=[now(what) for entry in between for what in entry.disturbed],
    )
    return bool(causes(check, done))


def _unknown(names: Known, entry: Entry) -> str | None:
    if entry.is_standing:
        return _not_standing(names, entry)
    if entry.is_check:
        fault = missing_ever(names, (CHECK,), entry.id)
        return f"{fault}. Whatever it was, it is in no checklist" if fault and entry.answered else fault
    fault = missing_ever(names, (PANEL,), entry.id)
    panel = names.logbook.panels.get(names.logbook.id_now(entry.id))
    if fault is not None or panel is None:
        return fault
    if panel.kind == PLACE_FILE:
        return f"nothing comes off at `{entry.id}`"
    if entry.verb not in panel.verbs:
        what = "a setup" if panel.kind == SETUP else "a panel"
        return f"`{entry.id}` is {what}: expected `{panel.verbs[0]}` or `{panel.verbs[1]}`, not `{entry.verb}`"
    return None


def _not_standing(names: Known, entry: Entry) -> str | None:
    """Why the box of a finding from before cannot be; cleared elsewhere as well, perhaps in another clone, it may."""
    finding = names.findings.get(entry.id)
    if finding is None:
        return names.no_finding(entry.id)
    if finding.cleared is not None:
        return f"the finding `{entry.id}` is cleared already in {finding.place}"
    by = next((record for record in names.logbook.of_kind(PageRecord) if entry.id in record.clears), None)
    if by is None or entry.fix is None or entry.cleared is not None or entry.id in names.logbook.standing():
        return None
    return f"the finding `{entry.id}` is put off again, and is cleared already in {by.place.file}"


def _below(names: Known, page: Worksheet, entry: Entry) -> Iterator[Problem]:
    """What stands under a box: limits of findings, when they were cleared, things disturbed."""
    for finding in entry.findings:
        yield from each_fault(finding.place, (fix_fault(names, finding.fix, page.begun),), "fix")
        if finding.cleared is not None and finding.cleared.date < page.begun:
            told = f"cleared: {finding.cleared.date} is before {page.begun}, when the job was begun"
            yield Problem(finding.place, told)
    found_in = names.by_name.get(entry.id.rpartition("#")[0]) if entry.is_standing else None
    if entry.cleared is not None and found_in is not None and entry.cleared.date < found_in.date:
        told = f"cleared: {entry.cleared.date} is before {found_in.date}, when it was found ({found_in.place})"
        yield Problem(entry.place, told)
    if entry.fix is not None:
        yield from each_fault(entry.place, (fix_fault(names, entry.fix, page.begun),), "fix")
    yield from each_fault(entry.place, (undisturbable(names, word) for word in entry.disturbed), "disturbed")


def _put_back(names: Known, page: Worksheet) -> Iterator[Problem]:
    """Panels that went back more often than they came off."""
    balance: dict[str, int] = {}
    last: dict[str, Entry] = {}
    for entry in page.entries:
        if entry.is_panel and entry.ticked:
            panel = names.logbook.id_now(entry.id)
            opening = entry.verb in OPENING
            balance[panel] = balance.get(panel, 0) + (1 if opening else -1)
            if not opening:
                last[panel] = entry
    for panel, count in balance.items():
        if count < 0:
            entry = last[panel]
            done = "undone" if entry.verb == "undo" else "back on"
            before = "made" if entry.verb == "undo" else "taken off"
            yield Problem(entry.place, f"`{panel}` is ticked as {done} more often than as {before}")


def page_readings(names: Known) -> Iterator[Problem]:
    """Readings that are no number, that no check asks for, or with another bound than the checklist's."""
    for page in names.logbook.pages:
        for entry in page.checks:
            check = names.logbook.checks.get(names.logbook.id_now(entry.id))
            if check is not None:
                yield from _readings(check, entry.readings)
                yield from unknown_labels(check, entry.repaired, entry.place)
        for entry in page.entries:
            yield from _nothing_to_do_again(entry)
        # Once for a page: each of thousands of lines may stand in no box.
        anywhere = _labels(names, page.checks)
        for loose in page.loose:
            own = anywhere if loose.box is None else _labels(names, (page.entries[loose.box],))
            yield from _lost_readings(loose, own)


def _labels(names: Known, boxes: Iterable[Entry]) -> Keys:
    checks = (names.logbook.checks.get(names.logbook.id_now(entry.id)) for entry in boxes)
    return Keys(label for check in checks if check is not None for reads in check.reads for label in reads.labels)


def unknown_labels(check: Check, repaired: Iterable[str], place: Place) -> Iterator[Problem]:
    """Labels said to be repaired that the check does not know."""
    known = [label for reads in check.reads for label in reads.labels]
    known += [reckons.label for reckons in check.reckons]
    for label in repaired:
        if label not in known:
            told = f"repaired: `{label}` is no reading of `{check.id}`{did_you_mean(label, known)}"
            yield Problem(place, told)


def _nothing_to_do_again(entry: Entry) -> Iterator[Problem]:
    """A finding under a panel that is to be looked at again: only a check can be done again."""
    if not entry.is_check:
        for finding in entry.findings:
            if finding.recheck:
                yield Problem(finding.place, f"recheck: {finding.id} stands under no check, which could be done again")


def _lost_readings(loose: Loose, labels: Keys) -> Iterator[Problem]:
    """A line of no box that begins with the label of a reading: of its own check, or of any where it stands alone."""
    for spelled in spellings(flat(loose.text)):
        if label := labels.meant(spelled.key) or labels.near(spelled.key):
            told = f"`{spelled.key}` is not read here: write `- {label}: ...`, indented below its box"
            yield Problem(loose.place, told)
            return


def _readings(check: Check, written: Iterable[Reading]) -> Iterator[Problem]:
    asked = {label: reads for reads in check.reads for label in reads.labels}
    seen: dict[str, Place] = {}
    for reading in written:
        reads = asked.get(reading.label)
        if reads is None:
            # The readers of files, and YAML below them, are wanted by hardly any store.
            from inspect_kit.text.worksheet import KNOWN

            hint = did_you_mean(reading.label, (*asked, *KNOWN))
            told = f"`{reading.label}` is no reading that `{check.id}` asks for, and no key of a box{hint}"
            yield Problem(reading.place, told)
            continue
        if reading.label in seen:
            told = f"`{reading.label}` stands twice under `{check.id}`: a second value is `again`, indented below it"
            yield Problem(reading.place, told)
        seen[reading.label] = reading.place
        if not reads.in_words:
            yield from each_fault(reading.place, _faults(reading, reads), reading.label)
            # A value that is no number at all is told above.
            astray = () if any(map(_is_none, _values(reading))) else reading.astray(reads.measure)
            for place, value, second in astray:
                yield Problem(place, f"{reading.label}: {astray_words(value, second, reads.measure)}")


def _faults(reading: Reading, reads: Reads) -> Iterator[str | None]:
    """What is wrong with one reading that has to be a number."""
    bad = [value for value in _values(reading) if _is_none(value)]
    yield from (f"`{value[:40]}` is no number{with_blank(value)}" for value in bad)
    if bad:
        return
    # Who writes `76` alone leaves measure and limit to the checklist; only what is written can contradict it.
    if reading.measure and reading.measure != reads.measure:
        yield f"is in {reading.measure}, and the check asks for {reads.measure}"
    if reads.bound is not None and reading.bound is not None and _weaker(reading.bound, reads.bound):
        yield f"the page says ({reading.bound}), the checklist ({reads.bound})"


def _values(reading: Reading) -> list[str]:
    return [value for value in (reading.value, *reading.again) if value]


def _is_none(value: str) -> bool:
    """Whether a value begins with no number."""
    match = re.match(r"-?[0-9.]+(?=\s|$)", value)
    return match is None or decimal(match.group()) is None


def _weaker(page: Bound, checklist: Bound) -> bool:
    """Whether the page lets a value pass that the checklist would not."""
    if (checklist.table, checklist.at) != (page.table, page.at) and checklist.table:
        return True
    low = checklist.low is not None and (page.low is None or page.low < checklist.low)
    return low or (checklist.high is not None and (page.high is None or page.high > checklist.high))
