"""Reasons on record not to fly, one by one, and what may not be used; each kind alone, and then not."""

from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.due import DueAnswer, due
from inspect_kit.due.answer import STOP_OWED
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.rechecks import owed_no_more, rechecks
from inspect_kit.due.shelf import shelf
from inspect_kit.due.trends import readings_in_turn
from inspect_kit.due.unwritten import gap_of
from inspect_kit.report import parts_used
from inspect_kit.report.pages.unknown import unknown_words
from inspect_kit.text.aircraft import read_aircraft
from tests.due.small import AIRCRAFT, book, inspection, on, signed

BEGUN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n"}
PASSED = {
    **BEGUN,
    "2024-09-10-condition": inspection(tach="100.0"),
    "2024-09-10-signature": signed("2024-09-10-condition"),
}

# Long after whatever was retired.
YEARS_ON = on("2030-01-01")


def kinds(answer: DueAnswer) -> list[str]:
    return [stop.kind for stop in answer.stops]


def texts(answer: DueAnswer) -> list[str]:
    return [stop.text for stop in answer.stops]


def test_a_condition_inspection_past_due_is_a_reason_to_the_day() -> None:
    made = book(records=PASSED)
    assert due(made, on("2025-09-30")).stops == ()
    late = due(made, on("2025-10-01"))
    assert kinds(late) == ["inspection-past-due"]
    assert texts(late) == ["condition inspection: 1 day past due (2025-09-30)"]
    assert texts(due(made, on("2026-11-26"))) == ["condition inspection: 422 days past due (2025-09-30)"]
    assert late.strict_no


def test_a_question_about_the_future_asks_the_same() -> None:
    made = book(records=PASSED)
    assert kinds(due(made, on("2025-09-30"), by=on("2025-10-01"))) == ["inspection-past-due"]


def test_an_inspection_that_nobody_knows_of_is_a_reason() -> None:
    made = book(records={"2026-01-01-start": "kind: brought-forward\nmeters: {tach: {reads: 1.0, total: 300.0}}\n"})
    answer = due(made, on("2026-01-02"))
    assert kinds(answer) == ["inspection-unknown"]
    assert texts(answer) == ["condition inspection: when it is due is not on record"]


@pytest.mark.parametrize(
    ("old", "new", "named"),
    [
        ("12 calendar months", "12 calender months", "condition"),
        ("12 calendar months", "as marked", "condition"),
        ("12 calendar months", "condition inspection or 12 months", "condition"),
        ("12 calendar months", "50 landings on tach", "condition"),
        ("{condition: {", "{Condition Check: {", "condition-check"),
        ("signers: [builder]}}", "signers: [builder]}, annual: 12 months}", "annual"),
    ],
)
def test_an_inspection_of_which_nothing_says_when_is_a_reason(old: str, new: str, named: str) -> None:
    assert old in AIRCRAFT
    plane, source = read_aircraft(AIRCRAFT.replace(old, new), "records/aircraft.yaml")
    assert plane is not None
    assert source.problems or "on tach" in new
    made = book(records=PASSED)
    answer = due(replace(made, aircraft=plane), on("2025-01-02"))
    assert f"{named} inspection: when it is due is not on record" in texts(answer)


def test_an_inspection_without_its_signature_is_a_reason_even_while_the_last_one_runs() -> None:
    made = book(records={**PASSED, "2025-08-20-condition": inspection(tach="130.0")})
    answer = due(made, on("2025-08-21"))
    assert kinds(answer) == ["signature"]
    assert answer.stops[0].place.file == "records/2025/2025-08-20-condition.yaml"
    written = {"2025-08-22-signature": signed("2025-08-20-condition")}
    made = book(records={**PASSED, "2025-08-20-condition": inspection(tach="130.0"), **written})
    assert due(made, on("2025-08-22")).stops == ()


def test_an_inspection_last_recorded_as_not_passed_is_a_reason_until_one_passed() -> None:
    failed = {**PASSED, "2025-08-20-condition-a": inspection("not passed", tach="130.0")}
    answer = due(book(records=failed), on("2025-08-21"))
    assert kinds(answer) == ["inspection-not-passed"]
    assert texts(answer) == ["condition inspection of 2025-08-20: not passed"]
    # The same page passes on the same day, at the same reading.
    good = {"2025-08-20-condition-b": inspection(tach="130.0"), "2025-08-20-s": signed("2025-08-20-condition-b")}
    assert due(book(records={**failed, **good}), on("2025-08-21")).stops == ()
    # Passed and not signed yet: that is the last word.
    unsigned = {"2025-08-20-condition-b": inspection(tach="130.0")}
    assert kinds(due(book(records={**failed, **unsigned}), on("2025-08-21"))) == ["signature"]


def test_that_it_did_not_pass_after_it_had_is_known_by_the_seals() -> None:
    digest = "ab" * 32
    seal = "seal: {{record: r, worksheet: " + "00" * 32 + ", {after}sha256: {digest}}}\n"
    passed = inspection(tach="130.0") + seal.format(after="", digest=digest)
    failed = inspection("not passed", tach="130.0") + seal.format(after=f"after: [{digest}], ", digest="cd" * 32)
    records = {**PASSED, "2025-08-20-b": passed, "2025-08-20-a": failed, "2025-08-20-s": signed("2025-08-20-b")}
    assert kinds(due(book(records=records), on("2025-08-21"))) == ["inspection-not-passed"]


