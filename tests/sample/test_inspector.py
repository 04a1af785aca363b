"""The sample's checklists as an inspector reads them: one test for each clause that a mechanic asked for.

Content is read plainly (`plain`), order is read off plans as the command prints them. Sources stand beside the tests;
"common practice, no source" and "from memory" where that is so.
"""

import json
import re
from decimal import Decimal
from itertools import pairwise

import pytest

from tests.cli.conftest import Run, calm, run  # noqa: F401
from tests.sample.hangar_rules import MASTER_ON, RUNS, SWUNG, TURNED, Walk, refusals, walk_of
from tests.sample.order_rules import broken, steps_of
from tests.sample.plain import ROOT, Item, front_matters, items, minutes
from tests.sample.test_order import SAMPLE

CURRENT = {item.id: item for item in items() if not item.one("retired")}
PANELS = {front["panel"]: front for front in front_matters().values() if "retired" not in front}
CABIN_PANELS = frozenset(name for name, front in PANELS.items() if front["zone"] == "cabin") | {"battery-disconnected"}
# The battery box is under a seat; its test is done on the bench.
BENCH = {"battery-discharge", "battery-capacity", "battery-charged", "battery-voltage"}
CABIN = (CABIN_PANELS | {name for name, item in CURRENT.items() if item.panel in CABIN_PANELS}) - BENCH
JACK_POINTS = frozenset({"strut-fairings-left", "strut-fairings-right"})
DAY = "2026-11-26"
EVERYTHING = ("condition", "battery-discharge", "battery-capacity")
QUESTIONS = {
    "two people": ("--people", "2"),
    "three people": ("--people", "3"),
    "as it was in the past": ("--people", "2", "--any-hours"),
    "in two days": ("--people", "2", "--session", "Saturday 09:00-17:00", "--session", "Sunday 09:00-17:00"),
}


@pytest.fixture(scope="module")
def walks() -> dict[str, Walk]:
    return {}


def walk(run: Run, walks: dict[str, Walk], name: str) -> Walk:  # noqa: F811
    """The plan of a question, made once."""
    if name not in walks:
        listed = () if name == "as it was in the past" else ("--as-listed",)
        made = run(ROOT, "plan", *EVERYTHING, *QUESTIONS[name], *listed, "--json", on=DAY)
        assert made.code == 0, made.err
        facts = json.loads(made.out)
        # The general rules (order.md) for the whole inspection too.
        assert broken(SAMPLE, steps_of(facts)) == []
        walks[name] = walk_of(facts)
    return walks[name]


def text_of(item: Item) -> str:
    return " ".join([item.text, *(value for _, value in item.keys)])


# --- the order of work ---


@pytest.mark.parametrize("name", QUESTIONS, ids=lambda name: name.replace(" ", "-"))
def test_nothing_in_a_plan_that_a_mechanic_would_refuse(run: Run, walks: dict[str, Walk], name: str) -> None:  # noqa: F811
    found = walk(run, walks, name)
    assert refusals(found, frozenset(CABIN), JACK_POINTS) == []
    # The rules bite: what they speak of is there.
    assert {*TURNED[:6], *RUNS[:5], "oil-fill", "battery-voltage", "directives"} - set(found.checks) <= {
        *("magneto-timing", "valve-clearance")
    }


def test_the_rules_refuse_the_plan_of_the_checklists_as_they_were(run: Run) -> None:  # noqa: F811
    """The store of November 2026, frozen before these clauses, breaks them: the rules can fail."""
    old = ROOT / "tests/stores/2026-11"
    made = run(old, "plan", "condition", "--people", "2", "--as-listed", "--json", on=DAY)
    assert made.code == 0, made.err
    told = "\n".join(refusals(walk_of(json.loads(made.out)), frozenset(CABIN), JACK_POINTS))
    for fault in (
        "compression begins",
        "the engine is cold",
        "propeller-bolts while not every cylinder has a plug out",
        "in the cabin of an aircraft on jacks",
        "it is jacked before strut-fairings-left is off",
        "brakes-hold without an observer",
        "propeller-finish begins before propeller-blades has ended",
        "tank-right while the battery is connected",
        "fuel-leaks-after while the battery is connected",
        "goes on while it is sprayed in corrosion-treatment",
        "though one set-up serves both",
        "spark-plugs begins before engine-cleaned has ended",
        "propeller-finish begins before propeller-wire has ended",
    ):
        assert fault in told


