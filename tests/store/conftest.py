"""Scratch folders in memory where there is such a disk: a thousand flushes of a real one take minutes.

`pytest tests/store --disk DIR` tries the store on another disk, such as a memory card. Whatever a test puts there that
such a disk cannot hold (a link, a pipe, a socket, a mode) skips it with the reason; on any other disk it fails.
"""

import os
import socket
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

MEMORY = Path("/dev/shm")


@pytest.fixture
def tmp_path(request: pytest.FixtureRequest) -> Iterator[Path]:
    where = MEMORY if MEMORY.is_dir() and os.access(MEMORY, os.W_OK) else None
    if (disk := request.config.getoption("--disk")) is not None:
        where = Path(disk)
    with tempfile.TemporaryDirectory(dir=where, prefix="store-", ignore_cleanup_errors=True) as folder:
        yield Path(folder).resolve()


@pytest.fixture(autouse=True)
def what_the_disk_cannot_hold(request: pytest.FixtureRequest) -> Iterator[None]:
    """With `--disk`: what the program itself never makes skips the test where the disk refuses it."""
    if request.config.getoption("--disk") is None:
        yield
        return

    def skipping(make: Callable[..., Any], reason: str) -> Callable[..., Any]:
        def made(*args: Any, **more: Any) -> Any:
            try:
                return make(*args, **more)
            except OSError:
                pytest.skip(f"this disk has no {reason}")

        return made

    chmod = Path.chmod

    def with_mode(path: Path, mode: int, **more: Any) -> None:
        chmod(path, mode, **more)
        if path.stat().st_mode & 0o777 != mode & 0o777:
            pytest.skip("this disk has no modes")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "symlink", skipping(os.symlink, "links"))
        patch.setattr(os, "mkfifo", skipping(os.mkfifo, "pipes"))
        patch.setattr(os, "chown", skipping(os.chown, "owners"))
        patch.setattr(Path, "hardlink_to", skipping(Path.hardlink_to, "links"))
        patch.setattr(socket.socket, "bind", skipping(socket.socket.bind, "sockets"))
        patch.setattr(Path, "chmod", with_mode)
        yield


@pytest.fixture
def hard_links(tmp_path: Path) -> None:
    """The test is about a disk with hard links; another one is skipped."""
    (tmp_path / "one").touch()
    try:
        os.link(tmp_path / "one", tmp_path / "two")
    except OSError:
        pytest.skip("this disk has no hard links")


@pytest.fixture
def modes(tmp_path: Path) -> None:
    """The test is about a disk that keeps modes; another one is skipped."""
    (tmp_path / "mode").touch(0o600)
    if (tmp_path / "mode").stat().st_mode & 0o777 != 0o600:
        pytest.skip("this disk has no modes")
