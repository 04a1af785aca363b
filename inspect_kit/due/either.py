"""While an amendment waits for a signature there are several readings of the records; of each item the sooner counts.

"Sooner" by each measure on its own: the worst state, the earliest date, the least left on a meter. What every reading
says of an item stands in its lines, and beside each other in `DueAnswer.either`.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_kit.due.answer import STATES, STOPS, DueAnswer, Either, Expected, Item, Line, NotToBeUsed, Stop
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.phases import TO_BE_FLOWN, NoPassengers, PhaseState, no_passengers
from inspect_kit.model.logbook import Logbook


def either(answers: Sequence[DueAnswer]) -> DueAnswer:
    """One answer out of several; the first is that of the records with every amendment laid over them."""
    amended = answers[0]
    if len(answers) == 1:
        return amended
    items, differ = [], []
    for item in amended.items:
        ways = _ways(answers, item.check)
        items.append(_sooner(ways, amended.seen))
        recorded = answers[-1].item(item.check)
        if recorded is not None and any(_said(way) != _said(item) for way in ways):
            differ.append(Either(check=item.check, amended=item, recorded=recorded))
    known = {item.check for item in items}
    others = dict.fromkeys(item.check for answer in answers[1:] for item in answer.items if item.check not in known)
    items += [min(_ways(answers, name), key=_badness) for name in others]
    return replace(
        amended,
        items=tuple(items),
        stops=_all_stops(answers),
        not_to_be_used=_all_unused(answers),
        no_passengers=_all_bars([answer.no_passengers for answer in answers]),
        either=tuple(differ),
    )


def _ways(answers: Sequence[DueAnswer], name: str) -> list[Item]:
    """What each answer says of an item that it has."""
    return [way for answer in answers if (way := answer.item(name)) is not None]


def _sooner(ways: Sequence[Item], seen: Logbook) -> Item:
    """One item by its worst reading, with the earliest date and the least left of all of them."""
    worst = min(ways, key=_badness)
    if all(_said(way) == _said(worst) for way in ways):
        return worst
    dated = min((way for way in ways if way.due.date), key=lambda way: way.due.date or dt.date.max, default=None)
    metered = min((way for way in ways if way.left.amount is not None), key=_amount, default=None)
    due, left, expected = worst.due, worst.left, worst.expected
    if dated is not None:
        due, left = replace(due, date=dated.due.date), replace(left, days=dated.left.days)
    if metered is not None:
        due = replace(due, meter=metered.due.meter, total=metered.due.total, reads=metered.due.reads)
        left = replace(left, amount=metered.left.amount, unit=metered.left.unit)
    soonest = [way.expected for way in ways if way.expected is not None]
    if soonest and expected is not None:
        expected = Expected(
            early=min(each.early for each in soonest),
            likely=min(each.likely for each in soonest),
            late=min(each.late for each in soonest),
            age_days=expected.age_days,
            reached=expected.reached,
        )
    names = ", ".join(amendment.name for amendment in seen.pending())
    text = f"amended, and the amendment is not signed ({names}): of both readings the sooner counts"
    places = tuple(amendment.place for amendment in seen.pending())
    lines = (
        Line(text=text, places=places),
        *(Line(text=f"as amended: {line.text}", places=line.places) for line in ways[0].lines),
        *(Line(text=f"as recorded: {line.text}", places=line.places) for line in ways[-1].lines),
    )
    # Whatever one of the readings forbids is forbidden.
    bars = next((way.bars for way in ways if way.bars.flight), None)
    bars = bars or next((way.bars for way in ways if way.bars.what), worst.bars)
    owed = any(way.owed for way in ways)
    after = next((way.taken_after for way in ways if way.taken_after), "")
    return replace(
        worst, due=due, left=left, expected=expected, owed=owed, bars=bars, taken_after=after, lines=lines
    )


def _badness(item: Item) -> tuple[int, dt.date, Decimal]:
    dates = [item.due.date, item.expected.likely if item.expected else None]
    known = [date for date in dates if date is not None]
    return (0 if item.owed else 1 + STATES.index(item.state)), min(known, default=dt.date.max), _amount(item)


def _amount(item: Item) -> Decimal:
    return item.left.amount if item.left.amount is not None else Decimal("Infinity")


def _said(item: Item) -> tuple[object, ...]:
    return item.state, item.owed, item.due, item.left


def _all_stops(answers: Sequence[DueAnswer]) -> tuple[Stop, ...]:
    found = {(stop.kind, stop.place): stop for answer in reversed(answers) for stop in answer.stops}
    return tuple(sorted(found.values(), key=lambda stop: STOPS.index(stop.kind)))


def _all_unused(answers: Sequence[DueAnswer]) -> tuple[NotToBeUsed, ...]:
    return tuple(
        {(each.what, each.check): each for answer in reversed(answers) for each in answer.not_to_be_used}.values()
    )


def passengers_barred(logbook: Logbook) -> NoPassengers:
    """What bars passengers in one of the readings of a logbook, while amendments wait for a signature."""
    return _all_bars([no_passengers(chronicle(reading)) for reading in logbook.readings()])


def _all_bars(readings: Sequence[NoPassengers]) -> NoPassengers:
    """Whatever bars passengers in one of the readings bars them; a phase as it stands where most of it is left."""
    if len(readings) == 1:
        return readings[0]
    each = readings[::-1]
    phases: dict[str, list[PhaseState]] = {}
    for state in (state for barred in readings for state in barred.phases):
        phases.setdefault(state.name, []).append(state)
    return NoPassengers(
        phases=tuple(map(_farthest, phases.values())),
        undecided=tuple({change.name: change for barred in each for change in barred.undecided}.values()),
        unflown=tuple({unflown.record.name: unflown for barred in each for unflown in barred.unflown}.values()),
        taken_after=tuple(dict.fromkeys(pair for barred in each for pair in barred.taken_after)),
    )


def _farthest(states: Sequence[PhaseState]) -> PhaseState:
    """A phase as it stands where most hours are left, with all that it lacks in any reading."""

    def left(state: PhaseState) -> tuple[Decimal, int]:
        known = state.hours is None or state.flown is not None
        return ((state.hours or Decimal(0)) - (state.flown or 0)) if known else Decimal("Infinity"), len(state.lacks)

    worst = max(states, key=left)
    more = dict.fromkeys(each for state in states for each in state.lacks if not each.endswith(TO_BE_FLOWN))
    return replace(worst, lacks=(*worst.lacks, *(each for each in more if each not in worst.lacks)))
