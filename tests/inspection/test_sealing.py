"""What a page becomes when it is sealed: an inspection or work, its readings, and who did what."""

import datetime as dt
import re
from dataclasses import replace

import pytest

from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing
from inspect_kit.inspection.sealing import record_of
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.page_record import PageRecord
from inspect_kit.text.record import read_record, write_record
from inspect_kit.text.worksheet import KNOWN
from tests.inspection.conftest import ALL, Small, filled, request_for, sheet_of, with_findings

DAY = dt.date(2026, 5, 3)


def sealed(small: Small, sheet: edit.OpenPage) -> PageRecord:
    return record_of(request_for(small, sheet), name="2026-05-03-page", entered=DAY)


def test_an_inspection_keeps_its_readings_with_measure_and_limit() -> None:
    small = sheet_of(ALL)
    record = sealed(small, filled(small.sheet))
    assert isinstance(record, Inspection)
    assert record.passed
    assert [(each.check, each.label, each.value, each.measure, str(each.bound)) for each in record.readings] == [
        ("compression", "cylinder 1", "75", "psi", "at least 60"),
        ("compression", "cylinder 2", "75", "psi", "at least 60"),
    ]


def test_a_value_below_a_box_that_is_not_ticked_was_not_measured() -> None:
    small = sheet_of(ALL)
    sheet = filled(small.sheet)
    box = sheet.box("compression")
    assert box is not None
    record = sealed(small, edit.untick(sheet, box))
    assert (record.readings, "compression" in {each.check for each in record.results}) == ((), False)


def test_work_is_no_inspection() -> None:
    small = sheet_of(("remove cowl", "stacks", "refit cowl"), job="work")
    sheet = small.sheet
    for at in range(len(sheet.entries)):
        sheet = edit.tick_in_order(sheet, at)
    record = sealed(small, sheet)
    assert isinstance(record, Work)
    assert record.did == ("stacks",)


def test_where_a_page_names_nobody_its_signer_did_it() -> None:
    small = sheet_of(ALL)
    sheet = edit.opened(small.sheet.text.replace("inspector: Ada Bellcrank\n", ""), "records/open/page.md")
    assert sheet is not None
    request = request_for(small, sheet)
    assert {request.doer(entry) for entry in sheet.entries} == {"Ada Bellcrank"}
    assert {request_for(small, sheet, signer="Nobody Known").doer(entry) for entry in sheet.entries} == {""}


def test_whoever_inspected_stands_in_the_record_where_somebody_else_signs() -> None:
    """In a record whoever has signed did what names nobody: the second look of the signer was one at his own work."""
    small = sheet_of(ALL)
    found = "  - found: F1 frayed\n    - cleared: 2026-05-02 replaced\n  - found: F2 torn\n    - cleared: {}\n"
    text = filled(small.sheet).text.replace("inspector: Ada Bellcrank", "inspector: Bo Cleco")
    box = "- [x] `stacks` Exhaust stacks: cracks\n"
    assert box in text
    text = text.replace(box, box + found.format("2026-05-02 sewn; by: Ada Bellcrank"))
    box = "- [x] `stick-travel` Full and free travel\n"
    sheet = edit.opened(text.replace(box, f"{box}  - by: Ada Bellcrank\n"), "records/open/page.md")
    assert sheet is not None
    record = sealed(small, sheet)
    did = {each.check: each.by for each in record.results}
    assert did.pop("stick-travel") == "Ada Bellcrank"
    assert {*did.values()} == {"Bo Cleco"}
    assert [each.cleared and each.cleared.by for each in record.findings] == ["Bo Cleco", "Ada Bellcrank"]
    # Where they are one, nothing is said twice.
    assert {each.by for each in sealed(small, filled(small.sheet)).results} == {""}


def test_who_cleared_a_finding_from_before_is_as_its_box_says() -> None:
    small = sheet_of(("stacks",), book=with_findings({"2026-04-01-finding-aaaa": "at: stacks"}))
    assert small.logbook.standing()
    name = next(iter(small.logbook.standing()))
    box = f"- [x] `{name}` worn\n  - by: Bo Cleco\n  - cleared: 2026-05-02 replaced\n"
    sheet = edit.opened(f"{small.sheet.text}\n{box}", "records/open/page.md")
    assert sheet is not None
    assert sealed(small, sheet).cleared[name].by == "Bo Cleco"


