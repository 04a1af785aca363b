"""The small grammars on products of valid pieces, and what is written as a noun reads back."""

import datetime as dt
import itertools
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.model.checklist import Bound, added_up
from inspect_kit.model.interval import AsMarked, AtInspection, Limit, Term, written
from inspect_kit.text.check_values import parse_bound, parse_parts, parse_reads, parse_time, parse_wait, parse_when
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.grammar import (
    Unreadable,
    did_you_mean,
    parse_bars,
    parse_codes,
    parse_date,
    parse_fix,
    parse_id,
    parse_ids,
    parse_minutes,
    parse_number,
    parse_retired,
)
from inspect_kit.text.limits import parse_every, parse_first, parse_limit, parse_limits, parse_once
from inspect_kit.text.page_values import parse_used
from tests.text.strategies import fixes, signed

UNITS = [
    *(("h", "h"), ("landings", "landings"), ("landing", "landings"), ("days", "days"), ("day", "days")),
    *(("months", "months"), ("month", "months"), ("years", "years"), ("year", "years")),
    *(("calendar months", "calendar months"), ("calendar month", "calendar months"), ("calendar  months",) * 2),
]


@pytest.mark.parametrize(("number", "unit"), [*itertools.product(["1", "12", "007"], UNITS)])
def test_limits(number: str, unit: tuple[str, str]) -> None:
    said, meant = unit[0], " ".join(unit[1].split())
    assert parse_limit(f"{number} {said}") == Limit(number=Decimal(number), unit=meant)
    if meant in ("h", "landings"):
        assert parse_limit(f"{number}.5 {said} on hobbs-2") == Limit(
            number=Decimal(f"{number}.5"), unit=meant, meter="hobbs-2"
        )


TERMS: list[tuple[str, Term]] = [
    ("50 h", Limit(number=Decimal(50), unit="h")),
    ("500.5 h on hobbs", Limit(number=Decimal("500.5"), unit="h", meter="hobbs")),
    ("12 calendar months", Limit(number=Decimal(12), unit="calendar months")),
    ("condition inspection", AtInspection(name="condition")),
    ("as marked", AsMarked()),
]


@pytest.mark.parametrize("some", [*itertools.permutations(TERMS, 3)])
def test_every(some: tuple[tuple[str, Term], ...]) -> None:
    assert parse_every(" or ".join(said for said, _ in some)) == tuple(meant for _, meant in some)


limits = st.one_of(
    st.builds(
        Limit,
        number=st.from_regex(r"[1-9][0-9]{0,4}(\.[0-9]{1,2})?", fullmatch=True).map(Decimal),
        unit=st.sampled_from(["h", "landings"]),
        meter=st.sampled_from([None, "tach", "hobbs-2"]),
    ),
    st.builds(
        Limit,
        number=st.integers(1, 200).map(Decimal),
        unit=st.sampled_from(["days", "months", "years", "calendar months"]),
    ),
)
terms = st.one_of(limits, st.just(AsMarked()), st.builds(AtInspection, name=st.sampled_from(["condition", "phase-1"])))


@given(st.lists(terms, min_size=1, max_size=4).map(tuple))
def test_terms_read_back_as_they_are_written(some: tuple[Term, ...]) -> None:
    assert parse_every(written(some)) == some


@given(st.lists(limits, min_size=1, max_size=4).map(tuple))
def test_limits_read_back_as_they_are_written(some: tuple[Limit, ...]) -> None:
    assert parse_limits(written(some)) == parse_once(written(some)) == some
    assert parse_first(", ".join(map(str, some))) == some


@given(fixes)
def test_a_fix_reads_back_as_it_is_written(fix: object) -> None:
    assert parse_fix(str(fix)) == fix


@given(signed, signed)
def test_a_bound_reads_back_as_it_is_written(one: Decimal, other: Decimal) -> None:
    for bound in (Bound(low=one), Bound(high=one), Bound(low=min(one, other), high=max(one, other))):
        assert parse_bound(str(bound)) == bound


def test_an_inspection_is_named_by_an_id() -> None:
    with pytest.raises(Unreadable, match="expected a limit"):
        parse_every("100-hour inspection")


@pytest.mark.parametrize(
    ("said", "minutes"), [("15 min", 15), ("1 h", 60), ("1 h 30 min", 90), ("0 min", 0), ("168 h", 10080)]
)
def test_minutes(said: str, minutes: int) -> None:
    assert parse_minutes(said) == minutes
    assert parse_time(f"{said}, 2 people") == (minutes, 2)
    assert parse_time(f"{said}, 1 person") == (minutes, 1)
    assert parse_wait(f"{said} after run-before").minutes == minutes


