"""The machine-readable answers: a promise (`"format": 2`), built from the facts and never from a table.

Amounts are JSON numbers, dates ISO text, minutes whole numbers; what is not known is null.
"""

import datetime as dt
import json
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from inspect_kit.balance import BalanceAnswer, balance
from inspect_kit.due.answer import INSPECTION, DueAnswer, Item, Stop
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.directives import Directives, DirectiveState, directives_told
from inspect_kit.due.fitting import all_fittings
from inspect_kit.due.oil import Oil
from inspect_kit.due.phases import NoPassengers
from inspect_kit.due.settings import SettingNow, settings_now
from inspect_kit.due.trends import Series
from inspect_kit.errors import Place, Problem
from inspect_kit.model.finding import Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import Point
from inspect_kit.model.owed import Cause
from inspect_kit.model.worksheet import Step
from inspect_kit.plan.answer import Plan
from inspect_kit.plan.owed import OwedHere
from inspect_kit.plan.why import Why
from inspect_kit.report.pages.directives import work_amended
from inspect_kit.report.pages.history import HistoryAnswer
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.pages.status import PartTime, life_items, next_due, part_times, since_inspection
from inspect_kit.report.pages.trend import trends_that_matter
from inspect_kit.rules.coverage import ScopeAnswer

FORMAT = 2
Facts = dict[str, Any]


def json_text(facts: Mapping[str, object]) -> str:
    """The facts as JSON text in ASCII, so that no terminal acts on what stands in a record."""
    return json.dumps(facts, indent=2, ensure_ascii=True, allow_nan=False)


def amount_json(value: Decimal | None) -> int | float | None:
    if value is None:
        return None
    whole = value.to_integral_value()
    return int(whole) if value == whole and isinstance(value.as_tuple().exponent, int) else float(value)


def date_json(value: dt.date | None) -> str | None:
    return None if value is None else value.isoformat()


def _place(place: Place) -> Facts:
    return {"file": place.file, "line": place.line}


def _problems(problems: Iterable[Problem]) -> list[Facts]:
    return [{**_place(problem.place), "message": problem.message} for problem in problems]


def due_json(answer: DueAnswer, item: Item | None = None) -> Facts:
    """The due list; with an item that one alone, and its arithmetic under `lines`."""
    items = [{**_item(item), "lines": _lines(item)}] if item else [_item(each) for each in answer.items]
    return {
        "format": FORMAT,
        "on": date_json(answer.on),
        "by": date_json(answer.by),
        "flying": amount_json(answer.flying),
        "meters": {name: _meter(point, answer.on) for name, point in answer.meters.items()},
        "problems": _problems(answer.problems),
        "left_out": [place.file for place in answer.left_out],
        "no_passengers": _no_passengers(answer.no_passengers),
        "stops": [_stop(stop) for stop in answer.stops],
        "not_to_be_used": [{"what": each.what, "check": each.check} for each in answer.not_to_be_used],
        "not_counted": [{"record": name, "reason": why} for name, why in answer.seen.broken.items()],
        "pending_amendments": [
            {"amendment": each.name, "of": each.of, **_place(each.place)} for each in answer.seen.pending()
        ],
        "either": [
            {"check": each.check, "recorded": _point(each.recorded), "amended": _point(each.amended)}
            for each in answer.either
        ],
        "taken_after": [
            *({"check": each.check, "record": each.taken_after} for each in answer.items if each.taken_after),
            *({"flight": one.name, "record": other.name} for one, other in answer.no_passengers.taken_after),
        ],
        "items": items,
    }


def _no_passengers(barred: NoPassengers) -> list[Facts]:
    """What bars passengers, each with its kind: phase, change or flight-check."""
    phases = [
        {
            "kind": "phase",
            "phase": each.name,
            "since": date_json(each.since),
            "hours": amount_json(each.hours),
            "flown": amount_json(each.flown),
            "lacks": list(each.lacks),
            **_place(each.place),
        }
        for each in barred.phases
    ]
    changes = [{"kind": "change", "text": each.what, **_place(each.place)} for each in barred.undecided]
    checks = [{"kind": "flight-check", "text": each.text, **_place(each.record.place)} for each in barred.unflown]
    return [*phases, *changes, *checks]


