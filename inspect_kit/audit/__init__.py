"""What contradicts itself across files: pure functions over the nouns, each yielding problems with their line."""

import datetime as dt

from inspect_kit.audit.ids import Names, names
from inspect_kit.errors import Problem
from inspect_kit.model.logbook import Logbook

__all__ = ["Names", "audit", "names"]


def audit(logbook: Logbook, today: dt.date | None = None) -> tuple[Problem, ...]:
    """Every contradiction between the files of a store, by place; with `today` entries dated later as well."""
    return ()
