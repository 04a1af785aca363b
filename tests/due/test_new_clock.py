"""A clock that is first read after another had run: no new aircraft begins with it."""

from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.audit import audit
from inspect_kit.due import PAST_DUE, SOON, UNKNOWN, Item, due
from inspect_kit.due.unwritten import gap_of
from inspect_kit.model.logbook import Logbook
from tests.due.small import AIRCRAFT, book, on

SEAL = "0123456789abcdef" * 4
TWO = AIRCRAFT.replace("meters: {tach: {unit: h}", "meters: {tach: {unit: h}, ems: {unit: h}")
ON_EMS = TWO.replace("time-in-service: tach", "time-in-service: ems")
CHECKS = """\
- [ ] `grease` Grease
  - every: 25 h
- [ ] `look` Look
  - every: 100 h
- [ ] `blade` Blade
  - life: 1000 h
  - counts-on: prop
- [ ] `yearly` Yearly
  - every: 12 months
- [ ] `gear` Gear
  - every: 200 landings
"""
FLOWN = {
    "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
    "2018-01-15-prop": "kind: installed\nposition: prop\nserial: P-1\nsince-new: 0\nmeters: {tach: 0.0}\n",
    "2018-05-01-grease": "kind: work\ndid: [grease]\nmeters: {tach: 70, landings: 90}\n",
    "2018-06-01-hours": "kind: hours\nmeters: {tach: 82}\n",
}
NEW = {"2018-06-10-ems": "kind: hours\nmeters: {ems: 0.0, tach: 82}\n"}
BROUGHT = {"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 0.0, total: 82}}\n"}


def kept(records: dict[str, str], aircraft: str = ON_EMS) -> Logbook:
    return book(CHECKS, {**FLOWN, **records}, aircraft=aircraft)


def told(logbook: Logbook, name: str, day: str = "2018-07-01") -> Item:
    item = due(logbook, on(day), expect=False).item(name)
    assert item is not None
    return item


@pytest.mark.parametrize("name", ["grease", "look", "blade"])
def test_what_counts_on_it_is_unknown_until_somebody_says_what_the_aircraft_had(name: str) -> None:
    item = told(kept(NEW), name)
    assert (item.state, item.due.total) == (UNKNOWN, None)
    assert any(line.text.startswith("ems was first read on 2018-06-10, when tach had 82 h") for line in item.lines)


def test_the_calendar_and_the_landings_go_on_from_the_beginning() -> None:
    assert told(kept(NEW), "yearly").due.date == on("2019-01-15")
    assert told(kept(NEW), "gear").due.total == Decimal(200)


def test_it_is_a_problem_that_says_both_ways_out() -> None:
    (problem,) = (each for each in audit(kept(NEW)) if "first read" in each.message)
    assert problem.place.file == "records/2018/2018-06-10-ems.yaml"
    assert not problem.note
    assert "`time-in-service: tach`" in problem.message
    assert "`inspect-kit meter tach --old 82 --new 0.0`" in problem.message
    told = "`ems: {reads: 0.0, total: 82}` under `meters` of a record `kind: brought-forward` of 2018-06-10"
    assert told in problem.message


def test_the_total_of_a_day_on_which_the_other_was_not_read_is_made_up_by_nobody() -> None:
    alone = kept({"2018-06-10-e": "kind: hours\nmeters: {ems: 0}\n"})
    (problem,) = (each for each in audit(alone) if "first read" in each.message)
    assert "`ems: {reads: 0, total: TOTAL}` under `meters`" in problem.message


def test_an_unknown_item_says_where_that_total_belongs() -> None:
    answer = due(kept(NEW), on("2018-07-01"), expect=False)
    item = answer.item("blade")
    assert item is not None
    gap = gap_of(answer, item)
    assert gap is not None
    assert gap.place.file == "records/2018/2018-06-10-ems.yaml"
    assert gap.words.startswith("ems: {reads: 0.0, total: 82}, under `meters` of a record `kind: brought-forward`")


