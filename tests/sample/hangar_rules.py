"""What an experienced mechanic asks of any plan: rules of order over the steps alone, in the ids of sample and starter.

Both stores give the same ids to the same things, as far as they have them; a rule whose ids are not in a plan says
nothing. Sources: AC 43.13-1B 8-14 (compression soon after shutdown); all else common practice, no source.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

FOREVER = 1 << 40


@dataclass(frozen=True)
class Walk:
    """A plan read minute by minute: (start, end, people) of each check, and of each panel's way off and on."""

    checks: Mapping[str, tuple[int, int, int]]
    off: Mapping[str, tuple[int, int]]
    on: Mapping[str, tuple[int, int]]
    moves: tuple[tuple[str, int, int, tuple[str, ...]], ...] = field(repr=False)

    def before(self, *names: str) -> Iterator[str]:
        """Each of these ends before the next one of them begins."""
        there = [name for name in names if name in self.checks]
        for first, second in pairwise(there):
            if self.checks[first][1] > self.checks[second][0]:
                yield f"{second} begins before {first} has ended"

    def stands(self, setup: str, start: int, end: int) -> bool:
        """Whether the setup stands, or is being made or undone, at any minute of this stretch."""
        if setup not in self.off and setup not in self.on:
            return False
        return start < self.on.get(setup, (0, FOREVER))[1] and self.off.get(setup, (0, 0))[0] < end


def walk_of(plan: dict) -> Walk:
    """From `plan --json`."""
    checks, off, on, moves = {}, {}, {}, []
    for step in plan["steps"]:
        start, end, who = step["start_min"], step["end_min"], tuple(step["who"])
        if step["step"] == "check":
            checks[step["check"]] = (start, end, len(who))
        else:
            (off if step["step"] in ("remove", "make") else on)[step["panel"]] = (start, end)
        moves.append((step["check"] or f"{step['step']} {step['panel']}", start, end, who))
    return Walk(checks, off, on, tuple(moves))


