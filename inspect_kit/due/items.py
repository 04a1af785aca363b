"""The items of a due list, sort by sort: state, what is left and arithmetic of each, and what it bars."""

import datetime as dt
import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from inspect_kit.due.answer import (
    CHECK,
    FINDING,
    IN_GRACE,
    INSPECTION,
    LATER,
    PAST_DUE,
    RECHECK,
    SOON,
    STATES,
    TREND,
    UNKNOWN,
    DueAt,
    Expected,
    ExpectedTrend,
    Item,
    Last,
    Left,
    Line,
)
from inspect_kit.due.check_history import CheckHistory
from inspect_kit.due.chronicle import Chronicle
from inspect_kit.due.directives import due_now
from inspect_kit.due.fitting import Fittings, all_fittings
from inspect_kit.due.forecast import Forecast
from inspect_kit.due.limits import Base, DuePoint, Now, point_of, state_of
from inspect_kit.due.moments import ZERO, Moment
from inspect_kit.due.rechecks import Recheck, recheck_id, rechecks
from inspect_kit.due.reckoning import inspection_names, reckoned
from inspect_kit.due.silent import by_the_clock
from inspect_kit.due.trends import Reached, Series, series_of
from inspect_kit.errors import Place
from inspect_kit.model.aircraft import InspectionRule
from inspect_kit.model.checklist import FLIGHT, NOTHING, Bars, Check, gone
from inspect_kit.model.finding import Finding
from inspect_kit.model.interval import DAYS, HOURS, UNITS, Limit, so_many
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook, Validity


def forecasts(book: Chronicle, on: dt.date) -> Mapping[str, Forecast]:
    """The forecast of every meter that was read by a day, made once for all who ask."""

    def made() -> dict[str, Forecast]:
        read = {
            name: [(point.date, point.total) for point in history.points if point.date <= on]
            for name, history in book.histories.items()
        }
        units = {name: UNITS[meter.unit] for name, meter in book.logbook.aircraft.meters.items()}
        return {name: Forecast(points, on, units[name].most_a_day) for name, points in read.items() if points}

    return book.logbook.once(f"forecasts on {on}", made)


