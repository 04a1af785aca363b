"""One hypothesis profile for all, and golden files: pictures of output that a person has looked at."""

import gc
import importlib
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import settings

from tests.recalled import is_recalled, read_once, searched_once, told_once

settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")

Recalling = tuple[ModuleType, str, Callable[..., object]]
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


@pytest.fixture(scope="module", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What files were read as is kept in a folder of these tests, never in that of whoever runs them.

    One for the whole run would hold thousands of stores, and whoever writes looks through it for room.
    """
    with pytest.MonkeyPatch.context() as patch:
        for word in ("XDG_CACHE_HOME", "LOCALAPPDATA"):
            patch.setenv(word, str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> list[Recalling]:
    """Where what is asked again and again is looked up, and what recalls what was asked before."""
    # Each process of `-n` has a folder of its own in that of the run.
    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "searched"
    folder.mkdir(exist_ok=True)
    places = {
        "inspect_kit.store.parsing.parse": read_once,
        # Where it is made and where the room gives it out: one function still.
        "inspect_kit.store.loading.kept_problems": told_once,
        "inspect_kit.store.kept_problems": told_once,
        "inspect_kit.plan.make.solve": lambda search: searched_once(search, folder),
        "inspect_kit.plan.make.opened_late": lambda search: searched_once(search, folder),
        "inspect_kit.plan.make.serve": lambda search: searched_once(search, folder),
        "inspect_kit.cli.ending.finish_estimate": lambda search: searched_once(search, folder),
        "inspect_kit.visits.make.replenish": lambda search: searched_once(search, folder),
    }
    found, made = [], {}
    for place, recalling in places.items():
        path, _, name = place.rpartition(".")
        module = importlib.import_module(path)
        plain = getattr(module, name)
        found.append((module, name, made.setdefault(plain, recalling(plain))))
    return found


@pytest.fixture(autouse=True)
def recalled(request: pytest.FixtureRequest, once: list[Recalling]) -> Iterator[None]:
    """What was read and searched once is not read and searched again; see `tests.recalled`."""
    if not is_recalled(request.path):
        yield
        return
    with pytest.MonkeyPatch.context() as patch:
        for module, name, recalling in once:
            patch.setattr(module, name, recalling)
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
