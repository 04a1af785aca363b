"""What `verify` names as wrong in a file that can still be mended is a reason not to fly, whatever its words were."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit.cli.desk import Desk
from inspect_kit.due import due
from inspect_kit.due.answer import LATER, UNKNOWN
from tests.audit.conftest import SMALL, files_of

RECORD = "records/2026/2026-06-03-x-a9.yaml"
HEAD = "format: 1\ndate: 2026-06-03\nby: Ada Bellcrank\n"
WORK = f"{HEAD}kind: work\ntext: looked at it\n"
REASON = f"{RECORD} is not in order"


def reasons(folder: Path, name: str, text: str) -> list[str]:
    """The reasons not to fly on 2026-06-05 that one file more makes, or one in the place of the small store's own."""

    def asked() -> set[str]:
        desk = Desk(folder=folder, given_on=None, today=dt.date(2026, 6, 5))
        return {stop.text for stop in due(desk.logbook(), desk.on).stops}

    for own, data in files_of(SMALL.read_text(encoding="utf-8")).items():
        (folder / own).parent.mkdir(parents=True, exist_ok=True)
        (folder / own).write_text(data, encoding="utf-8")
    before = asked()
    old = (folder / name).read_text(encoding="utf-8") if (folder / name).exists() else ""
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(old + text, encoding="utf-8")
    return sorted(asked() - before)


@pytest.mark.parametrize(
    "text",
    [
        # A finding that hides behind its key, its form or its date.
        WORK + "finding: {F1: {found: crack, fix: before flight}}\n",
        WORK + "findings: {F1: crack}\n",
        WORK + "findings: [{found: crack, fix: before flight}]\n",
        WORK + "findings: crack\n",
        WORK + "found: crack\n",
        WORK + "findings: {F1: {panel: cowl, found: , fix: before flight}}\n",
        f"{HEAD}kind: finding\nfound: crack\npanel: cowl\nfix: before flight\ncleared: 2027-06-02 replaced\n",
        f"{HEAD}kind: finding\nfound: crack\npanel: cowl\nfix: by 2062-13-01\n",
        f"{HEAD}kind: finding\nfound: crack\npanel: cowl\nmay wait because: small one\nfix: by 50000 h\n",
        # What is to be looked at again, was disturbed, or is to be flown.
        WORK + "results: {oil-change: {answer: done, recheck: 5O h}}\n",
        WORK + "results: {oil-chnge: {answer: done, recheck: {every: 0.1 h}, notes: [hairline]}}\n",
        WORK + "disturbed: flight controls\n",
        WORK + "disturbed: [static-systm]\n",
        WORK + "disturbs: [static-system]\n",
        WORK + "opened: [cowll]\n",
        WORK + "flight-check: Required\n",
        # A part that went out, or came in, under words that say something else.
        f"{HEAD}kind: removed\nposition: magneto-lft\nserial: M-77\n",
        f"{HEAD}kind: installed\nposition: magneto-left\nserial: M-91\nsince-new: O\n",
        # A signature, an amendment and a closing of something that is not there.
        f"{HEAD}kind: signature\nof: 2026-06-02-nothing-a9\nink: aircraft log p. 5\n",
        f"{HEAD}kind: amendment\nof: 2026-06-02-nothing-a9\ntext: wrong\n",
        f"{HEAD}kind: phase\ncloses: flight-tst\nstatement: all is well\n",
        # What else has a meter, a finding or a flight check in a record that does not come round by itself.
        f"{HEAD}kind: stock\nitem: filter\namount: 2\nmeters: {{tach: 40}}\n",
        f"{HEAD}kind: stock\nitem: filter\namount: 2\nfound: crack\nfix: before flight\n",
        f"{HEAD}kind: equipment\nchange: in\nitem: radio\nweight: 2 lb\narm: 20 in\nflight-chek: required\n",
        # Hours that nobody can have flown.
        f"{HEAD}kind: hours\nmeters: {{tach: 4O2}}\n",
    ],
)
def test_a_record_under_a_problem_is_a_reason(tmp_path: Path, text: str) -> None:
    assert any(told.startswith((REASON, f"nothing of {RECORD} is read")) for told in reasons(tmp_path, RECORD, text))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("records/aircraft.yaml", "flight-check-afer: [propeller]\n"),
        ("checklists/nose/cowl.md", "- [ ] `prop-nut` Propeller nut\n  - bars: fligt\n  - every: 10 h\n"),
        ("records/2026/2026-06-03-x-a9.yaml.txt", WORK + "findings: {F1: {found: crack, fix: before flight}}\n"),
    ],
)
def test_any_other_file_under_a_problem_is_one(tmp_path: Path, name: str, text: str) -> None:
    assert any(told.startswith(f"{name} is not in order") for told in reasons(tmp_path, name, text))


def test_a_slip_in_a_balance_is_none_and_one_below_it_is(tmp_path: Path) -> None:
    balance = "balance: {units: [lb, in], datum: x, limits: {forward: 90 in, aft: 19 in}}\n"
    assert not reasons(tmp_path, "records/aircraft.yaml", balance)
    (told,) = reasons(tmp_path, "records/aircraft.yaml", f"{balance}flight-check-afer: [propeller]\n")
    assert "flight-check-afer" in told
    assert "more" not in told


def test_a_record_in_order_is_none(tmp_path: Path) -> None:
    assert not reasons(tmp_path, RECORD, WORK)


def test_of_many_files_the_first_are_named_and_the_others_counted(tmp_path: Path) -> None:
    for number in range(4):
        reasons(tmp_path, f"records/2026/2026-06-03-x-a{number}.yaml", WORK + "found: crack\n")
    told = reasons(tmp_path, RECORD, WORK + "found: crack\n")
    assert told == ["2 more files are not in order: inspect-kit verify"]


TUBES = "checklists/nose/tubes.md"
DONE = "did: [static-leak]\nmeters: {tach: 412.7}\n"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        *((RECORD, WORK + line) for line in ("disturbed: static system\n", "disturbed:\n- static-systm\n")),
        *((RECORD, WORK + line) for line in ("disturbs: [static-system]\n", "opened: [cowll]\n", "did: [oil-chnge]\n")),
        (RECORD, WORK + "results: {oil-change: {answer: done, disturbed: [Static-system]}}\n"),
        *(
            (TUBES, f"---\npanel: tubes\nname: T\nzone: nose\n{front}---\n- [ ] `tube` Tube\n{line}\n")
            for front, line in (
                *(("", f"  - {each}") for each in ("disturbs: static-systm", "disturb: static-system")),
                ("", "  - disturbs: ____"),
                *(("", f"  - {each}") for each in ("distrubs: static-system", "disturbs static-system", "disturbs:")),
                ("", "  - tools: none; disturbs: static-system"),
                ("remove: 5 min\nrefit: 5 min\ndisturbs: [static systm]\n", "  - every: condition inspection"),
            )
        ),
    ],
)
def test_what_may_be_owed_by_a_line_that_is_wrong_is_unknown(tmp_path: Path, name: str, text: str) -> None:
    done = HEAD.replace("06-03", "05-20") + "kind: work\ntext: tubes\n" + DONE

    def state() -> str:
        desk = Desk(folder=tmp_path, given_on=None, today=dt.date(2026, 6, 5))
        item = due(desk.logbook(), desk.on).item("static-leak")
        assert item is not None
        return item.state

    reasons(tmp_path, "records/2026/2026-05-20-leak-a8.yaml", done)
    assert state() == LATER
    reasons(tmp_path, name, text)
    assert state() == UNKNOWN
