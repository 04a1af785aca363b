"""The months ahead as a page and as JSON."""

import json
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from inspect_kit.due.answer import FINDING, INSPECTION
from inspect_kit.model.checklist import SETUP
from inspect_kit.report import json_text, plain, visits_json, visits_page
from inspect_kit.report.blocks import DONE, PULLED, VISIT
from inspect_kit.report.pages.visit_strip import visit_strip
from tests.report.answers import day, doing, outlook, visit
from tests.report.small import logbook

BOOK = logbook()


WITH_OIL = "Together with Change the oil and the filter, cut the filter open and look for metal (oil-change)"
OF_ITS_INTERVAL = "20 of the 500 h of its interval"


def words(room: int = 200, **given: Any) -> str:
    return " ".join(plain.render(visits_page(outlook(**given), BOOK), room).split())


def test_the_strip_has_visits_items_by_panel_and_arrows() -> None:
    strip = visit_strip(outlook(), BOOK)
    assert strip is not None
    oil = f"  {BOOK.checks['oil-change'].title}"
    rows = [(row.label, [(mark.kind, mark.start, mark.end) for mark in row.marks]) for row in strip.rows]
    first, second = float(day("2026-12-05").toordinal()), float(day("2027-04-03").toordinal())
    assert rows == [
        ("visits", [(VISIT, first, None), (VISIT, second, None)]),
        ("Lower cowling", []),
        (oil, [(DONE, first, None), (PULLED, second, day("2027-04-05").toordinal())]),
        ("Tail fairing", []),
        ("  Grease the trim screw", [(PULLED, first, day("2027-03-01").toordinal())]),
    ]
    assert [row.alias for row in strip.rows] == ["", "", "  oil-change", "", "  trim-grease"]


def test_a_visit_that_opens_nothing_says_so_and_counts_no_minutes_for_it() -> None:
    closed = replace(visit("2027-05-01", doing("a", "2027-05-01", "2028-01-01")), panels=(), panel_labour=0)
    text = words(visits=(closed,))
    assert re.search(r"checks?, nothing off or set up; [\d hmin]+ on checks\.", text)
    assert "0 panels" not in text


def test_an_arrow_ends_with_the_strip_where_the_due_day_lies_beyond() -> None:
    late = (visit("2027-05-01", doing("a", "2027-05-01", "2028-01-01")),)
    strip = visit_strip(outlook(visits=late), BOOK)
    assert strip is not None
    assert strip.rows[2].marks[0].end == outlook().end.toordinal()


@pytest.mark.parametrize("room", [80, 120])
def test_the_page_fits_and_every_item_is_on_it(room: int) -> None:
    text = plain.render(visits_page(outlook(), BOOK), room)
    assert max(map(len, text.splitlines())) <= room
    checks = ("Change the oil", "Grease the trim screw", "filter-cut", "elt-battery")
    pieces = (*checks, "2026-12-05", "2027-04-03", "8 of the 100 h")
    for piece in pieces:
        assert piece in text


def test_each_visit_says_when_what_and_how_much() -> None:
    text = words()
    assert "1. 2026-12-05, Saturday" in text
    assert "tach about 20.5, 24.0 after heavy use" in text
    assert "3 checks, 1 panel or setup; 1 h 8 min on panels, 45 min on checks. Off: Lower cowling." in text
    assert f"{WITH_OIL}: filter-cut." in text
    assert "Owed some time after it: propeller-torque after 1 h." in text
    # By its words, as everywhere.
    assert "Grease the trim screw Tail fairing 2027-03-01 86 days 8 of the 100 h of its interval, 3 min 56 min" in text


def test_what_comes_with_another_item_says_what_it_gives_away_too() -> None:
    follower = doing(
        *("filter-cut", "2026-12-05", "2027-01-05"),
        with_="oil-change",
        given_away="12 of the 50 h of its interval",
        wastes=7.2,
    )
    one = visit("2026-12-05", doing("oil-change", "2026-12-05", "2026-12-05"), follower)
    assert f"{WITH_OIL}: filter-cut: 12 of the 50 h of its interval, 7 min." in words(visits=(one,))


