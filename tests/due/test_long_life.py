"""Dates of a long life, figure by figure: each case was once answered too late, or not at all.

The figures are worked out by hand from README, "When it is due".
"""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.due import Item, Moment, chronicle, due
from tests.due.small import book, inspection, on, signed

BEGIN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0}\n"}


def item(checks: str, records: dict[str, str], day: str, check: str = "x") -> Item:
    found = due(book(checks, records), on(day), expect=False).item(check)
    assert found is not None
    return found


def hours(reads: float) -> str:
    return f"kind: hours\nmeters: {{tach: {reads}}}\n"


def did(reads: float, check: str = "x") -> str:
    return f"kind: work\ndid: [{check}]\nmeters: {{tach: {reads}}}\n"


def put(word: str, position: str, serial: str, reads: float, more: str = "") -> str:
    return f"kind: {word}\nposition: {position}\nserial: {serial}\nmeters: {{tach: {reads}}}\n{more}"


FOR_A_DAY = {
    "2018-02-01-in": put("installed", "left", "H1", 1.0, "made: 2017-06-01\noverhauled: 2017-12-01\n"),
    "2022-03-01-out": put("removed", "left", "H1", 150.0),
    "2022-03-02-in": put("installed", "left", "H1", 150.0),
}


@pytest.mark.parametrize(
    ("life", "date"),
    [
        ("5 years", "2023-02-01"),
        ("5 years from fitted", "2023-02-01"),
        ("5 years from made", "2022-06-01"),
        ("5 years from overhaul", "2022-12-01"),
    ],
)
def test_a_life_by_the_calendar_belongs_to_the_part_and_no_refit_restarts_it(life: str, date: str) -> None:
    """A hose taken off for a day in 2022 and refitted: 5 years from 2018-02-01, not 2027-03-02."""
    found = item(f"- [ ] `x` Hose\n  - counts-on: left\n  - life: {life}\n", BEGIN | FOR_A_DAY, "2022-04-01")
    assert str(found.due.date) == date


def test_an_overhaul_restarts_only_the_life_from_overhaul() -> None:
    again = FOR_A_DAY | {
        "2022-03-02-in": put("installed", "left", "H1", 150.0, "overhauled: 2022-03-01\nsince-overhaul: 0\n")
    }
    dates = [
        str(item(f"- [ ] `x` Hose\n  - counts-on: left\n  - life: {life}\n", BEGIN | again, "2022-04-01").due.date)
        for life in ("5 years", "5 years from made", "5 years from overhaul")
    ]
    assert dates == ["2023-02-01", "2022-06-01", "2027-03-01"]


def landed(word: str, reads: int, more: str = "") -> str:
    return put(word, "left", "H1", float(reads), more).replace("}", f", landings: {reads}}}")


AGAIN = "overhauled: 2022-03-01\n"


@pytest.mark.parametrize(
    ("more", "start", "total"),
    [
        (AGAIN, "overhaul", "550"),  # Overhauled on the bench: it ran none since. 250 + 300
        (AGAIN + "since-overhaul: 0\n", "overhaul", "550"),
        ("since-overhaul: 0\n", "overhaul", "550"),
        (AGAIN + "since-overhaul: 5\n", "overhaul", "310"),  # Its landings elsewhere nobody knows: 10 + 300
        ("", "overhaul", "310"),
        (AGAIN + "since-overhaul: 0\n", "fitted", "310"),
        (AGAIN + "since-overhaul: 0\n", "made", "310"),
    ],
)
def test_a_life_in_landings_begins_anew_with_an_overhaul(more: str, start: str, total: str) -> None:
    """Fitted at 10 landings, out at 250, overhauled, in at 250."""
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
        "2018-02-01-in": landed("installed", 10),
        "2022-02-20-out": landed("removed", 250),
        "2022-03-02-in": landed("installed", 250, more),
    }
    checks = f"- [ ] `x` Gear\n  - counts-on: left\n  - life: 300 landings from {start}\n"
    assert item(checks, records, "2022-04-01").due.total == Decimal(total)


