"""Which findings from before stand at the top of a new page: all on an inspection, its own on other work."""


import pytest

from tests.inspection.conftest import page_of, with_findings

FINDINGS = {
    "2026-04-01-stacks": "check: stacks",
    "2026-04-02-lip": "panel: cowl",
    "2026-04-03-bolt": "check: stick-bolt",
}


def top(job: str, *names: str) -> list[str]:
    """The findings that a page names before its first panel comes off."""
    text = page_of(with_findings(FINDINGS), names, job)
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
