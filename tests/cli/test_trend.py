"""`trend` and its item in `due`: by hand beside each figure, on the sample and on the tailwheel aeroplane."""

import json
import re
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered

ON = "2026-11-25"
SAMPLE = Path(__file__).parents[2]
CHECKS = """\
- [ ] `compression` Differential compression
  - every: 50 h
  - reads: cylinder 1 to 2, psi, at least 60
- [ ] `tyre-wear` Tread of the tail tyre
  - every: 20 landings
  - reads: tread, mm, at least 2
- [ ] `magneto-left-points` Points of the left magneto
  - every: 6 months
  - reads: gap, in, 0.010 to 0.020
"""


def trends(run: Run, store: Path, *words: str, on: str = ON) -> dict[str, dict]:
    found = json.loads(run(store, "trend", "--json", *words, on=on).out)
    assert found["format"] == 2
    return {each["trend"]: each for each in found["trends"]}


def taken(store: Path, date: str, tach: str, landings: str, readings: str) -> None:
    text = f"kind: work\ndate: {date}\nmeters: {{tach: {tach}, landings: {landings}}}\ntext: measured\n"
    entered(store, f"{date}-measured", f"{text}readings: {readings}\nby: Wilma Fieldfare\n")


@pytest.fixture
def worn(wren: Path) -> Path:
    """Five measurements at 6.5, 8.5 … 14.5 h: cylinder 1 falls by 1 psi an hour, cylinder 2 only wavers."""
    cowling = wren / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text() + CHECKS)
    days = ("2026-08-16", "2026-08-21", "2026-08-26", "2026-08-31", "2026-09-05")
    values = ((78, 77), (76, 79), (74, 76), (72, 78), (70, 77))
    for number, (day, (first, second)) in enumerate(zip(days, values, strict=True)):
        readings = f"{{compression: {{cylinder 1: {first} psi, cylinder 2: {second} psi}}}}"
        taken(wren, day, f"{6.5 + 2 * number}", str(22 + number), readings)
    return wren


def test_the_third_cylinder_of_the_sample(run: Run) -> None:
    """Values 78 … 69, 69 from 81.2 to 597.7 h: of the 36 pairs the two in the middle are (71 - 77)/(481.3 - 149) and
    (72 - 78)/(414.7 - 81.2), their mean -1.802 psi per 100 h. The line through the median of what is left has 68.9 psi
    at 597.7 h: 8.9 / 0.01802 = 494 h on, 1092 h. The last one was read on work between two inspections."""
    found = trends(run, SAMPLE, "cylinder 3", on="2026-11-21")["compression/cylinder-3"]
    assert [each["value"] for each in found["values"]] == [78, 77, 76, 75, 74, 72, 71, 69, 69]
    assert found["slope"]["slope"] == pytest.approx(-0.0180, abs=5e-5)
    assert found["slope"]["clear"] is True
    assert found["reached"]["limit"] == 60
    assert found["reached"]["total"] == pytest.approx(1092, abs=1)
    told = run(SAMPLE, "trend", "cylinder 3", on="2026-11-21").out
    assert "60 psi about 1092 h" in " ".join(told.split())


def test_it_is_an_item_in_due_and_no_reason_not_to_fly(run: Run, worn: Path) -> None:
    """70 psi at 14.5 h, and 1 psi an hour: 60 psi at 24.5 h, which is 0.6 h after the last reading of 23.9."""
    found = trends(run, worn)["compression/cylinder-1"]
    assert found["slope"]["slope"] == -1
    assert found["reached"]["total"] == pytest.approx(24.5)
    facts = json.loads(run(worn, "due", "--json", on=ON).out)
    (item,) = [each for each in facts["items"] if each["kind"] == "trend"]
    assert (item["check"], item["state"]) == ("compression/cylinder-1", "soon")
    assert (item["due"]["total"], item["left"]["amount"]) == (24.5, 0.6)
    assert not any("compression" in stop["text"] for stop in facts["stops"])
    # Long past the limit by the line it is still no reason: what is wrong by then is a reading, and a finding.
    entered(worn, "2026-11-20-hours", "kind: hours\ndate: 2026-11-20\nmeters: {tach: 40.0}\n")
    facts = json.loads(run(worn, "due", "--json", on=ON).out)
    (item,) = [each for each in facts["items"] if each["kind"] == "trend"]
    assert (item["state"], item["left"]["amount"]) == ("soon", 0)
    assert not any("compression/" in stop["text"] for stop in facts["stops"])
    (item,) = json.loads(run(worn, "due", "compression/cylinder-1", "--json", on=ON).out)["items"]
    assert "-1 psi per h, with 95 % confidence from -1 to -1 (Theil-Sen)" in [line["text"] for line in item["lines"]]


