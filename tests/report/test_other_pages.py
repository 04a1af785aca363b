"""Scope, status, history, verify, missing and statement pages."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from inspect_kit.due import due
from inspect_kit.errors import Place
from inspect_kit.model.finding import Cleared, put_off_as
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.worksheet import NOT_COVERED, NOT_READ, NOT_TICKED, NOT_WRITTEN, Missing
from inspect_kit.report import (
    history_of,
    history_page,
    missing_page,
    plain,
    scope_page,
    statement_page,
    status_page,
    verify_page,
)
from inspect_kit.report.blocks import Page
from inspect_kit.report.naming import names_of
from inspect_kit.report.pages.status import part_times
from inspect_kit.rules import scope_coverage
from tests.report.answers import PROBLEMS, due_answer
from tests.report.small import AIRCRAFT, CHECKLISTS, RECORDS, TODAY, logbook

BOOK = logbook()


def words(page: Page, room: int = 400) -> str:
    return " ".join(plain.render(page, room).replace("│", " ").split())


def test_scope_says_of_every_code_what_covers_it() -> None:
    text = words(scope_page(scope_coverage(BOOK.checks.values(), BOOK.aircraft), BOOK))
    assert "43 codes: 3 covered, 2 not applicable, 38 missing." in text
    title = BOOK.checks["exhaust-stacks"].title
    assert f"d8 Exhaust stacks {title}" in text
    assert "exhaust-stacks" not in text
    assert "b3 Envelope, gas bags, ballast tanks and related parts not applicable: no envelope or gas bags" in text
    assert text.count("!! MISSING") == 38


def test_checks_stand_by_their_words_and_by_their_id_too_where_another_has_the_same() -> None:
    """Ids stood where nobody types them: in the scope, in the strips, for what parts are ordered."""
    twin = replace(BOOK.checks["compression"], id="compression-cold")
    book = replace(BOOK, checks={**BOOK.checks, twin.id: twin})
    title = twin.title
    assert names_of(BOOK, ["compression", "trim-grease"]) == f"{title}; Grease the trim screw"
    assert names_of(book, ["compression", twin.id]) == f"{title} (compression); {title} (compression-cold)"
    assert names_of(book, ["long-gone"]) == "long-gone"


def test_scope_names_unknown_codes_and_contradictions() -> None:
    odd = replace(BOOK.checks["compression"], covers=("d12", "b3"))
    text = words(scope_page(scope_coverage([odd], BOOK.aircraft), BOOK))
    assert "d12 compression checklists/nose/cowl-lower.md" in text
    assert "Named not applicable, and covered all the same" in text


def test_what_differs_from_a_rule_is_to_be_compared_with_the_papers() -> None:
    sample = CHECKLISTS["checklists/aircraft/papers.md"].replace("24 calendar months", "36 calendar months")
    aircraft = AIRCRAFT.replace("and was found to be in a condition for safe operation", "and found good")
    book = logbook(checklists=CHECKLISTS | {"checklists/aircraft/papers.md": sample}, aircraft=aircraft)
    text = words(scope_page(scope_coverage(book.checks.values(), book.aircraft), book))
    assert "static-test: 36 calendar months is longer than 24 calendar months (14 CFR 91.411(a)(1)" in text
    assert "the statement does not say `condition for safe operation`" in text
    assert "To be compared" not in words(scope_page(scope_coverage(BOOK.checks.values(), BOOK.aircraft), BOOK))


def test_status_has_total_times_parts_inspections_and_findings() -> None:
    text = words(status_page(due(BOOK, TODAY)))
    for piece in (
        *("tach, time in service 611.2 h 611.2 2026-11-21", "magneto-left (on engine) Sparrow M4 A-17 2017-06-08"),
        *("condition inspection", "paint blistered", "engine nothing on record"),
    ):
        assert piece in text


def test_a_part_keeps_its_own_time() -> None:
    # Fitted at 500.0 h with 120.5 h since new and 20.0 h since overhaul; the tach stands at 611.2 h: 111.2 h here.
    fitted = (
        "format: 1\nkind: installed\ndate: 2024-06-01\nposition: engine\npart: Dunlin D-4\nserial: 00123\n"
        "since-new: 120.5\nsince-overhaul: 20.0\nmeters: {tach: 500.0}\n"
    )
    book = logbook(RECORDS | {"records/2024/2024-06-01-engine.yaml": fitted})
    [engine] = [each for each in part_times(due(book, TODAY)) if each.position.id == "engine"]
    assert (engine.here, engine.since_new, engine.since_overhaul) == (
        Decimal("111.2"),
        Decimal("231.7"),
        Decimal("131.2"),
    )
    assert engine.fitting is not None
    assert engine.fitting.serial == "00123"


def test_the_inspection_and_the_reasons_not_to_fly_are_the_first_lines_of_the_status() -> None:
    text = words(status_page(due_answer()))
    places = [
        text.index(word)
        for word in (
            "Condition inspection: 370 days left, to 2027-11-30.",
            "Reasons on record not to fly",
            "Lower cowling is off since 2026-11-24",
            "propeller-torque is owed",
            "Total times",
        )
    ]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("name", "pieces"),
    [
        (
            "oil-change",
            ("2025-11-22 560.4 done", "2026-05-14 590.1 done: Change the oil", "2026-11-21 611.2 done", "No metal in"),
        ),
        (
            "cowl-lower",
            (
                "2024-05-02 ~0.0 found F1: one fastener loose (corrected by 2026-05-14-oil)",
                "opened, by Hazel",
                "exhaust-stacks",
            ),
        ),
        ("compression", ("cylinder 2: 58 psi, then 70 psi after 5 min run", "cylinder 2: 58 psi, then 68 psi")),
        ("magneto-left", ("2017-06-08 0.0 installed Sparrow M4, serial A-17; 0 h since new",)),
        ("trim-grease", ("not done: no grease in the hangar",)),
    ],
)
def test_history_of_a_check_a_panel_and_a_position(name: str, pieces: tuple[str, ...]) -> None:
    text = words(history_page(history_of(BOOK, name), BOOK))
    assert all(piece in text for piece in pieces)


def test_history_is_in_order_of_time_and_knows_old_ids() -> None:
    old = "format: 1\nkind: work\ndate: 2019-02-03\ndid: [oil]\n"
    book = replace(logbook(RECORDS | {"records/2019/2019-02-03-oil.yaml": old}), current={"oil": "oil-change"})
    dates = [event.date for event in history_of(book, "oil-change").events]
    assert dates == sorted(dates)
    assert dates[0] == dt.date(2019, 2, 3)


def test_on_one_day_a_part_comes_out_before_the_next_goes_in() -> None:
    text = "format: 1\nkind: {kind}\ndate: 2022-09-11\nposition: engine\nserial: {serial}\n"
    book = logbook(
        {
            "records/2022/2022-09-11-a.yaml": text.format(kind="installed", serial="NEW"),
            "records/2022/2022-09-11-b.yaml": text.format(kind="removed", serial="OLD"),
        }
    )
    assert [event.what for event in history_of(book, "engine").events] == ["removed serial OLD", "installed serial NEW"]


def test_history_of_what_was_brought_forward() -> None:
    start = (
        "format: 1\nkind: brought-forward\ndate: 2020-01-01\nmeters: {tach: {reads: 10.0, total: 310.0}}\n"
        "last: {oil-change: {date: 2019-12-01, tach: 305.0, paper: engine log p. 3}}\n"
        "fitted: {magneto-left: {serial: X-1, since-new: 200.0}}\n"
    )
    book = logbook({"records/2020/2020-01-01-start.yaml": start})
    done = next(event for event in history_of(book, "oil-change").events if event.what.startswith("brought"))
    assert (str(done.date), done.total, done.what) == (
        "2019-12-01",
        Decimal("305.0"),
        "brought forward: last done; engine log p. 3",
    )
    told = "brought forward: fitted already, first fitting not on record; serial X-1; 200.0 h since new"
    assert told in words(history_page(history_of(book, "magneto-left"), book))


def test_verify_says_what_is_wrong_and_never_that_all_is_right_then() -> None:
    good = words(verify_page(BOOK, {"a": b""}, (), ()))
    assert "Every file was read, every seal is whole." in good
    assert "Inspections without a seal 2" in good
    bad = words(verify_page(BOOK, {"a": b""}, PROBLEMS, PROBLEMS))
    assert "NOT GOOD: 1 seal, signature or file is wrong and 1 problem." in bad
    assert "Every file was read" not in bad


PAGE = "records/open/x.md"
GAPS = [
    Missing("stacks", "is not ticked", Place(PAGE, 12), NOT_TICKED, "cowl"),
    Missing("compression", "cylinder 2 is 58 psi, no finding is written under it", Place(PAGE, 31)),
    Missing("compression", "the reading of cylinder 3 is empty", Place(PAGE, 32), NOT_READ, "cowl"),
    Missing("belts", "is not ticked", Place(PAGE, 40), NOT_TICKED, "seats"),
]


def test_missing_page_says_first_what_wants_a_decision_and_counts_the_rest_by_panel() -> None:
    text = words(missing_page(PAGE, GAPS, {"cowl": "Lower cowling", "seats": "Seats"}))
    first = "1 thing wants a decision: records/open/x.md:31: compression: cylinder 2 is 58 psi, no finding is"
    assert first in text.replace("• ", "").replace("- ", "")
    assert "The rest is still empty: 3 boxes and lines." in text
    assert "Lower cowling 1 1" in text
    assert "Seats 1" in text
    assert "cylinder 3" not in text
    assert text.index("wants a decision") < text.index("The rest")


def test_missing_page_lists_the_rest_by_line_when_asked_and_names_its_file_once() -> None:
    """At 60 columns each of them took two lines, most of them the name of the file."""
    other = Missing("d8", "is covered by no check", Place("records/aircraft.yaml", 9), NOT_COVERED)
    page = missing_page(PAGE, [*GAPS, other], {}, everything=True)
    text = words(page)
    listed = text.partition("line of records/open/x.md")[2]
    for line in ("12 stacks: is not ticked", "32 compression: the reading of", "40 belts: is not ticked"):
        assert line in listed
    assert "records/aircraft.yaml:9 d8: is covered by no check" in listed
    assert text.partition("The rest")[2].count(PAGE) == 2, "above them, and that it was left as it is"
    assert "--all" not in text
    nothing_to_decide = words(missing_page(PAGE, [GAPS[0]], {"cowl": "Lower cowling"}))
    assert "Nothing wants a decision; what is still empty: 1 box or line." in nothing_to_decide


def test_the_last_line_that_is_empty_is_told_by_itself() -> None:
    """`elsewhere, not written: 1` was all that was said of the question at the page's top."""
    asked = "is not answered: has equipment changed since the records begin?"
    text = words(missing_page(PAGE, [Missing("equipment", asked, Place(PAGE, 1), NOT_WRITTEN)], {}))
    assert f"x.md:1: equipment: {asked}" in text
    assert "elsewhere" not in text


