"""Pages as HTML: one file, nothing fetched, nothing runs, all text escaped."""

import base64
import hashlib
import json
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given

from inspect_kit.report import html, markdown, plain
from inspect_kit.report.blocks import (
    DUE,
    PLAIN,
    STOP,
    TONES,
    Block,
    Chart,
    ChartRow,
    Column,
    Heading,
    Listing,
    Mark,
    Page,
    Paragraph,
    Plot,
    Quote,
    Row,
    Table,
    facts,
)
from inspect_kit.report.inert import inert
from inspect_kit.report.measure import UNITS
from inspect_kit.report.plot import svg as plot_svg
from tests.report.strategies import PAGES, TEXT

TAGS = {
    *("html", "head", "meta", "title", "style", "body", "h1", "h2", "h3", "p", "b", "blockquote", "ul", "ol", "li"),
    *("table", "thead", "tbody", "tr", "th", "td", "figure", "figcaption", "div", "dl", "dt", "dd", "footer"),
    *("col", "colgroup", "span", "svg", "path", "rect", "circle", "text"),
}
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
FETCHING = ("src", "href", "srcset", "action", "background", "poster", "data", "style")


class Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.attributes: list[str] = []
        self.text = ""
        self.inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [name for name, _ in attrs]
        if tag not in ("col", "meta"):
            self.inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.inside.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.inside and self.inside[-1] != "style":
            self.text += data


class Shapes(Seen):
    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        super().handle_starttag(tag, attrs)
        if tag in ("path", "rect", "circle"):
            self.inside.pop()

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        super().handle_starttag(tag, attrs)
        self.inside.pop()


@given(PAGES)
def test_only_our_own_tags_and_nothing_that_fetches_or_runs(page: Page) -> None:
    parser = Shapes()
    parser.feed(html.render(page))
    parser.close()
    assert set(parser.tags) <= TAGS
    assert not [name for name in parser.attributes if name in FETCHING or name.startswith("on")]
    assert parser.inside == []


@given(TEXT)
def test_text_is_read_as_it_was_written(text: str) -> None:
    parser = Shapes()
    parser.feed(html.render(Page(title="t", blocks=(Paragraph(text=text),))))
    parser.close()
    assert inert(text, lines=True) in parser.text


@given(PAGES)
def test_the_policy_allows_exactly_the_style_that_is_there(page: Page) -> None:
    made = html.render(page)
    styles = re.findall(r"<style>(.*?)</style>", made, re.S)
    assert len(styles) == 1
    digest = base64.b64encode(hashlib.sha256(styles[0].encode()).digest()).decode()
    assert f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'" in made
    assert "url(" not in styles[0]
    assert "@import" not in styles[0]


def test_one_stands_with_what_it_counts_as_well_as_many() -> None:
    """`2 checks, 1` ended a line with `panel or setup` below it, where `13 panels` was held together."""
    for words in ("1 panel", "13 panels", "1 landing", "12 landings", "1 cycle", "1 h"):
        told = html.render(Page(title="t", blocks=(Paragraph(text=f"3 checks, {words} or setup"),)))
        assert f'<span class="k">{words}</span> or setup' in told
    assert {word for word in UNITS if len(word) > 1 and word.endswith("s") and word[:-1] not in UNITS} == set()


def test_the_foot_of_a_sheet_cannot_end_its_string() -> None:
    made = html.render(Page(title="t", blocks=(), foot='x"; } body { display: none } </style><script>'))
    [style] = re.findall(r"<style>(.*?)</style>", made, re.S)
    assert 'content: "x\\000022' in style
    assert "display: none }" not in style.replace("footer { display: none; }", "")


