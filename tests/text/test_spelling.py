"""A key is read however people spell it, or named with a caret: never passed over.

The class, not the cases: every key of every grammar (`tests.text.spelled` takes them from the readers' own tables)
with every slip that people and editors make, one at a time here and up to three at once in the campaign.
"""

import random
from collections import defaultdict
from functools import cache

import pytest

from inspect_kit.inspection import edit
from inspect_kit.model.finding import Cleared, Fix
from inspect_kit.model.worksheet import Entry
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.spelling import Keys, distance, folded, spellings
from inspect_kit.text.worksheet import KNOWN, WORKSHEET, read_worksheet
from tests.text import spelled
from tests.text.spelled import READ, SILENT, Slot

# Of each key at one place, at the others, and of all with up to three slips: a share by seed of what
# `python -m tests.bench spelling` asks whole.
FEWEST = 20
ELSEWHERE = 1
CAMPAIGN = 400
GRAMMARS = ("checklist", "worksheet", "aircraft", *(f"record {name}" for name in spelled.RECORDS))


def test_every_key_of_every_grammar_has_a_place_where_it_is_spelt() -> None:
    hint = "give each of these an example in tests/text/spelled.py"
    assert spelled.missing_keys() == [], hint
    assert set(of_grammar()) == set(GRAMMARS)
    assert len(spelled.slots()) > 400


@cache
def of_grammar() -> dict[str, list[Slot]]:
    found: dict[str, list[Slot]] = defaultdict(list)
    for slot in spelled.slots():
        found[slot.grammar].append(slot)
    return found


@pytest.mark.parametrize("grammar", GRAMMARS)
def test_twenty_spellings_of_every_key(grammar: str) -> None:
    """Twenty slips of a key where it first stands, a few wherever else it stands."""
    choose = random.Random(grammar)
    first = spelled.first_places()
    silent = []
    for slot in of_grammar()[grammar]:
        slips = slot.slips()
        assert len(slips) >= FEWEST
        for slip in choose.sample(slips, FEWEST if slot in first else ELSEWHERE):
            text = spelled.misspelt(slot, [slip], choose)
            if spelled.judge(slot, text)[0] == SILENT:
                silent.append(str(spelled.Swallowed(slot, (slip[0],), text)))
    assert silent == []


def test_a_campaign_of_up_to_three_slips_at_once() -> None:
    """Ten thousand and more run in `python -m tests.bench spelling`."""
    counts, silent = spelled.campaign(CAMPAIGN, seed=14)
    assert [str(each) for each in silent] == []
    assert counts[READ] > CAMPAIGN / 20


def test_the_judge_sees_what_is_swallowed() -> None:
    """The test of the tests: a key that is taken away altogether is silence."""
    slot = next(slot for slot in spelled.slots() if slot.name == "worksheet found" and not slot.in_yaml)
    lines = slot.text.split("\n")
    del lines[slot.line]
    assert spelled.judge(slot, "\n".join(lines))[0] == SILENT


FRONT = "---\njob: condition\naircraft: N0TS\nbegun: 2026-11-21\n---\n# Page\n\n"


def page(lines: str) -> tuple[tuple[Entry, ...], list[str]]:
    noun, source = read_worksheet(f"{FRONT}- [x] `exhaust` Exhaust stacks\n{lines}\n", "p.md")
    assert noun is not None
    return noun.entries, [str(problem) for problem in source.problems]


