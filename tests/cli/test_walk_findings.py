"""Findings in the walk: those from before, and those raised and corrected here."""

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit.cli import walk_findings
from inspect_kit.cli.sheets import page_faults
from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing
from inspect_kit.inspection.signing import Request
from inspect_kit.inspection.walk import waits_as_it_is
from inspect_kit.model.finding import Fix
from inspect_kit.store import load
from tests.cli.hand import Hand, Line, typed
from tests.cli.walk_store import ADA, PAGE, page, said, walk, walk_store

Out = pytest.CaptureFixture[str]


class TestFindingsFromBefore:
    def test_one_whose_limit_is_this_inspection_may_not_wait(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "F2", "F1")
        walk(root, Hand(typed("wl")))
        first, _, second = capsys.readouterr().out.partition("2/2")
        assert "looked at, waits" not in first
        assert "`w` is none of them" in first
        assert "w looked at, waits" in second

    @pytest.mark.parametrize("on", [dt.date(2026, 11, 25), dt.date(2027, 3, 31), dt.date(2027, 4, 1)])
    @pytest.mark.parametrize(
        "fix",
        [
            Fix(),
            Fix(at_inspection="condition"),
            Fix(at_inspection="annual"),
            Fix(by_date=dt.date(2027, 3, 31)),
            Fix(by_total=Decimal("560.0")),
            Fix(by_total=Decimal("559.9")),
            Fix(by_total=Decimal("600.0"), meter="tach"),
        ],
        ids=str,
    )
    @pytest.mark.parametrize("why", ["", "light"])
    def test_waiting_is_offered_where_sign_would_let_it_stand(
        self, tmp_path: Path, fix: Fix, on: dt.date, why: str
    ) -> None:
        """The two rooms that judge it agree; the facts are those of `sign`."""
        root = walk_store(tmp_path, "F1")
        record = root / "records/2025/2025-11-22-condition-last.yaml"
        waits = f", may wait because: {why}" if why else ""
        told = f"F1: {{check: shell, found: crack 10 mm, fix: {fix}{waits}}}"
        text = record.read_text().replace(
            "F1: {check: shell, found: crack 10 mm, fix: by 2027-03-31, may wait because: stop-drilled}", told
        )
        record.write_text(text)
        (root / PAGE).write_text((root / PAGE).read_text().replace("- [ ]", "- [x]"))
        logbook = load(root).logbook
        assert logbook is not None
        sheet = page(root)
        request = Request(
            logbook=logbook, page=sheet, signer=logbook.aircraft.person(ADA), on=on, last_totals={}, offsets={}
        )
        refused = any(gap.about == sheet.entries[0].id for gap in missing(request))
        finding = logbook.findings()[sheet.entries[0].id]
        assert waits_as_it_is(finding, "condition", on, request.totals(), "tach") is not refused

    def test_corrected_and_put_off_again(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "F1", "F2")
        sheet = walk(root, Hand(["c", Line("fairing replaced"), "p", "2", Line("2027-06-30"), Line("light still")]))
        one, two = sheet.entries
        assert one.cleared is not None
        assert (one.ticked, one.cleared.text, one.cleared.by) == (True, "fairing replaced", ADA)
        assert (two.ticked, str(two.fix), two.may_wait) == (True, "by 2027-06-30", "light still")

    def test_put_off_to_a_day_that_is_past_is_refused(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "F2")
        sheet = walk(root, Hand(["p", "2", Line("2026-01-31"), "b"]))
        assert (sheet.entries[0].ticked, sheet.entries[0].fix) == (False, None)

    @pytest.mark.parametrize("hours", ["60", "559.9"])
    def test_put_off_to_hours_that_are_past_is_refused(self, tmp_path: Path, capsys: Out, hours: str) -> None:
        """Sixty hours from now is what somebody means who types 60 where a total is asked."""
        root = walk_store(tmp_path, "F2")
        sheet = walk(root, Hand(["p", "3", Line(hours), "b"]))
        assert (sheet.entries[0].ticked, sheet.entries[0].fix) == (False, None)
        told = said(capsys)
        assert "By which total time in hours (now 560.0 h)?" in told
        assert f"{hours} h is past: the total of tach is 560.0 h." in told


