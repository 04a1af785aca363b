"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

from types import SimpleNamespace
from typing import Any

from inspect_kit.due.chronicle import chronicle
from inspect_kit.visits.habit import _turns
from tests.due.small import book, on


def test_the_habit_counts_what_was_done_since_a_day() -> None:
    records = {f"2018-0{month}-01-oil": f"kind: work\ndid: [oil]\nmeters: {{tach: {month}}}\n" for month in range(1, 6)}
    facts = chronicle(book("- [ ] `oil` Oil\n  - every: 50 h\n", records))
    subject: Any = SimpleNamespace(name="oil", renewal=SimpleNamespace(after=lambda before, heavy: ()))
    turns = [(before.date, after.date) for _, _, before, after in _turns(facts, subject, on("2018-03-01"))]
    assert turns == [(on("2018-03-01"), on("2018-04-01")), (on("2018-04-01"), on("2018-05-01"))]
