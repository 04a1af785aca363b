"""A chart drawn in characters. Every kind of mark has a shape of its own: no colour is needed to tell them apart."""

from collections import Counter
from math import ceil, floor

from inspect_kit.noun import dataclass
from inspect_kit.report import blocks
from inspect_kit.report.blocks import LEGEND, QUIET, STRONG, Chart, Mark
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import clipped, clipped_label, padded, width

LABELS = 26
VALUES = 12
# Marks that are a line between two ends; all others with an end are bars.
LINES = (blocks.RANGE, blocks.PULLED)
# Room that is left to the axis at least, before labels give way, and with which it has enough where labels want more.
AXIS, WIDE_AXIS = 40, 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Glyphs:
    """First, middle and last character of each kind of mark, and of the lines that ticks draw through a row."""

    marks: dict[str, tuple[str, str, str]]
    tick: str


UNICODE = Glyphs(
    marks={
        blocks.DUE: ("◆", "◆", "◆"),
        blocks.LIKELY: ("●", "●", "●"),
        blocks.RANGE: ("├", "─", "┤"),
        blocks.BEFORE: ("◀", "◀", "◀"),
        blocks.BEYOND: ("▶", "▶", "▶"),
        blocks.VISIT: ("▼", "▼", "▼"),
        blocks.DONE: ("■", "■", "■"),
        blocks.PULLED: ("◀", "─", "◇"),
        blocks.WORK: ("█", "█", "█"),
        blocks.ACCESS: ("▒", "▒", "▒"),
        blocks.OFF: ("━", "━", "━"),
        blocks.CRITICAL: ("*", "*", "*"),
        blocks.AWAY: ("·", "·", "·"),
    },
    tick="┊",
)
ASCII = Glyphs(
    marks={
        blocks.DUE: ("x", "x", "x"),
        blocks.LIKELY: ("o", "o", "o"),
        blocks.RANGE: ("[", "-", "]"),
        blocks.BEFORE: ("<", "<", "<"),
        blocks.BEYOND: (">", ">", ">"),
        blocks.VISIT: ("V", "V", "V"),
        blocks.DONE: ("@", "@", "@"),
        blocks.PULLED: ("<", "-", "o"),
        blocks.WORK: ("#", "#", "#"),
        blocks.ACCESS: ("%", "%", "%"),
        blocks.OFF: ("=", "=", "="),
        blocks.CRITICAL: ("*", "*", "*"),
        blocks.AWAY: (".", ".", "."),
    },
    tick=":",
)


def draw_chart(chart: Chart, room: int, glyphs: Glyphs = UNICODE) -> list[tuple[str, str]]:
    """The lines of a chart in at most `room` cells, each with its tone: axis, rows, legend."""
    labels = [inert(row.label) for row in chart.rows]
    values = [inert(row.value) for row in chart.rows]
    label_room = min(
        max([*(width(label) for row, label in zip(chart.rows, labels, strict=True) if row.marks), 1]),
        max(LABELS, room - WIDE_AXIS),
        max(8, room - AXIS),
    )
    value_room = min(max([*map(width, values), 0]), VALUES) if room - label_room > AXIS else 0
    cells = max(8, room - label_room - 1 - (value_room + 1 if value_room else 0))
    lines = [(padded("", label_room + 1) + _axis(chart, cells), QUIET)]
    for row, label, short, value in zip(chart.rows, labels, short_labels(chart, label_room), values, strict=True):
        if not row.marks:
            # A heading for the rows below it: no ticks run through it, and it may run on.
            lines.append((clipped(label, room), STRONG))
            continue
        strip = "".join(_strip(chart, row.marks, cells, glyphs))
        line = f"{padded(short, label_room)} {strip}"
        if value_room:
            line = f"{line} {clipped(value, value_room)}"
        lines.append((line.rstrip(), ""))
    legend = [f"{glyphs.marks[kind][0]} {LEGEND[kind]}" for kind in chart.kinds]
    if legend:
        lines += [(line, QUIET) for line in _legend(legend, room)]
    return lines


