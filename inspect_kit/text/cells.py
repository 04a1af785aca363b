"""The apostrophe that keeps a cell of a table from acting as a formula: set by `export`, taken off by `import`."""

import re

from inspect_kit.model.checklist import decimal

# Spreadsheets take a cell for a formula that begins so, and some of them after blanks or in the wide forms too.
_BLANK = "[\\s\u200b\ufeff]"
_ACTS = re.compile(f"'*(?:[\t\r]|{_BLANK}*[=+\\-@\uff1d\uff0b\uff0d\uff20])", re.DOTALL)


def guarded(cell: str) -> str:
    """A cell as it is written: with an apostrophe before it if a spreadsheet could take it for a formula."""
    return f"'{cell}" if decimal(cell) is None and _ACTS.match(cell) else cell


def unguarded(cell: str) -> str:
    """A cell as it was before `guarded`: the apostrophe is taken off again."""
    return cell[1:] if cell.startswith("'") and _ACTS.match(cell) else cell