@pytest.mark.parametrize("also", [{}, NEW])
def test_brought_forward_it_goes_on_from_what_the_other_had(also: dict[str, str]) -> None:
    records = kept({**BROUGHT, **also, "2018-06-20-h": "kind: hours\nmeters: {ems: 6.0}\n"})
    assert [each for each in audit(records) if "first read" in each.message] == []
    assert [told(records, name).due.total for name in ("grease", "look", "blade")] == [*map(Decimal, (95, 100, 1000))]
    assert told(records, "grease").state == SOON
    flown = kept({**BROUGHT, "2018-06-20-h": "kind: hours\nmeters: {ems: 13.1}\n"})
    assert told(flown, "grease").state == PAST_DUE


OTHER_TOTAL = {"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 0.0, total: 382}}\n"}


def test_where_the_totals_are_not_the_same_the_use_since_counts() -> None:
    """300 h of an earlier tach that no record reads: 12 h since the grease all the same."""
    assert told(kept({**OTHER_TOTAL, **NEW}), "grease").due.total == Decimal(395)


def test_what_was_flown_since_the_other_was_read_last_is_taken_for_nothing_by_nobody() -> None:
    """Between 2018-06-01 and 2018-06-10 it may have flown: what it had when the grease was done is not known."""
    logbook = kept(OTHER_TOTAL)
    item = told(logbook, "grease")
    assert (item.state, item.last and item.last.total) == (UNKNOWN, None)
    assert [each for each in audit(logbook) if "first read" in each.message] == []
    gap = gap_of(due(logbook, on("2018-07-01"), expect=False), item)
    assert gap is not None
    assert "what tach read on 2018-06-10: inspect-kit --on 2018-06-10 hours tach=READING; or amend it" in gap.words
    read = kept({**OTHER_TOTAL, "2018-06-10-h": "kind: hours\nmeters: {tach: 90}\n"})
    assert told(read, "grease").due.total == Decimal(387)


PAST = "kind: brought-forward\nmeters: {tach: {reads: 402, total: 402}}\n"
OLD_PAPER = "kind: paper-entry\ndid: [grease]\nmeters: {ems: 321.0}\nby: Ada\npaper: log p. 24\n"


@pytest.mark.parametrize("last", ["321.0", "402.0"])
def test_old_paper_by_another_meter_does_not_count_at_the_total_of_a_year_later(last: str) -> None:
    """The owner's first hour: the total is brought forward, and then the paper of the years before is entered."""
    papers = {"2017-05-14-p": OLD_PAPER, "2017-09-01-p": OLD_PAPER.replace("did: [grease]\n", "text: Washed\n")}
    papers["2017-09-01-p"] = papers["2017-09-01-p"].replace("321.0", last)
    logbook = book(CHECKS, {"2018-05-01-past": PAST, **papers}, aircraft=TWO)
    item = told(logbook, "grease")
    assert item.last is not None
    assert (item.state, item.last.total) == ((UNKNOWN, None) if last == "321.0" else ("past-due", Decimal(321)))
    assert [each for each in audit(logbook) if "first read" in each.message] == []


def test_a_total_that_was_told_before_counts_on_either_of_two_if_that_is_no_later() -> None:
    found = "kind: finding\ncheck: look\nfound: chafed\nfix: by 410 h\nmay wait because: outer braid\n"
    records = {"2018-05-01-past": PAST, "2017-05-14-p": OLD_PAPER, "2017-06-14-f": found}
    assert told(book(CHECKS, records, aircraft=TWO), "2017-06-14-f#F1").due.total == Decimal(410)
    records["2017-05-14-p"] = OLD_PAPER.replace("321", "405")
    assert told(book(CHECKS, records, aircraft=TWO), "2017-06-14-f#F1").state == UNKNOWN