class TestFindingsRaisedHere:
    def test_before_flight_by_one_key(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stacks")
        sheet = walk(root, Hand(["f", Line("crack, 8 mm"), "1", "o", "l"]))
        (finding,) = sheet.entries[0].findings
        assert (finding.id, finding.text, finding.before_flight) == ("F1", "crack, 8 mm", True)
        assert sheet.entries[0].ticked

    @pytest.mark.parametrize(
        ("does", "fix"),
        [
            (["2", Line("2027-01-31")], "by 2027-01-31"),
            (["2", Line("by 2027-01-31")], "by 2027-01-31"),
            (["2", Line("31 January 2027")], "by 2027-01-31"),
            (["3", Line("600.0")], "by 600.0 h"),
            (["4"], "at next condition inspection"),
            (["2", Line("1.2.2027"), "3", Line("600.0")], "by 600.0 h"),
        ],
    )
    def test_that_may_wait_says_until_when_and_why(self, tmp_path: Path, does: list[str], fix: str) -> None:
        root = walk_store(tmp_path, "stacks")
        sheet = walk(root, Hand(["f", Line("rust"), *does, Line("light")]))
        (finding,) = sheet.entries[0].findings
        assert (str(finding.fix), finding.may_wait) == (fix, "light")

    @pytest.mark.parametrize("then", [[], ["2"], ["2", Line("2027-01-31")], ["w"]])
    def test_what_was_found_stands_though_the_walk_ends_at_the_next_question(
        self, tmp_path: Path, then: list[str]
    ) -> None:
        """A terminal that is closed; and until somebody says more it is before flight."""
        root = walk_store(tmp_path, "stacks")
        sheet = walk(root, Hand(["f", Line("crack, 8 mm"), *then]))
        (finding,) = sheet.entries[0].findings
        assert (finding.text, finding.before_flight) == ("crack, 8 mm", True)

    def test_it_is_on_the_page_before_the_next_question_is_asked(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Ctrl-C, a closed terminal and a signal end the walk without another word."""
        root = walk_store(tmp_path, "stacks")

        def interrupted(*_: object) -> None:
            raise KeyboardInterrupt

        monkeypatch.setattr(walk_findings, "_limit", interrupted)
        with pytest.raises(KeyboardInterrupt):
            walk(root, Hand(["f", Line("crack, 8 mm")]))
        (finding,) = page(root).entries[0].findings
        assert (finding.text, finding.before_flight) == ("crack, 8 mm", True)

    def test_that_waits_for_a_part(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stacks")
        sheet = walk(root, Hand(["f", Line("crack"), "w", Line("stack, ordered 2026-11-22"), "1"]))
        assert sheet.entries[0].findings[0].waiting == "stack, ordered 2026-11-22"

    def test_can_be_corrected_at_their_box_and_measured_again(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        does = ["o", Line("54"), "f", Line("valve leaks"), "1", Line("77"), Line("valve")]
        does += ["g", Line("compression"), "c", Line("valve lapped"), "m", Line("72")]
        sheet = walk(root, Hand(does))
        (finding,) = sheet.entries[0].findings
        assert finding.cleared is not None
        assert (finding.cleared.date, finding.cleared.text) == (dt.date(2026, 11, 25), "valve lapped")
        assert (sheet.entries[0].readings[0].value, sheet.entries[0].readings[0].again) == ("54", ("72 psi",))

    def test_are_asked_for_when_all_boxes_are_settled(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "stacks")
        sheet = walk(root, Hand(["f", Line("crack"), "1", "o", "c", Line("welded")]))
        assert sheet.entries[0].findings[0].cleared is not None
        root = walk_store(tmp_path, "stacks")
        walk(root, Hand(["f", Line("crack"), "1", "o", "l"]))
        assert "Open: F1 crack (stacks, fix before flight)" in said(capsys)

    def test_nothing_is_written_of_one_that_says_nothing(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stacks")
        sheet = walk(root, Hand(["f", Line(""), "f", Line("____"), "f", Line("crack"), "b"]))
        assert sheet.entries[0].findings == ()


def test_an_answer_is_checked_alone(tmp_path: Path) -> None:
    """By its own page: what it would newly contradict is not written; what stood there before keeps nobody."""
    root = walk_store(tmp_path, "F1")
    sheet = page(root)
    logbook = load(root).logbook
    assert logbook is not None
    opened = edit.OpenPage((root / PAGE).read_text(encoding="utf-8"), sheet)
    name = sheet.entries[0].id
    (fault,) = page_faults(logbook, opened, edit.put_off(opened, name, "at next annual inspection", "light"))
    assert "no inspection is called `annual`" in fault
    assert page_faults(logbook, opened, edit.put_off(opened, name, "at next condition inspection", "light")) == ()
