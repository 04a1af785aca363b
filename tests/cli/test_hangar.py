"""Several aircraft: `--store` repeated for `due` and `status`, refused elsewhere."""

import json
import shutil
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered

ON = "2026-11-25"


@pytest.fixture
def two(wren: Path, hangar: Path) -> tuple[Path, Path]:
    """The tailwheel aeroplane in its flight-test phase, and a small store with its past brought forward."""
    return wren, hangar


def ask(run: Run, stores: tuple[Path, ...], *words: str) -> tuple[int, str, str]:
    first, *rest = stores
    more = [word for store in rest for word in ("--store", str(store))]
    return run(first, *more, "--on", ON, *words)


def test_one_list_with_its_aircraft_in_each_line(run: Run, two: tuple[Path, Path]) -> None:
    code, out, _ = ask(run, two, "due", "--all")
    assert code == 0
    # Below the head of the list: what bars passengers stands before it.
    listed = out.partition(" items of 2 aircraft")[2].split("\n")
    lines = [line for line in listed if line.startswith(("N0WR ", "N0XX "))]
    names = [line.split()[0] for line in lines]
    assert {"N0WR", "N0XX"} == set(names)
    # No passengers first, then the inspections: one that ran out in four days stood in the middle of the list.
    head = " ".join(out.partition(" items of 2 aircraft")[0].split())
    told = ["N0WR !! NO PASSENGERS", "N0WR Condition inspection: 279 days left", "N0XX Condition inspection: 36 days"]
    assert [head.index(each) for each in told] == sorted(head.index(each) for each in told)
    # What is worst comes first, whosever it is: the lists are one and not one behind the other.
    assert names != sorted(names)
    states = [next(word for word in ("past due", "unknown", "soon", "later") if word in line) for line in lines]
    assert states == sorted(states, key=("past due", "unknown", "soon", "later").index)


def test_the_answer_of_several_is_not_replaced_by_that_of_one(run: Run, two: tuple[Path, Path], tmp_path: Path) -> None:
    file = tmp_path / "due.md"
    for stores, code in ((two, 0), (two[:1], 2), (two[::-1], 0)):
        assert ask(run, stores, "due", "--to", str(file))[0] == code


def test_the_screen_says_what_presses_and_counts_the_rest(run: Run, two: tuple[Path, Path]) -> None:
    """As `due` of one aircraft does: 40 of them are not 15,819 lines. Nothing that presses is cut."""
    wren, _ = two
    entered(wren, "2026-11-20-hours", "kind: hours\ndate: 2026-11-20\nmeters: {tach: 25.3}\n")
    _, out, _ = ask(run, two, "due")
    lines = out.splitlines()
    assert len(lines) < 24
    # No passengers first, as in the list of one, in as loud words; then the inspections, each with its aircraft.
    told = " ".join(out.split())
    barred = "N0WR !! NO PASSENGERS: flight-test phase open since 2026-08-01; flight check after 2026-10-03"
    heads = [barred, "N0WR Condition inspection: 279 days left, to 2027-08-31."]
    heads += ["N0XX Condition inspection: 36 days left, to 2026-12-31.", "N0WR !! Mechanical fuel pump"]
    assert [told.index(each) for each in heads] == sorted(told.index(each) for each in heads)
    assert "the passenger seats" not in told
    whole = json.loads(ask(run, two, "due", "--json")[1])["stores"]
    for word, state in (("Past due", "past-due"), ("Unknown", "unknown"), ("Soon", "soon"), ("Later", "later")):
        of = [item for store in whole for item in store["items"] if item["state"] == state]
        count = len([item for item in of if item["kind"] != "inspection"])
        assert f"─── {word} {count}" in told if count else f"─── {word}" not in told


def test_json_of_several(run: Run, two: tuple[Path, Path]) -> None:
    for command in ("due", "status"):
        facts = json.loads(ask(run, two, command, "--json")[1])
        assert facts["format"] == 2
        assert [each["registration"] for each in facts["stores"]] == ["N0WR", "N0XX"]
        for store, told in zip(two, facts["stores"], strict=True):
            alone = json.loads(run(store, command, "--json", on=ON).out)
            assert {key: told[key] for key in alone} == alone


def test_two_stores_of_one_aircraft_are_told_apart(run: Run, hangar: Path) -> None:
    """A copy that was never merged says other things than the store: each line names its folder."""
    copy = hangar.parent / "copy"
    shutil.copytree(hangar, copy)
    entered(copy, "2026-11-20-finding", "kind: finding\ndate: 2026-11-20\nfound: nick\npanel: cowl\n")
    out = ask(run, (hangar, copy), "due")[1]
    assert "N0XX (plane) Condition inspection" in " ".join(out.split())
    assert [line.split("!!")[0].strip() for line in out.splitlines() if "nick" in line] == ["N0XX (copy)"]


def test_each_has_a_line_in_status(run: Run, two: tuple[Path, Path]) -> None:
    out = ask(run, two, "status")[1]
    assert "NO PASSENGERS: flight-test phase open since 2026-08-01" in " ".join(out.split())
    assert "23.9 h" in out
    assert "655.5 h" in out
    assert len(out.splitlines()) < 24
    whole = ask(run, two, "status", "--all")[1]
    assert "This program helps to organise an inspection" in whole
    assert "This program helps to organise an inspection" not in out


