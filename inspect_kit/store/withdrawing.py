"""An entry is taken out of those that count, and kept whole among the withdrawn ones."""

from pathlib import Path

from inspect_kit.store.layout import folder_of, withdrawn_name
from inspect_kit.store.reading import RefusedFile, read_file
from inspect_kit.store.writing import Writer, create, expect, move_folder, remove


def withdraw(writer: Writer, record: str, *, read: bytes, whole: bytes) -> None:
    """Take a record out of those that count: `whole`, which says why, is kept with its files, then it is removed.

    Killed in between, it counts still, `verify` names it, and withdrawing it once more ends what was begun.
    """
    kept = withdrawn_name(record)
    expect(writer, record, read)
    if not _begun(writer.root, kept, read):
        create(writer, kept, whole)
    move_folder(writer, folder_of(record), folder_of(kept))
    remove(writer, record, read=read)


def _begun(root: Path, kept: str, read: bytes) -> bool:
    """Whether a record stands among the withdrawn already, with these bytes."""
    try:
        return read_file(root, kept).startswith(read)
    except RefusedFile:
        return False
