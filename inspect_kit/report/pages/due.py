"""The due list: reasons not to fly, what is past due, what comes next; and the same for a day ahead."""

from collections.abc import Iterator

from inspect_kit.due.answer import (
    FINDING,
    IN_GRACE,
    INSPECTION,
    LATER,
    PAST_DUE,
    RECHECK,
    SOON,
    STATES,
    TREND,
    UNKNOWN,
    DueAnswer,
    Item,
)
from inspect_kit.model.interval import HOURS
from inspect_kit.report.blocks import (
    QUIET,
    STOP,
    STRONG,
    WARN,
    Block,
    Column,
    Heading,
    Listing,
    Page,
    Paragraph,
    Row,
    table,
)
from inspect_kit.report.naming import item_title
from inspect_kit.report.pages.next_due import probably_reached
from inspect_kit.report.pages.phases import passenger_lines
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.pages.reasons import grace_words, reasons
from inspect_kit.report.pages.strip import year_strip
from inspect_kit.report.pages.unknown import unknown_blocks
from inspect_kit.report.words import ago, amount, counted, days, number
from inspect_kit.rules.cautions import DEFERRAL, NO_PERMISSION, PILOT_DECIDES

# Each state with a mark of its own, so that it is told without colour.
MARKS = {PAST_DUE: "!!", IN_GRACE: "!", UNKNOWN: "?", SOON: ">", LATER: "-"}
WORDS = {PAST_DUE: "past due", IN_GRACE: "in grace", UNKNOWN: "unknown", SOON: "soon", LATER: "later"}
TONES = {PAST_DUE: STOP, IN_GRACE: WARN, UNKNOWN: WARN, SOON: "", LATER: ""}

# So many of what is taken as done after other work of its day are named beside each other.
TAKEN_AFTER = 3

COLUMNS = (
    Column(name=""),
    Column(name="state"),
    Column(name="check", wide=True),
    Column(name="left", wide=True),
    Column(name="due on"),
    Column(name="due at", rank=1),
    Column(name="total", right=True, rank=1),
    Column(name="expected (reading's age)", rank=2),
    Column(name="early to late", rank=3),
    Column(name="id", rank=7),
    Column(name="last", wide=True, rank=4),
    Column(name="panel", rank=5),
    Column(name="source", wide=True, rank=6),
)


def due_page(answer: DueAnswer) -> Page:
    """The due list of an answer, for today or for a question about the future."""
    made: list[Block] = [
        *incomplete(answer.problems),
        *passenger_lines(answer),
        *asked_about(answer),
        *reasons(answer),
        *uncounted(answer),
        *either_block(answer),
        *taken_after_others(answer),
        _readings(answer),
        Heading(text=_summary(answer)),
    ]
    if answer.items:
        made.append(table(COLUMNS, [row for state in STATES for row in _group(answer, state)]))
    made += unknown_blocks(answer)
    strip = year_strip(answer)
    if strip is not None:
        made += [Heading(text="The year ahead"), strip]
    made += [
        *_left_out(answer),
        *problem_blocks(answer.problems),
        Paragraph(text=f"{NO_PERMISSION} {PILOT_DECIDES} {DEFERRAL}", tone=QUIET),
    ]
    registration = answer.seen.aircraft.identity.registration
    title = f"Due list, {registration}, {answer.on}"
    return Page(title=title, blocks=tuple(made), foot=title)


def asked_about(answer: DueAnswer) -> Iterator[Block]:
    """What was asked about the future, or of a day before the records begin; nothing where today was."""
    if answer.forward is not None:
        text = f"The past was brought forward on {answer.forward} only: what was known on this day stands on paper."
        yield Paragraph(text=text, tone=WARN)
    if answer.by != answer.on or answer.flying:
        clock = answer.seen.aircraft.time_in_service
        flown = f"{amount(answer.flying, HOURS)} more are flown" if answer.flying else "nothing more is flown"
        at = f", to a total of {number(answer.totals[clock])} h" if answer.flying and clock in answer.totals else ""
        text = f"What will have come due by {answer.by} if {flown}{at}, and nothing is done until then."
        yield Paragraph(text=text, tone=STRONG)