class Items:
    """Makes the items of one logbook; holds what all of them need."""

    def __init__(self, book: Chronicle, now: Now, offsets: Mapping[str, Decimal], expect_on: dt.date | None) -> None:
        self.book, self.now, self.offsets = book, now, offsets
        self.aircraft = book.logbook.aircraft
        self.fittings: Fittings = all_fittings(book)
        self.directed = due_now(book)
        self.not_known: dict[str, str] = {}
        self.inspections = {name: self._inspection_points(rule) for name, rule in self.aircraft.inspections.items()}
        self.beside = _amended_places(book.logbook)
        self.forecasts = forecasts(book, expect_on) if expect_on is not None else {}
        # Where a trend leads is a forecast too.
        self.trends = series_of(book, self.fittings, self.forecasts, now.day) if expect_on is not None else ()

    def items(self) -> Iterator[Item]:
        for check in self.book.logbook.checks.values():
            if gone(check.retired, self.now.day):
                continue
            # What a directive asks for now is due now, and not with the next inspection only.
            if check.is_item or self._unmade(check) or check.id in self.directed:
                yield self._check(check)
            elif check.id in self.book.left and (item := self._check(check)).owed:
                yield item
        for rule in self.aircraft.inspections.values():
            yield self._inspection(rule)
        for reference, finding in self.book.logbook.standing().items():
            if not finding.before_flight:
                yield self._finding(reference, finding)
        asked: Counter[str] = Counter()
        for recheck in rechecks(self.book, self.now.day):
            asked[recheck.check.id] += 1
            yield self._recheck(recheck, asked[recheck.check.id])
        for series in self.trends:
            if series.reached is not None and series.reached.likely is not None and self.forecasts:
                yield self._trend(series, series.reached, series.reached.likely)

    def _unmade(self, check: Check) -> list[str]:
        """The inspections that a check comes with and that nobody makes: when they are due nothing tells."""
        return [name for name in inspection_names(check) if name not in self.aircraft.inspections]

    def _check(self, check: Check) -> Item:
        found = reckoned(check.id, self.book)
        points = list(found.points)
        for name in inspection_names(check):
            of_inspection = self.inspections.get(name, ())
            points += [
                replace(point, lines=(Line(text=f"comes with the {name} inspection"), *point.lines))
                for point in of_inspection
            ]
            if name in self.not_known:
                found.not_known(f"{name} inspection: {self.not_known[name]}")
        for name in self._unmade(check):
            found.not_known(f"no inspection is called `{name}`")
        lines = list(found.lines)
        directed = self.directed.get(check.id)
        if directed is not None and directed.older is None and not found.unknown and found.points:
            # Never done, and its limits say when it is due for the first time; not where that is before anybody flies.
            directed = directed if directed.waits_for_nothing else None
        if directed is not None:
            made, older = directed.directive, directed.older
            done = f"on {older.date}" if older and older.date else "nobody knows when"
            told = f"it was last done before, {done}" if older else "nothing says that it was done"
            told += f", and the part in {directed.product} came after that" if directed.to_another else ""
            if directed.cannot_say_when:
                told += f", and by when `{made.once[:40]}` asks for it cannot be read"
            asks = f"{made.number} asks for it since {directed.since}, and {told}: due now"
            lines.append(Line(text=asks, places=(made.place, older.place) if older else (made.place,)))
        for told in (found.unknown, found.brought):
            lines += [Line(text=told, places=(check.place,))] if told else []
        item = self._item(
            check=check.id,
            kind=CHECK,
            name=check.text,
            panel=check.panel,
            points=points,
            unknown=bool(found.unknown or found.brought),
            lines=lines,
            last=found.last,
            source=check.source,
        )
        # What the past brought forward leaves open alone is no reason not to fly.
        unknown = check.bars_unknown if found.unknown else NOTHING
        item = replace(item, bars=_barred(item.state, check.bars_past_due, unknown))
        if found.owed is not None:
            item = self._at_once(item, found.owed.date or self.now.day, check.bars_owed, owed=True)
        elif directed is not None:
            bars = check.bars_past_due
            item = self._at_once(item, directed.directive.date, bars, owed=bars.flight)
            item = replace(item, asked=directed.directive.number)
        return replace(item, place=check.place, taken_after=found.after)

    def _at_once(self, item: Item, since: dt.date, bars: Bars, *, owed: bool) -> Item:
        """An item that is due whatever its limits say, since a day."""
        date = min(since, item.due.date or dt.date.max)
        left = replace(item.left, days=(date - self.now.day).days)
        return replace(
            item, state=PAST_DUE, owed=owed, bars=bars, due=replace(item.due, date=date), left=left, grace=None
        )

    def _recheck(self, recheck: Recheck, number: int) -> Item:
        """A check to be done once more, to look again at what was found or noted; the `number`th of that check."""
        check, moment = recheck.check, recheck.moment
        history = CheckHistory(check, self.book, self.fittings)
        base = history.base(moment, f"look again at this: {recheck.words}; noted")
        points = [point_of(limit, base, self.aircraft) for limit in recheck.limits]
        known = [point for point in points if point is not None]
        item = self._item(
            check=recheck_id(check.id, number),
            kind=RECHECK,
            name=f"Look again: {recheck.words}",
            panel=check.panel,
            points=known,
            unknown=len(known) < len(points),
            lines=[Line(text=f"answered when `{check.id}` is done again", places=(recheck.place,))],
            last=moment,
            source=check.source,
        )
        return replace(item, place=recheck.place, bars=_barred(item.state, check.bars_past_due, NOTHING))

    def _trend(self, series: Series, reached: Reached, likely: dt.date) -> Item:
        """When a reading will be at its limit if it goes on like this: a forecast, and no reason not to fly."""
        total = None if reached.total is None else _counted(reached.total, series.unit)
        last, first = series.taken[-1], series.taken[0]
        slope, forecast = series.slope, self.forecasts.get(series.meter)
        assert slope is not None
        bound = series.bound
        past = bound is not None and not bound.holds(last.value)
        now = self.now.totals.get(series.meter)
        left = None if total is None or now is None else max(ZERO, total - now)
        soon = self.now.soon
        close = (likely - self.now.day).days <= soon.days or (left is not None and left <= soon.of(series.unit))
        lines = []
        for each in series.taken:
            told = f"{each.date} at {_counted(each.at, series.unit)} {series.unit}: {each.value} {series.measure}"
            lines.append(Line(text=told, places=(each.place,)))
        middle, low, high = (format(Decimal(f"{each:.3g}"), "+f") for each in (slope.slope, slope.low, slope.high))
        text = f"{middle} {series.measure} per {series.unit.rstrip('s')}"
        lines.append(Line(text=f"{text}, with 95 % confidence from {low} to {high} (Theil-Sen)"))
        at = f"at {total} {series.unit} total, " if total is not None else ""
        lines.append(Line(text=f"{reached.limit} {series.measure} reached {at}about {likely} (forecast)"))
        where = f"{self.book.logbook.checks[series.check].title}, {series.label}"
        read = f"{last.value} {series.measure}"
        return Item(
            check=series.id,
            kind=TREND,
            name=f"{where}, past its limit of {reached.limit} {series.measure}: {read}"
            if past
            else f"{where}, at its limit of {reached.limit} {series.measure}",
            panel=self.book.logbook.checks[series.check].panel,
            state=PAST_DUE if past else SOON if close else LATER,
            last=Last(
                date=last.date,
                total=self._total(series, last.at),
                estimated=False,
                place=last.place,
                unit=series.unit,
            ),
            due=DueAt(
                meter=series.meter if total is not None else None,
                total=total,
                reads=None if total is None else total - self.offsets.get(series.meter, ZERO),
            ),
            left=Left(
                days=(likely - self.now.day).days if total is None else None,
                amount=left,
                unit=series.unit if total is not None else None,
            ),
            expected=ExpectedTrend(
                reached, likely, forecast.silence if forecast is not None else (self.now.day - last.date).days
            ),
            source=f"{len(series.taken)} readings since {first.date}",
            owed=False,
            lines=tuple(lines),
            place=last.place,
        )

    def _total(self, series: Series, at: float) -> Decimal | None:
        return _counted(at, series.unit) if series.meter else None

    def _inspection_points(self, rule: InspectionRule) -> tuple[DuePoint, ...]:
        """The due points of an inspection; what cannot be told of it goes to `not_known`."""
        if not rule.every:
            self.not_known[rule.name] = f"how often it comes round cannot be read ({rule.place})"
            return ()
        moments = self.book.inspections.get(rule.name, ())
        if moments:
            base = _base(moments[-1], f"{rule.name} inspection done")
        elif self.book.began is not None:
            base = _base(self.book.began, f"no inspection yet; {self.book.began_words}")
        else:
            self.not_known[rule.name] = "none is on record, and nothing says from what to count"
            return ()
        found = {limit: point_of(limit, base, self.aircraft) for limit in rule.every if isinstance(limit, Limit)}
        lost = [str(limit) for limit, point in found.items() if point is None]
        if lost:
            self.not_known[rule.name] = f"what {' and '.join(lost)} count from is not on record ({base.place})"
        return tuple(point for point in found.values() if point is not None)

    def _inspection(self, rule: InspectionRule) -> Item:
        moments = self.book.inspections.get(rule.name, ())
        points = self.inspections[rule.name]
        unknown = self.not_known.get(rule.name, "")
        lines = [Line(text=unknown)] if unknown else []
        for attempt in self.book.uncounted.get(rule.name, ()):
            text = f"that of {attempt.record.date} does not count: {attempt.why}"
            lines.append(Line(text=text, places=(attempt.record.place,)))
        signed = self.book.logbook.signatures(moments[-1].record) if moments else ()
        verdicts = {each.place: self.book.logbook.verdict(each) for each in signed}
        if verdicts and all(each.validity is not Validity.GOOD for each in verdicts.values()):
            lines += [Line(text=each.words, places=(place,)) for place, each in verdicts.items() if each.counts]
        item = self._item(
            check=rule.name,
            kind=INSPECTION,
            name=f"{rule.name.capitalize()} inspection",
            panel=None,
            points=list(points),
            unknown=bool(unknown),
            lines=lines,
            last=moments[-1] if moments else None,
            source=rule.source,
        )
        return replace(item, place=rule.place, bars=_barred(item.state, rule.bars, rule.bars))

    def _finding(self, reference: str, finding: Finding) -> Item:
        fix = finding.fix
        points: list[DuePoint] = []
        line = Line(text=f"put off {fix}: {finding.may_wait}", places=(finding.place,))
        if fix.by_date is not None:
            points = [DuePoint(date=fix.by_date, lines=(line,))]
        elif fix.by_total is not None:
            meter = fix.meter or self.aircraft.time_in_service
            total = fix.by_total if fix.meter else self._of_its_clock(reference, fix.by_total)
            points = [DuePoint(meter=meter, unit=HOURS, total=total, lines=(line,))] if total is not None else []
        elif fix.at_inspection is not None:
            points = self._at_inspection(reference, fix.at_inspection, line)
        now = self.book.logbook.id_now
        panel = now(finding.panel) if finding.panel else None
        if finding.check is not None:
            check = self.book.logbook.checks.get(now(finding.check))
            panel = check.panel if check else None
        item = self._item(
            check=reference,
            kind=FINDING,
            name=finding.text,
            panel=panel,
            points=points,
            unknown=not points,
            lines=[] if points else [line],
            last=None,
            source="",
        )
        return replace(item, place=finding.place, bars=_barred(item.state, FLIGHT, NOTHING))

    def _of_its_clock(self, reference: str, total: Decimal) -> Decimal | None:
        """A total that was told in time in service, on the clock of today; it may have been told on the one before."""
        history = self.book.histories[self.book.clock]
        then = self.book.moments[reference.rpartition("#")[0]].date
        return total if then is None else history.told_then(total, then)

    def _at_inspection(self, reference: str, name: str, line: Line) -> list[DuePoint]:
        """The very next inspection after a finding: passed since, on paper too, or to come.

        One of its own day counts, unless the records say that it came before.
        """
        found, clock = self.book.moments.get(reference.rpartition("#")[0]), self.book.clock
        own = [
            self.book.moments[record.name]
            for record in self.book.logbook.of_kind(Inspection)
            if record.inspection == name and record.passed
        ]
        own += self.book.inspections.get(name, ())
        dated = [each for each in own if found and found.date and each.date and each.date >= found.date]
        later = [
            each for each in dated if found and each.record != found.record and not each.clearly_before(found, clock)
        ]
        if later and found:
            first = min(later, key=lambda moment: moment.order)
            text = f"the next {name} inspection passed on {first.date} without it"
            if found.is_tied(first, clock):
                text += f", and nothing says that it was found after that: `follows: [{first.record}]` there does"
            return [DuePoint(date=first.date, lines=(line, Line(text=text, places=(first.place,))))]
        return [replace(point, lines=(line, *point.lines)) for point in self.inspections.get(name, ())]

    def _item(
        self,
        *,
        check: str,
        kind: str,
        name: str,
        panel: str | None,
        points: list[DuePoint],
        unknown: bool,
        lines: list[Line],
        last: Moment | None,
        source: str,
    ) -> Item:
        """Of several points, and what is not known, the worst decides; the earliest date and first meter point show."""
        states = [state_of(point, self.now) for point in points] + [UNKNOWN] * unknown
        dated = min((point for point in points if point.date), key=lambda point: str(point.date), default=None)
        metered = min(
            (point for point in points if point.meter),
            key=lambda point: (STATES.index(state_of(point, self.now)), self._amount_left(point) or ZERO),
            default=None,
        )
        told = [*lines, *(line for point in points for line in point.lines)]
        told += [line for point in (dated, metered) if point for line in self._left_words(point)]
        told += self._amended(told, check.partition("/")[0])
        meter = metered.meter if metered else None
        total = metered.total if metered else None
        shown_on = meter or (None if last is None else self.aircraft.time_in_service)
        expected = self._expected(metered, dated)
        if expected is not None:
            told += _expected_lines(expected, dated)
        return Item(
            check=check,
            kind=kind,
            name=name,
            panel=panel,
            state=min(states, key=STATES.index, default=LATER),
            last=_last(last, shown_on, self.book.logbook, check.partition("/")[0]),
            due=DueAt(
                date=dated.date if dated else None,
                meter=meter,
                total=total,
                reads=total - self.offsets.get(meter or "", ZERO) if total is not None else None,
            ),
            left=Left(
                days=(dated.date - self.now.day).days if dated and dated.date else None,
                amount=self._amount_left(metered) if metered else None,
                unit=metered.unit if metered else None,
            ),
            expected=expected,
            source=source,
            owed=False,
            grace=self._grace(points),
            lines=tuple(told),
            place=self.aircraft.place,
        )

    def _grace(self, points: list[DuePoint]) -> DueAt | None:
        """How long those past their limit but in grace may go on, if none of them is past its grace too."""
        over = [point for point in points if state_of(point, self.now) == IN_GRACE]
        if not over or any(state_of(point, self.now) == PAST_DUE for point in points):
            return None
        over_meter = (point for point in over if point.meter)
        metered = min(over_meter, key=lambda point: self._amount_left(point) or ZERO, default=None)
        until = metered.grace_total if metered else None
        return DueAt(
            date=min((point.grace_date for point in over if point.grace_date), default=None),
            meter=metered.meter if metered else None,
            total=until,
            reads=until - self.offsets.get(metered.meter or "", ZERO) if metered and until is not None else None,
        )

    def _amended(self, lines: list[Line], item: str) -> list[Line]:
        """What was put right in the records that these lines rest on, with the amendments' own places.

        Of what stands there about one check only that of the item; an inspection rests on all.
        """
        files, logbook = {place.file for line in lines for place in line.places}, self.book.logbook
        touches = None if item in self.aircraft.inspections else (lambda check: check == item)
        own = _own(item, logbook)
        return [
            Line(text=f"amended: {words}", places=(place,))
            for file, (name, place) in self.beside.items()
            if file in files
            for words in logbook.amendments(name, touches, own)
        ]

    def _amount_left(self, point: DuePoint) -> Decimal | None:
        """What is left on a meter; None if the meter was never read."""
        now = self.now.totals.get(point.meter or "")
        return None if now is None or point.total is None else point.total - now

    def _left_words(self, point: DuePoint) -> Iterator[Line]:
        state = state_of(point, self.now).replace("-", " ")
        if point.date is not None:
            days = (point.date - self.now.day).days
            words = f"{so_many(days, DAYS)} left" if days >= 0 else f"{so_many(-days, DAYS)} past"
            yield Line(text=f"on {self.now.day}: {words} ({state})")
            return
        left = self._amount_left(point)
        if left is None:
            yield Line(text=f"{point.meter} was never read: what is left is not known")
            return
        reads = (point.total or ZERO) - self.offsets.get(point.meter or "", ZERO)
        now = self.now.totals.get(point.meter or "", ZERO)
        words = f"{so_many(left, point.unit)} left" if left >= 0 else f"{so_many(-left, point.unit)} past"
        reading = f"the meter will read {reads}" if left >= 0 else f"the meter read {reads} then"
        if reads < 0:
            reading = "that was before the present meter"
        last = self.book.highest_reading(point.meter or "")
        places = (last.place,) if last else ()
        text = f"{point.meter} at {now} {point.unit} total: {words} ({state}); {reading}"
        yield Line(text=text, places=places)

    def _expected(self, metered: DuePoint | None, dated: DuePoint | None) -> Expected | None:
        forecast = self.forecasts.get(metered.meter or "") if metered else None
        if metered is None or forecast is None or (self._amount_left(metered) or ZERO) < 0:
            return None
        assert metered.total is not None
        early, likely, late = forecast.when(metered.total)
        # The clock may say more than a meter of which nobody wrote down anything since.
        if (told := by_the_clock(self.book, self.forecasts, metered.meter or "", metered.total)) is not None:
            early, likely, late = min(early, told[0]), min(likely, told[1]), min(late, told[2])
        reached, age = likely < forecast.today, forecast.silence
        if dated is not None and dated.date is not None:
            early, likely, late = (min(date, dated.date) for date in (early, likely, late))
        return Expected(early=early, likely=likely, late=late, age_days=age, reached=reached)


