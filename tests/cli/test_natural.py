"""What is typed as one would say it is understood or asked back; what is not said is asked, in one manner."""

import io
import sys
from functools import partial
from pathlib import Path

import pytest

from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import say, with_back
from inspect_kit.cli.unusual import NotSure, asking
from inspect_kit.errors import Misused
from inspect_kit.past import parse_said_quantity, said_parts
from inspect_kit.text.aircraft import parse_session
from inspect_kit.text.grammar import parse_number
from tests.cli.conftest import Run, entered

ADA = "Ada Bellcrank"


def record(hangar: Path, words: str) -> str:
    (found,) = (hangar / "records/2026").glob(f"*{words}*.yaml")
    return found.read_text()


@pytest.mark.parametrize(
    "words",
    [("tach", "405.9"), ("405.9",), ("tach=405.9",), ("tach=405,9",), ("405,9",)],
    ids=["a blank", "the only meter", "as ever", "a comma", "a comma alone"],
)
def test_a_reading_as_it_is_said(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    assert run(hangar, "hours", *words, on="2026-11-20").code == 0
    assert "tach: 405.9\n" in record(hangar, "-hours-")


def test_a_comma_is_the_decimal_sign_wherever_a_number_is_typed(run: Run, hangar: Path) -> None:
    """But for one before three digits, which may part thousands."""
    typed = ("1,405", "405,9", "76,5", "77", ADA)
    made = run(hangar, "work", "compression", typed=typed, on="2026-11-20")
    assert (made.code, "a decimal point, as in 1.405, or no comma, as in 1405" in made.err) == (0, True), made.err
    assert "tach: 405.9\n" in record(hangar, "-compression-")
    assert "cylinder 1: 76.5 psi" in record(hangar, "-compression-")
    assert parse_said_quantity("weight", "lb", "354,5") == parse_said_quantity("weight", "lb", "354.5")


@pytest.mark.parametrize("words", ["oil=0,5 l", "oil 0,5l", "0,5 l oil"])
def test_an_amount_has_its_comma_as_every_number(run: Run, hangar: Path, words: str) -> None:
    made = run(hangar, "hours", "tach=405,9", "--added", words, on="2026-11-20")
    assert made.code == 0, made.err
    assert "oil: 0.5 l\n" in record(hangar, "-hours-")


@pytest.mark.parametrize("words", ["oil 1 qt", "oil 1qt", "1 qt oil", "1qt of oil", "oil=1qt", "oil=1 qt"])
def test_an_amount_as_it_is_said(run: Run, hangar: Path, words: str) -> None:
    made = run(hangar, "hours", "tach=405.9", "--added", words, on="2026-11-20")
    assert made.code == 0, made.err
    assert "oil: 1 qt\n" in record(hangar, "-hours-")


def test_a_form_is_shown_with_a_meter_of_this_aircraft(run: Run, hangar: Path) -> None:
    assert "expected METER=READING, such as tach=412.6, not `hobbs`" in run(hangar, "hours", "hobbs").err
    told = run(hangar, "work", "oil", "tach", "405.9").err
    assert "`tach` is a meter: write its reading in one word, such as tach=412.6" in told


def test_what_a_command_is_about_is_asked(run: Run, hangar: Path) -> None:
    made = run(hangar, "hours", typed=("405.9",), on="2026-11-20")
    assert (made.code, "Which reading: tach=412.6" in made.err) == (0, True), made.err
    assert "tach: 405.9\n" in record(hangar, "-hours-")
    taken = run(hangar, "withdraw", typed=("nothing", "-x", "hours", "the other aeroplane", "1"), on="2026-11-20")
    assert taken.code == 0, taken.err
    assert "Which record, a part of its name is enough: 2026-11-20-hours-" in taken.err
    assert "  no record is called `nothing`" in taken.err
    assert "  `-x` begins as an option does" in taken.err


def test_what_is_taken_back_is_shown_before_it_is_asked_why(run: Run, hangar: Path) -> None:
    entered(hangar, "2026-11-18-oil", "kind: work\ndate: 2026-11-18\nmeters: {tach: 404.0}\ntext: drained\n")
    told = run(hangar, "withdraw", "2026-11-18-oil", typed=("another aeroplane", ADA)).err
    assert told.index("2026-11-18-oil says: tach 404.0; drained") < told.index("Why is it withdrawn")


def test_a_position_is_offered(run: Run, hangar: Path) -> None:
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {engine: {}, magneto-left: {}}\n")
    made = run(hangar, "install", typed=("propeller", "magneto left", "405.9", "M-1", *[""] * 6, "1"), on="2026-11-20")
    assert made.code == 0, made.err
    assert "Which position: engine, magneto-left:" in made.err
    assert "  no position is called `propeller`" in made.err
    assert "position: magneto-left\n" in record(hangar, "magneto-left")


def test_where_nobody_answers_the_line_to_type_is_said(run: Run, hangar: Path) -> None:
    told = run(hangar, "withdraw")
    assert (told.code, "nobody answers `Which record" in told.err) == (2, True)
    assert "inspect-kit withdraw RECORD" in told.err


def test_before_the_records_begin_nothing_is_said_of_reasons(run: Run, hangar: Path) -> None:
    """What is written down from paper, of a day of which only what was brought forward is known."""
    cowl = hangar / "checklists/nose/cowl.md"
    barring = "`filter` Air filter\n  - every: 5 h\n  - bars: flight\n- [ ] `oil`"
    cowl.write_text(cowl.read_text().replace("`oil`", barring))
    assert run(hangar, "hours", "tach=395.0", on="2026-08-20").code == 0
    early = run(hangar, "work", "pulleys", "tach=399.9", "--by", ADA, on="2026-08-30")
    assert early.code == 0, early.err
    later = run(hangar, "hours", "tach=409.9", on="2026-11-20")
    assert "Reasons on record not to fly" not in early.err
    assert "Reasons on record not to fly on 2026-11-20" in later.err


LETTER = ("directive", "AD 1", "--issuer", "the authority", "--subject", "cracks", "--revision", "", "--issued", "")
OLDER = ("--previously-complied", "no")
DECIDED = (*LETTER, "--product", "aircraft", "--grace", "", "--method", "", "--by", ADA)


@pytest.mark.parametrize("said", ["AD", "ad", "Emergency AD", "airworthiness directive"])
def test_an_airworthiness_directive_is_written_under_its_whole_name(run: Run, hangar: Path, said: str) -> None:
    assert run(hangar, *DECIDED, "--authority", said, "--applies", "not decided").code == 0
    assert "authority: airworthiness directive\n" in record(hangar, "-ad-1-")


def test_what_may_bind_is_asked_back_at_its_question(run: Run, hangar: Path) -> None:
    typed = ("letter named in an AD", "maker's letter")
    made = run(hangar, *DECIDED, "--applies", "not decided", typed=typed)
    assert (made.code, "may be one that binds: say airworthiness directive" in made.err) == (0, True), made.err
    assert "authority: maker's letter\n" in record(hangar, "-ad-1-")


def test_a_limit_as_it_is_said(run: Run, hangar: Path) -> None:
    """And what comes again and again wants the check that does it."""
    typed = ("50 hours", "", "oil")
    made = run(hangar, *DECIDED, "--authority", "maker's letter", "--applies", "yes", *OLDER, typed=typed)
    assert made.code == 0, made.err
    assert "  this must be answered" in made.err
    assert "every: 50 h\n" in record(hangar, "-ad-1-")


def test_an_answer_with_two_meanings_is_asked_again(run: Run, hangar: Path) -> None:
    """And not refused with the loss of all other answers."""
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {magneto-left: {}, magneto-right: {}}\n")
    told = ("--authority", "maker's letter", "--applies", "not decided", "--by", ADA)
    made = run(hangar, *LETTER, *told, typed=("magneto", "magneto-left"))
    assert (made.code, "`magneto` may be one of 2" in made.err) == (0, True), made.err


def test_a_major_change_without_a_phase_is_refused_at_its_answer(run: Run, hangar: Path) -> None:
    typed = ("405.9", "major", "minor", "nobody", "", "not needed: lit on the ground", "1")
    made = run(hangar, "change", "another propeller", typed=typed)
    assert made.code == 0, made.err
    assert made.err.index("aircraft.yaml has no `phases`") < made.err.index("Whom you asked")


def test_all_products_at_once(run: Run, hangar: Path) -> None:
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {engine: {}, magneto-left: {}}\n")
    assert run(hangar, "search", "the public list", "--product", "all", "--results", "", "--by", ADA).code == 0
    assert "products:\n  - aircraft\n  - engine\n  - magneto-left\n" in record(hangar, "-public-list-")


def test_a_code_of_digits_alone_is_enough(run: Run, hangar: Path) -> None:
    entered(hangar, "2026-11-18-hours-8637", "kind: hours\ndate: 2026-11-18\nmeters: {tach: 404.0}\n")
    entered(hangar, "2026-11-19-hours-24rf", "kind: hours\ndate: 2026-11-19\nmeters: {tach: 404.0}\n")
    assert "2026-11-18" in run(hangar, "report", "8637").out
    assert "no record is called `2026`" in run(hangar, "report", "2026").err


def test_what_cannot_be_taken_back_is_refused_before_anything_is_asked(run: Run, hangar: Path) -> None:
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA).code == 0
    told = run(hangar, "withdraw", "finding")
    assert (told.code, "Why is it withdrawn" in told.err) == (1, False)
    assert "is not withdrawn: a finding is cleared" in told.err


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_at_a_terminal_a_refusal_costs_no_answers(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The last question comes once more, and from there one goes back to the wrong one; bad answers come no more."""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    tries = iter(["refused", ""])

    def asks() -> int:
        answers({}, [Question(name="a", words="First")])
        found = answers({}, [Question(name="b", words="Second", read=parse_number)])["b"]
        if next(tries):
            raise Misused("that cannot be")
        return int(found)

    monkeypatch.setattr(sys, "stdin", Terminal("one\nx\n2\n3\n"))
    assert with_back(asks, lambda: False) == 3
    told = capsys.readouterr().err
    assert told.count("First") == 1
    assert "inspect-kit: that cannot be\nYour answers are kept; the last question comes once more." in told
    assert told.count("such as 412.6, not `x`") == 1


def test_going_back_keeps_what_was_typed_and_says_nothing_twice(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def asks() -> list[str]:
        say("of a part", err=True)
        return [answers({}, [Question(name="x", words=words)])["x"] for words in ("First", "Second", "Third")]

    monkeypatch.setattr(sys, "stdin", Terminal("one\ntwo\n<\n\nthree\n"))
    assert with_back(asks, lambda: False) == ["one", "two", "three"]
    told = capsys.readouterr().err
    assert (told.count("of a part"), "Second (Enter: two)" in told) == (1, True), told


def test_a_no_to_a_doubt_loses_no_answer(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """As everywhere at a terminal: what is doubted is given anew, and the rest stands."""

    def write(part: str, sure: bool) -> str:
        if part == "slip" and not sure:
            raise NotSure({"Is it right?": ""})
        return part

    def asks() -> str:
        part = answers({}, [Question(name="part", words="Part")])["part"]
        return asking(partial(write, part), False)

    monkeypatch.setattr("inspect_kit.cli.unusual.somebody", lambda: True)
    monkeypatch.setattr(sys, "stdin", Terminal("slip\nno\nMakers M-4\n"))
    assert with_back(asks, lambda: False) == "Makers M-4"
    assert "Part (Enter: slip)" in capsys.readouterr().err


@pytest.mark.parametrize("words", [("work", "oil", "tach=900"), ("work", "oil"), ("hours", "tach=900")])
def test_a_no_to_what_a_meter_reads_asks_that_anew(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    """A point that was forgotten: it was the last question that came again, and the line could not be given anew."""
    monkeypatch.setattr("inspect_kit.cli.unusual.somebody", lambda: True)
    asks = () if words[-1] != "oil" else ("900",)
    typed = (*asks, *(("none", "1") if words[0] == "work" else ()), "no", "x", "405,9")
    done = run(hangar, *words, typed=typed, on="2026-11-20")
    assert done.code == 0, done.err
    assert "this is the first question" not in done.err
    assert "tach: 405.9\n" in record(hangar, "oil" if words[0] == "work" else "hours")
    assert (done.err.count("Who did it"), done.err.count("Used")) == ((1, 1) if words[0] == "work" else (0, 0))


@pytest.mark.parametrize(("usual", "answer"), [("Makers M-4", "Makers M-4"), ("", "M-5")])
def test_the_answer_before_once_more_is_no_name(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], usual: str, answer: str
) -> None:
    """`new` takes = for it; elsewhere it was written down as the name of a part."""
    monkeypatch.setattr(sys, "stdin", Terminal("=\nM-5\n"))
    assert answers({}, [Question(name="part", words="Part", default=usual)])["part"] == answer
    assert ("`=` is no answer here: say it, or Enter" in capsys.readouterr().err) == (not usual)


def test_what_a_record_says_already_is_no_amendment(run: Run, hangar: Path) -> None:
    assert run(hangar, "hours", "tach=405.9", on="2026-11-20").code == 0
    words = ("amend", "hours", "tach=405.5", "--reason", "misread", "--by", ADA)
    assert run(hangar, *words).code == 0
    again = run(hangar, *words)
    assert (again.code, "says so already: tach=405.5" in again.err) == (2, True), again.err


def test_hours_of_one_digit() -> None:
    assert parse_session("Saturday 9:00-17:00") == parse_session("Saturday 09:00-17:00")


def test_a_finding_on_the_open_page_is_an_open_finding(run: Run, hangar: Path) -> None:
    """`Open findings 0` stood below the reason that one was to be fixed before flight."""
    assert run(hangar, "start", "stacks", "--only", "tach=405.0", "--by", ADA, on="2026-11-10").code == 0
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-11-10").code == 0
    assert "Open findings 0, 1 more on an open page" in run(hangar, "status").out


def test_a_label_that_two_checks_have_is_told_with_its_check(run: Run, hangar: Path) -> None:
    cowl = hangar / "checklists/nose/cowl.md"
    more = "- [ ] `warm` Warm\n  - every: 50 h\n  - reads: cylinder 1, psi\n"
    cowl.write_text(cowl.read_text() + more)
    told = run(hangar, "work", "compression", "warm", "tach=405.0", "--by", ADA, "--read", "compression=76").err
    assert "readings: compression.cylinder 1, cylinder 2, warm.cylinder 1" in told


def test_a_number_alone_is_of_the_meter_that_times_are_counted_by(run: Run, hangar: Path) -> None:
    aircraft = hangar / "records/aircraft.yaml"
    two = "meters: {landings: {unit: landings}, tach: {unit: h}}"
    aircraft.write_text(aircraft.read_text().replace("meters: {tach: {unit: h}}", two))
    assert run(hangar, "hours", "405.9", on="2026-11-20").code == 0
    assert "tach: 405.9\n" in record(hangar, "-hours-")


def at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("inspect_kit.cli.signing.somebody", lambda: True)


def signed(run: Run, hangar: Path, *typed: str) -> str:
    assert run(hangar, "start", "oil", "--only", "tach=405.0", "--by", ADA, on="2026-11-10").code == 0
    (page,) = (hangar / "records/open").glob("*.md")
    page.write_text(page.read_text().replace("[ ]", "[x]").replace("used: ____", "used: none"))
    told = run(hangar, "sign", "--as", ADA, "--ink", "p. 1", typed=typed, on="2026-11-20")
    assert told.code == 0, told
    return record(hangar, "-work-")


def test_who_signs_is_asked_what_the_clock_reads_now(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_a_terminal(monkeypatch)
    assert "tach: 405.9\n" in signed(run, hangar, "404", "405.9", ADA)


def test_each_meter_of_the_page_is_asked(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other meter was sealed as read on the last day, though it was read on the first."""
    at_a_terminal(monkeypatch)
    aircraft = hangar / "records/aircraft.yaml"
    two = "meters: {landings: {unit: landings}, tach: {unit: h}}"
    aircraft.write_text(aircraft.read_text().replace("meters: {tach: {unit: h}}", two))
    assert run(hangar, "start", "oil", "--only", "tach=405.0", "landings=10", "--by", ADA, on="2026-11-10").code == 0
    (page,) = (hangar / "records/open").glob("*.md")
    page.write_text(page.read_text().replace("[ ]", "[x]").replace("used: ____", "used: none"))
    told = run(hangar, "sign", "--as", ADA, "--ink", "p. 1", typed=("405.9", "12", ADA), on="2026-11-20")
    assert told.code == 0, told
    assert "  tach: 405.9\n  landings: 12\n" in record(hangar, "-work-")


def test_where_it_is_signed_is_asked_too(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at_a_terminal(monkeypatch)
    assert run(hangar, "start", "oil", "--only", "tach=405.0", "--by", ADA, on="2026-11-10").code == 0
    (page,) = (hangar / "records/open").glob("*.md")
    page.write_text(page.read_text().replace("[ ]", "[x]").replace("used: ____", "used: none"))
    told = run(hangar, "sign", "--as", "bellcrank", typed=("", "somewhere", "log p. 4", ADA), on="2026-11-20")
    assert (told.code, "`somewhere` leads nowhere" in told.err) == (0, True), told
    assert "ink: log p. 4\n" in record(hangar, "-signature-")


def test_and_may_leave_it_as_the_page_has_it(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at_a_terminal(monkeypatch)
    assert "tach: 405.0\n" in signed(run, hangar, "", ADA)


def test_the_last_reading_stands_beside_the_question_for_the_next(run: Run, hangar: Path) -> None:
    """Of a meter that was changed too it is what it showed, not the total."""
    assert "tach reads, last 400.0, = the same (Enter: not known)" in run(hangar, "work", "oil", typed=("405.0",)).err
    same = run(hangar, "work", "oil", "--by", ADA, "--used", "none", typed=("=",), on="2026-11-20")
    assert (same.code, "tach: 400.0\n" in record(hangar, "2026-11-20-oil-")) == (0, True), same.err


def test_a_signature_in_ink_is_asked_for(run: Run, hangar: Path) -> None:
    signed(run, hangar, ADA)
    told = run(hangar, "signature", "2026-11-20-work", typed=("44",), on="2026-11-21")
    assert "Where it is signed in ink: logbook and page" in told.err


@pytest.mark.parametrize(
    "said",
    [
        "5 qt engine oil; 1 oil filter; 2 crush gaskets",
        "5 qt engine oil, 1 oil filter, 2 crush gaskets",
        "5qt engine oil, 1 oil filter and 2 crush gaskets",
    ],
)
def test_parts_as_one_lists_them(run: Run, hangar: Path, said: str) -> None:
    made = run(hangar, "work", "oil", "tach=405.0", "--by", ADA, "--used", said, on="2026-11-20")
    assert made.code == 0, made.err
    assert "parts:\n  - 5 qt engine oil\n  - 1 oil filter\n  - 2 crush gaskets\n" in record(hangar, "-oil-")


def test_the_comma_of_an_amount_parts_nothing() -> None:
    assert said_parts("5,5 qt engine oil, 1 oil filter") == "5.5 qt engine oil; 1 oil filter"


def test_a_comma_in_the_name_of_a_part_parts_nothing() -> None:
    assert said_parts("tube 5.00-5, 6 ply") == "tube 5.00-5, 6 ply"
    assert said_parts("1 bulb, clear, 28 V") == "1 bulb, clear, 28 V"


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        (("R. Swift, builder, 1234567", "y"), "repairman (experimental aircraft builder)"),
        (("R. Swift, builder, 1234567", "n"), "builder"),
        (("R. Swift, inspector, 1234567",), "inspector"),
    ],
)
def test_half_of_a_kind_is_asked_back(run: Run, hangar: Path, typed: tuple[str, ...], kind: str) -> None:
    made = run(hangar, "work", "tach=405.0", "--text", "washed", typed=("", *typed), on="2026-11-20")
    assert made.code == 0, made.err
    assert f"kind: {kind}\n" in record(hangar, "-work-")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("oil", "did:\n  - oil\n"),
        ("oil stacks", "did:\n  - oil\n  - stacks\n"),
        ("tube replaced", "text: tube replaced\n"),
    ],
)
def test_what_was_done_is_asked(run: Run, hangar: Path, typed: str, told: str) -> None:
    made = run(hangar, "work", "tach=405.0", "--by", ADA, "--used", "none", typed=("nothing", typed), on="2026-11-20")
    assert made.code == 0, made.err
    assert "no check is called `nothing`" in made.err
    assert told in next((hangar / "records/2026").glob("2026-11-20-*.yaml")).read_text()
    bare = run(hangar, "work", "tach=405.0")
    assert (bare.code, "name a check, or say what was done with --text" in bare.err) == (2, True)


