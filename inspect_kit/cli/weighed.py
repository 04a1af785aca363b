"""`weighing`: the aircraft on scales, a question for every wheel and everything that was aboard or missing.

    SCALE = WHERE "=" WEIGHT [ " less " TARE ] " at " ARM
    THING = ITEM "=" WEIGHT " at " ARM

A number alone is in the units of the aircraft, pounds and inches where it has none.
"""

from collections.abc import Callable, Sequence
from functools import partial

import click

from inspect_kit import store
from inspect_kit.balance import empty_weight
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import enter_asked
from inspect_kit.cli.entries import clock_question, read_as, readings_of_day
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import person, who_did
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import say
from inspect_kit.cli.unusual import sure_of
from inspect_kit.model.kinds.weighing import ScalePoint, Weighing
from inspect_kit.model.loads import Thing
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.quantity import ARM, WEIGHT, Quantity
from inspect_kit.model.record import Record
from inspect_kit.past import parse_said_quantity, said_names
from inspect_kit.text.grammar import Unreadable

Units = tuple[str, str]
CUSTOMARY = ("lb", "in")
SPOKEN = {"lb": "pounds", "in": "inches"}
# Asked where no earlier weighing says it.
WHEELS = "such as left main, right main, tail"


@click.command()
@click.argument("words", metavar="[METER=READING...]", nargs=-1)
@click.option(
    "--scale", "scales", multiple=True, metavar="SCALE",
    help='One scale: "left main=361.0 lb less 2.0 lb at 25.0 in", the tare after less; may be repeated.',
)  # fmt: skip
@click.option(
    "--less", multiple=True, metavar="THING",
    help='Aboard and no part of the empty weight: "spirit level=4.0 lb at 42.0 in", or none; may be repeated.',
)  # fmt: skip
@click.option(
    "--plus", multiple=True, metavar="THING",
    help="Part of the empty weight and not aboard, or none; may be repeated.",
)  # fmt: skip
@click.option("--datum", metavar="WORDS", help="Where arms are counted from.")
@click.option("--level", metavar="WORDS", help="How it stood level.")
@click.option("--unusable-fuel", metavar="WORDS", help="What of the fuel is part of the empty weight; `none` too.")
@click.option("--oil", metavar="WORDS", help="What of the oil is part of the empty weight; `drained` too.")
@shared("reason", "by", "at", "paper", "text", "yes")
@click.pass_obj
def weighing(
    desk: Desk, /, words: tuple[str, ...], scales: tuple[str, ...], less: tuple[str, ...], plus: tuple[str, ...],
    reason: str | None, sure: bool, **given: str | None,
) -> int:  # fmt: skip
    """The aircraft on scales: its empty weight and where it balances.

    From its day on it counts, with the equipment that comes in or goes out later.

    \b
    weighing
    weighing --scale "left main=361 less 2 at 25" --scale "right main=360.5 less 2 at 25" --scale "nose=126.5 at -38"
    """
    desk.entry_day()
    desk.options = {"points": "scale", "aboard": "less", "missing": "plus", "because": "reason"}
    logbook = desk.logbook()
    person(logbook, given["by"] or "")
    loads = logbook.aircraft.loads
    units = (loads.weight_unit, loads.arm_unit) if loads else CUSTOMARY
    before = next(iter(reversed(logbook.of_kind(Weighing))), None)
    meters = readings_of_day(logbook, desk.on, words)
    clock = logbook.aircraft.time_in_service
    if clock not in meters and (reads := answers({}, [clock_question(logbook, desk.on)])[clock]) is not None:
        meters[clock] = reads
    points = [read_as(partial(_scale, units), each, "--scale") for each in scales]
    points = points or _scales_asked(before, units)
    aboard = _things(less, "less", "Aboard, and no part of the empty weight", units)
    missing = _things(plus, "plus", "Part of the empty weight, and not aboard", units)
    datum = before.datum if before else loads.datum if loads else ""
    told = {key.replace("_", "-"): value for key, value in given.items()}
    asks = [
        Question(name="datum", words="Where arms are counted from", default=datum, required=True, stands=False),
        _as_before("level", "How it stood level, such as upper longerons level", before),
        _as_before("unusable-fuel", "Unusable fuel, such as in both tanks, part of the empty weight", before),
        _as_before("oil", "Oil, such as full, part of the empty weight, or drained", before),
    ]
    facts = answers({**told, "by": told["by"] or None}, [*asks, who_did(logbook, "Who weighed it")])

    def make(logbook: Logbook, own: str, after: tuple[str, ...], *, sure: bool) -> Record:
        sure_of(logbook, desk.on, meters, sure)
        return Weighing(
            name=own, date=desk.on, entered=desk.today, meters=meters, points=tuple(points), aboard=aboard,
            missing=missing, datum=facts["datum"], level=facts["level"], unusable_fuel=facts["unusable-fuel"],
            oil=facts["oil"], because=reason or "", text=told["text"] or "", at=told["at"] or "",
            paper=told["paper"] or "", by=person(logbook, facts["by"] or ""), after=after,
            place=store.record_place(own),
        )  # fmt: skip

    code = enter_asked(desk, "weighing", "weighing", make, sure)
    found = empty_weight(desk.logbook(), *units)
    if found is not None and found.total.weight:
        total = found.total
        told_now = f"Empty weight {float(total.weight):.1f} {units[0]}, at {float(total.arm):.1f} {units[1]}"
        say(f"{told_now}. Whether a loading keeps its limits: {desk.typed('balance')}", err=True)
    return code