def test_an_inspection_with_a_broken_seal_is_a_reason_and_does_not_count() -> None:
    fresh = {"2025-08-20-condition": inspection(tach="130.0"), "2025-08-20-s": signed("2025-08-20-condition")}
    answer = due(book(records={**PASSED, **fresh}, broken=("2025-08-20-condition",)), on("2025-08-21"))
    assert kinds(answer) == ["seal-broken"]
    item = answer.item("condition")
    assert item is not None
    assert item.due.date == on("2025-09-30")
    # A later one that counts makes it good; `verify` tells of it all the same.
    later = {"2025-09-20-condition": inspection(tach="140.0"), "2025-09-20-s": signed("2025-09-20-condition")}
    whole = book(records={**PASSED, **fresh, **later}, broken=("2025-08-20-condition",))
    assert due(whole, on("2025-09-21")).stops == ()


@pytest.mark.parametrize(("bars", "told", "used"), [("nothing", [], []), ("flight by night", [], ["flight by night"])])
def test_an_inspection_may_bar_less(bars: str, told: list[str], used: list[str]) -> None:
    rule = f"{{every: 100 h, scope: own, statement: S, signers: [builder], bars: {bars}}}"
    plane = AIRCRAFT.replace("inspections: {", f"inspections: {{hundred: {rule}, ")
    records = {**BEGUN, "2018-05-01-h": "kind: hours\nmeters: {tach: 120.0}\n"}
    answer = due(book(records=records, aircraft=plane), on("2018-05-02"))
    assert kinds(answer) == told
    assert [each.what for each in answer.not_to_be_used] == used


HOSE = "- [ ] `hose` Hoses\n  - life: 5 years or 100 h\n  - counts-on: left\n"
FITTED = {
    **PASSED,
    "2019-09-15-hose": "kind: installed\nposition: left\nserial: H1\nsince-new: 0\nmeters: {tach: 20.0}\n",
}


@pytest.mark.parametrize(
    ("key", "reasons", "used"),
    [
        ("", ["life-past-due"], []),
        ("  - bars: flight\n", ["life-past-due"], []),
        ("  - bars: nothing\n", [], []),
        ("  - bars: the autopilot\n", [], ["the autopilot"]),
    ],
)
def test_a_life_that_has_passed(key: str, reasons: list[str], used: list[str]) -> None:
    made = book(HOSE + key, FITTED)
    assert due(made, on("2024-09-15")).stops == ()
    late = due(made, on("2024-09-16"))
    assert kinds(late) == reasons
    assert [(each.what, each.check) for each in late.not_to_be_used] == [(what, "hose") for what in used]
    assert late.strict_no
    assert due(made, on("2024-09-15"), flying=Decimal("20.0")).stops == ()
    flown = due(made, on("2024-09-15"), flying=Decimal("20.1"))
    assert kinds(flown) == reasons


def test_a_life_that_nobody_knows_is_a_reason_only_if_its_check_says_so() -> None:
    unknown = {**PASSED, "2024-09-01-hose": "kind: installed\nposition: left\nserial: H1\nmeters: {tach: 100.0}\n"}
    assert due(book(HOSE, unknown), on("2024-09-12")).stops == ()
    answer = due(book(HOSE + "  - bars: flight\n", unknown), on("2024-09-12"))
    assert kinds(answer) == ["barred"]


CHECKS = """\
- [ ] `elt` Transmitter
  - every: 12 months
  - bars: flight
- [ ] `vor` Receivers
  - every: 30 days
  - bars: flight under IFR
- [ ] `overhaul` Overhaul
  - every: 50 h
  - bars: nothing
- [ ] `tyres` Pressures
  - every: 14 days
"""


def test_a_check_bars_what_it_says_past_due_and_unknown_and_nothing_if_it_does_not_say() -> None:
    done = {"2024-09-11-work": "kind: work\nmeters: {tach: 100.0}\ndid: [elt, vor, overhaul, tyres]\n"}
    late = due(book(CHECKS, {**PASSED, **done}), on("2025-09-20"), flying=Decimal(60))
    assert kinds(late) == ["barred"]
    assert texts(late) == ["Transmitter (elt), which bars flight: 9 days past due (2025-09-11)"]
    assert [(each.what, each.check, each.why) for each in late.not_to_be_used] == [
        ("flight under IFR", "vor", "344 days past due (2024-10-11)")
    ]
    start = "kind: brought-forward\nmeters: {tach: {reads: 1.0, total: 300.0}}\nlast: {condition: {date: 2026-01-01}}\n"
    unknown = due(book(CHECKS, {"2026-01-02-start": start}), on("2026-01-02"))
    assert texts(unknown) == ["Transmitter (elt), which bars flight: when it is due is not on record"]
    assert [each.what for each in unknown.not_to_be_used] == ["flight under IFR"]
    assert unknown.strict_no


def test_what_may_not_be_used_alone_is_a_no_for_strict() -> None:
    checks = "- [ ] `vor` Receivers\n  - every: as marked\n  - bars: flight under IFR\n"
    answer = due(book(checks, PASSED), on("2024-09-12"))
    assert answer.stops == ()
    assert [item.state for item in answer.items] == ["unknown", "later"]
    assert answer.strict_no