def test_a_finding_alone_is_asked_how_it_was_corrected(run: Run, hangar: Path) -> None:
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-11-10").code == 0
    made = run(hangar, "finding", "F1", typed=("welded", "1"), on="2026-11-20")
    assert made.code == 0, made.err
    assert "How F1 was corrected (Enter: it was not)" in made.err
    assert "text: welded\n" in record(hangar, "-cleared-")
    assert "no finding F1 is open: " in run(hangar, "finding", "F1", on="2026-11-20").err


def test_an_option_that_stands_alone_says_what_it_wants(run: Run, hangar: Path) -> None:
    told = run(hangar, "finding", "F1", "--cleared")
    assert (told.code, "--cleared wants HOW behind it: How it was corrected." in told.err) == (2, True)


def test_who_signs_is_asked(run: Run, hangar: Path) -> None:
    """Without --as it said that nobody has that name."""
    assert run(hangar, "start", "oil", "--only", "tach=405.0", "--by", ADA, on="2026-11-10").code == 0
    (page,) = (hangar / "records/open").glob("*.md")
    page.write_text(page.read_text().replace("[ ]", "[x]").replace("used: ____", "used: none"))
    alone = run(hangar, "sign", on="2026-11-20")
    assert (alone.code, "Not signed; nothing was changed." in alone.err) == (1, True), alone
    told = run(hangar, "sign", "--ink", "p. 1", typed=("Ada Belcrank", "", ADA), on="2026-11-20")
    assert told.code == 0, told
    assert f"Who signs (Enter: {ADA})" in told.err
    assert f"nobody of aircraft.yaml is called `Ada Belcrank`; did you mean `{ADA}`?" in told.err


