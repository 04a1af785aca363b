"""Directives against the checks whose arithmetic they use: one that comes later than its directive asks hides it."""

from collections.abc import Iterator

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import CALENDAR_MONTHS, AtInspection, Limit
from inspect_kit.model.kinds.directive import YES, Directive
from inspect_kit.model.lines import place_of
from inspect_kit.model.measured import DAYS_OF


def intervals(names: Known) -> Iterator[Problem]:
    """Of every decision that counts and says that the directive applies: each limit is kept by the check it names."""
    newest: dict[tuple[str, ...], Directive] = {}
    now = names.logbook.id_now
    for record in names.logbook.of_kind(Directive):
        key = (_words(record.number), now(record.on), _words(record.part), record.serial)
        if key not in newest or _order(record) > _order(newest[key]):
            newest[key] = record
    for record in newest.values():
        check = names.logbook.checks.get(now(record.check))
        if check is None or record.applies.word != YES:
            continue
        if check.retired is not None:
            told = f"`{check.id}` is retired since {check.retired.date}: name the check that does it now"
            yield Problem(place_of(record, "check"), f"check: {told}")
            continue
        own = [*_limits(names, check)]
        for limit in record.every:
            if isinstance(limit, Limit) and not any(_keeps(names, each, limit) for each in own):
                comes = " or ".join(map(str, own)) or "only when it is named"
                told = f"asks for it every {limit}, and `{check.id}` comes {comes}: it would be told too late"
                yield Problem(place_of(record, "every"), f"every: {told}")


def _order(record: Directive) -> tuple[object, ...]:
    return record.date, record.entered or record.date, record.name


def _words(text: str) -> str:
    return " ".join(text.casefold().split())


def _limits(names: Known, check: Check) -> Iterator[Limit]:
    """The limits of a check, those of the inspections that it comes with too."""
    for term in (*check.every, *check.life):
        if isinstance(term, Limit):
            yield term
        elif isinstance(term, AtInspection) and term.name in names.aircraft.inspections:
            yield from (each for each in names.aircraft.inspections[term.name].every if isinstance(each, Limit))


def _keeps(names: Known, own: Limit, asked: Limit) -> bool:
    """Whether what keeps to one limit keeps to another: on one meter, or by the calendar in whatever unit."""
    if own.is_calendar != asked.is_calendar:
        return False
    if own.unit == asked.unit:
        meters = (names.aircraft.meter_of(each.unit, each.meter) for each in (own, asked))
        return own.number <= asked.number and (own.is_calendar or len({*meters}) == 1)
    if not own.is_calendar:
        return False
    # Calendar months run to the end of the last one: up to a month more.
    more = DAYS_OF[CALENDAR_MONTHS] if own.unit == CALENDAR_MONTHS else 0
    return float(own.number) * DAYS_OF[own.unit] + more <= float(asked.number) * DAYS_OF[asked.unit]
