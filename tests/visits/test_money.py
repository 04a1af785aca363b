"""What costs money: a life, a part and the work of others are not given away unknown, and what is known is weighed."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.due import due
from inspect_kit.model.checklist import Check
from inspect_kit.model.logbook import Logbook
from inspect_kit.text.checklist import read_checklist
from inspect_kit.visits import Doing, VisitPlan, year_ahead
from inspect_kit.visits.money import Money, is_guarded, money_of, worth
from inspect_kit.visits.rule import LAST_PART, LAST_USE
from tests.visits.hangar import TODAY, check, small_store

QUICK = 0.3
OVERHAULED = "format: 1\nkind: installed\ndate: {}\nposition: hoses\nserial: A1\n"
# Getting there and the cowling: what a visit of its own costs.
OWN_VISIT = 45 + (20 + 28) * 2
HOUR = "visits: {hour: 25, currency: EUR}"


def ahead(logbook: Logbook, months: int = 12) -> VisitPlan:
    return year_ahead(logbook, due(logbook, TODAY), months=months, seconds=QUICK)


def doings(plan: VisitPlan, item: str) -> list[Doing]:
    return [doing for visit in plan.visits for doing in visit.doings if doing.item == item]


def overhaul(root: Path, life: str, fitted: dt.date, *, more: str = "", **keys: str) -> Logbook:
    """An overhaul due on 2026-11-20 behind a cowling that a letter has opened by 2026-05-31."""
    checks = check("overhaul", life=life, counts_on="hoses", who="others: engine shop", **keys)
    checks += check("letter", once="2026-05-31")
    return small_store(root, checks, records={"i": OVERHAULED.format(fitted)}, access=(20, 28), more=more)


LIVES = {"5 years": dt.date(2021, 11, 20), "12 years": dt.date(2014, 11, 20)}


@pytest.mark.parametrize("life", LIVES)
def test_an_overhaul_is_not_pulled_by_half_a_year_to_save_two_hours(life: str, tmp_path: Path) -> None:
    """Due 2026-11-20; planned for 2026-05-31 it would save a visit and a cowling, 141 min."""
    plan = ahead(overhaul(tmp_path / "store", life, LIVES[life]))
    (planned,) = doings(plan, "overhaul")
    assert OWN_VISIT == 141
    assert dt.date(2026, 11, 6) <= planned.on <= dt.date(2026, 11, 20)
    assert any("nothing says what it costs: Overhaul (overhaul)" in note for note in plan.notes)


@pytest.mark.parametrize("life", LIVES)
def test_without_the_guard_it_is_what_the_minutes_alone_would_do(
    life: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("inspect_kit.visits.subjects.is_guarded", lambda check, money: False)
    (planned,) = doings(ahead(overhaul(tmp_path / "store", life, LIVES[life])), "overhaul")
    assert planned.on <= dt.date(2026, 6, 1)
    assert planned.saves == 141


def test_a_cost_that_is_known_is_weighed(tmp_path: Path) -> None:
    """For 20 it is worth the visit, for 2,000 it is not: 173 days of 12 years are 4 %, 80 at 25 an hour 192 min."""
    cheap = ahead(overhaul(tmp_path / "a", "12 years", LIVES["12 years"], more=HOUR, costs="20"))
    dear = ahead(overhaul(tmp_path / "b", "12 years", LIVES["12 years"], more=HOUR, costs="2000"))
    (early,), (late,) = doings(cheap, "overhaul"), doings(dear, "overhaul")
    assert early.on <= dt.date(2026, 6, 1)
    assert late.on >= dt.date(2026, 11, 6)
    days = (dt.date(2026, 11, 20) - early.on).days
    assert early.given_away == f"{days} of the 4383 days of its interval"
    # Others do it: no labour of one's own; 20 at 25 an hour are 48 min.
    assert early.wastes == pytest.approx(48 * days / 4383)


def test_a_cost_without_the_worth_of_an_hour_is_not_weighed_and_that_is_said(tmp_path: Path) -> None:
    plain = ahead(overhaul(tmp_path / "a", "12 years", LIVES["12 years"]))
    costed = ahead(overhaul(tmp_path / "b", "12 years", LIVES["12 years"], costs="20"))
    assert [(visit.on, visit.checks) for visit in plain.visits] == [(visit.on, visit.checks) for visit in costed.visits]
    assert any("{hour: 25}" in note for note in costed.notes)
    assert not any("{hour: 25}" in note for note in plain.notes)
    assert costed.costs.money == 20
    assert costed.hour is None


@pytest.mark.parametrize(
    ("life", "fitted", "ahead_of_it", "comes_along"),
    [
        # Five years have 91 days of a last twentieth, and at most 90 count.
        ("5 years", "2021-11-20", 80, True),
        ("5 years", "2021-11-20", 100, False),
        ("12 years", "2014-11-20", 80, True),
        ("12 years", "2014-11-20", 100, False),
        # One year has 18 days.
        ("12 months", "2025-11-20", 15, True),
        ("12 months", "2025-11-20", 30, False),
    ],
)
def test_it_comes_along_with_a_visit_in_its_last_part_and_with_no_earlier_one(
    life: str, fitted: str, ahead_of_it: int, comes_along: bool, tmp_path: Path
) -> None:
    day = dt.date(2026, 11, 20) - dt.timedelta(days=ahead_of_it)
    checks = check("overhaul", life=life, counts_on="hoses", who="others: engine shop")
    checks += check("letter", once=str(day))
    # Every day may be a visit: the letter is done on its last one, or together with the overhaul.
    plan = ahead(small_store(tmp_path / "store", checks, records={"i": OVERHAULED.format(fitted)}))
    (planned,), (letter,) = doings(plan, "overhaul"), doings(plan, "letter")
    assert letter.on <= day
    assert (planned.on == letter.on) == comes_along
    assert planned.pulled == comes_along


def test_what_others_do_is_not_pulled_forward_by_hours_either(tmp_path: Path) -> None:
    """500 h have 25 in their last twentieth, 2,000 h a hundred, of which 25 count."""
    for number, limit in enumerate(("500 h", "2000 h")):
        since = Decimal(limit.split()[0]) - 60
        checks = check("bench", every=limit, counts_on="hoses", who="others: magneto shop") + check("oil", every="15 h")
        fitted = f"format: 1\nkind: installed\ndate: {TODAY}\nposition: hoses\nserial: A1\nsince-new: {since}\n"
        plan = ahead(small_store(tmp_path / str(number), checks, records={"i": fitted}))
        for doing in doings(plan, "bench"):
            left = Decimal(doing.given_away.split()[0]) if doing.given_away else Decimal(0)
            assert left <= 25 or not doing.pulled


def checks_of(*texts: str) -> list[Check]:
    _, found, source = read_checklist("---\npanel: a\nname: A\nzone: a\n---\n" + "".join(texts), "checklists/a.md")
    assert source.problems == []
    return found


def test_what_a_doing_costs_is_what_its_check_says_or_its_parts_do() -> None:
    prices = {("oil filter", ""): Decimal(18), ("engine oil", "qt"): Decimal("9.5")}
    money = Money(prices=prices, hour=Decimal(25), currency="EUR")
    said, oil, half, plain, shop, life, known = checks_of(
        check("said", uses="1 oil filter", costs="12.50"),
        check("oil", uses="1 oil filter; 6 qt engine oil", time="45 min"),
        check("half", uses="1 oil filter; 1 gasket"),
        check("plain", time="20 min, 2 people"),
        check("shop", who="others: shop", uses="1 oil filter", time="60 min"),
        check("life", life="5 years", uses="1 oil filter", time="30 min"),
        check("known", who="others: shop", costs="250"),
    )
    costs = [money.of_check(each) for each in (said, oil, half, plain, shop, life, known)]
    assert costs == [Decimal("12.50"), Decimal(75), None, 0, None, None, 250]
    # 75 at 25 an hour are three hours; nothing known of a gasket: half an hour for all of it.
    assert [worth(each, money) for each in (oil, half, plain)] == [45 + 180, 5 + 30, 40]
    # Of others no labour of one's own; what stands for a life and for others are four hours each.
    assert [worth(each, money) for each in (shop, life, known)] == [240 + 30, 30 + 240 + 30, 600]
    assert not any(is_guarded(each, money) for each in (oil, half, plain, known))
    assert is_guarded(shop, money)
    assert is_guarded(life, money)
    unweighed = replace(money, hour=None)
    assert is_guarded(known, unweighed)
    assert worth(oil, unweighed) == 45 + 30


def test_the_newest_price_of_a_part_counts_and_that_of_one_piece_of_it(tmp_path: Path) -> None:
    stock = "format: 1\nkind: stock\ndate: {}\nitem: {}\namount: {}\n{}"
    records = {
        "a": stock.format("2025-03-01", "Oil filters", 2, "costs: 30\n"),
        "b": stock.format("2025-09-01", "oil filter", 4, "costs: 72\n"),
        "c": stock.format("2025-10-01", "oil filter", 4, "lot: x\n"),
        "d": stock.format("2025-09-01", "engine oil", "12 qt", "costs: 114\n"),
    }
    oil = check("oil", every="50 h", uses="1 oil filter; 6 qt engine oil")
    book = small_store(tmp_path / "store", oil, records=records)
    money = money_of(book)
    assert money.prices == {("oil filter", ""): Decimal(18), ("engine oil", "qt"): Decimal("9.5")}
    assert money.of_check(book.checks["oil"]) == 75


def shares_given_away(plan: VisitPlan, item: str) -> float:
    """How many days of its life are given away in all, under the likely use."""
    return sum((doing.due - doing.on).days for doing in doings(plan, item) if doing.due is not None)


@pytest.mark.parametrize("seed", range(5))
def test_a_dearer_life_is_never_done_earlier(seed: int, tmp_path: Path) -> None:
    """Of two costs, what the dearer one gives away is no more than what the other does, but for what is not proved.

    The best plans for two costs: each would be no better under the other one. So what is given away can only fall; a
    plan within so many minutes of the best can stray by that, divided by what the cost has risen.
    """
    fitted = dt.date(2021, 2 + 2 * seed, 9)
    found = []
    for costs in (20, 300, 6000):
        checks = check("life", life="5 years", counts_on="hoses", costs=str(costs))
        checks += check("oil", every="4 months") + check("look", every=f"{40 + 17 * seed} days", time="20 min")
        records = {"i": OVERHAULED.format(fitted)}
        last = {"oil": TODAY - dt.timedelta(days=11 * seed), "look": TODAY - dt.timedelta(days=9)}
        plan = ahead(small_store(tmp_path / str(costs), checks, records=records, last=last, more=HOUR))
        found.append((costs / 25 * 60, shares_given_away(plan, "life"), plan.costs.total - plan.bound))
    assert found[0][1] >= found[-1][1]
    for (low, before, stray), (high, after, other) in pairwise(found):
        whole = (fitted.replace(year=2026) - fitted).days
        assert after <= before + whole * (stray + other) / (high - low) + 1e-9


def test_another_currency_changes_nothing_but_the_figures(tmp_path: Path) -> None:
    def made(name: str, costs: str, more: str) -> VisitPlan:
        checks = check("life", life="5 years", counts_on="hoses", costs=costs) + check("oil", every="3 months")
        return ahead(small_store(tmp_path / name, checks, records={"i": OVERHAULED.format("2021-08-01")}, more=more))

    one, other = made("a", "90", HOUR), made("b", "13500", "visits: {hour: 3750, currency: JPY}")
    assert [(visit.on, visit.checks) for visit in one.visits] == [(visit.on, visit.checks) for visit in other.visits]
    assert one.costs.total == pytest.approx(other.costs.total)
    assert other.costs.money == one.costs.money * 150
    assert one.in_money(60) == 25
    assert other.in_money(60) == 3750


def test_money_at_the_worth_of_an_hour_is_so_many_minutes(tmp_path: Path) -> None:
    """An hour's worth of money and an hour of labour give the same away."""
    last = {"look": TODAY - dt.timedelta(days=40), "oil": TODAY - dt.timedelta(days=3)}

    def made(name: str, more: str, **keys: str) -> VisitPlan:
        checks = check("look", every="100 days", **keys) + check("oil", every="80 days")
        return ahead(small_store(tmp_path / name, checks, last=last, more=more))

    money, minutes = made("a", HOUR, costs="25", time="10 min"), made("b", "", time="70 min")
    assert [visit.on for visit in money.visits] == [visit.on for visit in minutes.visits]
    assert money.costs.given_away == pytest.approx(minutes.costs.given_away)
    assert money.costs.given_away > 0


