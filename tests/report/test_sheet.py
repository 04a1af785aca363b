"""The sheet for a pen: boxes, numbers, wells and heads by the structure of the HTML; its pages in a real browser."""

import datetime as dt
import io
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.cli.main import main as program
from inspect_kit.inspection.ordered import code_of, sheet_lines
from inspect_kit.inspection.wanted import last_times
from inspect_kit.model.finding import Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.report.html import STYLE as REPORT_STYLE
from inspect_kit.report.sheet import SheetFacts, render_sheet
from tests.cli.walk_store import BOXES, PAGE, page_of, walk_store
from tests.cli.walk_store import page as page_in

ROOT = Path(__file__).parents[2]
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
needs_browser = pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed to print the sheet with")


class Outline(HTMLParser):
    """The elements of a sheet with their classes and all the text in them, in order."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, list[str]]] = []
        self.open: list[tuple[str, list[str]]] = []
        self.feed(text.partition("<body>")[2].partition("</body>")[0])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open.append((dict(attrs).get("class") or tag, []))
        self.found.append(self.open[-1])

    def handle_endtag(self, tag: str) -> None:
        self.open.pop()

    def handle_data(self, data: str) -> None:
        for _, texts in self.open:
            texts.append(data)

    def of(self, name: str) -> list[str]:
        """The texts of all elements of a class or tag, with single blanks."""
        return [" ".join("".join(texts).split()) for kind, texts in self.found if kind == name]


def facts(root: Path, code: str = "k3f9qx", paper: str = "") -> SheetFacts:
    logbook = store.load(root).logbook
    assert logbook is not None
    page = logbook.pages[0]
    return SheetFacts(logbook=logbook, page=page, last=last_times(logbook, page), code=code, paper=paper)


def outline(root: Path, code: str = "k3f9qx") -> Outline:
    return Outline(render_sheet(facts(root, code)))


class TestBoxes:
    def test_every_box_of_the_page_has_one_and_its_number(self, tmp_path: Path) -> None:
        sheet = outline(walk_store(tmp_path))
        assert sheet.of("no") == [str(number) for number in range(1, len(BOXES) + 1)]
        assert sheet.of("box") == [""] * len(BOXES)

    def test_a_specimen_has_no_numbers_and_no_code(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path)
        sheet = outline(root, code="")
        assert sheet.of("no") == [""] * len(BOXES)
        assert "SPECIMEN" in sheet.of("code")[0]
        assert "from-paper" not in render_sheet(facts(root, ""))
        assert "nothing is recorded from it" in sheet.of("footer")[0]

    def test_what_stands_on_the_page_is_printed_as_it_stands(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell", "stacks", "compression", "mount")
        text = (root / PAGE).read_text().replace("- [ ] `shell`", "- [x] `shell`")
        text = text.replace("cylinder 1: ____", "cylinder 1: 76")
        text = text.replace("Exhaust stacks: cracks", "Exhaust stacks: cracks\n  - found: F1 crack, 8 mm")
        (root / PAGE).write_text(text.replace("Engine mount: cracks", "Engine mount: cracks\n  - not done: no lamp"))
        sheet = outline(root)
        assert sheet.of("box") == ["X", "", "", "–"]
        assert sheet.of("well")[0].startswith("cylinder 1 76")
        assert sheet.of("find") == ["finding:", "finding: F1 crack, 8 mm", "finding:", "finding: not done: no lamp"]

    def test_cautions_stand_above_their_step_and_cannot_be_parted_from_it(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell", "hot")
        steps = outline(root).of("step")
        assert [step.startswith("CAUTION: ") for step in steps] == [True, False, True]
        assert "CAUTION: Hot metal. 3 Heat muff off" in steps[2]
        assert "tr, .step { break-inside: avoid; }" in render_sheet(facts(root))


class TestWells:
    def test_wells_are_never_parted_from_the_number_of_their_box(self, tmp_path: Path) -> None:
        """On Letter `elevator up` of box 130 began a page, with no number to type it in by."""
        made = render_sheet(facts(walk_store(tmp_path)))
        assert {*re.findall(r'<div class="(step[^"]*)">', made)} == {"step"}
        assert "tr, .step { break-inside: avoid; }" in made
        assert "break-inside: auto" not in made

    def test_a_well_for_each_reading_with_its_limit_and_last_time(self, tmp_path: Path) -> None:
        sheet = outline(walk_store(tmp_path, "compression"))
        assert sheet.of("well") == ["cylinder 1 at least 60 psi last 74", "cylinder 2 at least 60 psi last 69"]
        assert sheet.of("well wide") == ["where it leaks"]

    def test_a_last_value_is_never_parted_from_the_word_that_says_so(self, tmp_path: Path) -> None:
        """`at most 0.12 in last` ended a line, and the next began with `0.05 after a new nut`."""
        root = walk_store(tmp_path, "compression")
        told = facts(root)
        (key, (date, reading)) = next(iter(told.last.items()))
        again = replace(reading, again=("0.05 after a new nut",))
        made = render_sheet(replace(told, last={**told.last, key: (date, again)}))
        assert "<small>last&nbsp;0.05 after a new nut</small>" in made

    def test_a_limit_off_a_table_is_told_by_its_rows(self, tmp_path: Path) -> None:
        """The pen has no other place to look, and what it may fall by stands behind the measure."""
        root = walk_store(tmp_path, "compression")
        aircraft, cowl = root / "records/aircraft.yaml", root / "checklists/nose/cowl.md"
        rows = "[{at: 20, from: 55}, {at: 70, from: 60}]"
        table = f"tables:\n  heat:\n    at: psi\n    gives: psi\n    rows: {rows}\n"
        aircraft.write_text(aircraft.read_text() + table)
        one, other = "cylinder 1, psi, at least 60, falls at most 10 in 100 h", "cylinder 2, psi, by heat at cylinder 1"
        cowl.write_text(cowl.read_text().replace("cylinder 1 to 2, psi, at least 60", f"{one}\n  - reads: {other}"))
        sheet = outline(root)
        assert sheet.of("well") == ["cylinder 1 at least 60 psi, falls at most 10 in 100 h last 74"]
        told = "by cylinder 1: at 20 psi at least 55, at 70 psi at least 60 psi, between in proportion"
        assert sheet.of("well by") == [f"cylinder 2 {told} last 69"]

    def test_what_is_to_be_worked_out_stands_with_its_sum_below_what_is_measured(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "compression")
        cowl = root / "checklists/nose/cowl.md"
        told = "psi, at least 60\n  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2\n"
        cowl.write_text(cowl.read_text().replace("psi, at least 60\n", told))
        sheet = outline(root)
        told = "spread = the greater less the smaller of cylinder 1 and cylinder 2 = at most 15 psi"
        assert sheet.of("well sum") == [told]
        text = render_sheet(facts(root))
        assert text.index(">cylinder 2<") < text.index(">spread =")
        assert "What is worked out in a dashed well is not typed in at the desk" in text

    def test_and_for_everything_else_that_is_to_be_written(self, tmp_path: Path) -> None:
        sheet = outline(walk_store(tmp_path, "F1", "oil", "bottle", "altimeter", "stick-bolt", "refit", "remove"))
        assert sheet.of("well") == ["good until", "second look, name", "second look, name"]
        assert sheet.of("well words") == ["used: as planned, none, or"]
        assert sheet.of("well wide") == ["corrected, how", "or waits until, because", "paper, reference"]

    def test_room_for_a_finding_and_initials_beside_every_box(self, tmp_path: Path) -> None:
        sheet = outline(walk_store(tmp_path))
        assert sheet.of("find") == ["finding:"] * len(BOXES)
        assert sheet.of("init") == ["initials"] * len(BOXES)

    @pytest.mark.parametrize(
        ("rule", "size"),
        [
            (r"\.box \{[^}]*width: (\S+); height: (\S+);", ("6mm", "6mm")),
            (r"\.well \{[^}]*fr\) (\S+) min()", ("26mm", "")),
        ],
    )
    def test_sizes_for_gloves(self, tmp_path: Path, rule: str, size: tuple[str, str]) -> None:
        match = re.search(rule, render_sheet(facts(walk_store(tmp_path))))
        assert match is not None
        assert match.groups() == size


class TestHeads:
    def test_one_head_for_a_panel_with_what_comes_off_tools_and_parts(self, tmp_path: Path) -> None:
        sheet = outline(walk_store(tmp_path, "remove", "shell", "baffles", "oil", "stick-bolt", "refit", "hot"))
        assert sheet.of("h2") == ["Cowling", "Control stick"]
        assert sheet.of("again") == ["Cowling"]
        assert sheet.of("about")[0] == ("Set it on the rack. Parts: 6 qt engine oil; 1 oil filter.")
        assert sheet.of("who")[0] == "14 quarter-turn, 10 min"

    def test_a_head_is_never_parted_from_its_first_box(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "remove", "shell", "stick-bolt")
        sheet = outline(root)
        assert sheet.of("thead") == ["Cowling", "Control stick"]
        # What is told of the panel is in the row of its first box.
        rows = [row.partition(" finding:")[0] for row in sheet.of("tr") if row not in sheet.of("thead")]
        assert rows == [
            "Set it on the rack. CAUTION: Let the exhaust cool. 1 REMOVE Cowling 14 quarter-turn, 10 min",
            "2 Cowling: cracks inspector, 5 min",
            "3 Stick bolt safetied inspector, 5 min",
        ]
        style = "thead { display: table-header-group; break-inside: avoid; break-after: avoid; }"
        assert style in render_sheet(facts(root))

    def test_a_single_box_of_a_panel_that_had_its_head_says_where_it_is(self, tmp_path: Path) -> None:
        sheet = outline(walk_store(tmp_path, "shell", "stick-bolt", "baffles", "bottle", "hot"))
        assert sheet.of("h2") == ["Cowling", "Control stick"]
        assert sheet.of("at") == ["Cowling", "Control stick", "Cowling"]

    def test_findings_from_before_come_under_a_head_of_their_own(self, tmp_path: Path) -> None:
        assert outline(walk_store(tmp_path, "F1", "F2", "shell")).of("h2") == ["Findings open from before", "Cowling"]

    def test_what_it_is_behind_is_told_by_name(self) -> None:
        logbook, page = sample_page()
        text = render_sheet(SheetFacts(logbook=logbook, page=page, last={}, code="k3f9qx"))
        heads = Outline(text).of("h2")
        assert "Lower cowling behind: Spinner, Upper cowling" in heads


class TestEveryPage:
    def test_the_foot_says_aircraft_job_date_code_and_page(self, tmp_path: Path) -> None:
        text = render_sheet(facts(walk_store(tmp_path)))
        foot = re.search(r"@bottom-left \{ content: (\"[^\"]*\"); \} @bottom-right \{ content: ([^}]*); \}", text)
        assert foot is not None
        told = re.sub(r"\\([0-9a-f]{6})", lambda each: chr(int(each[1], 16)), foot[1])
        assert told == '"N0XX condition, begun 2026-11-21, tach 560.0, code k3f9qx"'
        assert foot[2] == '"page " counter(page) " of " counter(pages)'

    @pytest.mark.parametrize(("paper", "size"), [("", "auto"), ("A4", "A4"), ("Letter", "Letter")])
    def test_paper(self, tmp_path: Path, paper: str, size: str) -> None:
        assert f"@page {{ size: {size};" in render_sheet(facts(walk_store(tmp_path), paper=paper))

    def test_what_stands_at_the_right_edge_is_not_cut_off(self, tmp_path: Path) -> None:
        """A page of Letter is 729.07 px wide: laid out on 730, the last of them, the border of a caution, was lost."""
        printed = render_sheet(facts(walk_store(tmp_path))).partition("@media print")[2]
        assert re.match(r" \{ body \{ max-width: none; padding-right: 1px; \} \}", printed)
        # The margins of a report are others, and what stands in a border at its right edge is the same.
        assert re.search(r"(?s)@media print \{.*\.caution, \.signature \{ margin-right: 1px; \}", REPORT_STYLE)

    def test_nothing_depends_on_a_colour(self, tmp_path: Path) -> None:
        text = render_sheet(facts(walk_store(tmp_path)))
        assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[^<]*</style>)", text)) <= {"#000", "#fff", "#555"}
        assert not re.findall(r"\brgba?\(|\bhsl", text)

    def test_what_a_person_wrote_does_not_act(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path, "shell")
        told = facts(root)
        entry = replace(
            told.page.entries[0],
            text="<script>x</script>",
            by="<img src=x>",
            findings=(Finding(id="F1", text="</style>\u202e<b>", place=told.page.place),),
        )
        text = render_sheet(replace(told, page=replace(told.page, entries=(entry,))))
        body = text.partition("<body>")[2]
        assert "<script" not in body
        assert "<img" not in body
        assert "\u202e" not in body
        assert "default-src 'none'" in text


@cache
def sample_page() -> tuple[Logbook, Worksheet]:
    """The sample's inspection as `start` lays it today."""
    from inspect_kit.cli.desk import Desk
    from inspect_kit.cli.printing import specimen

    desk = Desk(folder=ROOT, given_on=dt.date(2026, 11, 26), today=dt.date(2026, 11, 26))
    logbook = desk.logbook()
    return logbook, specimen(desk, logbook, "condition")


