"""A plan on one screen: what, for whom, how long, when done, what must be ready, and how it begins."""

from collections.abc import Iterator, Sequence

from inspect_kit.model.checklist import OTHERS
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan.answer import Plan
from inspect_kit.report.blocks import QUIET, STRONG, Block, Page, Paragraph
from inspect_kit.report.naming import check_title
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.pages.plan import verdict_words
from inspect_kit.report.pages.plan_end import said_paragraphs
from inspect_kit.report.pages.plan_steps import CRITICAL, starts_of, steps_table
from inspect_kit.report.screens.fit import ROOM, cut, more, one_screen, problems_first
from inspect_kit.report.words import counted

MOST = 16
# What stands beside a list of what is to be ready, in its one line of the screen.
BESIDE_A_LIST = 14


def plan_screen(
    plan: Plan,
    logbook: Logbook,
    hours: PlanClock,
    *,
    what: str,
    ask: str,
    said: Sequence[str] = (),
    worth: Sequence[str] = (),
    room: int = ROOM,
) -> Page:
    """The plan of `what`. `ask` is the command that was given, to which --all and --for may be added."""

    def make(rows: int) -> Page:
        made = [*_head(plan, logbook, hours, said, worth, room), *_begins(plan, logbook, hours, rows)]
        own = [f"{ask} --for {plan.names[-1]}"] if plan.people > 1 and ask.startswith("plan") else []
        made.append(more(f"{ask} --all", *own))
        return Page(title=f"Plan, {logbook.aircraft.identity.registration}: {what}", blocks=tuple(made), dense=True)

    return one_screen(make, min(MOST, starts_of(plan)), room)


def _head(
    plan: Plan, logbook: Logbook, hours: PlanClock, said: Sequence[str], worth: Sequence[str], room: int
) -> Iterator[Block]:
    of_a_list = room - BESIDE_A_LIST
    yield from problems_first(logbook.problems)
    panels = counted(len(plan.panels), "panel or setup", "panels and setups")
    text = f"{counted(len(plan.checks), 'check')}, {panels}. {verdict_words(plan, hours)}"
    yield Paragraph(text=text, tone=STRONG)
    # What `said` and the notes tell, such as an end past a limit, is never cut.
    yield from said_paragraphs(_without_reckoning(each) for each in (*said, *plan.notes))
    if plan.parts:
        yield Paragraph(text=f"Parts {len(plan.parts)}: {cut('; '.join(map(str, plan.parts)), of_a_list)}")
    if plan.tools:
        yield Paragraph(text=f"Tools {len(plan.tools)}: {cut(', '.join(plan.tools), of_a_list)}")
    for name in plan.others:
        check = logbook.checks.get(name)
        by = check.others if check is not None and check.who == OTHERS else ""
        yield Paragraph(text=f"To be arranged: {check_title(logbook, name)}" + (f", by a {by}." if by else "."))
    if worth:
        yield Paragraph(text=f"Worth doing as well: {cut('; '.join(worth), of_a_list - 10)}")


def _without_reckoning(sentence: str) -> str:
    """A sentence without how it was reckoned, which stands behind its colon."""
    told, colon, _ = sentence.partition(": of ")
    return f"{told}." if colon else sentence


def _begins(plan: Plan, logbook: Logbook, hours: PlanClock, rows: int) -> Iterator[Block]:
    if not rows:
        # The first step does not fit with its cautions: that there are steps is said.
        yield Paragraph(text=f"{counted(starts_of(plan), 'row')} of steps, with their cautions: --all.", tone=STRONG)
        return
    # A caution is whole here too, before its step: half of one is none. Fewer rows fit instead.
    yield steps_table(plan, logbook, hours, starts=rows, ids=False)
    rest = starts_of(plan) - rows
    # Where the steps are not all there, that is said; what the mark says, always.
    rows_left = "row, with its" if rest == 1 else "rows, with their"
    left = f"And {rest} more {rows_left} cautions: --all. " if rest > 0 else ""
    yield Paragraph(text=f"{left}{CRITICAL} sets the finish.", tone=QUIET)
