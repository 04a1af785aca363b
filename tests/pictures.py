"""Pictures for README, drawn from what the program answers: a terminal as SVG, or a page of HTML inside one.

Each is drawn twice, for a light and for a dark ground, with the fonts of whoever looks at it: nothing is fetched.
"""

import io
import re
from collections.abc import Sequence
from html import escape
from html.parser import HTMLParser
from xml.etree import ElementTree

from rich.console import Console, Group
from rich.terminal_theme import DEFAULT_TERMINAL_THEME, MONOKAI, TerminalTheme
from rich.text import Text

from inspect_kit.report import Page, terminal

LIGHT, DARK = "light", "dark"
THEMES: dict[str, TerminalTheme] = {LIGHT: DEFAULT_TERMINAL_THEME, DARK: MONOKAI}
# Ground and ink of a page of HTML; a sheet of paper stays white, on the ground of the picture.
GROUNDS = {LIGHT: ("#ffffff", "#000000"), DARK: ("#121212", "#e8e8e8")}
VOID = ("br", "hr", "img", "input", "meta", "link")
FRAME = """<svg class="rich-terminal" viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: ui-monospace, Menlo, Consolas, "DejaVu Sans Mono", monospace;
font-size: {char_height}px; line-height: {line_height}px; font-variant-east-asian: full-width; }}
.{unique_id}-title {{ font-size: 18px; font-weight: bold; font-family: sans-serif; }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal">
<rect x="0" y="0" width="{terminal_width}" height="{terminal_height}" />
</clipPath>
{lines}
</defs>
{chrome}
<g transform="translate({terminal_x}, {terminal_y})" clip-path="url(#{unique_id}-clip-terminal)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


def of_page(page: Page, command: str, most: int, ground: str) -> str:
    """The first lines of an answer as a terminal of 100 columns shows them."""
    drawn = Console(width=100, file=io.StringIO(), force_terminal=True, color_system="truecolor", _environ={})
    with drawn.capture() as captured:
        drawn.print(Group(*terminal.renderables(page, 100)))
    return of_lines(captured.get().rstrip("\n").split("\n"), command, most, ground)


def of_lines(lines: Sequence[str], command: str, most: int, ground: str, columns: int = 100) -> str:
    """Lines with the escapes of a terminal, as it shows the first of them below the command."""
    console = Console(
        record=True,
        width=columns,
        file=io.StringIO(),
        force_terminal=True,
        color_system="truecolor",
        legacy_windows=False,
        _environ={},
    )
    console.print(Text.from_ansi("\n".join(lines[:most])), soft_wrap=True, highlight=False)
    if len(lines) > most:
        console.print(f"... and {len(lines) - most} lines more", style="italic", highlight=False)
    return console.export_svg(title=command, theme=THEMES[ground], code_format=FRAME, unique_id="terminal")


class _Whole(HTMLParser):
    """The body of a page as XML, up to the element of its own that is one too many."""

    def __init__(self, text: str, most: int) -> None:
        super().__init__(convert_charrefs=True)
        self.out: list[str] = []
        self.depth, self.count, self.most = 0, 0, most
        self.feed(text.partition("<body>")[2].partition("</body>")[0])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if ("class", "first") in attrs:
            # Elements that fill a sheet of paper together are each one of the page still.
            return
        if self.depth == 0:
            self.count += 1
        if self.count > self.most:
            return
        told = "".join(f' {name}="{escape(value if value is not None else name)}"' for name, value in attrs)
        self.out.append(f"<{tag}{told}{' /' if tag in VOID else ''}>")
        self.depth += tag not in VOID

    def handle_endtag(self, tag: str) -> None:
        if self.count <= self.most and tag not in VOID and self.depth:
            self.depth -= 1
            self.out.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        if self.count <= self.most:
            self.out.append(escape(data, quote=False))


def of_html(text: str, most: int, size: tuple[int, int], ground: str, *, paper: bool = False) -> str:
    """The first elements of a page of HTML in so many pixels; `paper` is white on every ground."""
    width, height = size
    style = re.sub(r"(?s)@(?:media print|page)[^{]*\{(?:[^{}]|\{[^{}]*\})*\}", "", text.partition("<style>")[2])
    style = style.partition("</style>")[0].replace("prefers-color-scheme", "not-asked").replace(":root", ".whole")
    back, ink = GROUNDS[LIGHT if paper else ground]
    around = GROUNDS[ground][0]
    body = "".join(_Whole(text, most).out)
    inside = f"color: {ink}; background: {back}; padding: 14px 20px; margin: 14px auto; max-width: {width - 60}px"
    svg = (
        f'<svg viewBox="0 0 {width} {height}" width="{width}" height="{height}" xmlns="http://www.w3.org/2000/svg">\n'
        f'<rect width="100%" height="100%" fill="{around}" />\n'
        f'<foreignObject width="{width}" height="{height}">\n'
        f'<body xmlns="http://www.w3.org/1999/xhtml" class="whole">\n<style>{escape(style, quote=False)}'
        f".whole {{ {inside} }}</style>\n{body}\n</body>\n</foreignObject>\n</svg>\n"
    )
    ElementTree.fromstring(svg)
    return svg
