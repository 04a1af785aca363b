"""A page that was done, flown on, and signed then: what it ticks counts from the signature, at what is read then."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run
from tests.cli.test_sealing import ADA, Page, page

__all__ = ["page"]

ASKED = "13.0 h were flown while this page was open, from 655.5 to 668.5 h total on tach"


def sign(run: Run, hangar: Path, *more: str, typed: tuple[str, ...] = (ADA,), on: str = "2026-10-26") -> Outcome:
    return run(hangar, "sign", *more, "--as", ADA, "--ink", "log p. 3", typed=typed, on=on)


def flown(run: Run, hangar: Path, tach: str, on: str = "2026-10-25") -> None:
    assert run(hangar, "hours", f"tach={tach}", typed=("",) * 5, on=on).code == 0


def oil_due(run: Run, hangar: Path) -> dict[str, object]:
    (item,) = json.loads(run(hangar, "due", "oil", "--json").out)["items"]
    return {key: item["due"][key] for key in ("date", "total")}


@pytest.mark.parametrize("job", [("oil",), ("condition", "oil")])
def test_hours_flown_while_it_was_open_are_asked_about(
    run: Run, hangar: Path, page: Page, job: tuple[str, ...]
) -> None:
    """12 h and 25 days later than it should be, and the refusal led there."""
    page(*job, "tach=400.0", on="2026-10-01")
    flown(run, hangar, "413.0")
    advised = sign(run, hangar)
    assert advised.code == 1
    assert "or as of the day on which the work was finished, --on DATE" in " ".join(advised.out.split())
    asked = sign(run, hangar, "tach=413.0", typed=("no", ADA))
    told = " ".join((asked.out + asked.err).split())
    assert (asked.code, ASKED in told) == (2, True), asked
    assert "what it ticks counts from 2026-10-26 on" in told
    assert "is signed as of its day, `inspect-kit --on DATE sign`" in told
    signed = sign(run, hangar, on="2026-10-01")
    assert "Sealed: " in signed.out, signed
    # From 655.5 and 2026-10-01: 50 h or 4 months.
    assert oil_due(run, hangar) == {"date": "2027-02-01", "total": 705.5}


def test_who_says_that_it_was_looked_at_since_signs(run: Run, hangar: Path, page: Page) -> None:
    page("oil", "tach=400.0", on="2026-10-01")
    flown(run, hangar, "413.0")
    signed = sign(run, hangar, "tach=413.0", typed=("yes", ADA))
    assert "Sealed: " in signed.out, signed


@pytest.mark.parametrize(("tach", "day"), [("401.0", "2026-10-25"), ("400.0", "2026-10-01"), ("399.0", "2026-09-20")])
def test_engine_runs_and_what_was_flown_before_are_asked_nothing(
    run: Run, hangar: Path, page: Page, tach: str, day: str
) -> None:
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text().replace("reads: 400.0", "reads: 390.0"))
    page("oil", "tach=400.0", on="2026-10-01")
    flown(run, hangar, tach, day)
    signed = sign(run, hangar, f"tach={max(tach, '400.0')}")
    assert ("Sealed: " in signed.out, "were flown" in signed.out + signed.err) == (True, False), signed


def test_what_was_flown_before_a_list_was_sealed_is_not_asked_again(run: Run, hangar: Path, page: Page) -> None:
    page("condition", "tach=400.0", on="2026-10-01")
    flown(run, hangar, "413.0")
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-10-26").code == 0
    words = ("sign", "tach=413.0", "--as", ADA, "--not-passed")
    sealed = run(hangar, *words, typed=("yes", ADA), on="2026-10-26")
    assert (sealed.code, ASKED in " ".join((sealed.out + sealed.err).split())) == (0, True), sealed
    assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-10-27").code == 0
    flown(run, hangar, "413.2", "2026-10-27")
    signed = sign(run, hangar, "tach=413.2", on="2026-10-28")
    assert ("Sealed: " in signed.out, "were flown" in signed.out + signed.err) == (True, False), signed


ASKED_OF_9 = "9.0 h were flown while this page was open, from 655.5 to 664.5 h total on tach"
LATE = ("hours", "tach=409.0", "--by", ADA)
WORK = ("work", "tach=409.0", "--text", "belt renewed", "--opened", "none", "--by", ADA)


@pytest.mark.parametrize(
    ("told", "read"), [((), "409.0"), (WORK, ""), (WORK, "409.0"), (("hours", "tach=400.9"), "409.0"), (LATE, "409.0")]
)
def test_whoever_read_them_or_the_signature_alone_it_is_asked(
    run: Run, hangar: Path, page: Page, told: tuple[str, ...], read: str
) -> None:
    """Only what `hours` wrote down was asked about."""
    made = page("oil", "tach=400.0", on="2026-10-01")
    if told:
        assert run(hangar, *told, typed=("",) * 5, on="2026-10-24").code == 0
    if not read:
        text = made.read_text(encoding="utf-8")
        made.write_text(text.replace("tach: 400.0", "tach: ____"), encoding="utf-8")
        assert run(hangar, "hours", "tach=400.0", on="2026-10-01").code == 0
    asked = sign(run, hangar, *((f"tach={read}",) if read else ()), typed=("no", ADA))
    assert (asked.code, ASKED_OF_9 in " ".join(asked.err.split())) == (2, True), asked


@pytest.mark.parametrize(("by_hours", "read"), [(True, ()), (True, ("tach=409.0",)), (False, ("tach=409.0",))])
@pytest.mark.parametrize("on_record", [True, False])
def test_of_a_page_that_read_nothing_counts_what_is_on_record_on_its_day_or_an_estimate(
    run: Run, hangar: Path, page: Page, by_hours: bool, read: tuple[str, ...], on_record: bool
) -> None:
    """Past readings: 400.0 on 2026-09-01. Run evenly to 409.0 on 2026-10-25, by 2026-10-01 it is 400 + 9 * 30 / 54; to
    the signature on 2026-10-26, 400 + 9 * 30 / 55.
    """
    if on_record:
        flown(run, hangar, "400.0", "2026-10-01")
    page("oil", on="2026-10-01", filled=False)
    made = next((hangar / "records/open").glob("*.md"))
    text = made.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
    assert "tach: ____" in text
    made.write_text(text, encoding="utf-8")
    if by_hours:
        flown(run, hangar, "409.0")
    asked = sign(run, hangar, *read, typed=("no", ADA))
    told = " ".join(asked.err.split())
    flown_then = "9.0" if on_record else "4.0" if by_hours else "4.1"
    assert (asked.code, f"{flown_then} h were flown while this page was open" in told) == (2, True), asked
    assert ("(estimated, as nothing says what it read on 2026-10-01)" in told) != on_record


def test_a_page_that_read_nothing_and_is_signed_the_same_day_or_the_next_is_asked_nothing(
    run: Run, hangar: Path, page: Page
) -> None:
    """What was flown since the last reading, a month before, was flown before it was begun."""
    for on in ("2026-10-01", "2026-10-03"):
        made = page("oil", on="2026-10-01", filled=False)
        text = made.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
        made.write_text(text, encoding="utf-8")
        signed = sign(run, hangar, "tach=409.0", on=on)
        assert ("Sealed: " in signed.out, "were flown" in signed.out + signed.err) == (True, False), signed


class TestAfterAList:
    def sealed(self, run: Run, hangar: Path, page: Page, *, left: str = "") -> Path:
        """A condition page sealed as not passed on 2026-10-01 at 655.5 h; `left` is not ticked yet."""
        made = page("condition", "oil", "tach=400.0", on="2026-10-01")
        if left:
            text = made.read_text(encoding="utf-8")
            assert f"[x] `{left}`" in text
            made.write_text(text.replace(f"[x] `{left}`", f"[ ] `{left}`"), encoding="utf-8")
        assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-10-01").code == 0
        listed = run(hangar, "sign", "--as", ADA, "--not-passed", typed=(ADA,), on="2026-10-01")
        assert "Sealed: " in listed.out, listed
        return made

    def cleared(self, run: Run, hangar: Path) -> None:
        """Flown to where it is welded, by a permit, and welded there."""
        ferry = ("hours", "tach=402.4", "--permit", "ferry permit")
        assert run(hangar, *ferry, typed=("",) * 5, on="2026-10-06").code == 0
        assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-10-10").code == 0

    def test_what_counts_from_it_is_asked_nothing(self, run: Run, hangar: Path, page: Page) -> None:
        """It was told to count from the signature on, and no honest answer led on."""
        self.sealed(run, hangar, page)
        self.cleared(run, hangar)
        signed = sign(run, hangar, "tach=402.4", on="2026-10-10")
        assert ("Sealed: " in signed.out, "were flown" in signed.out + signed.err) == (True, False), signed
        assert oil_due(run, hangar) == {"date": "2027-02-01", "total": 705.5}

    def test_what_was_ticked_since_is(self, run: Run, hangar: Path, page: Page) -> None:
        made = self.sealed(run, hangar, page, left="oil")
        text = made.read_text(encoding="utf-8")
        assert "[ ] `oil`" in text
        made.write_text(text.replace("[ ] `oil`", "[x] `oil`"), encoding="utf-8")
        self.cleared(run, hangar)
        asked = sign(run, hangar, "tach=402.4", typed=("no", ADA), on="2026-10-10")
        told = " ".join(asked.err.split())
        assert (asked.code, "2.4 h were flown since this page was sealed as 2026-10-01-" in told) == (2, True), asked
        assert "from 655.5 to 657.9 h total on tach, and what was ticked since (`oil`) counts" in told
        assert "take the ticks away in" in told
        signed = sign(run, hangar, "tach=402.4", typed=("yes", ADA), on="2026-10-10")
        assert "Sealed: " in signed.out, signed
        # From 657.9: 50 h or 4 months.
        assert oil_due(run, hangar) == {"date": "2027-02-10", "total": 707.9}


@pytest.mark.parametrize(("noted", "asked"), [(True, True), (False, False)])
def test_what_an_editor_writes_over_the_first_reading_is_asked_about_where_that_is_on_record(
    run: Run, hangar: Path, page: Page, noted: bool, asked: bool
) -> None:
    """The head of the page says what it read when it was begun; without a record of that day nothing else does."""
    if noted:
        flown(run, hangar, "400.0", "2026-10-01")
    page("oil", "tach=400.0", on="2026-10-01")
    (sheet,) = hangar.glob("records/open/*.md")
    text = sheet.read_text()
    assert "tach: 400.0" in text
    sheet.write_text(text.replace("tach: 400.0", "tach: 413.0"))
    # The first question is whether so much can have been flown in a day.
    signed = sign(run, hangar, typed=("yes", "no") if asked else (ADA,))
    told = " ".join((signed.out + signed.err).split())
    assert (ASKED in told, "Sealed: " in told) == (asked, not asked), signed