def test_each_visit_says_what_it_costs_and_of_what_that_is_not_known(tmp_path: Path) -> None:
    checks = check("oil", every="4 months", costs="86.50")
    checks += check("sample", owed_after="did oil", who="others: laboratory")
    plan = ahead(small_store(tmp_path / "store", checks, last={"oil": TODAY}, more=HOUR))
    told = [(visit.money, visit.unpriced) for visit in plan.visits if "oil" in visit.checks]
    assert told
    assert set(told) == {(Decimal("86.50"), ("sample",))}
    assert plan.costs.money == Decimal("86.50") * len(told)
    assert plan.costs.unpriced == sum("sample" in visit.checks for visit in plan.visits)
    assert plan.when_due.money >= plan.costs.money - Decimal("86.50")


def test_what_is_guarded_stays_near_its_limit_on_the_sample() -> None:
    """The sample's own rules: each doing is its last possible one, comes by rule, or is in the last part."""
    book = store.load(store.at(Path(__file__).parents[2])).logbook
    assert book is not None
    bare = {name: replace(each, costs=None) for name, each in book.checks.items()}
    book = replace(book, checks=bare)
    on = dt.date(2026, 11, 25)
    answer = due(book, on)
    plan = year_ahead(book, answer, months=12, seconds=QUICK)
    money = money_of(book)
    guarded = {name for name, each in bare.items() if is_guarded(each, money)}
    looked_at = [doing for visit in plan.visits for doing in visit.doings if doing.item in guarded]
    assert looked_at
    for doing in looked_at:
        if doing.pulled and not doing.with_ and doing.given_away:
            left, _, _, whole, unit, *_ = doing.given_away.split()
            assert Decimal(left) <= min(LAST_USE[unit], Decimal(LAST_PART) * Decimal(whole)), doing