def _readings(answer: DueAnswer) -> Paragraph:
    readings = []
    for name, point in answer.meters.items():
        if point is None:
            readings.append(f"{name}: no reading")
        else:
            total = f", total {number(point.total)}" if point.total != point.reads else ""
            amended = "; ".join(answer.seen.of_meters(point.record))
            when = f"{point.date}, {ago(point.date, answer.on)}{f' (amended: {amended})' if amended else ''}"
            readings.append(f"{name} {number(point.reads)}{total} on {when}")
    return Paragraph(text=f"Last readings: {'; '.join(readings)}." if readings else "No meter has a reading yet.")


def uncounted(answer: DueAnswer) -> Iterator[Block]:
    """What does not count because its seal does not hold, and why."""
    if answer.seen.broken:
        yield Paragraph(text="Not counted, because the seal of the record does not hold:", tone=STOP)
        yield Listing(items=tuple(f"{name}: {why}" for name, why in answer.seen.broken.items()))


def taken_after_others(answer: DueAnswer) -> Iterator[Block]:
    """What counts as done after another record of its day only because nothing says otherwise."""
    told = [f"{label(item)} after {item.taken_after}" for item in answer.items if item.taken_after]
    told += [f"the flight check of {flight.name} after {of.name}" for flight, of in answer.no_passengers.taken_after]
    if told:
        named = "; ".join(told[:TAKEN_AFTER]) + (f"; and {len(told) - TAKEN_AFTER} more" * (len(told) > TAKEN_AFTER))
        text = f"Taken as done after work of the same day, though nothing says so (`inspect-kit verify`): {named}."
        yield Paragraph(text=text, tone=WARN)


def either_block(answer: DueAnswer) -> Iterator[Block]:
    """What an amendment changes that waits for its signature: both, of which the sooner counts."""
    pending = answer.seen.pending()
    if not pending:
        return
    yield Heading(text="Amendments that wait for a signature")
    names = ", ".join(f"{each.name} (of {each.of})" for each in pending)
    text = f"Of an item whose date or total they change the sooner counts until then: {names}."
    yield Paragraph(text=text, tone=WARN)
    rows = [
        Row(
            cells=(
                label(each.amended),
                f"{state_words(each.recorded)} {left_words(each.recorded)}".strip(),
                f"{state_words(each.amended)} {left_words(each.amended)}".strip(),
            )
        )
        for each in answer.either
    ]
    if rows:
        columns = ("item", "as recorded", "as amended")
        yield table(tuple(Column(name=name, wide=True) for name in columns), rows)
    else:
        yield Paragraph(text="No item is due sooner or later by them.")


def _summary(answer: DueAnswer) -> str:
    if not answer.items:
        return "Nothing that falls due is known"
    counts = [(sum(item.state == state for item in answer.items), WORDS[state]) for state in STATES]
    told = ", ".join(f"{count} {word}" for count, word in counts if count)
    return f"{counted(len(answer.items), 'item')}: {told}"


def _group(answer: DueAnswer, state: str) -> list[Row]:
    return [item_row(item) for item in answer.items if item.state == state]


def item_row(item: Item) -> Row:
    """One item as a row under `COLUMNS`."""
    expected = item.expected
    spread = expected is not None and expected.early != expected.late
    # An expected day that is the calendar limit itself says nothing new.
    likely = ""
    if expected and (spread or expected.likely != item.due.date):
        likely = f"{expected.likely} ({days(expected.age_days) if expected.age_days else 'today'})"
    return Row(
        cells=(
            MARKS[item.state],
            WORDS[item.state],
            item_title(item),
            left_words(item),
            str(item.due.date) if item.due.date else "",
            reading_words(item),
            _total_words(item),
            likely,
            expected.span if expected and spread else "",
            item.check if item.kind != INSPECTION and item_title(item) != item.check else "",
            last_words(item),
            item.panel or "",
            item.source,
        ),
        tone=tone_of(item),
    )


