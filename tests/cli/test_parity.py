"""Every answer can be had as a file and as JSON, under a title with its job and its day."""

import datetime as dt
import json
import re
from itertools import pairwise
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.main import cli
from inspect_kit.plan import durations
from inspect_kit.report import svg
from inspect_kit.report.blocks import Chart, ChartRow, Mark
from inspect_kit.report.pages.strip import month_ticks
from tests.cli.conftest import Run

# What answers and changes nothing, as it is typed; `report` and `history` of something that the store has.
ANSWERS = {
    "due": ("due",),
    "plan": ("plan", "oil"),
    "visits": ("visits", "--months", "2"),
    "report": ("report", "2026-09-01-past"),
    "scope": ("scope",),
    "status": ("status",),
    "directives": ("directives",),
    "balance": ("balance",),
    "trend": ("trend",),
    "parts": ("parts",),
    "history": ("history", "oil"),
    "find": ("find", "oil"),
    "verify": ("verify",),
}
MORE = {
    "due ITEM": ("due", "oil"),
    "plan --compare": ("plan", "oil", "--compare"),
    "plan --why": ("plan", "oil", "--why", "oil"),
}


@pytest.mark.parametrize("name", ANSWERS)
def test_every_answer_has_both(name: str) -> None:
    options = {each for option in cli.commands[name].params for each in option.opts}
    assert {"--to", "--json"} <= options


