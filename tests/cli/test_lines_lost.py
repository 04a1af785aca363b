"""A check, or a panel, whose lines were lost by a slip of an editor: what records name it, and only they, sealed."""

import json
import re
import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Run

SAMPLE = Path(__file__).parents[2]
PAGE = "checklists/fuselage/airframe.md"


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    for part in ("checklists", "records"):
        shutil.copytree(SAMPLE / part, tmp_path / part)
    return tmp_path


def without(page: Path, check: str) -> str:
    """Take the lines of a check out of its page; the lines."""
    text = page.read_text(encoding="utf-8")
    found = re.search(rf"(?m)^- \[ \] `{check}`.*\n(?:  .*\n)*", text)
    assert found
    page.write_text(text.replace(found.group(), ""), encoding="utf-8")
    return found.group()


def test_a_check_that_only_sealed_records_name(run: Run, sample: Path) -> None:
    """It was past due, and would be asked for by nothing."""
    lines = without(sample / PAGE, "corrosion-treatment")
    answer = run(sample, "due", "--json")
    told = "no check is called `corrosion-treatment`"
    assert [told in stop["text"] for stop in json.loads(answer.out)["stops"]] == [True]
    assert (told in answer.err, answer.code, run(sample, "due", "--strict").code) == (True, 3, 3)
    checked = run(sample, "verify")
    assert (checked.code, "Notes" in checked.out) == (3, False)
    # All that nine years say of it is told once, and not as though a sealed record were wrong.
    assert "records/2024/2024-11-23-condition-g2kw.yaml:193 was sealed" in " ".join(checked.out.split())
    assert json.loads(run(sample, "verify", "--json").out)["problems"][0]["file"] == "checklists"
    done = run(sample, "history", "corrosion-treatment")
    assert [day in done.out for day in ("2024-11-23", "2022-11-12", "2021-05-29", "2019-05-18")] == [True] * 4
    assert "is called `corrosion-treatmen`" in run(sample, "history", "corrosion-treatmen").err
    # Kept as retired it is in order.
    with (sample / PAGE).open("a", encoding="utf-8") as page:
        page.write(f"{lines}  - retired: 2026-11-27, sprayed by the shop\n")
    assert run(sample, "verify").code == 0


def test_a_panel_that_only_sealed_records_name(run: Run, sample: Path) -> None:
    """Its file is lost, and all its checks stand in another one."""
    page = sample / "checklists/cabin/side-panel-left.md"
    _, _, checks = page.read_text(encoding="utf-8").split("---\n", 2)
    other = sample / "checklists/cabin/side-panel-right.md"
    with other.open("a", encoding="utf-8") as right:
        right.write("\n" + checks[checks.index("- [ ]") :])
    page.unlink()
    told = run(sample, "verify")
    assert (told.code, "no panel is called `side-panel-left`" in " ".join(told.out.split())) == (3, True)


def test_where_a_checklist_cannot_be_read_that_alone_is_told(run: Run, sample: Path) -> None:
    (sample / PAGE).write_bytes(b"\xff\xfe\x00")
    told = run(sample, "verify").err
    assert PAGE in told
    assert "was sealed" not in told
