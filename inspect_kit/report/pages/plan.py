"""The plan of one job: what to have ready, who does what when, and how good the plan is."""

from collections.abc import Iterator, Mapping, Sequence

from inspect_kit.model.checklist import OTHERS, duration
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan.answer import Plan
from inspect_kit.report.blocks import (
    QUIET,
    STRONG,
    Block,
    Column,
    Heading,
    Listing,
    Page,
    Paragraph,
    Row,
    table,
)
from inspect_kit.report.naming import check_title, names_of, panel_name
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.pages.plan_end import said_paragraphs
from inspect_kit.report.pages.plan_steps import CRITICAL, share_table, steps_table
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.pages.timeline import timeline
from inspect_kit.report.words import counted
from inspect_kit.rules.cautions import DEFERRAL


def plan_page(
    plan: Plan,
    logbook: Logbook,
    worth: Sequence[str] = (),
    hours: PlanClock | None = None,
    *,
    job: str = "",
    said: Sequence[str] = (),
    more: Sequence[Block] = (),
) -> Page:
    """A plan as a page. `worth` are sentences on what else is worth doing while it is open.

    `hours` are the sessions that it was planned into; without them its minutes count from the start. `said` are
    sentences that follow the verdict, those that press first; `more` are blocks at the end; `job` is what the title
    says, with its date.
    """
    hours = hours or PlanClock()
    registration = logbook.aircraft.identity.registration
    extent = f"{counted(len(plan.checks), 'check')}, {counted(len(plan.panels), 'panel or setup', 'panels and setups')}"
    made: list[Block] = [
        *incomplete(logbook.problems),
        *([Paragraph(text=f"{extent}.")] if job else []),
        Paragraph(text=verdict_words(plan, hours), tone=STRONG),
        *said_paragraphs(said),
        *(Paragraph(text=note) for note in plan.notes),
        *_ready(plan),
        *_worth(worth),
        *_by_others(plan, logbook),
    ]
    if plan.steps:
        counting = "" if hours.began else "Hours and minutes count from the start. "
        text = f"{counting}{CRITICAL} marks the steps that set the finish."
        made += [Heading(text="Steps"), Paragraph(text=text), steps_table(plan, logbook, hours)]
    drawn = timeline(plan, logbook, hours)
    made += [*_panels(plan, logbook, hours), *more]
    if drawn is not None:
        made += [Heading(text="Who is busy when, and how long each panel is off"), drawn]
    made += [
        *problem_blocks(logbook.problems),
        Paragraph(text=DEFERRAL, tone=QUIET),
    ]
    title = f"Plan, {registration}: {job or extent}"
    return Page(title=title, blocks=tuple(made), foot=title)


def share_page(plan: Plan, logbook: Logbook, name: str, hours: PlanClock | None = None, *, job: str = "") -> Page:
    """What one person of the plan does, whole."""
    hours = hours or PlanClock()
    theirs = [step for step in plan.steps if name in step.who]
    busy = duration(sum(step.end - step.start for step in theirs))
    text = f"{counted(len(theirs), 'step')}, {busy} of work in {duration(plan.elapsed)} from start to finish."
    made: list[Block] = [
        *incomplete(logbook.problems),
        Paragraph(text=text, tone=STRONG),
        Paragraph(text=f"In brackets what others do and everybody has to know of. {CRITICAL} sets the finish."),
        share_table(plan, logbook, hours, name),
        *problem_blocks(logbook.problems),
        Paragraph(text=DEFERRAL, tone=QUIET),
    ]
    title = f"Plan for {name}, {logbook.aircraft.identity.registration}" + (f": {job}" if job else "")
    return Page(title=title, blocks=tuple(made), foot=title)


