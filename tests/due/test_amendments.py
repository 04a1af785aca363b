"""What amendments do to dates and totals; what counts while one waits for its signature; one doing told twice."""

from decimal import Decimal

import pytest

from inspect_kit.audit import audit
from inspect_kit.due import DueAnswer, Item, due
from tests.due.small import book, inspection, on, signed

SEAL = "seal: {record: r, worksheet: " + "00" * 32 + ", sha256: " + "ab" * 32 + "}\n"
BEGUN = {"2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n"}
CHECKS = """\
- [ ] `oil` Change the oil
  - every: 50 h or 4 months
- [ ] `elt` Battery of the transmitter
  - every: as marked
- [ ] `belts` Belts
  - every: condition inspection
- [ ] `plugs` Plugs
  - every: 100 h
  - counts-on: left
"""
OIL = {"2018-05-14-oil": "kind: work\nmeters: {tach: 95.9}\ndid: [oil, elt]\nnext: {elt: 2019-06-30}\n" + SEAL}
AMENDED = {
    "2018-05-20-amendment": (
        "kind: amendment\nof: 2018-05-14-oil\ninstead: {meters: {tach: 59.9}}\ntext: a slip\nby: Ada\n"
    )
}
SIGNED = {"2018-05-21-signature": signed("2018-05-20-amendment")}
LATER = {"2018-05-22-hours": "kind: hours\nmeters: {tach: 65.0}\n"}


def asked(records: dict[str, str], day: str = "2018-06-01") -> DueAnswer:
    return due(book(CHECKS, {**BEGUN, **records}), on(day), expect=False)


def item(answer: DueAnswer, name: str) -> Item:
    found = answer.item(name)
    assert found is not None
    return found


def lines(found: Item) -> str:
    return "\n".join(line.text for line in found.lines)


def test_a_signed_amendment_counts_in_the_arithmetic_and_stands_beside_the_old() -> None:
    answer = asked({**OIL, **AMENDED, **SIGNED, **LATER})
    oil = item(answer, "oil")
    assert (oil.due.total, oil.left.amount) == (Decimal("109.9"), Decimal("44.9"))
    assert oil.last is not None
    assert (oil.last.total, oil.last.amended) == (Decimal("59.9"), True)
    assert "amended: tach 59.9 instead of 95.9 (2018-05-20-amendment)" in lines(oil)
    assert any(place.file.endswith("2018-05-20-amendment.yaml") for line in oil.lines for place in line.places)
    assert answer.either == ()


def test_until_it_is_signed_the_sooner_of_both_counts_and_both_are_told() -> None:
    answer = asked({**OIL, **AMENDED})
    oil = item(answer, "oil")
    # As recorded it is due at 145.9 with 50.0 left, as amended at 109.9 with 50.0 left: the same that is left, and
    # what was flown since tells them apart.
    assert oil.due.date == on("2018-09-14")
    answer = asked({**OIL, **AMENDED, **LATER})
    oil = item(answer, "oil")
    assert (oil.due.total, oil.left.amount) == (Decimal("109.9"), Decimal("44.9"))
    (either,) = [each for each in answer.either if each.check == "oil"]
    assert (either.recorded.due.total, either.amended.due.total) == (Decimal("145.9"), Decimal("109.9"))
    assert "the amendment is not signed (2018-05-20-amendment): of both readings the sooner counts" in lines(oil)
    assert "as amended: " in lines(oil)
    assert "as recorded: " in lines(oil)


def test_what_is_expected_is_the_earliest_of_both_readings_too() -> None:
    """As recorded the date comes first, as amended the hours: the last day of one, the likely day of the other."""
    flown = {f"2018-05-{day}-flown": f"kind: hours\nmeters: {{tach: {2 * day - 20}.0}}\n" for day in range(14, 32)}
    records = {
        **flown,
        "2018-05-03-oil": f"kind: work\nmeters: {{tach: 6.0}}\ndid: [oil]\n{SEAL}",
        "2018-05-31-amendment": (
            "kind: amendment\nof: 2018-05-03-oil\ninstead: {date: 2018-05-13, meters: {tach: 2.0}}\ntext: a slip\n"
            "by: Ada\n"
        ),
    }
    checks = "- [ ] `oil` Change the oil\n  - every: 46 h or 2 months\n"
    answer = due(book(checks, {**BEGUN, **records}), on("2018-06-01"))
    (either,) = answer.either
    found, amended, recorded = item(answer, "oil").expected, either.amended.expected, either.recorded.expected
    assert found is not None
    assert amended is not None
    assert recorded is not None
    assert amended.likely < recorded.likely
    assert recorded.late < amended.late
    assert (found.early, found.likely, found.late) == (amended.early, amended.likely, recorded.late)