def test_the_due_list_says_how_what_is_unknown_is_told_without_an_editor(run: Run, hangar: Path) -> None:
    """It named the file and the line alone."""
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text().replace("  oil: {date: 2026-08-02, tach: 650.0}\n", ""))
    line = "What is unknown, without an editor: inspect-kit --on DATE work CHECK\n"
    assert line in run(hangar, "due").out
    assert run(hangar, "work", "oil", "tach=398.0", "--by", ADA, "--used", "none", on="2026-08-02").code == 0
    assert line not in run(hangar, "due").out


def test_what_was_found_later_is_no_matter_of_the_day_that_is_signed(run: Run, hangar: Path) -> None:
    """A page whose signature was forgotten could not be signed on its day any more."""
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text() + "- [ ] `spare` Spare\n  - owed-after: disturbed spare\n")
    assert run(hangar, "start", "condition", "tach=405.0", "--by", ADA, on="2026-11-10").code == 0
    assert run(hangar, "finding", "spare", "a wire is off", "--by", ADA, on="2026-11-24").code == 0
    missing = [run(hangar, "sign", "--as", ADA, "--all", on=day).out for day in ("2026-11-20", "2026-11-24")]
    assert ["F1 --cleared HOW" in each for each in missing] == [False, True], missing


def test_what_something_later_made_owed_is_not_owed_by_an_entry_of_before(run: Run, hangar: Path) -> None:
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text() + "- [ ] `leaks` Leaks\n  - owed-after: did oil\n")
    words = ("--by", ADA, "--used", "none")
    assert "work leaks" in run(hangar, "work", "oil", "tach=406.0", *words, on="2026-11-20").out
    before = run(hangar, "work", "oil", "leaks", "tach=405.0", "--in-order", *words, on="2026-11-10")
    assert (before.code, "work leaks" in before.out) == (0, False), before


