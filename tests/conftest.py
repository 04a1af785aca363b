"""One hypothesis profile for all, and golden files: pictures of output that a person has looked at."""

import gc
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")

GOLDEN = Path(__file__).parent / "golden"
MEMORY, ROOM = Path("/dev/shm"), 4 << 30

# A run writes thousands of small files, about a gigabyte: in memory where there is room for several runs.
if MEMORY.is_dir() and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))


def pytest_collection_finish() -> None:
    """What was collected stays until the end: it need not be gone through for garbage again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--golden-update", action="store_true", help="write golden files instead of comparing with them")
    parser.addoption("--disk", help="a folder on the disk to try the store on, instead of memory")


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What files were read as is kept in a folder of this run, never in that of whoever runs it."""
    with pytest.MonkeyPatch.context() as patch:
        for word in ("XDG_CACHE_HOME", "LOCALAPPDATA"):
            patch.setenv(word, str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compare text with tests/golden/NAME. With --golden-update write it; look at what changed before it is kept."""

    def compare(name: str, text: str) -> None:
        path = GOLDEN / name
        if request.config.getoption("--golden-update"):
            path.write_text(text, encoding="utf-8", newline="\n")
            return
        assert path.exists(), f"{name} is not there yet: run pytest --golden-update and look at it"
        assert text == path.read_text(encoding="utf-8")

    return compare
