"""Scratch folders in memory where there is such a disk: a thousand flushes of a real one take minutes."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

MEMORY = Path("/dev/shm")


@pytest.fixture
def tmp_path() -> Iterator[Path]:
    where = MEMORY if MEMORY.is_dir() and os.access(MEMORY, os.W_OK) else None
    with tempfile.TemporaryDirectory(dir=where, prefix="store-", ignore_cleanup_errors=True) as folder:
        yield Path(folder).resolve()
