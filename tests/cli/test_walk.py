"""The walk: what a box shows, what its keys do, all together, the way back, going to a box, and the clock."""

from dataclasses import replace
from pathlib import Path

import pytest

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.walk_drawn import paragraphs
from inspect_kit.cli.walk_talk import Talk
from inspect_kit.cli.walking import walk_page
from inspect_kit.inspection.walk import together
from inspect_kit.store import load
from tests.cli.hand import Hand, Line, typed
from tests.cli.walk_store import BO, BOXES, FRONT, PAGE, TODAY, page, said, ticked, walk, walk_store

Out = pytest.CaptureFixture[str]


class TestWhoGoesOn:
    def test_who_did_the_last_boxes_is_offered_by_the_space_bar_where_the_page_names_no_inspector(
        self, tmp_path: Path, capsys: Out
    ) -> None:
        front = FRONT.replace("inspector: Ada Bellcrank\n", "")
        root = walk_store(tmp_path, "remove", "shell", "stacks", front=front)
        walk(root, Hand(typed("2os")))
        assert "No inspector is named. Who does it?" in said(capsys)
        walk(root, Hand(typed(" s")))
        told = said(capsys)
        assert "No inspector is named. Bo Cleco did the last boxes. Who does it? 1 Ada Bellcrank 2 Bo Cleco" in told
        assert "by Bo Cleco" in told
        assert [entry.by for entry in page(root).entries if entry.ticked] == ["Bo Cleco"]


class TestABox:
    def test_its_head_says_number_panel_state_who_and_minutes(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "remove", "stacks", "compression", "stick-bolt", "altimeter")
        walk(root, Hand(typed("olll")))
        out = capsys.readouterr().out
        for head in (
            "1/5 · Cowling (on) · 10 min",
            "2/5 · Cowling (off) · inspector · 20 min",
            "3/5 · Cowling (off) · inspector · 5 min",
            "4/5 · Control stick · inspector · 5 min",
            "5/5 · Control stick · repair station",
        ):
            assert f"\n{head}\n" in out, head

    def test_cautions_come_first_and_whole_then_notes_of_the_panel_once(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "remove", "shell", "hot")
        walk(root, Hand(typed("oo")))
        out = capsys.readouterr().out
        assert out.count("Set it on the rack.") == 1
        assert out.index("CAUTION: Let the exhaust cool.") < out.index("REMOVE Cowling (cowl)")
        assert out.index("CAUTION: Hot metal.") < out.index("Heat muff off")
        assert "fasteners: 14 quarter-turn" in out

    def test_the_lines_of_a_note_are_joined_where_a_sentence_runs_on(self) -> None:
        notes = ("# Head", "Set it on the", "rack.", "Cover the vents", "and plugs:", "- all", "- of them")
        assert paragraphs(notes) == ["Set it on the rack.", "Cover the vents and plugs:", "- all", "- of them"]

    def test_readings_stand_beside_their_limit_last_time_and_the_run_before(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "run-before", "compression", "run-after")
        walk(root, Hand(["o", Line("680"), "l", "o", Line("l")]))
        out = capsys.readouterr().out
        lines = [" ".join(line.split()) for line in out.split("\n")]
        assert "cylinder 2 psi at least 60 69" in lines
        assert "reading limit last 2025-11-22" in lines
        assert "reading limit before last 2025-11-22" in lines
        assert "idle rpm 600 to 750 680 700" in lines
        assert "idle, rpm, 600 to 750 (before 680, last 700):" in " ".join(out.split())

    def test_one_limit_of_all_readings_is_told_once_where_it_takes_a_line_of_each(
        self, tmp_path: Path, capsys: Out
    ) -> None:
        """At 60 columns it stood below each of four cylinders, and pushed the caution of the propeller out of sight."""
        root = walk_store(tmp_path, "compression")
        for file in root.glob("checklists/**/*.md"):
            file.write_text(file.read_text().replace("psi, at least 60", "psi, at least 60, falls at most 10 in 100 h"))
        walk(root, Hand(["o", Line("l")], window=(60, 24)))
        out = capsys.readouterr().out
        told = out.partition(" ok  ")[0]
        assert told.count("falls at most 10 in 100 h") == 1
        assert "\n  limit of both: at least 60, falls at most 10 in 100 h\n" in told
        assert [line.split()[:4] for line in told.splitlines() if line.startswith("  cylinder")] == [
            ["cylinder", "1", "psi", "74"],
            ["cylinder", "2", "psi", "69"],
        ]

    def test_what_this_very_page_left_as_a_list_of_discrepancies_is_no_last_time(
        self, tmp_path: Path, capsys: Out
    ) -> None:
        root = walk_store(tmp_path, "run-after")
        last = root / "records/2025/2025-11-22-condition-last.yaml"
        early = last.read_text().replace("2025-11-22", "2026-11-22").replace("passed\n", "not passed\n", 1)
        early = early.replace("meters: {tach: 500.0}", "meters: {tach: 560.0}\nsheet: 2026-11-21-condition-page")
        early = early.replace("700 rpm", "655 rpm").split("findings:")[0]
        (root / "records/2026").mkdir()
        (root / "records/2026/2026-11-22-condition-not.yaml").write_text(early)
        walk(root, Hand("s"))
        out = capsys.readouterr().out
        assert "700" in out
        assert "655" not in out

    def test_what_a_panel_is_behind_is_told_by_name(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "remove")
        file = root / "checklists/nose/cowl.md"
        file.write_text(file.read_text().replace("fasteners:", "behind: [stick]\nfasteners:"))
        walk(root, Hand("s"))
        assert "behind: Control stick\n" in capsys.readouterr().out

    @pytest.mark.parametrize("columns", [44, 60, 80, 120])
    def test_no_line_is_wider_than_the_window_and_words_stay_whole(
        self, tmp_path: Path, capsys: Out, columns: int
    ) -> None:
        root = walk_store(tmp_path)
        walk(root, Hand(typed("?", "l" * 17), window=(columns, 24)))
        out = capsys.readouterr().out
        assert max(map(len, out.split("\n"))) < columns
        for word in ("(2025-11-22-condition-last#F1)", "Differential", "quarter-turn", "(run-before)"):
            assert word in out.split(), word

    def test_one_short_line_of_keys_and_all_of_them_behind_a_question_mark(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "stacks")
        walk(root, Hand(typed("?s"), window=(60, 24)))
        out = capsys.readouterr().out
        assert "\n  o ok  f finding  l later  b back  g go  ? more\n" in out
        for key in ("o or space: ok", "n: not applicable", "d: not done", "r: remark", "t: took", "w: who", "s: stop"):
            assert f"\n    {key}" in out, key


