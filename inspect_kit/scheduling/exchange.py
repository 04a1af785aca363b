"""Steps of different lines change places: stretches of the same minutes and needs, wherever they are.

Together with the changes inside the runs of each line this is all of the search for a better order.
"""

from collections.abc import Iterator, Sequence

from inspect_kit.scheduling.lines import Lines

STEPS = 4


def improve(lines: Lines, budget: int) -> None:
    """Change places as long as that gains, and at most about `budget` changes are looked at."""
    for whole in (True, False):
        gained = True
        while gained and lines.steps < budget:
            gained = False
            for run in range(len(lines.runs)):
                if len(lines.runs[run]) > 1:
                    gained = lines.within(run, budget, whole) or gained
            gained = _across(lines, budget, 1 if whole else STEPS) or gained


def _across(lines: Lines, budget: int, most: int) -> bool:
    """Let stretches of up to `most` steps change places with others of the same minutes, kind and number of people."""
    gained = False
    alike: dict[object, list[tuple[int, ...]]] = {}
    for key, stretch in _stretches(lines, most):
        alike.setdefault(key, []).append(stretch)
    for group in alike.values():
        for place, one in enumerate(group):
            for other in group[place + 1 :]:
                if lines.steps >= budget:
                    return gained
                lines.steps += 1
                # A stretch that was taken apart by an earlier change is no stretch any more.
                if _whole(lines, one) and _whole(lines, other):
                    first, second = sorted((one, other), key=lambda stretch: lines.starts[stretch[0]])
                    gained = _swap(lines, first, second) or gained
    return gained


def _stretches(lines: Lines, most: int) -> Iterator[tuple[object, tuple[int, ...]]]:
    for run, line in enumerate(lines.runs):
        for first in range(len(line)):
            kind, length = lines.kinds[line[first]], 0
            for last in range(first, min(len(line), first + most)):
                if lines.kinds[line[last]] != kind:
                    break
                length += lines.minutes[line[last]]
                yield (length, kind, len(lines.crew[run])), tuple(line[first : last + 1])


def _whole(lines: Lines, stretch: Sequence[int]) -> bool:
    run, place = lines.run[stretch[0]], lines.place[stretch[0]]
    return len(stretch) == 1 or tuple(lines.runs[run][place : place + len(stretch)]) == stretch


def _swap(lines: Lines, first: Sequence[int], second: Sequence[int]) -> bool:
    """Let two stretches change places if that gains and everything still holds."""
    starts, values, price = lines.starts, lines.ends.values, lines.ends.price
    gap = starts[second[0]] - starts[first[0]]
    if len(first) + len(second) == 2:
        delta = gap * (values[first[0]] - values[second[0]])
    elif set(first) & set(second):
        return False
    else:
        delta = gap * (sum([values[index] for index in first]) - sum([values[index] for index in second]))
    if delta > 4 * price * len(lines.teams[first[0]]) or (not delta and not price):
        return False
    length = sum([lines.minutes[index] for index in first])
    if lines.run[first[0]] == lines.run[second[0]] and gap < length:
        return False
    if not _later(lines, first, gap, second) or not _earlier(lines, second, gap, first):
        return False
    old = lines.changes_near((first, second)) if price else 0
    _trade(lines, first, second)
    new = lines.changes_near((first, second)) if price else 0
    if delta + price * (new - old) < 0 and lines.holds(starts):
        return True
    _trade(lines, second, first)
    return False


def _later(lines: Lines, stretch: Sequence[int], gap: int, other: Sequence[int]) -> bool:
    """Whether all that follows a stretch lets it be so much later (what is in `other` moves as well: it must not)."""
    for index in stretch:
        end = lines.starts[index] + lines.minutes[index] + gap
        for after, least in lines.after[index]:
            if after not in stretch and (after in other or end + least > lines.starts[after]):
                return False
    return True


def _earlier(lines: Lines, stretch: Sequence[int], gap: int, other: Sequence[int]) -> bool:
    for index in stretch:
        start = lines.starts[index] - gap
        for before, least in lines.before[index]:
            end = lines.starts[before] + lines.minutes[before]
            if before not in stretch and (before in other or end + least > start):
                return False
    return True


def _trade(lines: Lines, one: Sequence[int], other: Sequence[int]) -> None:
    runs = lines.run[one[0]], lines.run[other[0]]
    places = lines.place[one[0]], lines.place[other[0]]
    starts = lines.starts[one[0]], lines.starts[other[0]]
    teams = lines.teams[one[0]], lines.teams[other[0]]
    jobs = sorted(((runs[0], places[0], one, 1), (runs[1], places[1], other, 0)), key=lambda job: -job[1])
    for run, place, old, new in jobs:
        lines.runs[run][place : place + len(old)] = (one, other)[new]
    for stretch, side in ((one, 1), (other, 0)):
        clock = starts[side]
        for index in stretch:
            lines.starts[index], lines.teams[index], lines.run[index] = clock, teams[side], runs[side]
            clock += lines.minutes[index]
    for run, place, _, _ in jobs:
        line = lines.runs[run]
        # Between stretches of as many steps nothing else has moved.
        last = place + len(one) if len(one) == len(other) else len(line)
        for number in range(place, last):
            lines.place[line[number]] = number
