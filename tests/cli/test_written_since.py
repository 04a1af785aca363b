"""What is written down after a page was sealed, of a day on which it was open, is answered by no tick of that page."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run

ADA = "Ada Bellcrank"

MORE = """\
- [ ] `rig` Rig the controls
  - every: 500 h
  - disturbs: flight-controls
- [ ] `mag-inside` Magneto inside
  - every: 500 h
  - counts-on: magneto-left
- [ ] `elt-battery` Battery of the transmitter
  - every: as marked
"""
FITTED = """\
fitted:
  magneto-left: {serial: M-77, part: Mk M-4, since-new: 480, fitted-on: 2020-05-01}
  elt: {serial: L-1, part: Mk L, since-new: 100, fitted-on: 2020-05-01}
"""


PAST = "  transmitter: {date: 2025-12-13}\n" + FITTED


@pytest.fixture
def sealed(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page begun on 2026-11-21 and signed on the 25th, everything on it ticked."""
    monkeypatch.setenv("COLUMNS", "300")
    for name, old, new in (
        ("records/aircraft.yaml", "inspections:", "positions: {magneto-left: {}, elt: {}}\ninspections:"),
        ("checklists/cabin/floor.md", "`elt`", "`transmitter`"),
        ("checklists/cabin/floor.md", "  - covers: c5", "  - covers: c5\n  - owed-after: disturbed flight-controls"),
        ("checklists/nose/cowl.md", "- [ ] `oil`", f"{MORE}- [ ] `oil`"),
        ("records/2026/2026-09-01-past.yaml", "  elt: {date: 2025-12-13}", PAST),
    ):
        path = hangar / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
    begun = run(hangar, "start", "condition", "mag-inside", "elt-battery", "tach=401.0", "--by", ADA, on="2026-11-21")
    assert begun.code == 0, begun
    page = hangar / begun.out.strip()
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
    text = text.replace("good until: ____", "good until: 2032-01-01").replace("____", "75")
    page.write_text(text, encoding="utf-8")
    ink = ("sign", "tach=403.0", "--as", ADA, "--ink", "log p. 44")
    signed = run(hangar, *ink, typed=("yes", ADA), on="2026-11-25")
    assert "Sealed: " in signed.out, signed


def work(run: Run, hangar: Path, *words: str, on: str = "2026-11-22", tach: str = "402.0") -> str:
    made = run(hangar, "work", *words, f"tach={tach}", "--by", ADA, typed=("",) * 9, on=on)
    assert made.code == 0, made
    return made.out + made.err


def told(run: Run, hangar: Path, *words: str) -> str:
    return " ".join(run(hangar, "due", *words).out.split())


