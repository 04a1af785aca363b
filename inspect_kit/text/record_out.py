"""A record as YAML text: the inverse of `text.record` (read_record(write_record(x)) gives x back, places aside)."""

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Any

from inspect_kit.model.aircraft import Identity
from inspect_kit.model.finding import DONE, Cleared, Finding, Reading, Result
from inspect_kit.model.kinds import KINDS as TABLES
from inspect_kit.model.record import (
    Amendment,
    BroughtForward,
    FindingRecord,
    Hours,
    Inspection,
    Installed,
    MeterChange,
    PageRecord,
    ReadsTotal,
    Record,
    Removed,
    Signature,
    Work,
)
from inspect_kit.text.fields import Plain, write_yaml
from inspect_kit.text.flight_check import write_flight_check
from inspect_kit.text.kinds import write_kind
from inspect_kit.text.people import write_by

Keys = dict[str, Any]


def write_record(record: Record) -> str:
    """The YAML of a record without its seal, which `store` adds to the bytes. Keys that say nothing are left out."""
    kind, write = KINDS[type(record)]
    own = write(record)
    head: Keys = {
        "format": Plain("1"),
        "kind": kind,
        "date": _plain(record.date),
        "entered": _plain(record.entered),
        "meters": own.pop("meters", None) or _plain_values(record.meters),
    }
    tail: Keys = {
        "text": record.text,
        "by": write_by(record.by),
        "at": record.at,
        "paper": record.paper,
        "flight-check": write_flight_check(record.flight_check),
        "files": {file.name: Plain(file.sha256) for file in record.files},
        "after": [Plain(digest) for digest in record.after],
    }
    return write_yaml({key: value for key, value in (head | own | tail).items() if value})


def _plain(value: object) -> Plain | None:
    return None if value is None else Plain(str(value))


def _plain_values(values: Mapping[str, object]) -> Keys:
    return {name: Plain(str(value)) for name, value in values.items()}


def _identity(identity: Identity) -> Keys:
    return {key: getattr(identity, key) for key in ("registration", "make", "model", "serial")}


def cleared_text(cleared: Cleared) -> str:
    """DATE text; by: NAME"""
    return f"{cleared.date} {cleared.text}" + (f"; by: {cleared.by}" if cleared.by else "")


def reading_text(value: str, reading: Reading) -> str:
    """`76 psi (at least 60)`, as the page shows it."""
    if reading.measure == "words":
        return f"{value} (words)"
    bound = f" ({reading.bound})" if reading.bound else ""
    arithmetic = f" = {reading.reckoned}" if reading.reckoned else ""
    return f"{value} {reading.measure}".strip() + bound + arithmetic


def _result(result: Result) -> str | Keys:
    more = {
        "reason": result.reason,
        "took": f"{result.took} min" if result.took is not None else "",
        "by": result.by,
        "second-look": result.second_look,
        "good-until": _plain(result.good_until),
        "paper": result.paper,
        "disturbed": list(result.disturbed),
        "repaired": list(result.repaired),
        "recheck": " or ".join(map(str, result.recheck)),
        "notes": list(result.notes),
    }
    told = {key: value for key, value in more.items() if value}
    return {"answer": result.answer, **told} if told or result.answer != DONE else result.answer


def _finding(finding: Finding) -> Keys:
    keys = {
        "check": finding.check,
        "panel": finding.panel,
        "found": finding.text,
        "fix": str(finding.fix),
        "may wait because": finding.may_wait,
        "waiting": finding.waiting,
        "recheck": " or ".join(map(str, finding.recheck)),
        "cleared": cleared_text(finding.cleared) if finding.cleared else "",
    }
    return {key: value for key, value in keys.items() if value}


def _readings(each: Iterable[Reading]) -> Keys:
    readings: Keys = {}
    for reading in each:
        first = reading_text(reading.value, reading)
        text = [first, *reading.again] if reading.again else first
        readings.setdefault(reading.check, {})[reading.label] = text
    return readings


