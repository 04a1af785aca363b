"""When one check is due: every shape of interval, lives, and whether it was done after what made it owed.

The rules stand in words in README, "When it is due". Where the records leave something open, what makes the check due
sooner counts; what they do not say makes it unknown.
"""

import datetime as dt
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from decimal import Decimal

from inspect_kit.due.answer import Line
from inspect_kit.due.chronicle import CarriedDate, Chronicle
from inspect_kit.due.fitting import Fitting, Fittings, done_to, present, stays_in, used_before
from inspect_kit.due.limits import Base, DuePoint, grace_of, point_of
from inspect_kit.due.moments import Moment
from inspect_kit.due.unsaid import unsaid
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import DID, DISTURBED, INSTALLED, Check, Trigger
from inspect_kit.model.interval import DAYS, FROM_MADE, FROM_OVERHAUL, HOURS, AtInspection, Limit, so_many
from inspect_kit.noun import dataclass


@dataclass(slots=True)
class Reckoned:
    """What follows for one check: due points, what it was last done, whether it is owed at once, and why.

    `unknown` says what cannot be told. `brought` says what cannot be told of a past that was brought forward, which is
    no reason not to fly. `ended` is whether it will never be due again. `after` is the record of the same day that it
    counts as done after only because nothing says otherwise.
    """

    points: list[DuePoint] = field(default_factory=list)
    last: Moment | None = None
    owed: Moment | None = None
    unknown: str = ""
    brought: str = ""
    ended: bool = False
    after: str = ""
    lines: list[Line] = field(default_factory=list)

    def not_known(self, why: str) -> None:
        """One more thing that is not on record."""
        if why not in self.unknown:
            self.unknown = f"{self.unknown}; {why}" if self.unknown else why

    def count(self, subject: "_Subject", limits: tuple[Limit, ...], base: Base | None) -> None:
        """The due points of limits from one base; where it does not say what they would count from, that."""
        for limit in limits:
            point = point_of(limit, base, subject.aircraft) if base is not None else None
            if point is not None:
                self.points.append(point)
            else:
                self.not_known(subject.why_not(limit, base))


def reckon(check: Check, chronicle: Chronicle, fittings: Fittings) -> Reckoned:
    """All due points of a check; of several the worst decides, which is the caller's."""
    found = Reckoned()
    if check.unread:
        found.unknown = f"{', '.join(check.unread)} cannot be read"
        return found
    subject = _Subject(check, chronicle, fittings)
    if subject.empty:
        found.unknown = f"nothing is fitted in {check.counts_on}"
        return found
    found.last = subject.dones[-1] if subject.dones else None
    found.lines += subject.words()
    _unmeant(subject, found)
    _owed(subject, found)
    for done, before in _unordered(subject):
        found.after = before.record
        words = f"taken as done after {before.record}, of the same day: nothing says which came first"
        found.lines.append(Line(text=words, places=(done.place, before.place)))
    if check.once or check.once_date:
        _once(subject, found)
    elif check.life:
        _life(subject, found)
    else:
        _every(subject, found)
    return found


@dataclass(frozen=True, slots=True)
class _Start:
    """What begins a sequence of `first`: a fitting, or the `trigger`, something that `owed-after` names."""

    moment: Moment
    words: str
    fitting: bool
    trigger: str = ""


