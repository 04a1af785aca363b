"""What work makes owed, from the plan to the due list: taken in, put in order, asked, told, and no statement over it.

The store is that of conftest with a wing that comes off, an oil change that owes two checks, and a propeller.
"""

import json
import re
from pathlib import Path

import pytest

from tests.cli.conftest import CODES, Outcome, Run, entered

OIL = """\
---
panel: sump
name: Sump door
zone: nose
remove: 4 min
refit: 6 min
behind: [cowl]
---
- [ ] `oil-drain` Drain the oil, warm, and fill fresh
  - every: 50 h or 4 months
  - who: anyone
  - time: 20 min
- [ ] `oil-cut` Cut the old filter open
  - owed-after: did oil-drain
- [ ] `oil-run` Run two minutes and look for leaks
  - owed-after: did oil-drain, did oil-cut
  - when: closed except cowl, sump
  - alone: yes
  - time: 10 min
- [ ] `oil-sample` Send a sample away
  - every: 100 h
  - owed-after: did oil-drain
  - who: others: oil laboratory
  - bars: nothing
"""
WING = """\
---
panel: wing
name: Wing, detached
zone: wing
remove: 20 min
refit: 25 min
disturbs: [controls, static]
---
- [ ] `bushes` Root bushes
  - every: 8 years
- [ ] `pins` Root pins
  - every: condition inspection
  - covers: f
"""
PROPELLER = """\
---
panel: propeller-off
name: Propeller, taken off
zone: nose
remove: 20 min
refit: 25 min
behind: [cowl]
disturbs: [hub]
---
- [ ] `hub-face` Hub face
  - every: 2 years
"""
PLACE = """\
---
panel: cockpit
name: Cockpit
zone: cabin
---
- [ ] `controls-free` Controls after work: free, right sense, full travel
  - owed-after: disturbed controls
  - second-look: yes
- [ ] `static-leak` Static system tested
  - every: 24 calendar months
  - owed-after: disturbed static
  - who: others: repair station
  - bars: flight under IFR
- [ ] `hub-torque` Propeller bolts
  - every: 50 h
  - first: 1 h, 10 h
  - owed-after: disturbed hub
- [ ] `seen` Seen to be free
  - owed-after: disturbed controls
  - bars: nothing
"""

# How a sentence names them: by their words, with the id that is typed.
DRAIN, CUT = "Drain the oil, warm, and fill fresh (oil-drain)", "Cut the old filter open (oil-cut)"
LEAKS, FREE = "Run two minutes and look for leaks (oil-run)", "Controls after work (controls-free)"
OFF, STATIC = "Wing, detached (wing)", "Static system tested (static-leak)"
TORQUE = "Propeller bolts (hub-torque) 1 h and 10 h after Propeller, taken off (propeller-off), which disturbs hub"


@pytest.fixture
def plane(hangar: Path) -> Path:
    for name, text in {"sump": OIL, "wing": WING, "propeller-off": PROPELLER, "cockpit": PLACE}.items():
        (hangar / f"checklists/nose/{name}.md").write_text(text, encoding="utf-8")
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text().replace("  f: none on this small aircraft\n", ""), encoding="utf-8")
    past = hangar / "records/2026/2026-09-01-past.yaml"
    done = "".join(
        f"  {name}: {{date: 2026-08-02, tach: 650.0}}\n"
        for name in ("oil-drain", "oil-cut", "oil-run", "oil-sample", "bushes", "hub-face", "hub-torque", "static-leak")
    )
    past.write_text(past.read_text() + done, encoding="utf-8")
    assert "f" in CODES
    return hangar


def plan(run: Run, plane: Path, *words: str) -> dict[str, object]:
    outcome = run(plane, "plan", *words, "--json")
    assert outcome.code == 0, outcome
    return json.loads(outcome.out)  # type: ignore[no-any-return]


def owed(run: Run, plane: Path) -> list[str]:
    """What is owed and bars flight, as the due list says."""
    stops = json.loads(run(plane, "due", "--json").out)["stops"]
    # Each is told by the words of its check, with its id in brackets.
    said = [stop["text"] for stop in stops if stop["kind"] == "owed-before-flight"]
    return [name for text in said for name in re.findall(r"\(([a-z-]+)\)", text)[:1]]


def words(outcome: Outcome) -> str:
    return " ".join((outcome.out + outcome.err).split())


def order(facts: dict[str, object]) -> list[str]:
    return [each["check"] or f"{each['step']} {each['panel']}" for each in facts["steps"]]  # type: ignore[attr-defined]


def test_a_plan_takes_in_what_its_own_work_makes_owed_with_only_too(run: Run, plane: Path) -> None:
    for only in ((), ("--only",)):
        facts = plan(run, plane, "oil-drain", *only)
        assert order(facts) == [
            *("remove cowl", "remove sump", "oil-drain", "oil-cut", "oil-run", "refit sump", "refit cowl")
        ]
        assert facts["owed"] == {
            "taken_in": [
                {"check": "oil-cut", "after": [{"trigger": "did oil-drain", "by": "oil-drain"}]},
                {
                    "check": "oil-run",
                    "after": [
                        {"trigger": "did oil-drain", "by": "oil-drain"},
                        {"trigger": "did oil-cut", "by": "oil-cut"},
                    ],
                },
            ],
            "later": [],
            "others": [{"check": "oil-sample", "after": [{"trigger": "did oil-drain", "by": "oil-drain"}]}],
        }
    told = words(run(plane, "plan", "oil-drain", "--only"))
    few = "Cut the old filter open; Run two minutes and look for leaks."
    assert f"Owed by this work itself, and taken in (why: --all): {few}" in told
    told = words(run(plane, "plan", "oil-drain", "--only", "--all"))
    taken = f"{CUT} after {DRAIN}; {LEAKS} after {DRAIN} and {CUT}."
    assert f"Owed by this work itself, and taken in: {taken}" in told
    assert f"This work makes owed, to be arranged with others: Send a sample away (oil-sample) after {DRAIN}." in told


def test_why_it_is_in_the_plan_is_what_makes_it_owed(run: Run, plane: Path) -> None:
    """The arithmetic of the item alone was told, by which it is due in a year."""
    told = words(run(plane, "plan", "oil-drain", "--only", "--why", "oil-run"))
    assert f"This work itself makes it owed, after {DRAIN} and {CUT}." in told
    assert "makes it owed" not in words(run(plane, "plan", "oil-drain", "--only", "--why", "oil-drain"))


def test_what_a_panel_disturbs_is_owed_after_it_is_back(run: Run, plane: Path) -> None:
    facts = plan(run, plane, "bushes", "--people", "2")
    assert order(facts)[:3] == ["remove wing", "bushes", "refit wing"]
    assert sorted(order(facts)[3:]) == ["controls-free", "seen"]
    told = words(run(plane, "plan", "bushes", "--all"))
    assert f"taken in: {FREE} and Seen to be free (seen) after {OFF}, which disturbs controls." in told
    assert f"to be arranged with others: {STATIC} after {OFF}, which disturbs static." in told
    later = words(run(plane, "plan", "hub-face"))
    assert f"This work makes owed for later: {TORQUE}." in later