def _meter(point: Point | None, on: dt.date) -> Facts:
    """The last reading, and how many days old it is."""
    return {
        "reads": amount_json(point.reads) if point else None,
        "total": amount_json(point.total) if point else None,
        "age_days": (on - point.date).days if point else None,
    }


def _stop(stop: Stop) -> Facts:
    return {"kind": stop.kind, "text": stop.text, **_place(stop.place)}


def _item(item: Item) -> Facts:
    last, expected = item.last, item.expected
    return {
        "check": item.check,
        "kind": item.kind,
        "panel": item.panel,
        "state": item.state,
        "last": None
        if last is None
        else {
            "date": date_json(last.date),
            "total": amount_json(last.total),
            "estimated": last.estimated,
        },
        "amended": last is not None and last.amended,
        "due": _point(item),
        "left": {"days": item.left.days, "amount": amount_json(item.left.amount), "unit": item.left.unit},
        "expected": None
        if expected is None
        else {
            "early": date_json(expected.early),
            "likely": date_json(expected.likely),
            "late": date_json(None if expected.late == dt.date.max else expected.late),
            "age_days": expected.age_days,
            "reached": expected.reached,
        },
        "source": item.source,
    }


def _point(item: Item) -> Facts:
    return {
        "date": date_json(item.due.date),
        "meter": item.due.meter,
        "total": amount_json(item.due.total),
        "reads": amount_json(item.due.reads),
    }


def _lines(item: Item) -> list[Facts]:
    return [{"text": line.text, "places": [_place(place) for place in line.places]} for line in item.lines]


def plan_json(plan: Plan, logbook: Logbook | None = None, hours: PlanClock | None = None) -> Facts:
    """A plan. `logbook` says what could not be read when it was made; `hours` are its sessions, if there are any.

    Minutes count from `began`, breaks included; `worked_min` leaves them out.
    """
    hours = hours or PlanClock()
    return {
        "format": FORMAT,
        "people": plan.people,
        "inspectors": plan.inspectors,
        "checks": list(plan.checks),
        "panels": list(plan.panels),
        "labour_min": plan.labour,
        "elapsed_min": plan.elapsed,
        "lower_bound_min": plan.lower_bound,
        "proved": plan.proved,
        "worked_min": plan.worked,
        "worked_bound_min": plan.worked_bound,
        "began": hours.began.isoformat(timespec="minutes") if hours.began else None,
        "sessions": [
            {"start_min": each.start, "end_min": each.end, "people": each.people, "inspectors": each.inspectors}
            for each in hours.shifts
            if each.start < plan.elapsed
        ],
        "critical": list(plan.critical),
        "steps": [_step(step) for step in plan.steps],
        "cautions": [{"at": caution.at, "text": caution.text} for caution in plan.cautions],
        "parts": [{"amount": part.amount, "name": part.name} for part in plan.parts],
        "tools": list(plan.tools),
        "others": list(plan.others),
        "notes": list(plan.notes),
        "problems": _problems(logbook.problems if logbook else ()),
    }


def why_json(why: Why, asked: Sequence[str], logbook: Logbook) -> Facts:
    """Why a check or a panel is in a plan: `asked` in words, then names; of each step why it starts no earlier."""
    return {
        "format": FORMAT,
        "name": why.name,
        "asked": list(asked),
        "needs": list(why.needs),
        "serves": list(why.serves),
        "inner": list(why.inner),
        "steps": [{**_step(step), "because": reason} for step, reason in why.held],
        "problems": _problems(logbook.problems),
    }


def owed_json(owed: OwedHere) -> Facts:
    """What the work of a plan makes owed: taken in, for later, for others; each check with what it is owed after."""

    def told(found: Mapping[str, tuple[Cause, ...]]) -> list[Facts]:
        return [
            {"check": name, "after": [{"trigger": str(each.trigger), "by": each.by or None} for each in why]}
            for name, why in found.items()
        ]

    return {"taken_in": told(owed.taken), "later": told(owed.later), "others": told(owed.others)}


def _step(step: Step) -> Facts:
    return {
        "step": step.step,
        "panel": step.panel,
        "check": step.check,
        "start_min": step.start,
        "end_min": step.end,
        "people": step.people,
        "who": list(step.who),
    }


