"""Edits touch one box and no other line; what was written is read back."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.errors import Misused, Place
from inspect_kit.inspection import edit
from inspect_kit.inspection.walk import asked_alone, blanks, check_of_box, next_box, progress, together
from inspect_kit.model.checklist import Part, Reads
from inspect_kit.model.finding import Cleared, Finding, Fix
from inspect_kit.text.worksheet import boxes_of
from tests.inspection.conftest import ALL, Small, filled, sheet_of

HERE = Place("x")


def test_the_page_begins_as_the_plan_says(small: Small) -> None:
    assert small.sheet.text == (
        "---\n"
        "job: condition\n"
        "aircraft: N0XX\n"
        "begun: 2026-05-01\n"
        "meters:\n"
        "  tach: 100.5\n"
        "inspector: Ada Bellcrank\n"
        "helpers: []\n"
        "---\n\n"
        "# Condition inspection of N0XX, Sparrow S-1\n\n"
        + "Not applicable on this aircraft:\n\n"
        + "".join(f"* {code}: not on this aircraft\n" for code in small.logbook.aircraft.not_applicable)
        + "\n## Panels off, checks, panels on\n\n### Cowling\n\n"
        "> CAUTION: Let the exhaust cool.\n\n"
        "- [ ] remove `cowl` Cowling\n\n"
        "- [ ] `stacks` Exhaust stacks: cracks\n\n"
        "> CAUTION: A second person holds the propeller.\n\n"
        "- [ ] `compression` Differential compression\n"
        "  - cylinder 1: ____ psi (at least 60)\n"
        "  - cylinder 2: ____ psi (at least 60)\n\n"
        "- [ ] refit `cowl` Cowling; inside free of tools, rags and parts\n"
        "  - second look by: ____\n\n"
        "### Control stick\n\n"
        "- [ ] `stick-bolt` Stick bolt safetied\n"
        "  - second look by: ____\n\n"
        "- [ ] `stick-travel` Full and free travel\n"
    )


def changed(before: str, after: str) -> list[tuple[str, str]]:
    old, new = before.split("\n"), after.split("\n")
    assert len(old) == len(new)
    return [pair for pair in zip(old, new, strict=True) if pair[0] != pair[1]]


def test_a_tick_changes_one_character(small: Small) -> None:
    after = edit.tick_in_order(small.sheet, 1)
    assert changed(small.sheet.text, after.text) == [
        ("- [ ] `stacks` Exhaust stacks: cracks", "- [x] `stacks` Exhaust stacks: cracks")
    ]
    assert edit.untick(after, 1).text == small.sheet.text


def test_a_later_value_is_the_same_further_down(small: Small) -> None:
    """A line that is written above moves it: the tour ended there with a fault of the program."""
    read = edit.measure(edit.measure(small.sheet, 2, "cylinder 1", "54"), 2, "cylinder 1", "72")
    moved = edit.answer(read, 1, "not done", "no light")
    assert moved.entries[2].readings[0].again == ("72 psi",)
    assert moved.entries[2].place.line == read.entries[2].place.line + 1


def test_line_endings_stay_as_they_are(small: Small) -> None:
    dos = edit.opened(small.sheet.text.replace("\n", "\r\n"), "p.md")
    assert dos is not None
    after = edit.measure(dos, 2, "cylinder 1", "74")
    after = edit.measure(after, 2, "cylinder 1", "75 psi after 5 min run")
    assert after.text.count("\n") == after.text.count("\r\n")
    assert after.entries[2].readings[0].last == "75 psi after 5 min run"
    assert after.entries[2].readings[0].number == 75


def test_a_second_reading_keeps_the_first(small: Small) -> None:
    after = edit.measure(edit.measure(small.sheet, 2, "cylinder 2", "58"), 2, "cylinder 2", "68 psi after 5 min run")
    reading = after.entries[2].readings[1]
    assert (reading.value, reading.again, str(reading.bound)) == ("58", ("68 psi after 5 min run",), "at least 60")


def test_findings_are_numbered_through_the_page_and_cleared_by_name(small: Small) -> None:
    sheet = edit.write_finding(small.sheet, 1, Finding(id="F1", text="crack", waiting="stack, ordered", place=HERE))
    waits = Finding(id="F1", text="chafed", fix=Fix(at_inspection="condition"), may_wait="cosmetic", place=HERE)
    sheet = edit.write_finding(sheet, 5, waits)
    assert [finding.id for entry in sheet.entries for finding in entry.findings] == ["F1", "F2"]
    sheet = edit.clear(sheet, "F1", Cleared(date=dt.date(2026, 5, 2), text="stack replaced", by="Ada Bellcrank"))
    first, second = (finding for entry in sheet.entries for finding in entry.findings)
    assert not first.stands
    assert first.cleared == Cleared(date=dt.date(2026, 5, 2), text="stack replaced", by="Ada Bellcrank")
    assert second.stands
    assert second.may_wait == "cosmetic"


def test_ids_are_written_to_findings_that_a_pen_left_without(small: Small) -> None:
    text = small.sheet.text.replace("`stacks` Exhaust stacks: cracks", "`stacks` Exhaust\n  - found: crack at the weld")
    sheet = edit.opened(text, "p.md")
    assert sheet is not None
    assert "  - found: F1 crack at the weld" in edit.name_findings(sheet).text


def test_of_two_findings_of_one_name_the_one_is_edited_that_the_page_is_read_as_having(small: Small) -> None:
    """Two clones each called theirs F1: `finding F2 --cleared` ended in a fault of the program."""
    twice = "`stacks` Exhaust\n  - found: F1 crack\n  - found: F1 chafed"
    text = small.sheet.text.replace("`stacks` Exhaust stacks: cracks", twice)
    sheet = edit.opened(text, "p.md")
    assert sheet is not None
    box = edit.box_of_finding(sheet, "F2")
    assert box is not None
    after = edit.clear(sheet, "F2", Cleared(date=dt.date(2026, 5, 2), text="sleeved", by="Ada Bellcrank"))
    assert [each.stands for each in after.entries[box].findings] == [True, False]
    assert "  - found: F1 chafed\n    - cleared: 2026-05-02 sleeved" in after.text
    after = edit.put_off(sheet, "F2", "by 2026-12-31", "cosmetic")
    assert [each.may_wait for each in after.entries[box].findings] == ["", "cosmetic"]


def test_a_finding_that_a_pen_left_without_its_number_is_cleared_and_put_off_by_it(small: Small) -> None:
    """`due` and `sign` called it F1, and `finding F1 --cleared` ended in a fault of the program."""
    text = small.sheet.text.replace("`stacks` Exhaust stacks: cracks", "`stacks` Exhaust\n  - found: crack")
    sheet = edit.opened(text, "p.md")
    assert sheet is not None
    after = edit.clear(sheet, "F1", Cleared(date=dt.date(2026, 5, 2), text="welded", by="Ada Bellcrank"))
    assert "  - found: F1 crack\n    - cleared: 2026-05-02 welded; by: Ada Bellcrank" in after.text
    after = edit.put_off(sheet, "F1", "by 2026-12-31", "cosmetic")
    assert "  - found: F1 crack\n    - fix: by 2026-12-31\n    - may wait because: cosmetic" in after.text


def test_an_edit_that_would_not_read_back_is_refused(small: Small) -> None:
    with pytest.raises(Misused, match="could not be read again"):
        edit.replace_line(small.sheet, 2, "job: [")


CLEARED = Cleared(date=dt.date(2026, 5, 2), text="welded", by="Ada Bellcrank")


PLANNED = "(planned: 6 qt oil)"


@pytest.mark.parametrize(
    ("below", "verb", "words"),
    [
        (
            "  - found: F1 crack\n    - fix: {}\n",
            lambda sheet: edit.put_off(sheet, "F1", "by 2026-12-31", "cosmetic"),
            ("when Bob is back", "2026-13-01"),
        ),
        (
            "  - found: F1 crack\n    - cleared: {}\n",
            lambda sheet: edit.clear(sheet, "F1", CLEARED),
            ("stack replaced by Bob, invoice 17", "2026-05-02"),
        ),
        (
            "  - by: {}\n",
            lambda sheet: edit.write(sheet, 1, "by", "Ada Bellcrank"),
            ("? the welder of the field",),
        ),
        (
            "  - second look by: {}\n",
            lambda sheet: edit.write(sheet, 1, "second look by", "Bo Cleco"),
            ("? Kim saw it",),
        ),
        (
            "  - used: {}\n",
            lambda sheet: edit.write(sheet, 1, "used", f"as planned {PLANNED}"),
            (f"____ {PLANNED} but only 5 went in", f"____ {PLANNED}, 2 gaskets too", "? 5 of them"),
        ),
        ("  - took: {}\n", lambda sheet: edit.write(sheet, 1, "took", "5 min"), ("1,5 h",)),
        ("  - good until: {}\n", lambda sheet: edit.write(sheet, 1, "good until", "2027-05-01"), ("next spring",)),
        ("  - disturbed: {}\n", lambda sheet: edit.write(sheet, 1, "disturbed", "exhaust"), ("Static System",)),
    ],
)
def test_words_that_cannot_be_read_are_not_written_over(
    small: Small, below: str, verb: Callable[[edit.OpenPage], edit.OpenPage], words: tuple[str, ...]
) -> None:
    """What could not be read was named, and the words went with the problem. What says nothing is mended so."""
    for value in ("??\n      as the welder says", *words, "??"):
        text = small.sheet.text.replace("stacks: cracks\n", f"stacks: cracks\n{below.format(value)}")
        sheet = edit.opened(text, "p.md")
        assert sheet is not None
        assert sheet.faults > 0, value
        if value == "??":
            assert verb(sheet).faults == 0
            continue
        line = text[: text.index(value)].count("\n") + 1
        told = f"line {line} of the page cannot be read, and would be lost: `- "
        with pytest.raises(Misused, match=f"^{told}.*Mend it there first, or make a `note` of it"):
            verb(sheet)


def test_the_same_words_at_another_box_save_none(small: Small) -> None:
    """One line of two that are alike went, and the other one seemed to be it."""
    text = small.sheet.text
    for check in ("stacks: cracks\n", "safetied\n"):
        text = text.replace(check, f"{check}  - took: 1,5 h\n")
    sheet = edit.opened(text, "p.md")
    assert sheet is not None
    assert sheet.faults == 2
    with pytest.raises(Misused, match="would be lost: `- took: 1,5 h`"):
        edit.write(sheet, 1, "took", "90 min")


def test_what_only_wants_something_beside_it_can_have_it(small: Small) -> None:
    """A line that is a problem as long as another one is missing is not lost by writing that."""
    below = "  - found: F1 crack\n    - may wait because: cosmetic\n"
    sheet = edit.opened(small.sheet.text.replace("stacks: cracks\n", f"stacks: cracks\n{below}"), "p.md")
    assert sheet is not None
    after = edit.put_off(sheet, "F1", "by 2026-12-31", "cosmetic")
    assert "    - may wait because: cosmetic\n    - fix: by 2026-12-31\n" in after.text
    assert after.faults == 0


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("hanging", ["", "    - note: below it\n"])
def test_a_value_that_ran_on_is_replaced_whole_and_what_hangs_below_it_stays(
    small: Small, ending: str, hanging: str
) -> None:
    below = f"  - paper: order 12\n    of the\n    repair station\n{hanging}  - note: second"
    text = small.sheet.text.replace("cracks\n", f"cracks\n{below}\n")
    sheet = edit.opened(text.replace("\n", ending), "p.md")
    assert sheet is not None
    after = edit.write(sheet, 1, "paper", "order 13")
    assert after.text == text.replace("order 12\n    of the\n    repair station", "order 13").replace("\n", ending)
    assert after.entries[1].paper == "order 13"


@given(st.text(max_size=60))
def test_whatever_is_typed_stays_under_its_box(text: str) -> None:
    """Free text never becomes a box, a key or another line."""
    sheet = sheet_of(ALL).sheet
    after = edit.write(sheet, 1, "note", f"x {text}")
    assert len(after.entries) == len(sheet.entries)
    assert after.entries[1].notes == (" ".join("".join(c if c.isprintable() else " " for c in f"x {text}").split()),)


@given(st.lists(st.integers(0, 5), max_size=12))
def test_walking_in_any_order_settles_what_was_answered(order: list[int]) -> None:
    small = sheet_of(ALL)
    sheet = small.sheet
    for box in order:
        sheet = edit.tick_in_order(sheet, box)
    ticked = {at for at, entry in enumerate(sheet.entries) if entry.ticked}
    assert ticked == set(order)
    wanting = {at for at in ticked if blanks(sheet.entries[at], check_of_box(small.logbook, sheet.entries[at]))}
    assert progress(small.logbook, sheet.page) == (len(ticked - wanting), 6)
    expected = next((at for at in range(6) if at not in ticked or at in wanting), None)
    assert next_box(small.logbook, sheet.page) == expected


@pytest.mark.parametrize(
    "change",
    [
        *({}, {"cautions": ("It turns.",)}, {"alone": True}, {"who": "others"}, {"second_look": True}),
        *({"reads": (Reads(labels=("travel",), measure="in"),)}, {"uses": (Part(amount="1", name="oil filter"),)}),
    ],
)
def test_each_reason_alone_has_a_box_asked_one_by_one(small: Small, change: dict[str, object]) -> None:
    check = replace(small.logbook.checks["stick-travel"], **change)  # type: ignore[arg-type]
    entry = small.sheet.entries[5]
    assert asked_alone(entry, check) == bool(change)
    assert asked_alone(entry, None)
    found = edit.write_finding(small.sheet, 5, Finding(id="F1", text="stiff", place=HERE))
    assert asked_alone(found.entries[5], replace(check))
    # What a pen or an editor wrote already is looked at like what is blank: never ticked by a count.
    for written in ({"used": "2 qt"}, {"second_look": "Pip Roe"}, {"paper": "W 4"}, {"good_until": "2031-05"}):
        assert asked_alone(replace(entry, **written), check)  # type: ignore[arg-type]


def test_a_reading_within_or_out_of_its_limit_is_never_ticked_by_a_count(small: Small) -> None:
    page = filled(small.sheet).page
    at = next(at for at, entry in enumerate(page.entries) if entry.readings)
    unticked = replace(page.entries[at], answer="")
    assert asked_alone(unticked, check_of_box(small.logbook, unticked))


def test_the_walk_asks_readings_cautions_and_second_looks_one_by_one(small: Small) -> None:
    page = small.sheet.page
    assert together(small.logbook, page, 0) == ()  # a panel
    assert together(small.logbook, page, 1) == (1,)  # simple, but what follows it has readings
    assert together(small.logbook, page, 2) == ()  # readings and a caution
    assert together(small.logbook, page, 4) == ()  # a second look
    assert next_box(small.logbook, filled(small.sheet).page) is None


FORMS = {
    "helpers: []": 'helpers: ["Zoe Zerk"]',
    "helpers: [Bo Cleco]": 'helpers: [Bo Cleco, "Zoe Zerk"]',
    "helpers: [ 'Bo Cleco' , ]": "helpers: [ 'Bo Cleco', \"Zoe Zerk\"]",
    "helpers:": 'helpers: ["Zoe Zerk"]',
    "helpers:\n- Bo Cleco": 'helpers:\n- Bo Cleco\n- "Zoe Zerk"',
    "helpers:\n  - Bo Cleco\n  - Cy Dzus": 'helpers:\n  - Bo Cleco\n  - Cy Dzus\n  - "Zoe Zerk"',
    "helpers: []  # Bo may come": 'helpers: ["Zoe Zerk"]  # Bo may come',
    "helpers: # Bo may come": 'helpers: ["Zoe Zerk"] # Bo may come',
    "helpers:  # who\n  # on Sunday\n\n  - Bo Cleco  # late\n# end": (
        'helpers:  # who\n  # on Sunday\n\n  - Bo Cleco  # late\n  - "Zoe Zerk"\n# end'
    ),
    "inspector: Ada Bellcrank": 'inspector: Ada Bellcrank\nhelpers: ["Zoe Zerk"]',
}


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("before", FORMS)
def test_a_helper_is_added_whatever_form_the_list_has(before: str, ending: str) -> None:
    head, tail = "---\njob: work\naircraft: N0XX\nbegun: 2026-11-21\n", "\n---\n\n- [ ] `oil` Change the oil\n"
    sheet = edit.opened((head + before + tail).replace("\n", ending), "records/open/p.md")
    assert sheet is not None
    after = edit.add_helper(sheet, "Zoe Zerk")
    assert after.text == (head + FORMS[before] + tail).replace("\n", ending)
    assert after.page.helpers == (*sheet.page.helpers, "Zoe Zerk")


def page_with(helpers: str) -> edit.OpenPage:
    front = f"job: work\naircraft: N0XX\nbegun: 2026-11-21\n{helpers}"
    sheet = edit.opened(f"---\n{front}---\n\n- [ ] `oil` Change the oil\n", "records/open/p.md")
    assert sheet is not None
    return sheet


def test_a_list_of_helpers_in_another_form_is_left_to_a_person() -> None:
    for form in ("helpers: [Bo,\n  Cy]  # both\n", '"helpers": [Bo]\n'):
        with pytest.raises(Misused, match="write `Zoe Zerk` under `helpers` at the top of records"):
            edit.add_helper(page_with(form), "Zoe Zerk")


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("before", "after"),
    [
        (
            "meters:\n  # read off a photo\n  tach: 251.2  # of the 28th\n# of the work\nhelpers: []\n",
            "meters: {tach: 251.4}\n  # read off a photo\n  # of the 28th\n# of the work\nhelpers: []\n",
        ),
        ("meters: {tach: 251.2} # a photo\n", "meters: {tach: 251.4}\n  # a photo\n"),
        ("meters:\n\n# a photo\n  tach: 251.2\n\n", "meters: {tach: 251.4}\n  # a photo\n\n"),
        ('"meters":\n  tach: 251.2\n', "meters: {tach: 251.4}\n"),
    ],
)
def test_remarks_at_the_top_stay_when_a_meter_is_read_anew(before: str, after: str, ending: str) -> None:
    first, page = page_with(before), page_with(after)
    sheet = edit.opened(first.text.replace("\n", ending), "records/open/p.md")
    assert sheet is not None
    read = edit.read_meters(sheet, {"tach": Decimal("251.4")})
    assert read.text == page.text.replace("\n", ending)
    # Once more, as each answer does.
    assert edit.read_meters(read, {"tach": Decimal("251.4")}).text == read.text


@pytest.mark.parametrize("bound", ["(at least 70, by the letter)", "(at least 70: the letter)"])
def test_a_value_is_not_written_over_a_limit_that_cannot_be_read(small: Small, bound: str) -> None:
    """The limit went with the words in it, and the value was judged by that of the checklist."""
    text = small.sheet.text.replace("cylinder 1: ____ psi (at least 60)", f"cylinder 1: ____ psi {bound}")
    sheet = edit.opened(text, "p.md")
    assert sheet is not None
    assert sheet.faults == 1
    line = text[: text.index(bound)].count("\n") + 1
    for verb in (edit.measure, edit.correct):
        with pytest.raises(Misused, match=f"^line {line} of the page cannot be read, and would be lost: `- cylinder 1"):
            verb(sheet, 2, "cylinder 1", "66")
    assert "cylinder 2: 66 psi (at least 60)" in edit.measure(sheet, 2, "cylinder 2", "66").text


@pytest.mark.parametrize(
    ("head", "lost"),
    [
        ("flight-check: flown by Bob on Friday, ball half out\n", True),
        ("flight-check:\n  flown: 2026-11-28\n  words: ball half out\n", True),
        ("flight-check: # Bob flies it\n", False),
    ],
)
def test_an_answer_of_the_page_that_cannot_be_read_is_not_written_over(head: str, lost: bool) -> None:
    """It was asked again as though nothing stood there, and all that was said of the flight went."""
    sheet = page_with(head)
    if lost:
        with pytest.raises(Misused, match="of the page cannot be read, and would be lost: `"):
            edit.answer_page(sheet, "flight-check", "required")
    else:
        assert "flight-check: required\n  # Bob flies it\n" in edit.answer_page(sheet, "flight-check", "required").text


def test_a_name_that_could_be_taken_for_more_is_a_name() -> None:
    for name in ('Al "Chip" Kim', "O'Hara, Kim", "Kim: x", "Kim # x", "[Kim]", "Ümit Åström"):
        assert edit.add_helper(page_with(""), name).page.helpers == (name,)


def test_a_panel_that_comes_off_again_asks_each_check_that_it_makes_owed_once() -> None:
    """The box right below the last refit is still open, and answers for what the panel's going back makes owed."""
    small = sheet_of(("remove cowl", "stacks", "refit cowl", "stick-travel", "stick-bolt"))
    sheet = small.sheet
    for at in range(3):
        sheet = edit.tick_in_order(sheet, at)
    checks = small.logbook.checks
    after = edit.take_off_again(sheet, small.logbook.panels["cowl"], (checks["stick-travel"], checks["oil"]))
    assert [f"{entry.verb} {entry.id}".strip() for entry in after.entries] == [
        *("remove cowl", "stacks", "refit cowl"),
        *("remove cowl", "refit cowl", "oil"),
        *("stick-travel", "stick-bolt"),
    ]


