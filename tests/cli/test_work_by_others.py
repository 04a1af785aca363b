"""What is for others is told as theirs, by their paper, whoever had the page and whoever signs it."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run

ADA, OTTO = "Ada Bellcrank", "Otto Rivetsby"


@pytest.fixture
def shop(hangar: Path) -> Path:
    """The transmitter is for a repair station; a mechanic may sign too."""
    floor = hangar / "checklists/cabin/floor.md"
    told = floor.read_text(encoding="utf-8")
    floor.write_text(f"{told}  - who: others: repair station\n", encoding="utf-8")
    aircraft = hangar / "records/aircraft.yaml"
    told = aircraft.read_text(encoding="utf-8")
    told = told.replace("builder)]", "builder), mechanic]")
    told = told.replace("people:\n", f'people:\n  - {{name: {OTTO}, kind: mechanic, certificate: "0000003"}}\n')
    aircraft.write_text(told, encoding="utf-8")
    return hangar


def signed(run: Run, shop: Path, *words: str, below: str = "", who: str = OTTO) -> str:
    started = run(shop, "start", *words, "tach=400.0", "--by", ADA, on="2026-11-21")
    assert started.code == 0, started.err
    page = shop / started.out.strip()
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
    text = text.replace("look by: ____", f"look by: {OTTO}")
    text = text.replace("paper: ____\n", f"paper: work order 12\n{below}").replace("____", "75")
    page.write_text(text, encoding="utf-8")
    made = run(shop, "sign", "--as", who, "--ink", "log p. 3", typed=(who,), on="2026-11-22")
    assert made.code == 0, made.out
    (record,) = shop.glob(f"records/2026/2026-11-22-{words[0]}-*.yaml")
    return record.stem


def words(told: str) -> str:
    return " ".join(told.replace("│", " ").split())


@pytest.mark.parametrize("who", [OTTO, ADA])
def test_it_is_credited_to_them_and_to_nobody_of_the_page(run: Run, shop: Path, who: str) -> None:
    name = signed(run, shop, "condition", who=who)
    entry = words(run(shop, "report", name, "--entry", on="2026-11-22").out)
    assert "Done by repair station (work order 12): Emergency transmitter inspection." in entry
    assert ("certificate number 0000001: Control pulleys" in entry) is (who == OTTO)
    report = words(run(shop, "report", name, on="2026-11-22").out).partition("Work by others")[2]
    assert "Emergency transmitter inspection repair station work order 12" in report
    told = json.loads(run(shop, "history", "elt", "--json", on="2026-11-22").out)["events"]
    (done,) = [each["what"] for each in told if each["what"].startswith("done: ")]
    assert done.startswith("done: Emergency transmitter inspection, by repair station (work order 12)")


def test_whom_the_page_names_there_did_it(run: Run, shop: Path) -> None:
    name = signed(run, shop, "condition", below=f"  - by: {OTTO}\n", who=ADA)
    entry = words(run(shop, "report", name, "--entry", on="2026-11-22").out)
    assert f"Done by {OTTO}, mechanic, certificate number 0000003 (work order 12): Emergency" in entry


def test_who_signs_may_be_the_other_eyes(run: Run, shop: Path) -> None:
    """The page's inspector is not who did it, and neither is the signer: either has looked at the work of another."""
    floor = shop / "checklists/cabin/floor.md"
    floor.write_text(floor.read_text(encoding="utf-8") + "  - second-look: yes\n", encoding="utf-8")
    first = signed(run, shop, "condition")
    # Taken back, it is owed until somebody does it again; that this page did has its second look.
    back = ("--not-done", "elt", "--reason", "never sent in", "--by", ADA, "--yes")
    made = run(shop, "amend", first, *back, on="2026-11-22")
    assert made.code == 0, made.err
    record = next(shop.glob("records/2026/2026-11-22-amendment-*.yaml"))
    assert run(shop, "signature", record.stem, "--ink", "log p. 4", "--as", OTTO, on="2026-11-22").code == 0
    again = run(shop, "start", "elt", "--only", "tach=400.0", "--by", ADA, on="2026-11-23")
    page = shop / again.out.strip()
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("paper: ____", "paper: work order 13")
    page.write_text(text.replace("second look by: ____", f"second look by: {OTTO}"), encoding="utf-8")
    assert run(shop, "sign", "--as", OTTO, "--ink", "log p. 5", typed=(OTTO,), on="2026-11-23").code == 0
    assert json.loads(run(shop, "due", "--json", on="2026-11-23").out)["stops"] == []


def test_a_directive_that_they_complied_with_is_theirs(run: Run, shop: Path) -> None:
    (shop / "records/2026/2026-10-02-directive-k3f9.yaml").write_text(
        "format: 1\nkind: directive\ndate: 2026-10-02\nnumber: SL-12\nissuer: maker of the transmitter\n"
        "subject: a test\nauthority: maker's letter\non: aircraft\napplies: 'yes'\nevery: 12 calendar months\n"
        f"check: elt\nby: {ADA}\n",
        encoding="utf-8",
    )
    signed(run, shop, "condition")
    made = run(shop, "directives", "--json", on="2026-11-22")
    assert "repair station (work order 12)" in made.out, made


@pytest.mark.parametrize("paper", ["to follow", "comes by post", "as promised"])
def test_their_paper_is_found_by_a_number(run: Run, shop: Path, paper: str) -> None:
    started = run(shop, "start", "elt", "--only", "tach=400.0", "--by", ADA, on="2026-11-21")
    page = shop / started.out.strip()
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]")
    page.write_text(text.replace("paper: ____", f"paper: {paper}"), encoding="utf-8")
    made = run(shop, "sign", "--as", OTTO, typed=(OTTO,), on="2026-11-22")
    assert made.code == 1
    assert f"`paper: {paper}` has no number by which it is found" in words(made.out)
    page.write_text(text.replace("paper: ____", "paper: their tag of 2026-11-20"), encoding="utf-8")
    assert run(shop, "sign", "--as", OTTO, typed=(OTTO,), on="2026-11-22").code == 0
