"""`sign` lists everything that is missing; each test takes one thing away from a page that may be signed."""

import datetime as dt
import re
from dataclasses import replace
from decimal import Decimal

import pytest

from inspect_kit.errors import Misused, Place
from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing, missing_for_discrepancies
from inspect_kit.inspection.sealing import far_from, record_of, used_at
from inspect_kit.model.aircraft import Person
from inspect_kit.model.checklist import Reads, Retired
from inspect_kit.model.finding import Cleared, Finding, Fix
from inspect_kit.model.other_eyes import may_be_one
from inspect_kit.model.reason import says_left_out
from inspect_kit.model.worksheet import RESTS
from tests.inspection.conftest import ALL, Small, filled, request_for, sheet_of

HERE = Place("records/open/page.md", 1)


def told(small: Small, sheet: edit.OpenPage, **changes: object) -> list[str]:
    request = replace(request_for(small, sheet), **changes)  # type: ignore[arg-type]
    return [f"{gap.about}: {gap.text}" if gap.about else gap.text for gap in missing(request)]


def box(sheet: edit.OpenPage, name: str, verb: str = "") -> int:
    found = sheet.box(name, verb)
    assert found is not None
    return found


def test_a_page_on_which_nothing_is_missing(small: Small) -> None:
    assert told(small, filled(small.sheet)) == []


def test_an_empty_page_lists_every_box_reading_panel_and_code(small: Small) -> None:
    assert told(small, small.sheet) == [
        "cowl: remove is not ticked",
        "stacks: is not ticked",
        "compression: is not ticked",
        "compression: the reading of cylinder 1 is empty",
        "compression: the reading of cylinder 2 is empty",
        "cowl: refit is not ticked",
        "cowl: the second look is missing: `second look by`",
        "stick-bolt: is not ticked",
        "stick-bolt: the second look is missing: `second look by`",
        "stick-travel: is not ticked",
        "cowl: is not back on",
        "c5: nothing done on this page covers it: Flight and engine controls",
        "d3: nothing done on this page covers it: Inside of the engine",
        "d8: nothing done on this page covers it: Exhaust stacks",
    ]


@pytest.mark.parametrize("by", ["Nobody Known", "same"])
def test_a_finding_cleared_by_nobody(small: Small, by: str) -> None:
    cleared = f"  - found: F1 crack\n    - fix: before flight\n    - cleared: {{}} {{}}; by: {by}\n"
    sheet = filled(small.sheet)
    line = next(each for each in sheet.text.splitlines(keepends=True) if "`stacks`" in each)
    page = edit.opened(sheet.text.replace(line, line + cleared.format(sheet.page.begun, "replaced")), HERE.file)
    assert page is not None
    (gap,) = told(small, page)
    assert gap.startswith(f"F1: is cleared by `{by}` is neither among the people of aircraft.yaml")


NOTHING_SAID = ["-", "____", "?", "n/a", "None.", "TBD", "\u2013", "..."]


@pytest.mark.parametrize("words", NOTHING_SAID)
def test_a_reason_that_is_none(small: Small, words: str) -> None:
    """What stands where a reason is asked and says nothing is none: cleared how, why it may wait, why not done."""
    sheet = filled(small.sheet)
    line = next(each for each in sheet.text.splitlines(keepends=True) if "`stacks`" in each)
    for below, said in {
        f"  - found: F1 crack\n    - fix: before flight\n    - cleared: {sheet.page.begun} {words}\n": "how",
        f"  - found: F1 crack\n    - fix: by 2027-01-31\n    - may wait because: {words}\n": "no reason says why",
        f"  - not applicable: {words}\n": "without the reason",
    }.items():
        if said == "without the reason" and any(map(str.isalnum, words)):
            continue
        text = sheet.text.replace(line, line.replace("[x]", "[ ]" if "not " in below else "[x]") + below)
        page = edit.opened(text, HERE.file)
        if page is not None and not page.faults:
            assert any(said in gap for gap in told(small, page)), (below, told(small, page))


def test_a_panel_that_is_not_back_on(small: Small) -> None:
    sheet = filled(small.sheet)
    assert told(small, edit.untick(sheet, box(sheet, "cowl", "refit"))) == [
        "cowl: refit is not ticked",
        "cowl: is not back on",
    ]


def test_a_panel_that_came_off_again_wants_its_second_refit(small: Small) -> None:
    sheet = edit.take_off_again(filled(small.sheet), small.logbook.panels["cowl"])
    again = [at for at, entry in enumerate(sheet.entries) if entry.id == "cowl"]
    assert [sheet.entries[at].verb for at in again] == ["remove", "refit", "remove", "refit"]
    sheet = edit.tick_in_order(sheet, again[2])
    assert "cowl: is not back on" in told(small, sheet)
    sheet = edit.write(edit.tick_in_order(sheet, again[3]), again[3], "second look by", "Bo Cleco")
    assert told(small, sheet) == []