@pytest.mark.usefixtures("sealed")
class TestWhatIsWrittenSince:
    def test_makes_owed_what_the_page_ticks(self, run: Run, hangar: Path) -> None:
        """It was ticked days before, perhaps, and neither the entry nor `due` said a word."""
        said = work(run, hangar, "rig", "--opened", "none")
        assert "Owed before the next flight: Control pulleys and cables (pulleys)" in said
        why = told(run, hangar, "pulleys")
        assert "owed after `disturbed flight-controls` (rig disturbs it) on 2026-11-22: due at once" in why
        assert "before that was written down: where it was done after that, `work pulleys` of that day says so" in why
        # On the day of the signature, at its very reading: it says what the page did not.
        work(run, hangar, "pulleys", on="2026-11-25", tach="403.0")
        assert "due at once" not in told(run, hangar, "pulleys")

    def test_is_to_be_looked_at_again(self, run: Run, hangar: Path) -> None:
        work(run, hangar, "stacks", "--text", "hairline", "--recheck", "stacks=1 h")
        assert "Look again: hairline" in told(run, hangar, "--all")
        work(run, hangar, "stacks", on="2026-11-25", tach="403.0")
        assert "Look again: hairline" not in told(run, hangar, "--all")

    def test_came_into_a_position(self, run: Run, hangar: Path) -> None:
        for position, serial, part in (("magneto-left", "M-91", "Mk M-4"), ("elt", "L-2", "Mk L")):
            words = ("--serial", serial, "--part", part, "--since-new", "450", "--from", "shelf", "--where", "bench")
            more = ("--since-overhaul", "", "--made", "", "--reason", "rough", "--by", ADA)
            made = run(hangar, "install", position, "tach=402.0", *words, *more, typed=("",) * 9, on="2026-11-22")
            assert made.code == 0, made
        # 450 h of its own at 657.5.
        assert "207.5 h total on tach; + 500 h = 707.5 h" in told(run, hangar, "mag-inside")
        assert "the date that serial L-2 in elt" in told(run, hangar, "elt-battery")
        again = ("mag-inside", "elt-battery", "--good-until", "elt-battery=2032-01-01")
        work(run, hangar, *again, on="2026-11-25", tach="403.0")
        assert "last done at 658.5 h total on tach; + 500 h = 1158.5 h" in told(run, hangar, "mag-inside")
        assert "good until 2032-01-01" in told(run, hangar, "elt-battery")

    def test_of_the_day_of_the_signature_or_before_the_page_is_as_it_was(self, run: Run, hangar: Path) -> None:
        """Of one day it is asked which came first, and what came before its beginning was there."""
        work(run, hangar, "rig", "--opened", "none", on="2026-11-20", tach="400.5")
        assert "due at once" not in told(run, hangar, "pulleys")

    def test_is_told_by_the_day_of_its_entry_where_it_knows_no_seal(self, run: Run, hangar: Path) -> None:
        """As in another clone, from which it is merged."""
        (page,) = hangar.glob("records/2026/*-condition-*.yaml")
        assert "entered: 2026-11-25" in page.read_text(encoding="utf-8")
        head = "format: 1\nkind: work\ndate: 2026-11-22\nmeters: {tach: 402.0}\ndid: [rig]\nopened: none\n"
        merged = hangar / "records/2026/2026-11-22-rig-k3f9.yaml"
        for entered, owed in (("2026-11-26", True), ("2026-11-24", False)):
            merged.write_text(f"{head}entered: {entered}\n", encoding="utf-8")
            out = " ".join(run(hangar, "due", "pulleys", on="2026-11-27").out.split())
            assert ("due at once" in out) == owed, out

    @pytest.mark.parametrize(
        ("written", "day", "owed"),
        [
            # Before the page was begun, or after its signature; of a day while it was open `sign` asked.
            ("2026-11-20", "2026-11-23", True),
            ("2026-11-26", "2026-11-23", True),
            ("2026-11-22", "2026-11-23", False),
            ("2026-11-25", "2026-11-23", False),
            ("2026-11-19", "2026-11-20", False),
        ],
    )
    @pytest.mark.parametrize("later", [True, False])
    def test_moves_work_into_the_time_it_was_open(
        self, run: Run, hangar: Path, written: str, day: str, owed: bool, later: bool
    ) -> None:
        """An amendment made after the seal, where `sign` had asked nothing: a tick of before that answered it."""
        head = f"format: 1\nkind: work\ndate: {written}\nentered: {{}}\ndid: [rig]\nopened: none\n"
        entered = "2026-11-26" if written == "2026-11-26" else "2026-11-25"
        name = f"{written}-rig-k3f9"
        (hangar / f"records/2026/{name}.yaml").write_text(head.format(entered), encoding="utf-8")
        made = f"format: 1\nkind: amendment\ndate: 2026-11-27\nentered: {'2026-11-27' if later else '2026-11-24'}\n"
        made += f"of: {name}\ntext: day put right\nby: {ADA}\ninstead: {{date: {day}}}\n"
        (hangar / "records/2026/2026-11-27-day-k3f9.yaml").write_text(made, encoding="utf-8")
        out = " ".join(run(hangar, "due", "pulleys", on="2026-11-27").out.split())
        assert ("due at once" in out) == (owed and (later or written == "2026-11-26")), out

    def test_moves_a_part_into_the_time_it_was_open(self, run: Run, hangar: Path) -> None:
        """By `amend`, which knows the seal, though all of it was done on one day."""
        head = "format: 1\nkind: {}\ndate: 2026-11-20\nentered: 2026-11-25\nposition: magneto-left\nserial: {}\n"
        paths = [hangar / f"records/2026/2026-11-20-{kind}-k3f9.yaml" for kind in ("removed", "installed")]
        for path, kind, serial in zip(paths, ("removed", "installed"), ("M-77", "M-91"), strict=True):
            since = "part: Mk M-4\nsince-new: 450\n" if kind == "installed" else "reason: rough\n"
            text = f"{head.format(kind, serial)}meters: {{tach: 400.5}}\n{since}"
            path.write_text(text, encoding="utf-8")
        assert "last done at" in told(run, hangar, "mag-inside")
        moved = ("date=2026-11-22", "tach=402.0", "--reason", "slip", "--by", ADA)
        made = run(hangar, "amend", paths[-1].stem, *moved, typed=("",) * 9, on="2026-11-25")
        assert made.code == 0, made
        assert "last done at" not in told(run, hangar, "mag-inside")
