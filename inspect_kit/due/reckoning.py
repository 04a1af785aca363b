"""When one check is due: every shape of interval, counted from what the records say."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from inspect_kit.due.answer import Line
from inspect_kit.due.chronicle import Chronicle, Moment
from inspect_kit.due.fitting import Fitting, Fittings, present, stays_of, used_between
from inspect_kit.due.limits import Base, Point, point_of
from inspect_kit.errors import Place
from inspect_kit.model.checklist import DID, DISTURBED, Check, Trigger
from inspect_kit.model.interval import AtInspection, Limit

ZERO = Decimal(0)


@dataclass(slots=True)
class Reckoned:
    """What follows for one check: due points, what it was last done, whether it is owed at once, and why.

    `unknown` says why it cannot be told; `ended` that it will never be due again.
    """

    points: list[Point] = field(default_factory=list)
    last: Moment | None = None
    owed: Moment | None = None
    unknown: str = ""
    ended: bool = False
    lines: list[Line] = field(default_factory=list)


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
    _owed(subject, found)
    if check.once or check.once_date:
        _once(subject, found)
    elif check.life:
        _life(subject, found)
    else:
        _every(subject, found)
    own = any(isinstance(term, Limit) for term in check.every)
    counted = bool(own or check.once or check.once_date or check.life)
    if counted and not (found.points or found.owed or found.ended or found.unknown):
        found.unknown = "never done on record, and nothing says from what to count"
    return found


class _Subject:
    """A check with the part it counts on: when it was done to it, and what its limits count from."""

    def __init__(self, check: Check, chronicle: Chronicle, fittings: Fittings) -> None:
        self.check, self.chronicle = check, chronicle
        self.aircraft = chronicle.logbook.aircraft
        self.stays: tuple[Fitting, ...] = ()
        self.empty = False
        dones = chronicle.done.get(check.id, ())
        if check.counts_on is not None:
            position = chronicle.logbook.id_now(check.counts_on)
            history = fittings.get(position, ())
            part = present(history)
            self.empty = bool(history) and part is None
            if part is not None:
                self.stays = stays_of(history, part)
                dones = tuple(done for done in dones if any(stay.holds(done) for stay in self.stays))
        self.dones = dones

    @property
    def part(self) -> Fitting | None:
        return self.stays[-1] if self.stays else None

    def words(self) -> list[Line]:
        """Which part is fitted, where the check counts on one."""
        part = self.part
        if part is None:
            return []
        own = [f"{part.since_new} h since new" if part.since_new is not None else ""]
        own.append(f"{part.since_overhaul} h since overhaul" if part.since_overhaul is not None else "")
        told = ", ".join(words for words in own if words)
        name = f"{part.part} " if part.part else ""
        text = f"fitted in {part.position}: {name}serial {part.serial}, on {part.start.date}"
        return [Line(text=text + (f", with {told}" if told else ""), places=(part.start.place,))]

    def base(self, moment: Moment, words: str) -> Base:
        """What a limit counts from; where a part was away from the aircraft, its total is moved by that."""
        totals: dict[str, Decimal | None] = dict(moment.totals)
        part = self.part
        if part is not None and len(self.stays) > 1 and not part.start.order <= moment.order:
            for meter in totals:
                used = used_between(self.stays, moment, meter)
                start = part.start.totals.get(meter)
                totals[meter] = None if used is None or start is None else start - used
            words = f"{words} on this part (time on the bench left out)"
        return Base(words=words, date=moment.date, totals=totals, estimated=moment.estimated, place=moment.place)

    def start(self) -> Base | None:
        """What a check that was never done counts from: the fitting, or the certificate date of a new aircraft."""
        if self.part is not None:
            return self.base(self.part.start, "fitted")
        if self.chronicle.began is not None:
            return self.base(self.chronicle.began, "never done; certificate date")
        return None

    def own_start(self, *, new_only: bool) -> Base | None:
        """What the part's own hours count from: overhaul (unless `new_only`) or new, brought-forward hours included.

        An owner's overhaul never zeroes the time since new (14 CFR 91.421): a life counts since new alone.
        """
        part = self.part
        if part is None:
            return self.start()
        own = part.since_new if new_only or part.since_overhaul is None else part.since_overhaul
        word = "new" if new_only or part.since_overhaul is None else "overhaul"
        base = self.base(part.start, "fitted")
        clock = self.chronicle.clock
        fitted_at = part.start.totals.get(clock)
        if own is None or fitted_at is None:
            return base
        totals = base.totals | {clock: fitted_at - own}
        words = f"since {word}: {own} h when fitted at {fitted_at}, so"
        return Base(words=words, date=base.date, totals=totals, estimated=base.estimated, place=base.place)


def _owed(subject: _Subject, found: Reckoned) -> None:
    """Owed at once after a trigger that nothing done since has answered; with `first` the trigger begins a sequence."""
    trigger = latest_trigger(subject)
    if trigger is None or subject.check.first:
        return
    moment, words = trigger
    if not any(done.order >= moment.order for done in subject.dones):
        found.owed = moment
        found.lines.append(Line(text=f"owed after `{words}` on {moment.date}: due at once", places=(moment.place,)))


def latest_trigger(subject: _Subject) -> tuple[Moment, Trigger] | None:
    """The last moment at which something happened that `owed-after` names.

    Where the check counts on a part, what happened before that part came to the aircraft does not concern it.
    """
    since = subject.stays[0].start.order if subject.stays else None
    happened = [
        (moment, trigger)
        for trigger in subject.check.owed_after
        for moment in _moments(subject.chronicle, trigger)
        if since is None or moment.order >= since
    ]
    return max(happened, key=lambda each: each[0].order, default=None)


def _moments(chronicle: Chronicle, trigger: Trigger) -> tuple[Moment, ...]:
    name = chronicle.logbook.id_now(trigger.what)
    if trigger.verb == DID:
        # What a paper logbook says was done was done whole: only what is done from here on makes something owed.
        return tuple(moment for moment in chronicle.done.get(name, ()) if not moment.brought)
    return (chronicle.disturbed if trigger.verb == DISTURBED else chronicle.installed).get(name, ())


def _once(subject: _Subject, found: Reckoned) -> None:
    if subject.dones:
        done = subject.dones[-1]
        found.ended = True
        found.lines.append(Line(text=f"to be done once, and done on {done.date}", places=(done.place,)))
        return
    if subject.check.once_date is not None:
        line = Line(text=f"to be done once, by {subject.check.once_date}", places=(subject.check.place,))
        found.points.append(Point(date=subject.check.once_date, lines=(line,)))
        return
    found.points += _counted(subject, subject.check.once, subject.start())


def _life(subject: _Subject, found: Reckoned) -> None:
    """A life ends with a new part, not with a tick: what was done does not count."""
    part = subject.part
    hours = subject.own_start(new_only=True)
    for limit in subject.check.life:
        if limit.is_calendar or part is None or limit.unit != "h":
            found.points += _counted(subject, (limit,), subject.start())
        elif part.since_new is None:
            found.unknown = f"the time since new of serial {part.serial} is not on record ({part.start.place})"
        else:
            found.points += _counted(subject, (limit,), hours)


def _counted(subject: _Subject, limits: tuple[Limit, ...], base: Base | None) -> list[Point]:
    points = (point_of(limit, base, subject.aircraft) for limit in limits) if base else iter(())
    return [point for point in points if point is not None]


def _every(subject: _Subject, found: Reckoned) -> None:
    check = subject.check
    if check.marked:
        marks = subject.chronicle.marks.get(check.id, ())
        if marks:
            line = Line(text=f"marked on the part: good until {marks[-1].until}", places=(marks[-1].moment.place,))
            found.points.append(Point(date=marks[-1].until, lines=(line,)))
        else:
            found.unknown = "the date that the part carries is not on record"
    found.points += _first(subject)
    limits = tuple(term for term in check.every if isinstance(term, Limit))
    if limits and not (check.first and not _answered(subject)):
        found.points += [point for limit in limits for point in _recurring(subject, limit)]


def _sequence_start(subject: _Subject) -> Base | None:
    """What the `first` limits count from: the last trigger, else the fitting or the certificate date."""
    trigger = latest_trigger(subject)
    if trigger is not None:
        return subject.base(trigger[0], f"after `{trigger[1]}`")
    return None if subject.check.owed_after else subject.start()


def _since_start(subject: _Subject) -> tuple[Moment, ...]:
    """What was done since the sequence began; something done on the very day and total of its start is not."""
    trigger = latest_trigger(subject)
    if trigger is not None:
        return tuple(done for done in subject.dones if done.order > trigger[0].order)
    return subject.dones


def _answered(subject: _Subject) -> bool:
    """Whether the sequence of `first` has been begun, or there is none: then `every` counts as well."""
    return bool(_since_start(subject)) or _sequence_start(subject) is None


def _first(subject: _Subject) -> Iterator[Point]:
    """The next of the `first` limits. Each done answers the next one, and every one that had passed by then."""
    base = _sequence_start(subject) if subject.check.first else None
    if base is None:
        return
    answered = 0
    for done in _since_start(subject):
        passed = 0
        for limit in subject.check.first:
            point = point_of(limit, base, subject.aircraft)
            passed += point is not None and _reached(point, subject.base(done, ""))
        answered = max(answered + 1, passed)
    for number, limit in enumerate(subject.check.first[answered : answered + 1], start=answered + 1):
        point = point_of(limit, base, subject.aircraft)
        if point is not None:
            count = Line(text=f"limit {number} of {len(subject.check.first)} under `first`")
            yield Point(
                date=point.date, meter=point.meter, unit=point.unit, total=point.total, lines=(count, *point.lines)
            )


def _reached(point: Point, at: Base) -> bool:
    if point.date is not None:
        return at.date is not None and at.date >= point.date
    total = at.totals.get(point.meter or "")
    return total is not None and point.total is not None and total >= point.total


def _recurring(subject: _Subject, limit: Limit) -> Iterator[Point]:
    """The due point of a recurring limit after all that was done.

    With `grace` the next one counts from the earlier of due and done (14 CFR 91.409(b): due 1100.0, done 1106.0, next
    1200.0; done early at 1095.0, next 1195.0); otherwise from done.
    """
    check = subject.check
    grace = check.grace
    base = subject.start() if limit.is_calendar or limit.unit != "h" else subject.own_start(new_only=False)
    for done in subject.dones:
        at = subject.base(done, "last done")
        due = point_of(limit, base, subject.aircraft, grace) if base is not None else None
        base = _earlier(due, at, done.place) if grace and due is not None else at
    point = point_of(limit, base, subject.aircraft, grace) if base is not None else None
    if point is not None:
        yield point


def _earlier(due: Point, done: Base, place: Place) -> Base:
    """The earlier of due and done, on the measure that the limit counts."""
    totals = dict(done.totals)
    date, words = done.date, done.words
    if due.date is not None and date is not None and due.date < date:
        words = f"done on {date}, counted from when it was due,"
        date = due.date
    if due.meter is not None and due.total is not None:
        total = totals.get(due.meter)
        if total is not None and due.total < total:
            words = f"done at {total}, counted from when it was due,"
            totals[due.meter] = due.total
    return Base(words=words, date=date, totals=totals, estimated=done.estimated, place=place)


def inspection_names(check: Check) -> tuple[str, ...]:
    """The inspections whose due point is one of the check's own."""
    return tuple(term.name for term in check.every if isinstance(term, AtInspection))
