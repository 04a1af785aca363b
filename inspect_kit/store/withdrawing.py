"""An entry is taken out of those that count, and kept whole among the withdrawn ones."""

from inspect_kit.store.layout import withdrawn_name
from inspect_kit.store.reading import RefusedFile, read_file
from inspect_kit.store.together import create_all
from inspect_kit.store.writing import Writer, remove_file


def withdraw(writer: Writer, record: str, *, read: bytes, whole: bytes) -> None:
    """Take a record out of those that count: `whole`, which says why, is kept with its files, then it is removed.

    Where it stands among the withdrawn already, as after a merge, it is only taken away.
    """
    kept = withdrawn_name(record)
    if _stands(writer, kept, read):
        remove_file(writer, record, read=read)
    else:
        create_all(writer, {kept: whole}, goes={record: read})


def _stands(writer: Writer, kept: str, read: bytes) -> bool:
    """Whether a record stands among the withdrawn already, with these bytes."""
    try:
        return read_file(writer.root, kept).startswith(read)
    except RefusedFile:
        return False
