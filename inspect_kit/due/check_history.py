"""A check with the part that it counts on: when it was done to that part, and what its limits count from."""

from dataclasses import replace
from decimal import Decimal

from inspect_kit.due.answer import Line
from inspect_kit.due.chronicle import CarriedDate, Chronicle
from inspect_kit.due.fitting import (
    Fitting,
    Fittings,
    between_stays,
    done_to,
    gain_at_least,
    may_hold,
    own_position,
    present,
    stays_in,
    used_before,
)
from inspect_kit.due.limits import Base
from inspect_kit.due.moments import Moment
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import HOURS, Limit

# Which part something was seen on: no other than the one that is there now, another, or nobody knows.
ALONE, ANOTHER, UNSURE = "alone", "another", "unsure"


class CheckHistory:
    """A check with the part it counts on: when it was done to it, and what its limits count from."""

    def __init__(self, check: Check, chronicle: Chronicle, fittings: Fittings) -> None:
        self.check, self.chronicle, self.clock = check, chronicle, chronicle.clock
        self.aircraft = chronicle.logbook.aircraft
        self.part: Fitting | None = None
        self.history: tuple[Fitting, ...] = ()
        # Of the first part on record nobody may have written down when it came.
        self.empty = self.is_first = False
        dones, again = chronicle.done.get(check.id, ()), chronicle.again.get(check.id, ())
        if check.counts_on is not None:
            self.history = history = fittings.get(chronicle.logbook.id_now(check.counts_on), ())
            self.part = present(history)
            self.empty = bool(history) and self.part is None
            if self.part is not None:
                self.is_first = history[0].start == self.part.start
                here, others = _stays(self.part, history)
                dones = tuple(done for done in dones if done_to(here, others, done, self.clock))
                again = tuple(done for done in again if done_to(here, others, done, self.clock))
        self.dones = dones
        # Of one doing told twice either record may say in which order it was done.
        self.told = tuple(sorted((*dones, *again), key=lambda done: (done.order, done.record))) if again else dones
        self.marks, self.unmarked = self._marks(fittings) if check.marked else ((), None)

    def was_done_to(self, part: Fitting, history: tuple[Fitting, ...], moment: Moment) -> bool:
        """Whether something was done to a part in its position, and not perhaps to another that was there."""
        return done_to(*_stays(part, history), moment, self.clock)

    def part_at(self, moment: Moment) -> str:
        """Which part something was seen on at a moment, as against that which is there now.

        That ALONE where no other is on record then: it was on the bench, or it is the first on record, not new when it
        was written down. Surely ANOTHER that was in the position, or came back to it. Else UNSURE: with nothing there
        it may have been seen on the one that came next.
        """
        part = self.part
        if part is None:
            return UNSURE
        if self._is_before_all(moment) or between_stays(part, self.history, moment, self.clock):
            return ALONE
        if any(may_hold(stay, moment, self.clock) for stay in stays_in(part)):
            return UNSURE
        own = {stay.start.record for stay in stays_in(part)}
        others = [stay for stay in self.history if stay.start.record not in own]
        was_there = any(stay.holds(moment, self.clock) for stay in others)
        came_back = any(between_stays(stay, self.history, moment, self.clock) for stay in others)
        surely = was_there or came_back or moment.clearly_before(self.history[0].start, self.clock)
        return ANOTHER if surely else UNSURE

    def _is_before_all(self, moment: Moment) -> bool:
        """Whether a moment is before the first part on record, which is the one there now and was not new then."""
        if self.part is None or not self.history or not moment.clearly_before(self.history[0].start, self.clock):
            return False
        first = self.history[0]
        own = {(stay.serial, stay.start.record) for stay in stays_in(self.part)}
        return first.since_new != 0 and (first.serial, first.start.record) in own

    def _marks(self, fittings: Fittings) -> tuple[tuple[CarriedDate, ...], Fitting | None]:
        """The dates that were read on the part which is there now; and that part, where all are another's.

        A check that does not say on which part it counts looks at the one that it is called after.
        """
        marks = self.chronicle.marks.get(self.check.id, ())
        history = fittings.get(own_position(self.check, self.chronicle.logbook), ())
        part = present(history)
        if part is None:
            return marks, None
        here, others = _stays(part, history)
        own = tuple(
            mark
            for mark in marks
            if done_to(here, others, mark.read, self.clock) or between_stays(part, history, mark.read, self.clock)
        )
        return own, part if marks and not own else None

    @property
    def last_mark(self) -> CarriedDate | None:
        """The date that the part carries; of several of one day whose order is not on record the earliest."""
        last = [
            mark
            for mark in self.marks
            if not any(mark.moment.clearly_before(other.moment, self.clock) for other in self.marks)
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
        if part is not None and not part.holds(moment, self.clock) and not self._is_before_all(moment):
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
            return None if began is None else self.base(began, f"never done; {self.chronicle.began_words}")
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

    def since_overhaul(self) -> Base | None:
        """What use that is not in hours counts from since the part's last overhaul: the fitting at which it had run
        none since, as far as the records say one; else that of the overhaul before, at last the first.
        """
        part = self.part
        stays = part.stays if part is not None else ()
        for number in reversed(range(len(stays))):
            stay, before = stays[number], stays[number - 1] if number else None
            if part is None or stay.brought or stay.since_overhaul != 0:
                continue
            if before is not None and before.since_overhaul == 0 and before.overhauled == stay.overhauled:
                assert before.end is not None
                if not gain_at_least(before.told, before.end, self.clock):
                    continue  # It came back as it was.
            since = replace(part, before=stays[number:-1])
            totals: dict[str, Decimal | None] = {}
            for meter, then in part.start.totals.items():
                used = used_before(since, None, meter, self.clock)
                totals[meter] = None if used is None or then is None else then - used
            words = "overhauled, and fitted" + (" (time on the bench left out)" if since.before else "")
            estimated = stay.start.estimated | part.start.estimated
            return Base(
                words=words, date=stay.start.date, totals=totals, estimated=estimated, place=stay.start.place
            )
        return self.start()

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
        at = part.told.totals.get(self.clock)
        words = f"serial {part.serial} had {own} h since {word}" if at is None else f"since {word}: {own} h at {at}, so"
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
        if told := self.chronicle.histories[meter].begun_late:
            return told
        return f"what {meter} had when `{base.words}` is not on record"


def _stays(part: Fitting, history: tuple[Fitting, ...]) -> tuple[tuple[Fitting, ...], tuple[Fitting, ...]]:
    """The stays of a part in its position, and those of the other parts there."""
    here = tuple(stays_in(part))
    own = {(stay.serial, stay.start.record) for stay in here}
    return here, tuple(stay for stay in history if (stay.serial, stay.start.record) not in own)
