"""`amend`, `attach` and `withdraw`: put right beside what was written; no record that stands is ever changed."""

import csv
import datetime as dt
import hashlib
import json
import re
import shlex
import shutil
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from inspect_kit import store
from inspect_kit.balance import empty_weight
from inspect_kit.cli.records_named import is_part
from inspect_kit.due import due, standing_changes
from inspect_kit.due.shelf import shelf
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.search import Search
from inspect_kit.model.revisions import newest_decision
from inspect_kit.model.settings import settings_of
from inspect_kit.report import parts_used
from tests.cli.conftest import Run, entered
from tests.cli.test_sealing import ADA, Page, bytes_of, change, page, refused, sign

__all__ = ["page"]

WHO = ("--by", ADA)


@pytest.fixture
def sealed(run: Run, hangar: Path, page: Page) -> Path:
    """A condition inspection signed with tach 495.9 for 405.9."""
    page("condition", "tach=495.9", "--yes")
    # The reading is asked back once more before it is sealed.
    signed = run(hangar, "sign", "--as", ADA, "--ink", "log p. 3", typed=("yes", ADA), on="2026-11-22")
    assert signed.code == 0
    (record,) = hangar.glob("records/2026/*condition*.yaml")
    return record


class TestWhileItWaits:
    """Until an amendment of a sealed record is signed whichever of old and new makes an item due sooner counts."""

    @pytest.mark.parametrize("signed", [False, True])
    @pytest.mark.parametrize(
        ("moved", "was", "now"),
        [("2026-10-15", "2027-01-20", "2027-02-15"), ("2026-09-10", "2027-01-20", "2027-01-10")],
    )
    def test_in_the_months_ahead(
        self, run: Run, hangar: Path, page: Page, moved: str, was: str, now: str, signed: bool
    ) -> None:
        """Oil every 4 months, changed on 2026-09-20."""
        page("oil", "tach=405.0", on="2026-09-20")
        assert sign(run, hangar, on="2026-09-20").code == 0
        name = next(hangar.glob("records/2026/2026-09-20-*.yaml")).stem
        words = ("amend", name, f"date={moved}", "--reason", "that day", *WHO, "--yes")
        assert run(hangar, *words, on="2026-11-20").code == 0
        amendment = next(hangar.glob("records/2026/2026-11-20-amendment-*.yaml")).stem
        if signed:
            assert run(hangar, "signature", amendment, "--ink", "log p. 4", "--as", ADA, on="2026-11-21").code == 0
        visits = json.loads(run(hangar, "visits", "--json").out)["visits"]
        on, due = next((each["on"], item["due"]) for each in visits for item in each["items"] if item["item"] == "oil")
        told = json.loads(run(hangar, "due", "oil", "--json").out)["items"]
        assert due == (now if signed else min(was, now))
        assert [each["due"]["date"] for each in told if each["check"] == "oil"] == [due]
        assert on <= due

    def test_in_the_months_ahead_by_hours(self, run: Run, hangar: Path, page: Page) -> None:
        """Due at 710.5, which is reached by the page as it was sealed; as amended 45 h are left."""
        assert run(hangar, "work", "oil", "tach=405.0", "--used", "none", *WHO, on="2026-09-10").code == 0
        page("elt", "tach=455.0", "--yes", on="2026-11-20")
        assert run(hangar, "sign", "--as", ADA, typed=(ADA,), on="2026-11-20").code == 0
        name = next(hangar.glob("records/2026/2026-11-20-*.yaml")).stem
        words = ("amend", name, "tach=410.0", "--reason", "a slip", *WHO, "--yes")
        assert run(hangar, *words, on="2026-11-21").code == 0
        visits = json.loads(run(hangar, "visits", "--json").out)["visits"]
        first = next(each for each in visits for item in each["items"] if item["item"] == "oil")
        told = json.loads(run(hangar, "due", "oil", "--json").out)["items"]
        assert [each["left"]["amount"] for each in told if each["check"] == "oil"] == [0]
        assert first["on"] == "2026-11-25"


class TestBesideWhatIsQuoted:
    """Wherever the old record is quoted the amendment stands beside it."""

    def test_in_the_history_of_what_was_brought_forward(self, run: Run, hangar: Path) -> None:
        aircraft = hangar / "records/aircraft.yaml"
        change(aircraft, "time-in-service: tach\n", "time-in-service: tach\npositions: {engine: {}}\n")
        past = hangar / "records/2026/2026-09-01-past.yaml"
        past.write_text(past.read_text() + "fitted:\n  engine: {serial: E-1, part: Makers E-4, since-new: 655.5}\n")
        for words, told in (
            (("last.elt.date=2025-12-14",), "elt date 2025-12-14 instead of 2025-12-13"),
            (("fitted.engine.serial=E-2",), "engine serial E-2 instead of E-1"),
            (("--not-done", "oil"), "oil was not done"),
        ):
            assert run(hangar, "amend", "past", *words, "--reason", "read again", *WHO, "--yes").code == 0
            name = told.split()[0]
            shown = " ".join(run(hangar, "history", name, "--all").out.split())
            assert f"amended: {told}" in shown
            assert shown.count("amended:") == 1

    def test_in_the_history_of_a_paper_that_counts_no_more(self, run: Run, hangar: Path) -> None:
        counted = "meters: {tach: 401.0}\ndid: [oil]\n"
        entered(hangar, "2026-09-15-paper-a", f"{PAPER}date: 2026-09-15\n{counted}{BY_ADA}")
        words = ("amend", "paper-a", "--not-done", "oil", "--reason", "another aircraft", *WHO)
        assert run(hangar, *words).code == 0
        shown = " ".join(run(hangar, "history", "oil", "--all").out.split())
        assert "on paper, aircraft log p. 24: inspected" in shown
        assert "amended: oil was not done" in shown

    def test_in_the_table_of_all_records_and_of_settings_and_decisions(self, run: Run, hangar: Path) -> None:
        by = "by: {name: Ada Bellcrank}\n"
        made = "setting: idle\nto: 700 rpm\nbecause: rough\n"
        entered(hangar, "2026-10-01-idle", f"kind: setting\ndate: 2026-10-01\n{made}{by}")
        letter = "number: SL-1\nissuer: X\nsubject: Y\nauthority: letter\non: aircraft\napplies: not decided\n"
        entered(hangar, "2026-10-02-letter", f"kind: directive\ndate: 2026-10-02\n{letter}{by}")
        for name, day in (("idle", "2026-10-03"), ("letter", "2026-10-04")):
            assert run(hangar, "amend", name, f"date={day}", "--reason", "that day", *WHO, "--yes").code == 0
        told = {
            day: f"date {day} instead of {was} (2026-11-25-amendment-"
            for day, was in (("2026-10-03", "2026-10-01"), ("2026-10-04", "2026-10-02"))
        }
        table = run(hangar, "export", "--csv").out
        rows = {row["record"]: row for row in csv.DictReader(table.splitlines())}
        for name, day in (("2026-10-01-idle", "2026-10-03"), ("2026-10-02-letter", "2026-10-04")):
            assert rows[name]["date"] == day
            assert rows[name]["amended"].startswith(told[day])
        assert told["2026-10-04"] in " ".join(run(hangar, "directives").out.split())
        assert run(hangar, "status", "--to", str(hangar.parent / "status.md")).code == 0
        status = (hangar.parent / "status.md").read_text()
        assert [each for each in told.values() if each not in status] == []


