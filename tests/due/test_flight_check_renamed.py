"""What `flight-check-after` names by a former id is asked for all the same: records and positions have today's."""

from dataclasses import replace

import pytest

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.phases import no_passengers
from tests.due.small import AIRCRAFT, book

ANSWERED = "kind: work\ntext: trimmed\nflight-check: {not needed: a tab alone was bent}\nby: Ada\n"
FITTED = "kind: installed\nposition: prop\nserial: P-2\npart: Makers P\nsince-new: 0\nby: Ada\n"
SET = "kind: setting\nsetting: NAME\non: prop\nto: 12 degrees\nbecause: slow to climb\nby: Ada\n"


@pytest.mark.parametrize(
    ("after", "record"),
    [
        ("propeller", FITTED),
        ("propeller", SET.replace("NAME", "angle")),
        ("propeller-pitch", SET.replace("NAME", "angle")),
        ("prop", FITTED),
    ],
)
def test_a_position_that_was_renamed_wants_its_flight_check(after: str, record: str) -> None:
    """It was compared with the former id alone, and nobody was asked."""
    renamed = AIRCRAFT.replace("prop: {}", "prop: {was: [propeller]}") + f"flight-check-after: [{after}]\n"
    made = book(records={"2018-02-01-a": ANSWERED, "2018-03-01-b": record}, aircraft=renamed)
    made = replace(made, current={"propeller": "prop"})
    assert [each.record.name for each in no_passengers(chronicle(made)).unflown] == ["2018-03-01-b"]
