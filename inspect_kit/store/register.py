"""The seals that this folder has held: what vanishes later is noticed, even if nothing came after it.

`.inspect-kit/seals` has one line for each, its SHA-256 and the name of its record. It is a second net only: it can be
deleted at any time, and a fresh clone begins without it. One that is there and cannot be read is a problem, for what it
knew is lost; an empty one is as good as none.
"""

import contextlib
import os
import re
from collections.abc import Mapping
from pathlib import Path

from inspect_kit.errors import Place, Problem
from inspect_kit.store.layout import OWN
from inspect_kit.store.reading import RefusedFile, read_file
from inspect_kit.store.seals import SealBlock, whole_seals
from inspect_kit.store.writing import refuse_other

REGISTER = f"{OWN}/seals"


LINE = r"(?m)^([0-9a-f]{64}) (records/\S+\.yaml)$"
# What a kill may leave of a line.
TORN = r"[0-9a-f]{0,64}|[0-9a-f]{64} \S*"


def registered(root: Path) -> dict[str, str]:
    """The record's name of every seal that this folder has held, by SHA-256; a torn line is passed over."""
    try:
        data = read_file(root, REGISTER)
    except RefusedFile:
        return {}
    return dict(re.findall(LINE, data.decode("utf-8", "replace")))


def register_faults(root: Path, files: Mapping[str, bytes]) -> tuple[Problem, ...]:
    """The problem of a register that is there and cannot be read, or not all of it.

    What a kill left of a line begins one that was written anew since, or will be: its record is among the `files`.
    """
    told = ""
    if os.path.islink(root / REGISTER):
        told = "is a symbolic link; it is not followed"
    elif os.path.lexists(root / REGISTER):
        try:
            lines = read_file(root, REGISTER).decode("utf-8", "replace").split("\n")
        except RefusedFile as error:
            told = str(error)
        else:
            odd = [
                number
                for number, line in enumerate(lines, 1)
                if not re.match(LINE, line) and not re.fullmatch(TORN, line)
            ]
            told = f"line {odd[0]} cannot be read" if odd else ""
            torn = [line for line in lines if line and not re.match(LINE, line)]
            if torn and not odd:
                seals = whole_seals(files)
                whole = [line for line in lines if re.match(LINE, line)]
                known = [*whole, *(f"{seal.sha256} {name}" for name, seal in seals.items())]
                cut = next((line for line in torn if not any(each.startswith(line) for each in known)), "")
                told = f"line {lines.index(cut) + 1} was cut, and no other line begins so" if cut else ""
    lost = "which sealed records this folder has held is not known, so that one that vanished may not be missed"
    cure = "put it back from a copy of the folder, or take it away: it begins anew"
    return (Problem(Place(REGISTER), f"{told}: {lost}; {cure}"),) if told else ()


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
