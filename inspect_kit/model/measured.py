"""What follows from the readings of one check: limits that depend on something else, and values reckoned from them.

A limit may be read off a table of aircraft.yaml at another reading (cable tension at a temperature), between its rows
in a straight line and never beyond them; or depend on what was read before on the same part (`falls at most 10 in
100 h`). A reckoned value is judged before it is rounded, and shown to as many places as tell the same.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction

from inspect_kit.model.aircraft import Aircraft, LimitTable
from inspect_kit.model.checklist import Bound, ChangeLimit, Check, Reckons
from inspect_kit.model.finding import Reading
from inspect_kit.model.formulas import FORMULAS, Amount, plain_number
from inspect_kit.model.interval import DAYS_OF
from inspect_kit.noun import dataclass

CENT = Decimal("0.01")
# A value so many times its limit and all that was read before is asked again (a digit too many makes about ten);
# so many times, nobody is asked (three digits). Without either: what is aboard shows six digits. Common practice.
SLIPPED, NEVER, SIX_DIGITS = 5, 1_000, Decimal(1_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """A day with the totals of the meters on it, as far as they are known."""

    date: dt.date
    totals: Mapping[str, Decimal | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """A value that was read before, on the part that is there now."""

    when: When
    value: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One value of a check: as it is told, the limit that counts (None: there is none), and what is wrong with it.

    `words` is the arithmetic of a reckoned value, "" for one that was read; `rests_on` the labels that it or its limit
    depends on. `fault` is `cylinder 3 is 58 psi, the limit is at least 60`; `refused` why no limit can be told, and
    `waits` that it can be told as soon as the other reading is there.
    """

    label: str
    measure: str
    value: Decimal
    bound: Bound | None = None
    words: str = ""
    rests_on: tuple[str, ...] = ()
    fault: str = ""
    refused: str = ""
    waits: bool = False

    @property
    def told(self) -> str:
        """`left flow is 22.5 gal/h (1 gal x 3600 / 160 s)`"""
        measure = self.measure if self.measure == "%" else f" {self.measure}" if self.measure else ""
        return f"{self.label} is {self.value}{measure}" + (f" ({self.words})" if self.words else "")


def kept(read: Sequence[Reading], ones: Sequence[Judged]) -> tuple[Reading, ...]:
    """The readings of one check the way a record keeps them: with the limit that a table told, and what was reckoned.

    What was reckoned stands behind them, with its arithmetic and at the place of the last of them.
    """
    limits = {one.label: one.bound for one in ones}
    made = [
        replace(each, bound=limits[each.label]) if each.bound and each.bound.table and each.label in limits else each
        for each in read
    ]
    made += [
        Reading(
            check=read[-1].check,
            label=one.label,
            value=str(one.value),
            measure=one.measure,
            bound=one.bound,
            reckoned=one.words,
            place=read[-1].place,
        )
        for one in ones
        if one.words and not one.refused
    ]
    return tuple(made)


def times_too_far(value: Decimal, bound: Bound | None, before: Iterable[Decimal] = ()) -> Fraction:
    """How many times the largest of its limits and of the values before it a value is, whatever its sign."""
    ends = [end for end in (bound.low, bound.high) if end is not None] if bound else []
    known = max(map(abs, (*ends, *before)), default=Decimal(0))
    if not known:
        return Fraction(NEVER) if abs(value) >= SIX_DIGITS else Fraction(0)
    return Fraction(abs(value)) / Fraction(known)


def is_never(value: Decimal, bound: Bound | None) -> bool:
    """Whether nobody can have meant a value: whether it is NEVER times too far, asked without dividing."""
    ends = [end for end in (bound.low, bound.high) if end is not None] if bound else []
    known = max(map(abs, ends), default=Decimal(0))
    return abs(value) >= (known * NEVER if known else SIX_DIGITS)


def slipped(
    check: Check, label: str, value: Decimal, before: Iterable[Earlier] = (), *, shown: Decimal | None = None
) -> str:
    """What speaks for a slip of a digit or a point in a reading within its limit, as a sentence; "" if nothing does.

    `shown` is what another check of the same page read of it before the work.
    """
    asked = next((each for each in check.reads if label in each.labels), None)
    told = [each.value for each in before]
    values = told if shown is None else [*told, shown]
    if asked is None or asked.in_words:
        return ""
    if times_too_far(value, asked.bound, values) < SLIPPED and not _far_below(value, asked.bound, values):
        return ""
    if asked.bound is not None and not asked.bound.holds(value):
        return ""
    known = [f"the limit is {asked.bound}"] if asked.bound else []
    known += [f"last it was {told[-1]}"] if told else []
    known += [f"before the work it was {shown}"] if shown is not None else []
    why = f", and {', '.join(known)}" if known else ""
    return f"{label} is {value} {asked.measure}{why}."


