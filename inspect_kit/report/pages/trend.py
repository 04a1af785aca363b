"""Readings over the years: every value, its change, the slope with its interval, and when a limit will be reached."""

import datetime as dt
import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.oil import Oil, oil_doubt, oil_left_out
from inspect_kit.due.trends import Reached, Series
from inspect_kit.model.interval import HOURS, SINGULAR, UNITS
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Durations
from inspect_kit.report.blocks import (
    QUIET,
    WARN,
    Block,
    Column,
    Heading,
    Page,
    Paragraph,
    Plot,
    Row,
    Table,
    Track,
    table,
)
from inspect_kit.report.naming import check_title, panel_name, with_id
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.words import MONTHS, amount, number
from inspect_kit.rules.cautions import DEFERRAL

ZERO = Decimal(0)
EXPLAINED = (
    "The slope is the median of the slopes of all pairs of values, with its 95 % interval (Theil, Sen); where none is "
    "told, none is clear. A limit is "
    "told as reached only where that interval leaves zero out and there are four values or more; a reading within its "
    "limits is no promise for the next one."
)


def trend_page(
    answer: DueAnswer,
    chosen: Sequence[Series],
    *,
    whole: bool,
    took: Sequence[Durations] = (),
    oil: bool = False,
) -> Page:
    """The chosen series in one table; with `whole` every value of each, too. With `oil` the oil added, alone."""
    made: list[Block] = [*incomplete(answer.problems), *oil_lines(answer)]
    first = {each.id: place for place, each in enumerate(trends_that_matter(answer))}
    chosen = sorted(chosen, key=lambda each: first.get(each.id, len(first)))
    if not oil:
        made.append(series_table(chosen, answer.seen) if chosen else Paragraph(text="Nothing was read twice yet."))
    if whole:
        made += years_blocks(chosen, answer.seen)
        once = [each for each in chosen if len(each.taken) == 1]
        # Several that were read once are a row each: a table of its own for each says no more.
        alone = once if len(once) > 1 else []
        for series in [each for each in chosen if each not in alone]:
            made += [Heading(text=series_title(series, answer.seen)), _values(series)]
            made += [Paragraph(text=words) for words in (reached_words(series),) if words]
        made += [Heading(text="Read once so far"), _read_once(alone, answer.seen)] if alone else []
    if not whole:
        made += [*_hours_by_month(answer), *_minutes(answer, took)]
    if (oil or not whole) and answer.oil:
        made += [Heading(text="Oil added between fillings"), _oil(answer.oil)]
    made += [Paragraph(text=EXPLAINED, tone=QUIET)] if chosen and not oil else []
    made += problem_blocks(answer.problems)
    made.append(Paragraph(text=DEFERRAL, tone=QUIET))
    registration = answer.seen.aircraft.identity.registration
    heading = f"Trends, {registration}, {answer.on}"
    return Page(title=heading, blocks=tuple(made), foot=heading)


def years_blocks(chosen: Sequence[Series], logbook: Logbook) -> Iterator[Block]:
    """The labels of a check side by side over the years, a row for each day, and drawn with a line each and the limit.

    Only labels of one measure are drawn together: on an axis of two measures nothing could be read.
    """
    groups: dict[tuple[str, str], list[Series]] = {}
    for series in chosen:
        groups.setdefault((series.check, series.measure), []).append(series)
    for (check, measure), group in groups.items():
        ordered = sorted(group, key=lambda each: (each.label, each.taken[0].date))
        if len({each.date for series in ordered for each in series.taken}) < 2:
            continue
        yield Heading(text=f"{with_id(logbook, check)} over the years, {measure}")
        yield _side_by_side(ordered)
        yield from _drawn(check_title(logbook, check), measure, ordered)


