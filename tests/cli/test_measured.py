"""Limits that depend on something else, what is to be looked at again, and what was repaired: from `work`, a page and
`finding` to the record, the due list and the months ahead."""

import json
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.model.page_record import PageRecord
from tests.cli.conftest import Run
from tests.cli.test_sealing import ADA, refused

BY = ("--by", ADA)
TABLE = """\
tables:
  cable-tension:
    at: °F
    gives: lb
    rows: [{at: 30, from: 20, to: 30}, {at: 90, from: 32, to: 42}, {at: 110, from: 35, to: 45}]
    source: invented
"""
CABLES = """\
- [ ] `cables` Tension of the rudder cables
  - every: 50 h
  - reads: temperature, °F
  - reads: left, lb, by cable-tension at temperature
"""


def checks(root: Path, text: str) -> None:
    floor = root / "checklists/cabin/floor.md"
    floor.write_text(floor.read_text() + text)


def last(root: Path) -> PageRecord:
    logbook = store.load(root).logbook
    assert logbook is not None
    assert not logbook.problems
    return logbook.of_kind(PageRecord)[-1]


def by_hand(root: Path, day: str, check: str, readings: str, more: str = "") -> Path:
    path = root / f"records/2026/{day}-{check}-b1.yaml"
    said = f"kind: work\ndate: {day}\ndid: [{check}]\nby: Ada Bellcrank\nreadings: {{{check}: {readings}}}\n"
    path.write_text(f"format: 1\n{said}{more}", encoding="utf-8")
    return path


def read(*pairs: str) -> list[str]:
    return [word for pair in pairs for word in ("--read", pair)]


