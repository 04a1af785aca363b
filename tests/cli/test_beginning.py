"""`new` as a long talk: asked again after what cannot be, kept when it breaks off, and its past in the first answer."""

import io
import json
import os
import re
import sys
from importlib import resources
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli import said
from inspect_kit.cli.beginning import KINDS, starter_checks
from inspect_kit.cli.kept_answers import Answers, Back
from inspect_kit.cli.past_asked import PastAnswers
from inspect_kit.cli.setup import _files
from inspect_kit.model.aircraft import kind_named
from inspect_kit.text.checklist import read_checklist
from tests.cli.conftest import TODAY, Run

# Typed in small letters; marks are painted in capitals.
AIRCRAFT = ("n0zz", "Wren Works", "W-1", "7", "2019-05-17", "Ada Bellcrank", "1", "0000001", "412.6", "")
PAST = ("2026-03-14", "380.2", "aircraft log p. 31")
SHAPE = ("tail", "2", "1", "", "")
ENGINE = ("E-0007", "Puffin 100", "412.6", "", "2019-05-01")
MAGNETOS = ("y", "M-1", "", "", "", "", "no")
PROPELLER = ("",)
# What comes with every inspection is asked item by item.
EACH = ("",)
WHOLE = (*AIRCRAFT, *PAST, *SHAPE, *ENGINE, *MAGNETOS, *PROPELLER, *EACH)


def items(run: Run, plane: Path) -> dict[str, dict[str, object]]:
    return {item["check"]: item for item in json.loads(run(plane, "due", "--json").out)["items"]}


def test_the_past_item_by_item_is_in_the_first_answer(run: Run, tmp_path: Path) -> None:
    own = tmp_path / "own"
    answers = {"oil-change": "2026-08-02, 402.0, engine log p. 12", "transponder": "2025-04-03"}
    answers["elt-battery"] = "2031-05-31"
    typed = (*WHOLE, *(answers.get(name, "") for name in _asked_items(run, tmp_path)))
    made = run(None, "new", str(own), typed=typed)
    assert made.code == 0, made.err
    assert run(own, "verify").code == 0
    now = items(run, own)
    assert now["oil-change"]["last"] == {"date": "2026-08-02", "total": 402.0, "estimated": False}
    assert now["transponder"]["last"]["date"] == "2025-04-03"  # type: ignore[index]
    assert now["elt-battery"]["due"]["date"] == "2031-05-31"  # type: ignore[index]
    assert now["elt-battery"]["state"] == "later"
    assert now["spark-plugs"]["state"] == "unknown"
    assert "good until 2031-05-31, as marked on the part" in " ".join(run(own, "history", "elt-battery").out.split())
    report = run(own, "report", next((own / "records/2026").glob("*brought*")).stem).out
    assert "elt-battery good until 2031-05-31" in " ".join(report.split())
    assert made.out.splitlines()[2:5] == [
        f"    cd {own}",
        "    inspect-kit due      what is due, what nobody knows",
        "    inspect-kit scope    which codes are covered",
    ]
    assert not list(tmp_path.glob("*.answers.yaml"))


def _asked_items(run: Run, tmp_path: Path) -> list[str]:
    """The ids of what is asked, in order, by the words of each check as they stand on its page."""
    starter = resources.files("inspect_kit") / "starter"
    checks = starter_checks({name.removeprefix("./"): found.read_text() for found, name in _files(starter, ".")})
    said = run(None, "new", str(tmp_path / "asked"), typed=(*WHOLE, *("",) * 80)).err
    at = {check.id: re.search(rf"{re.escape(check.text)}\n  (Every|After|Good until|10 h)", said) for check in checks}
    return sorted((name for name in at if at[name]), key=lambda name: at[name].start())  # type: ignore[union-attr]


def test_each_item_with_a_due_point_of_its_own_is_asked_once(run: Run, tmp_path: Path) -> None:
    asked = _asked_items(run, tmp_path)
    assert len(asked) == len(set(asked)) > 15
    for name in ("oil-change", "tyres", "elt-inspection", "registration", "hoses-renewed"):
        assert name in asked


def test_what_cannot_be_is_asked_again(run: Run, tmp_path: Path) -> None:
    typed = [*AIRCRAFT, *PAST, "sideways", "tail", "none", "2", "1", "", "", *ENGINE[:2], "10", "11", "9", *ENGINE[4:]]
    made = run(None, "new", str(tmp_path / "plane"), typed=tuple(typed))
    assert made.code == 0, made.err
    for words in ("expected nose or tail", "expected a whole number from 1 to 20", "11 h since overhaul are more than"):
        assert words in made.err
    order = _asked_items(run, tmp_path)
    wrong = ("soon", "2 Aug 26, 402", "2027-01-01", "2026-08-02, 999", "2026-08-02, 1,402")
    wrong += ("2026-08-02, 379", "2026-08-02, 402.0")
    typed = [*WHOLE, *("" for _ in order[: order.index("oil-change")]), *wrong]
    made = run(None, "new", str(tmp_path / "other"), typed=tuple(typed))
    assert made.code == 0, made.err
    said = ("not `soon`", "2027-01-01 is in the future", "999 is above the total today, 412.6")
    said += ("`2 Aug 26`: write the year in four digits", "`1,402`: write the total with a point")
    said += ("380.2 stood on 2026-03-14, so 379 on 2026-08-02 cannot be",)
    for words in said:
        assert words in made.err
    assert items(run, tmp_path / "other")["oil-change"]["last"]["total"] == 402.0  # type: ignore[index]