def test_a_name_of_the_store_is_no_command(run: Run, hangar: Path) -> None:
    told = {"oil": "inspect-kit work oil", "cowl": "inspect-kit history cowl", "ol": "No such command"}
    told |= {"fit": "inspect-kit install POSITION", "puncture": "inspect-kit work --text"}
    told |= {"weighin": "inspect-kit weighing"}
    for word, way in told.items():
        assert way in run(hangar, word).err
    assert "inspect-kit work --text" in run(hangar, "work", "puncture", "tach=405.9").err


@pytest.mark.parametrize(
    ("who", "told"),
    [
        ("Jo Wren, A & P 3344556", "with a comma before that, Jo Wren, A & P, 3344556"),
        ("Jo Wren, 3344556", "no kind of certificate"),
        ("hours tach=42,7 --yes", "no person's name"),
        ("Jo Wren, 7 --yes", "no kind of certificate"),
        ("adabellcrank", "did you mean `Ada Bellcrank`?"),
    ],
)
def test_what_is_no_person_is_asked_again(run: Run, hangar: Path, who: str, told: str) -> None:
    made = run(hangar, "work", "oil", "tach=405.9", "--used", "none", typed=(who, "Jo Wren, A & P, 3344556"))
    assert (made.code, told in made.err, "Jo Wren" in record(hangar, "-oil-")) == (0, True, True), made.err
    assert told in run(hangar, "hours", "tach=406", "--by", who).err


