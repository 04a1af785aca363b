"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

import pytest

from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from tests.due.small import AIRCRAFT
from tests.text.spelled import SEAL

HEAD = "format: 1\nkind: work\ndate: 2026-05-14\n"


@pytest.mark.parametrize(("line", "named"), [("Did:[first]", True), ("Did; first", False), ("Did= first", False)])
def test_of_what_was_sealed_a_key_with_a_colon_is_named_inside_a_text(line: str, named: bool) -> None:
    """At a semicolon or an equals sign the program itself may have folded the words that were sealed."""
    for seal, wanted in (("", True), (SEAL, named)):
        _, source = read_record(f"{HEAD}text: changed the oil\n  {line}\n{seal}", "r.yaml")
        told = [problem.message for problem in source.problems if "inside a text of several lines" in problem.message]
        assert bool(told) is wanted, source.problems


@pytest.mark.parametrize(("label", "read"), [("cylinder 1 to 2", True), ("cylinder 2 to 2", False)])
def test_a_range_of_labels_has_two_at_least(label: str, read: bool) -> None:
    text = f"---\npanel: a\nname: A\nzone: z\n---\n- [ ] `one` One\n  - every: 50 h\n  - reads: {label}, psi\n"
    _, checks, source = read_checklist(text, "checklists/a.md")
    assert [problem.message for problem in source.problems if "runs upwards" in problem.message] == (
        [] if read else ["reads: a range of labels runs upwards, such as `cylinder 1 to 4`"]
    )
    assert len(checks) == 1


def test_a_meter_without_its_unit_is_told_once() -> None:
    _, source = read_aircraft(AIRCRAFT.replace("{unit: landings}", "{}"), "records/aircraft.yaml")
    assert len([problem for problem in source.problems if "unit" in problem.message]) == 1
