"""Two changes of one meter within a month are asked about only where no reading between shows that they are two."""

import datetime as dt

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from tests.audit.conftest import Write

CHANGE = """@ records/2026/{day}-tach-{day}.yaml
format: 1
kind: meter-change
date: {day}
meter: tach
{more}by: Ada Bellcrank
"""
FIRST, LAST = "2026-07-01", "2026-07-25"
SAME = ("old: 99.9\nnew: 0\n", "old: 99.9\nnew: 0\n")
OTHER = ("old: 431.0\nnew: 4\nunrecorded: {hours: 1.1, how-known: journey log}\n", "old: 430.0\nnew: 2.4\n")


def asked(write: Write, changes: tuple[str, str], *read: tuple[str, str, str]) -> bool:
    files = [CHANGE.format(day=day, more=more) for day, more in zip((FIRST, LAST), changes, strict=True)]
    for day, kind, value in read:
        head = f"@ records/2026/{day}-{kind}-{value.replace('.', '')}.yaml\nformat: 1\ndate: {day}\n"
        files.append(f"{head}meters: {{tach: {value}}}\n{KINDS[kind]}by: Ada Bellcrank\n")
    book = store.load(write("".join(files))).logbook
    assert book is not None
    return any("tach is changed in" in each.message for each in audit(book, dt.date(2026, 11, 25)))


KINDS = {
    "hours": "kind: hours\n",
    "work": "kind: work\ndid: [oil-change]\n",
    "setting": "kind: setting\nsetting: idle\nto: 650 rpm\nbecause: it stopped\n",
    "finding": "kind: finding\nfound: smell of fuel\nfix: before flight\n",
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("changes", "read", "expected"),
    [
        # No reading between, or none that the second clock was ever new.
        (OTHER, (), True),
        (SAME, (), True),
        (SAME, (("07-10", "3.0"),), True),
        (SAME, (("07-10", "97.0"),), True),
        # The old one still read on a day after the wrong one, then the new one.
        (SAME, (("07-10", "98.0"), ("07-25", "0.5")), True),
        # What it read just before the second change, on that day too.
        (OTHER, (("07-25", "430.0"),), False),
        (SAME, (("07-25", "99.9"),), False),
        # On the way from one to the other.
        (OTHER, (("07-05", "21.0"),), False),
        (OTHER, (("07-05", "21.0"), ("07-20", "380.0")), False),
        (SAME, (("07-05", "21.0"), ("07-20", "81.0")), False),
        (SAME, (("07-02", "2.0"), ("07-25", "99.0")), False),
    ],
)
def test_a_reading_between_shows_two(
    write: Write, kind: str, changes: tuple[str, str], read: tuple[tuple[str, str], ...], expected: bool
) -> None:
    found = [(f"2026-{day}", kind, value) for day, value in read]
    assert asked(write, changes, *found) is expected
