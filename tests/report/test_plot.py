"""A plot in characters and as SVG."""

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inspect_kit.report import html, markdown, plain
from inspect_kit.report.blocks import Page, Plot, Track
from inspect_kit.report.plot import draw_plot, svg

BOX = ((10.0, 500.0), (10.0, 1000.0), (20.0, 1000.0), (20.0, 500.0))


def plot(*tracks: Track, title: str = "Where it is") -> Plot:
    return Plot(title=title, across="arm, in", up="weight, lb", outlines=(BOX,), tracks=tracks)


def test_a_box_and_a_track_in_characters() -> None:
    """Looked at: the frame of the box, A at its place, the way down to a, the numbers of both axes."""
    track = Track(letter="A", points=((15.0, 900.0), (16.0, 750.0), (17.0, 600.0)))
    lines = [text for text, _ in draw_plot(plot(track), 50)]
    assert lines[0] == "weight, lb"
    assert lines[-1].strip() == "arm, in"
    body = [line.partition("|")[2] for line in lines[1:21]]
    rows = {letter: next(at for at, line in enumerate(body) if letter in line) for letter in "A∙a"}
    columns = {letter: body[rows[letter]].index(letter) for letter in "A∙a"}
    assert rows["A"] < rows["∙"] < rows["a"]
    assert columns["A"] < columns["∙"] < columns["a"]
    assert sum(line.count("+") for line in body) == 4
    assert any(line.startswith("1000 |") for line in lines)
    assert re.search(r"\b15\b", lines[-2])


def test_two_in_one_place_are_a_star() -> None:
    tracks = (Track(letter=x, points=((15.0, 800.0),)) for x in "AB")
    drawn = "\n".join(text for text, _ in draw_plot(plot(*tracks), 60))
    assert drawn.count("*") == 2
    assert drawn.count("A") == 1
    assert drawn.endswith("* is A and B")


def test_two_in_one_place_stand_side_by_side_in_the_svg() -> None:
    drawn = svg(plot(*(Track(letter=x, points=((15.0, 800.0),)) for x in "AB")))
    assert re.findall(r"bold\">([^<]*)<", drawn) == ["A B"]


points = st.tuples(st.floats(-50, 150), st.floats(300, 2000))
tracks = st.lists(
    st.builds(Track, letter=st.sampled_from("ABCDE"), points=st.lists(points, min_size=1, max_size=6).map(tuple)),
    max_size=4,
)


@given(tracks, st.integers(24, 130), st.booleans())
@example([Track(letter=each, points=((0.0, 300.0), (0.0, 300.0))) for each in "AB"], 24, False)
def test_no_line_is_wider_than_its_room(tracks: list[Track], room: int, ascii_only: bool) -> None:
    lines = draw_plot(plot(*tracks), room, ascii_only=ascii_only)
    assert all(len(text) <= room for text, _ in lines)
    if ascii_only:
        assert all(text.isascii() for text, _ in lines)


@given(tracks)
def test_the_svg_is_well_formed_and_within_its_frame(tracks: list[Track]) -> None:
    root = ET.fromstring(svg(plot(*tracks, title="<script>&")))
    wide, high = (float(each) for each in root.attrib["viewBox"].split()[2:])
    for circle in root.iter("{http://www.w3.org/2000/svg}circle"):
        assert 0 <= float(circle.attrib["cx"]) <= wide
        assert 0 <= float(circle.attrib["cy"]) <= high
    letters = [letter for text in root.iter("{http://www.w3.org/2000/svg}text") for letter in (text.text or "").split()]
    assert all(track.letter in letters for track in tracks)


def test_it_stands_on_every_paper() -> None:
    page = Page(title="Plot", blocks=(plot(Track(letter="A", points=((15.0, 800.0),))),))
    assert "A" in plain.render(page, 80)
    assert "```text" in markdown.render(page)
    assert "<svg" in html.render(page)
    assert plain.render(page, 80, plain.ASCII).isascii()


def test_a_plot_without_an_outline_or_a_track_without_points_is_none() -> None:
    with pytest.raises(ValueError, match="a plot has an outline"):
        Plot(title="", across="", up="", outlines=(), tracks=())
    with pytest.raises(ValueError, match="a track has points"):
        plot(Track(letter="A", points=()))
