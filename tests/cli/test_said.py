"""What is said and asked: words broken nowhere on a terminal, yes and no, dates as people type them."""

import io
import re
import select
import sys
from pathlib import Path

import pytest

from inspect_kit.cli import said
from inspect_kit.cli.said import broken, confirmed, yes_or_no
from inspect_kit.cli.walk_keys import forget_typed
from inspect_kit.report.measure import width
from tests.cli.conftest import Run
from tests.cli.test_sealing import ADA, refused
from tests.cli.test_working import written

LONG = (
    "--by: nobody of aircraft.yaml is called `Marsh`; did you mean `Jo Marsh`? Else say who it was, --by "
    '"Marsh, mechanic (airframe and powerplant), 1234567", or name them under `people`'
)


Words = tuple[str, ...]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("columns", [60, 80, 120])
@pytest.mark.parametrize("text", [LONG, f"  {LONG}", f"first\n{LONG}", "é" * 30 + " " + LONG, "short"])
def test_a_terminal_breaks_no_word(monkeypatch: pytest.MonkeyPatch, columns: int, text: str) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = broken(text, Terminal()).split("\n")
    assert all(width(line) <= columns for line in lines)
    assert " ".join(lines).split() == text.split()
    assert broken(text, io.StringIO()) == text


def test_a_path_alone_is_left_to_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Broken here it could not be copied whole."""
    monkeypatch.setenv("COLUMNS", "60")
    path = "records/2026/2026-11-28-landing-light-of-another-maker-8jsp.yaml"
    assert broken(f"{path}\n  {path}", Terminal()) == f"{path}\n  {path}"


@pytest.mark.parametrize("no_color", ["", "1"])
def test_what_presses_stands_out_on_a_terminal_as_on_a_page(monkeypatch: pytest.MonkeyPatch, no_color: str) -> None:
    """The mark in red and all of it bold, where `due` says the same; what goes on stands below the words."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setenv("NO_COLOR", no_color)
    said.say(f"!! {LONG}", err=True)
    said.say("no more than that", err=True)
    pressing, calm = stream.getvalue().rsplit("\n", 2)[:2]
    red, bold, plain = "\x1b[31m", "\x1b[1m", "\x1b[0m"
    assert pressing.startswith(f"{bold if no_color else red + bold}!!{plain}{bold} --by: nobody")
    assert pressing.endswith(plain)
    assert all(line.startswith("   ") and width(line) <= 60 for line in pressing.split("\n")[1:-1])
    assert calm.removesuffix(plain) == "no more than that"


# What is no prose: a table drawn to the window already, JSON, a whole file, a path or a command to copy, empty lines.
DRAWN = (
    *("json_text", "plain.render", "text.replace", "BEGIN", "str(target", "kept)", "written)", "line.rstrip"),
    *('"\\n".join(f"    {step}"', '"\\n".join(f"    {line}"', 'f"$ {command}"', '"$ " + ', "err=", ")"),
)


def test_whatever_is_told_is_broken_between_words() -> None:
    """By `say`; the walk breaks its own lines, to its own width."""
    files = [file for file in Path(said.__file__).parent.glob("*.py") if not file.name.startswith(("walk_", "said"))]
    lines = [line for file in files for line in file.read_text(encoding="utf-8").splitlines()]
    told = [line.partition("echo(")[2] for line in lines if re.search(r"click\.s?echo\(", line)]
    assert len(told) > 10
    assert [each for each in told if not each.startswith(DRAWN)] == []


def test_what_was_typed_before_a_question_stood_there_is_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    with open(ours, "wb", buffering=0) as keys, open(theirs, encoding="utf-8") as terminal:
        monkeypatch.setattr(sys, "stdin", terminal)
        keys.write(b"\n\n")
        assert select.select([terminal], [], [], 1)[0]
        forget_typed()
        assert not select.select([terminal], [], [], 0)[0]


def test_the_way_back_goes_over_all_that_a_command_asks(run: Run, hangar: Path) -> None:
    """Over what other questions lie between, and whatever asked them; what was typed before stays."""
    typed = ("<", "405.9", "7", "74", "worn", "<", "<", "<", "76", "74", "<", "75", "1")
    made = run(hangar, "work", "compression", typed=typed, on="2026-11-20")
    assert made.code == 0, made.err
    assert made.err.count("this is the first question: there is none before it") == 1
    record = written(hangar)
    assert [each.value for each in record.readings] == ["76", "75"]
    assert (record.findings, str(record.meters["tach"])) == ((), "405.9")