class TestByATable:
    @pytest.fixture
    def rigged(self, hangar: Path) -> Path:
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(aircraft.read_text() + TABLE)
        checks(hangar, CABLES)
        return hangar

    def test_the_limit_lies_between_two_rows(self, run: Run, rigged: Path) -> None:
        """At 60 °F, half way from 30 to 90: 26 to 36 lb. At 70 °F, two thirds: 28 to 38 lb."""
        made = run(rigged, "work", "cables", *BY, *read("temperature=60", "left=26"), on="2026-11-20")
        assert made.code == 0, made.err
        assert {each.label: str(each.bound or "") for each in last(rigged).readings} == {
            "temperature": "",
            "left": "26 to 36",
        }
        low = lambda: run(rigged, "work", "cables", *BY, *read("temperature=70", "left=27.9"), on="2026-11-21")  # noqa: E731
        refused(run, rigged, low, "left is 27.9 lb, the limit is 28 to 38: what was found")

    def test_whoever_is_asked_sees_the_rows_or_the_limit_at_what_is_read(self, run: Run, rigged: Path) -> None:
        """In the walk at 60 °F, half way from 30 to 90: 26 to 36 lb; before that the whole table."""
        rows = "by temperature: at 30 °F 20 to 30, at 90 °F 32 to 42, at 110 °F 35 to 45 lb, between in proportion"
        asked = run(rigged, "work", "cables", *BY, typed=("", "60", "30", ""), on="2026-11-20")
        assert f"left in lb, {rows}" in " ".join((asked.out + asked.err).split())
        assert run(rigged, "start", "cables", *BY, on="2026-11-20").code == 0
        walked = " ".join(run(rigged, "walk", typed=("g", "cables", "o", "60", "30"), on="2026-11-20").out.split())
        assert "by temperature: at 30 °F 20 to 30" in walked
        assert "left, lb, 26 to 36" in walked

    def test_by_hand_too(self, run: Run, rigged: Path) -> None:
        """At 60 °F it is 26 to 36 lb; nothing is told below 30 °F."""
        by_hand(rigged, "2026-11-20", "cables", "{temperature: 60 °F, left: 25 lb}")
        told = " ".join(run(rigged, "verify").err.split())
        assert "cables-b1.yaml:6: readings: left of `cables` is 25 lb, the limit of the check is 26 to 36" in told
        by_hand(rigged, "2026-11-20", "cables", "{temperature: 20 °F, left: 25 lb}")
        told = " ".join(run(rigged, "due").err.split())
        assert "no limit of left can be told: temperature is 20 °F" in told

    @pytest.mark.parametrize("at", ["29.9", "110.1"])
    def test_it_is_refused_outside_the_table(self, run: Run, rigged: Path, at: str) -> None:
        told = f"no limit of left can be told: temperature is {at} °F, and the table `cable-tension` goes from 30"
        work = lambda: run(rigged, "work", "cables", *BY, *read(f"temperature={at}", "left=30"), on="2026-11-20")  # noqa: E731
        refused(run, rigged, work, told)

    def test_a_page_wants_a_finding_and_keeps_the_limit(self, run: Run, rigged: Path) -> None:
        assert run(rigged, "start", "cables", *BY, on="2026-11-20").code == 0
        (page,) = (rigged / "records/open").glob("*.md")
        assert "left: ____ lb (by cable-tension at temperature)" in page.read_text()
        text = page.read_text().replace("[ ]", "[x]").replace("____ °F", "90 °F").replace("____ lb", "31 lb")
        page.write_text(text)
        told = run(rigged, "sign", "--as", ADA, "--ink", "p. 1", on="2026-11-20")
        assert told.code == 1
        assert "left is 31 lb, the limit is 32 to 42, and no finding is written under it" in " ".join(told.out.split())
        page.write_text(text.replace("31 lb", "33 lb"))
        assert run(rigged, "sign", "--as", ADA, "--ink", "p. 1", typed=(ADA,), on="2026-11-20").code == 0
        assert [str(each.bound or "") for each in last(rigged).readings] == ["", "32 to 42"]

    def test_none_is_read_without_what_its_limit_depends_on(self, run: Run, rigged: Path) -> None:
        """5 lb would be out at any temperature: nobody is to leave that out."""
        told = "no limit of left can be told: temperature is not read"
        work = lambda: run(rigged, "work", "cables", *BY, *read("left=5"), typed=("", ""), on="2026-11-20")  # noqa: E731
        refused(run, rigged, work, told)
        for readings in ("{left: 5 lb}", "{left: 5 lb (by cable-tension at temperature)}"):
            path = by_hand(rigged, "2026-11-20", "cables", readings)
            assert f"{path.name}:6: readings: {told}" in " ".join(run(rigged, "verify").err.split())

    def test_the_table_is_in_the_measures_of_its_readings(self, run: Run, rigged: Path) -> None:
        aircraft = rigged / "records/aircraft.yaml"
        for old, new, told in (
            ("gives: lb", "gives: kg", "gives kg, and this is read in lb"),
            ("at: °F", "at: °C", "is read at °C, and `temperature` is in °F"),
        ):
            text = aircraft.read_text()
            aircraft.write_text(text.replace(old, new))
            made = run(rigged, "work", "cables", *BY, *read("temperature=60", "left=30"), on="2026-11-20")
            aircraft.write_text(text)
            assert (made.code, list(rigged.rglob("2026-11-20-*"))) == (3, []), made.err
            assert f"no limit of left can be told: the table `cable-tension` {told}" in " ".join(made.err.split())

    def test_a_finding_is_not_cleared_by_what_no_limit_is_told_of(self, run: Run, rigged: Path) -> None:
        found = "findings: {F1: {check: cables, found: slack}}\n"
        path = by_hand(rigged, "2026-11-20", "cables", "{temperature: 60 °F, left: 5 lb (26 to 36)}", found)
        words = ("finding", f"{path.stem}#F1", "--cleared", "tightened", *BY, "--read", "left=6")
        clear = lambda: run(rigged, *words, on="2026-11-21")  # noqa: E731
        refused(run, rigged, clear, "temperature is not read: do `cables` again, with all its readings")

    def test_a_table_that_is_not_there_or_does_not_fit(self, run: Run, hangar: Path) -> None:
        checks(hangar, CABLES)
        assert "reads: aircraft.yaml has no table `cable-tension`" in run(hangar, "verify").err
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(aircraft.read_text() + TABLE.replace("gives: lb", "gives: N").replace("at: °F", "at: °C"))
        assert "the table `cable-tension` gives N, and this is read in lb" in run(hangar, "verify").err


