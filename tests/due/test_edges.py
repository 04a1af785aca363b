"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.due import due, offsets_of_day, total_read
from inspect_kit.due.answer import PAST_DUE, TREND, Left
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.directives import directives
from inspect_kit.due.fitting import all_fittings, own_hours
from inspect_kit.due.forecast import Forecast
from inspect_kit.model.owed import slip_of
from inspect_kit.report.pages.status import part_times
from tests.due.owners import KINDS
from tests.due.small import book, on
from tests.due.test_forecast import TODAY, known

BEGUN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n"}
LETTER = (
    "kind: directive\nnumber: SL-1\nissuer: maker\nsubject: cracks\nauthority: maker's letter\non: aircraft\n"
    "applies: {}\n"
)

SEALED = "seal: {record: r, worksheet: " + "00" * 32 + ", sha256: " + "ab" * 32 + "}\n"
BINDS = LETTER.format('"yes"').replace("maker's letter", "airworthiness directive")


def test_of_two_decisions_of_one_day_the_one_written_later_counts() -> None:
    """Whatever their names are."""
    first = LETTER.format('"yes"') + "check: look\nevery: 50 h\n"
    then = LETTER.format("{no: another type}") + "entered: 2018-02-03\n"
    told = directives(chronicle(book(records={**BEGUN, "2018-02-01-b": first, "2018-02-01-a": then})))
    assert [state.directive.name for state in told.states] == ["2018-02-01-a"]


@pytest.mark.parametrize("check", ["look", "nowhere"])
def test_a_directive_that_binds_bars_flight_by_its_check_and_an_unknown_check_is_no_fault_here(check: str) -> None:
    records = {**BEGUN, "2018-02-01-directive": BINDS + f"check: {check}\nevery: 50 h\n"}
    records["2018-02-20-flown"] = "kind: hours\nmeters: {tach: 60}\n"
    checks = "- [ ] `look` Look\n  - every: 50 h\n  - bars: nothing\n"
    look = due(book(checks, records), on("2018-03-01"), expect=False).item("look")
    assert look is not None
    assert look.state == PAST_DUE
    assert look.bars.flight is (check == "look")


def test_what_a_part_gained_on_a_meter_that_is_not_read_is_unknown() -> None:
    fitted = "kind: installed\nposition: left\nserial: A1\nsince-new: 10\n"
    flown = {"2018-03-01-flown": "kind: hours\nmeters: {tach: 5}\n"}
    facts = chronicle(book(records={**BEGUN, "2018-02-01-in": fitted, **flown}))
    (stay,) = all_fittings(facts)["left"]
    then = facts.moments["2018-03-01-flown"]
    assert own_hours(stay, then, "tach") == (Decimal(15), None)
    assert own_hours(stay, then, "hobbs") == (None, None)


def test_a_part_that_is_still_elsewhere_goes_on_from_no_stay_before_that() -> None:
    """Its records contradict each other; the hours of an older stay are not taken for those of this one."""
    moves = {
        "2018-02-01-in": "kind: installed\nposition: left\nserial: A1\nsince-new: 10\nmeters: {tach: 1}\n",
        "2018-03-01-out": "kind: removed\nposition: left\nserial: A1\nmeters: {tach: 2}\n",
        "2018-04-01-in": "kind: installed\nposition: left\nserial: A1\nmeters: {tach: 3}\n",
        "2018-05-01-in": "kind: installed\nposition: right\nserial: A1\nmeters: {tach: 4}\n",
    }
    found = all_fittings(chronicle(book(records={**BEGUN, **moves})))
    assert [stay.since_new for stay in found["left"]] == [Decimal(10), Decimal(11)]
    assert found["right"][0].since_new is None


def test_what_is_due_by_use_alone_is_the_sooner_of_both_readings_too() -> None:
    """While an amendment waits for its signature."""
    records = {
        **BEGUN,
        "2018-05-14-work": f"kind: work\nmeters: {{tach: 95.9}}\ndid: [filter]\n{SEALED}",
        "2018-05-20-amendment": (
            "kind: amendment\nof: 2018-05-14-work\ninstead: {meters: {tach: 59.9}}\ntext: a slip\nby: Ada\n"
        ),
    }
    item = due(book("- [ ] `filter` Filter\n  - every: 50 h\n", records), on("2018-06-01"), expect=False).item("filter")
    assert item is not None
    assert (item.due.date, item.due.total) == (None, Decimal("109.9"))