def _page(record: PageRecord) -> Keys:
    clears: Any = list(record.clears)
    if record.cleared:
        said = {name: cleared_text(cleared) for name, cleared in record.cleared.items()}
        clears = {name: said.get(name, "") for name in record.clears}
    return {
        "sheet": record.sheet,
        "begun": _plain(record.begun),
        "totals": _plain_values(record.totals),
        "helpers": list(record.helpers),
        "equipment": record.equipment,
        "did": list(record.did),
        "next": _plain_values(record.next),
        "results": {result.check: _result(result) for result in record.results},
        "readings": _readings(record.readings),
        "findings": {finding.id: _finding(finding) for finding in record.findings},
        "clears": clears,
        "opened": list(record.opened),
        "disturbed": list(record.disturbed),
        "left-owed": list(record.left_owed),
        "parts": list(record.parts),
    }


def _inspection(record: Inspection) -> Keys:
    return {
        "inspection": record.inspection,
        "outcome": "passed" if record.passed else "not passed",
        "aircraft": _identity(record.identity),
        "basis": record.basis,
        "statement": record.statement,
        "not-applicable": dict(record.not_applicable),
        "signers": list(record.signers),
        **_page(record),
    }


def _signature(record: Signature) -> Keys:
    return {"of": record.of, "ink": record.ink, "ssh": record.ssh, "sha256": Plain(record.sha256)}


def _work(record: Work) -> Keys:
    return {"aircraft": _identity(record.identity) if record.identity else None, **_page(record)}


def _amendment(record: Amendment) -> Keys:
    instead: Keys = {}
    for (key, *names), value in record.instead.items():
        if not names:
            instead[key] = value if isinstance(value, str) else _plain(value)
        elif isinstance(value, ReadsTotal):
            both = {"reads": _plain(value.reads), "total": _plain(value.total)}
            instead.setdefault(key, {})[names[0]] = both
        elif isinstance(value, Reading):
            instead[key] = _readings(each for each in record.instead.values() if isinstance(each, Reading))
        else:
            instead.setdefault(key, {})[names[0]] = _plain(value)
    return {"of": record.of, "instead": instead, "not-done": list(record.not_done)}


def _part(record: Installed | Removed) -> Keys:
    numbers = {"since-new": _plain(record.since_new), "since-overhaul": _plain(record.since_overhaul)}
    told = {"where": record.where, "reason": record.reason, "no change": record.no_change}
    ages: Keys = {}
    if isinstance(record, Installed):
        ages = {
            "made": _plain(record.made),
            "fitted-on": _plain(record.fitted_on),
            "overhauled": _plain(record.overhauled),
        }
    return {"serial": record.serial, "part": record.part, **numbers, **ages, **told}


def _fitting(record: Installed | Removed) -> Keys:
    return {"position": record.position, **_part(record)}


def _meter_change(record: MeterChange) -> Keys:
    unrecorded: Keys | None = None
    if record.unrecorded is not None:
        unrecorded = {"hours": _plain(record.unrecorded), "how-known": record.how_known}
    old_new = {"old": _plain(record.old), "new": _plain(record.new)}
    return {"meter": record.meter, **old_new, "unrecorded": unrecorded}


def _brought_forward(record: BroughtForward) -> Keys:
    meters = {
        name: {"reads": _plain(each.reads), "total": _plain(each.total)} for name, each in record.reads.items()
    }
    last: Keys = {}
    for name, done in record.last.items():
        keys = {"date": _plain(done.date), **_plain_values(done.totals), "good-until": _plain(done.good_until)}
        keys["paper"] = done.paper
        last[name] = {key: value for key, value in keys.items() if value}
    fitted = {
        part.position: {key: value for key, value in _part(part).items() if value} for part in record.fitted
    }
    return {"meters": meters, "last": last, "fitted": fitted}


KINDS: dict[type[Record], tuple[str, Callable[[Any], Keys]]] = {
    Hours: ("hours", lambda record: {"added": dict(record.added), "permit": record.permit}),
    Work: ("work", _work),
    FindingRecord: ("finding", lambda record: _finding(record.finding)),
    Inspection: ("inspection", _inspection),
    Signature: ("signature", _signature),
    Installed: ("installed", _fitting),
    Removed: ("removed", _fitting),
    MeterChange: ("meter-change", _meter_change),
    BroughtForward: ("brought-forward", _brought_forward),
    Amendment: ("amendment", _amendment),
    **{kind.noun: (kind.name, partial(write_kind, kind)) for kind in TABLES},
}

