"""The seals that this folder has held: what vanishes later is noticed, even if nothing came after it.

`.inspect-kit/seals` has one line for each, its SHA-256 and the name of its record. It is a second net only: it can be
deleted at any time, and a fresh clone begins without it.
"""

import contextlib
import os
import re
from collections.abc import Mapping
from pathlib import Path

from inspect_kit.store.layout import OWN
from inspect_kit.store.reading import RefusedFile, read_file
from inspect_kit.store.seals import SealBlock
from inspect_kit.store.writing import refuse_other

REGISTER = f"{OWN}/seals"


def registered(root: Path) -> dict[str, str]:
    """The record's name of every seal that this folder has held, by SHA-256; a torn line is passed over."""
    try:
        data = read_file(root, REGISTER)
    except RefusedFile:
        return {}
    lines = re.findall(r"^([0-9a-f]{64}) (records/\S+\.yaml)$", data.decode("utf-8", "replace"), re.MULTILINE)
    return dict(lines)


def note(root: Path, seals: Mapping[str, SealBlock]) -> None:
    """Write down the seals that stand in this folder, by the record's name; a disk that refuses is no error here."""
    known = registered(root)
    new = [f"{seal.sha256} {name}\n" for name, seal in seals.items() if seal.sha256 not in known]
    if not new:
        return
    refuse_other(root / REGISTER)
    with contextlib.suppress(OSError):
        handle = os.open(root / REGISTER, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o666)
        try:
            # A line that a kill left torn is ended first.
            os.write(handle, ("\n" + "".join(new)).encode())
            os.fsync(handle)
        finally:
            os.close(handle)
