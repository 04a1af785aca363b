"""Two checks that lived side by side are no one check with a former id, which `was` would make of them."""

import pytest

from inspect_kit.audit import audit
from tests.due.small import book

CHECKS = "- [ ] `oil` Oil\n  - every: 50 h\n  - was: [grease, slick]\n"
BOTH = "kind: brought-forward\nmeters: {tach: {reads: 9, total: 9}}\nlast: {oil: {tach: 2}, grease: {tach: 3}}"

SEAL = f"seal: {{record: r, worksheet: {'00' * 32}, sha256: {'ab' * 32}}}"


def did(*ids: str) -> dict[str, str]:
    """One record a day, each of one id."""
    return {f"2026-05-{at + 1:02}-work": f"kind: work\ndid: [{each}]" for at, each in enumerate(ids)}


@pytest.mark.parametrize(
    ("records", "named"),
    [
        ({"2026-05-01-past": BOTH}, ["grease"]),
        ({"2026-05-01-past": BOTH.replace("oil", "slick")}, ["grease"]),
        ({"2026-05-01-work": f"kind: work\ntext: x\nresults: {{oil: done, slick: done}}\n{SEAL}"}, ["slick"]),
        (did("oil", "grease", "oil"), ["grease"]),
        (did("grease", "slick", "grease", "slick", "oil"), ["grease"]),
        # Renamed, twice; and once more under the former id, out of a clone that knew of no new one yet.
        (did("slick", "slick", "grease", "oil"), []),
        (did("grease", "oil", "grease"), []),
        (did("oil", "oil"), []),
        ({"2026-05-01-work": "kind: work\ntext: x\nresults: {oil: done, slick: {answer: not done, reason: gone}}"}, []),
    ],
)
def test_ids_that_records_have_side_by_side(records: dict[str, str], named: list[str]) -> None:
    told = [each for each in audit(book(CHECKS, records)) if "were two checks" in each.message]
    assert [each.message.split("keep `")[1].split("`")[0] for each in told] == named
    assert [(each.place.file, each.place.line, each.note) for each in told] == [
        ("checklists/z/box.md", 8, False) for _ in named
    ]
