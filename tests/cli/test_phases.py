"""Flight-test phases, changes and flight checks: what bars passengers is said first and ends with its signature."""

import json
import re
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered
from tests.cli.test_sealing import ADA, Page, change, page, refused, sign

__all__ = ["page"]

ON = "2026-11-26"
PILOT = '{name: Cornelius Redwing, kind: commercial pilot, certificate: "0000008"}'


def barred(run: Run, store: Path, on: str = ON) -> list[dict]:
    return json.loads(run(store, "due", "--json", on=on).out)["no_passengers"]


def without_pitch(store: Path) -> None:
    (store / "records/2026/2026-10-03-pitch.yaml").unlink(missing_ok=True)


def test_due_and_status_begin_with_the_open_phase(run: Run, wren: Path) -> None:
    """23.9 h of 40 are flown since the certificate: 16.1 h to go."""
    for command in ("due", "status"):
        told = " ".join(run(wren, command, "--all", on=ON).out.split("\n\n")[1].split())
        short = " ".join(run(wren, command, on=ON).out.split("\n", 1)[1].split())
        assert short.startswith(told)
        assert told == (
            "!! NO PASSENGERS: flight-test phase open since 2026-08-01, 23.9 h of 40 h flown; still to come: "
            "16.1 h to be flown, to be done: balked landing at greatest weight, to be demonstrated: Vx, Vy, weight, "
            "CG location, its closing statement."
        )


def test_the_statement_stands_there_to_be_signed_with_what_is_demonstrated(run: Run, wren: Path) -> None:
    """Of the values of paragraph 4 only Vso is known yet; the others are blanks."""
    told = " ".join(run(wren, "status", "--all", on=ON).out.split())
    assert "Statement I certify that the prescribed flight test hours have been completed" in told
    assert "speeds Vso 41 kt, Vx ____, and Vy ____, and the weight ____ and CG location ____ at which" in told


def test_as_json(run: Run, wren: Path) -> None:
    phase, check = barred(run, wren)
    assert (phase["kind"], phase["phase"], phase["since"]) == ("phase", "flight-test", "2026-08-01")
    assert (phase["hours"], phase["flown"]) == (40, 23.9)
    assert phase["lacks"][0] == "16.1 h to be flown"
    assert phase["file"] == "records/2026/2026-08-01-flight-test-begins.yaml"
    assert check["kind"] == "flight-check"
    assert barred(run, wren, on="2026-07-31") == []
    facts = json.loads(run(wren, "due", "--json", on=ON).out)
    assert facts["not_to_be_used"] == [
        {"what": "the passenger seats", "check": "flight-test phase"},
        {"what": "the passenger seats", "check": "2026-10-03-pitch"},
    ]
    assert run(wren, "due", "--strict", on=ON).code == 1


CLOSED = """\
kind: phase
date: 2026-11-20
meters: {tach: TACH}
closes: flight-test
did: [balked landing at greatest weight]
demonstrated: {Vx: 58 kt, Vy: 66 kt, weight: 1450 lb, CG location: 31.2 in}
statement: >-
  I certify that the prescribed flight test hours have been completed and the aircraft is controllable throughout its
  normal range of speeds. Demonstrated: speeds Vso 41 kt, Vx 58 kt, and Vy 66 kt, and the weight 1450 lb and CG location
  31.2 in at which they were obtained.
by: BY
"""
SIGNED = "kind: signature\ndate: 2026-11-20\nof: 2026-11-20-closed\nink: airframe log p. 6\nby: BY\n"


def close(store: Path, *, tach: str = "40.1", by: str = PILOT, signed: bool = True, text: str = CLOSED) -> None:
    without_pitch(store)
    entered(store, "2026-11-20-closed", text.replace("TACH", tach).replace("BY", by))
    if signed:
        entered(store, "2026-11-20-signed", SIGNED.replace("BY", by))


def test_the_words_that_close_it_are_those_of_the_limitations(run: Run, wren: Path) -> None:
    """Until it is signed a slip is a problem; what was signed is as it was signed, and a note."""
    slip = CLOSED.replace("Vso 41 kt", "Vso 14 kt")
    close(wren, text=slip, signed=False)
    told = run(wren, "due", on=ON)
    assert told.code == 3
    wanted = "statement: says `... Demonstrated: speeds Vso 14 kt, Vx ...` where the limitations prescribe"
    assert wanted in " ".join(told.err.split())
    close(wren, text=slip)
    told = run(wren, "verify", on=ON)
    assert (told.code, told.err) == (0, "")
    assert "Demonstrated: speeds Vso 14 kt, Vx ...` where" in " ".join(told.out.split())
    # Words that are not those prescribed may say the contrary: they close nothing.
    (phase,) = barred(run, wren)
    assert phase["lacks"] == ["a statement in the words of aircraft.yaml (2026-11-20-closed says others)"]
    close(wren)
    assert "Demonstrated" not in run(wren, "verify", on=ON).out