def test_rules_that_no_earlier_plan_broke_can_fail() -> None:
    """The frozen store has no plugs-out and no VOR check in its plan: a plan written by hand."""
    checks = {"radio-function": (30, 38, 1), "vor-check": (40, 50, 1), "brakes-hold": (60, 75, 2)}
    checks |= {"propeller-finish": (80, 100, 1), "idle-leaks": (300, 310, 2)}
    by_hand = Walk(checks, {"plugs-out": (10, 22)}, {"plugs-out": (90, 110)}, ())
    told = refusals(by_hand, frozenset())
    assert "vor-check begins before brakes-hold has ended" in told
    assert "radio-function with the master on while the propeller is worked on" in told
    assert "idle-leaks begins 200 min after propeller-finish, not 240" in told


def test_drain_before_screens_before_fill_before_run_before_look() -> None:
    assert {"oil-change", "engine-leaks"} <= set(CURRENT["suction-screen"].listed("after"))
    assert {"oil-change", "engine-leaks"} <= set(CURRENT["oil-filter-cut"].listed("after"))
    assert {"oil-change", "oil-filter-cut", "suction-screen"} <= set(CURRENT["oil-fill"].listed("after"))
    assert {"oil-fill", "oil-filter-cut", "suction-screen", "fuel-leaks-after"} <= set(
        CURRENT["idle-leaks"].listed("after")
    )
    assert "idle-leaks" in CURRENT["leaks-after-oil"].listed("after")
    # The oil is where it is put in, and what follows a change is owed after it, so that no change ends at the drain.
    assert [name for name, item in CURRENT.items() if "6 qt engine oil" in item.one("uses")] == ["oil-fill"]
    for name in ("oil-filter-cut", "oil-fill", "idle-leaks", "leaks-after-oil"):
        assert "did oil-change" in CURRENT[name].listed("owed-after"), name
    assert "did suction-screen" in CURRENT["oil-fill"].listed("owed-after")


def test_hot_work_waits_and_warm_work_does_not() -> None:
    for name in ("exhaust-stacks", "muffler-shell", "engine-cleaned"):
        assert CURRENT[name].one("wait") == "45 min after run-before", name
    for name in ("suction-screen", "oil-filter-cut"):
        assert CURRENT[name].one("wait") == "40 min after oil-change", name
        assert "ot oil" in text_of(CURRENT[name]) or "cooled" in CURRENT[name].text
    for panel in ("heat-muff", "baffles"):
        assert PANELS[panel]["wait"] == "45 min after run-before"
    for name in ("compression", "oil-change"):
        assert CURRENT[name].one("within") == "30 min of run-before", name
    assert "Exhaust cold" in CURRENT["engine-cleaned"].one("caution")


@pytest.mark.parametrize("folder", ["checklists", "inspect_kit/starter/checklists"])
def test_where_a_caution_forbids_sparks_the_battery_is_disconnected(folder: str) -> None:
    """Fuel vapour and solvent beside a live battery: common practice, no source."""
    panels = {front["panel"]: front for front in front_matters(ROOT / folder).values()}
    found = []
    for item in items(ROOT / folder):
        told = " ".join([*item.all("caution"), *cautions_of(panels[item.panel])])
        # Near the battery itself the caution is its own; the plug tester and the cleaner spark by themselves.
        vapour = re.search(r"no (flame or )?sparks?\b(?! near)|[Ff]uel vapour|[Oo]pen fuel[.:]", told)
        if vapour and item.panel != "battery-disconnected":
            found.append(item.id)
            behind = [panels[item.panel], *(panels[name] for name in item.listed("with") if name in panels)]
            named = {*item.listed("with"), *(name for front in behind for name in front.get("behind", ()))}
            assert "battery-disconnected" in named or item.panel == "fuel-drained", item.id
    assert len(found) > 4


def test_every_torque_has_a_wrench_that_reaches_it() -> None:
    """A wrench of 250 in-lb says nothing at 500, and the plan is read for what to have ready."""
    torques = []
    for name, item in CURRENT.items():
        for asked in item.all("reads"):
            if bound := re.search(r", in-lb, (\d+) to (\d+)", asked):
                wrench = re.search(r"torque wrench (\d+)-(\d+) in-lb", item.one("tools"))
                assert wrench, name
                assert int(wrench[1]) <= int(bound[1]) < int(bound[2]) <= int(wrench[2]), name
                torques.append(name)
    assert len(torques) >= 8


STORES = ["checklists", "inspect_kit/starter/checklists"]


@pytest.mark.parametrize("folder", STORES)
def test_what_is_wired_or_pinned_anew_has_its_wire_and_pins_to_hand(folder: str) -> None:
    """What is undone by the work itself, and is in the list of parts before it begins. Common practice, no source."""
    found = set()
    for item in items(ROOT / folder):
        # A wire that is only looked at, at a turnbuckle or a bolt that stays, takes none.
        if re.search(r"\b(bolts|shut and|oiled,|-tight and|gaskets,) wired\b|\bwire back\b|\bnew wire\b", item.text):
            assert any("safety wire" in used for used in item.all("uses")), item.id
            found.add(item.id)
        if re.search(r"\btorque: ?.*cotter pins|\btorque, cotter pins|torqued again, the rubbers", item.text):
            assert any("cotter pins" in used for used in item.all("uses")), item.id
            found.add(item.id)
    wanted = {"wheels", "oil-screens"} if "starter" in folder else {"wheel-left", "brake-linings", "mount-first-torque"}
    assert found >= wanted