def test_rows_stand_on_one_sheet_with_the_name_above_them_without_which_they_say_nothing() -> None:
    """`bolt 3` alone on the next sheet is a bolt of anything; a caution is kept with its step and no further."""

    def group(band: str, count: int, name: str, tone: str = PLAIN) -> list[Row]:
        return [Row(band=band, tone=tone), *(Row(cells=(f"{name} {n}", "1")) for n in range(count))]

    rows = [Row(cells=("above", "1")), *group("Left", 4, "bolt"), *group("Run before", 12, "run")]
    rows += [*group("One", 7, "x"), *group("Run after", 12, "run"), *group("Far", 13, "run")]
    rows += group("CAUTION: hot", 1, "step", STOP)
    columns = (Column(name="what"), Column(name="value"))
    made = html.render(Page(title="t", blocks=(Table(columns=columns, rows=tuple(rows)),)))
    bodies = re.findall(r"<tbody( class=\"whole\")?>\n(?:<tr[^>]*>)<t[dh][^>]*>([^<]*)", made)
    assert bodies == [
        ("", "above"),
        (' class="whole"', "Left"),
        (' class="whole"', "Run before"),
        ("", "One"),
        (' class="whole"', "Run after"),
        ("", "Far"),
    ]
    assert made.count("<tbody") == made.count("</tbody>") == len(bodies)
    assert re.search(r"tbody\.whole[^{]*\{ break-inside: avoid; \}", html.STYLE)
    # The last rows of the table alone go with the caution behind it, not those of each name.
    assert {*re.findall(r"(\S+) tr:nth-last-child", html.STYLE)} == {"tbody:last-child"}


def test_a_remark_stands_on_one_sheet_with_the_facts_it_belongs_to() -> None:
    """In all records of a handover seven remarks began a page, below the name of nothing."""
    own, remark = facts(("Record", "2019-03-31-hours")), Paragraph(text="Radio work.")
    made = html.render(Page(title="t", blocks=(own, remark, Heading(text="Next"), own)))
    assert re.findall(r'<div class="whole">\n<table class="facts">.*?</table>\n<p>Radio work.</p>\n</div>', made, re.S)
    assert made.count("<div") == made.count("</div>") == 1
    assert re.search(r"div\.whole[^{]*\{ break-inside: avoid; \}", html.STYLE)


def test_every_sheet_says_what_it_is_a_sheet_of() -> None:
    """`find` had no foot: eleven sheets of it, loose, were sheets of nothing."""
    made = html.render(Page(title="Find oil", blocks=()))
    assert f"@bottom-left {{ content: {html.css_string('Find oil')}; }}" in made
    assert html.css_string("own") in html.render(Page(title="t", blocks=(), foot="own"))


def test_a_part_of_many_sheets_says_at_the_foot_of_each_whose_it_is() -> None:
    """Page 36 of all records had the readings of an inspection, and did not say of which."""
    blocks = (
        Heading(text="Hours"),
        Heading(text="Inspection", foot='of "2018"'),
        Heading(text="Readings", level=3),
        Paragraph(text="76 psi"),
        Heading(text="Hours later"),
        Heading(text="Another", foot="of 2019"),
    )
    made = html.render(Page(title="t", blocks=blocks, foot="all"))
    own = re.findall(r"@page (f\d) \{ @bottom-left \{ content: (.*?); \} \}", made)
    assert own == [("f0", html.css_string('of "2018"')), ("f1", html.css_string("of 2019"))]
    assert all(f".{name} {{ page: {name}; }}" in made for name, _ in own)
    inside = re.findall(r'<div class="(f\d)">\n(.*?)\n</div>', made, re.S)
    assert [(name, re.findall("<h[23]>(.*?)</h", text)) for name, text in inside] == [
        ("f0", ["Inspection", "Readings"]),
        ("f1", ["Another"]),
    ]


def test_what_folds_is_quiet_on_a_screen_alone() -> None:
    """What was remarked beside a reading was printed grey."""
    screen, printed = html.STYLE.split("@media print")
    assert "tr.fold:not(.stop, .warn) td { opacity: .75; }" in screen
    assert "tr.fold:not(.stop, .warn) td { opacity: 1; }" in printed


def test_a_title_stands_on_the_sheet_of_what_begins_below_it() -> None:
    """The records of an inspector's copy began with a sheet that said nothing but their title."""
    own, other = Heading(text="Inspection", foot="of 2018"), Heading(text="Hours")
    for blocks, title in (((own, other), '<h1 class="f0">t</h1>'), ((other, own), "<h1>t</h1>"), ((), "<h1>t</h1>")):
        assert title in html.render(Page(title="t", blocks=blocks))


def test_the_page_of_a_book_stays_with_its_number() -> None:
    """`see airframe log p.` ended a line of a list of inspections, and the next was `61`."""
    made = html.render(Page(title="t", blocks=(Paragraph(text="see airframe log p. 61, and pp. 3-4 of p. X"),)))
    assert '<p>see airframe log <span class="k">p. 61,</span> and <span class="k">pp. 3-4</span> of p. X</p>' in made