def test_a_full_stop_ends_the_questions(run: Run, tmp_path: Path) -> None:
    made = run(None, "new", str(tmp_path / "plane"), typed=(*WHOLE, ".", "2026-08-02"))
    assert made.code == 0, made.err
    assert run(tmp_path / "plane", "verify").code == 0
    assert "2026-08-02" not in (next((tmp_path / "plane/records/2026").glob("*.yaml"))).read_text(encoding="utf-8")


def test_what_was_answered_is_kept_and_it_goes_on_there(run: Run, tmp_path: Path) -> None:
    plane, kept = tmp_path / "plane", tmp_path / "plane.answers.yaml"
    broken_off = run(None, "new", str(plane), typed=AIRCRAFT[:6])
    assert broken_off.code == 2
    assert f"no store was made; 6 answers are kept in {kept}" in broken_off.err
    assert not plane.exists()
    made = run(None, "new", str(plane), typed=(*AIRCRAFT[6:], *PAST))
    assert made.code == 0, made.err
    assert f"6 answers are kept in {kept}; it goes on there." in made.err
    assert not kept.exists()
    aircraft = (plane / "records/aircraft.yaml").read_text(encoding="utf-8")
    assert "Wren Works" in aircraft
    assert "kind: \"repairman (experimental aircraft builder)\"" in aircraft


@pytest.mark.parametrize("how", ["a file of the owner's", "a link to a record", "a folder", "not text"])
def test_what_is_called_like_the_answers_and_is_none_stays_as_it_is(
    run: Run, tmp_path: Path, hangar: Path, how: str
) -> None:
    kept, record = tmp_path / "wren.answers.yaml", hangar / "records/aircraft.yaml"
    before = record.read_bytes()
    match how:
        case "a link to a record":
            kept.symlink_to(record)
        case "a folder":
            kept.mkdir()
        case "not text":
            kept.write_bytes(b"\xff\xfe answers")
        case _:
            kept.write_text("registration: N0ZZ\n")
    said = run(None, "new", str(tmp_path / "wren"), typed=(*AIRCRAFT, *PAST))
    assert (said.code, "wren.answers.yaml" in said.err) == (2, True)
    assert not (tmp_path / "wren").exists()
    assert run(None, "new", str(tmp_path / "wren"), "--sample").code == 0
    assert os.path.lexists(kept)
    assert record.read_bytes() == before
    if how == "a file of the owner's":
        assert kept.read_text() == "registration: N0ZZ\n"


def test_an_inspection_that_has_run_out_is_questioned_at_once(run: Run, tmp_path: Path) -> None:
    made = run(None, "new", str(tmp_path / "plane"), typed=(*AIRCRAFT, "2025-06-03", "n", "2026-06-03", *PAST[1:]))
    assert made.code == 0, made.err
    assert "after 2025-06-03 it ran out on 2026-06-30. Is it right?" in made.err
    assert items(run, tmp_path / "plane")["condition"]["last"]["date"] == "2026-06-03"  # type: ignore[index]


@pytest.mark.parametrize("magnetos", [("y", "", "y", ""), ("no", "no"), ("no", "y", "")])
@pytest.mark.parametrize("tanks", ["1", "2", "3"])
def test_every_shape_reads_without_a_problem(
    magnetos: tuple[str, ...], tanks: str, run: Run, tmp_path: Path
) -> None:
    plane = tmp_path / "plane"
    engine = ("constant", "injected") if tanks == "3" else ("", "")
    made = run(None, "new", str(plane), typed=(*AIRCRAFT, *PAST, "nose", "4", tanks, *engine, "", *magnetos, ""))
    assert made.code == 0, made.err
    logbook = store.load(plane).logbook
    assert logbook is not None
    assert not logbook.problems
    has = ["left" in position or "right" in position for position in logbook.aircraft.positions].count(True)
    assert has == 2 - magnetos.count("no")
    assert ("magneto-left-inside" in logbook.checks) == ("magneto-left" in logbook.aircraft.positions)
    assert ("fuel-tanks" in logbook.checks) == (tanks != "2")
    assert ("tank, vent" in logbook.checks["left-wing"].text) == (tanks != "1")
    assert "All 4 seats" in logbook.checks["seats-belts"].text
    assert [label for reads in logbook.checks["tyres"].reads for label in reads.labels][1] == "nose pressure"
    # What is asked of the past stands in the words of this aircraft.
    heat = "alternate air" if tanks == "3" else "carburettor heat"
    assert re.findall("Throttle, mixture and (alternate air|carburettor heat)", made.err)[:1] == [heat]


