"""Random pages of every kind of block, with text that would like to act."""

from hypothesis import strategies as st

from inspect_kit.report.blocks import (
    LEGEND,
    TONES,
    Block,
    Caution,
    Chart,
    ChartRow,
    Column,
    Heading,
    Listing,
    Mark,
    Page,
    Paragraph,
    Quote,
    Row,
    SignatureLine,
    Table,
)

HOSTILE = (
    *("[bold]x[/bold]", "<script>alert(1)</script>", "\x1b]0;x\x07", "\x1b[2J", "a|b", "**x**", "`x`", "``` x", "# x"),
    *(
        "- x",
        "1. x",
        "1) x",
        "> x",
        "+ x",
        "= x",
        "---",
        "&amp;",
        "\\",
        "\u202ex",
        "https://x.invalid",
        "www.x.invalid",
    ),
    *("![x](y)", "[x](javascript:y)", "<b onclick=x>", "$x$", "~~x~~", "_x_", "日本語", "é\u0301", '"quoted"', "it's"),
    *("x\ny", "x\ty", ":x:"),
)
TEXT = st.lists(st.sampled_from(HOSTILE) | st.text(max_size=12), max_size=5).map(" ".join)
WORDS = TEXT.filter(lambda text: text.strip() != "")
TONE = st.sampled_from(TONES)


@st.composite
def tables(draw: st.DrawFn) -> Table:
    columns = draw(
        st.lists(
            st.builds(
                Column, name=TEXT, right=st.booleans(), wide=st.booleans(), rank=st.integers(min_value=0, max_value=3)
            ),
            min_size=1,
            max_size=6,
        )
    )
    row = st.builds(Row, cells=st.tuples(*[TEXT for _ in columns]), tone=TONE) | st.builds(Row, band=WORDS)
    return Table(columns=tuple(columns), rows=tuple(draw(st.lists(row, max_size=4))))


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    place = st.integers(min_value=-10, max_value=110)
    points = st.builds(Mark, kind=st.sampled_from(tuple(LEGEND)), start=place)
    bars = st.tuples(st.sampled_from(tuple(LEGEND)), place, place).map(
        lambda drawn: Mark(kind=drawn[0], start=min(drawn[1:]), end=max(drawn[1:]))
    )
    row = st.builds(ChartRow, label=TEXT, marks=st.lists(points | bars, max_size=4).map(tuple), value=TEXT)
    ticks = draw(st.lists(st.integers(min_value=0, max_value=100), max_size=5, unique=True).map(sorted))
    return Chart(
        title=draw(TEXT),
        start=0,
        end=100,
        ticks=tuple((float(tick), str(tick)) for tick in ticks),
        rows=tuple(draw(st.lists(row, max_size=4))),
        initials=draw(st.booleans()),
    )


BLOCKS: st.SearchStrategy[Block] = st.one_of(
    st.builds(Heading, text=TEXT, level=st.integers(min_value=2, max_value=3)),
    st.builds(Paragraph, text=TEXT, tone=TONE),
    st.builds(Caution, text=TEXT),
    st.builds(Quote, text=TEXT),
    st.builds(Listing, items=st.lists(TEXT, max_size=3).map(tuple), numbered=st.booleans()),
    tables(),
    charts(),
    st.builds(SignatureLine, name=TEXT, kind=TEXT, certificate=TEXT, date=TEXT, state=TEXT, signed=st.booleans()),
)
PAGES = st.builds(Page, title=TEXT, blocks=st.lists(BLOCKS, max_size=5).map(tuple), foot=TEXT)
