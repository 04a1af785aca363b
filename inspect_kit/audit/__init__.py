"""What contradicts itself across files: pure functions over the nouns, each yielding problems with their line.

    ids         what has which id, and where an old one leads
    checklists  what checklists and aircraft.yaml name that is not there
    order       circles, phases that contradict each other, limits that count for nothing
    records     dates, ids, people, findings and signatures of records
    kinds       what the kinds told by a table of keys refer to
    meters      meters that run backwards or faster than the clock
    past        what was brought forward, against itself and older records
    fittings    parts removed where they are not, installed where others are
    pages       open pages against the checklists
"""

import datetime as dt
from collections.abc import Callable, Iterator

from inspect_kit.audit import checklists, fittings, kinds, meters, order, pages, past, records
from inspect_kit.audit.ids import Names, names
from inspect_kit.audit.known import Known, known
from inspect_kit.errors import Problem
from inspect_kit.model.logbook import Logbook

__all__ = ["Names", "audit", "names"]

AUDITS: tuple[Callable[[Known], Iterator[Problem]], ...] = (
    checklists.panel_references,
    checklists.check_references,
    checklists.aircraft_references,
    order.circles,
    order.phases,
    order.in_the_way,
    order.idle_keys,
    records.dates,
    records.references,
    records.reference_names,
    records.clearances,
    kinds.references,
    meters.unknown_meters,
    meters.readings,
    past.past,
    fittings.fittings,
    pages.fronts,
    pages.boxes,
    pages.readings,
)


def audit(logbook: Logbook, today: dt.date | None = None) -> tuple[Problem, ...]:
    """Every contradiction between the files of a store, each once, by place; with `today` what is dated later too."""
    names = known(logbook)
    found = [problem for one in AUDITS for problem in one(names)]
    if today is not None:
        found += records.future(names, today)
    return tuple(sorted(set(found), key=lambda problem: (problem.place, problem.message)))