def test_it_stays_closed_when_the_limitations_are_worded_anew(run: Run, wren: Path) -> None:
    """The wording in which it was signed is kept under `was`."""
    close(wren)
    aircraft = wren / "records" / "aircraft.yaml"
    old = "normal range of speeds."
    assert aircraft.read_text().count(old) == 1
    text = aircraft.read_text().replace(old, "whole range of speeds.")
    aircraft.write_text(text)
    assert [each["kind"] for each in barred(run, wren)] == ["phase"]
    start = text.index("    statement: >-", text.index("  flight-test:"))
    former = text[start : text.index("    source:", start)].replace("whole", "normal").split(">-\n", 1)[1]
    aircraft.write_text(f"{text[:start]}    was:\n      - {' '.join(former.split())!r}\n{text[start:]}")
    assert barred(run, wren) == []
    assert run(wren, "verify", on=ON).code == 0


def test_it_ends_when_all_was_flown_and_the_statement_is_signed(run: Run, wren: Path) -> None:
    close(wren)
    assert barred(run, wren) == []
    assert "NO PASSENGERS" not in run(wren, "status", on=ON).out
    # The day before it was still open.
    assert [each["kind"] for each in barred(run, wren, on="2026-11-19")] == ["phase"]


@pytest.mark.parametrize("nothing", ["n/a", "tbd", '"-"', "unknown", "58 kt?", "____ kt"])
def test_a_value_that_says_nothing_was_not_demonstrated(run: Run, wren: Path, nothing: str) -> None:
    close(wren, text=CLOSED.replace("Vx: 58 kt", f"Vx: {nothing}").replace("Vx 58 kt", f"Vx {nothing}"))
    (phase,) = barred(run, wren)
    assert "to be demonstrated: Vx" in phase["lacks"]


def test_not_before_it_is_signed(run: Run, wren: Path) -> None:
    close(wren, signed=False)
    (phase,) = barred(run, wren)
    assert phase["lacks"] == ["the signature of its statement (2026-11-20-closed)"]


@pytest.mark.parametrize(("since", "closed"), [("2026-11-20", False), ("2026-11-21", True)])
def test_a_signature_of_somebody_who_had_gone_ends_nothing(run: Run, wren: Path, since: str, closed: bool) -> None:
    close(wren)
    path = wren / "records/aircraft.yaml"
    pilot = f"people:\n  - {PILOT[:-1]}, retired: {since}}}\n"
    path.write_text(path.read_text().replace("people:\n", pilot, 1))
    assert (barred(run, wren) == []) is closed


def test_a_signature_of_somebody_else_ends_nothing(run: Run, wren: Path) -> None:
    close(wren, signed=False)
    other = '{name: Wilma Fieldfare, kind: private pilot, certificate: "0000007"}'
    entered(wren, "2026-11-20-signed", SIGNED.replace("BY", other))
    (phase,) = barred(run, wren)
    assert phase["lacks"] == ["the signature of its statement (2026-11-20-closed)"]
    assert "it is by Wilma Fieldfare, and 2026-11-20-closed is by" in run(wren, "verify", on=ON).err


def test_not_with_hours_missing(run: Run, wren: Path) -> None:
    close(wren, tach="39.9")
    (phase,) = barred(run, wren)
    assert phase["lacks"] == ["0.1 h to be flown"]


def test_hours_flown_after_a_statement_that_came_too_early_do_not_mend_it(run: Run, wren: Path) -> None:
    close(wren, tach="39.9")
    entered(wren, "2026-11-22-hours", "kind: hours\ndate: 2026-11-22\nmeters: {tach: 41.0}\n")
    (phase,) = barred(run, wren)
    assert phase["lacks"] == ["0.1 h to be flown"]


def test_not_with_a_task_or_a_value_missing(run: Run, wren: Path) -> None:
    close(wren, text=CLOSED.replace("did: [balked landing at greatest weight]\n", "").replace("Vy: 66 kt, ", ""))
    (phase,) = barred(run, wren)
    assert phase["lacks"] == ["to be done: balked landing at greatest weight", "to be demonstrated: Vy"]


def test_not_by_somebody_who_is_no_pilot(run: Run, wren: Path) -> None:
    by = '{name: Wilma Fieldfare, kind: repairman (experimental aircraft builder), certificate: "0000007"}'
    close(wren, by=by)
    (phase,) = barred(run, wren)
    assert phase["lacks"] == [
        "a statement by a private pilot or higher (2026-11-20-closed: repairman (experimental aircraft builder))"
    ]


def test_not_by_a_pilot_without_a_certificate_number(run: Run, wren: Path) -> None:
    """`verify` calls it a problem, and it closes nothing."""
    for number in ("", *(f", certificate: {each}" for each in ("'-'", "applied for", "123?", "1____"))):
        close(wren, by=f"{{name: Cornelius Redwing, kind: private pilot{number}}}")
        assert any("certificate number of Cornelius Redwing" in told for told in barred(run, wren)[0]["lacks"])


