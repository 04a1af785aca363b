"""Which test executes which line, and how long each test takes: a pytest plugin of `mutants`; it wants `coverage`.

`pytest -p tests.bench._covered` writes one SQLite file of `coverage` where COVERED_IN says. What a fixture of a module
or a session executes is told under the file of tests that it was made in, and counts for every test of that file.
"""

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import coverage
import pytest
from hypothesis import settings

ROOMS = os.environ["COVERED_ROOMS"].split(",")
SECONDS: dict[str, float] = {}
COVER = coverage.Coverage(
    data_file=os.environ["COVERED_IN"],
    config_file=False,
    include=[str(Path.cwd() / "inspect_kit" / room / "*") for room in ROOMS],
)
# A few examples execute nearly every line that many do. The class of settings lets nobody change it by an assignment.
MOST = settings.max_examples.fget  # type: ignore[attr-defined]
type.__setattr__(settings, "max_examples", property(lambda self: min(8, MOST(self))))
COVER.start()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    COVER.switch_context(item.nodeid)
    return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(fixturedef: Any, request: Any) -> Iterator[None]:
    if fixturedef.scope == "function":
        return (yield)
    COVER.switch_context(request._pyfuncitem.nodeid.split("::")[0])
    try:
        return (yield)
    finally:
        COVER.switch_context(request._pyfuncitem.nodeid)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    SECONDS[report.nodeid] = SECONDS.get(report.nodeid, 0.0) + report.duration


def pytest_sessionfinish() -> None:
    COVER.stop()
    COVER.save()
    Path(os.environ["COVERED_IN"] + ".seconds.json").write_text(json.dumps(SECONDS), encoding="utf-8")