@pytest.mark.parametrize(
    ("more", "total"),
    [
        ("", "610"),  # 200 since the overhaul at 250, and 60 on the bench: 250 + 60 + 300.
        ("since-overhaul: 200\n", "610"),
        ("since-overhaul: 0\n", "810"),  # Overhauled again: 510 + 300.
        ("overhauled: 2023-02-01\n", "810"),
    ],
)
def test_a_life_in_landings_goes_on_over_the_stays_since_the_last_overhaul(more: str, total: str) -> None:
    """Fitted at 10, out at 250, overhauled, in at 250, out at 450, in at 510."""
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
        "2018-02-01-in": landed("installed", 10),
        "2022-02-20-out": landed("removed", 250),
        "2022-03-02-in": landed("installed", 250, "since-overhaul: 0\n"),
        "2023-01-10-out": landed("removed", 450),
        "2023-02-10-in": landed("installed", 510, more),
    }
    checks = "- [ ] `x` Gear\n  - counts-on: left\n  - life: 300 landings from overhaul\n"
    assert item(checks, records, "2023-04-01").due.total == Decimal(total)


def test_a_part_fitted_twice_after_one_overhaul_keeps_what_it_ran_between() -> None:
    """40 landings in the shop's trials, and no time in service: in at 250, out at 290, in with 0 h: 250 + 300."""
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
        "2022-03-02-in": landed("installed", 250, "since-overhaul: 0\n"),
        "2022-03-03-out": landed("removed", 290).replace("290.0", "250.0"),
        "2022-03-04-in": landed("installed", 290, "since-overhaul: 0\n").replace("290.0", "250.0"),
    }
    checks = "- [ ] `x` Gear\n  - counts-on: left\n  - life: 300 landings from overhaul\n"
    assert item(checks, records, "2022-04-01").due.total == Decimal(550)


def test_a_life_without_its_date_is_unknown_and_serial_none_is_a_new_part_each_time() -> None:
    made = "- [ ] `x` Hose\n  - counts-on: left\n  - life: 5 years from made\n"
    bare = {"2018-02-01-in": put("installed", "left", "H1", 1.0)}
    assert item(made, BEGIN | bare, "2019-01-01").state == "unknown"
    fresh = {name: text.replace("H1", "none") for name, text in FOR_A_DAY.items()}
    found = item("- [ ] `x` Hose\n  - counts-on: left\n  - life: 5 years\n", BEGIN | fresh, "2022-04-01")
    assert str(found.due.date) == "2027-03-02"


def test_own_use_counts_for_every_in_whatever_position_it_ran() -> None:
    """Done at 20, 15 h in another position, 5 h back: 20 of 50 h are used, so due at 70 and not at 85."""
    records = BEGIN | {
        "2018-02-01-in": put("installed", "left", "M1", 0.0),
        "2018-03-01-did": did(20.0),
        "2018-03-02-out": put("removed", "left", "M1", 20.0),
        "2018-03-02-other": put("installed", "right", "M1", 20.0),
        "2018-04-01-out": put("removed", "right", "M1", 35.0),
        "2018-04-01-back": put("installed", "left", "M1", 35.0),
        "2018-05-01-hours": hours(40.0),
    }
    found = item("- [ ] `x` Points\n  - counts-on: left\n  - every: 50 h\n", records, "2018-05-02")
    assert (found.due.total, found.left.amount) == (Decimal("70.0"), Decimal("30.0"))


PROP = "- [ ] `x` Torque\n  - counts-on: prop\n  - every: 50 h\n  - first: 1 h, 10 h\n"


