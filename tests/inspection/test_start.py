"""Which findings from before stand at the top of a new page: all on an inspection, its own on other work."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.inspection.start import new_page
from inspect_kit.text.record import read_record
from tests.inspection.conftest import logbook, steps

FINDINGS = {
    "2026-04-01-stacks": "check: stacks",
    "2026-04-02-lip": "panel: cowl",
    "2026-04-03-bolt": "check: stick-bolt",
}


def top(job: str, *names: str) -> list[str]:
    """The findings that a page names before its first panel comes off."""
    records = []
    for name, where in FINDINGS.items():
        text = f"format: 1\nkind: finding\ndate: {name[:10]}\nfound: worn\n{where}\nfix: before flight\nby: Ada\n"
        record, source = read_record(text, f"records/2026/{name}.yaml")
        assert record is not None
        assert not source.problems, source.problems
        records.append(record)
    made = logbook().with_records(tuple(records))
    text = new_page(
        made,
        job=job,
        steps=steps(names),
        begun=dt.date(2026, 5, 1),
        meters={"tach": Decimal("100.5")},
        inspector="Ada Bellcrank",
    )
    return [name for name in FINDINGS if f"`{name}#F1`" in text]


@pytest.mark.parametrize(
    ("job", "names", "expected"),
    [
        ("condition", ("stick-travel",), ["2026-04-01-stacks", "2026-04-02-lip", "2026-04-03-bolt"]),
        ("work", ("remove cowl", "stacks", "refit cowl"), ["2026-04-01-stacks", "2026-04-02-lip"]),
        ("work", ("remove cowl", "oil", "refit cowl"), ["2026-04-02-lip"]),
        ("work", ("stick-bolt",), ["2026-04-03-bolt"]),
        ("work", ("stick-travel",), []),
    ],
)
def test_the_findings_that_a_page_names(job: str, names: tuple[str, ...], expected: list[str]) -> None:
    assert top(job, *names) == expected