def _far_below(value: Decimal, bound: Bound | None, before: Sequence[Decimal]) -> bool:
    """Whether a value is so many times below all that was read before: 1 psi in a tyre that had 20.

    Where a limit says only how much it may be, little is good.
    """
    if bound is not None and bound.low is None and bound.high is not None:
        return False
    least = min(map(abs, before), default=Decimal(0))
    return least > 0 and abs(value) * SLIPPED < least


def judged(
    check: Check,
    values: Mapping[str, Decimal],
    aircraft: Aircraft,
    *,
    when: When | None = None,
    earlier: Mapping[str, Sequence[Earlier]] | None = None,
) -> tuple[Judged, ...]:
    """Every value that can be judged: those read, in the order of the check, then those reckoned from them.

    `values` are numbers by label. Without `when` nothing is said of changes; `earlier` are the values before it.
    """
    before = earlier or {}
    found = []
    measures = {label: reads.measure for label, reads in check.asked.items()}
    for reads in check.reads:
        for label in reads.labels:
            if label in values and not reads.in_words:
                value = values[label]
                found.append(_judge(label, reads.measure, value, value, reads.bound, values, measures, aircraft))
                found[-1] = _with_change(found[-1], reads.bound, aircraft, when, before.get(label, ()))
    for reckons in check.reckons:
        one = _reckoned(reckons, values, measures, aircraft)
        if one is not None:
            found.append(_with_change(one, reckons.bound, aircraft, when, before.get(reckons.label, ())))
    return tuple(found)


def _judge(
    label: str,
    measure: str,
    exact: Fraction | Decimal,
    value: Decimal,
    bound: Bound | None,
    values: Mapping[str, Decimal],
    measures: Mapping[str, str],
    aircraft: Aircraft,
) -> Judged:
    """A value against the two ends of its limit, which a table may have to tell."""
    one = Judged(label=label, measure=measure, value=value, bound=bound)
    if bound is None or (not bound.table and bound.holds(exact)):
        return one
    rests_on = (bound.at,) if bound.table else ()
    if bound.table:
        read = other_measure(bound, measure, measures, aircraft) or limit_at(bound, values, aircraft)
        if read is None:
            told = f"no limit of {label} can be told: {bound.at} is not read"
            return replace(one, rests_on=rests_on, refused=told, waits=True)
        if isinstance(read, str):
            return replace(one, rests_on=rests_on, refused=f"no limit of {label} can be told: {read}")
        bound = read
    within = (bound.low is None or exact >= bound.low) and (bound.high is None or exact <= bound.high)
    fault = "" if within else f"{one.told}, the limit is {_ends(bound)}"
    return replace(one, bound=bound, rests_on=rests_on, fault=fault)


def _ends(bound: Bound) -> Bound:
    """The bound with its low and high end only; what it may change by is checked by itself."""
    return Bound(low=bound.low, high=bound.high)


def other_measure(bound: Bound, measure: str, measures: Mapping[str, str], aircraft: Aircraft) -> str:
    """In which other measure the table of a limit is, or is read at, than the readings of its check; "" in none."""
    table = aircraft.tables.get(bound.table)
    if table is None:
        return ""
    if table.gives != measure:
        return f"the table `{bound.table}` gives {table.gives}, and this is read in {measure}"
    at = measures.get(bound.at, table.at)
    return "" if at == table.at else f"the table `{bound.table}` is read at {table.at}, and `{bound.at}` is in {at}"


def limit_at(bound: Bound, values: Mapping[str, Decimal], aircraft: Aircraft) -> Bound | str | None:
    """What a table gives at the reading that it is read at: a limit, why there is none, or None if nothing is read."""
    table = aircraft.tables.get(bound.table)
    if table is None:
        return f"aircraft.yaml has no table `{bound.table}`"
    at = values.get(bound.at)
    if at is None:
        return None
    first, last = table.rows[0], table.rows[-1]
    if not first.at <= at <= last.at:
        ends = f"from {first.at} to {last.at} {table.at}"
        return f"{bound.at} is {at} {table.at}, and the table `{bound.table}` goes {ends}"
    low, high = _between(table, at, "low"), _between(table, at, "high")
    return Bound(
        low=None if low is None else _rounded(low, ROUND_CEILING),
        high=None if high is None else _rounded(high, ROUND_FLOOR),
        change=bound.change,
    )


def limit_words(bound: Bound | None, values: Mapping[str, Decimal], aircraft: Aircraft) -> str:
    """A limit as whoever reads the value needs it: off a table what it gives, or all its rows until that is known."""
    if bound is None or bound.table not in aircraft.tables:
        return str(bound or "")
    told = limit_at(bound, values, aircraft)
    return str(told) if isinstance(told, Bound) else f"by {bound.at}: {aircraft.tables[bound.table]}"


