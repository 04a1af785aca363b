"""A reading is amended, and what was reckoned from it, or has its limit off a table at it, follows; both are shown."""

import json
from pathlib import Path

import pytest

from inspect_kit.model.finding import Reading
from tests.cli.conftest import Run, entered
from tests.cli.test_measured import BY, CABLES, TABLE, WEAR, checks, last, read
from tests.cli.test_sealing import ADA, refused

SPREAD = "  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
WHO = ("--text", "the gauge was read again", *BY)


@pytest.fixture
def spread(run: Run, hangar: Path) -> Path:
    """Two cylinders at 76 and 70 psi: a spread of 6."""
    cowl = next(hangar.rglob("cowl.md"))
    cowl.write_text(cowl.read_text().replace("psi, at least 60\n", f"psi, at least 60\n{SPREAD}"))
    work = ("work", "compression", "tach=405.0", *BY, *read("cylinder 1=76", "cylinder 2=70"))
    assert run(hangar, *work, on="2026-10-01").code == 0
    return hangar


def now(root: Path, check: str = "compression") -> dict[str, Reading]:
    """The readings as they count, by label."""
    return {each.label: each for each in last(root).readings if each.check == check}


def test_what_was_reckoned_follows_and_both_are_shown(run: Run, spread: Path) -> None:
    """76 - 64 = 12; the record itself says 76 - 70 = 6 for ever."""
    name = last(spread).name
    made = run(spread, "amend", name, "reads.compression.cylinder 2=64 psi", *WHO, on="2026-10-02")
    assert made.code == 0, made.err
    assert "cylinder 2 of compression 64 psi instead of 70 psi" in made.out
    assert "spread of compression 12 psi (76 - 64) instead of 6 psi (76 - 70)" in made.out
    assert (now(spread)["spread"].value, now(spread)["spread"].reckoned) == ("12", "76 - 64")
    # The amendment says it itself, so that no later change of the checklist turns it.
    amendment = next((spread / "records").rglob("*amendment*.yaml")).read_text()
    assert "spread: 12 psi (at most 15) = 76 - 64" in amendment
    report = " ".join(run(spread, "report", name).out.split())
    assert "spread of compression 12 psi (76 - 64) instead of 6 psi (76 - 70)" in report
    trend = json.loads(run(spread, "trend", "spread", "--json").out)["trends"]
    assert [[each["value"] for each in one["values"]] for one in trend] == [[12]]
    cowl = next(spread.rglob("cowl.md"))
    cowl.write_text(cowl.read_text().replace(SPREAD, ""))
    assert now(spread)["spread"].value == "12"


def test_amended_once_more_it_follows_once_more(run: Run, spread: Path) -> None:
    """76 - 64 = 12, then 77 - 64 = 13."""
    name = last(spread).name
    for day, words in (("02", "cylinder 2=64 psi"), ("03", "cylinder 1=77 psi")):
        assert run(spread, "amend", name, f"reads.compression.{words}", *WHO, on=f"2026-10-{day}").code == 0
    assert (now(spread)["spread"].value, now(spread)["spread"].reckoned) == ("13", "77 - 64")


def test_out_of_its_limit_by_what_follows_it_wants_a_finding(run: Run, spread: Path) -> None:
    """76 - 60 = 16, more than 15, though 60 is within its own limit."""
    name = last(spread).name
    words = ("amend", name, "reads.compression.cylinder 2=60 psi", *WHO)
    told = "spread is 16 psi (76 - 60), the limit is at most 15: what was found"
    refused(run, spread, lambda: run(spread, *words, on="2026-10-02"), told)
    made = run(spread, *words, "--found", "compression=exhaust valve leaks", on="2026-10-02")
    assert made.code == 0, made.err
    assert "(76 - 60) instead of 6 psi (76 - 70), out of its limit, at most 15" in made.out


