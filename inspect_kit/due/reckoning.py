"""When one check is due: every shape of interval, lives, and whether it was done after what made it owed.

The rules stand in words in README, "When it is due". Where the records leave something open, what makes the check due
sooner counts; what they do not say makes it unknown.
"""

from collections.abc import Mapping
from copy import copy
from dataclasses import field

from inspect_kit.due.answer import Line
from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import Chronicle
from inspect_kit.due.fitting import Fitting, Fittings, all_fittings
from inspect_kit.due.limits import Base, DuePoint, grace_of, point_of
from inspect_kit.due.moments import Moment
from inspect_kit.due.owed import still_owing, unordered_answers
from inspect_kit.due.sat_on import sat_unsaid
from inspect_kit.due.sequences import Start, open_entries, stands_in, starts
from inspect_kit.due.unsaid import unsaid
from inspect_kit.errors import Place
from inspect_kit.model.checklist import DID, INSTALLED, Check
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

    def count(self, history: CheckHistory, limits: tuple[Limit, ...], base: Base | None) -> None:
        """The due points of limits from one base; where it does not say what they would count from, that."""
        for limit in limits:
            point = point_of(limit, base, history.aircraft) if base is not None else None
            if point is not None:
                self.points.append(point)
            else:
                self.not_known(history.why_not(limit, base))


def reckoned(name: str, book: Chronicle) -> Reckoned:
    """`reckon` of a check as it is on file, made once for all who ask; each has one of its own to add to."""

    def made() -> Reckoned:
        return reckon(book.logbook.checks[name], book, all_fittings(book))

    return copy(book.logbook.once(f"what follows for {name}", made))


def reckon(check: Check, chronicle: Chronicle, fittings: Fittings) -> Reckoned:
    """All due points of a check; of several the worst decides, which is the caller's."""
    found = Reckoned()
    if check.unread:
        found.unknown = f"{', '.join(check.unread)} cannot be read"
        return found
    history = CheckHistory(check, chronicle, fittings)
    if history.empty:
        found.unknown = f"nothing is fitted in {check.counts_on}"
        return found
    found.last = history.dones[-1] if history.dones else None
    found.lines += history.words()
    _unmeant(history, found)
    _owed(history, found)
    for done, before in unordered_answers(history):
        found.after = before.record
        words = f"taken as done after {before.record}, of the same day: nothing says which came first"
        found.lines.append(Line(text=words, places=(done.place, before.place)))
    if check.once or check.once_date:
        _once(history, found)
    elif check.life:
        _life(history, found)
    else:
        _every(history, found)
    for limit in check.directed:
        found.ended = False
        found.lines.append(Line(text=f"a directive asks for it every {limit}, whatever the check says besides"))
        _recurring(history, limit, found)
    return found


def _unmeant(history: CheckHistory, found: Reckoned) -> None:
    """What `owed-after` names that is not there, or may stand in a line that is wrong: whether it came is unknown. So
    is what counts on a position that is not there, or by a limit that no aircraft comes to.
    """
    logbook = history.chronicle.logbook
    check = history.check
    if check.counts_on is not None and logbook.id_now(check.counts_on) not in history.aircraft.positions:
        found.not_known(f"no position is called `{check.counts_on}`, on whose part it would count")
    elif check.counts_on is not None:
        for each in sat_unsaid(history.chronicle).get(logbook.id_now(check.counts_on), ()):
            found.not_known(each.words)
    for limit in (*check.every, *check.once, *check.life, *check.first, *check.directed):
        if isinstance(limit, Limit) and limit.never_comes:
            found.not_known(f"{limit} is more than ever comes")
    known: dict[str, Mapping[str, object]] = {DID: logbook.checks, INSTALLED: history.aircraft.positions}
    for trigger in history.check.owed_after:
        what, ids = trigger.what, known.get(trigger.verb)
        if logbook.meant_to_be_disturbed(what) if ids is None else logbook.id_now(what) not in ids:
            found.not_known(f"nothing is called `{what}`, after which it would be owed")
        elif (place := unsaid(logbook, trigger.verb)) is not None:
            found.not_known(f"whether `{trigger}` came is not known before {place} is in order")


def _owed(history: CheckHistory, found: Reckoned) -> None:
    """Owed at once after a trigger that nothing done since has answered; with `first` it begins a sequence instead."""
    open_ones = [*still_owing(history)]
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
        for done in history.told:
            if last.moment.record in done.unasked:
                known = f"ticked in {done.record}, a page that was open then, and sealed before that was written down"
                cure = f"where it was done after that, `work {history.check.id}` of that day says so"
                found.lines.append(Line(text=f"{known}: {cure}", places=(done.place,)))
        if all(each.unsaid for each in counted):
            cure = f"`opened: none` there says that it stayed on, `opened: [{last.by}]` that it did not"
            found.lines.append(Line(text=f"{last.by} is taken as off, as {last.moment.record} does not say: {cure}"))


def _once(history: CheckHistory, found: Reckoned) -> None:
    if history.dones:
        done = history.dones[-1]
        found.ended = True
        found.lines.append(Line(text=f"to be done once, and done on {done.date}", places=(done.place,)))
        return
    if history.check.once_date is not None:
        line = Line(text=f"to be done once, by {history.check.once_date}", places=(history.check.place,))
        found.points.append(DuePoint(date=history.check.once_date, lines=(line,)))
        return
    found.count(history, history.check.once, history.start())


