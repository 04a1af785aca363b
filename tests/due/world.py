"""Random aircraft with a past: facts as plain dictionaries, and the same facts written as a store's files.

Events lie at least a day apart. Each knows the true total at that moment and whether its record has a reading.
"""

import datetime as dt
import random
from decimal import Decimal
from typing import Any

from inspect_kit.audit import audit
from inspect_kit.model.logbook import Logbook
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.worksheet import read_worksheet

Fact = dict[str, Any]
START = dt.date(2018, 1, 15)
POSITIONS = ("mag", "prop")
# Checks that have another id now than their first records name, and one that is retired.
RENAMED = ("c1", "c4", "c7")


def tenths(chance: random.Random, low: float, high: float) -> Decimal:
    return Decimal(chance.randint(int(low * 10), int(high * 10))) / 10


def make_checks(chance: random.Random) -> list[Fact]:
    """Checks of every shape; keys are the words of a checklist."""
    checks: list[Fact] = []
    for number in range(chance.randint(10, 16)):
        shape = chance.choice(("every", "every", "every", "first", "once", "date", "marked", "life", "part", "owed"))
        check: Fact = {"id": f"c{number}", "shape": shape}
        if shape in ("every", "owed") or (shape == "first" and chance.random() < 0.8):
            check["every"] = limits(chance)
        if shape == "every" and chance.random() < 0.25:
            check["with-inspection"] = True
        if shape == "every" and chance.random() < 0.6 and not check.get("with-inspection"):
            check["grace"] = [chance.choice(((Decimal(30), "h"), (Decimal(90), "days")))]
        if shape == "first":
            check["first"] = [(Decimal(1), "h"), (Decimal(10), "h")][: chance.randint(1, 2)]
            check["on"] = "prop" if chance.random() < 0.6 else None
            check["trigger"] = chance.choice((None, ("installed", "prop"), ("disturbed", "thing")))
        if shape == "once":
            check["once"] = limits(chance)
        if shape == "date":
            check["date"] = START + dt.timedelta(days=chance.randint(100, 3500))
        if shape == "life":
            check["life"] = [chance.choice(((Decimal(chance.randint(100, 900)), "h"), (Decimal(5), "years")))]
            check["on"] = chance.choice(POSITIONS)
        if shape == "part":
            check["every"] = [(Decimal(chance.choice((100, 250, 500))), "h")]
            if chance.random() < 0.3:
                check["every"].append((Decimal(36), "months"))
            check["on"] = "mag"
        if shape == "owed":
            check["trigger"] = chance.choice((("did", "c0"), ("disturbed", "thing"), ("installed", "mag")))
            if chance.random() < 0.5 or check["trigger"] == ("did", check["id"]):
                del check["every"]
                check["trigger"] = ("disturbed", "thing")
        checks.append(check)
    return checks


def limits(chance: random.Random) -> list[tuple[Decimal, str]]:
    pool = [
        (Decimal(chance.choice((25, 50, 100))), "h"),
        (Decimal(chance.choice((100, 250))), "landings"),
        (Decimal(chance.choice((40, 120))), "h on hobbs"),
        (Decimal(chance.choice((30, 90))), "days"),
        (Decimal(chance.choice((3, 4, 11))), "months"),
        (Decimal(chance.choice((1, 2))), "years"),
        (Decimal(chance.choice((12, 24))), "calendar months"),
    ]
    return chance.sample(pool, chance.choice((1, 1, 2)))


