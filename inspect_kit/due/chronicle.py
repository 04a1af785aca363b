"""All records by what they did, each at its moment; what was brought forward or on paper is marked so."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from inspect_kit.due.counted import Uncounted, since_counted, why_uncounted
from inspect_kit.due.moments import Moment, RecordMoments, Totals
from inspect_kit.due.to_come import done_by
from inspect_kit.errors import Place
from inspect_kit.model.amended import TAKEN_BACK, newest
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.finding import DONE
from inspect_kit.model.followed import followed
from inspect_kit.model.held import no_signer
from inspect_kit.model.interval import may_be_marked
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.meters import MeterHistory, Point
from inspect_kit.model.opened import taken_as_off
from inspect_kit.model.owed import deeds, owed_by
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass

# The name of what `chronicle` reckons.
SORTED = "chronicle"


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedDate:
    """The next date that a part itself carries, when that was put there and by which record, and when it was `read`:
    what was brought forward without a day stands on the part of the day on which that was written.
    """

    moment: Moment
    read: Moment
    until: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class Disturbance:
    """Something disturbed at a moment, and the check or panel of today's checklists that did it; "" where none is.

    `unsaid`: the panel is taken as off, for the record says neither which came off nor that none did.
    """

    moment: Moment
    by: str = ""
    unsaid: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chronicle:
    """Everything that counts for due points, by today's ids, each list in order.

    `again` are the doings told a second time, by another record of the same day and readings: they count once, and
    are not among `done`.
    `began` is the certificate date, or the first reading where it flew earlier, if records begin there at total 0, else
    None. `inspections` are those that count: passed, signed, the seal whole, no tick taken back; `uncounted` all others
    that no later one that counts made good. `fitted` are the fittings that were brought forward, by record and
    position. `sequences` are the checks that each record did, in order; `left_owed` what it left owed by what it says,
    `left` the same by check. `unsure` are the doings of which a record says both: nothing counts of them but what they
    make owed. `sealed_before` is, by the name of a record, the one that its page was sealed as before, not passed;
    `not_again` are the checks, with the name of the record, that stood there so already: they were not done again, and
    are not among `done`.
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
    left: Mapping[str, tuple[Moment, ...]]
    unsure: Mapping[str, tuple[Moment, ...]]
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

    @property
    def began_words(self) -> str:
        """What the date is on which it began."""
        certified = self.began is None or self.began.date == self.logbook.aircraft.certificate_date
        return "certificate date" if certified else "first reading, as it flew before certificate-date:"

    def last_reading(self, meter: str) -> Point | None:
        history = self.histories.get(meter)
        return history.points[-1] if history and history.points else None

    def highest_reading(self, meter: str) -> Point | None:
        """The last reading; where one is lower than another before it, so that either is wrong, the highest: by it
        things are due sooner. A higher total that a paper entry told since is one too.
        """
        history = self.histories.get(meter)
        last = self.last_reading(meter)
        found = [last] if last is not None else []
        if history is not None and history.problems:
            found += history.points
        offset = history.offset if history is not None else Decimal(0)
        for entry in self.logbook.of_kind(PaperEntry):
            total = entry.totals.get(meter)
            if total is not None and (last is None or entry.date >= last.date):
                found.append(Point(entry.date, total - offset, total, entry.name, entry.place))
        return max(found, key=lambda point: point.total, default=None)

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
    sorting = _Sorting(logbook)
    for record in logbook.records:
        # Most records of a long life are none of these: they say what the meters read.
        if isinstance(record, PageRecord):
            sorting.page(record)
        elif isinstance(record, PaperEntry):
            sorting.paper(record)
        elif isinstance(record, Installed):
            sorting.of_position(record)
        elif isinstance(record, BroughtForward):
            sorting.brought_forward(record)
    return sorting.chronicle()


