"""The starter set reads without a problem, covers all 43 codes, and gives a first answer within minutes."""

import json
import re
from collections import Counter
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

import inspect_kit.starter
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import PLACE_FILE, Check, Panel
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.rules import APPENDIX_D, scope_coverage
from inspect_kit.rules.intervals import interval_doubt
from inspect_kit.rules.scope import paragraph
from inspect_kit.store import at, load
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from tests.cli.conftest import Run, calm, run  # noqa: F401

STARTER = Path(inspect_kit.starter.__file__).parent
FILL = {
    **{"registration": "N0XX", "make": "Sparrow", "model": "S-1", "serial": "0042", "certificate_date": "2019-05-17"},
    **{"name": "Ada Bellcrank", "kind": "repairman (experimental aircraft builder)", "certificate": "0000001"},
    **{"today": "2026-11-25", "year": "2026", "tach_reads": "400.0", "tach_total": "655.5"},
    **{"last_condition_date": "2025-12-13", "last_condition_total": "620.0", "last_condition_paper": "log p. 31"},
}
# 14 CFR Part 43, Appendix D: 39 numbered paragraphs, and (a), (f), (g), (j) without numbers.
ALL_43 = {
    *("a", "f", "g", "j"),
    *(f"b{n}" for n in range(1, 4)),
    *(f"c{n}" for n in range(1, 8)),
    *(f"d{n}" for n in range(1, 12)),
    *(f"e{n}" for n in range(1, 11)),
    *(f"h{n}" for n in range(1, 5)),
    *(f"i{n}" for n in range(1, 5)),
}
ANSWERS = (
    *("--registration", "N0XX", "--make", 'Sparrow "Kit" Works', "--model", "S-1", "--serial", "0042"),
    *("--certificate-date", "2019-05-17", "--name", "Ada Bellcrank", "--certificate", "0000001"),
    *("--kind", "repairman (experimental aircraft builder)", "--tach", "400.0", "--total", "655.5"),
    *("--last-inspection", "2025-12-13", "--last-total", "620.0", "--last-paper", "aircraft log p. 31"),
)


def template(name: str) -> str:
    """A template with its placeholders filled; one that has no value raises KeyError."""
    text = (STARTER / "records" / name).read_text(encoding="utf-8")
    return re.sub(r"\{\{(\w+)\}\}", lambda found: FILL[found.group(1)], text)


def files() -> list[Path]:
    return sorted((STARTER / "checklists").rglob("*.md"))


@pytest.fixture(scope="module")
def aircraft() -> Aircraft:
    found, source = read_aircraft(template("aircraft.yaml"), "records/aircraft.yaml")
    assert source.problems == []
    assert found is not None
    return found


@pytest.fixture(scope="module")
def panels() -> list[Panel]:
    return [pages()[path][0] for path in pages()]


@pytest.fixture(scope="module")
def checks() -> list[Check]:
    return [check for _, found in pages().values() for check in found]


def pages() -> dict[Path, tuple[Panel, list[Check]]]:
    read = {}
    for path in files():
        panel, checks, source = read_checklist(path.read_text(encoding="utf-8"), path.name)
        assert source.problems == []
        assert panel is not None
        read[path] = (panel, checks)
    return read


# --- as the readers see it ---


def test_each_file_is_one_panel_named_after_it() -> None:
    for path, (panel, _) in pages().items():
        assert (path.parent.name, path.stem) == (panel.zone, panel.id)


def test_ids_are_unique(panels: list[Panel], checks: list[Check], aircraft: Aircraft) -> None:
    counted = Counter([*(panel.id for panel in panels), *(check.id for check in checks), *aircraft.positions])
    assert [name for name, number in counted.items() if number > 1] == []


def test_every_code_is_covered_or_not_applicable(checks: list[Check], aircraft: Aircraft) -> None:
    covered = {paragraph(code) for check in checks for code in check.covers}
    assert covered | set(aircraft.not_applicable) == ALL_43
    assert covered & set(aircraft.not_applicable) == set()
    assert all(aircraft.not_applicable.values())


def test_what_covers_a_code_comes_with_the_inspection_or_has_an_interval(checks: list[Check]) -> None:
    idle = [check.id for check in checks if not (check.every or check.owed_after)]
    # Taking the emergency transmitter out is never due by itself.
    assert idle == ["elt-removed"]