@pytest.mark.parametrize("reads", ["0", "500"])
@pytest.mark.parametrize("day", ["2018-05-01", "2018-05-05"])
def test_a_clock_of_an_aircraft_with_a_past_that_nobody_brought_forward(reads: str, day: str) -> None:
    """On the very day, and whatever it reads: what the aircraft had then is not on record."""
    new = {f"{day}-ems": f"kind: hours\nmeters: {{tach: 402, ems: {reads}}}\n"}
    records = {"2018-05-01-past": PAST, **new}
    logbook = book(CHECKS, records, aircraft=ON_EMS)
    assert {told(logbook, name).state for name in ("grease", "look")} == {UNKNOWN}
    (problem,) = (each for each in audit(logbook) if "first read" in each.message)
    same = day == "2018-05-01"
    where = "records/2018/2018-05-01-past.yaml" if same else f"a record `kind: brought-forward` of {day}"
    line = f"ems: {{reads: {reads}, total: 402}}"
    assert f"`{line}` under `meters` of {where} says what" in problem.message
    if same:
        records["2018-05-01-past"] = PAST.replace("402}}", f"402}}, {line}}}")
    else:
        records[f"{day}-total"] = f"kind: brought-forward\nmeters: {{{line}}}\n"
    records["2018-05-06-g"] = "kind: work\ndid: [grease]\nmeters: {tach: 403}\n"
    cured = book(CHECKS, records, aircraft=ON_EMS)
    assert [each.message for each in audit(cured) if not each.note] == []
    assert told(cured, "grease").due.total == Decimal(427)


def test_a_clock_read_before_the_past_was_brought_forward_has_its_total_there() -> None:
    records = {"2018-04-25-ems": "kind: hours\nmeters: {ems: 5}\n", "2018-05-01-past": PAST}
    logbook = book(CHECKS, records, aircraft=ON_EMS)
    (problem,) = (each for each in audit(logbook) if "first read" in each.message)
    assert "and on 2018-05-01 tach had 402 h" in problem.message
    told_where = "`ems: {reads: READING, total: 402}` under `meters` of records/2018/2018-05-01-past.yaml"
    assert told_where in problem.message
    records["2018-05-01-past"] = PAST.replace("402}}", "402}, ems: {reads: 7, total: 402}}")
    assert [each for each in audit(book(CHECKS, records, aircraft=ON_EMS)) if not each.note] == []


@pytest.mark.parametrize(
    ("again", "problems"),
    [
        ("meters: {ems: {reads: 0, total: 402}}\n", 0),
        ("meters: {tach: {reads: 402, total: 402}}\n", 1),
        ("meters: {ems: {reads: 0, total: 402}}\nlast: {grease: {date: 2018-04-01, ems: 390}}\n", 1),
    ],
)
def test_only_a_clock_that_came_later_is_brought_forward_later(again: str, problems: int) -> None:
    records = {"2018-05-01-past": PAST, "2018-05-05-again": f"kind: brought-forward\n{again}"}
    found = [each for each in audit(book(CHECKS, records, aircraft=ON_EMS)) if "forward once" in each.message]
    assert len(found) == problems


def test_a_record_between_two_readings_lies_between_their_totals() -> None:
    done = {"2018-05-20-look": "kind: work\ndid: [look]\n"}
    history = kept({**BROUGHT, **done}).meter_history("ems")
    assert (history.earlier(on("2018-05-20")), history.later(on("2018-05-20"))) == (Decimal(70), Decimal(82))
    assert (history.by(on("2018-05-01")), history.is_read_on(on("2018-05-01"))) == (Decimal(70), True)
    assert told(kept({**BROUGHT, **done}), "look").due.total == Decimal(170)


