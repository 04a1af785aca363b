"""README's pictures: golden files, light and dark, drawn from what the program answers today; each shows what the words
beside it say."""

import datetime as dt
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.ask import signature_states
from inspect_kit.cli.planning import planned
from inspect_kit.due import due
from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing
from inspect_kit.inspection.wanted import last_times
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.report import (
    Page,
    PlanClock,
    ReportFacts,
    due_screen,
    html,
    item_page,
    missing_page,
    plan_screen,
    report_page,
)
from inspect_kit.report.sheet import SheetFacts, render_sheet
from tests import pictures
from tests.cli.hand import Hand, Line, typed
from tests.cli.walk_store import PAGE, walk, walk_store
from tests.conftest import GOLDEN

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DAY = dt.date(2026, 11, 25)
FOLDER = GOLDEN / "pictures"
GROUNDS = (pictures.LIGHT, pictures.DARK)
Draws = Callable[[str], str]
# By the name of a picture, what the words beside it in README claim, as it stands in the picture.
CLAIMS: dict[str, tuple[str, ...]] = {
    "due": ("Condition inspection", "reason", "Past due", "More:"),
    "due-item": ("How that is reckoned", "checklists/", "records/"),
    "plan": ("Parts", "inspector", "helper", "CAUTION"),
    "page": ("inspector: Ada Bellcrank", "- [x] ", "- [ ] ", "____", "found: F1"),
    "sheet": ("last 74", "at least 60", "CAUTION", "k3f9qx"),
    "walk": ("CAUTION", "cylinder 1", "at least 60", "o ok", "f finding", "? more"),
    "missing": ("wants a decision", "cylinder 2", "was left as it is"),
    "report": ("N0TS", "I certify that", "condition"),
}


@pytest.fixture(scope="module")
def sample() -> Logbook:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    assert not loaded.problems
    return loaded.logbook


class Shown:
    """A standard output that a terminal would be."""

    def __init__(self) -> None:
        self.text, self.encoding = "", "utf-8"

    def write(self, text: str) -> int:
        self.text += text
        return len(text)

    def flush(self) -> None:
        pass

    def isatty(self) -> bool:
        return True


def missing_rows() -> Page:
    """What a page says whose pen has missed three things; the rows are those of `test_missing`."""
    from tests.inspection.conftest import filled, request_for, sheet_of

    small = sheet_of(("remove cowl", "stacks", "compression", "refit cowl", "stick-bolt", "stick-travel"))
    sheet = filled(small.sheet)
    refit, stacks = sheet.box("cowl", "refit"), sheet.box("stacks")
    assert refit is not None
    assert stacks is not None
    sheet = edit.untick(edit.untick(sheet, refit), stacks)
    line = next(number for number, text in enumerate(sheet.text.split("\n"), 1) if "cylinder 2" in text)
    sheet = edit.replace_line(sheet, line, "  - cylinder 2: 58 psi (at least 60)")
    gaps = missing(request_for(small, sheet))
    return missing_page(sheet.page.place.file, gaps, {panel.id: panel.name for panel in small.logbook.panels.values()})


def of_walk(root: Path, monkeypatch: pytest.MonkeyPatch) -> Draws:
    """Two boxes of a walk: one with a caution is settled, one with readings is begun."""
    walk_store(root, "remove", "shell", "compression", "hoses", "refit")
    shown = Shown()
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stdout", shown)
        walk(root, Hand(typed("ooo", [Line("76"), Line("75")])))
    lines = shown.text.split("\n")[2:]
    return lambda ground: pictures.of_lines(lines, "inspect-kit walk", 30, ground, columns=80)


def of_open_page(root: Path, monkeypatch: pytest.MonkeyPatch) -> Draws:
    """The Markdown of a page that somebody has begun to fill in."""
    walk_store(root, "remove", "shell", "stacks", "compression", "oil", "refit")
    with monkeypatch.context() as patch:
        patch.setattr(sys, "stdout", Shown())
        walk(root, Hand(typed("oof", [Line("crack, 8 mm, at the weld")], "1")))
    lines = (root / PAGE).read_text(encoding="utf-8").split("\n")
    return lambda ground: pictures.of_lines(lines, PAGE, 30, ground, columns=80)