def _life(history: CheckHistory, found: Reckoned) -> None:
    """A life ends with a new part, not with a tick: what was done does not count, and a refit changes nothing.

    An owner's overhaul never zeroes the time since new (14 CFR 91.421): only a life `from overhaul` begins anew.
    """
    part = history.part
    for limit in history.check.life:
        if part is None and limit.start in (FROM_MADE, FROM_OVERHAUL):
            found.not_known(f"which part is fitted in {history.check.counts_on} is not on record")
        elif part is None or (not limit.is_calendar and limit.unit != HOURS):
            base = history.since_overhaul() if limit.start == FROM_OVERHAUL else history.start()
            found.count(history, (limit,), base)
        elif limit.is_calendar:
            _life_by_calendar(history, part, limit, found)
        else:
            _life_by_hours(history, part, limit, found)


def _life_by_calendar(history: CheckHistory, part: Fitting, limit: Limit, found: Reckoned) -> None:
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
    found.count(history, (limit,), base)


def _life_by_hours(history: CheckHistory, part: Fitting, limit: Limit, found: Reckoned) -> None:
    word, own = "new", part.since_new
    if limit.start == FROM_OVERHAUL and not _never_overhauled(part):
        word, own = "overhaul", part.since_overhaul
    if own is None:
        found.not_known(f"the time since {word} of serial {part.serial} is not on record ({part.told.place})")
        return
    found.count(history, (limit,), history.from_own(part, own, word))


def _never_overhauled(part: Fitting) -> bool:
    return part.overhauled is None and part.since_overhaul is None


def _every(history: CheckHistory, found: Reckoned) -> None:
    check = history.check
    if check.marked:
        mark = history.last_mark
        if mark is not None:
            line = Line(text=f"marked on the part: good until {mark.until}", places=(mark.moment.place,))
            found.points.append(DuePoint(date=mark.until, lines=(line,)))
            # What was done since may have put another part in its place.
            for done in history.dones[-1:]:
                if done.record != mark.moment.record and mark.moment.clearly_before(done, history.clock):
                    found.not_known(f"the date that the part carries since {done.date} is not on record")
        else:
            part = history.unmarked
            which = f"serial {part.serial} in {part.position}, since {part.start.date}," if part else "the part"
            found.not_known(f"the date that {which} carries is not on record")
    begun = list(starts(history)) if check.first else []
    for start in begun:
        _sequence(history, start, found)
    limits = tuple(term for term in check.every if isinstance(term, Limit))
    if not (begun and stands_in(history)):
        for limit in limits:
            _recurring(history, limit, found)


def _sequence(history: CheckHistory, start: Start, found: Reckoned) -> None:
    """The entries of `first` that one beginning still asks for.

    A doing answers every entry whose point it has reached, and the next one if little of it is left.
    """
    check, moment = history.check, start.moment
    open_ones = open_entries(history, moment)
    if open_ones is None:
        what = start.trigger or "the fitting"
        found.brought = f"{what} was brought forward ({moment.place}); nothing says what was done after it"
        return
    base = Base(
        words=start.words, date=moment.date, totals=dict(moment.totals), estimated=moment.estimated, place=moment.place
    )
    for entry in open_ones:
        point = point_of(check.first[entry], base, history.aircraft)
        if point is None and moment.brought:
            continue  # Something was done since a fitting that nobody knows the total of.
        if point is None:
            found.not_known(history.why_not(check.first[entry], base))
            continue
        count = Line(text=f"limit {entry + 1} of {len(check.first)} under `first`")
        found.points.append(
            DuePoint(
                date=point.date, meter=point.meter, unit=point.unit, total=point.total, lines=(count, *point.lines)
            )
        )


def _recurring(history: CheckHistory, limit: Limit, found: Reckoned) -> None:
    """The due point of a recurring limit after all that was done.

    Done early, the next one counts from the doing; within `grace` from when it was due; later than that the whole
    grace is taken off (14 CFR 91.409(b): due 1100.0, done 1106.0, next 1200.0; done early at 1095.0, next 1195.0).
    """
    grace = history.check.grace
    allowed = grace_of(limit, grace, history.aircraft)
    base = history.own_start()
    # Where nothing is charged only the last doing says anything.
    for done in history.dones if allowed is not None else history.dones[-1:]:
        at = history.base(done, "last done")
        due = point_of(limit, base, history.aircraft, grace) if base is not None and allowed is not None else None
        base = at if due is None or allowed is None else _charged(due, allowed, at, done.place)
    point = point_of(limit, base, history.aircraft, grace) if base is not None else None
    if point is not None:
        found.points.append(point)
    else:
        found.not_known(history.why_not(limit, base))


def _charged(due: DuePoint, allowed: Limit, done: Base, place: Place) -> Base:
    """What the next one counts from when this one was due and was done: the excess charged, at most the grace."""
    totals = dict(done.totals)
    date, words = done.date, done.words
    if due.date is not None and due.grace_date is not None and date is not None and date > due.date:
        # A month is taken off the day on which it was done, not the days that the month after the old due date has.
        since = due.date if date <= due.grace_date else allowed.before(date)
        words = f"done on {date}, {so_many((date - since).days, DAYS)} past due, to be taken off: counted"
        date = since
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