@pytest.mark.parametrize(
    ("kind", "counts"),
    [
        ("private pilot", True),
        ("Private Pilot, airplane single-engine land", True),
        ("airline transport pilot", True),
        ("student pilot", False),
        ("sport pilot", False),
        ("recreational pilot", False),
        ("pilot", False),
        ("private pilot's mate", False),
        ("private pilot (not)", False),
        ("private pilots wife", False),
        ("Commercial pilot ASEL, instrument", True),
        ("private pilot certificate - airplane", True),
        ("private pilot with instrument rating", True),
        ("private pilot 1234567", True),
        ("private pilot applicant", False),
        ("private pilot in training", False),
        ("private pilot, training", False),
        ("private pilot to be", False),
        ("private pilot (applied for)", False),
        ("private pilot?", False),
        ("private pilot ____", False),
    ],
)
def test_a_pilot_is_a_private_pilot_or_higher(run: Run, wren: Path, kind: str, counts: bool) -> None:
    """14 CFR 91.407(b)(1): at least a private pilot certificate."""
    close(wren, by=f'{{name: Cornelius Redwing, kind: "{kind}", certificate: "1"}}')
    assert (barred(run, wren) == []) is counts


@pytest.mark.parametrize("name", ["The pilot", "nobody", "me", "____", "Ann ____", "Ann Lee?", "A\u2026"])
def test_not_by_nobody(run: Run, wren: Path, name: str) -> None:
    """`verify` calls it a problem, and it closed the phase all the same."""
    close(wren, by=f'{{name: "{name}", kind: private pilot, certificate: "1"}}')
    assert barred(run, wren)[0]["lacks"] == [
        "the name of the person who makes its statement (2026-11-20-closed)",
        "what is wrong with 2026-11-20-closed, see `verify`",
    ]
    assert "names nobody" in run(wren, "verify", on=ON).err


def test_not_by_a_signature_under_another_number(run: Run, wren: Path) -> None:
    close(wren, signed=False)
    entered(wren, "2026-11-20-signed", SIGNED.replace("BY", PILOT.replace("0000008", "0000009")))
    assert barred(run, wren)[0]["lacks"] == ["the signature of its statement (2026-11-20-closed)"]
    assert "it is by Cornelius Redwing, 0000009, and" in run(wren, "verify", on=ON).err


@pytest.mark.parametrize("hours", ["0", "-5", "5O", "none"])
def test_hours_that_are_none_owe_what_the_limitations_ask(run: Run, wren: Path, hours: str) -> None:
    """Of the change 5 h are owed by aircraft.yaml, of which 0.5 are flown."""
    close(wren)
    entered(wren, "2026-11-21-propeller", CHANGE.replace("hours: 6", f"hours: {hours}"))
    closing = (
        "kind: phase\ndate: 2026-11-25\nmeters: {tach: 41.5}\ncloses: after-change\nby: BY\nstatement: I certify that "
        "the hours prescribed after the change have been flown and the aircraft is controllable.\n"
    )
    entered(wren, "2026-11-25-closed", closing.replace("BY", PILOT))
    entered(wren, "2026-11-25-signed", SIGNED.replace("2026-11-20", "2026-11-25").replace("BY", PILOT))
    assert barred(run, wren)[0]["lacks"][0] == "4.5 h to be flown"


def test_nothing_closes_on_a_record_with_a_problem(run: Run, wren: Path) -> None:
    """Flown, stated and signed; but what opened it, or the record of the statement, has a slip in it."""
    close(wren)
    for name, slip in (
        ("2026-08-01-flight-test-begins", "hors: 60\n"),
        ("2026-11-20-closed", "entered: 2026-11-19\n"),
    ):
        path = wren / f"records/2026/{name}.yaml"
        text = path.read_text()
        path.write_text(text + slip)
        assert barred(run, wren)[0]["lacks"] == [f"what is wrong with {name}, see `verify`"]
        path.write_text(text)
    assert barred(run, wren) == []


def test_the_limitations_may_name_other_signers(run: Run, wren: Path) -> None:
    path = wren / "records/aircraft.yaml"
    text = path.read_text(encoding="utf-8")
    source = "    source: operating limitations, paragraph 4\n"
    signers = "    signers: [repairman (experimental aircraft builder)]\n"
    path.write_text(text.replace(source, signers + source), encoding="utf-8")
    close(wren)
    assert "by repairman (experimental aircraft builder)" in barred(run, wren)[0]["lacks"][0]
    close(wren, by='{name: Wilma Fieldfare, kind: repairman (experimental aircraft builder), certificate: "0000007"}')
    assert barred(run, wren) == []


CHANGE = """\
kind: change
date: 2026-11-21
meters: {tach: 41.0}
what: propeller of another pitch and make
answer: major
asked: FSDO Nowhere, 2026-11-10
phase: after-change
entry: airframe log p. 7
hours: 6
area: as before
notice: letter of 2026-11-10
concurrence: letter of 2026-11-18
"""


