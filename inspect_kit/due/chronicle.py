"""All records by what they did, at their dates and totals; what was brought forward or on paper is marked so."""

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import field, replace
from decimal import Decimal

from inspect_kit.due.to_come import done_by
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import plain_name
from inspect_kit.model.checklist import INSPECTOR, Check, Panel
from inspect_kit.model.finding import DONE
from inspect_kit.model.followed import followed
from inspect_kit.model.interval import may_be_marked
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import MeterHistory, Point
from inspect_kit.model.other_eyes import no_other
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

ZERO = Decimal(0)
# The kinds that say what was done, to what, or when it was done before.
DOING = (PageRecord, PaperEntry, Installed, BroughtForward)
# The name of what `chronicle` reckons.
SORTED = "chronicle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A point in the life of the aircraft: a date and the total of every meter.

    A total is None where nothing says it. `estimated` names the meters that the record does not read: then `totals`
    has the last total of an earlier day, the least it can have been, and `latest` the first one of a later day, the
    most. `evening` is the last total of time in service of that very day.
    `brought` marks what was carried over from before records began, or from an entry on paper. `date` is None where
    only totals are known; `clock` is the total of time in service, None where it was not read. `follows` are the
    records of that day which it came after, by what they say; `order` puts it after them.
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
            return self.date < later.date
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


def _not_above(low: Decimal | None, high: Decimal | None) -> bool:
    return low is not None and high is not None and low <= high


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedDate:
    """The next date that a part itself carries, and the record that keeps it."""

    moment: Moment
    until: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Disturbance:
    """Something disturbed at a moment, and the check or panel of today's checklists that did it; "" where none is."""

    moment: Moment
    by: str = ""


# Why an inspection on record does not count.
NOT_PASSED, UNSIGNED, BROKEN_SEAL, TAKEN_BACK = "not passed", "not signed", "seal broken", "tick taken back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncounted:
    """An inspection on record that does not count: the sort of reason, and the reason in words."""

    record: Inspection
    moment: Moment
    sort: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chronicle:
    """Everything that counts for due points, by today's ids, each list in order.

    `again` are the doings told a second time, by another record of the same day and readings: they count once, and
    are not among `done`.
    `began` is the certificate date if records begin there at total 0, else None. `inspections` are those that count:
    passed, signed, the seal whole, no tick taken back; `uncounted` all others that no later one that counts made good.
    `fitted` are the fittings that were brought forward, by record and position. `sequences` are the checks that each
    record did, in order; `left_owed` what it says that it left owed. `sealed_before` is, by the name of a
    record, the one that its page was sealed as before, not passed; `not_again` are the checks, with the name of the
    record, that stood there so already: they were not done again, and are not among `done`.
    """

    logbook: Logbook
    histories: Mapping[str, MeterHistory]
    began: Moment | None
    moments: Mapping[str, Moment]
    done: Mapping[str, tuple[Moment, ...]]
    again: Mapping[str, tuple[Moment, ...]]
    marks: Mapping[str, tuple[CarriedDate, ...]]
    disturbed: Mapping[str, tuple[Disturbance, ...]]
    installed: Mapping[str, tuple[Moment, ...]]
    inspections: Mapping[str, tuple[Moment, ...]]
    uncounted: Mapping[str, tuple[Uncounted, ...]]
    fitted: Mapping[tuple[str, str], Moment]
    sequences: Mapping[str, tuple[str, ...]]
    left_owed: Mapping[str, frozenset[str]]
    not_again: frozenset[tuple[str, str]]
    sealed_before: Mapping[str, Inspection]

    def in_the_words_of(self, twin: Logbook) -> Logbook:
        """A logbook of the same records, panels and checks, of which others bar flight: it need not be sorted anew."""
        twin.once(SORTED, lambda: replace(self, logbook=twin))
        return twin

    @property
    def clock(self) -> str:
        """The meter that stands for time in service."""
        return self.logbook.aircraft.time_in_service

    def last_reading(self, meter: str) -> Point | None:
        history = self.histories.get(meter)
        return history.points[-1] if history and history.points else None

    def total_now(self, meter: str) -> Decimal | None:
        """The last recorded total; None for a meter that was never read."""
        point = self.last_reading(meter)
        return None if point is None else point.total


