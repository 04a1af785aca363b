"""What a record says on paper: who, what, where, with which limits; and an amendment beside whatever it put right."""

import re

import pytest

from inspect_kit.due import due
from inspect_kit.model.logbook import Logbook
from inspect_kit.report import (
    ReportFacts,
    SignatureState,
    due_page,
    entry_page,
    history_of,
    history_page,
    item_page,
    json_text,
    plain,
    report_page,
    status_json,
    status_page,
)
from tests.report.small import CHECKLISTS, RECORDS, TODAY, inspection, logbook

CONDITION = "2026-11-21-condition-bbbb"
SEAL = "seal: {record: r, worksheet: " + "00" * 32 + ", sha256: " + "ab" * 32 + "}\n"


def facts(book: Logbook, name: str) -> ReportFacts:
    record = book.record(name)
    assert record is not None
    written = book.as_written(record)
    states = tuple(SignatureState(record=each, verdict=book.verdict(each)) for each in book.signatures(name))
    return ReportFacts(logbook=book, record=written, due=due(book, TODAY), signatures=states)


def text(page: object) -> str:
    return re.sub(r"\s+", " ", plain.render(page, 300).replace("│", " "))  # type: ignore[arg-type]


def entry(book: Logbook, name: str) -> str:
    return text(entry_page(facts(book, name)))


def with_records(**more: str) -> Logbook:
    return logbook(
        {**RECORDS, **{f"records/{name[1:5]}/{name[1:].replace('_', '-')}.yaml": said for name, said in more.items()}}
    )


BRAKE = (
    "format: 1\nkind: work\ndate: 2026-06-14\nmeters: {tach: 592.0}\ndid: [tail-bolts]\n"
    "text: New split pins.\nby: hazel  quillfeather\nat: Far Reach Field\npaper: work order 31\nparts: [2 split pins]\n"
)


def test_the_doer_is_printed_with_kind_and_certificate_that_people_knows() -> None:
    made = entry(with_records(_2026_06_14_bolts=BRAKE), "2026-06-14-bolts")
    assert "repairman (experimental aircraft builder), certificate number 0000000 Signature:" in made
    # As the record has them, whatever aircraft.yaml says since.
    own = BRAKE.replace("by: hazel  quillfeather", "by: {name: Hazel Quillfeather, kind: mechanic, certificate: '9'}")
    made = entry(with_records(_2026_06_14_bolts=own), "2026-06-14-bolts")
    assert "Hazel Quillfeather, mechanic, certificate number 9 Signature:" in made
    # Nobody makes up what nobody knows.
    stranger = BRAKE.replace("by: hazel  quillfeather", "by: {name: Sam Reamer, kind: welder}")
    assert "Sam Reamer, welder Signature:" in entry(with_records(_2026_06_14_bolts=stranger), "2026-06-14-bolts")


def test_the_words_of_an_entry_describe_the_work_once() -> None:
    made = entry(with_records(_2026_06_14_bolts=BRAKE), "2026-06-14-bolts")
    assert "Done: Tail attachment: bolts, bushes, cracks. New split pins." in made
    same = BRAKE.replace("New split pins.", '"Tail attachment: bolts, bushes, cracks"')
    made = entry(with_records(_2026_06_14_bolts=same), "2026-06-14-bolts")
    assert made.count("Tail attachment") == 1


def test_a_place_is_a_place_and_a_paper_is_a_paper() -> None:
    made = entry(with_records(_2026_06_14_bolts=BRAKE), "2026-06-14-bolts")
    assert "At: Far Reach Field. Paper: work order 31." in made
    only = BRAKE.replace("at: Far Reach Field\n", "")
    made = entry(with_records(_2026_06_14_bolts=only), "2026-06-14-bolts")
    assert "At:" not in made


def test_consumables_stay_off_the_entry_and_in_the_report() -> None:
    book = logbook()
    assert "Parts: 1 oil filter." in entry(book, CONDITION)
    assert "engine oil" not in entry(book, CONDITION)
    assert "6 qt engine oil" in text(report_page(facts(book, CONDITION)))


def test_the_entry_of_an_inspection_says_what_was_more_than_a_look() -> None:
    """14 CFR 43.9(a)(1), a description of the work performed: the oil change that was done with it, not the looks."""
    made = entry(logbook(), CONDITION)
    said = "Work done with it, as the record describes: Change the oil and the filter; cut the filter open and look for"
    assert said in made
    assert "Tail attachment" not in made.split("Work done with it")[1]


