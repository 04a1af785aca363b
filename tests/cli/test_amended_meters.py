"""A meter change is amended: every total follows, what was sealed with another one says so, and no slip is silent."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit import store
from tests.cli.conftest import Run, entered
from tests.cli.test_sealing import ADA, Page, change, page, refused, sign

__all__ = ["page"]

WHO = ("--reason", "read again off the old one", "--by", ADA)


def total(root: Path) -> Decimal:
    """What the tachometer has by its last reading."""
    logbook = store.load(root).logbook
    assert logbook is not None
    return logbook.meter_history("tach").points[-1].total


def left(run: Run, root: Path, on: str = "2026-11-24") -> float:
    """What is left of the oil's 50 h, last changed at 650 h."""
    made = json.loads(run(root, "due", "oil", "--json", on=on).out)
    (found,) = [each for each in made["items"] if each["check"] == "oil"]
    return float(found["left"]["amount"])


@pytest.fixture
def changed(run: Run, hangar: Path) -> Path:
    """The tachometer was changed at 420.0, a total of 675.5, for one that began at 0."""
    made = run(hangar, "meter", "tach", "--old", "420", "--new", "0", "--unrecorded", "0", "--by", ADA, on="2026-10-10")
    assert made.code == 0, made.err
    return hangar


@pytest.mark.parametrize(
    ("field", "now"),
    [("old=410.0", "675.5"), ("old=425.5", "691.0"), ("new=2.0", "683.5"), ("unrecorded=3.0", "688.5")],
)
def test_all_totals_follow_and_what_was_sealed_with_another_is_a_note(
    run: Run, changed: Path, page: Page, field: str, now: str
) -> None:
    """Sealed with the new one at 10.0: a total of 685.5, by the readings of that day."""
    page("elt", "tach=10.0")
    assert sign(run, changed).code == 0
    assert total(changed) == Decimal("685.5")
    made = run(changed, "amend", "tach-changed", field, *WHO, "--yes", on="2026-11-23")
    assert made.code == 0, made.err
    assert total(changed) == Decimal(now)
    assert left(run, changed) == float(Decimal(700) - Decimal(now))
    checked = run(changed, "verify")
    assert checked.code == 0, checked.out
    since = "says 685.5, as was known then; by what was amended or entered since the readings up to here make it"
    assert f"{since} {now}" in " ".join(checked.out.split())


def test_hours_without_a_meter_that_are_known_later_are_entered_later(run: Run, changed: Path, page: Page) -> None:
    """Five hours on 2026-11-01 that nobody wrote down, found in the journey log after a page was sealed."""
    assert run(changed, "hours", "tach=4.0", on="2026-11-01").code == 0
    page("elt", "tach=10.0")
    assert sign(run, changed).code == 0
    more = ("meter", "tach", "--old", "4.0", "--new", "4.0", "--unrecorded", "5", "--how-known", "journey log")
    made = run(changed, *more, "--by", ADA, on="2026-11-01")
    assert made.code == 0, made.err
    assert total(changed) == Decimal("690.5")
    assert run(changed, "verify").code == 0
    # As one that was there when the page was sealed it contradicts that.
    (record,) = changed.glob("records/2026/2026-11-01-tach-changed*.yaml")
    record.write_text(record.read_text().split("after:")[0])
    assert run(changed, "verify").code == 3


def test_a_total_that_no_amendment_explains_stays_a_problem(run: Run, changed: Path, page: Page) -> None:
    """The record of the change is altered by hand after a page was sealed."""
    page("elt", "tach=10.0")
    assert sign(run, changed).code == 0
    (record,) = changed.glob("records/2026/*tach-changed*.yaml")
    record.write_text(record.read_text().replace("old: 420", "old: 410"))
    checked = run(changed, "verify")
    assert checked.code == 3
    assert "totals: tach says 685.5, and the readings up to here make it 675.5" in " ".join(checked.out.split())
    # Nor does an amendment of something else.
    words = f"kind: amendment\ndate: 2026-11-24\nof: {record.stem}\ntext: read again\nby: {ADA}\n"
    entered(changed, "2026-11-24-amendment", words)
    again = run(changed, "verify")
    assert (again.code, "and the readings up to here make it 675.5" in " ".join(again.out.split())) == (3, True)


