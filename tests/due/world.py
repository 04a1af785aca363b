"""Random aircraft with a past: facts as plain dictionaries, and the same facts written as a store's files.

A fact is what happened, in the order in which it did: `h`, `landings` and `hobbs` are the true totals at that moment,
`reads` the meters that its record reads. Several may lie on one day, with flights between them. Some aircraft come with
a past brought forward, some with records from before that; parts come off, go back, change their positions, fly on
another aircraft meanwhile, are overhauled on the bench; some meters are never read.
"""

import datetime as dt
import random
from collections.abc import Iterator
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
METERS = {"tach": "h", "landings": "landings", "hobbs": "hobbs"}
# Positions, the name of the parts that fit in them, and how they are called.
POSITIONS = {"left": "Magneto", "right": "Magneto", "prop": "Propeller", "hose": "Hose"}
# Checks that have another id now than their first records name.
RENAMED = ("c1", "c4", "c7")
HOURS, DAYS = "h", "days"


def tenths(chance: random.Random, low: float, high: float) -> Decimal:
    return Decimal(chance.randint(int(low * 10), int(high * 10))) / 10


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


FIRSTS = (
    [(Decimal(1), "h"), (Decimal(10), "h")],
    [(Decimal("0.4"), "h"), (Decimal(5), "h")],
    [(Decimal(1), "h"), (Decimal(10), "h"), (Decimal(25), "h")],
    [(Decimal(25), "h")],
    [(Decimal(30), "days")],
    [(Decimal(5), "h"), (Decimal(20), "landings")],
)
GRACES = ((Decimal(2), HOURS), (Decimal(15), HOURS), (Decimal(30), HOURS), (Decimal(60), DAYS))
SHAPES = ("every", "grace", "first", "life") * 2 + ("every", "grace", "once", "date", "marked", "part", "owed")


def make_checks(chance: random.Random) -> list[Fact]:
    """Checks of every shape; keys are the words of a checklist."""
    return [_check(chance, f"c{number}", chance.choice(SHAPES)) for number in range(chance.randint(10, 16))]


def _check(chance: random.Random, name: str, shape: str) -> Fact:
    check: Fact = {"id": name, "shape": shape}
    triggers = (("did", "c0"), ("disturbed", "thing"), ("installed", "left"), ("installed", "prop"))
    if shape in ("every", "owed"):
        check["every"] = limits(chance)
    if shape == "every" and chance.random() < 0.3:
        check["with-inspection"] = True
    if shape == "grace":
        hours = [limit for limit in limits(chance) if "landings" not in limit[1]]
        check["every"] = hours or [(Decimal(25), "h")]
        check["grace"] = [chance.choice(GRACES)]
    if shape == "first":
        check["first"] = chance.choice(FIRSTS)
        check["on"] = chance.choice(("prop", "prop", "left", None))
        check["trigger"] = chance.choice((None, ("installed", "prop"), ("disturbed", "thing"), ("did", "c0")))
        if chance.random() < 0.8:
            check["every"] = [(Decimal(chance.choice((25, 50))), "h")] if chance.random() < 0.7 else limits(chance)
    if shape == "once":
        check["once"] = limits(chance)
        check["on"] = chance.choice((None, None, "left"))
    if shape == "date":
        check["date"] = START + dt.timedelta(days=chance.randint(100, 3500))
    if shape == "life":
        check["on"] = chance.choice(tuple(POSITIONS))
        one = (Decimal(chance.randint(100, 900)), "h")
        other = chance.choice(((Decimal(5), "years"), (Decimal(60), "calendar months"), (Decimal(900), "landings")))
        check["life"] = [(*limit, chance.choice(("fitted", "made", "overhaul"))) for limit in (one, other)]
        check["life"] = check["life"][: chance.randint(1, 2)] if chance.random() < 0.5 else check["life"][1:]
    if shape == "part":
        check["every"] = [(Decimal(chance.choice((100, 250, 500))), "h")]
        check["every"] += [(Decimal(36), "months")] if chance.random() < 0.4 else []
        check["every"] += [(Decimal(400), "landings")] if chance.random() < 0.2 else []
        check["on"] = chance.choice(("left", "right"))
        if chance.random() < 0.3:
            check["grace"] = [(Decimal(10), "h")]
    if shape == "owed":
        check["trigger"] = chance.choice(triggers)
        check["on"] = chance.choice((None, None, "left"))
        if chance.random() < 0.5:
            del check["every"]
            check["on"] = None
        if check["trigger"] == ("did", name):
            check["trigger"] = ("disturbed", "thing")
    return check