def test_a_last_reading_at_its_limit_has_reached_it_whatever_the_line_says(run: Run, worn: Path) -> None:
    """78, 76, 74, 72, 70 and then 60: the line has 68 psi, and the limit years ahead; the gauge has it today.

    The landings and the late date are told in words that can be said: no part of a landing, no year 9999.
    """
    taken(worn, "2026-11-20", "23.9", "90", "{compression: {cylinder 1: 60 psi}}")
    found = trends(run, worn)["compression/cylinder-1"]
    assert found["reached"]["total"] == pytest.approx(23.9)
    facts = json.loads(run(worn, "due", "--json", on=ON).out)
    (item,) = [each for each in facts["items"] if each["kind"] == "trend"]
    assert (item["state"], item["left"]["amount"]) == ("soon", 0)
    told = " ".join(run(worn, "due", "compression/cylinder-1", on=ON).out.split())
    assert "compression, cylinder 1, at its limit of 60 psi" in told
    for number in range(4):
        readings = f"{{tyre-wear: {{tread: {5 - number / 30:.3f} mm}}}}"
        taken(worn, f"2026-11-{3 + number * 3:02}", "24.0", str(91 + 3 * number), readings)
    told = run(worn, "due", "--all", on=ON).out
    assert "tyre-wear" in told
    assert "9999" not in told
    assert not re.search(r"landings \d+\.\d|\d\.\d+ landings", told)


def test_noise_reaches_nothing(run: Run, worn: Path) -> None:
    found = trends(run, worn)["compression/cylinder-2"]
    assert found["slope"]["clear"] is False
    assert found["reached"] is None


def test_three_values_reach_nothing(run: Run, worn: Path) -> None:
    for day in ("2026-08-31", "2026-09-05"):
        (worn / f"records/2026/{day}-measured.yaml").unlink()
    found = trends(run, worn)["compression/cylinder-1"]
    assert len(found["values"]) == 3
    assert (found["slope"]["clear"], found["reached"]) == (False, None)


def test_a_new_part_begins_a_new_series(run: Run, worn: Path) -> None:
    aircraft = worn / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text().replace("  propeller: {}", "  propeller: {}\n  cylinder-1: {on: engine}"))
    for date, serial in (("2026-08-01", "C1"), ("2026-08-28", "C9")):
        text = f"kind: installed\ndate: {date}\nposition: cylinder-1\nserial: {serial}\nno change: same weight\n"
        entered(worn, f"{date}-cylinder-{serial.lower()}", text)
    found = trends(run, worn, "C9")["compression/cylinder-1"]
    assert [each["value"] for each in found["values"]] == [72, 70]
    assert (found["position"], found["serial"], found["reached"]) == ("cylinder-1", "C9", None)


def test_an_overhaul_begins_a_new_series_and_a_refit_does_not(run: Run, worn: Path) -> None:
    """The points of the magneto: three gaps before it came off on 13 November, two after, on the same serial."""
    for number in range(5):
        taken(worn, f"2026-11-{3 + number * 4:02}", "24.0", "82", f"{{magneto-left-points: {{gap: 0.01{number} in}}}}")
    same = "position: magneto-left\nserial: M-31\npart: Whimbrel 4 left\nno change: same magneto\n"
    entered(worn, "2026-11-13-out", f"kind: removed\ndate: 2026-11-13\n{same}where: overhaul\n")
    back = f"kind: installed\ndate: 2026-11-14\n{same}"
    entered(worn, "2026-11-14-in", back)
    found = trends(run, worn)["magneto-left-points/gap"]
    assert [each["value"] for each in found["values"]] == [0.010, 0.011, 0.012, 0.013, 0.014]
    entered(worn, "2026-11-14-in", f"{back}overhauled: 2026-11-13\nsince-overhaul: 0\n")
    found = trends(run, worn)["magneto-left-points/gap"]
    assert [each["value"] for each in found["values"]] == [0.013, 0.014]
    assert found["reached"] is None


def test_another_measure_is_another_series(run: Run, worn: Path) -> None:
    """The gauge reads in bar from November on: five values in psi do not fall to 5."""
    cowling = worn / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text().replace("psi, at least 60", "bar, at least 4.1, falls at most 0.7 in 100 h"))
    for number, value in enumerate(("4.9", "4.8")):
        readings = f"{{compression: {{cylinder 1: {value} bar}}}}"
        taken(worn, f"2026-11-{3 + number:02}", f"{24 + number}.0", "82", readings)
    found = trends(run, worn)["compression/cylinder-1"]
    assert (found["measure"], [each["value"] for each in found["values"]]) == ("bar", [4.9, 4.8])
    # Neither is 4.7 bar a steep fall from 70 psi.
    words = ("work", "compression", "tach=26.0", "--by", "Wilma Fieldfare", "--read", "cylinder 1=4.7")
    asked = run(worn, *words, "--read", "cylinder 2=5", on="2026-11-20")
    assert asked.code == 2
    assert "cylinder 2 was read in psi until 2026-09-05: `falls at most 0.7 in 100 h`" in asked.err
    assert "cylinder 1" not in asked.err
    assert run(worn, *words, "--read", "cylinder 2=5", "--yes", on="2026-11-20").code == 0


