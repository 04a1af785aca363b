"""A plot of two axes: outlines, and tracks that begin at a letter; drawn in characters and as SVG, in one ink.

A track begins at its capital letter and ends at the small one, or bears its letter at every point. Where several meet
in one character there is a `*`.
"""

from collections.abc import Callable, Iterator
from math import ceil, floor, log10

from inspect_kit.report.blocks import QUIET, Plot, Track
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import wrap

WIDEST, HIGH = 72, 20
# In characters: outline, corner of an outline, way of a track.
UNICODE, ASCII = ("·", "+", "∙"), (".", "+", ",")
SEVERAL = "*"

Point = tuple[float, float]
Places = Callable[[Point], Point]


def _span(values: list[float]) -> tuple[float, float]:
    """A span a little wider than the values, so that nothing stands on the frame."""
    low, high = min(values), max(values)
    margin = (high - low or abs(high) or 1.0) * 0.06
    return low - margin, high + margin


def _ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers between two ends, at most so many: steps of 1, 2 or 5 times a power of ten."""
    for exponent in range(floor(log10((high - low) / most)) - 1, 12):
        for step in (1, 2, 5):
            size = step * 10.0**exponent
            first, last = ceil(low / size), floor(high / size)
            if last - first < most:
                return [number * size for number in range(first, last + 1)]
    return []


def _name(tick: float) -> str:
    return f"{tick:.6g}"


def _spans(plot: Plot) -> tuple[tuple[float, float], tuple[float, float]]:
    points = [point for outline in plot.outlines for point in outline]
    points += [point for track in plot.tracks for point in track.points]
    return _span([x for x, _ in points]), _span([y for _, y in points])


def draw_plot(plot: Plot, room: int, *, ascii_only: bool = False) -> list[tuple[str, str]]:
    """The lines of a plot in at most `room` cells, each with its tone."""
    outline, corner, way = ASCII if ascii_only else UNICODE
    (left, right), (bottom, top) = _spans(plot)
    ups = _ticks(bottom, top, 6)
    margin = max(len(_name(tick)) for tick in ups or [0.0]) + 2
    wide, high = max(10, min(WIDEST, room - margin)), HIGH
    cells: dict[tuple[int, int], str] = {}

    def at(point: Point) -> tuple[int, int]:
        x, y = point
        column = round((x - left) / (right - left) * (wide - 1))
        row = round((top - y) / (top - bottom) * (high - 1))
        return column, row

    for corners in plot.outlines:
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
            cells |= dict.fromkeys(_line(at(start), at(end)), outline)
        cells |= dict.fromkeys(map(at, corners), corner)
    for track in plot.tracks:
        for point in track.points[1:-1]:
            cells.setdefault(at(point), way)
            if cells[at(point)] == outline:
                cells[at(point)] = way
    letters: dict[tuple[int, int], set[str]] = {}
    for track in plot.tracks:
        for letter, point in _named(track) if plot.lettered else _ends(track):
            letters.setdefault(at(point), set()).add(letter)
    cells |= {cell: each.pop() if len(each) == 1 else SEVERAL for cell, each in letters.items()}
    names = {at((left, tick))[1]: _name(tick) for tick in ups}
    lines = [(inert(plot.up), QUIET)]
    for row in range(high):
        drawn = "".join(cells.get((column, row), " ") for column in range(wide)).rstrip()
        lines.append((f"{names.get(row, ''):>{margin - 2}} |{drawn}", ""))
    axis, under = [" "] * wide, "-" * wide
    for tick in _ticks(left, right, max(2, wide // 12)):
        column, name = at((tick, bottom))[0], _name(tick)
        place = min(max(0, column - len(name) // 2), wide - len(name))
        axis[place : place + len(name)] = name
    lines.append((" " * (margin - 1) + "+" + under, ""))
    lines.append((" " * margin + "".join(axis).rstrip(), QUIET))
    lines.append((" " * margin + inert(plot.across), QUIET))
    several = dict.fromkeys(" and ".join(sorted(each)) for _, each in sorted(letters.items()) if len(each) > 1)
    if several:
        told = wrap(f"{SEVERAL} is {'; '.join(several)}", wide)
        lines += [(" " * margin + each, QUIET) for each in told]
    return lines


def _line(start: tuple[int, int], end: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """The cells of a straight line."""
    steps = max(abs(end[0] - start[0]), abs(end[1] - start[1]), 1)
    for step in range(steps + 1):
        share = step / steps
        yield round(start[0] + (end[0] - start[0]) * share), round(start[1] + (end[1] - start[1]) * share)


def _ends(track: Track) -> Iterator[tuple[str, Point]]:
    yield track.letter, track.points[0]
    if len(track.points) > 1:
        yield track.letter.lower(), track.points[-1]


def _named(track: Track) -> Iterator[tuple[str, Point]]:
    yield from ((track.letter, point) for point in track.points)


WIDTH, HEIGHT, LEFT, FOOT, HEAD = 760, 420, 64, 40, 18


def svg(plot: Plot) -> str:
    """One `<svg>` element; stands alone as a file too."""
    (left, right), (bottom, top) = _spans(plot)

    def at(point: Point) -> tuple[float, float]:
        x = LEFT + (point[0] - left) / (right - left) * (WIDTH - LEFT - 10)
        return x, HEAD + (top - point[1]) / (top - bottom) * (HEIGHT - HEAD - FOOT)

    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" width="100%" role="img" '
            'font-family="sans-serif" font-size="11" fill="currentColor" stroke="none">',
            f"<title>{_safe(plot.title)}</title>",
            *_frame(plot, at, (left, right), (bottom, top)),
            *(
                f'<path d="M{" L".join(_xy(at(corner)) for corner in corners)} Z" fill="none" stroke="currentColor" '
                'stroke-width="1.5"/>'
                for corners in plot.outlines
            ),
            *(shape for track in plot.tracks for shape in _track(track, at, lettered=plot.lettered)),
            *_letters(plot, at),
            "</svg>\n",
        ]
    )


def _xy(point: Point) -> str:
    return f"{point[0]:.1f} {point[1]:.1f}"


def _safe(text: str) -> str:
    """Text as it stands in SVG; a terminal has no use for what knows how."""
    from html import escape

    return escape(inert(text))


def _frame(plot: Plot, at: Places, across: Point, up: Point) -> Iterator[str]:
    bottom = HEIGHT - FOOT
    for tick in _ticks(*across, 10):
        x = at((tick, up[0]))[0]
        yield f'<path d="M{x:.1f} {HEAD}V{bottom}" stroke="currentColor" stroke-width=".5" opacity=".25"/>'
        yield f'<text x="{x:.1f}" y="{bottom + 14}" text-anchor="middle">{_name(tick)}</text>'
    for tick in _ticks(*up, 8):
        y = at((across[0], tick))[1]
        yield f'<path d="M{LEFT} {y:.1f}H{WIDTH - 10}" stroke="currentColor" stroke-width=".5" opacity=".25"/>'
        yield f'<text x="{LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{_name(tick)}</text>'
    yield f'<text x="{(LEFT + WIDTH) / 2}" y="{HEIGHT - 8}" text-anchor="middle">{_safe(plot.across)}</text>'
    yield f'<text x="0" y="11">{_safe(plot.up)}</text>'


def _track(track: Track, at: Places, *, lettered: bool) -> Iterator[str]:
    places = [at(point) for point in track.points]
    if len(places) > 1:
        yield f'<path d="M{" L".join(map(_xy, places))}" fill="none" stroke="currentColor" stroke-dasharray="4 3"/>'
    for x, y in places[1:-1] if lettered else ():
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2"/>'
    for letter, point in _marked(track, lettered=lettered):
        x, y = at(point)
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{3.5 if letter == track.letter else 2}"/>'


def _marked(track: Track, *, lettered: bool) -> Iterator[tuple[str, Point]]:
    """Where the names of a track stand in the SVG: at its two ends."""
    return iter([(track.letter, track.points[0]), (track.letter, track.points[-1])]) if lettered else _ends(track)


def _letters(plot: Plot, at: Places) -> Iterator[str]:
    """The names of the tracks; those that would lie on each other stand side by side."""
    placed: dict[tuple[int, int], tuple[Point, list[str]]] = {}
    for track in plot.tracks:
        for letter, point in _marked(track, lettered=plot.lettered):
            x, y = at(point)
            known = placed.setdefault((round(x), round(y)), ((x, y), []))[1]
            known += [letter] if letter not in known else []
    for (x, y), letters in placed.values():
        yield f'<text x="{x + 5:.1f}" y="{y - 4:.1f}" font-weight="bold">{_safe(" ".join(letters))}</text>'