def _as_before(name: str, words: str, before: Weighing | None) -> Question:
    usual = getattr(before, name.replace("-", "_")) if before else ""
    return Question(name=name, words=words, default=usual, required=True, stands=False)


def _scales_asked(before: Weighing | None, units: Units) -> list[ScalePoint]:
    """The scales, wheel by wheel; where the last weighing had them, with its arms."""
    known = {each.at: each for each in before.points} if before else {}
    usual = ", ".join(known)
    where = Question(
        name="scale",
        words="Where the scales stood" + ("" if known else f", {WHEELS}"),
        # What was written by hand may be one name with an `and` in it.
        read=lambda words: [*known] if words == usual else said_names(words),
        default=usual,
        required=True,
        stands=False,
    )
    found = []
    for at in answers({}, [where])["scale"]:
        arm = str(known[at].arm) if at in known else ""
        weight, reach = _quantity(WEIGHT, units), _quantity(ARM, units)
        # All three are told by one option, which a refusal names.
        pounds, inches = (SPOKEN.get(unit, unit) for unit in units)
        asks = [
            Question(name="scale", words=f"{at}: the scale reads, in {pounds}", read=weight, required=True),
            Question(name="scale", words=f"{at}: chocks and stands on it", read=weight, otherwise="none"),
            Question(
                name="scale", words=f"{at}: its arm, in {inches}", read=reach, default=arm, required=True, stands=False
            ),
        ]
        scale, tare, length = (answers({}, [each])["scale"] for each in asks)
        found.append(ScalePoint(at=at, scale=scale, tare=tare, arm=length))
    return found


def _things(given: Sequence[str], option: str, words: str, units: Units) -> tuple[Thing, ...]:
    """What is taken off or added: as given, else asked until it is nothing more."""
    read = partial(_thing, units)
    if given:
        return tuple(read_as(read, each, f"--{option}") for each in given if each.strip() != "none")
    found: list[Thing] = []
    while True:
        asked = f"{words}: ITEM=WEIGHT at ARM"
        more = "nothing more" if found else "nothing"
        again = Question(name=option, words=asked, read=read, otherwise=more, once=False)
        thing = answers({}, [again])[option]
        if thing is None:
            return tuple(found)
        found.append(thing)


def _quantity(measure: str, units: Units) -> Callable[[str], Quantity]:
    return partial(parse_said_quantity, measure, units[0] if measure == WEIGHT else units[1])


def _scale(units: Units, value: str) -> ScalePoint:
    """SCALE, as above."""
    at, equals, rest = value.partition("=")
    read, found, arm = rest.rpartition(" at ")
    if not (at.strip() and equals and found):
        raise Unreadable(f"expected `left main=361.0 lb less 2.0 lb at 25.0 in`, not `{value[:60]}`")
    scale, _, tare = read.partition(" less ")
    weight, length = _quantity(WEIGHT, units), _quantity(ARM, units)
    return ScalePoint(
        at=" ".join(at.split()),
        scale=weight(scale.strip()),
        tare=weight(tare.strip()) if tare.strip() else None,
        arm=length(arm.strip()),
    )


def _thing(units: Units, value: str) -> Thing:
    """THING, as above."""
    item, equals, rest = value.partition("=")
    weight, found, arm = rest.rpartition(" at ")
    if not (item.strip() and equals and found):
        raise Unreadable(f"expected `spirit level=4.0 lb at 42.0 in`, not `{value[:60]}`")
    length = _quantity(ARM, units)(arm.strip())
    return Thing(item=" ".join(item.split()), weight=_quantity(WEIGHT, units)(weight.strip()), arm=length)
