"""Readings over the years: every value, its change, the slope with its interval, and when a limit will be reached."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.trends import Oil, Reached, Series, oil_doubt
from inspect_kit.model.interval import HOURS, SINGULAR
from inspect_kit.report.blocks import QUIET, WARN, Block, Column, Heading, Page, Paragraph, Row, Table, table
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.words import amount, number
from inspect_kit.rules.cautions import DEFERRAL

EXPLAINED = (
    "The slope is the median of the slopes of all pairs of values, with its 95 % interval (Theil, Sen). A limit is "
    "told as reached only where that interval leaves zero out and there are four values or more; a reading within its "
    "limits is no promise for the next one."
)


def trend_page(answer: DueAnswer, chosen: Sequence[Series], *, whole: bool) -> Page:
    """The chosen series in one table; with `whole` every value of each, too."""
    made: list[Block] = [*incomplete(answer.problems), *oil_lines(answer)]
    first = {each.id: place for place, each in enumerate(trends_that_matter(answer))}
    chosen = sorted(chosen, key=lambda each: first.get(each.id, len(first)))
    made.append(series_table(chosen) if chosen else Paragraph(text="No label was read twice yet."))
    if whole:
        for series in chosen:
            made += [Heading(text=title(series)), _values(series)]
            made += [Paragraph(text=words) for words in (reached_words(series),) if words]
    if not whole and answer.oil:
        made += [Heading(text="Oil added between oil changes"), _oil(answer.oil)]
    made += [Paragraph(text=EXPLAINED, tone=QUIET), *problem_blocks(answer.problems)]
    made.append(Paragraph(text=DEFERRAL, tone=QUIET))
    registration = answer.seen.aircraft.identity.registration
    heading = f"Trends, {registration}, {answer.on}"
    return Page(title=heading, blocks=tuple(made), foot=heading)


def trends_that_matter(answer: DueAnswer) -> tuple[Series, ...]:
    """The series that lead to their limit, clear of noise; what is reached first comes first."""
    found = [each for each in answer.trends if each.reached is not None and each.reached.likely is not None]
    return tuple(sorted(found, key=lambda each: (str(each.reached and each.reached.likely), each.id)))


def title(series: Series) -> str:
    """`compression, cylinder 3`; with the part it was taken on."""
    part = f", on {series.position}" if series.position else ""
    serial = f" serial {series.serial}" if series.serial else ""
    return f"{series.check}, {series.label}{part}{serial}"


def series_table(chosen: Sequence[Series]) -> Table:
    """One row for each series."""
    columns = (
        Column(name="reading", wide=True),
        Column(name="first", right=True, rank=2),
        Column(name="before", right=True, rank=1),
        Column(name="last", right=True),
        Column(name="limit", wide=True),
        Column(name="slope", wide=True),
        Column(name="reached", wide=True),
        Column(name="values", right=True, rank=3),
        Column(name="part", wide=True, rank=4),
    )
    return table(columns, [_row(series) for series in chosen])


def _row(series: Series) -> Row:
    taken = series.taken
    part = f"{series.position} {series.serial}".strip()
    reached = series.reached
    return Row(
        cells=(
            f"{series.check}, {series.label}",
            number(taken[0].value),
            number(taken[-2].value) if len(taken) > 1 else "",
            f"{number(taken[-1].value)} {series.measure}",
            str(series.bound) if series.bound else "",
            slope_words(series) if series.slope and series.slope.clear else "no clear slope",
            _dates(reached) if reached is not None else "",
            str(len(taken)),
            part,
        ),
    )


def slope_words(series: Series) -> str:
    """`-1.8 psi per 100 h (-2.2 to -1.5)`: by the hundred of hours or landings, by the year."""
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
    for each in series.taken:
        step = "" if before is None else f"{each.value - before:+f}" if each.value != before else "0"
        out = series.bound is not None and not series.bound.holds(each.value)
        at = f"{each.at:.1f}" if series.unit != "landings" else f"{each.at:.0f}"
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


def oil_lines(answer: DueAnswer) -> Iterator[Block]:
    """That the engine burns more oil than it used to, where it does."""
    doubt = oil_doubt(answer.oil)
    if doubt is not None:
        last, usual = doubt
        rate = last.hours_per_quart
        assert rate is not None
        text = (
            f"Oil: {rate:.1f} h to the quart between the oil changes of {last.start} and {last.end}, less than half of "
            f"the usual {usual:.1f} h."
        )
        yield Paragraph(text=text, tone=WARN)


def _oil(oil: Sequence[Oil]) -> Table:
    rows = []
    for each in oil:
        rate = each.hours_per_quart
        cells = (
            str(each.start),
            str(each.end) if each.end else "still running",
            amount(each.hours, HOURS),
            f"{number(each.quarts)} qt",
            f"{rate:.1f}" if rate is not None else "none added",
        )
        rows.append(Row(cells=cells))
    columns = (
        Column(name="oil change of"),
        Column(name="until"),
        Column(name="flown", right=True),
        Column(name="added", right=True),
        Column(name="hours to the quart", right=True),
    )
    return table(columns, rows)
