"""The past, as typed: what cannot be is refused, what may be a slip of the finger is asked, and history agrees."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import PAST, Run

NEW = {
    **{"registration": "N0XX", "make": "Sparrow", "model": "S-1", "serial": "0042", "certificate-date": "2019-05-17"},
    **{"name": "Ada Bellcrank", "kind": "repairman", "certificate": "0000001", "tach": "400.0", "total": "655.5"},
    **{"last-inspection": "2025-12-13", "last-total": "620.0", "last-paper": "aircraft log p. 31"},
}


def options(**said: str) -> list[str]:
    given = NEW | {key.replace("_", "-"): value for key, value in said.items()}
    return [word for key, value in given.items() for word in (f"--{key}", value)]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"certificate_date": "2026-11-26"}, "Date of the airworthiness certificate: 2026-11-26 is in the future"),
        ({"last_inspection": "2026-11-26"}, "Date of the last condition inspection: 2026-11-26 is in the future"),
        ({"last_total": "655.6"}, "Total time then: 655.6 is above the total today, 655.5"),
        ({"total": "=", "last_total": "400.1"}, "Total time then: 400.1 is above the total today, 400.0"),
        (
            {"last_inspection": "2018-05-16"},
            "inspection: 2018-05-16 is more than 12 months before the date of the certificate, 2019-05-17",
        ),
    ],
)
def test_a_new_store_with_a_past_that_cannot_be_is_refused(
    said: dict[str, str], message: str, run: Run, tmp_path: Path
) -> None:
    made = run(None, "new", str(tmp_path / "plane"), *options(**said))
    assert made.code == 2
    assert message in made.err
    assert not (tmp_path / "plane").exists()


@pytest.mark.parametrize(("inspected", "answer", "code"), [("2018-05-17", "y", 0), ("2019-05-16", "n", 2)])
def test_an_inspection_in_the_year_before_the_certificate_is_asked_back(
    inspected: str, answer: str, code: int, run: Run, tmp_path: Path
) -> None:
    made = run(None, "new", str(tmp_path / "plane"), *options(last_inspection=inspected), typed=(answer,))
    told = f"last condition inspection: {inspected} is before the date of the certificate, 2019-05-17. Is it right?"
    assert told in " ".join(made.err.split())
    assert made.code == code
    assert (tmp_path / "plane").exists() == (code == 0)
    if code == 0:
        assert run(tmp_path / "plane", "verify").code == 0


def test_who_mistypes_in_a_long_talk_is_asked_again(run: Run, tmp_path: Path) -> None:
    typed = [*list(NEW.values())[:4], "2026-13-01", "2027-01-01", *list(NEW.values())[4:]]
    made = run(None, "new", str(tmp_path / "plane"), typed=tuple(typed))
    assert made.code == 0, made.err
    assert "2027-01-01 is in the future" in made.err
    assert run(tmp_path / "plane", "verify").code == 0


def entries(store: Path) -> list[str]:
    return sorted(path.name for path in store.rglob("records/**/*.*"))


def test_what_is_written_down_before_a_meter_was_changed_is_judged_by_the_old_meter(run: Run, hangar: Path) -> None:
    assert run(hangar, "hours", "tach=402.0", on="2026-11-18").code == 0
    changed = ("meter", "tach", "--old", "402.5", "--new", "0", "--unrecorded", "20", "--how-known", "journey log")
    assert run(hangar, *changed, "--by", "Ada Bellcrank", on="2026-11-20").code == 0
    later = run(hangar, "work", "stacks", "tach=402.0", "--by", "Ada Bellcrank", on="2026-11-18")
    assert later.code == 0, later.err
    assert "Is it right?" not in later.err


COMMANDS = [("hours",), ("start", "condition"), ("work", "oil", "--used", "none", "--by", "Ada Bellcrank")]


@pytest.mark.parametrize("command", COMMANDS)
def test_a_reading_many_times_the_usual_use_is_asked_back(command: tuple[str, ...], run: Run, hangar: Path) -> None:
    assert run(hangar, "hours", "tach=401.0", on="2026-11-19").code == 0
    before = entries(hangar)
    question = "tach 437.0 is 36.0 h more than 401.0 on 2026-11-19; usual in 6 days is"
    for typed in ((), ("n",), ("",)):
        refused = run(hangar, *command, "tach=437.0", typed=typed, on="2026-11-25")
        assert refused.code == 2
        assert question in " ".join(refused.err.split())
        assert "nothing was written; --yes takes it as it is" in refused.err
        assert entries(hangar) == before
    assert run(hangar, *command, "tach=437.0", typed=("y",), on="2026-11-25").code == 0
    assert len(entries(hangar)) == len(before) + 1


def test_yes_takes_a_reading_as_it_is_and_a_usual_one_is_not_asked(run: Run, hangar: Path) -> None:
    usual = run(hangar, "hours", "tach=406.5", on="2026-10-01")
    assert (usual.code, "Is it right" in usual.err) == (0, False)
    assert run(hangar, "hours", "tach=456.5", "--yes", on="2026-10-02").code == 2  # More hours than two days have.
    assert run(hangar, "hours", "tach=446.5", "--yes", on="2026-10-02").code == 0


@pytest.mark.parametrize("command", COMMANDS)
def test_a_lower_reading_is_refused_and_one_of_the_same_day_is_asked(
    command: tuple[str, ...], run: Run, hangar: Path
) -> None:
    assert run(hangar, "hours", "tach=405.0", on="2026-10-03").code == 0
    before = entries(hangar)
    refused = run(hangar, *command, "tach=404.9", "--yes", on="2026-10-04")
    assert refused.code == 2
    assert "tach reads 404.9 on 2026-10-04, lower than 405.0 on 2026-10-03" in " ".join(refused.err.split())
    asked = run(hangar, *command, "tach=404.9", on="2026-10-03")
    assert asked.code == 2
    assert "Was it read earlier that day?" in " ".join(asked.err.split())
    assert entries(hangar) == before
    assert run(hangar, *command, "tach=404.9", typed=("y",), on="2026-10-03").code == 0
    assert len(entries(hangar)) == len(before) + 1


def test_records_older_than_what_was_brought_forward_are_history(run: Run, hangar: Path) -> None:
    older = "format: 1\nkind: work\ndate: 2026-06-01\nmeters: {tach: 390.0}\ndid: [oil]\nby: Ada Bellcrank\n"
    (hangar / "records/2026/2026-06-01-oil.yaml").write_text(older, encoding="utf-8")
    assert run(hangar, "verify").err == ""
    (hangar / "records/2026/2026-06-01-oil.yaml").write_text(older.replace("06-01", "08-20"), encoding="utf-8")
    (hangar / "records/2026/2026-06-01-oil.yaml").rename(hangar / "records/2026/2026-08-20-oil.yaml")
    told = " ".join(run(hangar, "verify").err.split())
    assert "oil: last done 2026-08-02, but done on 2026-08-20 as well" in told
    assert "oil on 2026-08-02: tach 650.0 is above the total on 2026-08-20, 645.5" in told


def test_what_cannot_be_is_named_by_verify_in_a_record_and_a_certificate(run: Run, hangar: Path) -> None:
    record = hangar / "records/2026/2026-09-01-past.yaml"
    record.write_text(PAST.replace("2026-08-02, tach: 650.0", "2026-09-02, tach: 655.6"), encoding="utf-8")
    aircraft = hangar / "records/aircraft.yaml"
    aircraft.write_text(aircraft.read_text(encoding="utf-8").replace("2020-05-01", "2026-12-01"), encoding="utf-8")
    told = " ".join(run(hangar, "verify").err.split())
    assert "oil: 2026-09-02 is after 2026-09-01, when the past was brought forward" in told
    assert "oil: tach 655.6 is above the total today, 655.5" in told
    assert "certificate-date: 2026-12-01 is in the future" in told


def test_history_and_due_say_the_same_of_a_past_brought_forward(run: Run, hangar: Path) -> None:
    record = hangar / "records/2026/2026-09-01-past.yaml"
    positions = "time-in-service: tach\npositions: {magneto: {}, hose: {}}\n"
    aircraft = hangar / "records/aircraft.yaml"
    text = aircraft.read_text(encoding="utf-8").replace("time-in-service: tach\n", positions)
    aircraft.write_text(text, encoding="utf-8")
    fitted = "  magneto-inside: {date: 2024-11-02, tach: 500.0, paper: engine log p. 8}\n"
    fitted += "fitted:\n  magneto: {serial: M1, since-new: 300.0, made: 2018-03-01, fitted-on: 2019-01-05}\n"
    fitted += "  hose: {serial: H1}\n"
    record.write_text(PAST + fitted, encoding="utf-8")
    cowl = hangar / "checklists/nose/cowl.md"
    more = "- [ ] `magneto-inside` Magneto, inside\n  - every: 500 h\n  - counts-on: magneto\n"
    more += "- [ ] `hose-life` Hose\n  - life: 5 years\n  - counts-on: hose\n"
    cowl.write_text(cowl.read_text(encoding="utf-8") + more, encoding="utf-8")
    assert run(hangar, "verify").err == ""
    items = {item["check"]: item for item in json.loads(run(hangar, "due", "--json").out)["items"]}
    assert items["magneto-inside"]["last"]["date"] == "2024-11-02"
    assert items["magneto-inside"]["due"]["total"] == 1000.0
    assert items["hose-life"]["state"] == "unknown"
    for asked, lead in (("magneto-inside", ""), ("magneto", "Magneto, inside (magneto-inside): ")):
        events = json.loads(run(hangar, "history", asked, "--json").out)["events"]
        done = next(event for event in events if "last done" in event["what"])
        assert (done["date"], done["total"]) == ("2024-11-02", 500.0)
        assert done["what"] == f"brought forward: {lead}last done; engine log p. 8"
    magneto = " ".join(run(hangar, "history", "magneto", "--all").out.split())
    assert "first fitted 2019-01-05" in magneto
    assert "made 2018-03-01" in magneto
    assert "installed" not in magneto
    # Its own hours are those that were told with it, and what was flown since: 300.0 + 5.0.
    assert run(hangar, "hours", "tach=405.0", on="2026-11-20").code == 0
    assert "305.0 h" in run(hangar, "status", "--all").out
    assert "first fitting not on record" in " ".join(run(hangar, "history", "hose").out.split())
    # Neither says that the hose was fitted on the day on which it was typed.
    lines = json.dumps(json.loads(run(hangar, "due", "hose-life", "--json").out))
    assert "brought forward, fitted before records began" in lines


def test_a_first_reading_of_nothing_is_the_beginning_whatever_was_brought_forward(run: Run, hangar: Path) -> None:
    """README: from the certificate date, if the first reading on record is a total of 0."""
    past = PAST.replace("655.5", "400.0").replace("620.0", "380.0").replace("650.0", "395.0")
    (hangar / "records/2026/2026-09-01-past.yaml").write_text(past, encoding="utf-8")
    cowl = hangar / "checklists/nose/cowl.md"
    cowl.write_text(cowl.read_text(encoding="utf-8") + "- [ ] `tyre` Tyre\n  - every: 1000 h\n", encoding="utf-8")
    items = {item["check"]: item for item in json.loads(run(hangar, "due", "--json").out)["items"]}
    assert items["tyre"]["state"] == "unknown"
    # The first row of a paper logbook ticks nothing: what it does not tell is no "never done".
    table = hangar.parent / "log.csv"
    table.write_text("Date,Tach,Done\n2020-05-01,0,first flight\n", encoding="utf-8")
    assert run(hangar, "import", str(table), typed=("", "", "", "log", "yes", "yes")).code == 0
    items = {item["check"]: item for item in json.loads(run(hangar, "due", "--json").out)["items"]}
    assert items["tyre"]["state"] == "unknown"
    assert run(hangar, "hours", "tach=0", on="2020-05-01").code == 0
    items = {item["check"]: item for item in json.loads(run(hangar, "due", "--json").out)["items"]}
    assert items["tyre"]["due"]["total"] == 1000.0
