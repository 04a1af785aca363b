"""The sample aircraft is what it says it is, by a plain reading of its own files."""

import datetime as dt
import graphlib
import re
from decimal import Decimal
from itertools import pairwise

import pytest
import yaml

from inspect_kit.store import check_seals
from inspect_kit.store.loading import load
from tests.sample.plain import CHECKLISTS, RECORDS, ROOT, front_matters, items, minutes, records, totals_of_tach

LAST_DAY = "2026-11-25"

# Every key of a check, from the table of the design.
KEYS = {
    *("every", "once", "life", "first", "grace", "counts-on", "owed-after", "covers", "time", "who", "with", "when"),
    *("after", "within", "wait", "not-while", "alone", "needs", "reads", "uses", "tools", "source", "caution"),
    *("second-look", "replace", "was", "retired", "bars", "disturbs", "costs", "reckons"),
}
FRONT_KEYS = {
    *("panel", "name", "zone", "remove", "refit", "people", "behind", "kind", "make", "undo", "needs", "fasteners"),
    *("tools", "caution", "second-look", "retired", "not-while", "wait", "disturbs"),
}
NUMBER = r"\d+(?:\.\d+)?"
# Shape of an interval: the keys it may stand under, and what it looks like.
SHAPES = {
    "hours": ("every", rf"(?:^| or ){NUMBER} h(?: or |$)"),
    "hours on a named meter": ("every", rf"{NUMBER} h on [a-z]+"),
    "landings": ("every", r"\d+ landings"),
    "days": ("every", r"\d+ days"),
    "months": ("every", r"\d+ months"),
    "years": ("every", r"\d+ years"),
    "calendar months": ("every", r"\d+ calendar months"),
    "whichever comes first": ("every", r" or "),
    "with an inspection": ("every", r"condition inspection"),
    "as marked": ("every", r"^as marked$"),
    "once, counted": ("once", rf"^{NUMBER} h or \d+ months$"),
    "once, on a date": ("once", r"^\d{4}-\d\d-\d\d$"),
    "life by hours or calendar": ("life", rf"^{NUMBER} h or \d+ years$"),
    "life from its label": ("life", r"^\d+ years from made$"),
    "first, one": ("first", rf"^{NUMBER} h$"),
    "first, a list": ("first", r"^1 h, 10 h$"),
    "grace": ("grace", rf"^{NUMBER} h$"),
    "owed after work": ("owed-after", r"\bdid [a-z-]+"),
    "owed after a disturbance": ("owed-after", r"\bdisturbed [a-z-]+"),
    "owed after a fitting": ("owed-after", r"\binstalled [a-z-]+"),
    "for others": ("who", r"^others: .+"),
    "anyone": ("who", r"^anyone$"),
    "inspector": ("who", r"^inspector$"),
    "before": ("when", r"^before$"),
    "closed": ("when", r"^closed$"),
    "closed except": ("when", r"^closed except [a-z-]+, [a-z-]+$"),
    "two people": ("time", r"^\d+ min, 2 people$"),
    "on condition": ("replace", r"^on condition$"),
    "reading, a range of labels": ("reads", r"^cylinder 1 to 4, psi, at least 60, "),
    "reading, a change": ("reads", rf", falls at most {NUMBER} in {NUMBER} h$"),
    "reckoned, a spread": ("reckons", r" = spread of "),
    "reckoned, by timing": ("reckons", r" = flow of 1 gal, "),
    "reckoned, by ampere-hours": ("reckons", r" = capacity of 5 A, "),
    "reading, at most": ("reads", rf", at most {NUMBER}$"),
    "reading, between": ("reads", rf", {NUMBER} to {NUMBER}$"),
    "reading, below zero": ("reads", rf", -{NUMBER} to {NUMBER}$"),
    "reading, words": ("reads", r", words$"),
    "what a doing costs": ("costs", r"^\d+$"),
}
# The 43 codes of 14 CFR Part 43 Appendix D, counted there by hand.
CODES = {
    *("a", "f", "g", "j"),
    *(f"b{n}" for n in range(1, 4)),
    *(f"c{n}" for n in range(1, 8)),
    *(f"d{n}" for n in range(1, 12)),
    *(f"e{n}" for n in range(1, 11)),
    *(f"{letter}{n}" for letter in "hi" for n in range(1, 5)),
}
AIRCRAFT = yaml.safe_load((RECORDS / "aircraft.yaml").read_text(encoding="utf-8"))
FRONTS = front_matters()
ITEMS = items()
CURRENT = [item for item in ITEMS if not item.one("retired")]
ALL = records()