def test_a_reading_out_of_limits_wants_a_finding_or_a_better_one(small: Small) -> None:
    sheet = filled(small.sheet)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    weak = edit.replace_line(sheet, line, "  - cylinder 2: 59 psi (at least 60)")
    assert told(small, weak) == [
        "compression: cylinder 2 is 59 psi, the limit is at least 60, and no finding is written under it: "
        "`inspect-kit finding compression WHAT` writes one"
    ]
    at = box(weak, "compression")
    assert told(small, edit.measure(weak, at, "cylinder 2", "68 psi after 5 min run")) == []
    finding = Finding(id="F1", text="weak cylinder", place=HERE)
    found = edit.write_finding(weak, at, finding)
    assert told(small, found) == ["F1: is to be fixed before flight and is open: weak cylinder"]
    cleared = edit.clear(found, "F1", Cleared(date=dt.date(2026, 5, 2), text="valve lapped"))
    assert [each.partition(": a finding")[0] for each in told(small, cleared)] == [
        "compression: cylinder 2 is 59 psi, the limit is at least 60, and F1 is cleared"
    ]
    assert told(small, edit.measure(cleared, at, "cylinder 2", "70 psi")) == []
    assert len(told(small, edit.measure(cleared, at, "cylinder 2", "58 psi"))) == 1
    error = edit.clear(found, "F1", Cleared(date=dt.date(2026, 5, 2), text="raised in error: the gauge"))
    assert len(told(small, error)) == 1
    assert told(small, edit.correct(error, at, "cylinder 2", "79")) == []


def weak(small: Small) -> edit.OpenPage:
    sheet = filled(small.sheet)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    return edit.replace_line(sheet, line, "  - cylinder 2: 59 psi (at least 60)")


@pytest.mark.parametrize("answer", ["not done", "not applicable"])
def test_a_reading_out_of_limits_is_not_got_rid_of_by_another_answer(small: Small, answer: str) -> None:
    sheet = weak(small)
    at = box(sheet, "compression")
    left = edit.untick(edit.write(sheet, at, answer, "no time"), at)
    assert any("cylinder 2 is 59 psi, the limit is at least 60" in gap for gap in told(small, left))


def test_a_list_of_discrepancies_leaves_out_no_reading_out_of_limits(small: Small) -> None:
    found = edit.write_finding(weak(small), box(small.sheet, "stacks"), Finding(id="F1", text="crack", place=HERE))
    assert [gap.text for gap in missing_for_discrepancies(request_for(small, found))] == [
        "cylinder 2 is 59 psi, the limit is at least 60, and no finding is written under it: "
        "`inspect-kit finding compression WHAT` writes one"
    ]


def test_the_bound_of_the_checklist_counts_when_the_page_was_made_weaker(small: Small) -> None:
    sheet = filled(small.sheet)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    weaker = edit.replace_line(sheet, line, "  - cylinder 2: 55 psi (at least 50)")
    assert len(told(small, weaker)) == 1


def test_the_bound_of_the_page_counts_when_the_checklist_was_made_weaker(small: Small) -> None:
    sheet = filled(small.sheet)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    # The checklist says at least 60, the page was printed with at least 70: 65 is in the one and out of the other.
    for value, fine in (("70", True), ("69", False), ("65", False)):
        stricter = edit.replace_line(sheet, line, f"  - cylinder 2: {value} psi (at least 70)")
        gaps = told(small, stricter)
        assert (gaps == []) == fine, value
        assert fine or gaps[0].startswith(f"compression: cylinder 2 is {value} psi, the limit is")


def test_a_record_says_opened_of_nothing_that_was_not_ticked_off(small: Small) -> None:
    sheet = filled(small.sheet)

    def opened(page: edit.OpenPage) -> tuple[str, ...]:
        return record_of(request_for(small, page), name="2026-05-03-condition", entered=dt.date(2026, 5, 3)).opened

    assert opened(sheet) == ("cowl",)
    assert opened(edit.untick(sheet, box(sheet, "cowl", "remove"))) == ()


@pytest.mark.parametrize(
    ("value", "how"),
    [
        ("76,5 psi", "a decimal point, as in 76.5"),
        ("76psi", "with a blank between, as in 76 psi"),
        ("76.5psi", "with a blank between, as in 76.5 psi"),
        (".76", "with a digit before the point, as in 0.76"),
    ],
)
@pytest.mark.parametrize("again", [False, True])
def test_a_reading_that_is_no_number(small: Small, value: str, how: str, again: bool) -> None:
    sheet = filled(small.sheet)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    written = f"74 psi (at least 60)\n    - again: {value}" if again else f"{value} (at least 60)"
    gaps = told(small, edit.replace_line(sheet, line, f"  - cylinder 2: {written}"))
    assert gaps == [f"compression: the reading of cylinder 2 is no number: `{value}`: {how}"]


