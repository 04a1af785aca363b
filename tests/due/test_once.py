"""What is reckoned from the records of a store is reckoned once a command, whoever asks for it."""

from pathlib import Path

import pytest

from inspect_kit.cli.main import main
from inspect_kit.due import chronicle as of_logbook
from inspect_kit.model import logbook as house

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("words", [["due"], ["status"], ["visits"], ["report"], ["trend"]])
def test_a_meter_is_followed_once_and_records_are_sorted_once(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    followed: list[str] = []
    sortings: list[int] = []
    follow, sort = house.meter_history, of_logbook.__globals__["_sorted_records"]

    def counted(meter, records):
        followed.append(meter)
        return follow(meter, records)

    def counted_sort(logbook):
        sortings.append(len(logbook.records))
        return sort(logbook)

    monkeypatch.setattr(house, "meter_history", counted)
    monkeypatch.setitem(of_logbook.__globals__, "_sorted_records", counted_sort)
    main(["--store", str(ROOT), "--on", "2026-11-26", *words])
    assert capsys.readouterr().out
    # The entry of a report asks once more for its directives, with the records of its day.
    assert sorted(followed) == sorted(["hobbs", "landings", "tach"] * (2 if words == ["report"] else 1))
    # Once as written, and once more with what directives do to their checks.
    assert len(sortings) <= 2
