"""Reasons not to fly from the command line: the first lines, exit codes, and hours flown all the same."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

BY = ("--by", "Ada Bellcrank")

LATE = "2027-01-20"


def records(hangar: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in (hangar / "records").rglob("*.yaml")}


def at_late(run: Run, hangar: Path, *words: str) -> tuple[int, str, str]:
    return run(hangar, *words, on=LATE)


def test_due_and_status_begin_with_the_inspection(run: Run, hangar: Path) -> None:
    told = "Condition inspection: 36 days left, to 2026-12-31."
    for command, line in (("due", 2), ("status", 1)):
        assert run(hangar, command).out.splitlines()[line] == told
        assert run(hangar, command, "--all").out.splitlines()[3] == told
    assert at_late(run, hangar, "due")[1].splitlines()[2].startswith("!! Condition inspection: 20 days past due")
    by = run(hangar, "due", "--until", LATE)
    assert "!! Condition inspection: 20 days past due, since 2026-12-31." in by.out
    assert "on record not to fly:" in by.out
    assert json.loads(run(hangar, "due", "--until", LATE, "--json").out)["stops"][0]["kind"] == "inspection-past-due"
    assert json.loads(at_late(run, hangar, "status", "--json")[1])["stops"][0]["kind"] == "inspection-past-due"


def test_strict_is_a_no_for_a_reason_alone(run: Run, hangar: Path) -> None:
    past = hangar / "records" / "2026" / "2026-09-01-past.yaml"
    past.write_text(past.read_text(encoding="utf-8").replace("2026-08-02, tach: 650.0", "2026-09-01, tach: 655.5"))
    cowl = hangar / "checklists" / "nose" / "cowl.md"
    cowl.write_text(cowl.read_text(encoding="utf-8").replace("4 months", "12 months"), encoding="utf-8")
    floor = hangar / "checklists" / "cabin" / "floor.md"
    floor.write_text(floor.read_text(encoding="utf-8").replace("12 calendar months", "24 calendar months"))
    assert run(hangar, "due", "--strict").code == 0
    assert at_late(run, hangar, "due", "--strict")[0] == 1
    assert run(hangar, "due", "--strict", "--until", LATE).code == 1


def test_strict_is_a_no_for_what_may_not_be_used(run: Run, hangar: Path) -> None:
    assert run(hangar, "due", "--strict").code == 0
    floor = hangar / "checklists" / "cabin" / "floor.md"
    with floor.open("a", encoding="utf-8") as file:
        file.write("- [ ] `transponder` Transponder test\n  - every: as marked\n  - bars: the transponder\n")
    answer = run(hangar, "due", "--strict")
    assert answer.code == 1
    assert "Not to be used" in answer.out
    assert json.loads(run(hangar, "due", "--json").out)["not_to_be_used"] == [
        {"what": "the transponder", "check": "transponder"}
    ]


def test_an_altered_inspection_is_a_reason(run: Run, hangar: Path) -> None:
    assert run(hangar, "start", "condition", "tach=410.0", "--by", "Ada Bellcrank", on="2026-11-21").code == 0
    page = next((hangar / "records" / "open").glob("*.md"))
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace(": ____ psi", ": 76 psi")
    page.write_text(text.replace("used: ____ (planned", "used: As planned (planned"), encoding="utf-8")
    words = ("sign", "--as", "Ada Bellcrank", "--ink", "log p. 44")
    signed = run(hangar, *words, typed=("Ada Bellcrank",), on="2026-11-22")
    assert signed.code == 0, signed.out
    assert json.loads(run(hangar, "due", "--json").out)["stops"] == []
    record = next((hangar / "records" / "2026").glob("2026-11-22-condition-*.yaml"))
    record.write_text(record.read_text(encoding="utf-8").replace("76 psi", "77 psi"), encoding="utf-8")
    answer = json.loads(run(hangar, "due", "--json").out)
    assert [stop["kind"] for stop in answer["stops"]] == ["seal-broken"]
    condition = next(each for each in answer["items"] if each["check"] == "condition")
    assert condition["due"]["date"] == "2026-12-31"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("76 psi", "75 psi", "was altered after it was sealed"),
        (
            "Exhaust stacks: cracks\n",
            "Exhaust stacks: cracks\n  - note: as a helper wrote\n  - found: F2 crack 8 mm\n",
            "`- found: F2 crack 8 mm`: lines ",
        ),
    ],
)
def test_of_an_inspection_whose_page_was_altered_the_page_is_named(
    run: Run, hangar: Path, old: str, new: str, told: str
) -> None:
    """The record was named, which is whole; and what a merge had put into the page nobody was told."""
    assert run(hangar, "start", "condition", "tach=410.0", "--by", "Ada Bellcrank", on="2026-11-21").code == 0
    page = next((hangar / "records" / "open").glob("*.md"))
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace(": ____ psi", ": 76 psi")
    page.write_text(text.replace("used: ____ (planned", "used: as planned (planned"), encoding="utf-8")
    signed = run(hangar, "sign", "--as", "Ada Bellcrank", typed=("Ada Bellcrank",), on="2026-11-22")
    assert signed.code == 0, signed.out
    page = next((hangar / "records" / "2026").glob("2026-11-22-condition-*.md"))
    text = page.read_text(encoding="utf-8")
    assert old in text
    page.write_text(text.replace(old, new, 1), encoding="utf-8")
    (stop,) = json.loads(run(hangar, "due", "--json").out)["stops"]
    signature = run(hangar, "signature", page.stem, "--ink", "log p. 44")
    assert signature.code == 1
    for said in (stop["text"], signature.err):
        assert f"records/2026/{page.name}" in said
        assert told in said
        assert ("write it down anew, such as with `inspect-kit finding`" in said) is ("F2" in new)
        assert f"{page.stem}.yaml was" not in said


def test_hours_flown_after_a_reason_are_recorded_and_remarked_on_the_terminal_only(run: Run, hangar: Path) -> None:
    quiet = run(hangar, "hours", "tach=401.0", on="2026-10-01")
    assert (quiet.code, quiet.err) == (0, "")
    assert run(hangar, "finding", "stacks", "crack, 8 mm", on="2026-10-02").code == 0
    before = records(hangar)
    crack = next(name for name in before if "finding" in name).removesuffix(".yaml")
    flown = run(hangar, "hours", "tach=402.4", on="2026-11-01")
    assert flown.code == 0
    assert flown.err.splitlines() == [
        "1.4 h more on tach are written down. Reasons on record not to fly on 2026-11-01:",
        f"!! to fix before flight: crack, 8 mm ({crack}#F1)",
        "This is said here only, not in the record.",
        "If a special flight permit covered the flight, write it down with the hours: inspect-kit --on 2026-11-01 "
        "hours tach=402.4 --permit WORDS",
    ]
    (new,) = records(hangar).keys() - before.keys()
    text = records(hangar)[new]
    assert "tach: 402.4" in text
    assert not any(word in text for word in ("crack", "reason", "permit", "#"))
    # The same reading again is no flight, nor is that of the old meter on the day it is changed: "402.4 h more".
    assert run(hangar, "hours", "tach=402.4", on="2026-11-02").err == ""
    assert run(hangar, "meter", "tach", "--old", "402.4", "--new", "0", "--unrecorded", "0", on="2026-11-02").code == 0
    assert run(hangar, "hours", "tach=402.4", on="2026-11-02").err == ""


def test_a_special_flight_permit_is_written_down(run: Run, hangar: Path) -> None:
    assert run(hangar, "finding", "stacks", "crack, 8 mm", on="2026-10-02").code == 0
    flown = run(hangar, "hours", "tach=402.4", "--permit", "special flight permit of 2026-10-30", on="2026-11-01")
    assert flown.code == 0
    assert "The permit is written down with the hours: special flight permit of 2026-10-30" in flown.err
    assert "If a special flight permit" not in flown.err
    name = flown.out.strip()
    assert "permit: special flight permit of 2026-10-30\n" in (hangar / name).read_text(encoding="utf-8")
    assert "special flight permit of 2026-10-30" in run(hangar, "report", name).out


def test_a_limit_that_the_hours_themselves_reached_is_named_as_that(run: Run, hangar: Path) -> None:
    cowl = hangar / "checklists" / "nose" / "cowl.md"
    cowl.write_text(cowl.read_text(encoding="utf-8").replace("50 h or 4 months", "7 h\n  - bars: flight"))
    flown = run(hangar, "hours", "tach=402.0", on="2026-11-01")
    assert "!! Change the oil (oil), which bars flight: 0.5 h past due, reached by these hours" in flown.err


def test_hours_are_held_against_the_store_as_it_was_before_their_entry(run: Run, hangar: Path) -> None:
    """A crack found after landing grounded the flight that was over, and an oil change excused one that was past it."""
    found = run(hangar, "work", "stacks", "tach=401.0", "--found", "crack, 8 mm", *BY, on="2026-10-20")
    assert (found.code, "Reasons on record" in found.err) == (0, False), found.err
    assert run(hangar, "finding", "F1", "--cleared", "welded", *BY, on="2026-10-20").code == 0
    cowl = hangar / "checklists" / "nose" / "cowl.md"
    cowl.write_text(cowl.read_text(encoding="utf-8").replace("50 h or 4 months", "7 h\n  - bars: flight"))
    done = run(hangar, "work", "oil", "tach=402.0", *BY, on="2026-11-01")
    assert "!! Change the oil (oil), which bars flight: 0.5 h past due, reached by these hours" in done.err, done.err


def test_of_the_days_before_what_was_brought_forward_nothing_is_remarked(run: Run, hangar: Path) -> None:
    """The past of a new check was told with an inspection 1755 days past due, for the last one is brought forward."""
    for tach, day in (("364.0", "2025-12-01"), ("366.5", "2026-05-02")):
        done = run(hangar, "work", "stacks", f"tach={tach}", "--paper", "aircraft log p. 31", *BY, on=day)
        assert (done.code, "Reasons on record" in done.err) == (0, False), done.err


def test_work_with_a_reading_remarks_too(run: Run, hangar: Path) -> None:
    assert run(hangar, "finding", "stacks", "crack, 8 mm", on="2026-10-02").code == 0
    done = run(hangar, "work", "oil", "tach=402.0", on="2026-11-01")
    assert "2.0 h more on tach are written down. Reasons on record not to fly on 2026-11-01:" in done.err


def test_the_bare_command_gives_the_first_lines_and_where_to_begin_where_there_is_no_store(
    run: Run, hangar: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = run(hangar)
    assert (bare.code, bare.out.splitlines()[2]) == (0, "Condition inspection: 36 days left, to 2026-12-31.")
    assert len(bare.out.splitlines()) <= 10, bare.out
    assert at_late(run, hangar)[1].splitlines()[2].startswith("!! Condition inspection: 20 days past due")
    (tmp_path / "nowhere").mkdir()
    monkeypatch.chdir(tmp_path / "nowhere")
    nowhere = run(None)
    assert (nowhere.code, "inspect-kit new my-plane" in nowhere.out) == (0, True)


@pytest.mark.parametrize(("columns", "width"), [(None, 80), ("60", 60), ("132", 132), ("wide", 80), ("5", 40)])
def test_a_pipe_has_80_columns_or_those_of_its_environment(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch, columns: str | None, width: int
) -> None:
    if columns is None:
        monkeypatch.delenv("COLUMNS")
    else:
        monkeypatch.setenv("COLUMNS", columns)
    for words in (("due",), ("due", "--all"), ("status",), ("scope",), ("plan", "condition", "--all")):
        widest = max(map(len, run(hangar, *words).out.splitlines()))
        assert widest <= width, words
        assert "--all" not in words or widest > width * 0.7, words


def test_an_item_is_found_by_words_of_its_name(run: Run, hangar: Path) -> None:
    whole = run(hangar, "due", "stacks").out
    assert run(hangar, "due", "exhaust sta").out == whole
    unclear = run(hangar, "due", "a")
    assert (unclear.code, "`a` may be `" in unclear.err) == (2, True)


@pytest.mark.parametrize(("on", "told"), [("2026-12-30", "1 day left"), ("2027-01-01", "1 day past")])
def test_one_is_told_in_the_singular(run: Run, hangar: Path, on: str, told: str) -> None:
    words = " ".join(run(hangar, "due", "condition", on=on).out.split())
    assert f"on {on}: {told}" in words
    assert "1 days" not in words + run(hangar, "due", "--all", on=on).out


def test_of_a_day_before_what_was_brought_forward_the_list_says_so(run: Run, hangar: Path) -> None:
    """An inspection 1756 days past due was told of it, and nothing of what the paper knows."""
    told = "The past was brought forward on 2026-09-01 only"
    for more in ((), ("--all",)):
        assert told in " ".join(run(hangar, "due", *more, on="2026-08-31").out.split())
    assert told not in run(hangar, "due", on="2026-09-01").out