@pytest.mark.parametrize(
    "said", ["", "15", "min", "15min", "1 h30 min", " 15 min", "١٥ min", "169 h", "-5 min", "1.5 h"]
)
def test_no_minutes(said: str) -> None:
    with pytest.raises(Unreadable):
        parse_minutes(said)


@pytest.mark.parametrize("name", ["a", "oil-change", "seat-2", "a1-b2-c3", "x" * 80])
def test_ids(name: str) -> None:
    assert parse_id(name) == name
    assert parse_ids(f"{name}, b") == (name, "b")


@pytest.mark.parametrize("name", ["", "A", "1a", "a_b", "a--b", "-a", "a-", "é", "a b", "x" * 81, "a\n", "a١"])
def test_no_ids(name: str) -> None:
    with pytest.raises(Unreadable):
        parse_id(name)


def test_codes() -> None:
    assert parse_codes("d3, f, f.1 ,d10") == ("d3", "f", "f.1", "d10")


@pytest.mark.parametrize("said", ["0", "412.6", "007", "0.05", "999999999999999"])
def test_numbers_are_exact(said: str) -> None:
    assert str(parse_number(said)) == str(Decimal(said))


@pytest.mark.parametrize(
    "said", ["", ".5", "5.", "1e3", "1_000", "1,5", "-1", "+1", "NaN", "Infinity", "١", "1" * 16, "1.2.3"]
)
def test_no_numbers(said: str) -> None:
    with pytest.raises(Unreadable):
        parse_number(said)


@pytest.mark.parametrize("said", ["1900-01-01", "2024-02-29", "2199-12-31"])
def test_dates(said: str) -> None:
    assert parse_date(said) == dt.date.fromisoformat(said)


@pytest.mark.parametrize(
    "said", ["2023-02-29", "1899-12-31", "2200-01-01", "20240229", "2024-2-9", "2024-W05-1", "٢٠٢٤-01-01"]
)
def test_no_dates(said: str) -> None:
    with pytest.raises(Unreadable):
        parse_date(said)


def test_a_range_of_labels() -> None:
    assert parse_reads("cylinder 1 to 4, psi").labels == ("cylinder 1", "cylinder 2", "cylinder 3", "cylinder 4")
    assert parse_reads("tank 9 to 11, qt").labels == ("tank 9", "tank 10", "tank 11")
    # In the middle it was one reading of that name, without a word.
    with pytest.raises(Unreadable, match="stands at their end: `flow cylinder 1 to 4`"):
        parse_reads("cylinder 1 to 4 flow, cc, at least 100")
    assert parse_reads("travel up to stop, degrees, 24 to 26").labels == ("travel up to stop",)
    assert parse_reads("trim, degrees, -5 to 12.5").bound == Bound(low=Decimal(-5), high=Decimal("12.5"))


def test_parts() -> None:
    said = "6 qt engine oil; 1 oil filter; safety wire; 1/2 in bolt; 2 sets of plugs; 4 ; O-ring, 2 mm"
    assert [(part.amount, part.name) for part in parse_parts(said)] == [
        ("6 qt", "engine oil"),
        ("1", "oil filter"),
        ("", "safety wire"),
        ("1/2 in", "bolt"),
        ("2 sets", "of plugs"),
        ("", "4"),
        ("", "O-ring, 2 mm"),
    ]


def test_consumables_are_told_from_parts() -> None:
    said = "6 qt engine oil; 1 oil filter; 6 clean cloths (consumable); 2 sets of plugs; 4 ft wire; 1 tube grease; seal"
    parts = parse_parts(said)
    assert [part.consumable for part in parts] == [True, False, True, False, True, True, False]
    assert (parts[2].amount, parts[2].name) == ("6", "clean cloths")
    assert "; ".join(map(str, parts)) == said
    assert [str(part) for part in added_up([*parts, *parts])][2] == "12 clean cloths (consumable)"


@pytest.mark.parametrize("said", ["as planned", "As-planned", "none", "NONE"])
def test_used_in_two_words(said: str) -> None:
    assert parse_used(said) == ()


@pytest.mark.parametrize("said", ["0.5 qt engine oil", "No. 10 screw", "no 8 washer", "non-spill cap"])
def test_used_though_it_begins_as_what_was_not(said: str) -> None:
    assert [str(part) for part in parse_used(said)] == [said]


def test_used_otherwise() -> None:
    assert list(map(str, parse_used("5 qt engine oil; 1 oil filter"))) == ["5 qt engine oil", "1 oil filter"]


