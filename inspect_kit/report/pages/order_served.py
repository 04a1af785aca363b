"""What the order of a plan serves, and what the other orders of the same length would cost."""

from collections.abc import Iterator, Sequence

from inspect_kit.model.checklist import duration
from inspect_kit.plan.request import NEWS, PANELS, WALKING
from inspect_kit.plan.ways import Way
from inspect_kit.report.blocks import Block, Column, Heading, Paragraph, Row, table
from inspect_kit.report.words import counted, joined

WORDS = {NEWS: "bad news first", WALKING: "zone by zone", PANELS: "panels off for short"}
SERVES = {NEWS: "bad news first", WALKING: "little walking", PANELS: "panels off for short"}
UNSERVED = "as the search left it"


def order_sentences(ways: Sequence[Way]) -> tuple[str, ...]:
    """What the first of these orders serves and gives, beside what each of the others would give instead."""
    if not ways:
        return ()
    this, others = ways[0], ways[1:]
    said = [f"The order serves {joined([SERVES[end] for end in this.ends])}."] if this.ends else []
    if this.half_worked is not None:
        halves = [f"{way_name(way)} it would be {duration(way.half_worked)}" for way in others if way.half_worked]
        told = "; ".join([f"Half of the likely findings are known after {duration(this.half_worked)}", *halves])
        said.append(f"{told}.")
    walked = [f"{way_name(way)} {way.changes}" for way in others]
    said.append("; ".join([f"{counted(this.changes, 'change')} of zone", *walked]) + ".")
    if any(way.off for way in ways):
        off = [f"{way_name(way)} {_hours(way)}" for way in others]
        said.append("; ".join([f"Panels and setups together are off {_hours(this)} h", *off]) + ".")
    return tuple(said)


def order_blocks(ways: Sequence[Way]) -> Iterator[Block]:
    """Other orders of the same work as a table, that of this plan first; nothing where all are alike."""
    if len({(way.half_worked, way.changes, _hours(way)) for way in ways}) < 2:
        return
    yield Heading(text="What the order serves")
    told = [sentence for sentence in order_sentences(ways) if sentence.startswith("Half ")]
    yield Paragraph(text=" ".join(["All of these take the same time from start to finish.", *told]))
    rows = [
        Row(
            cells=(
                ("this plan: " if place == 0 else "") + way_name(way),
                "" if way.half_worked is None else duration(way.half_worked),
                str(way.changes),
                _hours(way),
            )
        )
        for place, way in enumerate(ways)
    ]
    columns = (
        Column(name="order", wide=True),
        Column(name="half of the likely findings known after", right=True),
        Column(name="changes of zone", right=True),
        Column(name="panel-hours off", right=True),
    )
    yield table(columns, rows)


def way_name(way: Way) -> str:
    """`bad news first`, `zone by zone`; several ends joined."""
    if len(way.ends) == 1:
        return WORDS[way.ends[0]]
    return joined([SERVES[end] for end in way.ends]) or UNSERVED


def _hours(way: Way) -> str:
    return str(round(way.off / 60))
