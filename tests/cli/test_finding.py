"""`finding` for what a pilot noticed: without an id, its place later, by the shortest name that is unique."""

import json
import re
import shlex
from pathlib import Path

import pytest
import yaml

from inspect_kit import store
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from tests.cli.conftest import Run
from tests.cli.test_sealing import ADA, Page, page, refused, sign

__all__ = ["page"]

def logbook_of(root: Path) -> Logbook:
    logbook = store.load(root).logbook
    assert logbook is not None
    return logbook


ROUGH = "rough on the left magneto, 2000 rpm"


class TestWithoutAnId:
    def test_words_alone_are_a_finding_that_keeps_the_aircraft_on_the_ground(self, run: Run, hangar: Path) -> None:
        made = run(hangar, "finding", ROUGH, "--by", ADA, "--at", "Upper Meadow", on="2026-11-20")
        assert made.code == 0, made.err
        file, hint, stands = made.out.splitlines()
        assert stands == f"!! {Path(file).stem}#F1 is open, to fix before flight: {ROUGH}"
        assert hint == "Its place can be given later: inspect-kit --on 2026-11-20 finding F1 --under CHECK|PANEL"
        text = (hangar / file).read_text(encoding="utf-8")
        assert f"found: {ROUGH}" in text
        assert "at: Upper Meadow" in text
        assert "check:" not in text
        assert "panel:" not in text
        assert ROUGH in run(hangar, "due").out
        assert "place not known yet" in run(hangar, "report", Path(file).stem).out
        assert run(hangar, "verify").code == 0

    def test_a_reading_is_no_place(self, run: Run, hangar: Path) -> None:
        """METER=READING as with every command that writes; what an owner typed first, and was refused."""
        made = run(hangar, "finding", "oil smell", "tach=412.0", "--text", "after the circuit", "--by", ADA)
        assert made.code == 0, made.err
        record = yaml.safe_load((hangar / made.out.split("\n")[0]).read_text(encoding="utf-8"))
        assert (record["found"], record["meters"]) == ("oil smell", {"tach": 412.0})
        assert record["text"] == "after the circuit"
        odd = lambda: run(hangar, "finding", "oil smell", "tach=9412.0", "--by", ADA)  # noqa: E731
        refused(run, hangar, odd, "more than the clock holds")
        many = lambda: run(hangar, "finding", "oil", "smell", "again", "--by", ADA)  # noqa: E731
        refused(run, hangar, many, "`again` is a word too many: write what belongs together in quotes")
        cleared = run(hangar, "finding", "F1", "tach=413.0", "--cleared", "drain tightened", "--by", ADA, "--yes")
        assert "tach: 413.0" in (hangar / cleared.out.split("\n")[0]).read_text(encoding="utf-8")

    def test_hours_are_a_total_and_that_is_asked_where_the_meter_reads_more(self, run: Run, hangar: Path) -> None:
        """A used tachometer is fitted: eight hours from what it reads would be a thousand and more."""
        used = ("--old", "400", "--new", "1400", "--unrecorded", "0", "--by", ADA, "--yes")
        assert run(hangar, "meter", "tach", *used).code == 0
        put_off = ("finding", "cowl", "nick", "--reason", "cosmetic", "--by", ADA, "--fix")
        told = (
            "1410 h is a total, at which tach will read 2154.5; that tach reads 1410 is `by 665.5 h`. Is it right?"
        )
        refused(run, hangar, lambda: run(hangar, *put_off, "by 1410 h"), told)
        assert run(hangar, *put_off, "by 1410 h", "--yes").code == 0
        assert run(hangar, *put_off, "by 665.5 h").code == 0
        past = run(hangar, *put_off, "by 410 h").err
        assert "410 h is past: the total of tach is 655.5 h\n" in past

    def test_a_total_that_is_past_says_what_the_reading_would_be(self, run: Run, hangar: Path) -> None:
        put_off = ("finding", "cowl", "nick", "--reason", "cosmetic", "--by", ADA, "--fix", "by 410 h")
        told = "410 h is past: the total of tach is 655.5 h; that tach reads 410 is `by 665.5 h`"
        refused(run, hangar, lambda: run(hangar, *put_off), told)

    def test_what_is_on_record_is_put_off_on_a_page_and_how_is_said(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "finding", "stacks", "crack", "--by", ADA).code == 0
        put_off = ("finding", "F1", "--fix", "by 800 h", "--reason", "cosmetic, watched")
        told = run(hangar, *put_off)
        assert told.code == 2
        lines = [line.strip().removeprefix("inspect-kit ") for line in told.err.splitlines()[1:]]
        assert lines[0] == "start stacks --only"
        assert run(hangar, *lines[0].split(), "tach=412.0", "--by", ADA).code == 0
        done = run(hangar, *shlex.split(lines[1]))
        assert done.code == 0, done.err
        assert "may wait by 800 h" in done.out
        # They lead through: nothing has to come off for a limit that is moved.
        words = [ADA if word == "NAME" else word for word in shlex.split(lines[2])]
        signed = run(hangar, *words, "--ink", "log p. 4", typed=(ADA,))
        assert signed.code == 0, signed
        assert not [*(hangar / "records/open").iterdir()]
        (item,) = [each for each in json.loads(run(hangar, "due", "--json").out)["items"] if each["kind"] == "finding"]
        assert (item["due"]["total"], item["state"]) == (800, "later")
        assert run(hangar, "verify").code == 0

    @pytest.mark.parametrize(("fix", "why"), [("before flight", ""), ("by 2026-11-22", "watched"), ("by 656 h", "x y")])
    def test_what_is_on_record_is_to_be_fixed_sooner(self, run: Run, hangar: Path, fix: str, why: str) -> None:
        """It counts from when it is written: no signature is waited for, as for what is put off."""
        put_off = ("finding", "stacks", "scratch", "--reason", "cosmetic", "--by", ADA, "--fix", "by 2027-06-30")
        assert run(hangar, *put_off, on="2026-11-20").code == 0
        assert run(hangar, "start", "stacks", "--only", "tach=402.0", "--by", ADA, on="2026-11-21").code == 0
        reason = ("--reason", why) if why else ()
        assert run(hangar, "finding", "F1", "--fix", fix, *reason, on="2026-11-21").code == 0
        for close in ((), ("sign", "--as", ADA, "--closed", "--reason", "made sooner", "tach=402.0")):
            if close:
                done = run(hangar, *close, typed=(ADA,), on="2026-11-21")
                assert done.code == 0, done
            told = json.loads(run(hangar, "due", "--json", on="2026-11-24").out)
            stops = [each["text"] for each in told["stops"] if "scratch" in each["text"]]
            said = "to fix before flight: scratch" if fix == "before flight" else "past its limit: scratch"
            assert [each.startswith(said) for each in stops] == [True], told["stops"]
        assert run(hangar, "verify", on="2026-11-24").code == 0

    def test_why_it_may_wait_is_asked(self, run: Run, hangar: Path) -> None:
        """It was refused for want of --reason, whatever had been answered before."""
        put_off = ("finding", "stacks", "scratch", "--fix", "by 2027-06-30", "--by", ADA)
        made = run(hangar, *put_off, typed=("n/a", "cosmetic"), on="2026-11-20")
        assert (made.code, made.err.count("Why it may wait by 2027-06-30")) == (0, 2), made.err
        assert yaml.safe_load((hangar / made.out.split("\n")[0]).read_text())["may wait because"] == "cosmetic"
        assert run(hangar, "verify").code == 0
        given = lambda: run(hangar, "finding", "stacks", "nick", "--fix", "by 2027-06-30", "--by", ADA)  # noqa: E731
        refused(run, hangar, given, "has no answer: give it with --reason")

    def test_how_it_is_made_sooner_is_said_as_it_works(self, run: Run, hangar: Path) -> None:
        put_off = ("finding", "stacks", "scratch", "--reason", "cosmetic", "--by", ADA, "--fix", "by 2027-06-30")
        assert run(hangar, *put_off, on="2026-11-20").code == 0
        told = run(hangar, "finding", "F1", "--fix", "before flight", on="2026-11-21")
        lines = [line.strip().removeprefix("inspect-kit ") for line in told.err.splitlines()[1:]]
        assert run(hangar, *shlex.split(lines[0]), "tach=402.0", "--by", ADA, on="2026-11-21").code == 0
        done = run(hangar, *shlex.split(lines[1]), on="2026-11-21")
        assert "is to be fixed before flight, on" in done.out, done
        line = [{"NAME": ADA, "WHY": "made sooner"}.get(each, each) for each in shlex.split(lines[2])]
        signed = run(hangar, *line, "tach=402.0", typed=(ADA,), on="2026-11-21")
        assert signed.code == 0, signed
        assert "to fix before flight: scratch" in run(hangar, "due", on="2026-11-21").out

    def test_its_place_is_given_later(self, run: Run, hangar: Path) -> None:
        record = Path(run(hangar, "finding", ROUGH, on="2026-11-20").out.splitlines()[0])
        before = (hangar / record).read_bytes()
        placed = run(hangar, "finding", "F1", "--under", "stacks", "--by", ADA, on="2026-11-21")
        told = "F1 is under stacks now: Exhaust stacks"
        assert (placed.code, placed.out.splitlines()[1:]) == (0, [told])
        assert (hangar / record).read_bytes() == before
        (found,) = logbook_of(hangar).of_kind(FindingRecord)
        assert found.finding.check == "stacks"
        assert run(hangar, "verify").code == 0
        assert ROUGH in run(hangar, "history", "stacks").out

    def test_a_place_that_was_written_down_stays(self, run: Run, hangar: Path) -> None:
        record = Path(run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-20").out.splitlines()[0]).stem
        elsewhere = lambda: run(hangar, "finding", "F1", "--under", "cowl", "--by", ADA)  # noqa: E731
        refused(run, hangar, elsewhere, f"{record} says the place of its finding: `stacks`")
        nowhere = lambda: run(hangar, "finding", "F1", "--under", "cwol", "--by", ADA)  # noqa: E731
        refused(run, hangar, nowhere, "--under: no check or panel is called `cwol`", "did you mean `cowl`")

    def test_a_single_word_is_a_slip_and_not_a_finding(self, run: Run, hangar: Path) -> None:
        refused(run, hangar, lambda: run(hangar, "finding", "stakcs"), "did you mean `stacks`", "say it in words")
        refused(run, hangar, lambda: run(hangar, "finding", "stakcs", "crack 8 mm"), "did you mean `stacks`")

    def test_it_has_a_box_on_the_next_inspection(self, run: Run, hangar: Path, page: Page) -> None:
        run(hangar, "finding", ROUGH, on="2026-11-20")
        path = page("condition", "tach=405.9")
        assert ROUGH in path.read_text(encoding="utf-8")
        assert ROUGH in run(hangar, "sheet").out + run(hangar, "status").out


class TestTheShortestName:
    def test_f1_is_enough_where_it_is_unique(self, run: Run, hangar: Path) -> None:
        run(hangar, "finding", ROUGH, on="2026-11-20")
        done = run(hangar, "finding", "f1", "--cleared", "lead seated", "--paper", "WO 12", on="2026-11-21")
        assert done.code == 0, done.err
        (work,) = [each for each in logbook_of(hangar).of_kind(Work) if each.clears]
        assert work.paper == "WO 12"

    def test_a_part_of_the_name_of_its_record_will_do_as_everywhere(self, run: Run, hangar: Path) -> None:
        run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-20")
        told = run(hangar, "finding", ROUGH, on="2026-11-20").out
        file = Path(told.splitlines()[0]).stem
        # F1 alone would be one of two.
        assert f"finding {file}#F1 --under CHECK|PANEL" in told
        under = run(hangar, "finding", f"{file[-4:]}#F1", "--under", "cowl", "--by", ADA, on="2026-11-21")
        assert under.code == 0, under.err
        done = run(hangar, "finding", "finding-stacks#F1", "--cleared", "welded", "--by", ADA, on="2026-11-21")
        assert done.code == 0, done.err
        names = [each.name for each in logbook_of(hangar).records]
        (cleared,) = {name for name in names if name.startswith("2026-11-20-finding-stacks")}
        assert done.out.splitlines()[1] == f"{cleared}#F1 is cleared: crack 8 mm"
        assert [each.rpartition("#")[0] for each in logbook_of(hangar).standing()] == [file]

    def test_where_it_is_not_each_is_named(self, run: Run, hangar: Path) -> None:
        run(hangar, "finding", ROUGH, on="2026-11-20")
        run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-20")
        clear = lambda: run(hangar, "finding", "F1", "--cleared", "mended", on="2026-11-21")  # noqa: E731
        told = ("F1 may be one of 2, name one:", ROUGH, "crack 8 mm", "name it 2026-11-20-finding-stacks-")
        refused(run, hangar, clear, *told)

    def test_on_a_page_and_on_record_which_is_meant_is_asked(self, run: Run, hangar: Path, page: Page) -> None:
        run(hangar, "finding", ROUGH, on="2026-11-20")
        path = page("condition", "tach=405.9")
        assert run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-21").code == 0
        # That of an earlier record is called so too: which crack was mended is never guessed.
        for what in (("--cleared", "mended"), ("--fix", "by 2027-05-27", "--reason", "small, and outside")):
            clear = lambda: run(hangar, "finding", "F1", *what, on="2026-11-22")  # noqa: E731, B023
            refused(run, hangar, clear, "F1 may be one of 2", f"crack 8 mm (name it {path.stem}#F1)", ROUGH)
        done = run(hangar, "finding", f"{path.stem}#F1", "--cleared", "mended", on="2026-11-22")
        assert done.out == f"F1 is cleared, on {path.relative_to(hangar).as_posix()}: crack 8 mm\n"
        (earlier,) = logbook_of(hangar).findings()
        done = run(hangar, "finding", earlier, "--cleared", "lead seated", on="2026-11-22")
        assert done.out == f"{earlier} is cleared, on {path.relative_to(hangar).as_posix()}: {ROUGH}\n"

    def test_one_with_a_box_on_two_pages_is_named_by_its_page(self, run: Run, hangar: Path, page: Page) -> None:
        run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-20")
        (earlier,) = logbook_of(hangar).findings()
        inspected = page("condition", "tach=405.9")
        assert run(hangar, "start", "stacks", "--only", "tach=405.9", "--by", ADA).code == 0
        (other,) = {*hangar.glob("records/open/*.md")} - {inspected}
        clear = lambda *named: run(hangar, "finding", *named, "--cleared", "welded", on="2026-11-25")  # noqa: E731
        for named in ("F1", earlier):
            told = [f"crack 8 mm (name it {earlier} --page {each.stem})" for each in (inspected, other)]
            refused(run, hangar, lambda: clear(named), f"{named} may be one of 2", *told)  # noqa: B023
        done = clear(earlier, "--page", inspected.stem)
        assert (done.code, done.out) == (0, f"{earlier} is cleared, on records/open/{inspected.name}: crack 8 mm\n")
        for named in (f"{other.stem}#{earlier}", f"{other.stem}#F1"):
            was = other.read_bytes()
            done = clear(named)
            assert (done.code, done.out) == (0, f"{earlier} is cleared, on records/open/{other.name}: crack 8 mm\n")
            other.write_bytes(was)
        # A part of the page's name that no other page has will do.
        done = clear("F1", "--page", "stacks")
        assert (done.code, done.out) == (0, f"{earlier} is cleared, on records/open/{other.name}: crack 8 mm\n")
        assert all("cleared: 2026-11-25 welded" in each.read_text(encoding="utf-8") for each in (inspected, other))

    def test_what_was_cleared_is_not_cleared_again_unseen(self, run: Run, hangar: Path, page: Page) -> None:
        run(hangar, "finding", ROUGH, on="2026-11-20")
        clear = lambda: run(hangar, "finding", "F1", "--cleared", "lead seated", on="2026-11-21")  # noqa: E731
        assert clear().code == 0
        refused(run, hangar, clear, "no finding F1 is open", "was cleared: 2026-11-21 lead seated", "a new finding")
        page("condition", "tach=405.9")
        assert run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-21").code == 0
        assert clear().code == 0
        refused(run, hangar, clear, "F1 is cleared already: 2026-11-21 lead seated", "a new finding")

    def test_what_was_cleared_on_its_page_is_none_of_two(self, run: Run, hangar: Path, page: Page) -> None:
        page("condition", "tach=405.9")
        assert run(hangar, "finding", "stacks", "crack 8 mm", on="2026-11-21").code == 0
        assert run(hangar, "finding", "F1", "--cleared", "welded", on="2026-11-21").code == 0
        noticed = run(hangar, "finding", ROUGH, "--by", ADA, on="2026-11-21").out
        assert "finding F1 --under CHECK|PANEL" in noticed
        done = run(hangar, "finding", "F1", "--cleared", "lead seated", "--by", ADA, on="2026-11-22")
        assert f"{Path(noticed.splitlines()[0]).stem}#F1 is cleared" in done.out, done.err


def test_on_a_page_stands_who_did_it_where_and_by_which_paper(run: Run, hangar: Path, page: Page) -> None:
    """A page knows people by name: whoever is on no list becomes a helper, and stands whole in the words."""
    path, swift = page("condition", "tach=405.9"), "R. Swift, mechanic (airframe and powerplant), 1234567"
    raised = run(hangar, "finding", "stacks", "crack 8 mm", "--by", swift, "--at", "Upper Meadow", on="2026-11-21")
    assert raised.code == 0, raised.err
    assert f"found: F1 crack 8 mm, found by {swift}, at Upper Meadow\n" in path.read_text(encoding="utf-8")
    words = ("finding", "F1", "--cleared", "welded", "--by", swift, "--at", "Lower Meadow", "--paper", "WO 77")
    done = run(hangar, *words, on="2026-11-22")
    assert done.code == 0, done.err
    text = path.read_text(encoding="utf-8")
    assert f"cleared: 2026-11-22 welded, by {swift}, at Lower Meadow, see WO 77; by: R. Swift\n" in text
    assert "R. Swift" in re.search("(?m)^helpers:.*", text)[0]  # type: ignore[index]
    signed = sign(run, hangar, on="2026-11-23")
    assert signed.code == 0, signed


@pytest.mark.parametrize("words", ["-", "n/a", "____", "TBD", "\u2013"])
def test_a_reason_that_says_nothing_is_none(run: Run, hangar: Path, words: str) -> None:
    """`--cleared "-"` cleared a crack."""
    assert run(hangar, "finding", "stacks", "a crack", "--by", "Ada Bellcrank").code == 0
    assert run(hangar, "start", "oil", "--only", "tach=405.6", "--by", "Ada Bellcrank").code == 0
    was = {path.name: path.read_bytes() for path in hangar.rglob("*") if path.is_file()}
    for typed in (
        ("finding", "F1", "--cleared", words),
        ("finding", "F1", "--fix", "by 2027-01-31", "--reason", words),
        ("sign", "--as", "Ada Bellcrank", "--closed", "--reason", words),
    ):
        outcome = run(hangar, *typed, typed=("Ada Bellcrank",))
        assert outcome.code == 2
        assert f"`{words}` says nothing: write it in words" in outcome.err
    assert {path.name: path.read_bytes() for path in hangar.rglob("*") if path.is_file()} == was


WEAK = ("--read", "cylinder 1=76", "--read", "cylinder 2=58", "--found", "compression=leaks past the exhaust valve")


class TestAReadingPastItsLimit:
    """A finding that it raised is cleared with what is read since, wherever it is cleared."""

    def test_on_record(self, run: Run, hangar: Path) -> None:
        assert run(hangar, "work", "compression", "tach=405.9", "--by", ADA, *WEAK, on="2026-11-20").code == 0
        words = ("finding", "F1", "--cleared", "valve lapped", "--by", ADA)
        clear = lambda: run(hangar, *words, on="2026-11-20")  # noqa: E731
        past = "cylinder 2 is 58 psi, the limit is at least 60"
        refused(run, hangar, clear, past, 'give it with --read "cylinder 2=VALUE"')
        low = lambda: run(hangar, *words, "--read", "cylinder 2=59", on="2026-11-20")  # noqa: E731
        refused(run, hangar, low, "cylinder 2 is 59 psi, the limit is at least 60: the finding stays open")
        other = lambda: run(hangar, *words, "--read", "cylinder 1=76", on="2026-11-20")  # noqa: E731
        refused(run, hangar, other, "nothing asks for `cylinder 1` at")
        done = run(hangar, *words, "--read", "cylinder 2=70 psi", on="2026-11-20")
        assert done.code == 0, done.err
        work = logbook_of(hangar).of_kind(Work)
        (record,) = [each for each in work if each.clears]
        (reading,) = record.readings
        assert (reading.check, reading.label, reading.value) == ("compression", "cylinder 2", "70")
        assert run(hangar, "verify").code == 0

    def test_asked_where_it_is_not_given(self, run: Run, hangar: Path) -> None:
        run(hangar, "work", "compression", "tach=405.9", "--by", ADA, *WEAK, on="2026-11-20")
        done = run(hangar, "finding", "F1", "--cleared", "lapped", "--by", ADA, typed=("58", "71"), on="2026-11-21")
        assert done.code == 0, done.err
        assert "the finding stays open" in done.err

    def test_read_anew_before_it_is_cleared(self, run: Run, hangar: Path) -> None:
        run(hangar, "work", "compression", "tach=405.9", "--by", ADA, *WEAK, on="2026-11-20")
        good = ("--read", "cylinder 1=76", "--read", "cylinder 2=72")
        assert run(hangar, "work", "compression", "tach=405.9", "--by", ADA, *good, on="2026-11-21").code == 0
        assert run(hangar, "finding", "F1", "--cleared", "lapped", "--by", ADA, on="2026-11-21").code == 0
        assert run(hangar, "verify").code == 0

    def test_by_hand_it_is_a_problem(self, run: Run, hangar: Path) -> None:
        made = run(hangar, "work", "compression", "tach=405.9", "--by", ADA, *WEAK, on="2026-11-20")
        name = Path(made.out.splitlines()[0]).stem
        for words in ("valve lapped", "raised in error: the gauge was stuck"):
            by_hand = f"format: 1\nkind: work\ndate: 2026-11-21\nclears: [{name}#F1]\ntext: {words!r}\nby: {ADA}\n"
            path = hangar / "records/2026/2026-11-21-cleared-b2qt.yaml"
            path.write_text(by_hand, encoding="utf-8")
            told = run(hangar, "verify")
            assert told.code != 0
            assert "nothing was read since that is within its limit: cylinder 2 is 58 psi" in told.out + told.err
        path.write_text(by_hand + "readings: {compression: {cylinder 2: 70 psi (at least 60)}}\n", encoding="utf-8")
        assert run(hangar, "verify").code == 0

    def test_on_a_page(self, run: Run, hangar: Path, page: Page) -> None:
        path = page("condition", "tach=405.9")
        text = path.read_text(encoding="utf-8")
        path.write_text(re.sub("cylinder 2: \\S+ psi", "cylinder 2: 58 psi", text), encoding="utf-8")
        assert run(hangar, "finding", "compression", "leaks", "--by", ADA).code == 0
        clear = ("finding", "F1", "--cleared", "lapped", "--by", ADA)
        refused(run, hangar, lambda: run(hangar, *clear), "cylinder 2 is 58 psi")
        assert run(hangar, *clear, "--read", "cylinder 2=70").code == 0
        assert "- again: 70 psi\n" in path.read_text(encoding="utf-8")


    def test_one_that_is_reckoned_is_read_by_any_of_its_readings(self, run: Run, hangar: Path, page: Page) -> None:
        """76 - 60 = 16 with at most 15. It was refused, and `--read` told that nothing is past its limit."""
        cowl = hangar / "checklists/nose/cowl.md"
        spread = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text(encoding="utf-8").replace("psi, at least 60\n", spread), encoding="utf-8")
        path = page("condition", "tach=405.9")
        text = re.sub("cylinder 2: \\S+ psi", "cylinder 2: 60 psi", path.read_text(encoding="utf-8"))
        path.write_text(re.sub("cylinder 1: \\S+ psi", "cylinder 1: 76 psi", text), encoding="utf-8")
        assert run(hangar, "finding", "compression", "too far apart", "--by", ADA).code == 0
        clear = ("finding", "F1", "--cleared", "gauge mended", "--by", ADA)
        far = "spread is 16 psi (76 - 60), the limit is at most 15"
        refused(run, hangar, lambda: run(hangar, *clear), f"{far}: the finding stays open")
        less = lambda: run(hangar, *clear, "--read", "cylinder 2=60.5")  # noqa: E731
        refused(run, hangar, less, "spread is 15.5 psi (76 - 60.5)", "the finding stays open")
        done = run(hangar, *clear, "--read", "cylinder 1=70")
        assert done.code == 0, done.err
        assert re.findall(r"- again: (.*)\n", path.read_text(encoding="utf-8")) == ["70 psi"]