def seen_on(logbook: Logbook, on: dt.date) -> tuple[Logbook, tuple[Place, ...]]:
    """The logbook without the records and pages later than `on`, and without what the others say was done later; and
    the places of those left out.
    """
    later = [record.place for record in logbook.records if record.date > on]
    later += [page.place for page in logbook.pages if page.begun > on]
    if not later:
        return done_by(logbook, on), ()
    seen = replace(
        logbook.up_to(lambda record: record.date <= on),
        pages=tuple(page for page in logbook.pages if page.begun <= on),
    )
    return done_by(seen, on), tuple(sorted(later))


def chronicle(logbook: Logbook) -> Chronicle:
    """All records of a logbook sorted by what they did, once."""
    return logbook.once(SORTED, lambda: _sorted_records(logbook))


def _sorted_records(logbook: Logbook) -> Chronicle:
    histories = {name: logbook.meter_history(name) for name in logbook.aircraft.meters}
    totals = _Totals(histories, logbook.aircraft.time_in_service, logbook)
    moments = _Moments(totals, logbook.records)
    done: dict[str, list[Moment]] = {}
    same_day: dict[tuple[str, dt.date | None], list[Moment]] = {}
    again: dict[str, list[Moment]] = {}
    marks: dict[str, list[CarriedDate]] = {}
    disturbed: dict[str, list[Disturbance]] = {}
    sequences: dict[str, tuple[str, ...]] = {}
    left_owed: dict[str, frozenset[str]] = {}
    not_again: set[tuple[str, str]] = set()
    sealed_before: dict[str, Inspection] = {}
    pages = logbook.sealed_before()
    came = followed(logbook).before
    placed = {*came, *(name for names in came.values() for name in names)}
    installed: dict[str, list[Moment]] = {}
    inspections: dict[str, list[Moment]] = {}
    uncounted: dict[str, list[Uncounted]] = {}
    fitted: dict[tuple[str, str], Moment] = {}
    now = logbook.id_now
    disturbing = {name: check for name, check in logbook.checks.items() if check.disturbs}
    for record in logbook.records:
        if not isinstance(record, DOING):
            # As most records of a long life are, which say what the meters read.
            continue
        moment = moments[record.name]
        if isinstance(record, PageRecord):
            # What a broken seal no longer vouches for was not done; what it says was disturbed or read still counts.
            whole = record.name not in logbook.broken
            did = _done_on(record, logbook)
            sequences[record.name] = did if whole else ()
            left_owed[record.name] = frozenset(map(now, record.left_owed))
            early = _early(pages.get(record.name, ()), logbook)
            if early is not None:
                sealed_before[record.name] = early
                # Their day is that of the first signature, by which all that came between them is answered.
                not_again |= {
                    (check, record.name)
                    for check in sequences[record.name]
                    if _told_of(check, record, logbook) == _told_of(check, early, logbook)
                }
            anew = did if early is None else tuple(check for check in did if (check, record.name) not in not_again)
            for check in anew if whole else ():
                others = same_day.setdefault((check, moment.date), [])
                if moment.record in placed or not any(other.totals == moment.totals for other in others):
                    # Two records at the same reading of every meter tell one doing; but not where the order of that day
                    # is told of one of them.
                    done.setdefault(check, []).append(moment)
                    if moment.record not in placed:
                        others.append(moment)
                else:
                    again.setdefault(check, []).append(moment)
            for check, until in _marked_on(record, now).items() if whole else ():
                marks.setdefault(check, []).append(CarriedDate(moment=moment, until=until))
            told_before = set(_disturbed_on(early, (), logbook, disturbing)) if early is not None else set()
            for name, by in _disturbed_on(record, anew, logbook, disturbing):
                if (name, by) in told_before:
                    continue
                disturbed.setdefault(name, []).append(Disturbance(moment=moment, by=by))
        if isinstance(record, PaperEntry):
            # As with what was brought forward: nothing says what was done after it, and the paper may well say it.
            told = replace(moment, brought=True)
            for check in {now(check) for check in record.did}:
                done.setdefault(check, []).append(told)
                same_day.setdefault((check, told.date), []).append(told)
                _also_disturbed(disturbing.get(check), told, disturbed, now)
            for name in record.last if not record.counts_for_none else ():
                if record.by is None or logbook.aircraft.no_signer(record.by, name) is not None:
                    continue
                inspections.setdefault(name, []).append(moment)
        if isinstance(record, Installed):
            installed.setdefault(now(record.position), []).append(moment)
        if isinstance(record, BroughtForward):
            for name, last in record.last.items():
                before = totals.brought(record, last.date, last.totals, place_of(record, "last", name))
                if last.good_until is not None and may_be_marked(last.good_until, record.date):
                    marks.setdefault(now(name), []).append(CarriedDate(moment=before, until=last.good_until))
                if not last.done:
                    continue
                if name in logbook.aircraft.inspections:
                    if last.paper_is_none:
                        continue
                    inspections.setdefault(name, []).append(before)
                else:
                    done.setdefault(now(name), []).append(before)
                    same_day.setdefault((now(name), before.date), []).append(before)
                    _also_disturbed(disturbing.get(now(name)), before, disturbed, now)
            for part in record.fitted:
                fitted[record.name, part.position] = totals.brought(record, part.fitted_on, {}, part.place)
    # Who did it, and who looked again, may stand in either of two records that tell one doing.
    told_done = {check: [*each, *again.get(check, ())] for check, each in done.items()} if again else done
    for record in logbook.of_kind(Inspection):
        moment = moments[record.name]
        sort, why = _why_uncounted(record, moment, told_done, logbook)
        if sort:
            attempt = Uncounted(record=record, moment=moment, sort=sort, why=why)
            uncounted.setdefault(record.inspection, []).append(attempt)
        else:
            inspections.setdefault(record.inspection, []).append(moment)
    return Chronicle(
        logbook=logbook,
        histories=totals.histories,
        began=totals.began(logbook.aircraft.certificate_date, logbook.aircraft.place),
        moments=moments,
        done=_in_order(done),
        again=_in_order(again),
        marks={check: tuple(sorted(each, key=lambda mark: mark.moment.order)) for check, each in marks.items()},
        disturbed={name: tuple(sorted(each, key=_order_of)) for name, each in disturbed.items()},
        installed=_in_order(installed),
        inspections=_in_order(inspections),
        uncounted=_since_counted(uncounted, _in_order(inspections), logbook),
        fitted=fitted,
        sequences=sequences,
        left_owed=left_owed,
        not_again=frozenset(not_again),
        sealed_before=sealed_before,
    )