# --- the lines of the attack ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        *(
            "  found: F1 crack",
            "  – found: F1 crack",
            "  -found: F1 crack",
            "  — found: F1 crack",
            "  • found: F1 crack",
        ),
        *("  * found: F1 crack", "  1. found: F1 crack", "  a) found: F1 crack", "  -> found: F1 crack"),
        *("  → Found : F1 crack", "  - **found:** F1 crack", "  - `found`: F1 crack", "  - FOUND： F1 crack"),
        *("\tfound:\u00a0F1 crack", "\u00a0\u00a0- found: F1 crack", "\n  - found: F1 crack", "\n  found: F1 crack   "),
        *("  – **Found：** f1 crack", "  - found:: F1 crack", "  - found: F1: crack", "  - found: ____ F1 crack"),
    ],
)
def test_a_finding_that_can_be_meant_in_one_way_only_is_read(line: str) -> None:
    (exhaust,), problems = page(line)
    assert problems == []
    assert [(finding.id, finding.text, finding.fix) for finding in exhaust.findings] == [("F1", "crack", Fix())]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("found: F1 crack", "`found` stands under no box: indent it below the one it belongs to"),
        ("- found: F1 crack", "`found` stands under no box: indent it below the one it belongs to"),
        ("\n\nFound: F1 crack", "`found` stands under no box: indent it below the one it belongs to"),
        ("> found: F1 crack", "`found` stands under no box: indent it below the one it belongs to"),
        ("  F1 crack", "begins with the id of a finding: write `- found: F1 ...` below the box it belongs to"),
        ("  - F1 crack", "expected `KEY: value` after the bullet"),
        ("  – F1 crack", "begins with the id of a finding: write `- found: F1 ...` below the box it belongs to"),
        ("F1 crack", "begins with the id of a finding: write `- found: F1 ...` below the box it belongs to"),
        ("  **f1** crack", "begins with the id of a finding: write `- found: f1 ...` below the box it belongs to"),
        ("  # found: F1 crack", "`found` is not read as it is spelt here: write `- found: ...`"),
        ("  ~~found: F1 crack~~", "`found` is not read as it is spelt here: write `- found: ...`"),
        ("  | found: | F1 crack |", "`found` is not read as it is spelt here: write `- found: ...`"),
        ("  found; F1 crack", "`found` is not read as it is spelt here: write `- found: ...`"),
        ("  - found = F1 crack", "`found` is not read as it is spelt here: write `- found: ...`"),
        ("  fuond: F1 crack", "`fuond` is no key; did you mean `found`?"),
        ("  - found F1 crack", "expected `KEY: value` after the bullet"),
        ("  – found F1 crack", "expected `KEY: value` after the bullet"),
        (
            "  - note: cold\n    found: F1 crack",
            "`found` begins a line over which `note` goes on: give it a bullet, or join the lines",
        ),
        (
            "  - note: cold\n  and a crack",
            "stands between the keys of `exhaust` and belongs to none: indent it deeper to go on with a value",
        ),
        (
            "a crack",
            "stands right below a box without being indented: indent it, or leave a line free above it",
        ),
    ],
)
def test_what_may_be_a_finding_and_is_not_read_is_named_with_a_caret(line: str, message: str) -> None:
    entries, problems = page(line)
    assert [finding for entry in entries for finding in entry.findings] == []
    assert [problem.split("\n")[0].split(": ", 1)[1] for problem in problems] == [message]
    assert problems[0].splitlines()[2].strip("~ ") == "^"


@pytest.mark.parametrize(
    "line",
    [
        *("  every: 50 h", "  – every: 50 h", "  -every: 50 h", "  • every: 50 h", "  Every: 50 h", "  EVERY : 50 h"),
        *(
            "  1. every: 50 h",
            "  - **every:** 50 h",
            "  - `every`: 50 h",
            "  - every：50 h",
            "\u00a0 - every:\u00a050 h",
        ),
        *("every: 50 h", "- every: 50 h", "\nevery: 50 h", "  every 50 h", "  - every 50 h", "  evrey: 50 h"),
        *("  - evrey: 50 h", "  every; 50 h", "  every = 50 h", "> every: 50 h", "  ## every: 50 h", "  – every 50 h"),
    ],
)
def test_an_interval_is_never_lost(line: str) -> None:
    """Read, or the check is marked as one whose due point is not known, beside a problem with a caret."""
    front = "---\npanel: a\nname: A\nzone: nose\n---\n# A\n\n"
    _, checks, source = read_checklist(f"{front}- [ ] `oil` Change the oil\n{line}\n", "a.md")
    if source.problems:
        assert [problem.excerpt is not None for problem in source.problems] == [True]
        assert checks[0].unread == ("every",)
    else:
        assert [str(limit) for limit in checks[0].every] == ["50 h"]


