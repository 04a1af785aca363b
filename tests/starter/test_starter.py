"""The starter set reads without a problem, covers all 43 codes, and gives a first answer within minutes."""

import json
from pathlib import Path

from inspect_kit.rules import APPENDIX_D, scope_coverage
from inspect_kit.store import at, load
from tests.cli.conftest import Run, calm, run  # noqa: F401

ANSWERS = (
    *("--registration", "N0XX", "--make", 'Sparrow "Kit" Works', "--model", "S-1", "--serial", "0042"),
    *("--certificate-date", "2019-05-17", "--name", "Ada Bellcrank", "--certificate", "0000001"),
    *("--kind", "repairman (experimental aircraft builder)", "--tach", "400.0", "--total", "655.5"),
    *("--last-inspection", "2025-12-13", "--last-total", "620.0", "--last-paper", "aircraft log p. 31"),
)


def test_a_new_store_reads_clean_and_covers_every_code(run: Run, tmp_path: Path) -> None:  # noqa: F811
    plane = tmp_path / "plane"
    made = run(None, "new", str(plane), *ANSWERS)
    assert (made.code, made.err) == (0, "")
    loaded = load(at(plane))
    assert loaded.problems == ()
    assert loaded.logbook is not None
    assert loaded.logbook.aircraft.identity.make == 'Sparrow "Kit" Works'
    assert loaded.logbook.aircraft.identity.serial == "0042"
    coverage = scope_coverage(loaded.logbook.checks.values(), loaded.logbook.aircraft)
    assert coverage.complete
    assert len(coverage.clauses) == len(APPENDIX_D.codes) == 43
    assert run(plane, "verify").code == 0
    assert run(plane, "scope").code == 0
    items = {item["check"]: item for item in json.loads(run(plane, "due", "--json").out)["items"]}
    # 12 calendar months after 2025-12-13.
    assert items["condition"]["due"]["date"] == "2026-12-31"
    assert items["oil-change"]["state"] == "unknown"
    assert run(plane, "plan", "condition", "--people", "2").code == 0


def test_answers_are_asked_one_by_one(run: Run, tmp_path: Path) -> None:  # noqa: F811
    typed = ("N0YY", "Own", "X-1", "1", "2024-02-29", "Bo Cleco", "", "0000002", "12.3", "", "none")
    made = run(None, "new", str(tmp_path / "plane"), typed=typed)
    assert made.code == 0, made
    items = {item["check"]: item for item in json.loads(run(tmp_path / "plane", "due", "--json").out)["items"]}
    assert items["condition"]["state"] == "unknown"


def test_a_folder_with_something_in_it_is_left_alone(run: Run, tmp_path: Path) -> None:  # noqa: F811
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    refused = run(None, "new", str(tmp_path), *ANSWERS)
    assert refused.code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_the_sample_is_copied_whole(run: Run, tmp_path: Path) -> None:  # noqa: F811
    made = run(None, "new", str(tmp_path / "sample"), "--sample")
    assert (made.code, made.err) == (0, "")
    assert run(tmp_path / "sample", "verify").code == 0
