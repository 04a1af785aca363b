"""Every rule of an item on a small store: its doings replayed through the due engine, and what is given away."""

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.due import chronicle, due
from inspect_kit.model.logbook import Logbook
from inspect_kit.replenishment.problem import TODAY as TODAY_SLOT
from inspect_kit.visits import Doing, VisitPlan, year_ahead
from inspect_kit.visits.outlook import end_of, outlook
from inspect_kit.visits.question import question
from inspect_kit.visits.subjects import subjects
from tests.visits.hangar import TODAY, check, done, small_store, used
from tests.visits.replay import faults

QUICK = 0.3
LATELY = dt.date(2025, 12, 27)
FITTED = "format: 1\nkind: installed\ndate: 2021-08-01\nposition: hoses\nserial: A1\n"


def ahead(logbook: Logbook, months: int = 12) -> VisitPlan:
    return year_ahead(logbook, due(logbook, TODAY), months=months, seconds=QUICK)


def doings(plan: VisitPlan, item: str) -> list[Doing]:
    return [doing for visit in plan.visits for doing in visit.doings if doing.item == item]


def oil_done(on: dt.date = LATELY) -> str:
    return done(on, "oil", tach=used(Decimal(2), on))


RULES = {
    "hours": (check("item", every="25 h"), {"last": {"item": LATELY}}),
    "landings": (check("item", every="60 landings"), {"records": {"w": done(LATELY, "item", tach=306)}}),
    "days": (check("item", every="100 days"), {"last": {"item": LATELY}}),
    "whichever-first": (check("item", every="50 h or 2 months"), {"last": {"item": LATELY}}),
    "same-day-of-the-month": (check("item", every="2 months"), {"last": {"item": dt.date(2025, 12, 31)}}),
    "calendar-months": (check("item", every="2 calendar months"), {"last": {"item": dt.date(2025, 12, 31)}}),
    "grace": (check("item", every="25 h", grace="5 h", source="a rule"), {"last": {"item": LATELY}}),
    "in-grace": (check("item", every="25 h", grace="5 h", source="a rule"), {"last": {"item": dt.date(2025, 10, 4)}}),
    "life": (check("item", life="5 years", counts_on="hoses"), {"records": {"i": FITTED}}),
    "once": (check("item", once="2026-05-01"), {}),
    "first-list": (
        check("item", every="50 h", first="2 h, 10 h", owed_after="did oil") + check("oil", every="60 h"),
        {"records": {"w": oil_done(dt.date(2026, 1, 3))}},
    ),
    "only-first": (
        check("item", first="5 h", owed_after="did oil") + check("oil", every="40 h"),
        {"records": {"w": oil_done()}},
    ),
    "disturbed-by-a-check": (
        check("item", owed_after="disturbed brakes") + check("pads", every="40 h", disturbs="brakes"),
        {"records": {"w": done(LATELY, "pads", "item", tach=306)}},
    ),
    "first-after-it-was-disturbed": (
        check("item", first="5 h", owed_after="disturbed brakes") + check("pads", every="40 h", disturbs="brakes"),
        {"records": {"w": done(LATELY, "pads", "item", tach=306)}},
    ),
    "owed-at-once": (
        check("item", owed_after="did oil") + check("oil", every="40 h"),
        {"records": {"w": done(LATELY, "oil", "item", tach=306)}},
    ),
}


@pytest.mark.parametrize("rule", RULES)
def test_no_rule_is_ever_past_its_limit_over_two_years(rule: str, tmp_path: Path) -> None:
    checks, given = RULES[rule]
    logbook = small_store(tmp_path / "store", checks, **given)
    plan = ahead(logbook, months=24)
    assert not plan.left_out
    assert [item for item in due(logbook, TODAY).items if item.check == "item"]
    assert any("item" in visit.checks for visit in plan.visits)
    for heavy in (False, True):
        assert list(faults(plan, logbook, heavy=heavy)) == []


@pytest.mark.parametrize("rule", RULES)
def test_a_row_says_what_each_of_its_slots_says(rule: str, tmp_path: Path) -> None:
    checks, given = RULES[rule]
    logbook = small_store(tmp_path / "store", checks, **given)
    book, end = chronicle(due(logbook, TODAY).seen), end_of(TODAY, 24)
    ahead = outlook(book, TODAY, end)
    asked = question(book, ahead, subjects(book, due(logbook, TODAY), end), TODAY, end)
    for each in asked.rules.values():
        for last in (TODAY_SLOT, 0, 1, 7, len(asked.days) - 9):
            stop = min(last + 8, len(asked.days), each.latest(last) + 1)
            one_by_one = [each.waste(last, slot) for slot in range(last + 1, stop)]
            assert each.wastes(last, stop) == pytest.approx(one_by_one, abs=1e-9)