def test_a_finding_from_before_is_cleared_or_put_off_and_not_both() -> None:
    small = sheet_of(("stacks",), book=with_findings({"2026-04-01-finding-aaaa": "at: stacks"}))
    name = next(iter(small.logbook.standing()))
    cleared = f"- [x] `{name}` worn\n  - cleared: 2026-05-02 replaced\n"
    for put_off in ("", "  - fix: by 2027-01-31\n  - may wait because: cosmetic only\n"):
        sheet = edit.opened(f"{small.sheet.text}\n{cleared}{put_off}", "records/open/page.md")
        assert sheet is not None
        gaps = [gap.text for gap in missing(request_for(small, sheet)) if gap.about == name]
        assert ("is cleared, and put off again by `fix`: which of the two?" in gaps) == bool(put_off), gaps


# What stands in the record of a key that was written, or in the page before, where its words are others there.
SAID = {
    "found": ("F7 hairline", "hairline"),
    "note": ("two nutplates stripped", "two nutplates stripped"),
    "took": ("37 min", "37 min"),
    "by": ("Bo Cleco", "by: Bo Cleco"),
    "second look by": ("Bo Cleco", "second-look: Bo Cleco"),
    "not applicable": ("none on this aircraft", "none on this aircraft"),
    "not done": ("seen with a mirror", "seen with a mirror"),
    "good until": ("2031-05-31", "2031-05-31"),
    "paper": ("work order 118", "work order 118"),
    "disturbed": ("flight-controls", "flight-controls"),
    "used": ("3 oil filter", "3 oil filter"),
    "repaired": ("cylinder 1", "repaired:\n      - cylinder 1"),
    "recheck": ("in 55 h", "55 h"),
    "cleared": ("2026-05-02 filed smooth", "filed smooth"),
    "fix": ("by 2027-01-31", "2027-01-31"),
    "may wait because": ("outer strands only", "outer strands only"),
    "waiting": ("cable, ordered", "cable, ordered"),
}
STANDS = "2026-04-01-finding-aaaa#F1"
PUT_OFF = "\n  - fix: by 2027-02-28\n  - may wait because: cosmetic only"
# A box of each kind in each state, as it stands in a page that may be signed.
BOXES = {
    "a panel put back": ("- [x] refit `cowl`", ""),
    "a panel that stayed on": ("- [ ] remove `cowl`", "\n  - not done: seen with a torch"),
    "a check": ("- [x] `compression`", ""),
    "a check above its second box": ("- [x] `stick-travel`", "\n\n- [x] `stick-travel` Full and free travel"),
    "a check that is not there": ("- [ ] `stick-travel`", "\n  - not applicable: a yoke is fitted"),
    "a finding put off again": (f"- [x] `{STANDS}`", PUT_OFF),
    "a finding cleared": (f"- [x] `{STANDS}`", "\n  - cleared: 2026-05-02 replaced"),
    "a finding left alone, closed": (f"- [ ] `{STANDS}`", ""),
}


def test_there_is_a_value_of_every_key() -> None:
    assert {*SAID} == {*KNOWN} - {"again"}


@pytest.mark.parametrize("kind", BOXES)
@pytest.mark.parametrize("key", SAID)
def test_whatever_stands_below_a_box_reaches_the_record_or_is_named(kind: str, key: str) -> None:
    """What somebody wrote below the box of a panel or of a finding from before was sealed in no record."""
    start, below = BOXES[kind]
    book = with_findings({STANDS.removesuffix("#F1"): "at: stacks"} if "finding" in kind else {})
    small = sheet_of(ALL, book=book)
    text = filled(small.sheet).text
    if "finding" in kind:
        text = re.sub(rf"- \[[ x]\] `{STANDS}`", start, text) if STANDS in text else f"{text}\n{start} worn\n"
    elif start not in text:
        text = text.replace(start.replace("[ ]", "[x]"), start)
        text = text.replace("- [x] refit `cowl`", "- [ ] refit `cowl`") if "stayed" in kind else text
    (line,) = [each for each in text.splitlines() if each.startswith(start)]
    pages = {}
    for own in ("", f"\n  - {key}: {SAID[key][0]}"):
        page = edit.opened(text.replace(line, f"{line}{own}{below}"), "records/open/page.md")
        if page is None or page.faults:
            assert own, (page and page.faults, text)
            return
        request = replace(request_for(small, page), closing="sold" if "closed" in kind else "")
        gaps = [gap.text for gap in missing(request)]
        pages[own] = gaps, write_record(record_of(request, name="2026-05-03-page", entered=DAY))
    (before, plain), (gaps, record) = pages.values()
    back, source = read_record(record, "records/2026/2026-05-03-page.yaml")
    assert (back is None, source.problems) == (False, [])
    assert write_record(back) == record
    told = SAID[key][1]
    assert gaps != before or record.count(told) > plain.count(told), (gaps, record)