@pytest.mark.parametrize("rest", ["  or 4 months", "or 4 months", "    or soon"])
def test_a_limit_over_two_lines_is_whole_or_not_known(rest: str) -> None:
    front = "---\npanel: a\nname: A\nzone: nose\n---\n"
    _, checks, source = read_checklist(f"{front}- [ ] `oil` Change the oil\n  - every: 50 h\n{rest}\n", "a.md")
    assert [problem.excerpt is not None for problem in source.problems] == [True]
    assert checks[0].unread == ("every",)


def test_text_before_the_first_box_is_free() -> None:
    free = "Note: bring the lamp.\n\nFound: nothing yet.\n\nF1 is the fuse of the pump.\n\nby: train\n"
    noun, source = read_worksheet(f"{FRONT}{free}\n- [x] `exhaust` Exhaust\n", "p.md")
    assert source.problems == []
    assert noun is not None
    assert noun.loose == ()
    _, _, source = read_checklist("---\npanel: a\nname: A\nzone: n\n---\nTime: an hour.\n\n- [ ] `oil` Oil\n", "a.md")
    assert source.problems == []


# --- boxes ------------------------------------------------------------------------------------------------------------

MEANT = [
    *("- [x] `a` A", "- [X] `a` A", "- [x ] `a` A", "- [ x] `a` A", "- [ x ] `a` A", "- [✓] `a` A", "- [✔] `a` A"),
    *("- (x) `a` A", "- ☑ `a` A", "☑ `a` A", "✓ `a` A", "[x] `a` A", "-[x] `a` A", "- [x]`a` A", "1. [x] `a` A"),
    *("• [x] `a` A", "– [x] `a` A", "- [х] `a` A", "- [×] `a` A", "- [x] ´a´ A", "- [x] ``a`` A", "- [x] **`a`** A"),
    *("- [x] ` a ` A", "* [x]\t`a`\tA", "-\u00a0[x]\u00a0`a`\u00a0A", "- [\u00a0x] `a` A", "a) [x] `a` A"),
]


@pytest.mark.parametrize("line", MEANT)
def test_a_tick_that_can_be_meant_in_one_way_only_is_read(line: str) -> None:
    noun, source = read_worksheet(f"{FRONT}{line}\n  - took: 5 min\n", "p.md")
    assert source.problems == []
    assert noun is not None
    assert [(entry.id, entry.text, entry.ticked, entry.took) for entry in noun.entries] == [("a", "A", True, 5)]


@pytest.mark.parametrize(
    "line",
    ["- [ ] `a` A", "- [] `a` A", "- [  ] `a` A", "- [_] `a` A", "- [__] `a` A", "- ( ) `a` A", "☐ `a` A", "[ ] `a` A"],
)
def test_an_open_box_stays_open(line: str) -> None:
    noun, source = read_worksheet(f"{FRONT}{line}\n", "p.md")
    assert source.problems == []
    assert noun is not None
    assert [(entry.id, entry.ticked) for entry in noun.entries] == [("a", False)]


@pytest.mark.parametrize(
    "line",
    [
        *("- [x] a A", "- [x] 'a' A", '- [x] "a" A', "- [x] ‘a’ A", "- [x] `Oil-change` A", "- [x] `a--b` A"),
        *("- [v] `a` A", "- [y] `a` A", "- [-] `a` A", "- [/] `a` A", "- [o] `a` A", "- [?] `a` A", "- [ok] `a` A"),
        *("- [✗] `a` A", "- ☒ `a` A", "> - [x] `a` A", "| [x] | `a` A", "<!-- - [x] `a` A -->", "- - [x] `a` A"),
        *("- {x} `a` A", "- [done] `a` A", "# [x] `a` A", "- [x] done `a` A", "- [x]: `a` A", "- (ok) `a` A"),
    ],
)
def test_a_box_that_may_mean_several_things_is_named(line: str) -> None:
    _, source = read_worksheet(f"{FRONT}{line}\n", "p.md")
    assert [problem.excerpt for problem in source.problems] == [line]


@pytest.mark.parametrize("line", [*MEANT, "- [x] Remove `a` A"])
def test_a_tick_is_taken_back_and_put_again_where_it_was_drawn(line: str) -> None:
    sheet = edit.opened(f"{FRONT}{line}\n", "p.md")
    assert sheet is not None
    assert edit.tick_in_order(sheet, 0).text == sheet.text
    open_again = edit.untick(sheet, 0)
    assert not open_again.entries[0].ticked
    assert edit.tick_in_order(open_again, 0).entries[0].ticked


