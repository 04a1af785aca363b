"""Invented small jobs with many ties: 4 to 10 panels, 16 to 25 checks, and all that a checklist can say."""

from random import Random

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Lag, Panel
from inspect_kit.plan import Job, Shift

NOWHERE = Place("invented.md", 1)
MINUTES = (2, 2, 3, 3, 5, 5, 8, 10, 12, 15, 20, 30, 45)
DAY = 24 * 60


def small_job(seed: int) -> Job:
    """The same job for the same seed on every machine (only `random()` of Random is promised to stay the same)."""
    draw = Random(seed * 104729 + 11).random

    def chance(share: float) -> bool:
        return draw() < share

    def one(among):
        return among[int(draw() * len(among))]

    people = 2 + chance(0.5)
    inspectors = 1 + int(draw() * people)
    panels = _panels(chance, one, draw)
    plain = [name for name in panels if name.startswith("p")]
    setups = [name for name in panels if name.startswith("s")]
    checks: dict[str, Check] = {}
    for number in range(16 + int(draw() * 10)):
        name, when = f"c{number}", one(("open",) * 8 + ("before", "closed", "closed"))
        panel = one([*plain, *setups]) if when == "open" else "place"
        # A check behind one of the first panels that was drawn shares it with others; the rest stand anywhere.
        earlier = [other for other in checks if checks[other].when == when]
        more: dict[str, object] = {}
        if earlier and chance(0.25):
            more["after"] = (one(earlier),)
        if earlier and chance(0.12):
            more["wait"] = Lag(minutes=one((10, 20, 30, 45)), check=one(earlier))
        elif earlier and chance(0.12):
            more["within"] = Lag(minutes=one((60, 90, 120)), check=one(earlier))
        if when == "open" and chance(0.15):
            more["with_"] = (one(plain),)
        if when == "open" and setups and panel in plain and chance(0.15):
            more["not_while"] = (one(setups),)
        checks[name] = Check(
            id=name,
            panel=panel,
            text=name,
            minutes=one(MINUTES),
            people=2 if chance(0.12) else 1,
            who="anyone" if chance(0.35) else "inspector",
            when=when,
            alone=chance(0.08),
            needs=(one(("wrench", "lamp")),) if chance(0.2) else (),
            place=NOWHERE,
            **more,  # type: ignore[arg-type]
        )
    return Job(
        panels=panels,
        checks=checks,
        chosen=tuple(checks),
        crew=Crew(people=people, inspectors=inspectors),
        gear={"jacks": 1, "wrench": 1, "lamp": 2},
        shifts=_shifts(people, inspectors) if chance(0.25) else (),
    )


def _panels(chance, one, draw) -> dict[str, Panel]:
    panels: dict[str, Panel] = {}
    for number in range(4 + int(draw() * 7)):
        behind = (one(list(panels)),) if panels and chance(0.35) else ()
        panels[f"p{number}"] = Panel(
            id=f"p{number}",
            name=f"p{number}",
            zone="z",
            remove=2 + int(draw() * 23),
            refit=2 + int(draw() * 27),
            people=2 if chance(0.15) else 1,
            behind=behind,
            needs=("lamp",) if chance(0.15) else (),
            place=NOWHERE,
        )
    for number in range(int(draw() * 3)):
        panels[f"s{number}"] = Panel(
            id=f"s{number}",
            name=f"s{number}",
            zone="z",
            kind="setup",
            remove=5 + int(draw() * 15),
            refit=5 + int(draw() * 10),
            people=2 if chance(0.3) else 1,
            needs=("jacks",) if chance(0.7) else (),
            overnight=chance(0.6),
            place=NOWHERE,
        )
    panels["place"] = Panel(id="place", name="place", zone="z", kind="place", place=NOWHERE)
    return panels


def _shifts(people: int, inspectors: int) -> tuple[Shift, ...]:
    return tuple(
        Shift(start=number * DAY, end=number * DAY + 180, people=people, inspectors=inspectors) for number in range(20)
    )
