"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest

from inspect_kit.due import due
from inspect_kit.due.chronicle import chronicle
from inspect_kit.replenishment.problem import ReplenishedItem
from inspect_kit.visits import make, parts
from inspect_kit.visits.afterwards import Afterwards, _day, _Sequence
from inspect_kit.visits.habit import _turns, habit_of
from inspect_kit.visits.make import _stops, year_ahead
from inspect_kit.visits.rule import Rule
from inspect_kit.visits.slots import Calendar
from inspect_kit.visits.worth import _due_day, _when
from tests.due.small import book, on


def test_the_habit_counts_what_was_done_since_a_day() -> None:
    records = {f"2018-0{month}-01-oil": f"kind: work\ndid: [oil]\nmeters: {{tach: {month}}}\n" for month in range(1, 6)}
    facts = chronicle(book("- [ ] `oil` Oil\n  - every: 50 h\n", records))
    subject: Any = SimpleNamespace(name="oil", renewal=SimpleNamespace(after=lambda before, heavy: ()))
    turns = [(before.date, after.date) for _, _, before, after in _turns(facts, subject, on("2018-03-01"))]
    assert turns == [(on("2018-03-01"), on("2018-04-01")), (on("2018-04-01"), on("2018-05-01"))]


def test_years_that_came_in_from_paper_are_no_years_without_a_visit() -> None:
    """Nobody wrote there which panels were off: two visits of three months were told as those of two years."""
    paper = {"2017-01-01-log": "kind: paper-entry\ndid: [oil]\ntext: oil\nmeters: {tach: 0}\n"}
    records = {f"2018-0{month}-01-oil": f"kind: work\ndid: [oil]\nmeters: {{tach: {month}}}\n" for month in (1, 9)}
    facts = chronicle(book("- [ ] `oil` Oil\n  - every: 50 h\n", {**paper, **records}))
    assert habit_of(facts, (), on("2018-06-29"), on("2018-12-01")) is None
    habit = habit_of(facts, (), on("2018-10-01"), on("2018-12-01"))
    assert habit is not None
    assert (habit.since, habit.seen.number) == (on("2018-01-01"), 1)


@pytest.mark.parametrize(
    ("stops", "told"), [(0, []), (1, ["One reason not to fly is"]), (2, ["2 reasons not to fly are"])]
)
def test_reasons_not_to_fly_are_counted(stops: int, told: list[str]) -> None:
    answer: Any = SimpleNamespace(stops=("",) * stops)
    assert [words.partition(" on record")[0] for words in _stops(answer)] == told


@pytest.mark.parametrize(
    ("due", "told"),
    [("2026-12-05", "in December"), ("2027-09-20", "in September"), ("2027-09-21", "in September 2027")],
)
def test_a_month_of_another_year_is_named_with_it_where_it_could_be_mistaken(due: str, told: str) -> None:
    """300 days from 25 November 2026 end on 21 September 2027."""
    assert _when(on(due), on("2026-11-25")) == told


@pytest.mark.parametrize(
    ("limit", "told"), [("2026-12-05", "2026-12-05"), ("2026-11-25", "2026-11-25"), ("2028-01-01", None)]
)
def test_the_likely_day_is_the_last_one_within_the_limit(limit: str, told: str | None) -> None:
    rule: Any = SimpleNamespace(legal=lambda last, day, uses: day <= on(limit))
    assert _due_day(rule, on("2026-11-25"), on("2027-11-25")) == (on(told) if told else None)


@pytest.mark.parametrize(("hour", "many"), [(None, 1), (Decimal(25), 0)])
def test_costs_that_cannot_be_weighed_are_told(
    monkeypatch: pytest.MonkeyPatch, hour: Decimal | None, many: int
) -> None:
    monkeypatch.setattr(make, "money_of", lambda logbook: SimpleNamespace(hour=hour))
    monkeypatch.setattr(make, "costs_together", lambda checks, money: (Decimal(30), ()))
    monkeypatch.setattr(make, "is_guarded", lambda check, money: False)
    asked: Any = SimpleNamespace(logbook=SimpleNamespace(checks={}))
    assert len(list(make._unweighed((), asked))) == many


def test_what_comes_round_no_more_gives_nothing_away_of_a_whole() -> None:
    calendar = Calendar((on("2026-12-01"),), lambda day, slot: None)
    assert calendar.left(on("2026-12-11"), 0) == (10, 0)
    assert calendar.shares(on("2026-12-11"), range(1)) == [1.0]


