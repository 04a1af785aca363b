"""The critical path of an activity network, and what three-point estimates say of it (CPM and PERT).

Kelley & Walker 1959 (critical path); Malcolm, Roseboom, Clark & Fazar 1959 (PERT: mean (o + 4m + p) / 6, variance
((p - o) / 6) squared, the finish taken as normal). Times are exact fractions in whatever unit they were given in.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist

from inspect_kit.scheduling.closure import topological

Number = int | float | Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreePoint:
    """How long something may last: if all goes well, as a rule, if much goes wrong."""

    optimistic: Number
    likely: Number
    pessimistic: Number

    def __post_init__(self) -> None:
        if not 0 <= self.optimistic <= self.likely <= self.pessimistic:
            raise ValueError("a three-point estimate goes from optimistic over likely to pessimistic, from 0 on")

    @property
    def mean(self) -> Fraction:
        """(o + 4m + p) / 6"""
        return (Fraction(self.optimistic) + 4 * Fraction(self.likely) + Fraction(self.pessimistic)) / 6

    @property
    def variance(self) -> Fraction:
        """((p - o) / 6) squared"""
        return ((Fraction(self.pessimistic) - Fraction(self.optimistic)) / 6) ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """The earliest and the latest start of an activity that does not delay the finish."""

    length: Fraction
    earliest: Fraction
    latest: Fraction

    @property
    def slack(self) -> Fraction:
        """How much later than its earliest start it may begin without delaying the finish (total float)."""
        return self.latest - self.earliest

    @property
    def critical(self) -> bool:
        return self.slack == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Timings:
    """All activities of a network with their timings, in an order in which they can be done."""

    finish: Fraction
    of: Mapping[str, Timing]

    @property
    def critical(self) -> tuple[str, ...]:
        """The activities without slack."""
        return tuple(name for name, timing in self.of.items() if timing.critical)


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """The finish of a network of three-point estimates, taken as normal.

    `path` is the critical path at mean lengths; of several, the one with the largest variance, which is the cautious
    choice. Other paths that are nearly as long make the true finish later than this.
    """

    path: tuple[str, ...]
    mean: Fraction
    variance: Fraction

    def chance_by(self, time: Number) -> float:
        """The probability of finishing by `time`."""
        if not self.variance:
            return float(time >= self.mean)
        return self._normal().cdf(float(time))

    def time_for(self, chance: float) -> float:
        """The time by which it is finished with this probability, between 0 and 1, both left out."""
        if not 0 < chance < 1:
            raise ValueError("a probability between 0 and 1 is asked for")
        return self._normal().inv_cdf(chance) if self.variance else float(self.mean)

    def _normal(self) -> NormalDist:
        return NormalDist(float(self.mean), float(self.variance) ** 0.5)


def critical_path(lengths: Mapping[str, Number], before: Mapping[str, Collection[str]]) -> Timings:
    """Earliest and latest starts of every activity. `before` names the immediate predecessors of an activity.

    Raises ValueError when activities wait for each other in a circle, or for one that has no length.
    """
    order, earlier = _ordered(lengths, before)
    exact = {name: Fraction(lengths[name]) for name in order}
    earliest: dict[str, Fraction] = {}
    for name in order:
        earliest[name] = max((earliest[first] + exact[first] for first in earlier[name]), default=Fraction(0))
    finish = max((earliest[name] + exact[name] for name in order), default=Fraction(0))
    latest_end = dict.fromkeys(order, finish)
    for name in reversed(order):
        for first in earlier[name]:
            latest_end[first] = min(latest_end[first], latest_end[name] - exact[name])
    timings = {
        name: Timing(length=exact[name], earliest=earliest[name], latest=latest_end[name] - exact[name])
        for name in order
    }
    return Timings(finish=finish, of=timings)


def forecast(estimates: Mapping[str, ThreePoint], before: Mapping[str, Collection[str]]) -> Forecast:
    """The critical path at mean lengths with its mean and variance, activities taken as independent."""
    means = {name: estimate.mean for name, estimate in estimates.items()}
    order, earlier = _ordered(means, before)
    longest: dict[str, tuple[Fraction, Fraction]] = {}
    through: dict[str, str | None] = {}
    for name in order:
        first = max(earlier[name], key=lambda each: longest[each], default=None)
        mean, variance = longest[first] if first is not None else (Fraction(0), Fraction(0))
        longest[name] = (mean + means[name], variance + estimates[name].variance)
        through[name] = first
    last = max(order, key=lambda each: longest[each], default=None)
    mean, variance = longest[last] if last is not None else (Fraction(0), Fraction(0))
    path: list[str] = []
    while last is not None:
        path.append(last)
        last = through[last]
    return Forecast(path=tuple(reversed(path)), mean=mean, variance=variance)


def _ordered(
    lengths: Mapping[str, Number], before: Mapping[str, Collection[str]]
) -> tuple[tuple[str, ...], dict[str, tuple[str, ...]]]:
    """The activities so that each comes after its predecessors, and these."""
    names = list(lengths)
    place = {name: index for index, name in enumerate(names)}
    earlier = {name: tuple(before.get(name, ())) for name in names}
    strange = sorted({first for firsts in before.values() for first in firsts} | set(before) - set(names))
    strange = [name for name in strange if name not in place]
    if strange:
        raise ValueError(f"no length is given for {', '.join(strange)}")
    pairs = [(place[first], place[name]) for name in names for first in earlier[name]]
    order = topological(len(names), pairs)
    if order is None:
        raise ValueError("activities wait for each other in a circle")
    return tuple(names[index] for index in order), earlier