def test_what_an_item_leaves_owed_is_planned_within_its_limits(tmp_path: Path) -> None:
    checks = check("torque", first="2 h, 10 h", owed_after="did oil") + check("oil", every="60 h")
    logbook = small_store(tmp_path / "store", checks, records={"w": oil_done(dt.date(2025, 9, 6)), "t": done(
        dt.date(2025, 9, 7), "torque", tach="275"), "u": done(dt.date(2025, 9, 27), "torque", tach="283")})  # fmt: skip
    plan = ahead(logbook)
    changes = [visit for visit in plan.visits if "oil" in visit.checks]
    assert changes
    owed = doings(plan, "torque")
    for change, low, high in ((visit, 2, 10) for visit in changes if (plan.end - visit.on).days > 60):
        begun = change.reads_heavy["tach"]
        reads = [visit.reads_heavy["tach"] for visit in plan.visits if "torque" in visit.checks]
        later = [each - begun for each in reads if each > begun]
        assert later[0] <= low
        assert later[1] <= high
    assert owed[0].owed == "within 2 h after Oil (oil)"
    assert (owed[0].given_away, owed[0].wastes, owed[0].pulled) == ("", 0.0, False)
    assert any("torque" in note for note in plan.notes)


def test_what_is_owed_sooner_than_the_next_day_is_said_and_not_planned(tmp_path: Path) -> None:
    checks = check("torque", first="0.1 h", owed_after="did oil") + check("oil", every="60 h")
    logbook = small_store(tmp_path / "store", checks, records={"w": oil_done()})
    told = [visit.owed for visit in ahead(logbook).visits if "oil" in visit.checks]
    assert told
    assert set(told) == {("Torque (torque) within 0.1 h after Oil (oil)",)}


def test_any_day_of_the_month_in_which_it_is_due_gives_away_nothing_of_calendar_months(tmp_path: Path) -> None:
    checks = check("oil", every="60 days")
    checks += check("item", every="6 calendar months", time="60 min")
    records = {"w": done(dt.date(2025, 12, 20), "item", tach=304), "o": oil_done()}
    plan = ahead(small_store(tmp_path / "store", checks, records=records))
    for doing in doings(plan, "item"):
        if doing.due is not None and (doing.on.year, doing.on.month) == (doing.due.year, doing.due.month):
            assert (doing.given_away, doing.wastes) == ("", 0.0)
    assert any(doing.on < doing.due for doing in doings(plan, "item") if doing.due)


def test_early_work_that_is_done_once_gives_nothing_away(tmp_path: Path) -> None:
    """It is pulled to the oil change before it, since a visit of its own saves nothing."""
    checks = check("oil", every="3 months") + check("bulletin", once="2026-06-10", time="300 min")
    plan = ahead(small_store(tmp_path / "store", checks, records={"o": oil_done()}))
    (bulletin,) = doings(plan, "bulletin")
    assert any("oil" in visit.checks for visit in plan.visits if visit.on == bulletin.on)
    assert (bulletin.pulled, bulletin.given_away, bulletin.wastes) == (True, "", 0.0)
    # The fixed cost of a visit and the cowling, 34 min by two people.
    assert bulletin.saves == 45 + 68


def test_an_inspection_moved_to_an_earlier_month_counts_from_there(tmp_path: Path) -> None:
    """The item behind the cowling is due in May, the inspection in June: one visit in May, and again a year later."""
    checks = check("look", every="condition inspection", covers="d1", time="30 min") + check("item", every="12 months")
    logbook = small_store(tmp_path / "store", checks, last={"item": dt.date(2025, 5, 3)})
    plan = ahead(logbook, months=24)
    first, second = doings(plan, "condition")[:2]
    assert first.on == doings(plan, "item")[0].on <= dt.date(2026, 5, 3)
    assert first.due == dt.date(2026, 6, 30)
    assert second.due is not None
    assert (second.due.year, second.due.month) == (2027, first.on.month)
    assert second.due.day in (28, 30, 31)
    for heavy in (False, True):
        assert list(faults(plan, logbook, heavy=heavy)) == []


def test_a_date_on_the_part_gives_away_the_share_of_its_own_time(tmp_path: Path) -> None:
    """Good from 2024-01-06 for two years and a half; done with the oil change before, of 912 days."""
    mark = "format: 1\nkind: work\ndate: 2024-01-06\nmeters: {tach: 100}\ndid: [battery]\nnext: {battery: 2026-07-06}\n"
    checks = check("oil", every="3 months") + check("battery", every="as marked")
    plan = ahead(small_store(tmp_path / "store", checks, records={"o": oil_done(), "b": mark}))
    (battery,) = doings(plan, "battery")
    left = (dt.date(2026, 7, 6) - battery.on).days
    whole = (dt.date(2026, 7, 6) - dt.date(2024, 1, 6)).days
    assert left > 0
    assert battery.given_away == f"{left} of the {whole} days of its interval"