def verdict_words(plan: Plan, hours: PlanClock) -> str:
    """Labour, elapsed time, the bound, and whether anything shorter is possible."""
    crew = f"{counted(plan.people, 'person', 'people')}, {plan.inspectors} of them inspecting"
    if plan.people == 1:
        crew = "one person"
    if plan.worked == plan.elapsed:
        return (
            f"{duration(plan.elapsed)} from start to finish for {crew}, {duration(plan.labour)} of labour; "
            f"no plan can take less than {duration(plan.lower_bound)}: {plan.verdict}."
        )
    last = hours.session(max(plan.elapsed - 1, 0))
    over = "" if last is None else f" over {counted(last + 1, 'session')}"
    finish = "" if hours.began is None else f", done {hours.moment(plan.elapsed)}"
    return (
        f"{duration(plan.worked)} at work{over}{finish}, for {crew}, {duration(plan.labour)} of labour; "
        f"no plan can take less than {duration(plan.worked_bound)} at work: {plan.verdict}."
    )


def _ready(plan: Plan) -> Iterator[Block]:
    if plan.parts or plan.tools:
        yield Heading(text="To have ready")
        if plan.parts:
            yield Paragraph(text=f"Parts and consumables: {'; '.join(map(str, plan.parts))}.")
        if plan.tools:
            yield Paragraph(text=f"Tools: {', '.join(plan.tools)}.")


def _worth(worth: Sequence[str]) -> Iterator[Block]:
    if worth:
        yield Heading(text="What else is worth doing while it is open")
        yield Listing(items=tuple(worth))


def _by_others(plan: Plan, logbook: Logbook) -> Iterator[Block]:
    if plan.others:
        yield Heading(text="To be arranged with others")
        rows = []
        for name in plan.others:
            check = logbook.checks.get(name)
            by = check.others if check is not None and check.who == OTHERS else ""
            rows.append(Row(cells=(name, check_title(logbook, name), by)))
        columns = (Column(name="check"), Column(name="what", wide=True), Column(name="by", wide=True))
        yield table(columns, rows)


def _panels(plan: Plan, logbook: Logbook, hours: PlanClock) -> Iterator[Block]:
    if not plan.bars:
        return
    yield Heading(text="Panels and setups")
    checks: dict[str, list[str]] = {}
    for step in plan.steps:
        if step.check is not None:
            checks.setdefault(step.panel, []).append(step.check)
    rows = [
        Row(
            cells=(
                panel_name(logbook, bar.panel),
                hours.moment(bar.start),
                hours.moment(bar.end),
                duration(hours.worked(bar.end) - hours.worked(bar.start)),
                names_of(logbook, checks.get(bar.panel, ())),
            )
        )
        for bar in plan.bars
    ]
    columns = (
        Column(name="panel", wide=True),
        Column(name="off at", right=True),
        Column(name="on at", right=True),
        Column(name="off for", right=True),
        Column(name="checks", wide=True, rank=1),
    )
    yield table(columns, rows)


def compare_page(
    plans: Mapping[str, Plan | Sequence[str]], logbook: Logbook, hours: Mapping[str, PlanClock] | None = None
) -> Page:
    """Several plans of one job side by side, each under a name such as `2 people, 1 inspecting`.

    Instead of a plan there may be the reasons why there is none. `hours` are the sessions by the same names.
    """
    rows = [_compared(name, plan, (hours or {}).get(name) or PlanClock()) for name, plan in plans.items()]
    sessions = any(each.began for each in (hours or {}).values())
    columns = (
        Column(name="crew", wide=True),
        Column(name="at work" if sessions else "elapsed", right=True),
        *((Column(name="done", right=True),) if sessions else ()),
        Column(name="labour", right=True),
        Column(name="no plan is under", right=True),
        Column(name="verdict", wide=True, rank=1),
    )
    if not sessions:
        rows = [Row(cells=(row.cells[0], row.cells[1], *row.cells[3:])) for row in rows]
    title = f"Plans compared, {logbook.aircraft.identity.registration}"
    return Page(title=title, blocks=(*incomplete(logbook.problems), table(columns, rows)), foot=title)


def _compared(name: str, plan: Plan | Sequence[str], hours: PlanClock) -> Row:
    if not isinstance(plan, Plan):
        more = f"; and {counted(len(plan) - 1, 'reason')} more" if len(plan) > 1 else ""
        return Row(cells=(name, "-", "-", "-", "-", f"no plan: {plan[0]}{more}"))
    done = hours.moment(plan.elapsed)
    worked, bound = duration(plan.worked), duration(plan.worked_bound)
    return Row(cells=(name, worked, done, duration(plan.labour), bound, plan.verdict))