def test_the_last_reading_of_a_changed_meter_is_asked_anew(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("inspect_kit.cli.unusual.somebody", lambda: True)
    words = ("meter", "tach", "--old", "900", "--new", "0", "--unrecorded", "0")
    done = run(hangar, *words, typed=("1", "no", "405,9"), on="2026-11-20")
    assert (done.code, done.err.count("Who did it")) == (0, 1), done.err
    assert "old: 405.9\n" in record(hangar, "tach-changed")


def test_an_option_that_cannot_be_read_is_refused_before_anything_is_asked(run: Run, hangar: Path) -> None:
    told = run(hangar, "directive", "N-1", "--issued", "1.7.2025", typed=("Makers",))
    assert ("--issued: `1.7.2025` is 2025-01-07 or 2025-07-01" in told.err, "Who issued" in told.err) == (True, False)


def test_oil_in_litres_is_told_in_the_quarts_that_are_asked(run: Run, hangar: Path) -> None:
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text() + "- [ ] `fill` Fill\n  - every: 50 h\n  - reads: dipstick, qt\n")
    # A litre is 1.0567 quarts.
    told = run(hangar, "work", "fill", "tach=405.0", "--by", ADA, "--read", "dipstick=4,9 l").err
    assert "expected a number of qt, which would be 5.2" in told


