"""What the commands show at 80 columns that have no golden file in tests/report, on the store of README's examples."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli import readme
from tests.cli.conftest import TODAY, Run

FILES = {block.file: block.body for block in readme.blocks(readme.section("## Written by hand")) if block.file}
SCREENS = {
    "balance": ("balance",),
    "directives": ("directives",),
    "find": ("find", "oil"),
    "status-whole": ("status", "--all"),
    "parts": ("parts",),
    "plan-for-helper": ("plan", "oil-change", "--for", "helper"),
    "sign-what-is-missing": ("sign",),
    "trend": ("trend",),
    "verify": ("verify",),
    "visits-whole": ("visits", "--all"),
}


@pytest.mark.parametrize("name", SCREENS)
def test_screens_at_80_columns(
    name: str, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, golden: Callable[[str, str], None]
) -> None:
    for file, text in FILES.items():
        path = tmp_path / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "80")
    if name == "sign-what-is-missing":
        began = run(tmp_path, "start", "oil-change", "--by", "Sample Builder", "--helper", "Another", on=str(TODAY))
        assert began.code == 0, began.err
    told = run(tmp_path, *SCREENS[name])
    shown = re.sub(r"(?<=2026-11-25-oil-change-)\w{4}", "k3f9", told.out + told.err)
    golden(f"screens/{name}.txt", shown)
    assert all(len(line) <= 80 for line in told.out.split("\n"))