def test_what_comes_with_an_inspection_is_named_by_its_words_a_finding_too() -> None:
    leader = doing("condition", "2026-12-05", "2026-12-05", kind=INSPECTION)
    follower = doing("2026-11-21-condition-bbbb#F2", "2026-12-05", None, kind=FINDING, words="crack", with_="condition")
    assert "Together with the condition inspection: crack." in words(visits=(visit("2026-12-05", leader, follower),))


def test_many_that_come_with_another_item_stand_in_a_table_and_not_in_one_sentence() -> None:
    """27 of them were a paragraph of 15 lines."""
    leader = doing("condition", "2026-12-05", "2026-12-05", kind=INSPECTION)
    given = {"with_": "condition", "given_away": "12 of the 50 h of its interval", "wastes": 7.2}
    many = [doing(f"look-{n}", "2026-12-05", "2027-01-05", **given) for n in range(9)]
    shown = plain.render(visits_page(outlook(visits=(visit("2026-12-05", leader, *many),)), BOOK), 80).splitlines()
    rows = [line for line in shown if line.startswith("look-")]
    assert [line.split()[0] for line in rows] == [f"look-{n}" for n in range(9)]
    assert all(line.endswith("12 of the 50 h of its interval, 7 min") for line in rows)
    assert any(line.startswith("Condition inspection ") for line in shown)


def test_a_visit_names_its_setups_its_tooling_and_the_flying_season() -> None:
    work = doing("a", "2026-12-05", None)
    one = visit("2026-12-05", work, panels=("cowl-lower",), tooling=("jacks",), in_season=True)
    text = words(visits=(one,))
    assert "It is in the flying season. Off: Lower cowling. Tooling: jacks." in text
    assert "flying season" not in words()
    standing = replace(BOOK.panels["cowl-lower"], kind=SETUP, name="On jacks, wheels clear")
    book = replace(BOOK, panels={**BOOK.panels, "cowl-lower": standing})
    text = " ".join(plain.render(visits_page(outlook(visits=(one,)), book), 200).split())
    assert "Set up: On jacks, wheels clear." in text
    assert "Off:" not in text


def test_the_lower_bound_and_what_was_made_small_are_said() -> None:
    # 90 + 136 + 5.4 min, and the bound of 225.
    told = "What is kept small is all but the checks: 3 h 51 min."
    assert f"{told} No plan of these items on these days can come to less than 3 h 45 min." in words()


def test_days_that_were_to_be_kept_free_are_no_minutes_of_work() -> None:
    assert "kept free count" not in words()
    costs = replace(outlook().costs, kept_free=135.0)
    text = words(costs=costs)
    assert "days that were to be kept free 2 h 15 min 0 min 0 min 0 min" in text
    assert "getting there, run-ups, paper 1 h 30 min" in text
    assert "that is no work" in text


def test_the_habit_owns_up_to_what_it_did_late() -> None:
    habit = outlook().habit
    assert habit is not None
    text = words(habit=replace(habit, done=40, late=3, past_due=2))
    assert "3 of 40 times something was done after its limit by today's rules; 2 items are past due today" in text
    assert "came after" not in words()


def test_the_page_says_how_to_ask_for_the_plan_of_a_visit() -> None:
    assert "inspect-kit visits --plan 2026-12-05" in words()


def test_a_day_that_was_to_be_kept_free_is_said() -> None:
    assert words().count("This is a day that was to be kept free: a limit asks for it.") == 1


def test_panel_labour_and_intervals_given_away_stand_apart_beside_the_two_other_ways() -> None:
    text = words()
    assert "this plan each when due what falls due within 30 days or 10 h habit since 2024-11-25" in text
    assert "visits 2 3 3 2.5" in text
    assert "panels off and on 2 h 16 min 3 h 24 min 2 h 16 min 3 h 20 min" in text
    assert "interval time lost 5 min 0 min 2 min 0 min" in text
    assert "all but the checks 3 h 51 min 5 h 39 min 4 h 33 min 5 h 12 min" in text
    # Against each when due: 45 min of visits and 68 min of panels less, of 339 min.
    assert "Visits and panels take 1 h 53 min less than each item when due, 33 % of it." in text


def test_the_natural_rule_stands_beside_the_plan_with_what_it_costs_more() -> None:
    """135 + 136 + 2 min against 90 + 136 + 5.4: 41.6 min, 18 % of the plan."""
    rule = "To do, whenever something is due, whatever falls due within 30 days or 10 h as well would cost"
    assert f"{rule} 42 min more: 18 % dearer than this plan." in words()
    assert f"{rule} no more than this plan." in words(when_soon=outlook().costs)