class _Subject:
    """A check with the part it counts on: when it was done to it, and what its limits count from."""

    def __init__(self, check: Check, chronicle: Chronicle, fittings: Fittings) -> None:
        self.check, self.chronicle, self.clock = check, chronicle, chronicle.clock
        self.aircraft = chronicle.logbook.aircraft
        self.part: Fitting | None = None
        self.empty = False
        dones, again = chronicle.done.get(check.id, ()), chronicle.again.get(check.id, ())
        if check.counts_on is not None:
            history = fittings.get(chronicle.logbook.id_now(check.counts_on), ())
            self.part = present(history)
            self.empty = bool(history) and self.part is None
            if self.part is not None:
                here = tuple(stays_in(self.part))
                own = {(stay.serial, stay.start.record) for stay in here}
                others = [stay for stay in history if (stay.serial, stay.start.record) not in own]
                dones = tuple(done for done in dones if done_to(here, others, done, self.clock))
                again = tuple(done for done in again if done_to(here, others, done, self.clock))
        self.dones = dones
        # Of one doing told twice either record may say in which order it was done.
        self.told = tuple(sorted((*dones, *again), key=lambda done: (done.order, done.record))) if again else dones

    @property
    def last_mark(self) -> CarriedDate | None:
        """The date that the part carries; of several of one day whose order is not on record the earliest."""
        marks = self.chronicle.marks.get(self.check.id, ())
        last = [
            mark for mark in marks if not any(mark.moment.clearly_before(other.moment, self.clock) for other in marks)
        ]
        return min(last, key=lambda mark: mark.until, default=None)

    def words(self) -> list[Line]:
        """Which part is fitted, where the check counts on one."""
        part = self.part
        if part is None:
            return []
        own = [f"{part.since_new} h since new" if part.since_new is not None else ""]
        own.append(f"{part.since_overhaul} h since overhaul" if part.since_overhaul is not None else "")
        told = ", ".join(words for words in own if words)
        name = f"{part.part} " if part.part else ""
        when = f"on {part.start.date}"
        if part.brought:
            when = f"brought forward, {when}" if part.start.date else "brought forward, fitted before records began"
        elif part.first is not None and part.first != part.start.date:
            when += f", first fitted on {part.first}"
        text = f"fitted in {part.position}: {name}serial {part.serial}, {when}"
        then = f" (then, {part.told.date})" if part.brought and told else ""
        return [Line(text=text + (f", with {told}{then}" if told else ""), places=(part.told.place,))]

    def base(self, moment: Moment, words: str) -> Base:
        """What a limit counts from; where a part was away from here, its total is moved by what it did not run."""
        totals: dict[str, Decimal | None] = dict(moment.totals)
        part = self.part
        if part is not None and not part.holds(moment, self.clock):
            for meter in totals:
                used = used_before(part, moment, meter, self.clock)
                start = part.start.totals.get(meter)
                totals[meter] = None if used is None or start is None else start - used
            words = f"{words} on this part (time on the bench left out)"
        return Base(words=words, date=moment.date, totals=totals, estimated=moment.estimated, place=moment.place)

    def start(self) -> Base | None:
        """What a check that was never done counts from: the first fitting, or the certificate date."""
        part = self.part
        if part is None:
            began = self.chronicle.began
            return None if began is None else self.base(began, "never done; certificate date")
        totals: dict[str, Decimal | None] = {}
        earliest = part.stays[0].start
        # What a part ran before it came here, on another aircraft, is not on record.
        here_first = part.first is None or earliest.date is None or part.first >= earliest.date
        here_first = here_first and not part.unread
        for meter in part.start.totals:
            used, start = used_before(part, None, meter, self.clock), part.start.totals[meter]
            totals[meter] = None if used is None or start is None or not here_first else start - used
        words = "first fitted" if part.first != part.start.date or part.before else "fitted"
        if part.before:
            words += " (time on the bench left out)"
        estimated = earliest.estimated | part.start.estimated
        return Base(words=words, date=part.first, totals=totals, estimated=estimated, place=part.start.place)

    def own_start(self) -> Base | None:
        """What an interval counts from that was never done: the part's own hours since overhaul or new, if known."""
        part, base = self.part, self.start()
        if part is None or base is None:
            return base
        date = base.date
        if part.overhauled is not None and (date is None or part.overhauled > date):
            date = part.overhauled
        own = part.since_new if part.since_overhaul is None else part.since_overhaul
        if own is None:
            return replace(base, date=date)
        moved = self.from_own(part, own, "new" if part.since_overhaul is None else "overhaul")
        return replace(moved, date=date, totals=base.totals | moved.totals)

    def from_own(self, part: Fitting, own: Decimal, word: str) -> Base:
        """A base that is so many of the part's own hours back, on every meter in hours."""
        totals: dict[str, Decimal | None] = {}
        for name, meter in self.aircraft.meters.items():
            then = part.told.totals.get(name)
            if meter.unit == HOURS:
                totals[name] = None if then is None else then - own
        words = f"since {word}: {own} h at {part.told.totals.get(self.clock)}, so"
        return Base(words=words, date=None, totals=totals, estimated=part.told.estimated, place=part.told.place)

    def why_not(self, limit: Limit, base: Base | None) -> str:
        """Why a limit cannot be counted from a base."""
        if limit.is_calendar or base is None:
            if self.part is not None:
                where = f"serial {self.part.serial} ({self.part.told.place})"
                return f"when it was first fitted is not on record for {where}"
            return "never done on record, and nothing says from what to count"
        meter = self.aircraft.meter_of(limit.unit, limit.meter)
        if meter is None or meter not in self.chronicle.histories:
            return f"`{limit.meter}` counts no {limit.unit}" if limit.meter else f"no meter counts {limit.unit}"
        if self.chronicle.total_now(meter) is None:
            return f"{meter} was never read"
        return f"what {meter} had when `{base.words}` is not on record"


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """Something that `owed-after` names happened at a moment; `by` is the check or panel that brought it about."""

    moment: Moment
    trigger: Trigger
    by: str = ""

    def __str__(self) -> str:
        plain = not self.by or self.by == self.trigger.what
        return f"`{self.trigger}`" if plain else f"`{self.trigger}` ({self.by} disturbs it)"


