"""Text from records made inert: what could act on a terminal or mislead a reader is shown as an escape instead."""

import unicodedata

# Controls, formats (bidirectional overrides, zero widths), surrogates, private use, unassigned, line and paragraph
# separators: nothing of them belongs in a logbook, and some of them rewrite what a reader sees.
_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def inert(text: str, *, lines: bool = False) -> str:
    """The text with every hidden or acting character written as `\\x1b` or `\\u202e`.

    Line feeds stay where `lines` is set and are spaces otherwise; a tab is a space.
    """
    # Printable is a blank, and whatever is neither hidden nor another kind of space.
    if (text.replace("\n", "") if lines else text).isprintable():
        return text
    return "".join(_shown(character, lines) for character in text.replace("\r\n", "\n"))


def _shown(character: str, lines: bool) -> str:
    if character == "\n":
        return "\n" if lines else " "
    if character == "\t":
        return " "
    category = unicodedata.category(character)
    if category in _HIDDEN:
        code = ord(character)
        return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
    # Every other kind of space looks like a space and may be wrapped like one.
    return " " if category == "Zs" else character