@pytest.mark.parametrize("every", ["3 months", "100 days"])
def test_what_is_lost_is_of_the_interval_that_is_cut_short(every: str, tmp_path: Path) -> None:
    """From the last doing to the day on which it is due; the length of the next one was told."""
    begun = dt.date(2025, 11, 28)
    checks = check("oil", every="2 months", time="45 min") + check("item", every=every, time="5 min")
    plan = ahead(small_store(tmp_path / "store", checks, records={"o": oil_done()}, last={"item": begun}))
    early = 0
    for doing in doings(plan, "item"):
        assert doing.due is not None
        if doing.given_away:
            lost, whole = doing.given_away.split()[0], doing.given_away.split()[3]
            assert int(whole) == (doing.due - begun).days
            assert int(lost) <= doing.early
            early += 1
        begun = doing.on
    assert early > 0


def test_the_flying_season_is_kept_free_where_that_gives_little_away(tmp_path: Path) -> None:
    checks = check("item", every="12 months", time="10 min") + check("other", every="12 months", time="10 min")
    last = {"item": dt.date(2025, 6, 20), "other": dt.date(2025, 8, 10)}
    season = "visits: {flying-season: [May, June, July, August, September]}"
    free = ahead(small_store(tmp_path / "free", checks, last=last))
    kept = ahead(small_store(tmp_path / "kept", checks, last=last, more=season))
    assert any(visit.on.month in range(5, 10) for visit in free.visits if visit.names != ("condition",))
    assert not any(visit.on.month in range(5, 10) or visit.in_season for visit in kept.visits)
    assert kept.costs.kept_free == 0


def test_a_visit_that_the_season_cannot_avoid_counts_apart_from_its_minutes(tmp_path: Path) -> None:
    months = "[January, February, March, April, May, June, July, August, September, October, November, December]"
    checks = check("item", every="3 months")
    kept = ahead(
        small_store(tmp_path / "store", checks, last={"item": LATELY}, more=f"visits: {{flying-season: {months}}}")
    )
    assert all(visit.in_season for visit in kept.visits)
    assert kept.costs.visits == 45 * len(kept.visits)
    assert kept.costs.kept_free == 2 * 45 * len(kept.visits)


def test_months_with_no_flying_stop_the_likely_use_and_not_the_heavy_one(tmp_path: Path) -> None:
    checks = check("item", every="4 months")
    given = {"last": {"item": LATELY}, "weekly": Decimal(3)}
    usual = ahead(small_store(tmp_path / "usual", checks, **given))
    stands = ahead(small_store(tmp_path / "stands", checks, more="visits: {no-flying: [January, February]}", **given))
    first, same = stands.visits[0], usual.visits[0]
    assert first.on == same.on
    assert first.on > dt.date(2026, 3, 1)
    assert first.reads["tach"] < same.reads["tach"]
    assert first.reads_heavy == same.reads_heavy
    assert "no flying" in stands.margin
    assert "no flying" not in usual.margin


def test_the_habit_tells_what_it_did_late(tmp_path: Path) -> None:
    """Every 60 days, done after 50, 90 and 60 days: one of three too late. Today it is past due by a month."""
    days = [dt.date(2025, 4, 1), dt.date(2025, 5, 21), dt.date(2025, 8, 19), dt.date(2025, 10, 18)]
    records = {f"w{number}": done(day, "item", tach=used(Decimal(2), day)) for number, day in enumerate(days)}
    plan = ahead(small_store(tmp_path / "store", check("item", every="60 days"), records=records))
    assert plan.habit is not None
    assert (plan.habit.done, plan.habit.late, plan.habit.past_due) == (3, 1, 1)
    assert plan.habit.seen.number == len(days)
    assert plan.habit.seen.panels == len(days) * 68
    # Ten days of sixty given away, of an item of five minutes.
    assert plan.habit.seen.given_away == pytest.approx(5 * 10 / 60)


def test_the_gear_of_a_visit_is_named(tmp_path: Path) -> None:
    checks = check("item", every="3 months", needs="jacks")
    plan = ahead(small_store(tmp_path / "store", checks, last={"item": LATELY}, more="gear: {jacks: 1}"))
    assert {visit.tooling for visit in plan.visits if "item" in visit.checks} == {("jacks",)}