@pytest.mark.parametrize(
    ("fix", "may_wait", "expected"),
    [
        (Fix(by_date=dt.date(2026, 8, 1)), "cosmetic", []),
        (Fix(by_date=dt.date(2026, 8, 1)), "", ["F1: may wait by 2026-08-01, but no reason says why"]),
        (Fix(by_date=dt.date(2026, 5, 2)), "cosmetic", ["F1: was to be fixed by 2026-05-02 and is open"]),
        (Fix(by_date=dt.date(2026, 5, 3)), "cosmetic", []),
        (Fix(by_total=Decimal("100.5")), "cosmetic", []),
        (Fix(by_total=Decimal("100.4")), "cosmetic", ["F1: was to be fixed by 100.4 h, the total is 100.5"]),
        (Fix(at_inspection="condition"), "cosmetic", []),
        (Fix(), "", ["F1: is to be fixed before flight and is open: chafed"]),
    ],
)
def test_a_finding_that_may_wait(small: Small, fix: Fix, may_wait: str, expected: list[str]) -> None:
    sheet = filled(small.sheet)
    finding = Finding(id="F1", text="chafed", fix=fix, may_wait=may_wait, place=HERE)
    assert told(small, edit.write_finding(sheet, box(sheet, "stacks"), finding)) == expected


def test_who_may_sign_is_data_of_the_aircraft(small: Small) -> None:
    sheet = filled(small.sheet)
    nobody = told(small, sheet, signer=None)
    assert nobody == ["say with `--as` who signs"]
    student = told(small, sheet, signer=small.logbook.aircraft.person("Bo Cleco"))
    assert len(student) == 1
    assert "name repairman (experimental aircraft builder)" in student[0]
    assert "student" in student[0]


def test_no_total_time_and_one_that_runs_backwards(small: Small) -> None:
    sheet = filled(small.sheet)
    assert told(small, edit.replace_line(sheet, 6, "  tach: ____")) == [
        "no total time: sign with what tach reads now, tach=READING"
    ]
    assert told(small, sheet, last_totals={"tach": Decimal("100.6")}) == [
        "tach on the page stands for a total of 100.5, and 100.6 was recorded before: sign with what it reads now, "
        "tach=READING, or as of the day on which the work was finished, --on DATE"
    ]


def test_the_second_look_is_another_pair_of_eyes(small: Small) -> None:
    sheet = filled(small.sheet)
    same = edit.write(sheet, box(sheet, "stick-bolt"), "second look by", "ada bellcrank")
    who = "who did it: another pair of eyes is asked; if somebody else did it, name them: `by`"
    assert told(small, same) == [f"stick-bolt: the second look is by ada bellcrank, {who}"]
    assert told(small, edit.write(sheet, box(sheet, "stick-bolt"), "by", "Bo  Cleco")) == [
        "stick-bolt: is a check of the inspector and is done by Bo Cleco: the operating limitations of N0XX name "
        "repairman (experimental aircraft builder) for the condition inspection, and Bo Cleco holds: student",
        "stick-bolt: the second look is by Bo Cleco, who did it: another pair of eyes is asked",
    ]


def test_the_second_look_at_a_panel_is_another_pair_of_eyes_too(small: Small) -> None:
    sheet = filled(small.sheet)
    at = box(sheet, "cowl", "refit")
    who = "who did it: another pair of eyes is asked"
    same = edit.write(sheet, at, "second look by", "Ada  Bellcrank")
    assert told(small, same) == [
        f"cowl: the second look is by Ada Bellcrank, {who}; if somebody else did it, name them: `by`"
    ]
    assert told(small, edit.write(same, at, "by", "Bo Cleco")) == []
    # The checklist asks for the look, whatever became of the line on the page.
    line = sheet.text.split("\n").index("  - second look by: Bo Cleco") + 1
    lines = sheet.text.split("\n")
    del lines[line - 1]
    bare = edit.opened("\n".join(lines), "records/open/page.md")
    assert bare is not None
    assert told(small, bare) == ["cowl: the second look is missing: `second look by`"]


@pytest.mark.parametrize(
    "name",
    ["Ada\u00a0Bellcrank", "Ada\u200b Bellcrank", "Ada-Bellcrank.", "\uff21da Bellcrank;", "ADA BELLCRANK \u00ad"],
)
def test_the_doer_under_a_name_that_looks_the_same_is_the_doer(small: Small, name: str) -> None:
    sheet = filled(small.sheet)
    told_of = told(small, edit.write(sheet, box(sheet, "stick-bolt"), "second look by", name))
    assert len(told_of) == 1
    assert ", who did it: another pair of eyes is asked" in told_of[0]


