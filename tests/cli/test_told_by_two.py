"""One change of a part told in two clones, the serial spelled two ways: the store can be put right by command."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run

OUT = """\
format: 1
kind: removed
date: 2026-11-20
meters: {tach: 410}
position: magneto
serial: M-1
by: Ada Bellcrank
"""
IN = OUT.replace("removed", "installed")
WHY = ("--reason", "told twice", "--by", "Ada Bellcrank")


@pytest.fixture
def merged(hangar: Path) -> Path:
    """A store into which two clones came: each took M-1 out and fitted the new one."""
    people = hangar / "records/aircraft.yaml"
    people.write_text(people.read_text() + "positions: {magneto: {}}\n")
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text() + "fitted:\n  magneto: {serial: M-1, since-new: 300}\n")
    for clone, serial in (("a", "M-9"), ("b", "M9")):
        (hangar / f"records/2026/2026-11-20-{clone}-out.yaml").write_text(OUT)
        (hangar / f"records/2026/2026-11-20-{clone}-in.yaml").write_text(IN.replace("M-1", serial))
    return hangar


def problems(run: Run, store: Path) -> str:
    return " ".join(run(store, "verify").out.split())


def test_what_is_advised_leaves_one_change_on_record(run: Run, merged: Path) -> None:
    steps = []
    while len(steps) < 4 and "inspect-kit withdraw" in (told := problems(run, merged)):
        steps.append(told.partition("inspect-kit withdraw ")[2].split()[0].rstrip(","))
        done = run(merged, "withdraw", steps[-1], *WHY)
        assert "Withdrawn" in done.err, done.err
    assert len(steps) == 2
    assert run(merged, "verify").code == 0
    assert "nothing is fitted" not in run(merged, "due").out
    assert "Magneto" in run(merged, "status").out or "magneto" in run(merged, "status", "--all").out


def test_the_serial_is_amended_though_the_other_change_stays_wrong(run: Run, merged: Path) -> None:
    amended = run(merged, "amend", "2026-11-20-b-in", "serial=M-9", *WHY, "--yes")
    assert amended.code == 3
    assert "looks like" not in problems(run, merged)
    # What stays wrong in other words is not said to be put right.
    assert "-out.yaml:7: put right" not in amended.err


def test_what_becomes_wrong_anew_is_refused_all_the_same(run: Run, merged: Path) -> None:
    for name in ("2026-11-20-b-in", "2026-11-20-b-out"):
        done = run(merged, "withdraw", name, *WHY)
        assert "Withdrawn" in done.err, done.err
    refused = run(merged, "withdraw", "2026-11-20-a-out", *WHY)
    assert "a-out.yaml is not withdrawn" in refused.err
    assert "is still fitted" in refused.err
