"""A page as Markdown (CommonMark with tables). Text of records is escaped: it is read as it was written."""

import re
from collections.abc import Callable
from typing import Any

from inspect_kit.report import drawing, plot
from inspect_kit.report.blocks import (
    STOP,
    STRONG,
    WARN,
    Caution,
    Chart,
    Heading,
    Listing,
    Page,
    Paragraph,
    Plot,
    Quote,
    Row,
    SignatureLine,
    Table,
)
from inspect_kit.report.inert import inert

# Every character that can begin something inside a line, on any of the usual readers: `$` begins formulas, `@` calls
# people, `~` strikes out. At the start of a line more of them count.
_SPECIAL = re.compile(r"[\\`*_\[\]<>|~&$@#^]")
_LINKING = re.compile(r"(?i)(https?|ftp|mailto|xmpp)(:)|\b(www)(\.)")
_OPENING = re.compile(r"[-+](?=\s|$)|--|[=:]")
_NUMBERED = re.compile(r"(\d+)([.)])(?=\s|$)")
CHART = 96


def render(page: Page) -> str:
    """The whole page; every line of it ends with a line feed."""
    parts = [f"# {_text(page.title)}", *(WRITERS[type(block)](block) for block in page.blocks)]
    if page.foot:
        parts += ["---", _text(page.foot)]
    return "\n\n".join(parts) + "\n"


def _escaped(line: str) -> str:
    """One line in which nothing is markup."""
    line = " ".join(line.split())
    line = _SPECIAL.sub(lambda match: "\\" + match.group(), line)
    line = _LINKING.sub(lambda match: match.group()[:-1] + "\\" + match.group()[-1], line)
    if match := _NUMBERED.match(line):
        return f"{match.group(1)}\\{line[match.end(1) :]}"
    return "\\" + line if _OPENING.match(line) else line


def _text(text: str) -> str:
    return _escaped(inert(text))


def _lines(text: str, ending: str = "\\\n") -> str:
    """Several lines, each ended by a hard line break."""
    return ending.join(_escaped(line) for line in inert(text, lines=True).split("\n") if line.strip())


def _heading(block: Heading) -> str:
    return f"{'#' * (3 if block.level > 2 else 2)} {_text(block.text)}"


def _paragraph(block: Paragraph) -> str:
    text = _lines(block.text)
    return f"**{text}**" if block.tone in (STOP, WARN, STRONG) and "\n" not in text and text else text


def _caution(block: Caution) -> str:
    return f"> **CAUTION:** {_text(block.text)}"


def _quote(block: Quote) -> str:
    return "> " + _lines(block.text, "\\\n> ")


def _listing(block: Listing) -> str:
    leads = (f"{number}." if block.numbered else "-" for number in range(1, len(block.items) + 1))
    return "\n".join(f"{lead} {_text(item)}" for lead, item in zip(leads, block.items, strict=True))


def _table(block: Table) -> str:
    head = _row(Row(cells=tuple(column.name for column in block.columns)))
    rule = "| " + " | ".join("---:" if column.right else "---" for column in block.columns) + " |"
    return "\n".join([head, rule, *(_band(row, len(block.columns)) if row.band else _row(row) for row in block.rows)])


def _band(row: Row, across: int) -> str:
    """A heading or a caution in the first of its cells, for none goes across: set off from what stands below it."""
    return f"| **{_text(row.band)}** |" + "  |" * (across - 1)


def _row(row: Row) -> str:
    return "| " + " | ".join(_text(cell) for cell in row.cells) + " |"


def _chart(block: Chart) -> str:
    return _drawn(block.title, [line for line, _ in drawing.draw_chart(block, CHART)])


def _plot(block: Plot) -> str:
    return _drawn(block.title, [line for line, _ in plot.draw_plot(block, CHART)])


def _drawn(title: str, drawn: list[str]) -> str:
    longest = max((len(run) for line in drawn for run in re.findall("`+", line)), default=0)
    fence = "`" * max(3, longest + 1)
    return "\n".join([f"**{_text(title)}**", "", f"{fence}text", *drawn, fence])


def _signature(block: SignatureLine) -> str:
    lines = [
        f"Name: {_text(block.name)}",
        f"Certificate: {_text(block.kind)}, number {_text(block.certificate)}",
        f"Date: {_text(block.date)}",
        f"Signature: {_text(block.state)}",
    ]
    if not (block.signed or block.void):
        lines.append("Signed in ink: " + "\\_" * 30)
    return "\\\n".join(lines)


WRITERS: dict[type[Any], Callable[[Any], str]] = {
    Heading: _heading,
    Paragraph: _paragraph,
    Caution: _caution,
    Quote: _quote,
    Listing: _listing,
    Table: _table,
    Chart: _chart,
    Plot: _plot,
    SignatureLine: _signature,
}