LEAKS = "- [ ] `oil` Oil\n  - every: 50 h\n- [ ] `leaks` Leaks\n  - owed-after: did oil\n"
OIL = {**PASSED, "2024-09-11-oil": "kind: work\nmeters: {tach: 100.0}\ndid: [oil]\n"}


@pytest.mark.parametrize(
    ("key", "reasons", "used"),
    [
        ("", ["owed-before-flight"], []),
        ("  - bars: flight\n", ["owed-before-flight"], []),
        ("  - bars: nothing\n", [], []),
        ("  - bars: the autopilot\n", [], ["the autopilot"]),
    ],
)
def test_owed_work_bars_flight_unless_its_check_says_otherwise(key: str, reasons: list[str], used: list[str]) -> None:
    answer = due(book(LEAKS + key, OIL), on("2024-09-12"))
    item = answer.item("leaks")
    assert item is not None
    assert item.owed
    assert kinds(answer) == reasons
    assert [each.what for each in answer.not_to_be_used] == used


def finding(fix: str) -> dict[str, str]:
    text = f"kind: finding\npanel: box\nfound: tread worn\nfix: {fix}\nmay wait because: looked at\n"
    return {"2024-09-11-tyre": text}


def test_a_finding_past_its_limit_is_a_reason() -> None:
    made = book(records={**PASSED, **finding("by 2024-12-31")})
    assert due(made, on("2024-12-31")).stops == ()
    late = due(made, on("2025-01-01"))
    assert kinds(late) == ["finding-past-limit"]
    assert texts(late) == ["past its limit: tread worn (2024-09-11-tyre#F1), 1 day past due (2024-12-31)"]
    by_hours = due(book(records={**PASSED, **finding("by 110.0 h")}), on("2024-12-31"), flying=Decimal("10.1"))
    assert texts(by_hours) == ["past its limit: tread worn (2024-09-11-tyre#F1), 0.1 h past due"]


def test_within_grace_is_no_reason_and_says_how_long() -> None:
    check = "- [ ] `hundred` All\n  - every: 100 h\n  - grace: 10 h\n  - bars: flight\n  - source: 14 CFR 91.409(b)\n"
    done = {"2024-09-11-work": "kind: work\nmeters: {tach: 100.0}\ndid: [hundred]\n"}
    made = book(check, {**PASSED, **done})
    answer = due(made, on("2024-09-12"), flying=Decimal("105.0"))
    item = answer.item("hundred")
    assert item is not None
    assert (item.state, answer.stops) == ("in-grace", ())
    assert item.grace is not None
    assert (item.grace.meter, item.grace.total, item.grace.reads) == ("tach", Decimal("210.0"), Decimal("210.0"))
    beyond = due(made, on("2024-09-12"), flying=Decimal("110.1"))
    assert kinds(beyond) == ["barred"]
    assert beyond.item("hundred").grace is None  # type: ignore[union-attr]


def test_grace_by_the_calendar_ends_with_its_last_day() -> None:
    """Never done: due on 2018-02-14, 30 days after the certificate; five days of grace end with the 19th."""
    check = "- [ ] `belts` All\n  - every: 30 days\n  - grace: 5 days\n  - bars: flight\n  - source: manual\n"
    made = book(check, BEGUN)
    told = {}
    for day in ("2018-02-14", "2018-02-15", "2018-02-19", "2018-02-20"):
        answer = due(made, on(day))
        told[day] = (answer.item("belts").state, "barred" in kinds(answer))  # type: ignore[union-attr]
    assert told == {
        "2018-02-14": ("soon", False),
        "2018-02-15": ("in-grace", False),
        "2018-02-19": ("in-grace", False),
        "2018-02-20": ("past-due", True),
    }


def test_reasons_are_told_by_kind_inspections_first() -> None:
    checks = LEAKS + HOSE + CHECKS
    records = {**FITTED, **OIL, **finding("by 2024-12-31")}
    records["2025-01-05-crack"] = "kind: finding\npanel: box\nfound: crack\nfix: before flight\n"
    answer = due(book(checks, records), on("2025-10-01"))
    assert kinds(answer) == [
        "inspection-past-due",
        "finding",
        "finding-past-limit",
        "owed-before-flight",
        "life-past-due",
        "barred",
    ]


def test_what_the_past_brought_forward_leaves_open_is_unknown_and_no_reason() -> None:
    last = "last: {condition: {date: 2025-12-01}, oil: {date: 2026-01-01, tach: 290.0}}\n"
    start = "kind: brought-forward\nmeters: {tach: {reads: 1.0, total: 300.0}}\n" + last
    start += "fitted: {prop: {serial: P1}}\n"
    torque = "- [ ] `torque` Torque\n  - first: 1 h, 10 h\n  - counts-on: prop\n  - owed-after: installed prop\n"
    for key in ("", "  - bars: flight\n"):
        answer = due(book(LEAKS + key + torque + key, {"2026-01-02-start": start}), on("2026-01-02"))
        states = {item.check: (item.state, item.owed) for item in answer.items}
        assert states["leaks"] == states["torque"] == ("unknown", False)
        assert answer.stops == ()
    done = start.replace("oil:", "leaks: {date: 2026-01-01}, torque: {date: 2025-03-01}, oil:")
    answer = due(book(LEAKS + torque, {"2026-01-02-start": done}), on("2026-01-02"))
    assert {item.check: item.state for item in answer.items if item.check in ("leaks", "torque")} == {
        "leaks": "later",
        "torque": "later",
    }


