"""A page that was finished before a flight of its day is signed with what was read then, and counts from that."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run
from tests.cli.test_sealing import ADA, Page, change, page

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


@pytest.mark.parametrize("begun", [DAY, "2026-09-30"])
@pytest.mark.parametrize("today", [DAY, "2026-10-04"])
def test_it_is_signed_so_with_one_question_whenever_it_was_begun_and_whatever_was_flown_since(
    run: Run, hangar: Path, page: Page, begun: str, today: str
) -> None:
    page("oil", "tach=400.0", on=begun)
    for reads, on in (("403.0", DAY), *((("404.0", today),) if today > DAY else ())):
        assert run(hangar, "hours", f"tach={reads}", typed=("",) * 5, on=on).code == 0
    wiped = ("work", "--text", "wiped", "tach=403.0", "--by", ADA)
    assert run(hangar, *wiped, typed=("",) * 5, on=DAY).code == 0
    kept = [*hangar.rglob("*.yaml")]
    refused = sign(run, hangar, "tach=400.0", typed=())
    assert (refused.code, BELOW in words(refused), [*hangar.rglob("*.yaml")]) == (2, True, kept), refused
    signed = sign(run, hangar, "tach=400.0", typed=("yes", ADA))
    told = words(signed)
    assert ("Sealed: " in told, told.count("yes, no"), told.count(BELOW)) == (True, 1, 1), signed
    (item,) = json.loads(run(hangar, "due", "oil", "--json", on=today).out)["items"]
    assert (item["due"]["total"], item["due"]["date"]) == (705.5, "2027-02-01")
    assert run(hangar, "verify", on=today).code == 0


def test_what_was_done_later_that_day_is_owed_and_named_and_not_asked_about(
    run: Run, hangar: Path, page: Page
) -> None:
    """The order of a day is that of its readings: the pulleys were ticked before the rigging disturbed them."""
    rig = "- [ ] `rig` Rig the controls\n  - every: 500 h\n  - disturbs: flight-controls\n- [ ] `oil`"
    change(hangar / "checklists/nose/cowl.md", "- [ ] `oil`", rig)
    owed = "  - covers: c5\n  - owed-after: disturbed flight-controls"
    change(hangar / "checklists/cabin/floor.md", "  - covers: c5", owed)
    page("condition", "tach=400.0", on=DAY)
    rigged = run(hangar, "work", "rig", "--opened", "none", "tach=403.0", "--by", ADA, typed=("",) * 9, on=DAY)
    assert rigged.code == 0, rigged
    signed = sign(run, hangar, "tach=400.0", typed=("yes", ADA))
    told = words(signed)
    assert ("Sealed: " in told, told.count("yes, no")) == (True, 1), signed
    assert "!! Owed before the next flight: Control pulleys and cables (pulleys)" in told.partition("Sealed: ")[2]
    assert "due at once" in run(hangar, "due", "pulleys", on=DAY).out


def test_below_what_an_earlier_day_read_it_stays_refused(run: Run, hangar: Path, page: Page) -> None:
    page("oil", "tach=400.0", on="2026-09-30")
    for reads, on in (("402.0", "2026-09-30"), ("403.0", DAY)):
        assert run(hangar, "hours", f"tach={reads}", typed=("",) * 5, on=on).code == 0
    for reads in ("400.0", "401.9"):
        refused = sign(run, hangar, f"tach={reads}", typed=("yes", ADA))
        told = words(refused)
        assert ("was recorded before" in told, "Sealed" in told, "earlier that day)" in told) == (True, False, False)
    # Of 2.0 h of the day before it is asked too.
    signed = sign(run, hangar, "tach=402.0", typed=("yes", "yes", ADA))
    assert "Sealed: " in signed.out, signed
