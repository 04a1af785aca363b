"""What cannot be read of a record, or of a checklist, and may be a reason not to fly, is one."""

from collections.abc import Callable
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.audit import audit
from inspect_kit.due import due
from tests.audit.conftest import SMALL, files_of
from tests.due.small import on

Answered = Callable[[str, bytes], list[str]]
DIRECTIVE = """\
format: 1
kind: directive
date: 2026-06-03
number: AD-1
issuer: X
subject: Y
authority: airworthiness directive
on: magneto-left
by: Ada Bellcrank
"""
CHANGE = "format: 1\nkind: change\ndate: 2026-06-03\nwhat: exhaust\nasked: the FSDO\n"


@pytest.fixture
def answered(tmp_path: Path) -> Answered:
    """answered(file, data) gives the reasons not to fly, and what bars passengers, that this file alone makes."""

    def asked() -> list[str]:
        read = store.load(tmp_path).logbook
        assert read is not None
        # As a command has it: with what contradicts itself.
        book = read.with_same_records(problems=(*read.problems, *audit(read)))
        answer = due(book, on("2026-06-05"))
        return [stop.text for stop in answer.stops] + [each.why for each in answer.not_to_be_used]

    def make(name: str, data: bytes) -> list[str]:
        for own, text in files_of(SMALL.read_text(encoding="utf-8")).items():
            (tmp_path / own).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / own).write_text(text, encoding="utf-8")
        before = asked()
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
        return [told for told in asked() if told not in before]

    return make


@pytest.mark.parametrize(
    "text",
    [
        "format: 1\nkind: finding\ndate: 2026-06-03\nfound: crack\n\tfix: before flight\n",
        "format: 1\nkind: finding\ndate: 2026-06-03\nfix: before flight\npanel: cowl\n",
        "format: 1\nkind: finding\ndate: 2026-13-03\nfound: crack\nfix: before flight\npanel: cowl\n",
        "format: 1\nkind: fnding\ndate: 2026-06-03\nfound: crack\nfix: before flight\npanel: cowl\n",
        "format: 1\ndate: 2026-06-03\nfound: crack\n",
        DIRECTIVE.replace("number: AD-1\n", ""),
        CHANGE.replace("what: exhaust\n", "answer: major\n"),
        "",
        "\xff\xfe\x00",
    ],
)
def test_a_record_of_which_nothing_is_read(answered: Answered, text: str) -> None:
    name = "records/2026/2026-06-03-x-a9.yaml"
    assert answered(name, text.encode("latin-1")) == [f"nothing of {name} is read"]


def test_a_record_that_gives_way_to_one_of_its_name(answered: Answered) -> None:
    crack = "format: 1\nkind: finding\ndate: 2026-06-03\nfound: crack\nfix: before flight\npanel: cowl\n"
    one, other = "records/2026/2026-06-03-x-a9.yaml", "records/2026/sub/2026-06-03-x-a9.yaml"
    assert answered(one, crack.encode()) == ["to fix before flight: crack (2026-06-03-x-a9#F1)"]
    assert f"nothing of {one} is read" in answered(other, crack.encode())


def test_a_check_whose_id_another_has_is_unknown_and_bars_what_either_bars(answered: Answered) -> None:
    twin = b"---\npanel: two\nname: Two\nzone: tail\n---\n- [ ] `oil-change` Oil\n  - every: 10 h\n  - bars: flight\n"
    name = "checklists/tail/two.md"
    (told,) = [each for each in answered(name, twin) if not each.startswith(f"{name} is not in order")]
    assert "(oil-change), which bars flight: when it is due is not on record" in told


def test_a_checklist_of_which_nothing_is_read(answered: Answered) -> None:
    assert answered("checklists/nose/wing.md", b"\xff\xfe") == ["nothing of checklists/nose/wing.md is read"]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("applies: Yes\nevery: 100 h\ncheck: oil-change\n", "not decided"),
        ("applies: maybe\n", "not decided"),
        ("applies: {no: }\n", "not decided"),
        ("", "not decided"),
        ("applies: 'yes'\nonce: 10 h\n", "nothing says when it is due"),
        ("applies: 'yes'\nevery: 1O h\ncheck: oil-change\n", "how often it asks cannot be read"),
        ("applies: 'yes'\nevery: 100 h\ncheck: oil-chnge\n", "no check is called `oil-chnge`"),
        ("applies: 'yes'\nevery: 100 h\ncheck: heat-muff\n", "its check `heat-muff` is retired"),
    ],
)
def test_a_directive_of_which_nothing_says_when(answered: Answered, said: str, why: str) -> None:
    all_told = answered("records/2026/2026-06-03-x-a9.yaml", (DIRECTIVE + said).encode())
    # Work that is older than the directive does not comply with it: its check may be due beside.
    (told,) = [each for each in all_told if each.startswith("airworthiness directive AD-1 (magneto-left): ")]
    assert why in told


@pytest.mark.parametrize("said", ["answer: Major\n", "answer: mayor\n", ""])
def test_a_change_of_which_the_answer_cannot_be_read_is_not_decided(answered: Answered, said: str) -> None:
    name = "records/2026/2026-06-03-x-a9.yaml"
    told = [each for each in answered(name, (CHANGE + said).encode()) if not each.startswith(f"{name} is not")]
    assert told == ["not decided whether minor or major"]