def _shown(run: Run, tmp_path: Path, check: str, *answers: str) -> str:
    """What is said where these answers are typed to the question about one check, and nothing to those before it."""
    order = _asked_items(run, tmp_path)
    typed = (*WHOLE, *("",) * order.index(check), *answers, ".")
    made = run(None, "new", str(tmp_path / "plane"), typed=typed)
    assert made.code == 0, made.err
    return " ".join(made.err.split())


DAYS = ("2026-08-14", "14 Aug 2026", "14 August 2026", "August 14, 2026", "14.8.2026", "8/14/2026")


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("comma", [", ", " "])
def test_a_date_in_every_form_with_commas_or_without(run: Run, tmp_path: Path, day: str, comma: str) -> None:
    total = "402,0" if day.endswith("August 2026") else "402.0"
    _shown(run, tmp_path, "oil-change", comma.join((day, total, "engine log p. 12")), "=")
    past = next((tmp_path / "plane/records").rglob("*brought*")).read_text(encoding="utf-8")
    assert 'oil-change: {date: 2026-08-14, tach: 402.0, paper: "engine log p. 12"}' in past


@pytest.mark.parametrize(
    ("check", "answer", "said"),
    [
        ("oil-change", "2026-05-02, 402.0", "It ran out on 2026-09-02."),
        ("oil-change", "2026-11-02", "Without the total time then nobody can say when it is due by hours."),
        ("co-detector", "2026-08-02", "It ran out on 2026-11-02."),
        ("spark-plugs", "2026-03-13, 380.0", "That is before the last condition inspection, 2026-03-14, with which it"),
        ("elt-battery", "2026-11-01", "It ran out on 2026-11-01."),
    ],
)
def test_an_answer_that_has_run_out_is_questioned_at_once(
    run: Run, tmp_path: Path, check: str, answer: str, said: str
) -> None:
    shown = _shown(run, tmp_path, check, answer, "no", "")
    assert f"{said}" in shown
    assert "Is it right? (yes, no; Enter: no)" in shown
    past = next((tmp_path / "plane/records").rglob("*brought*")).read_text(encoding="utf-8")
    assert f"\n  {check}:" not in past


def test_an_answer_that_has_run_out_by_hours_is_questioned_too(run: Run, tmp_path: Path) -> None:
    flown = (*WHOLE[:8], "450.0", *WHOLE[9:])
    blank = ("",) * _asked_items(run, tmp_path).index("oil-change")
    made = run(None, "new", str(tmp_path / "plane"), typed=(*flown, *blank, "2026-11-02, 390.0", "<", "", "."))
    assert made.code == 0, made.err
    assert "It ran out at a total of 440.0 h. Is it right?" in made.err
    assert "\n  oil-change:" not in next((tmp_path / "plane/records").rglob("*brought*")).read_text(encoding="utf-8")


def test_what_was_done_since_the_inspection_asks_for_what_that_made_owed(run: Run, tmp_path: Path) -> None:
    """All was done at the inspection; then the hoses were renewed: were the leaks looked for after it?"""
    plane = tmp_path / "plane"
    order = [*WHOLE[: -len(EACH)], "yes"]
    asked = run(None, "new", str(tmp_path / "asked"), typed=(*order, *("",) * 40)).err
    before = asked[: asked.index("Fuel and oil hoses renewed")].count("last done") + asked[
        : asked.index("Fuel and oil hoses renewed")
    ].count("Good until")
    made = run(None, "new", str(plane), typed=(*order, *("",) * before, "2026-08-02, 402.0", "", *("=",) * 4, "."))
    assert "After `Fuel and oil hoses renewed` on 2026-08-02: last done" in " ".join(made.err.split())
    states = {name: each["state"] for name, each in items(run, plane).items()}
    assert {states[name] for name in ("fuel-leaks", "idle-leaks", "leaks-after", "tools-before-run")} == {"later"}


def test_of_what_is_not_fitted_nothing_is_asked_and_nothing_is_read(run: Run, tmp_path: Path) -> None:
    plane = tmp_path / "plane"
    made = run(None, "new", str(plane), typed=(*WHOLE, *("",) * 80))
    assert made.code == 0, made.err
    assert "Left magneto: off for internal inspection" in made.err
    assert "Right magneto: off" not in made.err
    checked = run(plane, "verify")
    # Nor does anything in the starter itself want a note.
    assert (checked.code, checked.err, "Notes" in checked.out) == (0, "", False)
    logbook = store.load(plane).logbook
    assert logbook is not None
    labels = {label for check in logbook.checks.values() for reads in check.reads for label in reads.labels}
    assert {label for label in labels if "right" in label or "left" in label} == {"left", "left magneto drop"}
    assert not [each for check in logbook.checks.values() for each in check.reckons if "drop" in each.label]