def test_what_was_reckoned_is_not_amended_by_itself(run: Run, spread: Path) -> None:
    words = ("amend", last(spread).name, "reads.compression.spread=2 psi", *WHO)
    told = "`spread` was not read but reckoned (76 - 70): amend what it was reckoned from"
    refused(run, spread, lambda: run(spread, *words, on="2026-10-02"), told)


def test_one_written_by_hand_is_told_what_it_must_say(run: Run, spread: Path) -> None:
    text = (
        f"kind: amendment\ndate: 2026-10-02\nof: {last(spread).name}\ntext: a slip\nby: {ADA}\n"
        "instead:\n  reads:\n    compression:\n      cylinder 2: 64 psi\n"
    )
    entered(spread, "2026-10-02-amendment-k3f9", text)
    told = "under `compression` say also `spread: 12 psi (at most 15) = 76 - 64`"
    assert told in run(spread, "verify").err
    entered(spread, "2026-10-02-amendment-k3f9", f"{text}      spread: 12 psi (at most 15) = 76 - 64\n")
    assert run(spread, "verify").err == ""


def test_a_check_that_reckons_it_no_more_is_said(run: Run, spread: Path) -> None:
    cowl = next(spread.rglob("cowl.md"))
    cowl.write_text(cowl.read_text().replace(SPREAD, ""))
    name = last(spread).name
    made = run(spread, "amend", name, "reads.compression.cylinder 2=64 psi", *WHO, on="2026-10-02")
    assert made.code == 0, made.err
    assert "spread of compression stays 6 psi (76 - 70): nothing reckons it any more" in made.out
    whole = "reads.compression.spread=12 psi (at most 15) = 76 - 64"
    assert run(spread, "amend", name, whole, *WHO, on="2026-10-03").code == 0
    assert now(spread)["spread"].value == "12"


def test_what_cannot_be_reckoned_is_refused(run: Run, hangar: Path) -> None:
    keys = "  - reads: fuel, gal\n  - reads: time, s\n  - reckons: flow, gal/h = flow of fuel, time\n"
    checks(hangar, f"- [ ] `flow` Fuel flow\n  - every: 50 h\n{keys}")
    assert run(hangar, "work", "flow", "tach=405.0", *BY, *read("fuel=1", "time=160"), on="2026-10-01").code == 0
    words = ("amend", last(hangar).name, "reads.flow.time=0 s", *WHO)
    refused(run, hangar, lambda: run(hangar, *words, on="2026-10-02"), "flow cannot be reckoned: flow of 1 gal, 0 s")


class TestByATable:
    """At 60 °F 26 to 36 lb, at 70 °F 28 to 38 lb, at 90 °F 32 to 42 lb (the invented table of test_measured)."""

    @pytest.fixture
    def rigged(self, run: Run, hangar: Path) -> Path:
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(aircraft.read_text() + TABLE)
        checks(hangar, CABLES)
        work = ("work", "cables", "tach=405.0", *BY, *read("temperature=60", "left=30"))
        assert run(hangar, *work, on="2026-10-01").code == 0
        return hangar

    def test_its_limit_follows(self, run: Run, rigged: Path) -> None:
        made = run(rigged, "amend", last(rigged).name, "reads.cables.temperature=70 °F", *WHO, on="2026-10-02")
        assert made.code == 0, made.err
        assert "left of cables 30 lb instead of 30 lb, the limit 28 to 38 instead of 26 to 36" in made.out
        assert str(now(rigged, "cables")["left"].bound) == "28 to 38"

    def test_and_wants_a_finding_where_the_reading_is_out_of_it(self, run: Run, rigged: Path) -> None:
        words = ("amend", last(rigged).name, "reads.cables.temperature=90 °F", *WHO)
        refused(run, rigged, lambda: run(rigged, *words, on="2026-10-02"), "left is 30 lb, the limit is 32 to 42")

    def test_beyond_the_table_it_is_refused(self, run: Run, rigged: Path) -> None:
        words = ("amend", last(rigged).name, "reads.cables.temperature=20 °F", *WHO)
        refused(run, rigged, lambda: run(rigged, *words, on="2026-10-02"), "the table `cable-tension` goes from 30 to")


