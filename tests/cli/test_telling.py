"""What was set, changed, fitted, stocked, directed and searched, told at the command line: asked for every fact not
given, written as a person would write it, and counted at once."""

import json
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.main import cli
from inspect_kit.cli.telling import COMMANDS
from inspect_kit.model.kinds import KINDS
from inspect_kit.model.kinds.change import Change
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.kinds.setting import Setting
from inspect_kit.model.logbook import Logbook
from tests.cli.conftest import Run
from tests.cli.test_sealing import refused

TODAY = "2026-11-25"
BY = ("--by", "Wilma Fieldfare")
# Kinds that are told otherwise: by commands of their own, which ask more than the keys; what is brought forward besides
# `new` by hand.
ELSEWHERE = {"hours", "work", "finding", "inspection", "signature", "installed", "removed", "meter-change"}
ELSEWHERE |= {"amendment", "paper-entry", "brought-forward", "weighing", "phase"}


def book(root: Path) -> Logbook:
    logbook = store.load(root).logbook
    assert logbook is not None
    assert not logbook.problems
    return logbook


def barred(run: Run, root: Path) -> list[str]:
    told = json.loads(run(root, "due", "--json", on=TODAY).out)
    return [each["text"] for each in told["no_passengers"] if each["kind"] != "phase"]


def test_every_kind_has_its_command_or_is_told_otherwise() -> None:
    assert {command.name for command in COMMANDS} == {kind.name for kind in KINDS} - ELSEWHERE


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: str(command.name))
def test_every_key_can_be_given_and_the_help_has_an_example(command) -> None:
    (kind,) = [kind for kind in KINDS if kind.name == command.name]
    options = {option for each in command.params for option in each.opts} - {"words"}
    no_keys = {"--flight-check", "--by", "--at", "--paper", "--text", "--yes", "--follows", "--previously-complied"}
    asked = len(options) - len(no_keys & options)
    # Where a change is entered is told by the option of every entry.
    asked += command.name == "change"
    assert asked == len(kind.keys) - 1, "one key stands behind the command, each other has its option"
    assert f"\n    {command.name} " in command.help
    assert cli.commands[command.name] is command


# Settings by name, and what they are on: what that touches, "" where it is nothing that wants a flight check.
PITCH, RIGGING, CONTROLS = "propeller-pitch", "rigging", "flight-controls"
TOUCHED = [
    *(("pitch", "propeller", PITCH), ("blade-angle", "propeller", PITCH), ("track", "propeller", PITCH)),
    *(("prop-pitch", "propeller", PITCH), ("propeller-pitch", "", PITCH), ("blade-pitch", "", PITCH)),
    *(("prop-pitch", "", PITCH), ("rig", CONTROLS, CONTROLS), ("elevator-travel", CONTROLS, CONTROLS)),
    *(("rigging", "", RIGGING), ("aileron-rigging", "", RIGGING), ("rigging-of-wings", "", RIGGING)),
    *(("throttle-rigging", "engine", RIGGING), ("cable-tension", "cables", CONTROLS)),
    *(("idle-mixture", "engine", ""), ("fine-pitch", "engine", ""), ("gap", "magneto-left", ""), ("track", "", "")),
    *(("engine-controls", "", ""), ("pitching", "", ""), ("brake-pressure", "", "")),
]