def test_the_last_words_are_not_alone_on_a_sheet_whatever_their_tone() -> None:
    """Those below the cautions of 465 records stood on a sheet of their own."""
    style = html.STYLE.partition("@media print")[2]
    assert "p:has(+ footer) { break-inside: avoid; break-before: avoid;" in style


def test_a_long_quote_may_go_over_the_end_of_a_sheet_and_a_short_one_stays_whole() -> None:
    """Thirteen sheets of all records were half empty before the entry for an oil change, which was kept whole."""
    quotes = (Quote(text="I certify."), Quote(text="line\n" * 16 + "end"), Quote(text="word " * 16 * html.LINE))
    made = html.render(Page(title="t", blocks=quotes))
    assert re.findall("<blockquote[^>]*>", made) == ["<blockquote>", *2 * ['<blockquote class="long">']]
    printed = html.STYLE.partition("@media print")[2]
    assert "blockquote:not(.long), " in printed
    # So many of its lines stay together that one that begins a sheet finds no room behind page one.
    [left] = [297 - 34 - int(mm) for mm in re.findall(r"\.first \{ min-height: (\d+)mm; \}", printed)]
    [first] = re.findall(r"blockquote\.long \{ orphans: (\d+); widows: 6; \}", printed)
    assert int(first) * 10 * 1.05 * 1.45 * 25.4 / 72 > left


@pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed to print with")
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="nothing is installed to read what was printed")
def test_printed_no_item_of_a_list_and_no_row_of_a_table_is_alone(tmp_path: Path) -> None:
    """A last row began a sheet below the names of its columns, and one of two items that were done ended another."""
    columns = (Column(name="code"), Column(name="why", rank=1))
    blocks: list[Block] = []
    for n in range(40):
        blocks += [Heading(text=f"Done {n}"), Listing(items=("first item", "next item", "last item"))]
        blocks += [Table(columns=columns, rows=(Row(cells=("alone", "only row")),))]
        rows = [Row(cells=(f"{each} row", "w" * 120 if n % 2 else "short")) for each in ("first", "next", "last")]
        blocks += [Table(columns=columns, rows=tuple(rows)), *(Paragraph(text="between") for _ in range(n % 5))]
    file, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    file.write_text(html.render(Page(title="t", blocks=tuple(blocks))))
    assert BROWSER is not None
    subprocess.run(
        [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--no-first-run",
         f"--user-data-dir={tmp_path / 'browser'}", f"--print-to-pdf={pdf}", file.as_uri()],
        capture_output=True, check=True, timeout=120,
    )  # fmt: skip
    told = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True, text=True).stdout
    sheets = [[line for line in sheet.splitlines() if line.strip()][:-1] for sheet in told.split("\f")[:-1]]
    assert len(sheets) > 9
    heads = ("code", "first row", "last row", "first item", "last item")
    begins = [next(line for line in sheet if line.split()[0] != "code") for sheet in sheets[1:]]
    ends = [next(line for line in reversed(sheet) if "why:" not in line) for sheet in sheets[:-1]]
    assert [line for line in begins if "last" in line or "why:" in line] == []
    assert [line for line in ends if any(head in line for head in heads if "last" not in head)] == []
    # What is alone of itself does not draw the next along.
    assert any("only row" in line for line in ends)


@pytest.mark.parametrize("tone", TONES)
def test_what_stops_says_so_in_its_first_characters_in_every_form(tone: str) -> None:
    """`TO BE ORDERED NOW` and `NOT GOOD` were bold, which nobody sees in a pipe, beside `!! NO PASSENGERS`."""
    for text in ("TO BE ORDERED NOW: plugs.", "!! TO BE ORDERED NOW: plugs."):
        page = Page(title="t", blocks=(Paragraph(text=text, tone=tone),))
        sign = "!! TO BE ORDERED NOW" if tone == STOP or text.startswith("!!") else "TO BE ORDERED NOW"
        for drawn in (html.render(page), plain.render(page, 80), markdown.render(page)):
            assert re.findall(r"(?:!! )*TO BE ORDERED NOW", drawn.replace("\\!", "!")) == [sign]
    assert Paragraph(text="? Condition inspection: not on record.", tone=tone).text.startswith("? C")
    assert Paragraph(text="", tone=tone).text == ""