def test_a_month_of_the_flying_season_is_none_without_flying(tmp_path: Path) -> None:
    root = tmp_path / "store"
    small_store(
        root, check("item", every="3 months"), more="visits: {flying-season: [May, June], no-flying: [January]}"
    )
    path = root / "records/aircraft.yaml"
    path.write_text(path.read_text().replace("no-flying: [January]", "no-flying: [June]"))
    (problem,) = store.load(store.at(root)).problems
    assert problem.message == "visits.no-flying: June is a month of the flying season too"
    assert problem.place.file == "records/aircraft.yaml"


def test_weekdays_and_months_kept_free_are_kept_and_a_limit_alone_breaks_them(tmp_path: Path) -> None:
    more = "visits: {weekdays: [Saturday, Sunday], not-in: [August]}"
    checks = check("item", every="50 days") + check("other", every="3 months")
    logbook = small_store(tmp_path / "store", checks, more=more, last={"item": LATELY, "other": LATELY})
    plan = ahead(logbook)
    assert len(plan.visits) >= 7
    for visit in plan.visits:
        assert visit.outside == (visit.on.weekday() < 5 or visit.on.month == 8)
    assert sum(visit.outside for visit in plan.visits) <= 1


def test_costs_stand_apart_and_add_up_beside_each_when_due(tmp_path: Path) -> None:
    """Two items behind one cowling, due a week apart every half year: one visit each time, not two."""
    checks = check("item", every="6 months", time="20 min") + check("other", every="6 months", time="30 min")
    last = {"item": dt.date(2025, 9, 20), "other": dt.date(2025, 9, 30)}
    plan = ahead(small_store(tmp_path / "store", checks, last=last, condition=dt.date(2026, 1, 3)))
    assert [sorted(visit.checks) for visit in plan.visits] == [["item", "other"]] * len(plan.visits)
    many = len(plan.visits)
    assert (plan.costs.visits, plan.costs.panels, plan.costs.checks) == (45 * many, 68 * many, 50 * many)
    assert plan.when_due.number == 2 * many
    assert plan.when_due.panels == 2 * 68 * many
    assert plan.saved == many * (45 + 68)
    assert plan.costs.total == plan.costs.visits + plan.costs.panels + plan.costs.given_away
    assert plan.bound <= plan.costs.total + 1e-6
    assert plan.could_save < 1e-6
    pulled = plan.pulled()
    assert {doing.item for doing in pulled} == {"other"}
    assert all(doing.saves == 45 + 68 and 0 < doing.wastes < 30 for doing in pulled)


def test_what_is_in_grace_today_is_done_before_its_grace_ends_whatever_the_day(tmp_path: Path) -> None:
    """Due on Sunday 4 January, three days of grace: the first free Saturday is too late."""
    checks = check("item", every="30 days", grace="3 days", source="a rule")
    given = {"more": "visits: {weekdays: [Saturday]}", "last": {"item": dt.date(2025, 12, 5)}}
    logbook = small_store(tmp_path / "store", checks, **given)
    (item,) = [each for each in due(logbook, TODAY).items if each.check == "item"]
    assert item.state == "in-grace"
    first = ahead(logbook).visits[0]
    assert (first.on, first.outside) == (dt.date(2026, 1, 7), True)
    assert "item" in first.checks


AUTUMN = dt.date(2025, 10, 4)
# By hours, by the calendar, owed after other work, and not known after work that was brought forward.
LATE = {
    "hours": (check("item", every="10 h"), {"last": {"item": AUTUMN}}),
    "days": (check("item", every="30 days"), {"last": {"item": AUTUMN}}),
    "owed": (check("oil") + check("item", owed_after="did oil"), {"records": {"w": oil_done()}}),
    "not-known": (check("oil") + check("item", owed_after="did oil"), {"last": {"oil": AUTUMN}}),
}


@pytest.mark.parametrize(("weekdays", "day"), [("", TODAY), (", weekdays: [Saturday]", dt.date(2026, 1, 10))])
@pytest.mark.parametrize("late", LATE)
def test_what_is_past_its_limit_waits_for_no_month_that_is_kept_free(
    late: str, weekdays: str, day: dt.date, tmp_path: Path
) -> None:
    """On the next of the owner's weekdays it is, which is near; the months were waited for to their end in March."""
    checks, given = LATE[late]
    more = f"visits: {{not-in: [January, February, March]{weekdays}}}"
    first = ahead(small_store(tmp_path / "store", checks, more=more, **given)).visits[0]
    assert (first.on, first.outside) == (day, True)
    assert "item" in first.checks


def test_what_is_past_its_limit_by_hours_is_due_today(tmp_path: Path) -> None:
    """On a Monday, the visit being on Saturday: "would be due" said the day of the visit."""
    checks, given = LATE["hours"]
    plan = ahead(small_store(tmp_path / "store", checks, more="visits: {weekdays: [Saturday]}", **given))
    first = doings(plan, "item")[0]
    assert (first.on, first.due) == (dt.date(2026, 1, 10), TODAY)