def test_what_only_one_of_the_readings_expects_is_told_and_nothing_is_told_twice() -> None:
    """The iron rises by 2 ppm a month, unless the last sample was another: what waits for its signature says so."""
    records = {
        f"2018-0{month}-01-oil": (
            f"kind: work\ndid: [oil]\nreadings: {{oil: {{iron: {10 + 2 * month} ppm (at most 30)}}}}\nby: Ada\n{SEAL}"
        )
        for month in range(1, 7)
    }
    amends = "kind: amendment\nof: 2018-06-01-oil\ninstead: {readings: {oil: {iron: 9 ppm}}}\ntext: t\nby: Ada\n"
    checks = "- [ ] `oil` Change the oil\n  - every: 4 months\n  - reads: iron, ppm, at most 30\n"
    signature = {"2018-06-03-signature": signed("2018-06-02-amendment")}
    for more, told in (({}, ["condition", "oil", "oil/iron"]), (signature, ["condition", "oil"])):
        made = book(checks, {**BEGUN, **records, "2018-06-02-amendment": amends, **more})
        assert sorted(each.check for each in due(made, on("2018-06-10")).items) == told


def test_an_unsigned_amendment_that_would_give_more_time_gives_none() -> None:
    """Done at 95.9, not at 59.9: the later one waits for its signature."""
    slip = {"2018-05-14-oil": OIL["2018-05-14-oil"].replace("95.9", "59.9")}
    more = {"2018-05-20-amendment": AMENDED["2018-05-20-amendment"].replace("59.9", "95.9")}
    flown = {"2018-05-22-hours": "kind: hours\nmeters: {tach: 100.0}\n"}
    waiting = item(asked({**slip, **more, **flown}), "oil")
    assert (waiting.due.total, waiting.left.amount) == (Decimal("109.9"), Decimal("9.9"))
    given = item(asked({**slip, **more, **SIGNED, **flown}), "oil")
    assert (given.due.total, given.left.amount) == (Decimal("145.9"), Decimal("45.9"))


def test_an_amendment_of_a_record_without_a_seal_counts_at_once() -> None:
    bare = {"2018-05-14-oil": OIL["2018-05-14-oil"].replace(SEAL, "")}
    answer = asked({**bare, **AMENDED, **LATER})
    assert item(answer, "oil").due.total == Decimal("109.9")
    assert answer.seen.pending() == ()


def test_a_date_and_the_date_on_a_part() -> None:
    changed = "kind: amendment\nof: 2018-05-14-oil\ntext: t\nby: Ada\n"
    changed += "instead: {date: 2018-05-02, next: {elt: 2019-02-28}}\n"
    answer = asked({**OIL, "2018-05-20-amendment": changed, **SIGNED})
    assert item(answer, "oil").due.date == on("2018-09-02")
    assert item(answer, "elt").due.date == on("2019-02-28")


def test_a_tick_taken_back_was_not_done() -> None:
    first = {"2018-03-01-oil": "kind: work\nmeters: {tach: 20.0}\ndid: [oil]\n"}
    back = {"2018-05-20-amendment": "kind: amendment\nof: 2018-05-14-oil\nnot-done: [oil]\ntext: t\nby: Ada\n"}
    answer = asked({**first, **OIL, **back, **SIGNED})
    assert item(answer, "oil").due.date == on("2018-07-01")
    # Not signed, it would make the oil due sooner: so it does at once.
    assert item(asked({**first, **OIL, **back}), "oil").due.date == on("2018-07-01")


CONDITION = {
    "2018-05-14-condition": inspection(tach="60.0") + "results: {belts: done}\n" + SEAL,
    "2018-05-14-signature": signed("2018-05-14-condition"),
}
NOT_LOOKED = {
    "2018-05-20-amendment": "kind: amendment\nof: 2018-05-14-condition\nnot-done: [belts]\ntext: t\nby: Ada\n"
}


