"""What a page asks as a whole: whether equipment changed, and whether a flight check is required (14 CFR 91.407)."""

import re
from pathlib import Path

import pytest

from inspect_kit.inspection.questions import EQUIPMENT
from tests.cli.conftest import Run, entered

ON = "2026-11-25"
STICK = """\
---
panel: stick
name: Stick well
zone: cabin
remove: 5 min
refit: 5 min
disturbs: [flight-controls]
---
- [ ] `stick-bolt` Stick bolt safetied
  - every: condition inspection
"""


def page_of(run: Run, store: Path, *words: str) -> Path:
    (store / "checklists/cabin").mkdir(exist_ok=True)
    (store / "checklists/cabin/stick.md").write_text(STICK)
    begun = run(store, "start", *words, "tach=24.0", "--by", "Wilma Fieldfare", "--only", on=ON)
    assert begun.code == 0, begun
    (page,) = (store / "records/open").glob("*.md")
    return page


def missing(run: Run, store: Path, key: str) -> str:
    told = run(store, "sign", "--as", "Wilma Fieldfare", "--all", on=ON)
    assert told.code == 1
    return " ".join(line for line in " ".join((told.out + told.err).split()).split(" - ") if key in line)


def answer(page: Path, key: str, value: str) -> None:
    lines = page.read_text().splitlines(keepends=True)
    kept = [f"{key}: {value}\n" if line.startswith(f"{key}:") else line for line in lines]
    assert kept != lines
    page.write_text("".join(kept))


def test_a_page_begins_with_its_questions(run: Run, wren: Path) -> None:
    front = page_of(run, wren, "condition").read_text().split("---")[1]
    assert "\nequipment: ____" in front
    assert "\nflight-check: ____" in front


def test_work_of_one_check_asks_no_equipment_and_no_flight_check(run: Run, wren: Path) -> None:
    front = page_of(run, wren, "oil-change").read_text().split("---")[1]
    assert "equipment" not in front
    assert "flight-check" not in front


def test_work_that_disturbs_the_controls_asks_for_the_flight_check(run: Run, wren: Path) -> None:
    page = page_of(run, wren, "stick-bolt")
    assert "equipment" not in page.read_text()
    assert "\nflight-check: ____" in page.read_text()


def test_nothing_is_signed_before_both_are_answered(run: Run, wren: Path) -> None:
    page = page_of(run, wren, "condition")
    assert "has equipment changed since the records begin?" in missing(run, wren, EQUIPMENT)
    # Nothing was disturbed yet: the flight check is asked once the panel is off.
    assert "is a flight check required" not in missing(run, wren, "flight")
    page.write_text(page.read_text().replace("- [ ] remove `stick`", "- [x] remove `stick`"))
    assert "is a flight check required before passengers are carried" in missing(run, wren, "flight")
    answer(page, "equipment", "no change")
    answer(page, "flight-check", "{not needed: full and free travel and direction checked by two people}")
    assert "has equipment changed" not in missing(run, wren, "")
    assert "is a flight check required" not in missing(run, wren, "")


@pytest.mark.parametrize("name", ["{}", "{}.md", "records/open/{}.md", "2026-10-17-hours, {}"])
def test_an_answer_that_names_its_own_page_is_told_to_leave_it_out(run: Run, wren: Path, name: str) -> None:
    """The page is no record yet, and the record has another name: none could be named that is right."""
    page = page_of(run, wren, "stick-bolt")
    page.write_text(page.read_text().replace("- [ ]", "- [x]"))
    shown = "not needed: full and free travel, checked by two people"
    answer(page, "flight-check", f"{{{shown.replace(',', '')}, of: [{name.format(page.stem)}]}}")
    told = missing(run, wren, "flight-check")
    assert f"`of` names this page, for which it answers anyway: take `{page.stem}` out of it" in told
    answer(page, "flight-check", f"{{{shown.replace(',', '')}}}")
    signed = run(wren, "sign", "--as", "Wilma Fieldfare", "--ink", "log p. 3", typed=("Wilma Fieldfare",), on=ON)
    assert signed.code == 0, signed


def test_what_was_never_written_is_not_what_was_meant(run: Run, wren: Path) -> None:
    page = page_of(run, wren, "stick-bolt")
    page.write_text(page.read_text().replace("- [ ]", "- [x]"))
    answer(page, "flight-check", "{not needed: checked by two people, of: [2026-11-25-work]}")
    refused = run(wren, "sign", "--as", "Wilma Fieldfare", "--ink", "log p. 3", on=ON)
    assert refused.code == 1
    assert "flight-check: of: no record is called `2026-11-25-work`\n" in refused.err


