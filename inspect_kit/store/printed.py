"""What was printed for a pen: the ordered boxes of a sheet by their code, so that a later page can be compared with it.

`.inspect-kit/sheets/<code>` has one line for each box, and its name is made of its lines, so that whoever reads it can
see whether it says what it did. It can be deleted at any time; then only that a page has changed can be told, not how.
"""

import contextlib
from collections.abc import Callable, Sequence
from pathlib import Path

from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.store.layout import OWN
from inspect_kit.store.lock import writing
from inspect_kit.store.reading import RefusedFile, read_file
from inspect_kit.store.writing import create

SHEETS = f"{OWN}/sheets"


def keep_sheet(root: Path, code: str, lines: Sequence[str], waiting: Callable[[str], None]) -> None:
    """Keep the boxes of a sheet. One that is kept already, or a store that cannot be written, is no error here."""
    with contextlib.suppress(StoreUnreadable), writing(root, command="sheet", waiting=waiting) as writer:
        create(writer, f"{SHEETS}/{code}", "".join(f"{line}\n" for line in lines).encode())


def kept_sheet(root: Path, code: str) -> tuple[str, ...] | None:
    """The boxes of the sheet of this code as they were printed; None when this folder has not kept them."""
    try:
        data = read_file(root, f"{SHEETS}/{code}")
    except (RefusedFile, Misused):
        return None
    return tuple(data.decode("utf-8", "replace").split("\n")[:-1])