def printed(html: Path, folder: Path) -> Path:
    """What Chromium prints."""
    assert BROWSER is not None
    pdf = folder / "sheet.pdf"
    subprocess.run(
        [
            *(BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--no-first-run"),
            *(f"--user-data-dir={folder / 'browser'}", f"--print-to-pdf={pdf}", html.as_uri()),
        ],
        capture_output=True,
        check=True,
        timeout=120,
    )
    return pdf


def pages_of(pdf: Path) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))


def sample_sheet(paper: str, folder: Path) -> Path:
    logbook, page = sample_page()
    code = code_of(sheet_lines(logbook, page))
    told = SheetFacts(logbook=logbook, page=page, last=last_times(logbook, page), code=code, paper=paper)
    html = folder / "sheet.html"
    html.write_text(render_sheet(told), encoding="utf-8")
    return html


def test_words_of_checks_panels_and_cautions_name_others_by_their_words(tmp_path: Path) -> None:
    """`goes on with `oil-filter-cut``: no box and no head of a sheet says what that is."""
    told = " ".join(" ".join(Outline(sample_sheet("", tmp_path).read_text()).of("table")).split())
    assert "goes on with Oil filter cut open, new one fitted and Oil filled" in told
    assert "before it comes off, for Engine isolators" in told
    assert re.findall("`[^`]*`", told) == []


