"""A calendar of the due list, read back by a public parser, and the folding of RFC 5545.

RFC 5545, 3.1: "Lines of text SHOULD NOT be longer than 75 octets, excluding the line break"; the parser is `icalendar`.
"""

import datetime as dt
import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit.report.calendar import escape, fold
from tests.cli.conftest import Run, calm, entered, run, wren  # noqa: F401 - fixtures

icalendar = pytest.importorskip("icalendar")
ON = "2026-11-25"
SAMPLE = Path(__file__).parents[2]


def events(run: Run, store: Path, target: Path, on: str = ON) -> dict:  # noqa: F811
    assert run(store, "calendar", "--to", str(target), on=on).code in (0, 3)
    read = icalendar.Calendar.from_ical(target.read_bytes())
    return {str(event["UID"]): event for event in read.walk("VEVENT")}


def test_the_sample_is_read_back(run: Run, tmp_path: Path) -> None:  # noqa: F811
    found = events(run, SAMPLE, tmp_path / "due.ics")
    event = found["Turnstone.001.condition@inspect-kit"]
    assert event["DTSTART"].dt == dt.date(2026, 11, 30)
    # The end does not belong to it: one day.
    assert event["DTEND"].dt == dt.date(2026, 12, 1)
    assert str(event["SUMMARY"]) == "N0TS: condition inspection"
    assert str(event["STATUS"]) == "CONFIRMED"
    # A calendar shows little room: what it is in the summary, all of its words in the description.
    pressures = found["Turnstone.001.tyre-pressures@inspect-kit"]
    assert str(pressures["SUMMARY"]) == "N0TS: Tyre pressures"
    assert "Tyre pressures: all three wheels, cold, through the fairing doors" in str(pressures["DESCRIPTION"])
    # Beyond any forecast it is told in words, not as the last day of the calendar.
    trend = str(found["Turnstone.001.compression_2fcylinder-3@inspect-kit"]["DESCRIPTION"])
    assert "to more than ten years ahead" in trend
    assert "9999" not in trend


def test_lines(run: Run, tmp_path: Path) -> None:  # noqa: F811
    events(run, SAMPLE, tmp_path / "due.ics")
    data = (tmp_path / "due.ics").read_bytes()
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75


def test_an_item_keeps_its_uid_when_its_id_changes_and_moves(run: Run, wren: Path, tmp_path: Path) -> None:  # noqa: F811
    before = events(run, wren, tmp_path / "a.ics")["Ouzelcote.007.oil-change@inspect-kit"]
    cowling = wren / "checklists/nose/cowling.md"
    cowling.write_text(
        cowling.read_text()
        .replace("`oil-change`", "`engine-oil`")
        .replace("25 h or 4 months", "20 h or 4 months\n  - was: oil-change")
    )
    entered(
        wren,
        "2026-11-20-oil",
        "kind: work\ndate: 2026-11-20\nmeters: {tach: 24.0}\ndid: [engine-oil]\nby: Wilma Fieldfare\n",
    )
    after = events(run, wren, tmp_path / "b.ics", on="2026-11-26")["Ouzelcote.007.oil-change@inspect-kit"]
    assert before["DTSTART"].dt < after["DTSTART"].dt
    assert int(before["SEQUENCE"]) < int(after["SEQUENCE"])


def test_what_is_retired_or_put_right_is_cancelled(run: Run, wren: Path, tmp_path: Path) -> None:  # noqa: F811
    told = "kind: finding\ndate: 2026-11-02\ncheck: oil-change\nfound: weep\nfix: by 2027-01-31\n"
    entered(wren, "2026-11-02-weep", f"{told}may wait because: a drop\n")
    uid = "Ouzelcote.007.2026-11-02-weep#F1@inspect-kit"
    assert str(events(run, wren, tmp_path / "a.ics")[uid]["STATUS"]) == "CONFIRMED"
    entered(wren, "2026-11-10-dry", "kind: work\ndate: 2026-11-10\ntext: new gasket\nclears: [2026-11-02-weep#F1]\n")
    cowling = wren / "checklists/nose/cowling.md"
    cowling.write_text(
        cowling.read_text().replace("  - bars: nothing", "  - bars: nothing\n  - retired: 2026-11-11, gone")
    )
    found = events(run, wren, tmp_path / "b.ics")
    assert str(found[uid]["STATUS"]) == "CANCELLED"
    assert str(found["Ouzelcote.007.magneto-left-inspection@inspect-kit"]["STATUS"]) == "CANCELLED"