@pytest.mark.parametrize("passed", [True, False])
def test_the_statement_is_shown_in_full_before_it_is_signed(passed: bool) -> None:
    record = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(record, Inspection)
    change: dict[str, Any] = {} if passed else {"passed": False, "statement": ""}
    record = replace(record, **change)
    text = words(statement_page(BOOK, record, "only the aircraft that the holder built"))
    assert ("condition for safe operation" in text) == passed
    assert ("no statement is made" in text) == (not passed)
    assert "tach 611.2" in text
    assert "0000000" in text
    assert "only the aircraft that the holder built" in text


def test_whoever_signs_is_shown_why_something_was_not_looked_at_and_why_it_may_wait() -> None:
    """No list of words is sure of a reason: it is read by whoever signs it, before the name is typed."""
    record = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(record, Inspection)
    text = words(statement_page(BOOK, record))
    reasons = {each.reason for each in record.results if each.reason}
    waits = {each.may_wait for each in record.findings if each.stands}
    assert reasons
    assert waits
    for words_of_it in reasons | waits:
        assert words_of_it in text
    assert "Signed with it" not in words(statement_page(BOOK, replace(record, results=(), findings=())))


def test_whoever_signs_is_shown_what_was_noted_and_how_a_finding_was_corrected() -> None:
    """`cleared: ordered new part` and `note: do not fly before the stack is replaced` were sealed unseen."""
    record = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(record, Inspection)
    finding = replace(
        record.findings[0], cleared=Cleared(date=record.date, text="ordered new part", by="Hazel Quillfeather")
    )
    result = replace(record.results[0], notes=("do not fly before the stack is replaced",))
    box = replace(record.results[0], check="refit cowl-lower", notes=("one screw is missing",))
    from_before = Cleared(date=record.date, text="stop-drilled, as told in the letter")
    told = words(
        statement_page(
            BOOK,
            replace(
                record,
                findings=(finding,),
                results=(result,),
                boxes=(box,),
                cleared={"2025-11-22-condition-j4jj#F1": from_before},
            )
        )
    )
    assert f"{finding.text}; corrected: ordered new part" in told
    assert "2025-11-22-condition-j4jj#F1; corrected: stop-drilled, as told in the letter" in told
    assert f"{result.check}, noted: do not fly before the stack is replaced" in told
    assert "refit cowl-lower, noted: one screw is missing" in told