def test_a_trend_by_the_calendar_has_days_left_and_no_use() -> None:
    records = {
        f"2018-0{number}-01-oil": (
            f"kind: work\ndid: [oil]\nreadings: {{oil: {{iron: {10 + 2 * number} ppm (at most 30)}}}}\nby: Ada\n"
        )
        for number in range(1, 7)
    }
    checks = "- [ ] `oil` Change the oil\n  - every: 4 months\n  - reads: iron, ppm, at most 30\n"
    answer = due(book(checks, {**BEGUN, **records}), on("2018-06-10"))
    (trend,) = [item for item in answer.items if item.kind == TREND]
    # 2 ppm a month, 22 on the first of June: 30 about the first of October.
    assert trend.left == Left(days=trend.left.days)
    assert trend.left.days is not None
    assert 90 < trend.left.days < 130


@pytest.mark.parametrize("kind", KINDS)
def test_forecasts_of_the_past_look_ahead_as_todays_does(kind: str) -> None:
    forecast = Forecast(known(kind, 1), TODAY)
    for amount in (0.5, 10.0, 100.0):
        _, told, _ = forecast._past(amount)
        assert told == [forecast._ahead(level, amount) for level in forecast._levels]
    assert any(level.hidden > 0 for level in forecast._levels)


def test_the_earliest_date_and_the_least_use_are_told_though_no_reading_has_both() -> None:
    """As written on 14 May at 95.9 h; by the amendment that waits ten days later, at 59.9 h."""
    records = {
        **BEGUN,
        "2018-05-14-work": f"kind: work\nmeters: {{tach: 95.9}}\ndid: [oil]\n{SEALED}",
        "2018-05-26-amendment": (
            "kind: amendment\nof: 2018-05-14-work\ninstead: {date: 2018-05-24, meters: {tach: 59.9}}\ntext: a slip\n"
            "by: Ada\n"
        ),
        "2018-05-28-flown": "kind: hours\nmeters: {tach: 109.0}\n",
    }
    checks = "- [ ] `oil` Change the oil\n  - every: 50 h or 100 days\n"
    item = due(book(checks, records), on("2018-06-01"), expect=False).item("oil")
    assert item is not None
    assert (item.due.date, item.due.total) == (on("2018-08-22"), Decimal("109.9"))
    assert (item.left.days, item.left.amount) == (82, Decimal("0.9"))


@pytest.mark.parametrize(
    ("every", "why"),
    [
        ("50 h or annual inspection", "no inspection is called `annual`"),
        ("annual inspection", "no inspection is called `annual`"),
        ("12 months or 50 landings on tach", "`tach` counts no landings"),
        ("50 h on landings", "`landings` counts no h"),
        ("50 h or 10 cycles", "no meter counts cycles"),
    ],
)
def test_a_check_with_a_limit_that_cannot_be_reckoned_is_unknown(every: str, why: str) -> None:
    done = {"2018-02-01-did": "kind: work\ndid: [look]\nmeters: {tach: 1.0, landings: 1}\n"}
    made = book(f"- [ ] `look` Look\n  - every: {every}\n", {**BEGUN, **done})
    look = due(made, on("2018-02-02"), expect=False).item("look")
    assert look is not None
    assert look.state == "unknown"
    assert any(why in line.text for line in look.lines)


@pytest.mark.parametrize(
    ("after", "state"),
    [
        ("disturbed flight-controls", "owed"),
        ("disturbed flight-control", "unknown"),
        ("disturbed fligth-controls", "unknown"),
        ("did nutts", "unknown"),
        ("installed lefft", "unknown"),
        # A word of the owner's own, which nothing has disturbed yet.
        ("disturbed static-system", "later"),
        ("installed left", "later"),
    ],
)
def test_a_check_owed_after_what_is_not_there_is_unknown(after: str, state: str) -> None:
    work = {"2018-02-01-did": "kind: work\ndid: [rig]\nmeters: {tach: 1.0, landings: 1}\n"}
    rig = "- [ ] `rig` Rig\n  - every: 50 h\n  - disturbs: flight-controls\n"
    made = book(f"{rig}- [ ] `look` Look\n  - owed-after: {after}\n", {**BEGUN, **work})
    look = due(made, on("2018-02-02"), expect=False).item("look")
    assert look is not None
    assert ("owed" if look.owed else look.state) == state