WEAR = """\
- [ ] `wear` Compression
  - every: 50 h
  - reads: cylinder 1, psi, at least 60, falls at most 10 in 100 h
"""


class TestByTheLastValue:
    """A drop of more than 10 psi in 100 h (the aircraft's own limit; invented)."""

    @pytest.fixture
    def flown(self, run: Run, hangar: Path) -> Path:
        checks(hangar, WEAR)
        said = ("tach=405.0", *BY, *read("cylinder 1=78"))
        assert run(hangar, "work", "wear", *said, on="2026-10-01").code == 0
        return hangar

    @pytest.mark.parametrize(("tach", "value", "out"), [("455.0", "68", False), ("455.0", "67.9", True)])
    def test_within_the_span(self, run: Run, flown: Path, tach: str, value: str, out: bool) -> None:
        made = run(flown, "work", "wear", f"tach={tach}", "--yes", *BY, *read(f"cylinder 1={value}"), on="2026-11-20")
        assert made.code == (2 if out else 0), made.err
        told = "cylinder 1 fell by 10.1 psi since 2026-10-01 (78 psi), the limit is `falls at most 10 in 100 h`"
        assert (told in made.err) is out

    @pytest.mark.parametrize(("value", "out"), [("63", False), ("62.9", True)])
    def test_over_a_longer_span_in_the_same_measure(self, run: Run, flown: Path, value: str, out: bool) -> None:
        """150 h on, 15 psi are 10 in 100 h."""
        made = run(flown, "work", "wear", "tach=555.0", "--yes", *BY, *read(f"cylinder 1={value}"), on="2026-11-20")
        assert made.code == (2 if out else 0), made.err

    FELL = (
        "readings: cylinder 1 of `wear` fell by 12 psi since 2026-10-01 (78 psi), "
        "the limit is `falls at most 10 in 100 h`, and no finding says so"
    )

    @pytest.mark.parametrize("limit", ["", " (at least 60, falls at most 10 in 100 h)"])
    def test_by_hand_too(self, run: Run, flown: Path, limit: str) -> None:
        path = by_hand(flown, "2026-11-20", "wear", f"{{cylinder 1: '66 psi{limit}'}}")
        for command in ("verify", "due", "status"):
            told = run(flown, command)
            assert f"{path.name}:6: {self.FELL}" in " ".join(told.err.split())
            assert told.code == 3
        # What is written elsewhere is written; a finding answers it, wherever it stands.
        assert run(flown, "hours", "tach=406.0", on="2026-11-21").code == 3
        found = "findings: {F1: {check: wear, found: weak, cleared: 2026-11-20 valve lapped}}\n"
        by_hand(flown, "2026-11-20", "wear", "{cylinder 1: 66 psi}", found)
        assert self.FELL not in " ".join(run(flown, "verify").err.split())
        by_hand(flown, "2026-11-20", "wear", "{cylinder 1: 66 psi}")
        assert run(flown, "finding", "wear", "weak", *BY, on="2026-11-22").code == 0
        assert self.FELL not in " ".join(run(flown, "verify").err.split())

    def test_by_hand_on_another_part_or_after_its_repair(self, run: Run, flown: Path) -> None:
        mended = "results: {wear: {answer: done, repaired: [cylinder 1]}}\n"
        by_hand(flown, "2026-11-20", "wear", "{cylinder 1: 66 psi}", mended)
        assert run(flown, "verify").code == 0
        by_hand(flown, "2026-11-21", "wear", "{cylinder 1: 57 psi}")
        assert "fell by" not in (told := " ".join(run(flown, "verify").err.split()))
        assert "57 psi, the limit of the check is at least 60, falls at most 10 in 100 h" not in told
        assert "57 psi, the limit of the check is at least 60, and no finding says so" in told

    def test_of_a_sealed_page_it_is_a_note(self, run: Run, flown: Path) -> None:
        """An earlier reading is put right after the page was sealed: nobody could have asked for a finding then."""
        assert run(flown, "start", "wear", "tach=410.0", *BY, on="2026-11-20").code == 0
        (page,) = (flown / "records/open").glob("*.md")
        page.write_text(page.read_text().replace("[ ]", "[x]").replace("____", "70"))
        assert run(flown, "sign", "--as", ADA, "--ink", "p. 1", typed=(ADA,), on="2026-11-20").code == 0
        (first,) = flown.rglob("2026-10-01-wear-*.yaml")
        first.write_text(first.read_text().replace("78 psi", "84 psi"))
        told = run(flown, "verify")
        assert told.code == 0, told.err
        assert "fell by 14 psi since 2026-10-01 (84 psi)" in " ".join(told.out.split())

    def test_not_from_before_a_repair(self, run: Run, flown: Path) -> None:
        mended = ("--text", "exhaust valve lapped", "--repaired", "cylinder 1", *read("cylinder 1=77"))
        assert run(flown, "work", "wear", "tach=410.0", "--yes", *BY, *mended, on="2026-10-10").code == 0
        low = lambda value: run(  # noqa: E731
            flown, "work", "wear", "tach=460.0", "--yes", *BY, *read(f"cylinder 1={value}"), on="2026-11-20"
        )
        assert "since 2026-10-10 (77 psi)" in low("66.9").err
        assert low("67").code == 0


