"""What past durations teach: hand-worked medians, old ids, pages sealed twice; and a spread that is found again."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from random import Random
from statistics import mean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model.checklist import Check, Panel, Retired
from inspect_kit.model.finding import Result
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.plan.estimates import USUAL, USUAL_PACE, ThreePoint, learned_minutes, spread, widened
from tests.report.small import logbook as small

HERE = Place("x.md", 1)
FIRST = dt.date(2020, 1, 1)
PANEL = Panel(id="cowl", name="Cowl", zone="nose", remove=10, refit=20, place=HERE)


def check(name: str, minutes: int = 30, **more: object) -> Check:
    return Check(id=name, panel="cowl", text=name, minutes=minutes, place=HERE, **more)  # type: ignore[arg-type]


def took(name: str, minutes: int | None, answer: str = "done") -> Result:
    return Result(check=name, took=minutes, answer=answer, place=HERE)


def work(number: int, results: Sequence[Result], sheet: str = "") -> Work:
    date = FIRST + dt.timedelta(days=number)
    return Work(name=f"work-{number:04d}", date=date, sheet=sheet, results=tuple(results), place=HERE)


def book(checks: Sequence[Check], records: Sequence[Work | Inspection], **more: object) -> Logbook:
    return Logbook(
        aircraft=small({}).aircraft,
        panels={"cowl": PANEL},
        checks={each.id: each for each in checks},
        records=tuple(records),
        **more,  # type: ignore[arg-type]
    )


def past(*minutes: int | None) -> Logbook:
    """A check of 30 min that took so long, the oldest first."""
    return book([check("look")], [work(number, [took("look", each)]) for number, each in enumerate(minutes)])


# Worked by hand: the durations with 30 and 30 in order of size, the middle one or the middle of the middle two.
MEDIANS = {
    "nothing is known": ((), None),
    "one odd day moves nothing": ((90,), None),
    "two move it to half of the nearer one": ((50, 90), 40),
    "two on either side move nothing": ((20, 90), None),
    "three that agree are believed": ((50, 50, 50), 50),
    "of three the middle with the estimate twice": ((40, 50, 60), 40),
    "half a minute is rounded up": ((33, 60), 32),
    "no duration written down": ((None, None, None), None),
    "only the last five count": ((200, 200, 200, 200, 30, 30, 30, 30, 30), None),
    "the last five, all shorter": ((99, 10, 10, 11, 12, 13), 12),
}


@pytest.mark.parametrize("name", MEDIANS)
def test_the_median_with_the_estimate_counted_twice(name: str) -> None:
    minutes, expected = MEDIANS[name]
    assert learned_minutes(past(*minutes)) == ({} if expected is None else {"look": expected})


def test_an_old_id_is_followed_to_todays() -> None:
    records = [work(number, [took("glance", 50)]) for number in range(3)]
    renamed = book([check("look", was=("glance",))], records, current={"glance": "look"})
    assert learned_minutes(renamed) == {"look": 50}


def test_checks_that_became_one_are_added_if_each_says_how_long() -> None:
    halves = [took("left", 20), took("right", 30)]
    current = {"left": "look", "right": "look"}
    merged = book([check("look")], [work(number, halves) for number in range(3)], current=current)
    assert learned_minutes(merged) == {"look": 50}
    halves[1] = took("right", None)
    assert learned_minutes(replace(merged, records=tuple(work(n, halves) for n in range(3)))) == {}


def test_what_was_not_done_or_is_gone_or_is_others_teaches_nothing() -> None:
    checks = [
        check("look"),
        check("gone", retired=Retired(date=FIRST)),
        check("static", who="others", others="repair station"),
    ]
    results = [
        took("look", 90, "not applicable"),
        took("gone", 90),
        took("static", 90),
        took("never-known", 90),
    ]
    assert learned_minutes(book(checks, [work(number, results) for number in range(5)])) == {}


def test_a_page_sealed_twice_counts_once() -> None:
    """Three records of one page, not passed, not passed, passed: one duration, which alone moves nothing."""
    records = [work(number, [took("look", 90)], sheet="2020-01-01-condition-aaaa") for number in range(3)]
    assert learned_minutes(book([check("look")], records)) == {}
    apart = [work(number, [took("look", 90)], sheet=f"sheet-{number}") for number in range(3)]
    assert learned_minutes(book([check("look")], apart)) == {"look": 90}


def test_panels_are_learned_from_the_sealed_pages() -> None:
    def sheet(number: int) -> Worksheet:
        def box(verb: str, minutes: int, ticked: bool = True) -> Entry:
            return Entry(
                verb=verb, id="old-cowl", text="", ticked=ticked, took=minutes, place=HERE, lines=(number, number)
            )

        entries = (box("remove", 15), box("refit", 40, ticked=False))
        name = f"work-{number:04d}"
        return Worksheet(name=name, job="work", registration="N0TS", begun=FIRST, entries=entries, place=HERE)

    known = book([], [work(number, []) for number in range(3)], current={"old-cowl": "cowl"})
    sheets = [sheet(number) for number in range(3)]
    assert learned_minutes(known, sheets) == {"remove cowl": 15}
    assert learned_minutes(known) == {}
    # A page that no record was signed from is not history.
    assert learned_minutes(replace(known, records=()), sheets) == {}


@given(st.lists(st.integers(1, 300), max_size=8))
def test_learning_stays_between_the_estimate_and_what_was_seen(minutes: list[int]) -> None:
    learned = learned_minutes(past(*minutes)).get("look", 30)
    assert min([30, *minutes]) <= learned <= max([30, *minutes])


@given(st.lists(st.integers(1, 300), min_size=1, max_size=8), st.integers(0, 7), st.integers(0, 100))
def test_a_longer_duration_never_shortens_the_estimate(minutes: list[int], which: int, more: int) -> None:
    longer = list(minutes)
    longer[which % len(minutes)] += more
    assert learned_minutes(past(*longer)).get("look", 30) >= learned_minutes(past(*minutes)).get("look", 30)


def test_without_history_the_usual_spread_is_taken() -> None:
    found = spread(past())
    assert (found.common, found.pace, found.durations) == (USUAL, USUAL_PACE, 0)
    assert found.of("look", 30) == ThreePoint(optimistic=15, likely=30, pessimistic=60)
    assert spread(past(*[40] * 19)).common == USUAL


def invented(deviation: float, pace: float, seed: int, pages: int = 5, checks: int = 60) -> Logbook:
    """Inspections whose steps stray by `deviation` and whose days stray by `pace`, both shares of the estimate."""
    draw = Random(seed)
    records = []
    for number in range(pages):
        day = max(0.3, draw.gauss(1, pace))
        results = [
            took(f"c{index}", max(1, round(100 * day * max(0.1, draw.gauss(1, deviation))))) for index in range(checks)
        ]
        records.append(work(number, results))
    return book([check(f"c{index}", 100) for index in range(checks)], records)


@pytest.mark.parametrize("deviation", [0.1, 0.2, 0.3])
def test_the_spread_of_the_steps_is_found_again(deviation: float) -> None:
    """Against the standard deviation that the durations were drawn with: within a fifth over five seeds.

    The pace of the day is taken out first, so that it makes no difference how much days stray. What is left is a
    little narrower, since the estimates were learned from the same durations.
    """
    for pace in (0.0, 0.15):
        found = [spread(invented(deviation, pace, seed)) for seed in range(5)]
        deviations = [float(each.common.variance) ** 0.5 for each in found]
        assert 0.8 * deviation < mean(deviations) < 1.1 * deviation
        assert all(each.durations == 300 and each.pages == 5 for each in found)


def test_the_spread_of_the_days_is_found_again() -> None:
    """Days alike pull the usual 12.5 % down, days that differ much pull it up; estimates learned absorb part of it."""
    alike = [float(spread(invented(0.2, 0.0, seed)).pace.variance) ** 0.5 for seed in range(8)]
    apart = [float(spread(invented(0.2, 0.3, seed)).pace.variance) ** 0.5 for seed in range(8)]
    assert max(alike) < 0.08
    assert mean(apart) > 0.18
    assert stdev(alike) < stdev(apart)


def test_a_step_with_a_history_of_its_own_is_wider_or_narrower() -> None:
    logbook = invented(0.2, 0.0, 1)
    swing = (40, 160, 50, 170, 100)
    records = []
    for number, record in enumerate(logbook.records):
        assert isinstance(record, Work)
        steady = [took(each.check, 100) if each.check == "c1" else each for each in record.results]
        records.append(
            replace(record, results=tuple(took("c0", swing[number]) if each.check == "c0" else each for each in steady))
        )
    found = spread(replace(logbook, records=tuple(records)))
    wild, common, calm = (float(found.of(name, 100).variance) for name in ("c0", "never-done", "c1"))
    assert calm < common < wild
    # Five durations without any deviation against eight that stand for all: 8/13 of the variance at the least.
    assert calm >= 0.6 * common


def test_widening_keeps_what_is_likely_and_never_reaches_nothing() -> None:
    share = ThreePoint(optimistic=0.5, likely=1, pessimistic=2)
    assert widened(share, 2) == ThreePoint(optimistic=0.1, likely=1, pessimistic=3)
    assert widened(share, 0) == ThreePoint(optimistic=1, likely=1, pessimistic=1)


def test_the_order_of_files_and_results_changes_nothing() -> None:
    """Results turned round within their records, checks turned round within the logbook."""
    logbook = invented(0.2, 0.1, 3)
    shuffled = [replace(record, results=record.results[::-1]) for record in logbook.records]  # type: ignore[attr-defined, call-arg]
    other = replace(logbook, records=tuple(shuffled), checks=dict(reversed(logbook.checks.items())))
    assert learned_minutes(other) == learned_minutes(logbook)
    assert spread(other) == spread(logbook)


def test_durations_all_alike_leave_no_spread_of_steps() -> None:
    found = spread(book([check(f"c{n}") for n in range(30)], [work(0, [took(f"c{n}", 30) for n in range(30)])]))
    assert found.common.variance == 0
    assert 0 < found.pace.variance < USUAL_PACE.variance
