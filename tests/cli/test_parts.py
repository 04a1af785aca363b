"""`parts`: what to order by which day, what is on the shelf, and how the shelf follows the work."""

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered

ON = "2026-11-25"


@pytest.fixture
def stocked(wren: Path) -> Path:
    """The oil change uses 6 qt and a filter; two filters and a box of 12 qt are on the shelf."""
    cowling = wren / "checklists/nose/cowling.md"
    uses = "25 h or 4 months\n  - uses: 6 qt engine oil; 1 oil filter; 1 gasket"
    cowling.write_text(cowling.read_text().replace("25 h or 4 months", uses))
    aircraft = wren / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "lead-times: {oil filters: 10 days, engine oil: 5 days}\n")
    entered(wren, "2026-11-01-filters", "kind: stock\ndate: 2026-11-01\nitem: oil filter\namount: 2\nlot: F7\n")
    oil = "kind: stock\ndate: 2026-11-01\nitem: Engine oil\namount: 12 qt\nlot: K1\n"
    entered(wren, "2026-11-01-oil", f"{oil}good-until: 2029-01-31\ngood-for: 12 months\nat: hangar shelf\n")
    return wren


def parts(run: Run, store: Path, on: str = ON) -> dict:
    outcome = run(store, "parts", "--json", on=on)
    assert outcome.code == 0, outcome.err
    return json.loads(outcome.out)


def test_what_is_on_the_shelf_need_not_be_ordered(run: Run, stocked: Path) -> None:
    found = parts(run, stocked)
    first = {need["part"]: need for need in reversed(found["needs"])}
    assert (first["engine oil"]["short"], first["oil filter"]["short"]) == (0, 0)
    assert (first["gasket"]["short"], first["gasket"]["order_by"]) == (1, None)
    assert [lot["lot"] for lot in found["shelf"]] == ["K1", "F7"]


def test_what_one_visit_takes_the_next_one_has_not(run: Run, stocked: Path) -> None:
    """Of 12 qt and 2 filters each change takes 6 and 1: the third change is short of all."""
    wanted = json.loads(run(stocked, "parts", "--months", "14", "--json", on=ON).out)["needs"]
    oil = [need["short"] for need in sorted(wanted, key=lambda need: need["on"]) if need["part"] == "engine oil"]
    assert oil[:3] == [0, 0, 6]


def test_order_by_the_lead_time_before_the_visit(run: Run, stocked: Path) -> None:
    (stocked / "records/2026/2026-11-01-filters.yaml").unlink()
    (need, *_) = [need for need in parts(run, stocked)["needs"] if need["part"] == "oil filter"]
    wanted = dt.date.fromisoformat(need["on"]) - dt.timedelta(days=10)
    assert need["order_by"] == wanted.isoformat()
    assert need["short"] == 1
    late = run(stocked, "parts", on=need["order_by"])
    assert "TO BE ORDERED NOW: oil filter." in late.out


def test_opened_boxes_and_used_lots_follow_the_work(run: Run, stocked: Path) -> None:
    """5 of 12 qt leave 7 in a box that is good for 12 months from then on, not until 2029."""
    did = "kind: work\ndate: 2026-11-10\ndid: [oil-change]\nparts: [5 qt engine oil, 1 oil filter]\n"
    entered(stocked, "2026-11-10-oil-change", f"{did}by: Wilma Fieldfare\n")
    oil, filters = parts(run, stocked)["shelf"]
    assert (oil["left"], oil["opened"], oil["good_until"]) == (7, "2026-11-10", "2027-11-10")
    assert (filters["left"], filters["opened"]) == (1, None)


def test_the_open_box_goes_first_then_what_goes_off_first(run: Run, stocked: Path) -> None:
    sooner = "kind: stock\ndate: 2026-11-02\nitem: engine oil\namount: 6 qt\nlot: K0\ngood-until: 2027-06-30\n"
    entered(stocked, "2026-11-02-oil", sooner)
    entered(stocked, "2026-11-10-oil-change", "kind: work\ndate: 2026-11-10\ntext: oil\nparts: [7 qt engine oil]\n")
    left = {lot["lot"]: lot["left"] for lot in parts(run, stocked)["shelf"]}
    assert left == {"K1": 11, "F7": 2}