def test_money_is_said_where_it_is_known() -> None:
    told = words()
    assert "EUR" not in told
    assert "Parts and work by others" not in told
    first, second = outlook().visits
    costs = replace(outlook().costs, money=Decimal("1234.50"), unpriced=2)
    text = words(
        visits=(replace(first, money=Decimal("86.50"), unpriced=("filter-cut",)), replace(second, money=Decimal(1148))),
        costs=costs,
        hour=Decimal(30),
        currency="EUR",
    )
    assert "Parts and work by others: 86.50 EUR, and what is not known of filter-cut." in text
    assert "Parts and work by others: 1,148 EUR." in text
    assert re.search(r"parts and work by others +1,234.50 EUR, 2.* 0 EUR 0 EUR 0 EUR", text)
    # 3 h 51.4 min at 30 an hour, and three minutes of an interval.
    assert "An hour counts 30 EUR, as aircraft.yaml says: that makes 115.70 EUR." in text
    assert "8 of the 100 h of its interval, 3 min, 1.50 EUR" in text
    assert "would cost 42 min more, 20.80 EUR: 18 % dearer than this plan." in text


def test_what_heavy_use_leaves_no_later_day_for_is_not_said_to_be_pulled() -> None:
    one = visit(
        "2026-12-05",
        doing("bench", "2026-12-05", "2027-03-01", pulled=False, given_away=OF_ITS_INTERVAL, wastes=10.0),
    )
    assert "20 of the 500 h of its interval, 10 min; heavy use allows no later" in words(visits=(one,))


def test_the_sentence_at_the_top() -> None:
    text = words()
    assert (
        "2 visits with 2 h 16 min of work on panels, against 3 visits with 3 h 24 min if each item is done when it is "
        "due; work done before it is due comes round sooner: that is worth 5 min. "
        "No plan of these items on these days could save more than another 7 min."
    ) in text
    assert "Nothing is past due if use is heavier than in 9 years of 10." in text
    assert "no permission to fly" in text


def test_an_outlook_without_visits_has_no_strip() -> None:
    assert visit_strip(outlook(visits=()), BOOK) is None
    assert "The visits" not in words(visits=())


def test_json_has_the_promised_shape() -> None:
    facts = json.loads(json_text(visits_json(outlook())))
    assert {"format", "months", "visits", "labour_min", "when_due_labour_min"} <= set(facts)
    assert (facts["format"], facts["months"]) == (2, 6)
    assert (facts["labour_min"], facts["when_due_labour_min"]) == (226, 294)
    first = facts["visits"][0]
    assert first["on"] == "2026-12-05"
    assert first["checks"] == ["oil-change", "trim-grease", "filter-cut"]
    assert first["panels"] == ["cowl-lower"]
    assert first["labour_min"] == 113
    assert first["items"][1]["saves_min"] == 56
    assert first["items"][2]["with"] == "oil-change"
    assert facts["when_soon"]["total_min"] == 273
    assert facts["money"] == {"hour": None, "currency": None}
    assert (first["costs"], first["costs_unknown"]) == (0, [])
    assert facts["left_out"] == [{"item": "elt-battery", "reason": "the date it carries is not on record"}]


def test_a_finding_has_words_and_no_interval() -> None:
    finding = doing("r#F1", "2026-12-05", "2027-03-01", kind=FINDING, words="Crack in the door window", saves=45.0)
    text = words(visits=(visit("2026-12-05", finding),))
    assert "To be fixed by 2027-03-01: Crack in the door window; on this visit it saves 45 min." in text
    assert " early lost " not in text


def test_what_is_owed_after_another_item_is_no_item_pulled_forward() -> None:
    owed = doing("torque", "2026-12-05", "2027-03-01", owed="within 1 h after bolts", pulled=False)
    text = words(visits=(visit("2026-12-05", owed),))
    assert "Owed from before: torque within 1 h after bolts." in text
    assert "2027-03-01" not in text
    facts = visits_json(outlook(visits=(visit("2026-12-05", owed),)))
    assert facts["visits"][0]["items"][0]["owed"] == "within 1 h after bolts"