def test_what_names_no_record_is_told_as_it_was_typed(run: Run, hangar: Path) -> None:
    assert "no record is called `wrong plane`" in run(hangar, "withdraw", "wrong plane").err
    told = run(hangar, "amend", "past", "where=overhaul").err
    assert "what it leaves out is said in words alone, with --reason" in told


def test_what_was_brought_forward_is_put_right_by_the_line_that_is_offered(run: Run, hangar: Path) -> None:
    """The line offered was refused, and its last question came for ever; a comma was refused as well."""
    past = hangar / "records/2026/2026-09-01-past.yaml"
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text() + "- [ ] `leaks` Leaks\n  - owed-after: did oil\n")
    past.write_text(past.read_text().replace("  oil: ", "  leaks: {date: 2026-07-01, tach: 640.0}\n  oil: "))
    line = "amend 2026-09-01-past last.leaks.date={} last.leaks.tach={}"
    assert f"inspect-kit {line.format('DATE', 'TOTAL')}" in " ".join(run(hangar, "due").out.split())
    assert line.format("DATE", "TOTAL") in " ".join(run(hangar, "due", "leaks").out.split())
    refused = run(hangar, "work", "leaks", on="2026-08-03")
    assert f"{past.name}:" in refused.err
    assert refused.err.count("\n") == 1, "nothing is asked first"
    assert (refused.code, f"inspect-kit {line.format('2026-08-03', 'TOTAL')}" in refused.err) == (2, True), refused
    whole = run(hangar, "work", "leaks", "compression", "tach=390.0", on="2026-08-03").err
    assert f"inspect-kit {line.format('2026-08-03', '645.5')}\nand the rest after it: " in whole
    assert "inspect-kit --on 2026-08-03 work compression tach=390" in whole
    unquoted = run(hangar, "amend", "2026-09-01-past", "last.leaks.date=3", "Aug", "--reason", "log", "--by", ADA)
    assert "words of one value stand in quotes" in unquoted.err
    typed = line.format("2026-08-03", "650,0").split()
    assert run(hangar, *typed, "--reason", "read in the log", "--by", ADA).code == 0
    assert "last.leaks" not in run(hangar, "due").out


