"""Sequences of `first`: what begins one, and which of its entries are still asked for.

README, "When it is due": the points count from the beginning; a doing answers every entry whose point is reached, and
the next one if little of it is left.
"""

import datetime as dt
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from decimal import Decimal

from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import Chronicle
from inspect_kit.due.fitting import Fittings, all_fittings
from inspect_kit.due.moments import Moment
from inspect_kit.due.owed import triggers
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import HOURS, Limit
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True)
class Start:
    """What begins a sequence of `first`: a fitting, or the `trigger`, something that `owed-after` names."""

    moment: Moment
    words: str
    fitting: bool
    trigger: str = ""


def stands_in(history: CheckHistory) -> bool:
    """Whether `first` takes the place of the interval: at the very beginning, before anything was done.

    Not so for a part that was fitted before or has run elsewhere, and not after a trigger, which takes no duty away.
    """
    part = history.part
    if history.dones or part is None:
        return not history.dones and not history.check.owed_after
    own = part.since_new if part.since_overhaul is None else part.since_overhaul
    return not part.before and not part.brought and not own


def starts(history: CheckHistory) -> Iterator[Start]:
    """What sequences of `first` run from: the last fitting, and every other trigger since.

    A fitting begins the list anew, of the same part too. Without a part and without `owed-after` it is the certificate
    date.
    """
    check, part, clock = history.check, history.part, history.clock
    found = [
        Start(each.moment, f"after `{each.trigger}`", each.is_fitting, f"`{each.trigger}`")
        for each in triggers(history)
        if each.trigger is not None
    ]
    if part is not None:
        found = [start for start in found if not start.fitting or start.moment.record != part.start.record]
        found.append(Start(part.start, "fitted", True))
    elif not check.owed_after and history.chronicle.began is not None:
        found.append(Start(history.chronicle.began, f"never done; {history.chronicle.began_words}", True))
    fittings = [start for start in found if start.fitting]
    last = max(fittings, key=lambda start: start.moment.order, default=None)
    for start in sorted(found, key=lambda start: start.moment.order):
        after = last is None or not start.moment.clearly_before(last.moment, clock)
        if start is last or (not start.fitting and after):
            yield start


def open_entries(history: CheckHistory, moment: Moment) -> list[int] | None:
    """Which entries of `first` are still asked for that run from a moment; None where nothing says what was done since.

    What is answered stays so, whatever is done later.
    """
    first, since = history.check.first, not_before(history.dones, moment, history.clock)
    # A tick of which nobody was asked whether it came after that answers nothing of it.
    since = [done for done in since if moment.record not in done.unasked]
    if moment.brought and not since:
        return None
    open_ones = list(range(len(first)))
    for done in since:
        near = next(iter(open_ones), None)
        if near is None:
            break
        reached = {entry for entry in open_ones if reaches_entry(first[entry], moment, done, history.aircraft)}
        open_ones = [entry for entry in open_ones if entry not in reached]
        if open_ones and reaches_entry(first[open_ones[0]], moment, done, history.aircraft, near=True):
            open_ones = open_ones[1:]
    return open_ones


def has_done_first(check: Check, chronicle: Chronicle, fittings: Fittings) -> bool:
    """Whether nothing of `first` is left, nor comes back by doing the check, so that only its interval counts then."""
    history = CheckHistory(check, chronicle, fittings)
    own = any(chronicle.logbook.id_now(trigger.what) == check.id for trigger in check.owed_after)
    if check.unread or own or history.empty or not history.dones:
        return False
    return all(open_entries(history, start.moment) == [] for start in starts(history))


def too_early(check: Check, chronicle: Chronicle, fittings: Fittings, record: str) -> tuple[Limit, Start] | None:
    """The next entry of `first`, with what it runs from, that the doing of a record came too early to answer, as all
    others that are left; None where it answered one, or nothing of the list was left.
    """
    history, without = with_and_without(check, chronicle, fittings, record)
    if not check.first or len(without.dones) == len(history.dones):
        return None
    for start in starts(history):
        left = open_entries(history, start.moment)
        if left and left == open_entries(without, start.moment):
            return check.first[left[0]], start
    return None


def firsts_answered(chronicle: Chronicle, name: str, record: str) -> list[Start]:
    """The beginnings of a check's `first` of which the doing of a record answers an entry that is left without it."""
    check = chronicle.logbook.checks[name]
    if not check.first:
        return []
    history, without = with_and_without(check, chronicle, all_fittings(chronicle), record)
    told = [start for start in starts(history) if not start.moment.brought]
    return [each for each in told if open_entries(history, each.moment) != open_entries(without, each.moment)]


def with_and_without(
    check: Check, chronicle: Chronicle, fittings: Fittings, record: str
) -> tuple[CheckHistory, CheckHistory]:
    """A check's history, and one in which it was not done by a record."""
    history, without = (CheckHistory(check, chronicle, fittings) for _ in range(2))
    without.dones = tuple(done for done in history.dones if done.record != record)
    return history, without


def not_before(dones: tuple[Moment, ...], moment: Moment, clock: str) -> list[Moment]:
    """The doings that did not clearly come before a moment; they are in order, and of other days the date says it."""
    if moment.date is None:
        return [done for done in dones if not done.clearly_before(moment, clock)]
    undated = bisect_right(dones, dt.date.min, key=_day_of)
    day, after = bisect_left(dones, moment.date, key=_day_of), bisect_right(dones, moment.date, key=_day_of)
    doubtful = (*dones[:undated], *dones[max(day, undated) : after])
    return [*(done for done in doubtful if not done.clearly_before(moment, clock)), *dones[after:]]


def _day_of(moment: Moment) -> dt.date:
    return moment.order[0]


# Of an entry so much may be left for a doing to answer it all the same: half an hour, or a fifth of it.
NEAR_HOURS = Decimal("0.5")
NEAR_SHARE = Decimal("0.2")


def reaches_entry(limit: Limit, start: Moment, done: Moment, aircraft: Aircraft, *, near: bool = False) -> bool:
    """Whether something done reached an entry of `first`, or with `near` comes close enough to it.

    What was done at the reading of the beginning itself answers nothing.
    """
    if limit.is_calendar:
        if start.date is None or done.date is None or done.date <= start.date:
            return False
        due = limit.due_date(start.date)
        spare = (due - start.date) * float(NEAR_SHARE) if near else dt.timedelta()
        return due - done.date <= spare
    meter = aircraft.meter_of(limit.unit, limit.meter)
    begun, total = (start.at_most(meter), done.totals.get(meter)) if meter else (None, None)
    if begun is None or total is None or total <= begun:
        return False
    left = begun + limit.number - total
    spare_amount = max(NEAR_HOURS if limit.unit == HOURS else Decimal(0), limit.number * NEAR_SHARE)
    return left <= (spare_amount if near else Decimal(0))
