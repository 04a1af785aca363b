"""What is asked of the parts that were used, in `work` and `sign`: what comes off no shelf or is far from the plan."""

from collections.abc import Iterator, Sequence

from inspect_kit.due.shelf import not_taken_off, shelf
from inspect_kit.inspection.sealing import far_from, used_at
from inspect_kit.model.checklist import Part
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.report import parts_used


def odd_parts(logbook: Logbook, planned: Sequence[Part], used: Sequence[Part]) -> Iterator[str]:
    """What speaks for a slip in the parts that were used: one that comes off no lot while the shelf has some of it,
    many times what is planned, a measure or a name near it.
    """
    yield from _odd(logbook, [(planned, used, "")] if used else [])


def odd_parts_of(logbook: Logbook, page: Worksheet) -> Iterator[str]:
    """The same of each box of a page, where an editor asked nobody."""
    boxes = []
    for entry in page.checks:
        check = logbook.check_in(entry)
        if used := used_at(entry, check):
            boxes.append((check.uses if check else (), used, f" at `{entry.id}`"))
    yield from _odd(logbook, boxes)


def _odd(logbook: Logbook, told: Sequence[tuple[Sequence[Part], Sequence[Part], str]]) -> Iterator[str]:
    """Of what was planned and used somewhere, and words for where that stand behind the name of a part."""
    if not told:
        return
    lots = shelf(logbook.records, parts_used(logbook))
    called = [part.name for check in logbook.checks.values() for part in check.uses]
    for planned, used, where in told:
        off = [*not_taken_off(lots, used, planned, called)]
        yield from (f"{each.told}." for each in off)
        yield from far_from(planned, (part for part in used if part not in [each.part for each in off]), where)