def scope_json(answer: ScopeAnswer) -> Facts:
    """The coverage of every code."""
    return {
        "format": FORMAT,
        "scope": answer.scope.name,
        "complete": answer.complete,
        "codes": [
            {
                "code": entry.clause.code,
                "state": entry.state,
                "checks": list(entry.checks),
                "reason": entry.reason or None,
                "citation": entry.clause.citation,
            }
            for entry in answer.clauses
        ],
        "missing": [clause.code for clause in answer.missing],
        "unknown": [{"code": each.code, "check": each.check or None, **_place(each.place)} for each in answer.unknown],
    }


def status_json(answer: DueAnswer) -> Facts:
    """Total times, parts, inspections, life limits, standing findings."""
    return {
        "format": FORMAT,
        "on": date_json(answer.on),
        "aircraft": _identity(answer),
        "time_in_service": answer.seen.aircraft.time_in_service,
        "meters": {name: _meter(point, answer.on) for name, point in answer.meters.items()},
        "problems": _problems(answer.problems),
        "no_passengers": _no_passengers(answer.no_passengers),
        "stops": [_stop(stop) for stop in answer.stops],
        "not_to_be_used": [{"what": each.what, "check": each.check} for each in answer.not_to_be_used],
        "positions": [_part(each, answer) for each in part_times(answer)],
        "inspections": [
            {**_item(item), "since": _since(answer, item)} for item in answer.items if item.kind == INSPECTION
        ],
        "life": [_item(item) for item in life_items(answer)],
        "next": [_item(item) for item in next_due(answer)],
        "findings": findings_json(answer.seen.standing()),
        "trends": [trend_json(each) for each in trends_that_matter(answer)],
        "settings": [_setting(each) for each in _settings(answer)],
        "directives": directives_json(answer, directives_told(answer.seen, answer.on))["directives"],
        "empty": balance_json(balance(answer.seen, loadings=False))["empty"],
    }


def _identity(answer: DueAnswer) -> Facts:
    aircraft = answer.seen.aircraft
    return {
        "registration": aircraft.identity.registration,
        "make": aircraft.identity.make,
        "model": aircraft.identity.model,
        "serial": aircraft.identity.serial,
        "certificate_date": date_json(aircraft.certificate_date),
    }


def _since(answer: DueAnswer, item: Item) -> Facts:
    """Time in service and days since an inspection was last done."""
    hours, days = since_inspection(answer, item)
    return {"amount": amount_json(hours), "unit": "h", "days": days}


def _part(each: PartTime, answer: DueAnswer) -> Facts:
    fitting = each.fitting
    return {
        "position": each.position.id,
        "on": each.position.on,
        "part": fitting.part if fitting else None,
        "serial": fitting.serial if fitting else None,
        "fitted": date_json(fitting.start.date) if fitting else None,
        "here": amount_json(each.here),
        "since_new": amount_json(each.since_new),
        "since_overhaul": amount_json(each.since_overhaul),
        "amended": list(answer.seen.amendments(fitting.start.record, own=(fitting.position,))) if fitting else [],
    }


def findings_json(found: Mapping[str, Finding]) -> list[Facts]:
    """Open findings by their references."""
    return [_finding(reference, finding) for reference, finding in found.items()]


def _finding(reference: str, finding: Finding) -> Facts:
    return {
        "finding": reference,
        "panel": finding.panel,
        "check": finding.check,
        "found": finding.text,
        "fix": str(finding.fix),
        "before_flight": finding.before_flight,
    }


def history_json(answer: HistoryAnswer) -> Facts:
    """The events of one id."""
    return {
        "format": FORMAT,
        "id": answer.id,
        "kind": answer.kind,
        "name": answer.name,
        "events": [
            {
                "date": date_json(event.date),
                "total": amount_json(event.total),
                "estimated": event.estimated,
                "what": event.what,
                "record": event.record,
                **_place(event.place),
            }
            for event in answer.events
        ],
    }


