"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

from dataclasses import replace

import pytest

from inspect_kit.errors import Place, Problem
from inspect_kit.inspection import edit
from inspect_kit.inspection.boxes import called
from inspect_kit.inspection.missing import missing, touching
from inspect_kit.inspection.paper import Unreadable, parse_line
from inspect_kit.inspection.people import known_names
from tests.inspection.conftest import ALL, Small, filled, logbook, page_of, request_for, sheet_of, with_findings
from tests.inspection.test_sealing import sealed


def box(sheet: edit.OpenPage, name: str, verb: str = "") -> int:
    found = sheet.box(name, verb) if verb else sheet.box(name)
    assert found is not None
    return found


def test_a_page_has_its_checks_before_and_after_under_heads_of_their_own() -> None:
    """`when: before` and `when: closed` of a checklist."""
    made = logbook()
    made = replace(made, checks=made.checks | {"oil": replace(made.checks["oil"], when="before")})
    made = replace(made, checks=made.checks | {"bottle": replace(made.checks["bottle"], when="closed")})
    text = page_of(made, ("oil", "remove cowl", "stacks", "refit cowl", "bottle"))
    at = [text.index(words) for words in ("`oil`", "`stacks`", "`bottle`")]
    heads = [number for number in range(len(text)) if text.startswith("\n## ", number)]
    assert len(heads) == 3
    assert [sum(head < place for head in heads) for place in at] == [1, 2, 3]


def test_the_words_of_work_are_of_what_was_done() -> None:
    small = sheet_of(("remove cowl", "stacks", "oil", "refit cowl"), job="work")
    sheet = edit.tick_in_order(small.sheet, box(small.sheet, "stacks"))
    sheet = edit.answer(sheet, box(sheet, "oil"), "not done", "no oil at hand")
    assert sealed(small, sheet).text == "Exhaust stacks: cracks"


def test_what_is_merely_empty_is_counted_at_the_panel_of_its_check(small: Small) -> None:
    empty = [each for each in missing(request_for(small, small.sheet)) if each.rest]
    told = {(each.about, each.panel) for each in empty}
    assert told >= {("stacks", "cowl"), ("stick-bolt", "stick"), ("cowl", "cowl")}


def test_a_check_that_no_rule_asks_for_may_be_left_undone_on_an_inspection() -> None:
    """The oil comes by the hour and covers no item: only what belongs to the inspection must be done."""
    small = sheet_of((*ALL[:3], "oil", *ALL[3:]))
    sheet = filled(small.sheet)
    assert missing(request_for(small, edit.write(sheet, box(sheet, "oil"), "used", "as planned"))) == ()
    left = edit.answer(small.sheet, box(small.sheet, "oil"), "not done", "no oil at hand")
    assert missing(request_for(small, filled_but(left, "oil"))) == ()


def filled_but(sheet: edit.OpenPage, name: str) -> edit.OpenPage:
    """As `filled`, with one box left as it is."""
    entry = sheet.entries[box(sheet, name)]
    done = filled(sheet)
    return edit.answer(edit.untick(done, box(done, name)), box(done, name), entry.answer, entry.reason)


def test_a_panel_that_was_not_taken_off_is_not_told_to_stand_in_the_wrong_place() -> None:
    small = sheet_of(("remove cowl", "stacks", "refit cowl"), job="work")
    sheet = edit.answer(small.sheet, box(small.sheet, "cowl", "remove"), "not done", "seen through the oil door")
    sheet = edit.tick_in_order(sheet, box(sheet, "stacks"))
    assert [each.text for each in missing(request_for(small, sheet)) if "stands where" in each.text] == []


def test_a_check_done_once_more_below_is_not_told_to_stand_in_the_wrong_place() -> None:
    """Once where its panel was off, then again when all was back on."""
    small = sheet_of(("remove cowl", "stacks", "refit cowl", "stacks"), job="work")
    sheet = small.sheet
    for at in range(len(sheet.entries)):
        sheet = edit.tick_in_order(sheet, at)
    assert sum(entry.id == "stacks" for entry in sheet.page.checks) == 2
    assert [each.text for each in missing(request_for(small, sheet)) if "stands where" in each.text] == []


