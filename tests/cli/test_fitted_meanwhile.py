"""A part that came while a page was open: what was ticked before it came was done to another one."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Outcome, Run

ADA = "Ada Bellcrank"
Begin = Callable[..., Path]

INSIDE = """\
- [ ] `mag-inside` Magneto inside
  - every: 500 h
  - counts-on: magneto-left
- [ ] `mag-look` Magneto outside
  - every: condition inspection or 100 h
  - counts-on: magneto-left
  - first: 10 h
- [ ] `mag-life` Magneto renewed
  - life: 2000 h
  - counts-on: magneto-left
- [ ] `elt-battery` Battery of the transmitter
  - every: as marked
  - bars: flight
"""
FITTED = """\
fitted:
  magneto-left: {serial: M-77, part: Mk M-4, since-new: 480, fitted-on: 2020-05-01}
  elt: {serial: L-1, part: Mk L, since-new: 100, fitted-on: 2020-05-01}
"""


@pytest.fixture
def begin(run: Run, hangar: Path) -> Begin:
    """begin(day) starts a page with the checks of the magneto and of the battery, everything on it ticked."""
    air = hangar / "records/aircraft.yaml"
    text = air.read_text(encoding="utf-8")
    text = text.replace("inspections:", "positions: {magneto-left: {}, elt: {}}\ninspections:", 1)
    air.write_text(text, encoding="utf-8")
    floor = hangar / "checklists/cabin/floor.md"
    floor.write_text(floor.read_text(encoding="utf-8").replace("`elt`", "`transmitter`"), encoding="utf-8")
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text(encoding="utf-8") + INSIDE, encoding="utf-8")
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text(encoding="utf-8").replace("  elt:", "  transmitter:") + FITTED, encoding="utf-8")

    def make(on: str = "2026-11-21") -> Path:
        checks = ("mag-inside", "mag-life", "elt-battery")
        started = run(hangar, "start", "condition", *checks, read_on(on), "--by", ADA, on=on)
        assert started.code == 0, started
        page = hangar / started.out.strip()
        text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
        text = text.replace("good until: ____", "good until: 2032-01-01").replace("____", "75")
        page.write_text(text, encoding="utf-8")
        return page

    return make


def read_on(day: str) -> str:
    """A tenth of an hour is run each day from the 20th on."""
    return f"tach=400.{max(0, int(day[-2:]) - 20)}"


def fitted(run: Run, hangar: Path, position: str, serial: str, on: str = "2026-11-22") -> None:
    part = "Mk M-4" if position == "magneto-left" else "Mk L"
    hours = "490" if serial == "M-77" else "450"
    words = ("--serial", serial, "--part", part, "--since-new", hours, "--since-overhaul", "", "--made", "")
    more = ("--from", "shelf", "--where", "bench", "--reason", "rough", "--by", ADA)
    made = run(hangar, "install", position, read_on(on), *words, *more, typed=("",) * 8, on=on)
    assert made.code == 0, made


def sign(run: Run, hangar: Path, *typed: str, on: str = "2026-11-25", more: tuple[str, ...] = ()) -> Outcome:
    ink = ("sign", read_on(on), "--as", ADA, *(more or ("--ink", "log p. 44")))
    return run(hangar, *ink, typed=(*typed, ADA), on=on)


def test_what_is_ticked_of_it_is_asked(run: Run, hangar: Path, begin: Begin) -> None:
    """The look at a magneto that came out counted for the used one that went in, and the battery's date with it."""
    begin()
    fitted(run, hangar, "magneto-left", "M-91")
    fitted(run, hangar, "elt", "L-2")
    asked = sign(run, hangar, "no")
    assert asked.code == 2, asked
    told = " ".join((asked.out + asked.err).split())
    assert "serial L-2 was fitted in elt by 2026-11-22-elt-" in told
    assert "`elt-battery`: was it done, as ticked, to that part?" in told
    asked = sign(run, hangar, "yes", "no")
    assert asked.code == 2, asked
    told = " ".join((asked.out + asked.err).split())
    assert "serial M-91 was fitted in magneto-left" in told
    # A life ends with a new part, and no tick begins one.
    assert "`mag-inside`, `mag-look`: were they done, as ticked, to that part?" in told
    assert not [*hangar.glob("records/2026/*-condition-*.yaml")]
    signed = sign(run, hangar, "yes", "yes")
    assert "Sealed: " in signed.out, signed


