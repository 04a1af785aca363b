"""The signed-off report and the logbook entry."""

import datetime as dt
import re
from dataclasses import replace
from typing import Any

import pytest

from inspect_kit.due.answer import DueAt
from inspect_kit.errors import Place, Problem
from inspect_kit.model.logbook import Logbook, Validity, Verdict
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Seal
from inspect_kit.report import entry_page, history_of, html, markdown, plain, records_page, report_page
from inspect_kit.report.asked import ReportFacts, SignatureState
from inspect_kit.report.blocks import Heading, Table
from inspect_kit.report.cells import kind_words, record_words
from inspect_kit.report.words import summed
from inspect_kit.rules.cautions import met
from tests.report.answers import due_answer, item
from tests.report.small import CHECKLISTS, RECORDS, inspection, logbook

NAME = "2026-11-21-condition-bbbb"


def asked(book: Logbook | None = None, name: str = NAME, **given: Any) -> ReportFacts:
    book = book or logbook()
    record = book.record(name)
    assert record is not None
    states = tuple(
        SignatureState(record=each, verdict=book.verdict(each)) for each in book.signatures(record.name)
    )
    return ReportFacts(logbook=book, record=record, **({"signatures": states} | given))


def words(facts: ReportFacts, room: int = 400) -> str:
    return " ".join(plain.render(report_page(facts), room).replace("│", " ").split())


def test_readings_stand_beside_last_times_with_limits_and_change() -> None:
    rows = [" ".join(line.split()) for line in plain.render(report_page(asked()), 120).splitlines()]
    assert "cylinder 1 76 psi at least 60 76 psi 0" in rows
    # The last of several values counts, last year's as well: 70 then, 68 now.
    assert "cylinder 2 58 psi, then 68 psi after 5 min run at least 60 70 psi after 5 min run -2" in rows
    assert "last time, 2025-11-22" in " ".join(rows)


def test_a_reading_out_of_limits_is_marked() -> None:
    book = logbook(RECORDS | {f"records/2026/{NAME}.yaml": inspection("2026-11-21", again="59")})
    assert "59 psi after 5 min run at least 60 70 psi after 5 min run -11 OUT OF LIMITS" in words(asked(book))
    assert "OUT OF LIMITS" not in words(asked())


def test_findings_come_with_what_was_done() -> None:
    text = words(asked())
    assert "crack, 8 mm, at the number 3 weld" in text
    assert "corrected: 2026-11-20 stack replaced, by Hazel Quillfeather" in text
    assert "may wait because: not structural, no corrosion below OPEN" in text


def test_what_was_put_off_again_is_not_called_corrected() -> None:
    """A finding that an inspector only put off was listed among those corrected, in a signed report."""
    name, old = f"records/2026/{NAME}.yaml", "2025-11-22-condition-aaaa#F1"
    again = f'clears:\n  {old}: "2026-11-21 put off again as F9 of this record; by: Otto Rivetsby"\n'
    book = logbook(RECORDS | {name: inspection("2026-11-21") + again})
    text = words(asked(book))
    assert "Earlier findings corrected" not in text
    assert "Earlier findings put off again on this occasion" in text
    assert "corrected: 2026-11-21 put off again" not in text
    assert "2026-11-21 put off again as F9 of this record, by Otto Rivetsby" in text
    # Two of the four that the sample's tour puts off are an F1, and so is one of its own.
    assert f"{old} " in text.partition("put off again on this occasion")[2]
    entry = " ".join(plain.render(entry_page(asked(book)), 400).split())
    assert "Corrected: light surface rust" not in entry


def test_findings_of_other_records_are_named_with_their_record() -> None:
    own = words(asked()).partition("Earlier findings")[0]
    assert re.search(r"what was done [─ ]+F1 ", own)
    corrected = words(asked(name="2026-05-14-oil")).partition("Earlier findings corrected on this occasion")[2]
    assert re.search(r"what was done [─ ]+2024-05-02-bolt#F1 ", corrected)