def test_other_work_rests_on_the_checklists_of_its_own_panels_and_on_what_is_grave() -> None:
    small = sheet_of(("remove cowl", "stacks", "refit cowl"), job="work")
    told = {
        name: Problem(place=Place(file=file, line=3), message="is odd")
        for name, file in {
            "own": "checklists/x/cowl.md", "other": "checklists/x/stick.md", "record": "records/2026/a.yaml",
            "open": "records/open/other.md",
        }.items()
    }  # fmt: skip
    request = request_for(small, small.sheet)
    assert touching(told.values(), (), request) == (told["own"],)
    grave = [told["record"], told["other"], told["open"]]
    assert touching(told.values(), grave, request) == (told["own"], told["other"], told["record"])


@pytest.mark.parametrize("helpers", [(), ("Ada Bellcrank", "Bo Cleco"), ("Cy Dzus",)])
def test_each_name_is_offered_once(small: Small, helpers: tuple[str, ...]) -> None:
    page = replace(small.sheet.page, helpers=helpers)
    new = ("Cy Dzus",) if "Cy Dzus" in helpers else ()
    names = known_names(small.logbook.aircraft, page)
    assert sorted(names) == sorted(("Ada Bellcrank", "Bo Cleco", *new))
    others = tuple(name for name in names if name != "Bo Cleco")
    assert known_names(small.logbook.aircraft, page, without=("Bo Cleco",)) == others


def standing(count: int, at: str = "check: stacks") -> tuple[Small, edit.OpenPage]:
    """A page with findings from before at its top, each ticked and put off."""
    where = {f"2026-04-0{number}-worn": at for number in range(1, count + 1)}
    made = with_findings(where)
    sheet = filled(sheet_of(ALL, book=made).sheet)
    for name in where:
        sheet = edit.put_off(sheet, f"{name}#F1", "at next condition inspection", "watched, and no worse")
    return Small(made, sheet), sheet


def test_findings_that_are_put_off_again_are_numbered_one_after_the_other() -> None:
    small, sheet = standing(2)
    assert [finding.id for finding in sealed(small, sheet).findings] == ["F1", "F2"]


@pytest.mark.parametrize(("name", "refused"), [("Ada Bellcrank", False), ("Bo Cleco", True)])
def test_a_finding_on_record_is_put_off_by_whom_the_limitations_name(name: str, refused: bool) -> None:
    """On a page of other work too: not by a kind of certificate that no inspection names."""
    made = with_findings({"2026-04-01-worn": "check: stacks"})
    small = sheet_of(("stacks",), book=made, job="work")
    sheet = edit.put_off(small.sheet, "2026-04-01-worn#F1", "at next condition inspection", "watched, and no worse")
    found = [each.text for each in missing(request_for(small, sheet, signer=name))]
    assert any(f"an inspector signs, and {name} is none" in each for each in found) is refused


def test_a_box_of_no_panel_is_found_by_its_words() -> None:
    small, sheet = standing(1, at="")
    (at,) = [at for at, entry in enumerate(sheet.entries) if entry.is_standing]
    assert called(small.logbook, sheet.page, "worn") == (at,)
    assert called(small.logbook, sheet.page, "stick TRAVEL") == (box(sheet, "stick-travel"),)


def test_a_long_word_that_is_no_number_is_quoted_up_to_its_fortieth_letter() -> None:
    with pytest.raises(Unreadable) as refused:
        parse_line("x" * 50 + " o", 99)
    assert refused.value.message == f"`{'x' * 40}` is no number of a box"


def test_a_reading_whose_line_was_taken_off_the_page_is_missed(small: Small) -> None:
    sheet = filled(small.sheet)
    lines = [line for line in sheet.text.split("\n") if "cylinder 2:" not in line]
    cut = edit.opened("\n".join(lines), "records/open/page.md")
    assert cut is not None
    assert [each.text for each in missing(request_for(small, cut))] == ["the reading of cylinder 2 is empty"]
