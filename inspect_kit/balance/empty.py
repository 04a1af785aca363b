"""The empty weight and its centre of gravity: the last weighing, and every change of equipment since."""

from collections.abc import Collection, Sequence
from fractions import Fraction

from inspect_kit.balance.moments import Moments
from inspect_kit.model.kinds.equipment import OUT, Equipment
from inspect_kit.model.kinds.installed import NO_SERIAL, Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightChange:
    """One line of the history: what the record says, what it adds (negative: takes off), and the total after it."""

    record: Record
    item: str
    weight: Fraction
    arm: Fraction
    total: Moments


@dataclass(frozen=True, slots=True, kw_only=True)
class EmptyWeight:
    """The empty weight in the units of an answer, from the last weighing on, with every step that led to it.

    `scales` are the lines of the weighing itself. `unanswered` are fittings since it that no `equipment` names and that
    do not say `no change`: while there are any the total may not be that of the aircraft.
    """

    weighing: Weighing
    scales: tuple[WeightChange, ...]
    changes: tuple[WeightChange, ...]
    same_day: tuple[Equipment, ...]
    unanswered: tuple[Installed | Removed, ...]

    @property
    def total(self) -> Moments:
        return (*self.scales, *self.changes)[-1].total


def empty_weight(logbook: Logbook, weight_unit: str = "lb", arm_unit: str = "in") -> EmptyWeight | None:
    """The empty weight now; None where no weighing is on record.

    Equipment dated the day of the weighing or before it was on the scales; what came later is added or taken off.
    """
    weighings = logbook.of_kind(Weighing)
    if not weighings:
        return None
    last = weighings[-1]
    scales = tuple(_weighed(last, weight_unit, arm_unit))
    total = scales[-1].total
    changes = []
    equipment = [each for each in logbook.of_kind(Equipment) if each.weight is not None and each.arm is not None]
    # On one day what goes out stands before what comes in.
    for each in sorted(equipment, key=lambda each: (each.date, each.change != OUT)):
        if each.date > last.date and each.weight is not None and each.arm is not None:
            weight = each.weight.to(weight_unit) * (-1 if each.change == OUT else 1)
            arm = each.arm.to(arm_unit)
            total = total.plus(weight, arm)
            changes.append(WeightChange(record=each, item=each.item, weight=weight, arm=arm, total=total))
    return EmptyWeight(
        weighing=last,
        scales=scales,
        changes=tuple(changes),
        same_day=tuple(each for each in equipment if each.date == last.date),
        unanswered=unanswered(logbook),
    )


def _weighed(weighing: Weighing, weight_unit: str, arm_unit: str) -> list[WeightChange]:
    lines = [(point.at, point.net(weight_unit), point.arm) for point in weighing.points]
    lines += [(f"less {each.item}", -each.weight.to(weight_unit), each.arm) for each in weighing.aboard]
    lines += [(f"plus {each.item}", each.weight.to(weight_unit), each.arm) for each in weighing.missing]
    total = Moments()
    made = []
    for item, weight, arm in lines:
        total = total.plus(weight, arm.to(arm_unit))
        made.append(WeightChange(record=weighing, item=item, weight=weight, arm=arm.to(arm_unit), total=total))
    return made


def unanswered(logbook: Logbook) -> tuple[Installed | Removed, ...]:
    """Parts fitted or taken out since the last weighing of which nothing says whether the empty weight changed.

    Nothing is asked of a store without a weighing, of what was fitted before the last one (it was on the scales), or
    before the certificate.
    """
    weighings = logbook.of_kind(Weighing)
    if not weighings:
        return ()
    since = max(weighings[-1].date, logbook.aircraft.certificate_date)
    named = {name for each in logbook.of_kind(Equipment) for name in each.came_with}
    moves = [each for each in logbook.records if isinstance(each, Installed | Removed) and each.date > since]
    answered = named | _came_back(moves, logbook, named)
    return tuple(each for each in moves if not each.no_change and each.name not in answered)


def _came_back(moves: Sequence[Installed | Removed], logbook: Logbook, named: Collection[str]) -> set[str]:
    """The records of parts that came out and went back into the same place next: together they change nothing.

    Where one of the two was weighed as a change of equipment, the other is one too.
    """
    found: set[str] = set()
    before: dict[str, Installed | Removed] = {}
    # On one day what goes out stands before what comes in.
    for each in sorted(moves, key=lambda each: (each.date, isinstance(each, Installed))):
        position = logbook.id_now(each.position)
        out = before.get(position)
        before[position] = each
        if isinstance(each, Installed) and isinstance(out, Removed) and each.serial.casefold() != NO_SERIAL:
            same = each.serial == out.serial and (not each.part or not out.part or each.part == out.part)
            found |= {out.name, each.name} if same and not {out.name, each.name} & set(named) else set()
    return found
