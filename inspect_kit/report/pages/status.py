"""The state of the aircraft on one page: total times, parts, life limits, inspections, standing findings.

What 14 CFR 91.417(a)(2) asks an owner to keep, with directives, settings, and weight and balance.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from decimal import Decimal

from inspect_kit.balance import balance
from inspect_kit.due.answer import INSPECTION, DueAnswer, Item
from inspect_kit.due.chronicle import Chronicle, chronicle
from inspect_kit.due.directives import directives_told
from inspect_kit.due.fitting import Fitting, all_fittings, present
from inspect_kit.due.settings import settings_now
from inspect_kit.due.shelf import shelf
from inspect_kit.due.stops import since_empty
from inspect_kit.model.aircraft import Position
from inspect_kit.model.interval import HOURS
from inspect_kit.model.record import REQUIRED
from inspect_kit.noun import dataclass
from inspect_kit.report.blocks import QUIET, Block, Column, Heading, Page, Paragraph, Row, Table, facts, table
from inspect_kit.report.naming import flight_check_words, identity_words
from inspect_kit.report.pages.balance import balance_doubts, empty_words, weight_history
from inspect_kit.report.pages.directives import directives_table, search_blocks
from inspect_kit.report.pages.due import COLUMNS as DUE_COLUMNS
from inspect_kit.report.pages.due import item_row, last_words, uncounted
from inspect_kit.report.pages.findings import standing_table
from inspect_kit.report.pages.parts import shelf_doubts, shelf_table
from inspect_kit.report.pages.phases import passenger_lines, phase_blocks
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.pages.reasons import reasons
from inspect_kit.report.pages.settings import settings_table
from inspect_kit.report.pages.trend import oil_lines, series_table, trends_that_matter
from inspect_kit.report.pages.unknown import unknown_blocks
from inspect_kit.report.words import ago, amount, counted, days, number, parts_used, sentence
from inspect_kit.rules.cautions import DEFERRAL, PILOT_DECIDES
from inspect_kit.rules.profile import profile_of


@dataclass(frozen=True, slots=True, kw_only=True)
class PartTime:
    """What is fitted in a position (None: nothing on record) and its own hours now, where they are known.

    `here` are hours in this position since it was fitted; `since_new` and `since_overhaul` its own.
    """

    position: Position
    fitting: Fitting | None
    here: Decimal | None = None
    since_new: Decimal | None = None
    since_overhaul: Decimal | None = None


def part_times(answer: DueAnswer) -> tuple[PartTime, ...]:
    """Every position that is not retired, with the part in it."""
    book = chronicle(answer.seen)
    fittings = all_fittings(book)
    return tuple(
        _part_time(book, position, fittings.get(position.id, ()))
        for position in answer.seen.aircraft.positions.values()
        if position.retired is None
    )


def _part_time(book: Chronicle, position: Position, stays: tuple[Fitting, ...]) -> PartTime:
    fitting = present(stays)
    if fitting is None:
        return PartTime(position=position, fitting=None)
    then, now = fitting.start.totals.get(book.clock), book.total_now(book.clock)
    here = None if then is None or now is None else now - then
    # Of a part that was brought forward its own hours were told on that day, and nobody knows what it had when it came.
    told = fitting.told.totals.get(book.clock)
    since = None if told is None or now is None else now - told
    return PartTime(
        position=position,
        fitting=fitting,
        here=here,
        since_new=None if since is None or fitting.since_new is None else fitting.since_new + since,
        since_overhaul=None if since is None or fitting.since_overhaul is None else fitting.since_overhaul + since,
    )


def life_items(answer: DueAnswer) -> tuple[Item, ...]:
    """The items that end with a new part."""
    checks = answer.seen.checks
    return tuple(item for item in answer.items if item.check in checks and checks[item.check].life)


def status_page(answer: DueAnswer) -> Page:
    """The status of the aircraft on the day of the answer."""
    logbook = answer.seen
    identity = logbook.aircraft.identity
    standing = logbook.standing()
    inspections = [item for item in answer.items if item.kind == INSPECTION]
    life = life_items(answer)
    made: list[Block] = [
        *incomplete(answer.problems),
        *passenger_lines(answer),
        *reasons(answer),
        *uncounted(answer),
        *phase_blocks(answer),
        Heading(text="The aircraft"),
        aircraft_table(answer),
        Heading(text="Total times"),
        totals_table(answer),
        *parts_blocks(answer),
        Heading(text="Inspections"),
        table(DUE_COLUMNS, [item_row(item) for item in inspections]),
        *(Paragraph(text=words) for item in inspections if (words := since_words(answer, item))),
        *flight_checks(answer, inspections),
    ]
    if life:
        made += [Heading(text="Life limits"), table(DUE_COLUMNS, [item_row(item) for item in life])]
    if coming := next_due(answer):
        made += [Heading(text="Next three things due"), table(DUE_COLUMNS, [item_row(item) for item in coming])]
    made.append(Heading(text="Open discrepancies"))
    made.append(standing_table(logbook, standing) if standing else Paragraph(text="None on record."))
    if trends := trends_that_matter(answer):
        made += [Heading(text="Trends that matter"), *oil_lines(answer), series_table(trends, answer.seen)]
    if lots := shelf(logbook.records, parts_used(logbook)):
        made += [Heading(text="On the shelf"), *shelf_doubts(lots, answer), shelf_table(lots, answer)]
    made += [*directive_blocks(answer), *setting_blocks(answer), *weight_blocks(answer)]
    made += [Heading(text="What is kept, and for how long"), _kept(answer)]
    made += [*unknown_blocks(answer), *problem_blocks(answer.problems)]
    made += [Paragraph(text=f"{PILOT_DECIDES} {DEFERRAL}", tone=QUIET)]
    title = f"Status of {identity_words(identity)}, {answer.on}"
    return Page(title=title, blocks=tuple(made), foot=title)


def directive_blocks(answer: DueAnswer) -> Iterator[Block]:
    """Directives as 91.417(a)(2)(v) asks, where any directive or search is on record."""
    found = directives_told(answer.seen, answer.on)
    if found.states or found.searches:
        yield Heading(text="Directives and letters")
        yield from [directives_table(answer, found)] if found.states else []
        yield from search_blocks(found)


def setting_blocks(answer: DueAnswer) -> Iterator[Block]:
    """The present settings, where any is on record."""
    book = chronicle(answer.seen)
    settings = settings_now(book, all_fittings(book))
    if settings:
        yield Heading(text="Settings")
        yield settings_table(settings, answer.seen)


def weight_blocks(answer: DueAnswer, *, history: bool = False) -> Iterator[Block]:
    """The empty weight and its centre of gravity, where the aircraft was ever weighed; also worked out of what."""
    found = balance(answer.seen, loadings=False)
    if found.empty is None:
        return
    changes = counted(len(found.empty.changes), "change of equipment", "changes of equipment")
    yield Heading(text="Weight and balance")
    yield facts(
        ("Empty weight", empty_words(found)),
        ("Weighed", f"{found.empty.weighing.date}, {changes} since"),
        ("Datum", found.empty.weighing.datum),
    )
    if history:
        yield weight_history(found, found.empty)
    yield from balance_doubts(found)


def since_inspection(answer: DueAnswer, item: Item) -> tuple[Decimal | None, int | None]:
    """Time in service and days since an inspection was last done; None where nothing says it."""
    clock = answer.seen.aircraft.time_in_service
    point = answer.meters.get(clock)
    hours = point.total - item.last.total if point and item.last and item.last.total is not None else None
    days_ = (answer.on - item.last.date).days if item.last and item.last.date else None
    return hours, days_


def since_words(answer: DueAnswer, item: Item) -> str:
    """The time since the last required inspection (14 CFR 91.417(a)(2)(iv))."""
    hours, days_ = since_inspection(answer, item)
    told = [amount(hours, HOURS)] if hours is not None else []
    told += [days(days_)] if days_ is not None else []
    if not told or item.last is None:
        return ""
    return f"Since the last {item.check} inspection ({last_words(item)}): {', '.join(told)}."


def flight_checks(answer: DueAnswer, inspections: Iterable[Item]) -> Iterator[Block]:
    """By which words passengers may be carried after work since the last of these inspections (14 CFR 91.407)."""
    logbook = answer.seen
    since = max((item.last.date for item in inspections if item.last and item.last.date), default=dt.date.min)
    for record in logbook.records:
        check = record.flight_check
        if check is not None and check.word != REQUIRED and record.date >= since:
            told = sentence(f"Flight check {flight_check_words(logbook.aircraft, check)}")
            yield Paragraph(text=f"{told} ({record.place})")


def _kept(answer: DueAnswer) -> Table:
    rows = [Row(cells=(each.what, each.keep, each.citation)) for each in profile_of(answer.seen.aircraft).retention]
    columns = (Column(name="what", wide=True), Column(name="kept", wide=True), Column(name="source", rank=1))
    return table(columns, rows)


def aircraft_table(answer: DueAnswer) -> Table:
    """Which aircraft this is, and since when it has its certificate."""
    aircraft = answer.seen.aircraft
    identity = aircraft.identity
    return facts(
        ("Registration", identity.registration),
        ("Make and model", f"{identity.make} {identity.model}"),
        ("Serial", identity.serial),
        ("Airworthiness certificate of", str(aircraft.certificate_date)),
    )


def next_due(answer: DueAnswer) -> tuple[Item, ...]:
    """The next three things due: those that are past due first, then by their day."""
    return answer.items[:3]


def totals_table(answer: DueAnswer) -> Table:
    """The total of every meter, what it reads, and when it was read."""
    clock = answer.seen.aircraft.time_in_service
    rows = []
    for name, point in answer.meters.items():
        meter = answer.seen.aircraft.meters[name]
        rows.append(
            Row(
                cells=(
                    f"{name}, time in service" if name == clock else name,
                    amount(point.total, meter.unit) if point else "no reading",
                    number(point.reads) if point else "",
                    f"{point.date}, {ago(point.date, answer.on)}" if point else "",
                    "; ".join(answer.seen.of_meters(point.record)) if point else "",
                )
            )
        )
    columns = (
        Column(name="meter", wide=True),
        Column(name="total", right=True),
        Column(name="reads", right=True),
        Column(name="on"),
        Column(name="amended", wide=True, rank=1),
    )
    return table(columns, rows)


def parts_blocks(answer: DueAnswer) -> Iterator[Block]:
    """What is fitted in every position, with its own times."""
    times = part_times(answer)
    if not times:
        return
    yield Heading(text="Fitted parts")
    rows = [Row(cells=_part_cells(each, answer)) for each in times]
    columns = (
        Column(name="position", wide=True),
        Column(name="part", wide=True),
        Column(name="serial", wide=True),
        Column(name="fitted"),
        Column(name="here", right=True, rank=1),
        Column(name="since new", right=True),
        Column(name="since overhaul", right=True),
        Column(name="beside it", wide=True, rank=2),
    )
    yield table(columns, rows)


def _part_cells(each: PartTime, answer: DueAnswer) -> tuple[str, ...]:
    position = f"{each.position.id} (on {each.position.on})" if each.position.on else each.position.id
    if each.fitting is None:
        out = answer.emptied.get(each.position.id)
        told = f"nothing fitted {since_empty(out)}" if out is not None else "nothing on record"
        return (position, told, "", "", "", "", "", "")
    fitted = each.fitting.start.date
    hours = [
        amount(value, HOURS) if value is not None else "" for value in (each.here, each.since_new, each.since_overhaul)
    ]
    amended = "; ".join(answer.seen.amendments(each.fitting.start.record, own=(each.fitting.position,)))
    return (position, each.fitting.part, each.fitting.serial, str(fitted) if fitted else "", *hours, amended)