def _unmeant(subject: _Subject, found: Reckoned) -> None:
    """What `owed-after` names that is not there, or may stand in a line that is wrong: whether it came is unknown. So
    is what counts on a position that is not there, or by a limit that no aircraft comes to.
    """
    logbook = subject.chronicle.logbook
    check = subject.check
    if check.counts_on is not None and logbook.id_now(check.counts_on) not in subject.aircraft.positions:
        found.not_known(f"no position is called `{check.counts_on}`, on whose part it would count")
    for limit in (*check.every, *check.once, *check.life, *check.first):
        if isinstance(limit, Limit) and limit.never_comes:
            found.not_known(f"{limit} is more than ever comes")
    known: dict[str, Mapping[str, object]] = {DID: logbook.checks, INSTALLED: subject.aircraft.positions}
    for trigger in subject.check.owed_after:
        what, ids = trigger.what, known.get(trigger.verb)
        if logbook.meant_to_be_disturbed(what) if ids is None else logbook.id_now(what) not in ids:
            found.not_known(f"nothing is called `{what}`, after which it would be owed")
        elif (place := unsaid(logbook, trigger.verb)) is not None:
            found.not_known(f"whether `{trigger}` came is not known before {place} is in order")


def _owed(subject: _Subject, found: Reckoned) -> None:
    """Owed at once after a trigger that nothing done since has answered; with `first` it begins a sequence instead."""
    if subject.check.first:
        return
    # The last doing answers most of them.
    newest = subject.told[::-1]
    happened = triggers(subject, again=True)
    open_ones = [each for each in happened if not any(_answers(subject, done, each) for done in newest)]
    for each in open_ones:
        if each.moment.brought:
            of = f", of {each.moment.date}" if each.moment.date is not None else ""
            told = f"`{each.trigger}` was brought forward{of} ({each.moment.place})"
            found.brought = f"{told}; nothing says if this was done after it"
    counted = [each for each in open_ones if not each.moment.brought]
    if counted:
        last = counted[-1]
        found.owed = last.moment
        text = f"owed after {last} on {last.moment.date}: due at once"
        found.lines.append(Line(text=text, places=(last.moment.place,)))


def _answers(subject: _Subject, done: Moment, happened: Happened) -> bool:
    """Whether the check was done after what made it owed; within one record by its order and what it left owed.

    What was brought forward as last done counts for a part that was, of which nobody knows when it was fitted.
    """
    if happened.trigger.verb == INSTALLED and happened.moment.brought and happened.moment.date is None:
        return True
    book, name = subject.chronicle, subject.check.id
    if any(each.name == done.record for each in book.logbook.sealed_before().get(happened.moment.record, ())):
        # What a page says that was sealed anew came after what it said the first time, at whatever reading.
        return False
    if done.brought or done.record != happened.moment.record:
        return happened.moment.surely_before(done, subject.clock)
    if name in book.left_owed.get(done.record, ()):
        return False
    sequence = book.sequences.get(done.record, ())
    return happened.by not in sequence or sequence.index(happened.by) < sequence.index(name)