class TestReckoned:
    def test_the_spread_of_the_cylinders(self, run: Run, hangar: Path) -> None:
        """78 - 60 = 18 is more than 15, though each is within its own limit."""
        cowl = next(hangar.rglob("cowl.md"))
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        work = ("work", "compression", *BY, *read("cylinder 1=78", "cylinder 2=60"))
        told = "spread is 18 psi (78 - 60), the limit is at most 15"
        refused(run, hangar, lambda: run(hangar, *work, on="2026-11-20"), told)
        assert run(hangar, *work, typed=("", "exhaust valve leaks"), on="2026-11-20").code == 0
        assert [(each.label, each.value, each.reckoned) for each in last(hangar).readings] == [
            ("cylinder 1", "78", ""),
            ("cylinder 2", "60", ""),
            ("spread", "18", "78 - 60"),
        ]
        # It is a series like any other, and the report shows how it came about.
        more = ("tach=406.0", *BY, *read("cylinder 1=77", "cylinder 2=70"))
        assert run(hangar, "work", "compression", *more, on="2026-11-21").code == 0
        assert "compression/spread" in run(hangar, "trend", "--json").out
        assert "spread (77 - 70)" in run(hangar, "report", last(hangar).name).out

    def test_a_finding_that_it_raised_is_cleared_with_what_it_rests_on(self, run: Run, hangar: Path) -> None:
        """Asked reading by reading, judged when all are there; the record has the value with its arithmetic."""
        cowl = next(hangar.rglob("cowl.md"))
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        work = ("work", "compression", *BY, *read("cylinder 1=78", "cylinder 2=60"), "--found", "compression=valve")
        assert run(hangar, *work, typed=("405.9",), on="2026-11-20").code == 0
        clear = ("finding", "F1", "--cleared", "valve lapped", *BY)
        told = "spread is 17 psi (78 - 61), the limit is at most 15: the finding stays open"
        high = lambda: run(hangar, *clear, typed=("78", "61"), on="2026-11-20")  # noqa: E731
        refused(run, hangar, high, told)
        done = run(hangar, *clear, *read("cylinder 2=75"), typed=("78",), on="2026-11-21")
        assert done.code == 0, done.err
        assert "spread is 18 psi, the limit is at most 15. What cylinder 1 reads now, psi, at least 60" in done.err
        assert {each.label: each.value for each in last(hangar).readings} == {
            **{"cylinder 1": "78", "cylinder 2": "75"},
            "spread": "3",
        }
        assert run(hangar, "verify").code == 0

    def test_on_a_page_too(self, run: Run, hangar: Path) -> None:
        cowl = next(hangar.rglob("cowl.md"))
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        assert run(hangar, "start", "compression", *BY, on="2026-11-20").code == 0
        (page,) = (hangar / "records/open").glob("*.md")
        done = page.read_text().replace("[ ]", "[x]").replace("cylinder 1: ____", "cylinder 1: 78")
        page.write_text(done.replace("cylinder 2: ____", "cylinder 2: 60"))
        assert run(hangar, "finding", "compression", "valve leaks", *BY, on="2026-11-20").code == 0
        clear = ("finding", "F1", "--cleared", "valve lapped", *BY, *read("cylinder 1=78", "cylinder 2=75"))
        cleared = run(hangar, *clear, on="2026-11-20")
        assert cleared.code == 0, cleared.err
        assert run(hangar, "sign", "--as", ADA, "--ink", "p. 1", typed=(ADA,), on="2026-11-20").code == 0

    def test_a_page_asks_for_what_it_rests_on_alone(self, run: Run, hangar: Path) -> None:
        cowl = next(hangar.rglob("cowl.md"))
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        assert run(hangar, "start", "compression", *BY, on="2026-11-20").code == 0
        (page,) = (hangar / "records/open").glob("*.md")
        text = page.read_text()
        assert "> Reckoned from these: spread, psi, at most 15 = spread of cylinder 1, cylinder 2" in text
        assert "- spread:" not in text
        done = text.replace("[ ]", "[x]").replace("cylinder 1: ____", "cylinder 1: 78")
        done = done.replace("cylinder 2: ____", "cylinder 2: 62")
        page.write_text(done)
        told = run(hangar, "sign", "--as", ADA, "--ink", "p. 1", on="2026-11-20")
        wanted = "spread is 16 psi (78 - 62), the limit is at most 15, and no finding is written"
        assert wanted in " ".join(told.out.split())
        page.write_text(done.replace("78", "76"))
        assert run(hangar, "sign", "--as", ADA, "--ink", "p. 1", typed=(ADA,), on="2026-11-20").code == 0
        assert last(hangar).readings[-1].reckoned == "76 - 62"
        assert run(hangar, "verify").code == 0

    def test_a_result_is_judged_before_it_is_rounded(self, run: Run, hangar: Path) -> None:
        """3600 / 160.001 = 22.49986 gal/h is no 22.5, and is not shown as one."""
        keys = "  - reads: fuel, gal\n  - reads: time, s\n"
        keys += "  - reckons: flow, gal/h, at least 22.5 = flow of fuel, time\n"
        checks(hangar, f"- [ ] `flow` Fuel flow\n  - every: 50 h\n{keys}")
        made = lambda: run(hangar, "work", "flow", *BY, *read("fuel=1", "time=160.001"), on="2026-11-20")  # noqa: E731
        refused(run, hangar, made, "flow is 22.4999 gal/h (1 gal x 3600 / 160.001 s), the limit is at least 22.5")

    def test_what_cannot_be_reckoned_is_refused(self, run: Run, hangar: Path) -> None:
        keys = "  - reads: fuel, gal\n  - reads: time, s\n  - reckons: flow, gal/h = flow of fuel, time\n"
        checks(hangar, f"- [ ] `flow` Fuel flow\n  - every: 50 h\n{keys}")
        made = lambda: run(hangar, "work", "flow", *BY, *read("fuel=1", "time=0"), on="2026-11-20")  # noqa: E731
        refused(run, hangar, made, "flow cannot be reckoned: flow of 1 gal, 0 s")


