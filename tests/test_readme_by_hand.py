"""The README's examples of what a person writes by hand: each is whole, together they are a store without a fault."""

from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.cli.desk import merged
from inspect_kit.due import due
from inspect_kit.model.kinds import KINDS
from inspect_kit.model.kinds.inspection import Inspection
from tests.cli import readme
from tests.cli.test_readme_lines import DAY

HAND = readme.section("## Written by hand")
FILES = readme.BY_HAND


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return readme.write_by_hand(tmp_path)


def test_together_they_are_a_store_without_a_fault(root: Path) -> None:
    loaded = store.load(root)
    assert loaded.logbook is not None
    assert [str(problem) for problem in merged(loaded.problems, audit(loaded.logbook, DAY))] == []


def test_every_kind_that_a_person_writes_has_one(root: Path) -> None:
    """`sign` alone writes an inspection."""
    logbook = store.load(root).logbook
    assert logbook is not None
    shown = {text.partition("\nkind: ")[2].partition("\n")[0] for name, text in FILES.items() if "/20" in name}
    assert shown == {kind.name for kind in KINDS} - {"inspection"}
    assert not any(isinstance(record, Inspection) for record in logbook.records)


def test_each_counts(root: Path) -> None:
    """What the words beside them say is what comes out: worked out by hand."""
    logbook = store.load(root).logbook
    assert logbook is not None
    oil = due(logbook, DAY).item("oil-change")
    assert oil is not None
    # Done at 412.9 as amended, the tach then changed at 421.5 with 0.4 h in between: 462.9 in all, 41.0 on the new one.
    assert oil.last is not None
    assert str(oil.last.total) == "412.9"
    assert oil.due.total == Decimal("462.9")
