"""Nothing that stands on a page is sealed unread: each line and word that is no entry is named before a signature."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing, missing_for_discrepancies
from inspect_kit.inspection.start import new_page
from inspect_kit.model.checklist import PLACE_FILE, Reads, inspection_checks
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Step
from inspect_kit.text.worksheet import is_note
from inspect_kit.text.worksheet_out import note_line
from tests.inspection.conftest import ALL, Small, filled, logbook, request_for, sheet_of
from tests.store.clones import TODAY

ROOT = Path(__file__).parents[2]
CURE = "write it below its box as `- note: ...` or `- found: ...`, or above the first box"


def told(small: Small, text: str) -> list[str]:
    sheet = edit.opened(text, "records/open/page.md")
    assert sheet is not None
    assert sheet.faults == 0
    return [str(gap).removeprefix("records/open/page.md:") for gap in missing(request_for(small, sheet))]


@pytest.fixture
def text(small: Small) -> str:
    """A page that may be signed."""
    return filled(small.sheet).text


STACKS = "- [x] `stacks` Exhaust stacks: cracks\n"


@pytest.mark.parametrize("note", ["found: F1 crack", "F1 crack", "**Found** : crack", "- fix: before flight"])
def test_an_entry_in_a_note(small: Small, text: str, note: str) -> None:
    """A finding that stands in a note would be sealed as words."""
    (gap,) = told(small, text.replace(STACKS, f"{STACKS}  - note: {note}\n"))
    line = text[: text.index(STACKS)].count("\n") + 1
    assert gap == f"{line}: stacks: `{note}` stands in a note: give it a line of its own, without `note`"
    assert told(small, text.replace(STACKS, f"{STACKS}  - note: found nothing; F1crack is a mark\n")) == []


@pytest.mark.parametrize(
    "line",
    [
        "note: looked - found: F1 crack 8 mm",
        "note: looked; found: crack 8 mm",
        "note: see found: F1 crack",
        "note: clean. Not done: the rear one",
        "took: 5 min",
        "note: hose (fix: before flight)",
    ],
)
def test_an_entry_behind_other_words_of_its_line(small: Small, text: str, line: str) -> None:
    """As an editor joins two lines: it would be sealed as words."""
    found = told(small, text.replace(STACKS, f"{STACKS}  - {line}\n"))
    words = line.partition(": ")[2]
    number = text[: text.index(STACKS)].count("\n") + 1
    expected = f"{number}: stacks: `{words}` has an entry behind other words: give it a line of its own"
    assert found == ([] if line.startswith("took") else [expected])


@pytest.mark.parametrize(
    ("added", "said"),
    [
        ("\nCrack in the left stack.\n", "`Crack in the left stack.` is no entry and nothing that was printed"),
        ("\n## Crack in the left stack\n", "`## Crack in the left stack` is no entry and nothing that was printed"),
        ("\n> a crack, 8 mm\n", "`> a crack, 8 mm` is no entry and nothing that was printed"),
        ("\n- a crack, 8 mm\n", "`- a crack, 8 mm` is no entry and nothing that was printed"),
        ("\n| crack | 8 mm |\n", "`| crack | 8 mm |` is no entry and nothing that was printed"),
        ("\n<!-- a crack -->\n", "`<!-- a crack -->` is no entry and nothing that was printed"),
        (
            "\n- [see](http://crack.invalid)\n",
            "`- [see](http://crack.invalid)` is no entry and nothing that was printed",
        ),
        ("\n=======\n", "`=======` is no entry and nothing that was printed"),
    ],
)
def test_a_line_between_the_boxes(small: Small, text: str, added: str, said: str) -> None:
    (gap,) = told(small, text.replace(STACKS, STACKS + added))
    line = text[: text.index(STACKS)].count("\n") + 3
    assert gap == f"{line}: {said}: {CURE}"


def test_every_line_of_a_code_fence(small: Small, text: str) -> None:
    gaps = told(small, text.replace(STACKS, f"{STACKS}\n```\n- found: F1 crack\n```\n"))
    assert [gap.split("` ")[0].split("`", 1)[1] for gap in gaps] == ["```", "- found: F1 crack", "```"]


@pytest.mark.parametrize(
    ("now", "said"),
    [
        ("- [x] `stacks` Exhaust stacks: cracks -- CRACK 8 mm\n", "`-- CRACK 8 mm`"),
        ("- [x] `stacks` found: F1 crack; Exhaust stacks: cracks\n", "`found: F1 crack;`"),
        ("- [x] `stacks` Exhaust stacks: one is cracked, cracks\n", "`one is cracked,`"),
        ("- [x] `stacks` Exhaust stacks: cracks\n  the left one is cracked\n", "`the left one is cracked`"),
        ("- [x] `stacks` Exhaust stacks:\n  cracks\n  the left one\n", "`the left one`"),
    ],
)
def test_words_written_into_a_box(small: Small, text: str, now: str, said: str) -> None:
    (gap,) = told(small, text.replace(STACKS, now))
    line = text[: text.index(STACKS)].count("\n") + now.count("\n")
    assert gap == f"{line}: stacks: {said} is written into the words of the box: {CURE}"


def test_words_that_an_editor_wrapped_are_those_of_the_box(small: Small, text: str) -> None:
    assert told(small, text.replace(STACKS, "- [x] `stacks` Exhaust\n  stacks:\n  cracks\n")) == []


@pytest.mark.parametrize(
    "now", ["Exhaust stacks: cracked", "Exhaust stacks: not looked at", "Exhaust stacks:", "Exhaust stacks: no cracks?"]
)
def test_words_of_a_box_that_were_changed(small: Small, text: str, now: str) -> None:
    """Words put in the place of words say what the statement would pass over."""
    (gap,) = told(small, text.replace(STACKS, f"- [x] `stacks` {now}\n"))
    assert gap.endswith(
        "stacks: its words are not those of the checklist, which are `Exhaust stacks: cracks`: "
        "copy them there, and say below the box what was seen"
    )


def test_words_that_the_checklist_has_no_longer(small: Small) -> None:
    """They may be those of the day the page was begun, or what somebody saw: nobody can tell, so it is asked."""
    sheet = filled(small.sheet)
    stacks = replace(small.logbook.checks["stacks"], text="Exhaust: look for cracks at every weld")
    later = Small(replace(small.logbook, checks={**small.logbook.checks, "stacks": stacks}), sheet)
    (gap,) = told(later, sheet.text)
    assert "which are `Exhaust: look for cracks at every weld`: copy them there" in gap
    assert told(later, sheet.text.replace("Exhaust stacks: cracks", stacks.text)) == []
    gaps = told(later, sheet.text.replace(STACKS, f"{STACKS}  the left one is cracked\n"))
    assert [gap.partition(": ")[2] for gap in gaps] == [
        f"stacks: `the left one is cracked` is none of its words and no entry: {CURE}"
    ]


def test_words_written_behind_a_panel(small: Small, text: str) -> None:
    (gap,) = told(small, text.replace("remove `cowl` Cowling", "remove `cowl` Cowling - one stud gone"))
    assert gap.endswith(f"cowl: `- one stud gone` is written into the words of the box: {CURE}")


def test_above_the_first_box_everything_is_free(small: Small, text: str) -> None:
    assert (
        told(small, text.replace("---\n\n#", "---\n\nBrought the lamp. Found: nothing yet.\n\n- by: train\n\n#")) == []
    )


def test_the_list_of_discrepancies_is_no_place_to_overlook_something_either(small: Small, text: str) -> None:
    found = text.replace(STACKS, STACKS + "  - found: F1 a crack\n\nAnd a second one.\n")
    sheet = edit.opened(found, "records/open/page.md")
    assert sheet is not None
    assert [gap.text for gap in missing_for_discrepancies(request_for(small, sheet))] == [
        f"`And a second one.` is no entry and nothing that was printed: {CURE}"
    ]


def sample() -> Logbook:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    return loaded.logbook


def test_nothing_that_start_prints_is_taken_for_something_else() -> None:
    """Every check, panel and note of the sample on one page."""
    logbook = sample()
    steps = []
    for panel in logbook.panels.values():
        opening, closing = panel.verbs
        inside = [check for check in logbook.checks.values() if check.panel == panel.id and check.retired is None]
        boxes = [("check", check.id) for check in inside]
        if panel.remove is not None:
            boxes = [(opening, None), *boxes, (closing, None)]
        steps += [Step(step=verb, panel=panel.id, check=check, start=0, end=1) for verb, check in boxes]
    text = new_page(logbook, job="condition", steps=steps, begun=TODAY, meters={})
    sheet = edit.opened(text, "records/open/page.md")
    assert sheet is not None
    assert sheet.faults == 0
    assert len(sheet.entries) > len(inspection_checks(logbook.checks, "condition"))
    small = Small(logbook, sheet)
    assert [gap.text for gap in missing(request_for(small, sheet)) if CURE in gap.text] == []


@pytest.mark.parametrize(
    "note",
    ["Note: the scoop stays on", "F2 is the fuse of the pump", "- found: two sizes of screw", "- [ ] put the plug in"],
)
def test_a_note_of_a_checklist_that_looks_like_an_entry_says_whose_it_is(note: str) -> None:
    assert not is_note(note)
    assert is_note(note_line(note))
    small = sheet_of(ALL)
    cowl = replace(small.logbook.panels["cowl"], notes=(note, "A plain note."))
    book = replace(small.logbook, panels={**small.logbook.panels, "cowl": cowl})
    steps = [Step(step=verb, panel="cowl", start=0, end=1) for verb in ("remove", "refit")]
    text = new_page(book, job="condition", steps=steps, begun=TODAY, meters={})
    assert f"From the checklist: {note}\nA plain note." in text
    sheet = edit.opened(text, "p.md")
    assert sheet is not None
    assert (sheet.faults, len(sheet.entries)) == (0, 2)
    assert [gap.text for gap in missing(request_for(Small(book, sheet), sheet)) if CURE in gap.text] == []


@pytest.mark.parametrize(
    "line",
    ["note: crack F1", "note: left stack, crack F1, 8 mm", "not applicable: see F2", "found: F1 crack, F2 at the weld"],
)
def test_the_id_of_a_finding_within_other_words(small: Small, text: str, line: str) -> None:
    """It would be sealed as words, and nobody would ever ask for it."""
    gaps = told(small, text.replace(STACKS, f"{STACKS}  - {line}\n"))
    assert [gap for gap in gaps if "and the page has no such finding: write `- found: ...` on a line of its own" in gap]


def test_the_id_of_a_finding_that_is_there_or_of_another_record_is_a_reference(small: Small, text: str) -> None:
    known = f"{STACKS}  - found: F1 crack\n    - cleared: 2026-05-02 stack replaced; by: Ada Bellcrank\n"
    assert told(small, text.replace(STACKS, f"{known}  - note: where F1 was, at the weld\n")) == []
    other = f"{STACKS}  - note: as 2026-01-02-finding-f7xk#F1 was; CF1 and F100 are marks\n"
    assert told(small, text.replace(STACKS, other)) == []


def test_not_done_in_a_note(small: Small, text: str) -> None:
    (gap,) = told(small, text.replace(STACKS, f"{STACKS}  - note: not done, no mirror\n"))
    assert "`not done, no mirror` stands in a note" in gap


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("`cowl` Cowling; inside", "`cowl` Cowling, one screw missing; inside", "its words are not those of the"),
        ("rags and parts\n", "rags and parts; one screw left inside\n", "its words are not those of the"),
        ("remove `cowl` Cowling\n", "remove `cowl` Cowling, two screws missing\n", "its words are not those of the"),
        ("person holds the propeller.", "person holds the propeller. Frayed.", "Frayed.` is no entry"),
        ("Let the exhaust cool.", "Let the exhaust cool. Cracked, see below.", "see below.` is no entry"),
    ],
)
def test_words_behind_what_was_printed(small: Small, text: str, old: str, new: str, said: str) -> None:
    """Of panels and of cautions too: a page prints nothing but what the checklists say."""
    sheet = sheet_of(("stick-travel", *ALL))
    page = filled(sheet.sheet).text
    assert old in page
    assert any(said in gap for gap in told(sheet, page.replace(old, new))), told(sheet, page.replace(old, new))
    assert not any("is no entry" in gap or "its words are" in gap for gap in told(sheet, page))


@pytest.mark.parametrize(
    ("words", "named"),
    [("Cowling", False), ("Cowling; free of tools", False), ("Cowling; inside not free", True), ("Cowl", True)],
)
def test_fewer_words_behind_the_box_of_a_panel_hide_nothing(text: str, small: Small, words: str, named: bool) -> None:
    """As a page that was written by hand has them; but `not` is one too many."""
    page = re.sub(r"(refit `cowl`) .*", rf"\1 {words}", text)
    assert any("its words are not those" in gap for gap in told(small, page)) is named


KEYS = ["disturbed", "recheck", "by", "repaired", "took", "paper", "note"]
OF_A_FINDING = ["fix", "waiting", "recheck", "note", "may wait because"]


@pytest.mark.parametrize("blank", ["", "____", " "])
@pytest.mark.parametrize(
    ("line", "key"),
    [
        *((f"  - {key}:", key) for key in KEYS),
        *((f"  - found: F1 crack\n    - cleared: 2026-05-01 filed\n    - {key}:", key) for key in OF_A_FINDING),
    ],
)
def test_what_was_begun_and_says_nothing(small: Small, text: str, line: str, key: str, blank: str) -> None:
    """Sealed as if it did not stand there, nothing would be disturbed, and nobody else would have done it."""
    sheet = edit.opened(text.replace(STACKS, f"{STACKS}{line} {blank}".rstrip() + "\n"), "records/open/page.md")
    assert sheet is not None
    gaps = [str(gap) for gap in missing(request_for(small, sheet))]
    assert sheet.faults or any(f"`{key}` is begun and says nothing" in gap for gap in gaps), gaps


def test_a_date_of_a_part_at_a_check_that_does_not_count_by_it(small: Small, text: str) -> None:
    (gap,) = told(small, text.replace(STACKS, f"{STACKS}  - good until: 2031-05-31\n"))
    assert "is none that counts by it" in gap


def test_what_is_planned_was_altered_on_the_page() -> None:
    small = sheet_of(("remove cowl", "oil", "refit cowl"), job="work")
    page = small.sheet.text
    assert "(planned: 6 qt engine oil)" in page
    done = page.replace("[ ]", "[x]").replace("used: ____", "used: as planned")
    said = "is not what the checklist plans, 6 qt engine oil"
    assert not any(said in gap for gap in told(small, done))
    assert any(said in gap for gap in told(small, done.replace("(planned: 6 qt", "(planned: 16 qt")))


@pytest.mark.parametrize(
    ("job", "disturbs", "named"),
    [("condition", (), True), ("work", ("flight-controls",), True), ("work", (), False)],
)
def test_a_check_behind_a_panel_whose_boxes_were_taken_out(job: str, disturbs: tuple[str, ...], named: bool) -> None:
    """What the panel disturbs, and what is owed once it is back on, would be asked by nobody."""
    whole = logbook()
    panels = {**whole.panels, "cowl": replace(whole.panels["cowl"], disturbs=disturbs)}
    small = sheet_of(("remove cowl", "stacks", "refit cowl"), job=job, book=replace(whole, panels=panels))
    page = small.sheet.text.replace("[ ]", "[x]")
    taken = "".join(line for line in page.splitlines(keepends=True) if "`cowl`" not in line)
    said = "stacks: stands behind `cowl`, which has no box on this page"
    assert any(said in gap for gap in told(small, taken)) is named
    assert not any(said in gap for gap in told(small, page))
    elsewhere = replace(edit.tick_in_order(small.sheet, 0).page, name="other")
    book = replace(small.logbook, pages=(elsewhere,))
    assert not any(said in gap for gap in told(Small(book, small.sheet), taken))


def test_a_check_at_a_place_that_is_behind_a_panel_whose_boxes_were_taken_out() -> None:
    """A place passes on what it is behind: a plan takes the panel off for it, and the page asked nobody."""
    whole = logbook()
    cowl = whole.panels["cowl"]
    place = replace(cowl, id="firewall", kind=PLACE_FILE, remove=None, refit=None, behind=("cowl",))
    checks = {**whole.checks, "stacks": replace(whole.checks["stacks"], panel="firewall")}
    book = replace(whole, panels={**whole.panels, "firewall": place}, checks=checks)
    small = sheet_of(("remove cowl", "stacks", "refit cowl"), job="condition", book=book)
    page = small.sheet.text.replace("[ ]", "[x]")
    taken = "".join(line for line in page.splitlines(keepends=True) if "`cowl`" not in line)
    said = "stacks: stands behind `cowl`, which has no box on this page"
    assert any(said in gap for gap in told(small, taken))
    assert not any(said in gap for gap in told(small, page))


LONG = (
    "Made safe: before anybody touches it - ignition off, key out, \"do not operate\" on the pilot's stick -- "
    "and a wait ..."
)


@pytest.fixture
def safe(small: Small) -> tuple[Small, str]:
    """The page with a box, and a caution, of marks that editors change; it may be signed."""
    checks = dict(small.logbook.checks)
    checks["stacks"] = replace(checks["stacks"], text=LONG, cautions=(LONG,))
    book = replace(small.logbook, checks=checks)
    text = filled(small.sheet).text.replace("Exhaust stacks: cracks", LONG)
    (box,) = (line for line in text.splitlines(keepends=True) if "`stacks`" in line)
    text = text.replace(box, f"> CAUTION: {LONG}\n\n{box}")
    safe = small._replace(logbook=book)
    assert told(safe, text) == []
    return safe, text


@pytest.mark.parametrize(
    ("typed", "made"),
    [
        ('"do not operate"', "\u201cdo not operate\u201d"),
        ('"do not operate"', "\u201edo not operate\u201c"),
        ("pilot's", "pilot\u2019s"),
        (" - ", " \u2013 "),
        (" -- ", " \u2014 "),
        (" - ", " \u2011 "),
        ("do not", "do\u00a0not"),
        ("wait ...", "wait \u2026"),
    ],
)
def test_what_editors_make_of_what_was_printed(safe: tuple[Small, str], typed: str, made: str) -> None:
    small, text = safe
    assert typed in text
    assert told(small, text.replace(typed, made)) == []


@pytest.mark.parametrize("going_on", ["", "> "])
def test_a_caution_that_an_editor_broke(safe: tuple[Small, str], going_on: str) -> None:
    small, text = safe
    caution = f"> CAUTION: {LONG}"
    begin, _, end = caution.partition(" touches")
    middle, _, rest = end.partition(" on the")
    broken = f"{begin} touches\n{going_on}{middle.strip()}\n{going_on}on the{rest}"
    assert told(small, text.replace(caution, broken)) == []
    # What is written into it is named, and what stands behind it.
    assert told(small, text.replace(caution, broken.replace("key out", "key in")))
    assert told(small, text.replace(caution, f"{broken}\n{going_on}crack"))


def test_words_that_are_to_be_copied_are_not_cut(safe: tuple[Small, str]) -> None:
    small, text = safe
    (gap,) = told(small, text.replace(f"`stacks` {LONG}", f"`stacks` {LONG.replace('key out', 'key in')}"))
    assert f"which are `{LONG}`: copy them there" in gap


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        ("stains: ____ (words) clean", ""),
        ("stains: clean (words)", ""),
        ("stains: ____ clean", "is not read where it stands, `clean`: write it right behind `stains:`"),
        ("stains: ____ (words)", "the reading of stains is empty"),
        ("cylinder 1: ____ psi (at least 60) 65", ""),
        # Where no bound was printed it may be a measure, or words.
        ("cylinder 1: ____ psi 65", "is not read where it stands, `psi 65`"),
        ("cylinder 1: ____ psi (at least 60) 55", "cylinder 1 is 55 psi, the limit is at least 60"),
        ("cylinder 1: ____ psi (at least 60)", "the reading of cylinder 1 is empty"),
    ],
)
def test_what_was_written_behind_the_print_is_read(small: Small, text: str, reading: str, said: str) -> None:
    checks = dict(small.logbook.checks)
    words = Reads(labels=("stains",), measure="words")
    checks["stacks"] = replace(checks["stacks"], reads=(words,))
    now = text.replace(STACKS, f"{STACKS}  - stains: clean (words)\n")
    label = reading.partition(":")[0]
    (old,) = (line for line in now.splitlines() if line.startswith(f"  - {label}: "))
    gaps = told(small._replace(logbook=replace(small.logbook, checks=checks)), now.replace(old, f"  - {reading}"))
    assert len(gaps) == bool(said)
    assert said in "".join(gaps)
