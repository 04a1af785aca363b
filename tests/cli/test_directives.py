"""Directives and letters: the owner's decisions by product and serial; the newest counts, a new part opens them."""

import json
import re
from functools import partial
from pathlib import Path

import pytest

from tests.cli.conftest import Run, entered
from tests.cli.test_sealing import ADA, Page, change, page, sign

__all__ = ["page"]

ON = "2026-11-26"


def listed(run: Run, store: Path, on: str = ON) -> dict[tuple[str, str], dict]:
    outcome = run(store, "directives", "--json", on=on)
    assert outcome.err == ""
    return {(each["number"], each["product"]): each for each in json.loads(outcome.out)["directives"]}


def test_the_columns_of_91_417(run: Run, wren: Path) -> None:
    """14 CFR 91.417(a)(2)(v): method of compliance, number, revision date; if recurring, time and date of the next
    action. Done at 0.0 h, every 25 h: next at 25.0.
    """
    pump = listed(run, wren)["0026-05-02 (invented)", "engine"]
    assert pump["method"] == "paragraph (g), diaphragm looked at for seepage"
    assert (pump["number"], pump["revision"]) == ("0026-05-02 (invented)", "original")
    assert pump["revision_date"] == "2026-05-11"
    assert pump["recurring"] is True
    assert pump["next"] == {"date": None, "meter": "tach", "total": 25, "reads": 25}
    assert (pump["part"], pump["serial"]) == ("Coot C-115", "C-4471")
    assert (pump["done"], pump["done_by"]) == ("2026-08-01", "Wilma Fieldfare")
    page = run(wren, "directives", on=ON).out
    head = next(line for line in page.splitlines() if "revision date" in line)
    assert all(word in head for word in ("number", "revision date", "subject", "next action", "applies"))
    row = next(line for line in page.splitlines() if line.startswith("0026-05-02"))
    assert "tach 25.0" in row
    told = " ".join(page.split())
    assert "done: 2026-08-01 by Wilma Fieldfare" in told
    assert "method of compliance: paragraph (g), diaphragm looked at for seepage" in told


def test_the_newest_decision_counts(run: Run, wren: Path) -> None:
    kit = listed(run, wren)["Kit letter 3", "aircraft"]
    assert (kit["state"], kit["reason"]) == ("does not apply", "kit number 31")
    assert listed(run, wren, on="2026-08-20")["Kit letter 3", "aircraft"]["state"] == "not decided"
    assert run(wren, "directives", "--strict", on=ON).code == 0


DECISION = """kind: directive
date: {}
number: AD-9
issuer: X
subject: cracks
authority: airworthiness directive
on: {}
revision: {}
{}applies: {}
"""


def test_an_older_revision_decided_once_more_takes_nothing_back(run: Run, wren: Path) -> None:
    """By its day, and, where that is not given, by which of the two was decided first; of one revision the newest."""
    first = ("2026-08-20", "engine", "A", "issued: 2026-05-20\n", "{no: another model}")
    newer = ("2026-08-22", "engine", "B", "issued: 2026-06-20\n", "not decided")
    again = ("2026-08-23", *first[1:])
    for at, decision in enumerate((first, newer, again)):
        entered(wren, f"{decision[0]}-engine-{at}", DECISION.format(*decision))
        undated = (decision[0], "aircraft", decision[2], "", decision[4])
        entered(wren, f"{decision[0]}-aircraft-{at}", DECISION.format(*undated))
    found = json.loads(run(wren, "directives", "--json", on=ON).out)["directives"]
    states = {(each["number"], each["product"]): each for each in found}
    assert {states["AD-9", each]["state"] for each in ("engine", "aircraft")} == {"not decided"}
    assert {states["AD-9", each]["revision"] for each in ("engine", "aircraft")} == {"B"}
    for each in wren.glob("records/2026/2026-08-23-*-2.yaml"):
        each.unlink()
    entered(wren, "2026-08-24-b", DECISION.format("2026-08-24", *newer[1:4], "{no: another model}"))
    assert listed(run, wren)["AD-9", "engine"]["state"] == "does not apply"
    by = ("--by", "Wilma Fieldfare", "--yes")
    asked = ("--authority", "AD", "--revision", "A", "--issued", "2026-05-20", "--product", "engine")
    refused = run(wren, "directive", "AD-9", *asked, "--applies", "no: another model", *by)
    assert (refused.code, "revision B of 2026-06-20" in refused.err) == (2, True), refused.err


def test_a_newer_revision_decided_for_another_part_is_open_for_the_one_that_is_fitted(run: Run, wren: Path) -> None:
    was = DECISION.replace("\non: {}\n", "\non: engine\nserial: {}\n")
    entered(wren, "2026-08-20-a", was.format("2026-08-20", "C-4471", "A", "issued: 2026-05-20\n", "{no: this serial}"))
    entered(wren, "2026-08-22-b", was.format("2026-08-22", "C-1", "B", "issued: 2026-06-20\n", "{no: that serial}"))
    assert listed(run, wren)["AD-9", "engine"]["state"] == "open again"


def test_not_decided_comes_first_and_is_told_first(run: Run, wren: Path) -> None:
    told = run(wren, "directives", "--strict", on="2026-08-20")
    assert told.code == 1
    lines = told.out.splitlines()
    assert lines[3] == "!! NOT DECIDED: 1 directive or letter wants the owner's decision."
    assert told.out.index("Kit letter 3") < told.out.index("0026-05-02")


def test_what_is_not_decided_says_of_no_day_that_it_was_decided_then(run: Run, wren: Path) -> None:
    """Below `not decided` stood `decided: 2026-08-15 by Hazel Quillfeather`: that day it was written down."""
    told = " ".join(run(wren, "directives", on="2026-08-20").out.split())
    letter = told[told.index("Kit letter 3") :].partition("───")[0]
    assert re.search(r"; decided: not yet; on record since 2026-\d\d-\d\d", letter)
    assert re.search(r"; decided: 2026-\d\d-\d\d by ", told.replace(letter, ""))


def test_a_part_changed_opens_its_directives_again(run: Run, wren: Path) -> None:
    swap = "kind: {}\ndate: 2026-10-20\nposition: magneto-left\nserial: {}\npart: Whimbrel 4 left\nno change: same\n"
    entered(wren, "2026-10-20-out", swap.format("removed", "M-31"))
    entered(wren, "2026-10-20-put-in", swap.format("installed", "M-77"))
    letter = listed(run, wren)["Magneto letter 7", "magneto-left"]
    assert (letter["state"], letter["serial"], letter["next"]) == ("open again", "M-77", None)
    assert run(wren, "directives", "--strict", on=ON).code == 1
    page = run(wren, "directives", on=ON).out
    assert "not decided: magneto-left: Whimbrel 4 left, serial M-77" in page
    assert "open again" in page
    # The engine was not changed, and its decision stands.
    assert listed(run, wren)["0026-05-02 (invented)", "engine"]["state"] == "applies"
    # Decided for the new one, it applies again; the old one back in its place brings its own decision with it.
    decision = (wren / "records/2026/2026-08-20-magneto-letter.yaml").read_text(encoding="utf-8")
    again = decision.replace("2026-08-20", "2026-10-21").replace('applies: "yes"', "applies: {no: serial below M-50}")
    (wren / "records/2026/2026-10-21-magneto-letter.yaml").write_text(again, encoding="utf-8")
    assert listed(run, wren)["Magneto letter 7", "magneto-left"]["state"] == "does not apply"
    back = swap.replace("2026-10-20", "2026-10-30")
    entered(wren, "2026-10-30-out", back.format("removed", "M-77"))
    entered(wren, "2026-10-30-put-in", back.format("installed", "M-31"))
    assert listed(run, wren)["Magneto letter 7", "magneto-left"]["state"] == "applies"


