"""What is wrong with a file, message by message; the fixtures show the input above its exact message."""

from pathlib import Path

import pytest

from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.fields import read_yaml
from inspect_kit.text.loads import read_loads
from inspect_kit.text.mapping import Fields
from inspect_kit.text.record import read_record
from inspect_kit.text.source import Source, split_lines
from inspect_kit.text.worksheet import read_worksheet
from tests.dots import Case, cases

HERE = Path(__file__).parent
READERS = {
    "checklist_bad.md": ("checklists/a.md", lambda text, file: read_checklist(text, file)[2]),
    "aircraft_bad.md": ("records/aircraft.yaml", lambda text, file: read_aircraft(text, file)[1]),
    "record_bad.md": ("records/2026/r.yaml", lambda text, file: read_record(text, file)[1]),
    "worksheet_bad.md": ("records/open/p.md", lambda text, file: read_worksheet(text, file)[1]),
}
# Under the one key `balance`; what else aircraft.yaml must have is another fixture's business.
READERS["balance_bad.md"] = ("records/aircraft.yaml", lambda text, file: read_balance(text, file))


def read_balance(text: str, file: str) -> Source:
    source = Source(file, split_lines(text))
    node, problems = read_yaml(text, file)
    source.problems += problems
    if node is not None:
        read_loads(Fields(node, source))
    return source


CASES = [pytest.param(name, case, id=f"{name}: {case.title}") for name in READERS for case in cases(HERE / name)]


@pytest.mark.parametrize(("fixture", "case"), CASES)
def test_message(fixture: str, case: Case) -> None:
    file, read = READERS[fixture]
    problems = sorted(read(case.given, file).problems, key=lambda problem: problem.place)
    assert "\n".join(map(str, problems)) == case.expected