def again(run: Run, root: Path, on: str = "2026-11-25") -> list[dict]:
    told = json.loads(run(root, "due", "--json", on=on).out)
    return [item for item in told["items"] if item["kind"] == "recheck"]


class TestLookAgain:
    def test_with_what_was_said_it_is_an_item_until_the_check_is_done_again(self, run: Run, hangar: Path) -> None:
        said = ("--text", "hairline at the flange", "--recheck", "stacks=in 25 h or 3 months")
        assert run(hangar, "work", "stacks", "tach=405.0", *BY, *said, on="2026-10-01").code == 0
        (item,) = again(run, hangar)
        assert (item["check"], item["due"]["total"], item["due"]["date"]) == ("stacks/recheck", 685.5, "2027-01-01")
        assert "Look again: hairline at the flange" in run(hangar, "due", "stacks/recheck").out
        assert "+ 25 h = 685.5 h" in run(hangar, "due", "stacks/recheck").out
        assert any("stacks/recheck" in str(each) for each in json.loads(run(hangar, "visits", "--json").out)["visits"])
        assert run(hangar, "work", "stacks", "tach=420.0", "--yes", *BY, on="2026-11-10").code == 0
        assert again(run, hangar) == []

    def test_of_a_check_that_is_retired_it_is_named(self, run: Run, hangar: Path) -> None:
        said = ("--text", "weep", "--recheck", "elt=20 days")
        assert run(hangar, "work", "elt", "tach=405.0", *BY, *said, on="2026-10-01").code == 0
        floor = hangar / "checklists/cabin/floor.md"
        floor.write_text(f"{floor.read_text()}  - retired: 2026-12-01, gone\n")
        assert [item["state"] for item in again(run, hangar)] == ["past-due"]
        assert again(run, hangar, on="2026-12-02") == []
        (note,) = json.loads(run(hangar, "verify", "--json", on="2026-12-02").out)["notes"]
        told = "`elt` was to be looked at again within 20 days, weep, and is retired since 2026-12-01: nobody asks"
        assert told in note["message"]

    def test_past_its_limit_it_is_past_due_and_a_plan_takes_its_check_in(self, run: Run, hangar: Path) -> None:
        said = ("--text", "weep", "--recheck", "stacks=20 days")
        assert run(hangar, "work", "stacks", "tach=405.0", *BY, *said, on="2026-10-01").code == 0
        (item,) = again(run, hangar)
        assert item["state"] == "past-due"
        assert "stacks" in run(hangar, "plan", "oil", "--until", "2026-11-25", "--json").out

    def test_beside_a_finding_on_a_page(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "start", "stacks", "tach=405.0", *BY, on="2026-11-20").code == 0
        (page,) = (hangar / "records/open").glob("*.md")
        text = page.read_text().replace("[ ]", "[x]")
        line = next(each for each in text.splitlines() if "`stacks`" in each)
        page.write_text(text.replace(line, f"{line}\n  - recheck: 50 h"))
        told = run(hangar, "sign", "--as", ADA, "--ink", "p. 1", on="2026-11-20").out
        assert "says when to look again, and not at what" in told
        more = "\n  - found: F1 crack, 3 mm\n    - fix: by 2027-09-01\n    - may wait because: it does not grow"
        page.write_text(text.replace(line, f"{line}{more}\n    - recheck: in 50 h"))
        assert run(hangar, "sign", "--as", ADA, "--ink", "p. 1", typed=(ADA,), on="2026-11-20").code == 0
        (item,) = again(run, hangar)
        assert (item["check"], item["due"]["total"]) == ("stacks/recheck", 710.5)
        # Cleared, it stands until somebody has looked: at whether the weld holds.
        name = last(hangar).name
        assert run(hangar, "finding", f"{name}#F1", "--cleared", "welded", *BY, on="2026-11-21").code == 0
        assert [item["check"] for item in again(run, hangar)] == ["stacks/recheck"]
        assert run(hangar, "work", "stacks", "tach=410.0", "--yes", *BY, on="2026-11-22").code == 0
        assert again(run, hangar) == []

    def test_a_finding_from_the_shell(self, run: Run, hangar: Path) -> None:
        wait = ("--fix", "by 2027-09-01", "--reason", "small", "--recheck", "10 h")
        assert run(hangar, "finding", "stacks", "crack", *wait, *BY, on="2026-11-20").code == 0
        assert [item["check"] for item in again(run, hangar)] == ["stacks/recheck"]
        on_a_panel = lambda: run(hangar, "finding", "cowl", "dent", *wait, *BY, on="2026-11-20")  # noqa: E731
        refused(run, hangar, on_a_panel, "`cowl` is no check, which could be done again")

    @pytest.mark.parametrize(
        "asking",
        [
            ("finding", "stacks", "crack", "--fix", "by 2027-09-01", "--reason", "small", "--recheck", "10 h"),
            ("work", "stacks", "--text", "hairline", "--recheck", "stacks=25 h"),
        ],
    )
    def test_done_on_the_day_on_which_it_was_asked_for_it_stands_until_somebody_says_after(
        self, run: Run, hangar: Path, asking: tuple[str, ...]
    ) -> None:
        """It may be the very look that found it, written down after it."""
        assert run(hangar, *asking, *BY, on="2026-11-20").code == 0
        (first,) = (each.stem for each in hangar.glob("records/2026/2026-11-20-*.yaml"))
        same = ("work", "stacks", "--text", "looked once more", *BY)
        said = run(hangar, *same, on="2026-11-20")
        assert said.code == 0
        assert f"`stacks` is still to be looked at again, as {first}" in said.err
        assert f"with --follows {first}" in said.err
        assert [item["check"] for item in again(run, hangar)] == ["stacks/recheck"]
        assert run(hangar, "withdraw", Path(said.out.splitlines()[0]).stem, "--reason", "anew", *BY).code == 0
        said = run(hangar, *same, "--follows", first, on="2026-11-20")
        assert (said.code, "still to be looked at" in said.err) == (0, False)
        assert again(run, hangar) == []

    def test_it_wants_to_know_at_what(self, run: Run, hangar: Path) -> None:
        bare = lambda: run(hangar, "work", "stacks", *BY, "--recheck", "stacks=50 h", on="2026-11-20")  # noqa: E731
        refused(run, hangar, bare, "say at what to look again")


