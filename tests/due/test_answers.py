"""What counts as done: the answer of a result, whatever else names the check."""

import pytest

from inspect_kit.due import due
from tests.due.small import book, on

CHECKS = "- [ ] `hose` Look at the hose\n  - every: 12 calendar months\n"
BEFORE = {"2024-03-10-work": "kind: work\ntext: t\nby: Ada\ndid: [hose]\n"}


@pytest.mark.parametrize(
    ("did", "results", "due_on"),
    [
        ("did: [hose]\n", "", "2026-03-31"),
        ("", "results: {hose: done}\n", "2026-03-31"),
        ("did: [hose]\n", "results: {hose: done}\n", "2026-03-31"),
        # An answer is nearer to what a person wrote than a list is; err early.
        ("did: [hose]\n", "results: {hose: {answer: not done, reason: too dark}}\n", "2025-03-31"),
        ("did: [hose]\n", "results: {hose: {answer: not applicable, reason: none fitted}}\n", "2025-03-31"),
        ("", "results: {hose: {answer: not done, reason: too dark}}\n", "2025-03-31"),
    ],
)
def test_an_answer_overrides_a_list_of_what_was_done(did: str, results: str, due_on: str) -> None:
    records = {**BEFORE, "2025-03-02-work": f"kind: work\ntext: t\nby: Ada\n{did}{results}"}
    (item,) = [each for each in due(book(CHECKS, records), on("2025-03-20")).items if each.check == "hose"]
    assert item.due.date == on(due_on)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("2025-06-01", "the last reading is of today"),
        ("2025-06-02", "the last reading is 1 day old"),
        ("2025-06-11", "the last reading is 10 days old"),
    ],
)
def test_beside_what_is_expected_stands_the_age_of_the_reading(day: str, said: str) -> None:
    """Four hours a month since the certificate; the oil is due 50 h after it was changed at 340 h."""
    flown = {
        f"{2018 + at // 12}-{at % 12 + 1:02}-20-hours": f"kind: hours\nmeters: {{tach: {4 * at}.0}}\n"
        for at in range(84)
    }
    done = {"2025-06-01-oil": "kind: work\nmeters: {tach: 340.0}\ndid: [oil]\nby: Ada\n"}
    answer = due(book("- [ ] `oil` Oil\n  - every: 50 h\n", flown | done), on(day))
    (item,) = [each for each in answer.items if each.check == "oil"]
    assert any(f"(forecast; {said})" in line.text for line in item.lines)