def test_what_is_declined_is_an_answer_and_ends(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("inspect_kit.cli.said.somebody", lambda: True)
    declined = run(hangar, "hours", "tach=4059", typed=("no", "yes"))
    assert (declined.code, "comes once more" in declined.err) == (2, False), declined


@pytest.mark.parametrize(
    ("words", "question", "typed", "told"),
    [
        (("hours",), "Which reading: tach=412.6", ("405.9",), "hours-"),
        (("hours",), "Which reading: tach=412.6", ("nothing", "<", "tach=405.9"), "hours-"),
        (("meter",), "Which meter: tach", ("tach", "400", "0", "", "1"), "tach-changed"),
        (("history",), "Which panel, check or position", ("change the oil",), "History of oil"),
        (("finding",), "Where: a check or a panel", ("rough at 2000 rpm", "1"), "finding-"),
        (("start", "--by", ADA, "tach=405.9"), "", (), "name an inspection"),
        (("calendar",), "Into which file, outside the store", ("../x.txt",), "ends as this answer is written"),
        (("find",), "Which words", ("brought forward",), "Find: brought forward"),
        (("withdraw",), "Which record", ("nowhere",), "no record is called"),
    ],
)
def test_what_a_command_cannot_do_without_is_asked(
    run: Run, hangar: Path, words: Words, question: str, typed: Words, told: str
) -> None:
    """`install` alone said `Missing argument 'POSITION'` while `weighing` alone asks wheel by wheel."""
    made = run(hangar, *words, typed=typed)
    assert question in made.err, made
    assert told in made.out + made.err, made


def test_what_nobody_answered_is_said(run: Run, hangar: Path) -> None:
    made = run(hangar, "work", "oil", "tach=405.9", on="2026-11-20")
    assert (made.code, "Nobody answers; not known: Who did it" in made.err) == (0, True)


def test_a_finding_that_was_raised_is_told_at_the_end(run: Run, hangar: Path) -> None:
    words = ("work", "compression", "tach=405.9", "--by", ADA, "--read", "cylinder 1=7", "--read", "cylinder 2=74")
    made = run(hangar, *words, "--found", "compression=leaks past the exhaust valve", on="2026-11-20")
    assert made.code == 0, made.err
    name = written(hangar).name
    assert f"{name}#F1 is open, to fix before flight: leaks past the exhaust valve" in made.out


def test_a_question_leaves_room_for_its_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    plugs = "One plug out of every cylinder, all leads off (plugs-out)"
    question = f"Was the aircraft set up so for it: {plugs}? That disturbs ignition."
    for times in range(1, 5):
        *above, last = broken(" ".join([question] * times), Terminal(), room=12).split("\n")
        assert width(last) <= 68
        assert all(width(line) <= 80 for line in above)
    # Above the line that is answered nothing is left free.
    head = "1 of 17: Battery capacity test: begun with the battery full and on the bench"
    below = "  Every 12 months: last done (Enter: not known)"
    assert broken(f"{head}\n{below}", Terminal(), room=12) == f"{head}\n{below}"


def test_what_enter_takes_is_not_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    who = "Who weighed it: 1 Your Name, or NAME, KIND, NUMBER"
    for enter in ("(Enter: not known)", "(Enter: 1 builder (experimental))", "(yes, no; Enter: no)"):
        assert broken(f"{who} and so on {enter}", Terminal(), room=12).endswith(f"\n{enter}")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("y", True), ("Yes", True), ("NO", False), ("n", False), ("", None), ("nope", None), ("1", None)],
)
def test_yes_and_no(typed: str, meant: bool | None) -> None:
    assert yes_or_no(typed) is meant


def test_what_is_neither_is_asked_again(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("1\nperhaps\ny\n"))
    assert confirmed("Is it right?") is True
    assert capsys.readouterr().err.count("expected yes or no") == 2
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert confirmed("Is it right?") is None


@pytest.mark.parametrize("day", ["2026-11-20", "20 November 2026", "Nov 20, 2026", "20.11.2026", "11/20/2026"])
def test_a_day_in_every_form_that_can_be_one_day_only(run: Run, hangar: Path, day: str) -> None:
    assert run(hangar, "hours", "tach=405.9", on=day).out.startswith("records/2026/2026-11-20-hours-")


def test_a_day_that_can_be_two_is_asked_back(run: Run, hangar: Path) -> None:
    said = run(hangar, "hours", "tach=405.9", on="3/4/2026").err
    assert "`3/4/2026` is 2026-03-04 or 2026-04-03: write the one that is meant" in said


def test_a_reading_that_cannot_be_is_asked_again_at_once(run: Run, hangar: Path) -> None:
    """Not refused at the end, when all the other answers would be lost."""
    made = run(hangar, "work", "--text", "washed", typed=("25", "405.9", "", "1"), on="2026-11-20")
    assert made.code == 0, made.err
    assert "tach reads 25 on 2026-11-20, lower than " in made.err
    assert written(hangar).meters["tach"].as_tuple().exponent == -1
    assert written(hangar).by is not None


@pytest.mark.parametrize(
    ("more", "typed", "opened"),
    [
        ((), ("no such, cowl", "cowl, none of", "cowl", "1"), ("cowl",)),
        ((), ("", "1"), ()),
        (("--opened", "none"), ("1",), ()),
        (("--flight-check", "done"), ("Cornelius Redwing, private pilot, 7654321", "y"), ()),
    ],
)
def test_what_was_done_in_words_says_which_panels_came_off(
    run: Run, hangar: Path, more: tuple[str, ...], typed: tuple[str, ...], opened: tuple[str, ...]
) -> None:
    """A puncture behind a fairing showed in no history of that fairing; a flight opens nothing."""
    made = run(hangar, "work", "tach=405.9", "--text", "washed", *more, typed=typed, on="2026-11-20")
    assert made.code == 0, made.err
    assert written(hangar).opened == opened
    assert ("Which panels came off" in made.err) is (not more)