def test_nothing_goes_round_in_a_circle(panels: list[Panel], checks: list[Check]) -> None:
    # A circle raises CycleError; an order that lacks a name would have left an unknown one behind.
    order = list(TopologicalSorter({panel.id: panel.behind for panel in panels}).static_order())
    assert sorted(order) == sorted(panel.id for panel in panels)
    before = {
        check.id: {*check.after, *(lag.check for lag in (check.within, check.wait) if lag is not None)}
        for check in checks
    }
    assert sorted(TopologicalSorter(before).static_order()) == sorted(before)


def test_phases_stand_where_they_can(panels: list[Panel], checks: list[Check]) -> None:
    kinds = {panel.id: panel.kind for panel in panels}
    early_or_late = [check for check in checks if check.when != "open"]
    assert {check.when for check in early_or_late} == {"before", "closed"}
    assert {kinds[check.panel] for check in early_or_late} == {PLACE_FILE}
    leaks = {check.id: check for check in checks if check.closed_except}
    assert set(leaks) == {"tools-before-run", "idle-leaks", "leaks-after"}
    for check in leaks.values():
        assert set(check.closed_except) <= {panel.id for panel in panels if panel.zone == "nose"}
    assert leaks["idle-leaks"].covers == leaks["leaks-after"].covers == ("d1",)


def test_what_recurs_or_has_a_limit_names_who_asks_for_it(checks: list[Check]) -> None:
    asked = [check for check in checks if check.is_item or any(reads.bound for reads in check.reads)]
    assert len(asked) >= 20
    assert [check.id for check in asked if not check.source] == []
    # A regulation, an advisory circular, a maker, the operating limitations, or practice.
    words = ("CFR", "AC 43.13-1B", "maker", "operating limitations", "common practice")
    assert [check.id for check in asked if not any(word in check.source for word in words)] == []
    assert [interval_doubt(check) for check in checks if interval_doubt(check)] == []


# Words that say that something is measured, counted or written down. Common practice, no source.
MEASURES = (
    r"\b(gaps?|tension|torqued?|voltage|weighed|dipstick|track|written down|noted|timing to|leak test)\b|; pressure$"
)
# What says such a word and measures nothing: the torque of whatever nut its maker asks it for.
NOT_MEASURED = {"studs-nuts"}


def test_what_measures_something_has_a_reading_with_a_span(checks: list[Check]) -> None:
    """What is measured and has no place to write it is guessed at, and in no trend."""
    mute = {check.id for check in checks if re.search(MEASURES, check.text) and not check.reads}
    assert mute == NOT_MEASURED
    spanless = {
        (check.id, label)
        for check in checks
        for reads in check.reads
        for label in reads.labels
        if not reads.in_words and reads.bound is None
    }
    assert spanless == set()
    # Where only a slip is caught the source says so, or says what to write in its place.
    wide = [check for check in checks if any(not reads.in_words for reads in check.reads)]
    assert [check.id for check in wide if not re.search("CFR|AC 43|maker|plate|builder", check.source)] == []


def test_work_that_can_hurt_has_a_caution(panels: list[Panel], checks: list[Check]) -> None:
    cautioned = {noun.id for noun in (*panels, *checks) if noun.cautions}
    assert cautioned >= {"run-before", "run-after", "magneto-grounding", "idle-leaks", "compression", "spark-plugs"}
    assert cautioned >= {"spinner", "propeller-bolts", "magneto-timing", "on-jacks", "wheels", "battery-disconnected"}
    assert cautioned >= {"battery", "fuel-strainer", "hoses-renewed", "oil-change", "engine-cleaned", "elt-inspection"}
    # The propeller is not turned, and no engine runs, on jacks.
    turned = ("compression", "magneto-timing", "propeller-blades", "propeller-bolts", "idle-leaks")
    assert all("on-jacks" in check.not_while for check in checks if check.id in turned)


def test_no_crew_is_given_and_the_owner_inspects(aircraft: Aircraft) -> None:
    assert aircraft.crew is None
    assert aircraft.people[0].kind in aircraft.inspections["condition"].signers


# --- what the comments offer, with the # taken away ---


def offered() -> list[tuple[str, str, str]]:
    """Of aircraft.yaml: the code, the file named above it, and the check that the comment offers for it."""
    text = template("aircraft.yaml").split("not-applicable:\n", 1)[1]
    found = []
    for block in text.strip("\n").split("\n\n"):
        *comments, entry = block.split("\n")
        where = comments[0].removeprefix("# for ").removesuffix(":")
        found.append((entry.split(":")[0].strip(), where, "\n".join(line[1:] for line in comments[1:])))
        assert entry.endswith("# take this line away if the aircraft has it")
    return found