def test_a_major_change_bars_passengers_until_its_own_statement(run: Run, wren: Path) -> None:
    """The FSDO set 6 h where the limitations say 5: 41.0 to 46.9 are 5.9 h."""
    close(wren)
    entered(wren, "2026-11-21-propeller", CHANGE)
    (phase,) = barred(run, wren)
    assert (phase["phase"], phase["hours"], phase["flown"]) == ("after-change", 6, 0)
    closing = (
        "kind: phase\ndate: 2026-11-25\nmeters: {tach: 46.9}\ncloses: after-change\nby: BY\nstatement: I certify that "
        "the hours prescribed after the change have been flown and the aircraft is controllable.\n"
    )
    signed = SIGNED.replace("2026-11-20", "2026-11-25").replace("BY", PILOT)
    entered(wren, "2026-11-25-closed", closing.replace("BY", PILOT))
    entered(wren, "2026-11-25-signed", signed)
    assert barred(run, wren)[0]["lacks"] == ["0.1 h to be flown"]
    entered(wren, "2026-11-25-closed", closing.replace("BY", PILOT).replace("46.9", "47.0"))
    assert barred(run, wren) == []


@pytest.mark.parametrize("lacking", ["concurrence: ____", "notice: to be sent", "entry: '?'", "area: tbd"])
def test_a_major_change_closes_with_nothing_left_blank(run: Run, wren: Path, lacking: str) -> None:
    """Flown, stated and signed: without what is asked before the flight it is not over."""
    close(wren)
    key = lacking.partition(":")[0]
    lines = [lacking if line.startswith(f"{key}:") else line for line in CHANGE.splitlines()]
    entered(wren, "2026-11-21-propeller", "\n".join(lines) + "\n")
    closing = (
        "kind: phase\ndate: 2026-11-25\nmeters: {tach: 47.0}\ncloses: after-change\nby: BY\nstatement: I certify that "
        "the hours prescribed after the change have been flown and the aircraft is controllable.\n"
    )
    entered(wren, "2026-11-25-closed", closing.replace("BY", PILOT))
    entered(wren, "2026-11-25-signed", SIGNED.replace("2026-11-20", "2026-11-25").replace("BY", PILOT))
    (phase,) = barred(run, wren)
    assert phase["lacks"][0].endswith("(2026-11-21-propeller)")
    assert f"propeller.yaml:{lines.index(lacking) + 2}: {key}: `" in run(wren, "verify", on=ON).err


def test_a_major_change_without_concurrence_is_a_reason_not_to_fly(run: Run, wren: Path) -> None:
    close(wren)
    entered(wren, "2026-11-21-propeller", CHANGE.replace("concurrence: letter of 2026-11-18\n", ""))
    found = json.loads(run(wren, "due", "--json", on=ON).out)["stops"]
    assert [(each["kind"], each["text"]) for each in found if each["kind"] == "change"] == [
        (
            "change",
            "major change of 2026-11-21, propeller of another pitch and make: not on record: concurrence of the FSDO",
        )
    ]
    assert run(wren, "due", "--strict", on=ON).code == 1


def test_a_change_not_decided_bars_passengers_until_it_is(run: Run, wren: Path) -> None:
    close(wren)
    change = "kind: change\ndate: 2026-11-21\nwhat: gear leg of another alloy\nanswer: not decided\n"
    entered(wren, "2026-11-21-leg", change)
    (each,) = barred(run, wren)
    assert (each["kind"], each["text"]) == ("change", "gear leg of another alloy")
    assert "not decided whether minor or major" in " ".join(run(wren, "due", on=ON).out.split())
    decided = "kind: change\ndate: 2026-11-22\nof: 2026-11-21-leg\nwhat: gear leg\nanswer: minor\nasked: nobody\n"
    entered(wren, "2026-11-22-leg", decided)
    assert barred(run, wren) == []


@pytest.mark.parametrize(
    ("answer", "open_still"),
    [
        (f"{{done: 2026-10-04, pilot: {PILOT}, words: 'alone, 0.5 h, trimmed'}}", False),
        (f"{{done: 2026-10-02, pilot: {PILOT}, words: the day before}}", True),
        (f"{{done: 2026-10-04, pilot: {PILOT}, words: another, of: [2026-08-15-hours]}}", True),
        ("{done: 2026-10-04, pilot: {name: A B, kind: student pilot, certificate: '9'}, words: flown}", True),
        ("{not needed: 'pitch measured before and after: the same', of: [2026-10-03-pitch]}", False),
        ("{not needed: it flew well}", True),
        (f"{{done: 2026-10-02, pilot: {PILOT}, words: before, of: [2026-10-03-pitch]}}", True),
    ],
)
def test_a_flight_check_is_answered_by_a_later_record(run: Run, wren: Path, answer: str, open_still: bool) -> None:
    entered(wren, "2026-10-05-flown", f"kind: work\ndate: 2026-10-05\ntext: Flown.\nflight-check: {answer}\n")
    kinds = [each["file"] for each in barred(run, wren) if each["kind"] == "flight-check"]
    assert ("records/2026/2026-10-03-pitch.yaml" in kinds) is open_still


