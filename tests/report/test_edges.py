"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

from dataclasses import replace

import pytest

from inspect_kit.errors import Place, Problem
from inspect_kit.report import svg
from inspect_kit.report.blocks import Chart
from inspect_kit.report.pages.problems import gathered
from inspect_kit.report.sheet import _limit
from inspect_kit.text.check_values import parse_reads
from tests.report.answers import outlook
from tests.report.small import RECORDS, inspection, logbook
from tests.report.test_inspection_page import NAME, asked, words


@pytest.mark.parametrize(
    ("count", "told"), [(1, ""), (2, " (so does another line)"), (3, " (so do 2 other lines)")]
)
def test_an_id_that_has_vanished_is_told_once_with_how_many_lines_name_it(count: int, told: str) -> None:
    message = "did: no check is called `stacks`"
    problems = [Problem(Place("records/2026/a.yaml", line), message) for line in range(1, count + 1)]
    assert [problem.message for problem in gathered(problems)] == [message + told]


def test_a_finding_that_was_cleared_in_a_list_without_words_is_corrected() -> None:
    old = "2025-11-22-condition-aaaa#F1"
    book = logbook(RECORDS | {f"records/2026/{NAME}.yaml": inspection("2026-11-21") + f"clears: [{old}]\n"})
    assert "Earlier findings corrected on this occasion" in words(asked(book))


def test_a_name_on_the_axis_has_one_letter_of_room_behind_it() -> None:
    for after, names in ((3 * svg.LETTER, ["ab", "cd"]), (3 * svg.LETTER - 0.5, ["ab"])):
        made = Chart(title="t", start=0, end=100, ticks=((0, "ab"), (after, "cd")), rows=())
        drawn = "".join(svg._axis(made, lambda at: at, 50))
        assert [name for name in ("ab", "cd") if f">{name}</text>" in drawn] == names


@pytest.mark.parametrize(
    ("reads", "told"),
    [
        ("oil, psi", "psi"),
        ("oil, psi, at least 60", "at least 60 psi"),
        ("oil, psi, falls at most 10 in 100 h", "psi, falls at most 10 in 100 h"),
    ],
)
def test_a_limit_on_the_sheet(reads: str, told: str) -> None:
    found = parse_reads(reads)
    assert _limit(found.bound, found.measure, None) == told


def test_above_no_bound_at_all_nothing_can_be_said() -> None:
    plan = replace(outlook(), bound=0.0)
    assert plan.costs.total > 0
    assert plan.above_bound == 0.0
    assert replace(plan, bound=plan.costs.total / 2).above_bound == pytest.approx(1)