def test_the_answer_before_once_more_wherever_it_can_be(run: Run, tmp_path: Path) -> None:
    plane = tmp_path / "plane"
    parts = ("E-1", "Puffin", "412.6", "", "=", "2019-05-01", "y", "M-1", "=", "=", "", "=", "no", "")
    typed = (*AIRCRAFT, *PAST, *SHAPE, *parts, "yes", "=", "=", "=", "2029-05-31", "=", "2029-05-31", ".")
    made = run(None, "new", str(plane), typed=typed)
    assert made.code == 0, made.err
    assert made.err.count("= is the answer for a part before, and there is none: say it, or Enter") == 1
    assert "\n  = Puffin\n" in made.err.replace(": ", ":\n")
    assert "  = 2026-03-14, 380.2, aircraft log p. 31\n" in made.err
    # A date that a part carries is that of no other part.
    assert made.err.count("each part carries a date of its own, so = is none: read it there, or Enter") == 2
    fitted = next(plane.rglob("*brought*.yaml")).read_text(encoding="utf-8")
    assert 'magneto-left: {serial: "M-1", part: "Puffin", since-new: 412.6, fitted-on: 2019-05-01}' in fitted
    assert "extinguisher: {good-until: 2029-05-31}" in fitted


class TestWrongInThePast:
    """What was brought forward is put right by one command, with all that it was answered together with."""

    WHY = ("--text", "read off the plate", "--by", "Ada Bellcrank")

    def _plane(self, run: Run, tmp_path: Path) -> Path:
        plane = tmp_path / "plane"
        typed = (*AIRCRAFT, *PAST, *SHAPE, *ENGINE, *MAGNETOS, *PROPELLER, "yes", "=", ".")
        assert run(None, "new", str(plane), typed=typed).code == 0
        return plane

    def test_the_date_of_the_inspection_takes_along_what_was_done_at_it(self, run: Run, tmp_path: Path) -> None:
        plane = self._plane(run, tmp_path)
        words = ("last.condition.date=15 Mar 2026", "last.condition.tach=380.4")
        put = run(plane, "amend", "brought-forward", *words, *self.WHY)
        assert put.code == 0, put.err
        assert "  condition date 2026-03-15 instead of 2026-03-14\n" in put.out
        assert "  battery-discharge tach 380.4 instead of 380.2\n" in put.out
        item = items(run, plane)["battery-discharge"]
        assert item["last"] == {"date": "2026-03-15", "total": 380.4, "estimated": False}
        assert "Last done 2026-03-15, total 380.4 h (amended)" in " ".join(run(plane, "due", "condition").out.split())
        # What was put right of these says nothing of the others.
        other = " ".join(run(plane, "due", "tyres").out.split())
        assert ("amended" in other, "last.condition" in other) == (False, False)
        assert run(plane, "verify").code == 0

    def test_a_serial_is_put_right_in_every_record_that_names_the_part(self, run: Run, tmp_path: Path) -> None:
        plane = self._plane(run, tmp_path)
        given = ("--serial", "M-9", "--part", "Puffin", "--since-new", "0", "--since-overhaul", "")
        given += ("--made", "May 2025", "--from", "its maker", "--where", "bench", "--reason", "rough")
        changed = run(plane, "install", "magneto-left", "tach=413.0", *given, "--by", "Ada Bellcrank")
        assert changed.code == 0, changed.err
        assert "made: 2025-05-01" in next(plane.rglob("*magneto-left-fitted*")).read_text(encoding="utf-8")
        put = run(plane, "amend", "brought-forward", "fitted.magneto-left.serial=M-7", *self.WHY)
        assert put.code == 0, put.err
        assert "  magneto-left serial M-7 instead of M-1\n" in put.out
        assert "which named the same part: serial=M-7" in put.out
        told = " ".join(run(plane, "history", "magneto-left", "--all").out.split())
        assert "M-7 instead of M-1" in told
        assert run(plane, "verify").code == 0

    def test_a_part_of_another_maker_with_the_same_serial_keeps_it(self, run: Run, tmp_path: Path) -> None:
        plane = self._plane(run, tmp_path)
        (forward,) = plane.rglob("*brought-forward*.yaml")
        text = forward.read_text(encoding="utf-8")
        forward.write_text(text.replace('serial: "M-1"', 'serial: "M-1", part: "Puffin"', 1), encoding="utf-8")
        given = ("--serial", "M-1", "--part", "Woodcock 68", "--since-new", "0", "--since-overhaul", "")
        given += ("--made", "May 2025", "--from", "its maker", "--where", "shed", "--reason", "nicks")
        words = ("install", "propeller", "tach=413.0", *given, "--by", "Ada Bellcrank")
        changed = run(plane, *words, typed=("yes",))
        assert changed.code == 0, changed.err
        put = run(plane, "amend", "brought-forward", "fitted.magneto-left.serial=M-7", *self.WHY)
        assert put.code == 0, put.err
        assert "  magneto-left serial M-7 instead of M-1\n" in put.out
        assert "which named the same part" not in put.out
        assert "M-1" in run(plane, "history", "propeller", "--all").out
        assert len(list(plane.rglob("*amend*.yaml"))) == 1

    def test_a_meter_with_its_total(self, run: Run, tmp_path: Path) -> None:
        plane = self._plane(run, tmp_path)
        put = run(plane, "amend", "brought-forward", "tach=412.9", *self.WHY)
        assert put.out.splitlines()[1] == "  tach 412.9 (total 412.9) instead of 412.6 (total 412.6)"

    @pytest.mark.parametrize(
        ("word", "told"),
        [
            ("last.condtion.date=2026-03-15", "does not say when `condtion` was last done: write that down"),
            ("fitted.magneto-right.serial=M-2", "does not say what is fitted in `magneto-right`: write that down"),
            ("fitted.propeller.serial=P-2", "on which it was fitted: inspect-kit --on DATE install propeller"),
            ("last.spark-plugs.date=2026-03-15", "an entry of its own: inspect-kit --on DATE work spark-plugs"),
            ("last.condition.hours=12", "no meter is called `hours`"),
            ("last.condition.date=soon", "expected a date"),
            ("fitted.engine.colour=red", "unknown key `colour`"),
            ("last.condition.tach=999.0", "is above the total today"),
        ],
    )
    def test_what_cannot_be_is_refused(self, run: Run, tmp_path: Path, word: str, told: str) -> None:
        plane = self._plane(run, tmp_path)
        put = run(plane, "amend", "brought-forward", word, *self.WHY)
        assert put.code == 2
        assert told in " ".join(put.err.split())
        assert not list(plane.rglob("*amendment*"))