@pytest.mark.parametrize(
    "records",
    [
        # One of the first day that runs slower than the other, and was written down later.
        {
            "2018-06-10-ems": "kind: hours\nmeters: {ems: 60}\n",
            "2018-06-24-both": "kind: hours\nmeters: {ems: 69, tach: 94}\n",
        },
        # Or as fast.
        {"2018-06-10-ems": "kind: hours\nmeters: {ems: 81.5}\n"},
        {"2018-06-10-ems": "kind: hours\nmeters: {ems: 95}\n"},
        {"2018-01-15-ems": "kind: hours\nmeters: {ems: 0.0}\n"},
    ],
)
def test_one_that_ran_all_along_is_none(records: dict[str, str]) -> None:
    logbook = kept(records)
    assert [each for each in audit(logbook) if "first read" in each.message] == []
    assert told(logbook, "grease").due.total == Decimal(25)


@pytest.mark.parametrize(
    "since",
    [
        "",
        # Too little was flown to see how fast it runs.
        "kind: hours\nmeters: {ems: 63, tach: 86}\n",
        # It runs as fast as the other, or faster, or nobody reads the other any more.
        "kind: hours\nmeters: {ems: 80, tach: 102}\n",
        "kind: hours\nmeters: {ems: 82, tach: 102}\n",
        "kind: hours\nmeters: {ems: 75}\n",
    ],
)
def test_one_that_was_fitted_half_way_is_late_whatever_it_reads_by_then(since: str) -> None:
    """60 h on it and 82 on the other: a life counted on it ended 22 h late, in silence."""
    records = {"2018-06-10-ems": "kind: hours\nmeters: {ems: 60, tach: 82}\n"}
    records |= {"2018-06-24-both": since} if since else {}
    logbook = kept(records)
    assert len([each for each in audit(logbook) if "first read" in each.message]) == 1
    for name in ("grease", "look", "blade"):
        assert told(logbook, name).state == UNKNOWN
    brought = {"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 60, total: 82}}\n"}
    logbook = kept(records | brought)
    assert not [each for each in audit(logbook) if "first read" in each.message]
    assert [told(logbook, name).due.total for name in ("grease", "look", "blade")] == [*map(Decimal, (95, 100, 1000))]


def test_a_second_meter_that_does_not_count_is_none() -> None:
    logbook = kept(NEW, TWO)
    assert [each for each in audit(logbook) if "first read" in each.message] == []
    assert told(logbook, "grease").due.total == Decimal(95)


def test_a_part_whose_hours_are_not_known_at_its_fitting_is_named_by_them() -> None:
    """No `None` stands in the arithmetic."""
    for logbook in (kept(NEW), kept({"2018-06-10-ems": "kind: hours\nmeters: {ems: 0.0}\n"})):
        assert not [line.text for line in told(logbook, "blade").lines if "None" in line.text]


def test_a_finding_put_off_by_the_clock_before_is_due_on_that_clock() -> None:
    """By 90 h of the tach, 8 h on; on the new clock that is 390 h, and without its total nobody knows."""
    found = "kind: finding\ncheck: look\nfound: chafed\nfix: by 90 h\nmay wait because: outer braid\n"
    records = {"2018-06-02-f": found}
    assert told(kept(records), "2018-06-02-f#F1").state == UNKNOWN
    assert told(kept({**records, **NEW}), "2018-06-02-f#F1").state == UNKNOWN
    brought = {"2018-06-10-total": "kind: brought-forward\nmeters: {ems: {reads: 0.0, total: 382}}\n"}
    item = told(kept({**records, **NEW, **brought}), "2018-06-02-f#F1")
    assert (item.state, item.due.total) == (SOON, Decimal(390))
    later = {"2018-06-11-f": found.replace("90", "390")}
    assert told(kept({**later, **NEW, **brought}), "2018-06-11-f#F1").due.total == Decimal(390)


THREE = ON_EMS.replace("ems: {unit: h},", "hobbs: {unit: h}, ems: {unit: h},")
HOBBS = {"2018-01-16-h": "kind: hours\nmeters: {hobbs: 0.0}\n", "2018-06-02-h": "kind: hours\nmeters: {hobbs: 101}\n"}