def test_an_old_report_says_what_was_put_right_later_and_not_what_came_later() -> None:
    book = logbook()
    early = words(asked(book, "2025-11-22-condition-aaaa"))
    assert "light surface rust on two washers" in early
    assert "paint blistered" not in early
    # The fastener was found in 2024 and put right in 2026: it stood when the inspection of 2025 was done.
    assert "Earlier findings still open at the end of it" in early
    assert "one fastener loose" in early
    assert "one fastener loose" not in words(asked(book))


def test_second_looks_notes_parts_work_by_others_and_what_was_not_done() -> None:
    text = words(asked())
    for piece in (
        *("Tail attachment Hazel Quillfeather Pip Ashtally", "heat shield cleaned", "1 oil filter", "6 qt engine oil"),
        *("Marsh Lane Instruments work order 88", "Grease the trim screw not done no grease in the hangar"),
        *("b3 no envelope or gas bags", "Lower cowling; Tail fairing.", "Helpers Pip Ashtally"),
    ):
        assert piece in text


def test_what_was_said_below_the_boxes_of_panels_and_of_findings_from_before() -> None:
    """In the report, and in the history of the panel: a page alone held it."""
    old = "2025-11-22-condition-aaaa#F1"
    boxes = f"""boxes:
  remove tail-fairing: {{answer: not done, reason: seen with a mirror}}
  refit cowl-lower: {{answer: done, second-look: Pip Ashtally, notes: [two nutplates stripped]}}
  refit cowl-lower 2: {{answer: done, took: 77 min}}
  {old}: {{answer: done, notes: [rust has not grown]}}
"""
    name = f"records/2026/{NAME}.yaml"
    book = logbook(RECORDS | {name: inspection("2026-11-21") + boxes})
    text = words(asked(book))
    for piece in (
        *("refit Lower cowling Hazel Quillfeather Pip Ashtally", "refit Lower cowling: two nutplates stripped"),
        *("remove Tail fairing not done seen with a mirror", f"({old}): rust has not grown"),
    ):
        assert piece in text
    told = " ".join(event.what for event in history_of(book, "cowl-lower").events)
    assert "refit Lower cowling: two nutplates stripped; second look by Pip Ashtally" in told
    assert "mirror" not in told
    assert [box.took for box in book.of_kind(PageRecord)[-1].boxes] == [None, None, 77, None]


CHECKS = [
    ("required", "flight check required before passengers are carried"),
    ("{not needed: rigging board shows it}", "flight check not needed: rigging board shows it"),
    (
        "{done: 2026-11-21, pilot: {name: Cora Flaps, kind: private pilot, certificate: P9}, words: hands off}",
        "flight check flown 2026-11-21 by Cora Flaps, private pilot, P9: hands off",
    ),
]


@pytest.mark.parametrize(("answer", "said"), CHECKS)
def test_when_to_look_again_and_what_of_the_flight_check_stand_in_the_list_of_records(answer: str, said: str) -> None:
    old = inspection("2026-11-21")
    own = "  exhaust-stacks: {answer: done, by: Pip Ashtally, recheck: 7 h or 3 months, notes: [stain]}\n"
    text = re.sub(r"(?m)^  exhaust-stacks: .*\n", own, old) + f"flight-check: {answer}\n"
    assert text.count("7 h or 3 months") == 1
    book = logbook(RECORDS | {f"records/2026/{NAME}.yaml": text})
    record = book.record(NAME)
    assert record is not None
    assert "look again at exhaust-stacks in 7 h or 3 months" in record_words(record)
    assert said in record_words(record)