def unordered_answers(check: Check, chronicle: Chronicle, fittings: Fittings) -> Iterator[tuple[Moment, Moment]]:
    """Each doing that alone answers what made the check owed, or looks at the part that it counts on, though both are
    of one day and nothing says which came first; and what it is taken to have come after.
    """
    return _unordered(_Subject(check, chronicle, fittings))


def _unordered(subject: _Subject) -> Iterator[tuple[Moment, Moment]]:
    check, told, clock = subject.check, subject.told, subject.clock
    begun = [] if check.first else [each for each in triggers(subject) if not each.moment.brought]
    befores = [
        each.moment
        for each in begun
        if not any(done.record == each.moment.record and _answers(subject, done, each) for done in told)
    ]
    if subject.part is not None and not subject.part.brought:
        befores.append(subject.part.start)
    for before in befores:
        ties = [done for done in told if before.is_tied(done, clock)]
        if ties and not any(before.clearly_before(done, clock) for done in told):
            yield ties[-1], before


def triggers(subject: _Subject, *, again: bool = False) -> list[Happened]:
    """Everything that ever happened that `owed-after` names, in order; with `again` what is told twice twice.

    Where the check counts on a part, what happened before that part came to the position does not concern it.
    """
    arrived = next(iter(stays_in(subject.part))).start if subject.part is not None else None
    happened = [
        each
        for trigger in subject.check.owed_after
        for each in _happened(subject, trigger, again)
        if arrived is None or not each.moment.clearly_before(arrived, subject.clock)
    ]
    return sorted(happened, key=lambda each: (each.moment.order, each.moment.record))


def _happened(subject: _Subject, trigger: Trigger, again: bool) -> Iterator[Happened]:
    """Every time that one trigger came; what the check disturbs itself does not make it owed."""
    book = subject.chronicle
    what = book.logbook.id_now(trigger.what)
    if trigger.verb == DID:
        told = (*book.done.get(what, ()), *(book.again.get(what, ()) if again else ()))
        yield from (Happened(moment=moment, trigger=trigger, by=what) for moment in told)
    elif trigger.verb == DISTURBED:
        for each in book.disturbed.get(what, ()):
            if each.by != subject.check.id:
                yield Happened(moment=each.moment, trigger=trigger, by=each.by)
    else:
        yield from (Happened(moment=moment, trigger=trigger) for moment in book.installed.get(what, ()))
        for (_, position), moment in book.fitted.items():
            # One of an unknown day, or of a check never done, says nothing: it may be the first of all.
            if book.logbook.id_now(position) == what and moment.date is not None and subject.dones:
                yield Happened(moment=moment, trigger=trigger)


def _once(subject: _Subject, found: Reckoned) -> None:
    if subject.dones:
        done = subject.dones[-1]
        found.ended = True
        found.lines.append(Line(text=f"to be done once, and done on {done.date}", places=(done.place,)))
        return
    if subject.check.once_date is not None:
        line = Line(text=f"to be done once, by {subject.check.once_date}", places=(subject.check.place,))
        found.points.append(DuePoint(date=subject.check.once_date, lines=(line,)))
        return
    found.count(subject, subject.check.once, subject.start())


def _life(subject: _Subject, found: Reckoned) -> None:
    """A life ends with a new part, not with a tick: what was done does not count, and a refit changes nothing.

    An owner's overhaul never zeroes the time since new (14 CFR 91.421): only a life `from overhaul` begins anew.
    """
    part = subject.part
    for limit in subject.check.life:
        if part is None and limit.start in (FROM_MADE, FROM_OVERHAUL):
            found.not_known(f"which part is fitted in {subject.check.counts_on} is not on record")
        elif part is None or (not limit.is_calendar and limit.unit != HOURS):
            found.count(subject, (limit,), subject.start())
        elif limit.is_calendar:
            _life_by_calendar(subject, part, limit, found)
        else:
            _life_by_hours(subject, part, limit, found)


