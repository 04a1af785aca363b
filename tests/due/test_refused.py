"""What `verify` refuses of a record makes unknown what would rest on it, and nothing later than it may be."""

import pytest

from inspect_kit.due import due
from inspect_kit.due.answer import UNKNOWN
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.record import read_record
from tests.due.small import AIRCRAFT, book, on

CHECKS = """\
- [ ] `points` Points
  - every: 100 h
  - counts-on: left
- [ ] `tyres` Tyres
  - every: 200 landings
- [ ] `elt` Transmitter battery
  - every: as marked
  - bars: flight
"""
PAST = "kind: brought-forward\nmeters: {tach: {reads: 402, total: 402}, landings: {reads: 611, total: 611}}\nlast:\n"


def state(name: str, *records: tuple[str, str], checks: str = CHECKS) -> str:
    """How an item stands by these records, which may have problems."""
    made = book(checks)
    read = []
    for own, text in records:
        record, _ = read_record(f"format: 1\ndate: {own[:10]}\n{text}", f"records/{own[:4]}/{own}.yaml")
        assert record is not None
        read.append(record)
    item = due(made.with_records(read), on("2026-06-05")).item(name)
    assert item is not None
    return item.state


@pytest.mark.parametrize(
    ("name", "well", "refused"),
    [
        ("points", "{date: 2026-03-14, tach: 380.2}", "{date: 2026-03-14, tach: 3802}"),
        ("tyres", "{date: 2026-03-14, landings: 600}", "{date: 2026-03-14, landings: 6000}"),
        ("elt", "{date: 2026-03-14, good-until: 2029-05-31}", "{date: 2026-03-14, good-until: 2069-05-31}"),
    ],
)
def test_what_was_brought_forward_at_a_total_to_come_or_for_a_lifetime(name: str, well: str, refused: str) -> None:
    assert state(name, ("2026-05-01-past", f"{PAST}  {name}: {well}\n")) != UNKNOWN
    assert state(name, ("2026-05-01-past", f"{PAST}  {name}: {refused}\n")) == UNKNOWN


@pytest.mark.parametrize("words", ["next: {elt: YEAR-05-31}", "results: {elt: {answer: done, good-until: YEAR-05-31}}"])
def test_a_date_marked_for_a_lifetime(words: str) -> None:
    past = ("2026-05-01-past", f"{PAST}  elt: {{date: 2026-03-14, good-until: 2029-05-31}}\n")
    for year, is_known in (("2031", True), ("2069", False)):
        done = ("2026-05-02-elt", f"kind: work\ndid: [elt]\n{words.replace('YEAR', year)}\n")
        # The date of before is not that of the new one.
        assert (state("elt", past, done) != UNKNOWN) is is_known


@pytest.mark.parametrize("key", ["since-new", "since-overhaul"])
@pytest.mark.parametrize(("told", "is_known"), [("0", True), ("O", False), ("____", False), ("90,5 h", False)])
def test_own_hours_that_cannot_be_read_are_not_those_of_a_new_part(key: str, told: str, is_known: bool) -> None:
    past = ("2026-05-01-past", f"{PAST}  points: {{date: 2026-03-14, tach: 380.2}}\n")
    fitted = f"kind: installed\nposition: left\nserial: M-91\nmeters: {{tach: 402}}\n{key}: {told}\n"
    assert (state("points", past, ("2026-05-02-fitted", fitted)) != UNKNOWN) is is_known


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("counts-on: left", "counts-on: lft"),
        ("every: 100 h", "every: 100000 h"),
        ("every: 100 h", "every: 100 years"),
        ("every: 100 h", "life: 100000 h"),
        ("every: 100 h", "once: 100000 h"),
    ],
)
def test_a_check_that_counts_on_nothing_or_never_comes(old: str, new: str) -> None:
    """It counted on the time of the aircraft, and so on an older part than is fitted; and it was never due."""
    past = ("2026-05-01-past", f"{PAST}  points: {{date: 2026-03-14, tach: 380.2}}\n")
    part = "kind: installed\nposition: left\nserial: M-91\nsince-new: 95\nmeters: {tach: 402}\n"
    fitted = ("2026-05-02-fitted", part)
    assert state("points", past, fitted) != UNKNOWN
    assert state("points", past, fitted, checks=CHECKS.replace(old, new)) == UNKNOWN


def test_an_inspection_that_hardly_ever_comes() -> None:
    text = AIRCRAFT.replace("12 calendar months", "120 calendar months")
    aircraft, source = read_aircraft(text, "records/aircraft.yaml")
    assert aircraft is not None
    assert (len(source.problems), aircraft.inspections["condition"].every) == (1, ())