def test_a_name_in_letters_of_two_alphabets_is_nobodys(small: Small) -> None:
    """A Cyrillic letter for a Latin one: the doer would be another person."""
    with pytest.raises(Misused, match="`Bell\u0441rank` has letters of two alphabets that look alike"):
        edit.write(small.sheet, box(small.sheet, "stick-bolt"), "second look by", "Ada Bell\u0441rank")
    for name in ("\u0410\u0434\u0430 \u041a\u0430\u0447", "Ada Ka\u010d", "\u5c71\u7530 \u592a\u90ce"):
        edit.write(small.sheet, box(small.sheet, "stick-bolt"), "by", name)


@pytest.mark.parametrize("nobody", ["b", "-", "same", "me", "n/a"])
def test_what_names_nobody_is_not_written(small: Small, nobody: str) -> None:
    for key in ("by", "second look by"):
        with pytest.raises(Misused, match=f"{key}: `{nobody}` names nobody: write the name of the person"):
            edit.write(small.sheet, box(small.sheet, "stick-bolt"), key, nobody)


@pytest.mark.parametrize("nobody", ["zz", "Bo Clecko"])
def test_nobody_neither_does_nor_looks(small: Small, nobody: str) -> None:
    sheet = filled(small.sheet)
    what = f"`{nobody}` is neither among the people of aircraft.yaml nor among the `helpers` of this page"
    what += f': put the name right there, or add it, with `inspect-kit helper "{nobody}"` to the page'
    for name, verb in (("stick-bolt", ""), ("cowl", "refit")):
        looked = edit.write(sheet, box(sheet, name, verb), "second look by", nobody)
        assert told(small, looked) == [f"{name}: the second look is by {what}"]
    done = edit.write(sheet, box(sheet, "cowl", "remove"), "by", nobody)
    assert told(small, done) == [f"cowl: is done by {what}"]
    done = edit.write(sheet, box(sheet, "stacks"), "by", nobody)
    assert told(small, done) == [f"stacks: is done by {what}"]
    page = edit.replace_line(sheet, 7, f"inspector: '{nobody}'")
    assert told(small, page)[0] == f"inspector: {what}"


def test_a_helper_of_the_page_is_somebody_and_no_inspector(small: Small) -> None:
    sheet = filled(small.sheet)
    page = edit.replace_line(sheet, 8, "helpers: [Cy Washer]")
    looked = edit.write(page, box(page, "stick-bolt"), "second look by", "Cy Washer")
    assert told(small, looked) == []
    done = edit.write(page, box(page, "stacks"), "by", "Cy Washer")
    assert told(small, done) == [
        "stacks: is a check of the inspector and is done by Cy Washer: "
        "Cy Washer is a helper, without a certificate in records/aircraft.yaml"
    ]


def test_an_inspector_of_the_page_who_may_not_inspect_is_told_once(small: Small) -> None:
    page = edit.replace_line(filled(small.sheet), 7, "inspector: Bo Cleco")
    page = edit.write(page, box(page, "stick-bolt"), "second look by", "Ada Bellcrank")
    page = edit.write(page, box(page, "cowl", "refit"), "second look by", "Ada Bellcrank")
    (only,) = told(small, page)
    assert only.startswith("inspector: Bo Cleco may not do the checks of the inspector: the operating limitations")


BEHIND_IT = (*ALL[:3], "oil", *ALL[3:])


def test_who_merely_helps_may_do_what_anyone_does() -> None:
    small = sheet_of(BEHIND_IT)
    sheet = edit.write(filled(small.sheet), 3, "used", "as planned")
    assert sheet.entries[3].id == "oil"
    assert told(small, edit.write(sheet, 3, "by", "Bo Cleco")) == []


def test_what_was_used_is_said_by_a_person() -> None:
    small = sheet_of(BEHIND_IT)
    sheet = filled(small.sheet)
    at = box(sheet, "oil")
    asked = "what was used is not said (6 qt engine oil): `used: as planned`, `used: none`, or what it was"
    assert told(small, sheet) == [f"oil: {asked}"]
    for said, parts in (
        ("as planned", ("6 qt engine oil",)),
        ("none", ()),
        ("5 qt engine oil; 1 oil filter", ("5 qt engine oil", "1 oil filter")),
    ):
        answered = edit.write(sheet, at, "used", said)
        assert told(small, answered) == []
        made = record_of(request_for(small, answered), name="x", entered=dt.date(2026, 5, 3))
        assert made.parts == parts
    # A line that was taken out, or that the checklist did not ask for when the page was begun, is asked all the same.
    cut = edit.opened(sheet.text.replace("  - used: ____ (planned: 6 qt engine oil)\n", ""), "records/open/page.md")
    assert cut is not None
    assert told(small, cut) == [f"oil: {asked}"]


