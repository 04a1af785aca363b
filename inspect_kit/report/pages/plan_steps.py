"""The steps of a plan by the clock: people side by side, or the share of one; each caution before its step."""

from collections.abc import Iterator
from itertools import groupby

from inspect_kit.model.checklist import SETUP, duration
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Step
from inspect_kit.plan.answer import Plan
from inspect_kit.report.blocks import QUIET, STOP, Column, Row, Table, table
from inspect_kit.report.naming import check_title, panel_name
from inspect_kit.report.pages.hours import PlanClock

CRITICAL = "*"
VERBS = {"make": "SET UP", "undo": "END SETUP"}


def steps_table(
    plan: Plan, logbook: Logbook, hours: PlanClock, *, starts: int | None = None, ids: bool = True
) -> Table:
    """A row for each moment at which somebody begins something, a column for each person.

    `starts` is how many rows, all of them if None; with `ids` checks and panels bear the name that `--why` takes.
    """
    rows: list[Row] = []
    cautions = _cautions(plan)
    session = None
    numbered = enumerate(plan.steps)
    for index, (start, group) in enumerate(groupby(numbered, key=lambda each: each[1].start)):
        if starts is not None and index >= starts:
            break
        here = hours.session(start)
        if here is not None and here != session:
            rows += _break_rows(plan, logbook, hours, session)
            session = here
            rows.append(Row(band=hours.session_words(here)))
        steps = list(group)
        rows += [band for _, step in steps for band in _caution_rows(cautions, step)]
        cells = [
            "; ".join(_cell(plan, logbook, at, step, ids) for at, step in steps if name in step.who)
            for name in plan.names
        ]
        rows.append(Row(cells=(hours.at(start), *cells)))
    columns = (Column(name="from"), *(Column(name=name, wide=True) for name in plan.names))
    return Table(columns=columns, rows=tuple(rows))


def starts_of(plan: Plan) -> int:
    """How many rows the steps take."""
    return len({step.start for step in plan.steps})


def share_table(plan: Plan, logbook: Logbook, hours: PlanClock, name: str) -> Table:
    """What one person does, and, at its time, what others do that nobody may overlook.

    That is what is done alone, as engine runs are, and setups: jacking, power, plugs out.
    """
    rows: list[Row] = []
    cautions = _cautions(plan)
    session = None
    for index, step in enumerate(plan.steps):
        own = name in step.who
        if not own and not _concerns_all(logbook, step):
            continue
        here = hours.session(step.start)
        if here is not None and here != session:
            rows += _break_rows(plan, logbook, hours, session)
            session = here
            rows.append(Row(band=hours.session_words(here)))
        rows += _caution_rows(cautions, step)
        others = [each for each in step.who if each != name]
        words = step_words(step, logbook)
        who = f"with {' and '.join(others)}" if own and others else "" if own else f"only {' and '.join(others)}"
        mark = CRITICAL if index in plan.critical else ""
        when = f"{hours.at(step.start)}-{hours.at(step.end)}"
        cells = (when, words if own else f"({words})", str(step.end - step.start), who, mark)
        rows.append(Row(cells=cells, tone="" if own else QUIET))
    columns = (
        Column(name="clock"),
        Column(name="step", wide=True),
        Column(name="min", right=True),
        Column(name="who", wide=True),
        Column(),
    )
    return table(columns, rows)


def _break_rows(plan: Plan, logbook: Logbook, hours: PlanClock, session: int | None) -> Iterator[Row]:
    """What goes on by itself when everybody leaves after a session: a wait that has begun and is not over yet."""
    if session is None:
        return
    leaves = hours.shifts[session].end
    if any(shift.start == leaves for shift in hours.shifts):
        return
    ends = {step.check: step.end for step in plan.steps if step.check is not None}
    for step in plan.steps:
        noun = logbook.checks.get(step.check) if step.check else logbook.panels.get(step.panel)
        lag = noun.wait if noun is not None and step.step in ("check", "remove", "make") else None
        if lag is not None and lag.check in ends and ends[lag.check] <= leaves < ends[lag.check] + lag.minutes:
            what, since = _short_words(step, logbook), check_title(logbook, lag.check)
            yield Row(band=f"When everybody leaves, this goes on: {duration(lag.minutes)} from {since} to {what}")


def _concerns_all(logbook: Logbook, step: Step) -> bool:
    """Whether everybody has to know when a step is done, whoever does it."""
    check = logbook.checks.get(step.check or "")
    if check is not None:
        return check.alone
    panel = logbook.panels.get(step.panel)
    return panel is not None and panel.kind == SETUP


def _cautions(plan: Plan) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for caution in plan.cautions:
        found.setdefault(caution.at, []).append(caution.text)
    return found


def _caution_rows(cautions: dict[str, list[str]], step: Step) -> Iterator[Row]:
    """The cautions of a step, before the first step that they belong to."""
    for at in (step.panel, step.check or ""):
        yield from (Row(band=f"CAUTION: {text}", tone=STOP) for text in cautions.pop(at, ()))


def _cell(plan: Plan, logbook: Logbook, index: int, step: Step, ids: bool) -> str:
    words = step_words(step, logbook) if ids else _short_words(step, logbook)
    together = ", together" if len(step.who) > 1 else ""
    return f"{words}, {duration(step.end - step.start)}{together}" + (f" {CRITICAL}" if index in plan.critical else "")


def step_words(step: Step, logbook: Logbook) -> str:
    """A step in words, with the name that `--why` takes: `REMOVE Lower cowling (cowl-lower)`."""
    if step.check is not None:
        return f"{step.check}: {check_title(logbook, step.check)}"
    return f"{_short_words(step, logbook)} ({step.panel})"


def _short_words(step: Step, logbook: Logbook) -> str:
    if step.check is not None:
        return check_title(logbook, step.check)
    return f"{VERBS.get(step.step, step.step.upper())} {panel_name(logbook, step.panel)}"