def of_kind(kind: str) -> list[dict]:
    return [record for record in ALL if record["kind"] == kind]


def on_inspection(item) -> bool:
    """It comes with the inspection by its interval, or covers a code and is not left to others."""
    return "condition inspection" in item.one("every") or bool(item.one("covers"))


class TestWhatIsThere:
    def test_35_panels_and_setups_come_off_or_are_made(self):
        moving = [front for front in FRONTS.values() if {"remove", "make"} & set(front) and "retired" not in front]
        assert len(moving) >= 35
        assert sum("make" in front for front in moving) >= 4

    def test_150_checks_in_use(self):
        assert len(CURRENT) >= 150

    @pytest.mark.parametrize(
        "word",
        [
            *("fuselage", "floor", "seat", "wing", "tail", "fairing", "cowling", "spinner", "jack", "battery"),
            *("strut", "tank", "windscreen", "baffle"),
        ],
    )
    def test_the_places_that_such_an_aircraft_has(self, word: str):
        assert any(word in front["name"].lower() for front in FRONTS.values())

    def test_a_file_lies_under_its_zone_and_has_its_panels_name(self):
        for file, front in FRONTS.items():
            assert file == f"checklists/{front['zone']}/{front['panel']}.md"

    def test_a_panel_that_comes_off_says_minutes_for_both_ways(self):
        for file, front in FRONTS.items():
            pair = ("make", "undo") if front.get("kind") == "setup" else ("remove", "refit")
            present = [key in front for key in pair]
            assert all(present) or not any(present), file

    def test_it_is_invented_and_says_so(self):
        assert "INVENTED" in (RECORDS / "aircraft.yaml").read_text(encoding="utf-8")
        first_page = CHECKLISTS / "aircraft" / "papers.md"
        assert "invented from nose to tail" in first_page.read_text(encoding="utf-8")

    def test_its_registration_cannot_exist(self):
        # 14 CFR 47.15, from memory: after the N come one to five characters, the first of them a digit from 1 to 9.
        assert AIRCRAFT["aircraft"]["registration"] == "N0TS"
        assert not re.match(r"N[1-9]", AIRCRAFT["aircraft"]["registration"])


class TestEveryKeyAndShape:
    def test_every_key_of_a_check(self):
        assert {key for item in ITEMS for key, _ in item.keys} == KEYS

    def test_every_key_of_a_panel(self):
        assert {key for front in FRONTS.values() for key in front} >= FRONT_KEYS

    @pytest.mark.parametrize("shape", SHAPES)
    def test_every_shape(self, shape: str):
        key, pattern = SHAPES[shape]
        assert [item.id for item in ITEMS if any(re.search(pattern, value) for value in item.all(key))]

    def test_something_retired_of_each_sort(self):
        assert any("retired" in front for front in FRONTS.values())
        assert any(item.one("retired") for item in ITEMS)
        assert any("retired" in position for position in AIRCRAFT["positions"].values())

    def test_no_grace_stands_on_an_inspection(self):
        assert not [item.id for item in ITEMS if item.one("grace") and "inspection" in item.one("every")]