@pytest.mark.parametrize("trigger", ["", "  - owed-after: installed prop\n"])
def test_a_refit_of_the_same_wooden_propeller_begins_first_anew(trigger: str) -> None:
    """Off and on at 40: the next torque is due at 41, not at 80."""
    records = BEGIN | {
        "2018-02-01-in": put("installed", "prop", "P1", 0.0),
        "2018-02-02-did": did(1.0),
        "2018-03-01-did": did(10.0),
        "2018-04-01-did": did(30.0),
        "2018-05-01-out": put("removed", "prop", "P1", 40.0),
        "2018-05-02-in": put("installed", "prop", "P1", 40.0),
    }
    assert item(PROP + trigger, records, "2018-05-02").due.total == Decimal("41.0")


@pytest.mark.parametrize("trigger", ["", "  - owed-after: installed prop\n"])
@pytest.mark.parametrize(
    ("done", "due_at"),
    [
        ((), "101.0"),
        ((100.0,), "101.0"),  # At the fitting's own reading: answers nothing.
        ((100.2, 100.4), "101.0"),  # 0.8 and 0.6 h left of the first: too early, twice.
        ((100.5,), "110.0"),  # Half an hour left, with hours between on the same day.
        ((100.6, 100.7), "110.0"),  # The second is far from the next entry.
        ((101.3, 107.9), "110.0"),  # 2.1 h left of 10, more than a fifth.
        ((101.3, 108.0), "158.0"),  # A fifth left: answered, and the interval goes on from there.
        ((111.0,), "161.0"),  # One doing past both answers both.
    ],
)
def test_doings_answer_the_entries_of_first_that_they_reach(
    done: tuple[float, ...], due_at: str, trigger: str
) -> None:
    records = BEGIN | {"2018-02-01-a-in": put("installed", "prop", "P1", 100.0)}
    for number, reads in enumerate(done):
        records[f"2018-02-01-b{number}-did"] = did(reads)
    assert item(PROP + trigger, records, "2018-02-02").due.total == Decimal(due_at)


def test_a_trigger_never_takes_a_duty_away() -> None:
    """52 days past due is not `10 h left` because something made it owed again."""
    check = "- [ ] `x` Look\n  - every: 100 days\n  - first: 10 h\n  - owed-after: did y\n- [ ] `y` Work\n"
    records = BEGIN | {"2018-02-01-did": did(5.0), "2018-07-01-y": did(20.0, "y"), "2018-07-03-hours": hours(20.0)}
    found = item(check, records, "2018-07-03")
    # 100 days from 2018-02-01 is 2018-05-12; 52 days later it is 2018-07-03.
    assert (found.state, str(found.due.date), found.left.days) == ("past-due", "2018-05-12", -52)


def test_a_meter_that_was_never_read_is_unknown_and_not_zero() -> None:
    found = item("- [ ] `x` Tyre\n  - every: 500 landings\n", BEGIN | {"2018-02-01-did": did(5.0)}, "2018-03-01")
    assert (found.state, found.due.total) == ("unknown", None)


def test_what_was_flown_on_the_certificate_date_counts_from_the_beginning_of_that_day() -> None:
    """5.7 h on the first day: every 25 h is due at 25, not at 30.7."""
    records = {"2018-01-15-a": hours(0.0), "2018-01-15-b": hours(5.7)}
    assert item("- [ ] `x` Oil\n  - every: 25 h\n", records, "2018-01-20").due.total == Decimal("25.0")


def test_unread_work_on_a_day_with_a_later_reading_counts_at_the_reading_before_it() -> None:
    records = BEGIN | {
        "2018-02-01-hours": hours(10.0),
        "2018-03-01-a-did": "kind: work\ndid: [x]\n",
        "2018-03-01-b-hours": hours(14.0),
    }
    assert item("- [ ] `x` Oil\n  - every: 25 h\n", records, "2018-03-02").due.total == Decimal("35.0")


