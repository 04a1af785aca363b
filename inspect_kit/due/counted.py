"""Which inspections on record count, and why others do not: not passed, not signed, seal broken, tick taken back."""

from collections.abc import Iterable, Mapping

from inspect_kit.due.moments import Moment
from inspect_kit.model.aircraft import plain_name
from inspect_kit.model.checklist import INSPECTOR, OTHERS, Check
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.other_eyes import no_other
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

# Why an inspection on record does not count.
NOT_PASSED, UNSIGNED, BROKEN_SEAL, TAKEN_BACK = "not passed", "not signed", "seal broken", "tick taken back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncounted:
    """An inspection on record that does not count: the sort of reason, and the reason in words."""

    record: Inspection
    moment: Moment
    sort: str
    why: str


def why_uncounted(
    record: Inspection,
    moment: Moment,
    done: Mapping[str, Iterable[Moment]],
    logbook: Logbook,
    before: Iterable[str] = (),
) -> tuple[str, str]:
    """Why an inspection does not count, by its sort and in words; empty words when it does. `before` are the ticks that
    were taken back of what its page was sealed as before it.
    """
    if record.name in logbook.broken:
        return BROKEN_SEAL, f"its seal does not hold: {logbook.broken[record.name]}"
    if not record.passed:
        return NOT_PASSED, "not passed"
    if not logbook.is_signed(record.name):
        refused = [logbook.verdict(each).words for each in logbook.signatures(record.name)]
        told = f"its signature is none: {'; '.join(refused)}" if refused else "signature not recorded"
        return UNSIGNED, f"sealed, {told}"
    open_ = _taken_back(record, moment, done, logbook, before)
    told = f"{', '.join(open_)} {'was' if len(open_) == 1 else 'were'} not done, as an amendment says"
    return (TAKEN_BACK, told) if open_ else ("", "")


def _taken_back(
    record: Inspection,
    moment: Moment,
    done: Mapping[str, Iterable[Moment]],
    logbook: Logbook,
    before: Iterable[str],
) -> list[str]:
    """The checks of an inspection that an amendment says were not done, and that were not done after it either."""
    amended = logbook.amended.get(record.name)
    open_ = []
    for name in dict.fromkeys((*(amended.taken_back() if amended else ()), *before)):
        check = logbook.checks.get(logbook.id_now(name))
        belongs = check is None or check.covers or check.at_inspection(record.inspection)
        since = [later for later in done.get(logbook.id_now(name), ()) if later.order > moment.order]
        if belongs and not any(_may_answer(later, check, record, logbook) for later in since):
            open_.append(f"`{name}`")
    return open_


def _may_answer(later: Moment, check: Check | None, of: Inspection, logbook: Logbook) -> bool:
    """Whether a doing makes good what an inspection left: an inspector's check is done by whom its signers name, one
    that wants a second look has it.

    What stands on an inspection's own page was asked about when that was signed; of whom no kind is known nobody can
    say that they may not.
    """
    made = logbook.record(later.record)
    if check is not None and check.second_look and not (made is not None and _looked_at_twice(made, check, logbook)):
        return False
    rule = logbook.aircraft.inspections.get(of.inspection)
    signers = {plain_name(kind) for kind in (*of.signers, *(rule.signers if rule else ()))}
    if (check is not None and check.who != INSPECTOR) or isinstance(made, Inspection) or not signers:
        return True
    kind = logbook.aircraft.kind_of(made.by) if made is not None and made.by is not None else ""
    return not kind or plain_name(kind) in signers


def _looked_at_twice(record: Record, check: Check, logbook: Logbook) -> bool:
    """Whether somebody else looked, whose name is written down: `TBD` or the doer's initials are no other eyes."""
    # What is for others has its paper: whoever signs for the page did not do it.
    doer = record.by.name if record.by and check.who != OTHERS else ""
    return any(
        each.second_look and not no_other(logbook.aircraft, each.second_look, each.by or doer)
        for each in (record.results if isinstance(record, PageRecord) else ())
        if logbook.id_now(each.check) == check.id
    )


def since_counted(
    uncounted: Mapping[str, list[Uncounted]], counted: Mapping[str, tuple[Moment, ...]], logbook: Logbook
) -> dict[str, tuple[Uncounted, ...]]:
    """The checks of an inspection that do not count, and that nothing later made good.

    A page that did not pass may pass on the same day; that it was the other way round is known by the seals.
    """
    found: dict[str, tuple[Uncounted, ...]] = {}
    for name, each in uncounted.items():
        last = counted[name][-1] if name in counted else None
        record = logbook.record(last.record) if last else None
        seal = record.seal.sha256 if record is not None and record.seal else None
        found[name] = tuple(
            attempt
            for attempt in sorted(each, key=lambda attempt: (attempt.moment.order, attempt.record.name))
            if last is None
            or attempt.moment.order > last.order
            or (attempt.record.seal is not None and seal in attempt.record.seal.after)
        )
    return found
