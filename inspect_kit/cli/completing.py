"""The store's own names for the shell: what Tab offers for checks, panels, positions, people, records and meters.

The shell asks by click's own way (`_INSPECT_KIT_COMPLETE=bash_source inspect-kit`, or zsh_source, fish_source). A store
that cannot be read offers nothing, and never an error in the middle of a line that is being typed.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

from inspect_kit import store
from inspect_kit.cli.desk import NAME, cache_folder

if TYPE_CHECKING:
    from inspect_kit.model.logbook import Logbook

    Names = Callable[[Logbook], Iterator[str]]


def _checks(logbook: Logbook) -> Iterator[str]:
    yield from (check.id for check in logbook.checks.values() if check.retired is None)


def _panels(logbook: Logbook) -> Iterator[str]:
    yield from (panel.id for panel in logbook.panels.values() if panel.retired is None)


def _positions(logbook: Logbook) -> Iterator[str]:
    yield from logbook.aircraft.positions


def _inspections(logbook: Logbook) -> Iterator[str]:
    yield from logbook.aircraft.inspections


def _people(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.inspection.people import on_record

    yield from (person.name for person in (*logbook.aircraft.people, *on_record(logbook)))


def _records(logbook: Logbook) -> Iterator[str]:
    yield from (record.name for record in reversed(logbook.records))


def _pages(logbook: Logbook) -> Iterator[str]:
    yield from (page.place.file.rsplit("/", 1)[-1].removesuffix(".md") for page in logbook.pages)


def _phases(logbook: Logbook) -> Iterator[str]:
    yield from logbook.aircraft.phases


def _products(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.model.kinds.directive import AIRCRAFT

    yield from (AIRCRAFT, *logbook.aircraft.positions)


def _settings(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.model.kinds.setting import Setting

    yield from (record.setting for record in logbook.of_kind(Setting))


def _meters(logbook: Logbook) -> Iterator[str]:
    yield from (f"{meter}=" for meter in logbook.aircraft.meters)


# What stands for what, by the word that the help shows for it.
OFFERED: dict[str, tuple[Names, ...]] = {
    "CHECK": (_checks,),
    "INSPECTION": (_inspections,),
    "ITEM": (_inspections, _checks),
    "ID": (_checks, _panels, _positions),
    "POSITION": (_positions,),
    "PHASE": (_phases,),
    "PRODUCT": (_products,),
    "SETTING": (_settings,),
    "PANEL": (_panels,),
    "NAME": (_people,),
    "RECORD": (_records,),
    "PAGE": (_pages,),
    "METER": (_meters,),
    "METER=READING": (_meters,),
}


class StoreName(click.ParamType[str]):
    """A text that may be one of the store's names; it is taken as its own type takes it."""

    name = "text"

    def __init__(self, names: tuple[Names, ...], own: click.ParamType[str]) -> None:
        self.names, self.own = names, own

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> str:
        return str(self.own.convert(value, param, ctx))

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        """Every name that begins so, in the order of the store."""
        found: list[str] = []
        # Whatever is wrong with the store is told by the command itself, when it is run.
        with contextlib.suppress(Exception):
            folders = ctx.find_root().params.get("folders")
            root = store.at(Path(folders[0])) if folders else store.find_store(Path.cwd())
            logbook = store.load(root, cache=cache_folder()).logbook
            if logbook is not None:
                found = [name for names in self.names for name in names(logbook)]
        return [CompletionItem(name) for name in dict.fromkeys(found) if name.startswith(incomplete)]


def offer_names(command: click.Command) -> None:
    """Let the arguments and options of a command offer the names that their word in the help stands for."""
    for param in command.params:
        words = re.sub(r"[\[\]|,]|\.\.\.", " ", param.metavar or "").split()
        names = tuple(dict.fromkeys(each for word in words for each in OFFERED.get(word, ())))
        if names and (param.type is click.STRING or param.type is NAME):
            param.type = StoreName(names, param.type)