def test_a_caution_and_a_box_name_a_check_by_its_words_and_what_nobody_knows_as_it_is(tmp_path: Path) -> None:
    root = walk_store(tmp_path, "remove", "shell", "baffles")
    page, cowl = root / PAGE, root / "checklists/nose/cowl.md"
    page.write_text(page.read_text().replace("Baffles: cracks", "Baffles: cracks as in `shell`, behind `cowl`, `none`"))
    cowl.write_text(cowl.read_text().replace("caution: ", "caution: before `baffles`, ", 1))
    sheet = outline(root)
    assert any("Baffles: cracks as in Cowling, behind Cowling, none" in each for each in sheet.of("what"))
    assert [each.startswith("CAUTION: before Baffles, ") for each in sheet.of("caution")].count(True) == 1


@needs_browser
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="nothing is installed to read what was printed")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_page_begins_with_a_box_of_which_nothing_says_where_it_is(paper: str, tmp_path: Path) -> None:
    """On Letter 7 of 18 pages of the sample began so: `47 Sticks, torque tube and its bearings` of which panel?"""
    html = sample_sheet(paper, tmp_path)
    pdf = printed(html, tmp_path)
    sheet = Outline(html.read_text())
    # A head, a box that says where it is in bold, a panel that comes off or goes on: everything else says it not.
    heads = {" ".join(head.split()) for head in sheet.of("h2") + sheet.of("again")}
    places = sheet.of("at")
    lost = []
    for number in range(2, pages_of(pdf) + 1):
        cut = ("-f", str(number), "-l", str(number), "-layout", str(pdf), "-")
        text = subprocess.run(["pdftotext", *cut], capture_output=True, check=True, text=True, timeout=60).stdout
        told = " ".join(text.split())
        box = told.partition("finding:")[0]
        own = re.search(r"(?:REMOVE|REFIT|SET UP|END SETUP) ", box)
        if not (own or any(told.startswith(head) for head in heads) or any(place in box for place in places)):
            lost.append((number, box[:80]))
    assert lost == []


