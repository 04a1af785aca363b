"""Weight and balance: what is outside the limits first, then the empty weight with its history, the loadings, a plot.

Nothing here says that a loading may be flown: it is arithmetic from what is on record.
"""

from collections.abc import Iterator
from fractions import Fraction
from string import ascii_uppercase

from inspect_kit.balance import BalanceAnswer, WorkedLoading, percent_of_chord
from inspect_kit.balance.empty import EmptyWeight, WeightChange
from inspect_kit.balance.moments import Moments
from inspect_kit.model.loads import Loads
from inspect_kit.report.blocks import (
    QUIET,
    STOP,
    STRONG,
    WARN,
    Block,
    Column,
    Heading,
    Page,
    Paragraph,
    Plot,
    Row,
    Track,
    facts,
    table,
)
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.words import counted, joined
from inspect_kit.rules.cautions import BALANCE, PILOT_DECIDES

# Places behind the point that a page shows; sums are made with all of them.
PLACES = {"lb": 1, "kg": 1, "in": 2, "cm": 2, "mm": 1, "m": 4}
# Points drawn on the curve of one piece of fuel.
STEPS = 8


def fraction_words(amount: Fraction, places: int) -> str:
    """A fraction to so many places, rounded half to even, with the zeros that say how exact it is."""
    number = round(amount * 10**places)
    sign, digits = "-" if number < 0 else "", str(abs(number)).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def balance_page(answer: BalanceAnswer) -> Page:
    """The whole answer."""
    logbook = answer.logbook
    registration = logbook.aircraft.identity.registration
    made: list[Block] = [*incomplete(logbook.problems), *_verdict(answer)]
    if answer.empty is not None:
        made += [Heading(text="Empty weight"), _empty(answer, answer.empty), weight_history(answer, answer.empty)]
    if answer.loadings and answer.loads is not None:
        made += [Heading(text="Loadings"), _loadings(answer, answer.loads)]
        made += _plot(answer, answer.loads)
    made += [*problem_blocks(logbook.problems), Paragraph(text=f"{BALANCE} {PILOT_DECIDES}", tone=QUIET)]
    title = f"Weight and balance, {registration}"
    return Page(title=title, blocks=tuple(made), foot=title)


def _verdict(answer: BalanceAnswer) -> Iterator[Block]:
    """What must be known before any figure is read."""
    if answer.empty is None:
        told = "No weighing is on record, the empty weight is not known: inspect-kit weighing"
        yield Paragraph(text=told, tone=STOP)
        return
    yield from balance_doubts(answer)
    for place, each in enumerate(answer.loadings):
        if not each.inside:
            text = f"OUTSIDE the limits: {_letter(place)}, {each.name}, {_state(answer, each)}."
            yield Paragraph(text=text, tone=STOP)
    if answer.loads is None:
        text = "aircraft.yaml says nothing under `balance`: without seats, tanks and limits no loading is worked out."
        yield Paragraph(text=text, tone=WARN)
    elif not answer.loadings:
        text = "Even the lightest crew with the minimum fuel is heavier than the greatest weight."
        yield Paragraph(text=text, tone=STOP)
    elif not answer.outside:
        which = "This loading stays" if len(answer.loadings) == 1 else f"All {len(answer.loadings)} loadings stay"
        yield Paragraph(text=f"{which} inside the limits, from take-off until the fuel is gone.", tone=STRONG)


def balance_doubts(answer: BalanceAnswer) -> Iterator[Block]:
    """Why the figures may not be those of the aircraft as it is."""
    if answer.datums is not None:
        text = (
            f"The weighing counts arms from another datum ({answer.datums[0]}) than aircraft.yaml "
            f"({answer.datums[1]}): no figure below can be relied on until both say the same."
        )
        yield Paragraph(text=text, tone=STOP)
    if answer.empty is not None and answer.empty.unanswered:
        fittings = answer.empty.unanswered
        names = joined([record.name for record in fittings])
        verb = "does" if len(fittings) == 1 else "do"
        text = (
            f"{counted(len(fittings), 'fitting')} since the weighing {verb} not say whether the empty weight changed: "
            f"{names}. Write an `equipment` record that came with it, or `no change` and why."
        )
        yield Paragraph(text=text, tone=WARN)
    if answer.empty is not None and answer.empty.same_day:
        names = joined([record.name for record in answer.empty.same_day])
        text = f"Taken as already on the scales, because of the day of the weighing: {names}."
        yield Paragraph(text=text, tone=WARN)


def empty_words(answer: BalanceAnswer) -> str:
    """`838.0 lb at 15.60 in, moment 13072.8 lb-in`; "" without a weighing."""
    if answer.empty is None:
        return ""
    total = answer.empty.total
    weight, arm = answer.units
    moment = f"moment {fraction_words(total.moment, PLACES[weight])} {weight}-{arm}"
    chord = _chord(answer, total)
    return f"{_at(answer, total)}, {moment}" + (f", {chord} of the mean chord" if chord else "")


def _at(answer: BalanceAnswer, total: Moments) -> str:
    weight, arm = answer.units
    return f"{fraction_words(total.weight, PLACES[weight])} {weight} at {fraction_words(total.arm, PLACES[arm])} {arm}"


