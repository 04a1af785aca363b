"""Beside a plan: why a step is in it, and what an hour or a helper more would save."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from inspect_kit.model.checklist import duration
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Finish, More, Why
from inspect_kit.plan.estimates import Spread
from inspect_kit.report.blocks import Block, Column, Heading, Listing, Page, Paragraph, Row, table
from inspect_kit.report.naming import check_title, panel_name
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.pages.plan_steps import step_words
from inspect_kit.report.pages.problems import incomplete
from inspect_kit.report.words import counted, joined


def why_page(why: Why, asked: Sequence[str], logbook: Logbook, hours: PlanClock) -> Page:
    """Why a check or a panel is in a plan. `asked` are the reasons for which it was taken into the job at all."""
    title = f"Why {why.name} is in the plan, {logbook.aircraft.identity.registration}"
    return Page(
        title=title, blocks=(*incomplete(logbook.problems), *why_blocks(why, asked, logbook, hours)), foot=title
    )


def why_blocks(why: Why, asked: Sequence[str], logbook: Logbook, hours: PlanClock) -> Iterator[Block]:
    """Why a check or a panel is in a plan, as blocks under a heading."""
    known = logbook.checks.get(why.name)
    yield Heading(
        text=f"Why {why.name} is here: {check_title(logbook, why.name) if known else _panel(logbook, why.name)}"
    )
    said = list(asked)
    if why.needs:
        said.append(f"It needs {joined([_panel(logbook, name) for name in why.needs])} off or standing.")
    if why.serves:
        said.append(f"{_number(why.serves)} to be done behind it or with it: {', '.join(why.serves)}.")
    if why.inner:
        said.append(f"Behind it: {joined([_panel(logbook, name) for name in why.inner])}.")
    for step, reason in why.held:
        moment = hours.moment(step.start)
        said.append(f"{step_words(step, logbook)}, from {moment} to {hours.at(step.end)}: {reason}.")
    yield Listing(items=tuple(said))


def _number(names: Sequence[str]) -> str:
    return "1 check is" if len(names) == 1 else f"{len(names)} checks are"


def _panel(logbook: Logbook, name: str) -> str:
    return f"{panel_name(logbook, name)} ({name})"


def finish_sentences(end: Finish, strayed: Spread, hours: PlanClock) -> Iterator[str]:
    """When it is likely to be done and how late it may become, and what that rests on."""

    def told(minute: int | None) -> str:
        if minute is None:
            return "not within the sessions at hand"
        return f"after {duration(minute)}" if hours.began is None else hours.moment(minute)

    rests = (
        f"by how {counted(strayed.durations, 'duration')} of past work strayed from the estimates"
        if strayed.pages
        else "by a usual spread, for too few durations of past work are on record"
    )
    yield (
        f"Likely done {told(end.likely)}, late {told(end.late)}: of {end.draws} trials half were done by the first, "
        f"nine in ten by the second, {rests}."
    )


def more_blocks(found: Sequence[More], hours: PlanClock) -> Iterator[Block]:
    """What an hour more, or one more helper, in one of the sessions would save."""
    if not hours.shifts:
        return
    yield Heading(text="What more time or help would save")
    if not found:
        yield Paragraph(text="An hour or a helper more in a single session makes nothing ready any sooner.")
        return
    rows = []
    # A session stands above its rows: beside them a day and its hours were broken on a narrow screen.
    for session, group in groupby(found, key=lambda each: each.session):
        rows.append(Row(band=hours.session_words(session)))
        for each in group:
            more = "one more helper" if each.helper else "an hour more"
            rows.append(Row(cells=(more, hours.moment(each.elapsed), duration(each.saves))))
    columns = (
        Column(name="more"),
        Column(name="done", right=True),
        Column(name="hours at hand saved, at least", right=True),
    )
    yield table(columns, rows)