def test_what_is_used_in_another_measure_is_told_and_never_mixed(run: Run, stocked: Path) -> None:
    """A litre is no quart: nothing comes off the 12 qt, the box is open, and it is said until it is counted anew."""
    for part, said in (
        ("1 l engine oil", "1 l engine oil: on the shelf it is counted as 12 qt"),
        ("6 quarts engine oil", "`quarts engine oil` is on no shelf; Engine oil is, 12 qt"),
        ("60 qt engine oil", "60 qt engine oil, where 6 qt are planned"),
        ("1 oil fliter", "`oil fliter` is on no shelf; oil filter is, 2"),
        ("1 oil filter ____", "has a blank or a question left in it"),
    ):
        words = ("work", "oil-change", "tach=24.5", "--used", part, "--by", "Wilma Fieldfare")
        asked = run(stocked, *words, on=ON)
        assert (asked.code, said in asked.err) == (2, True), (part, asked)
    assert run(stocked, "work", "oil-change", "--used", "-1 oil filter", "--by", "Wilma Fieldfare").code == 2
    entered(stocked, "2026-11-10-oil-change", "kind: work\ndate: 2026-11-10\ntext: oil\nparts: [1 l engine oil]\n")
    oil = parts(run, stocked)["shelf"][0]
    assert (oil["left"], oil["opened"], oil["good_until"]) == (12, "2026-11-10", "2027-11-10")
    told = "1 l on 2026-11-10 used of Engine oil, which is counted as 12 qt."
    for command in (("parts",), ("status", "--all")):
        assert told in " ".join(run(stocked, *command, on=ON).out.split())
    counted = run(stocked, "stock", "engine oil", "--amount", "11 l", "--lot", "K1", on=ON)
    assert "`oil-change` uses 6 qt: nothing is taken off 11 l, and it covers no need. Count it in qt." in counted.err
    assert "IN ANOTHER MEASURE on the shelf: engine oil" in run(stocked, "parts", on=ON).out


OFF = "is on no shelf; oil filter is, 2, and nothing is taken off that"
OIL = "is on no shelf; Engine oil is, 12 qt, and nothing is taken off that"


@pytest.mark.parametrize(
    ("used", "asked"),
    [
        ("one oil filter", f"`one oil filter` {OFF}"),
        ("oil filter, 1", f"`oil filter, 1` {OFF}"),
        ("1 oil filter (lot F7)", f"`oil filter (lot F7)` {OFF}"),
        ("1x oil filter", f"`1x oil filter` {OFF}"),
        ("a filter", f"`a filter` {OFF}"),
        # Words that name no part at all, in place of what is planned and lies there.
        ("what we need", f"`what we need` {OIL}"),
        ("6 qt mineral oil; 1 oil filter", f"`mineral oil` {OIL}"),
        ("6 qt engine oil; 1 new one", f"`new one` {OFF}"),
        ("6 qt engine oil; 1 oil filter; 1 crush washer", ""),
        ("1 oil filter; 1 gasket", ""),
        ("as planned", ""),
    ],
)
def test_what_comes_off_no_shelf_where_some_of_it_lies_is_asked_and_noted(
    run: Run, stocked: Path, used: str, asked: str
) -> None:
    """By command it is asked, by hand it is a note until it is counted anew; what truly is new is neither."""
    told = run(stocked, "work", "oil-change", "tach=24.5", "--used", used, "--by", "Wilma Fieldfare", on="2026-11-20")
    assert (told.code, asked in told.err) == (2 if asked else 0, True)
    if used == "as planned":
        return
    # Its word is enough.
    if asked:
        words = ("oil-change", "tach=24.5", "--used", used, "--by", "Wilma Fieldfare", "--yes")
        assert run(stocked, "work", *words, on="2026-11-20").code == 0
    noted = run(stocked, "verify", on=ON)
    assert (noted.code, "is on no shelf" in noted.out, asked in " ".join(noted.out.split())) == (0, bool(asked), True)
    for item, lot, amount in (("oil filter", "F7", "1"), ("engine oil", "K1", "6 qt")):
        assert run(stocked, "stock", item, "--amount", amount, "--lot", lot, on=ON).code == 0
    assert "is on no shelf" not in run(stocked, "verify", on=ON).out