def _chord(answer: BalanceAnswer, total: Moments) -> str:
    chord = answer.loads.chord if answer.loads else None
    if chord is None:
        return ""
    edge, length = chord.leading_edge.to(answer.units[1]), chord.length.to(answer.units[1])
    return f"{fraction_words(percent_of_chord(total.arm, edge, length), 1)} %"


def _empty(answer: BalanceAnswer, empty: EmptyWeight) -> Block:
    weighing = empty.weighing
    return facts(
        ("Now", empty_words(answer)),
        ("Weighed", f"{weighing.date}, {weighing.name}"),
        ("Datum", weighing.datum),
        ("Level attitude", weighing.level),
        ("Unusable fuel", weighing.unusable_fuel),
        ("Oil", weighing.oil),
    )


def weight_history(answer: BalanceAnswer, empty: EmptyWeight) -> Block:
    """The scales of the last weighing and every change since, each with the running total and its record."""
    weight, arm = answer.units
    columns = (
        Column(name="date"),
        Column(name="what", wide=True),
        Column(name=weight, right=True),
        Column(name=f"arm, {arm}", right=True),
        Column(name=f"moment, {weight}-{arm}", right=True, rank=1),
        Column(name=f"total, {weight}", right=True),
        Column(name=f"CG, {arm}", right=True),
        Column(name="record", rank=2),
    )
    steps = (*empty.scales, *empty.changes)
    rows = [_history_row(answer, change, before) for change, before in zip(steps, (None, *steps), strict=False)]
    return table(columns, rows)


def _history_row(answer: BalanceAnswer, change: WeightChange, before: WeightChange | None) -> Row:
    """One line; the date and the name of a record stand once."""
    weight, arm = (PLACES[unit] for unit in answer.units)
    again = before is not None and before.record is change.record
    return Row(
        cells=(
            "" if again else str(change.record.date),
            change.item,
            fraction_words(change.weight, weight),
            fraction_words(change.arm, arm),
            fraction_words(change.weight * change.arm, weight),
            fraction_words(change.total.weight, weight),
            fraction_words(change.total.arm, arm) if change.total.weight else "",
            "" if again else change.record.name,
        )
    )


def _letter(place: int) -> str:
    return ascii_uppercase[place] if place < len(ascii_uppercase) else "+"


def _loadings(answer: BalanceAnswer, loads: Loads) -> Block:
    weight, arm = answer.units
    columns = (
        Column(name=""),
        Column(name="loading", wide=True),
        Column(name=weight, right=True),
        Column(name=f"CG, {arm}", right=True),
        Column(name="mean chord", right=True),
        Column(name="limits", wide=True),
        Column(name=f"aboard, {answer.units[0]}", wide=True, rank=1),
    )
    rows = []
    for place, each in enumerate(answer.loadings):
        aboard = "; ".join(f"{line.item} {fraction_words(line.weight, PLACES[weight])}" for line in each.lines)
        cells = (
            _letter(place),
            each.name,
            fraction_words(each.total.weight, PLACES[weight]),
            fraction_words(each.total.arm, PLACES[arm]),
            _chord(answer, each.total),
            "inside" if each.inside else f"OUTSIDE, {_state(answer, each)}",
            aboard,
        )
        rows.append(Row(cells=cells, tone="" if each.inside else STOP))
    return table(columns, rows)


def _state(answer: BalanceAnswer, each: WorkedLoading) -> str:
    """Where and why a loading is outside, in words."""
    told = list(each.over)
    loads = answer.loads
    if each.outside is not None and loads is not None:
        weight = answer.units[0]
        when = "at take-off"
        if each.burnt:
            gallons = each.burnt / loads.fuel.weight_of(Fraction(1), weight)
            when = f"after {fraction_words(gallons, 1)} {loads.fuel.volume} of fuel"
        over = each.outside.weight - loads.heaviest.to(weight)
        heavy = f", {fraction_words(over, PLACES[weight])} {weight} too heavy" if over > 0 else ""
        told.append(f"{when}: {_at(answer, each.outside)}{heavy}")
    return "; ".join(told)


def _plot(answer: BalanceAnswer, loads: Loads) -> Iterator[Block]:
    weight, arm = answer.units
    if answer.envelope is None:
        return
    yield Plot(
        title="Capital letters at take-off, small ones with the fuel gone",
        across=f"centre of gravity, {arm} from the datum",
        up=f"weight, {weight}",
        outlines=tuple(_outline(answer, outline) for outline in answer.envelope.outlines),
        tracks=tuple(
            Track(letter=_letter(place), points=tuple(_course(each))) for place, each in enumerate(answer.loadings)
        ),
    )


def _outline(answer: BalanceAnswer, outline: tuple[tuple[Fraction, Fraction], ...]) -> tuple[tuple[float, float], ...]:
    """An outline as drawn: one that reaches to the ground is cut below the lightest loading."""
    lightest = min((total.weight for each in answer.loadings for total in each.course()), default=Fraction())
    floor = lightest * Fraction(9, 10)
    return tuple((float(arm), float(max(weight, floor) if weight == 0 else weight)) for arm, weight in outline)


def _course(each: WorkedLoading) -> Iterator[tuple[float, float]]:
    total = each.total
    yield float(total.arm), float(total.weight)
    for weight, arm in each.pieces:
        for step in range(1, STEPS + 1):
            part = total.plus(-weight * step / STEPS, arm)
            yield float(part.arm), float(part.weight)
        total = total.plus(-weight, arm)