class TestAll:
    def test_lists_the_simple_boxes_and_ticks_them_when_their_count_is_given(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "compression", "mount", "hoses", "oil", "hot", "stick-bolt")
        sheet = walk(root, Hand(["a", Line("3")]))
        assert ticked(sheet) == ["shell", "baffles", "mount"]
        out = capsys.readouterr().out.partition("> all")[2].partition("  Ok for")[0]
        assert [line.split()[0] for line in out.strip().split("\n")] == ["1", "2", "4"]

    def test_what_comes_after_a_box_that_is_asked_alone_is_left_out_too(self, tmp_path: Path) -> None:
        """`hoses` comes after `compression`, which has readings."""
        root = walk_store(tmp_path, "shell", "compression", "hoses", "mount", "stacks")
        assert ticked(walk(root, Hand(["a", Line("3")]))) == ["shell", "mount", "stacks"]

    @pytest.mark.parametrize("count", ["", "2", "4", "03", "3 ", "all", "y"])
    def test_any_other_count_ticks_nothing(self, tmp_path: Path, count: str) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "mount")
        right = count.strip() == "3"
        assert len(ticked(walk(root, Hand(["a", Line(count)])))) == (3 if right else 0)

    @pytest.mark.parametrize("name", sorted({*BOXES} - {"shell", "baffles", "stacks", "mount", "hoses"}))
    def test_what_is_asked_alone_is_never_in_it(self, tmp_path: Path, name: str) -> None:
        """Panels, findings from before, readings, parts, cautions, second looks, dates, work by others, engine runs."""
        root = walk_store(tmp_path, "shell", name, "baffles")
        logbook = load(root).logbook
        assert logbook is not None
        sheet = page(root)
        assert 1 not in together(logbook, sheet, 0)
        assert together(logbook, sheet, 1) == ()
        answered = replace(sheet, entries=(sheet.entries[0], replace(sheet.entries[1], ticked=True), sheet.entries[2]))
        assert 1 not in together(logbook, answered, 0)

    def test_a_box_with_an_open_finding_is_left_out(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "mount", "stacks")
        text = (root / PAGE).read_text()
        (root / PAGE).write_text(text.replace("Baffles: cracks\n", "Baffles: cracks\n  - found: F1 crack\n"))
        assert ticked(walk(root, Hand(["a", Line("3")]))) == ["shell", "mount", "stacks"]

    def test_two_boxes_are_not_worth_a_count(self, tmp_path: Path, capsys: Out) -> None:
        walk(walk_store(tmp_path, "shell", "baffles"), Hand("a"))
        assert "`a` is none of them" in said(capsys)

    def test_back_takes_all_of_them_back(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "mount", "refit")
        assert ticked(walk(root, Hand(["a", Line("3"), "b"]))) == []


