"""A plan drawn along the clock: people, the steps that set the finish, panels off and setups standing."""

from inspect_kit.model.logbook import Logbook
from inspect_kit.plan.answer import Plan
from inspect_kit.report.blocks import ACCESS, CRITICAL, OFF, WORK, Chart, ChartRow, Mark
from inspect_kit.report.naming import panel_name
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.words import clock

# At most so many names on the axis; the step between them is a whole number of hours or half an hour.
NAMES = 10
SPACINGS = (30, 60, 120, 180, 240, 360, 480, 720, 1440)


def timeline(plan: Plan, logbook: Logbook, hours: PlanClock | None = None) -> Chart | None:
    """People by their steps, then every panel by the time it is off; None for a plan that takes no time.

    What lies between sessions is left out: one session begins where the one before ends.
    """
    hours = hours or PlanClock()
    length = hours.worked(plan.elapsed)
    if length <= 0:
        return None
    rows = [ChartRow(label=name, marks=_busy(plan, name, hours), value=_busy_for(plan, name)) for name in plan.names]
    setting = tuple(
        mark
        for index, step in enumerate(plan.steps)
        if index in plan.critical and (mark := _mark(CRITICAL, step.start, step.end, hours)).end != mark.start
    )
    rows.append(ChartRow(label="sets the finish", marks=setting, value=clock(length)))
    for bar in plan.bars:
        mark = _mark(OFF, bar.start, bar.end, hours)
        off_for = clock(hours.worked(bar.end) - hours.worked(bar.start))
        rows.append(ChartRow(label=panel_name(logbook, bar.panel), marks=(mark,), value=off_for, alias=bar.panel))
    title = f"0:00 to {clock(length)}" if hours.began is None else f"{clock(length)} at work, session after session"
    return Chart(title=title, start=0, end=length, ticks=_ticks(length, hours), rows=tuple(rows))


def _mark(kind: str, start: int, end: int, hours: PlanClock) -> Mark:
    return Mark(kind=kind, start=hours.worked(start), end=hours.worked(end))


def _busy(plan: Plan, name: str, hours: PlanClock) -> tuple[Mark, ...]:
    """The steps of one person; neighbours of one kind are one bar."""
    marks: list[Mark] = []
    for step in plan.of_person(name):
        mark = _mark(WORK if step.check is not None else ACCESS, step.start, step.end, hours)
        if marks and marks[-1].kind == mark.kind and marks[-1].end == mark.start:
            marks[-1] = Mark(kind=mark.kind, start=marks[-1].start, end=mark.end)
        elif mark.end != mark.start:
            marks.append(mark)
    return tuple(marks)


def _busy_for(plan: Plan, name: str) -> str:
    return clock(sum(step.end - step.start for step in plan.of_person(name)))


def _ticks(length: int, hours: PlanClock) -> tuple[tuple[float, str], ...]:
    """Every so many hours, or the beginning of each session with its day."""
    if hours.shifts:
        begun = [shift.start for shift in hours.shifts if hours.worked(shift.start) < length]
        return tuple((float(hours.worked(start)), hours.moment(start)[:9]) for start in begun)
    spacing = next((each for each in SPACINGS if length / each <= NAMES), SPACINGS[-1])
    return tuple((float(at), clock(at)) for at in range(0, length, spacing))