@pytest.mark.parametrize("folder", STORES)
def test_who_moves_a_control_says_so(folder: str) -> None:
    """Where one looks into hinges, horns, bellcranks or pulleys another may move the stick. Common practice."""
    panels = {front["panel"]: front for front in front_matters(ROOT / folder).values()}
    looks = r"[Hh]inges\b.*\b(play|balance|bush)|bellcrank:|[Hh]orn\b.*stops|pedals,|[Ff]lap\b.*(rod end|lever)"
    moved = {item.id for item in items(ROOT / folder) if re.search(looks, item.text)}
    wanted = (
        {"left-wing-controls", "right-wing-controls"}
        if "starter" in folder
        else {"pedals", "aileron-left", "flap-right", "bellcrank-left", "tail-hinges", "rudder-horn", "flap-system"}
    )
    assert moved >= wanted
    for item in items(ROOT / folder):
        if item.id in moved | ({"controls-floor", "tail-controls"} if "starter" in folder else {"elevator-bellcrank"}):
            told = " ".join([*item.all("caution"), *cautions_of(panels[item.panel])])
            assert re.search(r"before you move it|[Hh]ands out of", told), item.id


@pytest.mark.parametrize("folder", STORES)
def test_where_the_master_is_on_the_propeller_is_left_alone(folder: str) -> None:
    """A starter turns when its relay sticks: common practice, no source."""
    found = {item.id: item for item in items(ROOT / folder) if item.id in MASTER_ON}
    assert len(found) >= 4
    for name, item in found.items():
        assert {"battery-disconnected", "plugs-out"} <= set(item.listed("not-while")), name
        # At the VOR checkpoint a pilot is aboard, and everything is shut.
        told = " ".join(item.all("caution"))
        assert name == "vor-check" or "Nobody in the propeller arc while the master is on" in told


def test_what_is_shut_is_not_asked_for() -> None:
    """Straps of a tank or the engine, or an antenna from inside, in a place where nothing comes off."""
    for item in CURRENT.values():
        if not {"remove", "make"} & set(PANELS[item.panel]) and not item.one("with"):
            assert not re.search(r"\b(from|and) inside\b|of surfaces, tanks|tanks and engine", item.text), item.id
    assert "control surfaces" in CURRENT["bonding-straps"].text


def test_a_strut_under_pressure_is_only_looked_at_on_its_wheel() -> None:
    """Its plug out with the weight on it lets the nose down on whoever unscrews it. Common practice, no source."""
    check = CURRENT["nose-oleo"]
    assert "by the plug" not in check.text
    assert "`nose-oleo-fluid`" in check.text
    assert "neither valve nor plug is unscrewed" in check.one("caution")
    assert "on-jacks" in CURRENT["nose-oleo-fluid"].listed("with")


def test_varnish_dries_before_anything_turns() -> None:
    check = CURRENT["propeller-finish"]
    assert CURRENT["idle-leaks"].one("wait") == "4 h after propeller-finish"
    assert {"propeller-blades", "propeller-track", "propeller-wire"} <= set(check.listed("after"))
    assert check.listed("with") == ["plugs-out"]
    assert "until the varnish is dry" in check.one("caution")


def test_a_tank_is_emptied_or_brimmed_before_it_is_weighed_and_the_nose_is_up_for_the_flow() -> None:
    """AC 43.13-1B chapter 10 (fuel drained, or full and taken off again); AC 90-89 on the attitude: from memory."""
    assert "unusable fuel or brimmed and the usable fuel taken off again" in CURRENT["weighing"].text
    assert "nose raised to the steepest climb" in CURRENT["gravity-flow"].text


def test_brake_dust_is_not_breathed() -> None:
    for side in ("left", "right"):
        assert "brake dust" in CURRENT[f"brake-{side}"].one("caution")


def test_a_breaker_is_pulled_not_tripped() -> None:
    assert "trip" not in CURRENT["electrical-function"].text


def test_nothing_is_measured_on_what_is_off() -> None:
    """The gap of a spinner in a box, the clearance of a fairing in the hand."""
    assert "as measured before that came off" in CURRENT["mount-rubbers"].text
    assert "Measure the gap of the spinner to the cowling before it comes off" in page_of("nose/spinner")
    for name, page in (
        ("fairing-left-shell", "gear/wheel-fairing-left"),
        ("fairing-right-shell", "gear/wheel-fairing-right"),
        ("nose-fairing-shell", "nose/nose-gear-fairing"),
    ):
        assert "clearance" not in CURRENT[name].text
        assert "When it is back on, see that it clears the tyre" in page_of(page)


