"""What is to be retired on a day to come: until then it counts as anything else does."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from inspect_kit.model.aircraft import Person, Position
from inspect_kit.model.checklist import Check, Panel, gone
from inspect_kit.model.logbook import Logbook

Noun = TypeVar("Noun", Check, Panel, Position, Person)


def in_use_on(logbook: Logbook, day: dt.date) -> Logbook:
    """The logbook in which nothing is retired that goes after this day only; the same one where nothing does.

    `leaving` keeps when its checks go.
    """
    aircraft = logbook.aircraft
    nouns: tuple[Check | Panel | Position | Person, ...]
    nouns = (*logbook.checks.values(), *logbook.panels.values(), *aircraft.positions.values(), *aircraft.people)
    if not any(_leaves(each, day) for each in nouns):
        return logbook
    return logbook.with_same_records(
        aircraft=replace(
            aircraft,
            positions=_by_id(aircraft.positions, day),
            people=tuple(_still(each, day) for each in aircraft.people),
        ),
        panels=_by_id(logbook.panels, day),
        checks=_by_id(logbook.checks, day),
        leaving={name: each.retired for name, each in logbook.checks.items() if each.retired and _leaves(each, day)},
    )


def _by_id(nouns: Mapping[str, Noun], day: dt.date) -> dict[str, Noun]:
    return {name: _still(each, day) for name, each in nouns.items()}


def _still(noun: Noun, day: dt.date) -> Noun:
    return replace(noun, retired=None) if _leaves(noun, day) else noun


def _leaves(noun: Check | Panel | Position | Person, day: dt.date) -> bool:
    return noun.retired is not None and not gone(noun.retired, day)
