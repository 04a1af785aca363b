"""The outlook as a strip: months across, visits as marks, items by panel, what is pulled forward as an arrow."""

from inspect_kit.due.answer import FINDING, INSPECTION, RECHECK, TREND
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import DONE, PULLED, VISIT, Chart, ChartRow, Mark
from inspect_kit.report.naming import check_title, panel_name
from inspect_kit.report.pages.strip import month_ticks
from inspect_kit.visits.answer import Doing, VisitPlan

INDENT = "  "


def visit_strip(plan: VisitPlan, logbook: Logbook) -> Chart | None:
    """None where there is no visit. Items that only come with another one have no row of their own."""
    if not plan.visits:
        return None
    end = plan.end.toordinal()
    rows = [
        ChartRow(
            label="visits",
            marks=tuple(Mark(kind=VISIT, start=visit.on.toordinal()) for visit in plan.visits),
            value=str(len(plan.visits)),
        )
    ]
    for panel, items in by_panel(plan).items():
        rows.append(ChartRow(label=panel_name(logbook, panel) if panel else "The whole aircraft"))
        rows += [
            ChartRow(
                label=INDENT + check_title(logbook, item_label(doings[0])),
                marks=tuple(_marks(doings, end)),
                value=_times(doings),
                alias=INDENT + doings[0].item,
            )
            for doings in items.values()
        ]
    return Chart(
        title=f"{plan.on} to {plan.end}",
        start=plan.on.toordinal(),
        end=end,
        ticks=month_ticks(plan.on, plan.end),
        rows=tuple(rows),
        initials=True,
    )


def item_label(doing: Doing) -> str:
    """A check by its id, an inspection as such, a finding by its words."""
    if doing.kind == INSPECTION:
        return f"{doing.item} inspection"
    return doing.words if doing.kind in (FINDING, TREND, RECHECK) and doing.words else doing.item


def by_panel(plan: VisitPlan) -> dict[str, dict[str, list[Doing]]]:
    """The doings of each item by date, under their panels in the order in which they are first opened."""
    found: dict[str, dict[str, list[Doing]]] = {}
    for visit in plan.visits:
        for doing in visit.doings:
            if not doing.with_:
                found.setdefault(doing.panel or "", {}).setdefault(doing.item, []).append(doing)
    return found


def _marks(doings: list[Doing], end: int) -> list[Mark]:
    """An arrow from the day on which it would be due to the visit, else a mark on the visit."""
    marks = []
    for doing in doings:
        on = doing.on.toordinal()
        if doing.pulled and doing.due is not None and doing.due.toordinal() > on:
            marks.append(Mark(kind=PULLED, start=on, end=min(doing.due.toordinal(), end)))
        else:
            marks.append(Mark(kind=DONE, start=on))
    return marks


def _times(doings: list[Doing]) -> str:
    return f"{len(doings)} x" if len(doings) > 1 else ""