def test_each_code_that_is_taken_away_has_a_check_to_put_in_its_place(run: Run, tmp_path: Path) -> None:  # noqa: F811
    plane = tmp_path / "plane"
    assert run(None, "new", str(plane), *ANSWERS).code == 0
    paper = plane / "records/aircraft.yaml"
    kept = paper.read_text(encoding="utf-8").split("not-applicable:\n", 1)[0]
    paper.write_text(kept, encoding="utf-8")
    assert run(plane, "scope").code == 1
    assert len(offered()) == 6
    for code, name, check in offered():
        assert f"covers: {code}\n" in f"{check}\n"
        page = plane / name
        page.write_text(page.read_text(encoding="utf-8") + check + "\n", encoding="utf-8")
    assert run(plane, "scope").code == 0
    verified = run(plane, "verify")
    assert (verified.code, verified.err) == (0, "")
    assert run(plane, "plan", "condition", "--people", "2").code == 0


def test_the_brought_forward_lines_can_be_used_as_they_stand(run: Run, tmp_path: Path) -> None:  # noqa: F811
    plane = tmp_path / "plane"
    # A last inspection that the totals of the example lines can follow.
    answers = ["370.0" if word == "620.0" else word for word in ANSWERS]
    assert run(None, "new", str(plane), *answers).code == 0
    (past,) = (plane / "records").rglob("*brought-forward-*.yaml")
    text = past.read_text(encoding="utf-8")
    lines = [line[1:] for line in text.split("\n") if re.match(r"#  [a-z-]+: \{date", line)]
    fitted = [line[1:] for line in re.findall(r"#fitted:|#  [a-z-]+: \{part.*", text)]
    past.write_text("\n".join([text, *lines, *fitted, ""]), encoding="utf-8")
    record, source = read_record(past.read_text(encoding="utf-8"), str(past))
    assert source.problems == []
    assert isinstance(record, BroughtForward)
    assert (len(record.last), len(record.fitted)) == (17, 4)
    verified = run(plane, "verify")
    assert (verified.code, verified.err) == (0, "")
    answer = json.loads(run(plane, "due", "--json").out)
    # Two of the dates that parts carry bar flight until they are on record.
    barred = {re.findall(r"\(([a-z-]+)\)", stop["text"])[0] for stop in answer["stops"]}
    assert barred == {"registration", "elt-battery"}
    unknown = {item["check"] for item in answer["items"] if item["state"] == "unknown"}
    # Unknown are the dates that parts carry, which come with work, and what an oil change, or work on the fuel, of the
    # paper logbook would have made owed: nobody wrote down that it was done.
    marked, after_it = {"registration", "elt-battery", "extinguisher"}, unknown - {"registration", "elt-battery"}
    assert marked <= unknown
    for name in marked:
        assert run(plane, "work", name, "--good-until", f"{name}=2031-05-31").code == 0
    # It is no reason not to fly.
    assert json.loads(run(plane, "due", "--json").out)["stops"] == []
    items = {item["check"]: item for item in json.loads(run(plane, "due", "--json").out)["items"]}
    assert {item["state"] for item in items.values()} <= {"later", "soon", "past-due", "unknown"}
    follow = {name for name, item in items.items() if item["state"] == "unknown"}
    assert follow == after_it - marked
    assert {"oil-fill", "leaks-after"} <= follow
    # 402.0 + 50 h of total time; 4 months after 2026-05-14; 24 calendar months after 2025-04-03.
    assert (items["oil-change"]["due"]["total"], items["oil-change"]["due"]["date"]) == (452.0, "2026-09-14")
    assert items["transponder"]["due"]["date"] == "2027-04-30"


def test_the_rest_of_the_comments_reads_as_well() -> None:
    text = template("aircraft.yaml").replace("  #landings:", "  landings:").replace("  #- name:", "  - name:")
    found, source = read_aircraft(text, "records/aircraft.yaml")
    assert source.problems == []
    assert found is not None
    assert (set(found.meters), len(found.people)) == ({"tach", "landings"}, 2)


# --- as `new` makes it ---