def _side_by_side(group: Sequence[Series]) -> Table:
    """A row for each day on which something was read, a column for each label; a value out of its limit is marked."""
    labels = list(dict.fromkeys(series.label for series in group))
    cells: dict[dt.date, dict[str, str]] = {}
    out: set[dt.date] = set()
    for series in group:
        for each in series.taken:
            beyond = series.bound is not None and not series.bound.holds(each.value)
            cells.setdefault(each.date, {})[series.label] = f"{number(each.value)}{' !!' if beyond else ''}"
            out |= {each.date} if beyond else set()
    rows = [
        Row(cells=(str(day), *(cells[day].get(label, "") for label in labels)), tone=WARN if day in out else "")
        for day in sorted(cells)
    ]
    limits = {series.label: str(replace(series.bound, change=None)) if series.bound else "" for series in group}
    if any(limits.values()):
        rows.append(Row(cells=("limit", *(limits[label] for label in labels)), tone=QUIET))
    return table((Column(name="date"), *(Column(name=label, right=True) for label in labels)), rows)


# Lines that a plot can tell apart by their letters.
MOST_LINES = 12


def _drawn(subject: str, measure: str, group: Sequence[Series]) -> Iterator[Block]:
    """A line for each series over the years, by a letter, and each limit of numbers as a line across."""
    lines = group[:MOST_LINES]
    points = [[(_year(each.date), float(each.value)) for each in series.taken] for series in lines]
    first, last = min(p[0] for line in points for p in line), max(p[0] for line in points for p in line)
    bounds = {end for each in lines if each.bound for end in (each.bound.low, each.bound.high) if end is not None}
    if first == last or not bounds:
        return
    letters = [chr(ord("A") + place) for place in range(len(lines))]
    named = ", ".join(f"{letter} {_line_name(series, lines)}" for letter, series in zip(letters, lines, strict=True))
    limits = " and ".join(f"{number(end)} {measure}" for end in sorted(bounds))
    yield Plot(
        title=f"{subject}: {named}; the limit, {limits}, is the line across",
        across="year",
        up=measure,
        outlines=tuple(((first, float(end)), (last, float(end))) for end in sorted(bounds)),
        tracks=tuple(Track(letter=each, points=tuple(line)) for each, line in zip(letters, points, strict=True)),
        lettered=True,
    )


def _line_name(series: Series, lines: Sequence[Series]) -> str:
    """Its label, with the part where several parts were read under one."""
    several = sum(each.label == series.label for each in lines) > 1
    return f"{series.label} ({series.serial})" if several and series.serial else series.label


def _year(day: dt.date) -> float:
    """A day as a part of its year: 2026-07-02 is about 2026.5."""
    return day.year + (day.timetuple().tm_yday - 1) / 366


def trends_that_matter(answer: DueAnswer) -> tuple[Series, ...]:
    """The series that lead to their limit, clear of noise; what is reached first comes first."""
    found = [each for each in answer.trends if each.reached is not None and each.reached.likely is not None]
    return tuple(sorted(found, key=lambda each: (str(each.reached and each.reached.likely), each.id)))


def series_title(series: Series, logbook: Logbook) -> str:
    """`Differential compression, cylinder 3`; with the part it was taken on."""
    return f"{check_title(logbook, series.check)}, {series.label}{_part(series)}"


def _part(series: Series) -> str:
    part = f", on {series.position}" if series.position else ""
    return f"{part} serial {series.serial}" if series.serial else part


def series_table(chosen: Sequence[Series], logbook: Logbook) -> Table:
    """One row for each series: those that lead to a limit by their whole names, the others by check, under its name."""
    columns = (
        Column(name="reading", wide=True),
        Column(name="first", right=True, rank=3),
        Column(name="before", right=True, rank=2),
        Column(name="last", right=True, wide=True),
        Column(name="limit", wide=True),
        # Few have one: of the others nothing is to be told below their row.
        Column(name="slope", wide=True, rank=5),
        Column(name="reached", wide=True, rank=4),
        Column(name="times", right=True, rank=1),
        Column(name="part", wide=True, rank=6),
    )
    leading = [each for each in chosen if each.reached is not None and each.reached.likely is not None]
    rows = [_row(each, f"{check_title(logbook, each.check)}, {each.label}") for each in leading]
    others: dict[str, list[Series]] = {}
    for each in chosen:
        if each not in leading:
            others.setdefault(each.check, []).append(each)
    for check, group in others.items():
        # One part for all of them is told once, above.
        parts = {_part(each) for each in group}
        one = parts.pop() if len(parts) == 1 else ""
        rows.append(Row(band=f"{check_title(logbook, check)}{one}"))
        rows += [_row(each, each.label, with_part=not one) for each in group]
    return table(columns, rows)


