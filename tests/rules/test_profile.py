"""The rules as one value: chosen by aircraft.yaml, with the owner's own scopes in it."""

from dataclasses import replace

from inspect_kit.rules import APPENDIX_D, US, profile_of, scope_coverage
from tests.rules.test_coverage import AIRCRAFT, check

OWN = replace(AIRCRAFT, scopes={"Maker's 100 h": {"m1": "engine mounts", "m2": "magnet plug"}})


def test_an_aircraft_that_says_nothing_goes_by_the_rules_of_the_us() -> None:
    assert profile_of(AIRCRAFT) == US
    assert US.scope("Part 43  Appendix D") is APPENDIX_D
    assert US.scope("national schedule 7") is None


def test_a_scope_of_the_owners_own_is_asked_for_code_by_code() -> None:
    scope = profile_of(OWN).scope("maker's 100 H")
    assert scope is not None
    answer = scope_coverage([check("mounts", "m1", "d3")], OWN, scope)
    assert [clause.code for clause in answer.missing] == ["m2"]
    # d3 is of another scope, which somebody knows.
    assert answer.unknown == ()
    assert [each.code for each in scope_coverage([check("odd", "z9")], OWN, scope).unknown] == ["z9"]


def test_its_codes_are_not_asked_for_by_appendix_d() -> None:
    codes = APPENDIX_D.codes
    assert scope_coverage([check("all", *codes, "m1")], OWN, APPENDIX_D).complete
