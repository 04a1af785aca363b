"""A page that was finished before a flight of its day is signed with what was read then, and counts from that."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run
from tests.cli.test_sealing import ADA, Page, page

__all__ = ["page"]

DAY = "2026-10-01"
BELOW = "Was it read earlier that day?"


@pytest.fixture
def flown(run: Run, hangar: Path, page: Page) -> Path:
    made = page("oil", "tach=400.0", on=DAY)
    assert run(hangar, "hours", "tach=413.0", typed=("",) * 5, on=DAY).code == 0
    return made


def sign(run: Run, hangar: Path, *more: str, typed: tuple[str, ...], on: str = DAY) -> Outcome:
    return run(hangar, "sign", *more, "--as", ADA, "--ink", "log p. 3", typed=typed, on=on)


def words(made: Outcome) -> str:
    return " ".join((made.out + made.err).split())


@pytest.mark.usefixtures("flown")
class TestFinishedBeforeAFlightOfItsDay:
    def test_it_counts_from_what_was_read_then(self, run: Run, hangar: Path) -> None:
        """It was refused after that yes, and `sign` itself had advised it: a false yes counted 13 h late."""
        signed = sign(run, hangar, "tach=400.0", typed=("yes", ADA))
        assert ("Sealed: " in signed.out, BELOW in words(signed), "were flown" in words(signed)) == (True, True, False)
        (item,) = json.loads(run(hangar, "due", "oil", "--json").out)["items"]
        # 50 h from 655.5, and four months.
        assert (item["due"]["total"], item["due"]["date"]) == (705.5, "2027-02-01")
        assert run(hangar, "verify").code == 0

    def test_who_says_no_signs_nothing(self, run: Run, hangar: Path) -> None:
        refused = sign(run, hangar, "tach=400.0", typed=("no", ADA))
        assert (refused.code, "nothing was sealed" in words(refused)) == (2, True)

    def test_what_nobody_read_anew_is_refused_with_what_to_type(self, run: Run, hangar: Path) -> None:
        refused = sign(run, hangar, typed=(ADA,))
        assert refused.code == 1
        assert "tach=READING (tach=400.0 if it read that earlier that day)" in words(refused)

    def test_of_a_later_day_it_is_below_what_was_flown(self, run: Run, hangar: Path) -> None:
        refused = sign(run, hangar, "tach=400.0", typed=("yes", ADA), on="2026-10-02")
        assert (refused.code, "Sealed: " in refused.out) == (1, False), refused
        assert "if it read that earlier that day" not in words(refused)