# --- what the tool writes beside what people wrote --------------------------------------------------------------------


@pytest.mark.parametrize(
    "line", ["  – **Found：** crack", "  found: crack", "  -found:crack", "\t1) FOUND : crack", "  - `found`: crack"]
)
def test_a_finding_is_named_and_cleared_where_it_was_spelt(line: str) -> None:
    sheet = edit.opened(f"{FRONT}- [x] `exhaust` Exhaust\n{line}\n        Fix: by 2027-01-31\n", "p.md")
    assert sheet is not None
    named = edit.name_findings(sheet)
    assert [finding.text for finding in named.entries[0].findings] == ["crack"]
    assert edit.name_findings(named) is named
    off = edit.put_off(named, "F1", "by 2027-03-31", "it is short")
    cleared = edit.clear(off, "F1", Cleared(date=off.page.begun, text="welded", by="Pip Ashtally"))
    (finding,) = cleared.entries[0].findings
    assert (finding.text, str(finding.fix), finding.may_wait) == ("crack", "by 2027-03-31", "it is short")
    assert finding.cleared is not None
    # What a person typed is still there, but for the limit that was put off.
    assert line.split("crack")[0].rstrip() in cleared.text
    assert "        Fix: by 2027-03-31" in cleared.text


def test_a_finding_with_a_colon_behind_its_id_is_not_named_twice() -> None:
    sheet = edit.opened(f"{FRONT}- [x] `exhaust` Exhaust\n  - found: F1: crack\n  - found: f2 dent\n", "p.md")
    assert sheet is not None
    assert edit.name_findings(sheet) is sheet


# --- what is written beside a printed blank ---------------------------------------------------------------------------


@pytest.mark.parametrize("written", ["{}", "____ {}", "{} ____", "____{}____", "__ {}", "______ {}"])
@pytest.mark.parametrize(("key", "value"), [*spelled.VALUES_ON_A_PAGE.items()])
def test_what_a_pen_writes_beside_the_blank_counts(key: str, value: str, written: str) -> None:
    above = {
        "again": "  - cylinder 1: 58 psi\n",
        **dict.fromkeys(("fix", "may wait because", "waiting", "cleared"), "  - found: F1 x\n"),
    }
    indent = "    " if key in above else "  "
    line = f"{indent}- {key}: {written.format(value)}"
    (there,), problems = page(above.get(key, "") + line)
    (plain,), _ = page(above.get(key, "") + f"{indent}- {key}: {value}")
    assert problems == []
    if key != "note":
        assert spelled.said(there) == spelled.said(plain)


@pytest.mark.parametrize("meters", ["{tach: ____ 611.2}", "{tach: 611.2 ____}", "{tach: 611.2}"])
def test_a_meter_written_beside_its_blank_counts(meters: str) -> None:
    noun, source = read_worksheet(FRONT.replace("begun", f"meters: {meters}\nbegun") + "- [x] `a` A\n", "p.md")
    assert source.problems == []
    assert noun is not None
    assert {name: str(value) for name, value in noun.meters.items()} == {"tach": "611.2"}


@pytest.mark.parametrize(
    "nobody", ["-", "--", "same", "Same.", "same  as above", "ditto", "n/a", "me", "x", "?", "ok", "✓"]
)
@pytest.mark.parametrize("key", ["second look by", "by"])
def test_a_name_that_names_nobody_is_named(key: str, nobody: str) -> None:
    _, (problem,) = page(f"  - {key}: {nobody}")
    assert f"{key}: `{nobody[:40]}` names nobody: write the name of the person" in problem
    assert problem.endswith("^")


def test_a_name_is_one_line_and_its_blanks_are_one() -> None:
    (entry,), problems = page("  - by:  Pip \u00a0 Ashtally\n  - second look by: Hazel\n    crack at the weld")
    assert entry.by == "Pip Ashtally"
    assert [problem.split("\n")[0] for problem in problems] == [
        "p.md:10: `second look by` names a person, on one line: what goes on below it is no name"
    ]


# --- YAML -------------------------------------------------------------------------------------------------------------

