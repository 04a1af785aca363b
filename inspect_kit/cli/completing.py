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
from inspect_kit.cli.desk import cache_folder
from inspect_kit.cli.typed import NAME

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
    yield from logbook.aircraft.meters


def _readings(logbook: Logbook) -> Iterator[str]:
    yield from (f"{meter}=" for meter in logbook.aircraft.meters)


def _findings(logbook: Logbook) -> Iterator[str]:
    """Those that stand, F1 alone where that is enough."""
    whole = [*logbook.standing(), *(each.id for page in logbook.pages for at in page.entries for each in at.findings)]
    short = [name.rpartition("#")[2] for name in whole]
    yield from (name if short.count(own) > 1 else own for name, own in zip(whole, short, strict=True))


def _signers(logbook: Logbook) -> Iterator[str]:
    people = logbook.aircraft.people
    yield from (person.name for person in people if person.certificate and person.retired is None)


def _unsigned(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.cli.signatures import unsigned

    yield from (record.name for record in unsigned(logbook))


def _on_the_shelf(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.model.kinds.stock import Stock

    yield from (record.item for record in logbook.of_kind(Stock))
    yield from (part.name for check in logbook.checks.values() for part in check.uses)


def _equipment(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.model.kinds.equipment import Equipment

    yield from (record.item for record in logbook.of_kind(Equipment))


def _directives(logbook: Logbook) -> Iterator[str]:
    from inspect_kit.model.kinds.directive import Directive

    yield from (record.number for record in logbook.of_kind(Directive))


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
    "METER=READING": (_readings,),
    "FINDING": (_findings,),
}
# Where the word stands for something else than with other commands.
OFFERED_BY: dict[str, dict[str, tuple[Names, ...]]] = {
    "stock": {"ITEM": (_on_the_shelf,)},
    "equipment": {"ITEM": (_equipment,)},
    "directive": {"NUMBER": (_directives,)},
    "sign": {"NAME": (_signers,)},
    "signature": {"NAME": (_signers,), "RECORD": (_unsigned,)},
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
    offered = OFFERED | OFFERED_BY.get(command.name or "", {})
    for param in command.params:
        # An argument without a word of its own is shown by its name.
        shown = param.metavar or ((param.name or "").upper() if isinstance(param, click.Argument) else "")
        words = re.sub(r"[\[\]|,]|\.\.\.", " ", shown).split()
        names = tuple(dict.fromkeys(each for word in words for each in offered.get(word, ())))
        if names and (param.type is click.STRING or param.type is NAME):
            param.type = StoreName(names, param.type)