def _expected_lines(expected: Expected, dated: DuePoint | None) -> Iterator[Line]:
    """The forecast in words, with the age of the reading that it rests on; nothing where the calendar decides."""
    age = f"the last reading is {so_many(expected.age_days, DAYS)} old"
    if not expected.age_days:
        age = "the last reading is of today"
    if expected.reached:
        yield Line(text=f"probably reached about {expected.likely} (forecast; {age}): write the meter down")
    elif expected.early != expected.late:
        span = f"in 8 of 10 cases from {expected.span}"
        yield Line(text=f"expected {expected.likely}, {span} (forecast; {age})")
    elif dated is None or dated.date != expected.likely:
        yield Line(text=f"expected {expected.likely} (forecast; {age})")


def _counted(at: float, unit: str) -> Decimal:
    """Hours and months to the tenth; landings and cycles are whole, and the one before counts."""
    whole = unit in UNITS and UNITS[unit].smallest == 1
    return Decimal(math.floor(at)) if whole else Decimal(str(round(at, 1)))


def _barred(state: str, past_due: Bars, unknown: Bars) -> Bars:
    """What an item forbids by its state; within grace and before that nothing."""
    return past_due if state == PAST_DUE else unknown if state == UNKNOWN else NOTHING


def _amended_places(logbook: Logbook) -> dict[str, tuple[str, Place]]:
    """Each record that was amended, and where, by its file."""
    of = {amendment.of: amendment.place for amendment in logbook.of_kind(Amendment)}
    return {record.place.file: (record.name, of[record.name]) for record in logbook.records if record.name in of}


def _base(moment: Moment, words: str) -> Base:
    return Base(
        words=words,
        date=moment.date,
        totals=dict(moment.totals),
        estimated=moment.estimated,
        place=moment.place,
    )


def _own(item: str, logbook: Logbook) -> tuple[str, ...]:
    """An item with the position that it counts on."""
    check = logbook.checks.get(item)
    return (item, logbook.id_now(check.counts_on)) if check is not None and check.counts_on else (item,)


def _last(moment: Moment | None, meter: str | None, logbook: Logbook, item: str) -> Last | None:
    if moment is None:
        return None
    total = moment.totals.get(meter) if meter else None
    return Last(
        date=moment.date,
        total=total,
        estimated=meter in moment.estimated,
        place=moment.place,
        amended=moment.record in logbook.amended
        # A reading or a tick put right says nothing of the day and the total.
        and bool(
            logbook.amended[moment.record].words(
                lambda check: False, lambda each: logbook.id_now(each) in _own(item, logbook)
            )
        ),
        unit=logbook.aircraft.meters[meter].unit if meter is not None and meter in logbook.aircraft.meters else "",
    )
