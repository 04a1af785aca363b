"""A year flown and kept on paper: what the due engine says on the way is what an owner would have read."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_kit.due import PAST_DUE, chronicle, due
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import NONE_OPENED
from inspect_kit.model.record import Record
from inspect_kit.visits import Visit, VisitPlan
from inspect_kit.visits.outlook import outlook

EVERY_DAYS = 20


def until(logbook: Logbook, on: dt.date) -> Logbook:
    """The logbook as it stood on a day."""
    records = tuple(record for record in logbook.records if record.date <= on)
    return replace(logbook, records=records, pages=tuple(page for page in logbook.pages if page.begun <= on))


def added(logbook: Logbook, *records: Record) -> Logbook:
    everything = (*logbook.records, *records)
    return replace(logbook, records=tuple(sorted(everything, key=lambda record: (record.date, record.name))))


def written(visit: Visit, logbook: Logbook, meters: Mapping[str, Decimal]) -> Iterator[Record]:
    """The records that an owner would write after a visit: the inspection signed, new parts fitted and marked."""
    place = logbook.aircraft.place
    name = f"{visit.on}-planned"
    marked = {check: visit.on + dt.timedelta(days=3650) for check in visit.checks if logbook.checks[check].marked}
    common = {"date": visit.on, "meters": meters, "place": place}
    page = {**common, "did": visit.checks, "next": marked, "clears": visit.findings}
    inspections = [each for each in visit.names if each in logbook.aircraft.inspections]
    if inspections:
        yield Inspection(
            name=name,
            inspection=inspections[0],
            passed=True,
            identity=logbook.aircraft.identity,
            basis="",
            statement="",
            **page,
        )
        yield Signature(name=f"{name}-ink", of=name, ink="airframe log p. 1", **common)
    else:
        # What panels disturb is no matter of the visits: the owner is taken to have answered for it.
        yield Work(name=name, opened=(NONE_OPENED,), **page)
    for check in (logbook.checks[each] for each in visit.names if each in logbook.checks):
        if check.life and check.counts_on:
            serial = f"new-{visit.on}"
            yield Installed(
                name=f"{name}-{check.counts_on}",
                position=check.counts_on,
                serial=serial,
                since_new=Decimal(0),
                **common,
            )


def faults(plan: VisitPlan, logbook: Logbook, *, heavy: bool) -> Iterator[str]:
    """Everything that the due engine finds past due on the way, of what the plan says it has planned.

    What a visit says is owed `within 2 h after oil` is planned for the last day that keeps it under heavy use; where
    the meter shows too little on that day to answer it, the owner waits for the meter, as it says, and does it then.
    """
    book = chronicle(logbook)
    ahead = outlook(book, plan.on, plan.end)
    now = logbook
    began_past = {item.check for item in due(logbook, plan.on, expect=False).items if item.state == PAST_DUE}
    visits = {visit.on: visit for visit in plan.visits}
    left_out = {each.item for each in plan.left_out}
    days = sorted({*visits, plan.end, *(plan.on + dt.timedelta(days=day) for day in range(1, 999, EVERY_DAYS))})
    owed_later: set[str] = set()
    waits: set[str] = set()
    for day in (day for day in days if day <= plan.end):
        totals = ahead.totals(day, heavy=heavy)
        meters = {meter: book.histories[meter].reading_for(total) for meter, total in totals.items()}
        flown = added(now, Hours(name=f"{day}-a-reading", date=day, meters=meters, place=now.aircraft.place))
        for item in due(flown, day, expect=False).items:
            if item.state == PAST_DUE and item.check in waits:
                place = now.aircraft.place
                name, did = f"{day}-{item.check}", (item.check,)
                again = Work(name=name, date=day, meters=meters, did=did, opened=(NONE_OPENED,), place=place)
                flown = added(flown, again)
                continue
            if item.state == PAST_DUE and item.check not in left_out | began_past | owed_later:
                yield f"{day}: {item.check} is past due ({'heavy' if heavy else 'likely'} use)"
        now = flown
        if day in visits:
            now = added(now, *written(visits[day], now, meters))
            began_past = set()
            waits |= {doing.item for doing in visits[day].doings if doing.owed}
            owed_later |= {words.split()[0] for words in visits[day].owed}
