"""Both aircraft asked each question of their whole life; every figure worked out by hand beside it, from the records.

The sample's eight years, and the tailwheel aeroplane in its flight-test phase with what an owner would have written.
What stands in another test with its arithmetic is not repeated here: empty weight and loadings of the tailwheel one in
test_balance, phases in test_phases, the sample's weak cylinder in test_trend, its changes of weight in test_handover.
"""

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run, entered

SAMPLE = Path(__file__).parents[2]
ON = "2026-11-26"


def asked(run: Run, store: Path, *words: str, on: str = ON) -> Any:
    told = run(store, *words, "--json", on=on)
    assert told.code == 0, told.err
    return json.loads(told.out)


class TestTheSample:
    def test_loadings(self, run: Run) -> None:
        """Empty: scales 359.0 x 25 + 358.5 x 25 - 125.0 x 38 - 4.5 x 21 = 13,093.0 lb-in over 838.0 lb; changes since
        of -5.4 lb and -14.4 + 174.8 - 201.4 - 9.2 + 114.7 + 3.4 + 19.2 = 87.1 lb-in: 13,180.1 over 832.6.
        Alone: 170 x 21 + 15 x 46 + 72 x 24 = 5988: 19,168.1 over 1089.6. Two: 340 x 21 + 144 x 24 = 10,596: 23,776.1
        over 1316.6. With bags: 340 x 21 + 50 x 46 + 84 x 24 = 11,456: 24,636.1 over 1306.6.
        Minimum fuel 100 hp / 12 = 8 1/3 gal = 50 lb. Most forward: 230 and 207.4 lb in the seats and 50 of fuel make
        1320: 13,180.1 + 437.4 x 21 + 1200 = 23,565.5; lightest 120 lb and 50: 16,900.1 over 1002.6. Most aft: shelf
        and tanks full, 293.4 lb in the seats: 13,180.1 + 2300 + 3456 + 6161.4 = 25,097.5 over 1320.
        """
        told = asked(run, SAMPLE, "balance")
        assert told["empty"]["weight"] == pytest.approx(832.6)
        assert told["empty"]["moment"] == pytest.approx(13_180.1)
        by_hand = {
            "alone, half full": (19_168.1, 1089.6),
            "two aboard, full tanks": (23_776.1, 1316.6),
            "two, bags, 14 gal": (24_636.1, 1306.6),
            "most forward, heaviest": (23_565.5, 1320),
            "most forward, lightest": (16_900.1, 1002.6),
            "most aft, heaviest": (25_097.5, 1320),
        }
        found = {each["name"]: each for each in told["loadings"]}
        for name, (moment, weight) in by_hand.items():
            assert found[name]["weight"] == pytest.approx(weight)
            assert found[name]["arm"] == pytest.approx(moment / weight)
            assert found[name]["inside"] is True

    def test_directives(self, run: Run) -> None:
        """The tachometer was changed at 356.6 h of total. Muffler: done at 547.6 h, every 100 h: 647.6, reads 291.0;
        with the inspection of November 2025 + 12 calendar months. Left magneto: fitted at 460.1 h, + 500 h = 960.1,
        reads 603.5; 2024-08-13 + 5 years. Right: on the bench at 340.4 h, + 500 h = 840.4, reads 483.8.
        """
        found = {(each["number"], each["product"]): each for each in asked(run, SAMPLE, "directives")["directives"]}
        assert found["0019-08-04 (invented)", "engine"]["next"] == {
            "meter": "tach", "total": 647.6, "reads": 291, "date": "2026-11-30",
        }  # fmt: skip
        for side, total, reads, date in (("left", 960.1, 603.5, "2029-08-13"), ("right", 840.4, 483.8, "2027-08-20")):
            due = found["Magneto letter 7", f"magneto-{side}"]["next"]
            assert (due["total"], due["reads"], due["date"]) == (total, reads, date)
        assert found["Carburettor letter 12", "carburettor"]["next"]["date"] == "2027-06-30"
        assert [name for (name, _), each in found.items() if each["state"] == "not decided"] == ["Magneto letter 8"]

    def test_lives(self, run: Run) -> None:
        """Engine: 2000 - 607.0 h, or 15 years from 2017-06-08. Harnesses made in February 2017, 12 years; detector
        made in April 2024, 7 years; hoses made in January and February 2025, 8 years.
        """
        items = {each["check"]: each for each in asked(run, SAMPLE, "due")["items"]}
        assert items["engine-overhaul"]["left"]["amount"] == pytest.approx(1393.0)
        for check, date in {
            "engine-overhaul": "2032-06-08",
            "harness-left-life": "2029-02-01",
            "harness-right-life": "2029-02-01",
            "co-detector-life": "2031-04-01",
            "brake-hoses-life": "2033-01-01",
            "fuel-hoses-life": "2033-02-01",
        }.items():
            assert items[check]["due"]["date"] == date

    def test_what_is_to_be_looked_at_again(self, run: Run) -> None:
        """The fairing at 242.0 on the new tachometer, 598.6 h of total; + 25 h = 623.6, reads 267.0: 16.6 h left."""
        (again,) = (each for each in asked(run, SAMPLE, "due")["items"] if each["kind"] == "recheck")
        assert again["check"] == "fairing-left-shell/recheck"
        assert (again["due"]["total"], again["due"]["reads"]) == (623.6, 267)
        assert again["left"]["amount"] == pytest.approx(16.6)

    def test_parts(self, run: Run) -> None:
        """12 qt of oil and 2 filters counted: two oil changes of 6 and 1 leave none and order none. Gaskets: 7 days
        before the visit of the inspection, on the day on which it runs out, as `visits` shows it. Brake fluid opened
        2025-04-12 is good for a year.
        """
        needs = asked(run, SAMPLE, "parts")["needs"]
        oil = [each for each in needs if each["part"] == "engine oil"]
        assert [(each["amount"], each["short"]) for each in oil] == [(6, 0), (6, 0)]
        (gaskets,) = (each for each in needs if each["part"] == "spark plug gaskets")
        assert (gaskets["short"], gaskets["on"], gaskets["order_by"]) == (8, "2026-11-30", "2026-11-23")
        assert "brake fluid, lot H-2207, good until 2026-04-12" in run(SAMPLE, "parts", on=ON).out

    def test_its_flight_test_phase_as_it_was_then(self, run: Run) -> None:
        """Opened at 0.0 h; 20.9 h on 2017-08-06: 19.1 of 40 to go. Closed at 41.5 h, and over once it was signed."""
        for day, told in (("2017-08-12", "19.1 h to be flown"), ("2017-10-13", "to be demonstrated: Vy, weight")):
            assert told in " ".join(run(SAMPLE, "status", on=day).out.split())
        assert "NO PASSENGERS" not in run(SAMPLE, "status", on="2017-10-14").out

    def test_settings(self, run: Run) -> None:
        found = {(each["setting"], each["on"]): each for each in asked(run, SAMPLE, "status")["settings"]}
        assert found["magneto-timing", "magneto-left"]["value"] == "25 degrees"
        assert found["magneto-timing", "magneto-left"]["since"] == "2024-08-13"
        assert found["idle-mixture", "carburettor"]["value"] == "rise of 25 rpm at cut-off"

    def test_tension_by_temperature(self, run: Run, tmp_path: Path) -> None:
        """At 45 °F, half way from 20 to 70: 22.5 to 32.5 lb for the aileron cables, in a straight line."""
        root = tmp_path / "n0ts"
        for part in ("checklists", "records"):
            shutil.copytree(SAMPLE / part, root / part)
        words = ("work", "cable-tension", "tach=250.4", "--by", "Hazel Quillfeather", "--read", "temperature=45")
        more = ("--read", "elevator=30", "--read", "rudder=25")
        told = run(root, *words, "--read", "aileron=22.4", *more, on="2026-11-25")
        assert "aileron is 22.4 lb, the limit is 22.5 to 32.5" in told.err
        assert run(root, *words, "--read", "aileron=22.5", *more, on="2026-11-25").code == 0