def test_what_is_no_answer_to_its_question_is_refused_or_asked_back(run: Run, tmp_path: Path) -> None:
    """Marks that count only later, answers that slipped by a line, hours that the years do not hold."""
    slipped = ("2031-01-01", "None", "Ada ____", "Ada Bellcrank", "1", "2031-01-01", "no", "builder", "<", "0000001")
    typed = (".", "=", "", "N0ZZ", "Wren Works", "W-1", "7", "-", "2019-05-17", *slipped)
    typed = (*typed, "12345", "no", "4,126", "412,6", "", "=", *PAST, ".")
    made = run(None, "new", str(tmp_path / "plane"), typed=typed)
    assert made.code == 0, made.err
    for words in (
        "Registration: `.` has neither a letter nor a digit: a full stop ends the questions from the third wheel on",
        "Registration: `=` has neither a letter nor a digit: = is the answer before once more from the parts on",
        "  this must be answered; Ctrl-C stops, and what was answered is kept",
        "Date of the airworthiness certificate: `-` has neither a letter nor a digit",
        "Your name: `2031-01-01` has no letter: is it the answer to another question?",
        "Your name: `None` names nobody: write the name of the person",
        "Your name: `Ada ____` leaves something open",
        "Number of your certificate: `2031-01-01` is a date. Is it right?",
        "Number of your certificate: `builder` has no digit. Is it right?",
        "The tachometer reads today: 12345 h since 2019-05-17, where 452 h are usual. Is it right?",
        "The tachometer reads today: expected a number such as 412.6, not `4,126`",
        "Date of the last condition inspection: `=` has neither",
    ):
        assert words in made.err, words
    assert 'name: "Ada Bellcrank"' in (tmp_path / "plane/records/aircraft.yaml").read_text(encoding="utf-8")


def test_of_another_day_it_is_entered_today(run: Run, tmp_path: Path) -> None:
    made = run(None, "new", str(tmp_path / "plane"), typed=(*AIRCRAFT, *PAST, "."), on="2026-10-01")
    assert made.code == 0, made.err
    (forward,) = (tmp_path / "plane/records").rglob("2026-10-01-brought-forward*")
    assert "\ndate: 2026-10-01\nentered: 2026-11-25\n" in forward.read_text(encoding="utf-8")


@pytest.mark.parametrize(("certificate", "told"), [("2026-10-12", True), ("2019-05-17", False)])
def test_of_a_new_aircraft_it_is_said_which_inspection_is_meant(
    certificate: str, told: bool, run: Run, tmp_path: Path
) -> None:
    """With none its first due list called the inspection unknown, a reason not to fly."""
    typed = (*AIRCRAFT[:4], certificate, *AIRCRAFT[5:8], "11.3", "", "none", ".")
    made = run(None, "new", str(tmp_path / "plane"), typed=typed)
    assert (made.code, "the inspection that was signed before its certificate" in made.err) == (0, told), made.err


def test_a_governed_propeller_and_injection(run: Run, tmp_path: Path) -> None:
    """The starter spoke of carburettor heat, and said that the propeller has no control: four files were opened."""
    plane = tmp_path / "plane"
    typed = (*AIRCRAFT, *PAST, "tail", "2", "1", "no idea", "constant-speed propeller", "injected", ".")
    made = run(None, "new", str(plane), typed=typed)
    assert (made.code, "expected fixed or constant speed" in made.err) == (0, True), made.err
    assert (run(plane, "verify").code, run(plane, "scope").code) == (0, 0)
    pages = "".join(each.read_text(encoding="utf-8") for each in plane.rglob("*.md"))
    assert ("`propeller-control`" in pages, "carburettor" in pages) == (True, False)
    aircraft = (plane / "records/aircraft.yaml").read_text(encoding="utf-8")
    assert ("fixed pitch" in aircraft, "propeller-control" in aircraft) == (False, False)