def test_two_parts_without_their_semicolon_and_a_digit_too_many_of_one() -> None:
    small = sheet_of(BEHIND_IT)
    sheet = filled(small.sheet)
    at = box(sheet, "oil")
    assert told(small, edit.write(sheet, at, "used", "5 qt engine oil 80W 1 drum")) == []
    for said, asked in (("60 qt engine oil", 1), ("29 qt engine oil", 0), ("6 qt engine oil", 0)):
        entry = edit.write(sheet, at, "used", said).page.entries[at]
        check = request_for(small, sheet).check(entry)
        assert check is not None
        assert len([*far_from(check.uses, used_at(entry, check))]) == asked


@pytest.mark.parametrize("paper", ["?", "page", "p. __"])
def test_a_paper_that_leads_nowhere(small: Small, paper: str) -> None:
    sheet = filled(small.sheet)
    assert told(small, edit.write(sheet, box(sheet, "stacks"), "paper", "log p. 4")) == []
    line = next(each for each in sheet.text.splitlines(keepends=True) if "`stacks`" in each)
    page = edit.opened(sheet.text.replace(line, f"{line}  - paper: {paper}\n"), HERE.file)
    assert page is not None
    (gap,) = told(small, page)
    assert "leads nowhere" in gap


def test_a_name_in_doubt_is_nobody_known(small: Small) -> None:
    sheet = filled(small.sheet)
    line = next(each for each in sheet.text.splitlines(keepends=True) if "`stacks`" in each)
    page = edit.opened(sheet.text.replace(line, f"{line}  - by: Ada Bellcrank?\n"), HERE.file)
    assert page is not None
    # Nothing is sealed of a page with a line that cannot be read.
    assert page.faults == sheet.faults + 1


@pytest.mark.parametrize("answer", ["not applicable", "not done"])
def test_answered_and_read_all_the_same(small: Small, answer: str) -> None:
    """What was read would stand in no record: in an inspection, in other work, and where a page is closed."""
    sheet = filled(small.sheet)
    line = next(each for each in sheet.text.splitlines(keepends=True) if "`compression`" in each)
    page = edit.opened(sheet.text.replace(line, f"{line}  - {answer}: cold engine\n"), HERE.file)
    assert page is not None
    said = f"compression: is called {answer} and has a reading"
    for closing in ("", "the weather turned"):
        assert any(gap.startswith(said) for gap in told(small, page, closing=closing))


def test_what_wants_a_decision_is_told_apart_from_what_is_merely_empty(small: Small) -> None:
    sheet = small.sheet
    assert {gap.rest for gap in missing(request_for(small, sheet))} == set(RESTS)
    sheet = filled(sheet)
    not_refitted = missing(request_for(small, edit.untick(sheet, box(sheet, "cowl", "refit"))))
    assert {(gap.about, gap.rest, gap.panel) for gap in not_refitted} == {("cowl", "not ticked", "cowl")}
    # With no box left in which it could be ticked, somebody has to decide.
    lines = [line for line in sheet.text.split("\n") if "refit `cowl`" not in line and "second look by: Bo" not in line]
    lines.insert(lines.index("- [x] `stick-bolt` Stick bolt safetied") + 1, "  - second look by: Bo Cleco")
    without = edit.opened("\n".join(lines), "records/open/page.md")
    assert without is not None
    (only,) = missing(request_for(small, without))
    assert (only.text, only.wants_decision) == ("is not back on", True)
    no_stacks = edit.answer(sheet, box(sheet, "stacks"), "not applicable", "none")
    (code,) = missing(request_for(small, no_stacks))
    assert (code.about, code.wants_decision) == ("d8", True)


def test_not_done_and_not_applicable_leave_a_code_open(small: Small) -> None:
    sheet = filled(small.sheet)
    not_done = edit.answer(sheet, box(sheet, "stacks"), "not done", "no mirror")
    assert told(small, not_done) == [
        "stacks: belongs to the inspection: it cannot be left as `not done`",
        "d8: nothing done on this page covers it: Exhaust stacks",
    ]
    # c5 has two checks: one of them not applicable is covered by the other.
    other = edit.answer(sheet, box(sheet, "stick-travel"), "not applicable", "a yoke is fitted")
    assert told(small, other) == []
    both = edit.answer(other, box(other, "stick-bolt"), "not applicable", "a yoke is fitted")
    assert told(small, both) == ["c5: nothing done on this page covers it: Flight and engine controls"]


def test_a_reason_is_wanted(small: Small) -> None:
    sheet = filled(small.sheet)
    text = sheet.text.replace(
        "- [x] `stick-travel` Full and free travel",
        "- [ ] `stick-travel` Full and free travel\n  - not applicable: ____",
    )
    bare = edit.opened(text, "records/open/page.md")
    assert bare is not None
    assert told(small, bare) == ["stick-travel: says `not applicable` without the reason"]