BROUGHT = "kind: brought-forward\nmeters: {tach: {reads: 1, total: 1}}\n"


@pytest.mark.parametrize(
    ("past", "state"),
    [
        ("kind: paper-entry\ntext: x\ndid: [rig]\n", "unknown"),
        ("kind: paper-entry\ntext: x\ndid: [rig, look]\n", "later"),
        (f"{BROUGHT}last: {{rig: {{date: 2018-01-20}}}}\n", "unknown"),
        (f"{BROUGHT}last: {{rig: {{date: 2018-01-20}}, look: {{date: 2018-01-20}}}}\n", "later"),
        (f"{BROUGHT}last: {{rig: {{date: 2018-01-20}}, look: {{date: 2018-01-19}}}}\n", "unknown"),
    ],
)
def test_what_the_past_disturbed_makes_unknown(past: str, state: str) -> None:
    rig = "- [ ] `rig` Rig\n  - every: 50 h\n  - disturbs: flight-controls\n"
    look = "- [ ] `look` Look\n  - owed-after: disturbed flight-controls\n"
    item = due(book(f"{rig}{look}", {"2018-02-01-past": past}), on("2018-02-02"), expect=False).item("look")
    assert item is not None
    assert item.state == state
    assert not item.owed


@pytest.mark.parametrize(
    ("fitted", "done", "state"),
    [
        ("{serial: P1, fitted-on: 2018-01-25}", "{look: {date: 2018-01-20}}", "unknown"),
        ("{serial: P1, fitted-on: 2018-01-20}", "{look: {date: 2018-01-25}}", "later"),
        ("{serial: P1}", "{look: {date: 2018-01-20}}", "later"),
        ("{serial: P1, fitted-on: 2018-01-25}", "{rig: {date: 2018-01-20}}", "later"),
    ],
)
def test_a_part_of_the_past_fitted_after_the_check_was_done_makes_it_unknown(
    fitted: str, done: str, state: str
) -> None:
    checks = "- [ ] `look` Look\n  - owed-after: installed prop\n- [ ] `rig` Rig\n  - every: 50 h\n"
    past = f"{BROUGHT}fitted: {{prop: {fitted}}}\nlast: {done}\n"
    item = due(book(checks, {"2018-02-01-past": past}), on("2018-02-02"), expect=False).item("look")
    assert item is not None
    assert (item.state, item.owed) == (state, False)


@pytest.mark.parametrize(
    ("word", "other", "slip"),
    [
        ("brake", "brakes", True),
        ("static-systen", "static-system", True),
        ("fligth", "flight", True),
        ("tank-1", "tank-2", False),
        ("tank-1", "tank-11", False),
        ("side-a", "side-b", False),
        ("left-brake", "right-brake", False),
        ("brake", "brake", False),
        ("flap", "slat", False),
    ],
)
def test_a_slip_of_a_key_is_told_from_another_word(word: str, other: str, slip: bool) -> None:
    assert (slip_of(word, [other]), slip_of(other, [word])) == ((other, word) if slip else ("", ""))


@pytest.mark.parametrize(
    ("then", "state"),
    [
        ("", "unknown"),
        ("next: {look: 2032-01-01}\n", "later"),
        ("results: {look: {answer: done, good-until: 2032-01-01}}\n", "later"),
    ],
)
def test_done_again_without_the_date_that_the_part_carries_it_is_unknown(then: str, state: str) -> None:
    records = {
        **BEGUN,
        "2018-02-01-did": "kind: work\ndid: [look]\nnext: {look: 2030-01-01}\n",
        "2018-03-01-did": f"kind: work\ndid: [look]\n{then}",
    }
    look = due(book("- [ ] `look` Look\n  - every: as marked\n", records), on("2018-03-02"), expect=False).item("look")
    assert look is not None
    assert look.state == state