def test_the_entry_names_what_led_to_other_work_and_who_corrected_a_finding() -> None:
    """The oil change itself, which takes no part; a mechanic's work is not that of whoever signs (43.9(a)(3))."""
    oil = CHECKLISTS["checklists/nose/cowl-lower.md"].replace("  - uses: 6 qt engine oil; 1 oil filter\n", "")
    leaks = "- [ ] `leaks` Oil leaks\n  - owed-after: did oil-change\n"
    book = logbook({**RECORDS}, {**CHECKLISTS, "checklists/nose/cowl-lower.md": oil + leaks})
    assert "Work done with it, as the record describes: Change the oil and the filter" in entry(book, CONDITION)
    assert "corrected 2026-11-20: stack replaced. F2" in entry(book, CONDITION)
    helped = inspection("2026-11-21").replace("replaced; by: Hazel Quillfeather", "replaced; by: Pip Ashtally")
    made = entry(with_records(_2026_11_21_condition_bbbb=helped), CONDITION)
    assert "corrected 2026-11-20: stack replaced, by Pip Ashtally, helper. F2" in made


FINDINGS = """\
findings:
  F2: {check: tail-bolts, found: second, fix: by 2027-05-31, may wait because: x}
  F10: {check: tail-bolts, found: tenth, fix: by 2027-05-31, may wait because: x}
  F1: {check: tail-bolts, found: first, fix: by 2027-05-31, may wait because: x}
"""


def test_findings_stand_in_the_order_of_their_numbers() -> None:
    book = with_records(_2026_11_21_condition_bbbb=inspection("2026-11-21", findings=FINDINGS))
    for page in (report_page(facts(book, CONDITION)), entry_page(facts(book, CONDITION))):
        told = text(page)
        assert told.index("first") < told.index("second") < told.index("tenth")


def test_readings_are_compared_with_an_earlier_page_not_with_this_one_before_it_passed() -> None:
    failed = inspection("2026-11-20", passed=False, again="55").replace("begun:", "sheet: 2026-11-19-condition\nbegun:")
    passed = inspection("2026-11-21", again="68").replace("begun:", "sheet: 2026-11-19-condition\nbegun:")
    book = with_records(_2026_11_20_condition_not_passed=failed, _2026_11_21_condition_bbbb=passed)
    told = text(report_page(facts(book, CONDITION)))
    assert "last time, 2025-11-22" in told
    assert re.search(r"cylinder 2 58 psi, then 68 psi after 5 min run at least 60 70 psi after 5 min run -2", told)
    # Without a page they were two looks.
    book = with_records(_2026_11_20_condition_not_passed=inspection("2026-11-20", passed=False, again="55"))
    assert "last time, 2026-11-20" in text(report_page(facts(book, CONDITION)))


HOURS = "format: 1\nkind: meter-change\ndate: 2026-06-20\nmeter: tach\nold: 592.0\nnew: 0.0\n"
WAITS = (
    "format: 1\nkind: finding\ndate: 2026-06-21\ncheck: tail-bolts\nfound: worn bush\nfix: by 640.5 h\n"
    "may wait because: within limits\n"
)


def test_a_limit_by_hours_is_told_as_the_meter_reads_and_as_total() -> None:
    told = "by tach 48.5 (total 640.5 h)"
    records = {name: said for name, said in RECORDS.items() if not name.startswith("records/2026/2026-11")}
    book = logbook({**records, "records/2026/2026-06-20-new.yaml": HOURS, "records/2026/2026-06-21-f.yaml": WAITS})
    for page in (
        report_page(facts(book, "2026-06-21-f")),
        status_page(due(book, TODAY)),
        history_page(history_of(book, "tail-bolts"), book),
    ):
        assert told in text(page)
    # One meter from the first day on has one figure.
    book = logbook({**records, "records/2026/2026-06-21-f.yaml": WAITS})
    assert "by 640.5 h" in text(status_page(due(book, TODAY)))
    assert "total 640.5" not in text(status_page(due(book, TODAY)))


