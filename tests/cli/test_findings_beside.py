"""What is found and open is named beside a plan, whose time has none of it, and where a page has no box for it."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered

ON = "2026-11-21"
FOUND = """kind: finding
date: {date}
{where}
found: {what}
{fix}
by: Ada Bellcrank
"""
LABEL = "Open findings, not in this plan's time: "


def found(store: Path, name: str, where: str, fix: str) -> str:
    may_wait = "" if fix == "before flight" else "\nmay wait because: light, and looked at before each flight"
    record = f"2026-11-0{1 + len([*store.glob('records/2026/*-f-*.yaml')])}-f-{name}"
    text = FOUND.format(date=record[:10], where=where, what=f"Scratch of the {name}", fix=f"fix: {fix}{may_wait}")
    entered(store, record, text)
    return f"{record}#F1"


@pytest.fixture
def scratched(hangar: Path) -> Path:
    found(hangar, "stack", "check: stacks", "by 660.0 h")
    found(hangar, "floor", "panel: floor", "by 2027-06-30")
    found(hangar, "seat", "panel: seats", "by 2026-12-05")
    return hangar


def told(run: Run, store: Path, *words: str) -> tuple[list[str], str]:
    """The findings that a plan names as facts, and the line of its page."""
    facts = json.loads(run(store, "plan", *words, "--json", on=ON).out)
    page = " ".join(run(store, "plan", *words, "--all", on=ON).out.split())
    _, label, rest = page.partition(LABEL)
    names = [each["finding"].split("-f-")[1].removesuffix("#F1") for each in facts["findings"]]
    assert bool(label) is bool(names), page
    for name in names:
        assert f"Scratch of the {name} (2026-11-0" in rest
    for name in {"stack", "floor", "seat"} - {*names}:
        assert f"Scratch of the {name}" not in page
    return names, rest


@pytest.mark.parametrize(
    ("words", "names"),
    [
        # All of them have a box on the page of an inspection: what presses most comes first.
        (["condition"], ["stack", "seat", "floor"]),
        # Their check, or behind what comes off for this, and soon.
        (["stacks"], ["stack"]),
        (["oil"], ["stack"]),
        (["pulleys"], ["seat", "floor"]),
        # Behind other panels, as far as this asks.
        (["oil", "--until", "2026-11-22"], ["stack", "seat"]),
        (["oil", "--until", "2027-06-30"], ["stack", "seat", "floor"]),
        (["oil", "--within", "250 days"], ["stack", "seat", "floor"]),
    ],
)
def test_a_plan_names_the_findings_that_it_leaves_out(
    run: Run, scratched: Path, words: list[str], names: list[str]
) -> None:
    assert told(run, scratched, *words)[0] == names


def test_the_screen_names_the_first_and_counts_the_rest(run: Run, scratched: Path) -> None:
    screen = " ".join(run(scratched, "plan", "condition", on=ON).out.split())
    assert f"{LABEL}Scratch of the stack (stack#F1, by tach 404.5 (total 660.0 h)); and 2 more." in screen


def test_what_is_to_be_fixed_before_flight_presses_and_what_is_cleared_is_gone(run: Run, hangar: Path) -> None:
    assert told(run, hangar, "condition") == ([], "")
    reference = found(hangar, "floor", "check: pulleys", "before flight")
    names, rest = told(run, hangar, "elt")
    assert names == ["floor"]
    assert "before flight)" in rest
    assert told(run, hangar, "oil")[0] == []
    assert run(hangar, "finding", reference, "--cleared", "painted", "--by", "Ada Bellcrank", on=ON).code == 0
    assert told(run, hangar, "elt")[0] == []


def test_an_open_page_asks_about_its_findings_till_they_are_answered(run: Run, scratched: Path) -> None:
    begun = run(scratched, "start", "condition", "tach=405.0", "--by", "Ada Bellcrank", on=ON)
    page = scratched / begun.out.strip()
    assert "Not on this page" not in begun.err
    assert told(run, scratched)[0] == ["stack", "floor", "seat"]
    lines = page.read_text().splitlines(keepends=True)
    at = next(each for each, line in enumerate(lines) if "-f-floor#F1" in line)
    box = next(each for each in range(at, -1, -1) if lines[each].startswith("- [ ]"))
    lines[box] = lines[box].replace("- [ ]", "- [x]", 1)
    page.write_text("".join(lines))
    assert told(run, scratched)[0] == ["stack", "seat"]


@pytest.mark.parametrize(
    ("where", "fix", "is_told"),
    [
        # Under another check of the panel that is opened.
        ("check: stacks", "by 660.0 h", True),
        ("check: stacks", "before flight", True),
        ("check: stacks", "by 900.0 h", False),
        ("check: pulleys", "by 660.0 h", False),
        # It has a box, or comes with the inspection that is due.
        ("panel: cowl", "by 660.0 h", False),
        ("check: oil", "by 660.0 h", False),
        ("check: stacks", "at next condition inspection", False),
    ],
)
def test_a_page_that_has_no_box_for_a_finding_behind_what_it_opens_names_it(
    run: Run, hangar: Path, where: str, fix: str, is_told: bool
) -> None:
    found(hangar, "thing", where, fix)
    begun = run(hangar, "start", "oil", "tach=400.0", "--only", "--by", "Ada Bellcrank", on=ON)
    assert begun.code == 0, begun.err
    err = " ".join(begun.err.split())
    told = "Not on this page, due or soon, behind what is opened: "
    told += "the finding Scratch of the thing (2026-11-01-f-thing#F1"
    assert (told in err, "Scratch" in err) == (is_told, is_told), err