def test_who_did_a_check_is_said_where_it_was_not_whoever_signed() -> None:
    """In report, entry and history; the signer was named as the one who had done it."""
    boxes = "boxes:\n  refit cowl-lower: {answer: done, by: Pip Ashtally}\n"
    own = inspection("2026-11-21").replace("oil-change: done", "oil-change: {answer: done, by: Pip Ashtally}")
    own = own.replace("  compression: done", "  compression: {answer: done, by: hazel quillfeather}")
    book = logbook(RECORDS | {f"records/2026/{NAME}.yaml": own + boxes})
    oil = "Change the oil and the filter, cut the filter open and look for metal"
    entry = " ".join(plain.render(entry_page(asked(book)), 400).replace("│", " ").split())
    assert f"Pip Ashtally, helper {oil}; refit Lower cowling" in words(asked(book))
    assert f"Done by Pip Ashtally, helper: {oil}; refit Lower cowling." in entry
    assert "Done by Marsh Lane Instruments (work order 88 (invented)): Static system, altimeter and encoder." in entry
    assert "all checks" not in entry
    assert "Done by Hazel" not in entry
    for check, who in (
        ("oil-change", "Pip Ashtally"),
        ("static-test", "Marsh Lane Instruments"),
        ("exhaust-stacks", "Hazel Quillfeather"),
    ):
        told = [each.what for each in history_of(book, check).events if each.record == NAME and "done: " in each.what]
        assert len(told) == 1
        assert re.search(r", by ([^;]+)", told[0])[1] == who


def test_an_inspector_who_did_all_checks_is_named_once() -> None:
    did = ("exhaust-stacks", "oil-change")
    work = f"""format: 1
kind: work
date: 2026-11-24
text: Two checks.
did: [{', '.join(did)}]
results:
  exhaust-stacks: {{answer: done, by: Pip Ashtally}}
  oil-change: {{answer: done, by: Pip Ashtally}}
by: Hazel Quillfeather
"""
    book = logbook(RECORDS | {"records/2026/2026-11-24-two.yaml": work})
    entry = plain.render(entry_page(asked(book, "2026-11-24-two")), 400)
    assert "Done by Pip Ashtally, helper: all checks." in entry


def test_when_to_look_again_at_what_a_note_says_stands_in_report_entry_and_history() -> None:
    again = "  compression: {answer: done, recheck: in 7 h or 3 months}"
    own = inspection("2026-11-21").replace("  compression: done", again)
    book = logbook(RECORDS | {f"records/2026/{NAME}.yaml": own})
    told = "Differential compression, engine warm: in 7 h or 3 months"
    assert f"• {told}" in words(asked(book))
    assert f"To be looked at again: {told}." in plain.render(entry_page(asked(book)), 400)
    assert any("look again in 7 h or 3 months" in each.what for each in history_of(book, "compression").events)
    assert not any("look again" in each.what for each in history_of(book, "exhaust-stacks").events)
    assert "looked at again" not in words(asked())


RIGGED = CHECKLISTS | {
    "checklists/tail/empennage.md": CHECKLISTS["checklists/tail/empennage.md"].replace(
        "- every: 100 h\n", "- every: 100 h\n  - disturbs: flight-controls\n"
    )
}
PILOT = "{name: Ada Quill, kind: private pilot, certificate: '1234567'}"


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ("required", "required before passengers are carried"),
        ("{not needed: rigging board shows it}", "not needed: rigging board shows it"),
        (
            f"{{done: 2026-11-24, pilot: {PILOT}, words: hands off and straight}}",
            "flown 2026-11-24 by Ada Quill, private pilot, number 1234567: hands off and straight",
        ),
    ],
)
def test_the_answer_to_the_flight_check_stands_in_report_entry_and_history(answer: str, told: str) -> None:
    """Of a page, of work, and of a record of another kind: the record alone held it (14 CFR 91.407)."""
    rows = f"flight-check: {answer}\n"
    work = "format: 1\nkind: work\ndate: 2026-11-24\ntext: Greased.\ndid: [trim-grease]\n"
    setting = (
        "format: 1\nkind: setting\ndate: 2026-11-24\nsetting: rigging\nto: 2 deg\nbecause: heavy\nby: Pip Ashtally\n"
    )
    page = inspection("2026-11-21").replace("answer: not done, reason: no grease in the hangar", "answer: done")
    for name, text in ((NAME, page), ("2026-11-24-grease", work), ("2026-11-24-rigging", setting)):
        book = logbook(RECORDS | {f"records/2026/{name}.yaml": text + rows}, RIGGED)
        assert told in words(asked(book, name)).replace("Required", "required").replace("Not n", "not n")
        if name != "2026-11-24-rigging":
            assert f"Flight check {told}." in " ".join(
                plain.render(entry_page(asked(book, name)), 400).replace("│", " ").split()
            )
            events = [each.what for each in history_of(book, "trim-grease").events if each.record == name]
            assert f"flight check {told}" in events
            # Nothing of it concerns what was done elsewhere on the same page.
            assert not any("flight check" in each.what for each in history_of(book, "oil-change").events)