def balance_json(answer: BalanceAnswer) -> Facts:
    """Empty weight and loadings in the units of aircraft.yaml, unrounded; `inside` until the fuel is gone."""
    total = answer.empty.total if answer.empty else None
    return {
        "format": 2,
        "empty": None
        if total is None
        else {
            "weight": _fraction(total.weight),
            "arm": _fraction(total.arm),
            "moment": _fraction(total.moment),
        },
        "loadings": [
            {
                "name": each.name,
                "weight": _fraction(each.total.weight),
                "arm": _fraction(each.total.arm),
                "inside": each.inside,
            }
            for each in answer.loadings
        ],
    }


def _fraction(value: Fraction) -> int | float:
    """The nearest number that JSON has: nothing is rounded before it."""
    return int(value) if value.denominator == 1 else float(value)


def trends_json(answer: DueAnswer, chosen: Iterable[Series]) -> Facts:
    """Every chosen series with its values; the oil added between fillings."""
    return {
        "format": FORMAT,
        "on": date_json(answer.on),
        "problems": _problems(answer.problems),
        "trends": [trend_json(each) for each in chosen],
        "oil": [_oil(each) for each in answer.oil],
    }


def trend_json(series: Series) -> Facts:
    """One series. The slope is by one hour, landing or month; a date of null is further away than forecasts go."""
    slope, reached = series.slope, series.reached
    return {
        "trend": series.id,
        "check": series.check,
        "label": series.label,
        "measure": series.measure,
        "position": series.position or None,
        "serial": series.serial or None,
        "by": series.unit,
        "values": [
            {"date": date_json(each.date), "at": each.at, "value": amount_json(each.value), **_place(each.place)}
            for each in series.taken
        ],
        "slope": None
        if slope is None
        else {"slope": slope.slope, "low": slope.low, "high": slope.high, "clear": slope.clear},
        "reached": None
        if reached is None
        else {
            "limit": amount_json(reached.limit),
            "total": reached.total,
            "early": date_json(reached.early),
            "likely": date_json(reached.likely),
            "late": date_json(reached.late),
        },
    }


def _oil(each: Oil) -> Facts:
    return {
        "start": date_json(each.start),
        "end": date_json(each.end),
        "hours": amount_json(each.hours),
        "quarts": amount_json(each.quarts),
    }


def _settings(answer: DueAnswer) -> tuple[SettingNow, ...]:
    book = chronicle(answer.seen)
    return settings_now(book, all_fittings(book))


def _setting(each: SettingNow) -> Facts:
    last = each.last
    return {
        "setting": last.setting,
        "on": last.on or None,
        "value": last.to,
        "since": date_json(last.date),
        "by": last.by.name if last.by else None,
        "because": last.because,
        "before": list(each.values[:-1]),
        "part_changed": each.part_changed,
        **_place(last.place),
    }


def directives_json(answer: DueAnswer, found: Directives) -> Facts:
    """Every directive on record as it stands, and every search; `next` where something is to be done again."""
    return {
        "format": FORMAT,
        "on": date_json(answer.on),
        "problems": _problems(answer.problems),
        "directives": [_directive(answer, state) for state in found.states],
        "searches": [
            {
                "date": date_json(search.date),
                "source": search.source,
                "products": list(search.products),
                "found": search.found or None,
                "by": search.by.name if search.by else None,
                **_place(search.place),
            }
            for search in found.searches
        ],
        "unsearched": list(found.unsearched),
    }


def _directive(answer: DueAnswer, state: DirectiveState) -> Facts:
    directive, record = state.directive, state.complied
    item = answer.item(state.check.id) if state.check is not None and directive.counts and not state.undecided else None
    return {
        "number": directive.number,
        "revision": directive.revision or None,
        "revision_date": date_json(directive.issued),
        "issuer": directive.issuer,
        "authority": directive.authority,
        "subject": directive.subject,
        "product": state.product,
        "part": state.part or None,
        "serial": state.serial or None,
        "state": state.state,
        "applies": directive.applies.word,
        "reason": directive.applies.reason or None,
        "method": directive.method or None,
        "recurring": bool(directive.every),
        "check": state.check.id if state.check else None,
        "done": date_json(record.date if record else directive.done_on),
        "done_by": (state.complied_by or None) if record else directive.done_by or None,
        "amended": list(work_amended(answer, state)),
        "next": _item(item)["due"] if item else None,
        "due_state": item.state if item else None,
        **_place(directive.place),
    }
