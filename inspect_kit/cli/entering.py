"""How an entry ends that may show hours flown: the unusual is asked, and what it came after on its day; the record is
written, the flight commented on."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Protocol, TypeVar

from inspect_kit.cli.desk import Desk, Unexplained
from inspect_kit.cli.flown import comment_on_flight
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed, say, somebody
from inspect_kit.cli.unusual import asking
from inspect_kit.due import order_matters, taken_after, unordered
from inspect_kit.errors import Misused
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.reason import is_no_reason
from inspect_kit.model.record import Record
from inspect_kit.report.words import joined
from inspect_kit.text.grammar import Unreadable

if TYPE_CHECKING:
    from inspect_kit.cli.desk import Make

R = TypeVar("R", bound=Record)
# What --follows says where an entry came before all others of its day.
NONE_BEFORE = "none"
CURE = "withdraw this, and enter it anew"


# What may be unusual and right, and then says by --reason why.
WEIGHED = (Equipment, Weighing)


class SureMake(Protocol):
    """A `Make` that asks back (`cli.unusual.sure_of`) unless somebody is sure of what was read."""

    def __call__(self, logbook: Logbook, own: str, after: tuple[str, ...], /, *, sure: bool) -> Record: ...


class OrderOpen(Exception):
    """Records of the same day of which it matters whether an entry came after them; nothing was written."""

    def __init__(self, logbook: Logbook, names: Sequence[str]) -> None:
        super().__init__(*names)
        self.logbook, self.names = logbook, names


def enter_asked(
    desk: Desk,
    command: str,
    words: str,
    make: SureMake,
    sure: bool,
    *,
    first: Sequence[tuple[str, Make]] = (),
    follows: Sequence[str] = (),
) -> int:
    """Write one record and what goes `first` with it, all or nothing; the exit code.

    `words` are those of the record's file name. `follows` are what it came after as told, records of its day or none.
    """
    seen: list[tuple[Logbook, Record]] = []
    along: list[Record] = []
    told = given_order(desk.logbook(), follows) if follows else {}
    certain, why = sure, ""

    def kept(logbook: Logbook, own: str, after: tuple[str, ...], /, *, sure: bool) -> Record:
        made = make(logbook, own, after, sure=sure)
        made = replace(made, because=why) if why and isinstance(made, WEIGHED) else made
        record = with_told_order(desk, logbook, made, told, follows, along)
        seen.append((logbook, record))
        return record

    def noted(make: Make, logbook: Logbook, own: str, after: tuple[str, ...]) -> Record:
        along.append(make(logbook, own, after))
        return along[-1]

    def write(sure: bool) -> str:
        nonlocal certain, why
        certain = sure
        along.clear()
        before = [(words, partial(noted, made)) for words, made in first]
        try:
            return "\n".join(desk.enter_all(command, [*before, (words, partial(kept, sure=sure))]))
        except Unexplained as doubted:
            if not isinstance(record := seen[-1][1], WEIGHED) or record.because:
                raise
            why = _why_right(doubted)
            return write(sure)

    say(asking_order(lambda: asking(write, certain), told))
    say_taken(*seen[-1], told)
    _say_left_open(*seen[-1])
    comment_on_flight(*seen[-1])
    return desk.code(0)


def _why_right(doubted: Unexplained) -> str:
    """Why what is doubted is right, asked once all else is answered: no answer is lost by it."""
    say(f"Not written yet, because of\n{doubted.doubts}", err=True)
    right = Question(name="reason", words="If it is right, why", read=_reason, required=True)
    try:
        return str(answers({}, [right])["reason"])
    except Misused:
        raise doubted from None


def _reason(words: str) -> str:
    if is_no_reason(words):
        raise Unreadable(f"`{words[:40]}` says nothing: write it in words")
    return words


def with_told_order(
    desk: Desk,
    logbook: Logbook,
    record: R,
    told: Mapping[str, bool],
    follows: Sequence[str],
    along: Sequence[Record] = (),
) -> R:
    """A new record that says what it came after on its day, where that matters, as told; OrderOpen where it is not."""
    record, order = with_order(record, told), told
    if NONE_BEFORE in follows:
        order = {**told, **dict.fromkeys(unordered(logbook, record, along), False)}
        record = with_order(record, order)
    matter = order_matters(logbook, record, desk.today, along)
    if unasked := [name for name in matter if name not in told]:
        raise OrderOpen(logbook, unasked)
    # Where somebody said what it came after, the rest is left unsaid, and `due` names it.
    return with_order(record, order if follows else as_entered(logbook, record, order, along))


def asking_order(write: Callable[[], str], told: dict[str, bool]) -> str:
    """What `write` gives, once `told` has what a person said of the order of the day."""
    while True:
        try:
            return write()
        except OrderOpen as unsaid:
            # The question is put while nobody is kept from writing.
            told |= {name: said_after(unsaid.logbook, name) for name in unsaid.names}


def as_entered(
    logbook: Logbook, record: Record, told: Mapping[str, bool], along: Sequence[Record] = ()
) -> Mapping[str, bool]:
    """What is told of its day, and what it counts as done after anyway: it was entered after it, and now says so."""
    silent = taken_after(logbook, with_order(record, told), along)
    return {**told, **{name: True for name in silent if name not in told}}


def say_taken(logbook: Logbook, record: Record, told: Collection[str], cure: str = CURE) -> None:
    """Say which records of its day an entry that was written says that it came after, though nobody said so."""
    if silent := [name for name in record.follows if name not in told]:
        say(_taken_after(joined([_named(logbook, name) for name in silent]), cure), err=True)


def _say_left_open(logbook: Logbook, record: Record) -> None:
    """Say what stays to be looked at again though its check was done that day: it may be the look that asked for it."""
    from inspect_kit.due.rechecks import left_open

    for check, other in dict.fromkeys(left_open(logbook, record)):
        told = f"`{check}` is still to be looked at again, as {_named(logbook, other)} of the same day asks"
        say(f"{told}. If this was done after it: {CURE} with --follows {other}", err=True)


def _taken_after(what: str, cure: str, why: str = "as it was entered after it") -> str:
    otherwise = f"If it was done before: {cure} with --follows {NONE_BEFORE}"
    return f"Taken as done after {what}, of the same day, {why}. {otherwise}"


def _named(logbook: Logbook, name: str) -> str:
    """A record by its name and what it says."""
    from inspect_kit.cli.records_named import says

    other = logbook.record(name)
    return f"{name} ({says(other)})" if other is not None else name


def with_order(record: R, told: Mapping[str, bool]) -> R:
    """A record that says of others of its day whether it came after them, or before."""
    came_after = tuple(name for name, is_so in told.items() if is_so)
    return replace(record, follows=came_after, precedes=tuple(name for name in told if name not in came_after))


def given_order(logbook: Logbook, follows: Sequence[str]) -> dict[str, bool]:
    """The records that --follows names, each as one that an entry came after."""
    from inspect_kit.cli.records_named import find_record

    return {find_record(logbook, name).name: True for name in follows if name != NONE_BEFORE}


def said_after(logbook: Logbook, name: str, cure: str = CURE, *, was: bool | None = None) -> bool:
    """Whether an entry came after another of its day, as it was entered after it, or as it stood before (`was`): asked
    at a terminal, and where nobody answers so taken and said.
    """
    told = _named(logbook, name)
    question = f"{told} is of the same day. Was this done after it?"
    answer = confirmed(question, enter=was is not False) if somebody() else None
    if answer is not None:
        return answer
    why = "as it was entered after it" if was is None else "as it stood on record"
    if was is False:
        otherwise = f"If it was done after: {cure} with --follows {name}"
        say(f"Taken as done before {told}, of the same day, {why}. {otherwise}", err=True)
        return False
    say(_taken_after(told, cure, why), err=True)
    return True