@pytest.mark.parametrize(
    ("serials", "day"),
    [
        # It was there before, was taken out and put back.
        (("M-91", "M-77"), "2026-11-22"),
        # What came before the page was begun was there when its boxes were ticked.
        (("M-91",), "2026-11-20"),
        ((), ""),
    ],
)
def test_what_was_there_when_the_page_was_begun_is_asked_nothing(
    run: Run, hangar: Path, begin: Begin, serials: tuple[str, ...], day: str
) -> None:
    page = begin()
    kept = page.read_text(encoding="utf-8")
    page.unlink()
    for number, serial in enumerate(serials):
        fitted(run, hangar, "magneto-left", serial, on=f"{day[:-2]}{int(day[-2:]) + number}")
    page.write_text(kept, encoding="utf-8")
    signed = sign(run, hangar)
    assert "Sealed: " in signed.out, signed
    assert "while this page was open" not in signed.err + signed.out


def test_one_that_came_back_from_the_bench_is_asked(run: Run, hangar: Path, begin: Begin) -> None:
    """It had been there once, and not when the page was begun."""
    fitted(run, hangar, "magneto-left", "M-91", on="2026-11-10")
    begin()
    fitted(run, hangar, "magneto-left", "M-77", on="2026-11-22")
    asked = sign(run, hangar, "no")
    assert (asked.code, "serial M-77 was fitted in magneto-left" in asked.out + asked.err) == (2, True), asked


def test_what_a_page_not_passed_read_counts_for_the_part_of_that_day(run: Run, hangar: Path, begin: Begin) -> None:
    """Its date was taken anew with the second signature, for the part that had come since."""
    begin()
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-11-22").code == 0
    assert sign(run, hangar, on="2026-11-22", more=("--not-passed",)).code == 0
    assert "2032-01-01" in run(hangar, "due", "elt-battery", on="2026-11-22").out
    fitted(run, hangar, "elt", "L-2", on="2026-11-23")
    assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-11-24").code == 0
    signed = sign(run, hangar)
    assert "Sealed: " in signed.out, signed
    assert "while this page was open" not in signed.err + signed.out
    told = run(hangar, "due", "elt-battery", on="2026-11-25").out
    assert "good until 2032-01-01" not in told, told
    assert "L-2" in told, told


def test_a_date_read_on_the_day_on_which_the_part_came_is_noted(run: Run, hangar: Path, begin: Begin) -> None:
    """It is taken as read after that, as nothing says which was first; only what counts on a position was told so."""
    begin().unlink()
    fitted(run, hangar, "elt", "L-2")
    text = "format: 1\nkind: work\ndate: 2026-11-22\nmeters: {tach: 400.2}\ndid: [elt-battery]\nopened: none\n"
    work = hangar / "records/2026/2026-11-22-battery.yaml"
    (came,) = (each.stem for each in hangar.glob("records/2026/2026-11-22-elt-fitted-*.yaml"))
    for more, told in (("", True), (f"follows: [{came}]\n", False), (f"precedes: [{came}]\n", False)):
        work.write_text(f"{text}next: {{elt-battery: 2032-01-01}}\n{more}", encoding="utf-8")
        said = " ".join(run(hangar, "verify", on="2026-11-25").out.split())
        assert ("`elt-battery` is taken as done after" in said) is told, said


def test_what_came_between_two_signatures_is_named_at_the_end_as_due_names_it(
    run: Run, hangar: Path, begin: Begin
) -> None:
    """What the page itself makes owed was named alone, and what the new part did was left out beside it."""
    cowl = hangar / "checklists/nose/cowl.md"
    owed = "- [ ] `mag-time` Magneto timing\n  - owed-after: installed magneto-left\n"
    cowl.write_text(cowl.read_text(encoding="utf-8") + owed, encoding="utf-8")
    assert "- [x] `mag-time`" in begin().read_text(encoding="utf-8")
    assert run(hangar, "finding", "stacks", "crack", "--by", ADA, on="2026-11-22").code == 0
    assert sign(run, hangar, on="2026-11-22", more=("--not-passed",)).code == 0
    fitted(run, hangar, "magneto-left", "M-91", on="2026-11-23")
    assert run(hangar, "finding", "F1", "--cleared", "welded", "--by", ADA, on="2026-11-24").code == 0
    signed = sign(run, hangar, "yes")
    told = " ".join(signed.out.partition("Sealed: ")[2].split())
    assert "owed before flight: Magneto timing (mag-time)" in " ".join(run(hangar, "due", on="2026-11-25").out.split())
    owed = "!! Owed before the next flight: Magneto timing (mag-time) after a part was fitted in magneto-left."
    assert owed in told, signed