def test_what_a_page_had_when_it_did_not_pass_was_done_then() -> None:
    """Sealed again, it is done once more only where something else stands there; parts are used once as well."""
    checks = "- [ ] `oil` Oil\n  - every: 50 h or 4 months\n- [ ] `plugs` Plugs\n  - every: 50 h\n"
    checks += "  - reads: gap, in\n  - reads: torque, lb-ft\n- [ ] `filter` Filter\n  - every: 50 h\n"
    page = "begun: 2024-12-01\nparts: [1 oil filter]\n"
    records = {
        **PASSED,
        "2024-12-01-stock": "kind: stock\nitem: oil filter\namount: '5'\n",
        "2024-12-02-condition-a": f"{inspection('not passed', '110.0', 'p')}{page}did: [oil, plugs]\n"
        "readings: {plugs: {gap: 0.018 in, torque: 18 lb-ft}}\n",
        "2025-03-01-condition-b": f"{inspection(tach='112.0', sheet='p')}{page}did: [oil, plugs, filter]\n"
        "readings: {plugs: {gap: 0.016 in, torque: 18 lb-ft}}\n",
        "2025-03-01-signature": signed("2025-03-01-condition-b"),
    }
    made = book(checks, records)
    answer = due(made, on("2025-03-02"))
    found = {name: answer.item(name) for name in ("oil", "plugs", "filter")}
    last = {name: str(item.last.date) for name, item in found.items() if item is not None and item.last is not None}
    assert last == {"oil": "2024-12-02", "plugs": "2025-03-01", "filter": "2025-03-01"}
    oil = found["oil"]
    assert oil is not None
    assert (oil.due.date, oil.due.total) == (on("2025-04-02"), Decimal("160.0"))
    # A value that stood there was read once: the gap was read again, the rest was not.
    turns = readings_in_turn(chronicle(made), [("plugs", "gap"), ("plugs", "torque")])
    read = [(one.reading.label, str(one.value)) for one in turns]
    assert read == [("gap", "0.018"), ("gap", "0.016"), ("torque", "18")]
    (lot,) = shelf(made.records, parts_used(made))
    assert lot.left == 4


@pytest.mark.parametrize(
    ("between", "anew", "second", "day", "left"),
    [
        ("2024-12-03 rig", "", "passed", "2024-12-04", ["look"]),
        ("2024-12-03 rig", "", "not passed", "2024-12-04", ["look"]),
        ("2024-12-02 rig", "", "passed", "2024-12-02", ["look"]),
        ("2024-12-03 look", "disturbed: [cables]\n", "passed", "2024-12-03", ["look"]),
        ("2024-12-03 nuts", "", "passed", "2024-12-04", []),
        ("", "disturbed: [cables]\n", "passed", "2024-12-02", ["look"]),
        ("", "", "passed", "2024-12-02", []),
    ],
)
def test_what_was_disturbed_between_two_signatures_of_a_page_is_owed(
    between: str, anew: str, second: str, day: str, left: list[str]
) -> None:
    checks = "- [ ] `rig` Rig\n  - disturbs: cables\n- [ ] `nuts` Nuts\n  - every: 50 h\n"
    checks += "- [ ] `look` Look\n  - owed-after: disturbed cables\n"
    page = "begun: 2024-12-01\ndid: [rig, nuts, look]\n"
    records = {
        **PASSED,
        "2024-12-02-condition-b": f"{inspection('not passed', '110.0', 'p')}{page}",
        f"{day}-condition-a": f"{inspection(second, '112.0' if between else '110.0', 'p')}{page}{anew}",
        f"{day}-signature": signed(f"{day}-condition-a"),
    }
    if between:
        records[f"{between[:10]}-work"] = f"kind: work\nmeters: {{tach: 111}}\ndid: [{between[11:]}]\n"
    answer = due(book(checks, records), on("2024-12-05"))
    assert [item.check for item in answer.items if item.owed] == left
    (look,) = (item for item in answer.items if item.check == "look")
    assert look.last is not None
    assert look.last.date == on(between[:10] if "look" in between else "2024-12-02")


def test_what_is_to_be_looked_at_again_since_the_first_signature_is_asked() -> None:
    page = "begun: 2024-12-01\nresults: {nuts: {answer: done, recheck: 20 h}}\n"
    records = {
        **PASSED,
        "2024-12-02-condition-a": f"{inspection('not passed', '110.0', 'p')}{page}",
        "2024-12-03-work": "kind: work\ntext: x\nmeters: {tach: 111}\nresults: {nuts: {answer: done, recheck: 5 h}}\n",
        "2024-12-04-condition-b": f"{inspection(tach='112.0', sheet='p')}{page}",
    }
    asked = rechecks(chronicle(book("- [ ] `nuts` Nuts\n  - every: 50 h\n", records)), on("2024-12-05"))
    assert [(str(each.moment.date), str(each.limits[0])) for each in asked] == [("2024-12-03", "5 h")]
    del records["2024-12-03-work"]
    asked = rechecks(chronicle(book("- [ ] `nuts` Nuts\n  - every: 50 h\n", records)), on("2024-12-05"))
    assert [(str(each.moment.date), str(each.limits[0])) for each in asked] == [("2024-12-02", "20 h")]
    # So does what a finding on it said; once, whether it was put right since or not.
    found = "begun: 2024-12-01\nresults: {nuts: done}\nfindings:\n  F1: {check: nuts, found: crack, fix: before flight"
    for name, cleared in (("2024-12-02-condition-a", ""), ("2024-12-04-condition-b", ", cleared: 2024-12-04 drilled")):
        records[name] = records[name].replace(page, f"{found}, recheck: 20 h{cleared}}}\n")
    asked = rechecks(chronicle(book("- [ ] `nuts` Nuts\n  - every: 50 h\n", records)), on("2024-12-05"))
    assert [(str(each.moment.date), str(each.limits[0])) for each in asked] == [("2024-12-02", "20 h")]


