"""Settings as they are now: one of a name on each thing that it was set on."""

from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.fitting import all_fittings
from inspect_kit.due.settings import settings_now
from tests.due.small import book


def test_one_setting_of_two_positions_is_two_and_their_values_do_not_mix() -> None:
    def timing(position: str, value: str) -> str:
        return f"kind: setting\nsetting: timing\non: {position}\nto: {value}\nbecause: timed\nby: Ada\n"

    facts = chronicle(
        book(
            records={
                "2018-02-01-a": timing("left", "25 degrees"),
                "2018-02-01-b": timing("right", "20 degrees"),
                "2018-03-01-c": timing("left", "24 degrees"),
            }
        )
    )
    now = {each.last.on: each.values for each in settings_now(facts, all_fittings(facts))}
    assert now == {"left": ("25 degrees", "24 degrees"), "right": ("20 degrees",)}