def test_a_check_taken_off_the_page_by_hand_is_missed(small: Small) -> None:
    sheet = filled(small.sheet)
    lines = [line for line in sheet.text.split("\n") if "`stick-travel`" not in line]
    shorter = edit.opened("\n".join(lines), "records/open/page.md")
    assert shorter is not None
    assert told(small, shorter) == [
        "stick-travel: belongs to the inspection and is not on the page (checklists/x/stick.md:10)"
    ]


def test_marked_parts_and_work_by_others() -> None:
    small = sheet_of((*ALL[:3], "bottle", "altimeter", *ALL[3:]))
    sheet = filled(small.sheet)
    assert told(small, sheet) == [
        "bottle: the date on the part is missing: `good until`",
        "altimeter: is done by repair station: the reference of their paper is missing: `paper`",
    ]
    sheet = edit.write(sheet, box(sheet, "bottle"), "good until", "2029-04-30")
    sheet = edit.write(sheet, box(sheet, "altimeter"), "paper", "work order 12")
    assert told(small, sheet) == []


def test_signing_before_the_job_was_begun(small: Small) -> None:
    sheet = filled(small.sheet)
    assert told(small, sheet, on=dt.date(2026, 4, 30)) == ["2026-04-30 is before the job was begun, 2026-05-01"]


def test_another_aircrafts_page(small: Small) -> None:
    sheet = filled(small.sheet)
    other = edit.replace_line(sheet, 3, "aircraft: N0YY")
    assert told(small, other) == ["the page is of N0YY, this aircraft is N0XX"]


def test_a_list_of_discrepancies_wants_a_discrepancy(small: Small) -> None:
    sheet = small.sheet
    request = request_for(small, sheet)
    ends = "`sign --closed --reason WHY` ends a page as it stands"
    assert [gap.text for gap in missing_for_discrepancies(request)] == [
        f"no finding is open on the page: there is no list to give; {ends}"
    ]
    found = edit.write_finding(sheet, box(sheet, "stacks"), Finding(id="F1", text="crack", place=HERE))
    assert missing_for_discrepancies(request_for(small, found)) == ()


def test_other_work_asks_for_no_scope_and_no_certificate() -> None:
    small = sheet_of(("remove cowl", "oil", "refit cowl"), job="work")
    sheet = small.sheet
    for at in range(3):
        sheet = edit.tick_in_order(sheet, at)
    sheet = edit.write(sheet, 1, "used", "as planned")
    sheet = edit.write(sheet, 2, "second look by", "Bo Cleco")
    assert told(small, sheet, signer=small.logbook.aircraft.person("Bo Cleco")) == []


@pytest.mark.parametrize(
    ("said", "enough"),
    [("clean", True), ("none", True), ("ok", True), ("2 slivers", True)]
    + [(words, False) for words in ("-", "n/a", "?", "not done", "Not done.", "tbd", "unknown")],
)
def test_a_reading_in_words_says_something(small: Small, said: str, enough: bool) -> None:
    stacks = small.logbook.checks["stacks"]
    asked = replace(stacks, reads=(Reads(labels=("flange",), measure="words"),))
    checks = {**small.logbook.checks, "stacks": asked}
    sheet = filled(small.sheet)
    read = edit.measure(sheet, box(sheet, "stacks"), "flange", said)
    found = told(Small(replace(small.logbook, checks=checks), read), read)
    wanted = f"stacks: the reading of flange says nothing: `{said}`: write what was seen, or `not done: why`"
    assert found == ([] if enough else [wanted])


def moved(text: str, line: str, before: str) -> str:
    """The box that begins with `line`, with all that stands under it, put above another one."""
    start = text.index(line)
    end = text.find("\n- [", start + 1) + 1 or len(text)
    box, rest = text[start:end], text[:start] + text[end:]
    return rest.replace(before, box.rstrip("\n") + "\n\n" + before, 1)


REMOVE, REFIT = "- [x] remove `cowl`", "- [x] refit `cowl`"


def test_a_check_that_is_done_with_its_panel_closed_stands_where_it_is_off(small: Small) -> None:
    checks = {**small.logbook.checks, "stacks": replace(small.logbook.checks["stacks"], when="closed")}
    small = Small(replace(small.logbook, checks=checks), filled(small.sheet))
    (gap,) = told(small, small.sheet)
    assert gap.startswith("stacks: is done with `cowl` closed, and stands where it is off, and a page is read from top")


def test_so_does_one_of_a_place_in_the_zone_of_a_panel_that_is_off(small: Small) -> None:
    """`nose closed` is a place: no box says that it is open, but for the panels of the nose."""
    place = replace(small.logbook.panels["cowl"], id="nose-closed", kind="place")
    closed = replace(small.logbook.checks["stacks"], when="closed", panel="nose-closed")
    book = replace(
        small.logbook,
        checks={**small.logbook.checks, "stacks": closed},
        panels={**small.logbook.panels, "nose-closed": place},
    )
    sheet = filled(small.sheet)
    assert [gap for gap in told(Small(book, sheet), sheet) if gap.startswith("stacks: is done with `cowl` closed")]