def test_an_inspection_with_a_tick_taken_back_does_not_count_until_that_is_done() -> None:
    answer = asked({**CONDITION, **NOT_LOOKED, **SIGNED})
    (stop,) = answer.stops
    assert stop.kind == "inspection-amended"
    assert "`belts` was not done, as an amendment says" in stop.text
    assert item(answer, "condition").due.date == on("2019-01-31")
    done = {"2018-05-30-belts": "kind: work\nmeters: {tach: 61.0}\ndid: [belts]\n"}
    answer = asked({**CONDITION, **NOT_LOOKED, **SIGNED, **done})
    assert answer.stops == ()
    assert item(answer, "condition").due.date == on("2019-05-31")


@pytest.mark.parametrize(
    ("by", "counts"),
    [
        ("Ada", True),
        ("{name: Bo, kind: student, certificate: '2'}", False),
        ("{name: Cy, kind: builder, certificate: '3'}", True),
    ],
)
def test_a_tick_taken_back_is_made_good_by_whom_the_signers_name(by: str, counts: bool) -> None:
    """A check of the inspector that anybody may repeat would make an inspection count that no inspector finished."""
    done = {"2018-05-30-belts": f"kind: work\nmeters: {{tach: 61.0}}\ndid: [belts]\nby: {by}\n"}
    answer = asked({**CONDITION, **NOT_LOOKED, **SIGNED, **done})
    assert (answer.stops == ()) is counts
    assert item(answer, "condition").due.date == on("2019-05-31" if counts else "2019-01-31")


@pytest.mark.parametrize("twin", ["", "2018-05-30-a", "2018-05-30-z"])
def test_a_tick_taken_back_that_wants_a_second_look_is_made_good_with_one(twin: str) -> None:
    """By one pair of eyes alone the inspection counted as if two had looked; which of two records of one doing was
    asked, their names decided.
    """
    done = "kind: work\nmeters: {tach: 61.0}\ndid: [belts]\n"
    looked = "results: {belts: {answer: done, by: Ada Lee, second-look: %s}}\n"
    checks = CHECKS.replace("`belts` Belts\n", "`belts` Belts\n  - second-look: yes\n")
    nobodies = ("TBD", "not known", "not yet", "to be found", "'Bo?'", "second look", "A. Lee", "Lee", "Ada Le")
    for second, counts in (("", False), *((looked % name, False) for name in nobodies), (looked % "Bo Roe", True)):
        records = {**BEGUN, **CONDITION, **NOT_LOOKED, **SIGNED, "2018-05-30-belts": done + second}
        records |= {twin: done} if twin else {}
        answer = due(book(checks, records), on("2018-06-01"), expect=False)
        assert (answer.stops == ()) is counts


def test_a_tick_taken_back_that_the_inspection_did_not_ask_for_leaves_it_as_it_was() -> None:
    with_oil = {
        "2018-05-14-condition": inspection(tach="60.0") + "results: {belts: done, oil: done}\n" + SEAL,
        "2018-05-14-signature": signed("2018-05-14-condition"),
    }
    back = {
        "2018-05-20-amendment": "kind: amendment\nof: 2018-05-14-condition\nnot-done: [oil]\ntext: t\nby: Ada\n"
    }
    answer = asked({**with_oil, **back, **SIGNED})
    assert answer.stops == ()
    assert item(answer, "condition").due.date == on("2019-05-31")
    assert item(answer, "oil").state == "past-due"


def test_while_it_is_not_signed_the_stricter_reading_decides_about_the_inspection_too() -> None:
    answer = asked({**CONDITION, **NOT_LOOKED})
    assert [stop.kind for stop in answer.stops] == ["inspection-amended"]
    assert item(answer, "condition").due.date == on("2019-01-31")


def test_a_serial_put_right_joins_the_stays_of_one_part() -> None:
    fitted = "kind: installed\nposition: left\nserial: W4-2291\nsince-new: 0\nmeters: {tach: 0.0}\n"
    again = "kind: installed\nposition: left\nserial: W4-2219\nmeters: {tach: 80.0}\n"
    records = {
        "2018-01-16-left": fitted,
        "2018-03-01-off": "kind: removed\nposition: left\nserial: W4-2219\nmeters: {tach: 70.0}\n",
        "2018-03-02-left": again,
        "2018-04-01-hours": "kind: hours\nmeters: {tach: 90.0}\n",
    }
    right = {"2018-05-20-a": "kind: amendment\nof: 2018-01-16-left\ninstead: {serial: W4-2219}\ntext: plate\nby: Ada\n"}
    # One part: 70 h, ten hours on the bench, due at 100 of its own, which is 110 on the meter.
    assert item(asked({**records, **right}), "plugs").due.total == Decimal(110)