class TestBack:
    @pytest.mark.parametrize(
        ("total", "again", "kept"), [("500.5", "", "500.5"), ("500.5", "-", "412.6"), ("", "", "412.6")]
    )
    def test_enter_keeps_the_answer_in_brackets(
        self, run: Run, tmp_path: Path, total: str, again: str, kept: str
    ) -> None:
        plane = tmp_path / "plane"
        shape = ("nose", "2", "<", "<", "", "-", "1", "", "")
        typed = (*AIRCRAFT[:9], total, "<", again, *PAST, *shape, "E-1", "<", "", "Puffin", "<", "<", "", "-", ".")
        made = run(None, "new", str(plane), typed=typed)
        assert made.code == 0, made.err
        asked = "Total time today (Enter: 500.5; -: as the tachometer shows): "
        assert (asked in made.err, "Enter: =" in made.err) == (bool(total), False)
        assert "Third wheel: nose or tail (Enter: nose; -: not known): " in made.err
        assert "Engine, serial number (Enter: E-1; -: not known): " in made.err
        forward = next(plane.rglob("*brought*.yaml")).read_text(encoding="utf-8")
        assert f"total: {kept}}}" in forward
        assert 'engine: {serial: "E-1"}' in forward
        pages = "".join(each.read_text(encoding="utf-8") for each in plane.rglob("*.md"))
        assert ("nose pressure" in pages, "Both seats" in pages) == (True, False)

    def test_the_answer_before_is_given_anew(self, run: Run, tmp_path: Path) -> None:
        plane = tmp_path / "plane"
        made = run(None, "new", str(plane), typed=("N0AA", "<", *AIRCRAFT, *PAST, "nose", "<", "tail", "2", "1", "."))
        assert made.code == 0, made.err
        assert "< goes back to the question before" in made.err
        assert "N0ZZ" in (plane / "records/aircraft.yaml").read_text(encoding="utf-8")
        assert "tail pressure" in "".join(each.read_text(encoding="utf-8") for each in plane.rglob("*.md"))

    def test_as_far_as_the_first_and_after_an_interruption_too(self, run: Run, tmp_path: Path) -> None:
        plane = tmp_path / "plane"
        assert run(None, "new", str(plane), typed=("N0AA", "Wren Wrks")).code == 2
        made = run(None, "new", str(plane), typed=("<", "<", "<", *AIRCRAFT, *PAST, "."))
        assert made.code == 0, made.err
        text = (plane / "records/aircraft.yaml").read_text(encoding="utf-8")
        assert "Wren Works" in text
        assert "N0AA" not in text

    def test_over_the_past_too(self, run: Run, tmp_path: Path) -> None:
        plane, order = tmp_path / "plane", _asked_items(run, tmp_path)
        blank = ("",) * order.index("transponder")
        typed = (*WHOLE, *blank, "2025-04-03", "<", "2025-05-03", "<", "", ".")
        assert run(None, "new", str(plane), typed=typed).code == 0
        last = items(run, plane)["transponder"]["last"]
        assert last["date"] == "2025-05-03"  # type: ignore[index]


def test_the_wheel_the_kind_and_numbers_as_they_are_said(run: Run, tmp_path: Path) -> None:
    """And what Enter takes stands in one manner everywhere, at a question that is asked again too."""
    own = tmp_path / "own"
    typed = (*AIRCRAFT[:6], "A&P mechanic", *AIRCRAFT[7:], *PAST, "nose wheel", "2 seats", "<", "", "1 tank", ".")
    made = run(None, "new", str(own), typed=typed)
    assert made.code == 0, made.err
    assert "  = mechanic (airframe and powerplant)" in made.err
    assert "nose pressure" in "".join(each.read_text() for each in own.glob("checklists/**/*.md"))
    for question in ("Total time today (Enter: as the tachometer shows)", "logbook and page (Enter: aircraft logbook)"):
        assert question in made.err
    assert "Number of seats (Enter: 2; -: not known)" in made.err
    assert not re.search(r"\[|Enter if", made.err)


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ("builder", "repairman (experimental aircraft builder)"),
        ("Mechanic", "mechanic (airframe and powerplant)"),
        ("a&p", "mechanic (airframe and powerplant)"),
        ("repairman (light-sport aircraft)", ""),
        ("inspector", ""),
        ("aircraft", "repairman (experimental aircraft builder)"),
        ("", ""),
    ],
)
def test_a_kind_by_its_words(said: str, kind: str) -> None:
    assert kind_named(said, KINDS) == kind


def test_what_is_owed_after_one_item_is_asked_at_once(run: Run, tmp_path: Path) -> None:
    own = tmp_path / "own"
    before = _asked_items(run, tmp_path)
    blank = ("",) * before.index("oil-change")
    made = run(None, "new", str(own), typed=(*WHOLE, *blank, "2026-08-02, 402.0, engine log p. 12", "yes", "."))
    assert made.code == 0, made.err
    assert re.search(r"After `[A-Z][^`]*` \d steps: .*\n  All done then \(yes, no; Enter: each is asked\)", made.err)
    record = next((own / "records/2026").glob("*brought*")).read_text()
    assert record.count('date: 2026-08-02, tach: 402.0, paper: "engine log p. 12"') > 4
    at, many = map(int, re.findall(r"(\d+) of (\d+): ", made.err)[-1])
    assert 1 < at < many