class _Sorting:
    """The records of a logbook while they are sorted by what they did; the words are those of `Chronicle`."""

    def __init__(self, logbook: Logbook) -> None:
        self.logbook = logbook
        self.now = logbook.id_now
        histories = {name: logbook.meter_history(name) for name in logbook.aircraft.meters}
        self.totals = Totals(histories, logbook.aircraft.time_in_service, logbook)
        self.moments = RecordMoments(self.totals, logbook.records)
        self.pages = logbook.sealed_before()
        came = followed(logbook).before
        self.placed = {*came, *(name for names in came.values() for name in names)}
        self.disturbing = {name: check for name, check in logbook.checks.items() if check.disturbs}
        self.done: dict[str, list[Moment]] = {}
        self.again: dict[str, list[Moment]] = {}
        self.alone = _days_of_one(logbook, self.moments)
        self.same_day: dict[tuple[str, dt.date | None], list[Moment]] = {}
        self.marks: dict[str, list[CarriedDate]] = {}
        self.disturbed: dict[str, list[Disturbance]] = {}
        self.installed: dict[str, list[Moment]] = {}
        self.inspections: dict[str, list[Moment]] = {}
        self.fitted: dict[tuple[str, str], Moment] = {}
        self.sequences: dict[str, tuple[str, ...]] = {}
        self.left_owed: dict[str, frozenset[str]] = {}
        self.left: dict[str, list[Moment]] = {}
        self.unsure: dict[str, list[Moment]] = {}
        self.not_again: set[tuple[str, str]] = set()
        self.sealed_before: dict[str, Inspection] = {}

    def page(self, record: PageRecord) -> None:
        """What was done, marked and disturbed by an inspection, or by work."""
        moment, logbook, name = self.moments[record.name], self.logbook, record.name
        # What a broken seal no longer vouches for was not done; what it says was disturbed or read still counts.
        whole = name not in logbook.broken
        did = _done_on(record, logbook)
        self.sequences[name] = did if whole else ()
        self.left_owed[name] = _left_owed(record, did, logbook)
        for check in self.left_owed[name]:
            self.left.setdefault(check, []).append(moment)
        early = _early(self.pages.get(name, ()), logbook)
        if early is not None:
            self.sealed_before[name] = early
            # Their day is that of the first signature, by which all that came between them is answered.
            self.not_again |= {
                (check, name)
                for check in self.sequences[name]
                if _stood(check, record, early, logbook)
            }
        anew = did if early is None else tuple(check for check in did if (check, name) not in self.not_again)
        if whole:
            self._did(anew, moment)
        unsure = _unsure_of(record, did, logbook)
        for check in unsure:
            self.unsure.setdefault(check, []).append(moment)
        for check, until in _marked_on(record, self.now).items() if whole else ():
            marks = self.marks.setdefault(check, [])
            if (check, name) in self.not_again and marks and marks[-1].until == until:
                # It was read with the first signature, maybe on a part that came out before this one.
                continue
            # A date beside what was not done puts nothing off.
            if check in did or (marks and until < marks[-1].until):
                marks.append(CarriedDate(moment=moment, read=moment, until=until))
        told_before = set(_disturbed_on(early, (), logbook, self.disturbing)) if early is not None else set()
        for what, by in _disturbed_on(record, (*anew, *unsure), logbook, self.disturbing):
            if (what, by) not in told_before:
                self.disturbed.setdefault(what, []).append(Disturbance(moment=moment, by=by))
        self._unsaid(record, (*anew, *unsure), moment)

    def _unsaid(self, record: PageRecord | PaperEntry, did: Iterable[str], moment: Moment) -> None:
        """What panels disturb that are taken as off, as the record does not say whether they were."""
        for panel in taken_as_off(record, did, self.logbook):
            for name in self.logbook.panels[panel].disturbs:
                each = Disturbance(moment=moment, by=panel, unsaid=True)
                self.disturbed.setdefault(self.now(name), []).append(each)

    def _did(self, checks: Iterable[str], moment: Moment) -> None:
        """Two records at the same reading of every meter that both of them read tell one doing; but not where the order
        of that day is told of one of them, nor where one is a page of which it is not known what its ticks came after.
        """
        is_one = moment.date in self.alone or moment.record in self.placed
        for check in checks:
            done, twin = self.done.setdefault(check, []), None if is_one else self._twin(check, moment)
            if twin is None:
                done.append(moment)
                if not is_one:
                    self.same_day.setdefault((check, moment.date), []).append(moment)
            elif moment.estimated < twin.estimated:
                # What reads more meters says better when it was.
                for kept in (done, self.same_day[check, moment.date]):
                    kept[:] = [moment if each is twin else each for each in kept]
                self.again.setdefault(check, []).append(twin)
            else:
                self.again.setdefault(check, []).append(moment)

    def _twin(self, check: str, moment: Moment) -> Moment | None:
        """The doing of that day of which another record tells as well."""
        others = self.same_day.get((check, moment.date), ())
        return next((each for each in others if not each.unasked and each.is_read_as(moment)), None)

    def _did_before(self, check: str, moment: Moment) -> None:
        """What the past tells that was done, with what today's checklists say that it disturbed."""
        self.done.setdefault(check, []).append(moment)
        self.same_day.setdefault((check, moment.date), []).append(moment)
        for name in self.disturbing[check].disturbs if check in self.disturbing else ():
            self.disturbed.setdefault(self.now(name), []).append(Disturbance(moment=moment, by=check))

    def paper(self, record: PaperEntry) -> None:
        """An entry of a paper logbook: nothing says what was done after it, and the paper may well say it."""
        moment, aircraft = self.moments[record.name], self.logbook.aircraft
        did = dict.fromkeys(map(self.now, record.did))
        for check in did:
            twin = self._twin(check, moment)
            if twin is not None and not twin.brought and moment.estimated >= twin.estimated:
                self.again.setdefault(check, []).append(moment)
            else:
                self._did_before(check, replace(moment, brought=True))
        self._unsaid(record, did, replace(moment, brought=True))
        for name in record.last if not record.counts_for_none else ():
            if record.by is not None and no_signer(aircraft, record.by, name, record.date) is None:
                self.inspections.setdefault(name, []).append(moment)

    def of_position(self, record: Installed) -> None:
        """A part that came into its position."""
        self.installed.setdefault(self.now(record.position), []).append(self.moments[record.name])

    def brought_forward(self, record: BroughtForward) -> None:
        """What was known of the time before records began."""
        for name, last in record.last.items():
            before = self.totals.brought(record, last.date, last.totals, place_of(record, "last", name))
            if last.good_until is not None and may_be_marked(last.good_until, record.date):
                read = before if last.date is not None else self.moments[record.name]
                mark = CarriedDate(moment=before, read=read, until=last.good_until)
                self.marks.setdefault(self.now(name), []).append(mark)
            if not last.done:
                continue
            if name not in self.logbook.aircraft.inspections:
                self._did_before(self.now(name), before)
            elif not last.paper_is_none:
                self.inspections.setdefault(name, []).append(before)
        for part in record.fitted:
            self.fitted[record.name, part.position] = self.totals.came(record, part)

    def _counted(self) -> dict[str, list[Uncounted]]:
        """The inspections that count join those of the past; each of the others with why it does not."""
        uncounted: dict[str, list[Uncounted]] = {}
        # Who did it, and who looked again, may stand in either of two records that tell one doing.
        told = {check: [*each, *self.again.get(check, ())] for check, each in self.done.items()}
        for record in self.logbook.of_kind(Inspection):
            moment = self.moments[record.name]
            sort, why = why_uncounted(record, moment, told, self.logbook, self._undone_before(record))
            if sort:
                attempt = Uncounted(record=record, moment=moment, sort=sort, why=why)
                uncounted.setdefault(record.inspection, []).append(attempt)
            else:
                self.inspections.setdefault(record.inspection, []).append(moment)
        return uncounted

    def _undone_before(self, record: Inspection) -> tuple[str, ...]:
        """The checks that stand on a page as when it was sealed before, of which an amendment of that says since that
        they were not done: nobody did them for this signature either.
        """
        pages = [record, *reversed(self.pages.get(record.name, ()))]
        found, stood = dict[str, None](), {*self.sequences.get(record.name, ())}
        for later, early in pairwise(pages):
            stood &= {check for check, name in self.not_again if name == later.name}
            found |= dict.fromkeys(sorted(stood & _taken_back_since(early, later, self.logbook)))
        return tuple(found)

    def chronicle(self) -> Chronicle:
        """All of them, once every record is sorted."""
        uncounted = self._counted()
        inspections = _in_order(self.inspections)
        return Chronicle(
            logbook=self.logbook,
            histories=self.totals.histories,
            began=self.totals.began(self.logbook),
            moments=self.moments,
            done=_in_order(self.done),
            again=_in_order(self.again),
            marks={name: tuple(sorted(each, key=lambda mark: mark.moment.order)) for name, each in self.marks.items()},
            disturbed={name: tuple(sorted(each, key=_order_of)) for name, each in self.disturbed.items()},
            installed=_in_order(self.installed),
            inspections=inspections,
            uncounted=since_counted(uncounted, inspections, self.logbook),
            fitted=self.fitted,
            sequences=self.sequences,
            left_owed=self.left_owed,
            left=_in_order(self.left),
            unsure=_in_order(self.unsure),
            not_again=frozenset(self.not_again),
            sealed_before=self.sealed_before,
        )