def _why_uncounted(
    record: Inspection, moment: Moment, done: Mapping[str, Iterable[Moment]], logbook: Logbook
) -> tuple[str, str]:
    """Why an inspection does not count, by its sort and in words; empty words when it does."""
    if record.name in logbook.broken:
        return BROKEN_SEAL, f"its seal does not hold: {logbook.broken[record.name]}"
    if not record.passed:
        return NOT_PASSED, "not passed"
    if not logbook.is_signed(record.name):
        refused = [logbook.verdict(each).words for each in logbook.signatures(record.name)]
        told = f"its signature is none: {'; '.join(refused)}" if refused else "signature not recorded"
        return UNSIGNED, f"sealed, {told}"
    open_ = _taken_back(record, moment, done, logbook)
    told = f"{', '.join(open_)} {'was' if len(open_) == 1 else 'were'} not done, as an amendment says"
    return (TAKEN_BACK, told) if open_ else ("", "")


def _taken_back(
    record: Inspection, moment: Moment, done: Mapping[str, Iterable[Moment]], logbook: Logbook
) -> list[str]:
    """The checks of an inspection that an amendment says were not done, and that were not done after it either."""
    amended = logbook.amended.get(record.name)
    open_ = []
    for name in amended.taken_back() if amended else ():
        check = logbook.checks.get(logbook.id_now(name))
        belongs = check is None or check.covers or check.at_inspection(record.inspection)
        since = [later for later in done.get(logbook.id_now(name), ()) if later.order > moment.order]
        if belongs and not any(_may_answer(later, check, record, logbook) for later in since):
            open_.append(f"`{name}`")
    return open_