class TestPrintedAsItWasWritten:
    """Whatever of a record is amended, what is reckoned on its page is reckoned with it as it was written."""

    @pytest.mark.parametrize("date", ["2026-10-12", "2026-10-18", "2026-09-05"])
    def test_last_time_is_never_the_record_itself(self, run: Run, hangar: Path, date: str) -> None:
        """76 psi on 2026-10-15, 78 the time before: a fall of 2, whatever day that was."""
        for day, value in (("2026-09-10", "78"), ("2026-10-15", "76"), ("2026-10-16", "75")):
            read = ("--read", f"cylinder 1={value}", "--read", "cylinder 2=77")
            assert run(hangar, "work", "compression", *read, *WHO, on=day).code == 0
        name = next(hangar.glob("records/2026/2026-10-15-*.yaml")).stem
        assert run(hangar, "amend", name, f"date={date}", "--reason", "the other day", *WHO, "--yes").code == 0
        told = " ".join(run(hangar, "report", name).out.split())
        assert "last time, 2026-09-10" in told
        assert "cylinder 1 76 psi at least 60 78 psi -2" in told
        assert f"amended: date {date} instead of 2026-10-15" in told.replace("Amended", "amended:")

    def test_the_total_is_that_of_the_reading_beside_it(self, run: Run, hangar: Path) -> None:
        """A total of 414.6 + 255.5."""
        assert run(hangar, "work", "elt", "tach=414.6", *WHO, "--yes", on="2026-10-15").code == 0
        name = next(hangar.glob("records/2026/2026-10-15-*.yaml")).stem
        assert run(hangar, "amend", name, "tach=414.9", "--reason", "a slip", *WHO, "--yes").code == 0
        entry = run(hangar, "report", name, "--entry").out
        assert "Total time in service: 670.1 h (tach reads 414.6)" in entry
        assert "Amended: Tach 414.9 instead of 414.6" in " ".join(entry.replace("│", "").split())
        assert "670.1 h (tach)" in run(hangar, "report", name).out

    @pytest.mark.parametrize("date", ["", "2026-10-20", "2026-10-24"])
    def test_what_it_cleared_is_not_open_at_its_end(self, run: Run, hangar: Path, page: Page, date: str) -> None:
        wait = ("--fix", "by 2027-09-01", "--reason", "small", *WHO)
        for what in ("scratch", "dent"):
            assert run(hangar, "finding", "floor", what, *wait, on="2026-10-12").code == 0
        page("condition", "tach=405.0", on="2026-10-15")
        (name,) = (each.stem for each in hangar.glob("records/2026/*-finding-*.yaml") if "scratch" in each.read_text())
        assert run(hangar, "finding", f"{name}#F1", "--cleared", "polished", *WHO, on="2026-10-22").code == 0
        assert sign(run, hangar, "--ink", "log p. 3", on="2026-10-22").code == 0
        name = next(hangar.glob("records/2026/2026-10-22-condition-*.yaml")).stem
        words = ("amend", name, f"date={date}", "--reason", "the other day", *WHO, "--yes")
        assert not date or run(hangar, *words).code == 0
        told = " ".join(run(hangar, "report", name, "--entry").out.replace("│", "").split())
        assert "Still open: dent (to be corrected by 2027-09-01)" in told
        whole = " ".join(run(hangar, "report", name).out.split())
        corrected, _, still = whole.partition("Earlier findings still open at the end of it")
        assert "dent" in still.partition("Entry for the paper")[0]
        assert "scratch" not in still.partition("Entry for the paper")[0]
        assert "Earlier findings corrected on this occasion" in corrected


PAPER = "kind: paper-entry\nentered: 2026-10-02\ntext: inspected\npaper: aircraft log p. 24\n"
BY_ADA = f"by: {ADA}\n"


class TestThePastAfterASeal:
    """What was brought forward, or typed in from paper, cannot be withdrawn once something was sealed: it is amended,
    whatever it counts for.
    """

    @pytest.fixture
    def typed_in(self, run: Run, hangar: Path, page: Page) -> Path:
        did = "meters: {tach: 401.0}\ndid: [oil]\n"
        entered(hangar, "2026-09-15-paper-a", f"{PAPER}date: 2026-09-15\n{did}{BY_ADA}")
        last = "totals: {tach: 657.0}\nlast: [condition]\n"
        entered(hangar, "2026-09-16-paper-b", f"{PAPER}date: 2026-09-16\n{last}{BY_ADA}")
        page("elt", "tach=405.0", on="2026-10-20")
        assert sign(run, hangar, on="2026-10-20").code == 0
        return hangar

    @staticmethod
    def last(run: Run, root: Path, item: str) -> tuple[str | None, float | None]:
        told = json.loads(run(root, "due", item, "--json").out)
        (found,) = [each for each in told["items"] if each["check"] == item]
        return (found["last"]["date"], found["last"]["total"]) if found["last"] else (None, None)

    @pytest.mark.parametrize(
        ("record", "item", "was", "now"),
        [
            ("2026-09-15-paper-a", "oil", ("2026-09-15", 656.5), ("2026-08-02", 650.0)),
            ("2026-09-16-paper-b", "condition", ("2026-09-16", 657.0), ("2025-12-13", 620.0)),
            ("2026-09-01-past", "oil", ("2026-09-15", 656.5), ("2026-09-15", 656.5)),
        ],
    )
    def test_what_it_counts_for_is_taken_back(
        self, run: Run, typed_in: Path, record: str, item: str, was: tuple[str, float], now: tuple[str, float]
    ) -> None:
        assert self.last(run, typed_in, item) == was
        back = lambda: run(typed_in, "withdraw", record, "--reason", "wrong row", *WHO)  # noqa: E731
        refused(run, typed_in, back, "inspect-kit amend")
        made = run(typed_in, "amend", record, "--not-done", item, "--reason", "wrong row", *WHO)
        assert made.code == 0, made.err
        assert f"{item} was not done" in made.out
        assert self.last(run, typed_in, item) == now
        assert run(typed_in, "verify").code == 0
        again = ("amend", record, "--not-done", "elt" if "past" not in record else "stacks", "--reason", "also", *WHO)
        refused(run, typed_in, lambda: run(typed_in, *again), "does not say that")

    def test_an_inspection_that_never_was_is_taken_back(self, run: Run, typed_in: Path) -> None:
        for record in ("2026-09-01-past", "2026-09-16-paper-b"):
            made = run(typed_in, "amend", record, "--not-done", "condition", "--reason", "it never was", *WHO)
            assert made.code == 0, made.err
        assert self.last(run, typed_in, "condition") == (None, None)
        assert run(typed_in, "verify").code == 0
        told = json.loads(run(typed_in, "due", "--json").out)["stops"]
        assert any("condition" in each["text"] for each in told)

    def test_a_total_on_paper(self, run: Run, typed_in: Path) -> None:
        words = ("amend", "2026-09-16-paper-b", "--reason", "a slip", *WHO, "--yes")
        refused(run, typed_in, lambda: run(typed_in, *words, "totals.tach=900"), "is above the total of 2026-10-20")
        refused(run, typed_in, lambda: run(typed_in, *words, "tach=400"), "says the total of tach, not what it read")
        other = ("amend", "2026-09-15-paper-a", "--reason", "a slip", *WHO, "totals.tach=400")
        refused(run, typed_in, lambda: run(typed_in, *other), "does not say the total of tach")
        assert run(typed_in, *words, "totals.tach=657,5").code == 0
        assert self.last(run, typed_in, "condition") == ("2026-09-16", 657.5)