def test_an_answer_about_the_past_knows_no_later_amendment() -> None:
    records = {**OIL, **AMENDED, **SIGNED}
    assert item(asked(records, "2018-05-19"), "oil").due.total == Decimal("145.9")
    assert item(asked(records, "2018-05-21"), "oil").due.total == Decimal("109.9")


def test_several_that_wait_are_read_in_every_combination() -> None:
    """Each alone changes nothing; both together, or one without the other, decide the date."""
    other = {"2018-05-30-oil": "kind: work\nmeters: {tach: 97.0}\ndid: [oil]\n" + SEAL}
    back = {"2018-06-02-amendment": "kind: amendment\nof: 2018-05-30-oil\nnot-done: [oil]\ntext: t\nby: Ada\n"}
    answer = asked({**OIL, **other, **AMENDED, **back}, "2018-06-03")
    # Without the second doing, and the first one at 59.9: due at 109.9.
    assert item(answer, "oil").due.total == Decimal("109.9")
    assert len(answer.seen.pending()) == 2
    assert len(answer.seen.readings()) == 4


def test_whatever_bars_passengers_in_one_of_the_readings_bars_them() -> None:
    """A flight check flown on the 10th answers for work of the 2nd, not for work of the 14th."""
    work = {"2018-05-14-oil": OIL["2018-05-14-oil"].replace(SEAL, "flight-check: required\n" + SEAL)}
    pilot = "pilot: {name: Ada, kind: private pilot, certificate: '1'}"
    check = f"flight-check: {{done: 2018-05-10, {pilot}, words: w}}\n"
    flown = {"2018-05-10-flown": "kind: hours\nmeters: {tach: 96.4}\n" + check}
    earlier = "kind: amendment\nof: 2018-05-14-oil\ninstead: {date: 2018-05-02}\ntext: t\nby: Ada\n"
    records = {**work, **flown, "2018-05-20-amendment": earlier}
    (unflown,) = asked(records).no_passengers.unflown
    assert unflown.record.name == "2018-05-14-oil"
    assert [each.what for each in asked(records).not_to_be_used] == ["the passenger seats"]
    assert not asked({**records, **SIGNED}).no_passengers


@pytest.mark.parametrize("reading", ["meters: {tach: 40.0}\n", ""])
def test_one_doing_told_twice_counts_once(reading: str) -> None:
    """`first: 1 h, 10 h` after the fitting: two records of one look answer one of them."""
    checks = "- [ ] `torque` Torque\n  - every: 50 h\n  - counts-on: left\n  - first: 1 h, 10 h\n"
    records = {
        **BEGUN,
        "2018-02-01-left": "kind: installed\nposition: left\nserial: P1\nsince-new: 0\nmeters: {tach: 39.0}\n",
        "2018-02-03-torque": "kind: work\nmeters: {tach: 40.0}\ndid: [torque]\n",
        "2018-02-03-torque-again": f"kind: work\ndid: [torque]\n{reading}",
    }
    answer = due(book(checks, records), on("2018-02-04"), expect=False)
    assert item(answer, "torque").due.total == Decimal(49)
    # On another day, or at another reading, it is another one.
    records["2018-02-03-torque-again"] = "kind: work\ndid: [torque]\nmeters: {tach: 50.5}\n"
    answer = due(book(checks, records), on("2018-02-04"), expect=False)
    assert item(answer, "torque").due.total == Decimal("100.5")


@pytest.mark.parametrize("kind", ["work", "paper-entry\ntext: plugs\npaper: log p. 3"])
@pytest.mark.parametrize("reading", ["{tach: 106}", "{landings: 90}", "{tach: 106, landings: 90}"])
@pytest.mark.parametrize("fuller_first", [True, False])
def test_one_doing_told_twice_gives_no_grace_back(kind: str, reading: str, fuller_first: bool) -> None:
    """Done at 106 h within grace from 100 h it is due at 200 h; the second time it was told made that 206 h."""
    checks = "- [ ] `plugs` Plugs\n  - every: 100 h\n  - grace: 10 h\n"
    first, second = "2018-07-01-a", "2018-07-01-b"
    if not fuller_first:
        first, second = second, first
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
        first: "kind: work\nmeters: {tach: 106, landings: 90}\ndid: [plugs]\n",
        second: f"kind: {kind}\nmeters: {reading}\ndid: [plugs]\n",
        "2018-08-01-h": "kind: hours\nmeters: {tach: 120, landings: 100}\n",
    }
    assert item(due(book(checks, records), on("2018-08-02"), expect=False), "plugs").due.total == Decimal(200)