def test_a_serial_put_right_opens_what_was_decided_for_the_slip(run: Run, wren: Path) -> None:
    """`serial below M-50` was decided of M-31, which was never there."""
    slip = "kind: amendment\ndate: 2026-10-20\nof: 2026-08-01-magneto-left-fitted\ninstead: {serial: M-78}\n"
    entered(wren, "2026-10-20-slip", f"{slip}text: slip\nby: Wilma Fieldfare\n")
    decided = wren / "records/2026/2026-08-20-magneto-letter.yaml"
    decision = decided.read_text(encoding="utf-8")
    # What applies, and was done, was done to the part whatever it is called.
    assert listed(run, wren)["Magneto letter 7", "magneto-left"]["state"] == "applies"
    decided.write_text(decision.replace('applies: "yes"', "applies: {no: serial below M-50}"), encoding="utf-8")
    letter = listed(run, wren)["Magneto letter 7", "magneto-left"]
    assert (letter["state"], letter["serial"]) == ("open again", "M-78")
    again = decision.replace("2026-08-20", "2026-10-20").replace('applies: "yes"', "applies: {no: serial above M-50}")
    (wren / "records/2026/2026-10-20-magneto-letter.yaml").write_text(again, encoding="utf-8")
    assert listed(run, wren)["Magneto letter 7", "magneto-left"]["state"] == "does not apply"


def test_compliance_is_work_that_did_its_check(run: Run, wren: Path) -> None:
    did = "kind: work\ndate: 2026-10-24\nmeters: {tach: 23.9}\ndid: [fuel-pump-diaphragm]\ntext: Dry.\n"
    entered(wren, "2026-10-24-pump", did)
    pump = listed(run, wren)["0026-05-02 (invented)", "engine"]
    assert (pump["done"], pump["next"]["total"]) == ("2026-10-24", 48.9)


def test_whoever_fits_a_part_is_told_which_directives_it_opens_or_brings(run: Run, wren: Path) -> None:
    """`install` said nothing of a directive that bound the position the minute before."""
    facts = ("--part", "Coot C-115", "--where", "bench", "--by", "Wilma Fieldfare", "tach=23.9")
    told = run(wren, "install", "engine", "--serial", "C-9000", "--goes-with", "none", *facts, on="2026-10-24")
    assert told.code == 0, told.err
    assert "0026-05-02 (invented) is open again" in " ".join(told.err.split())
    pump = listed(run, wren)["0026-05-02 (invented)", "engine"]
    assert (pump["state"], pump["done"]) == ("open again", None)
    out = run(wren, "remove", "magneto-left", "--where", "bench", *facts[4:], on="2026-10-24")
    assert out.code == 0, out.err
    aircraft = wren / "records/aircraft.yaml"
    right = "  magneto-left: {on: engine}\n  magneto-right: {on: engine}\n"
    aircraft.write_text(aircraft.read_text(encoding="utf-8").replace("  magneto-left: {on: engine}\n", right))
    facts = ("--part", "Whimbrel 4 left", *facts[4:], "--yes")
    moved = run(wren, "install", "magneto-right", "--serial", "M-31", *facts, on="2026-10-24")
    assert moved.code == 0, moved.err
    assert "Magneto letter 7 was decided for serial M-31 in magneto-left" in " ".join(moved.err.split())
    assert "directive 'Magneto letter 7'" in " ".join(moved.err.split())


class TestWorkThatIsOlder:
    """A timing of the week before it was issued was shown as compliance with it, without a word."""

    AD = ("directive", "AD-9", "--issuer", "the authority", "--subject", "pump seal", "--authority")
    ASKS = ("--product", "engine", "--applies", "yes", "--every", "25 h", "--check", "fuel-pump-diaphragm", "--by")

    def made(self, run: Run, wren: Path, *more: str, typed: tuple[str, ...] = (), issued: str = "2026-08-15") -> str:
        words = (*self.AD, "airworthiness directive", "--issued", issued, *self.ASKS, "Wilma Fieldfare", *more)
        told = run(wren, *words, typed=typed, on="2026-11-25")
        assert told.code == 0, told.err
        return " ".join(told.err.split())

    def test_is_asked_and_a_no_makes_it_due_now(self, run: Run, wren: Path) -> None:
        asked = "Was the work of 2026-08-01 (2026-08-01-"
        assert asked in self.made(run, wren, typed=("", "", "", "perhaps", "no"))
        page = " ".join(run(wren, "directives", on=ON).out.split())
        assert "DUE NOW: AD-9: the work of 2026-08-01" in page
        assert "PAST ITS TIME" not in page
        assert "left: past due, before flight" in page
        found = listed(run, wren)["AD-9", "engine"]
        assert (found["done"], found["due_state"]) == (None, "past-due")
        due = json.loads(run(wren, "due", "--json", on=ON).out)
        assert any("fuel-pump-diaphragm" in str(stop) for stop in due["stops"]), due["stops"]
        assert "AD-9 asks for it since 2026-08-15, and it was last done before" in " ".join(
            run(wren, "due", "fuel-pump-diaphragm", on=ON).out.split()
        )
        did = "kind: work\ndate: 2026-11-25\nmeters: {tach: 24.0}\ndid: [fuel-pump-diaphragm]\ntext: Dry.\n"
        entered(wren, "2026-11-25-pump", did)
        found = listed(run, wren)["AD-9", "engine"]
        assert (found["done"], found["due_state"]) == ("2026-11-25", "later")

    def test_a_letter_is_named_where_its_check_is_listed(self, run: Run, wren: Path) -> None:
        """The check stood under past due with `0 days` left, and nothing said why."""
        asks = tuple("oil-change" if each == "fuel-pump-diaphragm" else each for each in self.ASKS)
        words = ("directive", "SL-9", *self.AD[2:], "letter", "--issued", "2026-08-15", *asks, "Wilma Fieldfare")
        told = run(wren, *words, typed=("", "", "", "no"), on="2026-11-25")
        assert told.code == 0, told.err
        page = run(wren, "due", "--all", on=ON).out
        assert re.search(r"Change the oil and the filter +now, by SL-9", page), page

    def test_a_yes_is_recorded_with_its_day(self, run: Run, wren: Path) -> None:
        self.made(run, wren, "--previously-complied", "yes")
        found = listed(run, wren)["AD-9", "engine"]
        assert (found["done"], found["done_by"]) == ("2026-08-01", "Wilma Fieldfare")
        assert "DUE NOW" not in run(wren, "directives", on=ON).out
        (record,) = wren.glob("records/2026/*ad-9*.yaml")
        text = record.read_text(encoding="utf-8")
        assert "done: as it asks, by the work of 2026-08-01" in " ".join(text.split())
        assert "done-on: 2026-08-01\n" in text

    def test_nobody_answers(self, run: Run, wren: Path) -> None:
        words = (*self.AD, "airworthiness directive", "--issued", "2026-08-15", *self.ASKS, "Wilma Fieldfare")
        told = run(wren, *words, on="2026-11-25")
        assert (told.code, "give it with --previously-complied" in told.err) == (2, True)

    def test_younger_work_is_not_asked_about(self, run: Run, wren: Path) -> None:
        assert "Was the work" not in self.made(run, wren, issued="2026-07-01")
        assert listed(run, wren)["AD-9", "engine"]["done"] == "2026-08-01"


def test_whoever_decides_on_one_product_is_told_of_the_one_that_stays_open(run: Run, wren: Path) -> None:
    """Taken down with Enter as about the aircraft, decided on the propeller: a reason not to fly stayed, unsaid."""
    said = ("directive", "AD-1", "--issuer", "the authority", "--subject", "hub bolts", "--authority", "AD")
    said += ("--revision", "", "--issued", "2026-11-01", "--by", "Wilma Fieldfare")
    first = run(wren, *said, "--product", "aircraft", "--applies", "not decided", on="2026-11-24")
    assert (first.code, "stays not decided" in first.err) == (0, False), first.err
    decided = run(wren, *said, "--product", "propeller", "--applies", "no: another hub", on="2026-11-24")
    assert decided.code == 0, decided.err
    name = Path(first.out.split()[0]).stem
    assert "AD-1 on aircraft stays not decided, for a decision is on one product" in decided.err
    back = ("--reason", "never about that", "--by", "Wilma Fieldfare")
    assert run(wren, "withdraw", name, *back, on="2026-11-24").code == 0
    again = run(wren, *said, "--product", "propeller", "--applies", "no: another hub, by its plate", on="2026-11-25")
    assert (again.code, "stays not decided" in again.err) == (0, False), again.err