class _Life:
    """The aircraft while its events are made up: what is true now, and what is fitted where."""

    def __init__(self, chance: random.Random, checks: list[Fact]) -> None:
        self.chance, self.checks = chance, checks
        self.day = START
        self.total, self.landings, self.hobbs = Decimal(0), 0, Decimal(0)
        self.offset = Decimal(0)
        self.silent = {meter for meter in ("landings", "hobbs") if chance.random() < 0.2}
        self.fitted: dict[str, Fact] = {}
        self.bench: list[Fact] = []
        self.serial = 0
        self.events: list[Fact] = []

    def now(self, kind: str, reads: "set[str] | None" = None) -> Fact:
        if reads is None:
            told = self.chance.random()
            reads = set(METERS) if told < 0.6 else {"tach"} if told < 0.75 else set()
        event = {"kind": kind, "date": self.day, "number": len(self.events), "offset": self.offset}
        event |= {"h": self.total, "landings": self.landings, "hobbs": self.hobbs, "reads": reads - self.silent}
        self.events.append(event)
        return event

    def fly(self, most: float) -> None:
        self.total += tenths(self.chance, 0, most)
        self.landings += self.chance.randint(0, max(1, int(most * 2)))
        self.hobbs += tenths(self.chance, 0, most)

    def on(self, least: int = 0) -> None:
        """Time goes by, mostly with flights; on one day not more than it holds."""
        step = max(least, self.chance.choice((0, 0, 0, 1, 1, 2, 4, 8, 15, 30, 60)))
        self.day += dt.timedelta(days=step)
        if self.chance.random() < (0.75 if step else 0.5):
            self.fly(12 if step else 3)


def make_events(chance: random.Random, checks: list[Fact]) -> list[Fact]:
    """What happened, in order of time."""
    life = _Life(chance, checks)
    if chance.random() < 0.4:
        _brought(life)
    else:
        life.now("hours", {"tach"} | (set(METERS) if chance.random() < 0.8 else set()))
    for _ in range(chance.randint(5, 60)):
        life.on()
        kinds = ("hours", "did", "did", "did", "did", "disturbed", "fit", "fit", "fit", "change", "mark", "inspect")
        {"fit": _fit, "change": _change, "inspect": _inspect}.get(kind := chance.choice(kinds), _work)(life, kind)
    return life.events


def _work(life: _Life, kind: str) -> None:
    chance, checks = life.chance, life.checks
    if kind == "hours":
        life.now("hours", {"tach"} if chance.random() < 0.3 else set(METERS))
        return
    if kind == "mark":
        marked = [check["id"] for check in checks if check["shape"] == "marked"]
        if marked:
            event = life.now("mark")
            event |= {"did": [chance.choice(marked)], "until": life.day + dt.timedelta(days=chance.randint(-30, 900))}
        return
    names = [check["id"] for check in checks]
    event = life.now(kind)
    event["did"] = chance.sample(names, chance.randint(1, 3) if kind == "did" else chance.randint(0, 1))


def _inspect(life: _Life, kind: str) -> None:
    event = life.now(kind, set(METERS))
    event["signed"], event["passed"] = life.chance.random() < 0.75, life.chance.random() < 0.85


def _change(life: _Life, kind: str) -> None:
    """The tachometer changes, on a day of its own: by readings alone nobody could tell the old one from the new."""
    life.on(least=1)
    lost = tenths(life.chance, 0, 2) if life.chance.random() < 0.5 else Decimal(0)
    old, new = life.total - life.offset, tenths(life.chance, 0, 5)
    life.total += lost
    life.hobbs += lost
    life.offset = life.total - new
    life.now(kind, {"tach"}).update({"old": old, "new": new, "unrecorded": lost})
    life.on(least=1)


def _part(life: _Life, position: str) -> Fact:
    life.serial += 1
    serial = "none" if position == "hose" and life.chance.random() < 0.7 else f"S{life.serial}"
    return {"serial": serial, "part": POSITIONS[position]}