class TestSetting:
    def test_it_is_asked_and_written(self, run: Run, wren: Path) -> None:
        typed = ("23.9", "propeller", "12.0 deg", "12.5 deg", "slow climb", "not needed: static run, 2150 rpm", "1")
        made = run(wren, "setting", "Propeller pitch", on=TODAY, typed=typed)
        assert made.code == 0, made.err
        # Where it was set last is taken for granted.
        assert "Of which position, check or panel (Enter: propeller)" in made.err
        assert "propeller-pitch and propeller touched: is a flight check `required`" in made.err
        last = book(wren).of_kind(Setting)[-1]
        assert (last.setting, last.on, last.from_, last.to) == ("propeller-pitch", "propeller", "12.0 deg", "12.5 deg")
        assert (last.because, last.by.name, str(last.meters["tach"])) == ("slow climb", "Wilma Fieldfare", "23.9")
        assert last.flight_check.words == "static run, 2150 rpm"
        asked = run(wren, "setting", "idle-mixture", "tach=23.9", on=TODAY, typed=("",))
        assert "Of which position, check or panel (Enter: of the aircraft)" in asked.err

    def test_without_an_answer_passengers_are_barred(self, run: Run, wren: Path) -> None:
        words = ("tach=23.9", "--of", "propeller", "--found-at", "", "--set-to", "12.5 deg", "--reason", "climb", *BY)
        before = barred(run, wren)
        assert run(wren, "setting", "propeller-pitch", *words, on=TODAY).code == 0
        (more,) = [each for each in barred(run, wren) if each not in before]
        assert "nothing says whether a flight check is required" in more

    @pytest.mark.parametrize(("name", "of", "touched"), TOUCHED)
    def test_whatever_it_is_called_a_flight_check_is_asked_by_what_it_is_on(
        self, run: Run, wren: Path, name: str, of: str, touched: str
    ) -> None:
        """`pitch` and `blade-angle` of the propeller barred nobody: only `propeller-pitch` asked."""
        aircraft = wren / "records/aircraft.yaml"
        own = "flight-check-after: [flight-controls, rigging, propeller-pitch, propeller]\n"
        aircraft.write_text(aircraft.read_text().replace(own, ""))
        panel = next((wren / "checklists").rglob("*.md"))
        panel.write_text(f"{panel.read_text()}- [ ] `cables` Cables\n  - every: 100 h\n  - disturbs: flight-controls\n")
        before = barred(run, wren)
        words = ("tach=23.9", "--of", of, "--found-at", "", "--set-to", "12 deg", "--reason", "it hunted", *BY)
        made = run(wren, "setting", name, *words, on=TODAY)
        assert made.code == 0, made.err
        assert (f"{touched} touched: is a flight check `required`" in made.err) is bool(touched)
        more = [each for each in barred(run, wren) if each not in before]
        assert len(more) == bool(touched)

    def test_a_reason_that_is_none_is_asked_again_where_it_was_asked(self, run: Run, wren: Path) -> None:
        """It was refused once all else was answered, by the key of the file, and the last question came again."""
        typed = ("engine", "", "25 rpm", "n/a", "hunting at idle")
        made = run(wren, "setting", "idle-mixture", "tach=23.9", *BY, typed=typed, on=TODAY)
        assert (made.code, made.err.count("Why")) == (0, 2), made.err
        assert "`n/a` is no reason: say why, in words" in made.err
        assert book(wren).of_kind(Setting)[-1].because == "hunting at idle"
        given = ("--of", "engine", "--set-to", "25 rpm", "--found-at", "", "--reason", "n/a")
        told = "--reason: `n/a` is no reason: say why, in words"
        refused(run, wren, lambda: run(wren, "setting", "idle-mixture", "tach=23.9", *given, *BY, on=TODAY), told)

    def test_nothing_is_asked_of_the_mixture(self, run: Run, wren: Path) -> None:
        words = ("tach=23.9", "--of", "engine", "--found-at", "", "--set-to", "25 rpm", "--reason", "hunting", *BY)
        made = run(wren, "setting", "idle-mixture", *words, on=TODAY)
        assert made.code == 0, made.err
        assert "flight check" not in made.err

    def test_a_slip_of_a_name_on_record_is_asked_and_noted(self, run: Run, wren: Path) -> None:
        words = ("--of", "engine", "--reason", "hunting", *BY)
        assert run(wren, "setting", "idle-mixture", "tach=23.9", "--set-to", "40 rpm", *words, on=TODAY).code == 0
        again = ("setting", "idle-mxture", "tach=23.9", "--set-to", "25 rpm", *words)
        asked = run(wren, *again, on=TODAY)
        assert (asked.code, "`idle-mixture` is, and what is set here would not follow it" in asked.err) == (2, True)
        assert run(wren, *again, "--yes", on=TODAY).code == 0
        noted = " ".join(run(wren, "verify", on=TODAY).out.split())
        assert "`idle-mxture` is not `idle-mixture`, which was set before" in noted

    def test_what_was_set_in_words_has_no_trend(self, run: Run, wren: Path) -> None:
        words = ("tach=23.9", "--of", "engine", "--found-at", "", "--set-to", "rich", "--reason", "hunting", *BY)
        assert run(wren, "setting", "idle-mixture", *words, on=TODAY).code == 0
        told = run(wren, "trend", "idle-mixture", on=TODAY)
        assert told.code == 2
        assert "`idle-mixture` was set to no number, so it has no trend: `inspect-kit status --all`" in told.err
        assert "rich" in run(wren, "status", "--all", on=TODAY).out

    @pytest.mark.parametrize(
        ("words", "told"),
        [
            (("idle-mixture", "--of", "engin"), "did you mean `engine`?"),
            (("idle-mixture", "--of", "engine", "--set-to", ""), "`Set to` has no answer: give it with --set-to"),
            (("idle mixture", "engine"), "`engine` is a word too many: write what belongs together in quotes"),
            (("1/2",), "SETTING: `1/2` is not an id"),
            ((), "`What was set, such as idle-mixture or propeller-pitch` has no answer: inspect-kit setting SETTING"),
        ],
    )
    def test_what_cannot_be_written(self, run: Run, wren: Path, words: tuple[str, ...], told: str) -> None:
        refused(run, wren, lambda: run(wren, "setting", *words, *BY, on=TODAY), told)


