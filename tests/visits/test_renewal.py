"""Past its limit is after the day, and above the total; on it and at it, it is not. What is done at once."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.due import all_fittings, due
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.limits import DuePoint
from inspect_kit.due.moments import Moment
from inspect_kit.due.reckoning import reckon, reckoned
from inspect_kit.errors import Place
from inspect_kit.visits.renewal import is_past, of_check
from tests.due.small import book

DAY = dt.date(2026, 11, 27)


def moment(day: dt.date, total: str) -> Moment:
    reads = Decimal(total)
    return Moment(date=day, totals={"tach": reads}, clock=reads, place=Place("x"), order=(day, reads))


@pytest.mark.parametrize(("days", "past"), [(-1, False), (0, False), (1, True)])
def test_a_limit_by_the_calendar(days: int, past: bool) -> None:
    assert is_past(DuePoint(date=DAY), moment(DAY + dt.timedelta(days=days), "0")) is past


@pytest.mark.parametrize(("total", "past"), [("109.9", False), ("110.0", False), ("110.1", True)])
def test_a_limit_on_a_meter(total: str, past: bool) -> None:
    point = DuePoint(meter="tach", total=Decimal(110), unit="h")
    assert is_past(point, moment(DAY, total)) is past


@pytest.mark.parametrize(
    ("unread", "at_once"), [((), "nothing is fitted in prop"), (("every",), "every cannot be read")]
)
@pytest.mark.parametrize("is_owed", [True, False])
def test_what_is_owed_alone_is_done_at_the_first_visit_where_it_is_not_known(
    unread: tuple[str, ...], at_once: str, is_owed: bool
) -> None:
    """Where nothing else makes it due, what is not known of it brings no visit of its own."""
    facts = chronicle(
        book(
            "- [ ] `spinner` Spinner\n  - counts-on: prop\n" + "  - owed-after: disturbed box\n" * is_owed,
            {
                "2018-03-01-in": "kind: installed\nposition: prop\nserial: A1\n",
                "2018-04-01-out": "kind: removed\nposition: prop\nserial: A1\nwhere: hangar\nreason: cracked\n",
            },
        )
    )
    spinner = replace(facts.logbook.checks["spinner"], unread=unread)
    renewal = of_check("spinner", chronicle(replace(facts.logbook, checks={"spinner": spinner})))
    assert (renewal.at_once, renewal.unplanned) == ((at_once, "") if is_owed else ("", at_once))


@pytest.mark.parametrize(("reads", "over"), [("104", False), ("112", True), (None, False)])
def test_of_a_sequence_that_is_over_only_the_interval_counts(reads: str | None, over: bool) -> None:
    """Either way the arithmetic of the due list says the same of the check done once more."""
    fitted = {"2018-03-01-in": "kind: installed\nposition: prop\nserial: A1\nmeters: {tach: 100}\n"}
    done = {"2018-04-01-w": f"kind: work\ndid: [torque]\nmeters: {{tach: {reads}}}\ntext: done\nby: Ann Reed\n"}
    check = "- [ ] `torque` Torque\n  - counts-on: prop\n  - every: 50 h\n  - first: 2 h, 10 h\n"
    facts = chronicle(book(check, fitted | (done if reads else {})))
    torque, fittings, later = facts.logbook.checks["torque"], all_fittings(facts), moment(dt.date(2018, 5, 1), "113")
    renewal = of_check("torque", facts)
    assert (renewal.plain is not None) is over
    asked = reckon(torque, replace(facts, done={"torque": (*facts.done.get("torque", ()), later)}), fittings)
    told = [(point.meter, point.total) for point in renewal.after(later, False)]
    assert told == [(point.meter, point.total) for point in asked.points] == [("tach", Decimal(163))]


def test_what_a_due_list_adds_to_a_check_stays_with_it() -> None:
    """Of an inspection that was never made nothing tells when it is due: the list alone says so of its checks."""
    check = "- [ ] `torque` Torque\n  - every: 50 h or condition inspection\n"
    work = "kind: work\ndid: [torque]\nmeters: {tach: 100}\ntext: done\nby: Ann Reed\n"
    answer = due(book(check, {"2018-04-01-w": work}), DAY)
    facts = chronicle(answer.seen)
    asked = reckon(facts.logbook.checks["torque"], facts, all_fittings(facts))
    told = {line.text for item in answer.items if item.check == "torque" for line in item.lines}
    assert any("inspection" in words for words in told)
    assert reckoned("torque", facts) == asked
    assert asked.unknown == ""