@pytest.mark.parametrize(
    ("line", "above", "said"),
    [
        (REFIT, REMOVE, "cowl: refit is ticked above the box in which it is told to come off"),
        (REFIT, "- [x] `stacks`", "stacks: stands where `cowl` is not off"),
        ("- [x] `stacks`", REMOVE, "stacks: stands where `cowl` is not off"),
    ],
)
def test_a_page_is_read_from_top_to_bottom(small: Small, line: str, above: str, said: str) -> None:
    """A panel back on before it came off is off, and what was looked at behind it was looked at through it."""
    text = filled(small.sheet).text
    sheet = edit.opened(moved(text, line, above), "records/open/page.md")
    assert sheet is not None
    assert any(each.startswith(said) for each in told(small, sheet)), told(small, sheet)


@pytest.mark.parametrize("name", ["A. Bellcrank", "Bellcrank, Ada", "Ada", "ada b"])
def test_a_second_look_by_another_name_of_the_doer(small: Small, name: str) -> None:
    text = filled(small.sheet).text.replace("helpers: []", f'helpers: ["{name}", Cy Adams]')
    sheet = edit.opened(text.replace("second look by: Bo Cleco", f"second look by: {name}", 1), "records/open/page.md")
    assert sheet is not None
    (only,) = told(small, sheet)
    two = "if these are two people, write both names in full"
    assert only.endswith(f"by {name}, and it was done by Ada Bellcrank: {two}")
    sheet = edit.opened(text.replace("second look by: Bo Cleco", "second look by: Cy Adams", 1), "records/open/page.md")
    assert sheet is not None
    assert told(small, sheet) == []


@pytest.mark.parametrize(
    ("name", "may_be"),
    [
        *(("SB", True), ("sb", True), ("Mr Builder", True), ("the Builder", True), ("S B", True)),
        *(("SampleBuilder", True), ("S\u00e4mple Builder", True), ("Susan Bird", False), ("Samuel Builder", False)),
    ],
)
def test_initials_and_titles_may_be_the_doer(name: str, may_be: bool) -> None:
    assert may_be_one(name, "Sample Builder") is may_be
    assert may_be_one("Sample Builder", name) is may_be


@pytest.mark.parametrize(
    ("note", "left_out"),
    [
        *((each, True) for each in ("skipped", "Still to be done.", "could not be seen", "not checked")),
        *((each, True) for each in ("not looked at, no time", "Not opened: dark.", "was not tested (no gauge)")),
        *((each, False) for each in ("to be watched", "not seen any crack", "skipped stitch in the cover, glued")),
    ],
)
def test_a_note_that_says_that_nothing_was_done(note: str, left_out: bool) -> None:
    assert says_left_out(note) is left_out


@pytest.mark.parametrize("helper", [False, True])
@pytest.mark.parametrize(("since", "refused"), [("2026-05-01", True), ("2026-05-02", False)])
def test_nobody_who_is_retired_when_a_page_is_begun_takes_a_second_look(
    small: Small, since: str, refused: bool, helper: bool
) -> None:
    """Not as a helper of the page either."""
    retired = Retired(date=dt.date.fromisoformat(since))
    aircraft = small.logbook.aircraft
    people = tuple(replace(each, retired=retired) if each.name == "Bo Cleco" else each for each in aircraft.people)
    left = Small(replace(small.logbook, aircraft=replace(aircraft, people=people)), small.sheet)
    sheet = filled(small.sheet)
    found = told(left, edit.add_helper(sheet, "Bo Cleco") if helper else sheet)
    assert any("second look is by `Bo Cleco`: Bo Cleco is retired in" in each for each in found) is refused


@pytest.mark.parametrize(
    "words",
    [
        *("not done", "ran out of time", "no time", "not inspected", "not checked", "not looked at", "nobody looked"),
        *("skipped", "forgot", "no access", "out of reach, not seen", "deferred", "postponed", "will do later"),
        *("do it next time", "see next inspection", "only looked from outside", "frayed through, replace"),
        "looks good",
        *("could not see it", "still to do", "no time, next year", "checked last year", "left for tomorrow"),
    ],
)
def test_not_applicable_is_no_other_word_for_not_looked_at(small: Small, words: str) -> None:
    """What belongs to an inspection may not be left `not done`; called not applicable nobody asked for it again."""
    sheet = filled(small.sheet)
    (gap,) = [
        each
        for each in told(small, edit.answer(sheet, box(sheet, "stick-travel"), "not applicable", words))
        if each.startswith("stick-travel: ")
    ]
    assert "does not say why it is not on the aircraft" in gap


