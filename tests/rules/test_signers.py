"""Who may sign is said by the aircraft's own operating limitations."""

import datetime as dt
from dataclasses import replace

import pytest

from inspect_kit.model.aircraft import Person
from inspect_kit.model.checklist import Retired
from inspect_kit.rules import signer_refusal, signer_reminder
from tests.report.small import logbook

AIRCRAFT = logbook(records={}).aircraft
RULE = AIRCRAFT.inspections["condition"]
BUILDER = Person(name="Hazel Quillfeather", kind="repairman (experimental aircraft builder)", certificate="0000000")


def test_a_signer_whom_the_limitations_name() -> None:
    assert signer_refusal(AIRCRAFT, RULE, BUILDER) is None
    spaced = replace(BUILDER, kind="Repairman  (Experimental Aircraft Builder)")
    assert signer_refusal(AIRCRAFT, RULE, spaced) is None


@pytest.mark.parametrize(
    ("person", "said"),
    [
        (replace(BUILDER, kind="mechanic (airframe and powerplant)"), "mechanic (airframe and powerplant)"),
        (replace(BUILDER, kind=""), "no kind of certificate"),
        (replace(BUILDER, certificate=""), "no certificate number"),
        (replace(BUILDER, retired=Retired(date=dt.date(2025, 1, 2))), "retired"),
    ],
)
def test_a_signer_who_is_refused_is_told_why(person: Person, said: str) -> None:
    refusal = signer_refusal(AIRCRAFT, RULE, person)
    assert refusal is not None
    assert said in refusal


def test_the_permitted_kinds_are_data_of_the_aircraft() -> None:
    rule = replace(RULE, signers=("mechanic (airframe and powerplant)",))
    refusal = signer_refusal(AIRCRAFT, rule, BUILDER)
    assert refusal is not None
    assert "mechanic (airframe and powerplant)" in refusal
    assert signer_refusal(AIRCRAFT, rule, replace(BUILDER, kind=rule.signers[0])) is None


@pytest.mark.parametrize(
    ("kind", "citation"),
    [
        ("repairman (experimental aircraft builder)", "65.104"),
        ("repairman (light-sport, inspection)", "65.109(a)"),
        ("repairman (light-sport, maintenance)", "65.109(b)"),
    ],
)
def test_reminders_carry_their_rule(kind: str, citation: str) -> None:
    assert citation in signer_reminder(replace(BUILDER, kind=kind))


def test_no_reminder_is_invented() -> None:
    assert signer_reminder(replace(BUILDER, kind="glider tow pilot")) == ""