def test_what_a_broken_seal_no_longer_vouches_for_was_not_done() -> None:
    first = {"2018-03-01-oil": "kind: work\nmeters: {tach: 20.0}\ndid: [oil, elt]\nnext: {elt: 2018-12-31}\n"}
    whole = book(CHECKS, {**BEGUN, **first, **OIL})
    broken = book(CHECKS, {**BEGUN, **first, **OIL}, broken=("2018-05-14-oil",))
    assert item(due(whole, on("2018-06-01")), "elt").due.date == on("2019-06-30")
    answer = due(broken, on("2018-06-01"))
    assert item(answer, "elt").due.date == on("2018-12-31")
    oil = item(answer, "oil")
    # Its reading still counts: hours that were flown are not taken away by a broken seal.
    assert (oil.due.total, oil.left.amount) == (Decimal(70), Decimal("-25.9"))


def test_a_finding_cleared_by_a_broken_record_stands() -> None:
    found = {"2018-03-01-crack": "kind: finding\ncheck: oil\nfound: crack\nfix: before flight\n"}
    cleared = {"2018-05-14-oil": "kind: work\ntext: welded\nclears: [2018-03-01-crack#F1]\n" + SEAL}
    assert due(book(CHECKS, {**BEGUN, **found, **cleared}), on("2018-06-01")).stops == ()
    broken = book(CHECKS, {**BEGUN, **found, **cleared}, broken=("2018-05-14-oil",))
    assert [stop.kind for stop in due(broken, on("2018-06-01")).stops] == ["finding"]


@pytest.mark.parametrize(("before", "told"), [("since-new: 0.0\n", "0.0"), ("", "nothing")])
def test_a_nought_that_is_replaced_is_no_nothing(before: str, told: str) -> None:
    part = f"kind: installed\nposition: left\nserial: A1\n{before}"
    amends = "kind: amendment\nof: 2026-01-02-part\ninstead: {since-new: 12.5}\ntext: its card says so\nby: Ada\n"
    made = book("", {"2026-01-02-part": part, "2026-01-03-amendment": amends})
    assert made.amendments("2026-01-02-part") == (f"since-new 12.5 instead of {told} (2026-01-03-amendment)",)


TWICE = {
    "2018-05-10-nuts": (
        "kind: work\nmeters: {tach: 90.0}\ndid: [belts]\n"
        "results: {belts: {answer: done, recheck: 10 h, notes: [a hairline]}}\n"
        "findings: {F1: {check: belts, found: a dent, fix: by 2019-05-10, may wait because: small, recheck: 20 h}}\n"
    )
}


@pytest.mark.parametrize("waiting", [{}, AMENDED])
def test_each_look_again_of_one_check_is_an_item_of_its_own(waiting: dict[str, str]) -> None:
    """An amendment that waits, of something else, takes none of them away and doubles none."""
    answer = asked({**OIL, **TWICE, **waiting})
    again = [(each.check, each.due.total) for each in answer.items if each.kind == "recheck"]
    assert sorted(again) == [("belts/recheck", Decimal("110.0")), ("belts/recheck-2", Decimal("100.0"))]


def waiting(of: str, day: int, instead: str) -> dict[str, str]:
    """An amendment of a sealed record, by the day of June on which it was written."""
    key = instead if instead.startswith("not-done") else f"instead: {{{instead}}}"
    return {f"2018-06-{day:02}-amendment": f"kind: amendment\nof: {of}\n{key}\ntext: a slip\nby: Ada\n"}


def oil(day: str, tach: str) -> dict[str, str]:
    return {f"{day}-oil": f"kind: work\nmeters: {{tach: {tach}}}\ndid: [oil]\n{SEAL}"}


FOUR = {**oil("2018-03-01", "20"), **oil("2018-03-02", "21"), **oil("2018-05-01", "40"), **oil("2018-05-02", "41")}
MOVED = {
    **waiting("2018-03-01-oil", 1, "date: 2018-04-20, meters: {tach: 35}"),
    **waiting("2018-03-02-oil", 2, "date: 2018-04-21, meters: {tach: 36}"),
}
BACK = {**waiting("2018-05-01-oil", 3, "not-done: [oil]"), **waiting("2018-05-02-oil", 4, "not-done: [oil]")}