def test_done_for_good_needs_no_check(run: Run, wren: Path) -> None:
    text = "kind: directive\ndate: 2026-09-01\nnumber: Kit letter 1\nissuer: kit maker\nauthority: maker's letter\n"
    text += 'subject: longeron splice\non: aircraft\napplies: "yes"\nonce: before first flight\ndone: doubler riveted\n'
    entered(wren, "2026-09-01-letter", text + "done-by: Wilma Fieldfare\ndone-on: 2025-03-02\n")
    found = listed(run, wren)["Kit letter 1", "aircraft"]
    assert (found["state"], found["done"], found["recurring"], found["next"]) == ("applies", "2025-03-02", False, None)


@pytest.mark.parametrize(
    ("done", "by", "met"),
    [
        ("doubler riveted", "Wilma Fieldfare", True),
        ("", "", False),
        ("not yet", "Wilma Fieldfare", False),
        ("____", "Wilma Fieldfare", False),
        ("doubler riveted?", "Wilma Fieldfare", False),
        ("doubler riveted", "nobody", False),
    ],
)
def test_a_day_alone_complies_with_nothing(run: Run, wren: Path, done: str, by: str, met: bool) -> None:
    """`verify` names it, and the directive is no reason any more."""
    text = "kind: directive\ndate: 2026-09-01\nnumber: AD-5\nissuer: them\nauthority: airworthiness directive\n"
    text += 'subject: longeron splice\non: aircraft\napplies: "yes"\nonce: before first flight\ndone-on: 2025-03-02\n'
    entered(wren, "2026-09-01-ad", text + (f"done: {done}\ndone-by: {by}\n" if done else ""))
    told = run(wren, "due", "--json", on=ON)
    assert any("AD-5" in each["text"] for each in json.loads(told.out)["stops"]) is not met
    assert ("2026-09-01-ad.yaml" in told.err) is not met
    made = json.loads(run(wren, "directives", "--json", on=ON).out)["directives"]
    assert [each["done"] for each in made if each["number"] == "AD-5"] == ["2025-03-02" if met else None]


def test_searches_and_what_none_covers(run: Run, wren: Path) -> None:
    found = json.loads(run(wren, "directives", "--json", on=ON).out)
    (search,) = found["searches"]
    assert (search["date"], search["source"]) == ("2026-08-20", "the authority's public list; makers' pages")
    assert found["unsearched"] == []
    fitted = "kind: installed\ndate: 2026-10-20\nposition: propeller\nserial: P1\nno change: same\n"
    entered(wren, "2026-10-20-propeller", fitted)
    assert json.loads(run(wren, "directives", "--json", on=ON).out)["unsearched"] == ["propeller"]
    page = " ".join(run(wren, "directives", on=ON).out.split())
    assert "No search on record covers, as fitted now: propeller." in page


def test_a_search_of_nothing_searched_nothing(run: Run, hangar: Path) -> None:
    entered(
        hangar,
        "2026-09-03-search",
        "kind: search\ndate: 2026-09-03\nsource: n/a\nproducts: [aircraft]\nby: Ada Bellcrank\n",
    )
    told = run(hangar, "directives", "--json", on=ON)
    assert json.loads(told.out)["unsearched"] == ["aircraft"]
    assert "source: `n/a` says nothing of it" in told.err


def test_no_list_is_called_complete(run: Run, wren: Path, hangar: Path) -> None:
    for store in (wren, hangar):
        page = " ".join(run(store, "directives", on=ON).out.split())
        assert "it is never complete" in page
        assert page.count("complete") == 1
        assert "airworthy" not in page
    assert "No directive or letter is on record. That does not say that there is none." in page
    assert "No search is on record." in page


@pytest.mark.parametrize("ending", ["html", "md", "txt"])
def test_on_every_paper(run: Run, wren: Path, tmp_path: Path, ending: str) -> None:
    target = tmp_path / f"directives.{ending}"
    assert run(wren, "directives", "--to", str(target), on=ON).code == 0
    assert "0026-05-02" in target.read_text(encoding="utf-8")


def test_a_setting_is_told_with_what_it_was(run: Run, wren: Path) -> None:
    found = json.loads(run(wren, "status", "--json", on=ON).out)["settings"]
    assert [(each["setting"], each["on"], each["value"], each["before"]) for each in found] == [
        ("propeller-pitch", "propeller", "14.2 degrees at 3/4 radius", ["15.0 degrees at 3/4 radius"])
    ]
    page = " ".join(run(wren, "status", "--all", on=ON).out.split())
    assert "propeller-pitch" in page
    assert "2350 rpm" in page
    later = "kind: setting\ndate: 2026-11-01\nsetting: propeller-pitch\non: propeller\nfrom: 14.4 degrees\n"
    later += "to: 14.0 degrees\nbecause: as before\nby: Wilma Fieldfare\nflight-check: required\n"
    entered(wren, "2026-11-01-pitch", later)
    (now,) = json.loads(run(wren, "status", "--json", on=ON).out)["settings"]
    assert now["before"] == ["15.0 degrees at 3/4 radius", "14.2 degrees at 3/4 radius", "14.4 degrees"]
    assert now["part_changed"] is False
    new = "kind: installed\ndate: 2026-11-05\nposition: propeller\nserial: P9\nno change: same\n"
    entered(wren, "2026-11-05-propeller", new + "flight-check: required\n")
    (now,) = json.loads(run(wren, "status", "--json", on=ON).out)["settings"]
    assert now["part_changed"] is True
    assert "set anew?" in " ".join(run(wren, "status", "--all", on=ON).out.split())


def test_all_of_it_stands_in_the_history_of_its_part(run: Run, wren: Path) -> None:
    told = run(wren, "history", "propeller", on=ON).out
    assert "propeller-pitch set to 14.2 degrees at 3/4 radius" in " ".join(told.split())
    assert "airworthiness directive 0026-05-02" in " ".join(run(wren, "history", "engine", on=ON).out.split())


def reasons(run: Run, store: Path, flying: str) -> list[tuple[str, str]]:
    found = json.loads(run(store, "due", "--json", "--flying", flying, on=ON).out)["stops"]
    return [(each["kind"], each["text"].split(",")[0]) for each in found]


def test_a_directive_that_binds_bars_flight_past_its_time_without_grace(run: Run, wren: Path) -> None:
    """14 CFR 39.7. The check itself gives 5 h of grace and bars nothing; at 25.9 h it is 0.9 h past 25.0."""
    assert reasons(run, wren, "1") == []
    assert [kind for kind, _ in reasons(run, wren, "2")] == ["barred"]
    path = wren / "records/2026/2026-08-20-fuel-pump.yaml"
    text = path.read_text(encoding="utf-8")
    for other in (
        text.replace("authority: airworthiness directive", "authority: maker's letter"),
        text.replace('applies: "yes"', 'applies: "reviewed, voluntary"'),
        text.replace('applies: "yes"', "applies: {no: another engine model}"),
    ):
        path.write_text(other, encoding="utf-8")
        assert reasons(run, wren, "2") == []
    # A grace that is written in the directive counts: 2 h, until 27.0.
    path.write_text(text + "grace: 2 h\n", encoding="utf-8")
    assert reasons(run, wren, "3") == []
    assert [kind for kind, _ in reasons(run, wren, "3.2")] == ["barred"]


def test_the_decision_for_the_part_that_is_fitted_binds(run: Run, wren: Path) -> None:
    """Decided "no" for an exchange engine and the first one is back: its own directive binds again."""
    swap = "kind: {}\ndate: {}\nposition: engine\nserial: {}\npart: Coot C-115\nno change: same\n"
    decision = (wren / "records/2026/2026-08-20-fuel-pump.yaml").read_text(encoding="utf-8")
    assert "airworthiness directive" in decision
    entered(wren, "2026-10-20-out", swap.format("removed", "2026-10-20", "C-4471"))
    entered(wren, "2026-10-20-put-in", swap.format("installed", "2026-10-20", "C-9000"))
    again = decision.replace("2026-08-20", "2026-10-21").replace('applies: "yes"', "applies: {no: other pump}")
    again = "".join(
        line
        for line in again.splitlines(keepends=True)
        if not line.startswith(("every:", "once:", "check:", "method:", "done", "grace:"))
    )
    (wren / "records/2026/2026-10-21-fuel-pump.yaml").write_text(again, encoding="utf-8")
    assert reasons(run, wren, "10") == []
    entered(wren, "2026-10-30-out", swap.format("removed", "2026-10-30", "C-9000"))
    entered(wren, "2026-10-30-put-in", swap.format("installed", "2026-10-30", "C-4471"))
    assert [kind for kind, _ in reasons(run, wren, "10")] == ["barred"]