def test_a_flight_flown_later_stands_in_the_history_of_what_it_answers_for() -> None:
    """Once, whether the flight names what it answers for or not; of a flight that was not asked for nothing is told."""
    flown = f"flight-check: {{done: 2026-11-24, pilot: {PILOT}, words: straight"
    greased = "format: 1\nkind: work\ndate: 2026-11-23\ntext: Greased.\ndid: [trim-grease]\nflight-check: required\n"
    for of in ("}", ", of: [2026-11-23-grease]}"):
        made = {
            "records/2026/2026-11-23-grease.yaml": greased,
            "records/2026/2026-11-24-flown.yaml": f"format: 1\nkind: work\ndate: 2026-11-24\ntext: F.\n{flown}{of}\n",
            "records/2026/2026-11-25-flown.yaml": f"format: 1\nkind: work\ndate: 2026-11-25\ntext: F.\n{flown}}}\n",
        }
        book = logbook(RECORDS | made, RIGGED)
        told = [each.record for each in history_of(book, "trim-grease").events if "flight check flown" in each.what]
        assert told == ["2026-11-24-flown"]
        assert not any("flight check" in each.what for each in history_of(book, "oil-change").events)


def test_what_was_done_is_told_in_words_that_a_buyer_can_read() -> None:
    text = words(asked())
    done = text[text.index("panel or place done") : text.index("43 codes")]
    assert "Exhaust stacks" in done
    assert "exhaust-stacks" not in done


def test_scope_codes_that_no_check_covers_are_named() -> None:
    text = words(asked())
    assert "43 codes: 3 covered by these checks (d3, d8, g), 2 not applicable to this aircraft." in text
    assert "Not covered, by the checklists as they are today: a, b1, b2, c1" in text


def test_the_old_text_stands_and_the_amendment_beside_it() -> None:
    text = words(asked())
    assert text.index("stands as it was sealed") < text.index("The filter was part 12-B, not 12-A.")
    assert "2026-11-24-amendment" in text


def test_an_amendment_of_an_amendment_is_shown_too() -> None:
    more = "format: 1\nkind: amendment\ndate: 2026-11-25\nof: 2026-11-24-amendment\ntext: It was 12-C.\n"
    assert "It was 12-C." in words(asked(logbook(RECORDS | {"records/2026/2026-11-25-more.yaml": more})))


def test_recurring_items_come_with_their_next_due_point() -> None:
    due = due_answer(
        items=(
            item("oil-change", "later", due=DueAt(date=dt.date(2027, 3, 21)), source="engine maker"),
            item("other", "later", due=DueAt(date=dt.date(2029, 1, 1))),
        )
    )
    text = words(asked(due=due))
    assert "oil-change 2027-03-21 engine maker" in text
    assert "2029-01-01" not in text
    # A report that is printed after the limit has passed says so.
    late = due_answer(items=(item("oil-change", "past-due", due=DueAt(date=dt.date(2026, 3, 21))),))
    assert "oil-change 2026-03-21, past due" in words(asked(due=late))