def test_the_right_answer_is_an_answer_to_whether_it_is_right(run: Run, tmp_path: Path) -> None:
    own = tmp_path / "own"
    blank = ("",) * _asked_items(run, tmp_path).index("oil-change")
    typed = (*WHOLE, *blank, "2024-08-02, 300.0", "2026-08-02, 402.0", ".")
    made = run(None, "new", str(own), typed=typed)
    assert made.code == 0, made.err
    assert items(run, own)["oil-change"]["last"]["date"] == "2026-08-02"  # type: ignore[index]


class TestTheCount:
    """How many items are still to come is known from the beginning; what an answer makes owed comes in between."""

    TEXT = """\
---
panel: nose
name: Nose
zone: nose
---
- [ ] `oil` Oil
  - every: 50 h
- [ ] `leaks` Leaks
  - owed-after: did oil
- [ ] `timing` Magneto timing
  - every: 100 h
  - owed-after: installed magneto-left
- [ ] `plugs` Plugs
  - every: 100 h
"""

    def ask(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, fitted: str, *typed: str) -> Answers:
        _, checks, _ = read_checklist(self.TEXT, "checklists/nose.md")
        told = {"last_inspection": "none", "tach": "400", "total": "=", "magneto-left serial": "M-1"}
        answers = Answers(path=tmp_path / "kept.yaml", told={**told, "magneto-left fitted-on": fitted})
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in typed)))
        past = PastAnswers(answers, lambda: checks, TODAY)
        while True:
            try:
                past.ask()
            except Back:
                answers.take_back()
                continue
            return answers

    def test_it_stands_still_for_what_an_answer_made_owed(
        self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        self.ask(monkeypatch, tmp_path, "2020-01-01", "2026-11-01, 390", "", "2026-11-02, 391", "")
        told = capsys.readouterr().err
        assert re.findall(r"((?:after )?\d of \d): (\w+)", told) == [
            ("1 of 3", "Oil"), ("after 1 of 3", "Leaks"), ("2 of 3", "Magneto"), ("3 of 3", "Plugs"),
        ]  # fmt: skip

    def test_two_totals_of_one_day_are_asked_back(
        self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        self.ask(monkeypatch, tmp_path, "", "2026-11-01, 390", "", "2026-11-01, 391", "yes", "")
        assert capsys.readouterr().err.count("Another answer says that the total was 390 on that day.") == 1

    @pytest.mark.parametrize(("fitted", "asked"), [("", False), ("2026-11-03", True)])
    def test_of_a_fitting_without_a_date_nothing_is_said_to_be_later(
        self,
        fitted: str,
        asked: bool,
        monkeypatch: pytest.MonkeyPatch,
        tmp_path: Path,
        capsys: pytest.CaptureFixture[str],
    ) -> None:
        answers = self.ask(monkeypatch, tmp_path, fitted, "", "2026-11-02, 391", *(["yes"] if asked else []), "")
        assert answers.told["last timing"] == "2026-11-02, 391, "
        assert ("which was later" in capsys.readouterr().err) == asked

    @pytest.mark.parametrize(
        ("typed", "last"),
        [
            # All of it; each, as it was, is asked back; gone back over, and answered otherwise.
            (("yes", ""), "2026-11-09, 395, "),
            (("no", "", "yes", ""), "2026-11-01, 390, "),
            (("no", "", "no", "2026-11-10, 395.5", ""), "2026-11-10, 395.5, "),
            (("no", "2026-11-10, 395.5", "<", "2026-11-11, 396", ""), "2026-11-11, 396, "),
            (("no", "<", "yes", ""), "2026-11-09, 395, "),
            (("yes", "<", "no", "2026-11-10, 395.5", ""), "2026-11-10, 395.5, "),
        ],
    )
    def test_what_a_later_answer_makes_owed_once_more_is_asked_once_more(
        self,
        typed: tuple[str, ...],
        last: str,
        monkeypatch: pytest.MonkeyPatch,
        tmp_path: Path,
        capsys: pytest.CaptureFixture[str],
    ) -> None:
        """The first due list had it as unknown, of which a date was told."""
        both = self.TEXT.replace("- owed-after: did oil\n", "- owed-after: did oil, did plugs\n")
        monkeypatch.setattr(self, "TEXT", f"{both}- [ ] `tyres` Tyres\n  - every: 10 h\n", raising=False)
        answers = self.ask(monkeypatch, tmp_path, "2020-01-01", "2026-11-01, 390", "=", "", "2026-11-09, 395", *typed)
        assert "1 step: Leaks" in capsys.readouterr().err
        assert answers.told["last leaks"] == last


def test_what_new_did_not_ask_comes_in_as_it_says(run: Run, tmp_path: Path) -> None:
    plane = tmp_path / "plane"
    typed = (*AIRCRAFT, *PAST, *SHAPE, *ENGINE, "y", "", "no", *PROPELLER, "yes", ".")
    made = run(None, "new", str(plane), typed=typed)
    assert made.code == 0, made.err
    told = " ".join(made.err.split())
    assert told.count("a Hobbs, comes in afterwards: a line under `meters`") == 1
    assert told.count("`ignition-right: {on: engine}` under `positions`") == 1
    aircraft = plane / "records" / "aircraft.yaml"
    text = aircraft.read_text(encoding="utf-8").replace("meters:\n", "meters:\n  hobbs: {unit: h}\n")
    text = text.replace("positions:\n", "positions:\n  ignition-right: {on: engine}\n")
    aircraft.write_text(text, encoding="utf-8")
    fitted = ("install", "ignition-right", "tach=412.6", "hobbs=500.1", "--serial", "E-1", "--by", "Ada Bellcrank")
    assert run(plane, *fitted, "--part", "Glow 2", "--since-new", "0").code == 0
    # What was not brought forward is refused before why and who are asked.
    past = next((plane / "records").rglob("*brought-forward*"))
    text = past.read_text(encoding="utf-8")
    past.write_text(re.sub(r"(?m)^  condition: .*\n", "", text), encoding="utf-8")
    put = run(plane, "amend", "brought-forward", "last.condition.date=2026-03-10")
    assert put.code == 2
    assert "an entry of its own, or in records/2026/" in " ".join(put.err.split())
    assert "Why" not in put.err
    assert run(plane, "verify").code == 0


def test_a_store_inside_another_is_told_before_anything_is_asked(run: Run, hangar: Path, tmp_path: Path) -> None:
    for folder, inside in ((hangar / "hangar" / "second", True), (tmp_path / "second", False)):
        told = run(None, "new", str(folder))
        assert told.code == 2
        assert not folder.exists()
        words = f"inside the store {hangar}: what is typed outside second is about that one. To keep them apart stop"
        words += f" here and type: inspect-kit new {tmp_path / 'second'}"
        assert (words in " ".join(told.err.split())) == inside


def test_whoever_gave_all_that_is_needed_by_options_is_asked_the_rest(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The parts and the past were never asked, without a word, and all of it was unknown."""
    needed = ("--registration", "N0ZZ", "--make", "Wren Works", "--model", "W-1", "--serial", "7", "--kind", "1")
    needed += ("--certificate-date", "2019-05-17", "--name", "Ada Bellcrank", "--certificate", "0000001")
    needed += ("--tach", "412.6", "--total", "412.6", "--last-inspection", "2026-03-14", "--last-total", "380.2")
    needed += ("--last-paper", "log p. 31", "--wheel", "tail", "--seats", "2", "--tanks", "1", "--pitch", "fixed")
    alone = run(None, "new", str(tmp_path / "alone"), *needed, typed=("carburettor",))
    assert (alone.code, alone.err) == (0, "")
    monkeypatch.setattr("inspect_kit.cli.beginning.somebody", lambda: True)
    there = run(None, "new", str(tmp_path / "there"), *needed, typed=("carburettor", *ENGINE, "."))
    assert there.code == 0
    assert there.err.index("Fuel by carburettor") < there.err.index("Engine, serial number")
    assert "E-0007" in "".join(path.read_text() for path in (tmp_path / "there/records/2026").iterdir())


# Titles with what is answered to them; the last total is reached on the day of the oil change.
OIL, HOSES = ("Oil change", "2026-10-15, 400.0"), ("Fuel and oil hoses", "2025-10-15, 300.0")


@pytest.mark.parametrize(
    ("told", "at_once"),
    [((OIL, ("Spark plugs", "=")), True), ((HOSES, OIL, ("Fuel strainer", "=")), True), ((HOSES, OIL), False)],
)
def test_back_is_the_question_before_wherever_it_is_typed(
    monkeypatch: pytest.MonkeyPatch, run: Run, tmp_path: Path, told: tuple[tuple[str, str], ...], at_once: bool
) -> None:
    """What a later answer made owed came up behind an earlier one, as the question before."""

    def answer(asked: str) -> str:
        if "All done then" in asked:
            return "yes" if at_once else "no"
        words = re.sub(r"^(after )?\d+ of \d+: ", "", asked)
        return "yes" if "Is it right" in asked else next((said for title, said in told if words.startswith(title)), "")

    def talk(name: str, back: int = -1) -> list[str]:
        begun = iter((*WHOLE[:-1], "yes"))
        asked: list[str] = []

        def prompt(words: str, *, default: str | None = None, **_: object) -> str:
            asked.append(" ".join(words.split()))
            typed = "<" if len(asked) - 1 == back else next(begun, None)
            return (answer(asked[-1]) if typed is None else typed) or default or ""

        monkeypatch.setattr(said.click, "prompt", prompt)
        assert run(None, "new", str(tmp_path / name)).code == 0
        return asked

    through = talk("through")
    first = next(at for at, words in enumerate(through) if words.startswith(told[-1][0], words.find(": ") + 2))
    for back in range(first + 1, min(first + 5, len(through))):
        if "Is it right" not in through[back - 1]:
            both = (talk(f"back-{back}", back)[back + 1], through[back - 1])
            again, before = (re.sub(r" \([^()]*\)$", "", each) for each in both)
            assert again == before, (back, through[back])
