"""What sat on a part that was changed by hand: whether it stayed a record says, or what counts on it is unknown."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

POSITIONS = "positions: {engine: {}, gearbox: {on: engine}, magneto: {on: engine, was: [mag]}, pump: {on: gearbox}}\n"
CHECKS = """\
- [ ] `points` Magneto points
  - every: 500 h
  - counts-on: magneto
- [ ] `seal` Seal of the pump
  - every: 300 h
  - counts-on: pump
"""
FITTED = """\
fitted:
  engine: {part: Drake V, serial: E-1, since-new: 655.5}
  magneto: {part: Spark M, serial: M-1, since-new: 300}
  pump: {part: Drip P, serial: P-1, since-new: 300}
"""
OUT = """\
format: 1
kind: removed
date: 2026-10-01
meters: {tach: 410}
position: engine
part: Drake V
serial: E-1
by: Ada Bellcrank
"""
IN = OUT.replace("removed", "installed").replace("E-1", "E-2") + "since-new: 0\n"


@pytest.fixture
def powered(hangar: Path) -> Path:
    """An aircraft with an engine, a magneto on it, and a pump on a gearbox of which nothing is on record."""
    for name, more in (("records/aircraft.yaml", POSITIONS), ("checklists/nose/cowl.md", CHECKS)):
        (hangar / name).write_text((hangar / name).read_text() + more)
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text() + "  points: {date: 2026-08-02, tach: 650.0}\n  seal: {tach: 650.0}\n" + FITTED)
    return hangar


def states(run: Run, store: Path) -> dict[str, str]:
    items = json.loads(run(store, "due", "--all", "--json").out)["items"]
    return {each["check"]: each["state"] for each in items if each["check"] in ("points", "seal", "oil")}


def put(store: Path, name: str, text: str) -> None:
    (store / f"records/2026/{name}.yaml").write_text(text)


KNOWN = {"points": "later", "seal": "later", "oil": "soon"}


def test_an_engine_changed_by_hand_says_what_stayed(run: Run, powered: Path) -> None:
    assert states(run, powered) == KNOWN
    put(powered, "2026-10-01-out", OUT)
    for _ in range(2):
        assert states(run, powered) == KNOWN | {"points": "unknown", "seal": "unknown"}
        told = " ".join(run(powered, "verify").out.split())
        assert '`text: "stayed: magneto, pump"` says that they stayed' in told
        assert "has a `removed` of its own: inspect-kit --on 2026-10-01 remove magneto" in told
        put(powered, "2026-10-01-then-in", IN)
    assert "whether serial M-1 stayed in magneto" in " ".join(run(powered, "due", "points").out.split())


def test_what_sat_on_it_is_a_note_on_the_days_before_it_was_told(run: Run, powered: Path) -> None:
    """Taken out and put in again since, both parts are known today; `due` of the days before has them unknown."""
    put(powered, "2026-10-01-out", OUT)
    put(powered, "2026-10-01-then-in", IN)
    for name, serial in (("magneto", "M-1"), ("pump", "P-1")):
        part = OUT.replace("2026-10-01", "2026-11-02").replace("engine", name).replace("part: Drake V\n", "")
        put(powered, f"2026-11-02-{name}", part.replace("E-1", serial))
    told = "nothing says whether what is in magneto, pump stayed"
    assert told not in " ".join(run(powered, "verify").out.split())
    assert told in " ".join(run(powered, "verify", on="2026-10-15").out.split())
    assert told not in " ".join(run(powered, "verify", on="2026-09-15").out.split())


@pytest.mark.parametrize(
    ("file", "line", "unknown"),
    [
        ("out", 'text: "stayed: magneto, pump"', ()),
        ("in", "text: hung on one hoist; P-1 and M-1 stayed", ()),
        ("in", "text: mag and pump stayed", ()),
        ("out", "text: magneto stayed", ("seal",)),
        ("out", "text: magneto went to overhaul; pump stayed", ("points",)),
        ("out", "text: stayed out in the rain", ("points", "seal")),
        ("in", "text: Engine changed. The pump (P-1) and serial M-1 in magneto stayed.", ()),
        ("in", 'text: "sold; stayed: Spark M, serial M-1"', ("points", "seal")),
        # The word said of one part, or with a not, is said of no other.
        ("out", "text: Pump stayed, magneto went with the engine.", ("points", "seal")),
        ("in", "text: the magneto has not stayed, it was sold; pump stayed", ("points",)),
        ("in", "text: Nothing stayed on it, magneto and pump went with the engine.", ("points", "seal")),
        ("out", 'text: "stayed: none of magneto, pump"', ("points", "seal")),
        ("out", 'text: "stayed: pump, but magneto was sold"', ("points", "seal")),
        ("out", "text: magneto stayed on the engine that was sold; pump stayed?", ("points", "seal")),
    ],
)
def test_the_entry_names_what_stayed(run: Run, powered: Path, file: str, line: str, unknown: tuple[str, ...]) -> None:
    put(powered, "2026-10-01-out", OUT + (f"{line}\n" if file == "out" else ""))
    put(powered, "2026-10-03-in", IN.replace("10-01", "10-03") + (f"{line}\n" if file == "in" else ""))
    assert states(run, powered) == KNOWN | dict.fromkeys(unknown, "unknown")
    assert ("nothing says whether" in run(powered, "verify").out) is bool(unknown)


def test_what_it_advises_makes_it_known(run: Run, powered: Path) -> None:
    put(powered, "2026-10-01-out", OUT)
    put(powered, "2026-10-01-then-in", IN)
    went = ("remove", "magneto", "tach=410", "--where", "sold", "--reason", "worn", "--by", "Ada Bellcrank", "--yes")
    assert run(powered, *went, on="2026-10-01").code == 0
    assert run(powered, "amend", "2026-10-01-out", "text=stayed: pump", "--reason", "left out", "--by", "Ada Bellcrank",
               "--yes").code == 0  # fmt: skip
    assert "nothing says whether" not in run(powered, "verify").out
    assert states(run, powered)["seal"] == "later"


def test_what_the_command_asked_is_said(run: Run, powered: Path) -> None:
    asked = ("remove", "engine", "tach=410", "--where", "sold", "--reason", "worn", "--by", "Ada Bellcrank", "--yes")
    assert run(powered, *asked, "--goes-with", "none", on="2026-10-01").code == 0
    assert "nothing says whether" not in run(powered, "verify").out
    assert states(run, powered) == KNOWN


def test_what_was_fitted_since_or_brought_forward_since_is_known(run: Run, powered: Path) -> None:
    past = powered / "records/2026/2026-09-01-past.yaml"
    put(powered, "2026-08-01-out", OUT.replace("10-01", "08-01").replace("410", "395"))
    past.write_text(past.read_text().replace("serial: E-1", "serial: E-2"))
    assert "nothing says whether" not in run(powered, "verify").out