def test_what_is_owed_later_is_done_after_what_it_is_owed_by(run: Run, plane: Path) -> None:
    """The bolts are torqued once the propeller is back, not before it comes off."""
    done = order(plan(run, plane, "hub-face", "hub-torque"))
    assert done.index("refit propeller-off") < done.index("hub-torque")


def test_the_inspection_too(run: Run, plane: Path) -> None:
    facts = plan(run, plane, "condition", "--only")
    assert {"pins", "controls-free", "seen"} <= set(facts["checks"])  # type: ignore[call-overload]
    assert "oil-run" not in facts["checks"]  # type: ignore[operator]
    run(plane, "work", "oil-drain", "tach=410.0")
    # What is owed on record is never left out.
    assert {"oil-cut", "oil-run"} <= set(plan(run, plane, "condition", "--only")["checks"])  # type: ignore[call-overload]


def test_start_says_that_sign_will_refuse_its_inspector(run: Run, plane: Path) -> None:
    begun = run(plane, "start", "condition", "tach=410.0", "--only", "--by", "Nobody Known", "--people", "2")
    assert begun.code == 0
    assert "`sign` will refuse the page's inspector: Nobody Known is a helper, without a certificate" in words(begun)


def test_a_page_says_what_is_owed_after_what(run: Run, plane: Path) -> None:
    begun = run(plane, "start", "oil-drain", "--by", "Ada Bellcrank")
    page = (plane / begun.out.strip()).read_text()
    assert "> Owed after oil-drain; oil-cut.\n\n- [ ] `oil-run` Run two minutes" in page
    assert "- [ ] refit `sump` Sump door; inside free of tools, rags and parts\n" in page
    assert "Owed by this work itself" in begun.err


def test_a_visit_takes_it_in(run: Run, plane: Path) -> None:
    answer = json.loads(run(plane, "visits", "--json").out)
    day = next(visit["on"] for visit in answer["visits"] if "oil-drain" in visit["checks"])
    facts = json.loads(run(plane, "visits", "--plan", day, "--json").out)
    done = order(facts)
    assert done.index("oil-drain") < done.index("oil-cut") < done.index("oil-run")


def test_two_in_one_entry_are_asked_about(run: Run, plane: Path) -> None:
    asked = run(plane, "work", "oil-drain", "oil-cut", "oil-run", "tach=410.0", typed=("y", "n", "y"))
    assert f"{CUT} is owed after {DRAIN}. Was it done after that? (yes, no)" in words(asked)
    assert f"{LEAKS} is owed after {DRAIN}. Was it done after that? (yes, no)" in words(asked)
    assert f"!! Owed before the next flight: {LEAKS} after {DRAIN} and {CUT}." in words(asked)
    record = (plane / asked.out.split()[0]).read_text()
    assert "left-owed:\n  - oil-run\n" in record
    assert owed(run, plane) == ["oil-run"]
    assert run(plane, "verify").code == 0


