"""Series of readings that ended because the checklist has another label or another measure for them since."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.fitting import all_fittings
from inspect_kit.due.slope import FEWEST_POINTS
from inspect_kit.due.trends import OneRead, collected
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Check, Reads
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class EndedSeries:
    """What a check reads as `label`, of which little is on record, and the series `before` it that ended; of a label
    whose measure is another now that is its own.
    """

    check: Check
    label: str
    reads: Reads
    read: int
    before: Mapping[str, Sequence[OneRead]]


def relabelled(logbook: Logbook) -> tuple[EndedSeries, ...]:
    """Every series that goes on under another label or in another measure, until that one has a slope of its own."""
    return logbook.once("relabelled", lambda: tuple(_relabelled(logbook)))


def _relabelled(logbook: Logbook) -> Iterator[EndedSeries]:
    if not _is_any_other(logbook):
        return
    book = chronicle(logbook)
    by_check: dict[str, dict[str, list[OneRead]]] = {}
    for (name, label), values in collected(book, all_fittings(book)).items():
        by_check.setdefault(name, {})[label] = values
    for name, found in by_check.items():
        check = logbook.checks[name]
        known = {*check.asked, *(each.label for each in check.reckons)}
        gone = {label: values for label, values in found.items() if label not in known}
        for label in dict.fromkeys(label for reads in check.reads for label in reads.labels):
            reads = check.asked[label]
            values = found.get(label, [])
            own = [each for each in values if each.reading.measure == reads.measure]
            other = [each for each in values if each.reading.measure != reads.measure]
            if reads.in_words or len(own) >= FEWEST_POINTS:
                continue
            before = {label: other} if other else {}
            if not other:
                before = {old: each for old, each in gone.items() if each[-1].reading.measure == reads.measure}
            # What was read beside it was something else.
            before = {
                old: each for old, each in before.items() if not own or each[-1].taken.date < own[0].taken.date
            }
            if before:
                yield EndedSeries(check=check, label=label, reads=reads, read=len(own), before=before)


def _is_any_other(logbook: Logbook) -> bool:
    """Whether any reading on record has a label or a measure that its check has not: in nearly no store."""
    taken = {(each.check, each.label, each.measure) for page in logbook.of_kind(PageRecord) for each in page.readings}
    for name, label, measure in taken:
        check = logbook.checks.get(logbook.id_now(name))
        if check is None or check.retired is not None or any(each.label == label for each in check.reckons):
            continue
        if label not in check.asked or check.asked[label].measure != measure:
            return True
    return False


def ended_series(logbook: Logbook) -> tuple[Problem, ...]:
    """A note for each check with such series, and what to do."""
    by_check: dict[str, list[EndedSeries]] = {}
    for each in relabelled(logbook):
        by_check.setdefault(each.check.id, []).append(each)
    found = []
    for ends in by_check.values():
        before = {old: values for each in ends for old, values in each.before.items()}
        last = max(values[-1].taken.date for values in before.values())
        old, new = ", ".join(f"`{label}`" for label in before), ", ".join(f"`{each.label}`" for each in ends)
        what = f"{old} {'was' if len(before) == 1 else 'were'} read until {last}"
        change = next(filter(None, map(_change, ends)), "")
        lost = f"`trend` and `{change}` begin anew" if change else "`trend` begins anew"
        if ends[0].label in before:
            was = before[ends[0].label][-1].reading.measure
            told = f"{what} in {was}, and the check asks for {ends[0].reads.measure} now: {lost}"
            cure = "the old measure again goes on; in the new one it is a new series"
        else:
            told = f"{what}, and the check asks for {new} now: {lost}"
            cure = "where that is the same, the old label goes on; else it is a new series"
        found.append(Problem(ends[0].check.place, f"reads: {told}; {cure}", note=True))
    return tuple(found)


def begins_anew(logbook: Logbook, check: Check, labels: Collection[str]) -> str:
    """That a change of readings is compared with nothing, though they were read before, by other names or in another
    measure; "" where that is not so.
    """
    found = [each for each in relabelled(logbook) if each.check.id == check.id and each.label in labels]
    found = [each for each in found if not each.read and _change(each)]
    if not found:
        return ""
    before = {old: values[-1] for each in found for old, values in each.before.items()}
    last = max(each.taken.date for each in before.values())
    own = found[0].label in before
    how = f"in {before[found[0].label].reading.measure}" if own else f"as {', '.join(before)}"
    was = f"{', '.join(each.label for each in found)} {'was' if len(found) == 1 else 'were'} read {how} until {last}"
    return f"{was}: `{_change(found[0])}` compares this with nothing."


def _change(ended: EndedSeries) -> str:
    bound = ended.reads.bound
    return str(bound.change) if bound is not None and bound.change is not None else ""