def test_what_was_looked_at_again_and_what_goes_to_its_limit_no_more_are_cancelled(
    run: Run,  # noqa: F811
    wren: Path,  # noqa: F811
    tmp_path: Path,
) -> None:
    cowling = wren / "checklists/nose/cowling.md"
    gap = "- [ ] `belt` Alternator belt\n  - every: 50 h\n  - reads: gap, in, at least 0.10\n"
    cowling.write_text(f"{cowling.read_text().rstrip()}\n\n{gap}")
    told = "kind: work\ndate: 2026-{}\nmeters: {{tach: {}}}\ndid: [belt]\nreadings: {{belt: {{gap: {} in}}}}\n"
    taken = (("08-12", 5.0, 0.40), ("08-20", 7.0, 0.36), ("09-01", 12.0, 0.28), ("09-10", 14.0, 0.20))
    for day, tach, value in taken:
        entered(wren, f"2026-{day}-belt", told.format(day, tach, value))
    again = f"{told.format('11-01', 21.0, 0.18)}results: {{belt: {{answer: done, recheck: 2 h, notes: [frayed]}}}}\n"
    entered(wren, "2026-11-01-belt", again)
    uids = [f"Ouzelcote.007.belt_2f{word}@inspect-kit" for word in ("recheck", "gap")]
    before = events(run, wren, tmp_path / "a.ics")
    assert [str(before[uid]["STATUS"]) for uid in uids] == ["CONFIRMED", "CONFIRMED"]
    new = f"{told.format('11-24', 25.5, 0.40)}results: {{belt: {{answer: done, repaired: [gap]}}}}\n"
    entered(wren, "2026-11-24-belt", new)
    after = events(run, wren, tmp_path / "b.ics")
    assert [str(after[uid]["STATUS"]) for uid in uids] == ["CANCELLED", "CANCELLED"]


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), max_size=300))
def test_folding_keeps_whole_characters_and_every_octet(text: str) -> None:
    pieces = list(fold(text))
    assert all(len(piece.encode()) <= 75 for piece in pieces)
    assert pieces[0] + "".join(piece[1:] for piece in pieces[1:]) == text
    assert all(piece.startswith(" ") for piece in pieces[1:])


@given(st.text(alphabet=st.sampled_from('ab ,;\\\n:"äö€😀'), min_size=1, max_size=200))
def test_text_is_read_back_as_it_was(text: str) -> None:
    lines = [*fold(f"SUMMARY:{escape(text)}")]
    made = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:x", "BEGIN:VEVENT", "UID:1", "DTSTAMP:20260101T000000Z", *lines]
    read = icalendar.Calendar.from_ical("\r\n".join([*made, "END:VEVENT", "END:VCALENDAR", ""]))
    assert str(read.walk("VEVENT")[0]["SUMMARY"]) == "\n".join(text.splitlines())


def test_what_is_past_due_by_hours_or_to_be_fixed_stands_on_the_day_of_the_answer(
    run: Run,  # noqa: F811
    wren: Path,  # noqa: F811
    tmp_path: Path,
) -> None:
    entered(wren, "2026-11-20-hours", "kind: hours\ndate: 2026-11-20\nmeters: {tach: 90.0}\n")
    told = "kind: finding\ndate: 2026-11-21\ncheck: oil-change\nfound: crack\nfix: before flight\n"
    entered(wren, "2026-11-21-crack", told)
    found = events(run, wren, tmp_path / "due.ics")
    oil = found["Ouzelcote.007.oil-change@inspect-kit"]
    assert oil["DTSTART"].dt == dt.date.fromisoformat(ON)
    assert "(forecast)" not in str(oil["SUMMARY"])
    crack = "Ouzelcote.007.2026-11-21-crack#F1@inspect-kit"
    assert found[crack]["DTSTART"].dt == dt.date.fromisoformat(ON)
    assert "to fix before flight: crack" in str(found[crack]["SUMMARY"])
    entered(wren, "2026-11-24-weld", "kind: work\ndate: 2026-11-24\ntext: welded\nclears: [2026-11-21-crack#F1]\n")
    assert str(events(run, wren, tmp_path / "later.ics")[crack]["STATUS"]) == "CANCELLED"


@pytest.mark.parametrize(("on", "day"), [("2027-11-30", "2027-11-30"), ("2027-12-05", "2027-12-05")])
def test_what_is_past_due_by_date_stands_on_the_day_of_the_answer(
    run: Run,  # noqa: F811
    on: str,
    day: str,
    tmp_path: Path,
) -> None:
    """The inspection due on 2026-11-30: on a day long gone no calendar shows it."""
    event = events(run, SAMPLE, tmp_path / "due.ics", on)["Turnstone.001.condition@inspect-kit"]
    assert event["DTSTART"].dt == dt.date.fromisoformat(day)
    assert str(event["SUMMARY"]) == "N0TS: condition inspection"
    assert "past due" in str(event["DESCRIPTION"])


def test_every_event_of_a_corrected_make_and_serial_keeps_its_uid(run: Run, tmp_path: Path) -> None:  # noqa: F811
    """Also of what is to be looked at again at a check whose id changed, and of a trend."""
    store = tmp_path / "plane"
    for part in ("checklists", "records"):
        shutil.copytree(SAMPLE / part, store / part)
    looked = "results: {oil-change: {answer: done, recheck: 20 h, notes: [dark]}}\ndid: [oil-change]\n"
    entered(store, "2026-11-24-oil", f"kind: work\ndate: 2026-11-24\n{looked}meters: {{tach: 250}}\n")
    before = events(run, store, tmp_path / "a.ics")
    assert "Turnstone.001.oil-change_2frecheck@inspect-kit" in before
    people = store / "records/aircraft.yaml"
    text = people.read_text()
    named = text.replace("make: Turnstone", "make: Turnstone Works").replace('serial: "001"', 'serial: "0001"')
    assert named.count("Works") == named.count('"0001"') == 1
    people.write_text(re.sub(r"(?m)^(  serial: .*)$", r'\1\n  was: [Turnstone, "001"]', named))
    for path in (*store.glob("checklists/*/*.md"), *store.glob("checklists/*.md")):
        words = path.read_text()
        if "`oil-change`" in words:
            renamed = re.sub(r"(?m)^(- \[ \] )`oil-change`(.*)$", r"\1`engine-oil`\2\n  - was: oil-change", words)
            path.write_text(renamed)
        elif "oil-change" in words:
            path.write_text(words.replace("oil-change", "engine-oil"))
    assert set(events(run, store, tmp_path / "b.ics")) == set(before)
