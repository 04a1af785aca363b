"""Invented inspections of any size, the same ones for the same seed on every machine."""

from dataclasses import dataclass, replace
from random import Random

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Lag, Panel
from inspect_kit.plan import Job, Shift

NOWHERE = Place("invented.md", 1)
ZONES = ("nose", "cabin", "left-wing", "right-wing", "fuselage", "tail", "gear")


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """A kind of inspection: how large, how it is staffed, and what is scarce."""

    name: str
    panels: int = 40
    checks: int = 150
    people: int = 2
    inspectors: int | None = None
    step: int = 1
    pairs: float = 0.12
    gear: float = 0.0
    anyone: float = 0.0
    hours: str = ""


FAMILIES = (
    Family(name="1 person", people=1),
    Family(name="2 people"),
    Family(name="3 people", people=3),
    Family(name="2 people, 5 min", step=5),
    Family(name="3 people, 5 min", people=3, step=5),
    Family(name="2 people, many pairs", pairs=0.35),
    Family(name="3 people, many pairs", people=3, pairs=0.35),
    Family(name="2 people, scarce gear", gear=0.35),
    Family(name="3 people, scarce gear", people=3, gear=0.35),
    Family(name="1 inspector, 1 helper", inspectors=1, anyone=0.25),
    Family(name="1 inspector, 2 helpers", people=3, inspectors=1, anyone=0.25),
    Family(name="2 people, small", panels=15, checks=45),
    Family(name="3 people, small", panels=15, checks=45, people=3),
    Family(name="helper 4 h in 8", hours="helper"),
    Family(name="2 helpers 4 h in 8", people=3, hours="helper"),
    Family(name="evenings, 1 person", people=1, hours="evening"),
    Family(name="evenings, 2 people", hours="evening"),
    Family(name="evenings, 3 people", people=3, hours="evening"),
    Family(name="200 panels", panels=200, checks=800),
    Family(name="200 panels, 3 people", panels=200, checks=800, people=3),
)


def job_of(family: Family, seed: int) -> Job:
    """One inspection of a family."""
    random = _Dice(seed * 7919 + family.panels)
    panels = dict(_panels(family, random))
    checks = dict(_checks(family, random, panels))
    if family.people == 1:
        panels = {name: replace(panel, people=1) for name, panel in panels.items()}
        checks = {name: replace(check, people=1) for name, check in checks.items()}
    return Job(
        panels=panels,
        checks=checks,
        chosen=tuple(checks),
        crew=Crew(people=family.people, inspectors=family.inspectors or family.people),
        gear={"jacks": 1, "torque-wrench": 1, "borescope": 1},
        shifts=_shifts(family),
    )


class _Dice:
    """Draws that depend on nothing but the seed: only `random()` of Random is promised to stay the same."""

    def __init__(self, seed: int) -> None:
        self.draw = Random(seed).random

    def below(self, size: int) -> int:
        return int(self.draw() * size)

    def chance(self, share: float) -> bool:
        return self.draw() < share

    def minutes(self, low: int, high: int, step: int) -> int:
        # Short steps are common, long ones rare.
        plain = low + int((high - low + 1) * self.draw() * self.draw())
        return max(step, round(plain / step) * step)


def _panels(family: Family, random: _Dice):
    names: list[tuple[str, str]] = []
    for number in range(family.panels):
        zone = ZONES[number % len(ZONES)]
        name = f"panel-{number:03d}"
        mates = [other for other, where in names if where == zone]
        behind = (mates[random.below(len(mates))],) if mates and random.chance(0.4) else ()
        setup = number in (7, 12, 17)
        yield (
            name,
            Panel(
                id=name,
                name=name,
                zone=zone,
                kind="setup" if setup else "panel",
                remove=random.minutes(2, 30, family.step),
                refit=random.minutes(2, 30, family.step),
                people=2 if random.chance(family.pairs) else 1,
                behind=() if setup else behind,
                needs=("jacks",) if setup else (),
                place=NOWHERE,
            ),
        )
        if not setup:
            names.append((name, zone))
    for zone in ("aircraft", "run"):
        yield (f"place-{zone}", Panel(id=f"place-{zone}", name=zone, zone=zone, kind="place", place=NOWHERE))


def _checks(family: Family, random: _Dice, panels: dict[str, Panel]):
    openable = [name for name in panels if name.startswith("panel")]
    plain = [name for name in openable if panels[name].kind == "panel"]
    phases = ["before"] * 4 + ["closed"] * 6 + ["except"] * 2
    before: list[str] = []
    per_panel: dict[str, list[str]] = {}
    for number in range(family.checks):
        phase = phases[number] if number < len(phases) else "open"
        name = f"check-{number:03d}"
        panel = openable[number % len(openable)] if phase in ("open", "except") else "place-run"
        if phase == "except":
            panel = plain[number % len(plain)]
        elif phase == "open" and random.chance(0.4):
            panel = openable[random.below(len(openable))]
        elif phase == "open" and random.chance(0.08):
            panel = "place-aircraft"
        check = Check(
            id=name,
            panel=panel,
            text=name,
            minutes=random.minutes(2, 60, family.step),
            people=2 if random.chance(family.pairs) else 1,
            who="anyone" if random.chance(family.anyone) else "inspector",
            when=phase if phase != "except" else "open",
            closed_except=(panel,) if phase == "except" and number == len(phases) - 1 else (),
            alone=phase != "open" and random.chance(0.5),
            needs=("torque-wrench" if random.chance(0.5) else "borescope",) if random.chance(family.gear) else (),
            place=NOWHERE,
        )
        earlier = per_panel.setdefault(panel, [])
        if phase == "open":
            if earlier and random.chance(0.2):
                check = replace(check, after=(earlier[random.below(len(earlier))],))
            elif random.chance(0.06):
                check = replace(check, with_=(plain[random.below(len(plain))],))
            elif before and random.chance(0.03):
                check = replace(check, wait=Lag(minutes=30, check=before[-1]))
            elif random.chance(0.03) and panels[panel].kind == "panel":
                check = replace(check, not_while=("panel-007",))
            earlier.append(name)
        elif phase == "before":
            if before and random.chance(0.5):
                check = replace(check, after=(before[-1],))
            elif before and random.chance(0.3):
                check = replace(check, within=Lag(minutes=40, check=before[-1]))
            before.append(name)
        elif phase == "closed":
            if earlier and random.chance(0.5):
                check = replace(check, after=(earlier[-1],))
            elif earlier and random.chance(0.4):
                check = replace(check, within=Lag(minutes=60, check=earlier[-1]))
            earlier.append(name)
        yield name, check


def _shifts(family: Family) -> tuple[Shift, ...]:
    people, day = family.people, 24 * 60
    inspectors = family.inspectors or people
    if family.hours == "evening":
        return tuple(
            Shift(start=number * day, end=number * day + 180, people=people, inspectors=inspectors)
            for number in range(120)
        )
    if family.hours == "helper":
        return tuple(
            Shift(
                start=number * 240,
                end=number * 240 + 240,
                people=1 if number % 2 else people,
                inspectors=1 if number % 2 else inspectors,
            )
            for number in range(60)
        )
    return ()