def test_status_has_the_time_since_the_last_inspection() -> None:
    """14 CFR 91.417(a)(2)(iv): the current inspection status, including the time since the last required inspection."""
    book = with_records(_2026_11_24_hours="format: 1\nkind: hours\ndate: 2026-11-24\nmeters: {tach: 614.7}\n")
    answer = due(book, TODAY)
    told = text(status_page(answer))
    assert "Since the last condition inspection (2026-11-21, total 611.2 h): 3.5 h, 4 days." in told
    assert '"since": {\n        "amount": 3.5,\n        "unit": "h",\n        "days": 4' in json_text(
        status_json(answer)
    )


AMENDED = {
    "meters": ("instead: {meters: {tach: 601.2}}\n", "tach 601.2 instead of 611.2"),
    "date": ("instead: {date: 2026-11-20}\n", "date 2026-11-20 instead of 2026-11-21"),
    "reads": (
        "instead: {reads: {compression: {cylinder 1: 67 psi}}}\n",
        "cylinder 1 of compression 67 psi instead of 76 psi",
    ),
    "not-done": ("not-done: [compression]\n", "compression was not done"),
}


@pytest.mark.parametrize("what", AMENDED)
@pytest.mark.parametrize("signed", [True, False])
def test_an_amendment_stands_beside_the_old_wherever_it_is_quoted(what: str, signed: bool) -> None:
    instead, told = AMENDED[what]
    amendment = (
        f"format: 1\nkind: amendment\ndate: 2026-11-23\nof: {CONDITION}\n{instead}text: why\nby: Hazel Quillfeather\n"
    )
    ink = "format: 1\nkind: signature\ndate: 2026-11-24\nof: 2026-11-23-a\nink: log p. 5\n"
    more = {"_2026_11_24_ink": ink} if signed else {}
    book = with_records(_2026_11_21_condition_bbbb=inspection("2026-11-21") + SEAL, _2026_11_23_a=amendment, **more)
    beside = f"{told} (2026-11-23-a{'' if signed else ', not signed yet'})"
    report = text(report_page(facts(book, CONDITION)))
    assert beside in report
    assert "why" in report
    assert ("signed in ink, see log p. 5" if signed else "not signed yet: it does not count fully") in report
    # The statement prints as it was signed, and so do the old figures.
    assert "inspected on 2026-11-21 in accordance" in report
    assert "Total time in service 611.2 h" in report
    assert f"Amended: {beside[0].upper()}{beside[1:]}" in entry(book, CONDITION)
    assert f"amended: {beside}" in text(history_page(history_of(book, "compression"), book))
    item = due(book, TODAY).item("condition")
    assert item is not None
    assert f"amended: {beside}" in text(item_page(due(book, TODAY), item)) or what == "not-done"
    if what == "meters":
        assert beside in text(due_page(due(book, TODAY)))
        assert beside in text(status_page(due(book, TODAY)))


def test_a_serial_put_right_is_printed_with_its_mark() -> None:
    amendment = (
        "format: 1\nkind: amendment\ndate: 2026-11-23\nof: 2017-06-08-magneto\ninstead: {serial: W4-2219}\n"
        "text: read from the plate\nby: Hazel Quillfeather\n"
    )
    book = with_records(_2026_11_23_a=amendment)
    told = "serial W4-2219 instead of A-17 (2026-11-23-a)"
    status = text(status_page(due(book, TODAY)))
    assert "Sparrow M4 W4-2219 2017-06-08" in status
    assert told in status
    assert told in json_text(status_json(due(book, TODAY)))
    assert told in text(history_page(history_of(book, "magneto-left"), book))
    assert told in text(report_page(facts(book, "2017-06-08-magneto")))


def test_words_alone_stand_beside_the_old_as_well() -> None:
    book = logbook()
    told = "The filter was part 12-B, not 12-A (2026-11-24-amendment)"
    assert told in text(report_page(facts(book, CONDITION)))
    assert f"amended: {told}" in text(history_page(history_of(book, "oil-change"), book))