def _life_by_calendar(subject: _Subject, part: Fitting, limit: Limit, found: Reckoned) -> None:
    words, date = "first fitted", part.first
    if limit.start == FROM_MADE:
        words, date = "made", part.made
    elif limit.start == FROM_OVERHAUL:
        words, date = "overhauled", part.overhauled
        if _never_overhauled(part):
            words, date = "made, never overhauled,", part.made
    if date is None:
        found.not_known(f"when serial {part.serial} was {words} is not on record ({part.told.place})")
        return
    base = Base(words=f"serial {part.serial} {words}", date=date, totals={}, place=part.told.place)
    found.count(subject, (limit,), base)


def _life_by_hours(subject: _Subject, part: Fitting, limit: Limit, found: Reckoned) -> None:
    word, own = "new", part.since_new
    if limit.start == FROM_OVERHAUL and not _never_overhauled(part):
        word, own = "overhaul", part.since_overhaul
    if own is None:
        found.not_known(f"the time since {word} of serial {part.serial} is not on record ({part.told.place})")
        return
    found.count(subject, (limit,), subject.from_own(part, own, word))


def _never_overhauled(part: Fitting) -> bool:
    return part.overhauled is None and part.since_overhaul is None


def _every(subject: _Subject, found: Reckoned) -> None:
    check = subject.check
    if check.marked:
        mark = subject.last_mark
        if mark is not None:
            line = Line(text=f"marked on the part: good until {mark.until}", places=(mark.moment.place,))
            found.points.append(DuePoint(date=mark.until, lines=(line,)))
            # What was done since may have put another part in its place.
            for done in subject.dones[-1:]:
                if done.record != mark.moment.record and mark.moment.clearly_before(done, subject.clock):
                    found.not_known(f"the date that the part carries since {done.date} is not on record")
        else:
            found.not_known("the date that the part carries is not on record")
    begun = list(_starts(subject)) if check.first else []
    for start in begun:
        _sequence(subject, start, found)
    limits = tuple(term for term in check.every if isinstance(term, Limit))
    if not (begun and _stands_in(subject)):
        for limit in limits:
            _recurring(subject, limit, found)


def _stands_in(subject: _Subject) -> bool:
    """Whether `first` takes the place of the interval: at the very beginning, before anything was done.

    Not so for a part that was fitted before or has run elsewhere, and not after a trigger, which takes no duty away.
    """
    part = subject.part
    if subject.dones or part is None:
        return not subject.dones and not subject.check.owed_after
    own = part.since_new if part.since_overhaul is None else part.since_overhaul
    return not part.before and not part.brought and not own


def _starts(subject: _Subject) -> Iterator[_Start]:
    """What sequences of `first` run from: the last fitting, and every other trigger since.

    A fitting begins the list anew, of the same part too. Without a part and without `owed-after` it is the certificate
    date.
    """
    check, part, clock = subject.check, subject.part, subject.clock
    found = [
        _Start(each.moment, f"after `{each.trigger}`", each.trigger.verb == INSTALLED, f"`{each.trigger}`")
        for each in triggers(subject)
    ]
    if part is not None:
        found = [start for start in found if not start.fitting or start.moment.record != part.start.record]
        found.append(_Start(part.start, "fitted", True))
    elif not check.owed_after and subject.chronicle.began is not None:
        found.append(_Start(subject.chronicle.began, "never done; certificate date", True))
    fittings = [start for start in found if start.fitting]
    last = max(fittings, key=lambda start: start.moment.order, default=None)
    for start in sorted(found, key=lambda start: start.moment.order):
        after = last is None or not start.moment.clearly_before(last.moment, clock)
        if start is last or (not start.fitting and after):
            yield start