def test_every_meter_by_which_a_check_comes_round_is_asked(run: Run, hangar: Path) -> None:
    """Done without its landings it was unknown when it is due, and nobody had asked for them."""
    damper = "`damper` Damper\n  - every: 300 landings\n- [ ] `elt` Emergency"
    for file, old, new in (
        ("records/aircraft.yaml", "{tach: {unit: h}}", "{tach: {unit: h}, landings: {unit: landings}}"),
        ("checklists/cabin/floor.md", "`elt` Emergency", damper),
    ):
        path = hangar / file
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")
    made = run(hangar, "work", "damper", "--by", ADA, typed=("405.9", "611"), on="2026-11-20")
    assert made.code == 0, made.err
    assert {name: str(reads) for name, reads in written(hangar).meters.items()} == {"tach": "405.9", "landings": "611"}
    # Nor is it asked where nothing comes by it, or where it is said.
    for words in (("elt",), ("damper", "landings=620")):
        again = run(hangar, "work", *words, "tach=406.0", "--by", ADA, on="2026-11-21")
        assert (again.code, "landings reads" in again.err) == (0, False), again.err


@pytest.mark.parametrize("answer", ["", "77"])
def test_a_value_that_was_mistyped_is_asked_again(run: Run, hangar: Path, answer: str) -> None:
    """A number is no answer to what was found, but the reading that was meant."""
    typed = ("7", "74", answer, "77", "74")
    made = run(hangar, "work", "compression", "tach=405.9", "--by", ADA, typed=typed, on="2026-11-20")
    assert made.code == 0, made.err
    assert "what was found (Enter: mistyped, asked again)" in made.err
    assert [each.value for each in written(hangar).readings] == ["77", "74"]
    assert written(hangar).findings == ()


def test_a_value_out_of_its_limit_that_was_given_wants_a_finding(run: Run, hangar: Path) -> None:
    words = ("work", "compression", "tach=405.9", "--by", ADA, "--read", "cylinder 1=7", "--read", "cylinder 2=74")
    refused(run, hangar, lambda: run(hangar, *words, on="2026-11-20"), "give it with --found compression=WHAT")


def test_the_past_of_an_inspection_is_asked_in_one_go(run: Run, tmp_path: Path) -> None:
    """What comes with the inspection alone was done with the last one, or nobody knows when."""
    from tests.cli.test_beginning import EACH, WHOLE, items

    own = tmp_path / "own"
    whole = WHOLE[: -len(EACH)]
    made = run(None, "new", str(own), typed=(*whole, "maybe", "yes", "14 March 2026, 380.2, log 3", "=", "."))
    assert made.code == 0, made.err
    assert "expected yes or no" in made.err
    assert "\n  After `Battery capacity test` on 2026-03-14: last done" in made.err
    now = items(run, own)
    for name in ("tools-counted", "oil-screens", "battery-discharge", "battery-capacity"):
        assert now[name]["last"]["date"] == "2026-03-14", name  # type: ignore[index]
    assert now["tyres"]["state"] == "unknown"
    assert run(own, "verify").code == 0


def test_a_month_has_no_last_day_by_itself(run: Run, tmp_path: Path) -> None:
    from tests.cli.test_beginning import WHOLE, _asked_items

    order = _asked_items(run, tmp_path)
    blank = ("",) * order.index("extinguisher")
    made = run(None, "new", str(tmp_path / "own"), typed=(*WHOLE, *blank, "2027-11", "30 Nov 2027", "."))
    assert "`2027-11` has no day: 2027-11-30 is its last, 2027-11-01 the safe one" in made.err
    assert "good-until: 2027-11-30" in next((tmp_path / "own/records").rglob("*brought*")).read_text()


def test_what_is_fitted_says_since_when(run: Run, hangar: Path) -> None:
    """Not since the day on which somebody wrote down that it was fitted."""
    path = hangar / "records/2026/2026-09-01-past.yaml"
    fitted = "fitted:\n  magneto-left: {serial: M1, part: Acme, fitted-on: 2019-05-17}\n"
    path.write_text(path.read_text() + fitted, encoding="utf-8")
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {magneto-left: {}}\n", encoding="utf-8")
    said = run(hangar, "remove", "magneto-left", "tach=405.9").err
    assert "holds serial M1 since 2019-05-17: it comes out." in said


def test_an_entry_says_on_the_terminal_for_which_aircraft_it_is(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever has a store of their own and sits in the folder of the sample writes into its records."""
    quiet = run(hangar, "hours", "tach=412.6")
    assert (quiet.code, "written for" in quiet.err) == (0, False)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    assert "written for N0XX, Sparrow S-1 7" in run(hangar, "hours", "tach=412.8").err