class TestAmend:
    def test_a_signed_slip_is_put_right_by_commands_alone(self, run: Run, hangar: Path, sealed: Path) -> None:
        before = sealed.read_bytes()
        hours = lambda: run(hangar, "hours", "tach=410.0", on="2026-11-24")  # noqa: E731
        refused(run, hangar, hours, "lower than 495.9", "inspect-kit amend RECORD")
        made = run(hangar, "amend", sealed.stem, "tach=405.9", "--text", "a slip of the pen", *WHO, on="2026-11-23")
        assert made.code == 0, made.err
        name = Path(made.out.splitlines()[0]).stem
        assert "tach 405.9 instead of 495.9" in made.out
        # Whoever said so signs it, where the limitations permit it.
        assert f"inspect-kit --on 2026-11-23 signature {name} --ink REFERENCE. " in made.out
        assert hours().code == 0
        assert run(hangar, "signature", name, "--ink", "log p. 4", on="2026-11-24").code == 0
        assert json.loads(run(hangar, "due", "--json").out)["pending_amendments"] == []
        assert sealed.read_bytes() == before
        assert run(hangar, "verify").code == 0

    def test_one_by_somebody_who_may_not_sign_it_asks_who_does(self, run: Run, hangar: Path, sealed: Path) -> None:
        said = ("--text", "a slip of the pen", "--by", "Bo Cleco")
        made = run(hangar, "amend", sealed.stem, "tach=405.9", *said, on="2026-11-23")
        name = Path(made.out.splitlines()[0]).stem
        refused(run, hangar, lambda: run(hangar, "signature", name, "--ink", "log p. 4", on="2026-11-24"), "not signed")
        assert f"signature {name} --ink REFERENCE --as NAME" in made.out

    def test_what_was_not_given_is_asked(self, run: Run, hangar: Path, sealed: Path) -> None:
        typed = ("405.9", "tack=405.9", "tach=405.9", "date=soon", "date=2026-11-21", "", "a slip of the pen", "1")
        made = run(hangar, "amend", sealed.stem, typed=typed, on="2026-11-23")
        assert made.code == 0, made.err
        told = " ".join(made.err.split())
        assert "expected FIELD=VALUE such as tach=59.9, not `405.9`" in told
        assert "`tack`" in told
        assert "`soon`" in told
        assert "Who says so: 1 Ada Bellcrank, 2 Bo Cleco, or NAME, KIND, NUMBER:" in told
        text = (hangar / made.out.splitlines()[0]).read_text(encoding="utf-8")
        assert "tach: 405.9" in text
        assert "date: 2026-11-21" in text
        assert "a slip of the pen" in text

    def test_of_an_earlier_day_than_one_that_stands_it_would_change_nothing(
        self, run: Run, hangar: Path, sealed: Path
    ) -> None:
        first = run(hangar, "amend", sealed.stem, "tach=405.9", "--text", "a slip of the pen", *WHO, on="2026-11-24")
        name = Path(first.out.splitlines()[0]).stem
        words = ("amend", sealed.stem, "tach=406.9", "--text", "read again", *WHO)
        refused(run, hangar, lambda: run(hangar, *words, on="2026-11-23"), f"{name} of 2026-11-24 corrects the same")

    def test_what_comes_back_with_an_amendment_gone_is_that_of_another(self, run: Run, hangar: Path) -> None:
        """Not the innocent entry that it contradicts is to be taken back first."""
        hours = Path(run(hangar, "hours", "tach=406.0", on="2026-11-18").out.splitlines()[0]).stem
        words = ("amend", hours, "--text", "read wrongly", "--yes", *WHO)
        wrong = Path(run(hangar, *words, "tach=408.0", on="2026-11-19").out.splitlines()[0]).stem
        right = Path(run(hangar, *words, "tach=406.2", on="2026-11-20").out.splitlines()[0]).stem
        assert run(hangar, "hours", "tach=407.0", on="2026-11-21").code == 0
        back = lambda: run(hangar, "withdraw", right, "--text", "not so", *WHO, on="2026-11-22")  # noqa: E731
        refused(run, hangar, back, f"Take back first what rests on it: inspect-kit withdraw {wrong}")

    def test_what_was_there_before_does_not_rest_on_it(self, run: Run, hangar: Path) -> None:
        """With a changed meter gone the reading after it is lower than the one before, on which nothing rests."""
        assert run(hangar, "hours", "tach=406.0", on="2026-11-18").code == 0
        words = ("meter", "tach", "--old", "406.5", "--new", "0", "--unrecorded", "0", "--text", "broke", *WHO)
        changed = Path(run(hangar, *words, on="2026-11-19").out.splitlines()[0]).stem
        after = Path(run(hangar, "hours", "tach=1.2", on="2026-11-20").out.splitlines()[0]).stem
        back = lambda: run(hangar, "withdraw", changed, "--reason", "not so", *WHO, on="2026-11-21")  # noqa: E731
        refused(run, hangar, back, f"Take back first what rests on it: inspect-kit withdraw {after}")

    def test_words_alone_stand_beside_it(self, run: Run, hangar: Path, sealed: Path) -> None:
        made = run(hangar, "amend", sealed.stem, "--text", "The engine was warm", *WHO, on="2026-11-23")
        assert made.code == 0, made.err
        assert "signature" not in made.out
        assert "The engine was warm" in run(hangar, "report", sealed.stem).out

    def test_readings_marks_and_ticks(self, run: Run, hangar: Path, sealed: Path) -> None:
        words = ("reads.compression.cylinder 1=67 psi", "tach=405.9", "date=2026-11-19", "--not-done", "stacks")
        words += ("--text", "a slip", *WHO)
        made = run(hangar, "amend", sealed.stem, *words, on="2026-11-23")
        assert made.code == 0, made.err
        told = " ".join(made.out.split())
        assert "cylinder 1 of compression 67 psi instead of 75 psi" in told
        assert "stacks was not done" in told
        # What was done on a day was not begun after it.
        assert "begun 2026-11-19 instead of 2026-11-2" in told
        assert run(hangar, "verify", on="2026-11-23").code == 0

    @pytest.mark.parametrize(
        ("words", "said"),
        [
            (("statement=airworthy",), "unknown key `statement` in instead"),
            (("tach=about",), "expected a number such as 412.6, not `about`"),
            (("date=last Tuesday",), "expected a date"),
            (("tach=405.9", "tach=405.8"), "`tach` is given twice"),
            (("tach=405.9", "meters=3"), "`meters` is given twice"),
            (("reads=3", "reads.compression.cylinder 1=70"), "`reads` is given twice"),
            (("tach",), "expected FIELD=VALUE such as tach=59.9, not `tach`"),
            (("serial=7",), "`serial` of such a record cannot be replaced"),
            (("tach=395.9",), "lower than 400.0"),
            (("--not-done", "no-such"), "no-such"),
        ],
    )
    def test_what_makes_no_sense_writes_nothing(
        self, run: Run, hangar: Path, sealed: Path, words: tuple[str, ...], said: str
    ) -> None:
        made = []
        amend = lambda: made.append(run(hangar, "amend", sealed.stem, *words, "--text", "a slip", *WHO)) or made[0]  # noqa: E731
        refused(run, hangar, amend, said)
        assert "inspect-kit amend RECORD" not in made[0].err

    def test_nobody_there_to_answer(self, run: Run, hangar: Path, sealed: Path) -> None:
        refused(run, hangar, lambda: run(hangar, "amend", sealed.stem, "tach=405.9"), "give it with --reason")
        refused(run, hangar, lambda: run(hangar, "amend", sealed.stem), "give it with --reason")
        refused(run, hangar, lambda: run(hangar, "amend", "2026-no-such"), "no record is called `2026-no-such`")


    def test_a_reading_below_its_limit_after_all_is_no_matter_of_a_finding_that_was_cleared_well(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        """A year later it is a finding of its own, whatever was cleared with a good reading before."""
        page("condition", "tach=405.0", on="2026-10-01")
        assert run(hangar, "finding", "compression", "leaks", "--by", ADA, on="2026-10-01").code == 0
        assert sign(run, hangar, "--not-passed", on="2026-10-02").code == 0
        well = ("finding", "F1", "--cleared", "lapped", "--by", ADA)
        assert run(hangar, *well, on="2026-10-08").code == 0
        assert sign(run, hangar, on="2026-10-09").code == 0
        # The list of the first time has no signature either, and is not meant.
        assert run(hangar, "signature", "--ink", "log p. 3", on="2026-10-09").code == 0
        page("condition", "tach=405.9")
        assert sign(run, hangar, "--ink", "log p. 4").code == 0
        (record,) = hangar.glob("records/2026/2026-11-2*condition*.yaml")
        words = ("amend", record.stem, "reads.compression.cylinder 1=59 psi", "--text", "read off the sheet", "--yes")
        made = run(hangar, *words, "--found", "compression=leaks again", *WHO, on="2026-11-24")
        assert made.code == 0, made.err
        assert "#F1 is open, to fix before flight: leaks again" in made.out
        assert run(hangar, "verify", on="2026-11-24").code == 0

    def test_a_signature_is_that_of_what_waits_for_it(self, run: Run, hangar: Path, sealed: Path) -> None:
        ink = ("signature", "--ink", "log p. 9")
        refused(run, hangar, lambda: run(hangar, *ink, on="2026-11-24"), "nothing waits for a signature")
        again = lambda: run(hangar, "signature", sealed.stem, *ink[1:], on="2026-11-24")  # noqa: E731
        refused(run, hangar, again, f"{sealed.stem} is signed already, signed in ink by {ADA}, see log p. 3")
        made = run(hangar, "amend", sealed.stem, "tach=405.9", "--text", "a slip of the pen", *WHO, on="2026-11-23")
        name = Path(made.out.splitlines()[0]).stem
        signed = run(hangar, *ink, on="2026-11-24")
        assert (signed.code, f"It signs {name}." in signed.err) == (0, True)
        # Of two that are called so one is signed: the other is meant.
        made = run(hangar, "amend", sealed.stem, "--text", "page 3, not 4", *WHO, on="2026-11-24")
        other = Path(made.out.splitlines()[0]).stem
        signed = run(hangar, "signature", "amendment", *ink[1:], on="2026-11-24")
        assert (signed.code, f"It signs {other}." in signed.err) == (0, True), signed

    def test_of_two_who_sign_one_record_at_once_the_second_is_told_so(
        self, run: Run, hangar: Path, sealed: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        made = run(hangar, "amend", sealed.stem, "tach=405.9", "--text", "a slip of the pen", *WHO, on="2026-11-23")
        name, found = Path(made.out.splitlines()[0]).stem, store.signer_of

        def meanwhile(*words: Any) -> Any:
            monkeypatch.setattr(store, "signer_of", found)
            assert run(hangar, "signature", name, "--ink", "log p. 4", on="2026-11-24").code == 0
            return found(*words)

        monkeypatch.setattr(store, "signer_of", meanwhile)
        outcome = run(hangar, "signature", name, "--ink", "log p. 5", on="2026-11-24")
        assert (outcome.code, f"{name} is signed already" in outcome.err) == (1, True), outcome
        assert len([*hangar.glob("records/2026/2026-11-24-*.yaml")]) == 1


    def test_what_was_taken_back_is_made_good_on_the_same_day_at_the_same_reading(
        self, run: Run, hangar: Path, sealed: Path
    ) -> None:
        made = run(hangar, "amend", sealed.stem, "--not-done", "stacks", "--text", "a slip", *WHO, on="2026-11-22")
        name = Path(made.out.splitlines()[0]).stem
        assert run(hangar, "signature", name, "--ink", "log p. 4", on="2026-11-22").code == 0

        def counted() -> bool:
            items = json.loads(run(hangar, "due", "--json").out)["items"]
            (item,) = (each for each in items if each["check"] == "condition")
            return bool(item["last"] and item["last"]["date"] == "2026-11-22")

        assert not counted()
        done = run(hangar, "work", "stacks", "tach=495.9", *WHO, on="2026-11-22")
        assert done.code == 0, done.err
        assert f"follows:\n  - {sealed.stem}\n" in (hangar / done.out.splitlines()[0]).read_text()
        assert counted()


class TestWhatItPutsRight:
    """A reading that fell since: an amendment, or a withdrawal, of the slip before it leaves nothing to be told."""

    @pytest.fixture
    def fallen(self, hangar: Path) -> Path:
        entered(hangar, "2026-11-08-slip", "kind: hours\ndate: 2026-11-08\nmeters: {tach: 416.0}\n")
        entered(hangar, "2026-11-09-after", "kind: hours\ndate: 2026-11-09\nmeters: {tach: 407.0}\n")
        return hangar

    @pytest.mark.parametrize("words", [("amend", "2026-11-08-slip", "tach=406.0"), ("withdraw", "2026-11-08-slip")])
    @pytest.mark.parametrize("more", [False, True])
    def test_what_is_whole_again_is_said_and_is_no_failure(
        self, run: Run, fallen: Path, words: tuple[str, ...], more: bool
    ) -> None:
        if more:
            entered(fallen, "2026-11-10-other", "kind: hours\ndate: 2026-11-10\nmeters: {tach: 9.0}\n")
        assert run(fallen, "verify", on="2026-11-22").code == 3
        made = run(fallen, *words, "--reason", "416 was a slip for 406", *WHO, on="2026-11-22")
        said = "records/2026/2026-11-09-after.yaml:1: corrected by this, and no problem any more"
        assert (made.code, said in made.err) == (3 if more else 0, True), made
        assert run(fallen, "verify", on="2026-11-22").code == (3 if more else 0)

    def test_what_writes_something_else_puts_nothing_right(self, run: Run, fallen: Path) -> None:
        made = run(fallen, "work", "--text", "washed", "tach=407.5", *WHO, "--yes", on="2026-11-22")
        assert (made.code, "corrected by this" in made.err) == (3, False)


class TestASlipOfTheFinger:
    """A reading many times the usual use above the last is asked back, whichever command writes it down."""

    def test_in_an_amendment(self, run: Run, hangar: Path, sealed: Path) -> None:
        words = ("amend", sealed.stem, "tach=805.9", "--text", "a slip", *WHO)
        refused(run, hangar, lambda: run(hangar, *words, on="2026-11-23"), "tach 805.9 is 405.9 h more than 400.0")
        assert run(hangar, *words, typed=("y",), on="2026-11-23").code == 0

    def test_as_the_last_reading_of_a_meter_that_was_changed(self, run: Run, hangar: Path) -> None:
        words = ("meter", "tach", "--old", "804.0", "--new", "0", "--unrecorded", "0")
        refused(run, hangar, lambda: run(hangar, *words), "tach 804.0 is 404.0 h more than 400.0")
        assert run(hangar, *words, "--yes").code == 0


    def test_as_what_it_read_last_by_an_amendment(self, run: Run, hangar: Path) -> None:
        words = ("meter", "tach", "--old", "404.0", "--new", "0", "--unrecorded", "0")
        changed = Path(run(hangar, *words, on="2026-11-20").out.strip()).stem
        asked = run(hangar, "amend", changed, "old=804.0", "--text", "misread", *WHO, typed=("no",))
        assert asked.code == 2
        assert "tach 804.0 is 404.0 h more than 400.0" in asked.err
        # What the new meter has read since, on that same day, says nothing of the old one.
        assert run(hangar, "hours", "tach=1.5", on="2026-11-20").code == 0
        again = run(hangar, "amend", changed, "old=404.5", "--text", "misread", *WHO, on="2026-11-20")
        assert again.code == 0, again.err


class TestAmendedOutOfItsLimit:
    """A passed inspection says 75 psi; it was 57, and the limit is at least 60."""

    WORDS = ("reads.compression.cylinder 1=57 psi", "tach=405.9", "--text", "a slip of the pen", *WHO)

    def test_nothing_is_written_while_nobody_says_what_was_found(self, run: Run, hangar: Path, sealed: Path) -> None:
        told = "compression: cylinder 1 is 57 psi, the limit is at least 60: what was found"
        refused(run, hangar, lambda: run(hangar, "amend", sealed.stem, *self.WORDS), told, "--found compression=WHAT")

    def test_what_was_found_comes_with_it_and_is_a_reason_not_to_fly(
        self, run: Run, hangar: Path, sealed: Path
    ) -> None:
        found = ("--found", "compression=leak past the exhaust valve")
        made = run(hangar, "amend", sealed.stem, *self.WORDS, *found, on="2026-11-23")
        assert made.code == 0, made.err
        assert "57 psi instead of 75 psi, out of its limit, at least 60" in made.out
        assert len([line for line in made.out.splitlines() if line.endswith(".yaml")]) == 2
        assert "leak past the exhaust valve" in run(hangar, "due").out
        assert "out of its limit" in run(hangar, "report", sealed.stem).out
        assert run(hangar, "verify").code == 0

    def test_it_is_asked_at_a_terminal(self, run: Run, hangar: Path, sealed: Path) -> None:
        made = run(hangar, "amend", sealed.stem, *self.WORDS, typed=("leak past the valve",), on="2026-11-23")
        assert made.code == 0, made.err
        assert "leak past the valve" in run(hangar, "due").out

    def test_a_finding_where_nothing_is_out_is_refused(self, run: Run, hangar: Path, sealed: Path) -> None:
        given = ("--text", "a slip", *WHO, "--found", "compression=x")
        words = ("reads.compression.cylinder 1=67 psi", "tach=405.9", *given)
        told = "--found: no reading of `compression` is out of its limit without a finding"
        refused(run, hangar, lambda: run(hangar, "amend", sealed.stem, *words), told)

    def test_a_finding_that_is_there_is_enough(self, run: Run, hangar: Path, sealed: Path) -> None:
        raised = run(hangar, "finding", "compression", "leak past the valve", on="2026-11-24")
        assert raised.code == 0, raised.err
        made = run(hangar, "amend", sealed.stem, *self.WORDS, on="2026-11-24")
        assert made.code == 0, made.err

    def test_written_by_hand_it_is_named_at_the_amendment(self, run: Run, hangar: Path, sealed: Path) -> None:
        entered(
            hangar,
            "2026-11-23-by-hand",
            f"kind: amendment\ndate: 2026-11-23\nof: {sealed.stem}\ntext: a slip\nby: {ADA}\n"
            "instead: {meters: {tach: 405.9}, reads: {compression: {cylinder 1: 57 psi}}}\n",
        )
        told = run(hangar, "verify")
        assert told.code == 3
        assert "2026-11-23-by-hand.yaml:7: readings: cylinder 1 of `compression` is 57" in told.err
        assert "the limit is at least 60, and no finding says so" in told.err


class TestAttach:
    @pytest.fixture
    def photograph(self, tmp_path: Path) -> Path:
        made = tmp_path / "weld 3.jpg"
        made.write_bytes(b"\xff\xd8 a photograph")
        return made

    def test_what_reads_like_a_record_is_given_to_one(
        self, run: Run, hangar: Path, page: Page, tmp_path: Path
    ) -> None:
        """Beside an open page it was copied, and then every command called it a stray record."""
        opened, invoice = page("condition", "tach=402.0"), tmp_path / "invoice.yaml"
        invoice.write_text("format: 1\nkind: hours\ndate: 2026-11-20\n", encoding="utf-8")
        told = "Give it to the record once the page is sealed: inspect-kit attach RECORD invoice.yaml"
        refused(run, hangar, lambda: run(hangar, "attach", opened.stem, str(invoice)), told)

    def test_to_an_open_page_it_is_sealed_with_it(self, run: Run, hangar: Path, page: Page, photograph: Path) -> None:
        opened = page("condition", "tach=402.0")
        made = run(hangar, "attach", opened.stem, str(photograph))
        assert made.out.strip() == f"records/open/{opened.stem}/weld 3.jpg"
        assert sign(run, hangar, "--ink", "log p. 3").code == 0
        (record,) = hangar.glob("records/2026/*condition*.yaml")
        assert hashlib.sha256(photograph.read_bytes()).hexdigest() in record.read_text(encoding="utf-8")
        assert run(hangar, "verify").code == 0

    def test_words_for_an_open_page_are_not_lost(self, run: Run, hangar: Path, page: Page, photograph: Path) -> None:
        opened = page("condition", "tach=402.0")
        for more in (("--text", "cylinder 3, exhaust valve"), ("--by", ADA)):
            words = ("attach", opened.stem, str(photograph), *more)
            refused(run, hangar, lambda words=words: run(hangar, *words), "only files go, and nothing was copied")

    def test_an_open_page_by_a_part_of_its_name(
        self, run: Run, hangar: Path, sealed: Path, page: Page, photograph: Path
    ) -> None:
        opened = page("condition", "tach=496.0", on="2026-11-23")
        made = run(hangar, "attach", opened.stem.removeprefix("2026-"), str(photograph), on="2026-11-23")
        assert made.out.strip() == f"records/open/{opened.stem}/weld 3.jpg"
        told = f"`condition` may be records/open/{opened.name}, or a record"
        refused(run, hangar, lambda: run(hangar, "attach", "condition", str(photograph), on="2026-11-23"), told)

    def test_beside_a_record_it_is_no_correction_of_the_meters_that_it_read(
        self, run: Run, hangar: Path, sealed: Path, photograph: Path
    ) -> None:
        words = ("attach", sealed.stem, str(photograph), "--text", "The weld of it", *WHO)
        assert run(hangar, *words, on="2026-11-23").code == 0
        for shown in (("due",), ("due", "--all"), ("status",)):
            told = run(hangar, *shown, on="2026-11-23").out
            assert ("tach" in told, "The weld" in told) == (True, False)
        # Words that put something right stand there still.
        assert run(hangar, "amend", sealed.stem, "--reason", "tach read in haste", *WHO, on="2026-11-23").code == 0
        assert "tach read in haste" in " ".join(run(hangar, "due", on="2026-11-23").out.split())
        assert "The weld of it" in run(hangar, "report", sealed.stem, on="2026-11-23").out

    def test_beside_a_record_which_stays_as_it_is(
        self, run: Run, hangar: Path, sealed: Path, photograph: Path
    ) -> None:
        before = sealed.read_bytes()
        made = run(hangar, "attach", sealed.stem, str(photograph), "--text", "The weld", *WHO, on="2026-11-23")
        assert made.err.splitlines()[0] == f"Copied beside {sealed.stem}: {photograph.name}"
        assert made.code == 0, made.err
        written = hangar / made.out.strip()
        copy = written.with_suffix("") / "weld 3.jpg"
        assert copy.read_bytes() == photograph.read_bytes()
        assert hashlib.sha256(copy.read_bytes()).hexdigest() in written.read_text(encoding="utf-8")
        assert sealed.read_bytes() == before
        told = " ".join(run(hangar, "report", sealed.stem).out.split())
        assert f"({written.stem}, with weld 3.jpg)" in told.partition("The weld")[2][:90]
        assert run(hangar, "verify").code == 0
        copy.write_bytes(b"another one")
        assert run(hangar, "verify").code == 1

    @pytest.mark.parametrize(
        ("beside", "code", "told"),
        [
            (("WELD 3.JPG",), 1, "WELD 3.JPG: is one name with weld 3.jpg on many disks, which keep one of the two"),
            (("note.txt", "Note.txt"), 1, "note.txt: is one name with Note.txt on many disks"),
            (("other.jpg",), 0, "other.jpg"),
        ],
    )
    def test_one_of_two_that_many_disks_would_keep_as_one_is_a_problem(
        self, run: Run, hangar: Path, sealed: Path, photograph: Path, beside: tuple[str, ...], code: int, told: str
    ) -> None:
        made = run(hangar, "attach", sealed.stem, str(photograph), "--text", "The weld", *WHO)
        folder = (hangar / made.out.strip()).with_suffix("")
        for name in beside:
            (folder / name).write_bytes(b"another")
        if len([*folder.iterdir()]) == 1:
            pytest.skip("this disk tells no capitals apart")
        checked = run(hangar, "verify")
        assert checked.code == code
        assert told in " ".join((checked.err if code else checked.out).split())

    def test_nothing_is_written_where_one_of_them_cannot_be_taken(
        self, run: Run, hangar: Path, sealed: Path, photograph: Path, tmp_path: Path
    ) -> None:
        words = ("attach", sealed.stem, str(photograph), str(tmp_path / "none.jpg"), "--text", "a slip", *WHO)
        refused(run, hangar, lambda: run(hangar, *words), "none.jpg cannot be read")
        other = tmp_path / "other" / photograph.name
        other.parent.mkdir()
        shutil.copy(photograph, other)
        words = ("attach", sealed.stem, str(photograph), str(other), "--text", "a slip", *WHO)
        refused(run, hangar, lambda: run(hangar, *words), "two of these files have one name")


# A kind of which no figure is replaced, what its record says besides, and what is typed where a figure is wrong.
WRITTEN_ANEW = [
    (
        "equipment",
        "item: second radio\nweight: 26 lb\narm: 14.0 in\nchange: in\n",
        "inspect-kit equipment 'second radio' --direction out --weight \"26 lb\" --arm \"14.0 in\" --reason WHY",
    ),
    (
        "weighing",
        "points:\n  - {at: mains, scale: 700 lb, arm: 25 in}\n  - {at: nose, scale: 120 lb, arm: -38 in}\n"
        "datum: wing root\nlevel: cabin floor\nunusable-fuel: in both tanks\noil: full\n",
        "inspect-kit --on 2026-11-21 weighing",
    ),
    (
        "setting",
        "setting: idle-mixture\non: oil\nto: rise of 25 rpm\nbecause: hunting at idle\n",
        "inspect-kit setting idle-mixture --of oil --set-to VALUE --reason WHY, on the same day with --found-at "
        '"rise of 25 rpm"',
    ),
    ("stock", "item: oil filter\namount: 2\nlot: A 1\n", "inspect-kit stock 'oil filter' --amount AMOUNT --lot 'A 1'"),
    (
        "directive",
        "number: SL-12\nissuer: maker\nsubject: cracks\nauthority: maker's letter\non: aircraft\n"
        'applies: "no: other stacks"\n',
        "inspect-kit directive SL-12 --product aircraft",
    ),
    (
        "search",
        "source: public list\nproducts: [aircraft]\n",
        "inspect-kit search 'public list' --product aircraft --results WORDS",
    ),
    (
        "change",
        "what: landing light\nanswer: minor\nasked: nobody\n",
        "inspect-kit change 'landing light' --decides {name} --answer ANSWER --asked WHOM",
    ),
    (
        "phase",
        "during: flight-test\ndemonstrated: {Vx: 64 kt}\n",
        "inspect-kit phase flight-test --during --demonstrated NAME=VALUE",
    ),
    ("work", "did: [oil]\nparts: [2 oil filter]\n", "inspect-kit stock ITEM --amount AMOUNT"),
]
FLOWN = (
    "phases: {flight-test: {hours: 5, demonstrates: [Vx], source: limitations 4, "
    "statement: 'I certify that it was flown, Vx {Vx}.'}}\n"
)


def shown(root: Path) -> dict[str, Any]:
    """What counts of each of these now, as the readers of the records have it."""
    book = store.load(root).logbook
    assert book is not None
    settings = settings_of(book).get(("idle-mixture", "oil"), [])
    empty = empty_weight(book)
    lots = {f"{each.stock.item} {each.stock.lot}".strip(): each.left for each in shelf(book.records, parts_used(book))}
    (phase,) = due(book, dt.date(2026, 11, 25)).no_passengers.phases
    decisions = book.of_kind(Directive)
    return {
        "setting": settings[-1].to if settings else "",
        "weighing": empty.total.weight if empty else None,
        "stock": lots.get("oil filter A 1"),
        "work": lots.get("oil filter"),
        "directive": newest_decision(decisions).applies.word if decisions else "",
        "search": sorted(each.found for each in book.of_kind(Search)),
        "change": [each.asked for each in standing_changes(book)],
        "phase": dict(phase.demonstrated),
    }


# What is typed of the line that was told, with the figures that are right; what counts then.
IS_RIGHT = {
    "weighing": (
        'inspect-kit weighing --scale "mains=690 lb at 25 in" --scale "nose=120 lb at -38 in" --less none --plus none '
        "--datum wing --level floor --unusable-fuel none --oil full",
        810,
    ),
    "setting": ({"VALUE": "'rise of 20 rpm'", "WHY": "'typed wrongly'"}, "rise of 20 rpm"),
    "stock": ({"AMOUNT": "3"}, 3),
    "directive": ({" --product": " --applies 'not decided' --product"}, "not decided"),
    "search": ({"WORDS": "'two letters'"}, ["", "two letters"]),
    "change": ({"ANSWER": "minor", "WHOM": "'the inspector'"}, ["the inspector"]),
    "phase": ({"NAME=VALUE": "'Vx=46 kt'"}, {"Vx": "46 kt"}),
    "work": ({"ITEM": "'oil filter'", "AMOUNT": "4"}, 4),
}


class TestWithdraw:
    def entry(self, run: Run, hangar: Path) -> Path:
        made = run(hangar, "work", "oil", "tach=402.0", *WHO, "--text", "Oil changed", on="2026-11-20")
        assert made.code == 0, made.err
        return hangar / made.out.strip().splitlines()[0]

    @pytest.mark.parametrize("name", ["2026", "records/2026", "2026-09"])
    def test_a_year_alone_names_no_record(self, run: Run, hangar: Path, name: str) -> None:
        """The past that was brought forward is the only record of the year, and it was taken back."""
        said = f"no record is called `{name}`"
        refused(run, hangar, lambda: run(hangar, "withdraw", name, "--text", "a slip", "--by", ADA), said)

    @pytest.mark.parametrize("why", ["n/a", "-", "tbd", "see above"])
    def test_not_for_a_reason_that_is_none(self, run: Run, hangar: Path, why: str) -> None:
        record = self.entry(run, hangar)
        for words in (("withdraw", record.stem), ("amend", record.stem, "tach=401.9")):
            refused(run, hangar, lambda: run(hangar, *words, "--text", why, *WHO), f"--reason: `{why}` says nothing")  # noqa: B023

    def test_it_counts_for_nothing_and_is_kept_whole(self, run: Run, hangar: Path, tmp_path: Path) -> None:
        before = run(hangar, "due", "--json").out
        record = self.entry(run, hangar)
        text = record.read_bytes()
        assert run(hangar, "due", "--json").out != before
        made = run(hangar, "withdraw", record.stem, typed=("entered for another aircraft", ADA))
        assert made.code == 0, made.err
        kept = hangar / made.out.strip()
        assert kept == hangar / "records/withdrawn" / record.name
        assert kept.read_bytes().startswith(text)
        assert not record.exists()
        assert run(hangar, "due", "--json").out == before
        told = [event["what"] for event in json.loads(run(hangar, "history", "oil", "--json").out)["events"]]
        assert any(f"by {ADA}: entered for another aircraft; it said: done: " in each for each in told)
        assert run(hangar, "verify").code == 0
        assert run(hangar, "handover", "--to", str(tmp_path / "sold")).code == 0
        papers = " ".join(path.read_text(encoding="utf-8") for path in (tmp_path / "sold").glob("*.html"))
        assert "entered for another aircraft" in papers

    def test_not_where_it_raised_a_finding_that_stands(self, run: Run, hangar: Path) -> None:
        made = run(hangar, "work", "oil", "tach=402.0", *WHO, "--found", "oil=crack in the sump", on="2026-11-20")
        record = hangar / made.out.strip().splitlines()[0]
        words = ("withdraw", record.stem, "--text", "of another aircraft", "--by", ADA)
        refused(run, hangar, lambda: run(hangar, *words), f"it raised {record.stem}#F1, and a finding is cleared")

    def test_its_photographs_go_with_it(self, run: Run, hangar: Path) -> None:
        record = self.entry(run, hangar)
        record.with_suffix("").mkdir()
        (record.with_suffix("") / "a.jpg").write_bytes(b"a")
        assert run(hangar, "withdraw", record.stem, "--text", "a slip", *WHO).code == 0
        assert (hangar / "records/withdrawn" / record.stem / "a.jpg").read_bytes() == b"a"
        assert not record.with_suffix("").exists()

    def test_not_what_others_rest_on(self, run: Run, hangar: Path, page: Page) -> None:
        record = self.entry(run, hangar)
        way = lambda name: lambda: run(hangar, "withdraw", name, "--text", "a slip", *WHO)  # noqa: E731
        assert run(hangar, "amend", record.stem, "tach=402.5", "--text", "a slip", *WHO).code == 0
        refused(run, hangar, way(record.stem), "it is named in records/", f"inspect-kit amend {record.stem}")
        found = run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-20")
        name = Path(found.out.strip()).stem
        refused(run, hangar, way(name), f'finding {name}#F1 --cleared "raised in error: a slip"')
        out = ("--read", "cylinder 1=7", "--read", "cylinder 2=74", "--found", "compression=low", "--yes")
        made = run(hangar, "work", "compression", "tach=402.0", *out, *WHO, on="2026-11-20")
        name = Path(made.out.split()[0]).stem
        refused(run, hangar, way(name), f'first inspect-kit amend {name} "reads.compression.cylinder 1=VALUE"; then')

    def test_nothing_sealed_no_signature_and_nothing_since_which_was_sealed(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        record = self.entry(run, hangar)
        page("condition", "tach=403.0")
        assert sign(run, hangar, "--ink", "log p. 3").code == 0
        way = lambda name: lambda: run(hangar, "withdraw", name, "--text", "a slip", *WHO)  # noqa: E731
        refused(run, hangar, way(record.stem), "something was sealed since")
        (inspected,) = hangar.glob("records/2026/*condition*.yaml")
        refused(run, hangar, way(inspected.stem), "it is sealed", f"inspect-kit amend {inspected.stem}")
        (signature,) = hangar.glob("records/2026/*signature*.yaml")
        refused(run, hangar, way(signature.stem), "a signature stays")
        # Written by hand, without the seals that it came after: by its day.
        hand = hangar / "records/2026/2026-11-20-by-hand.yaml"
        hand.write_text("format: 1\nkind: work\ndate: 2026-11-20\ntext: Wheels\n", encoding="utf-8")
        refused(run, hangar, way(hand.stem), "something was sealed since")

    @pytest.mark.parametrize(("own", "wrong", "told"), WRITTEN_ANEW, ids=[each[0] for each in WRITTEN_ANEW])
    def test_what_neither_it_nor_amend_puts_right_says_what_does(
        self, run: Run, hangar: Path, page: Page, own: str, wrong: str, told: str
    ) -> None:
        """`withdraw` sent to `amend`, and `amend` to words alone, which no arithmetic follows."""
        name = self.wrong(run, hangar, page, own, wrong)
        told = told.format(name=name)
        refused(run, hangar, lambda: run(hangar, "withdraw", name, "--text", "a slip", *WHO), "sealed since", told)
        refused(run, hangar, lambda: run(hangar, "amend", name, "weight=2", "--text", "a slip", *WHO), told)

    def wrong(self, run: Run, hangar: Path, page: Page, own: str, wrong: str) -> str:
        """A record of this kind since which something was sealed, by its name."""
        change(hangar / "records/aircraft.yaml", "inspections:", f"{FLOWN}inspections:")
        before = "kind: stock\ndate: 2026-11-19\nitem: oil filter\namount: 5\n"
        entered(hangar, "2026-11-19-filters", before)
        entered(hangar, "2026-11-19-begun", f"kind: phase\ndate: 2026-11-19\nopens: flight-test\nby: {ADA}\n")
        name = f"2026-11-20-{own}-k3f9"
        entered(hangar, name, f"kind: {own}\ndate: 2026-11-20\nby: {ADA}\n{wrong}")
        page("oil", "tach=403.0")
        assert sign(run, hangar).code == 0
        assert run(hangar, "verify").code == 0
        return name

    @pytest.mark.parametrize("on", ["2026-11-20", "2026-11-23"])
    @pytest.mark.parametrize(("own", "wrong"), [each[:2] for each in WRITTEN_ANEW if each[0] != "equipment"])
    def test_the_line_that_is_told_works(
        self, run: Run, hangar: Path, page: Page, own: str, wrong: str, on: str
    ) -> None:
        name = self.wrong(run, hangar, page, own, wrong)
        before = shown(hangar)
        told = " ".join(run(hangar, "withdraw", name, "--reason", "a slip", *WHO).err.split())
        put, counts = IS_RIGHT[own]
        anew = re.findall(r"[:,] (inspect-kit (?!amend)[^,;]*)", told)[0]
        for word, value in put.items() if isinstance(put, dict) else ():
            anew = anew.replace(word, value)
        anew = anew if isinstance(put, dict) else f"{anew}{put.removeprefix(anew)}"
        if on == "2026-11-20" and (more := re.search(r"on the same day with (.*)$", told)):
            anew = f"{anew} {more[1]}"
        elif on == "2026-11-20" and ("of a later day" in told or own == "weighing"):
            on = "2026-11-21"
        words = [*shlex.split(anew)[1:], *WHO, *(["tach=403.0"] if own in ("weighing", "phase") else [])]
        made = run(hangar, *words, typed=("",) * 12, on=on)
        assert made.code == 0, made.err
        assert run(hangar, "verify").code == 0
        after = shown(hangar)
        assert after[own] == counts
        assert {**after, own: before[own]} == before

    def test_what_was_on_the_scales_since_is_not_taken_back(self, run: Run, hangar: Path, page: Page) -> None:
        """Out and in again it would count, though the scales had it whatever its record says."""
        points = {own: wrong for own, wrong, _ in WRITTEN_ANEW}["weighing"]
        entered(hangar, "2026-11-21-scales", f"kind: weighing\ndate: 2026-11-21\nby: {ADA}\n{points}")
        name = self.wrong(run, hangar, page, "equipment", WRITTEN_ANEW[0][1])
        told = run(hangar, "withdraw", name, "--reason", "a slip", *WHO).err
        assert "it was on the scales of 2026-11-21-scales, and its figures count no more" in told
        assert "--direction" not in told

    def test_that_a_fitting_changed_something_after_all_is_told_as_it_says(
        self, run: Run, hangar: Path, page: Page
    ) -> None:
        change(hangar / "records/aircraft.yaml", "inspections:", "positions: {left: {}}\ninspections:")
        fitted = "kind: installed\ndate: 2026-11-19\nposition: left\nserial: P1\n"
        entered(hangar, "2026-11-19-left", fitted)
        name = self.wrong(run, hangar, page, "equipment", "no change: same weight\ncame-with: [2026-11-19-left]\n")
        told = " ".join(run(hangar, "withdraw", name, "--reason", "a slip", *WHO).err.split())
        (line,) = re.findall(r"if the weight changed after all: inspect-kit (.*)", told)
        for word, value in {"ITEM": "magneto", "in|out": "in", "WEIGHT": "'2 lb'", "ARM": "'-10 in'"}.items():
            line = line.replace(word, value)
        made = run(hangar, *shlex.split(line), *WHO)
        assert made.code == 0, made.err
        assert "came-with:\n  - 2026-11-19-left\n" in (hangar / made.out.strip()).read_text(encoding="utf-8")
        assert run(hangar, "verify").code == 0

    def test_what_was_filled_up_is_amended(self, run: Run, hangar: Path, page: Page) -> None:
        made = run(hangar, "hours", "tach=402.0", "--added", "oil=6 qt", *WHO, "--yes", on="2026-11-20")
        name = Path(made.out.split()[0]).stem
        page("oil", "tach=403.0")
        assert sign(run, hangar).code == 0
        amend = lambda word: run(hangar, "amend", name, word, "--reason", "a slip", *WHO)  # noqa: E731
        refused(run, hangar, lambda: run(hangar, "withdraw", name, "--text", "a slip", *WHO), f"amend {name}")
        refused(run, hangar, lambda: amend("added.oil=none"), "`none` is no amount with its measure")
        refused(run, hangar, lambda: amend("added.fuel=1 qt"), f"{name} does not say that `fuel` was added")
        refused(run, hangar, lambda: amend("oil=1 qt"), '"added.WHAT=AMOUNT"')
        done = amend("added.oil=0.6 qt")
        assert (done.code, "added oil 0.6 qt instead of 6 qt" in done.out + done.err) == (0, True), done
        loaded = store.load(hangar).logbook
        assert loaded is not None
        (hours,) = [each for each in loaded.of_kind(Hours) if each.name == name]
        assert hours.added == {"oil": "0.6 qt"}
        assert run(hangar, "verify").code == 0

    def test_equipment_goes_out_and_in_again_as_it_is_told(self, run: Run, hangar: Path, page: Page) -> None:
        path = hangar / "records/2026/2026-11-20-radio-k3f9.yaml"
        text = f"format: 1\nkind: equipment\ndate: 2026-11-20\nby: {ADA}\n{WRITTEN_ANEW[0][1]}"
        path.write_text(text, encoding="utf-8")
        page("condition", "tach=403.0")
        assert sign(run, hangar, "--ink", "log p. 3").code == 0
        told = run(hangar, "withdraw", path.stem, "--text", "a slip", *WHO).err
        (back,) = re.findall(r"take it back, inspect-kit (.*? --reason WHY),", " ".join(told.split()))
        back = back.replace("WHY", "'26 was a slip'")
        assert run(hangar, *shlex.split(back), "--came-with", "", *WHO).code == 0
        anew = back.replace("--direction out", "--direction in").replace("26 lb", "2.6 lb", 1)
        assert run(hangar, *shlex.split(anew), "--came-with", "", *WHO).code == 0
        assert run(hangar, "verify").code == 0
        loaded = store.load(hangar).logbook
        assert loaded is not None
        moved = [(each.change, each.weight.amount) for each in loaded.of_kind(Equipment) if each.weight]
        assert sum(weight if change == "in" else -weight for change, weight in moved) == Decimal("2.6")

    def test_written_by_hand_and_without_an_end_of_its_last_line(self, run: Run, hangar: Path) -> None:
        hand = hangar / "records/2026/2026-11-20-by-hand.yaml"
        hand.write_bytes(b"format: 1\r\nkind: work\r\ndate: 2026-11-20\r\ntext: Wheels")
        made = run(hangar, "withdraw", hand.stem, "--text", "a slip", *WHO)
        assert made.code == 0, made.err
        assert (hangar / made.out.strip()).read_bytes().startswith(b"format: 1\r\nkind: work\r\n")
        assert run(hangar, "verify").code == 0

    def test_not_what_would_leave_a_problem(self, run: Run, hangar: Path) -> None:
        """A part that went in and came out: without the first the second is a problem."""
        text = (hangar / "records/aircraft.yaml").read_text(encoding="utf-8")
        (hangar / "records/aircraft.yaml").write_text(text + "positions: {left: {}}\n", encoding="utf-8")
        for day, kind in (("18", "installed"), ("19", "removed")):
            (hangar / f"records/2026/2026-11-{day}-left.yaml").write_text(
                f"format: 1\nkind: {kind}\ndate: 2026-11-{day}\nposition: left\nserial: P1\n", encoding="utf-8"
            )
        assert run(hangar, "verify").code == 0
        way = lambda: run(hangar, "withdraw", "2026-11-18-left", "--text", "a slip", *WHO)  # noqa: E731
        refused(run, hangar, way, "is not withdrawn, because of")

    def test_killed_half_way_it_counts_still_is_named_and_can_be_ended(self, run: Run, hangar: Path) -> None:
        record = self.entry(run, hangar)
        text = record.read_bytes()
        assert run(hangar, "withdraw", record.stem, "--text", "a slip", *WHO).code == 0
        record.write_bytes(text)
        checked = run(hangar, "verify")
        assert "stands here still: withdraw it once more" in checked.err
        run(hangar, "withdraw", record.stem, "--text", "again", *WHO)
        assert not record.exists()
        assert run(hangar, "verify").code == 0

    @pytest.mark.parametrize(
        ("old", "new", "said"),
        [
            ("withdrawn:", "withdrwan:", "unknown key `withdrwan`"),
            ("  reason: a slip\n", "", "withdrawn.reason is missing"),
            ("  date: 2026", "  date: 20x6", "withdrawn.date: expected a date"),
            (f"  by: {ADA}\n", f"  by: {ADA}\n  until: then\n", "unknown key `until`"),
        ],
    )
    def test_a_withdrawal_that_cannot_be_read_is_a_problem_with_its_line(
        self, run: Run, hangar: Path, old: str, new: str, said: str
    ) -> None:
        record = self.entry(run, hangar)
        kept = hangar / run(hangar, "withdraw", record.stem, "--text", "a slip", *WHO).out.strip()
        change(kept, old, new)
        found = run(hangar, "verify")
        assert found.code == 3
        assert f"records/withdrawn/{kept.name}:" in found.err
        assert said in found.err
        assert bytes_of(hangar)


@pytest.mark.parametrize(
    ("check", "told"),
    [
        ("elt", "next: `elt` does not count as marked on a part (`every: as marked`)"),
        ("stacks", "next: 2026-11-20-elt does not say that `stacks` was done"),
    ],
)
def test_a_date_that_nobody_would_ask_for_is_not_written(run: Run, hangar: Path, check: str, told: str) -> None:
    """It would stand in the record as the next date, and count for nothing."""
    entered(hangar, "2026-11-20-elt", "kind: work\ndate: 2026-11-20\nmeters: {tach: 401.0}\ndid: [elt]\ntext: done\n")
    words = ("amend", "2026-11-20-elt", f"next.{check}=2199-01-01", "--text", "a slip", *WHO)
    refused(run, hangar, lambda: run(hangar, *words), told)


def test_a_code_of_digits_names_its_record_and_a_year_none() -> None:
    """`its last part is enough` was said of a record whose code `8637` named nothing."""
    assert is_part("8637", "2025-04-06-condition-8637")
    assert not is_part("2025", "2025-04-06-condition-8637")
    assert not is_part("2025", "2025-04-06-condition-k3f9")


def test_what_cannot_be_withdrawn_is_told_before_anything_is_asked(run: Run, hangar: Path, sealed: Path) -> None:
    told = run(hangar, "withdraw", sealed.stem)
    assert (told.code, "Why is it withdrawn" in told.err, "it is sealed" in told.err) == (1, False, True), told


def test_what_is_to_be_withdrawn_is_shown_first(run: Run, hangar: Path) -> None:
    name = Path(run(hangar, "hours", "tach=405.9").out.strip()).stem
    said = run(hangar, "withdraw", "hours", typed=("mistyped", "1")).err
    assert f"{name} says: tach 405.9" in said.partition("Why is it withdrawn")[0], said


def test_where_nothing_waits_for_a_signature_no_page_is_asked_for(run: Run, hangar: Path) -> None:
    """It asked for the page, refused, and then asked for the page once more, for ever."""
    refused = run(hangar, "signature", typed=("log p. 4", "log p. 5"), on="2026-11-24")
    assert refused.code == 2
    assert "nothing waits for a signature" in refused.err
    assert "Where it is signed" not in refused.out + refused.err


def test_words_that_only_one_record_says_name_it(run: Run, hangar: Path) -> None:
    tail = "tail wheel tyre replaced, and its tube, at the workshop of the neighbouring field"
    made = [
        run(hangar, "work", "--text", text, "--by", ADA, "tach=401.0", on="2026-11-20").out.split()[0]
        for text in (tail, "main wheel tyre replaced")
    ]
    several = run(hangar, "withdraw", "tyre")
    assert (several.code, "`tyre` may be one of 2 records" in several.err) == (2, True), several.err
    assert "no record is called `tail propeller`" in run(hangar, "withdraw", "tail propeller").err
    done = run(hangar, "withdraw", "tail", "--reason", "entered for another aircraft", "--by", ADA)
    assert done.out == f"records/withdrawn/{Path(made[0]).name}\n", done.err
    assert f"from now on: tach 401.0; {tail}" in done.err


def test_enter_at_a_question_that_must_be_answered_says_so(run: Run, hangar: Path) -> None:
    """It was asked again without a word, as if the key had not been heard."""
    assert run(hangar, "hours", "tach=405.0", on="2026-11-20").code == 0
    told = run(hangar, "withdraw", "hours", "--by", ADA, typed=("", "typed on the wrong aircraft"), on="2026-11-20")
    assert told.code == 0, told.err
    assert told.err.count("this must be answered") == 1