SEAL = Seal(record="r", page="", worksheet="0" * 64, after=(), sha256="ab" * 32)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"signatures": ()}, "sealed, signature not recorded"),
        ({}, "signed in ink, see airframe log p. 44"),
    ],
)
def test_the_state_of_the_signature_is_said(given: dict[str, Any], said: str) -> None:
    book = logbook()
    sealed = tuple(replace(each, seal=SEAL) if each.name == NAME else each for each in book.records)
    text = words(asked(replace(book, records=sealed), **given))
    assert said in text
    assert "ab" * 32 in text
    assert ("Signed in ink: ____" in text) == (not given.get("signatures", True))


def test_a_key_that_does_not_fit_is_no_signature() -> None:
    book = logbook()
    signature = book.signatures(asked(book).record.name)[0]
    by_key = replace(signature, ink="", ssh="x")
    for validity, counts in ((Validity.REFUSED, False), (Validity.GOOD, True), (Validity.UNCHECKED, True)):
        verdict = Verdict(validity=validity, words="SSH signature of Hazel: as found")
        facts = asked(book, signatures=(SignatureState(record=by_key, verdict=verdict),))
        assert facts.signed == counts
        assert ("NOT SIGNED: SSH signature" in facts.signature_words) != counts


def test_a_broken_seal_is_said_before_the_statement() -> None:
    fault = Problem(Place(f"records/2026/{NAME}.yaml", 3), "was changed after it was sealed")
    text = words(asked(seal_faults=(fault,)))
    assert text.index("THE SEAL DOES NOT HOLD") < text.index("Aircraft N0TS") < text.index("I certify")
    assert "was changed after it was sealed" in text
    assert not asked(seal_faults=(fault,)).signed
    # One sheet of many says so too, and there is no line on which to sign what is not what was sealed.
    page = report_page(asked(seal_faults=(fault,)))
    assert "THE SEAL DOES NOT HOLD" in page.foot
    assert "THE SEAL" not in report_page(asked()).foot
    among = records_page(due_answer(), [asked(seal_faults=(fault,)), asked()]).blocks
    feet = [block.foot for block in among if isinstance(block, Heading) and block.foot]
    assert [foot.partition(NAME)[2] for foot in feet] == [", THE SEAL DOES NOT HOLD", ""]
    unsigned = report_page(asked(signatures=()))
    for drawn, line in (
        (html.render, '<div class="line">'),
        (markdown.render, "Signed in ink: "),
        (lambda page: plain.render(page, 100), "Signed in ink: "),
    ):
        assert line in drawn(unsigned)
        assert line not in drawn(page)


READINGS = {
    "records/2026/2026-10-01-hours-aa.yaml": "date: 2026-10-01\nmeters: {tach: 600.1}\n",
    "records/2026/2026-10-02-hours-bb.yaml": (
        "date: 2026-10-02\nentered: 2026-10-03\nmeters: {tach: 601.2}\nadded: {oil: 1 qt, air: to the mark}\n"
        "text: Landed hard.\nby: {name: Hazel Quillfeather, kind: pilot, certificate: '0000003'}\n"
        "at: Far Reach Field\npaper: journey log p. 4\n"
    ),
    "records/2026/2026-10-03-hours-cc.yaml": "date: 2026-10-03\nmeters: {tach: 602.3}\ntext: |\n  One.\n  Two.\n",
    "records/2026/2026-10-04-hours-dd.yaml": "date: 2026-10-04\nmeters: {tach: 603.4}\npermit: ferry 7\n",
}