def test_a_word_where_a_number_is_asked_for_is_a_problem(run: Run, hangar: Path) -> None:
    """Written by hand: it would be in no trend, and no limit would hold it."""
    said = "kind: work\ndate: 2026-10-20\ndid: [compression]\nby: Ada Bellcrank\n"
    path = hangar / "records/2026/2026-10-20-compression-k3f9.yaml"
    path.write_text(f"format: 1\n{said}readings: {{compression: {{cylinder 1: high, cylinder 2: 76 psi}}}}\n")
    told = run(hangar, "verify").err
    assert "readings: cylinder 1 of `compression` is a number of psi, not `high`" in told
    assert told.count("is a number of") == 1


def test_a_repair_begins_a_new_series(run: Run, hangar: Path) -> None:
    for day, tach, value, more in (
        ("01", "401.0", "70", ()),
        ("05", "402.0", "66", ()),
        ("10", "403.0", "76", ("--repaired", "cylinder 1", "--text", "valve lapped")),
        ("15", "404.0", "75", ()),
    ):
        both = read(f"cylinder 1={value}", "cylinder 2=75")
        done = run(hangar, "work", "compression", f"tach={tach}", *BY, *both, *more, on=f"2026-10-{day}")
        assert done.code == 0, done.err
    found = {each["trend"]: each for each in json.loads(run(hangar, "trend", "--json").out)["trends"]}
    assert [each["value"] for each in found["compression/cylinder-1"]["values"]] == [76, 75]
    assert [each["value"] for each in found["compression/cylinder-2"]["values"]] == [75] * 4
    wrong = lambda: run(hangar, "work", "compression", *BY, "--repaired", "cylinder 7", on="2026-11-20")  # noqa: E731
    refused(run, hangar, wrong, "--repaired: nothing asks for `cylinder 7`")