@pytest.mark.parametrize(("there", "short"), [(0, 1), (1, 0), (2, 0)])
def test_a_part_whose_life_ends_is_short_where_none_is_on_the_shelf(
    monkeypatch: pytest.MonkeyPatch, there: int, short: int
) -> None:
    monkeypatch.setattr(parts, "on_hand", lambda *_: Decimal(there))
    item = SimpleNamespace(check="hoses", name="Hoses", due=SimpleNamespace(date=on("2026-12-05")), expected=None)
    check = SimpleNamespace(id="hoses", life=("8 years",), counts_on="", named="Hoses")
    outlook: Any = SimpleNamespace(end=on("2027-11-25"))
    answer: Any = SimpleNamespace(items=(item,), seen=SimpleNamespace(checks={"hoses": check}))
    assert [need.short for need in parts._lives(outlook, answer, (), {})] == [short]


def test_what_an_earlier_round_said_of_an_item_is_said_again_or_gone() -> None:
    made = Afterwards(
        doings={"torque": (2,), "oil": ()},
        owed={("torque", 2): "within 2 h", ("oil", 2): "within 5 h"},
        unplanned={("torque", 1): {"Torque (torque) within 0.1 h after Oil (oil)"}, ("oil", 1): {"Oil (oil)"}},
    )
    asked: Any = SimpleNamespace(
        rules={"torque": SimpleNamespace(item=SimpleNamespace(latest=(3, 3, 3, 3)))}, days=(1, 2, 3), subjects=()
    )
    subject: Any = SimpleNamespace(name="torque", follows=(), first=(), after=frozenset())
    nothing: Any = SimpleNamespace(logbook=SimpleNamespace(aircraft=None))
    _Sequence(asked, subject, made, nothing, when_due=False).plan()
    assert (made.doings["torque"], made.owed, made.unplanned) == (
        (),
        {("oil", 2): "within 5 h"},
        {("oil", 1): {"Oil (oil)"}},
    )


@pytest.mark.parametrize(("end", "latest"), [("2026-12-05", "2026-12-04"), ("2026-12-02", None)])
def test_a_day_that_is_wanted_lies_before_the_end_of_the_outlook(end: str, latest: str | None) -> None:
    rule: Any = SimpleNamespace(days=(on("2026-12-01"), on(end)), keeps=lambda points, day, heavy: True)
    facts = chronicle(book())
    assert _day(rule, {False: (), True: ()}, on("2026-12-01"), facts) == (on(latest) if latest else None)


def test_where_an_item_finds_no_way_on_its_last_day_is_named() -> None:
    """It is due at the first slot, and again before the second; of another all is well to the end."""
    stuck = ReplenishedItem(name="oil", needs=(), latest=(0, 0, 3, 3), waste=((1.0,), (), (1.0,), ()))
    well = ReplenishedItem(name="oil", needs=(), latest=(0, 3, 3, 3), waste=((1.0,), (1.0, 1.0), (1.0,), ()))
    for item, told in ((stuck, 0), (well, None)):
        rule: Any = SimpleNamespace(
            _when_late=lambda day: None,
            subject=SimpleNamespace(renewal=SimpleNamespace(at_once="owed", waits=False), follows=()),
            days=(1, 2, 3, 4),
            item=item,
            _last_day=lambda last, day: last,
        )
        assert Rule.missing(rule, on("2026-12-01")) == told


def test_a_check_is_planned_until_the_day_on_which_it_is_retired() -> None:
    """Both come every 10 h and are done at each visit; one is gone in January."""
    checks = "- [ ] `gone` Gone\n  - every: 10 h\n  - retired: 2019-01-01, gone\n- [ ] `stays` Stays\n  - every: 10 h\n"
    hours = "kind: hours\nmeters: {{tach: {}.0}}\n"
    records = {f"2018-{month:02}-01-hours": hours.format(10 * month) for month in range(1, 12)}
    records["2018-11-02-work"] = "kind: work\ndid: [gone, stays]\nmeters: {tach: 110.0}\n"
    made = book(checks, records)
    plan = make.year_ahead(made, due(made, on("2018-11-20")), months=6, seconds=0.1)
    days = {name: [visit.on for visit in plan.visits if name in visit.checks] for name in ("gone", "stays")}
    assert days["gone"]
    assert max(days["gone"]) < on("2019-01-01") < max(days["stays"])