ON_LEFT = "- [ ] `timing` Timing of the left one\n  - every: 100 h\n  - counts-on: left\n"
LEFT_OUT = "kind: removed\nposition: left\nserial: A1\n"
LEFT_IN = "kind: installed\nposition: left\nserial: {}\nsince-new: 0\n"
BROUGHT = "kind: brought-forward\nmeters: {{tach: {{reads: 1, total: 1}}}}\nfitted: {}\n"
LEFT_PAST = {"2026-01-01-past": BROUGHT.format("{left: {serial: A1}}")}
EMPTY = "nothing is fitted in left since 2026-02-01, when serial A1 came out"


@pytest.mark.parametrize(
    ("position", "records", "told"),
    [
        ("{}", {"2026-02-01-out": LEFT_OUT}, [EMPTY]),
        ("{}", {"2026-02-01-out": LEFT_OUT, "2026-02-02-in": LEFT_IN.format("B2")}, []),
        ("{}", {"2026-02-01-out": LEFT_OUT, "2026-02-01-in": LEFT_IN.format("A1")}, []),
        ("{retired: 2026-02-01}", {"2026-02-01-out": LEFT_OUT}, []),
        ("{retired: 2026-03-02}", {"2026-02-01-out": LEFT_OUT}, [EMPTY]),
        ("{bars: nothing}", {"2026-02-01-out": LEFT_OUT}, []),
        ("{bars: the left one}", {"2026-02-01-out": LEFT_OUT}, []),
        ("{}", {}, []),
    ],
)
def test_a_part_taken_out_with_none_in_is_a_reason(position: str, records: dict[str, str], told: list[str]) -> None:
    plane = AIRCRAFT.replace("left: {}", f"left: {position}")
    answer = due(book(ON_LEFT, {**LEFT_PAST, **records}, aircraft=plane), on("2026-03-01"))
    assert [stop.text for stop in answer.stops if stop.kind == "position-empty"] == told
    barred = [(each.what, each.why) for each in answer.not_to_be_used]
    out = ("the left one", "nothing is fitted there since 2026-02-01, when serial A1 came out")
    assert barred == ([out] if "the left one" in position else [])
    # Nobody can write into the past what waits for the next part.
    gaps = [gap for gap in (gap_of(answer, item) for item in answer.items) if gap and gap.check == "timing"]
    empty = records.keys() == {"2026-02-01-out"} and "retired: 2026-02-01" not in position
    assert [gap.place.file for gap in gaps if gap.empty] == (["records/2026/2026-02-01-out.yaml"] if empty else [])
    assert unknown_words(answer).endswith("nothing is fitted in left") is empty


def test_several_positions_without_a_part_are_one_reason() -> None:
    both = BROUGHT.format("{left: {serial: A1}, right: {serial: B1}}")
    other = LEFT_OUT.replace("left", "right").replace("A1", "B1")
    made = book("", {"2026-01-01-past": both, "2026-02-01-out": LEFT_OUT, "2026-02-02-out": other})
    found = [stop.text for stop in due(made, on("2026-03-01")).stops if stop.kind == "position-empty"]
    assert found == ["nothing is fitted in 2 positions: left, right"]
    early = [stop.text for stop in due(made, on("2026-01-20")).stops if stop.kind == "position-empty"]
    assert early == []


@pytest.mark.parametrize(("begun", "left", "standing"), [("2025-02-28", 4, ["F1"]), ("2024-02-28", 3, ["F1"])])
def test_of_one_day_the_page_that_did_not_pass_was_sealed_first(begun: str, left: int, standing: list[str]) -> None:
    """Whatever their names say. A page of the same name that was begun on another day is another page."""
    page = "parts: [1 oil filter]\ndid: [filter]\n"
    finding = "findings: {F1: {panel: box, found: Crack., fix: before flight}}\n"
    records = {
        **PASSED,
        "2024-12-01-stock": "kind: stock\nitem: oil filter\namount: '5'\n",
        "2025-03-01-condition-b": f"{inspection('not passed', '110.0', 'p')}begun: {begun}\n{page}{finding}",
        "2025-03-01-condition-a": f"{inspection(tach='110.0', sheet='p')}begun: 2025-02-28\n{page}",
    }
    made = book("- [ ] `filter` Filter\n  - every: 50 h\n", records)
    (lot,) = shelf(made.records, parts_used(made))
    assert lot.left == left
    assert [finding.id for finding in made.standing().values()] == standing
    again = {"2025-03-01-condition-a": "2025-03-01-condition-b"} if left == 4 else {}
    # Amended to a day before the page was begun, it is that page all the same.
    moved = "kind: amendment\nof: 2025-03-01-condition-b\ninstead: {date: 2025-02-27}\ntext: a slip\nby: Ada\n"
    amended = book("- [ ] `filter` Filter\n  - every: 50 h\n", {**records, "2025-03-02-amendment": moved})
    for each in (made, amended):
        assert {name: early.name for name, early in chronicle(each).sealed_before.items()} == again