def make_events(chance: random.Random, checks: list[Fact]) -> list[Fact]:
    """What happened, in order of time. `total` and `landings` are true; `told` says whether the record has them."""
    brought = chance.random() < 0.3
    day, offset = START, Decimal(0)
    total, landings = (tenths(chance, 100, 900), chance.randint(100, 900)) if brought else (Decimal(0), 0)
    if brought:
        offset = total - tenths(chance, 0, 90)
    events: list[Fact] = [{"kind": "start", "brought": brought, "date": day, "offset": offset, "told": True}]
    if brought:
        events[0]["last"] = {
            check["id"]: {
                "date": day - dt.timedelta(days=chance.randint(1, 300)),
                "total": total - tenths(chance, 0, 40),
            }
            for check in checks
            if chance.random() < 0.4 and check["shape"] in ("every", "owed")
        }
    hobbs = Decimal(chance.randint(0, 5000)) / 10 if brought else Decimal(0)
    events[0] |= {"total": total, "landings": landings, "hobbs": hobbs}
    fitted: dict[str, str] = {}
    benched: dict[str, list[str]] = {"mag": [], "prop": []}
    serial = 0
    for _ in range(chance.randint(5, 60)):
        day += dt.timedelta(days=chance.choice((1, 2, 4, 8, 15, 30, 60)))
        if chance.random() < 0.8:
            total += tenths(chance, 0, 12)
            landings += chance.randint(0, 20)
            hobbs += tenths(chance, 0, 14)
        event: Fact = {"date": day, "total": total, "landings": landings, "hobbs": hobbs, "told": chance.random() < 0.8}
        kind = chance.choice(("hours", "did", "did", "did", "disturbed", "fit", "change", "mark", "inspect"))
        event["kind"] = kind
        if kind == "hours":
            event["told"] = True
        elif kind == "did":
            event["did"] = [c["id"] for c in chance.sample(checks, chance.randint(1, 3))]
        elif kind == "mark":
            marked = [c["id"] for c in checks if c["shape"] == "marked"]
            if not marked:
                continue
            event |= {"did": [chance.choice(marked)], "until": day + dt.timedelta(days=chance.randint(-30, 900))}
        elif kind == "disturbed":
            event["did"] = chance.sample([c["id"] for c in checks], chance.randint(0, 1))
        elif kind == "fit":
            position = chance.choice(POSITIONS)
            if position in fitted:
                event |= {"kind": "removed", "position": position, "serial": fitted.pop(position)}
                benched[position].append(event["serial"])
            else:
                back = chance.random() < 0.5 and benched[position]
                if back:
                    event |= {"kind": "installed", "position": position, "serial": benched[position].pop(), "new": None}
                else:
                    serial += 1
                    new = tenths(chance, 0, 300) if chance.random() < 0.8 else None
                    overhaul = tenths(chance, 0, 90) if new is not None and chance.random() < 0.4 else None
                    event |= {"kind": "installed", "position": position, "serial": f"S{serial}", "new": new}
                    event["overhaul"] = overhaul
                fitted[position] = event["serial"]
        elif kind == "change":
            unrecorded = tenths(chance, 0, 2) if chance.random() < 0.5 else Decimal(0)
            event |= {"old": total - offset, "new": tenths(chance, 0, 5), "unrecorded": unrecorded, "told": True}
            total += unrecorded
            event["total"] = total
            offset = total - event["new"]
        elif kind == "inspect":
            event["signed"] = chance.random() < 0.75
            event["told"] = True
        event["offset"] = offset
        events.append(event)
    return events


def written(limit: tuple[Decimal, str]) -> str:
    return f"{limit[0]} {limit[1]}"


def checklist_text(checks: list[Fact]) -> str:
    lines = ["---", "panel: box", "name: Box", "zone: z", "---"]
    for check in checks:
        lines.append(f"- [ ] `{check['id']}` Check of shape {check['shape']}")
        every = [written(limit) for limit in check.get("every", ())]
        if check.get("with-inspection"):
            every.append("condition inspection")
        if check["shape"] == "marked":
            every = ["as marked"]
        keys = {
            "every": " or ".join(every),
            "once": " or ".join(map(written, check.get("once", ()))) or str(check.get("date", "")),
            "life": " or ".join(map(written, check.get("life", ()))),
            "first": ", ".join(map(written, check.get("first", ()))),
            "grace": " or ".join(map(written, check.get("grace", ()))),
            "counts-on": check.get("on") or "",
            "owed-after": " ".join(check["trigger"]) if check.get("trigger") else "",
            "was": f"old-{check['id']}" if check["id"] in RENAMED else "",
        }
        lines += [f"  - {key}: {value}" for key, value in keys.items() if value]
    gone = ["- [ ] `gone` A check that is retired", "  - every: 1 h", "  - retired: 2018-02-01, taken out"]
    return "\n".join([*lines, *gone]) + "\n"