def test_a_helper_of_the_page_is_offered_and_named(run: Run, hangar: Path) -> None:
    """`nobody of aircraft.yaml is called so` was said of a helper whom the walk offers on the same page."""
    begun = run(hangar, "start", "condition", "tach=405.9", "--helper", "Tom Wren", "--by", ADA)
    made = run(hangar, "finding", "stacks", "a crack", typed=("tom wren",))
    assert made.code == 0, made.err
    assert ", 3 Tom Wren, or NAME" in made.err
    assert run(hangar, "finding", "stacks", "a dent", "--by", "Tom Wren").code == 0
    text = (hangar / begun.out.strip()).read_text(encoding="utf-8")
    assert re.findall(r"found: (F\d .*)", text) == ["F1 a crack, found by Tom Wren", "F2 a dent, found by Tom Wren"]


def test_who_came_later_is_written_onto_the_page(run: Run, hangar: Path, page: Page) -> None:
    path = page("condition", "tach=405.9", filled=False)
    done = run(hangar, "helper", "Cy Redwing")
    assert done.code == 0, done.err
    assert re.search(r'^helpers: \["?Cy Redwing"?\]$', path.read_text(encoding="utf-8"), re.MULTILINE)
    twice = lambda: run(hangar, "helper", "cy redwing")  # noqa: E731
    refused(run, hangar, twice, "already: name another one")