HOLDER = "{name: Ada, kind: builder, certificate: '1'}"
PUT_OFF = """\
kind: work
did: []
text: looked at
findings:
  F1: {panel: box, found: crack, fix: by 2027-05-27, may wait because: "small, and seen from outside"}
clears: {2024-10-02-crack#F1: 2024-10-03 put off again as F1 of this record}
by: BY
"""


@pytest.mark.parametrize(
    ("by", "is_signed", "stands"),
    [(HOLDER, False, True), (HOLDER, True, False), ("{name: Pip, kind: helper}", True, True), ("Ada", True, True)],
)
def test_a_finding_is_put_off_by_work_once_a_holder_of_a_certificate_signed(
    by: str, is_signed: bool, stands: bool
) -> None:
    """Until then it stands where it was found, and as nothing else."""
    records = {
        **PASSED,
        "2024-10-02-crack": "kind: finding\npanel: box\nfound: crack\nfix: before flight\n",
        "2024-10-03-work": PUT_OFF.replace("BY", by),
    }
    records |= {"2024-10-03-signed": f"{signed('2024-10-03-work')}by: {by}\n"} if is_signed else {}
    made = book(records=records)
    assert [*made.standing()] == ["2024-10-02-crack#F1" if stands else "2024-10-03-work#F1"]
    assert kinds(due(made, on("2024-10-04"))) == (["finding"] if stands else [])


def fitted(verb: str, serial: str) -> str:
    hours = "since-new: 0\n" if verb == "installed" else ""
    return f"kind: {verb}\nposition: left\nserial: {serial}\npart: Makers M-4\n{hours}no change: same weight\n"


def decided(applies: str, *, authority: str = "airworthiness directive", more: str = "") -> str:
    return (
        f"kind: directive\nnumber: AD-1\nissuer: X\nsubject: Y\nauthority: {authority}\non: left\n"
        f"applies: {applies}\nby: Ada\n{more}"
    )


@pytest.mark.parametrize(("serial", "again"), [("none", True), ("M-91", False)])
def test_a_decision_does_not_hold_for_the_next_part_without_a_serial(serial: str, again: bool) -> None:
    """One without a number is another part at each fitting; one that comes back under its number is the same."""
    records = {
        **PASSED,
        "2024-10-01-in": fitted("installed", serial),
        "2024-10-02-directive": decided("{no: another model}"),
        "2024-10-03-out": fitted("removed", serial).replace("part: Makers M-4\n", ""),
        "2024-10-04-in": fitted("installed", serial),
    }
    assert bool(kinds(due(book(records=records), on("2024-10-05")))) is again


@pytest.mark.parametrize(
    ("later", "barred"),
    [
        ({"2024-10-02-a": decided("not decided"), "2024-10-02-b": decided("{no: another model}")}, True),
        ({"2024-10-02-a": decided("{no: another model}"), "2024-10-02-b": decided("not decided")}, True),
        ({"2024-10-02-a": decided("not decided"), "2024-10-03-b": decided("{no: another model}")}, False),
        ({"2024-10-02-a": decided("not decided"), "2024-10-03-b": decided("not decided", authority="letter")}, True),
        ({"2024-10-02-a": decided("not decided", authority="letter")}, False),
    ],
)
def test_of_two_decisions_the_one_that_bars_more_counts(later: dict[str, str], barred: bool) -> None:
    """Of one day; and a directive that is called a letter since stays one."""
    assert (kinds(due(book(records={**PASSED, **later}), on("2024-10-05"))) == ["directive-undecided"]) is barred


@pytest.mark.parametrize(("every", "past"), [("100 h", True), ("300 h", False)])
def test_a_directive_that_asks_more_often_than_its_check_comes_counts(every: str, past: bool) -> None:
    """Done at 100 h by a check of 200 h; 250 h now."""
    checks = "- [ ] `points` Points\n  - every: 200 h\n"
    records = {
        **PASSED,
        "2024-10-03-points": "kind: work\ndid: [points]\nmeters: {tach: 100.0}\n",
        "2024-10-02-directive": decided("'yes'", more=f"every: {every}\ncheck: points\n"),
        "2025-03-01-hours": "kind: hours\nmeters: {tach: 250.0}\n",
    }
    assert (kinds(due(book(checks, records), on("2025-03-02"))) == ["barred"]) is past


@pytest.mark.parametrize(
    ("date", "text", "past"),
    [
        ("2025-05-02", "kind: paper-entry\ntext: annual\nlast: [condition]\npaper: log p. 9\nby: Ada\n", True),
        ("2025-05-02", inspection(tach="120.0"), True),
        ("2024-10-01", "kind: paper-entry\ntext: annual\nlast: [condition]\npaper: log p. 9\nby: Ada\n", False),
    ],
)
def test_a_finding_put_off_to_an_inspection_is_past_its_limit_by_the_first_of_any_kind(
    date: str, text: str, past: bool
) -> None:
    """Found on 2024-10-02: an inspection that is known from paper is one too, and that of the day before is none."""
    crack = "kind: finding\npanel: box\nfound: crack\nfix: at next condition inspection\nmay wait because: is short\n"
    records = {**PASSED, "2024-10-02-crack": crack, f"{date}-again": text}
    answer = due(book(records=records), on("2025-05-03"))
    assert ("finding-past-limit" in kinds(answer)) is past


