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
        return {each.name: value for each in fields(self) if (value := getattr(self, each.name))}