def test_no_cover_is_left_on_for_the_run() -> None:
    """The page told to cover the fuel vents and nobody to uncover them."""
    everything = "\n".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "checklists").rglob("*.md")))
    assert "Cover the fuel vents" not in everything
    assert "covers" in CURRENT["tools-before-run"].text
    assert "cap on" in CURRENT["leaks-after-oil"].text


def page_of(name: str) -> str:
    return " ".join((ROOT / f"checklists/{name}.md").read_text(encoding="utf-8").split())


def cautions_of(front: dict) -> list[str]:
    told = front.get("caution", "")
    return [told] if isinstance(told, str) else list(told)


# --- the propeller ---


def test_one_plug_out_of_every_cylinder_and_all_leads_off() -> None:
    """A four-cylinder engine with two magnetos has eight leads: each magneto fires top plugs too."""
    setup = PANELS["plugs-out"]
    assert (setup["kind"], setup["name"]) == ("setup", "One plug out of every cylinder, all leads off")
    for name in TURNED:
        if name in CURRENT and CURRENT[name].panel != "propeller-off":
            assert "plugs-out" in CURRENT[name].listed("with"), name
    assert "plugs-out" in PANELS["propeller-off"]["behind"]
    everything = "\n".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "checklists").rglob("*.md")))
    for wrong in ("both leads", "Both leads", "Bottom plugs", "off the bottom plugs before", "lead off each bottom"):
        assert wrong not in everything
    assert "a lead off the bottom plugs alone leaves the top ones alive" in everything


@pytest.mark.parametrize("name", [*(name for name in SWUNG if name in CURRENT), "valve-clearance", "propeller-bolts"])
def test_whatever_moves_the_propeller_says_so(name: str) -> None:
    told = CURRENT[name].one("caution")
    assert re.search(r"propeller|hub", told), name
    if name in SWUNG or name == "valve-clearance":
        assert CURRENT[name].one("alone") == "yes"


def test_what_one_set_up_serves_is_timed_in_one_go() -> None:
    """The left is compared with the right ("within 1 degree of each other"): common practice, no source."""
    assert CURRENT["magneto-left-timing"].one("within") == "20 min of magneto-right-timing"


@pytest.mark.parametrize("name", ["battery-discharge", "battery-capacity"])
def test_no_battery_is_left_alone(name: str) -> None:
    """A battery that gasses in a locked hangar: common practice, no source."""
    assert "when everybody leaves" in CURRENT[name].one("caution")
    setup = (ROOT / "checklists/aircraft/battery-disconnected.md").read_text(encoding="utf-8")
    assert "no battery is charged in a locked hangar" in " ".join(setup.split())


def test_shared_tooling_is_told_once_and_in_words(run: Run) -> None:  # noqa: F811
    made = run(ROOT, "plan", "propeller-bolts", "compression", "--only", "--as-listed", "--json", on=DAY)
    tools = json.loads(made.out)["tools"]
    # The bolts of the hub, and the plugs that go back in: two wrenches, each told once.
    wrenches = ["torque wrench 200-600 in-lb", "torque wrench 50-250 in-lb"]
    assert sorted(tool for tool in tools if "torque" in tool) == wrenches
    assert [tool for tool in tools if "compression" in tool] == ["compression tester with 0.040 in orifice"]
    assert not {"torque-wrench", "compression-tester"} & set(tools)


def test_plugs_go_in_by_torque() -> None:
    """18 mm plugs: 30 to 35 ft-lb, 360 to 420 in-lb (from memory)."""
    check = CURRENT["spark-plugs-in"]
    assert "torque, in-lb, 360 to 420" in check.all("reads")
    assert (30 * 12, 35 * 12) == (360, 420)
    assert "torque-wrench" in check.listed("needs")
    assert "did spark-plugs" in check.listed("owed-after")
    assert "plugs-out" in check.listed("not-while")
    assert "prevails" in check.one("source")


def test_a_wooden_propeller_is_torqued_again_after_one_hour_and_ten() -> None:
    """Common practice, no source; the maker's sheet prevails."""
    check = CURRENT["propeller-retorque"]
    assert check.one("first") == "1 h, 10 h"
    assert "installed propeller" in check.listed("owed-after")
    assert check.one("bars") == "flight"
    assert not check.one("every")
    for name in ("propeller-wire", "propeller-track"):
        assert {"did propeller-bolts", "did propeller-retorque"} <= set(CURRENT[name].listed("owed-after"))
    assert "cut the safety wire" in CURRENT["propeller-bolts"].text


