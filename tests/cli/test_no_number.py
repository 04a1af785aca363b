"""An inspection is passed by the number of a certificate that is held: one applied for, or lapsed, is none."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered
from tests.cli.test_sealing import ADA, Page, change, page, sign

__all__ = ["page"]

NONE = ("applied for", "expired", "123 (expired)", "revoked", "student", "pending", "0000001?", "TBD")


def with_number(hangar: Path, number: str) -> None:
    change(hangar / "records/aircraft.yaml", 'certificate: "0000001"', f'certificate: "{number}"')


@pytest.mark.parametrize("number", NONE)
def test_what_is_no_number_signs_nothing(run: Run, hangar: Path, page: Page, number: str) -> None:
    """It was sealed, signed and counted; or refused only below the whole statement."""
    page("condition", "tach=401.0")
    with_number(hangar, number)
    refused = sign(run, hangar, "--ink", "log p. 4")
    told = " ".join(refused.out.split())
    assert (refused.code, "I certify" in told) == (1, False), refused
    assert f"`{number}` is the number of no certificate that is held ({ADA} in records/aircraft.yaml)" in told
    assert not [*hangar.glob("records/2026/*-condition-*.yaml")]
    change(hangar / "records/aircraft.yaml", f'certificate: "{number}"', 'certificate: "R-0000001"')
    assert "Sealed: " in sign(run, hangar, "--ink", "log p. 4").out


@pytest.mark.parametrize(("number", "counts"), [("applied for", False), ("0000001", True), ("1 (expired)", True)])
@pytest.mark.parametrize("by", [ADA, f"{{name: {ADA}, kind: repairman (experimental aircraft builder)}}"])
def test_a_paper_by_the_name_alone_counts_by_a_number(
    run: Run, hangar: Path, number: str, counts: bool, by: str
) -> None:
    """What stands behind the number of an old one today makes nothing undone that it signed then."""
    with_number(hangar, number)
    text = "kind: paper-entry\ndate: 2026-11-01\nmeters: {tach: 400.5}\ntext: Condition inspection, passed\n"
    entered(hangar, "2026-11-01-paper", f"{text}paper: aircraft log p. 50\nlast: [condition]\nby: {by}\n")
    why = f"last: counts for no condition inspection: {ADA} has `applied for` in records/aircraft.yaml"
    assert (why in " ".join(run(hangar, "verify").out.split())) is not counts
    (item,) = json.loads(run(hangar, "due", "condition", "--json").out)["items"]
    # 12 calendar months from 2026-11-01, or from what was brought forward.
    assert item["due"]["date"] == ("2027-11-30" if counts else "2026-12-31")
