"""Past which limits a plan ends: how many days after an inspection runs out, and what else is past due by then."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

from inspect_kit.due.answer import CHECK, INSPECTION, Item
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass
from inspect_kit.report.blocks import PLAIN, STOP, WARN, Paragraph
from inspect_kit.report.naming import check_title
from inspect_kit.report.words import days


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of a plan: the day, and the items whose limits it lies past.

    `at_least`: it may be later still, because the hours at hand end before it, or no day of a session is known.
    """

    day: dt.date
    at_least: bool
    passed: tuple[Item, ...]

    def after(self, item: Item) -> int | None:
        """How many days after the limit of an item the plan ends; None where it ends before."""
        mine = next((each for each in self.passed if each.check == item.check), None)
        return None if mine is None or mine.due.date is None else (self.day - mine.due.date).days


FEW = 2
PRESSES, MAY_PRESS = "!!", "!"


def end_sentences(
    likely: End, late: End, planned: Sequence[str], logbook: Logbook, on: dt.date, *, few: bool = False
) -> Iterator[str]:
    """`Likely done 6 days after the condition inspection runs out (2026-11-30)`, and what else is past due by then.

    `planned` are the checks of the plan; what is past due and not among them is marked. With `few` the first ones are
    named and the rest is counted; inspections are always told. What is likely bears the mark of what is past due, what
    only may be that of what soon is.
    """
    for item in late.passed:
        if item.kind == INSPECTION:
            yield _inspection(item, likely, late, on)
    others = [item for item in late.passed if item.kind != INSPECTION]
    soon = [item for item in others if likely.after(item) is not None]
    last = [item for item in others if item not in soon]
    if soon:
        yield f"{PRESSES} Past due when it is likely done: {_told(soon, planned, logbook, few)}."
    if last:
        yield f"{MAY_PRESS} Past due only if it becomes late: {_told(last, planned, logbook, few)}."


def said_paragraphs(said: Iterable[str]) -> list[Paragraph]:
    """Sentences on a plan as they stand below its verdict: first those that press, as what is past due elsewhere."""
    tones = {PRESSES: STOP, MAY_PRESS: WARN}
    made = [Paragraph(text=each, tone=tones.get(each.partition(" ")[0], PLAIN)) for each in said]
    return sorted(made, key=lambda each: (STOP, WARN, PLAIN).index(each.tone))


def _inspection(item: Item, likely: End, late: End, on: dt.date) -> str:
    limit = item.due.date
    assert limit is not None
    runs_out = f"the {item.check} inspection {'runs' if limit >= on else 'ran'} out ({limit})"
    after = late.after(item) or 0
    more = "at least " if late.at_least else ""
    early = likely.after(item)
    if early is None:
        return f"{MAY_PRESS} If it becomes late it is done {more}{days(after)} after {runs_out}."
    if likely.at_least:
        return f"{PRESSES} Done at least {days(early)} after {runs_out}."
    tail = "" if after == early and not more else f", late {more}{days(after)} after"
    return f"{PRESSES} Likely done {days(early)} after {runs_out}{tail}."


def _told(items: Sequence[Item], planned: Sequence[str], logbook: Logbook, few: bool) -> str:
    """Items in words, each with its limit, what it bars, and whether this plan does it."""
    words = []
    for item in items:
        name = check_title(logbook, item.check) if item.kind == CHECK else item.name
        left = "" if item.check in planned or item.kind != CHECK else ", not in this plan"
        words.append(f"{name} ({item.due.date}, bars {item.bars}{left})")
    if few and len(words) > FEW:
        return f"{'; '.join(words[: FEW - 1])}; and {len(words) - FEW + 1} more"
    return "; ".join(words)


def end_json(likely: End, late: End, planned: Sequence[str]) -> list[dict[str, object]]:
    """Limits that the ends of a plan lie past, as facts: each item with its limit and by how many days at least."""
    return [
        {
            "item": item.check,
            "kind": item.kind,
            "due": item.due.date.isoformat() if item.due.date else None,
            "bars": str(item.bars),
            "days_after_likely": likely.after(item),
            "days_after_late": late.after(item),
            "planned": item.check in planned,
        }
        for item in late.passed
    ]