def _ages(life: _Life, before: dt.date) -> Fact:
    """What a record says of a part that comes to the aircraft; any of it may be missing."""
    chance, said = life.chance, {}
    made = before - dt.timedelta(days=chance.randint(200, 4000))
    if chance.random() < 0.5:
        said["made"] = made
    if chance.random() < 0.3:
        said["fitted-on"] = made + dt.timedelta(days=chance.randint(0, 199))
    if chance.random() < 0.7:
        said["new"] = tenths(chance, 0, 300) if chance.random() < 0.7 else Decimal(0)
        if chance.random() < 0.4:
            said["overhaul"] = min(said["new"], tenths(chance, 0, 90))
            if chance.random() < 0.6:
                said["overhauled"] = before - dt.timedelta(days=chance.randint(0, 150))
    return said


def _brought(life: _Life) -> None:
    """The past in one record, perhaps with records from before it."""
    chance = life.chance
    life.total, life.landings, life.hobbs = tenths(chance, 100, 900), chance.randint(100, 900), tenths(chance, 0, 500)
    life.offset = life.total - tenths(chance, 40, 90)
    if chance.random() < 0.3:
        for _ in range(chance.randint(1, 5)):
            life.now(chance.choice(("hours", "did")), set(METERS) if chance.random() < 0.7 else set())
            if life.events[-1]["kind"] == "did":
                life.events[-1]["did"] = [chance.choice(life.checks)["id"]]
            elif not life.events[-1]["reads"]:
                life.events[-1]["reads"] = {"tach"}
            life.on()
        life.day += dt.timedelta(days=1)
    event = life.now("start", {"tach"} | (set(METERS) if chance.random() < 0.8 else set()))
    event |= {"last": {}, "fitted": {}}
    for check in life.checks:
        if chance.random() < 0.5 and check["shape"] in ("every", "grace", "first", "owed", "part", "once"):
            done: Fact = {"date": life.day - dt.timedelta(days=chance.randint(0, 300))}
            done["h"] = life.total - tenths(chance, 0, 40) if chance.random() < 0.8 else None
            done["landings"] = life.landings - chance.randint(0, 50) if chance.random() < 0.3 else None
            event["last"][check["id"]] = done
    for position in POSITIONS:
        if chance.random() < 0.6:
            part = _part(life, position)
            event["fitted"][position] = part | _ages(life, life.day)
            life.fitted[position] = part


def _fit(life: _Life, kind: str) -> None:
    """A part comes out or goes in, often both, and often more is done soon after."""
    chance = life.chance
    position = chance.choice(tuple(POSITIONS))
    if position in life.fitted:
        part = life.fitted.pop(position)
        life.now("removed").update({"position": position, **_named(chance, part)})
        life.bench.append({**part, "from": position})
        if chance.random() < 0.4:
            return
        if chance.random() < 0.7:
            life.on()
    _install(life, position)
    if chance.random() < 0.1:
        # Looked at, and taken out again at once.
        part = life.fitted.pop(position)
        reads = life.events[-1]["reads"]
        life.now("removed", set(reads)).update({"position": position, **_named(chance, part)})
        life.bench.append({**part, "from": position})
    elif chance.random() < 0.5:
        follow = [check["id"] for check in life.checks if check.get("on") == position or check.get("trigger")]
        for _ in range(chance.randint(1, 3)) if follow else ():
            if chance.random() < 0.7:
                life.fly(chance.choice((0.5, 1.2, 9)))
            life.day += dt.timedelta(days=chance.choice((0, 0, 1, 3)))
            life.now("did")["did"] = [chance.choice(follow)]


def _install(life: _Life, position: str) -> None:
    chance = life.chance
    fitting = [part for part in life.bench if part["part"] == POSITIONS[position] and part["serial"] != "none"]
    event = life.now("installed")
    if fitting and chance.random() < 0.7:
        part = chance.choice(fitting)
        life.bench.remove(part)
        said: Fact = {}
        if chance.random() < 0.15:
            said["overhauled"], said["overhaul"] = life.day, Decimal(0)
        elif chance.random() < 0.1:
            # It flew on another aircraft meanwhile.
            said["new"] = Decimal(chance.randint(300, 700))
    else:
        part, said = _part(life, position), _ages(life, life.day)
    event |= {"position": position, **_named(chance, part), **said}
    life.fitted[position] = {"serial": part["serial"], "part": part["part"]}


def _named(chance: random.Random, part: Fact) -> Fact:
    return {"serial": part["serial"], "part": part["part"] if chance.random() < 0.7 else ""}