def test_an_engine_that_was_fitted_is_looked_at_all_round_before_it_flies() -> None:
    """Common practice, no source: what was parted to take it out is looked at, torqued, timed and run."""
    for name in (
        *("mount-bolts", "mount-rubbers", "engine-mount", "throttle-control", "mixture-control", "heat-valve"),
        *("fuel-hoses-look", "oil-hoses-look", "carburettor-mount", "exhaust-stacks", "engine-wiring"),
        *("alternator-starter", "oil-fill", "fuel-leaks-after", "tools-before-run", "idle-leaks", "leaks-after-oil"),
        *("spark-plugs-in", "magneto-left-timing", "magneto-right-timing", "magneto-grounding", "propeller-bolts"),
        *("propeller-retorque", "tools-counted"),
    ):
        assert "installed engine" in CURRENT[name].listed("owed-after"), name


def test_the_two_magnetos_drop_alike() -> None:
    """50 rpm between them: common practice, no source."""
    for run_ in ("run-before", "run-after"):
        told = "difference between the drops, rpm, at most 50 = spread of left magneto drop, right magneto drop"
        assert told in CURRENT[run_].all("reckons")
        assert "common practice" in CURRENT[run_].one("source")


def test_off_left_and_right_are_said_the_right_way_round() -> None:
    check = CURRENT["magneto-grounding"]
    assert "stops on OFF, keeps running on LEFT and on RIGHT" in check.text
    assert not re.search(r"\bdies\b", " ".join(text_of(item) for item in CURRENT.values()))
    assert "d9" not in check.listed("covers")
    assert not check.listed("covers")


def test_electrical_checks_leave_ignition_and_starter_out() -> None:
    check = CURRENT["electrical-function"]
    assert "ignition switch at OFF with its key out, starter left alone" in check.text
    assert "propeller arc" in check.one("caution")


# --- made safe, open, counted ---


def test_the_aircraft_is_made_safe_first_and_again_after_the_run(run: Run, walks: dict[str, Walk]) -> None:  # noqa: F811
    first, again = CURRENT["made-safe"], CURRENT["safe-after-run"]
    assert (first.one("when"), again.one("when")) == ("before", "before")
    for words in ("ignition off and key out", "mixture at idle cut-off", "fuel off", "throttle closed", "chocks in"):
        assert words in first.text
    assert again.listed("after") == ["run-before"]
    found = walk(run, walks, "two people")
    assert found.checks["made-safe"][0] == 0
    assert found.checks["safe-after-run"][1] <= min(start for start, _ in found.off.values())


def test_the_controls_are_tried_when_everything_is_shut(run: Run, walks: dict[str, Walk]) -> None:  # noqa: F811
    """A floor or a tail fairing put back can foul what was free before it: common practice, no source."""
    assert "first controls free, to every stop and the right way, with everything shut" in CURRENT["run-after"].text
    assert CURRENT["run-after"].one("when") == "closed"
    found = walk(run, walks, "two people")
    assert found.checks["run-after"][0] >= max(end for _, end in found.on.values())


def test_directives_are_searched_before_anything_is_opened() -> None:
    assert CURRENT["directives"].one("when") == "before"


def test_what_was_opened_is_asked_when_all_is_shut_and_in_the_past() -> None:
    check = CURRENT["panels-opened"]
    assert check.one("when") == "closed"
    assert "were opened" in check.text
    assert "was left shut" in check.text
    assert {"panels-opened", "tools-counted"} <= set(CURRENT["run-after"].listed("after"))


def test_everything_is_counted_before_the_engine_turns() -> None:
    """A full count before the run with the cowling off, and one when all is back on before any other run."""
    assert "tools-before-run" in CURRENT["idle-leaks"].listed("after")
    assert "did oil-change" in CURRENT["tools-before-run"].listed("owed-after")
    for name in ("run-after", "magneto-grounding", "brakes-hold", "compass-swing"):
        assert "tools-counted" in CURRENT[name].listed("after"), name
        assert set(CURRENT[name].listed("owed-after")) <= set(CURRENT["tools-counted"].listed("owed-after")), name


def test_the_engine_is_looked_at_then_cleaned_then_inspected() -> None:
    inspected = {name for name, item in CURRENT.items() if "engine-cleaned" in item.listed("after")}
    assert {"mount-bolts", "mount-rubbers", "firewall-forward", "engine-wiring", "studs-and-nuts"} <= inspected
    assert CURRENT["engine-mount"].one("wait").endswith("after engine-cleaned")
    assert {"compression", "engine-leaks"} <= set(CURRENT["engine-cleaned"].listed("after"))
    for name in ("fuel-strainer", "carburettor-screen", "suction-screen", "oil-filter-cut"):
        assert "engine-leaks" in CURRENT[name].listed("after"), name