def test_a_part_fitted_and_removed_at_one_moment_is_not_fitted() -> None:
    records = BEGIN | {
        "2018-02-01-a-in": put("installed", "left", "H1", 10.0),
        "2018-02-01-b-out": put("removed", "left", "H1", 10.0),
    }
    assert item("- [ ] `x` Hose\n  - counts-on: left\n  - life: 5 years\n", records, "2018-03-01").state == "unknown"


def test_of_two_removals_of_one_day_the_one_that_may_have_come_later_is_the_last() -> None:
    """Overhauled and fitted at 113.6, out twice that day, once unread: until the next reading, 132.7, it may have run
    19.1 h, and of 783 h from the overhaul at 113.6 so many are gone when it is fitted again."""
    bare = "position: left\nserial: H1\n"
    records = BEGIN | {
        "2018-10-18-hours": hours(108.8),
        "2018-10-19-a": put("installed", "left", "H1", 113.6, "overhauled: 2018-10-19\nsince-overhaul: 0\n"),
        "2018-10-19-b": put("removed", "left", "H1", 113.6),
        "2018-10-19-c": f"kind: installed\n{bare}",
        "2018-10-19-d": f"kind: removed\n{bare}",
        "2018-10-24-in": put("installed", "left", "H1", 132.7),
    }
    found = item("- [ ] `x` Bolts\n  - counts-on: left\n  - life: 783 h from overhaul\n", records, "2018-11-01")
    assert found.due.total == Decimal("132.7") + Decimal(783) - Decimal("19.1")


@pytest.mark.parametrize("names", ["abc", "cba"])
def test_of_fittings_of_one_day_whose_order_is_open_the_one_at_the_least_total_is_the_last(names: str) -> None:
    """In without a reading (at 20 at least), out without one, in at 21.5: whichever was last, 10 h end at 30."""
    bare = "position: left\nserial: H1\n"
    first, second, third = (f"2018-04-01-{name}" for name in names)
    records = BEGIN | {
        "2018-03-01-hours": hours(20.0),
        first: f"kind: installed\n{bare}",
        second: f"kind: removed\n{bare}",
        third: put("installed", "left", "H1", 21.5),
    }
    found = item("- [ ] `x` Bolts\n  - counts-on: left\n  - first: 10 h\n  - every: 100 h\n", records, "2018-04-02")
    assert found.due.total == Decimal(30)


@pytest.mark.parametrize(
    ("done", "following"), [(28.0, "53.0"), (30.0, "55.0"), (31.0, "55.0"), (32.0, "55.0"), (90.0, "113.0")]
)
@pytest.mark.parametrize(("every", "grace"), [("25 h", "2 h"), ("25 h", "2 h on tach"), ("25 h on tach", "2 h")])
def test_grace_is_taken_off_whole_and_no_more(every: str, grace: str, done: float, following: str) -> None:
    """Every 25 h with 2 h of grace, due at 30. Within grace as 14 CFR 91.409(b): the excess is charged."""
    check = f"- [ ] `x` Plugs\n  - every: {every}\n  - grace: {grace}\n  - source: maker\n"
    records = BEGIN | {"2018-02-01-did": did(5.0), "2018-04-01-did": did(done)}
    found = item(check, records, "2018-04-02")
    assert (found.due.total, found.state) == (Decimal(following), "later")


START = "kind: brought-forward\nmeters: {tach: {reads: 1.0, total: 300.0}}\n"


def test_last_done_counts_for_the_part_of_a_position_that_was_brought_forward() -> None:
    past = START + "last: {x: {date: 2019-12-01, tach: 290.0}}\nfitted: {left: {serial: M1, since-new: 120.0}}\n"
    found = item(
        "- [ ] `x` Points\n  - counts-on: left\n  - every: 50 h\n", {"2020-01-01-start": past}, "2020-01-02"
    )
    assert (found.due.total, str(found.last.date) if found.last else "") == (Decimal("340.0"), "2019-12-01")
    words = " ".join(line.text for line in found.lines)
    assert "fitted before records began" in words
    assert "on 2020-01-01 with" not in words


