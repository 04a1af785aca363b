"""What is written outside a store, as carefully as inside it: a report where it is wanted, a store of one's own."""

import contextlib
import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from inspect_kit.errors import Misused, StoreUnreadable
from inspect_kit.store.layout import reason
from inspect_kit.store.writing import flush_folder


def write_outside(path: Path, data: bytes) -> None:
    """Write a file anywhere: whole, or the old one stays. What is no plain file, such as /dev/stdout, is written to."""
    try:
        if path.exists() and not path.is_file():
            path.write_bytes(data)
            return
        target = path.resolve()
        half = target.with_name(f".{target.name}.{os.urandom(4).hex()}.half")
        try:
            _write(half, data)
            if target.exists():
                os.chmod(half, target.stat().st_mode & 0o7777)
            os.replace(half, target)
        finally:
            with contextlib.suppress(OSError):
                os.unlink(half)
        flush_folder(target.parent)
    except OSError as error:
        raise StoreUnreadable(f"{path} cannot be written: {reason(error)}") from error


def make_store(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make a new store of these files, by their names in it; it stands there whole, or not at all.

    `folder` may be there if it is empty; Misused if it is not.
    """
    make_folder(folder, files, "a new store")


def make_folder(folder: Path, files: Mapping[str, bytes | Path], what: str = "it") -> None:
    """Make a folder of these files, given as bytes or as the path of a file to copy, as `make_store` does."""
    if folder.is_symlink() or (folder.exists() and (not folder.is_dir() or any(folder.iterdir()))):
        raise Misused(f"{folder} is there already and is not empty: {what} needs a new folder")
    target = folder.absolute()
    half = target.with_name(f".{target.name}.{os.urandom(4).hex()}.half")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            for name, data in files.items():
                (half / name).parent.mkdir(parents=True, exist_ok=True)
                _write(half / name, data)
            for made in [half, *(path for path in half.rglob("*") if path.is_dir())]:
                flush_folder(made)
            # An empty folder of that name gives way to the new one.
            os.replace(half, target)
        finally:
            shutil.rmtree(half, ignore_errors=True)
        flush_folder(target.parent)
    except OSError as error:
        raise StoreUnreadable(f"{folder} cannot be written: {reason(error)}") from error


def _write(path: Path, data: bytes | Path) -> None:
    with path.open("xb") as stream:
        if isinstance(data, Path):
            with data.open("rb") as source:
                shutil.copyfileobj(source, stream)
        else:
            stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