@pytest.mark.parametrize(
    "said",
    [
        *("yes", "x", "75", "Y", "ok", "done", "1 oil filter; ok", ";", "as-planned; ", "-"),
        *("1 oil filter ____", "oil filter?", "5 qt oil ...", "not used", "0 oil filter", "0 qt engine oil"),
        "no filter",
        *("as planed", "as planend", "as plan", "like planned", "as usual", "plannd", "noen", "same as planned"),
        *("planned, but no filter", "all of it", "2 of them", "everything on the list", "used", "both", "new"),
        *("1 oil filter; seal not used", "oil filter unused", "0.0 qt engine oil", "1 filter never used"),
    ],
)
def test_used_is_no_tick(said: str) -> None:
    with pytest.raises(Unreadable):
        parse_used(said)


@pytest.mark.parametrize("said", ["1 oil filter, 2 crush gaskets", "1 filter, 5 qt engine oil; 1 rag"])
def test_parts_by_commas_are_not_taken_for_one(said: str) -> None:
    """Sealed as one part of that name they took nothing off the shelf."""
    with pytest.raises(Unreadable, match="stand apart by semicolons"):
        parse_used(said)


def test_a_comma_in_the_name_of_a_part_is_no_amount() -> None:
    assert [part.name for part in parse_used("tube 5.00-5, left; 2 bolts AN3-5A, 10 mm")] == [
        "tube 5.00-5, left",
        "bolts AN3-5A, 10 mm",
    ]


def test_phases() -> None:
    assert parse_when("before") == ("before", ())
    assert parse_when("closed") == ("closed", ())
    assert parse_when("closed except cowl-lower, cowl-upper") == ("open", ("cowl-lower", "cowl-upper"))


def test_retired_with_and_without_a_reason() -> None:
    assert parse_retired("2031-04-02, heater removed, for good").reason == "heater removed, for good"
    assert parse_retired("2031-04-02").reason == ""


def test_did_you_mean() -> None:
    assert did_you_mean("evry", ["every", "once"]) == "; did you mean `every`?"
    assert did_you_mean("zzz", ["every", "once"]) == ""
    many = [f"2026-{month:02}-{day:02}-hours-a{day}" for month in range(1, 13) for day in range(1, 29) for _ in "ab"]
    many += [f"2025-{name[5:]}" for name in many]
    assert did_you_mean("2026-05-14-hour-a14", many) == "; did you mean `2026-05-14-hours-a14`?"


@given(st.text(max_size=60))
def test_any_value_is_read_or_refused_with_a_place_in_it(value: str) -> None:
    told = []
    for parse in (parse_every, parse_once, parse_first, parse_reads, parse_parts, parse_time, parse_when, parse_fix):
        try:
            parse(value)
        except Unreadable as fault:
            told.append(fault)
    for fault in told:
        assert fault.message
        assert 0 <= fault.start <= max(len(value), 1)
        assert fault.end is None or fault.start <= fault.end <= len(value) + 1


@pytest.mark.parametrize(
    ("lines", "stands"),
    [
        ("needs: [jacks]", False),
        ("needs: [jacks]\novernight: yes", True),
        ("needs: [hoist]", True),
        ("needs: [hoist]\novernight: no", False),
    ],
)
def test_nothing_is_left_on_jacks_overnight_unless_it_says_so(lines: str, stands: bool) -> None:
    text = f"---\npanel: up\nname: Up\nzone: gear\nkind: setup\nmake: 5 min\nundo: 5 min\n{lines}\n---\n"
    panel, _, source = read_checklist(text, "up.md")
    assert panel is not None
    assert (panel.overnight, source.problems) == (stands, [])


@pytest.mark.parametrize(
    "words",
    [
        *("flight, the transponder", "flight; radio", "flight and the radio", "flight (all)", "the flight", "fly"),
        *("to fly", "the aircraft", "everything", "nothing, flight", "the radio, flight", "flight/night"),
        *("the whole aeroplane", "any flight", "radio or flying", "flight under IFR and VFR"),
        "flight by day or by night",
        *("____", "TBD", "?", "-", "the transponder?", "the ____", "<what>", "to be written"),
    ],
)
def test_what_bars_flight_and_something_besides_is_no_name(words: str) -> None:
    with pytest.raises(Unreadable):
        parse_bars(words)


@pytest.mark.parametrize("words", ["flight under IFR", "flight with passengers", "the flight director"])
def test_a_thing_that_may_not_be_used(words: str) -> None:
    assert parse_bars(words).what == words