def test_a_number_alone_is_in_the_measure_of_its_check(run: Run, worn: Path) -> None:
    """Written by hand as `70` between values in psi: the same series, and a fall of 12 psi is one."""
    before = trends(run, worn)["compression/cylinder-1"]
    taken(worn, "2026-11-03", "24.0", "82", "{compression: {cylinder 1: 61}}")
    found = trends(run, worn)["compression/cylinder-1"]
    assert found["measure"] == "psi"
    assert [each["value"] for each in found["values"]] == [*(each["value"] for each in before["values"]), 61]


def test_what_wears_by_landings_and_what_by_the_calendar(run: Run, worn: Path) -> None:
    """A tread of 5 mm loses 0.5 mm in 10 landings: 2 mm are left 60 landings on, at 142. A gap by months."""
    for number in range(4):
        readings = f"{{tyre-wear: {{tread: {5 - number / 2} mm}}, magneto-left-points: {{gap: 0.01{8 - number} in}}}}"
        taken(worn, f"2026-11-{3 + number * 3:02}", "24.0", str(82 + 10 * number), readings)
    found = trends(run, worn)
    tread, gap = found["tyre-wear/tread"], found["magneto-left-points/gap"]
    assert (tread["by"], tread["slope"]["slope"]) == ("landings", pytest.approx(-0.05))
    assert tread["reached"]["total"] == pytest.approx(142)
    assert (gap["by"], gap["position"], gap["serial"]) == ("months", "magneto-left", "M-31")
    # 0.015 in on 12 November loses 0.001 in every 3 days: 0.010 in on 27 November.
    assert gap["reached"]["likely"] == "2026-11-27"


def test_oil_by_the_quart(run: Run, wren: Path) -> None:
    """10 h a quart three times, then 4 h: less than half of the median."""
    cowling = wren / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text().replace("25 h or 4 months", "25 h or 4 months\n  - uses: 6 qt engine oil"))
    for number, quarts in enumerate((1, 1, 1, 2.5)):
        day, total = 2 + number * 4, 24 + 10 * number
        change = (
            f"kind: work\ndate: 2026-11-{day:02}\nmeters: {{tach: {total}}}\ndid: [oil-change]\nby: Wilma Fieldfare\n"
        )
        entered(wren, f"2026-11-{day:02}-oil", change)
        added = f"kind: hours\ndate: 2026-11-{day + 2:02}\nmeters: {{tach: {total + 5}}}\nadded: {{oil: {quarts} qt}}\n"
        entered(wren, f"2026-11-{day + 2:02}-hours", added)
    told = " ".join(run(wren, "trend", on=ON).out.split())
    assert "less than half" not in told  # the last interval is still running
    entered(wren, "2026-11-18-oil", "kind: work\ndate: 2026-11-18\nmeters: {tach: 64.0}\ndid: [oil-change]\n")
    told = " ".join(run(wren, "trend", on=ON).out.split())
    assert "Oil: 4.0 h to the quart between the fillings of 2026-11-14 and 2026-11-18" in told
    assert "less than half of the usual 10.0 h" in told
    # By the bare word that oil is meant, though checks have it in their names.
    told = " ".join(run(wren, "trend", "Oil", on=ON).out.split())
    assert "Oil added between fillings" in told
    assert "2.5 qt" in told
    assert "twice" not in told


def test_status_has_the_trends_that_matter(run: Run, worn: Path) -> None:
    told = run(worn, "status", "--all", on=ON).out
    section = told.partition("Trends that matter")[2].partition("Directives")[0]
    assert "cylinder 1" in section
    assert "cylinder 2" not in section
    assert [each["trend"] for each in json.loads(run(worn, "status", "--json", on=ON).out)["trends"]] == [
        "compression/cylinder-1"
    ]


