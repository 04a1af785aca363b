"""What the room answers: empty weight, the loadings asked for, the extreme ones, and whether all lie inside."""


from inspect_kit.balance.empty import EmptyWeight, empty_weight
from inspect_kit.balance.envelope import Envelope, envelope_of
from inspect_kit.balance.extremes import extremes
from inspect_kit.balance.loading import WorkedLoading, loaded
from inspect_kit.model.loads import Loading, Loads
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceAnswer:
    """Weight and balance of the logbook's aircraft. `empty` is None without a weighing, `loads` without limits.

    `loadings` are the one asked for, or else those of aircraft.yaml, then the extreme ones. `datums` are the datum of
    the weighing and that of aircraft.yaml where they are told in other words: then nothing here can be relied on.
    """

    logbook: Logbook
    empty: EmptyWeight | None
    loads: Loads | None
    envelope: Envelope | None
    loadings: tuple[WorkedLoading, ...]

    @property
    def datums(self) -> tuple[str, str] | None:
        if self.empty is None or self.loads is None:
            return None
        told = self.empty.weighing.datum, self.loads.datum
        return told if _words(told[0]) != _words(told[1]) else None

    @property
    def outside(self) -> tuple[WorkedLoading, ...]:
        """The loadings that leave the limits at take-off or while fuel is burnt, or fill a place too far."""
        return tuple(each for each in self.loadings if not each.inside)

    @property
    def units(self) -> tuple[str, str]:
        return (self.loads.weight_unit, self.loads.arm_unit) if self.loads else ("lb", "in")


def balance(logbook: Logbook, asked: Loading | None = None, *, loadings: bool = True) -> BalanceAnswer:
    """Weight and balance by the records of a logbook; with `asked` of that loading alone, or without any loading."""
    loads = logbook.aircraft.loads
    empty = empty_weight(logbook, *(loads.weight_unit, loads.arm_unit) if loads else ("lb", "in"))
    envelope = envelope_of(loads) if loads else None
    made: tuple[WorkedLoading, ...] = ()
    if loadings and empty is not None and loads is not None and envelope is not None:
        named = (asked,) if asked is not None else loads.loadings
        made = tuple(loaded(empty.total, loads, each, envelope) for each in named)
        if asked is None:
            made += extremes(empty.total, loads, envelope)
    return BalanceAnswer(logbook=logbook, empty=empty, loads=loads, envelope=envelope, loadings=made)


def _words(text: str) -> str:
    return " ".join(text.casefold().split())