CHECKS = """\
- [ ] `compression` Differential compression
  - every: 25 h
  - counts-on: engine
  - reads: cylinder 1 to 2, psi, at least 60
  - reckons: spread, psi, at most 15 = spread of cylinder 1 to 2
- [ ] `fuel-flow` Fuel flow, pumped
  - every: 100 h
  - reads: fuel, gal
  - reads: time, s
  - reckons: flow, gal/h, at least 12.5 = flow of fuel, time
- [ ] `hoses-life` Rubber hoses under the cowling
  - life: 6 years from made
  - counts-on: fuel-hoses
  - uses: 1 set fuel hoses
"""


@pytest.fixture
def kept(run: Run, wren: Path) -> Path:
    """The tailwheel aeroplane with readings, a shelf, hoses with a life, a radio put in, a change under way."""
    cowling = wren / "checklists/nose/cowling.md"
    text = cowling.read_text().replace("25 h or 4 months", "25 h or 4 months\n  - uses: 6 qt engine oil; 1 oil filter")
    cowling.write_text(text + CHECKS)
    aircraft = wren / "records/aircraft.yaml"
    text = aircraft.read_text().replace("  propeller: {}\n", "  propeller: {}\n  fuel-hoses: {}\n")
    papers = "papers:\n  - {what: operating limitations, at: map pocket}\n  - {what: airframe log, at: hangar shelf}\n"
    aircraft.write_text(f"{text}lead-times: {{oil filter: 10 days, fuel-hoses: 2 months}}\n{papers}")
    for number, (day, one, two) in enumerate(
        (("08-16", 78, 76), ("08-26", 76, 76), ("09-05", 74, 75), ("09-20", 72, 76), ("10-10", 70, 75))
    ):
        said = f"readings: {{compression: {{cylinder 1: {one} psi, cylinder 2: {two} psi}}}}\n"
        meters = f"meters: {{tach: {8 + 3 * number}.0}}\n"
        text = f"kind: work\ndate: 2026-{day}\n{meters}text: warm\n{said}by: Wilma Fieldfare\n"
        entered(wren, f"2026-{day}-compression", text)
    hoses = "kind: installed\ndate: 2026-08-01\nposition: fuel-hoses\nserial: FH-7\npart: hose set\nmade: 2026-05\n"
    entered(wren, "2026-08-01-hoses", f"{hoses}paper: 'tag FH-7, airframe log p. 3'\nno change: weighed with them\n")
    entered(wren, "2026-11-01-filters", "kind: stock\ndate: 2026-11-01\nitem: oil filter\namount: 1\nlot: 26A\n")
    radio = "kind: equipment\ndate: 2026-11-02\nitem: radio\nweight: 2.6 lb\narm: 30 in\nchange: in\n"
    entered(wren, "2026-11-02-radio", radio)
    return wren


