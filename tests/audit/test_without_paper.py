"""Work of others without a paper, by hand: `work` asks for its reference."""

import pytest

from inspect_kit.audit import audit
from tests.due.small import book

CHECK = """\
- [ ] `test` Test
  - every: 24 calendar months
  - who: others: repair station
- [ ] `own` Own
  - every: 50 h
"""
BARE = {"2018-02-01-a": "kind: work\ndid: [test, own]\n"}


def told(records: dict[str, str], checks: str = CHECK) -> list[str]:
    return [each.message for each in audit(book(checks, records)) if "no paper" in each.message]


def test_it_is_a_problem_that_says_where_the_reference_belongs() -> None:
    (message,) = told(BARE)
    assert message.startswith("did: `test` is done by repair station, and no paper is named: `paper: REFERENCE`")


@pytest.mark.parametrize(
    "records",
    [
        {"2018-02-01-a": BARE["2018-02-01-a"] + "paper: work order 118\n"},
        {"2018-02-01-a": BARE["2018-02-01-a"] + "results: {test: {answer: done, paper: work order 118}}\n"},
        {"2018-02-01-a": "kind: work\ndid: [own]\n"},
        # Done since, with its paper: what was written down before takes no bar off.
        {**BARE, "2018-03-01-b": BARE["2018-02-01-a"] + "paper: work order 119\n"},
        {**BARE, "2018-03-01-b": "kind: paper-entry\ndid: [test]\nmeters: {tach: 5}\ntext: tested\npaper: log p. 5\n"},
    ],
)
def test_with_one_it_is_none(records: dict[str, str]) -> None:
    assert told(records) == []


def test_nor_where_the_owner_does_it() -> None:
    assert told(BARE, CHECK.replace("  - who: others: repair station\n", "")) == []
