"""A share of the slips in values written by hand, by seed: held, or of a kind that nothing in a store can tell."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from tests.store import slipped
from tests.store.slipped import SILENT

# The benchmark `slips` tries them all.
SHARE = 12


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return slipped.small(tmp_path_factory.mktemp("slips"))


def test_the_store_has_no_problem_and_no_note(root: Path) -> None:
    assert not slipped.named(store.load(root), dt.date(2026, 7, 14))


def test_what_makes_an_answer_less_strict_is_told_or_nobody_can_tell(root: Path) -> None:
    judged = slipped.campaign(root, SHARE, 1)
    assert len(judged) == SHARE
    assert [each for each in judged if each.verdict == SILENT and not slipped.why_open(each)] == []
