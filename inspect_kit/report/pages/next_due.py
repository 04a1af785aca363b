"""When the items that were done are due next."""

from collections.abc import Iterable

from inspect_kit.due.answer import INSPECTION, DueAnswer, Expected, Item
from inspect_kit.model.checklist import named, title
from inspect_kit.report.blocks import Column, Row, Table, table
from inspect_kit.report.words import counted, number

COLUMNS = (
    Column(name="item", wide=True),
    Column(name="due next", wide=True),
    Column(name="expected", wide=True, rank=1),
    Column(name="source", wide=True, rank=2),
)


def next_due_table(names: Iterable[str], due: DueAnswer) -> Table | None:
    """The items among these checks and inspections that have a due point of their own; None when there are none."""
    current = (due.seen.id_now(name) for name in names)
    found = (due.item(name) for name in dict.fromkeys(current))
    # What comes only after other work has no due point of its own while nothing makes it owed.
    items = [item for item in found if item is not None and (due_words(item) or item.expected is not None)]
    if not items:
        return None
    rows = tuple(Row(cells=(item_words(item), due_words(item), expected_words(item), item.source)) for item in items)
    return table(COLUMNS, rows)


def item_words(item: Item, *, whole: bool = False) -> str:
    """The subject of an item, or the `whole` of its words, with its id; an inspection by its name alone."""
    if item.kind == INSPECTION and item.name:
        return item.name
    if item.name in ("", item.check):
        return item.check
    return f"{item.check}: {item.name}" if whole else named(title(item.name), item.check)


def due_words(item: Item) -> str:
    """The due point: the calendar limit, the total with what the present meter will read, or both."""
    words = []
    if item.due.total is not None:
        words.append(meter_reading_words(item))
    if item.due.date is not None:
        words.append(str(item.due.date))
    return " or ".join(words)


def meter_reading_words(item: Item) -> str:
    """`tach 661.2`, or `tach reads 48.6 (total 661.2)` where the present meter shows another figure."""
    due = item.due
    if due.total is None:
        return ""
    meter = due.meter or ""
    if due.reads is None or due.reads == due.total:
        return f"{meter} {number(due.total)}".strip()
    if due.reads < 0:
        return f"{meter} total {number(due.total)} (before the present meter)".strip()
    return f"{meter} reads {number(due.reads)} (total {number(due.total)})".strip()


def expected_words(item: Item) -> str:
    """The expected date with early and late, where they differ, and the age of the reading that it rests on."""
    expected = item.expected
    if expected is None:
        return ""
    if expected.reached:
        return f"{probably_reached(expected)} ({age_words(expected)})"
    if expected.early == expected.late:
        return str(expected.likely)
    return f"{expected.likely} ({expected.span}; {age_words(expected)})"


def probably_reached(expected: Expected, *, brief: bool = False) -> str:
    """That a limit has probably been reached, by use that nobody wrote down; `brief` without what to do about it."""
    return f"probably reached about {expected.likely}" + ("" if brief else "; write the meter down")


def age_words(expected: Expected) -> str:
    """How old the last reading is."""
    return f"reading {counted(expected.age_days, 'day')} old" if expected.age_days else "reading of today"