class TestChange:
    MINOR = ("--answer", "minor", "--asked", "nobody", "--came-with", "", "--flight-check", "not needed: on the ground")

    def test_one_not_decided_bars_passengers_until_it_is(self, run: Run, wren: Path) -> None:
        said = ("tach=23.9", "--answer", "not decided", "--came-with", "", "--flight-check", "", *BY)
        before = barred(run, wren)
        made = run(wren, "change", "wheel pants", *said, on=TODAY)
        assert made.code == 0, made.err
        (more,) = [each for each in barred(run, wren) if each not in before]
        assert "wheel pants" in more
        name = Path(made.out.split()[0]).stem
        decided = run(wren, "change", "wheel pants", "tach=23.9", *self.MINOR, *BY, on=TODAY, typed=("",))
        assert decided.code == 0, decided.err
        assert f"Which change on record this decides (Enter: {name})" in decided.err
        assert name in [each.of for each in book(wren).of_kind(Change)]
        assert barred(run, wren) == before

    def test_what_is_refused_names_the_option_and_not_the_key(self, run: Run, wren: Path) -> None:
        major = "kind: change\ndate: 2026-11-20\nwhat: skis\nanswer: major\nasked: nobody\nphase: flight-test\n"
        (wren / "records/2026/2026-11-20-skis.yaml").write_text(f"format: 1\n{major}by: Wilma Fieldfare\n")
        words = ("change", "skis", "tach=23.9", "--decides", "2026-11-20-skis", *self.MINOR, *BY)
        refused(run, wren, lambda: run(wren, *words, on=TODAY), "--decides: 2026-11-20-skis is decided, as a major")

    def test_what_bars_is_what_is_offered_to_be_decided(self, run: Run, wren: Path) -> None:
        """Also where an entry of an earlier day names it: nothing that came before decides it."""
        words = "format: 1\nkind: change\ndate: {}\nwhat: {}\nanswer: {}\nasked: nobody\nby: Wilma Fieldfare\n"
        folder = wren / "records/2026"
        (folder / "2026-11-02-skis.yaml").write_text(words.format("2026-11-02", "skis", "not decided"))
        earlier = words.format("2026-11-01", "wheels", "minor") + "of: 2026-11-02-skis\n"
        (folder / "2026-11-01-wheels.yaml").write_text(earlier)
        assert any("skis" in each for each in barred(run, wren))
        decided = run(wren, "change", "skis", "tach=23.9", *self.MINOR, *BY, on=TODAY, typed=("",))
        assert decided.code == 0, decided.err
        assert "decides (Enter: 2026-11-02-skis)" in decided.err
        assert not any("skis" in each for each in barred(run, wren))

    def test_a_major_one_opens_its_phase(self, run: Run, wren: Path) -> None:
        """Entry, area, notice and concurrence are asked; hours and area are those of the phase."""
        (phase,) = [*book(wren).aircraft.phases][:1]
        asked = ("major", "district office", "", "", "aircraft log p. 9", "5", "", "letter of 20 June", "")
        made = run(wren, "change", "larger tail", "tach=23.9", on=TODAY, typed=(*asked, "required", "1"))
        assert made.code == 0, made.err
        last = book(wren).of_kind(Change)[-1]
        assert (last.answer, last.phase, str(last.hours)) == ("major", phase, "5")
        assert last.area == book(wren).aircraft.phases[phase].area
        assert last.wanted == ("concurrence of the FSDO",)
        assert last.flight_check.word == "required"

    def test_what_is_told_later_decides_it_anew_with_all_that_is_known(self, run: Run, wren: Path) -> None:
        """And the hours that the phase says are no fewer than it says."""
        asked = ("major", "district office", "", "after-change", "aircraft log p. 9", "", "over the strip", "", "")
        assert run(wren, "change", "larger tail", "tach=23.9", on=TODAY, typed=(*asked, "required", "1")).code == 0
        name = book(wren).of_kind(Change)[-1].name
        path = next((wren / "records").rglob(f"{name}.yaml"))
        path.write_text(path.read_text().replace("hours: 5\n", ""))
        typed = ("", "major", "", "", "", "", "", "letter of 20 June", "no answer by 30 June")
        again = ("change", "tach=24.0", "--decides", name, "--hours", "5", "--flight-check", "required", *BY)
        made = run(wren, *again, on=TODAY, typed=typed)
        assert made.code == 0, made.err
        assert "What was changed (Enter: larger tail)" in made.err
        # It had to be typed anew, and what came with it was lost.
        assert "Whom you asked, or nobody (Enter: district office)" in made.err
        last = next(each for each in book(wren).of_kind(Change) if each.of == name)
        assert (last.what, last.asked, last.area) == ("larger tail", "district office", "over the strip")
        assert last.entry == "aircraft log p. 9"
        assert last.wanted == ()

    def test_more_told_of_one_that_opened_its_phase_opens_it_no_later(self, run: Run, wren: Path) -> None:
        """The phase was told as open since the day on which the concurrence was written down; from which reading its
        hours count nobody could see, and one flight check was required twice.
        """
        asked = ("--asked", "district office", "--came-with", "", "--phase", "after-change")
        asked = (*asked, "--area", "", "--hours", "")
        said = ("--answer", "major", *asked, "--flight-check", "required", *BY)
        entry = ("--paper", "log p. 9", "--notice", "letter of 20 June")
        opened = run(wren, "change", "larger tail", "tach=23.9", *entry, "--concurrence", "", *said, on="2026-11-18")
        assert opened.code == 0, opened.err
        (name,) = [each.name for each in book(wren).of_kind(Change) if each.what == "larger tail"]
        granted = ("--concurrence", "letter of 30 June", "--decides", name)
        told = run(wren, "change", "larger tail", *entry, *granted, *said, on="2026-11-19", typed=("",))
        assert told.code == 0, told.err
        (last,) = [each for each in book(wren).of_kind(Change) if each.of == name]
        assert f"inspect-kit amend {last.name} tach=READING" in " ".join((told.out + told.err).split())
        assert run(wren, "hours", "tach=25.0", on="2026-11-20").code == 0
        facts = json.loads(run(wren, "due", "--json", on="2026-11-20").out)
        (phase,) = [each for each in facts["no_passengers"] if each.get("phase") == "after-change"]
        assert phase["since"] == "2026-11-18"
        page = " ".join(run(wren, "due", "--all", on="2026-11-20").out.split())
        assert f"counted from the first reading after {last.name}" in page
        flights = [each["file"] for each in facts["no_passengers"] if each["kind"] == "flight-check"]
        assert [Path(each).stem for each in flights if Path(each).stem in (name, last.name)] == [last.name]

    def test_a_major_one_without_phases_says_where_they_are_written(self, run: Run, hangar: Path) -> None:
        words = ("--answer", "major", "--asked", "nobody", "--came-with", "")
        told = "a major change is flown in a phase, and aircraft.yaml has no `phases`: write them there"
        refused(run, hangar, lambda: run(hangar, "change", "a propeller", "tach=405.0", *words, on=TODAY), told)
        refused(run, hangar, lambda: run(hangar, "phase", "--begins"), "phases: {flight-test: {hours: 5, statement:")

    def test_an_answer_that_is_none(self, run: Run, wren: Path) -> None:
        said = ("--answer", "small", *BY)
        told = "expected `minor` or `major` or `not decided`, not `small`"
        refused(run, wren, lambda: run(wren, "change", "a light", *said, on=TODAY), told)