def of_sheet(root: Path) -> Draws:
    logbook = store.load(walk_store(root, "run-before", "remove", "compression", "oil", "refit")).logbook
    assert logbook is not None
    page = logbook.pages[0]
    facts = SheetFacts(logbook=logbook, page=page, last=last_times(logbook, page), code="k3f9qx", paper="")
    return lambda ground: pictures.of_html(render_sheet(facts), 12, (800, 720), ground, paper=True)


def of_report(sample: Logbook) -> Draws:
    record = sample.of_kind(Inspection)[-1]
    facts = ReportFacts(
        logbook=sample,
        record=sample.as_written(record),
        due=None,
        signatures=signature_states(sample, record),
        seal_faults=(),
        printed=DAY,
    )
    page = html.render(report_page(facts))
    return lambda ground: pictures.of_html(page, 4, (800, 760), ground)


@pytest.mark.parametrize("name", CLAIMS)
def test_the_pictures_are_what_a_person_sees(
    name: str, sample: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, golden: Callable[[str, str], None]
) -> None:
    draw = drawing_of(name, sample, tmp_path, monkeypatch)
    for ground in GROUNDS:
        golden(f"pictures/{name}-{ground}.svg", draw(ground))


def drawing_of(name: str, sample: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Draws:
    match name:
        case "walk":
            return of_walk(tmp_path, monkeypatch)
        case "page":
            return of_open_page(tmp_path, monkeypatch)
        case "sheet":
            return of_sheet(tmp_path)
        case "report":
            return of_report(sample)
    answer = due(sample, DAY)
    item = answer.item("oil-change")
    assert item is not None
    plan = planned(sample, ["oil-change", "spark-plugs"], on=DAY, people=2, inspectors=1, few=True)
    asked = "plan oil-change spark-plugs"
    page, command, most = {
        "due": (due_screen(answer), "inspect-kit due", 24),
        "due-item": (item_page(answer, item), "inspect-kit due oil-change", 40),
        "plan": (
            plan_screen(plan, sample, PlanClock(), what=f"Oil change, Spark plugs, {DAY}", ask=asked),
            f"inspect-kit {asked}",
            24,
        ),
        "missing": (missing_rows(), 'inspect-kit sign --as "Ada Bellcrank"', 30),
    }[name]
    return lambda ground: pictures.of_page(page, command, most, ground)


def files() -> Iterator[Path]:
    yield from FOLDER.glob("*.svg")


def words_in(path: Path) -> str:
    """All the text of a picture, with single blanks."""
    text = re.sub(r"(?s)<style>.*?</style>", "", path.read_text(encoding="utf-8"))
    text = re.sub(r"<[^>]+>", " ", text).replace("&#160;", " ").replace("\xa0", " ").replace("&#x27;", "'")
    return " ".join(text.split())


@pytest.mark.parametrize("name", CLAIMS)
@pytest.mark.parametrize("ground", GROUNDS)
def test_each_shows_what_the_words_beside_it_claim(name: str, ground: str) -> None:
    shown = words_in(FOLDER / f"{name}-{ground}.svg")
    for claim in CLAIMS[name]:
        assert claim in shown, (name, claim, shown[:600])


def test_nothing_in_a_picture_is_fetched() -> None:
    for path in files():
        text = path.read_text(encoding="utf-8")
        assert not re.findall(r"(?:href|src|url)\s*[=(]\s*[\"']?(?!#|\"#)[a-z]+:", text), path


def test_readme_shows_every_picture_light_and_dark() -> None:
    dark = re.findall(r'<source media="\(prefers-color-scheme: dark\)" srcset="([^"]+)">', README)
    light = re.findall(r'<img alt="([^"]+)" src="([^"]+)">', README)
    assert [src.replace("-light", "-dark") for _, src in light] == dark
    assert {*dark, *(src for _, src in light)} == {path.relative_to(ROOT).as_posix() for path in files()}
    assert all(alt for alt, _ in light)
    assert not re.findall(r"!\[[^]]*\]\(", README)