def _between(table: LimitTable, at: Decimal, end: str) -> Fraction | None:
    """One end of the limit, in a straight line between two rows."""
    rows = table.rows
    for below, above in zip(rows, rows[1:] or rows, strict=False):
        if below.at <= at <= above.at:
            one, other = getattr(below, end), getattr(above, end)
            if one is None:
                return None
            share = Fraction(at - below.at) / Fraction(above.at - below.at) if above.at != below.at else Fraction(0)
            return Fraction(one) + (Fraction(other) - Fraction(one)) * share
    return None


def _rounded(value: Fraction, way: str) -> Decimal:
    """To two places, towards the inside of the limit."""
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    found = exact.quantize(CENT, rounding=way)
    return plain_number(Fraction(found))


def _reckoned(
    reckons: Reckons, values: Mapping[str, Decimal], measures: Mapping[str, str], aircraft: Aircraft
) -> Judged | None:
    """A reckoned value; None while one of its readings is missing, or where they give no answer."""
    operands: list[Amount] = []
    for each in reckons.operands:
        if isinstance(each, str):
            if each not in values:
                return None
            operands.append((values[each], measures[each]))
        else:
            operands.append(each)
    answer = FORMULAS[reckons.formula].gives(operands)
    if answer is None:
        told = ", ".join(f"{number} {measure}" for number, measure in operands)
        refused = f"{reckons.label} cannot be reckoned: {reckons.formula} of {told}"
        return Judged(
            label=reckons.label,
            measure=reckons.measure,
            value=Decimal(0),
            words=reckons.formula,
            rests_on=reckons.labels,
            refused=refused,
        )
    value = two_places(answer.value, reckons.bound)
    one = _judge(reckons.label, reckons.measure, answer.value, value, reckons.bound, values, measures, aircraft)
    whole = replace(one, words=answer.words, rests_on=(*reckons.labels, *one.rests_on), fault="")
    return replace(whole, fault=f"{whole.told}, the limit is {_ends(one.bound)}") if one.fault and one.bound else whole


def two_places(exact: Fraction, bound: Bound | None) -> Decimal:
    """A value to two places, or to as many more as keep it on its own side of its limit."""
    for places in range(2, 9):
        value = plain_number(exact, places)
        ends = [end for end in (bound.low, bound.high) if end is not None] if bound else []
        if all((exact < end) == (value < end) and (exact > end) == (value > end) for end in ends):
            break
    return value


def _with_change(
    one: Judged, bound: Bound | None, aircraft: Aircraft, when: When | None, earlier: Sequence[Earlier]
) -> Judged:
    """With what it may change by since the readings before."""
    if bound is None or bound.change is None or when is None or not earlier:
        return one
    told = went_too_far(one, bound.change, aircraft, when, earlier)
    return replace(one, fault=f"{one.fault}; {told}" if one.fault else told) if told else one


def went_too_far(
    one: Judged, change: ChangeLimit, aircraft: Aircraft, when: When, earlier: Sequence[Earlier]
) -> str:
    """Of which of the readings before, in order of time, it went further than it may; "" where of none."""
    return next(_changed(one, change, aircraft, when, earlier), "") if earlier else ""


def _changed(
    one: Judged, change: ChangeLimit, aircraft: Aircraft, when: When, earlier: Sequence[Earlier]
) -> Iterator[str]:
    """The first reading before from which it went too far: any within the span, and the last one, whose span may be
    longer and lets it go further in the same measure."""
    last = max(earlier, key=lambda each: (each.when.date, _apart(each.when, when, change, aircraft) is None))
    for each in earlier:
        apart = _apart(each.when, when, change, aircraft)
        if apart is None or apart < 0:
            continue
        span = Fraction(change.within.number)
        if apart > span and each is not last:
            continue
        allowed = Fraction(change.amount) * max(Fraction(1), apart / span)
        went = Fraction(each.value - one.value if change.verb == "falls" else one.value - each.value)
        if went > allowed:
            measure = f" {one.measure}" if one.measure else ""
            verb = "fell" if change.verb == "falls" else "rose"
            since = f"since {each.when.date} ({each.value}{measure})"
            yield f"{one.label} {verb} by {plain_number(went)}{measure} {since}, the limit is `{change}`"


def _apart(before: When, now: When, change: ChangeLimit, aircraft: Aircraft) -> Fraction | None:
    """How far apart two readings are in the unit of the change; None where the meter was not read."""
    limit = change.within
    if limit.is_calendar:
        return Fraction((now.date - before.date).days) / Fraction(DAYS_OF[limit.unit])
    meter = aircraft.meter_of(limit.unit, limit.meter)
    first, second = before.totals.get(meter or ""), now.totals.get(meter or "")
    return None if first is None or second is None else Fraction(second - first)