def test_a_finding_of_the_day_of_an_inspection_says_which_came_first(run: Run, hangar: Path, page: Page) -> None:
    """It waits for the very next one: typed in the evening, found in the morning, it is due with that of this day."""
    page("condition", "tach=400.0")
    assert sign(run, hangar, "--ink", "log p. 44").code == 0
    words = ("finding", "cowl", "ding", "--fix", "at next condition inspection", "--reason", "cosmetic", "--by", ADA)

    def due_of(*more: str) -> str:
        made = run(hangar, *words, *more, on="2026-11-22")
        assert made.code == 0, made.err
        name = Path(made.out.split("\n")[0]).stem
        items = json.loads(run(hangar, "due", "--json", on="2026-11-22").out)["items"]
        return next(item["due"]["date"] for item in items if item["check"] == f"{name}#F1")

    assert due_of("--follows", "none") == "2026-11-22"
    assert due_of() == "2027-11-30"
    assert run(hangar, "verify").code == 0


def test_nobody_is_asked_who_found_what_has_no_place(run: Run, hangar: Path) -> None:
    told = run(hangar, "finding", "zz", typed=(ADA,), on="2026-11-20")
    assert told.code == 2
    assert "Who found it" not in told.err
    assert "no check or panel is called `zz`" in told.err