def test_no_motor_sparks_beside_open_fuel() -> None:
    """The vacuum cleaner is away before the strainer or the carburettor is opened. Common practice, no source."""
    for name in ("fuel-strainer", "carburettor-screen"):
        assert "exhaust-pressure" in CURRENT[name].listed("after")


# --- jacks ---


def test_nobody_is_in_the_cabin_on_jacks() -> None:
    own = {name: item for name, item in CURRENT.items() if PANELS[item.panel]["zone"] == "cabin"}
    by_us = {name for name, item in own.items() if not item.one("who").startswith("others") and not item.one("life")}
    assert len(by_us) >= 40
    assert [name for name in sorted(by_us) if "on-jacks" not in CURRENT[name].listed("not-while")] == []
    moving = [name for name in CABIN_PANELS if {"remove", "make"} & set(PANELS[name])]
    assert len(moving) >= 10
    assert [name for name in moving if "on-jacks" not in PANELS[name].get("not-while", [])] == []
    assert "nobody in the cabin" in PANELS["on-jacks"]["caution"]


def test_jack_points_are_uncovered_first() -> None:
    assert PANELS["on-jacks"]["behind"] == ["strut-fairings-left", "strut-fairings-right"]


def test_an_oleo_is_read_on_its_wheels() -> None:
    check = CURRENT["nose-oleo"]
    assert "on its wheel" in check.text
    assert check.listed("not-while") == ["on-jacks"]
    for side in ("left", "right"):
        assert "on-jacks" in CURRENT[f"strut-bolts-{side}"].listed("not-while")


# --- the battery ---


def test_a_capacity_test_takes_its_hours_and_its_recharge() -> None:
    """22 Ah at 5 A are 4.4 h; at 90 % of them 4.0 h. A night off the charger before the voltage is read."""
    assert Decimal(22) / 5 == Decimal("4.4")
    chain = ("battery-discharge", "battery-capacity", "battery-charged", "battery-voltage")
    waits = [CURRENT[name].one("wait") for name in chain]
    assert waits == ["", "4 h after battery-discharge", "7 h after battery-capacity", "8 h after battery-charged"]
    for before, after in pairwise(chain):
        assert f"did {before}" in CURRENT[after].listed("owed-after")
    # Nobody stands beside it meanwhile.
    assert all(minutes(CURRENT[name].one("time") or "5 min") <= 10 for name in chain)
    assert all(CURRENT[name].panel == "battery-disconnected" for name in chain)
    assert "bench" in CURRENT["battery-discharge"].text
    assert "next morning" in CURRENT["battery-voltage"].text
    assert not [name for name, item in CURRENT.items() if name != "battery-voltage" and "voltage, V" in text_of(item)]


# --- figures and times ---


def test_strut_fork_bolts_are_drawn_by_the_builders_figure() -> None:
    """1/2-20 bolts in shear: tension torque (480 to 690) may pinch a fork, shear nuts take at most 410 (table 7-1)."""
    for side in ("left", "right"):
        check = CURRENT[f"strut-bolts-{side}"]
        assert check.one("source").startswith("builder's maintenance sheet")
        bound = re.search(r"in-lb, (\d+) to (\d+)$", check.one("reads"))
        assert bound is not None
        assert int(bound[2]) <= 410
        assert "no fork is pinched" in check.text


TIMES = {
    "wheel-left": "45 min",
    "wheel-right": "45 min",
    "wheel-nose": "45 min",
    "propeller-wire": "20 min",
    "control-travel": "35 min, 2 people",
    "compression": "40 min, 2 people",
}


@pytest.mark.parametrize("name", TIMES)
def test_minutes_that_can_be_kept(name: str) -> None:
    """Common practice, no source: a mechanic's own."""
    assert CURRENT[name].one("time") == TIMES[name]


def test_what_holds_for_so_many_minutes_takes_longer_than_that() -> None:
    words = {"two": 2, "five": 5, "ten": 10}
    held = {}
    for name, item in CURRENT.items():
        for number in re.findall(r"\b(\d+|two|five|ten) minutes\b", item.text):
            held[name] = max(held.get(name, 0), words.get(number) or int(number))
    assert {"brakes-hold": 5, "fuel-leaks-after": 10, "attitude-battery": 30, "idle-leaks": 2}.items() <= held.items()
    for name, long in held.items():
        taken = int((CURRENT[name].one("time") or "5 min").split()[0])
        assert taken > long, name


@pytest.mark.parametrize("name", [name for name in RUNS if name in CURRENT])
def test_a_run_has_an_observer(name: str) -> None:
    assert CURRENT[name].one("time").endswith(", 2 people")
    assert CURRENT[name].one("alone") == "yes"
    assert re.search(r"observer|second person|everyone out|Nobody", CURRENT[name].one("caution"))


