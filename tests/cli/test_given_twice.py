"""What is given twice in one command is one of the two, and nobody knows which: refused, and nothing is written."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("hours", "tach=405.6", "tach=405.7"), "`tach` is given twice, as 405.6 and as 405.7: which of the two?"),
        (("hours", "tach=405.6", " tach = 405.6"), "`tach` is given twice, as 405.6 and as 405.6: which of the two?"),
        (("start", "oil", "--only", "tach=405.6", "tach=405.7"), "`tach` is given twice"),
        (("work", "oil", "tach=405.6", "tach=405.7"), "`tach` is given twice"),
        (("hours", "tach=405.6", "--added", "oil=1 qt", "--added", "oil=2 qt"), "`oil` is given twice"),
        (("work", "oil", "oil"), "`oil` is named twice: name it once; what was done twice is two entries"),
        (("work", "elt", "--good-until", "elt=2031-05-31", "--good-until", "elt=2031-06-30"), "`elt` is given twice"),
        (("work", "elt", "--good-until", "oil=2031-05-31"), "--good-until: `oil` is none of the checks of this entry"),
        (("work", "elt", "--good-until", "elt=1.5.2031"), "elt: `1.5.2031` is 2031-01-05 or 2031-05-01"),
        (("work", "elt", "oil", "--good-until", "elt"), "expected CHECK=DATE, not `elt`"),
        (("work", "elt", "--good-until", "1.5.2031"), "elt: `1.5.2031` is 2031-01-05 or 2031-05-01"),
        (("work", "elt", "--by", "same"), "`same` names nobody: write the name of the person"),
    ],
)
def test_nothing_is_written(run: Run, hangar: Path, words: tuple[str, ...], told: str) -> None:
    outcome = run(hangar, *words)
    assert outcome.code == 2
    assert told in outcome.err
    assert [each.name for each in (hangar / "records/2026").iterdir()] == ["2026-09-01-past.yaml"]
    assert not (hangar / "records/open").exists()


def test_within_one_command_a_question_is_asked_again(run: Run, hangar: Path) -> None:
    """The first cylinder was a slip: `<` at the second goes back to it, and at the first there is none before."""
    asked = ("<", "67", "<", "76", "77", "Ada Bellcrank")
    outcome = run(hangar, "work", "compression", "tach=405.6", typed=asked)
    assert outcome.code == 0, outcome.err
    assert "this is the first question" in outcome.err
    (record,) = (hangar / "records/2026").glob("*-compression-*.yaml")
    assert "cylinder 1: 76 psi" in record.read_text()
    assert "67" not in record.read_text()


def test_a_page_stands_once_in_the_history_of_its_panel(run: Run, hangar: Path) -> None:
    assert run(hangar, "work", "oil", "stacks", "tach=405.6", "--by", "Ada Bellcrank", on="2026-11-20").code == 0
    told = run(hangar, "history", "cowl").out
    assert told.count("2026-11-20") == 1
