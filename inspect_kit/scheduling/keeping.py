"""Whether starts keep what is no simple lag: maximum lags, spans and their gear, what is to be apart."""

from collections.abc import Callable, Sequence

from inspect_kit.scheduling.network import Network


def keeper(network: Network) -> Callable[[Sequence[int]], bool]:
    """A test of starts where everybody keeps their steps; always true where nothing of the kind is asked."""
    problem, minutes = network.problem, network.minutes
    latest = [(lag.before, lag.after, lag.most) for lag in problem.lags if lag.most is not None]
    held = [number for number in range(len(problem.capacities)) if any(span.holds[number] for span in problem.spans)]
    users = {
        number: [
            (index, activity.modes[0][number])
            for index, activity in enumerate(problem.activities)
            if activity.minutes and activity.modes[0][number]
        ]
        for number in held
    }
    tonight = [span for span in problem.spans if not span.overnight] if problem.shifts is not None else []
    shifts = problem.shifts or ()

    def gear(number: int, starts: Sequence[int]) -> bool:
        events = [(starts[index] + minutes[index], -amount) for index, amount in users[number]]
        events += [(starts[index], amount) for index, amount in users[number]]
        for span in problem.spans:
            if span.holds[number]:
                events.append((starts[span.first], span.holds[number]))
                events.append((starts[span.last] + minutes[span.last], -span.holds[number]))
        level = 0
        for _, amount in sorted(events):
            level += amount
            if level > problem.capacities[number]:
                return False
        return True

    def keeps(starts: Sequence[int]) -> bool:
        for before, after, most in latest:
            if starts[after] - starts[before] - minutes[before] > most:
                return False
        for apart in problem.apart:
            span = problem.spans[apart.span]
            start, opened = starts[apart.activity], starts[span.first]
            if start < starts[span.last] + minutes[span.last] and opened < start + minutes[apart.activity]:
                return False
        for span in tonight:
            opened, closed = starts[span.first], starts[span.last] + minutes[span.last]
            if not any(start <= opened and closed <= end for start, end in shifts):
                return False
        return all(gear(number, starts) for number in held)

    return keeps