class TestEquipment:
    def test_a_number_alone_is_in_the_units_of_the_aircraft(self, run: Run, wren: Path) -> None:
        before = json.loads(run(wren, "balance", "--json", on=TODAY).out)["empty"]["weight"]
        words = ("--change", "in", "--weight", "2.4", "--arm", "14", "--came-with", "")
        assert run(wren, "equipment", "second radio", *words, *BY, on=TODAY).code == 0
        after = json.loads(run(wren, "balance", "--json", on=TODAY).out)["empty"]["weight"]
        assert round(after - before, 6) == 2.4

    @pytest.mark.parametrize("typed", ["second radio", "Second Radio", "1"])
    def test_the_work_it_came_with_is_named_by_its_words_or_its_number(self, typed: str, run: Run, wren: Path) -> None:
        """A change written a minute before was found by no words of its name."""
        work = run(wren, "change", "second radio fitted", "tach=23.9", *TestChange.MINOR, *BY, on=TODAY)
        words = ("--change", "in", "--weight", "2.4", "--arm", "14")
        made = run(wren, "equipment", "second radio", *words, *BY, on=TODAY, typed=(typed,))
        assert made.code == 0, made.err
        asked = "Which fittings or work it came with: 1 second-radio-fitted, or words of a name (Enter: none)"
        assert asked in made.err
        assert book(wren).of_kind(Equipment)[-1].came_with == (Path(work.out.split()[0]).stem,)

    def test_a_fitting_that_says_nothing_is_offered(self, run: Run, wren: Path) -> None:
        fit = ("install", "propeller", "tach=23.9", "--serial", "P2", "--part", "Knot 70-46", "--no-change", "")
        more = ("--since-new", "0", "--since-overhaul", "", "--made", "", "--from", "", "--where", "")
        more += ("--reason", "new")
        made = run(wren, *fit, *more, "--flight-check", "required", *BY, on=TODAY)
        assert made.code == 0, made.err
        (new,) = (Path(line).stem for line in made.out.split() if line.endswith(".yaml"))
        said = ("equipment", "--no-change", "same weight, same place")
        told = run(wren, *said, *BY, on=TODAY, typed=("",))
        assert told.code == 0, told.err
        assert f"(Enter: {new})" in told.err
        assert run(wren, "verify", on=TODAY).code == 0
        # What is no reason is asked again at once: it was refused behind the last question, which came again instead.
        out = ("remove", "propeller", "tach=23.9", "--where", "bench", "--reason", "new", "--flight-check", "required")
        gone = run(wren, *out, *BY, on=TODAY, typed=("1", "same weight"))
        assert "`1` is no reason: say why, in words" in gone.err
        assert gone.err.count("Why it changes neither weight nor balance") == 2