def _in_order(found: Mapping[str, Iterable[Moment]]) -> dict[str, tuple[Moment, ...]]:
    return {name: tuple(sorted(each, key=lambda moment: (moment.order, moment.record))) for name, each in found.items()}


def _order_of(each: Disturbance) -> tuple[tuple[dt.date, Decimal, int, Decimal], str, str]:
    return each.moment.order, each.moment.record, each.by


def _days_of_one(logbook: Logbook, moments: Mapping[str, Moment]) -> set[dt.date | None]:
    """The days of which one record alone tells what was done: nearly all of them, and nothing is told twice then."""
    days = Counter(moments[each.name].date for each in logbook.records if isinstance(each, PageRecord | PaperEntry))
    before = {last.date for record in logbook.of_kind(BroughtForward) for last in record.last.values()}
    return {day for day, many in days.items() if many == 1 and day not in before}


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
        told = _before_did((now(check, check) for check in plain), did)
        return tuple(dict.fromkeys((*([check for check in told if check not in again] if again else told), *did)))
    # Of one that is answered twice, under a former id, what says that it was not done counts.
    undone = {now(each.check, each.check) for each in page.results if each.answer != DONE}
    order = _before_did((now(each.check, each.check) for each in page.results), did)
    named = dict.fromkeys((*(check for check in order if check not in again), *did))
    return tuple(check for check in named if check not in undone)