def test_a_part_brought_forward_has_no_age_from_the_day_on_which_it_was_typed() -> None:
    check = "- [ ] `x` Hose\n  - counts-on: left\n  - life: 5 years\n"
    bare = {"2020-01-01-start": START + "fitted: {left: {serial: H1}}\n"}
    assert item(check, bare, "2020-01-02").state == "unknown"
    told = {"2020-01-01-start": START + "fitted: {left: {serial: H1, fitted-on: 2016-05-01}}\n"}
    assert str(item(check, told, "2020-01-02").due.date) == "2021-05-01"


FINDING = "kind: finding\npanel: box\nfound: crack\nfix: at next condition inspection\nmay wait because: short\n"


def test_a_finding_waits_for_the_very_next_inspection_and_no_further() -> None:
    """By hand: an inspection passed without it, and it is past due from that day."""
    records = BEGIN | {
        "2018-06-01-first": inspection(tach="10.0"),
        "2018-06-01-ink": signed("2018-06-01-first"),
        "2018-08-01-crack": FINDING,
    }
    waits = due(book("", records), on("2018-09-01"), expect=False).item("2018-08-01-crack#F1")
    assert waits is not None
    assert (str(waits.due.date), waits.state) == ("2019-06-30", "later")
    records |= {"2019-05-01-next": inspection(tach="50.0"), "2019-05-01-ink": signed("2019-05-01-next")}
    over = due(book("", records), on("2019-05-02"), expect=False).item("2018-08-01-crack#F1")
    assert over is not None
    assert (over.state, str(over.due.date)) == ("past-due", "2019-05-01")


@pytest.mark.parametrize(
    ("says", "state"),
    [
        ("meters: {tach: 9.5}\n", "past-due"),
        ("precedes: [2018-06-01-first]\n", "past-due"),
        ("", "past-due"),
        ("meters: {tach: 10.0}\n", "past-due"),
        ("meters: {tach: 10.5}\n", "later"),
        ("follows: [2018-06-01-first]\n", "later"),
    ],
)
def test_a_finding_of_the_day_of_an_inspection_waits_for_the_next_only_if_it_came_after_it(
    says: str, state: str
) -> None:
    records = BEGIN | {
        "2018-06-01-first": inspection(tach="10.0"),
        "2018-06-01-ink": signed("2018-06-01-first"),
        "2018-06-01-crack": says + FINDING,
    }
    waits = due(book("", records), on("2018-09-01"), expect=False).item("2018-06-01-crack#F1")
    assert waits is not None
    assert waits.state == state


def test_a_check_that_retires_on_a_date_to_come_counts_until_then() -> None:
    check = "- [ ] `x` Muff\n  - every: 25 h\n  - retired: 2018-06-01, heater removed\n"
    records = BEGIN | {"2018-02-01-did": did(5.0)}
    made = book(check, records)
    assert due(made, on("2018-05-31"), expect=False).item("x") is not None
    assert due(made, on("2018-06-01"), expect=False).item("x") is None


def test_an_unknown_inspection_beside_a_known_limit_in_hours_is_told() -> None:
    check = "- [ ] `x` Cables\n  - every: 100 h or condition inspection\n"
    past = START + "last: {x: {date: 2019-12-01, tach: 290.0}}\n"
    found = item(check, {"2020-01-01-start": past}, "2020-01-02")
    assert (found.state, found.due.total) == ("unknown", Decimal("390.0"))
    assert "condition inspection" in " ".join(line.text for line in found.lines)