class TestDirective:
    LETTER = ("--issuer", "maker", "--subject", "cracks", "--authority", "maker's letter", "--revision", "A")

    def test_a_later_decision_repeats_what_has_not_changed(self, run: Run, wren: Path) -> None:
        letter = (*self.LETTER, "--issued", "2026-10-01", *BY)
        first = run(wren, "directive", "SL-9", *letter, on="2026-11-20", typed=("engine", ""))
        assert first.code == 0, first.err
        assert "not decided" in run(wren, "directives", on=TODAY).out
        typed = ("", "", "", "", "", "", "no: another serial")
        again = run(wren, "directive", "SL-9", *BY, on=TODAY, typed=typed)
        assert (again.code, "(Enter: maker)" in again.err) == (0, True), again
        one, other = book(wren).of_kind(Directive)[-2:]
        same = ("number", "issuer", "subject", "authority", "revision", "issued", "on")
        assert [getattr(one, key) for key in same] == [getattr(other, key) for key in same]

    def test_one_that_was_done_for_good(self, run: Run, wren: Path) -> None:
        asked = ("--product", "aircraft", "--applies", "yes", "--every", "", "--once", "before flight", "--check", "")
        typed = ("new fork", "2026-06-01", "bushing replaced", "A. Swift, mechanic, 1234567")
        made = run(wren, "directive", "AD-1", *self.LETTER, "--issued", "", *asked, *BY, on=TODAY, typed=typed)
        assert made.code == 0, made.err
        last = book(wren).of_kind(Directive)[-1]
        assert (last.method, str(last.done_on), last.done) == ("new fork", "2026-06-01", "bushing replaced")


