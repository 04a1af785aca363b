"""What is advised of a directive that asks once and whose check comes too late: followed, it settles the problem, and
no interval of the check is made another or lost by it.
"""

import datetime as dt
import re

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from tests.audit.conftest import Write

PANEL = """@ checklists/nose/cowl-more.md
---
panel: cowl-more
name: More
zone: nose
remove: 5 min
refit: 5 min
---
"""
LETTER = """@ records/2026/2026-07-01-letter-1.yaml
format: 1
kind: directive
date: 2026-07-01
number: SL-1
issuer: maker
subject: cracks
authority: maker's letter
on: aircraft
applies: "yes"
once: {asked}
check: {check}
"""


def messages(write: Write, files: str) -> list[str]:
    book = store.load(write(files)).logbook
    assert book is not None
    told = [each.message for each in audit(book, dt.date(2026, 11, 25))]
    assert not [each for each in told if "no check is called" in each]
    return [each for each in told if "told too late" in each]


@pytest.mark.parametrize("asked", ["within 25 h", "within 3 months", "25 h or 3 months", "by 30 June 2027"])
@pytest.mark.parametrize(
    ("line", "own"),
    [
        ("  - every: 100 h or 18 months\n", False),
        ("  - every: condition inspection\n", False),
        ("  - life: 500 h\n", False),
        ("  - once: 50 h or 12 months\n", None),
        ("  - once: 2028-07-31\n", None),
        ("", True),
    ],
)
def test_the_advice_followed_settles_it(write: Write, asked: str, line: str, own: bool | None) -> None:
    """`own`: whether the check is to be given a `once`, False where another one is; None where that hangs on the two
    kinds of limit.
    """
    check = f"- [ ] `fork` Look at the fork\n{line}"
    (told,) = messages(write, PANEL + check + LETTER.format(asked=asked, check="fork"))
    assert "every:" not in told.partition("told too late")[2]
    found = re.search(r"(write|name a check of its own that says) `(once: [^`]+)`", told)
    assert found is not None, told
    write_it = found[1] == "write"
    assert own in (write_it, None)
    if write_it:
        after = PANEL + f"- [ ] `fork` Look at the fork\n  - {found[2]}\n" + LETTER.format(asked=asked, check="fork")
    else:
        more = f"- [ ] `fork-once` Look at the fork by the letter\n  - {found[2]}\n"
        after = PANEL + check + more + LETTER.format(asked=asked, check="fork-once")
    assert messages(write, after) == []


def test_what_its_own_once_asks_besides_is_kept(write: Write) -> None:
    """The months of the check are of another kind than the hours of the letter."""
    check = "- [ ] `fork` Look at the fork\n  - once: 50 h or 12 months\n"
    (told,) = messages(write, PANEL + check + LETTER.format(asked="within 25 h", check="fork"))
    assert "write `once: 25 h or 12 months` at checklists/nose/cowl-more.md:9" in told