def test_what_does_not_fit_a_sheet_folds_below_its_row() -> None:
    columns = (Column(name="check"), Column(name="where", rank=1), Column(name="source", rank=2))
    rows = (Row(cells=("oil-change", "w" * 60, "s" * 60)),)
    made = html.render(Page(title="t", blocks=(Table(columns=columns, rows=rows),)))
    assert f'<tr class="fold"><td colspan="2"><p>source: {"s" * 60}</p></td></tr>' in made
    assert made.count("<th scope") == 2


def test_a_date_an_id_and_a_number_with_its_unit_stay_in_one_line() -> None:
    told = "see  2025-11-22-condition-not-passed-23zb, 13.7 gal/h since 2026-04-30; 2 h 26 min in all "
    told += "(strut-bolts-left), W4-2219 of the TS-2, hour by hour - or not"
    (column, other) = (Column(name="What", wide=True), Column(name="More"))
    rows = (Row(band=told), Row(cells=(told, "x")))
    page = Page(title="T", blocks=(Heading(text=told), Paragraph(text=told), Table(columns=(column, other), rows=rows)))
    body = html.render(page).partition("<body>")[2]
    kept = ["2025-11-22-condition-not-passed-23zb,", "13.7 gal/h", "2026-04-30;", "2 h 26 min", "(strut-bolts-left),"]
    kept += ["W4-2219", "TS-2,"]
    assert re.findall('<span class="k">(.*?)</span>', body) == 4 * kept
    assert "white-space: nowrap" in next(line for line in html.STYLE.splitlines() if line.startswith(".k "))
    seen = Seen()
    seen.feed(html.render(page))
    assert seen.text.count(told) == 4


def test_what_is_longer_than_a_line_of_a_telephone_is_kept_on_paper_alone() -> None:
    """The name of a file and its line went over the edge, or took the room of the column beside it."""
    name = "records/2026/2026-08-01-oil-change-pt6n.yaml:7"
    made = html.render(Page(title="t", blocks=(Paragraph(text=f"{name} 2025-11-22-condition-not-passed-23zb"),)))
    kept = re.findall(r'<span class="([^"]*)">(.*?)</span>', made)
    assert kept == [("k more", name), ("k", "2025-11-22-condition-not-passed-23zb")]
    telephone = html.STYLE.partition("(max-width: 40rem) {")[2].partition("@page")[0]
    assert ".k.more { white-space: normal;" in telephone
    assert ".k.more" not in html.STYLE.replace(telephone, "")


def test_columns_of_words_take_the_widths_that_were_laid_out_and_none_is_squeezed_for_the_longest_cell() -> None:
    columns = (Column(name="panel", wide=True), Column(name="off at", right=True), Column(name="checks", wide=True))
    cells = ("Battery disconnected, ground side first and last of all that is touched", "1:18", "oil-change, " * 40)
    made = html.render(Page(title="t", blocks=(Table(columns=columns, rows=(Row(cells=cells),)),)))
    panel, checks = map(int, re.findall(r'<col class="w(\d+)">', made))
    assert 100 * len("disconnected,") / html.ROOM < panel < checks < 100 - panel
    assert f".w{panel} {{ width: {panel}%; }}" in made
    assert '<th scope="col" class="right short">off at</th>' in made
    # What wraps beside a column in which nothing does leaves that whole on paper; alone it needs no share.
    alone = html.render(Page(title="t", blocks=(Table(columns=columns, rows=(Row(cells=("Spinner", *cells[1:])),)),)))
    assert '<td class="fits">Spinner</td>' in alone
    assert "<col" not in alone


def test_no_word_of_a_table_is_broken_but_one_that_no_column_can_hold_and_words_stand_left_among_figures() -> None:
    columns = (Column(name="what", wide=True), Column(name="value", right=True))
    rows = (Row(cells=("Quillfeather", "76 psi")), Row(cells=("5b41" * 16, "none but the joints")))
    made = html.render(Page(title="t", blocks=(Table(columns=columns, rows=rows),)))
    assert re.findall(r'<td class="([^"]*)">(?:<span class="k">)?([^<]{6,19})', made) == [
        ("right short", "76 psi"),
        ("long", "5b41" * 4 + "5b4"),
        ("short", "none but the joints"),
    ]
    assert "td { overflow-wrap: break-word; }\ntd.long { overflow-wrap: anywhere; }" in html.STYLE