def test_gravity_flow_fits_the_engine_and_the_marginal_tank_says_so() -> None:
    """Former 14 CFR 23.955: 150 % of take-off consumption, for 100 hp about 9 to 9.5 gal/h (common practice)."""
    check = CURRENT["gravity-flow"]
    bounds = {Decimal(re.findall(r"at least ([\d.]+) =", value)[0]) for value in check.all("reckons")}
    assert bounds == {Decimal("9.1") * Decimal("1.5")}
    assert Decimal("13.5") <= min(bounds) <= Decimal("14.25")
    assert "9.1 gal/h here, 100 hp" in check.one("source")


# --- codes and equipment ---


def test_e6_is_looked_at_where_wires_chafe() -> None:
    check = CURRENT["gear-wiring"]
    assert check.listed("covers") == ["e6"]
    assert "chafing" in check.text
    assert {check.panel, *check.listed("with")} >= {"wheel-fairing-left", "wheel-fairing-right", "nose-gear-fairing"}


def test_the_fairing_of_a_wheel_is_no_cowling() -> None:
    assert {item.id for item in CURRENT.values() if "d11" in item.listed("covers")} == {
        "upper-cowl-shell",
        "lower-cowl-shell",
    }


@pytest.mark.parametrize("name", ["attitude-battery", "stall-warner", "pre-heater"])
def test_what_was_fitted_later_has_its_check(name: str) -> None:
    assert [code.split(".")[0] for code in CURRENT[name].listed("covers")] == ["j"]
    assert CURRENT[name].one("every") == "condition inspection"
    assert "maker" in CURRENT[name].one("source")


def test_91_9_asks_for_no_equipment_list() -> None:
    assert "91.9" not in CURRENT["equipment-list"].one("source")
    assert "operating limitations" in CURRENT["equipment-list"].one("source")


def test_a_hose_is_on_condition_or_has_a_life() -> None:
    lives = {item.one("counts-on") for item in CURRENT.values() if "hose" in item.one("counts-on") and item.one("life")}
    assert lives == {"fuel-hoses", "brake-hoses"}
    assert [item.id for item in CURRENT.values() if item.one("life") and item.one("replace")] == []
    assert CURRENT["oil-hoses-look"].one("replace") == "on condition"


# --- the rules that name a use ---


BARS = {
    "elt-inspection": ("91.207(d)", "flight"),
    "elt-battery": ("91.207(c)", "flight"),
    "elt-back": ("91.207(f)(10)", "flight"),
    "transponder-test": ("91.413", "the transponder"),
    "altimeter-static": ("91.411(a)(1)", "flight under IFR in controlled airspace"),
    "static-leak": ("91.411(a)(2)", "flight under IFR in controlled airspace"),
    "data-correspondence": ("91.413(b)", "the transponder and flight under IFR in controlled airspace"),
    "vor-check": ("91.171", "flight under IFR by VOR"),
    "registration": ("47.40", "flight"),
}


@pytest.mark.parametrize("name", BARS)
def test_what_a_rule_forbids_is_barred(name: str) -> None:
    rule, barred = BARS[name]
    assert rule in CURRENT[name].one("source")
    assert CURRENT[name].one("bars") == barred


def test_makers_bind_or_advise() -> None:
    """What a maker makes mandatory bars flight; advice, overhaul times and common practice bar nothing."""
    mandatory = {item.id for item in CURRENT.values() if "mandatory" in item.one("source")}
    assert len(mandatory) >= 5
    assert {CURRENT[name].one("bars") for name in mandatory} == {"flight"}
    for item in CURRENT.values():
        if "(advice)" in item.one("source") or (item.one("life") and "common practice" in item.one("source")):
            assert item.one("bars") == "nothing", item.id
    # A life bars flight unless it says otherwise, so each one says what it does.
    assert [item.id for item in CURRENT.values() if item.one("life") and not item.one("bars")] == []


def test_elt_battery_after_more_than_one_hour_its_new_date_outside_and_in_the_record() -> None:
    """14 CFR 91.207(c)."""
    check = CURRENT["elt-battery"]
    assert "more than one hour of use in all" in check.text
    assert "the new date marked on the outside and entered in the record" in check.text
    assert "date on the outside, words" in check.all("reads")


def test_an_elt_taken_out_is_entered_placarded_and_back_within_90_plain_days() -> None:
    """14 CFR 91.207(f)(10)."""
    out, back = CURRENT["elt-removed"], CURRENT["elt-back"]
    assert out.all("reads") == ["make, words", "model, words", "serial, words", "reason, words"]
    assert 'placard "ELT not installed"' in out.text
    assert "90 days" in out.one("caution")
    assert (back.one("owed-after"), back.one("first")) == ("did elt-removed", "90 days")