def short_labels(chart: Chart, room: int) -> list[str]:
    """The labels of the rows in so much room; of two rows with marks that would look the same each has its alias."""
    shown = [clipped_label(inert(row.label), room) for row in chart.rows]
    count = Counter(label for row, label in zip(chart.rows, shown, strict=True) if row.marks)
    return [
        clipped_label(inert(row.alias), room) if row.marks and row.alias and count[label] > 1 else label
        for row, label in zip(chart.rows, shown, strict=True)
    ]


def _cell(chart: Chart, at: float, cells: int) -> int:
    place = (at - chart.start) / (chart.end - chart.start) * cells
    return min(max(floor(place), 0), cells - 1)


def _axis(chart: Chart, cells: int) -> str:
    """The names of the ticks, or their initials; one that would touch the name before it is left out."""
    places = [(_cell(chart, at, cells), name) for at, name in chart.ticks]
    line, left_out = _named(places, cells)
    if left_out and chart.initials:
        initials = [(cell, name if name.isdigit() else name[:1]) for cell, name in places]
        # A year keeps its place before the initial of the month that it would touch.
        years = [place for place, (_, name) in enumerate(places) if name.isdigit()]
        close = {
            place + ahead
            for place in years
            for ahead in (1, 2, 3, 4)
            if place + ahead < len(places) and places[place + ahead][0] <= places[place][0] + len(places[place][1])
        }
        line, _ = _named([each for place, each in enumerate(initials) if place not in close], cells)
    return line


def _named(places: list[tuple[int, str]], cells: int) -> tuple[str, int]:
    line, left_out = "", 0
    for cell, name in places:
        if (not line or cell > len(line)) and cell + width(name) <= cells:
            line = line.ljust(cell) + name
        else:
            left_out += 1
    return line, left_out


def _strip(chart: Chart, marks: tuple[Mark, ...], cells: int, glyphs: Glyphs) -> list[str]:
    strip = [" "] * cells
    for at, _ in chart.ticks:
        strip[_cell(chart, at, cells)] = glyphs.tick
    for cell, kind in _filled(chart, marks, cells).items():
        strip[cell] = glyphs.marks[kind][1]
    for mark in marks:
        first, middle, last = glyphs.marks[mark.kind]
        start = _cell(chart, mark.start, cells)
        if mark.end is None:
            strip[start] = first
        elif mark.kind in LINES:
            end = _cell(chart, mark.end, cells)
            strip[start : end + 1] = [first, *[middle] * (end - start - 1), last][: end - start + 1]
    return strip


def _filled(chart: Chart, marks: tuple[Mark, ...], cells: int) -> dict[int, str]:
    """For each cell that bars fill by half, the kind that fills most of it; where none does, each that they touch."""
    scale = cells / (chart.end - chart.start)
    shares: dict[int, dict[str, float]] = {}
    for mark in marks:
        if mark.end is None or mark.kind in LINES:
            continue
        start, end = (mark.start - chart.start) * scale, (mark.end - chart.start) * scale
        for cell in range(max(floor(start), 0), min(max(ceil(end), floor(start) + 1), cells)):
            share = min(end, cell + 1) - max(start, cell)
            kinds = shares.setdefault(cell, {})
            kinds[mark.kind] = kinds.get(mark.kind, 0.0) + share
    half = {cell: kinds for cell, kinds in shares.items() if sum(kinds.values()) >= 0.5}
    return {cell: max(kinds, key=lambda kind: kinds[kind]) for cell, kinds in (half or shares).items()}


def _legend(entries: list[str], room: int) -> list[str]:
    lines = [entries[0]]
    for entry in entries[1:]:
        if width(lines[-1]) + 3 + width(entry) <= room:
            lines[-1] += f"   {entry}"
        else:
            lines.append(entry)
    return lines
