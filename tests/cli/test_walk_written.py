"""What the walk writes under a box: names by one key, readings and their limits, parts used."""

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.walk_talk import Talk
from inspect_kit.cli.walking import walk_page
from tests.cli.conftest import Run
from tests.cli.hand import Hand, Line, typed
from tests.cli.walk_store import ADA, BO, CY, FRONT, PAGE, PIP, TODAY, entry, page, said, ticked, walk, walk_store

Out = pytest.CaptureFixture[str]


class TestNames:
    def test_a_second_look_is_one_key_and_never_the_doers(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "stick-bolt")
        walk(root, Hand(typed("o12")))
        assert entry(root, "stick-bolt").second_look == PIP
        out = said(capsys)
        # Everybody keeps the number by which another question offers them.
        assert f"2 {PIP} 3 {BO} 4 {CY} 0 another name" in out
        assert "`1` is none of them" in out
        assert "Old Hand" not in out

    def test_neither_for_a_panel(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "remove", "refit")
        walk(root, Hand(typed("oo")), by=BO)
        out = said(capsys)
        assert f"1 {ADA} 2 {PIP} 4 {CY} 0 another name" in out

    def test_b_is_the_way_back_and_no_name(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stick-bolt")
        sheet = walk(root, Hand(typed("ob")))
        assert (sheet.entries[0].second_look, sheet.entries[0].ticked) == ("", False)

    def test_another_name_is_typed_in_full_and_confirmed(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stick-bolt")
        walk(root, Hand(["o", "0", Line("Zoe  Zerk"), "n", "0", Line("Zoe  Zerk"), "y"]))
        assert entry(root, "stick-bolt").second_look == "Zoe Zerk"
        # `sign` takes only people who are known: the name is one of the page's helpers from now on.
        assert page(root).helpers == (PIP, "Zoe Zerk")

    @pytest.mark.parametrize(
        "name", ["ada bellcrank", "ADA  BELLCRANK", " Ada Bellcrank ", "-", "b", "same", "Self", ".", "?", "n/a"]
    )
    def test_another_name_that_is_the_doer_or_nobody_is_refused(self, tmp_path: Path, name: str) -> None:
        root = walk_store(tmp_path, "stick-bolt")
        walk(root, Hand(["o", "0", Line(name)]))
        assert entry(root, "stick-bolt").second_look == ""

    def test_a_name_on_the_list_that_is_typed_needs_no_confirming(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "stick-bolt")
        walk(root, Hand(["o", "0", Line("bo cleco")]))
        assert entry(root, "stick-bolt").second_look == BO

    def test_with_whole_lines_more_than_nine_are_numbered(self, run: Run, tmp_path: Path) -> None:
        root = walk_store(
            tmp_path, "stick-bolt", front=FRONT.replace("[Pip Ashtally]", str([f"Helper {n}x" for n in range(1, 12)]))
        )
        assert run(root, "walk", typed=("o", "12")).code == 0
        assert entry(root, "stick-bolt").second_look == "Helper 11x"

    def test_who_does_it_is_one_key_and_written_where_it_is_not_the_inspector(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell", "oil")
        sheet = walk(root, Hand(typed("w2ow1ow2ou")))
        assert [each.by for each in sheet.entries] == [PIP, "", PIP]

    def test_a_look_of_the_inspectors_is_not_taken_from_a_helper(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "shell", "stacks")
        sheet = walk(root, Hand(typed("o4ol")), by=BO)
        assert [(each.ticked, each.by) for each in sheet.entries] == [(True, CY), (False, "")]
        out = said(capsys)
        assert f"This look is the inspector's: no certificate number is given for {BO}" in out
        assert f"Who looked? 1 {ADA} 4 {CY} l later b back" in out

    def test_nor_all_of_them_together(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks", "mount")
        assert ticked(walk(root, Hand(["a", Line("3"), "b"]), by=BO)) == []

    def test_an_unknown_name_of_the_command_is_asked_about(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "remove")
        sheet = walk(root, Hand(typed("2o")), by="zz")
        assert sheet.entries[0].by == PIP
        assert '"zz" is on no list of this aircraft' in said(capsys)

    def test_a_page_without_an_inspector_asks_who_does_it(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", front=FRONT.replace("inspector: Ada Bellcrank", "inspector: ____"))
        sheet = walk(root, Hand(typed("1o")))
        assert (sheet.entries[0].ticked, sheet.entries[0].by) == (True, ADA)


class TestReadings:
    def test_out_of_limits_is_measured_again(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "run-before")
        sheet = walk(root, Hand(["o", Line("900"), "m", Line("880"), "m", Line("700 after warming up")]))
        assert (sheet.entries[0].readings[0].value, sheet.entries[0].readings[0].again) == (
            "900",
            ("880 rpm", "700 rpm after warming up"),
        )
        assert said(capsys).count("OUT OF LIMITS") == 2

    def test_what_is_out_of_limits_bears_the_mark_of_what_presses(self, tmp_path: Path, capsys: Out) -> None:
        walk(walk_store(tmp_path, "run-before"), Hand(["o", Line("900")]))
        assert "\n  !! OUT OF LIMITS: " in capsys.readouterr().out

    def test_the_measure_may_be_typed_behind_the_number_and_nothing_else(self, tmp_path: Path, capsys: Out) -> None:
        """It said: `idle: is in rpm when cold rpm, and the check asks for rpm`; and `700 rpm` was refused as well."""
        root = walk_store(tmp_path, "run-before")
        sheet = walk(root, Hand(["o", Line("700 when cold"), Line("700 rpm")]))
        assert str(sheet.entries[0].readings[0].value) == "700"
        assert "- idle: 700 rpm (600 to 750)" in (root / PAGE).read_text(encoding="utf-8")
        told = " ".join(said(capsys).split())
        assert "Write 700 alone, it is read in rpm; `when cold` is a remark, r at the box writes it." in told
        assert "That was not written" not in told

    def test_a_digit_too_many_within_an_open_limit_is_typed_once_more(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "compression")
        sheet = walk(root, Hand(["o", Line("760"), Line("76"), Line("900"), Line("900")]))
        assert [each.value for each in sheet.entries[0].readings] == ["76", "900", ""]
        told = said(capsys)
        slip = "cylinder 1 is 760 psi, and the limit is at least 60, last it was 74."
        assert f"{slip} Type it once more if it is so." in told

    def test_what_the_question_shows_as_read_before_the_work_counts_as_read(self, tmp_path: Path, capsys: Out) -> None:
        """`fuel pressure, psi (before 4.5): 30` was taken without a question."""
        root = walk_store(tmp_path, "run-before", "run-after")
        for name in (root / "checklists/aircraft/run.md", root / PAGE):
            text = name.read_text().replace(", 600 to 750", "").replace(" (600 to 750)", "")
            name.write_text(text.replace("idle", "fuel pressure").replace("rpm", "psi"))
        sheet = walk(root, Hand(["o", Line("4.5"), "o", Line("30"), Line("5"), "l"]))
        assert [each.readings[0].value for each in sheet.entries] == ["4.5", "5"]
        slip = "fuel pressure is 30 psi, and before the work it was 4.5."
        assert f"{slip} Type it once more if it is so." in said(capsys)

    def test_out_of_limits_becomes_a_finding(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "run-before")
        sheet = walk(root, Hand(["o", Line("900"), "f", Line("idle too fast"), "1", "l"]))
        assert sheet.entries[0].findings[0].text == "idle too fast"
        # The box was answered before its readings were asked.
        told = said(capsys)
        assert ("F1 is written." in told, "still to be answered" in told) == (True, False)

    def test_one_that_was_left_out_of_its_limits_is_asked_by_the_next_walk(self, tmp_path: Path, capsys: Out) -> None:
        """The box is ticked and its reading written: the walk called it settled, and only `sign` spoke of it."""
        root = walk_store(tmp_path, "run-before")
        walk(root, Hand(["o", Line("900"), "l"]))
        told = said(capsys)
        assert (told.count("OUT OF LIMITS"), "1 left for later; `walk` asks them again." in told) == (1, True)
        sheet = walk(root, Hand(["f", Line("idle too fast"), "1", "l"]))
        assert said(capsys).count("OUT OF LIMITS") == 1
        assert sheet.entries[0].findings[0].text == "idle too fast"
        walk(root, Hand(["l"]))
        assert "OUT OF LIMITS" not in said(capsys)

    def test_broken_off_at_the_words_of_its_finding_it_is_asked_first(self, tmp_path: Path, capsys: Out) -> None:
        """It came after every other box of the page, days later; `f` and Enter alone left it for then as well."""
        root = walk_store(tmp_path, "run-before", "stacks")
        walk(root, Hand(["o", Line("900"), "f", Line(""), "f"]))
        assert said(capsys).count("OUT OF LIMITS") == 2
        sheet = walk(root, Hand(["f", Line("idle too fast"), "1", "o", "l"]))
        assert said(capsys).count("OUT OF LIMITS") == 1
        assert [(each.ticked, len(each.findings)) for each in sheet.entries] == [(True, 1), (True, 0)]

    def test_the_limit_that_the_page_was_printed_with_counts_too(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "run-before")
        (root / PAGE).write_text((root / PAGE).read_text().replace("600 to 750", "650 to 800"))
        walk(root, Hand(["o", Line("640"), "l"]))
        assert "OUT OF LIMITS: idle is 640, the page says 650 to 800." in said(capsys)

    def test_what_is_reckoned_is_told_with_its_arithmetic_once_all_of_it_is_read(
        self, tmp_path: Path, capsys: Out
    ) -> None:
        """76 - 62 = 14 with at most 15; 76 - 60 = 16 is out, though 60 is within its own limit."""
        root = walk_store(tmp_path, "compression", "mount")
        cowl = root / "checklists/nose/cowl.md"
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        walk(root, Hand(["o", Line("76"), Line("62"), Line("nowhere")]))
        out = said(capsys)
        assert out.count("spread is 14 psi (76 - 62).") == 1
        assert "OUT OF LIMITS" not in out
        # Measured again it is reckoned again, and may become a finding.
        walk(root, Hand(["g", Line("compression"), "m", "2", Line("60"), "f", Line("valve leaks"), "1", "l"]))
        assert "OUT OF LIMITS: spread is 16 psi (76 - 60), the limit is at most 15." in said(capsys)
        # It is nowhere on the page: the record works it out.
        assert [reading.label for reading in entry(root, "compression").readings] == [
            "cylinder 1",
            "cylinder 2",
            "where it leaks",
        ]

    def test_what_is_reckoned_is_past_its_limit_by_any_of_its_readings(self, tmp_path: Path, capsys: Out) -> None:
        """76 - 60 = 16 with at most 15: it is the first that was wrong, 70 - 60 = 10; `c` goes the same way."""
        root = walk_store(tmp_path, "compression", "mount")
        cowl = root / "checklists/nose/cowl.md"
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        does: list[str] = ["o", Line("76"), Line("60"), "c", Line(""), Line("77"), "m", Line(""), Line("70")]
        walk(root, Hand([*does, Line("nowhere"), "l"]))
        read = entry(root, "compression").readings[0]
        assert (read.value, read.again) == ("77", ("70 psi",))
        out = said(capsys)
        assert "cylinder 1, measured again (Enter: 77 stands):" in out
        assert "spread is 10 psi (70 - 60)." in out
        # What was read again is told without its measure where the others are.
        walk(root, Hand(["g", Line("compression"), "v", "b", "l"]))
        assert "Which one was written wrongly: cylinder 1 70, cylinder 2 60" in said(capsys)

    def test_one_fault_of_several_readings_is_left_for_later_once(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "compression")
        cowl = root / "checklists/nose/cowl.md"
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        walk(root, Hand(["o", Line("76"), Line("60"), "l", Line("nowhere"), "l"]))
        assert said(capsys).count("OUT OF LIMITS") == 1

    def test_a_date_that_is_past_is_refused(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "bottle")
        sheet = walk(root, Hand(["o", Line("2021-05-31"), Line("31.5.2031"), Line("2031-05-31")]))
        assert sheet.entries[0].good_until == "2031-05-31"

    @pytest.mark.parametrize("letter", ["l", "b", "s", "?", "f", "L"])
    def test_a_letter_is_never_a_value(self, tmp_path: Path, letter: str) -> None:
        root = walk_store(tmp_path, "altimeter")
        does: list[str] = ["o", Line(letter)]
        does += [Line("x")] if letter == "f" else []
        assert walk(root, Hand(does)).entries[0].paper == ""


class TestPartsUsed:
    @pytest.mark.parametrize(
        ("does", "used"),
        [
            ("u", "as planned"),
            ("0", "none"),
            (["x", Line("5 qt engine oil")], "5 qt engine oil"),
            ("l", None),
            ("b", None),
        ],
    )
    def test_are_asked_when_a_check_with_parts_is_ticked(
        self, tmp_path: Path, capsys: Out, does: list[str], used: str | None
    ) -> None:
        root = walk_store(tmp_path, "oil")
        sheet = walk(root, Hand(["o", *does]))
        assert sheet.entries[0].used == used
        assert "Used: 6 qt engine oil; 1 oil filter?" in said(capsys)

    def test_as_planned_says_what_was_planned_when_it_was_confirmed(self, tmp_path: Path) -> None:
        """The checklist was changed while the page was open: what nobody had confirmed was sealed as used."""
        entry = walk(walk_store(tmp_path, "oil"), Hand(["o", "u"])).entries[0]
        assert entry.planned == "6 qt engine oil; 1 oil filter"

    def test_what_somebody_altered_there_is_shown_before_it_is_written_over(self, tmp_path: Path, capsys: Out) -> None:
        root = walk_store(tmp_path, "oil")
        (page,) = (root / "records/open").glob("*.md")
        with page.open("a", encoding="utf-8") as text:
            text.write("  - used: ____ (planned: 6 qt winter oil LOT 44; 1 oil filter)\n")
        assert walk(root, Hand(["o", "l"])).entries[0].planned == "6 qt winter oil LOT 44; 1 oil filter"
        told = "Used: 6 qt engine oil; 1 oil filter? (the page has planned: 6 qt winter oil LOT 44; 1 oil filter; an"
        assert told in said(capsys)

    def test_words_behind_the_blank_that_cannot_be_read_are_kept(self, tmp_path: Path, capsys: Out) -> None:
        """`as planned` was written over them, and sealed."""
        root = walk_store(tmp_path, "oil")
        (page,) = (root / "records/open").glob("*.md")
        line = "  - used: ____ (planned: 6 qt engine oil; 1 oil filter) but only 5 went in\n"
        with page.open("a", encoding="utf-8") as text:
            text.write(line)
        # `walk` wants a page without a problem behind it.
        walk_page(Desk(folder=root, given_on=None, today=TODAY), "", "", Talk(Hand(["o", "u", "l"])))
        assert line in page.read_text(encoding="utf-8")
        assert "That was not written: line" in said(capsys)

    def test_back_asks_them_again(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "oil", "shell")
        assert walk(root, Hand(typed("oub0"))).entries[0].used == "none"


@dataclass
class Watching(Hand):
    """A hand whose owner looks at the window whenever something is asked: what it shows then is kept."""

    capsys: pytest.CaptureFixture[str] | None = None
    told: str = ""
    seen: list[str] = field(default_factory=list)

    def look(self, prompt: str = "") -> None:
        assert self.capsys is not None
        self.told += self.capsys.readouterr().out
        self.seen.append("\n".join((self.told + prompt).split("\n")[-self.window[1] :]))

    def read(self, seconds: float) -> bytes | None:
        self.look()
        return super().read(seconds)

    def line(self, prompt: str) -> str | None:
        self.look(prompt)
        return super().line(prompt)


@pytest.mark.parametrize("window", [(60, 12), (60, 24), (80, 24), (120, 12)], ids=str)
def test_a_caution_is_whole_in_sight_whenever_anything_is_asked_at_its_box(
    window: tuple[int, int], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """At 60 columns it was out of the window from the fourth reading on: a picture showed it."""
    caution = "The air can spin the propeller: one person holds it firmly, and the valve is opened slowly."
    walk_store(tmp_path, "compression", "mount")
    cowl = tmp_path / "checklists/nose/cowl.md"
    text = cowl.read_text(encoding="utf-8")
    reads = "  - reads: cylinder 1 to 2, psi, at least 60\n"
    more = f"  - reads: cylinder 1 to 8, psi, at least 60\n  - caution: {caution}\n"
    cowl.write_text(text.replace(reads, more), encoding="utf-8")
    open_page = tmp_path / PAGE
    blank = "  - cylinder {}: ____ psi (at least 60)\n"
    eight = "".join(blank.format(number) for number in range(1, 9))
    told = open_page.read_text(encoding="utf-8")
    open_page.write_text(told.replace(blank.format(1) + blank.format(2), eight), encoding="utf-8")
    lines = [Line("?"), *(Line(str(70 + number)) for number in range(7)), Line("55")]
    # And keys that answer nothing: held ones, and one that is none of those offered.
    odd = ["zz"] * 9 + ["z"] * 5
    keys = [*odd, *typed("?", "o", lines, "f", [Line("weak")], "1", [Line("rings")], "o")]
    hand = Watching(keys, window=window, capsys=capsys)
    walk(tmp_path, hand)
    assert not hand.left
    at_it = hand.seen[: next(at for at, shown in enumerate(hand.seen) if "2/2" in shown)]
    assert len(at_it) > 12
    assert [shown for shown in at_it if caution not in " ".join(shown.rpartition("CAUTION: ")[2].split())] == []
    # And it is not said again where it is in sight.
    assert hand.told.count("CAUTION: ") < len(at_it)
