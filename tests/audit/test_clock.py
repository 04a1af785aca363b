"""More hours than the clock holds, against every pair of readings looked at by itself."""

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.errors import Place
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from tests.audit.conftest import SMALL, files_of

readings = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 400)), min_size=1, max_size=8)


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Logbook:
    """The small store without its records."""
    root = tmp_path_factory.mktemp("small")
    for name, content in files_of(SMALL.read_text(encoding="utf-8")).items():
        if not name.startswith("records/2026"):
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(content, encoding="utf-8")
    logbook = store.load(root).logbook
    assert logbook is not None
    return logbook


def hours(number: int, day: int, tach: int) -> Record:
    date = dt.date(2026, 3, 1) + dt.timedelta(days=day)
    name = f"r{number:02}"
    return Hours(name=name, date=date, meters={"tach": Decimal(tach)}, place=Place(f"records/{name}.yaml", 1))


@given(readings)
def test_any_two_readings(empty: Logbook, given_: list[tuple[int, int]]) -> None:
    # Readings that run forwards, a few of them too fast.
    days, totals = sorted(day for day, _ in given_), sorted(total for _, total in given_)
    pairs = list(zip(days, totals, strict=True))
    records = tuple(hours(number, day, total) for number, (day, total) in enumerate(pairs))
    told = [problem.message for problem in audit(dataclasses.replace(empty, records=records))]
    too_fast = any(
        later - earlier > 24 * (last - first + 1)
        for at, (first, earlier) in enumerate(pairs)
        for last, later in pairs[at + 1 :]
    )
    assert bool(told) == too_fast
    assert all("more than the clock holds" in message for message in told)