def test_a_page_is_asked_of_the_parts_of_each_box(run: Run, stocked: Path) -> None:
    """Of another check something new is used: that is no reason to ask for what this one plans."""
    notes = stocked / "checklists/nose/cowling.md"
    notes.write_text(notes.read_text() + "- [ ] `baffle-seals` Baffle seals\n  - every: 25 h\n  - uses: 1 seal\n")
    assert run(stocked, "start", "oil-change", "baffle-seals", "--only", "tach=24.5", on=ON).code == 0
    (page,) = (stocked / "records/open").glob("*.md")
    empty = page.read_text().replace("- [ ]", "- [x]")
    for oil, seals, asked in (
        ("none", "1 rubber strip", ""),
        ("as planned", "as planned", ""),
        ("6 qt engine oil; one oil filter", "none", f"`one oil filter` {OFF}"),
        ("new one fitted", "as planned", f"`new one fitted` {OIL}"),
    ):
        text = re.sub(r"used: ____( \(planned: 6 qt)", rf"used: {oil}\1", empty)
        page.write_text(re.sub(r"used: ____( \(planned: 1 seal)", rf"used: {seals}\1", text))
        told = run(stocked, "sign", "--as", "Wilma Fieldfare", "--ink", "log p. 3", typed="no\n" * 3, on=ON)
        assert (asked in told.err, "on no shelf" in told.err) == (True, bool(asked)), (oil, seals, told)


@pytest.mark.parametrize(
    ("item", "told"),
    [
        ("oil filer", "No check uses `oil filer`; `oil-change` uses oil filter, which is never taken off this."),
        ("engine oi1", "No check uses `engine oi1`; `oil-change` uses engine oil, which is never taken off this."),
        ("filter", "No check uses `filter`; `oil-change` uses oil filter, which is never taken off this."),
        ("brake fluids DOT 4", ""),
        ("air filter", ""),
        ("Oil filters", ""),
    ],
)
def test_a_name_near_one_that_is_used_is_asked_before_it_is_counted(
    run: Run, stocked: Path, item: str, told: str
) -> None:
    asked = run(stocked, "stock", item, "--amount", "2", "--lot", "X", on="2026-11-20")
    assert (asked.code, told in asked.err) == (2 if told else 0, True)
    counted = run(stocked, "stock", item, "--amount", "2", "--lot", "Y", "--yes", on="2026-11-20")
    noted = " ".join(run(stocked, "verify", on=ON).out.split())
    assert (counted.code, "item: " in noted) == (0, bool(told))
    assert f"{told[:1].lower()}{told[1:-1]}" in noted
    # A second count of it asks no more.
    assert run(stocked, "stock", item, "--amount", "1", "--lot", "X", on=ON).code == 0


def test_counted_anew(run: Run, stocked: Path) -> None:
    entered(stocked, "2026-11-20-filters", "kind: stock\ndate: 2026-11-20\nitem: oil filter\namount: 0\nlot: F7\n")
    assert [lot["lot"] for lot in parts(run, stocked)["shelf"]] == ["K1"]


def test_a_lot_past_its_date_covers_nothing_and_is_named(run: Run, stocked: Path) -> None:
    told = "kind: stock\ndate: 2026-11-20\nitem: gasket\namount: 5\nlot: G2\ngood-until: 2026-11-21\n"
    entered(stocked, "2026-11-20-gaskets", told)
    (need, *_) = [need for need in parts(run, stocked)["needs"] if need["part"] == "gasket"]
    assert need["short"] == 1
    for command in (("parts",), ("status", "--all")):
        told = run(stocked, *command, on=ON).out
        assert "! PAST ITS DATE on the shelf: gasket, lot G2, good until 2026-11-21." in told


def test_a_set_of_something_is_called_by_what_it_is_a_set_of(run: Run, stocked: Path) -> None:
    """`of strut seals` was to be ordered, and strut seals on the shelf covered none of it."""
    cowling = stocked / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text().replace("1 gasket", "1 set of strut seals"))
    names = [cell.strip() for line in run(stocked, "parts", on=ON).out.splitlines() for cell in line.split("  ")]
    assert "strut seals" in names
    assert "of strut seals" not in names
    (need, *_) = [need for need in parts(run, stocked)["needs"] if need["part"] == "strut seals"]
    assert need["short"] == 1
    told = "kind: stock\ndate: 2026-11-20\nitem: Strut seals\namount: 2 set\nlot: S1\n"
    entered(stocked, "2026-11-20-seals", told)
    (need, *_) = [need for need in parts(run, stocked)["needs"] if need["part"] == "strut seals"]
    assert need["short"] == 0