AIRCRAFT = """\
format: 1
aircraft: {registration: N0XX, make: M, model: X, serial: "1", certificate-date: 2018-01-15}
meters: {tach: {unit: h}, landings: {unit: landings}, hobbs: {unit: h}}
time-in-service: tach
positions: {mag: {}, prop: {}}
inspections: {condition: {every: 12 calendar months, scope: part 43 appendix D, statement: S, signers: [builder]}}
people: [{name: Ada, kind: builder, certificate: "1"}]
"""


def record_texts(events: list[Fact]) -> dict[str, str]:
    """The files of the records by name."""
    files: dict[str, str] = {}
    for number, event in enumerate(events):
        date = event["date"]
        name = f"records/{date.year}/{date}-r-{number:04d}.yaml"
        reads = event["total"] - event["offset"]
        shown = f"tach: {reads}, landings: {event['landings']}, hobbs: {event['hobbs']}"
        meters = f"meters: {{{shown}}}\n" if event["told"] else ""
        head = f"format: 1\ndate: {date}\n"
        kind = event["kind"]
        if kind == "start" and event["brought"]:
            last = "".join(
                f"  {check}: {{date: {done['date']}, tach: {done['total']}}}\n" for check, done in event["last"].items()
            )
            text = f"kind: brought-forward\nmeters:\n  tach: {{reads: {reads}, total: {event['total']}}}\n"
            text += f"  landings: {{reads: {event['landings']}, total: {event['landings']}}}\n"
            text += f"  hobbs: {{reads: {event['hobbs']}, total: {event['hobbs']}}}\n"
            text += f"last:\n{last}" if last else ""
        elif kind in ("start", "hours"):
            text = f"kind: hours\n{meters}"
        elif kind in ("did", "mark", "disturbed"):
            text = f"kind: work\n{meters}text: x\n"
            early = number < len(events) // 2
            did = [f"old-{name}" if early and name in RENAMED else name for name in event["did"]]
            text += f"did: [{', '.join(did)}]\n" if did else ""
            text += "disturbed: [thing]\n" if kind == "disturbed" else ""
            text += f"next: {{{event['did'][0]}: {event['until']}}}\n" if kind == "mark" else ""
        elif kind in ("installed", "removed"):
            text = f"kind: {kind}\n{meters}position: {event['position']}\nserial: {event['serial']}\n"
            text += f"since-new: {event['new']}\n" if event.get("new") is not None else ""
            text += f"since-overhaul: {event['overhaul']}\n" if event.get("overhaul") is not None else ""
        elif kind == "change":
            lost = event["unrecorded"]
            text = f"kind: meter-change\nmeter: tach\nold: {event['old']}\nnew: {event['new']}\n"
            text += f"unrecorded: {{hours: {lost}, how-known: log}}\n" if lost else ""
        else:
            text = f"kind: inspection\ninspection: condition\noutcome: passed\n{meters}basis: b\nstatement: s\n"
            text += "aircraft: {registration: N0XX, make: M, model: X, serial: '1'}\n"
            text += "by: {name: Ada, kind: builder, certificate: '1'}\n"
            if event["signed"]:
                of = name.rsplit("/", 1)[-1].removesuffix(".yaml")
                files[name.replace("-r-", "-s-")] = f"{head}kind: signature\nof: {of}\nink: p. 1\n"
        files[name] = head + text
    return files


def logbook_of(checks: list[Fact], events: list[Fact], order: random.Random | None = None) -> Logbook:
    """The store as loaded; `order` shuffles the files before they are read."""
    aircraft, source = read_aircraft(AIRCRAFT, "records/aircraft.yaml")
    assert aircraft is not None
    assert not source.problems
    panel, found, source = read_checklist(checklist_text(checks), "checklists/z/box.md")
    assert panel is not None
    assert not source.problems, source.problems
    files = list(record_texts(events).items())
    if order is not None:
        order.shuffle(files)
    records = []
    for name, text in files:
        record, source = read_record(text, name)
        assert record is not None
        assert not source.problems, (text, source.problems)
        records.append(record)
    book = Logbook(
        aircraft=aircraft,
        panels={panel.id: panel},
        checks={check.id: check for check in found},
        current={old: check.id for check in found for old in check.was},
        records=tuple(sorted(records, key=lambda record: (record.date, record.name))),
    )
    assert not [fault for fault in audit(book) if "reads" in fault.message]
    return book


__all__ = ["START", "Fact", "logbook_of", "make_checks", "make_events", "read_worksheet"]
