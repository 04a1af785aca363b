"""A meter that counts cycles is one like any other: due, soon, trend, and what is asked back."""

import datetime as dt
import json
from pathlib import Path

import pytest

from inspect_kit.cli import main as program

main = program.main

STORE = """\
@ records/aircraft.yaml
format: 1
aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: 2024-06-08}
meters: {tach: {unit: h}, gear-cycles: {unit: cycles}}
time-in-service: tach
soon: 10 h, 20 cycles
inspections:
  condition: {every: 12 calendar months, scope: part 43 appendix D, statement: I certify, signers: [repairman]}
people:
  - {name: Ada Bellcrank, kind: repairman, certificate: "0000000"}
@ checklists/wing/wheel-well.md
---
panel: wheel-well
name: Wheel well
zone: wing
remove: 5 min
refit: 5 min
---
- [ ] `downlock` Downlock: play measured
  - every: 100 cycles
  - reads: play, mm, at most 2
"""
READ = """\
@ records/{year}/{date}-work-bcd{number}.yaml
format: 1
kind: work
date: {date}
meters: {{tach: {tach}, gear-cycles: {cycles}}}
did: [downlock]
readings: {{downlock: {{play: {play} mm}}}}
by: {{name: Ada Bellcrank}}
"""
DONE = [("2024-09-10", 10, 20, "0.2"), ("2025-03-01", 40, 60, "0.5"), ("2025-09-01", 80, 130, "0.8")]
DONE += [("2026-04-01", 120, 200, "1.1"), ("2026-09-01", 160, 240, "1.4")]


@pytest.fixture
def aircraft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(program, "today", lambda: dt.date(2026, 11, 26))
    text = STORE
    for number, (date, tach, cycles, play) in enumerate(DONE, 2):
        text += READ.format(year=date[:4], date=date, number=number, tach=tach, cycles=cycles, play=play)
    for part in text.split("@ ")[1:]:
        name, _, body = part.partition("\n")
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(body, encoding="utf-8")
    return tmp_path


def told(store: Path, *words: str) -> list[str]:
    return ["--store", str(store), "--on", "2026-11-26", *words]


def test_so_many_cycles_left_are_soon(aircraft: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(told(aircraft, "hours", "gear-cycles=321")) == 0
    capsys.readouterr()
    main(told(aircraft, "due", "--json"))
    answer = json.loads(capsys.readouterr().out)
    assert answer["problems"] == []
    item = next(item for item in answer["items"] if item["check"] == "downlock")
    # Done at 240, every 100: due at 340, of which 19 are left, and 20 count as soon.
    assert (item["state"], item["left"]["amount"], item["left"]["unit"]) == ("soon", 19, "cycles")


def test_more_cycles_than_a_day_has_are_asked_back(aircraft: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(told(aircraft, "hours", "gear-cycles=321")) == 0
    capsys.readouterr()
    assert main(told(aircraft, "hours", "gear-cycles=720")) != 0
    assert "gear-cycles 720 is 399 cycles more than 321" in capsys.readouterr().err


def test_play_grows_by_the_cycle(aircraft: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(told(aircraft, "trend", "downlock", "--json"))
    (series,) = json.loads(capsys.readouterr().out)["trends"]
    # Of the ten pairs' slopes, by hand 0.43 (three times), 0.5 (twice), 0.55 (three times) and 0.75 (twice) mm per 100
    # cycles, the median lies between 0.5 and 0.545.
    assert 0.005 <= series["slope"]["slope"] <= 0.00545
