"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

import datetime as dt
import re
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest

from inspect_kit.due.directives import DirectiveState
from inspect_kit.errors import Place, Problem
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.work import Work
from inspect_kit.plan import OwedHere
from inspect_kit.report import svg
from inspect_kit.report.blocks import DUE, WARN, Chart, ChartRow, Mark
from inspect_kit.report.pages.directives import done_words
from inspect_kit.report.pages.due import asked_about
from inspect_kit.report.pages.owed import owed_sentences
from inspect_kit.report.pages.problems import gathered
from inspect_kit.report.pages.strip import month_ticks
from inspect_kit.report.pages.trend import _side_by_side, _values
from inspect_kit.report.sheet import _limit
from inspect_kit.text.check_values import parse_reads
from tests.due.small import book, on
from tests.due.test_trends import NO_MORE, iron
from tests.report.answers import due_answer, outlook
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


@pytest.mark.parametrize(("bound", "out"), [("", 0), (" (at most 15)", 3), (" (at most 30)", 0)])
def test_what_lies_outside_its_limit_is_marked_in_both_tables(bound: str, out: int) -> None:
    """12, 14, 16, 18 and 20 ppm."""
    series = iron(NO_MORE, bound)
    assert (series.bound is None) is (not bound)
    assert sum(row.tone == WARN for row in _values(series).rows) == out
    assert sum("!!" in "".join(row.cells) for row in _side_by_side([series]).rows) == out


def test_what_others_have_to_do_is_told() -> None:
    made = book("- [ ] `test` Test of it\n  - who: others: shop\n  - every: 50 h\n")
    owed = OwedHere(taken={}, later={}, others={"test": ()})
    assert [told for told in owed_sentences(owed, made) if "arranged with others: " in told] != []
    assert list(owed_sentences(replace(owed, others={}), made)) == []


LETTER = (
    "kind: directive\nnumber: SL-1\nissuer: maker\nsubject: cracks\nauthority: maker's letter\non: aircraft\n"
    'applies: "yes"\nonce: 50 h\ndone: shim fitted\ndone-by: Bo\ndone-on: 2018-02-01\n'
)


@pytest.mark.parametrize(
    ("day", "told"), [("2018-01-20", "2018-02-01 by Bo: shim fitted"), ("2018-02-10", "2018-02-10 by Ada")]
)
def test_the_later_of_two_doings_of_a_directive_is_told(day: str, told: str) -> None:
    records = {"2018-02-15-letter": LETTER, f"{day}-work": "kind: work\ndid: [pull]\nmeters: {tach: 5}\nby: Ada\n"}
    made = book("- [ ] `pull` Pull\n  - every: 50 h\n", records)
    (letter,) = made.of_kind(Directive)
    (work,) = made.of_kind(Work)
    state = DirectiveState(
        **{"directive": letter, "product": "aircraft", "part": "", "serial": "", "state": "applies"},
        **{"check": None, "complied": work, "older": None, "never": False, "since": letter.date},
    )
    assert done_words(state) == told


def test_a_directive_is_told_as_complied_with_by_whoever_did_its_check() -> None:
    own = "results:\n  tug: {answer: done, by: Cy}\n  poke: {answer: done, by: Di}\nby: Ada\n"
    work = f"kind: work\ndid: [tug, poke]\nmeters: {{tach: 5}}\n{own}"
    records = {"2018-02-15-letter": LETTER, "2018-02-20-work": work}
    made = book("- [ ] `pull` Pull\n  - every: 50 h\n  - was: tug\n", records)
    (letter,) = made.of_kind(Directive)
    (done,) = made.of_kind(Work)
    state = DirectiveState(
        **{"directive": letter, "product": "aircraft", "part": "", "serial": "", "state": "applies"},
        **{"check": made.checks["pull"], "complied": done, "older": None, "never": False, "since": letter.date},
    )
    assert done_words(state) == "2018-02-20 by Cy"


def test_what_was_asked_about_the_future_is_said_for_a_day_and_for_hours() -> None:
    today = due_answer()
    assert list(asked_about(today)) == []
    (later,) = asked_about(replace(today, by=on("2027-12-31")))
    assert "by 2027-12-31 if nothing more is flown, and nothing is done until then" in str(later)
    assert len(list(asked_about(replace(today, flying=Decimal(10))))) == 1


@pytest.mark.parametrize("months", [6, 12, 18, 24, 36])
def test_years_are_named_on_a_strip_of_any_length(months: int) -> None:
    """That of 24 months read Dec, Feb, Apr to the next Oct, and January, which has the name of the year, gave way."""
    start = dt.date(2026, 11, 28)
    end = start + dt.timedelta(days=round(months * 30.44))
    mark = Mark(kind=DUE, start=start.toordinal())
    row = ChartRow(label="Left wheel fairing and leg fairing", marks=(mark,), value="2026-11-28")
    ticks = month_ticks(start, end)
    strip = Chart(title="t", start=start.toordinal(), end=end.toordinal(), ticks=ticks, rows=(row,))
    found = re.findall(r'<text x="([\d.]+)" y="\d+" font-size="10">(\w+)<', svg.render(strip, kinds=(), whole=strip))
    named = [name for _, name in found]
    assert [name for name in named if name.isdigit()] == [str(year) for year in range(2027, end.year + 1)]
    assert any(not name.isdigit() for name in named)
    # No name touches the next: a letter of room stands between them.
    for (x, name), (after, _) in pairwise(found):
        assert float(after) - float(x) >= (len(name) + 1) * svg.LETTER - 0.1