class TestTheTailwheelAeroplane:
    def test_trends(self, run: Run, kept: Path) -> None:
        """78, 76, 74, 72, 70 psi at 8, 11, 14, 17, 20 h: two thirds of a psi an hour; 10 psi more take 15 h: 60 psi
        at 35.0 h. The other cylinder only wavers. Spread at last 75 - 70 = 5; it rises, and its limit is 15.
        """
        found = {each["trend"]: each for each in asked(run, kept, "trend")["trends"]}
        one = found["compression/cylinder-1"]
        assert one["slope"]["slope"] == pytest.approx(-2 / 3)
        assert one["reached"]["total"] == pytest.approx(35.0)
        assert (one["position"], one["serial"]) == ("engine", "C-4471")
        assert found["compression/cylinder-2"]["reached"] is None
        assert "compression/spread" not in found  # not reckoned in records written by hand
        (item,) = (each for each in asked(run, kept, "due")["items"] if each["kind"] == "trend")
        assert item["due"]["total"] == 35
        told = " ".join(run(kept, "due", "compression/cylinder-1", on=ON).out.split())
        assert "60 psi reached at 35.0 h total" in told
        # The readings end with October, and so does what is known of the use: 40 days.
        assert "reading 40 days old" in told

    def test_what_is_reckoned(self, run: Run, kept: Path) -> None:
        """2 gal in 540 s are 13.33 gal/h."""
        words = ("work", "fuel-flow", "tach=23.9", "--by", "Wilma Fieldfare", "--read", "fuel=2", "--read", "time=540")
        assert "flow is 13.33 gal/h (2 gal x 3600 / 540 s)" in run(kept, *words, on="2026-11-25").out

    def test_balance(self, run: Run, kept: Path) -> None:
        """27,792 + 2.6 x 30 = 27,870 lb-in over 856.6 lb; alone with full tanks + 15 x -24 + 170 x 42 + 90 x 24 +
        48 x 66 = 27,870 + 12,108 = 39,978 over 1179.6. The same 48 lb of fuel in the tank at 66 in instead of the one
        at 24 in move it by 48 x 42 / 1089.6 = 1.850 in.
        """
        told = asked(run, kept, "balance")
        assert (told["empty"]["weight"], told["empty"]["moment"]) == pytest.approx((856.6, 27_870))
        alone = next(each for each in told["loadings"] if each["name"] == "alone with full tanks")
        assert (alone["weight"], alone["arm"]) == pytest.approx((1179.6, 39_978 / 1179.6))
        arms = []
        for fuel in ("main=8,aft=0", "main=0,aft=8"):
            (one,) = asked(run, kept, "balance", "--aboard", "170", "--fuel", fuel)["loadings"]
            assert one["weight"] == pytest.approx(1089.6)
            arms.append(one["arm"])
        assert arms[1] - arms[0] == pytest.approx(48 * 42 / 1089.6)

    def test_parts_and_lives(self, run: Run, kept: Path) -> None:
        """One filter is there, so the first oil change orders none; hoses made in May 2026 last until May 2032, far
        beyond the year that `parts` looks at. What they are and where their tag is stands in the handover.
        """
        needs = asked(run, kept, "parts", "--months", "12")["needs"]
        filters = [each["short"] for each in needs if each["part"] == "oil filter"]
        assert filters[0] == 0
        assert all(short == 1 for short in filters[1:])
        hoses = next(each for each in asked(run, kept, "due")["items"] if each["check"] == "hoses-life")
        assert hoses["due"]["date"] == "2032-05-01"

    def test_status_says_first_that_the_phase_is_open(self, run: Run, kept: Path) -> None:
        """23.9 h of 40 h: 16.1 to go."""
        lines = run(kept, "status", on=ON).out.splitlines()
        assert lines[1].startswith("!! NO PASSENGERS: flight-test phase open since 2026-08-01, 23.9 h of 40 h flown")
        facts = asked(run, kept, "status")
        assert facts["no_passengers"][0]["lacks"][0] == "16.1 h to be flown"
        assert (facts["no_passengers"][0]["hours"], facts["no_passengers"][0]["flown"]) == (40, 23.9)
        for paper in ("html", "md", "txt"):
            target = kept.parent / f"status.{paper}"
            assert run(kept, "status", "--to", str(target), on=ON).code == 0
            shown = re.sub("</?span[^>]*>", "", target.read_text(encoding="utf-8"))
            assert "16.1 h to be flown" in " ".join(shown.split())

    def test_handed_over_in_the_middle_of_it(self, run: Run, kept: Path) -> None:
        target = kept.parent / "sold"
        assert run(kept, "handover", "--to", str(target), on=ON).code == 0
        told = " ".join((target / "index.txt").read_text(encoding="utf-8").split())
        for words in (
            "!! NO PASSENGERS: flight-test phase open",
            "tag FH-7, airframe log p. 3",
            "856.6 lb at 32.54 in, moment 27870.0 lb-in",
            "No inspection is on record.",
            "paragraph (g), diaphragm looked at for seepage",
            "operating limitations map pocket not included",
        ):
            assert words in told

    def test_calendar_and_table(self, run: Run, kept: Path) -> None:
        target = kept.parent / "due.ics"
        assert run(kept, "calendar", "--to", str(target), on=ON).code == 0
        told = target.read_text(encoding="utf-8").replace("\r\n ", "")
        assert "DTSTART;VALUE=DATE:20320501" in told
        rows = run(kept, "export", "--csv", on=ON).out.splitlines()
        assert sum("radio" in row for row in rows) == 1