@pytest.mark.parametrize(
    "text",
    [
        "kind: work\ndate: 2026-10-10\ntext: Aileron cable changed.\ndisturbed: [flight-controls]\n",
        "kind: installed\ndate: 2026-10-10\nposition: propeller\nserial: P2\nno change: same\n",
        "kind: setting\ndate: 2026-10-10\nsetting: rigging\nto: 2 degrees\nbecause: heavy wing\nby: Wilma Fieldfare\n",
    ],
    ids=["disturbed", "changed", "set"],
)
def test_controls_disturbed_set_or_changed_want_an_answer(run: Run, wren: Path, text: str) -> None:
    """Once the store answers the question at all: the pitch record of 3 October is its first answer."""
    entered(wren, "2026-10-10-controls", text)
    told = [each for each in barred(run, wren) if each["file"].endswith("2026-10-10-controls.yaml")]
    assert len(told) == 1
    assert "nothing says whether a flight check is required" in told[0]["text"]
    entered(wren, "2026-10-10-controls", text + "flight-check: {not needed: travel and tension measured again}\n")
    assert not [each for each in barred(run, wren) if each["file"].endswith("2026-10-10-controls.yaml")]


def test_old_stores_are_asked_nothing(run: Run, wren: Path) -> None:
    without_pitch(wren)
    entered(wren, "2026-10-10-controls", "kind: work\ndate: 2026-10-10\ntext: Cable.\ndisturbed: [flight-controls]\n")
    assert [each["kind"] for each in barred(run, wren)] == ["phase"]


def test_what_was_set_is_asked_about_in_any_store_since_the_certificate(run: Run, wren: Path) -> None:
    without_pitch(wren)
    text = "kind: setting\ndate: {}\nsetting: rigging\nto: 2 degrees\nbecause: heavy wing\nby: Wilma Fieldfare\n"
    entered(wren, "2026-10-10-rigging", text.format("2026-10-10"))
    asked = [each for each in barred(run, wren) if each["kind"] == "flight-check"]
    assert [each["file"] for each in asked] == ["records/2026/2026-10-10-rigging.yaml"]
    assert "rigging set, and nothing says whether a flight check is required" in asked[0]["text"]


def test_a_phase_that_the_limitations_do_not_know_is_a_problem(run: Run, wren: Path) -> None:
    entered(wren, "2026-11-01-phase", "kind: phase\ndate: 2026-11-01\nopens: flight-tests\n")
    told = run(wren, "due", on=ON)
    assert told.code == 3
    assert told.err == (
        "records/2026/2026-11-01-phase.yaml:4: opens: no phase is called `flight-tests` in aircraft.yaml; "
        "did you mean `flight-test`?\n    opens: flight-tests\n           ~~~~~~~~~~~^\n"
    )


def test_the_statement_itself_is_in_its_report(run: Run, wren: Path) -> None:
    close(wren)
    told = run(wren, "report", "2026-11-20-closed", on=ON).out
    assert "Demonstrated: speeds Vso 41 kt, Vx 58 kt, and Vy 66 kt" in " ".join(told.split())
    assert "Vx 58 kt; Vy 66 kt" in told


TODAY = "2026-11-25"