@pytest.mark.parametrize("columns", ["80", "120"])
def test_what_is_past_due_is_no_small_print(
    run: Run, two: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, columns: str
) -> None:
    """In the status of several it stood in a folded line, by its id: `next due: fuel-pump-diaphragm: past due, ...`."""
    monkeypatch.setenv("COLUMNS", columns)
    entered(two[0], "2026-11-20-hours", "kind: hours\ndate: 2026-11-20\nmeters: {tach: 25.3}\n")
    out = ask(run, two, "status")[1]
    told = " ".join(out.split())
    assert "next due:" not in told, "it has a column of its own"
    assert "1 reason" in told
    assert "!! Change the oil" in told


def test_a_limit_that_use_has_probably_passed_is_never_left_out(
    run: Run, two: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The hours are 40 days old: at 60 columns no row of it was there, and nothing pressed."""
    wren, _ = two
    monkeypatch.setenv("COLUMNS", "60")
    for told in (run(wren, "due", on=ON).out, run(wren, on=ON).out):
        assert "2 limits have probably been reached since the meters were read: write the meter down" in " ".join(
            told.split()
        )
    for words in (run(wren, "due", on=ON).out, ask(run, two, "due")[1]):
        rows = words.partition("─── Soon")[2].partition("─── Later")[0]
        assert "Mechanical" in rows
        assert rows.count("probably") == 2


def test_the_worst_exit_code_counts_and_problems_are_prefixed(run: Run, two: tuple[Path, Path]) -> None:
    wren, hangar = two
    assert ask(run, two, "due")[0] == 0
    assert ask(run, two, "due", "--strict")[0] == 1
    (hangar / "records/2026/odd.yaml").write_text("format: 1\nkind: werk\ndate: 2026-10-01\n")
    code, out, err = ask(run, two, "due", "--strict")
    assert code == 3
    assert err.startswith("plane: records/2026/odd.yaml:2:")
    assert "N0XX is INCOMPLETE: 1 problem in its files." in out
    entered(wren, "2026-11-02-odd", "kind: wirk\ndate: 2026-11-02\n")
    lines = [line for line in ask(run, two, "due")[2].split("\n") if ".yaml:" in line]
    assert [line.split(":")[0] for line in lines] == ["tailwheel", "plane"]


def test_a_store_that_cannot_be_read_stops_no_other(run: Run, two: tuple[Path, Path], tmp_path: Path) -> None:
    code, out, err = ask(run, (two[0], tmp_path / "nowhere"), "due")
    assert code == 3
    assert "nowhere CANNOT BE READ: no such file or directory" in " ".join(out.split())
    assert "N0WR" in out
    # It is named once: by the last part of its folder, and not by the whole of it too.
    assert err == "nowhere: cannot be read: no such file or directory\n"


@pytest.mark.parametrize("command", [("hours", "tach=1"), ("plan", "condition"), ("verify",), ("trend",), ("visits",)])
def test_elsewhere_it_is_refused(run: Run, two: tuple[Path, Path], command: tuple[str, ...]) -> None:
    code, out, err = ask(run, two, *command)
    assert (code, out) == (2, "")
    assert f"`{command[0]}` works on one aircraft: name one --store" in err


def test_an_item_is_that_of_one_aircraft_and_no_store_is_named_twice(run: Run, two: tuple[Path, Path]) -> None:
    assert "name one --store" in ask(run, two, "due", "oil")[2]
    assert "is named twice" in ask(run, (two[0], two[0]), "due")[2]


def test_two_folders_of_one_name_are_told_apart(run: Run, two: tuple[Path, Path], tmp_path: Path) -> None:
    other = tmp_path / "club" / two[1].name
    shutil.copytree(two[1], other)
    for store in (two[1], other):
        (store / "records/2026/odd.yaml").write_text("format: 1\nkind: werk\ndate: 2026-10-01\n")
    err = ask(run, (two[1], other), "due")[2]
    assert f"{two[1]}: records" in err
    assert f"{other}: records" in err


def calls(run: Run, stores: list[Path]) -> int:
    """How many functions are called to answer `due` of these stores: a count, and no clock."""
    found = 0

    def count(frame: object, event: str, argument: object) -> None:
        nonlocal found
        found += event == "call"

    sys.setprofile(count)
    try:
        assert ask(run, tuple(stores), "due", "--json")[0] == 0
    finally:
        sys.setprofile(None)
    return found


def test_the_work_grows_with_the_number_of_aircraft_and_no_faster(run: Run, hangar: Path, tmp_path: Path) -> None:
    """A club of 40 on `python -m tests.bench hangar`; here the calls of 2, 4 and 8, which are counted."""
    stores = []
    for number in range(8):
        stores.append(tmp_path / f"club-{number}")
        shutil.copytree(hangar, stores[-1])
    calls(run, stores[:2])
    two, four, eight = (calls(run, stores[:many]) for many in (2, 4, 8))
    assert abs((eight - four) - 2 * (four - two)) < 0.02 * eight