def _row(series: Series, name: str, *, with_part: bool = True) -> Row:
    taken = series.taken
    part = f"{series.position} {series.serial}".strip() if with_part else ""
    reached = series.reached
    return Row(
        cells=(
            name,
            number(taken[0].value),
            number(taken[-2].value) if len(taken) > 1 else "",
            f"{number(taken[-1].value)} {series.measure}",
            str(series.bound) if series.bound else "",
            slope_words(series) if series.slope and series.slope.clear else "",
            _dates(reached) if reached is not None else "",
            str(len(taken)),
            part,
        ),
    )


def slope_words(series: Series) -> str:
    """`-1.8 psi per 100 h (-2.2 to -1.5)`: by the hundred of a meter's unit, by the year."""
    assert series.slope is not None
    step, per = (12, "year") if not series.meter else (100, f"100 {series.unit}")
    values = (step * each for each in (series.slope.slope, series.slope.low, series.slope.high))
    middle, low, high = (format(Decimal(f"{value:.2g}"), "+f") for value in values)
    return f"{middle} {series.measure} per {per} ({low} to {high})"


def reached_words(series: Series) -> str:
    """`60 psi about 1076 h: early …, likely …, late …`; "" where nothing leads there."""
    reached = series.reached
    if reached is None:
        return ""
    at = f" about {reached.total:.0f} {series.unit}" if reached.total is not None else ""
    told = f"{number(reached.limit)} {series.measure}{at}: {_dates(reached)}"
    return f"{told} (forecast; no reason not to fly by itself)."


def _dates(reached: Reached) -> str:
    if reached.likely is None:
        return "more than ten years ahead"
    early, late = (str(each) if each else "more than ten years ahead" for each in (reached.early, reached.late))
    return f"{reached.likely}, from {early} to {late}"


def _values(series: Series) -> Table:
    rows, before = [], None
    places = 0 if series.unit in UNITS and UNITS[series.unit].smallest == 1 else 1
    for each in series.taken:
        step = "" if before is None else f"{each.value - before:+f}" if each.value != before else "0"
        out = series.bound is not None and not series.bound.holds(each.value)
        at = f"{each.at:.{places}f}"
        rows.append(Row(cells=(str(each.date), at, number(each.value), step, each.record), tone=WARN if out else ""))
        before = each.value
    per = f"{SINGULAR.get(series.unit, series.unit)} total" if series.meter else "months"
    columns = (
        Column(name="date"),
        Column(name=per, right=True),
        Column(name=series.measure, right=True),
        Column(name="change", right=True),
        Column(name="record", wide=True, rank=1),
    )
    return table(columns, rows)


def _read_once(alone: Sequence[Series], logbook: Logbook) -> Table:
    """A row for each series of one value, by check and part."""
    groups: dict[str, list[Series]] = {}
    for series in alone:
        groups.setdefault(f"{check_title(logbook, series.check)}{_part(series)}", []).append(series)
    rows = []
    for title, group in groups.items():
        rows.append(Row(band=title))
        for series in group:
            (each,) = series.taken
            out = series.bound is not None and not series.bound.holds(each.value)
            cells = (series.label, str(each.date), f"{number(each.value)} {series.measure}".strip(), each.record)
            rows.append(Row(cells=cells, tone=WARN if out else ""))
    columns = (Column(name="reading", wide=True), Column(name="date"), Column(name="value", right=True))
    return table((*columns, Column(name="record", wide=True, rank=1)), rows)


def oil_lines(answer: DueAnswer) -> Iterator[Block]:
    """That the engine burns more oil than it used to, where it does; and what of the oil is in no such figure."""
    if left := oil_left_out(answer.seen.of_kind(Hours)):
        yield Paragraph(text=f"Oil in no measure of volume, left out here: {'; '.join(left)}.")
    doubt = oil_doubt(answer.oil)
    if doubt is not None:
        last, usual = doubt
        rate = last.hours_per_quart
        assert rate is not None
        text = (
            f"Oil: {rate:.1f} h to the quart between the fillings of {last.start} and {last.end}, less than half of "
            f"the usual {usual:.1f} h."
        )
        yield Paragraph(text=text, tone=WARN)