class TestBack:
    def test_goes_through_the_readings_one_by_one_and_then_to_the_box(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        lines = [Line("76"), Line("77"), Line("no leaks")]
        # From the next box back to the last reading, to the one before, where the value is mended.
        sheet = walk(root, Hand(["o", *lines, "b", Line("b"), Line("72"), Line("k"), "s"]))
        values = [reading.value for reading in sheet.entries[0].readings]
        assert values == ["76", "72", "no leaks"]
        assert sheet.entries[0].readings[1].again == ()
        assert "cylinder 2: 77 is written. Another value, or k keeps it." in said(capsys)

    def test_all_the_way_the_box_is_open_again_and_its_values_stay(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        lines = [Line("76"), Line("77"), Line("no leaks")]
        sheet = walk(root, Hand(["o", *lines, "b", Line("b"), Line("b"), Line("b"), "s"]))
        assert not sheet.entries[0].ticked
        assert [reading.value for reading in sheet.entries[0].readings] == ["76", "77", "no leaks"]

    def test_in_the_middle_of_the_readings(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        sheet = walk(root, Hand(["o", Line("67"), Line("b"), Line("76"), Line("77"), Line("none"), "s"]))
        assert [reading.value for reading in sheet.entries[0].readings] == ["76", "77", "none"]

    def test_what_was_gone_back_over_is_asked_again_in_order(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        lines = [Line("76"), Line("77"), Line("no leaks"), "b", Line("b"), Line("b")]
        sheet = walk(root, Hand(["o", *lines, Line("k"), Line("72"), Line("k"), "o"]))
        assert [reading.last for reading in sheet.entries[0].readings] == ["76", "72", "no leaks"]
        assert ticked(sheet) == ["compression", "shell"]

    def test_out_of_a_value_beyond_its_limits(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "run-before", "shell")
        sheet = walk(root, Hand(["o", Line("860"), "b", Line("690"), "o"]))
        assert [(reading.last, reading.again) for reading in sheet.entries[0].readings] == [("690", ())]

    def test_a_value_that_was_written_wrongly_is_put_right_at_its_box(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "compression", "shell")
        lines = [Line("76"), Line("77"), Line("no leaks"), "g", Line("1"), "v", "2", Line("72"), "s"]
        sheet = walk(root, Hand(["o", *lines]))
        assert [(each.last, each.again) for each in sheet.entries[0].readings][1] == ("72", ())
        assert "Which one was written wrongly: cylinder 1 76, cylinder 2 77, where it leaks no leaks?" in said(capsys)

    def test_keeping_a_value_writes_nothing_and_goes_on(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "run-before", "shell")
        sheet = walk(root, Hand(["o", Line("680"), "b", Line("k"), "o"]))
        assert ticked(sheet) == ["run-before", "shell"]
        assert sheet.entries[0].readings[0].value == "680"

    def test_a_value_out_of_its_limits_is_said_on_the_way_back_too(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "run-before", "shell")
        walk(root, Hand(["o", Line("680"), "b", Line("860"), "c", Line("690"), "s"]))
        assert "OUT OF LIMITS: idle is 860 rpm, the limit is 600 to 750." in said(capsys)
        assert page(root).entries[0].readings[0].last == "690"

    def test_a_second_look_is_asked_again(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stick-bolt", "shell")
        sheet = walk(root, Hand(typed("o2b3")))
        assert sheet.entries[0].second_look == BO

    def test_after_looked_at_waits_and_after_corrected(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "F1", "shell", "stacks")
        # It is asked when its check was answered, not before anything was looked at.
        assert ticked(walk(root, Hand(typed("owb")))) == ["shell"]
        sheet = walk(root, Hand(["c", Line("replaced"), "b"]))
        assert (sheet.entries[0].ticked, sheet.entries[0].cleared) == (False, None)

    @pytest.mark.parametrize(
        ("by_hand", "does"),
        [
            (("fix: by 2027-01-31", "may wait because: the long reason"), ["w", "b"]),
            (("cleared: 2026-11-20 stop-drilled",), ["w", "b"]),
            (("fix: by 2027-01-31", "may wait because: the long reason"), ["c", Line("replaced"), "b"]),
        ],
    )
    def test_what_stood_under_a_finding_from_before_is_not_taken_back(
        self, tmp_path: Path, by_hand: tuple[str, ...], does: list[str | Line]
    ) -> None:
        """Going back took all that settles it, whoever had written it, and said nothing."""
        root = walk_store(tmp_path, "F1", "shell", "stacks")
        page_text = (root / PAGE).read_text(encoding="utf-8")
        below = "".join(f"\n  - {line}" for line in by_hand)
        by_now = page_text.replace(BOXES["F1"], f"{BOXES['F1']}{below}")
        (root / PAGE).write_text(by_now, encoding="utf-8")
        walk_page(Desk(folder=root, given_on=None, today=TODAY), "", "", Talk(Hand(["o", *does])))
        assert (root / PAGE).read_text(encoding="utf-8") == by_now.replace("[ ] `shell`", "[x] `shell`")

    def test_a_finding_from_before_is_asked_where_it_can_be_looked_at(self, tmp_path: Path, capsys: Out) -> None:
        """It stands at the top of the page; asked there it would be answered before anything is made safe."""
        for path, names, order in (
            ("check", ("F1", "stacks", "shell", "mount"), ("stacks", "shell", "#F1", "mount")),
            # Its check is not on the page: when the panel is off.
            ("panel", ("F1", "stacks", "remove", "mount"), ("stacks", "cowl", "#F1", "mount")),
            ("nowhere", ("F1", "stacks", "mount"), ("stacks", "mount", "#F1")),
        ):
            root = walk_store(tmp_path / path, *names)
            walk(root, Hand(typed("".join("w" if name == "#F1" else "o" for name in order))))
            told = capsys.readouterr().out
            places = [told.index(f"{name})") for name in order]
            assert places == sorted(places), path
            assert "1 finding from before is open (see the top of the page)" in told

    def test_what_is_noted_of_a_panel_stands_where_it_is_moved_and_the_first_time(
        self, tmp_path: Path, capsys: Out
    ) -> None:
        """Between other panels it is not told anew with each check: "cover the vents" is no step before a run."""
        root = walk_store(tmp_path, "remove", "shell", "stick-bolt", "mount", "refit")
        walk(root, Hand(typed("ooo2oo2")))
        assert capsys.readouterr().out.count("Set it on the rack.") == 2

    def test_after_an_answer_with_a_reason(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        sheet = walk(root, Hand(["n", Line("none here"), "b"]))
        assert (sheet.entries[0].answer, sheet.entries[0].reason) == ("", "")

    def test_to_the_box_by_its_name_when_boxes_have_moved(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "stacks", "mount")

        class Meanwhile(Hand):
            def read(self, seconds: float) -> bytes | None:
                if self.left == ["b"] and "`baffles`" not in (text := (root / PAGE).read_text()):
                    (root / PAGE).write_text(
                        text.replace("# Condition inspection\n", f"# Condition inspection\n\n{BOXES['baffles']}\n")
                    )
                    self.does = ["r", Line("again"), "b", "o"]
                    self.at = 0
                return super().read(seconds)

        sheet = walk(root, Meanwhile(["o", "o", "b"]))
        assert ticked(sheet) == ["shell"]
        assert "2/4 · Cowling (on) · inspector · 5 min Cowling: cracks (shell)" in said(capsys)

    def test_a_page_changed_by_hand_is_read_again_and_nothing_of_it_is_lost(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "stacks", "mount")

        class Meanwhile(Hand):
            def read(self, seconds: float) -> bytes | None:
                if len(self.left) == 1 and "note" not in (text := (root / PAGE).read_text()):
                    (root / PAGE).write_text(
                        text.replace("Engine mount: cracks\n", "Engine mount: cracks\n  - note: by pen\n")
                    )
                return super().read(seconds)

        sheet = walk(root, Meanwhile(["o", "o", "o"]))
        assert ticked(sheet) == ["shell", "stacks"]
        assert sheet.entries[2].notes == ("by pen",)
        assert "The page was changed by hand meanwhile." in said(capsys)

    def test_with_nothing_before(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell")
        walk(root, Hand("b"))
        assert "There is nothing to go back to in this walk." in said(capsys)


class TestGo:
    @pytest.mark.parametrize(
        ("words", "box"), [("3", "stacks"), ("exhaust", "stacks"), ("STACKS crack", "stacks"), ("stick", "stick-bolt")]
    )
    def test_to_a_box_by_number_check_or_panel(self, tmp_path: Path, words: str, box: str) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "stick-bolt")
        assert ticked(walk(root, Hand(["g", Line(words), "o"]))) == [box]

    def test_asks_which_where_several_are_meant(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks", "mount")
        assert ticked(walk(root, Hand(["g", Line("cracks"), "4", "o"]))) == ["mount"]
        assert "4 box 4, Engine mount" in said(capsys)

    def test_goes_on_from_there_and_then_to_what_was_passed_over(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles", "stacks")
        assert ticked(walk(root, Hand(["g", Line("2"), *"oo", "s"]))) == ["baffles", "stacks"]
        assert ticked(walk(root, Hand("o"))) == ["shell", "baffles", "stacks"]

    def test_a_settled_box_can_be_opened_again(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles")
        assert ticked(walk(root, Hand(["o", "g", Line("1"), "u"]))) == []

    @pytest.mark.parametrize("words", ["99", "0", "propeller", "", "1e3", "²"])
    def test_nowhere(self, tmp_path: Path, words: str) -> None:
        root = walk_store(tmp_path, "shell", "baffles")
        assert ticked(walk(root, Hand(["g", Line(words), "o"]))) == ["shell"]


class TestTime:
    def test_the_clock_proposes_and_a_key_writes_it(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "baffles")
        sheet = walk(root, Hand(["t", "y", "o", "t", "x", Line("90"), "s"], pause=180))
        assert [each.took for each in sheet.entries] == [3, 90]

    def test_of_a_panel_box_by_box_when_none_of_its_boxes_is_open(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "stacks", "stick-bolt")
        sheet = walk(root, Hand(typed("oot1s"), pause=240))
        assert [each.took for each in sheet.entries] == [4, 4, None]
        assert "Cowling: 8 min by the clock, 2 boxes, 25 listed; t writes it down." in said(capsys)

    def test_nothing_is_written_by_itself(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        walk(root, Hand(typed("oo"), pause=600))
        assert "took" not in (root / PAGE).read_text()


SIMPLE = ("shell", "baffles", "stacks", "mount")


class TestDisturbed:
    """What else was opened or parted is written by a key, and makes owed what waits for it."""

    @pytest.mark.parametrize("keys", [["x", Line("flight-controls")], ["r", Line("disturbed: flight-controls")]])
    def test_it_is_written_under_the_check(self, tmp_path: Path, keys: list[str]) -> None:
        root = walk_store(tmp_path, *SIMPLE)
        sheet = walk(root, Hand([*keys, "s"]))
        assert [entry.disturbed for entry in sheet.entries if entry.id == "shell"] == [("flight-controls",)]

    def test_under_the_box_of_a_panel_it_goes_to_a_check_of_that_panel(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell")
        sheet = walk(root, Hand(["x", Line("flight-controls"), "s"]))
        assert [entry.disturbed for entry in sheet.entries] == [(), ("flight-controls",)]

    def test_where_no_check_of_the_panel_is_on_the_page_that_is_said(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "remove", "stick-bolt")
        before = (root / PAGE).read_text()
        walk(root, Hand(["x", Line("flight-controls"), "s"]))
        assert (root / PAGE).read_text() == before
        assert "No check of this panel is on the page" in said(capsys)


class TestBackAfterGoing:
    def test_b_leads_to_the_box_from_which_one_went(self, tmp_path: Path) -> None:
        """From `shell` to the mount, and back: the next answer is that of `shell`."""
        root = walk_store(tmp_path, *SIMPLE)
        assert ticked(walk(root, Hand(["g", Line("mount"), "b", "o", "s"]))) == ["shell"]