@needs_browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_inspection_of_the_sample_is_printed_on_eighteen_pages_at_most(paper: str, tmp_path: Path) -> None:
    assert 10 <= pages_of(printed(sample_sheet(paper, tmp_path), tmp_path)) <= 18


class TestTheCommand:
    def test_of_the_open_page_with_numbers_and_of_an_inspection_without(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path / "store", "remove", "shell", "refit")
        target = tmp_path / "sheet.html"
        for words, numbered in (((), True), (("condition",), True), (("2026-11-21-condition-page",), True)):
            assert program(["--store", str(root), "sheet", *words, "--to", str(target)]) == 0
            assert (Outline(target.read_text()).of("no")[0] == "1") is numbered
        (root / PAGE).unlink()
        for words in ((), ("condition",)):
            assert program(["--store", str(root), "--on", "2026-11-25", "sheet", *words, "--to", str(target)]) == 0
            assert set(Outline(target.read_text()).of("no")) == {""}
        assert not (root / PAGE).exists()

    @pytest.mark.parametrize("words", [("nothing", "--to", "x.html"), ("--to", "x.pdf"), ()])
    def test_what_cannot_be_printed_is_a_misuse(
        self, tmp_path: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr("sys.stdin", io.StringIO())
        root = walk_store(tmp_path, "shell")
        assert program(["--store", str(root), "sheet", *words]) == 2

    def test_a_store_that_cannot_be_written_is_printed_all_the_same(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        root = walk_store(tmp_path / "store", "shell")
        (root / ".inspect-kit").symlink_to(tmp_path)
        assert program(["--store", str(root), "sheet", "--to", str(tmp_path / "sheet.html")]) == 0
        assert not (tmp_path / "sheets").exists()

    def test_the_page_is_not_changed_by_printing_it(self, tmp_path: Path) -> None:
        root = walk_store(tmp_path / "store")
        before = (root / PAGE).read_bytes()
        assert program(["--store", str(root), "sheet", "--to", str(tmp_path / "sheet.html")]) == 0
        assert (root / PAGE).read_bytes() == before
        assert page_in(root).entries
        assert before.decode() == page_of()