def _may_answer(later: Moment, check: Check | None, of: Inspection, logbook: Logbook) -> bool:
    """Whether a doing makes good what an inspection left: an inspector's check is done by whom its signers name, one
    that wants a second look has it.

    What stands on an inspection's own page was asked about when that was signed; of whom no kind is known nobody can
    say that they may not.
    """
    made = logbook.record(later.record)
    if check is not None and check.second_look and not (made is not None and _looked_at_twice(made, check, logbook)):
        return False
    rule = logbook.aircraft.inspections.get(of.inspection)
    signers = {plain_name(kind) for kind in (*of.signers, *(rule.signers if rule else ()))}
    if (check is not None and check.who != INSPECTOR) or isinstance(made, Inspection) or not signers:
        return True
    kind = logbook.aircraft.kind_of(made.by) if made is not None and made.by is not None else ""
    return not kind or plain_name(kind) in signers


def _looked_at_twice(record: Record, check: Check, logbook: Logbook) -> bool:
    """Whether somebody else looked, whose name is written down: `TBD` or the doer's initials are no other eyes."""
    doer = record.by.name if record.by else ""
    return any(
        each.second_look and not no_other(logbook.aircraft, each.second_look, each.by or doer)
        for each in (record.results if isinstance(record, PageRecord) else ())
        if logbook.id_now(each.check) == check.id
    )


def _since_counted(
    uncounted: Mapping[str, list[Uncounted]], counted: Mapping[str, tuple[Moment, ...]], logbook: Logbook
) -> dict[str, tuple[Uncounted, ...]]:
    """The checks of an inspection that do not count, and that nothing later made good.

    A page that did not pass may pass on the same day; that it was the other way round is known by the seals.
    """
    found: dict[str, tuple[Uncounted, ...]] = {}
    for name, each in uncounted.items():
        last = counted[name][-1] if name in counted else None
        record = logbook.record(last.record) if last else None
        seal = record.seal.sha256 if record is not None and record.seal else None
        found[name] = tuple(
            attempt
            for attempt in sorted(each, key=lambda attempt: (attempt.moment.order, attempt.record.name))
            if last is None
            or attempt.moment.order > last.order
            or (attempt.record.seal is not None and seal in attempt.record.seal.after)
        )
    return found


def _in_order(found: Mapping[str, Iterable[Moment]]) -> dict[str, tuple[Moment, ...]]:
    return {name: tuple(sorted(each, key=lambda moment: (moment.order, moment.record))) for name, each in found.items()}


def _order_of(each: Disturbance) -> tuple[tuple[dt.date, Decimal, int, Decimal], str, str]:
    return each.moment.order, each.moment.record, each.by


def _early(pages: Iterable[PageRecord], logbook: Logbook) -> Inspection | None:
    """As which record a page was sealed last before, not passed; None where it was not, or its seal does not hold."""
    return next((each for each in reversed([*pages]) if each.name not in logbook.broken and is_not_passed(each)), None)


def _done_on(page: PageRecord, logbook: Logbook) -> tuple[str, ...]:
    """The checks that a record says were done, in its order; one answered `not applicable` or `not done` was not."""
    now = logbook.current.get
    did = [now(check, check) for check in page.did]
    # One that stands there twice, which is a problem, was done last at its last place, whatever its result says.
    again = {*did} if len({*did}) < len(did) else set()
    did = [*reversed(dict.fromkeys(reversed(did)))] if again else did
    if (plain := page.only_done) is not None:
        told = [now(check, check) for check in plain]
        return tuple(dict.fromkeys((*([check for check in told if check not in again] if again else told), *did)))
    answers = {now(result.check, result.check): result.answer for result in page.results}
    named = dict.fromkeys((*(check for check in answers if check not in again), *did))
    return tuple(check for check in named if answers.get(check, DONE) == DONE)