def test_what_was_done_is_compared_with_what_made_it_owed_only_on_the_same_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 10,000 records every doing was once compared with every other: a third of the time of `due`."""
    check = "- [ ] `x` Look\n  - every: 500 h\n  - owed-after: did y\n- [ ] `y` Work\n"
    days = [dt.date(2018, 2, 1) + dt.timedelta(days=number) for number in range(60)]
    records = BEGIN | {f"{day}-both": f"kind: work\ndid: [y, x]\nmeters: {{tach: {day.day}}}\n" for day in days[:1]}
    records |= {f"{day}-{name}": f"kind: work\ndid: [{name}]\n" for day in days[1:] for name in "yx"}
    asked = []
    is_tied = Moment.is_tied
    monkeypatch.setattr(Moment, "is_tied", lambda *given: asked.append(given) or is_tied(*given))
    found = item(check, records, "2018-04-10")
    # Of each of the 59 days one work and one look, and nothing says which came first; of the first day the record does.
    told = [line.text for line in found.lines if "nothing says which came first" in line.text]
    assert len(asked) < 3 * len(days)
    assert (len(told), found.taken_after) == (1, f"{days[-1]}-y")


@pytest.mark.parametrize(("day", "counts"), [("2018-02-03", (1, 1)), ("2018-02-02", (2, 0))])
def test_a_doing_that_was_brought_forward_and_is_on_record_counts_once(day: str, counts: tuple[int, int]) -> None:
    now = "meters: {tach: {reads: 40.0, total: 40.0}, landings: {reads: 9, total: 9}}\n"
    past = f"kind: brought-forward\n{now}last: {{x: {{date: {day}, tach: 40.0, landings: 9}}}}\n"
    again = "kind: work\ndid: [x]\nmeters: {tach: 40.0, landings: 9}\n"
    made = chronicle(book("- [ ] `x` Look\n  - every: 50 h\n", {"2018-02-03-a": past, "2018-02-03-b": again}))
    assert (len(made.done["x"]), len(made.again.get("x", ()))) == counts


BOTH = "kind: brought-forward\nmeters: {tach: {reads: 402, total: 402}, landings: {reads: 600, total: 600}}\n"


@pytest.mark.parametrize(
    ("told", "state"),
    [
        ("last: {x: {date: 2026-05-01, tach: 398}}", "unknown"),
        ("last: {x: {date: 2026-05-01, tach: 402}}", "later"),
        ("last: {x: {date: 2026-05-01}}", "later"),
        ("kind: work\ndid: [x]\nmeters: {tach: 398}", "unknown"),
        ("kind: paper-entry\ntext: x\ndid: [x]\ntotals: {tach: 398}", "unknown"),
        ("kind: work\ndid: [x]\nmeters: {tach: 402}", "later"),
        ("kind: work\ndid: [x]", "later"),
    ],
)
def test_a_total_of_that_day_is_no_beginning_of_what_read_less(told: str, state: str) -> None:
    """Done at 398, 402 and 600 landings brought forward that day: with how many landings it was done nobody knows."""
    last = told.startswith("last")
    records = {"2026-05-01-start": BOTH + (told if last else "")} | ({} if last else {"2026-05-01-work": told})
    found = item("- [ ] `x` Tyres\n  - every: 100 landings\n", records, "2026-05-02")
    assert (found.state, found.due.total) == (state, Decimal(700) if state == "later" else None)


@pytest.mark.parametrize(
    ("first", "done", "following"),
    [
        # Due on 31 January, in grace to 28 February: within it from when it was due.
        ("2022-11-02", "2023-02-28", "2023-05-01"),
        # A month before 1 March is 1 February, of which 90 days later is 2 May.
        ("2022-11-02", "2023-03-01", "2023-05-02"),
        # A month before 10 September is 10 August, as many days after 31 January as the year likes.
        ("2022-11-02", "2023-09-10", "2023-11-08"),
    ],
)
def test_a_month_of_grace_is_a_month_before_the_doing(first: str, done: str, following: str) -> None:
    check = "- [ ] `x` Plugs\n  - every: 90 days\n  - grace: 1 month\n  - source: maker\n"
    records = {f"{first}-did": did(5.0), f"{done}-did": did(6.0)}
    assert str(item(check, records, "2023-09-11").due.date) == following