@pytest.mark.parametrize(
    ("text", "stands"),
    [
        ("kind: work\ndate: 2024-10-02\nmeters: {tach: 108.4}\ntext: filed\nclears: [2024-10-02-crack#F1]\n", True),
        ("kind: work\ndate: 2024-10-02\nmeters: {tach: 109.0}\ntext: filed\nclears: [2024-10-02-crack#F1]\n", False),
        ("kind: work\ndate: 2024-10-02\ntext: filed\nclears: [2024-10-02-crack#F1]\n", False),
        ("kind: work\ndate: 2024-10-01\ntext: filed\nclears: [2024-10-02-crack#F1]\n", True),
        ("kind: work\ndate: 2024-10-03\ntext: filed\nclears: {2024-10-02-crack#F1: 2024-10-01 filed}\n", True),
        ("kind: work\ndate: 2024-10-03\ntext: filed\nclears: {2024-10-02-crack#F1: 2024-10-02 filed}\n", False),
    ],
)
def test_a_finding_is_not_cleared_by_work_done_before_it(text: str, stands: bool) -> None:
    crack = "kind: finding\nmeters: {tach: 109.0}\npanel: box\nfound: crack\nfix: before flight\n"
    made = book(records={**PASSED, "2024-10-02-crack": crack, f"{text[17:27]}-work": text.replace(text[11:28], "")})
    assert (kinds(due(made, on("2024-10-04"))) == ["finding"]) is stands


@pytest.mark.parametrize(
    ("found", "filed", "stands"),
    [
        ("", "precedes: [2024-10-02-crack]\n", True),
        ("follows: [2024-10-02-work]\n", "", True),
        ("", "follows: [2024-10-02-crack]\n", False),
        # A circle says nothing.
        ("precedes: [2024-10-02-work]\n", "precedes: [2024-10-02-crack]\n", False),
        ("", "", False),
    ],
)
def test_a_finding_is_not_cleared_by_what_says_that_it_came_before(found: str, filed: str, stands: bool) -> None:
    crack = f"kind: finding\nmeters: {{tach: 109.0}}\npanel: box\nfound: crack\nfix: before flight\n{found}"
    work = f"kind: work\nmeters: {{tach: 109.0}}\ntext: filed\nclears: [2024-10-02-crack#F1]\n{filed}"
    made = book(records={**PASSED, "2024-10-02-crack": crack, "2024-10-02-work": work})
    assert (kinds(due(made, on("2024-10-04"))) == ["finding"]) is stands


@pytest.mark.parametrize(("day", "stands"), [("2024-10-01", True), ("2024-10-02", False)])
def test_a_finding_is_not_cleared_on_a_day_before_it_was_found(day: str, stands: bool) -> None:
    crack = f"kind: finding\npanel: box\nfound: crack\nfix: before flight\ncleared: {day} filed\n"
    made = book(records={**PASSED, "2024-10-02-crack": crack})
    assert (kinds(due(made, on("2024-10-04"))) == ["finding"]) is stands


@pytest.mark.parametrize(
    ("more", "named"),
    [
        ("", True),
        ("- [ ] `other` Another\n  - owed-after: did rig\n", False),
    ],
)
def test_what_was_owed_when_its_check_was_retired_is_named(more: str, named: bool) -> None:
    checks = "- [ ] `rig` Rig\n  - every: 100 h\n- [ ] `look` Look\n  - owed-after: did rig\n"
    retired = "  - retired: 2024-10-10, gone\n"
    records = {**PASSED, "2024-10-03-rig": "kind: work\ndid: [rig]\nmeters: {tach: 101.0}\n"}
    assert bool(owed_no_more(book(checks + retired + more, records), YEARS_ON)) is named
    assert owed_no_more(book(checks + more, records), YEARS_ON) == ()
    answered = {**records, "2024-10-04-look": "kind: work\ndid: [look]\nmeters: {tach: 101.0}\n"}
    assert owed_no_more(book(checks + retired + more, answered), YEARS_ON) == ()


def owed_on(checks: str, records: dict[str, str], day: str = "2024-10-11") -> list[str]:
    return [stop.text for stop in due(book(checks, records), on(day), expect=False).stops if stop.kind == STOP_OWED]


@pytest.mark.parametrize(
    ("lines", "is_reason"), [("", True), ("  - bars: nothing\n", False), ("  - retired: 2024-10-03, gone\n", True)]
)
def test_retiring_a_check_that_is_owed_before_flight_does_not_do_it(lines: str, is_reason: bool) -> None:
    """As a merge brings it: in one clone it was made owed, and in another one retired."""
    checks = f"- [ ] `rig` Rig\n  - every: 100 h\n- [ ] `look` Look\n  - owed-after: did rig\n{lines}"
    checks += "" if "retired" in lines else "  - retired: 2024-10-10, gone\n"
    records = {**PASSED, "2024-10-03-rig": "kind: work\ndid: [rig]\nmeters: {tach: 101.0}\n"}
    assert any("`look` was owed since 2024-10-03" in told for told in owed_on(checks, records)) is is_reason
    answered = {**records, "2024-10-04-look": "kind: work\ndid: [look]\nmeters: {tach: 101.0}\n"}
    assert owed_on(checks, answered) == []
    # Whoever found all of it in order since has seen that too; not on the same day, perhaps.
    for day, left in (("2024-10-03", is_reason), ("2024-10-12", False)):
        seen = {f"{day}-condition": inspection(tach="101.0"), f"{day}-signature": signed(f"{day}-condition")}
        assert bool(owed_on(checks, {**records, **seen}, "2024-10-13")) is left


