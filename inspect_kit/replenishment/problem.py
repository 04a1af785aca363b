"""The nouns of the year ahead without a word of aeroplanes: items that come round, set-ups that they share, slots."""

from collections.abc import Callable, Mapping

from inspect_kit.noun import dataclass

TODAY = -1
"""Stands in for the slot of the last doing of an item that was last done before the first slot."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ReplenishedItem:
    """One item that comes round, as a directed graph of doings: which slot may follow which, at what waste.

    `latest` has one entry for today and then one for each slot: the last slot at which the item may be done again when
    it was last done then; the number of slots when nothing more falls due within the horizon. `waste` has the same
    entries, each the cost of doing it again at the next slot, the one after, ... up to the latest: what is given away
    of the interval, in the unit of the set-up costs. `needs` names the set-ups that every doing needs, all of them (a
    closed set). `follows` names the items at each of whose doings this one is done as well. `earliest`, if there is
    any, has the entries of `latest`: the first slot at which it may be done by choice; with those that it follows it is
    done in any case.
    Errors: ValueError when the two do not fit each other.
    """

    name: str
    needs: tuple[str, ...]
    latest: tuple[int, ...]
    waste: tuple[tuple[float, ...], ...]
    follows: tuple[str, ...] = ()
    earliest: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        slots = len(self.latest) - 1
        if self.earliest and len(self.earliest) != len(self.latest):
            raise ValueError(f"{self.name}: one entry of earliest for each of latest, or none")
        if slots < 0 or len(self.waste) != len(self.latest):
            raise ValueError(f"{self.name}: one waste row for each entry of latest")
        for last, (limit, row) in enumerate(zip(self.latest, self.waste, strict=True), TODAY):
            if limit > slots:
                raise ValueError(f"{self.name}: latest {limit} is beyond the horizon of {slots} slots")
            if len(row) != max(0, min(limit, slots - 1) - last):
                raise ValueError(f"{self.name}: waste after slot {last} does not reach from {last + 1} to {limit}")
            if row and min(row) < 0:
                raise ValueError(f"{self.name}: waste below zero")


@dataclass(frozen=True, kw_only=True, slots=True)
class JointProblem:
    """Items over slots: a visit costs its slot's `visit` cost, a set-up its own cost at every visit that needs it.

    Items stand after those that they follow. Errors: ValueError for a need or a leader that nobody knows, an item
    before its leader, unequal horizons.
    """

    items: tuple[ReplenishedItem, ...]
    setups: Mapping[str, float]
    visit: tuple[float, ...]

    def __post_init__(self) -> None:
        seen: set[str] = set()
        if len({item.name for item in self.items}) != len(self.items):
            raise ValueError("two items of one name")
        if any(cost < 0 for cost in (*self.setups.values(), *self.visit)):
            raise ValueError("a set-up or visit cost below zero")
        for item in self.items:
            if len(item.latest) != len(self.visit) + 1:
                raise ValueError(f"{item.name}: {len(item.latest) - 1} slots, not {len(self.visit)}")
            if unknown := [name for name in item.needs if name not in self.setups]:
                raise ValueError(f"{item.name}: unknown set-up {unknown[0]}")
            for leader in item.follows:
                if leader not in seen:
                    raise ValueError(f"{item.name}: does not stand after {leader}, which it follows")
            seen.add(item.name)

    @property
    def slots(self) -> int:
        """How many slots the horizon has."""
        return len(self.visit)


@dataclass(frozen=True, kw_only=True, slots=True)
class Replenishment:
    """When each item is done (its slots, rising), what that costs in its three parts, and a valid lower bound."""

    doings: Mapping[str, tuple[int, ...]]
    visits: float
    setups: float
    waste: float
    bound: float = 0.0

    @property
    def total(self) -> float:
        """All three parts together, in the unit of the problem's costs."""
        return self.visits + self.setups + self.waste

    @property
    def gap(self) -> float:
        """How far at most the total is above the best possible, as a share of the bound; 0 when both are nothing."""
        if self.total <= self.bound + 1e-9:
            return 0.0
        return (self.total - self.bound) / self.bound if self.bound > 0 else float("inf")


def item_from_rule(
    *,
    name: str,
    needs: tuple[str, ...],
    slots: int,
    latest: Callable[[int], int],
    waste: Callable[[int, int], float],
    follows: tuple[str, ...] = (),
    earliest: Callable[[int], int] | None = None,
) -> ReplenishedItem:
    """Tabulate an item from its renewal rule: `latest(last)` and `waste(last, again)`, where `last` may be TODAY."""
    limits = tuple(max(last, min(latest(last), slots)) for last in range(TODAY, slots))
    first = tuple(earliest(last) for last in range(TODAY, slots)) if earliest is not None else ()
    stops = tuple(min(limit, slots - 1) + 1 for limit in limits)
    rows = tuple(
        tuple(waste(last, again) for again in range(last + 1, stop)) for last, stop in enumerate(stops, TODAY)
    )
    return ReplenishedItem(name=name, needs=needs, latest=limits, waste=rows, follows=follows, earliest=first)