def test_a_page_of_the_day_of_the_change_stays_of_the_meter_that_its_total_says(
    run: Run, hangar: Path, page: Page
) -> None:
    """It reads 419.2, which the old one had too: by its total, 675.8 + 0.2, it was the new one's; then 676.0 + 0.2."""
    page("condition", "tach=420.0", on="2026-11-20")
    new = ("meter", "tach", "--old", "420.3", "--new", "419", "--unrecorded", "0", "--by", ADA)
    assert run(hangar, *new, on="2026-11-20").code == 0
    assert sign(run, hangar, "tach=419.2", "--ink", "log p. 3", on="2026-11-20").code == 0
    assert total(hangar) == Decimal("676.0")
    made = run(hangar, "amend", "tach-changed", "old=420.5", *WHO, "--yes", on="2026-11-23")
    assert made.code == 0, made.err
    assert total(hangar) == Decimal("676.2")


def test_of_another_day_or_first_reading_it_is_asked_back_as_a_change_is(run: Run, hangar: Path) -> None:
    """Moved before the last reading of the old one, which would then be of the new one: 420 h at a stroke."""
    assert run(hangar, "hours", "tach=405.0", on="2026-10-01").code == 0
    assert run(hangar, "hours", "tach=419.0", on="2026-11-05").code == 0
    new = ("meter", "tach", "--old", "420", "--new", "0", "--unrecorded", "0", "--by", ADA)
    assert run(hangar, *new, on="2026-11-10").code == 0
    for field, told in (("date=2026-10-02", "419.0"), ("new=800", "begins at 800")):
        words = ("amend", "tach-changed", field, *WHO)
        refused(run, hangar, lambda words=words: run(hangar, *words, on="2026-11-23"), told, "Is it right?")
    assert run(hangar, "amend", "tach-changed", "new=800", *WHO, "--yes", on="2026-11-23").code == 0


def test_what_another_meter_read_is_put_right_too_its_own_is_old_and_new(run: Run, changed: Path) -> None:
    aircraft = changed / "records/aircraft.yaml"
    change(aircraft, "meters: {tach: {unit: h}}", "meters: {tach: {unit: h}, hobbs: {unit: h}}")
    (record,) = changed.glob("records/2026/*tach-changed*.yaml")
    record.write_text(record.read_text() + "meters:\n  hobbs: 95.0\n")
    assert run(changed, "amend", "tach-changed", "hobbs=59.0", *WHO, "--yes", on="2026-11-23").code == 0
    words = ("amend", "tach-changed", "tach=5.0", *WHO, "--yes")
    refused(run, changed, lambda: run(changed, *words, on="2026-11-23"), "`old` and `new` say what tach read")
    record.write_text(record.read_text().replace("hobbs: 95.0", "tach: 5.0"))
    told = " ".join(run(changed, "verify").out.split())
    assert "meters: `old` and `new` say what tach read" in told


def test_a_total_beside_a_reading_is_never_passed_over(run: Run, changed: Path, page: Page) -> None:
    """Of a page it is the total that it states, held against the readings; of hours flown there is none to replace."""
    hours = Path(run(changed, "hours", "tach=5.0", on="2026-10-20").out.splitlines()[0]).stem
    page("elt", "tach=10.0")
    assert sign(run, changed).code == 0
    (sealed,) = changed.glob("records/2026/2026-11-22-work*.yaml")
    for of, said in ((hours, "says of a meter only what it reads"), (sealed.stem, "totals: tach says 999")):
        text = f"kind: amendment\ndate: 2026-11-24\nof: {of}\ntext: read again\nby: {ADA}\n"
        entered(changed, "2026-11-24-amendment", f"{text}instead: {{meters: {{tach: {{reads: 10.0, total: 999}}}}}}\n")
        checked = run(changed, "verify")
        assert (checked.code, said in " ".join(checked.out.split())) == (3, True), checked.out


def test_one_change_typed_twice_is_refused_and_two_of_one_day_say_their_order(run: Run, changed: Path) -> None:
    """Added up twice the total would be 420 h more, or a phase closed early."""
    before = total(changed)
    short = ("--new", "0", "--unrecorded", "0", "--by", ADA)
    for words, on in ((("--old", "420"), "2026-10-10"), (("--old", "420.2"), "2026-10-12")):
        twice = run(changed, "meter", "tach", *words, *short, "--yes", on=on)
        assert (twice.code, "both are added up: withdraw one of them if it was one change" in twice.err) == (2, True)
    # The new one stood still and was taken out again: that is no second telling.
    assert run(changed, "meter", "tach", "--old", "0", *short, on="2026-10-11").code == 0
    assert run(changed, "meter", "tach", "--old", "1.0", *short, on="2026-10-20").code == 0
    again = ("meter", "tach", "--old", "1.1", *short)
    assert run(changed, *again, on="2026-10-20").code == 2
    assert run(changed, *again, "--follows", "2026-10-20-tach", on="2026-10-20").code == 0
    assert total(changed) == before + Decimal("2.1")
