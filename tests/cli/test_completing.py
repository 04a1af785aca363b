"""What Tab offers: names of the sample, asked for as the shells ask."""

from pathlib import Path

import pytest
from click.shell_completion import BashComplete

from inspect_kit.cli.main import cli

SAMPLE = Path(__file__).parents[2]


def offered(store: Path, *words: str) -> list[str]:
    *before, last = words
    asked = BashComplete(cli, {}, "inspect-kit", "_INSPECT_KIT_COMPLETE")
    return [item.value for item in asked.get_completions(["--store", str(store), *before], last)]


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("due", "oil-c"), "oil-change"),
        (("due", "cond"), "condition"),
        (("plan", "cond"), "condition"),
        (("work", "oil-change", "ta"), "tach="),
        (("hours", "land"), "landings="),
        (("work", "oil-change", "--by", "Otto"), "Otto Rivetsby"),
        (("history", "magneto-l"), "magneto-left"),
        (("history", "cowl-l"), "cowl-lower"),
        (("report", "2025-1"), "2025-11-22-condition-j4jj"),
        (("install", "mag"), "magneto-left"),
        (("remove", "mag"), "magneto-right"),
        (("meter", ""), "tach"),
        (("stock", "oil f"), "oil filter"),
        (("sign", "--as", ""), "Hazel Quillfeather"),
    ],
)
def test_the_stores_names_are_offered(words: tuple[str, ...], name: str) -> None:
    assert name in offered(SAMPLE, *words)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("meter", ""), "tach="),
        (("stock", ""), "oil-change"),
        (("sign", "--as", ""), "Pip Ashtally"),
        (("signature", ""), "2025-11-22-condition-j4jj"),
    ],
)
def test_what_the_command_would_refuse_is_not_offered(words: tuple[str, ...], name: str) -> None:
    assert name not in offered(SAMPLE, *words)


def test_only_names_that_begin_so() -> None:
    found = offered(SAMPLE, "due", "oil")
    assert found
    assert all(name.startswith("oil") for name in found)


def test_a_retired_check_is_not_offered(tmp_path: Path) -> None:
    (tmp_path / "checklists").mkdir()
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "aircraft.yaml").write_bytes((SAMPLE / "records" / "aircraft.yaml").read_bytes())
    boxes = "- [ ] `old-oil` Old oil\n  - every: 50 h\n  - retired: 2020-01-01, other oil\n- [ ] `old-air` Old air\n"
    head = "---\npanel: cowl\nname: Cowl\nzone: nose\nremove: 1 min\nrefit: 1 min\n---\n"
    (tmp_path / "checklists" / "cowl.md").write_text(head + boxes + "  - every: 50 h\n")
    assert offered(tmp_path, "due", "old") == ["old-air"]


def test_a_store_that_cannot_be_read_offers_nothing(tmp_path: Path) -> None:
    assert offered(tmp_path, "due", "") == []
    assert offered(tmp_path / "nowhere", "work", "oil") == []