class TestScope:
    def test_all_43_codes_are_covered_or_not_applicable_with_a_reason(self):
        assert len(CODES) == 43
        covered = {code.split(".")[0] for item in CURRENT for code in item.listed("covers")}
        left_out = AIRCRAFT["not-applicable"]
        assert covered | set(left_out) == CODES
        assert not covered & set(left_out)
        assert all(len(reason.split()) >= 3 for reason in left_out.values())

    def test_a_code_is_covered_by_something_that_this_aircraft_can_do_itself(self):
        own = [item for item in CURRENT if not item.one("who").startswith("others")]
        covered = {code.split(".")[0] for item in own for code in item.listed("covers")}
        assert covered >= CODES - set(AIRCRAFT["not-applicable"])

    def test_what_operating_limitations_usually_add(self):
        # Order 8130.2F era, clause 22: instruments marked and placards installed; essential controls in good condition.
        told = {item.id: item.text for item in CURRENT if "operating limitations" in item.one("source")}
        assert "Placards and instrument marks" in told["placards"]
        assert "securely mounted, clearly marked, easy to reach and to operate" in told["essential-controls"]

    def test_the_engine_runs_before_and_after_take_the_seven_readings(self):
        # 14 CFR 43.15(c)(2): power output (static and idle), magnetos, fuel and oil pressure, temperatures.
        runs = {item.id: item for item in CURRENT if item.id in ("run-before", "run-after")}
        assert (runs["run-before"].one("when"), runs["run-after"].one("when")) == ("before", "closed")
        wanted = ("static", "idle", "left magneto drop", "right magneto drop", "fuel pressure", "oil pressure")
        wanted += ("oil temperature", "cylinder head")
        for run in runs.values():
            labels = " | ".join(value.split(",")[0] for value in run.all("reads"))
            assert [word for word in wanted if word not in labels] == []
            assert run.one("alone") == "yes"
            assert "propeller" in run.one("caution")

    def test_the_leak_check_is_run_with_the_cowling_off(self):
        check = next(item for item in CURRENT if item.id == "idle-leaks")
        assert check.one("when") == "closed except cowl-lower, cowl-upper"
        assert check.listed("covers") == ["d1"]

    def test_statement_and_signers_are_those_of_the_operating_limitations(self):
        # Wording of the Order 8130.2F era, with the date left open.
        rule = AIRCRAFT["inspections"]["condition"]
        assert rule["statement"] == (
            "I certify that this aircraft has been inspected on {date} in accordance with the scope and detail of "
            "appendix D to part 43, and was found to be in a condition for safe operation."
        )
        assert rule["every"] == "12 calendar months"
        assert rule["signers"] == [
            "repairman (experimental aircraft builder)",
            "mechanic (airframe and powerplant)",
        ]


class TestWork:
    def test_nobody_dresses_the_wooden_propeller_like_metal(self):
        texts = " ".join(item.text for item in ITEMS if item.panel in ("spinner", "propeller-off")).lower()
        assert not re.search(r"\b(dress|file|blend|straighten)\b", texts)

    def test_a_condition_inspection_takes_30_to_42_hours_of_labour(self):
        """Checks by minutes x people, and every panel on the way once off and once on."""
        panels = {front["panel"]: front for front in FRONTS.values()}
        chosen = [item for item in CURRENT if on_inspection(item) and not item.one("who").startswith("others")]
        labour = sum(minutes(item.one("time") or "5 min") for item in chosen)
        opened: set[str] = set()
        wanted = [panel for item in chosen for panel in [item.panel, *item.listed("with")]]
        while wanted:
            panel = wanted.pop()
            if panel not in opened:
                opened.add(panel)
                wanted += panels[panel].get("behind", [])
        for panel in opened:
            for key in ("remove", "refit", "make", "undo"):
                labour += minutes(panels[panel].get(key, "0 min")) * panels[panel].get("people", 1)
        assert 30 * 60 <= labour <= 42 * 60

    def test_dangerous_work_has_its_caution(self):
        cautions = {front["panel"]: str(front.get("caution", "")) for front in FRONTS.values()}
        for panel in ("on-jacks", "battery-disconnected", "fuel-drained", "propeller-off", "cowl-lower", "spinner"):
            assert cautions[panel], panel
        for item in CURRENT:
            if item.id in ("wheel-left", "wheel-right", "wheel-nose", "fuel-strainer", "oil-change", "elt-inspection"):
                assert item.one("caution"), item.id


