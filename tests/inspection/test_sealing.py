"""What a page becomes when it is sealed: an inspection or work, its readings, and who did what."""

import datetime as dt

from inspect_kit.inspection import edit
from inspect_kit.inspection.sealing import record_of
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.page_record import PageRecord
from tests.inspection.conftest import ALL, Small, filled, request_for, sheet_of

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
