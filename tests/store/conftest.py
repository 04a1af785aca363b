"""Scratch folders in memory where there is such a disk: a thousand flushes of a real one take minutes.

`pytest tests/store --disk DIR` tries the store on another disk, such as a memory card. One without links of either kind
skips what needs them.
"""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

MEMORY = Path("/dev/shm")


@pytest.fixture
def tmp_path(request: pytest.FixtureRequest) -> Iterator[Path]:
    where = MEMORY if MEMORY.is_dir() and os.access(MEMORY, os.W_OK) else None
    if (disk := request.config.getoption("--disk")) is not None:
        where = Path(disk)
    with tempfile.TemporaryDirectory(dir=where, prefix="store-", ignore_cleanup_errors=True) as folder:
        yield Path(folder).resolve()