def _told_of(check: str, page: PageRecord, logbook: Logbook) -> tuple[object, ...]:
    """What a page says of a check that would be another had it been done again since."""
    now = logbook.id_now
    results = [(each.answer, each.good_until, each.repaired) for each in page.results if now(each.check) == check]
    readings = [(each.label, each.value) for each in page.readings if now(each.check) == check]
    return check in _done_on(page, logbook), results, readings


def _marked_on(page: PageRecord, now: Callable[[str], str]) -> dict[str, dt.date]:
    """The dates that parts carry: `good until` of a result, or `next` of the record, of what it says was done."""
    if not page.next and page.only_done is not None:
        return {}
    results = page.results if page.only_done is None else ()
    told = {now(check) for check in (*(page.only_done or ()), *page.did, *(result.check for result in results))}
    until = {now(result.check): result.good_until for result in results if result.good_until is not None}
    until |= {now(check): date for check, date in page.next.items() if now(check) in told}
    return {check: date for check, date in until.items() if may_be_marked(date, page.date)}


def _disturbed_on(
    page: PageRecord, did: tuple[str, ...], logbook: Logbook, disturbing: Mapping[str, Check]
) -> Iterator[tuple[str, str]]:
    """What a record disturbed and by which check or panel: as it says, and as today's checklists say of what it did."""
    now = logbook.id_now
    results = page.results if page.only_done is None else ()
    own = {now(name): now(result.check) for result in results for name in result.disturbed}
    yield from own.items()
    yield from ((name, "") for name in dict.fromkeys(map(now, page.disturbed)) if name not in own)
    nouns: list[Check | Panel] = [disturbing[name] for name in did if name in disturbing]
    nouns += [logbook.panels[name] for name in dict.fromkeys(map(now, page.opened)) if name in logbook.panels]
    yield from ((now(name), noun.id) for noun in nouns for name in noun.disturbs)


def _also_disturbed(
    check: Check | None, moment: Moment, disturbed: dict[str, list[Disturbance]], now: Callable[[str], str]
) -> None:
    """What a check that the past tells of disturbed, as today's checklists say."""
    if check is None:
        return
    for name in check.disturbs:
        disturbed.setdefault(now(name), []).append(Disturbance(moment=moment, by=check.id))


class _Moments(Mapping[str, Moment]):
    """The moment of each record by its name, made when somebody asks for it."""

    def __init__(self, totals: "_Totals", records: Iterable[Record]) -> None:
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


class _Totals:
    """Answers what each meter had at a record or on a day."""

    def __init__(self, histories: dict[str, MeterHistory], clock: str, logbook: Logbook) -> None:
        self.histories, self.clock = histories, clock
        self.followed = followed(logbook).before
        # A meter that was never read says nothing of any day.
        self.unread = frozenset(meter for meter, history in histories.items() if not history.points)
        self.read = tuple(meter for meter in histories if meter not in self.unread)
        self.nothing: dict[str, Decimal | None] = dict.fromkeys(histories)

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
            order=self._order(record.date, totals[self.clock] or ZERO, follows),
        )

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
        for meter, history in self.histories.items():
            known[meter] = totals.get(meter)
            today = record.reads.get(meter)
            if today is not None and meter in totals and totals[meter] > today.total:
                # More than the aircraft had when it was written down: at which total it was is not known.
                known[meter] = None
            elif known[meter] is None and date is not None:
                known[meter] = history.earlier(date)
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

    def began(self, certificate: dt.date, place: Place) -> Moment | None:
        """The beginning of the certificate date, if the first reading of time in service on record is a total of 0."""
        points = self.histories[self.clock].points
        if not points or points[0].total != 0:
            return None
        totals = {meter: history.earlier(certificate) for meter, history in self.histories.items()}
        # What was brought forward later leaves that as it is: the first reading of all says that it was nothing.
        if totals[self.clock] is None:
            totals[self.clock] = ZERO
        return Moment(
            date=certificate, totals=totals, clock=totals[self.clock], place=place, order=(dt.date.min, ZERO, 0, ZERO)
        )