def test_the_statement_names_what_was_put_right_from_before_and_the_unit_of_a_total() -> None:
    """`2024-05-02-bolt#F1; corrected: new one` said nobody what was corrected, and `tach 611.2` not of what."""
    record = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(record, Inspection)
    how = Cleared(date=record.date, text="new fastener")
    known, unknown = "2024-05-02-bolt#F1", "2019-01-01-nothing#F1"
    told = words(statement_page(BOOK, replace(record, cleared={known: how, unknown: how})))
    assert f"one fastener loose ({known}); corrected: new fastener" in told
    assert f"• {unknown}; corrected: new fastener" in told
    assert "Totals tach 611.2 h, landings 1222 " in told


def test_the_statement_says_how_long_ago_the_page_was_begun_and_what_a_flight_check_said() -> None:
    record = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(record, Inspection)
    old = replace(record, begun=record.date - dt.timedelta(days=377))
    told = words(statement_page(BOOK, old, flight="flown 2026-11-21: one circuit, ailerons heavy"))
    assert f"Begun {old.begun}, 377 days before" in told
    assert "ailerons heavy" in told
    assert "Begun" not in words(statement_page(BOOK, replace(record, begun=record.date)))


def test_the_statement_says_what_stays_open_from_before() -> None:
    """It said `Findings none` over an inspection with which three of the year before stayed open."""
    record = BOOK.record("2026-11-21-condition-bbbb")
    assert isinstance(record, Inspection)
    own = len(record.findings)
    assert f"Findings {own} on this page, 3 from before stay open" in words(statement_page(BOOK, record, open_before=3))
    without = replace(record, findings=())
    # One that is put off again is a finding of this record as well, and no second one.
    how = put_off_as("F2", record.date, "Hazel Quillfeather")
    again = replace(record, cleared={"2025-11-22-condition-j4jj#F1": how})
    told = words(statement_page(BOOK, again, open_before=3))
    assert f"Findings {own - 1 or 'none'} on this page, 3 from before stay open, 1 of them put off again" in told
    assert "Findings none on this page, 1 from before stays open" in words(statement_page(BOOK, without, open_before=1))
    assert "Findings none " in words(statement_page(BOOK, without))
