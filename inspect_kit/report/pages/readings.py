"""Readings of a record beside the last ones of the same labels, with their limits."""

from collections.abc import Iterator
from decimal import Decimal

from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.report.blocks import STOP, Column, Row, Table, table
from inspect_kit.report.naming import check_title
from inspect_kit.report.words import number


def readings_table(logbook: Logbook, record: PageRecord) -> Table:
    """Every reading in the order of the record. `last time` is the same label in the latest record before this one,
    of another page: what the same page said before it passed is no earlier time."""
    earlier = list(_earlier(logbook, record))
    found = [(reading, _last_time(logbook, earlier, reading)) for reading in record.readings]
    dates = {before[0].date for _, before in found if before}
    # One date for all belongs in the head of the column; several stand each beside its reading.
    one_date = dates.pop() if len(dates) == 1 else None
    rows: list[Row] = []
    check = None
    for reading, before in found:
        if reading.check != check:
            rows.append(Row(band=check_title(logbook, reading.check)))
            check = reading.check
        rows.append(_row(reading, before, dated=one_date is None))
    columns = (
        Column(name="reading", wide=True),
        Column(name="value", right=True, wide=True),
        Column(name="limits"),
        Column(name=f"last time, {one_date}" if one_date else "last time", right=True, wide=True),
        Column(name="change", right=True),
        Column(name=""),
    )
    return table(columns, rows)


def _row(reading: Reading, before: tuple[PageRecord, Reading] | None, *, dated: bool) -> Row:
    return Row(
        cells=(
            f"{reading.label} ({reading.reckoned})" if reading.reckoned else reading.label,
            as_read(reading),
            str(reading.bound) if reading.bound else "",
            _before_words(before, dated=dated),
            _change(before[1] if before else None, reading),
            "OUT OF LIMITS" if reading.out_of_limits else "",
        ),
        tone=STOP if reading.out_of_limits else "",
    )


def as_read(reading: Reading) -> str:
    """A reading with its measure; one that was taken again shows all values, the last of which counts."""
    values = (reading.value, *reading.again)
    if reading.measure == "words":
        return ", then ".join(value for value in values if value)
    first = f"{reading.value} {reading.measure}" if reading.value else "not read"
    return ", then ".join((first, *reading.again))


def _earlier(logbook: Logbook, record: PageRecord) -> Iterator[PageRecord]:
    """Records before this one, the latest first; inspections of the same name before all others."""
    order = (record.date, record.name)
    before = [
        each
        for each in reversed(logbook.of_kind(PageRecord))
        if (each.date, each.name) < order and not (each.sheet and each.sheet == record.sheet)
    ]
    same = [
        each
        for each in before
        if isinstance(each, Inspection) and isinstance(record, Inspection) and each.inspection == record.inspection
    ]
    yield from same
    yield from (each for each in before if each not in same)


def _last_time(logbook: Logbook, earlier: list[PageRecord], reading: Reading) -> tuple[PageRecord, Reading] | None:
    name = logbook.id_now(reading.check)
    for record in earlier:
        for before in record.readings:
            if logbook.id_now(before.check) == name and before.label == reading.label and before.last:
                return record, before
    return None


def _before_words(before: tuple[PageRecord, Reading] | None, *, dated: bool) -> str:
    if before is None:
        return ""
    record, reading = before
    value = reading.last if reading.again or reading.measure == "words" else f"{reading.value} {reading.measure}"
    return f"{value} ({record.date})" if dated else value


def _change(before: Reading | None, reading: Reading) -> str:
    """The difference of two numbers of the same measure, with its sign."""
    if before is None or before.measure != reading.measure:
        return ""
    old, new = before.number, reading.number
    if old is None or new is None:
        return ""
    difference: Decimal = new - old
    return "0" if not difference else f"{'+' if difference > 0 else '-'}{number(abs(difference))}"