def test_what_waits_for_a_signature_is_said_with_both_readings() -> None:
    amendment = (
        "format: 1\nkind: amendment\ndate: 2026-11-23\nof: 2026-11-21-condition-bbbb\n"
        "instead: {meters: {tach: 601.2}}\ntext: why\nby: Hazel Quillfeather\n"
    )
    flown = "format: 1\nkind: hours\ndate: 2026-11-24\nmeters: {tach: 615.0}\n"
    book = with_records(
        _2026_11_21_condition_bbbb=inspection("2026-11-21") + SEAL, _2026_11_23_a=amendment, _2026_11_24_h=flown
    )
    told = text(due_page(due(book, TODAY)))
    assert "Amendments that wait for a signature" in told
    assert "2026-11-23-a (of 2026-11-21-condition-bbbb)" in told
    assert re.search(r"oil-change . later 46\.2 h or 116 days . later 36\.2 h or 116 days", told), told


DIRECTIVE = (
    "format: 1\nkind: directive\ndate: 2026-03-01\nnumber: AD 2026-04-11\nrevision: B\nissued: 2026-02-20\n"
    "issuer: authority\nsubject: bolts of the tail\nauthority: airworthiness directive\non: aircraft\n"
    'applies: "yes"\ncheck: tail-bolts\nevery: 25 h\nmethod: dye penetrant\n'
)


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (DIRECTIVE, True),
        (DIRECTIVE.replace("check: tail-bolts", "check: static-test"), False),
        # What is newer than the work, or was not decided by then, was not complied with by it.
        (DIRECTIVE.replace("2026-02-20", "2026-06-20").replace("2026-03-01", "2026-06-21"), False),
        (DIRECTIVE.replace('"yes"', "not decided"), False),
    ],
)
def test_an_entry_names_the_directives_that_its_work_complied_with(made: str, told: bool) -> None:
    """Number, revision date, method, time (14 CFR 91.417(a)(2)(v)): an owner looks for it in the paper logbook."""
    said = entry(with_records(_2026_06_14_bolts=BRAKE, _2026_03_01_directive=made), "2026-06-14-bolts")
    words = (
        "Airworthiness directive AD 2026-04-11 B of 2026-02-20 (aircraft) complied with: bolts of the tail; "
        "method: dye penetrant; at a total of 592.0 h; again every 25 h."
    )
    assert (words in said, "AD 2026-04-11" in said) == (told, told), said


def test_an_inspection_whose_page_ticked_it_names_the_directive_too() -> None:
    """A page tells what was done box by box, without `did`: no entry of an inspection named a directive."""
    did = "did: [exhaust-stacks, compression, tail-bolts, oil-change, static-test]\n"
    begun = "begun: 2026-11-18\nsheet: 2026-11-18-condition-k3f9qx\n"
    page = lambda text: re.sub("begun: .*\n", begun, text).replace(did, "")  # noqa: E731
    first, last = inspection("2026-11-18", passed=False, tach="600.0"), inspection("2026-11-21", tach="600.4")
    sealed = {"_2026_11_18_condition_aaaa": page(first), "_2026_11_21_condition_bbbb": page(last)}
    book = with_records(**sealed, _2026_03_01_directive=DIRECTIVE)
    words = "(aircraft) complied with: bolts of the tail; method: dye penetrant; at a total of 600.{} h"
    assert words.format("0") in entry(book, "2026-11-18-condition-aaaa")
    assert words.format("0") + " on 2026-11-18; again every 25 h." in entry(book, CONDITION)
    alone = with_records(_2026_11_21_condition_bbbb=page(last), _2026_03_01_directive=DIRECTIVE)
    assert words.format("4") + "; again" in entry(alone, CONDITION)


@pytest.mark.parametrize(
    "kind", ["kind: hours\nmeters: {tach: 592.0}\n", "kind: amendment\nof: 2026-06-14-bolts\ntext: its tags\n"]
)
def test_photographs_and_papers_beside_a_record_of_any_kind_are_named(kind: str) -> None:
    """The tags of the fuel hoses stood beside an amendment, of which its own page did not say that anything did."""
    said = f"format: 1\n{kind}date: 2026-06-15\nby: hazel quillfeather\nfiles: {{tags.jpg: {'ab' * 32}}}\n"
    book = with_records(_2026_06_14_bolts=BRAKE, _2026_06_15_more=said)
    made = text(report_page(facts(book, "2026-06-15-more")))
    assert "Photographs and papers ────────────────────── file SHA-256 " in made
    assert f"tags.jpg {'ab' * 32}" in made
    assert "Photographs" not in text(report_page(facts(book, "2026-06-14-bolts")))
