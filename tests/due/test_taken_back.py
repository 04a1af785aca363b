"""A tick taken back, or put right, on a list of what did not pass: on the same page when it passed nothing was done."""

import pytest

from inspect_kit.due import DueAnswer, due
from inspect_kit.model.logbook import Logbook
from tests.due.small import book, inspection, on, signed

CHECKS = """\
- [ ] `oil` Oil
  - every: 50 h or condition inspection
- [ ] `plugs` Plugs
  - every: 50 h
  - reads: gap, in
- [ ] `leaks` Leak run
  - every: condition inspection
  - owed-after: did oil
"""
PAGE = "begun: 2024-12-01\nreadings: {plugs: {gap: 0.018 in}}\n"
FIRST, SECOND = "2024-12-02-condition-a", "2025-03-01-condition-b"


def sealed(digest: str) -> str:
    return "seal: {record: r, worksheet: " + "00" * 32 + ", after: [], sha256: " + digest * 32 + "}\n"


def amendment(of: str, what: str, name: str = "2025-03-05-a", after: str = "") -> dict[str, str]:
    newest = f"after: [{after * 32}]\n" if after else ""
    return {name: f"kind: amendment\nof: {of}\n{what}\ntext: t\nby: Ada\n{newest}", f"{name}-s": signed(name)}


BACK = "not-done: [oil]"


def kept(more: dict[str, str], between: str = "") -> Logbook:
    records = {
        "2018-01-15-begin": "kind: hours\nmeters: {tach: 0.0, landings: 0}\n",
        "2024-09-10-condition": inspection(tach="100.0"),
        "2024-09-10-signature": signed("2024-09-10-condition"),
        FIRST: f"{inspection('not passed', '110.0', 'p')}{PAGE}did: [oil, plugs, leaks]\n{sealed('aa')}",
        SECOND: f"{inspection(tach='112.0', sheet='p')}{PAGE}did: [oil, plugs, leaks]\n{sealed('bb')}",
        "2025-03-01-signature": signed(SECOND),
        **({between: f"{inspection('not passed', '111.0', 'p')}{PAGE}did: [oil, plugs, leaks]\n"} if between else {}),
    }
    return book(CHECKS, {**records, **more})


def answered(more: dict[str, str], between: str = "") -> DueAnswer:
    return due(kept(more, between), on("2025-03-06"), expect=False)


def last(answer: DueAnswer, name: str) -> str | None:
    item = answer.item(name)
    assert item is not None
    return str(item.last.date) if item.last is not None else None


@pytest.mark.parametrize("between", ["", "2025-01-05-condition-c"])
def test_what_was_not_done_the_first_time_was_not_done_by_signing_again(between: str) -> None:
    before = answered({}, between)
    assert (last(before, "oil"), last(before, "leaks")) == ("2024-12-02", "2024-12-02")
    answer = answered(amendment(FIRST, BACK), between)
    assert (last(answer, "oil"), last(answer, "plugs")) == (None, "2024-12-02")
    told = [stop.text for stop in answer.stops]
    assert told == ["condition inspection of 2025-03-01: `oil` was not done, as an amendment says"]
    # Nothing is owed after what nobody did.
    leaks = answer.item("leaks")
    assert leaks is not None
    assert not leaks.owed
    done = {"2025-03-06-w": "kind: work\ndid: [oil, leaks]\nmeters: {tach: 112.5}\n"}
    assert answered({**amendment(FIRST, BACK), **done}, between).stops == ()


@pytest.mark.parametrize(
    ("name", "after", "counts"),
    [
        ("2025-02-01-a", "", True),
        # Of the day itself, when the first list was the newest that was sealed; or the second was.
        ("2025-03-01-a", "aa", True),
        ("2025-03-01-a", "bb", False),
        ("2025-03-01-a", "", False),
        ("2025-03-02-a", "bb", False),
    ],
)
def test_what_was_taken_back_before_it_was_signed_again_was_done_since(name: str, after: str, counts: bool) -> None:
    answer = answered(amendment(FIRST, BACK, name, after))
    assert last(answer, "oil") == ("2025-03-01" if counts else None)
    # The leak run stands as it was when that oil was changed.
    assert [stop.kind for stop in answer.stops] == ["owed-before-flight" if counts else "inspection-amended"]


@pytest.mark.parametrize("of", [FIRST, SECOND])
def test_a_reading_put_right_on_either_list_makes_it_no_later_doing(of: str) -> None:
    assert last(answered(amendment(of, "instead: {reads: {plugs: {gap: 0.016 in}}}")), "plugs") == "2024-12-02"
