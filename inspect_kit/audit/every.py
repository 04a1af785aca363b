"""All audits of a store, one after another."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace

from inspect_kit.audit import (
    amendments,
    checklists,
    directives,
    far,
    fittings,
    kinds,
    meters,
    order,
    pages,
    past,
    phases,
    readings,
    reasons,
    records,
    renamed,
    same_day,
)
from inspect_kit.audit.known import Known, known
from inspect_kit.audit.order import never_asked
from inspect_kit.errors import Problem
from inspect_kit.model.in_use import in_use_on
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet

# What these find in a whole sealed record is a note: it was sealed so, and only an amendment can say otherwise. Meters
# that contradict each other stay problems, for every total rests on them.
NOTED: tuple[Callable[[Known], Iterator[Problem]], ...] = (
    records.dates,
    records.references,
    records.reference_names,
    records.clearances,
    records.marked_dates,
    records.results,
    records.gone_people,
    records.certificates,
    records.done_twice,
    records.done_or_not,
    amendments.amendments,
    readings.readings,
    readings.without_limit,
    readings.far_limits,
    readings.unjudged,
    readings.numbers,
    reasons.empty_reasons,
    far.terms,
    far.far_readings,
)
AUDITS = (
    *NOTED,
    records.lost,
    amendments.waiting,
    checklists.panel_references,
    checklists.check_references,
    checklists.unheard,
    checklists.retirements,
    checklists.seldom,
    renamed.side_by_side,
    checklists.aircraft_references,
    order.circles,
    order.phases,
    order.in_the_way,
    order.idle_keys,
    kinds.kind_references,
    far.far_amounts,
    far.far_added,
    far.weighings,
    far.equipment,
    records.without_paper,
    records.withdrawals,
    same_day.same_day,
    same_day.twice_in,
    same_day.told_twice,
    same_day.changed_twice,
    same_day.came_after,
    directives.intervals,
    directives.once,
    directives.asked_too_late,
    directives.grace,
    directives.authorities,
    directives.superseded,
    phases.openings,
    phases.decided_again,
    phases.statements,
    phases.settings,
    phases.flights,
    meters.unknown_meters,
    meters.meter_readings,
    meters.late_clocks,
    past.past,
    past.papers,
    fittings.fittings,
    pages.fronts,
    pages.boxes,
    pages.page_readings,
)


def audit(logbook: Logbook, today: dt.date | None = None) -> tuple[Problem, ...]:
    """Every contradiction between the files of a store, each once, by place; with `today` what is dated later too."""
    names = known(logbook)
    if (book := in_use_on(logbook, today or names.newest)) is not logbook:
        names = known(book)
    sealed = {record.place.file for record in logbook.records if record.seal and record.name not in logbook.broken}
    found = []
    for one in AUDITS:
        for problem in one(names):
            noted = one in NOTED and problem.place.file in sealed
            found.append(replace(problem, note=True) if noted else problem)
    if today is not None:
        found += records.future(names, today)
    return tuple(sorted(set(found), key=lambda problem: (problem.place, problem.message)))


def audit_page(logbook: Logbook, page: Worksheet) -> tuple[Problem, ...]:
    """What an open page alone contradicts in the checklists and the records."""
    names = known(replace(logbook, pages=(page,)))
    found = {problem for one in (pages.fronts, pages.boxes, pages.page_readings) for problem in one(names)}
    return tuple(sorted(found, key=lambda problem: (problem.place, problem.message)))


def meter_problems(logbook: Logbook) -> tuple[Problem, ...]:
    """The contradictions between meters, on which every total rests."""
    names = known(logbook)
    return (*meters.meter_readings(names), *meters.late_clocks(names))


def unasked(logbook: Logbook) -> tuple[Problem, ...]:
    """What may be meant, each as a note, so that no answer is incomplete by it: checks that nothing ever asks for,
    serials that differ by hardly anything, totals stated before a reading was amended, numbers under which was signed,
    what is set or lies on the shelf under nearly another's name, decisions on directives that may be slips, readings
    that may be of a meter which was taken out.
    """
    names = known(logbook)
    found = (*never_asked(names), *fittings.nearly_alike(names), *meters.stated_before(names))
    found += (*records.signed_otherwise(names), *far.odd_items(names), *phases.odd_settings(names))
    found += (*directives.doubts(names), *meters.of_the_one_before(names))
    return tuple(replace(problem, note=True) for problem in found)