def test_what_was_not_done_after_all_was_not_read_either(run: Run, spread: Path) -> None:
    """Its readings count in no trend; the record itself, and its report, say them for ever."""
    name = last(spread).name
    more = ("work", "compression", "tach=406.0", *BY, *read("cylinder 1=75", "cylinder 2=70"))
    assert run(spread, *more, on="2026-10-01").code == 0
    made = run(spread, "amend", name, "--not-done", "compression", *WHO, on="2026-10-02")
    assert made.code == 0, made.err
    trends = json.loads(run(spread, "trend", "cylinder 1", "--json").out)["trends"]
    assert [each["value"] for each in trends[0]["values"]] == [75]
    report = " ".join(run(spread, "report", name).out.split())
    assert "76 psi" in report
    assert "compression was not done" in report
    assert run(spread, "verify").code == 0


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("64 bar", "`cylinder 2` was read in psi, not in `bar`"),
        ("6 4 psi", "`cylinder 2` was read in psi, not in `4 psi`"),
        ("high", "`cylinder 2` is a number of psi, not `high`"),
        ("____ psi", "`cylinder 2` is a number of psi, not `psi`"),
        ("64 psi (at least 10)", "the limit of `cylinder 2` is at least 60: an amendment replaces a reading"),
    ],
)
def test_what_is_no_reading_of_that_label(run: Run, spread: Path, value: str, told: str) -> None:
    """Each of these hid a reading from its limit, and took it out of its trend."""
    words = ("amend", last(spread).name, f"reads.compression.cylinder 2={value}", *WHO)
    refused(run, spread, lambda: run(spread, *words, on="2026-10-02"), told)
    both = (*words, "reads.compression.cylinder 1=75 psi")
    refused(run, spread, lambda: run(spread, *both, on="2026-10-02"), told)


@pytest.mark.parametrize(
    "words", [("reads.compression.cylinder 2=64",), ("cylinder 2=64",), ("--read", "cylinder 2=64")]
)
def test_a_bare_number_keeps_its_measure(run: Run, spread: Path, words: tuple[str, ...]) -> None:
    """And a label that was read at one check is enough, as where it was written down."""
    made = run(spread, "amend", last(spread).name, *words, *WHO, on="2026-10-02")
    assert made.code == 0, made.err
    assert (now(spread)["cylinder 2"].value, now(spread)["cylinder 2"].measure) == ("64", "psi")
    assert "cylinder 2 of compression 64 psi instead of 70 psi" in made.out


def test_what_was_read_is_shown_where_it_is_asked(run: Run, spread: Path) -> None:
    told = run(spread, "amend", last(spread).name, typed=("",), on="2026-10-02")
    assert "cylinder 1=76, cylinder 2=70" in " ".join(told.err.split())


def test_a_fall_that_is_too_steep_after_all_wants_a_finding(run: Run, hangar: Path) -> None:
    """From 78 to 67 psi in 50 h, where 10 are the most; 70 as it was read first is not too far."""
    checks(hangar, WEAR)
    for day, tach, value in (("2026-10-01", "405.0", "78"), ("2026-11-01", "455.0", "70")):
        work = ("work", "wear", f"tach={tach}", "--yes", *BY, *read(f"cylinder 1={value}"))
        assert run(hangar, *work, on=day).code == 0
    words = ("amend", last(hangar).name, "reads.wear.cylinder 1=67 psi", *WHO)
    told = "cylinder 1 fell by 11 psi since 2026-10-01 (78 psi), the limit is `falls at most 10 in 100 h`"
    refused(run, hangar, lambda: run(hangar, *words, on="2026-11-02"), told)
    assert run(hangar, *words, "--found", "wear=valve leaks", on="2026-11-02").code == 0
