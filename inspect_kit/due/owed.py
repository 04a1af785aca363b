"""What makes a check owed by `owed-after`, and what was done since that answers it.

Where the records leave open which of two came first, what leaves the check owed counts.
"""

import datetime as dt
from collections.abc import Iterator
from functools import lru_cache

from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import chronicle, seen_on
from inspect_kit.due.fitting import all_fittings, stays_in
from inspect_kit.due.moments import Moment
from inspect_kit.model.checklist import DID, DISTURBED, INSTALLED, Trigger
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.opened import disturbing_panels
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """Something that `owed-after` names happened at a moment; `by` is the check or panel that brought it about.

    Without a trigger a record says itself by `left-owed` that it left the check owed. `unsaid` as in `Disturbance`.
    """

    moment: Moment
    trigger: Trigger | None
    by: str = ""
    unsaid: bool = False

    @property
    def is_fitting(self) -> bool:
        """Whether a part came into its position."""
        return self.trigger is not None and self.trigger.verb == INSTALLED

    def __str__(self) -> str:
        if self.trigger is None:
            return f"`left-owed` of {self.moment.record}"
        plain = not self.by or self.by == self.trigger.what
        return f"`{self.trigger}`" if plain else f"`{self.trigger}` ({self.by} disturbs it)"


def triggers(history: CheckHistory, *, again: bool = False) -> tuple[Happened, ...]:
    """Everything that ever made it owed, by `owed-after` or as a record says, in order; with `again` what is told
    twice twice.

    Where the check counts on a part, what happened before that part came to the position does not concern it.
    """
    return _triggers(history, again and bool(history.chronicle.again))


# Each check is asked two or three times in a row.
@lru_cache(maxsize=2)
def _triggers(history: CheckHistory, again: bool) -> tuple[Happened, ...]:
    arrived = next(iter(stays_in(history.part))).start if history.part is not None else None
    happened = [
        each
        for trigger in history.check.owed_after
        for each in _happened(history, trigger, again)
        if arrived is None or not each.moment.clearly_before(arrived, history.clock)
    ]
    said = {each.moment.record for each in happened}
    left = [moment for moment in history.chronicle.left.get(history.check.id, ()) if moment.record not in said]
    left = [moment for moment in left if arrived is None or _is_of_this_part(history, moment, arrived)]
    happened += [Happened(moment=moment, trigger=None) for moment in left]
    return tuple(sorted(happened, key=lambda each: (each.moment.order, each.moment.record)))


def _is_of_this_part(history: CheckHistory, left: Moment, arrived: Moment) -> bool:
    """Whether what a record left owed may be owed of the part that is there now: it was there, or it is the first on
    record in its position, of which nobody knows since when it was, and nothing was done since.
    """
    clock = history.clock
    if not left.clearly_before(arrived, clock):
        return True
    done = history.chronicle.done.get(history.check.id, ())
    return history.is_first and not any(left.clearly_before(each, clock) for each in done)


def _happened(history: CheckHistory, trigger: Trigger, again: bool) -> Iterator[Happened]:
    """Every time that one trigger came; what the check disturbs itself does not make it owed."""
    book = history.chronicle
    what = book.logbook.id_now(trigger.what)
    if trigger.verb == DID:
        # Whether a check was done of which a record says both, nobody knows: what it makes owed is owed.
        told = (*book.done.get(what, ()), *book.unsure.get(what, ()), *(book.again.get(what, ()) if again else ()))
        yield from (Happened(moment=moment, trigger=trigger, by=what) for moment in told)
    elif trigger.verb == DISTURBED:
        for each in book.disturbed.get(what, ()):
            if each.by != history.check.id:
                yield Happened(moment=each.moment, trigger=trigger, by=each.by, unsaid=each.unsaid)
    else:
        yield from (Happened(moment=moment, trigger=trigger) for moment in book.installed.get(what, ()))
        for (_, position), moment in book.fitted.items():
            # One of an unknown day, or of a check never done, says nothing: it may be the first of all.
            if book.logbook.id_now(position) == what and moment.date is not None and history.dones:
                yield Happened(moment=moment, trigger=trigger)


def still_owing(history: CheckHistory) -> Iterator[Happened]:
    """What makes the check owed at once and nothing done since has answered; with `first` it begins a sequence instead.
    """
    # The last doing answers most of them.
    newest = history.told[::-1]
    for each in triggers(history, again=True):
        begins = history.check.first and each.trigger is not None
        if not begins and not any(has_answered(history, done, each) for done in newest):
            yield each


def makes_owed(logbook: Logbook, on: dt.date, check: str) -> tuple[str, ...]:
    """The records of a day or before it that make a check owed at once, as long as nothing answers them."""
    book = chronicle(seen_on(logbook, on)[0])
    history = CheckHistory(book.logbook.checks[check], book, all_fittings(book))
    return tuple(each.moment.record for each in still_owing(history) if not each.moment.brought)


def has_answered(history: CheckHistory, done: Moment, happened: Happened) -> bool:
    """Whether the check was done after what made it owed; within one record by its order and what it left owed.

    What was brought forward as last done counts for a part that was, of which nobody knows when it was fitted.
    """
    if happened.is_fitting and happened.moment.brought and happened.moment.date is None:
        return True
    book, name = history.chronicle, history.check.id
    early = book.logbook.sealed_before().get(happened.moment.record)
    if early and any(each.name == done.record for each in early):
        # What a page says that was sealed anew came after what it said the first time, at whatever reading.
        return False
    if done.brought or done.record != happened.moment.record:
        return happened.moment.surely_before(done, history.clock)
    if name in book.left_owed.get(done.record, ()):
        return False
    if any(each.record == done.record for each in book.unsure.get(happened.by, ())):
        return False
    sequence = book.sequences.get(done.record, ())
    if happened.by in sequence:
        return sequence.index(happened.by) < sequence.index(name)
    made = book.logbook.record(done.record)
    if not isinstance(made, Work) or made.seal is not None or made.sheet or name not in sequence:
        return True
    # A panel goes on again, and a setup is undone, after the last of what it was off or standing for.
    off = disturbing_panels(book.logbook)
    return not any(happened.by in off.get(check, ()) for check in sequence[sequence.index(name) + 1 :])


def unordered_answers(history: CheckHistory) -> Iterator[tuple[Moment, Moment]]:
    """Each doing that alone answers what made the check owed, or looks at the part that it counts on, though both are
    of one day and nothing says which came first; and what it is taken to have come after.
    """
    check, told, clock = history.check, history.told, history.clock
    by_record: dict[str, list[Moment]] = {}
    by_day: dict[dt.date | None, list[Moment]] = {}
    for done in told:
        by_record.setdefault(done.record, []).append(done)
        by_day.setdefault(done.date, []).append(done)
    begun = [] if check.first else [each for each in triggers(history) if not each.moment.brought]
    befores: list[tuple[Moment, Happened | None]] = [(each.moment, each) for each in begun]
    if history.part is not None and not history.part.brought:
        befores.append((history.part.start, None))
    for before, happened in befores:
        # Only what is of one day is tied, and of a long life that is little.
        ties = [done for done in by_day.get(before.date, ()) if before.is_tied(done, clock)]
        if not ties or any(before.clearly_before(done, clock) for done in told):
            continue
        own = by_record.get(before.record, ())
        if happened is None or not any(has_answered(history, done, happened) for done in own):
            yield ties[-1], before