def test_a_part_whose_life_ends(run: Run, stocked: Path) -> None:
    """Fitted on 1 August for 6 months, until 1 February; an order takes 3 months."""
    cowling = stocked / "checklists/nose/cowling.md"
    life = "- [ ] `magneto-left-life` Left magneto: exchange\n  - life: 6 months\n  - counts-on: magneto-left\n"
    cowling.write_text(cowling.read_text() + life)
    aircraft = stocked / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text().replace("{oil filters", "{magneto-left: 3 months, oil filters"))
    (need,) = [need for need in parts(run, stocked)["needs"] if need["life"]]
    assert (need["part"], need["on"], need["order_by"]) == ("magneto-left", "2027-02-01", "2026-11-01")
    assert "TO BE ORDERED NOW: magneto-left." in run(stocked, "parts", on=ON).out


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ("amount: some", "expected a number, with its measure if it is not pieces"),
        ("amount: -1", "expected a number, with its measure if it is not pieces"),
        ("amount: 1\ngood-for: 50 h", "is a time: `6 months`"),
    ],
)
def test_what_is_no_stock(run: Run, stocked: Path, keys: str, message: str) -> None:
    entered(stocked, "2026-11-21-odd", f"kind: stock\ndate: 2026-11-21\nitem: wire\n{keys}\n")
    assert message in run(stocked, "status", on=ON).err


def test_a_lead_time_is_a_time(run: Run, stocked: Path) -> None:
    aircraft = stocked / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text().replace("10 days", "10 h"))
    assert "an order takes days, weeks, months or years" in run(stocked, "status", on=ON).err


def test_a_lead_time_in_weeks_is_that_in_days(run: Run, stocked: Path) -> None:
    """Every shop tells it in weeks."""
    aircraft, answers = stocked / "records/aircraft.yaml", []
    text = aircraft.read_text()
    for lead in ("14 days", "2 weeks", "1 week"):
        aircraft.write_text(text.replace("10 days", lead))
        answers.append(run(stocked, "parts", "--json", on=ON).out)
    assert answers[0] == answers[1] != answers[2]


def test_an_empty_part_of_a_record_is_a_problem_of_that_record(run: Run, stocked: Path) -> None:
    """Every command that adds parts up tells its line; none of them fails."""
    work = "kind: work\ndate: 2026-11-20\nmeters: {tach: 24.0}\ndid: [oil-change]\nparts: [1 oil filter, ;;]\n"
    entered(stocked, "2026-11-20-oil", work)
    for words in ("parts", "parts --json", "verify", "due", "history oil-change", "status --all", "export --csv"):
        outcome = run(stocked, *words.split(), on=ON)
        assert (outcome.code, words) == (3, words)
        assert "records/2026/2026-11-20-oil.yaml:6: parts[2]: something is missing between semicolons" in outcome.err


def test_a_part_is_wanted_on_a_visit_that_visits_shows(run: Run, stocked: Path) -> None:
    """Another look ahead made other visits: the filter was wanted on a day on which `visits` had no oil change."""
    shown = {each["on"] for each in json.loads(run(stocked, "visits", "--json", on=ON).out)["visits"]}
    for months in ("2", "6", "9"):
        needs = json.loads(run(stocked, "parts", "--months", months, "--json", on=ON).out)["needs"]
        wanted = {each["on"] for each in needs if not each["life"]}
        assert wanted <= shown, months


def test_a_set_of_seals_is_called_seals_beside_its_amount(run: Run, stocked: Path) -> None:
    """It was told as `of gear seals`, 1 set, and no more marked than what is only unknown."""
    cowling = stocked / "checklists/nose/cowling.md"
    cowling.write_text(cowling.read_text().replace("1 gasket", "1 gasket; 1 set of gear seals"))
    told = run(stocked, "parts", on=ON).out
    assert re.search(r"(?m)^not known +gear seals +1 set +1 set ", told)
    assert " of gear seals" not in told
    (stocked / "records/2026/2026-11-01-filters.yaml").unlink()
    need = next(need for need in parts(run, stocked)["needs"] if need["part"] == "oil filter")
    assert "!! TO BE ORDERED NOW: oil filter." in run(stocked, "parts", on=need["order_by"]).out
