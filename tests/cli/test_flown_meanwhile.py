"""A page that was done, flown on, and signed then: what it ticks counts from the signature, at what is read then."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run
from tests.cli.test_sealing import ADA, Page, change, page

__all__ = ["page"]

ASKED = "13.0 h were flown while this page was open, by 2026-10-25-hours-"


def sign(run: Run, hangar: Path, *more: str, typed: tuple[str, ...] = (ADA,), on: str = "2026-10-26") -> Outcome:
    return run(hangar, "sign", *more, "--as", ADA, "--ink", "log p. 3", typed=typed, on=on)


def flown(run: Run, hangar: Path, tach: str, on: str = "2026-10-25") -> None:
    assert run(hangar, "hours", f"tach={tach}", typed=("",) * 5, on=on).code == 0


def oil_due(run: Run, hangar: Path) -> dict[str, object]:
    (item,) = json.loads(run(hangar, "due", "oil", "--json").out)["items"]
    return {key: item["due"][key] for key in ("date", "total")}


@pytest.mark.parametrize("job", [("oil",), ("condition", "oil")])
def test_hours_flown_while_it_was_open_are_asked_about(
    run: Run, hangar: Path, page: Page, job: tuple[str, ...]
) -> None:
    """12 h and 25 days later than it should be, and the refusal led there."""
    page(*job, "tach=400.0", on="2026-10-01")
    flown(run, hangar, "413.0")
    advised = sign(run, hangar)
    assert advised.code == 1
    assert "or as of the day on which the work was finished, --on DATE" in " ".join(advised.out.split())
    asked = sign(run, hangar, "tach=413.0", typed=("no", ADA))
    told = " ".join((asked.out + asked.err).split())
    assert (asked.code, ASKED in told) == (2, True), asked
    assert "what it ticks counts from 2026-10-26 on" in told
    assert "is signed as of its day, `inspect-kit --on DATE sign`" in told
    signed = sign(run, hangar, on="2026-10-01")
    assert "Sealed: " in signed.out, signed
    # From 655.5 and 2026-10-01: 50 h or 4 months.
    assert oil_due(run, hangar) == {"date": "2027-02-01", "total": 705.5}


def test_who_says_that_it_was_looked_at_since_signs(run: Run, hangar: Path, page: Page) -> None:
    page("oil", "tach=400.0", on="2026-10-01")
    flown(run, hangar, "413.0")
    signed = sign(run, hangar, "tach=413.0", typed=("yes", ADA))
    assert "Sealed: " in signed.out, signed


@pytest.mark.parametrize(("tach", "day"), [("401.0", "2026-10-25"), ("400.0", "2026-10-01"), ("399.0", "2026-09-20")])
def test_engine_runs_and_what_was_flown_before_are_asked_nothing(
    run: Run, hangar: Path, page: Page, tach: str, day: str
) -> None:
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text().replace("reads: 400.0", "reads: 390.0"))
    page("oil", "tach=400.0", on="2026-10-01")
    flown(run, hangar, tach, day)
    signed = sign(run, hangar, f"tach={max(tach, '400.0')}")
    assert ("Sealed: " in signed.out, "were flown" in signed.out + signed.err) == (True, False), signed


def test_what_was_flown_before_a_list_was_sealed_is_not_asked_again(run: Run, hangar: Path, page: Page) -> None:
    page("condition", "tach=400.0", on="2026-10-01")
    flown(run, hangar, "413.0")
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-10-26").code == 0
    words = ("sign", "tach=413.0", "--as", ADA, "--not-passed")
    sealed = run(hangar, *words, typed=("yes", ADA), on="2026-10-26")
    assert (sealed.code, ASKED in " ".join((sealed.out + sealed.err).split())) == (0, True), sealed
    assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-10-27").code == 0
    flown(run, hangar, "413.2", "2026-10-27")
    signed = sign(run, hangar, "tach=413.2", on="2026-10-28")
    assert ("Sealed: " in signed.out, "were flown" in signed.out + signed.err) == (True, False), signed


EARLIER = "Was it read earlier that day?"


@pytest.mark.parametrize("begun", ["2026-10-01", "2026-09-30"])
@pytest.mark.parametrize("today", ["2026-10-01", "2026-10-04"])
def test_finished_in_the_morning_and_flown_that_day_it_is_sealed_at_what_was_read_then(
    run: Run, hangar: Path, page: Page, begun: str, today: str
) -> None:
    """Each of two refusals led to the other, and what was left to say was not true: 3 h late."""
    page("oil", "tach=400.0", on=begun)
    flown(run, hangar, "403.0", on="2026-10-01")
    assert run(hangar, "work", "--text", "wiped", "tach=403.0", "--by", ADA, typed=("",) * 5, on="2026-10-01").code == 0
    if today > "2026-10-01":
        flown(run, hangar, "404.0", on=today)
    advised = sign(run, hangar, on="2026-10-01")
    assert advised.code == 1
    told = " ".join(advised.out.split())
    assert "where that was 2026-10-01, before 658.5 was read, with tach=400.0" in told
    kept = [*hangar.rglob("*.yaml")]
    for typed in ((), ("no",)):
        refused = sign(run, hangar, "tach=400.0", typed=typed, on="2026-10-01")
        assert (refused.code, EARLIER in refused.err + refused.out) == (2, True), refused
    assert [*hangar.rglob("*.yaml")] == kept
    signed = sign(run, hangar, "tach=400.0", typed=("yes", ADA), on="2026-10-01")
    told = " ".join((signed.out + signed.err).split())
    assert ("Sealed: " in told, told.count("yes, no"), told.count(EARLIER)) == (True, 1, 1), signed
    assert oil_due(run, hangar) == {"date": "2027-02-01", "total": 705.5}
    assert run(hangar, "verify", on=today).code == 0


def test_what_was_done_later_that_day_is_owed_and_not_asked_about(run: Run, hangar: Path, page: Page) -> None:
    """The order of a day is that of its readings: the pulleys were ticked before the rigging disturbed them."""
    rig = "- [ ] `rig` Rig the controls\n  - every: 500 h\n  - disturbs: flight-controls\n- [ ] `oil`"
    change(hangar / "checklists/nose/cowl.md", "- [ ] `oil`", rig)
    owed = "  - covers: c5\n  - owed-after: disturbed flight-controls"
    change(hangar / "checklists/cabin/floor.md", "  - covers: c5", owed)
    page("condition", "tach=400.0", on="2026-10-01")
    rigged = run(hangar, "work", "rig", "--opened", "none", "tach=403.0", "--by", ADA, typed=("",) * 9, on="2026-10-01")
    assert rigged.code == 0, rigged
    signed = sign(run, hangar, "tach=400.0", typed=("yes", ADA), on="2026-10-01")
    told = " ".join((signed.out + signed.err).split())
    assert ("Sealed: " in told, told.count("yes, no")) == (True, 1), signed
    assert "pulleys" in told.partition("Sealed: ")[2]
    assert "due at once" in run(hangar, "due", "pulleys", on="2026-10-01").out


def test_a_reading_below_that_of_an_earlier_day_stays_refused(run: Run, hangar: Path, page: Page) -> None:
    page("oil", "tach=400.0", on="2026-09-30")
    flown(run, hangar, "402.0", on="2026-09-30")
    flown(run, hangar, "403.0", on="2026-10-01")
    for reads in ("400.0", "401.9"):
        refused = sign(run, hangar, f"tach={reads}", typed=("yes", ADA), on="2026-10-01")
        told = " ".join((refused.out + refused.err).split())
        assert ("was recorded before" in told, "Sealed" in told, "where that was" in told) == (True, False, False), told
    signed = sign(run, hangar, "tach=402.0", typed=("yes", "yes", ADA), on="2026-10-01")
    assert "Sealed: " in signed.out, signed


def test_on_the_day_of_a_change_of_the_meter_it_stays_refused(run: Run, hangar: Path, page: Page) -> None:
    """The question is not asked then: either meter may be meant."""
    page("oil", "tach=400.0", on="2026-10-01")
    flown(run, hangar, "403.0", on="2026-10-01")
    renewed = ("meter", "tach", "--old", "403.0", "--new", "0.0", "--unrecorded", "0", "--by", ADA)
    made = run(hangar, *renewed, typed=("",) * 9, on="2026-10-01")
    assert made.code == 0, made
    refused = sign(run, hangar, "tach=400.0", typed=("yes", ADA), on="2026-10-01")
    assert ("was recorded before" in " ".join(refused.out.split()), refused.code) == (True, 1), refused
