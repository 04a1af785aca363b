"""What a note or an answer advises is typed as it stands, and helps."""

import shlex
from pathlib import Path

from tests.cli.conftest import Run

WORK = """\
format: 1
kind: work
date: 2026-11-{}
meters: {{tach: 410}}
text: washed
by: {{name: Ada Bellcrank, kind: repairman (experimental aircraft builder), certificate: "1111111"}}
"""
DIRECTIVE = """\
format: 1
kind: directive
date: 2026-11-01
number: AD 2021-7
issuer: FAA
subject: oil
authority: airworthiness directive
on: aircraft
applies: "yes"
every: 50 h
issued: 2026-10-01
check: oil
by: Ada Bellcrank
"""


def test_a_number_that_was_issued_again_is_said_once(run: Run, hangar: Path) -> None:
    for day in (3, 4, 5):
        (hangar / f"records/2026/work-{day}.yaml").write_text(WORK.format(f"0{day}"))
    told = " ".join(run(hangar, "verify").out.split())
    assert told.count("is 1111111 here and 0000001 in records/aircraft.yaml") == 3
    line = told.partition("Where it was issued again since, `")[2].partition("`")[0]
    assert line == 'was: ["1111111"]'
    people = hangar / "records/aircraft.yaml"
    people.write_text(people.read_text().replace('"0000001"}', f'"0000001", {line}}}'))
    assert "1111111" not in run(hangar, "verify").out
    # Any other number is asked about all the same.
    (hangar / "records/2026/work-6.yaml").write_text(WORK.format("06").replace("1111111", "2222222"))
    assert 'was: ["1111111", "2222222"]' in " ".join(run(hangar, "verify").out.split())


def test_a_number_with_a_blank_is_typed_in_quotes(run: Run, hangar: Path) -> None:
    (hangar / "records/2026/2026-11-01-ad.yaml").write_text(DIRECTIVE)
    told = " ".join(run(hangar, "directives").out.split())
    line = told.partition("`inspect-kit directive ")[2].partition("`")[0]
    assert shlex.split(line) == ["AD 2021-7"]


def test_a_due_point_before_the_present_meter_has_no_reading_of_it(run: Run, hangar: Path) -> None:
    (hangar / "records/2026/2026-11-02-changed.yaml").write_text(
        "format: 1\nkind: meter-change\ndate: 2026-11-02\nmeter: tach\nold: 470\nnew: 0\nby: Ada Bellcrank\n"
    )
    (hangar / "records/2026/2026-11-03-hours.yaml").write_text(
        "format: 1\nkind: hours\ndate: 2026-11-03\nmeters: {tach: 1}\n"
    )
    shown = run(hangar, "due", "oil").out
    told = " ".join(shown.split())
    assert "past" in told
    assert "(past due); that was" in told
    assert told.count("before the present meter") == 2
    assert "-25.5" not in told + run(hangar, "due", "--all").out
