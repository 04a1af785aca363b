"""What a record says was done on a day to come was not done until then, whatever stands beside it."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.due import due
from inspect_kit.due.chronicle import chronicle, seen_on
from inspect_kit.due.directives import directives
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.logbook import Logbook
from tests.audit.conftest import SMALL, files_of

NOW, THEN = dt.date(2026, 11, 25), dt.date(2027, 1, 31)
BEGIN = """@ records/2026/2026-06-01-past.yaml
format: 1
kind: brought-forward
date: 2026-06-01
meters: {tach: {reads: 400, total: 400}}
"""
CRACK = """@ records/2026/2026-07-01-finding.yaml
format: 1
kind: finding
date: 2026-07-01
found: crack
panel: cowl
fix: before flight
"""
HEAD = "@ records/2026/2026-07-02-work.yaml\nformat: 1\nkind: work\ndate: 2026-07-02\ntext: cowl\n"


def book(tmp_path: Path, text: str, more: str = "") -> Logbook:
    """The small store with these files; `more` is added to its aircraft.yaml."""
    for name, content in (files_of(SMALL.read_text(encoding="utf-8")) | files_of(text)).items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content + (more if name == "records/aircraft.yaml" else ""), encoding="utf-8")
    loaded = store.load(tmp_path)
    assert loaded.logbook is not None, loaded.problems
    # As every command does before it answers: what was reckoned then is not what holds of today.
    audit(loaded.logbook, NOW)
    return loaded.logbook


CLEARED = {
    "by itself": f"{CRACK}cleared: 2027-01-31 patched\n",
    "by a page": f"{CRACK}{HEAD}clears: {{2026-07-01-finding#F1: 2027-01-31 patched}}\n",
    "on a page": f"{HEAD}findings: {{F1: {{panel: cowl, found: crack, cleared: 2027-01-31 patched}}}}\n",
}


@pytest.mark.parametrize("how", CLEARED)
def test_a_finding_cleared_on_a_day_to_come_bars_until_then(tmp_path: Path, how: str) -> None:
    logbook = book(tmp_path, BEGIN + CLEARED[how])
    kinds = {day: {stop.kind for stop in due(logbook, day).stops} for day in (NOW, THEN)}
    assert "finding" in kinds[NOW]
    assert "finding" not in kinds[THEN]


def test_a_flight_that_is_still_to_come_was_not_flown(tmp_path: Path) -> None:
    flown = "flight-check: {done: 2027-01-31, pilot: {name: Cy, kind: commercial pilot, certificate: 7}, words: well}\n"
    logbook = book(tmp_path, f"{BEGIN}{HEAD}{flown}")
    assert [each.record.name for each in due(logbook, NOW).no_passengers.unflown] == ["2026-07-02-work"]
    assert not due(logbook, THEN).no_passengers.unflown


def test_a_directive_done_on_a_day_to_come_is_not_done(tmp_path: Path) -> None:
    text = (
        "@ records/2026/2026-07-01-directive.yaml\nformat: 1\nkind: directive\ndate: 2026-07-01\nnumber: SL-1\n"
        "issuer: a maker\nsubject: cracks\nauthority: maker's letter\non: engine\napplies: yes\nonce: 10 h\n"
        "done: replaced\ndone-by: Ada Bellcrank\ndone-on: 2027-01-31\n"
    )
    logbook = book(tmp_path, BEGIN + text)
    seen = [seen_on(logbook, day)[0] for day in (NOW, THEN)]
    assert [each.of_kind(Directive)[0].done_on for each in seen] == [None, THEN]
    # Nor does what was written down before it was done comply with anything, whatever the day.
    assert [directives(chronicle(each)).states[0].directive.done_on for each in seen] == [None, None]


@pytest.mark.parametrize("key", ["made", "fitted-on", "overhauled"])
def test_a_life_does_not_begin_on_a_day_to_come(tmp_path: Path, key: str) -> None:
    fitted = (
        "@ records/2026/2026-07-02-fitted.yaml\nformat: 1\nkind: installed\ndate: 2026-07-02\n"
        f"position: magneto-left\nserial: A1\nno change: same type\n{key}: 2027-01-31\n"
    )
    (installed,) = seen_on(book(tmp_path, BEGIN + fitted), NOW)[0].of_kind(Installed)
    assert getattr(installed, key.replace("-", "_")) is None


def test_nothing_was_last_done_on_a_day_to_come(tmp_path: Path) -> None:
    logbook = book(tmp_path, BEGIN + "last: {oil-change: {date: 2027-01-31}}\n")
    item = due(logbook, NOW).item("oil-change")
    assert item is not None
    assert item.last is not None
    assert str(item.last.date) == "2026-05-14"
    assert item.state == "past-due"


def test_a_lot_opened_on_a_day_to_come_was_opened_when_it_was_counted(tmp_path: Path) -> None:
    text = (
        "@ records/2026/2026-07-01-stock.yaml\nformat: 1\nkind: stock\ndate: 2026-07-01\nitem: sealant\n"
        "amount: 1 tube\nopened-on: 2027-01-31\ngood-for: 6 months\n"
    )
    (lot,) = seen_on(book(tmp_path, BEGIN + text), NOW)[0].of_kind(Stock)
    assert lot.opened_on == dt.date(2026, 7, 1)


def test_a_logbook_of_what_was_done_is_the_same_one(tmp_path: Path) -> None:
    logbook = book(tmp_path, BEGIN + CLEARED["by itself"])
    assert seen_on(logbook, THEN)[0] is logbook