class TestAskedByTheCommands:
    """14 CFR 91.407(b), (c): `work` and `install` ask where the controls, the rigging or the pitch were touched."""

    CABLE = ("work", "tach=23.9", "--text", "Aileron cable changed.", "--disturbed", "flight-controls")
    BY = ("--by", "Wilma Fieldfare")

    def test_it_is_asked_and_written(self, run: Run, wren: Path) -> None:
        typed = ("", "not needed", "not needed: travel, direction and tension by two people")
        made = run(wren, *self.CABLE, *self.BY, on=TODAY, typed=typed)
        assert made.code == 0, made.err
        assert "flight-controls touched: is a flight check `required`, `not needed: WHAT SHOWS IT`" in made.err
        assert "`not needed` names the ground tests or the inspection that show it" in made.err
        text = (wren / made.out.split()[0]).read_text()
        assert "flight-check:\n  not needed: travel, direction and tension by two people\n" in text
        assert [each["kind"] for each in barred(run, wren)] == ["phase", "flight-check"]

    def test_required_and_then_flown_by_a_pilot(self, run: Run, wren: Path) -> None:
        without_pitch(wren)
        assert run(wren, *self.CABLE, *self.BY, "--flight-check", "required", on="2026-11-20").code == 0
        assert [each["kind"] for each in barred(run, wren)] == ["phase", "flight-check"]
        flown = ("work", "tach=24.4", "--text", "Alone, 0.5 h, trimmed hands off.", "--flight-check", "done")
        told = run(wren, *flown, *self.BY, on="2026-11-21")
        assert told.code == 2
        assert "Wilma Fieldfare is repairman (experimental aircraft builder), and a private pilot or higher" in told.err
        assert run(wren, *flown, "--by", "Cornelius Redwing", on="2026-11-21").code == 0
        assert [each["kind"] for each in barred(run, wren)] == ["phase"]

    def test_the_words_by_which_it_was_flown_are_shown(self, run: Run, wren: Path) -> None:
        """Passengers were carried again after a flight with `ailerons heavy`, which no page said any more."""
        without_pitch(wren)
        required = run(wren, *self.CABLE, *self.BY, "--flight-check", "required", on="2026-11-20")
        cable = Path(required.out.split()[0]).stem
        assert "by these words" not in required.out + required.err
        flown = ("work", "tach=24.4", "--text", "One circuit, ailerons heavy.", "--flight-check", "done")
        told = run(wren, *flown, "--by", "Cornelius Redwing", on="2026-11-21")
        assert told.code == 0
        said, file = " ".join(told.out.split()), told.out.split()[0]
        assert f"Passengers are no longer barred by {cable}, by these words: flown 2026-11-21 by Cornelius Red" in said
        assert "One circuit, ailerons heavy." in said
        again = " ".join(run(wren, "status", "--all", on=ON).out.split())
        assert "Flight check flown 2026-11-21 by Cornelius Redwing" in again
        assert re.search(rf"One circuit, ailerons heavy\. \({file}(:\d+)?\)", again)

    def test_one_flown_in_the_same_go_says_its_words_too(self, run: Run, wren: Path) -> None:
        without_pitch(wren)
        done = (*self.CABLE, "--flight-check", "done", "--by", "Cornelius Redwing")
        said = " ".join(run(wren, *done, on=TODAY).out.split())
        assert "The flight check is done, by these words: flown 2026-11-25 by Cornelius Redwing" in said

    def test_the_one_who_flew_it_is_asked_for(self, run: Run, wren: Path) -> None:
        """The question did not say that a pilot is wanted, and all was lost by an answer that is none."""
        without_pitch(wren)
        typed = ("done", "", "not flown yet", "Alone, hands off.", "Wilma Fieldfare", "1", "2")
        pitch = ("--of", "propeller", "--found-at", "12 deg", "--set-to", "12.5 deg", "--reason", "slow climb")
        made = run(wren, "setting", "propeller-pitch", "tach=23.9", *pitch, on="2026-11-21", typed=typed)
        assert made.code == 0, made.err
        assert "How the flight went:   this must be answered" in made.err
        assert "Who set it and flew it, a private pilot or higher: 2 Cornelius Redwing, or NAME" in made.err
        assert "pilot:\n    name: Cornelius Redwing\n" in (wren / made.out.split()[0]).read_text()

    def test_a_part_that_wants_one(self, run: Run, wren: Path) -> None:
        """The limitations of this aircraft ask for it after a propeller, too."""
        fit = ("install", "propeller", "tach=23.9", "--serial", "P2", "--part", "Knot 70-46", "--no-change", "same")
        more = ("--since-new", "0", "--since-overhaul", "", "--made", "2026-09", "--from", "maker", "--reason", "new")
        made = run(wren, *fit, *more, *self.BY, on=TODAY, typed=("required",))
        assert made.code == 0, made.err
        assert "propeller touched" in made.err
        assert "flight-check: required" in (wren / made.out.split()[0]).read_text()

    def test_nobody_knows_yet(self, run: Run, wren: Path) -> None:
        assert run(wren, *self.CABLE, *self.BY, on=TODAY, typed=("",)).code == 0
        told = [each.get("text", "") for each in barred(run, wren)]
        assert any("nothing says whether a flight check is required" in each for each in told)

    def test_nothing_is_asked_of_other_work(self, run: Run, wren: Path) -> None:
        made = run(wren, "work", "tach=23.9", "--text", "Tyre changed.", *self.BY, on=TODAY)
        assert "flight check" not in made.err + made.out

    @pytest.mark.parametrize(
        ("answer", "told"),
        [
            ("maybe", "expected `required`, `not needed: WHAT SHOWS IT` or `done`, not `maybe`"),
            ("requird", "did you mean `required`?"),
            ("required: of course", "expected `required`"),
            ("not needed", "`not needed` names the ground tests"),
            ("not needed:", "`not needed` names the ground tests"),
        ],
    )
    def test_an_answer_that_is_none(self, run: Run, wren: Path, answer: str, told: str) -> None:
        made = run(wren, *self.CABLE, *self.BY, "--flight-check", answer, on=TODAY)
        assert (made.code, made.out) == (2, "")
        assert f"--flight-check: {told}" in made.err or told in made.err


def test_a_phase_that_is_open_is_not_made_shorter_by_opening_it_again(run: Run, wren: Path) -> None:
    """40 h are owed; a change of 5 h, or a slip, does not take them away."""
    for name, text in {
        "2026-11-01-again": "kind: phase\ndate: 2026-11-01\nopens: flight-test\nhours: 1\nby: Wilma Fieldfare\n",
        "2026-11-02-change": "kind: change\ndate: 2026-11-02\nwhat: exhaust\nanswer: major\nasked: the FSDO\n"
        "phase: flight-test\nhours: 5\nby: Wilma Fieldfare\n",
    }.items():
        entered(wren, name, text)
        assert barred(run, wren)[0]["hours"] == 40
    none = "kind: phase\ndate: 2026-11-03\nopens: after-change\nhours: 0\nby: Wilma Fieldfare\n"
    entered(wren, "2026-11-03-none", none)
    assert "hours: are more than none" in run(wren, "verify").err


def test_two_changes_that_decide_each_other_are_not_both_gone(run: Run, wren: Path) -> None:
    change = "kind: change\ndate: 2026-11-01\nwhat: exhaust\nasked: the FSDO\nby: Wilma Fieldfare\nanswer: "
    entered(wren, "2026-11-01-a", f"{change}not decided\nof: 2026-11-01-b\n")
    entered(wren, "2026-11-01-b", f"{change}major\nphase: after-change\nhours: 5\nof: 2026-11-01-a\n")
    assert "after-change" in {each.get("phase") for each in barred(run, wren)}