def tone_of(item: Item) -> str:
    """How its row is meant: what is past due presses, whatever use has probably used up besides."""
    return STOP if item.owed else TONES[item.state] or (WARN if reached(item) else "")


def label(item: Item) -> str:
    """What an item is called in a list: a check by its id, a finding by its words and its reference."""
    if item.kind == INSPECTION:
        return f"{item.check} inspection"
    if item.kind == TREND:
        return item.name
    return f"{item.name} ({item.check})" if item.kind in (FINDING, RECHECK) and item.name else item.check


def state_words(item: Item) -> str:
    """The mark and the word of a state: `!! past due`, `> soon`."""
    return f"{MARKS[item.state]} {WORDS[item.state]}"


def left_words(item: Item, *, brief: bool = False) -> str:
    """What is left by the meter and by the calendar, `3.4 h or 12 days`; `2.1 h over` once it is past.

    Where one is left and the other over, each says which: `34.2 h left, 42 days over`. What use has probably used up,
    and nobody wrote down, is said with it; `brief` leaves out what to do about it, where that is said once for all.
    """
    if item.expected is not None and reached(item):
        return f"{_left(item)} by the last reading; {probably_reached(item.expected, brief=brief)}"
    return _left(item)


def reached(item: Item) -> bool:
    """Whether use that nobody wrote down has probably used up what is left."""
    counted_down = not (item.owed or item.asked or grace_words(item))
    return item.expected is not None and item.expected.reached and counted_down


def left_clause(item: Item) -> str:
    """What is left, to go on a sentence with: `1.3 h over`, `3.4 h or 12 days left`, `before flight`."""
    words, left = left_words(item), item.left
    known = [each for each in (left.amount, left.days) if each is not None]
    simple = bool(known) and min(known) >= 0 and words == _left(item) and not (item.owed or item.asked)
    return f"{words} left" if simple else words


def _left(item: Item) -> str:
    if item.owed:
        return "before flight" if item.bars.flight else "before it is used" if item.bars.what else "owed"
    if item.asked:
        return f"now, by {item.asked}"
    if grace := grace_words(item):
        return grace
    left, told = item.left, []
    if left.amount is not None and left.unit is not None:
        told.append((amount(abs(left.amount), left.unit), left.amount < 0))
    if left.days is not None:
        told.append((days(abs(left.days)), left.days < 0))
    if not told and item.state == LATER:
        return "nothing due"
    if len({over for _, over in told}) > 1:
        return ", ".join(f"{words} {'over' if over else 'left'}" for words, over in told)
    words = " or ".join(f"{words} over" if over else words for words, over in told)
    # Another of its limits is not known, and may come sooner.
    return f"at most {words}" if item.state == UNKNOWN and told and not any(over for _, over in told) else words


def reading_words(item: Item) -> str:
    """What the present meter will read when it is due: `tach 388.8`."""
    due = item.due
    if due.total is None:
        return ""
    reads = due.total if due.reads is None else due.reads
    return f"{due.meter or ''} {number(reads)}".strip() if reads >= 0 else "before this meter"


def _total_words(item: Item) -> str:
    """The total at which it is due, where the present meter will not show it."""
    due, unit = item.due, item.left.unit
    if due.total is None or due.total == due.reads:
        return ""
    return amount(due.total, unit) if unit else number(due.total)


def last_words(item: Item) -> str:
    """When an item was last done: the date, the total then, and whether that total is an estimate."""
    last = item.last
    if last is None:
        return "" if item.kind == FINDING else "none on record"
    words = [str(last.date)] if last.date is not None else []
    if last.total is not None:
        total = amount(last.total, last.unit) if last.unit else number(last.total)
        words.append(f"total {total}{' (estimated)' if last.estimated else ''}")
    return ", ".join(words) + (" (amended)" if last.amended else "")


def _left_out(answer: DueAnswer) -> Iterator[Block]:
    if answer.left_out:
        files = ", ".join(place.file for place in answer.left_out)
        text = f"Left out, because later than {answer.on}: {files}."
        yield Paragraph(text=text, tone=WARN)
