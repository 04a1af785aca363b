"""Pages as Markdown: a CommonMark reader (markdown-it-py, which rich brings along) reads what was written."""

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from inspect_kit.report import markdown
from inspect_kit.report.blocks import STOP, Caution, Chart, Column, Listing, Page, Paragraph, Row, SignatureLine, Table
from inspect_kit.report.inert import inert
from tests.report.strategies import PAGES, TEXT, WORDS, charts

TAGS = {
    *("h1", "h2", "h3", "p", "strong", "blockquote", "ul", "ol", "li", "br", "hr", "pre", "code"),
    *("table", "thead", "tbody", "tr", "th", "td"),
}
READER = MarkdownIt("commonmark").enable("table").enable("strikethrough")


class Words(HTMLParser):
    """Text and tags of what a reader made of a page."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.text = ""
        self.tags: set[str] = set()
        self.feed(READER.render(text))
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def words(text: str) -> str:
    return " ".join(text.split())


@given(PAGES)
def test_text_makes_no_markup_of_its_own(page: Page) -> None:
    assert Words(markdown.render(page)).tags <= TAGS


@given(TEXT)
def test_a_paragraph_reads_as_it_was_written(text: str) -> None:
    read = Words(markdown.render(Page(title="t", blocks=(Paragraph(text=text),)))).text
    assert words(read) == words("t " + inert(text, lines=True))


@given(TEXT)
def test_a_caution_and_an_item_read_as_they_were_written(text: str) -> None:
    read = Words(markdown.render(Page(title="t", blocks=(Caution(text=text), Listing(items=(text,)))))).text
    shown = words(inert(text))
    assert words(read) == words(f"t CAUTION: {shown} {shown}")


@given(st.lists(WORDS, min_size=2, max_size=2))
def test_cells_read_as_they_were_written(cells: list[str]) -> None:
    made = Table(columns=(Column(name="a"), Column(name="b", right=True)), rows=(Row(cells=tuple(cells)),))
    read = Words(markdown.render(Page(title="t", blocks=(made,))))
    assert "td" in read.tags
    assert words(read.text) == words(f"t a b {words(inert(cells[0]))} {words(inert(cells[1]))}")


@given(charts())
def test_a_chart_stays_in_its_fence(made: Chart) -> None:
    rendered = markdown.render(Page(title="t", blocks=(made, Paragraph(text="after"))))
    tokens = READER.parse(rendered)
    assert sum(token.type == "fence" for token in tokens) == 1
    assert tokens[-2].content == "after"


@given(TEXT)
def test_a_signature_reads_as_it_was_written(name: str) -> None:
    made = SignatureLine(name=name, kind="k", certificate="1", date="2026-01-01", state="s", signed=True)
    read = Words(markdown.render(Page(title="t", blocks=(made,)))).text
    assert words(f"Name: {inert(name)} Certificate: k, number 1") in words(read)


def test_what_some_readers_link_or_call_by_itself_is_escaped() -> None:
    text = markdown.render(Page(title="t", blocks=(Paragraph(text="https://x.invalid www.x.invalid @person $x$"),)))
    assert r"https\://x.invalid www\.x.invalid \@person \$x\$" in text


def test_what_goes_across_a_table_is_set_off_from_its_rows() -> None:
    """A caution stood in the column of the hours like one of them."""
    columns = (Column(name="from"), Column(name="inspector"))
    rows = (Row(band="CAUTION: Hot | metal.", tone=STOP), Row(cells=("0:16", "heat muff off")))
    made = markdown.render(Page(title="t", blocks=(Table(columns=columns, rows=rows),)))
    assert made.split("\n")[4:6] == ["| **CAUTION: Hot \\| metal.** |  |", "| 0:16 | heat muff off |"]
    cells = [token.content for token in READER.parse(made) if token.type == "inline"]
    assert cells[-4:] == ["**CAUTION: Hot | metal.**", "", "0:16", "heat muff off"]