def test_a_new_store_reads_clean_and_covers_every_code(run: Run, tmp_path: Path) -> None:  # noqa: F811
    plane = tmp_path / "plane"
    made = run(None, "new", str(plane), *ANSWERS)
    assert (made.code, made.err) == (0, "")
    (past,) = (plane / "records").rglob("*brought-forward-*.yaml")
    assert past.parent.name == "2026"
    assert re.fullmatch(r"2026-11-25-brought-forward-[a-z0-9]+\.yaml", past.name)
    assert "{{" not in "".join(path.read_text(encoding="utf-8") for path in plane.rglob("*.*") if path.is_file())
    loaded = load(at(plane))
    assert loaded.problems == ()
    assert loaded.logbook is not None
    assert loaded.logbook.aircraft.identity.make == 'Sparrow "Kit" Works'
    assert loaded.logbook.aircraft.identity.serial == "0042"
    coverage = scope_coverage(loaded.logbook.checks.values(), loaded.logbook.aircraft)
    assert coverage.complete
    assert len(coverage.clauses) == len(APPENDIX_D.codes) == 43
    assert run(plane, "verify").code == 0
    assert run(plane, "scope").code == 0
    items = {item["check"]: item for item in json.loads(run(plane, "due", "--json").out)["items"]}
    # 12 calendar months after 2025-12-13.
    assert items["condition"]["due"]["date"] == "2026-12-31"
    assert items["oil-change"]["state"] == "unknown"


def test_the_inspection_can_be_planned_with_a_helper(run: Run, tmp_path: Path) -> None:  # noqa: F811
    plane = tmp_path / "plane"
    assert run(None, "new", str(plane), *ANSWERS).code == 0
    plan = json.loads(run(plane, "plan", "condition", "--people", "2", "--json").out)
    comes_off = {panel.id for panel, _ in pages().values() if panel.kind != PLACE_FILE}
    assert set(plan["panels"]) == comes_off
    end = {step["check"]: step["end_min"] for step in plan["steps"] if step["step"] == "check"}
    start = {step["check"]: step["start_min"] for step in plan["steps"] if step["step"] == "check"}
    assert 0 <= start["compression"] - end["run-before"] <= 30
    assert end["stains-noted"] <= start["washed"]
    assert end["engine-leaks"] <= start["engine-cleaned"]
    off = {(step["step"], step["panel"]): step for step in plan["steps"] if step["step"] != "check"}
    for panel in comes_off - {"cowl-lower", "cowl-upper"}:
        back = off["undo" if panel in ("on-jacks", "battery-disconnected", "plugs-out") else "refit", panel]
        assert back["end_min"] <= start["idle-leaks"]
    assert end["idle-leaks"] <= off["refit", "cowl-lower"]["start_min"]
    assert off["refit", "cowl-upper"]["end_min"] <= start["tools-counted"] <= start["run-after"]
    # Alone it is refused: the compression test, the control travel and the leak check with the engine idling want two.
    alone = run(plane, "plan", "condition", "--people", "1")
    assert alone.code == 1
    assert "(compression) takes 2 people" in alone.err + alone.out
    # Without a number it is for the fewest who can do it, and says so.
    fewest = json.loads(run(plane, "plan", "condition", "--json").out)
    assert fewest["people"] == 2
    (said,) = (note for note in fewest["notes"] if note.startswith("No crew is given"))
    second_looks = sum(panel.second_look + sum(check.second_look for check in checks)
                       for panel, checks in pages().values()) - 1  # the control check that nothing owes today
    assert f"a second person for {second_looks} looks" in said
    # Work between inspections is for one.
    small = json.loads(run(plane, "plan", "washed", "--only", "--json").out)
    assert small["people"] == 1
    assert "No crew is given: planned for the fewest that can do it, 1 person." in small["notes"]


def test_answers_are_asked_one_by_one(run: Run, tmp_path: Path) -> None:  # noqa: F811
    typed = ("N0YY", "Own", "X-1", "1", "2024-02-29", "Bo Cleco", "", "0000002", "12.3", "", "none")
    made = run(None, "new", str(tmp_path / "plane"), typed=typed)
    assert made.code == 0, made
    items = {item["check"]: item for item in json.loads(run(tmp_path / "plane", "due", "--json").out)["items"]}
    assert items["condition"]["state"] == "unknown"
    # What the comments say of the past is still there to be filled in.
    (past,) = (tmp_path / "plane/records").rglob("*brought-forward-*.yaml")
    text = past.read_text(encoding="utf-8")
    assert "\nlast:" not in text
    assert "#fitted:" in text
    assert "#  oil-change: {date" in text


def test_a_folder_with_something_in_it_is_left_alone(run: Run, tmp_path: Path) -> None:  # noqa: F811
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    refused = run(None, "new", str(tmp_path), *ANSWERS)
    assert refused.code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_the_sample_is_copied_whole(run: Run, tmp_path: Path) -> None:  # noqa: F811
    made = run(None, "new", str(tmp_path / "sample"), "--sample")
    assert (made.code, made.err) == (0, "")
    assert run(tmp_path / "sample", "verify").code == 0
