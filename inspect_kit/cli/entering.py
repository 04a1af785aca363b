"""How an entry ends that may show hours flown: the unusual is asked, the record written, the flight commented on."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Protocol

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.flown import comment_on_flight
from inspect_kit.cli.said import say
from inspect_kit.cli.unusual import asking
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record

if TYPE_CHECKING:
    from inspect_kit.cli.desk import Make


class SureMake(Protocol):
    """A `Make` that asks back (`cli.unusual.sure_of`) unless somebody is sure of what was read."""

    def __call__(self, logbook: Logbook, own: str, after: tuple[str, ...], /, *, sure: bool) -> Record: ...


def enter_asked(
    desk: Desk, command: str, words: str, make: SureMake, sure: bool, *, first: Sequence[tuple[str, Make]] = ()
) -> int:
    """Write one record and what goes `first` with it, all or nothing; the exit code.

    `words` are those of the record's file name.
    """
    seen: list[tuple[Logbook, Record]] = []

    def kept(logbook: Logbook, own: str, after: tuple[str, ...], /, *, sure: bool) -> Record:
        record = make(logbook, own, after, sure=sure)
        seen.append((logbook, record))
        return record

    def write(sure: bool) -> str:
        return "\n".join(desk.enter_all(command, [*first, (words, partial(kept, sure=sure))]))

    say(asking(write, sure))
    comment_on_flight(*seen[-1])
    return desk.code(0)