def test_a_major_change_of_which_nothing_is_said(run: Run, wren: Path) -> None:
    change = "kind: change\ndate: 2026-11-01\nwhat: exhaust\nasked: the FSDO\nby: Wilma Fieldfare\nanswer: major\n"
    nothing = "phase: after-change\nentry: n/a\narea: '-'\nnotice: tbd\nconcurrence: none\n"
    entered(wren, "2026-11-01-a", change + nothing)
    assert "the entry made before the flight" in run(wren, "due", "--json", on=ON).out


@pytest.mark.parametrize(
    "answer",
    ["{not needed: n/a, of: [2026-10-03-pitch]}", f"{{done: 2026-10-04, pilot: {PILOT}, words: '-'}}"],
)
def test_an_answer_that_says_nothing_is_no_flight_check(run: Run, wren: Path, answer: str) -> None:
    words = f"kind: work\ndate: 2026-10-05\ntext: x\nby: Wilma Fieldfare\nflight-check: {answer}\n"
    entered(wren, "2026-10-05-work", words)
    assert "a flight check is required and not recorded as flown" in run(wren, "due", "--all").out
    assert "Once it is flown: inspect-kit work --flight-check done" in run(wren, "due").out


@pytest.mark.parametrize(
    ("later", "stays"),
    [
        ("answer: minor\nasked: somebody else\n", True),
        ("answer: not decided\n", True),
        ("answer: major\nasked: the FSDO\nphase: after-change\nhours: 1\n", True),
        ("answer: major\nasked: the FSDO\nphase: after-change\nhours: 5\nentry: aircraft log p. 9\n", False),
    ],
)
def test_what_a_major_change_owes_is_not_decided_away(run: Run, wren: Path, later: str, stays: bool) -> None:
    change = "kind: change\nwhat: exhaust\nby: Wilma Fieldfare\n"
    major = "date: 2026-11-01\nanswer: major\nasked: the FSDO\nphase: after-change\nhours: 5\n"
    entered(wren, "2026-11-01-a", change + major)
    entered(wren, "2026-11-02-b", f"{change}date: 2026-11-02\nof: 2026-11-01-a\n{later}")
    assert "after-change" in {each.get("phase") for each in barred(run, wren)}
    assert ("2026-11-01-a is decided, as a major change" in run(wren, "verify", on=ON).err) is stays


@pytest.mark.parametrize(
    ("done", "open_still"),
    [
        ("2026-11-23\nmeters: {tach: 41.5}", False),
        ("2026-11-23\nmeters: {tach: 41.0}", True),
        ("2026-11-22\nmeters: {tach: 41.0}", False),
        ("2026-11-23", False),
    ],
)
def test_a_flight_check_at_the_reading_of_the_work_was_not_flown(
    run: Run, wren: Path, done: str, open_still: bool
) -> None:
    """On a later day, by the meter; the day of the work at its reading, or a day without one, is taken at its word."""
    work = "kind: work\ndate: 2026-11-22\nmeters: {tach: 41.0}\ntext: rigged\nflight-check: required\n"
    entered(wren, "2026-11-22-rigged", f"{work}by: Wilma Fieldfare\n")
    day = done[:10]
    flown = f"kind: work\ndate: {done}\ntext: flown\nby: Wilma Fieldfare\n"
    answer = f"flight-check: {{done: {day}, pilot: {PILOT}, words: found good}}\n"
    entered(wren, f"{day}-flown", flown + answer)
    told = [each for each in barred(run, wren) if each.get("record") == "2026-11-22-rigged" or "rigged" in str(each)]
    assert bool(told) is open_still