class TestReferences:
    def test_ids_are_unique_and_well_formed(self):
        names = [front["panel"] for front in FRONTS.values()] + [item.id for item in ITEMS]
        names += [*AIRCRAFT["positions"], *(old for item in ITEMS for old in item.listed("was"))]
        assert len(names) == len(set(names))
        assert all(re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", name) for name in names)

    def test_whatever_is_named_exists(self):
        panels, checks = {front["panel"] for front in FRONTS.values()}, {item.id for item in ITEMS}
        positions, gear = set(AIRCRAFT["positions"]), set(AIRCRAFT["tooling"])
        words = {what for front in FRONTS.values() for what in front.get("disturbs", [])}
        words |= {what for item in ITEMS for what in item.listed("disturbs")}
        for front in FRONTS.values():
            assert set(front.get("behind", [])) <= panels
            assert set(front.get("needs", [])) <= gear
        for item in ITEMS:
            assert {*item.listed("with"), *item.listed("not-while")} <= panels, item.id
            assert set(item.listed("after")) <= checks, item.id
            assert set(item.listed("needs")) <= gear, item.id
            assert set(item.listed("counts-on")) <= positions, item.id
            for key in ("within", "wait"):
                assert not item.one(key) or item.one(key).split()[-1] in checks, item.id
            for trigger in item.listed("owed-after"):
                verb, what = trigger.split(" ")
                # What is disturbed may be a word of its own; something in the checklists or a record says it then.
                assert what in {"did": checks, "installed": positions}.get(verb, positions | words), item.id

    def test_nothing_is_behind_or_after_itself(self):
        behind = {front["panel"]: front.get("behind", []) for front in FRONTS.values()}
        after = {item.id: item.listed("after") for item in ITEMS}
        assert set(graphlib.TopologicalSorter(behind).static_order()) == set(behind)
        assert set(graphlib.TopologicalSorter(after).static_order()) == set(after)

    def test_what_is_done_before_or_closed_stands_where_nothing_comes_off(self):
        places = {front["panel"] for front in FRONTS.values() if not {"remove", "make"} & set(front)}
        assert all(item.panel in places for item in ITEMS if item.one("when") in ("before", "closed"))

    def test_records_name_only_what_there_is(self):
        known = {item.id for item in ITEMS} | {old for item in ITEMS for old in item.listed("was")}
        panels = {front["panel"] for front in FRONTS.values()}
        for record in ALL:
            assert set(record.get("did", [])) <= known, record["name"]
            assert set(record.get("results", {})) <= known, record["name"]
            assert set(record.get("opened", [])) <= panels, record["name"]
            assert set(record.get("disturbed", [])) <= set(AIRCRAFT["positions"]), record["name"]
            if "position" in record:
                assert record["position"] in AIRCRAFT["positions"], record["name"]


class TestRecords:
    def test_eight_years_and_more_and_none_from_today_on(self):
        first, last = ALL[0]["date"], ALL[-1]["date"]
        assert dt.date.fromisoformat(last) - dt.date.fromisoformat(first) > dt.timedelta(days=8 * 365 + 2)
        assert last < LAST_DAY
        assert all(record["date"] <= record["entered"] < LAST_DAY for record in ALL)
        assert {record["date"][:4] for record in ALL} == {str(year) for year in range(2017, 2027)}
        assert first == AIRCRAFT["aircraft"]["certificate-date"].isoformat()

    def test_a_file_bears_its_records_date_and_a_code(self):
        for path in sorted(RECORDS.glob("20*/*.yaml")):
            date, slug, code = re.fullmatch(r"(\d{4}-\d\d-\d\d)-([a-z0-9-]+)-([a-z0-9]{4})", path.stem).groups()
            assert path.parent.name == date[:4]
            assert next(record for record in ALL if record["name"] == path.stem)["date"] == date
            assert slug
            assert re.search(r"[a-z]", code)

    def test_every_kind_but_brought_forward(self):
        kinds = {record["kind"] for record in ALL}
        assert kinds == {
            *("hours", "work", "finding", "inspection", "signature", "installed", "removed", "meter-change"),
            *("amendment", "weighing", "equipment", "setting", "phase", "change", "directive", "search", "stock"),
        }

    def test_totals_only_grow_and_end_near_610(self):
        totals = totals_of_tach()
        assert totals[0][1] == 0
        assert all(before[1] <= after[1] for before, after in pairwise(totals))
        assert 600 <= totals[-1][1] <= 620

    def test_no_more_hours_than_the_clock_holds(self):
        """Between two readings lie at most the hours from the morning of the first day to the night of the last."""
        totals = totals_of_tach()
        for (day, total, _), (next_day, next_total, name) in pairwise(totals):
            days = (dt.date.fromisoformat(next_day) - dt.date.fromisoformat(day)).days
            assert next_total - total <= 24 * (days + 1), name
            # Nobody flies this aircraft ten hours a day either.
            assert next_total - total <= 10 * (days + 1), name

    @pytest.mark.parametrize("meter", ["hobbs", "landings"])
    def test_the_other_meters_only_grow(self, meter: str):
        readings = [(r["date"], Decimal(r["meters"][meter])) for r in ALL if meter in r.get("meters", {})]
        readings.sort()
        assert len(readings) > 50
        assert all(a[1] <= b[1] for a, b in pairwise(readings))

    def test_hours_are_written_every_few_flights_with_less_in_winter(self):
        hours = of_kind("hours")
        assert len(hours) >= 150
        assert any(record.get("added", {}).get("oil") for record in hours)
        # What was flown up to a reading is given to the month of that reading.
        flown = {"winter": Decimal(0), "summer": Decimal(0)}
        for (_, before, _), (day, after, _) in pairwise(totals_of_tach()):
            if day[5:7] in ("12", "01", "02"):
                flown["winter"] += after - before
            if day[5:7] in ("06", "07", "08"):
                flown["summer"] += after - before
        assert flown["winter"] * 2 < flown["summer"]

    def test_one_lay_up_of_three_months_and_more(self):
        days = [dt.date.fromisoformat(record["date"]) for record in of_kind("hours")]
        assert max((b - a).days for a, b in pairwise(days)) > 90

    def test_the_tachometer_was_changed(self):
        (change,) = of_kind("meter-change")
        assert change["meter"] == "tach" == AIRCRAFT["time-in-service"]
        assert Decimal(change["unrecorded"]["hours"]) > 0
        assert change["unrecorded"]["how-known"]

    def test_a_magneto_was_changed(self):
        out = [record for record in of_kind("removed") if record["position"].startswith("magneto")]
        fitted = [r for r in of_kind("installed") if r["position"].startswith("magneto") and "since-overhaul" in r]
        assert [r["position"] for r in out] == [r["position"] for r in fitted]
        assert out[0]["serial"] != fitted[0]["serial"]
        assert Decimal(fitted[0]["since-overhaul"]) < Decimal(fitted[0]["since-new"])

    def test_a_mechanic_worked_away_from_home_with_a_paper_reference(self):
        away = [record for record in of_kind("work") if record.get("at") == "Far Reach Field"]
        mechanics = [person["name"] for person in AIRCRAFT["people"] if person["kind"].startswith("mechanic")]
        assert {record["by"] for record in away} == set(mechanics)
        assert all(record["paper"] for record in away)

    def test_work_of_repair_stations_has_their_paper(self):
        stations = [r for r in of_kind("work") if isinstance(r["by"], dict) and r["by"]["kind"] == "repair station"]
        assert {check for record in stations for check in record["did"]} >= {"transponder-test", "altimeter-static"}
        assert all(record["paper"] for record in stations)

    def test_some_work_has_no_reading(self):
        assert 5 <= len([record for record in of_kind("work") if "meters" not in record]) <= len(of_kind("work")) / 2

    def test_dates_that_parts_carry(self):
        marked = {item.id for item in ITEMS if item.one("every") == "as marked"}
        assert {check for record in of_kind("work") for check in record.get("next", {})} == marked

    def test_some_oil_changes_were_late_and_most_were_not(self):
        done = [
            dt.date.fromisoformat(record["date"])
            for record in ALL
            if "oil-change" in record.get("did", []) or "oil-change" in record.get("results", {})
        ]
        # Four months are at most 123 days.
        late = [b for a, b in pairwise(done) if (b - a).days > 123]
        assert 2 <= len(late) < len(done) / 3


class TestFindings:
    def findings(self) -> dict[str, dict]:
        found = {f"{record['name']}#F1": record for record in of_kind("finding")}
        for record in of_kind("inspection"):
            found |= {f"{record['name']}#{name}": each for name, each in record.get("findings", {}).items()}
        return found

    def standing(self) -> dict[str, dict]:
        cleared = {name for record in ALL for name in record.get("clears", [])}
        return {name: each for name, each in self.findings().items() if name not in cleared and "cleared" not in each}

    def test_they_stand_under_a_check_or_a_panel_that_there_is(self):
        known = {item.id for item in ITEMS} | {front["panel"] for front in FRONTS.values()}
        assert all(each.get("check", each.get("panel")) in known for each in self.findings().values())

    def test_fixed_put_off_and_standing(self):
        found, standing = self.findings(), self.standing()
        assert len(found) >= 25
        assert len(found) - len(standing) >= 20
        put_off = {name for name, each in found.items() if each["fix"] != "before flight"}
        assert all("may wait because" in found[name] for name in put_off)
        assert put_off - set(standing), "one that was put off has been put right"
        assert standing, "one stands today"
        assert not [name for name, each in standing.items() if each["fix"] == "before flight"]

    def test_each_sort_of_limit(self):
        limits = {re.sub(r"\d[\d.-]*", "#", each["fix"]) for each in self.findings().values()}
        assert limits == {"before flight", "by #", "by # h", "at next condition inspection"}

    def test_what_is_cleared_was_found_before(self):
        found = self.findings()
        for record in ALL:
            for name in record.get("clears", []):
                assert name in found
                assert name[:10] <= record["date"]


class TestInspections:
    def test_one_a_year_each_signed_in_ink(self):
        inspections = of_kind("inspection")
        assert [record["date"][:4] for record in inspections] == [str(year) for year in range(2018, 2026)]
        signed = {record["of"]: record for record in of_kind("signature")}
        closings = {record["name"] for record in of_kind("phase") if "closes" in record}
        assert set(signed) == {record["name"] for record in inspections} | closings
        assert all(record["ink"] for record in signed.values())

    def test_the_next_one_is_due_at_the_end_of_november(self):
        # 12 calendar months from any day of November 2025: the last day of November 2026.
        assert of_kind("inspection")[-1]["date"].startswith("2025-11-")

    def test_one_year_ran_out_and_nobody_flew_until_it_was_done(self):
        """Twelve calendar months by hand: past the last day of the same month a year later there are no flights."""
        inspections = of_kind("inspection")
        ends = []
        for before, after in pairwise(inspections):
            year, month = int(before["date"][:4]) + 1, int(before["date"][5:7])
            end = dt.date(year + month // 12, month % 12 + 1, 1).isoformat()
            if after["date"] >= end:
                ends.append((end, after["date"]))
        assert [end[:4] for end, _ in ends] == ["2022"]
        totals = totals_of_tach()
        for end, done in ends:
            before = [total for day, total, _ in totals if day < end][-1]
            after = [total for day, total, _ in totals if day <= done][-1]
            # Running it up on the ground counts on this meter as well.
            assert after - before <= Decimal("0.6")

    def test_every_check_of_the_inspection_was_done_and_every_code_covered(self):
        fitted = {"pre-heater": "2019-12-07", "attitude-battery": "2021-03-20"}
        codes = {item.id: item.listed("covers") for item in ITEMS}
        for record in of_kind("inspection"):
            done = {name for name, each in record["results"].items() if each == "done" or each["answer"] == "done"}
            owed = {item.id for item in CURRENT if on_inspection(item) and fitted.get(item.id, "") < record["date"]}
            assert owed <= done, record["name"]
            covered = {code.split(".")[0] for name in done for code in codes[name]}
            assert covered | set(record["not-applicable"]) == CODES

    def test_every_reading_was_taken_and_is_in_its_limits_in_the_end(self):
        for record in of_kind("inspection"):
            for name, readings in record["readings"].items():
                for label, value in readings.items():
                    first, last = (value[0], value[-1]) if isinstance(value, list) else (value, value)
                    assert "____" not in first
                    bound = re.search(r"\((?:at least (\S+)|at most (\S+)|(\S+) to (\S+))\)$", first)
                    if bound:
                        number = Decimal(re.match(r"-?[\d.]+", last)[0])
                        low, high = bound[1] or bound[3], bound[2] or bound[4]
                        assert low is None or number >= Decimal(low), (record["name"], name, label)
                        assert high is None or number <= Decimal(high), (record["name"], name, label)

    def test_compression_moves_believably_from_year_to_year(self):
        years = [record["readings"]["compression"] for record in of_kind("inspection")]
        for cylinder in range(1, 5):
            values = []
            for each in years:
                value = each[f"cylinder {cylinder}"]
                last = value[-1] if isinstance(value, list) else value
                values.append(int(re.match(r"\d+", last)[0]))
            assert all(60 <= value <= 80 for value in values)
            assert all(abs(a - b) <= 8 for a, b in pairwise(values))
            assert len(set(values)) > 1

    def test_minutes_and_notes_were_written_on_the_page(self):
        for record in of_kind("inspection"):
            told = [each for each in record["results"].values() if isinstance(each, dict)]
            assert sum("took" in each for each in told) >= 50
            assert any("notes" in each for each in told)

    def test_signers_are_people_of_the_aircraft_with_a_kind_that_may_sign(self):
        people = {person["name"]: person for person in AIRCRAFT["people"]}
        kinds = set()
        for record in of_kind("inspection"):
            by = record["by"]
            assert (by["kind"], by["certificate"]) == (people[by["name"]]["kind"], people[by["name"]]["certificate"])
            assert by["kind"] in AIRCRAFT["inspections"]["condition"]["signers"]
            kinds.add(by["kind"])
        assert len(kinds) == 2

    def test_each_worksheet_stands_beside_its_record_all_boxes_ticked(self):
        for record in of_kind("inspection"):
            page = RECORDS / record["date"][:4] / f"{record['name']}.md"
            text = page.read_text(encoding="utf-8")
            boxes = re.findall(r"(?m)^- \[(.)\] ", text)
            assert len(boxes) > 150
            assert set(boxes) == {"x"}
            assert "____" not in text
            off = sorted(re.findall(r"(?m)^- \[x\] (?:remove|make) `([^`]+)`", text))
            assert off == sorted(re.findall(r"(?m)^- \[x\] (?:refit|undo) `([^`]+)`", text))


class TestTheWholeStore:
    def test_the_program_reads_it_without_a_problem_and_every_seal_is_whole(self):
        loaded = load(ROOT)
        own = [problem for problem in loaded.problems if not problem.place.file.startswith("records/open")]
        assert own == []
        assert check_seals(loaded.files, {}) == ()

    def test_nothing_claims_that_the_aircraft_is_airworthy(self):
        paths = [*CHECKLISTS.rglob("*.md"), *RECORDS.rglob("*.yaml"), *RECORDS.rglob("*.md")]
        assert not [path.name for path in paths if re.search(r"\bairworthy\b", path.read_text(encoding="utf-8"), re.I)]
