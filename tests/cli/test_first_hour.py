"""The README's worked first hour, on a store written by hand: from the past brought forward to the next due date."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run


def due(run: Run, hangar: Path, *words: str, on: str = "") -> dict[str, dict[str, object]]:
    answer = json.loads(run(hangar, "due", "--json", *words, on=on).out)
    return {item["check"]: item for item in answer["items"]}


def test_the_whole_job(run: Run, hangar: Path) -> None:
    assert run(hangar, "verify").code == 0

    # The past: tach 400.0 stands for 655.5; the oil is due at 700.0 total, which the tach will read as 444.5.
    oil = due(run, hangar)["oil"]
    assert oil["due"] == {"date": "2026-12-02", "meter": "tach", "total": 700.0, "reads": 444.5}
    assert oil["last"] == {"date": "2026-08-02", "total": 650.0, "estimated": False}
    assert due(run, hangar)["condition"]["due"]["date"] == "2026-12-31"  # type: ignore[index]

    # Ten hours on paper.
    assert run(hangar, "hours", "tach=405.0", on="2026-10-03").code == 0
    assert run(hangar, "hours", "tach=410.0", on="2026-11-01").code == 0
    assert due(run, hangar)["oil"]["left"] == {"days": 7, "amount": 34.5, "unit": "h"}

    plan = json.loads(run(hangar, "plan", "condition", "--json").out)
    assert set(plan["panels"]) == {"cowl", "floor", "seats"}
    # One person: 10+15 cowl, 5+5 floor, 3+3 seats; stacks 5, compression 30, oil 5 (soon), pulleys 5, elt 5.
    assert (plan["labour_min"], plan["elapsed_min"], plan["proved"]) == (91, 91, True)

    started = run(hangar, "start", "condition", "tach=410.0", "--by", "Ada Bellcrank", on="2026-11-21")
    assert started.code == 0
    page = hangar / started.out.strip()
    stops = json.loads(run(hangar, "due", "--json").out)["stops"]
    assert [stop["kind"] for stop in stops] == ["open-worksheet"]

    # A pen ticks everything, but one cylinder is weak.
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]")
    text = text.replace("cylinder 1: ____", "cylinder 1: 76").replace("cylinder 2: ____", "cylinder 2: 58")
    text = text.replace("used: ____ (planned: 6 qt engine oil; 1 oil filter)", "used: As planned")
    page.write_text(text, encoding="utf-8")
    refused = run(hangar, "sign", "--as", "Ada Bellcrank", typed=("Ada Bellcrank",), on="2026-11-22")
    assert refused.code == 1
    assert "cylinder 2 is 58 psi, the limit is at least 60, and no finding is written under it" in " ".join(
        refused.out.split()
    )
    assert page.exists()

    assert run(hangar, "finding", "compression", "cylinder 2 weak", on="2026-11-22").code == 0
    refused = run(hangar, "sign", "--as", "Ada Bellcrank", typed=("Ada Bellcrank",), on="2026-11-22")
    assert refused.code == 1
    assert "to be fixed before flight" in refused.out
    how = ("--cleared", "valve lapped", "--read", "cylinder 2=74")
    cleared = run(hangar, "finding", "F1", *how, on="2026-11-22")
    assert cleared.code == 0

    # Another name is not the signer's; nothing is written.
    other = run(hangar, "sign", "--as", "Ada Bellcrank", typed=("Ada",), on="2026-11-22")
    assert other.code == 1
    assert page.exists()
    student = run(hangar, "sign", "--as", "Bo Cleco", typed=("Bo Cleco",), on="2026-11-22")
    assert student.code == 1

    signed = run(hangar, "sign", "--as", "Ada Bellcrank", typed=("Ada Bellcrank",), on="2026-11-22")
    assert signed.code == 0, signed
    statement = " ".join(signed.out.replace("│", " ").split())
    assert "inspected on 2026-11-22 and found in a condition for safe operation" in statement
    assert not page.exists()

    # Sealed is not signed.
    answer = json.loads(run(hangar, "due", "--json").out)
    assert [stop["kind"] for stop in answer["stops"]] == ["signature"]
    assert due(run, hangar)["condition"]["due"]["date"] == "2026-12-31"  # type: ignore[index]
    assert run(hangar, "signature", "--ink", "aircraft log p. 44", on="2026-11-23").code == 0
    answer = json.loads(run(hangar, "due", "--json").out)
    assert answer["stops"] == []
    assert due(run, hangar)["condition"]["due"]["date"] == "2027-11-30"  # type: ignore[index]
    assert due(run, hangar)["oil"]["due"]["total"] == 715.5  # type: ignore[index]
    assert due(run, hangar)["oil"]["due"]["date"] == "2027-03-22"  # type: ignore[index]
    assert due(run, hangar)["elt"]["due"]["date"] == "2027-11-30"  # type: ignore[index]

    report = run(hangar, "report")
    assert report.code == 0
    for words in ("N0XX", "665.5", "Ada Bellcrank", "0000001", "aircraft log p. 44", "valve lapped", "76"):
        assert words in report.out, words
    for ending in (".html", ".md", ".txt"):
        target = hangar.parent / f"report{ending}"
        assert run(hangar, "report", "--to", str(target)).code == 0
        assert "0000001" in target.read_text(encoding="utf-8")
    assert "665.5" in run(hangar, "report", "--entry").out
    assert run(hangar, "verify").code == 0


def test_a_changed_byte_is_found(run: Run, hangar: Path) -> None:
    sealed = signed_store(run, hangar)
    record = next(hangar.glob("records/2026/*condition*.yaml"))
    record.write_text(record.read_text(encoding="utf-8").replace("75 psi", "78 psi", 1), encoding="utf-8")
    broken = run(sealed, "verify")
    assert broken.code == 1
    assert record.name in broken.err


def signed_store(run: Run, hangar: Path) -> Path:
    """The store with one signed inspection."""
    page = (
        hangar / run(hangar, "start", "condition", "tach=400.0", "--by", "Ada Bellcrank", on="2026-11-21").out.strip()
    )
    text = page.read_text(encoding="utf-8").replace("[ ]", "[x]").replace("used: ____", "used: none")
    text = text.replace("____", "75")
    page.write_text(text, encoding="utf-8")
    words = ("sign", "--as", "Ada Bellcrank", "--ink", "p. 1")
    assert run(hangar, *words, typed=("Ada Bellcrank",), on="2026-11-22").code == 0
    return hangar


def test_an_inspection_not_passed(run: Run, hangar: Path) -> None:
    run(hangar, "start", "condition", "tach=400.0", "--by", "Ada Bellcrank", on="2026-11-21")
    run(hangar, "finding", "stacks", "crack at the weld", on="2026-11-21")
    (page,) = hangar.glob("records/open/*.md")
    boxes = page.read_text(encoding="utf-8").count("- [ ] ")
    words = ("sign", "--as", "Ada Bellcrank", "--not-passed")
    outcome = run(hangar, *words, typed=("Ada Bellcrank",), on="2026-11-22")
    assert outcome.code == 0, outcome
    assert "I certify" not in outcome.out
    told = " ".join(outcome.out.split())
    assert f"Not looked at or not finished: {boxes} of {boxes} boxes; nothing is off." in told
    assert "The page stays open: clear each finding on it" in told
    assert len(list(hangar.glob("records/open/*.md"))) == 1
    stops = [stop["kind"] for stop in json.loads(run(hangar, "due", "--json").out)["stops"]]
    assert stops.count("finding") == 1
    report = run(hangar, "report")
    assert "crack at the weld" in report.out
    assert "I certify" not in report.out
    assert run(hangar, "verify").code == 0


def test_work_without_a_page_and_a_finding_without_one(run: Run, hangar: Path) -> None:
    assert run(hangar, "work", "oil", "tach=402.0", "--by", "Ada Bellcrank", on="2026-09-05").code == 0
    assert due(run, hangar)["oil"]["due"]["total"] == 707.5  # type: ignore[index]
    raised = run(
        hangar, "finding", "cowl", "stud lost", "--fix", "by 2027-01-31", "--reason", "five hold", on="2026-09-06"
    )
    assert raised.code == 0
    reference = raised.out.splitlines()[0].rsplit("/", 1)[-1].removesuffix(".yaml") + "#F1"
    item = due(run, hangar)[reference]
    assert (item["kind"], item["panel"], item["due"]["date"]) == ("finding", "cowl", "2027-01-31")  # type: ignore[index]
    assert run(hangar, "finding", reference, "--cleared", "new stud", "--by", "Bo Cleco", on="2026-10-01").code == 0
    assert reference not in due(run, hangar)


@pytest.mark.parametrize(
    ("limit", "why"),
    [("by 2026-09-05", "2026-09-05 is past"), ("by 300 h", "300 h is past: the total of tach is 655.5 h")],
)
def test_a_finding_is_not_put_off_to_a_limit_that_is_past(run: Run, hangar: Path, limit: str, why: str) -> None:
    """Neither one that is new nor one on an open page; a slip of the finger would bar flight at once."""
    words = ("finding", "cowl", "stud lost", "--fix", limit, "--reason", "five hold")
    refused = run(hangar, *words, on="2026-09-06")
    assert (refused.code, f"--fix: {why}" in refused.err) == (2, True), refused
    run(hangar, "start", "condition", "tach=400.0", "--by", "Ada Bellcrank", on="2026-09-06")
    assert run(hangar, "finding", "stacks", "rust", on="2026-09-06").code == 0
    refused = run(hangar, "finding", "F1", "--fix", limit, "--reason", "light", on="2026-09-06")
    assert (refused.code, f"--fix: {why}" in refused.err) == (2, True), refused


def test_a_finding_that_is_cleared_is_not_put_off_any_more(run: Run, hangar: Path) -> None:
    run(hangar, "start", "condition", "tach=400.0", "--by", "Ada Bellcrank", on="2026-09-06")
    assert run(hangar, "finding", "stacks", "rust", on="2026-09-06").code == 0
    assert run(hangar, "finding", "F1", "--cleared", "wiped off", on="2026-09-06").code == 0
    refused = run(hangar, "finding", "F1", "--fix", "by 2027-01-31", "--reason", "light", on="2026-09-06")
    assert (refused.code, "F1 is cleared already: 2026-09-06 wiped off" in refused.err) == (2, True), refused


@pytest.mark.parametrize(("reads", "is_there"), [("430.0", False), ("440.0", True)])
def test_what_is_due_is_told_by_what_the_page_reads(reads: str, is_there: bool, run: Run, hangar: Path) -> None:
    """The oil was changed at 650.0 and is due at 700.0; 440.0 on the tachometer is 695.5, inside ten hours of it."""
    begun = run(hangar, "start", "condition", f"tach={reads}", "--by", "Ada Bellcrank", "--yes", on="2026-09-06")
    assert ("`oil`" in (hangar / begun.out.strip()).read_text(encoding="utf-8")) == is_there, begun.err


def test_what_is_soon_behind_the_same_panel_and_not_on_the_page_is_told(run: Run, hangar: Path) -> None:
    begun = ("--only", "--by", "Ada Bellcrank")
    told = "Not on this page, due or soon, behind what is opened: Change the oil (oil)."
    assert told in run(hangar, "start", "stacks", "tach=405.0", *begun, on="2026-11-21").err
    assert "Not on this page" not in run(hangar, "start", "pulleys", "tach=405.0", *begun, on="2026-11-21").err


def test_a_scope_that_is_not_known_is_never_told_as_covered(run: Run, hangar: Path) -> None:
    file = hangar / "records" / "aircraft.yaml"
    text = file.read_text()
    file.write_text(text.replace("scope: part 43 appendix D", "scope: national schedule 7"))
    for words in (("scope",), ("scope", "--all"), ("scope", "--json")):
        refused = run(hangar, *words)
        assert (refused.code, refused.out) == (3, ""), refused
        assert "the scope `national schedule 7` is not known here" in refused.err
    told = run(hangar, "verify")
    assert (told.code, "scope: no scope is called `national schedule 7`" in told.err) == (3, True)


def test_a_scope_of_ones_own_is_asked_for_as_well(run: Run, hangar: Path) -> None:
    file = hangar / "records" / "aircraft.yaml"
    own = "scopes: {maker's programme: {m1: engine mounts, m2: magnet plug}}\n"
    rule = "  hundred: {every: 100 h, scope: maker's programme, statement: 'Done on {date}', signers: [mechanic]}\n"
    text = file.read_text().replace("inspections:\n", f"{own}inspections:\n").replace("people:\n", f"{rule}people:\n")
    file.write_text(text)
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text().replace("covers: d8", "covers: d8, m1"))
    told = run(hangar, "scope")
    assert told.code == 1
    assert "m2" in told.out
    assert "43 codes" in told.out
    facts = json.loads(run(hangar, "scope", "--json").out)
    assert (facts["missing"], facts["others"][0]["missing"]) == ([], ["m2"])
    cowl.write_text(cowl.read_text().replace("covers: d8, m1", "covers: d8, m1, m2"))
    assert run(hangar, "scope").code == 0
    assert run(hangar, "verify").code == 0


def test_the_walk_saves_every_answer_and_picks_up_where_it_stopped(run: Run, hangar: Path) -> None:
    page = (
        hangar / run(hangar, "start", "condition", "tach=400.0", "--by", "Ada Bellcrank", on="2026-11-21").out.strip()
    )
    first = run(hangar, "walk", typed=("o", "s"), on="2026-11-21")
    assert first.code == 0
    assert page.read_text(encoding="utf-8").count("[x]") == 1
    # By hand in between, as with a pen.
    page.write_text(page.read_text(encoding="utf-8").replace("- [ ] `stacks`", "- [x] `stacks`"), encoding="utf-8")
    ticked = page.read_text(encoding="utf-8").count("[x]")
    answers = ["o"] * 40
    second = run(hangar, "walk", typed=tuple(answers), on="2026-11-21")
    assert page.read_text(encoding="utf-8").count("[x]") > ticked
    assert "(stacks)" not in second.out