def test_of_two_older_clocks_it_goes_on_from_the_one_that_counted() -> None:
    """The tach had 82 h, as the aircraft; the other one 101 h."""
    assert told(kept({**HOBBS, **BROUGHT}, THREE), "grease").due.total == Decimal(95)
    (problem,) = (each for each in audit(kept({**HOBBS, **NEW}, THREE)) if "first read" in each.message)
    assert "when tach had 82 h" in problem.message


@pytest.mark.parametrize(
    ("start", "records_begin"),
    [
        ("meters: {ems: {reads: 0.0, total: 82}}\n", False),
        # With more of the past it is where records begin, whatever else was read before.
        ("meters: {ems: {reads: 0.0, total: 82}}\nlast: {look: {date: 2018-04-01, ems: 60}}\n", True),
    ],
)
@pytest.mark.parametrize("kept_before", [True, False])
def test_what_only_tells_a_clock_is_not_where_records_begin(start: str, records_begin: bool, kept_before: bool) -> None:
    """Of a day before records begin it is not asked which panels came off: here that took what is owed off the list.

    So did what was brought forward later, of one more check, though hours had been written down for months.
    """
    checks = "- [ ] `pins` Pins\n  - every: 50 h\n- [ ] `free` Free\n  - owed-after: disturbed controls\n"
    made = {"2018-06-02-pins": "kind: work\ndid: [pins]\n", "2018-06-10-total": f"kind: brought-forward\n{start}"}
    kind = "kind: hours" if kept_before else "kind: work\ntext: from old paper"
    flown = {name: text.replace("kind: hours", kind) for name, text in FLOWN.items()}
    logbook = book(checks + CHECKS, {**flown, **made}, aircraft=ON_EMS)
    panels = {name: replace(panel, disturbs=("controls",), remove=4) for name, panel in logbook.panels.items()}
    logbook = replace(logbook, panels=panels)
    assert bool(told(logbook, "free").owed) is (kept_before or not records_begin)
    assert due(logbook, on("2018-06-05"), expect=False).forward == (on("2018-06-10") if records_begin else None)


@pytest.mark.parametrize(
    ("entered", "past_entered", "owed"),
    [
        # Typed in for the forecast, the day after the past was brought forward.
        ("entered: 2018-06-11\n", "entered: 2018-06-10\n", False),
        # There before, or as nothing says.
        ("entered: 2018-06-01\n", "entered: 2018-06-10\n", True),
        ("entered: 2018-06-10\n", "entered: 2018-06-10\n", True),
        ("", "entered: 2018-06-10\n", True),
        ("entered: 2018-06-11\n", "", True),
        # Of one day the one that knows a seal more came later.
        (f"entered: 2018-06-10\nafter: [{SEAL}]\n", "entered: 2018-06-10\n", False),
        (f"entered: 2018-06-10\nafter: [{SEAL}]\n", f"entered: 2018-06-10\nafter: [{SEAL}]\n", True),
        (f"entered: 2018-06-09\nafter: [{SEAL}]\n", "entered: 2018-06-10\n", True),
    ],
)
def test_an_old_reading_typed_in_afterwards_does_not_begin_the_records(
    entered: str, past_entered: str, owed: bool
) -> None:
    """One of the paper years made work of these owed before flight, with nothing else new."""
    checks = "- [ ] `pins` Pins\n  - every: 50 h\n- [ ] `free` Free\n  - owed-after: disturbed controls\n"
    records = {
        "2018-05-01-hours": f"kind: hours\nmeters: {{tach: 70}}\n{entered}",
        "2018-06-02-pins": "kind: work\ndid: [pins]\nmeters: {tach: 80}\nentered: 2018-06-12\n",
        "2018-06-10-past": f"kind: brought-forward\nmeters: {{tach: {{reads: 82, total: 82}}}}\n{past_entered}",
    }
    logbook = book(checks, records)
    panels = {name: replace(panel, disturbs=("controls",), remove=4) for name, panel in logbook.panels.items()}
    assert bool(told(replace(logbook, panels=panels), "free").owed) is owed