@pytest.mark.parametrize(
    "records",
    [
        # Two are moved to a later day, two taken back: soonest where only the latter count.
        {**FOUR, **MOVED, **BACK},
        # One amendment overtakes another: soonest as the record itself has it.
        {
            **oil("2018-03-01", "20"),
            **waiting("2018-03-01-oil", 1, "date: 2018-04-20, meters: {tach: 35}"),
            **waiting("2018-03-01-oil", 2, "date: 2018-04-22, meters: {tach: 37}"),
        },
        # One that is overtaken by two, and soonest if it alone counts.
        {
            **oil("2018-03-20", "20"),
            **waiting("2018-03-20-oil", 1, "date: 2018-02-20, meters: {tach: 15}"),
            **waiting("2018-03-20-oil", 2, "date: 2018-04-22, meters: {tach: 37}"),
            **waiting("2018-03-20-oil", 3, "date: 2018-04-23, meters: {tach: 38}"),
        },
    ],
)
def test_whichever_of_them_are_signed_nothing_is_due_sooner_than_was_told(records: dict[str, str]) -> None:
    """Each set of them signed, and the others withdrawn: what `due` said while all of them waited was not later."""
    flown = {"2018-05-20-hours": "kind: hours\nmeters: {tach: 60.0}\n"}
    told = item(asked({**records, **flown}, "2018-06-20"), "oil")
    names = [name for name in records if name.endswith("amendment")]
    found = []
    for chosen in range(2 ** len(names)):
        counts = {name for number, name in enumerate(names) if chosen >> number & 1}
        left = {name: text for name, text in records.items() if name in counts or name not in names}
        done = {f"2018-06-19-signature-{number}": signed(name) for number, name in enumerate(counts)}
        one = item(asked({**left, **flown, **done}, "2018-06-20"), "oil")
        assert one.due.date is not None
        assert one.due.total is not None
        found.append((one.due.date, one.due.total))
    assert (told.due.date, told.due.total) == (min(date for date, _ in found), min(total for _, total in found))


def test_more_of_them_than_are_reckoned_are_a_problem() -> None:
    more = {**waiting("2018-05-01-oil", 5, "text: words"), **waiting("2018-05-02-oil", 6, "text: more words")}
    six = {**FOUR, **MOVED, **BACK, **more}
    told = "6 amendments of sealed records wait for a signature"
    (problem,) = [each for each in audit(book(CHECKS, {**BEGUN, **six})) if told in each.message]
    assert problem.place.file.endswith("2018-06-06-amendment.yaml")
    one_signed = {**six, "2018-06-07-signature": signed("2018-06-05-amendment")}
    assert not [each for each in audit(book(CHECKS, {**BEGUN, **one_signed})) if "wait for" in each.message]


def test_a_signature_counts_from_its_day_on() -> None:
    """Oil of 2018-03-01 at 20, amended to 2018-05-01 at 40, and signed on 2018-06-19: 4 months after either."""
    moved = waiting("2018-03-01-oil", 1, "date: 2018-05-01, meters: {tach: 40}")
    records = {**oil("2018-03-01", "20"), **moved, "2018-06-19-signature": signed("2018-06-01-amendment")}
    for day, due_at in (("2018-06-10", "2018-07-01"), ("2018-06-19", "2018-09-01")):
        answer = asked(records, day)
        assert item(answer, "oil").due.date == on(due_at)
        assert ("oil" in [each.check for each in answer.either]) is (day == "2018-06-10")


@pytest.mark.parametrize("is_signed", [True, False])
def test_what_is_recorded_of_a_day_to_come_was_not_done_until_the_amendment_is_signed(is_signed: bool) -> None:
    """Sealed under a clock that ran ahead, and amended to the day on which it was done."""
    records = {
        **oil("2018-02-01", "10"),
        **oil("2018-12-25", "60"),
        **waiting("2018-12-25-oil", 20, "date: 2018-06-15"),
    }
    signature = {"2018-06-21-signature": signed("2018-06-20-amendment")} if is_signed else {}
    assert item(asked({**records, **signature}, "2018-06-25"), "oil").due.date == on(
        "2018-10-15" if is_signed else "2018-06-01"
    )