def test_on_a_telephone_what_folds_is_whole_and_a_strip_can_be_read() -> None:
    """It stood as wide as all columns together, its end off the screen; words of a strip were 4 pixels high."""
    telephone = html.STYLE.partition("(max-width: 40rem) {")[2].partition("@page")[0]
    assert "tr.fold p { position: sticky; left: 1rem; max-width: calc(100vw - 3.2rem); }" in telephone
    assert "figure.strip svg { min-width: 44rem; }" in telephone
    chart = Chart(title="t", start=0, end=1, ticks=(), rows=(ChartRow(label="a", marks=(Mark(kind=DUE, start=0.5),)),))
    plot = Plot(title="p", across="x", up="y", outlines=(((0, 0), (1, 1)),), tracks=())
    made = html.render(Page(title="t", blocks=(chart, plot)))
    # What is inside an envelope is seen only in the whole of it: there the letters grow, which were 5 pixels high.
    assert re.findall("<figure[^>]*>", made) == ['<figure class="strip">', "<figure>"]
    [grown] = re.findall(r"figure:not\(\.strip\) svg \{ font-size: (\d+)px; overflow: visible; \}", telephone)
    [wide] = re.findall(r'viewBox="0 0 (\d+) ', plot_svg(plot))
    assert int(grown) * (390 - 32) / int(wide) > 9


def test_on_a_telephone_what_is_long_in_a_table_of_many_columns_is_no_column_of_single_words() -> None:
    """What a visit loses of an interval stood in ten lines of one word each."""
    told = "20 of the 90 days of its interval, 1 min, 0.46 USD"
    for count, classes in ((6, ["much"]), (5, [])):
        short = count - 2
        columns = (Column(name="lost", wide=True), Column(name="x", wide=True), *short * (Column(name="n"),))
        rows = (Row(cells=(told, "w " * 15, *short * ("1",))), Row(cells=("short", "w " * 40, *short * ("1",))))
        made = html.render(Page(title="t", blocks=(Table(columns=columns, rows=rows),)))
        cell = re.search(rf'<td(?: class="([^"]*)")?>{told.split(",")[0]}', re.sub("</?span[^>]*>", "", made))
        assert cell is not None
        assert [name for name in (cell[1] or "").split() if name == "much"] == classes
        assert made.count("much") - html.STYLE.count("much") == 2 * len(classes)
    telephone = html.STYLE.partition("(max-width: 40rem) {")[2].partition("@page")[0]
    [most] = re.findall(r"td\.much \{ min-width: (\d+)rem; \}", telephone)
    assert telephone.index("td.much") > telephone.index("min-width: 3.6rem")
    assert int(most) > 3.6


@pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed to look with")
def test_in_a_browser_what_folds_is_no_wider_than_a_telephone(tmp_path: Path) -> None:
    columns = (Column(name="check"), *(Column(name=f"{n} days or hours") for n in range(9)), Column(name="why", rank=1))
    row = Row(cells=("oil-change", *("2026-11-28",) * 9, " ".join(["cracks"] * 40) + " end"))
    page = html.render(Page(title="t", blocks=(Table(columns=columns, rows=(row,)),)))
    assert '<tr class="fold">' in page
    # A narrow frame in a page of its own says how wide things are in it.
    ask = """<iframe id=f width=390 height=800></iframe><pre id=out></pre><script>
      const f = document.getElementById('f');
      f.onload = () => { const p = f.contentDocument.querySelector('tr.fold p').getBoundingClientRect();
        const t = f.contentDocument.querySelector('table').scrollWidth;
        document.getElementById('out').textContent = `right ${Math.ceil(p.right)} table ${t}`; };
      f.srcdoc = %s;</script>"""
    file = tmp_path / "frame.html"
    file.write_text(ask % json.dumps(page).replace("</", "<\\/"))
    assert BROWSER is not None
    told = subprocess.run(
        [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--virtual-time-budget=5000",
         f"--user-data-dir={tmp_path / 'browser'}", "--dump-dom", file.as_uri()],
        capture_output=True, check=True, text=True, timeout=120,
    ).stdout  # fmt: skip
    found = re.search(r"right (\d+) table (\d+)", told)
    assert found is not None
    assert int(found[1]) <= 390 < int(found[2])
