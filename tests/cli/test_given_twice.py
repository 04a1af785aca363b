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
