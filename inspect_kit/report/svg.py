"""A chart as SVG: shapes that differ in form, in one ink, so that a black and white print says all."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from html import escape

from inspect_kit.report import blocks
from inspect_kit.report.blocks import LEGEND, Chart, ChartRow, Mark
from inspect_kit.report.drawing import short_labels
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import clipped, clipped_label, width

WIDTH = 760
ROW = 16
HEAD = 22
LETTER = 6.2
LONGEST_LABEL = 34
WIDEST_HEADING = 110
VALUES = 14


def charts_in_parts(chart: Chart, most: int = 28) -> list[Chart]:
    """The chart in charts of at most so many rows, each with the axis, cut before a heading where one is near."""
    rows = list(chart.rows)
    made = []
    while rows:
        cut = min(most, len(rows))
        if cut < len(rows):
            headings = [place for place in range(cut // 2, cut + 1) if not rows[place].marks]
            cut = headings[-1] if headings else cut
        made.append(replace(chart, rows=tuple(rows[:cut])))
        rows = rows[cut:]
    return made or [chart]


def render(chart: Chart, kinds: tuple[str, ...] | None = None, whole: Chart | None = None) -> str:
    """One `<svg>` element with the axis, the rows and the legend; stands alone as a file too.

    `kinds` are the kinds of marks in the legend, all that stand on the chart if it is not given. Of a part of a `whole`
    the axis lies where it lies in every other part.
    """
    labels, values = _words(chart)
    left, right = _margins(whole or chart)
    legend = list(_legend(chart.kinds if kinds is None else kinds, HEAD + ROW * len(chart.rows) + 14))
    height = HEAD + ROW * len(chart.rows) + 8 + ROW * len(legend)

    def across(at: float) -> float:
        share = (at - chart.start) / (chart.end - chart.start)
        return left + min(max(share, 0.0), 1.0) * (WIDTH - left - right)

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="100%" role="img" '
        f'font-family="sans-serif" font-size="11" fill="currentColor" stroke="none">',
        f"<title>{escape(inert(chart.title))}</title>",
        *_axis(chart, across, HEAD + ROW * len(chart.rows)),
    ]
    for index, (row, label, value) in enumerate(zip(chart.rows, labels, values, strict=True)):
        parts += _row(row, label, value, left, HEAD + ROW * index, across)
    return "\n".join([*parts, *legend, "</svg>\n"])


def _words(chart: Chart) -> tuple[list[str], list[str]]:
    """The labels and the values of the rows, as far as there is room for them."""
    labels = [
        label if row.marks else clipped_label(inert(row.label), WIDEST_HEADING)
        for row, label in zip(chart.rows, short_labels(chart, LONGEST_LABEL), strict=True)
    ]
    return labels, [clipped(inert(row.value), VALUES) for row in chart.rows]


def _margins(chart: Chart) -> tuple[int, int]:
    """What labels and values take on both sides of the axis."""
    labels, values = _words(chart)
    left = round(max([*(min(width(label), LONGEST_LABEL) for label in labels), 4]) * LETTER) + 10
    return left, round(max([*map(width, values), 0]) * LETTER) + 10


def _axis(chart: Chart, across: Callable[[float], float], bottom: int) -> Iterator[str]:
    places = [(across(at), name) for at, name in chart.ticks]
    named = _named(places)
    for x, name in places:
        yield f'<path d="M{x:.1f} {HEAD - 4}V{bottom}" stroke="currentColor" stroke-width=".5" opacity=".35"/>'
        if (x, name) in named:
            yield f'<text x="{x + 2:.1f}" y="{HEAD - 9}" font-size="10">{escape(inert(name))}</text>'


def _named(places: list[tuple[float, str]]) -> list[tuple[float, str]]:
    """The names of ticks for which there is room; a month gives way to the name of a year on either side."""
    named: list[tuple[float, str]] = []
    for x, name in sorted(places, key=lambda place: not place[1].isdigit()):
        end = x + (width(name) + 1) * LETTER
        if all(end <= at or at + (width(other) + 1) * LETTER <= x for at, other in named):
            named.append((x, name))
    return named


def _row(row: ChartRow, label: str, value: str, left: int, top: int, across: Callable[[float], float]) -> Iterator[str]:
    base = top + ROW - 5
    if not row.marks:
        # A heading for the rows below it.
        yield f'<text x="0" y="{base}" font-weight="bold">{escape(label)}</text>'
        return
    yield f'<text x="{left - 6}" y="{base}" text-anchor="end">{escape(label.strip())}</text>'
    for mark in row.marks:
        yield _mark(mark, across, top + ROW / 2)
    if value:
        yield f'<text x="{WIDTH}" y="{base}" text-anchor="end">{escape(value)}</text>'


def _mark(mark: Mark, across: Callable[[float], float], y: float) -> str:
    start = across(mark.start)
    end = across(mark.end) if mark.end is not None else start
    return _shape(mark.kind, start, end, y)


def _shape(kind: str, start: float, end: float, y: float) -> str:
    """The shape of one kind of mark; bars are at least one unit wide so that nothing vanishes."""
    wide = max(end - start, 1.0)
    if kind == blocks.WORK:
        return f'<rect x="{start:.1f}" y="{y - 5:.1f}" width="{wide:.1f}" height="10"/>'
    if kind == blocks.ACCESS:
        return (
            f'<rect x="{start:.1f}" y="{y - 4.5:.1f}" width="{wide:.1f}" height="9" fill="none" '
            'stroke="currentColor" stroke-width="1"/>'
        )
    if kind == blocks.OFF:
        return f'<rect x="{start:.1f}" y="{y - 2:.1f}" width="{wide:.1f}" height="4" opacity=".75"/>'
    if kind == blocks.CRITICAL:
        return f'<path d="M{start:.1f} {y:.1f}h{wide:.1f}" stroke="currentColor" stroke-width="3"/>'
    if kind == blocks.AWAY:
        return f'<path d="M{start:.1f} {y:.1f}h{wide:.1f}" stroke="currentColor" stroke-dasharray="1 3"/>'
    if kind == blocks.RANGE:
        return f'<path d="M{start:.1f} {y - 4:.1f}v8m0 -4h{wide:.1f}m0 -4v8" stroke="currentColor" fill="none"/>'
    if kind == blocks.PULLED:
        return (
            f'<path d="M{start:.1f} {y:.1f}h{wide:.1f}" stroke="currentColor"/>'
            f'<path d="M{start:.1f} {y:.1f}l{min(7.0, wide):g} -4v8z"/>'
            f'<path d="M{end:.1f} {y - 5:.1f}l5 5l-5 5l-5 -5z" fill="none" stroke="currentColor"/>'
        )
    return _point(kind, start, y)


def _point(kind: str, x: float, y: float) -> str:
    if kind == blocks.LIKELY:
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4"/>'
    if kind == blocks.DONE:
        return f'<rect x="{x - 4:.1f}" y="{y - 4:.1f}" width="8" height="8"/>'
    if kind == blocks.BEFORE:
        return f'<path d="M{x:.1f} {y:.1f}l9 -5v10z"/>'
    if kind == blocks.BEYOND:
        return f'<path d="M{x:.1f} {y:.1f}l-9 -5v10z"/>'
    if kind == blocks.VISIT:
        return f'<path d="M{x:.1f} {y + 5:.1f}l-5 -9h10z"/>'
    return f'<path d="M{x:.1f} {y - 5:.1f}l5 5l-5 5l-5 -5z"/>'


def _legend(kinds: tuple[str, ...], top: int) -> Iterator[str]:
    for index, kind in enumerate(kinds):
        y = top + ROW * index
        yield f'{_shape(kind, 14, 40, y)}<text x="52" y="{y + 4}" font-size="10">{escape(LEGEND[kind])}</text>'