# The oil, the engine, the propeller: what comes before what.
ORDERS = (
    ("made-safe", "stains-noted", "wash-airframe", "run-before", "safe-after-run", "compression"),
    ("made-safe", "stains-noted", "washed", "run-before", "safe-after-run", "compression"),
    ("directives", "run-before"),
    ("oil-change", "suction-screen", "oil-fill", "idle-leaks", "leaks-after-oil"),
    ("oil-change", "oil-filter-cut", "oil-fill", "idle-leaks"),
    ("oil-change", "oil-screens", "oil-fill", "idle-leaks", "leaks-after"),
    *(
        ("engine-leaks", later)
        for later in ("engine-cleaned", "suction-screen", "oil-filter-cut", "oil-screens", "fuel-strainer")
    ),
    ("engine-leaks", "carburettor-screen"),
    # No solvent on open oil and fuel.
    *(
        ("engine-cleaned", opened)
        for opened in ("suction-screen", "oil-filter-cut", "oil-screens", "fuel-strainer", "carburettor-screen")
    ),
    # The plug tester sparks, so does the motor of the cleaner: before any fuel is open, and when the solvent is gone.
    ("engine-cleaned", "spark-plugs"),
    *(("spark-plugs", opened) for opened in ("fuel-strainer", "carburettor-screen", "gravity-flow", "hoses-renewed")),
    ("exhaust-pressure", "gravity-flow"),
    *(
        ("engine-cleaned", later)
        for later in ("engine-mount", "mount-bolts", "firewall", "firewall-forward", "engine-wiring", "studs-and-nuts")
    ),
    ("exhaust-pressure", "fuel-strainer", "fuel-leaks-after", "idle-leaks"),
    ("exhaust-pressure", "carburettor-screen", "fuel-leaks-after"),
    ("fuel-strainer", "fuel-leaks", "idle-leaks"),
    ("propeller-bolts", "propeller-wire", "idle-leaks"),
    ("propeller-retorque", "propeller-wire", "idle-leaks"),
    ("compression", "borescope", "spark-plugs", "spark-plugs-in", "idle-leaks"),
    ("battery-discharge", "battery-capacity", "battery-charged", "battery-voltage"),
    ("panels-opened", "run-after", "magneto-grounding"),
    ("opened-all", "run-after", "magneto-grounding"),
    ("tools-counted", "run-after", "brakes-hold"),
    ("tools-counted", "magneto-grounding"),
    ("oil-fill", "tools-before-run", "idle-leaks"),
    *((control, "control-travel") for control in ("rear-turnbuckles", "bellcrank-left", "controls-floor")),
    ("trim-screw", "control-travel"),
    # The trim is tried when its screw, its cables and their barrels were looked at.
    *((seen, "trim-travel") for seen in ("trim-screw", "trim-grease", "rear-cables", "rear-turnbuckles")),
    # Tips that do not track ask for the bolts again: no wire is fitted before.
    ("propeller-track", "propeller-wire"),
    # What a wheel off undoes, the pressure and the wire of the brake, is looked at when it is on again.
    *((f"wheel-{side}", f"tyre-{side}-look") for side in ("left", "right", "nose")),
    *((f"wheel-{side}", "tyre-pressures") for side in ("left", "right", "nose")),
    *((f"wheel-{side}", f"brake-{side}") for side in ("left", "right")),
    ("wheels", "tyres"),
    ("wheels", "brakes"),
    # Where the tension is wrong a barrel is turned, and its wire is cut.
    *(("cable-tension", wired) for wired in ("rear-turnbuckles", "bellcrank-left", "bellcrank-right")),
    *(("controls-floor", wired) for wired in ("left-wing-controls", "right-wing-controls", "tail-controls")),
    # Varnish and inhibitor hide cracks and leaks.
    ("propeller-blades", "propeller-finish"),
    # Nobody takes hold of wet varnish.
    *((held, "propeller-finish") for held in ("propeller-bolts", "propeller-track", "propeller-wire")),
    # Its checkpoint is on the field: no aircraft goes there with its cowling off.
    ("tools-counted", "vor-check"),
    ("brakes-hold", "vor-check"),
    *((looked_at, "corrosion-treatment") for looked_at in ("floor-frame", "gear-clusters", "gear-legs", "pedals")),
    *((looked_at, "corrosion-treatment") for looked_at in ("brake-master", "fuel-selector", "tail-frame")),
    *((looked_at, "corrosion-treatment") for looked_at in ("rudder-horn", "rear-cables", "tail-hinges")),
    *((looked_at, "corrosion-treatment") for looked_at in ("aileron-left", "aileron-right", "flap-left")),
    *((looked_at, "corrosion-treatment") for looked_at in ("elevator-joiner", "fuselage-drains")),
    # A torque for dry threads is none on oiled ones.
    *((dry, "corrosion-treatment") for dry in ("gear-leg-bolts", "tail-attach-bolts")),
)
# (what, at least so many minutes after the end of what).
COOL = (
    *((hot, 45, "run-before") for hot in ("engine-cleaned", "exhaust-stacks", "muffler-shell")),
    *((hot, 45, "run-before") for hot in ("suction-screen", "oil-filter-cut", "oil-screens", "baffles")),
    *((hot, 40, "oil-change") for hot in ("suction-screen", "oil-filter-cut", "oil-screens")),
    ("battery-capacity", 4 * 60, "battery-discharge"),
    ("battery-charged", 7 * 60, "battery-capacity"),
    ("battery-voltage", 8 * 60, "battery-charged"),
    # Varnish dries: common practice, no source; the maker's figure prevails.
    ("idle-leaks", 4 * 60, "propeller-finish"),
)
COOL_PANELS = (("heat-muff", 45), ("baffles", 45))
WARM = (("compression", 30), ("oil-change", 30))
RUNS = ("run-before", "idle-leaks", "run-after", "magneto-grounding", "brakes-hold", "compass-swing")
# Whatever turns, rocks or torques the propeller.
TURNED = (
    *("compression", "borescope", "magneto-left-timing", "magneto-right-timing", "magneto-timing", "valve-clearance"),
    *("propeller-bolts", "propeller-retorque", "propeller-wire", "propeller-track", "hub-face", "crank-flange"),
)
SWUNG = ("compression", "borescope", "magneto-left-timing", "magneto-right-timing", "magneto-timing", "propeller-track")
ON_WHEELS = ("nose-oleo", "nose-oleo-look", "strut-bolts-left", "strut-bolts-right", "wing-pins-left", "mount-bolts")
# Hands behind the panel, open fuel, vapour of a spray: the battery is disconnected.
DEAD = (
    *("instrument-mounts", "panel-wiring", "static-lines", "panel-systems", "radios"),
    *("fuel-strainer", "carburettor-screen", "gravity-flow", "tank-left", "tank-right", "corrosion-treatment"),
    *("left-wing", "right-wing", "cabin-systems"),
    # Solvent, and fuel on while somebody looks where it drips.
    *("engine-cleaned", "fuel-leaks-after", "fuel-leaks", "hoses-renewed"),
)
# Every switch is tried: nobody else is anywhere near a propeller or a wire. A spray fills the cabin and the tail.
SWITCHES = ("electrical-function", "instruments-work")
SPRAYED = ("corrosion-treatment", "engine-cleaned")
# What one set-up and one timing light serve, and one of them is compared with the other.
TOGETHER = (("magneto-right-timing", "magneto-left-timing", 20),)
ON_BATTERY = (
    *("electrical-function", "radio-function", "elt-inspection", "instruments-work", "attitude-battery"),
    *("stall-warner", "vor-check", "gear-wiring", "gear-lines", "backup-batteries", "other-equipment"),
)
# The master is on: nobody is at the propeller, whose plugs are in again.
MASTER_ON = tuple(name for name in ON_BATTERY if name != "elt-inspection")


