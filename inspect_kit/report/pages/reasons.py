"""The first lines of `due` and `status`: the inspections, reasons on record not to fly, and what may not be used."""

from collections.abc import Iterator

from inspect_kit.due.answer import IN_GRACE, INSPECTION, PAST_DUE, UNKNOWN, DueAnswer, DueAt, Item, NotToBeUsed
from inspect_kit.due.stops import PASSENGER_SEATS
from inspect_kit.report.blocks import STOP, STRONG, WARN, Block, Column, Heading, Paragraph, Row, table
from inspect_kit.report.naming import check_title, title
from inspect_kit.report.words import amount, days, joined, number
from inspect_kit.rules.intervals import grace_purpose

NO_REASON = "No reason not to fly is on record. That is no permission to fly."
NO_REASON_READ = "No reason not to fly is on record, as far as the files could be read. That is no permission to fly."


def reasons(answer: DueAnswer) -> Iterator[Block]:
    """What presses, before anything else."""
    for item in answer.items:
        if item.kind == INSPECTION:
            yield Paragraph(text=inspection_words(item), tone=STOP if item.state in (PAST_DUE, UNKNOWN) else STRONG)
    if answer.stops:
        yield Heading(text="Reasons on record not to fly")
        rows = [
            Row(cells=(f"!! {stop.kind.replace('-', ' ')}", stop.text, str(stop.place)), tone=STOP)
            for stop in answer.stops
        ]
        columns = (
            Column(name="reason"),
            Column(name="what", wide=True),
            Column(name="file and line", wide=True, rank=1),
        )
        yield table(columns, rows)
    else:
        yield Paragraph(text=NO_REASON_READ if answer.problems else NO_REASON)
    yield from unknown_lives(answer)
    # That passengers are barred stands in lines of its own, before everything else.
    barred = [
        Row(cells=(f"! {each.what}", until_words(answer, each), each.why), tone=WARN)
        for each in answer.not_to_be_used
        if each.what != PASSENGER_SEATS
    ]
    if barred:
        yield Heading(text="Not to be used")
        yield table((Column(name="what", wide=True), Column(name="until"), Column(name="why", wide=True)), barred)


def until_words(answer: DueAnswer, barred: NotToBeUsed) -> str:
    """What must be done before something may be used again: `Transponder tested and inspected (transponder-test)`."""
    subject = check_title(answer.seen, barred.check)
    return subject if subject == barred.check else f"{subject} ({barred.check})"


def unknown_lives(answer: DueAnswer) -> Iterator[Block]:
    """A life that nobody knows the end of is no reason unless its check says so, and is not to be overlooked."""
    checks = answer.seen.checks
    unknown = [
        title(item.name)
        for item in answer.items
        if item.state == UNKNOWN and item.check in checks and checks[item.check].life and not item.bars.flight
    ]
    if unknown:
        text = f"Whether the life of a part has passed is not on record for {joined(unknown)}."
        yield Paragraph(text=text, tone=WARN)


def inspection_words(item: Item) -> str:
    """`Condition inspection: 4 days left, to 2026-11-30`, with the sign of its state where it presses."""
    if item.state == UNKNOWN:
        return f"? {item.name}: when it is due is not on record."
    due, left = item.due, item.left
    words = []
    if left.amount is not None and left.unit is not None:
        words.append((left.amount < 0, amount(abs(left.amount), left.unit), f"{due.meter} {_reading(due)}"))
    if left.days is not None:
        words.append((left.days < 0, days(abs(left.days)), str(due.date)))
    told = [f"{how_much} {'past due, since' if past else 'left, to'} {end}" for past, how_much, end in words]
    return f"{'!! ' if item.state == PAST_DUE else ''}{item.name}: {' or '.join(told)}."


def _reading(due: DueAt) -> str:
    reads = due.total if due.reads is None or due.reads < 0 else due.reads
    return number(reads) if reads is not None else ""


def grace_words(item: Item) -> str:
    """`past due, in grace until 2026-12-20, only to reach a place …`; "" for an item that is not in grace."""
    if item.state != IN_GRACE or item.grace is None:
        return ""
    ends = []
    if item.grace.total is not None:
        ends.append(f"{item.grace.meter} {_reading(item.grace)}")
    if item.grace.date is not None:
        ends.append(str(item.grace.date))
    return f"past due, in grace until {' or '.join(ends)}, {grace_purpose(item.source)}"