def test_one_that_asks_once_bars_flight_past_its_day_until_it_is_done(run: Run, wren: Path) -> None:
    cowling = wren / "checklists/nose/cowling.md"
    text = cowling.read_text()
    cowling.write_text(text + "- [ ] `pump-bolts` Fuel pump bolts\n  - once: 2026-11-20\n")
    asks = (wren / "records/2026/2026-08-20-fuel-pump.yaml").read_text(encoding="utf-8")
    asks = asks.replace("0026-05-02", "0026-06-06").replace("every: 25 h", "once: by 20 November 2026")
    asks = asks.replace("check: fuel-pump-diaphragm", "check: pump-bolts")
    (wren / "records/2026/2026-08-20-pump-bolts.yaml").write_text(asks, encoding="utf-8")
    assert [each["kind"] for each in json.loads(run(wren, "due", "--json", on="2026-11-20").out)["stops"]] == []
    stops = json.loads(run(wren, "due", "--json", on="2026-11-21").out)["stops"]
    assert [each["kind"] for each in stops] == ["barred"]
    entered(wren, "2026-11-21-bolts", "kind: work\ndate: 2026-11-21\nmeters: {tach: 23.9}\ndid: [pump-bolts]\n")
    assert json.loads(run(wren, "due", "--json", on="2026-11-21").out)["stops"] == []


@pytest.mark.parametrize(
    ("first", "second", "bars"),
    [("", "grace: 2 h\n", True), ("grace: 2 h\n", "", True), ("grace: 2 h\n", "grace: 2 h on tach\n", False)],
)
def test_of_two_on_one_check_no_grace_counts_that_only_one_gives(
    run: Run, wren: Path, first: str, second: str, bars: bool
) -> None:
    """At 26.4 h the pump is 1.4 h past 25.0: within 2 h of grace, if both directives allow that."""
    path = wren / "records/2026/2026-08-20-fuel-pump.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text + first, encoding="utf-8")
    other = text.replace("0026-05-02 (invented)", "0026-09-09 (invented)") + second
    (wren / "records/2026/2026-08-20-fuel-pump-again.yaml").write_text(other, encoding="utf-8")
    assert [kind for kind, _ in reasons(run, wren, "2.5")] == (["barred"] if bars else [])


@pytest.mark.parametrize(
    ("check", "asks", "told"),
    [
        ("25 h", "25 h", ""),
        ("25 h", "50 h", ""),
        ("25 h or 12 months", "12 months", ""),
        ("1 year", "12 months", ""),
        ("90 days", "3 months", ""),
        ("25 h", "10 h", "asks for it every 10 h, and `fuel-pump-diaphragm` comes every 25 h"),
        ("25 h", "12 months", "asks for it every 12 months, and `fuel-pump-diaphragm` comes every 25 h"),
        ("12 calendar months", "12 months", "it would be told too late; write `every: 12 months` at checklists/"),
        ("condition inspection", "12 months", "comes every 12 calendar months"),
        ("condition inspection", "12 calendar months", ""),
        ("25 landings", "25 h", "comes every 25 landings"),
        ("25 h or 3 months", "25 h or 2 months", "2 months, and `fuel-pump-diaphragm` comes every 25 h or 3 months"),
    ],
)
def test_a_check_that_comes_later_than_its_directive_asks_is_a_problem(
    run: Run, wren: Path, check: str, asks: str, told: str
) -> None:
    """The directive is told by the arithmetic of its check: where that is longer, 39.7 would be broken unseen."""
    cowling = wren / "checklists/nose/cowling.md"
    head, item, rest = cowling.read_text().partition("- [ ] `fuel-pump-diaphragm`")
    assert "  - every: 25 h\n" in rest
    cowling.write_text(head + item + rest.replace("  - every: 25 h\n  - grace: 5 h\n", f"  - every: {check}\n", 1))
    path = wren / "records/2026/2026-08-20-fuel-pump.yaml"
    path.write_text(path.read_text().replace("every: 25 h\n", f"every: {asks}\n"))
    err = run(wren, "verify", on=ON).err
    assert told in err if told else err == ""
    # A newer decision that it does not apply leaves nothing to be told.
    other = "".join(
        line
        for line in path.read_text().replace("2026-08-20", "2026-09-20").splitlines(keepends=True)
        if not line.startswith(("every:", "check:", "method:", "done", "applies:"))
    )
    (wren / "records/2026/2026-09-20-fuel-pump.yaml").write_text(f"{other}applies: {{no: other pump}}\n")
    assert run(wren, "verify", on=ON).err == ""


def test_a_check_that_comes_too_late_is_told_before_more_is_asked(run: Run, wren: Path) -> None:
    """It was refused after the grace, the method, the older work and the name."""
    words = ("--issuer", "maker", "--subject", "gears", "--authority", "letter", "--revision", "", "--issued")
    words = (*words, "2026-08-01", "--product", "aircraft", "--applies", "yes", "--every", "10 h", "--check")
    told = run(wren, "directive", "SL-99", *words, "fuel-pump-diaphragm", on="2026-11-20")
    assert (told.code, "What it allows" in told.err, "asks for it every 10 h" in told.err) == (2, False, True), told


def test_a_directive_whose_check_is_retired_is_a_problem(run: Run, wren: Path) -> None:
    cowling = wren / "checklists/nose/cowling.md"
    text = cowling.read_text()
    line = next(each for each in text.splitlines() if "`fuel-pump-diaphragm`" in each)
    cowling.write_text(text.replace(line, f"{line}\n  - retired: 2026-09-01, electric pump"))
    told = "check: `fuel-pump-diaphragm` is retired since 2026-09-01: name the check that does it now"
    assert told in run(wren, "verify", on=ON).err


def test_a_letter_bars_nothing(run: Run, wren: Path) -> None:
    assert [kind for kind, _ in reasons(run, wren, "90")] == ["barred"]
    page = run(wren, "due", "--flying", "90", "--all", on=ON).out
    assert "fuel-pump-diaphragm" in page
    assert "magneto-left-inspection" in page


def test_strict_says_no_when_one_that_binds_is_past_its_time(run: Run, wren: Path) -> None:
    entered(wren, "2026-11-10-hours", "kind: hours\ndate: 2026-11-10\nmeters: {tach: 25.1}\n")
    told = run(wren, "directives", "--strict", on=ON)
    assert told.code == 1
    assert told.out.splitlines()[3].startswith("!! PAST ITS TIME: 0026-05-02 (invented) original, mechanical fuel pump")
    assert run(wren, "directives", on=ON).code == 0


def test_one_that_use_has_probably_brought_to_its_time_is_told_first(run: Run, wren: Path) -> None:
    """The hours were 135 days old, and the page began with its table: a picture showed it."""
    lines = run(wren, "directives", on="2027-03-01").out.splitlines()
    told = " ".join(lines[: next(at for at, line in enumerate(lines) if line.startswith("Directives and letters"))])
    begins = "! PROBABLY AT ITS TIME: 0026-05-02 (invented) original, mechanical fuel pump diaphragm: 1.1 h by the last"
    assert begins in " ".join(told.split())
    assert "PROBABLY" not in run(wren, "directives", on="2026-10-04").out


def undecided(run: Run, store: Path) -> list[str]:
    stops = json.loads(run(store, "due", "--json", on=ON).out)["stops"]
    return [stop["text"] for stop in stops if stop["kind"] == "directive-undecided"]


def test_a_directive_that_nobody_decided_for_the_part_that_is_fitted_is_a_reason(run: Run, wren: Path) -> None:
    """It bound the position the minute before; a letter bars nothing, decided or not."""
    letter = wren / "records/2026/2026-08-20-magneto-letter.yaml"
    text = letter.read_text(encoding="utf-8")
    (line,) = [each for each in text.splitlines() if each.startswith("authority:")]
    swap = "kind: {}\ndate: 2026-10-20\nposition: {}\nserial: {}\npart: Whimbrel 4 left\nno change: same\n"
    entered(wren, "2026-10-20-out", swap.format("removed", "magneto-left", "M-31"))
    entered(wren, "2026-10-20-put-in", swap.format("installed", "magneto-left", "M-77"))
    assert undecided(run, wren) == []
    letter.write_text(text.replace(line, "authority: airworthiness directive"), encoding="utf-8")
    told = "airworthiness directive Magneto letter 7"
    opened = f"{told} (magneto-left, serial M-77): decided for another part than is fitted"
    assert undecided(run, wren) == [opened]
    aircraft = wren / "records/aircraft.yaml"
    right = "  magneto-left: {on: engine}\n  magneto-right: {on: engine}\n"
    aircraft.write_text(aircraft.read_text(encoding="utf-8").replace("  magneto-left: {on: engine}\n", right))
    entered(wren, "2026-10-21-put-in", swap.format("installed", "magneto-right", "M-31").replace("-20", "-21"))
    brought = f"{told} (magneto-right, serial M-31): decided where that part was before, magneto-left, and not here"
    assert undecided(run, wren) == [opened, brought]