def _sequence(subject: _Subject, start: _Start, found: Reckoned) -> None:
    """The entries of `first` that one beginning still asks for.

    A doing answers every entry whose point it has reached, and the next one if little of it is left.
    """
    check, moment = subject.check, start.moment
    open_ones = _open_entries(subject, moment)
    if open_ones is None:
        what = start.trigger or "the fitting"
        found.brought = f"{what} was brought forward ({moment.place}); nothing says what was done after it"
        return
    base = Base(
        words=start.words, date=moment.date, totals=dict(moment.totals), estimated=moment.estimated, place=moment.place
    )
    for entry in open_ones:
        point = point_of(check.first[entry], base, subject.aircraft)
        if point is None and moment.brought:
            continue  # Something was done since a fitting that nobody knows the total of.
        if point is None:
            found.not_known(subject.why_not(check.first[entry], base))
            continue
        count = Line(text=f"limit {entry + 1} of {len(check.first)} under `first`")
        found.points.append(
            DuePoint(
                date=point.date, meter=point.meter, unit=point.unit, total=point.total, lines=(count, *point.lines)
            )
        )


def _open_entries(subject: _Subject, moment: Moment) -> list[int] | None:
    """Which entries of `first` are still asked for that run from a moment; None where nothing says what was done since.

    What is answered stays so, whatever is done later.
    """
    first, since = subject.check.first, _not_before(subject.dones, moment, subject.clock)
    if moment.brought and not since:
        return None
    open_ones = list(range(len(first)))
    for done in since:
        near = next(iter(open_ones), None)
        if near is None:
            break
        reached = {entry for entry in open_ones if reaches_entry(first[entry], moment, done, subject.aircraft)}
        open_ones = [entry for entry in open_ones if entry not in reached]
        if open_ones and reaches_entry(first[open_ones[0]], moment, done, subject.aircraft, near=True):
            open_ones = open_ones[1:]
    return open_ones


def has_done_first(check: Check, chronicle: Chronicle, fittings: Fittings) -> bool:
    """Whether nothing of `first` is left, nor comes back by doing the check, so that only its interval counts then."""
    subject = _Subject(check, chronicle, fittings)
    own = any(chronicle.logbook.id_now(trigger.what) == check.id for trigger in check.owed_after)
    if check.unread or own or subject.empty or not subject.dones:
        return False
    return all(_open_entries(subject, start.moment) == [] for start in _starts(subject))


def _not_before(dones: tuple[Moment, ...], moment: Moment, clock: str) -> list[Moment]:
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


def _recurring(subject: _Subject, limit: Limit, found: Reckoned) -> None:
    """The due point of a recurring limit after all that was done.

    Done early, the next one counts from the doing; within `grace` from when it was due; later than that the whole
    grace is taken off (14 CFR 91.409(b): due 1100.0, done 1106.0, next 1200.0; done early at 1095.0, next 1195.0).
    """
    grace = subject.check.grace
    allowed = grace_of(limit, grace, subject.aircraft)
    base = subject.own_start()
    # Where nothing is charged only the last doing says anything.
    for done in subject.dones if allowed is not None else subject.dones[-1:]:
        at = subject.base(done, "last done")
        due = point_of(limit, base, subject.aircraft, grace) if base is not None and allowed is not None else None
        base = at if due is None else _charged(due, at, done.place)
    point = point_of(limit, base, subject.aircraft, grace) if base is not None else None
    if point is not None:
        found.points.append(point)
    else:
        found.not_known(subject.why_not(limit, base))


def _charged(due: DuePoint, done: Base, place: Place) -> Base:
    """What the next one counts from when this one was due and was done: the excess charged, at most the grace."""
    totals = dict(done.totals)
    date, words = done.date, done.words
    if due.date is not None and due.grace_date is not None and date is not None and date > due.date:
        charged = min(date - due.date, due.grace_date - due.date)
        words = f"done on {date}, {so_many(charged.days, DAYS)} past due, to be taken off: counted"
        date = date - charged
    if due.meter is not None and due.total is not None and due.grace_total is not None:
        total = totals.get(due.meter)
        if total is not None and total > due.total:
            excess = min(total - due.total, due.grace_total - due.total)
            words = f"done at {total}, {so_many(excess, due.unit)} past due, to be taken off: counted"
            totals[due.meter] = total - excess
    return Base(words=words, date=date, totals=totals, estimated=done.estimated, place=place)


def inspection_names(check: Check) -> tuple[str, ...]:
    """The inspections whose due point is one of the check's own."""
    return tuple(term.name for term in check.every if isinstance(term, AtInspection))
