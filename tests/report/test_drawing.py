"""Charts in characters and in shapes."""

import re

import pytest

from inspect_kit.report import blocks, drawing, svg
from inspect_kit.report.blocks import LEGEND, Chart, ChartRow, Mark


def chart(*marks: Mark, ticks: tuple[tuple[float, str], ...] = (), initials: bool = False) -> Chart:
    rows = (ChartRow(label="row", marks=marks),)
    return Chart(title="t", start=0, end=100, ticks=ticks, rows=rows, initials=initials)


def strip(made: Chart, cells: int = 100) -> str:
    """The row of a chart without its label, as wide as asked for."""
    lines = drawing.draw_chart(made, cells + 4)
    return lines[1][0].removeprefix("row ").ljust(cells)


def test_a_point_stands_in_the_cell_of_its_time() -> None:
    assert strip(chart(Mark(kind=blocks.DUE, start=37))).index("◆") == 37
    assert strip(chart(Mark(kind=blocks.DUE, start=0))).index("◆") == 0
    assert strip(chart(Mark(kind=blocks.DUE, start=100))).index("◆") == 99


def test_how_many_others_stand_with_a_name_is_never_cut() -> None:
    """At 60 cells the strip hid an item: `fuel-pump-diaphragm…` was `fuel-pump-diaphragm +1`."""
    rows = (ChartRow(label="a name of many letters +54", marks=(Mark(kind=blocks.DUE, start=37),)),)
    made = Chart(title="t", start=0, end=100, ticks=(), rows=rows)
    assert drawing.draw_chart(made, 55)[1][0].startswith("a name of … +54 ")


def test_names_that_look_the_same_in_their_room_stand_by_what_tells_them_apart() -> None:
    """At 60 cells the names of two tyres are cut before they differ; where there is room for them they stand."""
    mark = Mark(kind=blocks.DUE, start=37)
    names = {"tyre-l": "Tread of the main tyre, left", "tyre-r": "Tread of the main tyre, right", "oil": "Oil change"}
    rows = [ChartRow(label=label, alias=alias, marks=(mark,)) for alias, label in names.items()]
    made = Chart(title="t", start=0, end=100, ticks=(), rows=(ChartRow(label="Tread of the ma"), *rows))
    def labels(room: int) -> list[str]:
        return [re.split(r"  +|◆", line)[0].strip() for line, _ in drawing.draw_chart(made, room)[2:5]]

    assert labels(55) == ["tyre-l", "tyre-r", "Oil change"]
    assert labels(120) == [*names.values()]
    assert all(f">{label}</text>" in svg.render(made) for label in names.values())


def test_a_bar_covers_what_it_lasts() -> None:
    drawn = strip(chart(Mark(kind=blocks.OFF, start=20, end=50)))
    assert drawn.index("━") == 20
    assert drawn.count("━") == 30


def test_a_bar_shorter_than_a_cell_is_still_seen() -> None:
    assert strip(chart(Mark(kind=blocks.OFF, start=20.1, end=20.2))).count("━") == 1


def test_the_kind_that_fills_most_of_a_cell_is_drawn() -> None:
    marks = (Mark(kind=blocks.WORK, start=10, end=10.7), Mark(kind=blocks.ACCESS, start=10.7, end=11))
    assert strip(chart(*marks))[10] == "█"


def test_a_range_has_two_ends_and_a_point_in_it() -> None:
    drawn = strip(chart(Mark(kind=blocks.RANGE, start=10, end=30), Mark(kind=blocks.LIKELY, start=20)))
    assert (drawn[10], drawn[15], drawn[20], drawn[30]) == ("├", "─", "●", "┤")


def test_what_is_pulled_forward_points_from_the_due_date_to_the_visit() -> None:
    drawn = strip(chart(Mark(kind=blocks.PULLED, start=10, end=30)))
    assert (drawn[10], drawn[20], drawn[30]) == ("◀", "─", "◇")


def test_names_on_the_axis_give_way_to_initials_or_are_left_out() -> None:
    ticks = tuple((float(at), name) for at, name in ((0, "Jan"), (25, "Feb"), (50, "Mar"), (75, "Apr")))
    wide = drawing.draw_chart(chart(ticks=ticks, initials=True), 104)[0][0]
    assert wide.split() == ["Jan", "Feb", "Mar", "Apr"]
    narrow = drawing.draw_chart(chart(ticks=ticks, initials=True), 16)[0][0]
    assert narrow.split() == ["J", "F", "M", "A"]
    clock = drawing.draw_chart(chart(ticks=ticks), 16)[0][0]
    assert clock.split() == ["Jan", "Mar"]


@pytest.mark.parametrize("glyphs", [drawing.UNICODE, drawing.ASCII])
def test_every_kind_of_mark_has_a_shape_of_its_own(glyphs: drawing.Glyphs) -> None:
    assert set(glyphs.marks) == set(LEGEND)
    assert len(set(glyphs.marks.values())) == len(LEGEND)


def test_the_plainest_shapes_are_ascii() -> None:
    assert all("".join(glyph).isascii() for glyph in drawing.ASCII.marks.values())
    assert drawing.ASCII.tick.isascii()


@pytest.mark.parametrize("kind", LEGEND)
def test_every_kind_of_mark_has_a_shape_in_svg(kind: str) -> None:
    one = svg.render(chart(Mark(kind=kind, start=20, end=60)))
    without = svg.render(chart())
    assert len(re.findall("<(?:path|rect|circle)", one)) > len(re.findall("<(?:path|rect|circle)", without))


def test_svg_scales_a_bar_with_its_time() -> None:
    made = svg.render(chart(Mark(kind=blocks.WORK, start=25, end=75)))
    [x, bar] = [float(value) for value in re.search(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', made).groups()]  # type: ignore[union-attr]
    left = round(4 * svg.LETTER) + 10
    across = svg.WIDTH - left - 10
    assert x == pytest.approx(left + across / 4, abs=0.1)
    assert bar == pytest.approx(across / 2, abs=0.1)


def test_marks_and_charts_refuse_nonsense() -> None:
    with pytest.raises(ValueError, match="known kind"):
        Mark(kind="comet", start=1)
    with pytest.raises(ValueError, match="ends no earlier"):
        Mark(kind=blocks.OFF, start=2, end=1)
    with pytest.raises(ValueError, match="width"):
        Chart(title="t", start=1, end=1, ticks=(), rows=())


def rows(*headings: bool) -> tuple[ChartRow, ...]:
    mark = (Mark(kind=blocks.DUE, start=1),)
    return tuple(ChartRow(label=str(place), marks=() if heading else mark) for place, heading in enumerate(headings))


def test_a_row_without_marks_is_a_heading() -> None:
    made = Chart(title="t", start=0, end=100, ticks=((50.0, "x"),), rows=rows(True, False))
    lines = [line for line, _ in drawing.draw_chart(made, 60)]
    assert lines[1] == "0"
    assert "┊" in lines[2]


def test_a_long_chart_is_cut_before_a_heading_and_loses_no_row() -> None:
    made = Chart(title="t", start=0, end=100, ticks=(), rows=rows(*[place % 7 == 0 for place in range(30)]))
    pieces = svg.charts_in_parts(made, most=10)
    assert [row for piece in pieces for row in piece.rows] == list(made.rows)
    assert max(len(piece.rows) for piece in pieces) <= 10
    assert all(not piece.rows[0].marks for piece in pieces)
    assert svg.charts_in_parts(Chart(title="t", start=0, end=1, ticks=(), rows=())) != []
