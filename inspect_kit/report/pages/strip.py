"""The year ahead as a strip: when each item falls due, told by shapes and dates."""

import datetime as dt

from inspect_kit.due.answer import INSPECTION, DueAnswer, Item
from inspect_kit.report.blocks import BEFORE, BEYOND, DUE, LIKELY, RANGE, Chart, ChartRow, Mark
from inspect_kit.report.naming import item_title
from inspect_kit.report.words import MONTHS, first_of_months

DAYS = 365


def year_strip(answer: DueAnswer, length: int = DAYS) -> Chart | None:
    """Every item that falls due within the year, or is past due; None when there is none."""
    start = answer.by
    end = start + dt.timedelta(days=length)
    rows = _merged([(item, row) for item in answer.items if (row := _row(item, start, end))])
    if not rows:
        return None
    return Chart(
        title=f"{start} to {end}",
        start=start.toordinal(),
        end=end.toordinal(),
        ticks=month_ticks(start, end),
        rows=tuple(rows),
        initials=True,
    )


def _merged(drawn: list[tuple[Item, ChartRow]]) -> list[ChartRow]:
    """Rows by their day; those that look the same are one, named after the inspection or the first item of the list."""
    alike: dict[tuple[str, tuple[Mark, ...]], list[Item]] = {}
    for item, row in drawn:
        alike.setdefault((row.value, row.marks), []).append(item)
    rows = []
    for (value, marks), items in sorted(alike.items(), key=lambda entry: entry[0][0]):
        first = next((item for item in items if item.kind == INSPECTION), items[0])
        more = f" +{len(items) - 1}" if len(items) > 1 else ""
        rows.append(ChartRow(label=item_title(first) + more, marks=marks, value=value, alias=first.check + more))
    return rows


def month_ticks(start: dt.date, end: dt.date) -> tuple[tuple[float, str], ...]:
    """A tick on the first of each month; January has the name of its year."""
    return tuple(
        (float(first.toordinal()), str(first.year) if first.month == 1 else MONTHS[first.month - 1])
        for first in first_of_months(start, end)
    )


def _row(item: Item, start: dt.date, end: dt.date) -> ChartRow | None:
    """The marks of one item; None where it falls due only after the strip."""
    point = item.expected.likely if item.expected else item.due.date
    if point is None or (point > end and (item.expected is None or item.expected.early > end)):
        return None
    marks: list[Mark] = []
    if item.expected is not None and item.expected.early != item.expected.late:
        early, late = max(item.expected.early, start), min(item.expected.late, end)
        if early <= late:
            marks.append(Mark(kind=RANGE, start=early.toordinal(), end=late.toordinal()))
    marks.append(_point(item, point, start, end))
    return ChartRow(label=item_title(item), marks=tuple(marks), value=str(point))


def _point(item: Item, point: dt.date, start: dt.date, end: dt.date) -> Mark:
    if point < start:
        return Mark(kind=BEFORE, start=start.toordinal())
    if point > end:
        return Mark(kind=BEYOND, start=end.toordinal())
    exact = item.expected is None or item.expected.early == item.expected.late
    return Mark(kind=DUE if exact else LIKELY, start=point.toordinal())