HEAD = "format: 1\nkind: work\ndate: 2026-05-14\n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("text: changed the oil\n  did： [first]\n", "`did` stands inside a text of several lines"),
        ("text: changed the oil\n  did:[first]\n", "`did` stands inside a text of several lines"),
        ("text: changed the oil\n  – Did: [first]\n", ""),
        ("text: |\n  Changed the oil.\n  did: [first]\n", "`did` stands inside a text of several lines"),
        ("text: >-\n  Changed the oil.\n  clears: [a#F1]\n", "`clears` stands inside a text of several lines"),
        ("text: crack at weld #3\n", "what stands behind ` #` is a comment in YAML and would be lost"),
        ("text: x\nopened: [cowl #2, belly]\n", ""),
        ("text: cylinder # 3, exhaust flange\n", "what stands behind ` #` is a comment in YAML and would be lost"),
        ("text: x\npaper: log  #\t2, p. 31\n", "put the whole value in quotes, or the comment on a line of its own"),
        ("text: x\nopened:\n  - cowl # 1234\n", "what stands behind ` #` is a comment in YAML and would be lost"),
        ("text: x\nopened: [cowl # 2, belly]\n", ""),
    ],
)
def test_what_yaml_would_take_for_something_else_is_named(text: str, message: str) -> None:
    _, source = read_record(HEAD + text, "r.yaml")
    assert message in source.problems[0].message
    assert source.problems[0].excerpt is not None


@pytest.mark.parametrize(
    "text",
    [
        "text: 'Changed the oil.\n  did: nothing else'\n",
        "text: |\n  Aircraft: N0TS\n  To do: nothing\n",
        "text: changed  # by hand\n",
        "# did: [first]\ntext: changed\n",
        "text: plug no. 3, http://example.invalid/#3\n",
        "text: changed # said by Jo, 3 times\n",
        "text: changed # 2026: ask again\n",
        "text: changed # 2026-05-15 Jo\n",
        "text: 'changed' # 3 of them\n",
        "# 3 of them\ntext: changed\n# 2 more\n",
        "text: changed\nmeters: {tach: 412.6} # 2 readings\nentered: 2026-05-15 # 1 day late\n",
    ],
)
def test_what_yaml_takes_as_it_was_meant_is_no_problem(text: str) -> None:
    _, source = read_record(HEAD + text, "r.yaml")
    assert source.problems == []


def test_a_key_indented_too_far_is_not_something_that_was_filled_up() -> None:
    text = "format: 1\nkind: hours\ndate: 2026-05-14\nmeters: {tach: 1}\nadded:\n  oil: 1 qt\n  text: changed\n"
    _, source = read_record(text, "r.yaml")
    assert [problem.message for problem in source.problems] == ["`text` stands under `added`: is it indented too far?"]


# --- the pieces -------------------------------------------------------------------------------------------------------


def test_a_key_is_near_by_one_slip_and_in_a_long_word_by_two() -> None:
    keys = Keys(KNOWN)
    assert [keys.near(word) for word in ("fuond", "foud", "founnd", "may wiat becuase", "nto done")] == [
        *("found", "found", "found", "may wait because", "not done")
    ]
    assert [keys.near(word) for word in ("fonud it", "torque", "by", "x", "", "tool")] == [None] * 5 + ["took"]
    assert [distance("ab", other) for other in ("ab", "ba", "b", "abc", "cb", "dc")] == [0, 1, 1, 1, 1, 2]


def test_a_key_is_folded_without_width_hyphens_and_what_cannot_be_seen() -> None:
    assert {
        folded(word)
        for word in ("not while", "Not-While", "NOT_WHILE", "ｎｏｔ－ｗｈｉｌｅ", "not\u00adwhile "[:3] + " while")
    } == {"not while"}
    assert folded("fo\u200bund") == "found"


def test_a_line_is_taken_apart_at_its_colon() -> None:
    (found,) = spellings("   1) **May wait because:**  it is short")
    assert (found.mark, found.key, found.colon, found.is_readable) == ("1)**", "May wait because", ":", True)
    assert "   1) **May wait because:**  it is short"[found.value_at :] == "it is short"
    assert WORKSHEET.keys.meant(found.key) == "may wait because"
    assert list(spellings("no colon here")) == []