@pytest.mark.parametrize("grace", ["2 h or 5 h", "5 h or 2 h", "5 h or 2 h or 3 days"])
def test_of_two_graces_of_one_kind_the_least_counts(grace: str) -> None:
    """The first one counted, whichever it was."""
    greased = f"- [ ] `grease` Grease\n  - every: 25 h or 10 months\n  - grace: {grace}\n  - source: maker\n"
    records = {"2026-05-01-a": "kind: work\ndid: [grease]\nmeters: {tach: 10}"}
    late = {**records, "2026-05-02-b": "kind: hours\nmeters: {tach: 38}"}
    item = due(book(greased, late), dt.date(2026, 5, 2), expect=False).item("grease")
    assert item is not None
    assert item.state == "past-due"


@pytest.mark.parametrize(("before", "due_at"), [("100", "205"), ("108", "208"), ("", "210")])
def test_of_what_nobody_knows_when_it_was_due_no_grace_is_taken_off(before: str, due_at: str) -> None:
    """Every 50 h, 5 h of grace, done at 160: after 100 it was 10 h late, all 5 h off; after 108 2 h late; else none."""
    greased = "- [ ] `grease` Grease\n  - every: 50 h\n  - grace: 5 h\n  - source: maker\n"
    begun = "kind: brought-forward\nmeters: {tach: {reads: 110, total: 110}}\n"
    last = f"last: {{grease: {{date: 2026-03-01, tach: {before}}}}}\n" if before else ""
    records = {"2026-04-01-past": begun + last, "2026-05-01-a": "kind: work\ndid: [grease]\nmeters: {tach: 160}\n"}
    item = due(book(greased, records), dt.date(2026, 5, 2), expect=False).item("grease")
    assert item is not None
    assert str(item.due.total) == due_at


@pytest.mark.parametrize(
    ("own", "here"),
    [
        ("since-new: 20.0", "25.0"),
        ("since-new: 30.0", "35.0"),
        ("overhauled: 2019-05-01, since-overhaul: 20.0", "25.0"),
        # Overhauled where it is, or nothing known: it may have been there since the last reading of an earlier day.
        ("overhauled: 2019-08-01, since-overhaul: 4.0", "41.0"),
        ("made: 2019-01", "41.0"),
    ],
)
def test_a_part_that_was_brought_forward_has_run_no_longer_here_than_since_new(
    own: str, here: str
) -> None:
    """On the day on which the meter was changed, at 116: it counted from the 100 of three months before that day."""
    part = f"{{serial: E1, fitted-on: 2019-06-10, {own}}}"
    records = {
        "2019-03-01-flown": "kind: hours\nmeters: {tach: 100.0}\n",
        "2019-06-10-new": "kind: meter-change\nmeter: tach\nold: 116.0\nnew: 0.0\n",
        "2020-01-01-past": f"kind: brought-forward\nmeters: {{tach: {{reads: 20.0, total: 136.0}}}}\n"
        f"fitted: {{left: {part}}}\n",
        "2020-03-01-flown": "kind: hours\nmeters: {tach: 25.0}\n",
    }
    times = part_times(due(book("", records), dt.date(2020, 3, 1), expect=False))
    (time,) = [each for each in times if each.position.id == "left"]
    assert time.here == Decimal(here)
    assert time.since_new is None or time.here <= time.since_new


def test_a_reading_of_the_day_of_a_meter_change_before_its_total_was_brought_forward() -> None:
    """The meter reads 10 at a total of 410, and was changed at 390 for one of 0: at 390 the total was 400, at 389.5
    then 399.5. What is told of the past later was left out of it.
    """
    past = "kind: brought-forward\nmeters: {tach: {reads: 10, total: 410}}\n"
    change = "kind: meter-change\nmeter: tach\nold: 390\nnew: 0\n"
    told = book("", {"2026-08-20-change": change, "2026-09-01-past": past})
    day, reads = dt.date(2026, 8, 20), Decimal("389.5")
    assert total_read(told, day, "tach", reads) == Decimal("399.5")
    assert offsets_of_day(told, day, {"tach": reads}) == {"tach": Decimal(10)}
