"""Two settings of one day, the second found at what the first set it to: files' names decide nothing."""

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from tests.audit.conftest import Write

SET = """\
@ records/2026/2026-06-04-NAME.yaml
format: 1
kind: setting
date: 2026-06-04
setting: pitch
from: FROM
to: TO
because: slow to climb
by: Ada Bellcrank
"""


def of(name: str, found: str, to: str) -> str:
    return SET.replace("NAME", name).replace("FROM", found).replace("TO", to)


@pytest.mark.parametrize("names", ["ab", "ba"])
def test_the_names_of_files_decide_nothing(write: Write, names: str) -> None:
    loaded = store.load(write(of(names[0], "12 deg", "13 deg") + of(names[1], "13 deg", "14 deg")))
    assert loaded.logbook is not None
    assert not [each for each in audit(loaded.logbook) if "told otherwise" in each.message]


def test_which_of_two_that_undo_each_other_came_last_is_not_known(write: Write) -> None:
    loaded = store.load(write(of("a", "12 deg", "13 deg") + of("b", "13 deg", "12 deg")))
    assert loaded.logbook is not None
    assert [each for each in audit(loaded.logbook) if "told otherwise" in each.message]