def test_a_question_names_the_option_that_says_the_same(run: Run, wren: Path) -> None:
    """Whoever has answered ten questions could not see how the line is typed next time."""
    told = run(wren, "remove", "magneto-left", typed=("?", "=", "?", "the shop")).err
    assert "on the line of the command it is tach=READING" in told
    assert "on the line of the command it is --where PLACE" in told
    assert "--as" not in told


def test_of_a_part_that_only_goes_out_and_comes_back_enter_is_the_answer(run: Run, wren: Path) -> None:
    """Of what it weighs while it is out there was no good answer to type."""
    asked = [run(wren, verb, "magneto-left", typed=("",) * 20).err for verb in ("remove", "install")]
    assert ["Enter too where the same part goes back in" in each for each in asked] == [True, False], asked


@pytest.mark.parametrize(
    "words", [("work", "--text", "washed"), ("install", "engine"), ("weighing",), ("finding", "oil smell")]
)
def test_a_reading_of_the_line_that_cannot_be_is_told_before_anything_is_asked(
    run: Run, hangar: Path, words: tuple[str, ...]
) -> None:
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {engine: {}}\n")
    refused = run(hangar, *words, "tach=9.9")
    assert (refused.code, refused.err.split(":", 1)[0]) == (2, "inspect-kit"), refused
    assert "nothing was written, because of\n  tach reads 9.9 on" in refused.err


@pytest.mark.parametrize("words", [("work", "oil"), ("work",), ("sign",)])
def test_an_unknown_meter_is_told_before_anything_is_asked(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    """No answer to a question could mend the line."""
    assert run(hangar, "start", "condition", "tach=401.0", "--by", ADA).code == 0
    refused = run(hangar, *words, "hobbs=160")
    assert (refused.code, refused.err) == (2, "inspect-kit: `hobbs` is no meter of this aircraft (meters: tach)\n")
