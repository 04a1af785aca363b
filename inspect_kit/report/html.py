"""A page as one HTML file to print and to keep: no script, nothing fetched, all text escaped."""

import base64
import hashlib
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from html import escape
from itertools import islice, pairwise
from typing import Any

from inspect_kit.report import plot, svg
from inspect_kit.report.blocks import (
    QUIET,
    STOP,
    Block,
    Caution,
    Chart,
    Column,
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
from inspect_kit.report.layout import Layout, lay_out
from inspect_kit.report.measure import is_figure, kept_together, width

# About so many characters stand in a line of a table on paper; what does not fit folds below its row, as elsewhere.
ROOM = 116
# A date, an id, a serial such as `W4-2219`, hours such as 9:00-17:00; what no column can hold is broken after all.
NAMED = re.compile(r"\w-\w")
LONGEST_KEPT = 48
# More is no line of a telephone, where it is broken: the name of a file and its line.
LONGEST_ON_TELEPHONES = 40
# A table of so many columns goes over the edge of a telephone or is squeezed there, and what is longer than so many
# characters was a column of single words in it.
MANY_COLUMNS, MUCH = 6, 40
# So many rows under one name stand on one sheet with it, for on the next `bolt 3` alone would say nothing; more of
# them only where what they are called is found under another name too, such as `idle` under two engine runs.
FEW_ROWS, MANY_ROWS = 6, 12
# About so many characters stand in a line of running text on paper. A quote of more lines than this may go over the end
# of a sheet: kept whole the longer entries left half a sheet empty before them.
LINE, WHOLE_QUOTE = 95, 16
# The share of a table that a column takes, in hundredths: no attribute may say so, for only the style is allowed.
SHARE = re.compile(r'<col class="w(\d+)">')

# Before what begins a sheet, `first` leaves less of A4 and of Letter than its heading takes with those lines of a long
# quote that stay together: so it stands on page two even where page one runs over, as it would not behind a page break.
STYLE = """
:root { color-scheme: light dark; }
body { font: 15px/1.45 "Liberation Sans", Arial, Helvetica, sans-serif; max-width: 60rem; margin: 1.5rem auto;
  padding: 0 1rem; }
h1 { font-size: 1.5rem; border-bottom: 3px double; padding-bottom: .2rem; }
h2 { font-size: 1.15rem; border-bottom: 1px solid; margin: 1.6rem 0 .5rem; }
h3 { font-size: 1rem; margin: 1.1rem 0 .3rem; }
p, li, td, th, blockquote, dd { unicode-bidi: isolate; overflow-wrap: anywhere; }
td { overflow-wrap: break-word; }
td.long { overflow-wrap: anywhere; }
p, blockquote { white-space: pre-line; }
table { border-collapse: collapse; width: 100%; font-size: .86em; margin: .4rem 0; }
th, td { text-align: left; vertical-align: top; padding: .16rem .5rem .16rem 0; border-bottom: 1px solid #8888; }
th { font-weight: normal; font-style: italic; overflow-wrap: normal; }
th.short, td.short { white-space: nowrap; overflow-wrap: normal; }
.k { white-space: nowrap; overflow-wrap: normal; }
tr:has(+ tr.fold) td { border-bottom: none; padding-bottom: 0; }
tr.fold:not(.stop, .warn) td { opacity: .75; }
tr.fold td { padding: 0 0 .2rem 1.6rem; font-size: .93em; }
tr.fold p { margin: 0; white-space: normal; }
th.right, td.right { text-align: right; font-variant-numeric: tabular-nums; padding-right: 1rem; }
tr.band th { font-style: normal; font-weight: bold; padding-top: .7rem; break-after: avoid; }
table.facts th { width: 12rem; font-style: normal; color: inherit; }
.stop, .warn, .strong { font-weight: bold; }
.quiet, footer { opacity: .8; }
blockquote { border-left: 4px solid; margin: .6rem 0; padding: .3rem 1rem; font-size: 1.05em; }
.caution { border: 2px solid; padding: .25rem .7rem; margin: .35rem 0; }
.caution b { letter-spacing: .06em; }
.signature { border: 1px solid; padding: .6rem 1rem; margin: .8rem 0; }
.signature dl { margin: .2rem 0; }
.signature dt { float: left; clear: left; width: 7rem; opacity: .8; }
.signature dd { margin: 0 0 0 7.5rem; }
.line { border-bottom: 1px solid; margin: 2.2rem 30% .2rem 7.5rem; }
figure { margin: .8rem 0; }
svg { display: block; }
figcaption { font-weight: bold; margin-bottom: .2rem; }
footer { margin-top: 2rem; font-size: .8em; }
@media screen and (max-width: 40rem) {
  table { font-size: .75em; }
  table:not(.facts) { display: block; }
  /* What goes on at the right shows by a shade there, which its end covers. */
  table:not(.facts), figure { overflow-x: auto;
    background: linear-gradient(to left, Canvas 1.2rem, transparent) right / 2.4rem 100% no-repeat local,
      linear-gradient(to left, #8889, transparent) right / .9rem 100% no-repeat scroll; }
  tr.fold p { position: sticky; left: 1rem; max-width: calc(100vw - 3.2rem); }
  figure.strip svg { min-width: 44rem; }
  figure:not(.strip) svg { font-size: 20px; overflow: visible; }
  table.facts th { width: 6rem; }
  td:not(.short, .fits, .right) { min-width: 3.6rem; }
  td.much { min-width: 7rem; }
  .k.more { white-space: normal; overflow-wrap: anywhere; }
  th, td { padding-right: .4rem; }
  th.right, td.right { padding-right: .5rem; }
  tr.fold td { padding-left: 1rem; }
}
@page { size: auto; margin: 16mm 14mm 18mm; font: 8pt "Liberation Sans", Arial, sans-serif;
  @bottom-left { content: FOOT; } @bottom-right { content: counter(page) " / " counter(pages); } }
@media print {
  :root { color-scheme: light; }
  body { font-size: 10pt; max-width: none; margin: 0; padding: 0; }
  /* A page of Letter is no whole number of pixels wide, and what stands in the last of them is cut off. */
  .caution, .signature { margin-right: 1px; }
  tr.fold:not(.stop, .warn) td { opacity: 1; }
  h1, h2, h3, figcaption { break-after: avoid; }
  h2 { margin-top: 1.1rem; }
  .first { min-height: 215mm; }
  table.facts th, table.facts td { padding: .02rem .5rem .02rem 0; line-height: 1.3; }
  table.facts, tbody.whole, div.whole { break-inside: avoid; }
  th.fits, td.fits { white-space: nowrap; }
  tr.band { break-after: avoid; }
  blockquote.long { orphans: 9; widows: 6; }
  tr, blockquote:not(.long), .signature, .caution, svg, li, figcaption { break-inside: avoid; }
  tr:has(+ tr.fold) { break-after: avoid; }
  /* One item, or one row below the names of its columns, says little on a sheet alone. */
  li:first-child:not(:only-child) { break-after: avoid; }
  li:last-child:not(:only-child) { break-before: avoid; }
  thead + tbody > :is(tr:first-child, tr:first-child + tr.fold):not(:last-child) { break-after: avoid; }
  tbody:last-child > tr:last-child, tbody:last-child > tr:has(+ tr.fold:last-child) { break-before: avoid; }
  thead { display: table-header-group; }
  p { orphans: 3; widows: 3; }
  p:has(+ table) { break-after: avoid; }
  /* The last words are whole, and not alone on a sheet. */
  p:has(+ footer) { break-inside: avoid; break-before: avoid; orphans: 9; widows: 9; }
  table:is(:has(+ p + footer), :has(+ p + p + footer)) tbody:last-child tr:nth-last-child(-n+3) { break-after: avoid; }
  footer { display: none; }
}
"""


def render(page: Page) -> str:
    """The whole file."""
    body = _body(page.blocks)
    foot = page.foot or page.title
    shares = sorted({int(share) for share in SHARE.findall(body)})
    style = STYLE.replace("FOOT", css_string(foot)) + "".join(f".w{n} {{ width: {n}%; }}\n" for n in shares)
    feet = [block.foot for block in page.blocks if isinstance(block, Heading) and block.foot]
    for n, own in enumerate(feet):
        style += f".f{n} {{ page: f{n}; }}\n@page f{n} {{ @bottom-left {{ content: {css_string(own)}; }} }}\n"
    # Another foot begins another sheet: the title goes with what stands below it.
    first = isinstance(page.blocks[0], Heading) and bool(page.blocks[0].foot) if page.blocks else False
    title = f"<h1{_classes('f0' if first else '')}>{_kept(page.title)}</h1>"
    return document(page.title, style, f"{title}\n{body}\n<footer>{text_of(foot)}</footer>")


def _body(blocks: Sequence[Block]) -> str:
    """The blocks as written; what stands before one that begins a sheet fills its own first, and may run over it."""
    written = [WRITERS[type(block)](block) for block in blocks]
    for n, (block, after) in enumerate(pairwise(blocks)):
        # What somebody remarked says on a sheet of its own not of what.
        if isinstance(block, Table) and not block.has_header and isinstance(after, Paragraph):
            written[n], written[n + 1] = f'<div class="whole">\n{written[n]}', f"{written[n + 1]}\n</div>"
    begins = next((n for n, block in enumerate(blocks) if isinstance(block, Heading) and block.new_sheet), 0)
    feet = [n for n, block in enumerate(blocks) if isinstance(block, Heading) and block.foot]
    for count, start in enumerate(feet):
        ends = (n for n, block in enumerate(blocks) if n > start and isinstance(block, Heading) and block.level == 2)
        end = next(ends, len(blocks)) - 1
        written[start] = f'<div class="f{count}">\n{written[start]}'
        written[end] += "\n</div>"
    if begins:
        written[:begins] = ['<div class="first">', *written[:begins], "</div>"]
    return "\n".join(written)


def document(title: str, style: str, body: str) -> str:
    """A whole file of this title, style and body. The style is allowed by its own hash; nothing else loads or runs."""
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode("ascii")
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="referrer" content="no-referrer">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{text_of(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def css_string(text: str) -> str:
    """A string of CSS in which all but ASCII letters and digits is escaped, so that none of it can end the string."""
    shown = inert(text)
    plain = "".join(each if each.isascii() and each.isalnum() else f"\\{ord(each):06x}" for each in shown)
    return f'"{plain}"'


def text_of(text: str) -> str:
    """Text for HTML: whatever stands in it is shown, and nothing of it acts."""
    return escape(inert(text), quote=True)


def _kept(text: str) -> str:
    """The same in which a date, an id, a serial, and a number with its unit each stay in one line."""
    return _marked(inert(text))


def _lines(text: str) -> str:
    """The same of a text in lines."""
    return "\n".join(map(_marked, inert(text, lines=True).split("\n")))


def _marked(line: str) -> str:
    shown, at, places = "", 0, re.finditer(r"\S+", line)
    for word in kept_together(line):
        # Between a number and its unit there may be more than one blank.
        first, *more = islice(places, word.count(" ") + 1)
        if more or (NAMED.search(word) is not None and len(word) <= LONGEST_KEPT):
            begin, end = first.start(), (more or [first])[-1].end()
            before, kept = escape(line[at:begin], quote=True), escape(line[begin:end], quote=True)
            kind = "k more" if end - begin > LONGEST_ON_TELEPHONES else "k"
            shown, at = f'{shown}{before}<span class="{kind}">{kept}</span>', end
    return shown + escape(line[at:], quote=True)


def _classes(*names: str) -> str:
    kept = " ".join(name for name in names if name)
    return f' class="{kept}"' if kept else ""


def _heading(block: Heading) -> str:
    level = 3 if block.level > 2 else 2
    return f"<h{level}>{_kept(block.text)}</h{level}>"


def _paragraph(block: Paragraph) -> str:
    return f"<p{_classes(block.tone)}>{_lines(block.text)}</p>"


def _caution(block: Caution) -> str:
    return f'<p class="caution"><b>CAUTION</b> {_kept(block.text)}</p>'


def _quote(block: Quote) -> str:
    lines = sum(max(1, -(-len(line) // LINE)) for line in block.text.split("\n"))
    return f"<blockquote{_classes('long' if lines > WHOLE_QUOTE else '')}>{_lines(block.text)}</blockquote>"


def _listing(block: Listing) -> str:
    kind = "ol" if block.numbered else "ul"
    items = "\n".join(f"<li>{_kept(item)}</li>" for item in block.items)
    return f"<{kind}>\n{items}\n</{kind}>"


def _table(block: Table) -> str:
    layout = lay_out(block, ROOM)
    held = _held(block, layout)
    head = ""
    if block.has_header:
        names = "".join(_head(block.columns[place], held[place]) for place in layout.shown)
        head = f"<thead><tr>{names}</tr></thead>\n"
    kind = "" if block.has_header else ' class="facts"'
    body = "\n".join(
        f'<tbody{_classes("whole" if whole else "")}>\n{rows}\n</tbody>'
        for whole, rows in (
            (whole, "\n".join(_row(block, layout, row, held) for row in rows)) for whole, rows in _groups(block.rows)
        )
    )
    return f"<table{kind}>\n{_shares(layout, held)}{head}{body}\n</table>"


def _groups(rows: Sequence[Row]) -> Iterator[tuple[bool, Sequence[Row]]]:
    """The rows cut before each band, and whether they stay together; a caution is that of the step behind it alone."""
    called = Counter(row.cells[0] for row in rows if not row.band)
    starts = [n for n, row in enumerate(rows) if n and row.band and row.tone != STOP and not rows[n - 1].band]
    for start, end in pairwise([0, *starts, len(rows)]):
        group = rows[start:end]
        most = MANY_ROWS if any(called[row.cells[0]] > 1 for row in group if not row.band) else FEW_ROWS
        yield any(row.band and row.tone != STOP for row in group[:1]) and len(group) <= 1 + most, group


def _held(block: Table, layout: Layout) -> dict[int, str]:
    """Each column shown: `short` is never wrapped, `fits` not on paper, where another gives way; else nothing."""
    held = {}
    for place, size in zip(layout.shown, layout.widths, strict=True):
        column = block.columns[place]
        cells = (column.name, *(row.cells[place] for row in block.cell_rows))
        held[place] = ("fits" if column.wide else "short") if all(width(inert(cell)) <= size for cell in cells) else ""
    if "" not in held.values():
        held = {place: how if how == "short" else "" for place, how in held.items()}
    return held


def _shares(layout: Layout, held: dict[int, str]) -> str:
    """How wide each column that wraps is, where there are several: a browser would give most to the longest cell."""
    sizes = [0 if held[place] else size for place, size in zip(layout.shown, layout.widths, strict=True)]
    if sum(map(bool, sizes)) < 2 or sum(layout.widths) + layout.gap * (len(sizes) - 1) < ROOM:
        return ""
    cols = (f'<col class="w{round(100 * (size + layout.gap) / ROOM)}">' if size else "<col>" for size in sizes)
    return f"<colgroup>{''.join(cols)}</colgroup>\n"


def _head(column: Column, held: str) -> str:
    classes = _classes("right" if column.right else "", held)
    return f'<th scope="col"{classes}>{_kept(column.name)}</th>'


def _row(block: Table, layout: Layout, row: Row, held: dict[int, str]) -> str:
    across = len(layout.shown)
    if row.band:
        return f'<tr class="band"><th colspan="{across}" scope="colgroup">{_kept(row.band)}</th></tr>'
    squeezed = across >= MANY_COLUMNS
    cells = "".join(_cell(block, place, row.cells[place], held[place], squeezed=squeezed) for place in layout.shown)
    made = f"<tr{_classes(row.tone)}>{cells}</tr>"
    if folded := layout.folded_words(block, row):
        # Quiet, but not below a row that presses.
        tone = layout.folded_tone(block, row).replace(QUIET, "")
        made += f'\n<tr{_classes("fold", tone)}><td colspan="{across}"><p>{_kept(folded)}</p></td></tr>'
    return made


def _cell(block: Table, place: int, cell: str, held: str, *, squeezed: bool) -> str:
    column = block.columns[place]
    if place == 0 and not block.has_header:
        return f'<th scope="row">{_kept(cell)}</th>'
    right = "right" if column.right and is_figure(cell) else ""
    long = "long" if any(len(word) > LONGEST_KEPT for word in cell.split()) else ""
    much = "much" if squeezed and not right and width(cell) > MUCH else ""
    return f"<td{_classes(right, held, long, much)}>{_kept(cell)}</td>"


def _chart(block: Chart) -> str:
    pieces = svg.charts_in_parts(block)
    drawn = [svg.render(piece, kinds=(), whole=block) for piece in pieces[:-1]]
    drawn.append(svg.render(pieces[-1], kinds=block.kinds, whole=block))
    return f'<figure class="strip">\n<figcaption>{text_of(block.title)}</figcaption>\n{"".join(drawn)}</figure>'


def _plot(block: Plot) -> str:
    return f"<figure>\n<figcaption>{text_of(block.title)}</figcaption>\n{plot.svg(block)}</figure>"


def _signature(block: SignatureLine) -> str:
    pairs = (
        ("Name", block.name),
        ("Certificate", f"{block.kind}, number {block.certificate}"),
        ("Date", block.date),
        ("Signature", block.state),
    )
    facts = "".join(f"<dt>{name}</dt><dd>{_kept(value)}</dd>\n" for name, value in pairs)
    line = "" if block.signed or block.void else '<div class="line"></div>\n'
    return f'<div class="signature">\n<dl>\n{facts}</dl>\n{line}</div>'


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