@pytest.mark.parametrize("words", [*ANSWERS.values(), *MORE.values()], ids=[*ANSWERS, *MORE])
def test_as_a_file(run: Run, hangar: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    for ending in (".md", ".html"):
        target = tmp_path / f"answer{ending}"
        made = run(hangar, *words, "--to", str(target))
        assert made.code in (0, 1), made.err
        assert made.out.strip() == str(target)
        text = target.read_text(encoding="utf-8")
        title = next(line for line in text.splitlines() if line.startswith(("# ", "<title>")))
        assert "N0XX" in title, title
        assert "2026-" in title, title


@pytest.mark.parametrize("words", [*ANSWERS.values(), *MORE.values()], ids=[*ANSWERS, *MORE])
def test_as_json(run: Run, hangar: Path, words: tuple[str, ...]) -> None:
    assert json.loads(run(hangar, *words, "--json").out)["format"] == 2


def test_why_a_step_is_there(run: Run, hangar: Path) -> None:
    """As the page says it, which was all there was: of the check its panels, of each step what keeps it."""
    told = json.loads(run(hangar, "plan", "oil", "--why", "oil", "--json").out)
    assert (told["name"], told["asked"][0], told["needs"]) == ("oil", "It was named.", ["cowl"])
    assert [step["check"] for step in told["steps"]] == ["oil"]
    shown = " ".join(run(hangar, "plan", "oil", "--why", "oil").out.split())
    assert f": {told['steps'][0]['because']}." in shown


def test_a_record_as_it_was_written(run: Run, hangar: Path) -> None:
    told = json.loads(run(hangar, "report", "2026-09-01-past", "--json").out)
    assert told["says"]["meters"]["tach"] == {"reads": "400.0", "total": "655.5"}
    assert (told["amendments"], told["signatures"], told["seal_faults"]) == ([], [], [])


def test_the_store_as_it_was_checked(run: Run, hangar: Path) -> None:
    told = json.loads(run(hangar, "verify", "--json").out)
    assert (told["good"], told["checks"], told["problems"]) == (True, 5, [])
    (hangar / "records/2026/2026-09-02-odd.yaml").write_text("format: 1\nkind: odd\ndate: 2026-09-02\n")
    told = json.loads(run(hangar, "verify", "--json").out)
    assert told["good"] is False
    assert told["problems"][0]["file"] == "records/2026/2026-09-02-odd.yaml"


def test_no_file_is_named_that_was_never_written(run: Run, hangar: Path) -> None:
    assert run(hangar, "hours", "tach=405.9", on="2026-10-01").code == 0
    told = run(hangar, "hours", "tach=408.0", on="2026-09-20")
    assert told.code == 2
    assert "lower than 408.0 on 2026-09-20 in what was to be written" in told.err
    assert not list(hangar.glob("records/2026/2026-09-20*"))
    named = [word.strip(":,") for word in told.err.split() if word.startswith("records/")]
    assert named
    assert all((hangar / word.partition(":")[0]).exists() for word in named)


def test_hours_by_month_add_up(run: Run, hangar: Path) -> None:
    for day, reads in (("2026-09-20", "403.0"), ("2026-10-20", "409.0"), ("2026-11-20", "412.1")):
        assert run(hangar, "hours", f"tach={reads}", on=day).code == 0
    rows = [line.split() for line in run(hangar, "trend").out.splitlines() if line.startswith("2026 ")]
    (row,) = rows
    months = [float(each) for each in row[1:]]
    # 3.0 h in 19 days, then 6.0 h in 30 days of which 11 lie in September, then 3.1 h in 31 of which 12 in October.
    assert months == pytest.approx([5.2, 5.0, 1.9, 12.1], abs=0.051)


def test_the_parts_of_a_long_strip_have_one_axis() -> None:
    """The last part once stood to the left of the others, because its labels were shorter."""
    rows = tuple(
        ChartRow(label="a" * (30 if place < 28 else 3), marks=(Mark(kind="visit", start=5.0),)) for place in range(40)
    )
    chart = Chart(title="a strip", start=0.0, end=10.0, ticks=((5.0, "x"),), rows=rows)
    pieces = svg.charts_in_parts(chart)
    assert len(pieces) == 2
    drawn = [svg.render(piece, kinds=(), whole=chart) for piece in pieces]
    places = [text.partition('<path d="M')[2].split()[0] for text in drawn]
    assert len(set(places)) == 1, places


def test_a_long_strip_names_its_years() -> None:
    names = [name for _, name in month_ticks(dt.date(2026, 11, 25), dt.date(2029, 2, 1))]
    assert [name for name in names if name.isdigit()] == ["2027", "2028", "2029"]
    assert all(len(after) == 3 for before, after in pairwise(names) if before.isdigit())


SAMPLE = Path(__file__).parents[2]


def test_readings_side_by_side_and_drawn_with_their_limit(run: Run, tmp_path: Path) -> None:
    """The rows are those of the sample's own logbook; in the picture a line for each cylinder and one for the limit."""
    target = tmp_path / "trend.html"
    assert run(SAMPLE, "trend", "compression", "--to", str(target)).code == 0
    text = target.read_text(encoding="utf-8")
    (drawn,) = re.findall(r"(?s)<svg.*?</svg>", text)
    assert drawn.count("stroke-dasharray") == 4
    assert drawn.count('stroke-width="1.5"') == 1
    rows = [line.split() for line in run(SAMPLE, "trend", "compression").out.splitlines()]
    assert ["2018-05-26", "78", "77", "78", "79"] in rows
    assert ["2025-11-22", "76", "75", "69", "77"] in rows
    assert "the limit, 60 psi, is the line across" in " ".join(text.split())


def test_minutes_listed_beside_what_was_taken() -> None:
    logbook = store.load(SAMPLE).logbook
    assert logbook is not None
    pages = [path.read_text(encoding="utf-8") for path in sorted((SAMPLE / "records").glob("20*/*.md"))]
    boxes = [box for page in pages for box in re.split(r"(?m)^- \[", page) if box.startswith("x] `spark-plugs` ")]
    written = [int(each) for box in boxes for each in re.findall(r"(?m)^  - took: (\d+) min$", box)]
    (told,) = (each for each in durations(logbook) if each.key == "spark-plugs")
    assert len(written) > 2
    assert sorted(told.took) == sorted(written)
    assert told.listed == logbook.checks["spark-plugs"].minutes