class TestCommand:
    """`phase`: no record of it is written by hand."""

    FLOWN = ("phase", "flight-test", "--during", "tach=41.0", "--by", "Cornelius Redwing", "--yes")
    VALUES = ("1", "52 kt", "60 kt", "1290 lb", "29 in aft of datum")
    CLOSED = ("phase", "flight-test", "--ends", "tach=41.0", "--by", "Cornelius Redwing", "--yes")

    def test_it_ends_when_nothing_is_missing_and_its_statement_is_signed(self, run: Run, wren: Path) -> None:
        """On one day: what closes it comes last, whatever the files are called."""
        without_pitch(wren)
        early = run(wren, *self.CLOSED[:3], "tach=24.0", *self.CLOSED[4:])
        assert (early.code, early.out) == (2, "")
        assert "the flight-test phase is not at its end: 16.0 h to be flown; to be done: balked landing" in early.err
        flown = run(wren, *self.FLOWN, typed=self.VALUES)
        assert flown.code == 0, flown.err
        assert "Which tasks were done: 1 balked landing at greatest weight (Enter: none)" in flown.err
        told = "during: flight-test\ndid:\n  - balked landing at greatest weight\ndemonstrated:\n  Vx: 52 kt\n"
        assert told in (wren / flown.out.split()[0]).read_text(encoding="utf-8")
        closed = run(wren, *self.CLOSED)
        assert closed.code == 0, closed.err
        assert "speeds Vso 41 kt, Vx 52 kt, and Vy 60 kt, and the weight 1290 lb" in " ".join(closed.err.split())
        name = Path(closed.out.split()[0]).stem
        assert f"signature {name} --ink REFERENCE" in closed.err
        assert barred(run, wren)
        # It is the only one that waits, and needs no name.
        assert run(wren, "signature", "--ink", "airframe log p. 9").code == 0, name
        assert not barred(run, wren)
        assert run(wren, "verify").code == 0

    def test_only_who_may_is_offered_and_taken(self, run: Run, wren: Path) -> None:
        """And what was read on the day is taken with Enter: hours of that day were not counted."""
        without_pitch(wren)
        assert run(wren, *self.FLOWN, typed=self.VALUES).code == 0
        closed = run(wren, "phase", "--ends", typed=("flight-test", "", "Wilma Fieldfare", "2"))
        assert closed.code == 0, closed.err
        assert "tach reads, last 41.0, = the same (Enter: 41.0)" in closed.err
        assert "Who makes the statement, a private pilot or higher: 2 Cornelius Redwing, or NAME" in closed.err
        assert "Wilma Fieldfare is repairman (experimental aircraft builder), and a private pilot" in closed.err
        assert "closes: flight-test" in (wren / closed.out.split()[0]).read_text(encoding="utf-8")

    def test_one_that_is_open_is_not_begun_again_unasked(self, run: Run, wren: Path) -> None:
        """Its hours would count anew."""
        begun = ("phase", "flight-test", "--begins", "tach=24.0", "--hours", "40", "--area", "here")
        again = run(wren, *begun, "--by", "Wilma Fieldfare", typed=("no",))
        assert (again.code, "The flight-test phase is open since 2026-08-01" in again.err) == (2, True), again.err

    def test_another_one_is_opened_with_what_it_owes(self, run: Run, wren: Path) -> None:
        made = run(wren, "phase", "after-change", "tach=24.0", typed=("begins", "7", "", "1"))
        assert made.code == 0, made.err
        assert "Hours owed (Enter: 5 h, as aircraft.yaml says)" in made.err
        assert "still to come: 7.0 h to be flown" in made.err
        assert "opens: after-change\nhours: 7\n" in (wren / made.out.split()[0]).read_text(encoding="utf-8")

    @pytest.mark.parametrize(
        ("words", "told"),
        [
            (("after-change", "--ends"), "is not open; --begins opens it: inspect-kit phase after-change --begins"),
            (("flight-tets", "--begins"), "did you mean `flight-test`?"),
            ((), "say which phase: flight-test, after-change"),
            (("flight-test",), "give it with --begins, --during or --ends"),
            (("flight-test", "--during", "--hours", "3"), "--hours is said where the phase begins"),
            (("flight-test", "--during", "--task", "none", "--demonstrated", "Vne=90 kt"), "ask for Vso, Vx, Vy"),
        ],
    )
    def test_what_cannot_be_told(self, words: tuple[str, ...], told: str, run: Run, wren: Path) -> None:
        made = run(wren, "phase", *words)
        assert (made.code, made.out, told in made.err) == (2, "", True), made.err


def test_what_an_unsigned_amendment_adds_was_not_flown(run: Run, hangar: Path, page: Page) -> None:
    """Opened at a total of 665.5 (410.0), sealed at 411.0, amended to 416.0: 1 h of 5, or 6, once that is signed."""
    rule = "{hours: 5, statement: I certify that the hours were flown., source: paragraph 5, signers: [%s]}"
    builder = "repairman (experimental aircraft builder)"
    change(hangar / "records/aircraft.yaml", "people:", f"phases:\n  flight-test: {rule % builder}\npeople:")
    opened = "kind: phase\ndate: 2026-10-01\nmeters: {tach: 410.0}\nopens: flight-test\nby: Ada Bellcrank\n"
    entered(hangar, "2026-10-01-phase", opened)
    page("elt", "tach=411.0", on="2026-10-05")
    assert sign(run, hangar, on="2026-10-05").code == 0
    work = next(hangar.glob("records/2026/2026-10-05-work-*.yaml")).stem
    words = ("amend", work, "tach=416.0", "--reason", "a slip", "--by", ADA, "--yes")
    assert run(hangar, *words, on="2026-10-06").code == 0
    (phase,) = barred(run, hangar, on="2026-10-10")
    assert (phase["flown"], phase["lacks"][0]) == (1, "4.0 h to be flown")
    ends = ("phase", "flight-test", "--ends", "--by", ADA)
    left = "the flight-test phase is not at its end: 4.0 h to be flown"
    refused(run, hangar, lambda: run(hangar, *ends, typed=("", "yes"), on="2026-10-10"), left)
    amendment = next(hangar.glob("records/2026/2026-10-06-amendment-*.yaml")).stem
    assert run(hangar, "signature", amendment, "--ink", "log p. 4", "--as", ADA, on="2026-10-07").code == 0
    (phase,) = barred(run, hangar, on="2026-10-10")
    assert (phase["flown"], phase["lacks"]) == (6, ["its closing statement"])
    assert run(hangar, *ends, typed=("", "yes"), on="2026-10-10").code == 0
