"""What one file of a store was read as."""

from dataclasses import fields
from typing import Any

from inspect_kit.errors import Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.record import Record
from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.noun import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadFile:
    """What one file was read as; `problems` are what could not be read in it."""

    aircraft: Aircraft | None = None
    panel: Panel | None = None
    checks: tuple[Check, ...] = ()
    record: Record | None = None
    page: Worksheet | None = None
    withdrawn: Withdrawn | None = None
    problems: tuple[Problem, ...] = ()

    def facts(self) -> dict[str, Any]:
        """What there is of it, by field."""
        return {name: value for name, value in vars(self).items() if value}


def of_facts(facts: dict[str, Any]) -> ReadFile:
    """What a file was read as, by its facts; TypeError where one is no field of it."""
    if not facts.keys() <= _NOTHING.keys():
        raise TypeError(*facts)
    read = object.__new__(ReadFile)
    # Thousands of them: what there is not is not asked about one by one.
    object.__setattr__(read, "__dict__", _NOTHING | facts)
    return read


_NOTHING: dict[str, Any] = {each.name: each.default for each in fields(ReadFile)}
