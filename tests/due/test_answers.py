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