def test_of_two_entries_of_one_day_and_reading_the_second_says_what_it_came_after(
    run: Run, plane: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What had been done before the work that makes it owed counted as done after it."""

    def work(*names: str, typed: tuple[str, ...] = ()) -> tuple[Path, Outcome]:
        done = run(plane, "work", *names, "--by", "Ada Bellcrank", on="2026-11-20", typed=typed)
        assert done.code == 0, done.err
        return plane / done.out.split("\n")[0], done

    first, ran = work("oil-run", "tach=405.0")
    assert "of the same day" not in ran.err
    second, cut = work("oil-cut", "tach=405.0")
    assert f"Taken as done after {first.stem} (tach 405.0; oil-run;" in words(cut)
    assert second.read_text().endswith(f"follows:\n  - {first.stem}\n")
    assert owed(run, plane) == ["oil-run"]
    # Done once more at that reading it is answered: the one before came first.
    third, told = work("oil-run", "tach=405.0")
    assert owed(run, plane) == []
    # It answers without a question, and says what it came after: nothing is left to silence.
    assert f"Taken as done after {second.stem} (tach 405.0; oil-cut;" in words(told)
    assert "with --follows none" in words(told)
    assert third.read_text().endswith(f"follows:\n  - {second.stem}\n")
    assert "Taken as done after" not in run(plane, "due", on="2026-11-20").out
    third.write_text(third.read_text().replace(f"follows:\n  - {second.stem}\n", ""))
    assert "Taken as done after" in run(plane, "due", on="2026-11-20").out
    # Of what came after something else, as told, the rest is left unsaid, and noted.
    third.unlink()
    third, told = work("oil-run", "tach=405.0", "--follows", first.stem)
    assert third.read_text().endswith(f"follows:\n  - {first.stem}\n")
    assert f"is taken as done after {second.stem} of the same day" in " ".join(run(plane, "verify").out.split())
    # It can be said, and is asked at a terminal, and a no says that it came before.
    for name in (first, second, third):
        name.unlink()
    first, _ = work("oil-run", "tach=405.0")
    second, _ = work("oil-cut", "tach=405.0", "--follows", "none")
    assert second.read_text().endswith(f"precedes:\n  - {first.stem}\n")
    # So does what answers: said to have come before, it answers nothing that the other one left.
    first.unlink()
    second.unlink()
    second, _ = work("oil-cut", "tach=405.0")
    third, _ = work("oil-run", "tach=405.0", "--follows", "none")
    assert owed(run, plane) == ["oil-run"]
    for name in (second, third):
        name.unlink()
    first, _ = work("oil-run", "tach=405.0")
    monkeypatch.setattr("inspect_kit.cli.entering.somebody", lambda: True)
    second, asked = work("oil-cut", "tach=405.0", typed=("no",))
    assert second.read_text().endswith(f"precedes:\n  - {first.stem}\n")
    assert "Was this done after it? (yes, no; Enter: yes)" in words(asked)
    second, _ = work("oil-cut", "tach=405.0", typed=("",))
    assert second.read_text().endswith(f"follows:\n  - {first.stem}\n")
    # The next step of the job is not asked there, but said.
    third, told = work("oil-run", "tach=405.0")
    assert "Was this done after it?" not in words(told)
    assert f"Taken as done after {second.stem} (tach 405.0; oil-cut;" in words(told)
    third.unlink()
    # What it came after is taken back all the same, and rests on nothing; of another day it is refused.
    assert run(plane, "withdraw", first.stem, "--reason", "wrong aeroplane", "--by", "Ada Bellcrank").code == 0
    assert run(plane, "verify").code == 0
    assert "of the same day" not in work("oil-cut", "tach=406.0")[1].err
    refused = run(plane, "work", "oil-run", "--by", "Ada Bellcrank", "--follows", second.stem)
    assert refused.code == 2
    assert "which is of 2026-11-20: `follows` is for two records of one day" in refused.err


@pytest.mark.parametrize(
    ("first", "second", "which", "field", "said"),
    [
        (("2026-11-20", "405.0"), ("2026-11-21", "405.0"), 1, "date=2026-11-20", "follows"),
        (("2026-11-20", "405.0"), ("2026-11-21", "405.0"), 0, "date=2026-11-21", "precedes"),
        (("2026-11-20", "405.0"), ("2026-11-20", "405.5"), 1, "tach=405.0", "follows"),
        (("2026-11-20", "404.5"), ("2026-11-20", "405.0"), 0, "tach=405.0", "precedes"),
    ],
)
def test_an_amendment_that_brings_two_onto_one_day_and_reading_keeps_their_order(
    run: Run, plane: Path, first: tuple[str, str], second: tuple[str, str], which: int, field: str, said: str
) -> None:
    """The slip of a day or a reading put right took what was owed away."""
    made = []
    for check, (day, tach) in (("oil-run", first), ("oil-cut", second)):
        done = run(plane, "work", check, f"tach={tach}", "--by", "Ada Bellcrank", on=day)
        made.append(Path(done.out.split("\n")[0]).stem)
    assert owed(run, plane) == ["oil-run"]
    why = ("--reason", "a slip of the pen", "--by", "Ada Bellcrank", "--yes")
    amended = run(plane, "amend", made[which], field, *why)
    assert f"{said} {made[1 - which]} instead of nothing" in amended.out, amended.err
    when = {"follows": "after", "precedes": "before"}[said]
    assert f"Taken as done {when} {made[1 - which]} (" in words(amended)
    assert owed(run, plane) == ["oil-run"]
    # It rests on that as little as a record does; said otherwise with `--follows` it is as said.
    (plane / amended.out.split("\n")[0]).unlink()
    other = ("--follows", made[1 - which] if said == "precedes" else "none")
    assert run(plane, "amend", made[which], field, *other, *why).code == 0
    assert owed(run, plane) == []
    assert run(plane, "withdraw", made[1 - which], "--reason", "wrong aeroplane", "--by", "Ada Bellcrank").code == 0
    assert run(plane, "verify").code == 0


def test_the_order_that_an_entry_wrote_of_itself_can_be_taken_back(run: Run, plane: Path) -> None:
    """What answered says what it came after; that it was run first was refused as a circle."""
    told = {}
    for check in ("oil-cut", "oil-run"):
        done = run(plane, "work", check, "tach=405.0", "--by", "Ada Bellcrank", on="2026-11-20")
        told[check] = Path(done.out.split("\n")[0]).stem
    assert owed(run, plane) == []
    why = ("--reason", "run first", "--by", "Ada Bellcrank", "--yes")
    amended = run(plane, "amend", told["oil-run"], "--follows", "none", *why)
    assert amended.code == 0, amended.err
    assert owed(run, plane) == ["oil-run"]
    assert run(plane, "verify").code == 0


def test_what_was_answered_is_the_order_of_the_record(run: Run, plane: Path) -> None:
    """The checks stood in it as they were typed, and a yes to `was it done after that` was thrown away."""
    asked = run(plane, "work", "oil-run", "oil-cut", "oil-drain", "tach=410.0", typed=("y", "y", "y"))
    assert "did:\n  - oil-drain\n  - oil-cut\n  - oil-run\n" in (plane / asked.out.split()[0]).read_text()
    assert ("left-owed" in asked.out, owed(run, plane)) == (False, []), words(asked)


def test_nobody_to_ask(run: Run, plane: Path) -> None:
    before = sorted((plane / "records").rglob("*.yaml"))
    refused = run(plane, "work", "oil-drain", "oil-cut", "tach=410.0")
    assert refused.code == 2
    assert "name the checks in the order in which they were done, with --in-order" in words(refused)
    assert sorted((plane / "records").rglob("*.yaml")) == before
    in_order = run(plane, "work", "oil-drain", "oil-cut", "oil-run", "tach=410.0", "--in-order")
    assert "Owed before" not in words(in_order)
    turned = run(plane, "work", "oil-cut", "oil-drain", "tach=410.0", "--in-order", on="2026-11-24")
    assert turned.code == 0
    assert "oil-cut" in (plane / turned.out.split("\n")[0]).read_text().split("left-owed:")[1]


def edited(path: Path, was: str, now: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert was in text
    path.write_text(text.replace(was, now), encoding="utf-8")


@pytest.mark.parametrize("now", ["", "disturbs: [static]\n"])
def test_what_a_panel_disturbed_stays_owed_when_its_page_is_edited(run: Run, plane: Path, now: str) -> None:
    """With the line that made it owed it was gone from the due list, in silence."""
    written = run(plane, "work", "bushes", "tach=410.0", "--opened", "wing")
    assert owed(run, plane) == ["controls-free"]
    record = (plane / written.out.split("\n")[0]).read_text()
    assert "disturbed:\n  - controls\n  - static\nleft-owed:\n" in record
    edited(plane / "checklists/nose/wing.md", "disturbs: [controls, static]\n", now)
    assert owed(run, plane) == ["controls-free"]
    assert run(plane, "verify").code == 0
    who = ("--by", "Bo Cleco", "--second-look", "Ada Bellcrank")
    done = run(plane, "work", "controls-free", "tach=410.0", "--in-order", *who)
    assert (done.code, owed(run, plane)) == (0, []), words(done)


def test_what_was_owed_after_a_check_stays_owed_when_it_comes_after_another(run: Run, plane: Path) -> None:
    """The check split in two, its successor named: what was owed after the old one was owed after nothing."""
    run(plane, "work", "oil-drain", "tach=410.0", "--in-order")
    assert sorted(owed(run, plane)) == ["oil-cut", "oil-run"]
    sump = plane / "checklists/nose/sump.md"
    edited(sump, "  - time: 20 min\n", "  - time: 20 min\n  - retired: 2026-11-25, see oil-and-filter\n")
    edited(sump, "did oil-drain", "did oil-and-filter")
    edited(sump, "- [ ] `oil-cut`", "- [ ] `oil-and-filter` Oil and filter\n  - every: 50 h\n- [ ] `oil-cut`")
    assert sorted(owed(run, plane)) == ["oil-cut", "oil-run"]


ADA = ("--reason", "only planned", "--by", "Ada Bellcrank", "--yes")


def test_what_was_not_done_leaves_nothing_owed(run: Run, plane: Path) -> None:
    """The record had it written in what it left owed, and nobody could take that back."""
    run(plane, "work", "oil-drain", "tach=410.0", "--in-order")
    assert sorted(owed(run, plane)) == ["oil-cut", "oil-run"]
    back = run(plane, "amend", "oil-drain", "--not-done", "oil-drain", *ADA)
    assert (back.code, owed(run, plane)) == (0, []), words(back)
    assert run(plane, "verify").code == 0


def test_what_one_of_two_checks_left_owed_stays_when_the_other_was_not_done(run: Run, plane: Path) -> None:
    run(plane, "work", "oil-drain", "oil-cut", "tach=410.0", "--in-order")
    assert owed(run, plane) == ["oil-run"]
    run(plane, "amend", "oil-drain", "--not-done", "oil-cut", *ADA)
    assert sorted(owed(run, plane)) == ["oil-cut", "oil-run"]
    run(plane, "amend", "oil-drain", "--not-done", "oil-drain", *ADA)
    assert owed(run, plane) == []


def test_what_a_check_disturbed_is_not_disturbed_where_it_was_not_done(run: Run, plane: Path) -> None:
    """But what was said beside it to be disturbed is."""
    edited(plane / "checklists/nose/sump.md", "  - who: anyone\n", "  - who: anyone\n  - disturbs: controls\n")
    run(plane, "work", "oil-drain", "tach=410.0", "--in-order")
    assert sorted(owed(run, plane)) == ["controls-free", "oil-cut", "oil-run"]
    run(plane, "amend", "oil-drain", "--not-done", "oil-drain", *ADA)
    assert owed(run, plane) == []
    said = run(plane, "work", "oil-drain", "tach=411.0", "--in-order", "--disturbed", "controls")
    run(plane, "amend", Path(said.out.split("\n")[0]).stem, "--not-done", "oil-drain", *ADA)
    assert owed(run, plane) == ["controls-free"]


def test_what_a_panel_disturbed_stays_owed_when_the_check_behind_it_was_not_done(run: Run, plane: Path) -> None:
    run(plane, "work", "bushes", "tach=410.0", "--opened", "wing")
    run(plane, "amend", "bushes", "--not-done", "bushes", *ADA)
    assert owed(run, plane) == ["controls-free"]


def test_what_the_checklist_no_longer_says_stays_owed_of_what_was_not_done(run: Run, plane: Path) -> None:
    """Which check made it owed nobody can say then."""
    run(plane, "work", "oil-drain", "tach=410.0", "--in-order")
    cut = "- [ ] `oil-cut` Cut the old filter open\n"
    edited(plane / "checklists/nose/sump.md", f"{cut}  - owed-after: did oil-drain\n", f"{cut}  - every: 50 h\n")
    run(plane, "amend", "oil-drain", "--not-done", "oil-drain", *ADA)
    assert owed(run, plane) == ["oil-cut"]


def test_what_comes_hours_later_is_not_left_owed(run: Run, plane: Path) -> None:
    """It counts from the day, and is not due at once."""
    written = run(plane, "work", "hub-face", "tach=410.0", "--opened", "propeller-off", "--in-order")
    assert written.code == 0, words(written)
    assert "hub-torque" not in (plane / written.out.split("\n")[0]).read_text().split("did:")[1]


def test_a_panel_that_came_off_is_asked_about(run: Run, plane: Path) -> None:
    asked = run(plane, "work", "bushes", "tach=410.0", typed=("y",))
    question = "Did the panel come off for it: Wing, detached (wing)? That disturbs controls, static."
    assert f"{question} (yes, no)" in words(asked)
    assert f"Owed before the next flight: {FREE} after {OFF}, which disturbs controls." in words(asked)
    assert f"Owed: Seen to be free (seen) after {OFF}, which disturbs controls." in words(asked)
    told = f"Owed, or flight under IFR is not to be used: {STATIC} after {OFF}, which disturbs static."
    assert told in words(asked)
    assert owed(run, plane) == ["controls-free"]
    barred = json.loads(run(plane, "due", "--json").out)["not_to_be_used"]
    assert [each["what"] for each in barred] == ["flight under IFR"]
    explained = words(run(plane, "due", "controls-free"))
    assert "owed after `disturbed controls` (wing" in explained


@pytest.mark.parametrize("given", [("--opened", "none"), ("--opened", "cowl", "--opened", "none")])
def test_a_panel_that_stayed_on_disturbs_nothing(run: Run, plane: Path, given: tuple[str, ...]) -> None:
    did = run(plane, "work", "bushes", "tach=410.0", *given, "--by", "Ada Bellcrank")
    assert (did.code, "Owed" in words(did), owed(run, plane)) == (0, False, []), words(did)
    assert run(plane, "verify").code == 0
    wrong = run(plane, "work", "bushes", "tach=410.0", "--opened", "wingg")
    assert (wrong.code, "no panel is called `wingg`; did you mean `wing`?" in wrong.err) == (2, True)


BY_HAND = """\
format: 1
kind: work
date: 2026-11-20
meters: {tach: 410.0}
did: [bushes]
by: Ada Bellcrank
"""
PAPER = BY_HAND.replace("kind: work", "kind: paper-entry\npaper: airframe log p. 3\ntext: bushes")
ALL_OF_THE_WING = ["controls-free", "seen", "static-leak"]


def by_hand(run: Run, plane: Path, text: str) -> tuple[dict[str, str], list[str], str]:
    """The states of what the wing makes owed, the reasons not to fly among them, and the note of `verify`."""
    day = re.search(r"\d{4}-\d{2}-\d{2}", text)
    assert day
    (plane / f"records/2026/{day.group()}-by-hand.yaml").write_text(text, encoding="utf-8")
    checked = run(plane, "verify")
    assert (checked.code, checked.err) == (0, "")
    answer = json.loads(run(plane, "due", "--json").out)
    states = {each["check"]: each["state"] for each in answer["items"] if each["check"] in ALL_OF_THE_WING}
    noted = words(checked).partition("opened:")[2].partition(" A whole seal")[0]
    return states, [each for each in owed(run, plane) if each in ALL_OF_THE_WING], noted


def test_by_hand_a_panel_of_which_nothing_is_said_is_taken_as_off(run: Run, plane: Path) -> None:
    """What the command asks a file cannot ask: until it says otherwise, what makes due sooner counts."""
    states, stops, noted = by_hand(run, plane, BY_HAND)
    assert states == dict.fromkeys(ALL_OF_THE_WING, "past-due")
    assert stops == ["controls-free"]
    assert "nothing says whether `wing` came off for this" in noted
    assert all(f"`{name}`" in noted for name in ALL_OF_THE_WING)
    assert "`opened: [wing]` here says that it was so, `opened: none` that it stayed on" in noted
    explained = words(run(plane, "due", "controls-free"))
    assert "wing is taken as off, as 2026-11-20-by-hand does not say" in explained


def test_what_a_later_record_settled_is_a_note_on_the_days_before(run: Run, plane: Path) -> None:
    """`due` of that day acts on it, and `verify` of that day said nothing."""
    by_hand(run, plane, BY_HAND)
    settled = BY_HAND.replace("[bushes]", f"[{', '.join(ALL_OF_THE_WING)}]").replace("11-20", "11-23")
    settled += "paper: airframe log p. 4\n"
    _, stops, noted = by_hand(run, plane, settled)
    assert (stops, noted) == ([], "")
    for day, stop in (("2026-11-19", []), ("2026-11-20", ["controls-free"]), ("2026-11-22", ["controls-free"])):
        stops = json.loads(run(plane, "due", "--json", on=day).out)["stops"]
        assert [each["text"].partition("(")[2][:-1] for each in stops if "controls" in each["text"]] == stop, day
        checked = run(plane, "verify", on=day)
        assert checked.code == 0
        assert ("nothing says whether `wing` came off for this" in words(checked)) is bool(stop), day
        assert words(checked).count("nothing says whether `wing`") <= 1


def test_an_order_left_unsaid_is_a_note_on_the_days_on_which_it_answered(run: Run, plane: Path) -> None:
    """Done once more later, the leak run of that day answers nothing any more today."""
    for name, did in (("a", "oil-cut"), ("b", "oil-run")):
        text = BY_HAND.replace("[bushes]", f"[{did}]").replace("410.0", "405.0") + "opened: none\n"
        (plane / f"records/2026/2026-11-20-{name}.yaml").write_text(text, encoding="utf-8")
    told = "`oil-run` is taken as done after 2026-11-20-a of the same day"
    assert told in words(run(plane, "verify"))
    later = BY_HAND.replace("[bushes]", "[oil-run]").replace("11-20", "11-23") + "opened: none\n"
    (plane / "records/2026/2026-11-23-c.yaml").write_text(later, encoding="utf-8")
    assert told not in words(run(plane, "verify"))
    assert told in words(run(plane, "verify", on="2026-11-21"))


@pytest.mark.parametrize("line", ["opened: none\n", "opened: [none]\n", "opened: []\n"])
def test_by_hand_it_stayed_on(run: Run, plane: Path, line: str) -> None:
    states, stops, noted = by_hand(run, plane, BY_HAND + line)
    assert (set(states.values()) & {"past-due"}, stops, noted) == (set(), [], "")


@pytest.mark.parametrize("typed", ["y", "n"])
def test_who_names_one_panel_is_asked_about_the_other(run: Run, plane: Path, typed: str) -> None:
    """The cowl was named, and that answered for the wing."""
    asked = run(plane, "work", "bushes", "tach=410.0", "--opened", "cowl", "--by", "Ada Bellcrank", typed=(typed,))
    assert "Did the panel come off for it: Wing, detached (wing)? That disturbs controls, static." in words(asked)
    record = (plane / next(line for line in asked.out.split("\n") if line.startswith("records/"))).read_text()
    assert f"opened:\n  - cowl\n  - {'wing' if typed == 'y' else 'none'}\n" in record
    assert owed(run, plane) == (["controls-free"] if typed == "y" else [])
    assert "nothing says whether" not in words(run(plane, "verify"))


def test_who_names_one_panel_says_of_the_other_in_a_script(run: Run, plane: Path) -> None:
    alone = run(plane, "work", "bushes", "tach=410.0", "--opened", "cowl", "--by", "Ada Bellcrank")
    assert alone.code == 2
    assert "say which panels came off: --opened cowl --opened wing, or --opened cowl --opened none" in words(alone)
    assert not [*(plane / "records/2026").glob("*bushes*")]


def test_who_names_what_is_behind_a_panel_is_asked_about_that(run: Run, plane: Path) -> None:
    """In words alone too: nothing else comes off before it."""
    sump = plane / "checklists/nose/sump.md"
    edited(sump, "behind: [cowl]", "behind: [cowl, wing]")
    told = ("--text", "washed out", "--by", "Ada Bellcrank")
    asked = run(plane, "work", "tach=410.0", "--opened", "sump", *told, typed=("y",))
    assert "Did the panel come off for it: Wing, detached (wing)?" in words(asked)
    assert owed(run, plane) == ["controls-free"]


def test_who_types_what_is_behind_a_panel_is_asked_about_that(run: Run, plane: Path) -> None:
    edited(plane / "checklists/nose/sump.md", "behind: [cowl]", "behind: [cowl, wing]")
    told = ("--text", "washed out", "--by", "Ada Bellcrank")
    asked = run(plane, "work", "tach=410.0", *told, typed=("sump", "y"))
    assert "Did the panel come off for it: Wing, detached (wing)?" in words(asked)
    assert owed(run, plane) == ["controls-free"]


PILOT = "Cornelius Redwing, private pilot, 7654321"


@pytest.mark.parametrize("typed", ["y", "n"])
def test_a_flight_after_it_does_not_say_that_nothing_came_off(run: Run, plane: Path, typed: str) -> None:
    """`opened: none` was written, which nobody had said."""
    done = ("--text", "looked at, flown after it", "--flight-check", "done", "--by", PILOT)
    alone = run(plane, "work", "bushes", "tach=410.0", *done)
    assert (alone.code, [*(plane / "records/2026").glob("*bushes*")]) == (2, [])
    asked = run(plane, "work", "bushes", "tach=410.0", *done, typed=(typed,))
    assert "Did the panel come off for it: Wing, detached (wing)?" in words(asked)
    assert asked.code == 0, words(asked)
    assert owed(run, plane) == (["controls-free"] if typed == "y" else [])


def test_by_hand_one_panel_that_is_named_says_nothing_of_another(run: Run, plane: Path) -> None:
    states, stops, noted = by_hand(run, plane, BY_HAND + "opened: [cowl]\n")
    assert (states, stops) == (dict.fromkeys(ALL_OF_THE_WING, "past-due"), ["controls-free"])
    assert "nothing says whether `wing` came off for this" in noted
    assert "`opened: [cowl, wing]` here says that it was so, `opened: [cowl, none]` that it stayed on" in noted
    for line in ("opened: [cowl, wing]\n", "opened: [cowl, none]\n"):
        states, stops, noted = by_hand(run, plane, BY_HAND + line)
        assert (stops, noted) == (["controls-free"] if "wing" in line else [], ""), line


def test_by_hand_what_is_behind_a_panel_says_that_it_came_off(run: Run, plane: Path) -> None:
    edited(plane / "checklists/nose/sump.md", "behind: [cowl]", "behind: [cowl, wing]")
    text = BY_HAND.replace("did: [bushes]", "text: washed out") + "opened: [sump]\n"
    _, stops, noted = by_hand(run, plane, text)
    assert stops == ["controls-free"]
    assert "nothing says whether `wing` came off for this" in noted


def test_by_hand_it_came_off(run: Run, plane: Path) -> None:
    states, stops, noted = by_hand(run, plane, BY_HAND + "opened: [wing]\n")
    assert (states, stops, noted) == (dict.fromkeys(ALL_OF_THE_WING, "past-due"), ["controls-free"], "")


def test_by_hand_and_done_since(run: Run, plane: Path) -> None:
    """What was done after it is owed no more, and nobody is asked about it."""
    done = BY_HAND.replace("2026-11-20", "2026-11-21").replace("bushes", "controls-free, seen, static-leak")
    (plane / "records/2026/2026-11-21-done.yaml").write_text(done + "paper: work order 3\n", encoding="utf-8")
    states, stops, noted = by_hand(run, plane, BY_HAND)
    assert (set(states.values()) & {"past-due"}, stops, noted) == (set(), [], "")


def test_by_hand_before_records_begin(run: Run, plane: Path) -> None:
    """The command does not ask it then, nor is a file taken at its silence."""
    early = BY_HAND.replace("2026-11-20", "2026-07-20").replace("meters: {tach: 410.0}\n", "")
    states, stops, noted = by_hand(run, plane, early)
    assert (set(states.values()) & {"past-due"}, stops, noted) == (set(), [], "")


@pytest.mark.parametrize("line", ["", *(f"opened: {each}\n" for each in ("[cowl]", "[wing]", "none", "[cowl, none]"))])
def test_by_hand_a_finding_behind_a_panel_is_cleared(run: Run, plane: Path, line: str) -> None:
    """It is no doing of the check, and nothing said that what was done for it may have disturbed something."""
    found = "check: bushes\nfound: worn\nfix: before flight\nby: Ada Bellcrank\n"
    entered(plane, "2026-11-19-worn", f"kind: finding\ndate: 2026-11-19\n{found}")
    cleared = BY_HAND.replace("did: [bushes]", "clears: [2026-11-19-worn#F1]\ntext: bush changed")
    states, stops, _ = by_hand(run, plane, cleared + line)
    came_off = "wing" in line
    assert (states["controls-free"] == "past-due", stops) == (came_off, ["controls-free"] if came_off else [])
    noted = words(run(plane, "verify"))
    asked = "clears: nothing says whether `wing` came off for 2026-11-19-worn#F1, which would make `controls-free`"
    assert (asked in noted) is (line in ("", "opened: [cowl]\n"))
    if line == "":
        assert "`opened: [wing]` here says that it was so, `opened: none` that it stayed on" in noted
        done = BY_HAND.replace("2026-11-20", "2026-11-21").replace("bushes", "controls-free, seen, static-leak")
        (plane / "records/2026/2026-11-21-done.yaml").write_text(done + "paper: work order 3\n", encoding="utf-8")
        assert "clears: nothing says" not in words(run(plane, "verify"))


def test_on_paper_it_is_unknown(run: Run, plane: Path) -> None:
    states, stops, noted = by_hand(run, plane, PAPER)
    assert (states, stops, noted) == (dict.fromkeys(ALL_OF_THE_WING, "unknown"), [], "")


def test_the_command_writes_that_it_stayed_on(run: Run, plane: Path) -> None:
    run(plane, "work", "bushes", "tach=410.0", "--opened", "none", "--by", "Ada Bellcrank")
    (made,) = (plane / "records/2026").glob("*bushes*.yaml")
    assert "opened:\n  - none\n" in made.read_text(encoding="utf-8")
    assert owed(run, plane) == []
    asked = run(plane, "work", "pins", "tach=410.0", "--by", "Ada Bellcrank", typed=("no",))
    assert asked.code == 0
    (made,) = (plane / "records/2026").glob("*pins*.yaml")
    assert "opened:\n  - none\n" in made.read_text(encoding="utf-8")
    # Nothing that a door would disturb: it is not asked, and not written.
    run(plane, "work", "oil-sample", "tach=410.0", "--paper", "lab 3", "--by", "Ada Bellcrank")
    (made,) = (plane / "records/2026").glob("*oil-sample*.yaml")
    assert "opened" not in made.read_text(encoding="utf-8")


def test_what_comes_later_is_said_with_the_reading(run: Run, plane: Path) -> None:
    told = words(run(plane, "work", "hub-face", "tach=410.0", "--opened", "propeller-off"))
    assert f"Due later by this work: {TORQUE} (the first when tach reads 411.0)." in told


def test_a_part_that_is_fitted(run: Run, plane: Path) -> None:
    """Nothing of this small store is owed after a fitting: the entry ends as it did."""
    told = run(plane, "hours", "tach=411.0")
    assert told.out.count("\n") == 1


# --- the page ---


def sign(run: Run, plane: Path) -> Outcome:
    return run(plane, "sign", "--as", "Ada Bellcrank", "--all", typed=("Ada Bellcrank",))


def filled(page: Path) -> None:
    text = page.read_text()
    text = re.sub(r"second look by: ____", "second look by: Bo Cleco", text)
    text = text.replace("cylinder 1: ____", "cylinder 1: 75").replace("cylinder 2: ____", "cylinder 2: 75")
    text = re.sub(r"used: ____", "used: as planned", text)
    page.write_text(text.replace("- [ ]", "- [x]").replace("helpers: []", "helpers: [Bo Cleco]"))


@pytest.fixture
def page(run: Run, plane: Path) -> Path:
    """The whole inspection, every box ticked and written."""
    begun = run(plane, "start", "condition", "tach=410.0", "--only", "--by", "Ada Bellcrank", "--people", "2")
    made = plane / begun.out.strip()
    filled(made)
    return made


def moved_up(page: Path, check: str) -> None:
    """The box of a check becomes the first of the page."""
    text = page.read_text()
    block = re.search(rf"- \[x\] `{check}`.*\n(?:  .*\n)*", text)
    assert block
    rest = text.replace(block[0], "")
    page.write_text(rest.replace("- [x] ", f"{block[0]}\n- [x] ", 1))


def test_a_page_in_order_is_signed_and_says_what_it_leaves(run: Run, plane: Path, page: Path) -> None:
    signed = sign(run, plane)
    assert signed.code == 0, signed
    told = f"Owed, or flight under IFR is not to be used: {STATIC} after {OFF}, which disturbs static."
    # Beside the statement, before the name is typed, and once more at the end.
    assert words(signed).count(told) == 2
    assert "Owed before the next flight" not in words(signed)
    record = (plane / signed.out.split("Sealed: ")[1].split()[0]).read_text()
    assert "disturbed:\n  - controls\n  - static\n" in record
    assert "left-owed:\n  - static-leak\n" in record
    stops = json.loads(run(plane, "due", "--json").out)["stops"]
    assert {stop["kind"] for stop in stops} == {"signature"}


def test_a_box_above_what_made_it_owed_answers_nothing(run: Run, plane: Path, page: Path) -> None:
    moved_up(page, "controls-free")
    refused = sign(run, plane)
    assert refused.code == 1
    assert re.search(
        r"controls-free: is owed after wing, which disturbs controls \(line \d+\), and its box stands above: "
        r"do it again, in a box below; `walk` writes one",
        words(refused),
    ), refused
    # One that bars nothing stops no statement, and is owed all the same.
    moved_up(page, "seen")
    assert "seen: is owed" not in words(sign(run, plane))


@pytest.mark.parametrize("begun", ["2026-09-01", "2026-11-25"])
def test_a_box_that_was_empty_when_the_page_was_not_passed_is_asked_nothing(
    run: Run, plane: Path, page: Path, begun: str
) -> None:
    """Of each such box it was asked whether it was done after the very page that it stands on; or after the past that
    was brought forward on the day on which it was begun.
    """
    edited(plane / "checklists/nose/cockpit.md", "  - second-look", "  - every: condition inspection\n  - second-look")
    past = plane / "records/2026/2026-09-01-past.yaml"
    text = past.read_text()
    past.unlink()
    (past.parent / f"{begun}-past.yaml").write_text(text.replace("date: 2026-09-01", f"date: {begun}"))
    whole = page.read_text(encoding="utf-8")
    page.write_text(re.sub(r"- \[x\] (`controls-free`)", r"- [ ] \1", whole), encoding="utf-8")
    found = run(plane, "finding", "stacks", "crack", "--by", "Ada Bellcrank")
    assert found.code == 0, found
    not_passed = ("sign", "--as", "Ada Bellcrank", "--not-passed")
    assert run(plane, *not_passed, typed=("Ada Bellcrank",)).code == 0
    assert run(plane, "finding", "F1", "--cleared", "stack renewed", "--by", "Ada Bellcrank").code == 0
    page.write_text(re.sub(r"- \[ \]", "- [x]", page.read_text(encoding="utf-8")), encoding="utf-8")
    signed = sign(run, plane)
    assert (signed.code, "while this page was open" in signed.err) == (0, False), signed


def test_a_tick_taken_back_of_what_did_not_pass_is_asked_about(run: Run, plane: Path, page: Path) -> None:
    """It stands on the page as it was: signed once more it would be done on that day."""
    assert run(plane, "finding", "stacks", "crack", "--by", "Ada Bellcrank").code == 0
    assert run(plane, "sign", "--as", "Ada Bellcrank", "--not-passed", typed=("Ada Bellcrank",)).code == 0
    (name,) = (each.stem for each in (plane / "records/2026").glob("*-not-passed-*.yaml"))
    back = ("amend", name, "--not-done", "pins", "--reason", "was another wing", "--by", "Ada Bellcrank", "--yes")
    assert run(plane, *back).code == 0
    assert run(plane, "finding", "F1", "--cleared", "stack renewed", "--by", "Ada Bellcrank").code == 0
    signed = sign(run, plane)
    told = f"`pins` was not done, as an amendment of {name} says, and stands ticked. Was it done since?"
    assert (signed.code, told in words(signed)) == (2, True), signed


def test_no_box_at_all_and_an_answer_that_does_not_do_it(run: Run, plane: Path, page: Path) -> None:
    text = page.read_text()
    block = re.search(r"- \[x\] `controls-free`.*\n(?:  .*\n)*", text)
    assert block
    page.write_text(text.replace(block[0], ""))
    told = words(sign(run, plane))
    assert "controls-free: is owed after wing, which disturbs controls" in told
    assert "and has no box: `walk` writes one" in told
    answered = "- [ ] `controls-free` Controls after work\n  - not applicable: was free before\n"
    page.write_text(text.replace(block[0], answered))
    assert "is answered `not applicable`: only doing it answers that" in words(sign(run, plane))
    page.write_text(text.replace(block[0], answered.replace("  - not applicable: was free before\n", "")))
    told = words(sign(run, plane))
    assert "is owed after" not in told, "an open box is merely not ticked"


def test_the_walk_writes_the_missing_box(run: Run, plane: Path, page: Path) -> None:
    moved_up(page, "controls-free")
    walked = run(plane, "walk", "--lines", typed=("o", "1", "s"))
    told = "controls-free is owed after wing, which disturbs controls: it has a box at the end of the page"
    assert told in words(walked)
    assert page.read_text().count("`controls-free`") == 2
    assert page.read_text().index("`wing`") < page.read_text().rindex("`controls-free`")


def test_a_panel_that_comes_off_again_owes_it_again(run: Run, plane: Path, page: Path) -> None:
    found = run(plane, "finding", "wing", "a clip is missing", "--off-again")
    assert found.code == 0, found
    boxes = [line for line in page.read_text().splitlines() if line.startswith("- [")]
    again = boxes.index("- [ ] remove `wing` Wing, detached")
    assert [line.split("`")[1] for line in boxes[again : again + 4]] == ["wing", "wing", "controls-free", "seen"]


def test_the_plan_of_the_rest_takes_it_in(run: Run, plane: Path, page: Path) -> None:
    moved_up(page, "controls-free")
    facts = plan(run, plane)
    assert facts["checks"] == ["controls-free"]


def test_other_work_is_signed_and_stays_owed(run: Run, plane: Path) -> None:
    begun = run(plane, "start", "oil-drain", "tach=410.0", "--by", "Ada Bellcrank")
    page = plane / begun.out.strip()
    filled(page)
    moved_up(page, "oil-run")
    signed = sign(run, plane)
    assert signed.code == 0, signed
    assert words(signed).count(f"Owed before the next flight: {LEAKS} after {CUT}.") == 1
    assert owed(run, plane) == ["oil-run"]


def test_what_is_owed_says_the_command_for_it(run: Run, plane: Path) -> None:
    told = run(plane, "work", "oil-drain", "tach=410.0", "--by", "Ada Bellcrank")
    (line,) = [line for line in told.out.splitlines() if line.startswith("When that is done: ")]
    words = line.partition("inspect-kit ")[2].split()
    told = run(plane, *words, "--paper", "laboratory 7", "--by", "Ada Bellcrank")
    assert told.code == 0, told.err
    assert "counts as done after this" not in told.out


def test_the_command_for_what_is_owed_has_what_it_makes_owed_itself(run: Run, plane: Path) -> None:
    """The wire that is owed after the bolts stands beside them, and why; what an entry answers itself is no remark."""
    cockpit = plane / "checklists/nose/cockpit.md"
    cockpit.write_text(
        f"{cockpit.read_text()}- [ ] `bolts` Bolts\n  - owed-after: did oil-sample\n"
        "- [ ] `wire` Wire\n  - owed-after: did bolts\n"
    )
    told = run(plane, "work", "oil-sample", "tach=410.0", "--paper", "laboratory 7", "--by", "Ada Bellcrank")
    assert "With it goes what is owed by that again, or comes before an engine runs: Wire (wire)." in words(told)
    assert "inspect-kit work bolts wire tach=410.0 --in-order" in words(told)
    line = ("work", "bolts", "wire", "tach=410.0", "--in-order", "--by", "Ada Bellcrank")
    assert run(plane, *line).code == 0
    again = run(plane, *line)
    assert (again.code, "counts as done after this" in again.out) == (0, False), again


@pytest.mark.parametrize(("tach", "answers"), [("410.3", False), ("410.6", True), ("411.0", True)])
def test_what_is_done_too_early_to_answer_first_says_so(run: Run, plane: Path, tach: str, answers: bool) -> None:
    """The whole job was done for nothing, and only `due` told it. Of an hour half may be left."""
    ada = ("--by", "Ada Bellcrank")
    off = run(plane, "work", "hub-face", "tach=410.0", "--opened", "propeller-off", *ada, on="2026-11-20")
    assert off.code == 0, off
    assert "too early" not in off.out
    told = words(run(plane, "work", "hub-torque", f"tach={tach}", *ada, on="2026-11-21"))
    early = "Propeller bolts (hub-torque) was done too early to answer the 1 h after `disturbed hub` of 2026-11-20"
    assert (f"{early}: it is due as it was." in told) is not answers, told
    items = json.loads(run(plane, "due", "--json", on="2026-11-21").out)["items"]
    (item,) = [each for each in items if each["check"] == "hub-torque"]
    # What is left of the 1 h, else of the 10 h.
    assert (item["left"]["amount"] < 1) is not answers


def test_what_was_owed_before_comes_with_what_it_makes_owed_itself(run: Run, plane: Path) -> None:
    """The bolts were named again by a later entry, as they come before the engine runs, and their wire was not."""
    cockpit = plane / "checklists/nose/cockpit.md"
    cockpit.write_text(
        f"{cockpit.read_text()}- [ ] `bolts` Bolts\n  - owed-after: did oil-sample\n"
        "- [ ] `wire` Wire\n  - owed-after: did bolts\n"
        "- [ ] `last-run` Run\n  - owed-after: did oil-drain\n  - after: bolts\n  - when: closed\n"
    )
    first = run(plane, "work", "oil-sample", "tach=410.0", "--paper", "laboratory 7", "--by", "Ada Bellcrank")
    assert "inspect-kit work bolts wire tach=410.0" in words(first)
    then = run(plane, "work", "oil-drain", "tach=410.0", "--follows", "none", "--by", "Ada Bellcrank")
    (line,) = [line for line in then.out.splitlines() if line.startswith("When that is done: ")]
    assert line.endswith("work oil-cut bolts wire oil-run last-run tach=410.0 --in-order"), line


def test_the_question_about_a_panel_names_its_check(run: Run, plane: Path) -> None:
    asked = run(plane, "work", "bushes", "elt", "tach=410.0", typed=("no",))
    assert "Did the panel come off for Root bushes (bushes): Wing, detached (wing)?" in words(asked)


def test_what_has_its_box_on_the_open_page_is_done_there(run: Run, plane: Path) -> None:
    assert run(plane, "start", "oil-drain", "oil-sample", "tach=410.0", "--by", "Ada Bellcrank").code == 0
    told = run(plane, "work", "oil-drain", "tach=410.0", "--by", "Ada Bellcrank")
    assert "They stand on the open page, to be done there: inspect-kit" in told.out, told
    assert "When that is done: " not in told.out
    # What was done before the page was begun owes nothing to it.
    early = run(plane, "work", "oil-drain", "tach=409.0", "--by", "Ada Bellcrank", on="2026-11-20")
    assert "When that is done: " in early.out
    assert "on the open page" not in early.out


def test_what_is_owed_of_a_day_before_is_told_with_its_day(run: Run, plane: Path) -> None:
    told = run(plane, "work", "oil-drain", "tach=410.0", "--by", "Ada Bellcrank", on="2026-11-20")
    (line,) = [line for line in told.out.splitlines() if line.startswith("When that is done: ")]
    assert line.startswith("When that is done: inspect-kit --on 2026-11-20 work ")
    assert line.endswith(" tach=410.0 --in-order")


def test_a_flight_check_after_a_word_that_nothing_disturbs(run: Run, hangar: Path) -> None:
    floor, aircraft = hangar / "checklists/cabin/floor.md", hangar / "records/aircraft.yaml"
    rig = "- [ ] `rig` Rig\n  - every: 50 h\n  - disturbs: flight-controls\n"
    floor.write_text(f"{floor.read_text()}{rig}- [ ] `turn` Turn\n  - owed-after: disturbed flight-controls\n")
    plain = aircraft.read_text()
    aircraft.write_text(f"{plain}flight-check-after: [flight-control, my-own-thing]\n")
    told = "flight-check-after: nothing disturbs `flight-control`; did you mean `flight-controls`?"
    assert told in run(hangar, "verify").err
    aircraft.write_text(f"{plain}flight-check-after: [flight-controls, my-own-thing]\n")
    assert run(hangar, "verify").err == ""


class TestInASetup:
    """A check that is done in a setup makes owed what the setup disturbs; the line to type holds that too."""

    PLUGS = """\
---
panel: plugs-out
name: One plug out of every cylinder
kind: setup
make: 5 min
undo: 5 min
zone: nose
disturbs: [ignition]
---
"""
    TIMING = """\
- [ ] `timing` Timing
  - every: 100 h
  - owed-after: did leads
  - with: plugs-out
- [ ] `leads` Leads
  - every: 100 h
- [ ] `plugs-in` Plugs in
  - owed-after: disturbed ignition
  - not-while: plugs-out
- [ ] `drop` Drop of the magnetos
  - owed-after: disturbed ignition, did leads
  - when: closed except cowl
  - not-while: plugs-out
  - alone: yes
"""

    @pytest.fixture
    def timed(self, hangar: Path) -> Path:
        cowl = hangar / "checklists/nose/cowl.md"
        cowl.write_text(cowl.read_text() + self.TIMING)
        (hangar / "checklists/nose/plugs-out.md").write_text(self.PLUGS)
        return hangar

    def test_the_line_to_type_and_the_order_that_is_asked_back(self, run: Run, timed: Path) -> None:
        led = run(timed, "work", "leads", "tach=405.0", "--by", "Ada Bellcrank", on="2026-11-20")
        assert "work timing plugs-in drop tach=405.0 --in-order" in words(led)
        done = ("work", "timing", "drop", "tach=405.0", "--by", "Ada Bellcrank", "--in-order")
        for typed in (("yes", "no"), ("", "no")):
            short = run(timed, *done, typed=typed, on="2026-11-20")
            assert short.code == 2
            assert "(plugs-out)? That disturbs ignition. (yes, no; Enter: yes)" in words(short)
            assert "drop) is named before" in words(short) or "plugs-in) is owed, and is not among" in words(short)
            assert "name them in the order in which they were done: timing plugs-in drop" in words(short)
        order = "Then they were done in this order: timing plugs-in drop"
        first = run(timed, "work", "drop", "plugs-in", "timing", *done[3:], typed=("yes", "yes", ""), on="2026-11-19")
        assert words(first).count("is named before") > 1
        assert words(first).count("was it really done so?") == 1
        turned = ("work", "timing", "drop", "plugs-in", *done[3:])
        made = run(timed, *turned, typed=("yes", "no", "yes"), on="2026-11-20")
        assert (made.code, order in words(made)) == (0, True), words(made)
        assert "did:\n  - timing\n  - plugs-in\n  - drop\n" in (timed / made.out.split()[0]).read_text()

    def test_what_was_owed_before_stands_in_the_line_too(self, run: Run, timed: Path) -> None:
        """Typed as it was offered it was asked back: the plugs were still out of an earlier day."""
        cowl = timed / "checklists/nose/cowl.md"
        cowl.write_text(cowl.read_text().replace("  - owed-after: did leads\n  - with", "  - with"))
        by = ("--by", "Ada Bellcrank")
        assert run(timed, "work", "timing", "tach=405.0", *by, typed=("yes",), on="2026-11-19").code == 0
        led = run(timed, "work", "leads", "tach=405.0", *by, on="2026-11-20")
        assert "work plugs-in drop tach=405.0 --in-order" in words(led)

    def test_before_the_records_begin_it_is_not_asked(self, run: Run, timed: Path) -> None:
        past = run(timed, "work", "timing", "tach=390.0", "--by", "Ada Bellcrank", on="2026-06-01")
        assert (past.code, "set up" in past.err) == (0, False), past.err


@pytest.mark.parametrize("opened", ["", "opened: [wing]\n"])
@pytest.mark.parametrize(("did", "owes"), [("bushes, controls-free", []), ("controls-free, bushes", ["controls-free"])])
def test_by_hand_what_is_named_before_what_a_panel_was_off_for_answers_nothing(
    run: Run, plane: Path, opened: str, did: str, owes: list[str]
) -> None:
    """The wing goes on again after its bushes."""
    doer = "by: {name: Bo Cleco, kind: builder, certificate: '1'}\nresults:\n"
    look = "  controls-free: {answer: done, second-look: Ada Bellcrank}\n"
    text = f"format: 1\nkind: work\ndate: 2026-11-20\nmeters: {{tach: 410.0}}\ndid: [{did}]\n{opened}{doer}{look}"
    (plane / "records/2026/2026-11-20-wing.yaml").write_text(text)
    assert owed(run, plane) == owes