def test_readings_are_rows_and_say_all_that_each_says_alone() -> None:
    book = logbook(RECORDS | {name: f"format: 1\nkind: hours\n{said}" for name, said in READINGS.items()})
    told = [asked(book, name.rpartition("/")[2].removesuffix(".yaml")) for name in READINGS]
    page = records_page(due_answer(), told)
    # What somebody wrote in lines is more than a cell holds, and stands by itself between two tables.
    assert [block.text for block in page.blocks if isinstance(block, Heading) and "Meter" in block.text] == [
        "2026-10-01 to 2026-10-02 Meter readings",
        "2026-10-03 Meter readings",
        "2026-10-04 Meter readings",
    ]
    made = plain.render(page, 100)
    parts = [" ".join(part.split()) for part in made.split("Meter readings")[1:]]
    for facts, part in zip(told, (parts[0], *parts), strict=True):
        said = report_page(facts).blocks[0]
        assert isinstance(said, Table)
        for label, value in (row.cells for row in said.rows):
            whole = re.sub(r"^tach reads ([\d.]+) h$", r"\1", value) if label == "Meters" else value
            assert whole in part, (label, value)
        assert " ".join(facts.record.text.split()) in part
    assert "in words: Landed hard." in parts[0]
    # The same in every form that a page takes.
    assert all("journey log p. 4" in drawn for drawn in (made, markdown.render(page)))
    assert "paper: journey log p. 4" in re.sub("<[^>]*>", "", html.render(page))


def test_among_all_records_the_aircraft_of_the_title_stands_once_and_another_with_its_own_record() -> None:
    """An inspection that was sealed under another registration keeps it; the day of printing is said once too."""
    book, day = logbook(), dt.date(2026, 11, 26)
    one = asked(book, printed=day)
    before = replace(one.page.identity, registration="N9OLD")  # type: ignore[attr-defined]
    old = replace(one, record=replace(one.record, identity=before))  # type: ignore[call-arg]
    made = plain.render(records_page(due_answer(), [one, old]), 100)
    assert made.startswith(f"Records of N0TS, Turnstone TS-2, serial 001, {due_answer().on}, printed 2026-11-26\n")
    assert re.findall("^Aircraft +(.*?)\n|^Printed", made, re.M) == ["N9OLD, Turnstone TS-2, serial 001"]


def test_a_paper_that_was_added_corrects_nothing_and_no_word_is_an_id() -> None:
    """`Corrects` stood above a record that only attached tags."""
    book = logbook()
    amendment = next(each for each in book.records if kind_words(each) == "amendment")
    assert f"Amends {amendment.of} " in words(asked(book, amendment.name))  # type: ignore[attr-defined]
    disturbed = replace(asked(), record=replace(asked().record, disturbed=("flight-controls",)))  # type: ignore[call-arg]
    assert "Disturbed " in words(disturbed)
    assert "flight controls" in words(disturbed)
    assert "flight-controls" not in words(disturbed)


def test_hazards_are_printed_and_the_report_defers() -> None:
    text = words(asked())
    for hazard in ("Propeller", "Compression test", "Heat", "Moving parts"):
        assert f"CAUTION: {hazard}: " in text
    assert "operating limitations, the instructions of the makers and current regulations prevail" in text


def test_page_one_is_what_was_signed_and_the_entry_begins_the_second() -> None:
    page = report_page(asked())
    headings = [block.text for block in page.blocks if isinstance(block, Heading) and block.level == 2]
    assert headings[:6] == ["Statement", "Amendments", "Findings", "Entry for the paper logbook", "Readings", "Checks"]
    assert [block.text for block in page.blocks if isinstance(block, Heading) and block.new_sheet] == [headings[3]]
    made = html.render(page)
    assert "</table>\n</div>\n<h2>Entry for the paper logbook</h2>\n<blockquote" in made
    assert made.count('<div class="first">') == 1


def test_checks_stand_by_their_titles_with_the_codes_they_cover() -> None:
    text = words(asked())
    assert "Exhaust stacks, joints and hangers (d8)" in text
    assert "Tail attachment (g.1)" in text


