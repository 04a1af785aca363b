"""What past work teaches about the next: better estimates, and how far a duration may stray from them.

Taught by the `took` of checks in records of pages that were sealed and of work, and by that of panels where the sealed
pages themselves are given (a record keeps no durations of panels). Of a page that was sealed more than once only the
last record counts. Old ids are followed to today's; checks that became one are added up.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from fractions import Fraction
from statistics import median, quantiles

from inspect_kit.model.checklist import OTHERS
from inspect_kit.model.finding import DONE
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreePoint:
    """How long something may last: if all goes well, as a rule, if much goes wrong.

    PERT, Malcolm, Roseboom, Clark & Fazar 1959: mean (o + 4m + p) / 6, standard deviation (p - o) / 6;
    exact, in fractions.
    """

    optimistic: float | Fraction
    likely: float | Fraction
    pessimistic: float | Fraction

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


# So many of the latest durations of a step count: hands get quicker, and an aircraft changes.
RECENT = 5
# The estimate of the checklist counts as so many durations: one odd day never moves it.
ESTIMATE_COUNTS = 2
# A page with fewer durations says nothing of how quick the day was.
ENOUGH_ON_A_PAGE = 10
# With fewer durations in all, the usual spread is taken.
ENOUGH_IN_ALL = 20
# The common spread counts as so many durations of a step, the usual pace as so many inspections.
COMMON_COUNTS, PACE_COUNTS = 8, 2
# Without history a step takes half to double its estimate, a whole day three quarters to one and a half of it. This is
# a choice of ours, without a source.
USUAL = ThreePoint(optimistic=0.5, likely=1, pessimistic=2)
USUAL_PACE = ThreePoint(optimistic=0.75, likely=1, pessimistic=1.5)
# Nothing is ever done in less than this share of its estimate.
LEAST = 0.1
# A twentieth and nineteen twentieths lie 3.25 standard deviations apart (Pearson & Tukey 1965; mean by Keefer &
# Bodily 1983: 0.63 of the median, 0.185 of either), the ends of a PERT estimate 6.
TAILS, ENDS = 3.25, 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How far durations stray from the estimates, as shares of them.

    `common` is for one step among others of its day, `width` how much wider or narrower it is for a step that has a
    history of its own (1: as wide), by key as in Job.minutes; `own` replaces both for a step. `pace` is shared by all
    steps of a job: a slow day is slow throughout. `durations` and `pages` are how many it rests on; the usual spread is
    taken where they are too few.
    """

    common: ThreePoint = USUAL
    width: Mapping[str, float] = field(default_factory=dict)
    own: Mapping[str, ThreePoint] = field(default_factory=dict)
    pace: ThreePoint = USUAL_PACE
    durations: int = 0
    pages: int = 0

    def of(self, key: str, minutes: int) -> ThreePoint:
        """Optimistic, likely and pessimistic minutes of a step that is planned to take `minutes`, at the usual pace."""
        share = self.own.get(key) or widened(self.common, self.width.get(key, 1.0))
        return ThreePoint(
            optimistic=share.optimistic * minutes,
            likely=share.likely * minutes,
            pessimistic=share.pessimistic * minutes,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Took:
    """How long a step took, and on which page."""

    key: str
    minutes: int
    page: str


def learned_minutes(logbook: Logbook, sheets: Iterable[Worksheet] = ()) -> dict[str, int]:
    """Better estimates than the checklist's, for Job.minutes; only what differs.

    The median of the last five durations of a step, among which the estimate of the checklist counts twice; half a
    minute is rounded up. So one duration alone never moves an estimate, two move it at most halfway to the nearer one,
    and from three on that agree it is what they say. `sheets` are sealed pages, from which panels are learned.
    """
    planned = _estimates(logbook)
    learned = {key: _middle(minutes, planned[key]) for key, minutes in _recent(_all(logbook, sheets)).items()}
    return {key: minutes for key, minutes in learned.items() if minutes != planned[key]}


def spread(logbook: Logbook, sheets: Iterable[Worksheet] = ()) -> Spread:
    """The spread of past durations around the estimates as learned.

    The durations of a page are first divided by its pace (all it took by all that was estimated). What is left is
    pooled over all steps; a step's own history widens or narrows it, the pooled spread counting as eight durations.
    """
    took = list(_all(logbook, sheets))
    estimates = {key: minutes for key, minutes in _estimates(logbook).items() if minutes}
    recent = _recent(took)
    estimates |= {key: _middle(minutes, estimates[key]) for key, minutes in recent.items() if key in estimates}
    paces = dict(_paces(took, estimates))
    shares: dict[str, list[float]] = {}
    for each in took:
        if each.key in estimates:
            shares.setdefault(each.key, []).append(each.minutes / estimates[each.key] / paces.get(each.page, 1.0))
    shares = {key: values[-RECENT:] for key, values in sorted(shares.items())}
    pooled = [value for values in shares.values() for value in values]
    if len(pooled) < ENOUGH_IN_ALL:
        return Spread(durations=len(pooled))
    common = _pooled(pooled)
    mean, variance = float(common.mean), float(common.variance)
    width = {}
    for key, values in shares.items():
        strayed = sum((value - mean) ** 2 for value in values) / variance if variance else 0.0
        width[key] = ((COMMON_COUNTS + strayed) / (COMMON_COUNTS + len(values))) ** 0.5
    latest = list(paces.values())[-RECENT:]
    return Spread(common=common, width=width, pace=_pace(latest), durations=len(pooled), pages=len(latest))


@dataclass(frozen=True, slots=True, kw_only=True)
class Durations:
    """What a step was listed with and what it took, in minutes, the oldest first; `key` is a check, or a verb and a
    panel."""

    key: str
    listed: int
    took: tuple[int, ...]


def durations(logbook: Logbook, sheets: Iterable[Worksheet] = ()) -> tuple[Durations, ...]:
    """Every step of which somebody wrote down how long it took, by key."""
    listed = _estimates(logbook)
    found: dict[str, list[int]] = {}
    for each in _all(logbook, sheets):
        found.setdefault(each.key, []).append(each.minutes)
    return tuple(Durations(key=key, listed=listed[key], took=tuple(found[key])) for key in sorted(found))


def widened(share: ThreePoint, width: float) -> ThreePoint:
    """An estimate with its ends `width` times as far from what is likely."""
    low = share.likely - width * (share.likely - share.optimistic)
    return ThreePoint(
        optimistic=min(share.likely, max(LEAST, low)),
        likely=share.likely,
        pessimistic=share.likely + width * (share.pessimistic - share.likely),
    )


def _all(logbook: Logbook, sheets: Iterable[Worksheet]) -> Iterator[_Took]:
    """Every duration that was written down of steps that are still planned, the oldest page first."""
    by_name = {sheet.name: sheet for sheet in sheets}
    again = {early.name for before in logbook.sealed_before().values() for early in before}
    for record in logbook.of_kind(PageRecord):
        if record.name not in again:
            yield from _checks(logbook, record)
            if record.name in by_name:
                yield from _panels(logbook, by_name[record.name])


def _checks(logbook: Logbook, record: PageRecord) -> Iterator[_Took]:
    durations: dict[str, list[int]] = {}
    for result in record.results:
        if result.answer == DONE:
            durations.setdefault(logbook.id_now(result.check), []).append(result.took or 0)
    for key, minutes in durations.items():
        check = logbook.checks.get(key)
        planned = check is not None and check.retired is None and check.who != OTHERS
        # Of checks that became one, each must say how long it took.
        if planned and all(minutes):
            yield _Took(key=key, minutes=sum(minutes), page=record.name)


def _panels(logbook: Logbook, sheet: Worksheet) -> Iterator[_Took]:
    for entry in sheet.entries:
        panel = logbook.panels.get(logbook.id_now(entry.id)) if entry.is_panel else None
        if panel is not None and panel.retired is None and entry.verb in panel.verbs and entry.ticked and entry.took:
            yield _Took(key=f"{entry.verb} {panel.id}", minutes=entry.took, page=sheet.name)


def _estimates(logbook: Logbook) -> dict[str, int]:
    """The checklist's own estimates by key."""
    found = {check.id: check.minutes for check in logbook.checks.values()}
    for panel in logbook.panels.values():
        opening, closing = panel.verbs
        found |= {f"{opening} {panel.id}": panel.remove or 0, f"{closing} {panel.id}": panel.refit or 0}
    return found


def _recent(took: Iterable[_Took]) -> dict[str, list[int]]:
    """The latest durations of every step, by key in alphabetical order."""
    found: dict[str, list[int]] = {}
    for each in took:
        found.setdefault(each.key, []).append(each.minutes)
    return {key: found[key][-RECENT:] for key in sorted(found)}


def _middle(durations: Sequence[int], estimate: int) -> int:
    return int(median([*durations, *[estimate] * ESTIMATE_COUNTS]) + 0.5)


def _paces(took: Iterable[_Took], estimates: Mapping[str, int]) -> Iterator[tuple[str, float]]:
    """How much longer than estimated a page took in all, of pages with enough durations, the oldest first."""
    pages: dict[str, list[_Took]] = {}
    for each in took:
        if each.key in estimates:
            pages.setdefault(each.page, []).append(each)
    for page, entries in pages.items():
        if len(entries) >= ENOUGH_ON_A_PAGE:
            yield page, sum(each.minutes for each in entries) / sum(estimates[each.key] for each in entries)


def _pooled(shares: Sequence[float]) -> ThreePoint:
    """A three-point estimate with the mean and the variance that the tails and the middle of these shares show."""
    cuts = quantiles(shares, n=20, method="inclusive")
    low, middle, high = cuts[0], cuts[9], cuts[18]
    deviation = (high - low) / TAILS
    mean = 0.63 * middle + 0.185 * (low + high)
    optimistic = max(LEAST, middle - (middle - low) * ENDS / TAILS)
    pessimistic = optimistic + ENDS * deviation
    likely = (6 * mean - optimistic - pessimistic) / 4
    return ThreePoint(optimistic=optimistic, likely=min(max(likely, optimistic), pessimistic), pessimistic=pessimistic)


def _pace(paces: Sequence[float]) -> ThreePoint:
    """The usual pace, as wide as past inspections strayed from what was estimated; it counts as two of them."""
    usual = float(USUAL_PACE.variance)
    strayed = sum((pace - 1) ** 2 for pace in paces)
    variance = (PACE_COUNTS * usual + strayed) / (PACE_COUNTS + len(paces))
    return widened(USUAL_PACE, (variance / usual) ** 0.5)
