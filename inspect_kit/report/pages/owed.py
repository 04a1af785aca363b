"""What work makes owed, in sentences: taken into a plan, or said when the work is written down."""

from collections.abc import Iterator, Mapping

from inspect_kit.due.answer import DueAnswer
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import Cause
from inspect_kit.plan import OwedHere
from inspect_kit.report.naming import check_title, listed, with_id
from inspect_kit.report.words import joined, number

# More of what it is owed after is counted, not named.
MOST_REASONS = 3


def owed_sentences(owed: OwedHere, logbook: Logbook, *, few: bool = False) -> Iterator[str]:
    """What a plan takes in because its own work makes it owed, and what it leaves owed: later, or for others to do.

    In few words what is taken in is named without the reasons: they are many, and a screen is short.
    """
    if owed.taken and few:
        titles = listed(check_title(logbook, name) for name in owed.taken)
        yield f"Owed by this work itself, and taken in (why: --all): {titles}."
    elif owed.taken:
        yield f"Owed by this work itself, and taken in: {grouped(owed.taken, logbook)}."
    if owed.later:
        told = "; ".join(
            f"{with_id(logbook, name)} {later_words(logbook, name, why)}" for name, why in owed.later.items()
        )
        yield f"This work makes owed for later: {told}."
    if owed.others:
        yield f"This work makes owed, to be arranged with others: {grouped(owed.others, logbook)}."


def left_sentences(
    owed: Mapping[str, tuple[Cause, ...]], logbook: Logbook, answer: DueAnswer | None = None
) -> Iterator[str]:
    """What work leaves owed, in sentences by what that forbids, and what becomes due later by it.

    With the due list of the same day the later ones say at which reading the first of them is due.
    """
    now: dict[str, dict[str, tuple[Cause, ...]]] = {}
    later = []
    for name, why in owed.items():
        check = logbook.checks[name]
        if check.first:
            later.append(f"{check.named} {later_words(logbook, name, why)}{_first_due(answer, name)}")
        else:
            bars = check.bars_owed
            begin = "!! Owed before the next flight" if bars.flight else "Owed"
            now.setdefault(f"Owed, or {bars.what} is not to be used" if bars.what else begin, {})[name] = why
    for begin, group in now.items():
        yield f"{begin}: {grouped(group, logbook)}."
    if later:
        yield f"Due later by this work: {'; '.join(later)}."


def _first_due(answer: DueAnswer | None, name: str) -> str:
    item = answer.item(name) if answer is not None else None
    if item is None or item.due.reads is None or item.due.meter is None:
        return ""
    return f" (the first when {item.due.meter} reads {number(item.due.reads)})"


def grouped(owed: Mapping[str, tuple[Cause, ...]], logbook: Logbook) -> str:
    """`Oil filled (oil-fill) and Leak run (idle-leaks) after Oil change (oil-change); ...`: equal reasons together."""
    groups: dict[str, list[str]] = {}
    for name, why in owed.items():
        groups.setdefault(after_words(logbook, why), []).append(with_id(logbook, name))
    return "; ".join(f"{joined(names)} {words}" for words, names in groups.items())


def after_words(logbook: Logbook, why: tuple[Cause, ...]) -> str:
    """`after Oil change (oil-change)`, `after Left wing (wing-left-off), which disturbs flight-controls`, `after a, b
    and 4 others`.
    """
    told = list(dict.fromkeys(each.words(lambda name: with_id(logbook, name)) for each in why))
    if len(told) > MOST_REASONS:
        told = [*told[: MOST_REASONS - 1], f"{len(told) - MOST_REASONS + 1} others"]
    return f"after {joined(told)}"


def later_words(logbook: Logbook, name: str, why: tuple[Cause, ...]) -> str:
    """`1 h and 10 h after Propeller (propeller-off), which disturbs propeller`."""
    return f"{joined([str(limit) for limit in logbook.checks[name].first])} {after_words(logbook, why)}".strip()
