"""A plan drawn along the clock: people, the steps that set the finish, panels off and setups standing."""

from inspect_kit.model.logbook import Logbook
from inspect_kit.plan.answer import Plan
from inspect_kit.report.blocks import ACCESS, CRITICAL, OFF, WORK, Chart, ChartRow, Mark
from inspect_kit.report.naming import panel_name
from inspect_kit.report.words import clock

# At most so many names on the axis; the step between them is a whole number of hours or half an hour.
NAMES = 10
SPACINGS = (30, 60, 120, 180, 240, 360, 480, 720, 1440)


def timeline(plan: Plan, logbook: Logbook) -> Chart | None:
    """People by their steps, then every panel by the time it is off; None for a plan that takes no time."""
    if plan.elapsed <= 0:
        return None
    rows = [ChartRow(label=name, marks=_busy(plan, name), value=_busy_for(plan, name)) for name in plan.names]
    setting = tuple(
        Mark(kind=CRITICAL, start=step.start, end=step.end)
        for index, step in enumerate(plan.steps)
        if index in plan.critical and step.end > step.start
    )
    rows.append(ChartRow(label="sets the finish", marks=setting, value=clock(plan.elapsed)))
    rows += [
        ChartRow(
            label=panel_name(logbook, bar.panel),
            marks=(Mark(kind=OFF, start=bar.start, end=bar.end),),
            value=clock(bar.end - bar.start),
        )
        for bar in plan.bars
    ]
    return Chart(
        title=f"0:00 to {clock(plan.elapsed)}",
        start=0,
        end=plan.elapsed,
        ticks=_ticks(plan.elapsed),
        rows=tuple(rows),
    )


def _busy(plan: Plan, name: str) -> tuple[Mark, ...]:
    """The steps of one person; neighbours of one kind are one bar."""
    marks: list[Mark] = []
    for step in plan.of_person(name):
        kind = WORK if step.check is not None else ACCESS
        if marks and marks[-1].kind == kind and marks[-1].end == step.start:
            marks[-1] = Mark(kind=kind, start=marks[-1].start, end=step.end)
        elif step.end > step.start:
            marks.append(Mark(kind=kind, start=step.start, end=step.end))
    return tuple(marks)


def _busy_for(plan: Plan, name: str) -> str:
    return clock(sum(step.end - step.start for step in plan.of_person(name)))


def _ticks(elapsed: int) -> tuple[tuple[float, str], ...]:
    spacing = next((each for each in SPACINGS if elapsed / each <= NAMES), SPACINGS[-1])
    return tuple((float(at), clock(at)) for at in range(0, elapsed, spacing))