def test_no_change_is_held_against_the_records(run: Run, wren: Path) -> None:
    page = page_of(run, wren, "condition")
    told = "kind: equipment\ndate: 2026-11-20\nitem: radio\nweight: 2 lb\narm: 50 in\nchange: in\n"
    entered(wren, "2026-11-20-radio", told)
    answer(page, "equipment", "no change")
    assert "2026-11-20-radio" in missing(run, wren, "no change")
    answer(page, "equipment", "2026-11-20-radio")
    assert "2026-11-20-radio" not in missing(run, wren, "")
    answer(page, "equipment", "2026-10-17-hours")
    assert "is no record of a change of equipment" in missing(run, wren, "")


def test_a_flight_cannot_come_before_the_signature(run: Run, wren: Path) -> None:
    page = page_of(run, wren, "condition")
    pilot = '{name: Cornelius Redwing, kind: commercial pilot, certificate: "8"}'
    flown = f"{{done: 2026-11-25, pilot: {pilot}, words: flew well}}"
    answer(page, "flight-check", flown)
    assert "cannot be flown before the page is signed" in missing(run, wren, "")


def test_the_walk_names_what_is_on_record_and_asks_again_where_it_was_denied(run: Run, wren: Path) -> None:
    """It took `no change` without a word, and nothing but an editor could take that back."""
    page = page_of(run, wren, "condition")
    told = "kind: equipment\ndate: 2026-11-20\nitem: radio\nweight: 2 lb\narm: 50 in\nchange: in\n"
    entered(wren, "2026-11-20-radio", told)
    answer(page, "equipment", "no change")
    text = re.sub(r"(?m)^- \[ \] .*\n(?:  .*\n)*", "", page.read_text())
    page.write_text(text)
    walked = run(wren, "walk", "--lines", typed=("n",), on=ON)
    assert walked.code == 0, walked.err
    assert "2026-11-20-radio" in walked.out.split("On record:")[1].split("beside what is on record?")[0]
    assert '\nequipment: "' in page.read_text()
    assert "2026-11-20-radio" in page.read_text()


def test_without_anything_on_record_each_question_takes_its_own_n(
    run: Run, wren: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The key for `nothing else` wrote nothing at all in the place of `no change` and of `not needed`, for ever."""
    # As after an inspection that is newer than the last weighing.
    for module in ("inspection.questions", "cli.walk_questions"):
        monkeypatch.setattr(f"inspect_kit.{module}.changes_told", lambda *_: ())
    page = page_of(run, wren, "condition")
    text = re.sub(r"(?m)^- \[ \] .*\n(?:  .*\n)*", "", page.read_text())
    page.write_text(f"{text}\n- [x] remove `stick` Stick\n- [x] refit `stick` Stick\n")
    walked = run(wren, "walk", "--lines", typed=("n", "n", "checked by two people, full and free"), on=ON)
    assert "equipment has no value" not in walked.out
    assert "\nequipment: no change\n" in page.read_text(), walked.out
    assert '\nflight-check: {not needed: "checked by two people, full and free"}\n' in page.read_text(), walked.out


def test_what_is_no_record_of_a_change_is_refused_in_the_walk_and_asked_again(run: Run, wren: Path) -> None:
    """The record of a fitting was taken, only `sign` refused it, and nothing but an editor could take it back."""
    page = page_of(run, wren, "condition")
    told = "kind: equipment\ndate: 2026-11-20\nitem: radio\nweight: 2 lb\narm: 50 in\nchange: in\n"
    entered(wren, "2026-11-20-radio", told)
    entered(wren, "2026-11-21-tyre", "kind: work\ndate: 2026-11-21\ntext: tyre changed\n")
    answer(page, "equipment", "2026-11-21-tyre")
    page.write_text(re.sub(r"(?m)^- \[ \] .*\n(?:  .*\n)*", "", page.read_text()))
    walked = run(wren, "walk", "--lines", typed=("c", "2026-11-21-tyre", "c", "nowhere", "c", "radio"), on=ON)
    assert "2026-11-21-tyre is no record of a change of equipment" in " ".join(walked.out.split())
    assert "no record is called `nowhere`" in " ".join(walked.out.split())
    assert '\nequipment: "2026-11-20-radio"\n' in page.read_text(), walked.out