def _before_did(results: Iterable[str], did: Sequence[str]) -> list[str]:
    """The checks of the results in their order, without those that `did` orders: where it names one that has no result,
    the results say nothing of the order of the whole.
    """
    told = [*results]
    return told if {*did} <= {*told} else [check for check in told if check not in did]


def _unsure_of(page: PageRecord, done: tuple[str, ...], logbook: Logbook) -> tuple[str, ...]:
    """The checks that a record names as done, and answers otherwise: they were not done, and what they would make owed
    is owed all the same.
    """
    if page.only_done is not None:
        return ()
    now = logbook.id_now
    told = (*page.did, *(each.check for each in page.results if each.answer == DONE))
    return tuple(check for check in dict.fromkeys(map(now, told)) if check not in done)


def _stood(check: str, page: PageRecord, early: PageRecord, logbook: Logbook) -> bool:
    """Whether a check stands on a page as it stood when that was sealed before: as either says it now, or as it was
    sealed, for what an amendment of one of them puts right was not done again. What was taken back of the first before
    the page was sealed anew was done since, as its tick says.
    """
    told, was = ([_told_of(check, form, logbook) for form in _forms(each, logbook)] for each in (page, early))
    if told[0] == was[0]:
        return True
    amended = logbook.amended.get(early.name)
    back = {logbook.id_now(name) for name in amended.taken_back()} if amended is not None else set[str]()
    if check in back and check not in _taken_back_since(early, page, logbook):
        return False
    return any(each in was for each in told)


def _forms(page: PageRecord, logbook: Logbook) -> Iterator[PageRecord]:
    """A record as it is amended, and as it was written."""
    yield page
    written = logbook.as_written(page)
    if written is not page and isinstance(written, PageRecord):
        yield written


def _taken_back_since(early: PageRecord, later: PageRecord, logbook: Logbook) -> set[str]:
    """The checks whose ticks were taken back of what a page was sealed as, and not before it was sealed as another."""
    amended = logbook.amended.get(early.name)
    found = set[str]()
    for change in amended.changes if amended is not None else ():
        day = newest(change.amendment)[1]
        # Of one day the seals tell: the first was the newest of all when that was written.
        first = early.seal is not None and early.seal.sha256 in change.amendment.after
        if change.field[0] == TAKEN_BACK and not (day < later.date or (day == later.date and first)):
            found.add(logbook.id_now(change.field[1]))
    return found


def _told_of(check: str, page: PageRecord, logbook: Logbook) -> tuple[object, ...]:
    """What a page says of a check that would be another had it been done again since."""
    now = logbook.id_now
    results = [(each.answer, each.good_until, each.repaired) for each in page.results if now(each.check) == check]
    readings = [(each.label, each.value) for each in page.readings if now(each.check) == check]
    return check in _done_on(page, logbook), results, readings


def _left_owed(page: PageRecord, did: tuple[str, ...], logbook: Logbook) -> frozenset[str]:
    """What a record says that it left owed, without what only a check did that an amendment says was not done."""
    left = frozenset(map(logbook.id_now, page.left_owed))
    back = logbook.amended[page.name].taken_back() if page.name in logbook.amended else ()
    if not left or not back:
        return left
    checks, panels, now = logbook.checks, logbook.panels, logbook.id_now
    own = [what for result in page.results for what in result.disturbed]
    touched = dict.fromkeys(map(now, (*page.disturbed, *own)))
    still = (*did, *_unsure_of(page, did, logbook))
    off = (*map(now, page.opened), *taken_as_off(page, still, logbook))
    by_rest = owed_by(checks, deeds(checks, panels, did=still, closed=off, disturbed=touched))
    return left - (owed_by(checks, deeds(checks, panels, did=map(now, back))).keys() - by_rest.keys())


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