def test_the_90_days_are_counted_plainly(run: Run, tmp_path) -> None:  # type: ignore[no-untyped-def]  # noqa: F811
    """Out on 2026-06-01: back by 2026-08-30 (the worked example in the reference of the rules)."""
    plane = tmp_path / "plane"
    assert run(None, "new", str(plane), "--sample").code == 0
    assert run(plane, "work", "elt-removed", "--by", "Hazel Quillfeather", on="2026-06-01").code == 0
    due = json.loads(run(plane, "due", "--json", on="2026-06-02").out)
    (item,) = [item for item in due["items"] if item["check"] == "elt-back"]
    assert item["due"]["date"] == "2026-08-30"


def test_a_vor_check_asks_place_and_error_every_30_days() -> None:
    """14 CFR 91.171: 30 days; 4 degrees on the ground or between two sets, 6 in the air; place, error, signature."""
    check = CURRENT["vor-check"]
    assert check.one("every") == "30 days"
    error = "bearing error, deg, by vor-error at height above ground"
    assert check.all("reads") == ["place, words", "height above ground, ft", error]
    assert "signature in the record" in check.text
    assert "between two sets anywhere" in check.text
    # A limit is no hazard, and among cautions it takes their place.
    assert not check.all("caution")


@pytest.mark.parametrize(
    ("height", "error", "out"), [("0", "4", ""), ("0", "-5", "-4 to 4"), ("2500", "5", ""), ("2500", "6.5", "-6 to 6")]
)
def test_a_vor_error_is_out_by_where_it_was_read(run: Run, tmp_path, height: str, error: str, out: str) -> None:  # type: ignore[no-untyped-def]  # noqa: F811
    """14 CFR 91.171(b): 4 degrees on the ground, 6 in the air."""
    plane = tmp_path / "plane"
    assert run(None, "new", str(plane), "--sample").code == 0
    given = ["place=pump of Sandpiper Meadow", f"height above ground={height}", f"bearing error={error}"]
    read = [word for value in given for word in ("--read", value)]
    told = run(plane, "work", "vor-check", "tach=250.4", *read, "--by", "Hazel Quillfeather", on="2026-11-25")
    assert (f"the limit is {out}" in told.err) if out else (told.code == 0), told.err


def test_a_static_system_that_was_opened_owes_its_leak_test_alone() -> None:
    """14 CFR 91.411(a)(2): appendix E(a) alone; 23.1325: at most 100 ft in a minute."""
    assert CURRENT["static-leak"].one("owed-after") == "disturbed static-system"
    assert "at most 100" in CURRENT["static-leak"].one("reads")
    assert not CURRENT["altimeter-static"].one("owed-after")
    triggers = set(CURRENT["data-correspondence"].listed("owed-after"))
    assert triggers >= {"disturbed encoder", "disturbed transponder", "installed encoder", "installed transponder"}


# --- words ---


STRUCK = (
    *("in sum", "nought", "print of movement", "outer clamped", "slack the safety wire", "neither LEFT nor RIGHT"),
    *("both leads", "Behind the instrument panel", "axle cotter pin;", "put right"),
)


@pytest.mark.parametrize("words", STRUCK)
def test_words_that_a_practitioner_strikes(words: str) -> None:
    paths = [*(ROOT / "checklists").rglob("*.md"), *(ROOT / "records").rglob("20*/*")]
    found = [path.name for path in sorted(paths) if path.is_file() and words in path.read_text(encoding="utf-8")]
    assert found == []


def test_a_check_has_a_title_that_an_entry_can_print() -> None:
    """What stands before the colon is printed in lists and in the logbook entry."""
    titles = {name: item.text.partition(":")[0] for name, item in CURRENT.items()}
    assert [title for title in titles.values() if len(title) > 60] == []
    assert len(set(titles.values())) == len(titles)


def test_what_comes_off_is_a_thing() -> None:
    """`REMOVE Propeller off` is no sentence."""
    for front in PANELS.values():
        if "remove" in front:
            assert not re.search(r"\b(off|detached|hinged|[Bb]ehind)\b", front["name"].split(",")[0]), front["name"]


# --- words and figures ---


def test_every_total_in_the_due_list_has_its_unit(run: Run) -> None:  # noqa: F811
    told = " ".join(run(ROOT, "due", "--all", on=DAY).out.split())
    last = re.findall(r"last: \d{4}-\d\d-\d\d, (\S+ \S+ \S+)", told)
    assert len(last) > 60
    assert [words for words in last if not re.fullmatch(r"total [\d.]+ (h|landings)[;,]?", words)] == []