@pytest.mark.parametrize("day", ["2018-03-10", "2018-03-20", "2018-04-20"])
@pytest.mark.parametrize(
    "shape", ["  - every: 12 calendar months\n  - first: 25 h\n", "  - every: 100 h\n  - first: 1 h, 25 h\n"]
)
def test_what_is_left_of_first_is_planned_though_it_may_have_been_reached(day: str, shape: str) -> None:
    """Fitted at 10.0, the nuts again at 35.0; 28.0 was read weeks ago. It was left out as coming round too often."""
    checks = f"- [ ] `nuts` Nuts of the propeller\n{shape}  - counts-on: prop\n"
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0}\n",
        "2018-01-20-prop": "kind: installed\nposition: prop\nserial: P1\nsince-new: 0\nmeters: {tach: 10.0}\n",
        "2018-01-25-hours": "kind: hours\nmeters: {tach: 24.0}\n",
    }
    kind = "work\ndid: [nuts]" if "1 h," in shape else "hours"
    records["2018-02-20-read"] = f"kind: {kind}\nmeters: {{tach: 28.0}}\n"
    logbook = book(checks, records)
    answer = due(logbook, on(day))
    plan = year_ahead(logbook, answer)
    assert any("with heavy use it falls due before a doing counts for it" in note for note in plan.notes)
    assert [each for each in plan.left_out if each.item == "nuts"] == []
    first = next(visit for visit in plan.visits if any(each.item == "nuts" for each in visit.doings))
    assert first.on == on(day) or first.reads["tach"] <= 35


ASKED = "kind: directive\nnumber: AD-20\nissuer: x\nsubject: collector\nauthority: {}\non: aircraft\n"
ASKED += 'applies: "yes"\ncheck: look\nby: Ada\n'


@pytest.mark.parametrize("authority", ["airworthiness directive", "maker's letter"])
@pytest.mark.parametrize("limit", ["once: 25 h", "every: 12 months"])
@pytest.mark.parametrize("before", [True, False])
def test_what_a_directive_asks_for_now_is_done_at_the_first_visit(
    authority: str, limit: str, before: bool
) -> None:
    """Owed before flight on the due list, it stood on a visit of the next year, or on none."""
    work = "kind: work\ndid: [look]\nmeters: {tach: 11}\nby: Ada\n"
    records = {f"2018-0{month}-15-hours": f"kind: hours\nmeters: {{tach: {month}}}\n" for month in range(1, 6)}
    records |= {"2018-06-12-work": work} if before else {}
    records["2018-06-15-ad"] = ASKED.format(authority) + f"{limit}\n"
    logbook = book(f"- [ ] `look` Collector\n  - {limit}\n", records)
    answer = due(logbook, on("2018-06-20"))
    item = answer.item("look")
    assert item is not None
    if not item.asked:
        # The limits of the check say when it is due for the first time.
        assert item.state != "past-due"
        return
    plan = year_ahead(logbook, answer, months=6, seconds=0.1)
    assert "look" not in {each.item for each in plan.left_out}
    assert plan.visits[0].on == on("2018-06-20")
    assert "look" in plan.visits[0].checks


@pytest.mark.parametrize("every", ["50 h or 4 months", "25 h", "10 h"])
@pytest.mark.parametrize("day", ["2018-09-01", "2018-12-01"])
def test_what_may_be_due_by_an_old_reading_is_on_the_first_visit(every: str, day: str) -> None:
    """Months after the last reading heavy use may have run through the whole interval: it was left out of the year."""
    checks = f"- [ ] `oil` Oil\n  - every: {every}\n  - uses: 6 qt engine oil\n- [ ] `look` Look\n  - every: 8 years\n"
    records = {
        f"2018-0{month}-{week:02}-hours": f"kind: hours\nmeters: {{tach: {(month - 1) * 24 + week}.0}}\n"
        for month in range(2, 5)
        for week in (3, 10, 17, 24)
    }
    records["2018-01-15-begin"] = "kind: hours\nmeters: {tach: 0.0}\n"
    records["2018-04-25-work"] = "kind: work\ndid: [oil]\nmeters: {tach: 96.0}\n"
    logbook = book(checks, records)
    plan = year_ahead(logbook, due(logbook, on(day)), seconds=0.1)
    assert [each for each in plan.left_out if each.item == "oil"] == []
    assert "oil" in plan.visits[0].checks
    told = [note for note in plan.notes if "write the meter down, so nothing later is planned" in note]
    assert told or sum("oil" in visit.checks for visit in plan.visits) > 1