def test_where_a_finding_stands_is_said_in_words() -> None:
    for page in (report_page(asked()), entry_page(asked())):
        text = " ".join(plain.render(page, 400).split())
        assert "F1 Lower cowling: Exhaust stacks, joints and hangers: crack, 8 mm" in text
        assert "exhaust-stacks" not in text


def test_cautions_are_those_of_the_work_that_was_done() -> None:
    text = words(asked())
    assert "CAUTION: Compression test:" in text
    for hazard in ("Ballistic parachute", "Jacks", "Emergency transmitter"):
        assert hazard not in text


@pytest.mark.parametrize(
    ("told", "hazard"),
    [
        ("Pin of the ballistic parachute in", "ballistic parachute"),
        ("On jacks, wheels clear", "jacks"),
        ("Fuel strainer bowl off", "fuel"),
        ("Battery disconnected", "battery"),
        ("ELT: installation", "emergency transmitter"),
        ("Left wheel off", "pressure"),
        ("Corrosion inhibitor", "dust and solvents"),
    ],
)
def test_a_hazard_is_known_by_the_words_of_the_work(told: str, hazard: str) -> None:
    assert hazard in {caution.hazard for caution in met([told])}
    assert hazard not in {caution.hazard for caution in met(["Belt labels read"])}
    # The propeller is live and things move whatever is done.
    assert {"propeller", "moving parts"} <= {caution.hazard for caution in met([])}


def test_the_entry_for_work_has_date_total_work_and_who() -> None:
    facts = asked(name="2026-05-14-oil")
    text = " ".join(plain.render(entry_page(facts), 100).replace("│", " ").split())
    for piece in (
        *("2026-05-14 N0TS, Turnstone TS-2, serial 001", "Total time in service: 590.1 h", "Done: Change the oil"),
        *("No metal in the pleats.", "Corrected: one fastener loose: fastener replaced.", "Parts: 1 oil filter."),
        *("Hazel Quillfeather", "record 2026-05-14-oil"),
    ):
        assert piece in text


def test_work_without_a_reading_says_that_its_total_is_the_last_one_before() -> None:
    late = "format: 1\nkind: work\ndate: 2026-06-01\ntext: Cleaned the screen.\n"
    book = logbook(RECORDS | {"records/2026/2026-06-01-clean.yaml": late})
    text = plain.render(entry_page(asked(book, "2026-06-01-clean")), 100)
    assert "Total time in service: 590.1 h (last total before that day)" in text
    assert "By: ____" in text


@pytest.mark.parametrize(
    ("name", "pieces"),
    [
        ("2017-06-08-magneto", ("Part installed", "magneto-left", "Sparrow M4, serial A-17; 0 h since new")),
        ("2024-05-02-bolt", ("Finding", "one fastener loose", "at the next condition inspection", "21 others hold")),
        ("2026-11-22-ink", ("Signature", "in ink, see airframe log p. 44", NAME)),
        ("2026-11-24-amendment", ("Amendment", NAME, "12-B")),
        ("2017-06-08-first", ("Meter readings", "tach reads 0.0")),
    ],
)
def test_any_record_can_be_reported(name: str, pieces: tuple[str, ...]) -> None:
    text = words(asked(name=name))
    assert all(piece in text for piece in pieces)


def test_all_papers_say_the_same() -> None:
    page = report_page(asked())
    for render in (html.render, markdown.render, plain.render):
        text = render(page)
        assert all(piece in text for piece in ("cylinder 1", "Pip Ashtally", "work order 88", "611.2 h"))


def test_parts_of_one_name_are_added_up() -> None:
    assert summed(
        ["1 ft wire 0.032 in", "4 cotter pins", "4 ft wire 0.032 in", "grease", "4 cotter pins", "grease"]
    ) == (
        "5 ft wire 0.032 in",
        "8 cotter pins",
        "grease",
    )
    assert summed(["0.5 l oil", "1.25 l oil"]) == ("1.75 l oil",)
