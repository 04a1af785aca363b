"""From paper to the page: the right sheet, exceptions by number, each panel's ticks by count, the rest one by one."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.walk_talk import Talk
from inspect_kit.cli.walking import walk_page
from inspect_kit.errors import Misused, Refused
from inspect_kit.inspection.ordered import code_of, sheet_lines
from inspect_kit.model.worksheet import Worksheet
from tests.cli.conftest import Run
from tests.cli.hand import Hand, Line
from tests.cli.walk_store import (
    ADA,
    BO,
    BOXES,
    FRONT,
    PAGE,
    PIP,
    TODAY,
    entry,
    page,
    page_of,
    said,
    ticked,
    walk,
    walk_store,
)

Out = pytest.CaptureFixture[str]
END = Line("")


def code(root: Path) -> str:
    logbook = store.load(root).logbook
    assert logbook is not None
    return code_of(sheet_lines(logbook, logbook.pages[0]))


def typed_in(root: Path, *does: str, by: str = ADA, on: dt.date | None = TODAY) -> Worksheet:
    """The page after a sheet was typed in by these hands."""
    walk_page(Desk(folder=root, given_on=on, today=TODAY), "", by, Talk(Hand(does)), code(root))
    return page(root)


class TestTheSheet:
    def test_another_code_is_refused_and_the_boxes_that_changed_are_named(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell", "stacks", "refit")
        printed = run(root, "sheet", "--to", str(tmp_path.parent / f"{tmp_path.name}-sheet.html"))
        assert printed.code == 0
        old = code(root)
        assert f"--from-paper {old}" in printed.out
        before = (root / PAGE).read_text()
        (root / PAGE).write_text(before.replace(BOXES["stacks"], f"{BOXES['mount']}\n\n{BOXES['hoses']}"))
        refused = run(root, "walk", "--from-paper", old)
        assert refused.code == 1
        assert f"no open page has the boxes of sheet {old} ({PAGE} has {code(root)})" in refused.err
        assert "since it was printed: 3 `stacks` became `mount`, `hoses`" in refused.err
        assert ticked(page(root)) == []

    def test_a_panel_that_comes_off_once_more_is_such_a_change(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell", "refit")
        run(root, "sheet", "--to", str(tmp_path.parent / f"{tmp_path.name}-sheet.html"))
        old = code(root)
        assert run(root, "finding", "shell", "crack", "--off-again", on="2026-11-22").code == 0
        assert "new behind box 3: `remove cowl`, `refit cowl`" in run(root, "walk", "--from-paper", old).err

    def test_no_code_is_no_ordinary_walk(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        refused = run(root, "walk", "--from-paper", "", typed=("o", "o"))
        assert (refused.code, "give the six characters" in refused.err) == (2, True)
        assert ticked(page(root)) == []

    def test_the_sheet_of_another_page_with_the_same_boxes_is_refused(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        run(root, "sheet", "--to", str(tmp_path.parent / f"{tmp_path.name}-sheet.html"))
        old, name = code(root), Path(PAGE).stem
        (root / PAGE).rename((root / PAGE).with_name("2026-11-21-condition-next.md"))
        refused = run(root, "walk", "--from-paper", old)
        assert refused.code == 1
        assert f"it is the sheet of {name}, N0XX" in refused.err
        assert "2026-11-21-condition-next.md has" in refused.err

    def test_a_sheet_that_was_printed_elsewhere_is_said_to_be(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell")
        refused = run(root, "walk", "--from-paper", "k3f9qx")
        assert refused.code == 1
        assert "that sheet was not printed from this folder" in refused.err

    @pytest.mark.parametrize("typed", ["k3f9q", "k3f9qx2", "k3f9q1", "../../x", "k3f9q\x1b"])
    def test_what_is_no_code_is_said_to_be_none(self, run: Run, tmp_path: Path, typed: str) -> None:
        root = walk_store(tmp_path, "shell")
        refused = run(root, "walk", "--from-paper", typed)
        assert refused.code == 2
        assert "is no code of a sheet" in refused.err

    def test_of_several_pages_the_one_that_the_code_fits_is_taken(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell")
        right = code(root)
        other = FRONT.replace("job: condition", "job: work")
        (root / "records/open/2026-11-20-work-page.md").write_text(page_of("stacks", front=other))
        outcome = run(root, "walk", "--from-paper", right.upper(), "--by", ADA, typed=("t", "?", "1 r seen"))
        assert outcome.code == 0, outcome.err
        # Shown at the beginning, and once more where it is asked for.
        assert (outcome.out + outcome.err).count("47 f crack 8 mm") == 2
        assert entry(root, "shell").notes == ("seen",)
        assert run(root, "walk", "2026-11-20-work-page", "--from-paper", right).code == 1

    def test_kept_boxes_that_were_tampered_with_are_no_worse_than_none(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell")
        folder = root / ".inspect-kit/sheets"
        folder.mkdir(parents=True)
        (folder / "k3f9qx").write_bytes(b"\xff\x1b[2J\n")
        with pytest.raises(Refused, match="was not printed from this folder"):
            walk_page(Desk(folder=root, given_on=None, today=TODAY), "", ADA, Talk(Hand([])), "k3f9qx")


class TestExceptions:
    def test_readings_in_the_order_of_the_wells_tick_their_box(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "compression")
        sheet = typed_in(root, Line("2 76 75 number 3 rings"))
        assert ticked(sheet) == ["compression"]
        assert [reading.value for reading in sheet.entries[1].readings] == ["76", "75", "number 3 rings"]

    def test_a_reading_out_of_its_limits_is_said_at_once(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "compression")
        sheet = typed_in(root, Line("1 54 75 -"), "f", Line("valve leaks"), "1")
        assert "OUT OF LIMITS: cylinder 1 is 54 psi, the limit is at least 60." in said(capsys)
        assert sheet.entries[0].findings[0].text == "valve leaks"
        assert sheet.entries[0].readings[2].value == ""

    def test_a_pasted_list_of_them_is_taken_line_by_line(self, tmp_path: Path, capsys: Out) -> None:
        """The second line and all below it were dropped, and their boxes ticked by the count."""
        root = walk_store(tmp_path, "shell", "stacks", "mount")
        sheet = typed_in(root, Line("1 f crack 8 mm\n\n2 r seen by Ada\n9 o\n3 n none fitted"))
        assert [finding.text for finding in sheet.entries[0].findings] == ["crack 8 mm"]
        assert (sheet.entries[1].notes, sheet.entries[2].answer) == (("seen by Ada",), "not applicable")
        assert "Not taken: " in said(capsys)

    def test_a_finding_is_to_be_corrected_before_flight_and_ticks_nothing(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        sheet = typed_in(root, Line("2 f crack 8 mm"))
        (finding,) = sheet.entries[1].findings
        assert (finding.text, finding.before_flight, ticked(sheet)) == ("crack 8 mm", True, [])

    def test_not_applicable_not_done_remark_and_tick(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks", "mount", "remove")
        sheet = typed_in(root, *(Line(line) for line in ("1 n no shell", "2 d late", "3 r seen", "4 o")))
        assert [each.answer for each in sheet.entries] == ["not applicable", "not done", "", ""]
        assert sheet.entries[2].notes == ("seen",)
        assert ticked(sheet) == ["remove cowl"]

    @pytest.mark.parametrize(("said_so", "answer"), [("n", ""), ("y", "not applicable")])
    def test_of_what_was_done_before_it_is_asked_whether_it_is_none_any_more(
        self, tmp_path: Path, capsys: Out, said_so: str, answer: str
    ) -> None:
        """A wrong number took the box of something that the aircraft has."""
        root = walk_store(tmp_path, "shell", "compression")
        assert typed_in(root, Line("2 n no such"), said_so).entries[1].answer == answer
        assert "compression was done before (2025-11-22-condition-last). Is it not applicable?" in said(capsys)
        assert walk(root, Hand(["l", "n", Line("none"), said_so, "q"])).entries[1].answer == answer

    def test_each_line_is_told_back_by_the_words_of_its_box(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        typed_in(root, Line("2 f crack"))
        assert "2 Exhaust stacks: F1 crack, to be corrected before flight" in said(capsys)

    @pytest.mark.parametrize(
        "line",
        [
            "2 76",
            "2 76 75 x y; z",
            "9 o",
            "2",
            "crack",
            "1 f",
            "3 n it is a panel",
            "4 o",
            "4 f x",
            "- 1-9",
            "2 x 75 w",
        ],
    )
    def test_what_cannot_be_taken_writes_nothing(self, tmp_path: Path, line: str, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "compression", "remove", "F1")
        before = (root / PAGE).read_text()
        typed_in(root, Line(line))
        after = (root / PAGE).read_text()
        assert "Not taken: " in said(capsys)
        assert after.split("# Condition")[1] == before.split("# Condition")[1]

    def test_a_value_that_is_on_the_page_already_is_not_written_over(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "run-before")
        sheet = typed_in(root, Line("1 680"), Line("1 690"))
        assert (sheet.entries[0].readings[0].value, sheet.entries[0].readings[0].again) == ("680", ())
        assert "idle of box 1 is on the page already" in said(capsys)


class TestCounts:
    def test_a_panel_is_ticked_by_the_count_of_its_ticks(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "mount")
        sheet = typed_in(root, END, Line("4"))
        assert ticked(sheet) == ["shell", "baffles", "stacks", "mount"]
        assert "Cowling, boxes 1-4: how many of these are ticked on the paper?" in said(capsys)

    @pytest.mark.parametrize("count", ["3", "5", "04", "four", "", "4 4"])
    def test_a_wrong_count_ticks_nothing(self, tmp_path: Path, count: str) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "mount")
        assert ticked(typed_in(root, END, Line(count))) == []

    def test_boxes_left_empty_are_left_out_and_not_asked_in_this_walk(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "mount")
        sheet = typed_in(root, Line("- 2-3"), END, Line("2"))
        assert ticked(sheet) == ["shell", "mount"]
        assert "2 left for later" in said(capsys)

    def test_of_boxes_said_to_be_empty_those_answered_are_not_called_so(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "mount")
        typed_in(root, Line("2 n none fitted"), Line("- 2-3"), END, Line("2"))
        assert "Box 2 is answered on the page: the walk goes there to open it. Left empty: 3." in said(capsys)

    def test_and_may_still_be_named_when_the_count_was_wrong(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "mount")
        assert ticked(typed_in(root, END, Line("3"), Line("- 2"), Line("3"))) == ["shell", "stacks", "mount"]

    def test_a_panel_may_be_left_for_later(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles")
        assert ticked(typed_in(root, END, Line("l"), "o")) == ["shell"]

    @pytest.mark.parametrize("name", sorted({*BOXES} - {"shell", "baffles", "stacks", "mount", "hoses"}))
    def test_what_wants_a_look_of_its_own_is_never_ticked_by_count(self, tmp_path: Path, name: str) -> None:
        """Panels, findings from before, readings, parts, cautions, second looks, dates, work by others, engine runs."""
        root = walk_store(tmp_path, "shell", name, "baffles")
        sheet = typed_in(root, END, Line("3"), Line("2"))
        assert sorted(ticked(sheet)) == ["baffles", "shell"]

    def test_nor_what_has_an_open_finding(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks")
        assert ticked(typed_in(root, Line("2 f crack"), END, Line("3"), Line("2"))) == ["shell", "stacks"]

    def test_what_is_left_is_asked_box_by_box(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell", "hot", "stick-bolt")
        sheet = typed_in(root, END, Line("1"), "o", "o", "o", "2")
        assert ticked(sheet) == ["remove cowl", "shell", "hot", "stick-bolt"]
        assert sheet.entries[3].second_look == PIP


class TestWhoAndWhen:
    def test_are_asked_and_written_at_the_top_of_the_page(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "oil")
        typed_in(
            root,
            "2",
            "x",
            Line("2026-11-20"),
            "x",
            Line("24.11."),
            "x",
            Line("2026-11-24"),
            Line("1 o"),
            by="",
            on=None,
        )
        assert entry(root, "cowl", "remove").by == PIP
        note = f"From the sheet {code(root)}: done by {PIP} on 2026-11-24, typed in on 2026-11-25."
        assert (root / PAGE).read_text().split("---\n")[2].split("\n")[:3] == ["", note, "# Condition inspection"]

    def test_by_yesterday_and_today(self, tmp_path: Path) -> None:
        for key, day in (("t", "2026-11-25"), ("y", "2026-11-24")):
            root = walk_store(tmp_path / key, "F1")
            sheet = typed_in(root, key, END, "c", Line("replaced"), on=None)
            assert sheet.entries[0].cleared is not None
            assert str(sheet.entries[0].cleared.date) == day

    def test_not_before_the_job_was_begun(self, tmp_path: Path) -> None:
        with pytest.raises(Misused, match="before the job was begun"):
            typed_in(walk_store(tmp_path, "shell"), on=dt.date(2026, 11, 20))

    def test_not_in_the_future(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell")
        assert run(root, "walk", "--from-paper", code(root), on="2026-11-26").code == 2

    def test_another_person_may_have_done_another_panel(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles")
        sheet = typed_in(root, END, Line("w"), "4", Line("2"))
        assert [each.by for each in sheet.entries] == ["Cy Dzus", "Cy Dzus"]

    def test_a_helper_is_not_taken_for_the_inspector(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles")
        sheet = typed_in(root, END, Line("2"), "1", by=BO)
        assert [(each.ticked, each.by) for each in sheet.entries] == [(True, ""), (True, "")]
