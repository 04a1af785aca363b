"""Pictures of whole pages: a change of what people see is seen here. What is right is tested elsewhere."""

from collections.abc import Callable

import pytest

from inspect_kit.report import (
    PlanClock,
    due_json,
    due_page,
    due_screen,
    entry_page,
    first_lines,
    history_of,
    history_page,
    history_screen,
    html,
    item_page,
    json_text,
    markdown,
    plain,
    plan_json,
    plan_page,
    plan_screen,
    report_page,
    scope_page,
    scope_screen,
    status_page,
    status_screen,
    svg,
    visits_json,
    visits_page,
    visits_screen,
)
from inspect_kit.report.asked import ReportFacts, SignatureState
from inspect_kit.report.blocks import Page
from inspect_kit.report.pages.timeline import timeline
from inspect_kit.rules import scope_coverage
from tests.report.answers import ITEMS, PROBLEMS, due_answer, outlook, plan
from tests.report.small import TODAY, logbook

Golden = Callable[[str, str], None]
BOOK = logbook()


def asked(name: str) -> ReportFacts:
    record = BOOK.record(name)
    assert record is not None
    states = tuple(
        SignatureState(record=each, verdict=BOOK.verdict(each)) for each in BOOK.signatures(record.name)
    )
    return ReportFacts(logbook=BOOK, record=record, due=due_answer(), signatures=states, printed=TODAY)


PAGES = {
    "report": report_page(asked("2026-11-21-condition-bbbb")),
    "entry": entry_page(asked("2026-11-21-condition-bbbb")),
    "work": report_page(asked("2026-05-14-oil")),
    "due": due_page(due_answer(problems=PROBLEMS)),
    "item": item_page(due_answer(), ITEMS[4]),
    "plan": plan_page(plan(), BOOK),
    "visits": visits_page(outlook(), BOOK),
    "scope": scope_page(scope_coverage(BOOK.checks.values(), BOOK.aircraft), BOOK),
    "status": status_page(due_answer()),
    "history": history_page(history_of(BOOK, "cowl-lower"), BOOK),
}


@pytest.mark.parametrize("name", PAGES)
def test_text(name: str, golden: Golden) -> None:
    golden(f"{name}.txt", plain.render(PAGES[name], 100))


@pytest.mark.parametrize("name", ["due", "plan", "report", "visits"])
def test_narrow_text_html_and_markdown(name: str, golden: Golden) -> None:
    page: Page = PAGES[name]
    golden(f"{name}-80.txt", plain.render(page, 80))
    golden(f"{name}.html", html.render(page))
    golden(f"{name}.md", markdown.render(page))


def test_json_and_svg(golden: Golden) -> None:
    golden("due.json", json_text(due_json(due_answer(problems=PROBLEMS))) + "\n")
    golden("plan.json", json_text(plan_json(plan(), BOOK)) + "\n")
    golden("visits.json", json_text(visits_json(outlook())) + "\n")
    drawn = timeline(plan(), BOOK)
    assert drawn is not None
    golden("timeline.svg", svg.render(drawn))


SCREENS = {
    "due-screen": due_screen(due_answer()),
    "first-lines": first_lines(due_answer()),
    "status-screen": status_screen(due_answer()),
    "scope-screen": scope_screen(scope_coverage(BOOK.checks.values(), BOOK.aircraft), BOOK),
    "history-screen": history_screen(history_of(BOOK, "cowl-lower"), BOOK),
    "visits-screen": visits_screen(outlook(), BOOK),
    "plan-screen": plan_screen(plan(), BOOK, PlanClock(), what="Oil change, 2026-11-25", ask="plan oil-change"),
}


@pytest.mark.parametrize("name", SCREENS)
def test_screens(name: str, golden: Golden) -> None:
    golden(f"{name}.txt", plain.render(SCREENS[name], 80))