def written(limit: "tuple[Any, ...]") -> str:
    start = f" from {limit[2]}" if len(limit) > 2 else ""
    return f"{limit[0]} {limit[1]}{start}"


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
positions: {left: {}, right: {}, prop: {}, hose: {}}
inspections: {condition: {every: 12 calendar months, scope: part 43 appendix D, statement: S, signers: [builder]}}
people: [{name: Ada, kind: builder, certificate: "1"}]
"""


def record_texts(events: list[Fact]) -> dict[str, str]:
    """The files of the records by name."""
    files: dict[str, str] = {}
    for number, event in enumerate(events):
        date = event["date"]
        name = f"records/{date.year}/{date}-r-{number:04d}.yaml"
        head = f"format: 1\ndate: {date}\n"
        files[name] = head + "".join(_text(event, number < len(events) // 2))
        if event["kind"] == "inspect" and event["passed"] and event["signed"]:
            of = name.rsplit("/", 1)[-1].removesuffix(".yaml")
            files[name.replace("-r-", "-s-")] = f"{head}kind: signature\nof: {of}\nink: p. 1\n"
    return files


def _shown(event: Fact) -> dict[str, Any]:
    """What its record reads, by the names of the meters."""
    shown = {"tach": event["h"] - event["offset"], "landings": event["landings"], "hobbs": event["hobbs"]}
    return {meter: value for meter, value in shown.items() if meter in event["reads"]}


def _text(event: Fact, early: bool) -> Iterator[str]:
    kind, reads = event["kind"], _shown(event)
    shown = ", ".join(f"{meter}: {value}" for meter, value in reads.items())
    meters = f"meters: {{{shown}}}\n" if shown else ""
    if kind == "start":
        yield "kind: brought-forward\nmeters:\n"
        for meter, value in reads.items():
            yield f"  {meter}: {{reads: {value}, total: {event[METERS[meter]]}}}\n"
        for what in ("last", "fitted"):
            yield f"{what}:\n" if event[what] else ""
            for each, facts in event[what].items():
                yield f"  {each}: {{{', '.join(_said(facts))}}}\n"
    elif kind == "hours":
        yield f"kind: hours\n{meters}"
    elif kind in ("did", "mark", "disturbed"):
        did = [f"old-{name}" if early and name in RENAMED else name for name in event["did"]]
        yield f"kind: work\n{meters}text: x\n"
        yield f"did: [{', '.join(did)}]\n" if did else ""
        yield "disturbed: [thing]\n" if kind == "disturbed" else ""
        yield f"next: {{{event['did'][0]}: {event['until']}}}\n" if kind == "mark" else ""
    elif kind in ("installed", "removed"):
        yield f"kind: {kind}\n{meters}position: {event['position']}\n"
        yield "".join(f"{line}\n" for line in _said(event))
    elif kind == "change":
        yield f"kind: meter-change\nmeter: tach\nold: {event['old']}\nnew: {event['new']}\n"
        yield f"unrecorded: {{hours: {event['unrecorded']}, how-known: log}}\n" if event["unrecorded"] else ""
    else:
        yield f"kind: inspection\ninspection: condition\noutcome: {'passed' if event['passed'] else 'not passed'}\n"
        yield f"{meters}basis: b\n" + ("statement: s\n" if event["passed"] else "")
        yield "aircraft: {registration: N0XX, make: M, model: X, serial: '1'}\n"
        yield "by: {name: Ada, kind: builder, certificate: '1'}\n"


SAID = {"new": "since-new", "overhaul": "since-overhaul", "made": "made", "fitted-on": "fitted-on"}
SAID |= {"overhauled": "overhauled", "serial": "serial", "part": "part"}
LAST = {"date": "date", "h": "tach", "landings": "landings"}


def _said(facts: Fact) -> list[str]:
    """The keys of a part, or of something last done."""
    names = SAID if "serial" in facts else LAST
    return [f"{name}: {facts[key]}" for key, name in names.items() if facts.get(key) not in (None, "")]


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
    wrong = [fault.message for fault in audit(book)]
    assert not [told for told in wrong if " reads " in told or "removed from" in told or "installed in" in told], wrong
    return book


__all__ = ["START", "Fact", "logbook_of", "make_checks", "make_events", "read_worksheet"]
