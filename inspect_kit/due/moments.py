"""The moment of each record: its date, the total of every meter then, and what it came after on its day."""

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import field, replace
from decimal import Decimal

from inspect_kit.errors import Place
from inspect_kit.model.first_flown import first_flown
from inspect_kit.model.followed import followed
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import MeterHistory
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.written_since import written_since
from inspect_kit.noun import dataclass

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A point in the life of the aircraft: a date and the total of every meter.

    A total is None where nothing says it. `estimated` names the meters that the record does not read: then `totals`
    has the last total of an earlier day, the least it can have been, and `latest` the first one of a later day, the
    most. `evening` is the last total of time in service of that very day.
    `brought` marks what was carried over from before records began, or from an entry on paper. `date` is None where
    only totals are known; `clock` is the total of time in service, None where it was not read. `follows` are the
    records of that day which it came after, by what they say; `order` puts it after them. `unasked` are those of days
    on which a page was open that were written down once it was sealed.
    """

    date: dt.date | None
    totals: Mapping[str, Decimal | None]
    latest: Mapping[str, Decimal | None] = field(default_factory=dict)
    clock: Decimal | None = None
    evening: Decimal | None = None
    estimated: frozenset[str] = frozenset()
    record: str = ""
    place: Place
    brought: bool = False
    follows: frozenset[str] = frozenset()
    unasked: frozenset[str] = frozenset()
    order: tuple[dt.date, Decimal, int, Decimal]

    def at_most(self, meter: str) -> Decimal | None:
        """The most that a meter can have had."""
        return self.latest.get(meter, self.totals.get(meter))

    def surely_before(self, later: "Moment", meter: str) -> bool:
        """Whether this one is certainly not after `later`, by time in service on `meter` where both are of one day.

        Two records of one day without a reading count as one after the other, in the order that is asked about, unless
        one says by `follows` which came first.
        """
        if self.record and self.record == later.record and self.date == later.date:
            return True
        if (said := self._said_before(later)) is not None:
            return said
        if self.date is None or later.date is None:
            return self.brought and (not later.brought or _not_above(self.clock, later.clock))
        if self.date != later.date:
            return self.date < later.date and self.record not in later.unasked
        if self.clock is None and later.clock is None:
            return True
        before = self.evening if self.clock is None else self.clock
        return _not_above(before, later.totals.get(meter))

    def _said_before(self, later: "Moment") -> bool | None:
        """Whether it came before another of its day, where one of the two says so; None where neither does."""
        if self.record in later.follows:
            return True
        return False if later.record in self.follows else None

    def clearly_before(self, later: "Moment", meter: str) -> bool:
        """Whether this one came before another beyond doubt: by its day, the readings of both or their word."""
        if (said := self._said_before(later)) is not None:
            return said
        if self.date is not None and later.date is not None:
            if self.date != later.date:
                return self.date < later.date
            if self.clock is None or later.clock is None:
                return False
        return self.surely_before(later, meter) and not later.surely_before(self, meter)

    def is_answered_by(self, later: "Moment", meter: str) -> bool:
        """Whether what this one asks for was clearly done later; not by a tick of which nobody was asked that."""
        return self.record not in later.unasked and self.clearly_before(later, meter)

    def is_tied(self, other: "Moment", meter: str) -> bool:
        """Whether two records are of one day, and neither its readings nor its word says which came first."""
        if self.date is None or self.date != other.date or self.record == other.record:
            return False
        return not self.clearly_before(other, meter) and not other.clearly_before(self, meter)

    def is_read_as(self, other: "Moment") -> bool:
        """Whether two have the same totals, or at least of all meters that both of their records read."""
        if self.totals == other.totals:
            return True
        both = [meter for meter in self.totals if meter not in self.estimated and meter not in other.estimated]
        return bool(both) and all(self.totals[meter] == other.totals.get(meter) for meter in both)


def _not_above(low: Decimal | None, high: Decimal | None) -> bool:
    return low is not None and high is not None and low <= high


class RecordMoments(Mapping[str, Moment]):
    """The moment of each record by its name, made when somebody asks for it."""

    def __init__(self, totals: "Totals", records: Iterable[Record]) -> None:
        self._totals = totals
        self._records = {record.name: record for record in records}
        self._made: dict[str, Moment] = {}

    def __getitem__(self, name: str) -> Moment:
        made = self._made.get(name)
        if made is None:
            made = self._made[name] = self._totals.moment(self._records[name])
        return made

    def __iter__(self) -> Iterator[str]:
        return iter(self._records)

    def __len__(self) -> int:
        return len(self._records)


class Totals:
    """Answers what each meter had at a record or on a day."""

    def __init__(self, histories: dict[str, MeterHistory], clock: str, logbook: Logbook) -> None:
        self.histories, self.clock = histories, clock
        self.followed = followed(logbook).before
        self.unasked = written_since(logbook)
        # A meter that was never read says nothing of any day.
        self.unread = frozenset(meter for meter, history in histories.items() if not history.points)
        self.read = tuple(meter for meter in histories if meter not in self.unread)
        self.nothing: dict[str, Decimal | None] = dict.fromkeys(histories)
        # What was brought forward, by the day of it.
        self.starts: dict[dt.date, dict[str, Decimal]] = {}
        for meter, history in histories.items():
            for point in (history.at_record[name] for name in history.starts if name in history.at_record):
                self.starts.setdefault(point.date, {})[meter] = point.total

    def moment(self, record: Record) -> Moment:
        totals, latest, estimated, is_read = self.nothing.copy(), self.nothing.copy(), self.unread, True
        evening: Decimal | None = None
        said: Mapping[str, Decimal] = record.totals if isinstance(record, PageRecord | PaperEntry) else {}
        for meter in self.read:
            at = self.histories[meter].at(record)
            if meter == self.clock:
                evening = at.evening
            totals[meter], latest[meter] = at.total, at.latest
            is_read = is_read and not at.estimated
            if at.estimated and meter not in said:
                estimated |= {meter}
        if is_read:
            # As nearly all records do that have a reading at all: of many thousands one mapping each is enough.
            latest = totals
        for meter, total in said.items():
            most = latest.get(meter)
            if most is not None and total > most:
                # A later reading is below it: a slip, and it was done at what the readings leave.
                continue
            if meter in self.unread or (meter in totals and self.histories[meter].at(record).estimated):
                totals[meter] = latest[meter] = total
                estimated -= {meter}
        if record.date in self.starts:
            known = {meter: total for meter, total in totals.items() if meter not in estimated}
            if self._before_start(record.date, known):
                totals |= {meter: self._evening_before(meter, record.date) for meter in estimated - self.unread}
        follows = self.followed.get(record.name, frozenset())
        return Moment(
            date=record.date,
            totals=totals,
            latest=latest,
            clock=None if self.clock in estimated else totals[self.clock],
            evening=evening,
            estimated=estimated,
            record=record.name,
            place=record.place,
            follows=follows,
            unasked=self.unasked.get(record.name, frozenset()),
            order=self._order(record.date, totals[self.clock] or ZERO, follows),
        )

    def _before_start(self, date: dt.date | None, known: Mapping[str, Decimal | None]) -> bool:
        """Whether something of a day on which a total was brought forward has less than that, and so came before."""
        started = self.starts.get(date, {}) if date is not None else {}
        return any((total := known.get(meter)) is not None and total < least for meter, least in started.items())

    def _evening_before(self, meter: str, date: dt.date) -> Decimal | None:
        return self.histories[meter].by(date - dt.timedelta(days=1))

    def _order(
        self, date: dt.date, total: Decimal, follows: Collection[str]
    ) -> tuple[dt.date, Decimal, int, Decimal]:
        """Where a record stands in the order of its day: no sooner than any which it came after; of two that came after
        the same that with the least total of its own is the last, so that nothing is due later than it may be.
        """
        read = self.histories[self.clock].at_record
        least = max((total, *(read[name].total for name in follows if name in read)))
        return date, least, len(follows), least - total

    def brought(
        self, record: BroughtForward, date: dt.date | None, totals: Mapping[str, Decimal], place: Place
    ) -> Moment:
        """When something was last done, or fitted, before records began, as the brought-forward record says."""
        known: dict[str, Decimal | None] = {}
        estimated = set()
        before = self._before_start(date, totals)
        for meter, history in self.histories.items():
            known[meter] = totals.get(meter)
            today = record.reads.get(meter)
            if today is not None and meter in totals and totals[meter] > today.total:
                # More than the aircraft had when it was written down: at which total it was is not known.
                known[meter] = None
            elif known[meter] is None and date is not None:
                known[meter] = self._evening_before(meter, date) if before else history.earlier(date)
                estimated.add(meter)
        return Moment(
            date=date,
            totals=known,
            clock=known[self.clock] if self.clock in totals else None,
            estimated=frozenset(estimated),
            record=record.name,
            place=place,
            brought=True,
            order=(date or dt.date.min, known[self.clock] or ZERO, 0, ZERO),
        )

    def came(self, record: BroughtForward, part: Installed) -> Moment:
        """When a part that was brought forward was fitted.

        Where that was not read it had the last total of an earlier day, and no less than its own hours leave: it ran no
        longer here than since it was new, nor than since an overhaul before it came.
        """
        moment = self.brought(record, part.fitted_on, {}, part.place)
        least, told = moment.totals.get(self.clock), record.reads.get(self.clock)
        if part.fitted_on is None or least is None or told is None:
            return moment
        since = [part.since_new]
        if part.overhauled is not None and part.overhauled <= part.fitted_on:
            since.append(part.since_overhaul)
        own = [told.total - hours for hours in since if hours is not None]
        # What readings and own hours say against each other is no better known by either.
        most = self.histories[self.clock].later(part.fitted_on)
        total = max([least, *own])
        total = total if most is None else max(least, min(total, most))
        return replace(moment, totals={**moment.totals, self.clock: total})

    def began(self, logbook: Logbook) -> Moment | None:
        """The certificate date, or the first reading where it flew before that, if the first reading of time in service
        on record is a total of 0, and not only a paper logbook says so: its words tick no check, so that silence is no
        "never done".
        """
        certificate, place = logbook.aircraft.certificate_date, logbook.aircraft.place
        own = self.histories[self.clock]
        # A clock that came later began nothing.
        points = (own.before or own).points
        if not points or points[0].total != 0:
            return None
        # Flown before it, so it is a later certificate, or a slip: what began earlier counts.
        if first_flown(self.histories, logbook.aircraft) is not None:
            certificate, place = min(points[0].date, certificate), points[0].place
        totals = {meter: history.earlier(certificate) for meter, history in self.histories.items()}
        paper = {entry.name for entry in logbook.of_kind(PaperEntry)}
        if all(point.record in paper for point in points if point.total == 0):
            return None
        # What was brought forward later leaves that as it is: the first reading of all says that it was nothing.
        if totals[self.clock] is None and own.before is None:
            totals[self.clock] = ZERO
        return Moment(
            date=certificate, totals=totals, clock=totals[self.clock], place=place, order=(dt.date.min, ZERO, 0, ZERO)
        )