def test_findings_by_hand_are_named_where_the_page_can_be_read_and_left_where_it_cannot(small: Small) -> None:
    stacks = "- [ ] `stacks` Exhaust stacks: cracks\n"
    by_hand = small.sheet.text.replace(stacks, f"{stacks}  - found: crack at the flange\n")
    sheet = edit.opened(by_hand, "records/open/page.md")
    assert sheet is not None
    assert "  - found: F1 crack at the flange\n" in edit.name_findings(sheet).text
    broken = edit.opened(by_hand.replace("crack at", "crack at", 1) + "- [ ] `stacks\n", "records/open/page.md")
    assert broken is not None
    assert broken.faults
    assert edit.name_findings(broken) is broken


@pytest.mark.parametrize(
    ("verb", "most"),
    [
        (lambda sheet: edit.tick_in_order(sheet, 1), 1),
        (lambda sheet: edit.measure(sheet, 2, "cylinder 1", "76"), 1),
        (lambda sheet: edit.write(sheet, 1, "took", "5 min"), 1),
        (lambda sheet: edit.write_finding(sheet, 1, Finding(id="", text="crack", place=HERE)), 1),
        # Two steps, each of which asks where the other left the box.
        (lambda sheet: edit.answer(sheet, 1, "not done", "no flaps"), 2),
    ],
    ids=["tick", "reading", "minutes", "finding", "not done"],
)
def test_a_page_is_read_once_for_each_text_that_it_has(
    small: Small, verb: Callable[[edit.OpenPage], edit.OpenPage], most: int
) -> None:
    sheet = edit.opened(small.sheet.text, small.sheet.page.place.file)
    assert sheet is not None
    before = boxes_of.cache_info().misses
    after = verb(sheet)
    assert after.text != sheet.text
    assert 0 < boxes_of.cache_info().misses - before <= most
