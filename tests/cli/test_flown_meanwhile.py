"""A page that was done, flown on, and signed then: what it ticks counts from the signature, at what is read then."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run
from tests.cli.test_sealing import ADA, Page, page

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