def refusals(walk: Walk, cabin: frozenset[str], points: frozenset[str] = frozenset()) -> list[str]:
    """Everything in a plan that a mechanic would refuse.

    `cabin` are the checks and panels that are done inside, `points` the fairings over the jack points.
    """
    return [
        *(fault for names in ORDERS for fault in walk.before(*names)),
        *_times(walk),
        *_propeller(walk),
        *_jacks(walk, cabin, points),
        *_current(walk),
        *_runs(walk),
    ]


def _times(walk: Walk) -> Iterator[str]:
    for what, minutes, since in COOL:
        if what in walk.checks and since in walk.checks and walk.checks[what][0] < walk.checks[since][1] + minutes:
            yield f"{what} begins {walk.checks[what][0] - walk.checks[since][1]} min after {since}, not {minutes}"
    run = walk.checks.get("run-before")
    for panel, minutes in COOL_PANELS:
        if run and panel in walk.off and walk.off[panel][0] < run[1] + minutes:
            yield f"{panel} comes off hot"
    for first, second, minutes in TOGETHER:
        if first in walk.checks and second in walk.checks:
            gap = walk.checks[second][0] - walk.checks[first][1]
            if not 0 <= gap <= minutes:
                yield f"{second} begins {gap} min after {first}, though one set-up serves both"
    for what, minutes in WARM:
        if run and what in walk.checks and walk.checks[what][0] > run[1] + minutes:
            yield f"{what} begins {walk.checks[what][0] - run[1]} min after the run, the engine is cold"


def _propeller(walk: Walk) -> Iterator[str]:
    for what in TURNED:
        if what in walk.checks:
            start, end, _ = walk.checks[what]
            if "plugs-out" not in walk.off or start < walk.off["plugs-out"][1] or end > walk.on["plugs-out"][0]:
                yield f"{what} while not every cylinder has a plug out and all leads are off"
    if "spark-plugs-in" in walk.checks and walk.stands("plugs-out", *walk.checks["spark-plugs-in"][:2]):
        yield "plugs torqued while they are out"
    for what in SWUNG:
        if what in walk.checks:
            start, end, _ = walk.checks[what]
            for name, since, until, who in walk.moves:
                if name != what and who and since < end and start < until and until > since:
                    yield f"{what} swings the propeller while {name} goes on"
    for what in MASTER_ON:
        if what in walk.checks and walk.stands("plugs-out", *walk.checks[what][:2]):
            yield f"{what} with the master on while the propeller is worked on"


def _jacks(walk: Walk, cabin: frozenset[str], points: frozenset[str]) -> Iterator[str]:
    for name, start, end, _ in walk.moves:
        if name.rsplit(" ", 1)[-1] in cabin and end > start and walk.stands("on-jacks", start, end):
            yield f"{name} in the cabin of an aircraft on jacks"
    for fairing in sorted(points):
        if "on-jacks" in walk.off:
            if fairing not in walk.off or walk.off[fairing][1] > walk.off["on-jacks"][0]:
                yield f"it is jacked before {fairing} is off its jack point"
            elif walk.on[fairing][0] < walk.on["on-jacks"][1]:
                yield f"{fairing} goes on while it stands on its jack point"
    for what in ON_WHEELS:
        if what in walk.checks and walk.stands("on-jacks", *walk.checks[what][:2]):
            yield f"{what} while it is on jacks"
    for what in ON_BATTERY:
        if what in walk.checks and walk.stands("battery-disconnected", *walk.checks[what][:2]):
            yield f"{what} without a battery"


def _current(walk: Walk) -> Iterator[str]:
    for what in DEAD:
        if what in walk.checks:
            start, end, _ = walk.checks[what]
            setup = "battery-disconnected"
            if setup not in walk.off or start < walk.off[setup][1] or end > walk.on[setup][0]:
                yield f"{what} while the battery is connected"
    for what in (*SWITCHES, *SPRAYED):
        if what in walk.checks:
            start, end, _ = walk.checks[what]
            told = "every switch is tried" if what in SWITCHES else "it is sprayed"
            for name, since, until, who in walk.moves:
                if name != what and who and since < end and start < until and until > since:
                    yield f"{name} goes on while {told} in {what}"


def _runs(walk: Walk) -> Iterator[str]:
    for run in RUNS:
        if run in walk.checks:
            start, end, people = walk.checks[run]
            if people < 2:
                yield f"{run} without an observer"
            for name, since, until, who in walk.moves:
                if name != run and who and since < end and start < until and until > since:
                    yield f"{name} goes on while the engine runs in {run}"
            for setup in ("on-jacks", "battery-disconnected", "plugs-out"):
                if walk.stands(setup, start, end):
                    yield f"{run} while {setup} stands"