# From so many on to the hour: twelve months stand side by side in eighty columns.
LONG = 10


def _short(hours: Decimal) -> str:
    return f"{hours:.1f}" if hours < LONG else f"{hours:.0f}"


def _hours_by_month(answer: DueAnswer) -> Iterator[Block]:
    """The hours of each month, a row for each year, the newest first; between two readings they are spread evenly."""
    clock = answer.seen.aircraft.time_in_service
    points = answer.seen.meter_history(clock).points
    flown: dict[tuple[int, int], Decimal] = {}
    for before, after in itertools.pairwise(points):
        days = (after.date - before.date).days
        hours = after.total - before.total
        if days == 0:
            flown[before.date.year, before.date.month] = flown.get((before.date.year, before.date.month), ZERO) + hours
            continue
        for year, month, share in _months(before.date, after.date):
            flown[year, month] = flown.get((year, month), ZERO) + hours * share / days
    if not flown:
        return
    rows = []
    for year in range(max(flown)[0], min(flown)[0] - 1, -1):
        months = [flown.get((year, month)) for month in range(1, 13)]
        whole = sum((each for each in months if each is not None), ZERO)
        rows.append(Row(cells=(str(year), *("" if each is None else _short(each) for each in months), f"{whole:.1f}")))
    yield Heading(text=f"Hours by month, {clock}")
    yield table((Column(name="year"), *(Column(name=each, right=True) for each in (*MONTHS, "all"))), rows)
    yield Paragraph(text="Hours between two readings are spread evenly over the days between them.", tone=QUIET)


VERBS = {"remove": "REMOVE", "refit": "REFIT", "make": "SET UP", "undo": "END SETUP"}
# So many steps are told, those first whose minutes strayed the furthest in all.
MOST_STEPS = 20


def _minutes(answer: DueAnswer, took: Sequence[Durations]) -> Iterator[Block]:
    """What steps were listed with beside what they took, of those that were timed twice or more."""
    timed = [each for each in took if len(each.took) > 1]
    if not timed:
        return
    from statistics import median

    timed.sort(key=lambda each: (-abs(median(each.took) - each.listed), each.key))
    rows = []
    for each in timed[:MOST_STEPS]:
        verb, _, panel = each.key.partition(" ")
        name = f"{VERBS[verb]} {panel_name(answer.seen, panel)}" if panel else check_title(answer.seen, each.key)
        span = f"{min(each.took)} to {max(each.took)}"
        rows.append(Row(cells=(name, str(each.listed), f"{median(each.took):g}", span, str(len(each.took)))))
    yield Heading(text="Minutes, listed and taken")
    columns = (
        Column(name="step", wide=True),
        Column(name="listed", right=True),
        Column(name="usually took", right=True),
        Column(name="from", right=True),
        Column(name="times", right=True),
    )
    yield table(columns, rows)
    if len(timed) > MOST_STEPS:
        text = f"and {len(timed) - MOST_STEPS} more that strayed less"
        yield Paragraph(text=text, tone=QUIET)


def _months(first: dt.date, last: dt.date) -> Iterator[tuple[int, int, int]]:
    """The months from one day to a later one, with how many of the days between fall into each."""
    while first < last:
        following = (first.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
        until = min(following, last)
        yield first.year, first.month, (until - first).days
        first = until


def _told_quarts(quarts: Decimal) -> str:
    """As it was written down; of another measure to the hundredth."""
    hundredths = quarts.quantize(Decimal("0.01"))
    return number(quarts if quarts == hundredths else hundredths)


def _oil(oil: Sequence[Oil]) -> Table:
    rows = []
    for each in oil:
        rate = each.hours_per_quart
        cells = (
            str(each.start),
            str(each.end) if each.end else "still running",
            amount(each.hours, HOURS),
            f"{_told_quarts(each.quarts)} qt",
            f"{rate:.1f}" if rate is not None else "none added",
        )
        rows.append(Row(cells=cells))
    columns = (
        Column(name="filled on"),
        Column(name="until"),
        Column(name="flown", right=True),
        Column(name="added", right=True),
        Column(name="hours to the quart", right=True),
    )
    return table(columns, rows)