@pytest.mark.parametrize(("reading", "again"), [("23.9", True), ("24.1", False)])
def test_a_directive_decided_on_the_day_of_a_swap_before_it(run: Run, wren: Path, reading: str, again: bool) -> None:
    """By its reading it was decided before the part came in: for the old one, whose batch another one is not of."""
    text = "kind: directive\ndate: 2026-11-20\nmeters: {{tach: {}}}\nnumber: AD-77\nissuer: x\nsubject: points\n"
    text += "authority: airworthiness directive\non: magneto-left\napplies: {{no: of another batch}}\n"
    entered(wren, "2026-11-20-ad", text.format(reading) + "by: Wilma Fieldfare\n")
    swap = "kind: {}\ndate: 2026-11-20\nmeters: {{tach: 24.0}}\nposition: magneto-left\nserial: {}\nno change: same\n"
    entered(wren, "2026-11-20-out", swap.format("removed", "M-31"))
    entered(wren, "2026-11-20-put-in", swap.format("installed", "M-77") + "part: Whimbrel 4 left\n")
    assert any("AD-77" in each for each in undecided(run, wren)) is again


def test_what_is_written_while_a_question_stands_answers_it(
    run: Run, wren: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The files were not read again after `correct that first`: what was mended in another window counted for nothing,
    and nothing said what to answer till there is a check."""
    monkeypatch.setattr("inspect_kit.cli.said.somebody", lambda: True)
    page = next((wren / "checklists").rglob("cowl*.md"))
    own = "- [ ] `hub-cracks` Hub, cracks\n  - every: {}\n"

    def says(text: str) -> None:
        page.write_text(text)

    before = page.read_text()
    late = partial(says, before + own.format("100 h"))
    soon = partial(says, before + own.format("25 h"))
    told = run(
        wren,
        *("directive", "SL-1", "--issuer", "Maker", "--subject", "hub", "--authority", "letter", "--applies", "yes"),
        *("--product", "aircraft", "--every", "25 h", "--revision", "1", "--issued", "2026-05-01"),
        *("--by", "Wilma Fieldfare"),
        typed=("hub cracks", late, "hub cracks", soon, "hub cracks", "", "", ""),
    )
    assert "write one on its panel's page and name it here, or go back with < and answer `not decided`" in told.err
    assert told.err.count("no check is called `hub cracks`") == 1
    assert told.err.count("Correct that first") == 1
    assert told.code == 0
    assert "check: hub-cracks" in (wren / told.out.strip()).read_text()


@pytest.mark.parametrize(("day", "state"), [("2026-10-01", "applies"), ("2026-08-01", "open again")])
def test_a_part_brought_forward_without_the_day_it_was_fitted_was_there_since_then(
    run: Run, hangar: Path, day: str, state: str
) -> None:
    """A decision on the engine was open again the moment it was made: its fitting has no date to be held against."""
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {engine: {}}\n")
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text() + "fitted: {engine: {serial: K-2207, since-new: 218.4}}\n")
    entered(hangar, f"{day}-ad", DECISION.format(day, "engine", "A", "", "'yes'\nonce: within 500 h\ncheck: oil"))
    assert listed(run, hangar)["AD-9", "engine"]["state"] == state


@pytest.mark.parametrize(
    ("authority", "asks"),
    [("airworthiness directive", "once: within 25 h"), ("maker's letter", "every: 12 calendar months")],
)
@pytest.mark.parametrize("done", ["2026-10-20", "", "limited"])
def test_what_was_never_done_is_due_no_later_than_what_was_done_before(
    run: Run, hangar: Path, authority: str, asks: str, done: str
) -> None:
    """The one doing of a check is taken out: it was past due, by the directive, and became unknown."""
    letter = LATE.replace("airworthiness directive", authority).replace("once: within 25 h", asks)
    past = hangar / "records/2026/2026-09-01-past.yaml"
    change(past, "  elt: {date: 2025-12-13}\n", "")
    floor = hangar / "checklists/cabin/floor.md"
    if done == "limited":
        # A check that comes once, and says by itself when.
        change(floor, "  - every: 12 calendar months\n", "  - once: 2026-12-15\n")
    elif done:
        assert run(hangar, "work", "elt", "tach=405.0", "--by", ADA, "--text", "looked", on=done).code == 0
    entered(hangar, "2026-11-02-letter", letter)
    told = json.loads(run(hangar, "due", "elt", "--json", on="2026-11-24").out)
    (item,) = [each for each in told["items"] if each["check"] == "elt"]
    bars = authority.startswith("airworthiness")
    listed = " ".join(run(hangar, "directives", on="2026-11-24").out.split())
    assert ("DUE NOW: AD-12" in listed) is (done != "limited")
    if done == "limited":
        assert item["state"] == "soon"
        return
    assert item["state"] == "past-due"
    assert any("AD-12" in each["text"] or "elt" in each["text"] for each in told["stops"]) is bars
    if not done:
        assert "DUE NOW: AD-12: no record says that it was done, until it is done, or" in listed
        lines = " ".join(run(hangar, "due", "elt", on="2026-11-24").out.split())
        assert "AD-12 asks for it since 2026-11-01, and nothing says that" in lines


LATE = """kind: directive
date: 2026-11-02
number: AD-12
issuer: the authority
subject: cracks
authority: airworthiness directive
on: aircraft
issued: 2026-11-01
applies: "yes"
once: within 25 h
check: elt
by: Ada Bellcrank
"""


@pytest.mark.parametrize(
    ("by_amendment", "signed"), [("date=2026-11-05", False), ("date=2026-11-05", True), ("", False)]
)
def test_what_an_amendment_moves_behind_a_directive_complies_once_it_is_signed(
    run: Run, hangar: Path, page: Page, by_amendment: str, signed: bool
) -> None:
    """Done and sealed on 2026-10-20; issued on 2026-11-01; amended to 2026-11-05, and nobody signed that yet."""
    page("elt", "tach=405.0", on="2026-10-20")
    assert sign(run, hangar, on="2026-10-20").code == 0
    entered(hangar, "2026-11-02-letter", LATE)
    assert "it would be told too late" in run(hangar, "verify", on="2026-11-24").out
    if by_amendment:
        (work,) = hangar.glob("records/2026/2026-10-20-work-*.yaml")
        more = ("--reason", "it was done then", "--by", ADA, "--yes")
        made = run(hangar, "amend", work.stem, by_amendment, *more, on="2026-11-20")
        amendment = next(hangar.glob("records/2026/2026-11-20-amendment-*.yaml")).stem
        assert f"amended: date 2026-11-05 instead of 2026-10-20 ({amendment}" in " ".join(
            run(hangar, "directives", on="2026-11-24").out.split()
        ), made.err
    if signed:
        words = ("signature", amendment, "--ink", "log p. 4", "--as", ADA)
        run(hangar, *words, on="2026-11-21")
    told = " ".join(run(hangar, "directives", on="2026-11-24").out.split())
    state = json.loads(run(hangar, "directives", "--json", on="2026-11-24").out)["directives"][0]
    assert ("DUE NOW: AD-12" in told) is not signed
    assert (state["done"], state["due_state"] == "past-due") == (("2026-11-05", False) if signed else (None, True))
    assert bool(state["amended"]) is bool(by_amendment)
    assert ("it would be told too late" in run(hangar, "verify", on="2026-11-24").out) is not signed
    status = " ".join(run(hangar, "status", "--all", on="2026-11-24").out.split())
    assert ("done: 2026-11-05" in status) is signed


@pytest.mark.parametrize("words", ["no time", "ask mechanic", "do not know", "too expensive", "will look next year"])
@pytest.mark.parametrize("more", ["", "."])
def test_a_decision_that_says_that_there_was_none_is_none(run: Run, wren: Path, words: str, more: str) -> None:
    """Taken as the reason why an airworthiness directive does not apply it barred nothing."""
    said = ("directive", "AD-9", "--issuer", "authority", "--subject", "hub", "--authority", "airworthiness directive")
    words = f"no: {words}{more}"
    made = run(wren, *said, "--product", "propeller", "--applies", words, "--by", "Wilma Fieldfare", on="2026-11-24")
    assert made.code != 0 or any("AD-9" in each for each in undecided(run, wren)), made


def test_a_reason_that_names_no_thing_is_asked_once_and_noted(run: Run, wren: Path) -> None:
    """`complied with` says that it applies; by hand it stands as a note."""
    said = ("directive", "AD-9", "--issuer", "authority", "--subject", "hub", "--product", "propeller")
    words = (*said, "--authority", "AD", "--applies", "no: complied with", "--by", "Wilma Fieldfare")
    asked = run(wren, *words, on="2026-11-23")
    assert (asked.code, "of one that was done as it asks say yes, and when" in asked.err) == (2, True)
    assert run(wren, *words, "--yes", on="2026-11-23").code == 0
    assert "`complied with` does not say what of this product" in " ".join(run(wren, "verify", on=ON).out.split())
    # What is on record already is not asked again.
    again = ("directive", "AD-9", "--method", "read once more", "--by", "Wilma Fieldfare")
    assert run(wren, *again, on="2026-11-24").code == 0


@pytest.mark.parametrize(
    ("issued", "done_on", "told"),
    [
        ("2026-06-01", "2016-10-20", "2016-10-20 is before 2026-06-01, the day it was issued"),
        ("", "1999-10-20", "1999-10-20 is long before 2026-08-01, that of the certificate"),
        # While it was built.
        ("", "2018-10-20", ""),
        ("2016-06-01", "2016-10-20", ""),
        ("2026-06-01", "2026-06-01", ""),
        # A record of that day tells of work.
        ("2026-11-20", "2026-11-10", ""),
    ],
)
def test_done_before_it_was_issued_is_asked_once_and_noted(
    run: Run, wren: Path, issued: str, done_on: str, told: str
) -> None:
    """A year that slipped complied with what nobody had asked for yet."""
    entered(wren, "2026-11-10-hub", "kind: work\ndate: 2026-11-10\ntext: bolts renewed\nby: Wilma Fieldfare\n")
    said = ("directive", "AD-9", "--issuer", "authority", "--subject", "hub", "--authority", "AD", "--issued", issued)
    more = ("--product", "propeller", "--applies", "yes", "--once", "within 100 h", "--check", "", "--done", "renewed")
    words = (*said, *more, "--done-on", done_on, "--done-by", "Ann Wheatear, mechanic, 1234567")
    made = run(wren, *words, "--by", "Wilma Fieldfare", on="2026-11-23")
    assert (made.code, told in made.err) == (2 if told else 0, True)
    if told:
        assert run(wren, *words, "--by", "Wilma Fieldfare", "--yes", on="2026-11-23").code == 0
    noted = " ".join(run(wren, "verify", on=ON).out.split())
    assert (f"done-on: {told}" in noted, "done-on: " in noted) == (bool(told), bool(told))


@pytest.mark.parametrize("applies", ["yes", "no: another hub", "reviewed, voluntary"])
def test_what_was_decided_is_repeated_with_the_rest_on_its_product_alone(run: Run, wren: Path, applies: str) -> None:
    """Enter took the decision back, and with it the check and how often."""
    said = ("directive", "AD-9", "--issuer", "authority", "--subject", "hub", "--authority", "airworthiness directive")
    more = ("--every", "100 h", "--check", "magneto-left-inspection", "--previously-complied", "no")
    more = more if applies == "yes" else ()
    by = ("--by", "Wilma Fieldfare")
    made = run(wren, *said, "--product", "magneto-left", "--applies", applies, *more, *by, on="2026-11-23")
    again = run(wren, "directive", "AD-9", "--method", "looked with a mirror", *more[4:], *by, on="2026-11-24")
    other = run(wren, "directive", "AD-9", "--product", "propeller", *by, on="2026-11-24")
    assert (made.code, again.code, other.code) == (0, 0, 0), (made, again, other)
    told = [(wren / each.out.split()[0]).read_text(encoding="utf-8") for each in (made, again, other)]
    decided = [text[text.index("applies:") :].splitlines()[0] for text in told]
    assert decided[0] == decided[1]
    assert ("every: 100 h" in told[1]) is bool(more)
    assert decided[2] == "applies: not decided"


@pytest.mark.parametrize(
    ("authority", "applies", "text", "noted"),
    [
        ("AD", "reviewed, voluntary", "", True),
        ("AD", "reviewed, voluntary", "not needed", True),
        ("AD", "reviewed, voluntary", "for hubs of steel alone", False),
        ("AD", "yes", "", False),
        ("AD", "no: for hubs of steel alone", "", False),
        ("maker's letter", "reviewed, voluntary", "", False),
    ],
)
def test_one_that_binds_taken_as_voluntary_is_noted_until_it_is_decided_otherwise(
    run: Run, wren: Path, authority: str, applies: str, text: str, noted: bool
) -> None:
    """It barred nothing, wanted no reason, and nothing said so."""
    said = ("directive", "AD-9", "--issuer", "authority", "--subject", "hub", "--authority", authority)
    more = ("--product", "magneto-left", "--every", "100 h", "--check", "magneto-left-inspection")
    more = (*more, "--previously-complied", "no") if applies != "no: for hubs of steel alone" else more[:2]
    by = ("--by", "Wilma Fieldfare")
    before = run(wren, "verify", on="2026-11-24")
    made = run(wren, *said, *more, "--applies", applies, "--text", text, *by, on="2026-11-23")
    assert made.code == 0, made
    told = "an airworthiness directive binds wherever it applies, and as `reviewed, voluntary` AD-9 bars nothing"
    assert (told in " ".join(made.err.split())) is noted
    verified = run(wren, "verify", on="2026-11-24")
    assert (told in " ".join(verified.out.split())) is noted
    # A note, and no problem.
    assert verified.code == before.code
    assert not [each for each in undecided(run, wren) if "AD-9" in each]
    again = run(wren, "directive", "AD-9", *more[:2], "--applies", "no: for hubs of steel alone", *by, on="2026-11-24")
    assert again.code == 0, again
    assert told not in " ".join(run(wren, "verify", on="2026-11-24").out.split())


AT_ONCE = """kind: directive
date: 2026-09-05
number: AD-13
issuer: the authority
subject: cracks
authority: airworthiness directive
on: {on}
issued: 2026-09-01
applies: "yes"
{asks}
check: float
by: Ada Bellcrank
"""


def with_float(store: Path, lines: str) -> None:
    cowl = store / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text() + "".join(f"{line}\n" for line in ("- [ ] `float` Float", *lines.split(";"))))


@pytest.mark.parametrize(
    ("words", "at_once"),
    [
        ("before further flight", True),
        ("Before further flight.", True),
        ("immediately, before the next flight", True),
        ("prior to further flight", True),
        ("within 900 days", False),
        # By when nobody can read is no later than now.
        ("at next oil change", True),
        ("by the end of June 2026", True),
        ("within 25 h and before 2026-06-30", True),
        ("within 25 h or 3 months, whichever comes later", True),
    ],
)
def test_what_is_asked_before_flight_waits_for_no_limit_of_its_check(
    run: Run, hangar: Path, words: str, at_once: bool
) -> None:
    """It was due 85 h later, when the limit of the check ran out, and nothing said that the directive asks for it now.
    """
    with_float(hangar, "  - once: 2028-05-01")
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="aircraft", asks=f"once: {words}"))
    stops = [each["text"] for each in json.loads(run(hangar, "due", "--json").out)["stops"]]
    assert any("float" in each for each in stops) is at_once, stops
    assert ("DUE NOW: AD-13" in " ".join(run(hangar, "directives").out.split())) is at_once
    assert run(hangar, "work", "float", "tach=405.0", "--by", ADA, typed=("",) * 9).code == 0
    stops = [each["text"] for each in json.loads(run(hangar, "due", "--json").out)["stops"]]
    assert not any("float" in each for each in stops), stops


@pytest.mark.parametrize(
    "own", ["  - once: 100 h", "  - once: 2027-05-01", "  - life: 600 h;  - counts-on: propeller"]
)
def test_one_that_asks_again_and_again_of_what_comes_once_is_a_reason(run: Run, hangar: Path, own: str) -> None:
    """Every answer that rests on what is due ended as a fault of the program."""
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text() + "positions: {propeller: {}}\n")
    past = hangar / "records/2026/2026-09-01-past.yaml"
    past.write_text(past.read_text() + "fitted: {propeller: {serial: P-1, since-new: 18.4}}\n")
    with_float(hangar, own)
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="aircraft", asks="every: 50 h"))
    told = run(hangar, "due", "--json")
    assert "it would be told too late; correct it at" in " ".join(told.err.split())
    assert told.code == 3, told
    (stop,) = [each["text"] for each in json.loads(told.out)["stops"] if "AD-13" in each["text"]]
    assert "it asks every 50 h, and its check `float` only says when it comes once, or a life ends" in stop
    for command in ("directives", "status", "verify"):
        assert run(hangar, command).code != 4


@pytest.mark.parametrize(
    ("on", "wrong"),
    [("magneto-right", True), ("propeller", True), ("magneto-left", False), ("engine", False), ("aircraft", False)],
)
def test_a_check_of_another_part_is_no_check_of_a_directive(run: Run, hangar: Path, on: str, wrong: bool) -> None:
    """What was done to the left magneto complied with what asks for the right one."""
    aircraft = hangar / "records/aircraft.yaml"
    places = "engine: {}, propeller: {}, magneto-left: {on: engine}, magneto-right: {on: engine}"
    aircraft.write_text(f"{aircraft.read_text()}positions: {{{places}}}\n")
    with_float(hangar, "  - every: 100 h;  - counts-on: magneto-left")
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on=on, asks="every: 100 h"))
    told = run(hangar, "verify").out
    assert (f"counts on the part in magneto-left, and this is about {on}" in " ".join(told.split())) is wrong, told


def test_a_position_by_its_former_id_is_the_same_position(run: Run, hangar: Path) -> None:
    """A magneto on `motor`, which is to be called `engine` there, is on what a directive for the engine is about."""
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(
        f"{aircraft.read_text()}positions:\n  engine: {{was: motor}}\n  magneto-left: {{on: motor}}\n"
    )
    with_float(hangar, "  - every: 100 h;  - counts-on: magneto-left")
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="engine", asks="every: 100 h"))
    told = run(hangar, "verify")
    assert "counts on the part in" not in " ".join((told.out + told.err).split()), told


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("within 25 h", "within 25 h"),
        ("within 25 hours", "within 25 h"),
        ("within 25 hrs TIS", "within 25 h"),
        ("Within the next 25 hours time in service.", "within 25 h"),
        ("within 25 hours time-in-service after the effective date of this directive", "within 25 h"),
        ("within 25 h after 2026-09-01", "within 25 h"),
        ("within 25 flight hours or 3 months, whichever comes first", "within 25 h and within 3 months of 2026-09-01"),
        ("at or before 525 h total time", "within 525 h"),
        ("within 30 days", "within 30 days of 2026-09-01"),
        ("within 1000 days", ""),
        ("within 3 months of the issue date", "within 3 months of 2026-09-01"),
        ("at next oil change", "not read"),
        ("by 30.06.2026", "not read"),
    ],
)
def test_what_a_directive_asks_once_is_compared_in_its_own_words(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch, words: str, asked: str
) -> None:
    """One letter made it words that nothing compares: `within 25 hours`."""
    monkeypatch.setenv("COLUMNS", "300")
    with_float(hangar, "  - once: 2028-05-01")
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="aircraft", asks=f"once: {words}"))
    told = " ".join(run(hangar, "verify").out.split())
    unread = f"by when `{words}` asks for it cannot be read, so that `float` is due now; write `within 25 h`,"
    compared = asked not in ("", "not read")
    assert (f"asks for it once {asked}, and `float` comes once, by 2028-05-01" in told) is compared
    assert (unread in told, "cannot be read" in told) == (asked == "not read", asked == "not read")
    assert run(hangar, "work", "float", "tach=405.0", "--by", ADA, typed=("",) * 9).code == 0
    told = " ".join(run(hangar, "verify").out.split())
    assert "cannot be read" not in told
    assert "asks for it once" not in told


@pytest.mark.parametrize("line", ["once: 25 h", "once: 2027-05-31", "counts-on: propeller\n  - life: 600 h"])
def test_a_check_that_ends_while_its_directive_goes_on_stops_no_command(run: Run, wren: Path, line: str) -> None:
    """Its interval was made a `once`, and the directive was left: whatever asks what is due ended as a fault."""
    cowling = wren / "checklists/nose/cowling.md"
    head, item, rest = cowling.read_text().partition("- [ ] `fuel-pump-diaphragm`")
    cowling.write_text(head + item + rest.replace("  - every: 25 h\n  - grace: 5 h\n", f"  - {line}\n", 1))
    for words in (
        *(["due", "--all"], ["directives"], ["status"], ["verify"], ["plan", "condition"], ["visits"]),
        *(["calendar"], ["parts"], ["hours", "tach=24.5"]),
        ["start", "condition", "tach=24.6", "--by", "Wilma Fieldfare"],
    ):
        told = run(wren, *words, on=ON)
        assert told.code != 4, (words, told)
        assert "a fault of the program" not in told.err
        if words[0] in ("due", "directives", "verify"):
            assert "asks for it every 25 h, and `fuel-pump-diaphragm` comes" in " ".join(told.err.split()), words
    items = json.loads(run(wren, "due", "--all", "--json", on=ON).out)["items"]
    (item,) = [each for each in items if each["check"] == "fuel-pump-diaphragm"]
    assert item["due"]["total"] is not None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("airworthiness directive", "maker's letter"),
        ("applies: \"yes\"", "applies: reviewed, voluntary"),
        ("check: float", "check: float\ndone-on: 2026-09-02\ndone: float exchanged\ndone-by: Ada Bellcrank"),
        ("once: at next oil change", "once: at the next condition inspection"),
    ],
)
def test_by_when_nobody_can_read_is_no_matter_where_nothing_waits_for_it(
    run: Run, hangar: Path, old: str, new: str
) -> None:
    """A letter binds nobody, what was done for good is done, and its check comes with the inspection that it names."""
    with_float(hangar, "  - every: condition inspection" if "inspection" in new else "  - once: 2028-05-01")
    text = AT_ONCE.format(on="aircraft", asks="once: at next oil change")
    assert old in text
    entered(hangar, "2026-09-05-ad", text.replace(old, new))
    assert "cannot be read" not in run(hangar, "verify").out
    if "inspection" not in new:
        assert "DUE NOW" not in run(hangar, "directives").out


def test_why_it_is_due_now_stands_in_its_arithmetic(run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "300")
    with_float(hangar, "  - once: 2028-05-01")
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="aircraft", asks="once: at next oil change"))
    lines = " ".join(run(hangar, "due", "float").out.split())
    why = "nothing says that it was done, and by when `at next oil change` asks for it cannot be read: due now"
    assert f"AD-13 asks for it since 2026-09-01, and {why}" in lines, lines


@pytest.mark.parametrize(
    ("issued", "words", "since"),
    [
        ("2026-01-15", "within 30 days of 2026-01-15", "2026-01-15"),
        ("2026-01-15", "within 30 days", "2026-01-15"),
        ("2026-01-15", "within 30 days after the effective date", "2026-01-15"),
        ("2026-01-15", "within 6 months of the issue date", "2026-01-15"),
        ("2026-01-15", "within 25 h or 6 months after 2026-05-01, whichever is first", "2026-05-01"),
        # Entered anew it counts from the decision before.
        ("", "within 6 months", "2026-05-05"),
        # As that day says, and not as it was issued.
        ("2026-01-15", "within 90 days after 2026-11-01", ""),
        ("2026-11-01", "within 90 days", ""),
    ],
)
def test_a_time_is_counted_from_its_own_day_and_never_from_a_decision(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch, issued: str, words: str, since: str
) -> None:
    """A check of December kept to 30 days of January, as somebody decided on it in November."""
    monkeypatch.setenv("COLUMNS", "300")
    with_float(hangar, "  - once: 2026-12-15")
    day = f"issued: {issued}\n" if issued else ""
    text = AT_ONCE.format(on="aircraft", asks=f"once: {words}").replace("issued: 2026-09-01\n", day)
    if not issued:
        entered(hangar, "2026-05-05-ad", text.replace("2026-09-05", "2026-05-05"))
    entered(hangar, "2026-11-20-ad", text.replace("2026-09-05", "2026-11-20"))
    told = " ".join(run(hangar, "verify").out.split())
    assert (f" of {since}, and `float` comes once, by 2026-12-15" in told) is bool(since), told
    assert ("told too late" in told) is bool(since), told
    if since and "h or" not in words:
        # The day that is advised is the last one.
        day = re.search(r"write `(once: [0-9-]+)`", told)
        assert day is not None, told
        cowl = hangar / "checklists/nose/cowl.md"
        cowl.write_text(cowl.read_text().replace("once: 2026-12-15", day[1]))
        assert "told too late" not in run(hangar, "verify").out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("within 25 h or at the next condition inspection, whichever is first", "asks for it once within 25 h, and"),
        ("within 25 h, or at the next annual inspection, whichever comes first", "asks for it once within 25 h, and"),
        ("at the next condition inspection or within 25 hours TIS", "asks for it once within 25 h, and"),
        ("by 2026-12-31 or at the next condition inspection", "asks for it once by 2026-12-31, and"),
        ("within 500 h or at the next condition inspection", ""),
        ("at the next condition inspection", ""),
        ("at the next scheduled condition inspection.", ""),
        ("at each annual inspection", ""),
        ("within 25 h after inspection of the log", "cannot be read"),
        ("at the next 100-hour inspection", "cannot be read"),
        ("within 25 h after the effective date or at next oil change", "cannot be read"),
        ("at the next condition inspection or oil change", "or `at the next condition inspection` alone"),
    ],
)
def test_beside_an_inspection_the_rest_is_compared(
    run: Run, hangar: Path, monkeypatch: pytest.MonkeyPatch, words: str, told: str
) -> None:
    """`within 25 h or at the next condition inspection` was compared with nothing, for the word inspection."""
    monkeypatch.setenv("COLUMNS", "400")
    with_float(hangar, "  - every: condition inspection or 500 h")
    entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="aircraft", asks=f"once: {words}"))
    found = " ".join(run(hangar, "verify").out.split())
    assert told in found
    assert ("once: " in found) is bool(told), found


class TestDoneAlreadyAsItAsks:
    """A directive entered after the fact was refused as told too late: `do it by then`, which had been done."""

    AD = ("directive", "AD-13", "--issuer", "the authority", "--subject", "cracks", "--authority")
    ASKS = ("--revision", "", "--product", "aircraft", "--applies", "yes", "--every", "", "--once", "within 25 h")
    REST = ("--check", "float", "--method", "mirror", "--grace", "", "--by", ADA)

    def made(self, run: Run, store: Path, issued: str, *more: str) -> str:
        words = (*self.AD, "airworthiness directive", "--issued", issued, *self.ASKS, *self.REST, *more)
        told = run(store, *words, on="2026-11-20")
        assert told.code == 0, told.err
        assert "told too late" not in " ".join(run(store, "verify").out.split())
        return " ".join(run(store, "directives").out.split())

    def test_by_work_before_it_that_somebody_vouches_for(self, run: Run, hangar: Path) -> None:
        with_float(hangar, "  - every: 100 h")
        work = "kind: work\ndate: 2026-11-06\nmeters: {tach: 405.0}\ndid: [float]\n"
        entered(hangar, "2026-11-06-w", f"{work}by: Ada Bellcrank\n")
        assert "DUE NOW" not in self.made(run, hangar, "2026-11-08", "--previously-complied", "yes")

    def test_by_an_entry_on_paper_after_it(self, run: Run, hangar: Path) -> None:
        with_float(hangar, "  - every: 100 h")
        paper = "kind: paper-entry\ndate: 2026-11-10\npaper: log 1 p. 7\ntext: Float looked at.\ndid: [float]\n"
        entered(hangar, "2026-11-10-p", f"{paper}by: Ada Bellcrank\ntotals: {{tach: 656.0}}\n")
        assert "DUE NOW" not in self.made(run, hangar, "2026-11-08")

    @pytest.mark.parametrize(
        "done",
        ["", "\ndone-on: 2026-09-02", "\ndone-on: 2026-09-02\ndone: not yet corrected\ndone-by: Ada Bellcrank"],
    )
    def test_not_where_nothing_says_that_it_was(self, run: Run, hangar: Path, done: str) -> None:
        with_float(hangar, "  - every: 100 h")
        asks = f"once: within 25 h{done}"
        entered(hangar, "2026-09-05-ad", AT_ONCE.format(on="aircraft", asks=asks))
        assert "told too late" in " ".join(run(hangar, "verify").out.split())


class TestWorkOnThePartBefore:
    """Work on the magneto that was taken out was compliance of the one that came for it."""

    AD = ("directive", "AD-13", "--issuer", "the authority", "--subject", "cracks", "--authority")
    ASKS = ("--issued", "2026-09-02", "--revision", "", "--product", "magneto-left", "--applies", "yes", "--every", "")
    REST = ("--once", "before further flight", "--check", "float", "--method", "mirror", "--grace", "")

    def changed(self, hangar: Path) -> None:
        aircraft = hangar / "records/aircraft.yaml"
        aircraft.write_text(f"{aircraft.read_text()}positions: {{magneto-left: {{}}}}\n")
        with_float(hangar, "  - every: 100 h")
        for day, what in (("2026-09-02", "A1"), ("2026-10-02", "A2")):
            part = f"kind: installed\ndate: {day}\nposition: magneto-left\nserial: {what}\npart: Makers M\n"
            entered(hangar, f"{day}-in", f"{part}meters: {{tach: 405.0}}\n")
        out = "kind: removed\ndate: 2026-10-02\nposition: magneto-left\nserial: A1\nwhere: bench\n"
        entered(hangar, "2026-10-02-a-out", f"{out}meters: {{tach: 405.0}}\n")
        work = "kind: work\ndate: 2026-09-20\nmeters: {tach: 405.0}\ndid: [float]\nby: Ada Bellcrank\n"
        entered(hangar, "2026-09-20-w", work)

    def decide(self, run: Run, hangar: Path, *more: str, typed: tuple[str, ...] = ()) -> tuple[int, str]:
        words = (*self.AD, "airworthiness directive", *self.ASKS, *self.REST, "--by", ADA, *more)
        told = run(hangar, *words, typed=typed)
        return told.code, " ".join(told.err.split())

    def test_a_no_leaves_it_due_now(self, run: Run, hangar: Path) -> None:
        self.changed(hangar)
        code, said = self.decide(run, hangar, typed=("no",))
        assert (code, "magneto-left came after the work of 2026-09-20 (2026-09-20-w), or may have" in said) == (0, True)
        page = " ".join(run(hangar, "directives").out.split())
        assert "was done before serial A2 was in magneto-left, or may have been: it complies with nothing" in page
        assert run(hangar, "due").code == 0
        stops = [each["text"] for each in json.loads(run(hangar, "due", "--json").out)["stops"]]
        assert any("float" in each for each in stops), stops

    def test_a_yes_says_when_and_by_whom(self, run: Run, hangar: Path) -> None:
        self.changed(hangar)
        assert self.decide(run, hangar, typed=("yes", "2026-09-25", "Bench Shop, repair station, R1"))[0] == 0
        found = listed(run, hangar, "2026-11-25")["AD-13", "magneto-left"]
        assert (found["done"], found["done_by"]) == ("2026-09-25", "Bench Shop, repair station, R1")
        assert "DUE NOW" not in run(hangar, "directives").out

    def test_told_with_its_day_it_asks_nothing(self, run: Run, hangar: Path) -> None:
        self.changed(hangar)
        done = ("--done-on", "2026-09-25", "--done", "as it asks", "--done-by", "Bench Shop, repair station, R1")
        code, said = self.decide(run, hangar, *done)
        assert (code, "came after" in said) == (0, False), said
        assert listed(run, hangar, "2026-11-25")["AD-13", "magneto-left"]["done"] == "2026-09-25"