def test_what_lies_on_the_shelf_and_what_was_searched(run: Run, wren: Path) -> None:
    typed = ("6 qt", "L7", "2029-06-30", "", "54")
    made = run(wren, "stock", "engine oil", on=TODAY, typed=typed)
    assert made.code == 0, made.err
    assert "L7" in run(wren, "parts", on=TODAY).out
    made = run(wren, "search", "public list", "--product", "aircraft, engin", *BY, on=TODAY)
    assert (made.code, "did you mean `engine`?" in made.err) == (2, True), made
    made = run(wren, "search", "public list", "--product", "aircraft, engine", "--results", "", *BY, on=TODAY)
    assert made.code == 0, made.err
    assert "public list" in run(wren, "directives", on=TODAY).out


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: str(command.name))
def test_an_empty_answer_is_enter(run: Run, wren: Path, command) -> None:  # type: ignore[no-untyped-def]
    """Every option given with nothing in it, and each alone: what is missing is said, and nothing breaks."""
    own = [each.opts[0] for each in command.params if each.opts[0].startswith("--") and not each.is_flag]
    for options in (own, *([each] for each in own)):
        words = [word for option in options if option != "--by" for word in (option, "")]
        assert run(wren, str(command.name), "x", *words, *BY, on=TODAY).code in (0, 1, 2), options


@pytest.mark.parametrize("empty", [("--applies", ""), ("--product", ""), ("--product", "", "--applies", "")])
def test_what_enter_would_take_is_taken_for_an_empty_option(run: Run, wren: Path, empty: tuple[str, ...]) -> None:
    said = ("--issuer", "X", "--subject", "cracks", "--authority", "maker's letter", "--revision", "", "--issued", "")
    told = run(wren, "directive", "SL-90", *said, *empty, *BY, on=TODAY)
    assert told.code == 0, told.err
    (made,) = [each for each in book(wren).of_kind(Directive) if each.number == "SL-90"]
    assert (made.on, made.applies.word) == ("aircraft", "not decided")


@pytest.mark.parametrize(
    "option", ["--opened", "--used", "--disturbed", "--repaired", "--read", "--found", "--recheck", "--good-until"]
)
def test_what_may_be_repeated_and_has_nothing_in_it_is_not_said(run: Run, hangar: Path, option: str) -> None:
    words = ("work", "tach=405.0", "--text", "tyre changed", "--by", "Ada Bellcrank")
    made = run(hangar, *words, option, "", typed=("",), on="2026-11-25")
    assert made.code == 0, made.err
    assert ("Which panels came off" in made.err) is (option != "--opened")
    assert run(hangar, "hours", "tach=406.0", "--added", "", on="2026-11-25").code == 0


def test_of_what_has_no_field_that_can_be_replaced_that_is_said(run: Run, hangar: Path) -> None:
    entered = "format: 1\nkind: signature\ndate: 2026-09-02\nof: 2026-09-01-past\nink: log p. 4\nby: Ada Bellcrank\n"
    (hangar / "records/2026/2026-09-02-sig.yaml").write_text(entered, encoding="utf-8")
    told = run(hangar, "amend", "2026-09-02-sig", "ink=log p. 45", "--reason", "a slip", "--by", "Ada Bellcrank").err
    assert "No field of it can be replaced; what it leaves out is said in words alone, with --reason" in told