@pytest.mark.parametrize(
    "words",
    [
        *("none", "no flaps on this aircraft", "a yoke is fitted", "was free before", "not installed", "never fitted"),
        *("no access panel on this side: welded shut by the maker", "fixed pitch", "no light on the wing tip"),
        *("not equipped with a parachute", "removed 2021 and replaced by a fixed tab", "see equipment list p. 3"),
    ],
)
def test_not_applicable_with_a_reason(small: Small, words: str) -> None:
    sheet = filled(small.sheet)
    found = told(small, edit.answer(sheet, box(sheet, "stick-travel"), "not applicable", words))
    assert not [each for each in found if each.startswith("stick-travel: ")]


def of_the_panel(small: Small, remove: str, refit: str, *, behind: bool = True) -> list[str]:
    """What is told of the cowling, its two boxes with these lines below them, an empty one for a tick alone."""
    text = filled(small.sheet).text
    for verb, below in (("remove", remove), ("refit", refit)):
        line = next(each for each in text.splitlines() if each.startswith(f"- [x] {verb} `cowl`"))
        mark = "[ ]" if below.startswith("not ") else "[x]"
        text = text.replace(line, line.replace("[x]", mark) + (f"\n  - {below}" if below else ""))
    if not behind:
        for name in ("stacks", "compression"):
            line = next(each for each in text.splitlines() if each.startswith(f"- [x] `{name}`"))
            text = text.replace(line, line.replace("[x]", "[ ]") + "\n  - not applicable: electric motor")
        text = re.sub(r"  - cylinder .*\n", "", text)
    page = edit.opened(text, HERE.file)
    assert page is not None
    return [each for each in told(small, page) if each.startswith("cowl: ")]


@pytest.mark.parametrize("words", ["skipped", "no time", "not opened", "panel stuck", "too dark", "next time"])
@pytest.mark.parametrize("answer", ["not applicable", "not done"])
def test_a_panel_that_stayed_on_says_how_was_seen_what_is_behind_it(small: Small, words: str, answer: str) -> None:
    (gap,) = of_the_panel(small, f"{answer}: {words}", f"{answer}: still on")
    assert "does not say how `stacks` was seen" in gap
    # Where nothing behind it was done nothing is to be told of it.
    assert of_the_panel(small, f"{answer}: {words}", f"{answer}: still on", behind=False) == []


@pytest.mark.parametrize(
    "words",
    [
        *("seen through the oil door", "not opened: seen with a mirror", "by borescope", "stayed on, camera inside"),
        *("no cowling on this aircraft", "open engine", "looked at from below, too tight to open", "stayed on"),
    ],
)
def test_how_it_was_seen_behind_a_panel_that_stayed_on(small: Small, words: str) -> None:
    assert of_the_panel(small, f"not done: {words}", "not done: stayed on") == []


@pytest.mark.parametrize(
    ("remove", "refit"),
    [
        *(("not applicable: was off already", f"not applicable: {words}") for words in ("left off", "painter has it")),
        *(("not applicable: stayed on", f"not done: {words}") for words in ("left off for the painter", "still off")),
        *(("not applicable: stayed on", f"not done: {words}") for words in ("not yet refitted", "will be put back")),
        *(("", f"note: {words}") for words in ("still off", "left off for the painter", "not back on", "Off till May")),
    ],
)
def test_a_panel_that_is_said_to_be_off_is_not_back_on(small: Small, remove: str, refit: str) -> None:
    assert of_the_panel(small, remove, refit) != []


@pytest.mark.parametrize("words", ["paint is coming off at the edge", "one screw on order", "left one is the new one"])
def test_what_is_remarked_of_a_panel_that_is_back_on(small: Small, words: str) -> None:
    assert of_the_panel(small, "", f"note: {words}") == []
    assert of_the_panel(small, "not applicable: was off already", "") == []


def test_a_second_look_by_somebody_whose_name_has_the_doers_in_it(small: Small) -> None:
    """`write both names in full`, which they were, was no way out for a father and his son."""
    text = filled(small.sheet).text.replace("helpers: []", "helpers: [Ada John Bellcrank]")
    sheet = edit.opened(text.replace("look by: Bo Cleco", "look by: Ada John Bellcrank", 1), "records/open/page.md")
    assert sheet is not None
    (only,) = told(small, sheet)
    assert only.endswith(
        "if these are two people, name each under `people` of aircraft.yaml with their certificate number"
    )
    aircraft = small.logbook.aircraft
    for number, left in (("0000009", 0), ("0000001", 1), ("", 1)):
        other = Person(name="Ada John Bellcrank", kind="private pilot", certificate=number)
        book = replace(small.logbook, aircraft=replace(aircraft, people=(*aircraft.people, other)))
        assert len(told(Small(book, sheet), sheet)) == left, number