@pytest.mark.parametrize("room", [100, 120])
def test_a_reading_without_a_clear_slope_is_one_line(
    run: Run, room: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each of ninety had a second line, `first: 60; before: 60; values: 8`, so that `none clear` stood beside it."""
    clear = {name for name, each in trends(run, SAMPLE).items() if each["slope"] and each["slope"]["clear"]}
    monkeypatch.setenv("COLUMNS", str(room))
    told = run(SAMPLE, "trend", on=ON).out.partition("Hours by month")[0]
    below = [line for line in told.splitlines() if line.startswith("    ") and ": " in line]
    assert len(trends(run, SAMPLE)) > 90
    assert 0 < len(clear) < 15
    assert sum("slope: " in line for line in below) in (0, len(clear))
    assert [line for line in below if not re.search("slope: |part: |reached: |years", line)] == []
    assert "none clear" not in told


def test_the_part_that_all_readings_of_a_check_were_taken_on_is_named_once(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Below each of the six bolts of the propeller stood its serial number."""
    monkeypatch.setenv("COLUMNS", "60")
    told = run(SAMPLE, "trend", on=ON).out.partition("Hours by month")[0]
    section = told.partition("Propeller bolts, on propeller serial K6-70-512")[2].partition("Propeller track")[0]
    assert section.count("bolt ") == 6
    assert "K6-70-512" not in section


def test_a_name_that_is_none(run: Run, worn: Path) -> None:
    told = run(worn, "trend", "compresion", on=ON)
    assert (told.code, told.out) == (2, "")
    assert "did you mean `compression`?" in told.err


def test_a_flight_written_down_in_two_clones_was_one(run: Run, wren: Path) -> None:
    """1 qt in 10 h, though two records of one flight say so."""
    cowling = wren / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text().replace("25 h or 4 months", "25 h or 4 months\n  - uses: 6 qt engine oil"))
    entered(wren, "2026-10-20-oil", "kind: work\ndate: 2026-10-20\nmeters: {tach: 23.9}\ndid: [oil-change]\n")
    for name in ("k3f9", "m4c2"):
        text = "kind: hours\ndate: 2026-11-01\nmeters: {tach: 33.9}\nadded: {oil: 1 qt}\n"
        entered(wren, f"2026-11-01-hours-{name}", text)
    (last, *_) = reversed(json.loads(run(wren, "trend", "--json", on=ON).out)["oil"])
    assert (last["hours"], last["quarts"]) == (10, 1)


def test_settings_drift(run: Run, wren: Path) -> None:
    """The pitch was set to 14.2 degrees at 18.4 h; another 0.4 degrees less 2 h later; what is in words is no value."""
    told = "kind: setting\nsetting: propeller-pitch\non: propeller\nbecause: rpm\nby: Wilma Fieldfare\n"
    for day, tach, to in ((10, "20.4", "13.8 degrees at 3/4 radius"), (11, "20.6", "as marked on the blade")):
        entered(wren, f"2026-10-{day}-pitch", f"{told}date: 2026-10-{day}\nmeters: {{tach: {tach}}}\nto: {to}\n")
    found = trends(run, wren, "propeller-pitch")["propeller-pitch/on-propeller"]
    assert [each["value"] for each in found["values"]] == [14.2, 13.8]
    assert found["slope"]["slope"] == pytest.approx(-0.2)
    assert (found["position"], found["reached"]) == ("propeller", None)


@pytest.mark.parametrize("columns", [60, 80])
def test_no_word_is_broken_on_a_narrow_screen(
    columns: int, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`Differenti / al compressio / n` stood there at 60 columns: a picture showed it."""
    monkeypatch.setenv("COLUMNS", str(columns))
    told = run(Path(__file__).parents[2], "trend", on="2026-11-26").out
    assert "compression" in told
    assert not re.search(r"(?m)^\S*compressio(?!n)", told)
    assert all(len(line) <= columns for line in told.split("\n"))


def test_what_was_read_once_is_a_row_of_one_table(run: Run, wren: Path) -> None:
    """Each had a heading, two rules and a table of its own, of one line."""
    cowling = wren / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text() + CHECKS)
    taken(wren, "2026-11-20", "6.5", "20", "{compression: {cylinder 1: 74, cylinder 2: 68}}")
    shown = run(wren, "trend", "compression", on=ON).out
    once = shown.partition("Read once so far")[2]
    assert "Differential compression, cylinder 1" not in shown
    assert [line.split()[:5] for line in once.splitlines() if line.startswith("cylinder")] == [
        ["cylinder", "1", "2026-11-20", "74", "psi"],
        ["cylinder", "2", "2026-11-20", "68", "psi"],
    ]
    assert once.partition("Problems")[0].count("2026-11-20-measured") == 2
    # One alone keeps its own, and what was read again leaves the table.
    assert "Read once" not in run(wren, "trend", "cylinder 1", on=ON).out
    taken(wren, "2026-11-22", "7.5", "21", "{compression: {cylinder 1: 73, cylinder 2: 72}}")
    again = run(wren, "trend", "compression", on=ON).out
    assert "Read once" not in again
    assert "Differential compression, cylinder 2" in again