@pytest.mark.parametrize(
    ("lines", "is_reason", "is_note"),
    [
        ("  - every: 12 months\n  - bars: flight\n", True, True),
        ("  - every: 20 h\n  - bars: flight\n", True, True),
        ("  - life: 3 years\n  - counts-on: left\n", True, True),
        ("  - every: 12 months\n", False, True),
        ("  - every: 2 years\n  - bars: flight\n", False, False),
        # What it read on the day on which it was retired is not known: 101.0 before, 120.0 a day later.
        ("  - every: 30 h\n  - bars: flight\n", True, True),
        ("  - every: 40 h\n  - bars: flight\n", False, False),
        # When it was due nobody knew, which barred flight too.
        ("  - every: as marked\n  - bars: flight\n", True, True),
        ("  - every: as marked\n", False, False),
        # With the part that it counted on it went.
        ("  - life: 3 years\n  - counts-on: right\n", False, False),
    ],
)
def test_retiring_a_check_that_is_past_due_does_not_do_it(lines: str, is_reason: bool, is_note: bool) -> None:
    """Past due and barring flight, and then retired: nothing was left of it."""
    checks = f"- [ ] `look` Look\n{lines}  - retired: 2024-10-10, gone\n"
    fitted = "kind: installed\nserial: A\nsince-new: 0\nmeters: {tach: 0}\nposition: "
    records = {
        **PASSED,
        "2018-01-15-left": f"{fitted}left\n",
        "2018-01-15-right": f"{fitted}right\n",
        "2023-09-10-look": "kind: work\ndid: [look]\nmeters: {tach: 80.0}\n",
        "2024-10-09-out": "kind: removed\nposition: right\nserial: A\nmeters: {tach: 101.0}\n",
        "2024-10-11-hours": "kind: hours\nmeters: {tach: 120.0}\n",
    }
    told = "when it was retired on 2024-10-10"
    assert any(told in each for each in owed_on(checks, records)) is is_reason
    assert any(told in each.message for each in owed_no_more(book(checks, records), YEARS_ON)) is is_note
    seen = {"2024-10-11-condition": inspection(tach="120.0"), "2024-10-11-signature": signed("2024-10-11-condition")}
    assert owed_on(checks, {**records, **seen}, "2024-10-13") == []
    assert owed_no_more(book(checks, {**records, **seen}), YEARS_ON) == ()


@pytest.mark.parametrize("names", ["ab", "ba"])
def test_what_is_to_be_looked_at_again_is_not_answered_by_the_same_doing_written_twice(names: str) -> None:
    """Which of the two was lost the names of the files decided."""
    first, second = (f"2024-12-03-work-{name}" for name in names)
    checks, done = "- [ ] `nuts` Nuts\n  - every: 50 h\n", "kind: work\nmeters: {tach: 111}\ntext: x\n"
    asking = done + "results: {nuts: {answer: done, recheck: %s h}}\n"

    def asked(*more: str) -> list[str]:
        records = dict(zip((first, second), more, strict=True))
        found = rechecks(chronicle(book(checks, {**BEGUN, **records})), on("2024-12-05"))
        return sorted(str(limit) for each in found for limit in each.limits)

    assert asked(asking % 25, asking % 5) == ["25 h", "5 h"]
    assert asked(asking % 25, done + "did: [nuts]\n") == ["25 h"]
    assert asked(done + "did: [nuts]\n", asking % 25) == ["25 h"]
    # At a later reading, or by its own word, it was done again.
    assert asked(asking % 25, "kind: work\nmeters: {tach: 111.1}\ndid: [nuts]\n") == []
    assert asked(asking % 25, f"{done}did: [nuts]\nfollows: {first}\n") == []
    # A finding is no doing, and is answered no sooner: its check, done that day, may be what found it.
    found = "kind: finding\ncheck: nuts\nfound: crack\nfix: before flight\nrecheck: 5 h\n%s"
    for read in ("meters: {tach: 111}\n", ""):
        assert asked(found % read, done + "did: [nuts]\n") == ["5 h"]
        assert asked(found % read, f"{done}did: [nuts]\nfollows: {first}\n") == []
    assert asked(found % "meters: {tach: 111}\n", "kind: work\nmeters: {tach: 111.1}\ndid: [nuts]\n") == []
    # Nor is one under a check that its record did not do.
    beside = "findings: {F1: {check: nuts, found: crack, fix: before flight, recheck: 5 h}}\n"
    assert asked(done + beside, done + "did: [nuts]\n") == ["5 h"]
    # That it was cleared is no second look.
    assert asked(found % "", f"{done}clears: [{first}#F1]\n") == ["5 h"]