class TestTheNameOfADiscrepancyThatLivesOn:
    """`RECORD#F1` of a list of discrepancies was told to be cleared, and to be written down once more."""

    @pytest.fixture
    def listed(self, run: Run, hangar: Path, page: Page) -> str:
        page("condition", "tach=400.0", on="2026-11-14")
        assert run(hangar, "finding", "stacks", "crack 8 mm", "--by", ADA, on="2026-11-14").code == 0
        assert sign(run, hangar, "--not-passed", on="2026-11-15").code == 0
        (record,) = hangar.glob("records/2026/*not-passed*.yaml")
        return f"{record.stem}#F1"

    @pytest.mark.parametrize("part", ["", "condition-not-passed#F1"])
    def test_is_the_one_on_the_page_that_stayed_open(self, run: Run, hangar: Path, listed: str, part: str) -> None:
        off = ("--fix", "by 2026-12-24", "--reason", "cosmetic, watched at each flight")
        assert run(hangar, "finding", part or listed, *off).code == 0
        cleared = run(hangar, "finding", part or listed, "--cleared", "stack replaced", "--by", ADA)
        assert cleared.code == 0, cleared.err
        assert cleared.out.startswith("F1 is cleared, on records/open/2026-11-14-condition-")
        assert sign(run, hangar, "--ink", "log p. 3", on="2026-11-25").code == 0
        assert json.loads(run(hangar, "due", "--json").out)["stops"] == []
        again = lambda: run(hangar, "finding", listed, "--cleared", "once more", "--by", ADA)  # noqa: E731
        refused(run, hangar, again, f"{listed} was cleared: with the page that it stood on. What has come back")

    def test_is_the_one_in_the_record_as_which_the_page_was_closed(self, run: Run, hangar: Path, listed: str) -> None:
        assert sign(run, hangar, "--closed", "--reason", "sold", on="2026-11-20").code == 0
        cleared = run(hangar, "finding", listed, "--cleared", "stack replaced", "--by", ADA)
        assert cleared.code == 0, cleared.err
        assert "condition-not-done" in cleared.out
        kinds = [stop["kind"] for stop in json.loads(run(hangar, "due", "--json").out)["stops"]]
        assert kinds == ["inspection-not-passed"]
