"""What `import` tells: what would be written, what would not, and what a person would look twice at."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_kit import past
from inspect_kit.cli.columns_asked import LEAVE_OUT, SAMPLES, as_left_out
from inspect_kit.cli.said import say
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.past.columns import as_compared, column, column_names
from inspect_kit.report.words import counted

# Totals that differ by less are the same, rounded.
SMALLEST = Decimal("0.1")
# So many rows that are on record otherwise are named.
SHOWN = 20


def tell_untaken(table: past.LogbookTable, columns: past.Columns, beside: str) -> None:
    """The columns that nobody said anything of: a crack may stand in one."""
    untaken = [name for name in column_names(table, columns.names) if name not in columns.roles]
    if told := ", ".join(f"`{name}`" for name in untaken if any(column(table, columns, name))):
        say(f"`columns` in {beside} does not say what {told} is: its words are kept with their row, and count nowhere.")


def tell_unsaid(found: past.Entries, columns: past.Columns, beside: str) -> None:
    """The words that were to count for something, and that no row has: misspelt perhaps."""
    said = {as_compared(each.text) for each in found.entries} | {as_compared(each.words) for each in found.bad}
    for key, words in (("did", columns.did), ("last", columns.last)):
        if unsaid := ", ".join(f"`{each}`" for each in words if each not in said):
            say(f"No row says just {unsaid}, which stands under `{key}` in {beside}: nothing counts by it.")


def tell_import(
    found: past.Entries,
    matched: past.Matched,
    records: Sequence[Record],
    beside: str,
    id_now: Callable[[str], str],
) -> None:
    """The dry run: what would be written, and what of the table would not; `beside` is the file of the mapping."""
    days = f", from {records[0].date} to {records[-1].date}:" if records else ""
    say(f"{counted(len(records), 'record')} to be written{days}")
    shown = [*records[:SAMPLES], *records[SAMPLES:][-1:]]
    for record in shown:
        if len(records) > len(shown) and record is shown[-1]:
            say("    ...")
        say(f"    {line_of_import(record)}")
    counting = [record for record in records if isinstance(record, PaperEntry) and (record.did or record.last)]
    if records:
        if counting:
            say(f"{counted(len(counting), 'row')} of them counted for a check or an inspection, as you said.")
        else:
            told = "None of them counts for a check or an inspection"
            say(f"{told}: which words do is said by `did` and `last` in {beside}.")
    if matched.before:
        say(f"{counted(len(matched.before), 'row')} imported before and left as they are.")
    others: dict[str, int] = {}
    for _, old in matched.elsewhere:
        others[_from(old)] = others.get(_from(old), 0) + 1
    for other, count in others.items():
        say(f"{counted(count, 'row')} imported before, from {other}, and left as {other} has them.")
    for row in found.left_out:
        say(f"left out, as you said: line {row.line}: {row.text}")
    changed = [(now, old, keys) for now, old in matched.changed if (keys := past.still_otherwise(now, old, id_now))]
    if settled := len(matched.changed) - len(changed):
        say(f"{counted(settled, 'row')} changed since, as the record of each was amended.")
    for now, old, keys in changed:
        say(f"changed since it was imported, not written: {now.place}: {_cells(now)}")
        say(f"    was {_cells(old)}; its record stays, and differs in {', '.join(keys)}: {old.place.file}")
    for old in matched.gone:
        say(f"not in the table any more; its record stays: {old.place.file}: {_cells(old)}")
    for now, back in matched.withdrawn:
        say(f"withdrawn since it was imported, not written: {now.place}: {_cells(now)}")
        say(f"    its entry stands in {back.place.file}; a row that is corrected is written")
    if changed:
        say("Where the table is right now, `amend` the record, or `withdraw` it and import again.")


def tell_otherwise(rows: Sequence[past.Otherwise], beside: str) -> None:
    """The rows on record that would be entered otherwise now: what was said of them since counts for nothing."""
    if not rows:
        return
    many = counted(len(rows), "row that was imported before says", "rows that were imported before say")
    say(f"{many} something else now, by the table and {beside}; what is on record stays:")
    for each in rows[:SHOWN]:
        say(f"    {each.row.place}: {', '.join(each.keys)}: not as in {each.record.place.file}")
    if len(rows) > SHOWN:
        say(f"    and {len(rows) - SHOWN} more")
    say("Where that is right now, write it into the record, or `amend` that.")


def tell_doubtful(logbook: Logbook, columns: past.Columns, records: Sequence[Record], beside: str) -> None:
    """The rows of a day before the certificate of the aircraft, and those that say what another one of the day says."""
    certified = logbook.aircraft.certificate_date
    rows = [each for each in records if isinstance(each, PaperEntry) and each.imported is not None]
    if early := [row for row in rows if row.date < certified]:
        told = f"line {early[0].place.line}, taken as {early[0].date}: {_cells(early[0])}"
        say(f"{counted(len(early), 'row is', 'rows are')} of a day before the certificate, {certified}: {told}")
        say(f"    entries of the time of building stay as they are; the order of day and month is `dates` in {beside}")
    first: dict[tuple[dt.date, str], PaperEntry] = {}
    twice: list[tuple[int, int, str]] = []
    for row in sorted(rows, key=lambda row: row.place):
        if (before := first.setdefault((row.date, _cells(row)), row)) != row:
            twice.append((row.place.line, before.place.line, _cells(row)))
    if twice:
        told = ", ".join(f"line {line} as line {before}" for line, before, _ in twice[:SAMPLES])
        more = f" and {len(twice) - SAMPLES} more" if len(twice) > SAMPLES else ""
        say(f"{counted(len(twice), 'row says', 'rows say')} what another one of that day says: {told}{more}")
        leave = as_left_out([(line, cells) for line, _, cells in twice], columns.leave_out)
        say(f"    each makes a record; one that is a slip is named under `{LEAVE_OUT}` in {beside}{leave}")


def tell_totals(logbook: Logbook, found: past.Entries, records: Sequence[Record], beside: str) -> None:
    """The rows whose own total is another than their reading makes: then hours were flown that no meter counted."""
    book = with_imported(logbook, records)
    names = {each.imported.line: each.name for each in records if isinstance(each, PaperEntry) and each.imported}
    told = []
    for line, meter, total in found.stated:
        point = book.meter_history(meter).at_record.get(names.get(Decimal(line), ""))
        if point is not None and abs(point.total - total) >= SMALLEST:
            told.append(f"line {line} says a total {meter} of {total}, and its reading makes it {point.total}")
    if told:
        say(f"{counted(len(told), 'row gives', 'rows give')} another total than the readings make: {told[0]}.")
        say(f"Hours that no meter counted are `unrecorded` under `meter-changed` in {beside}; else a number is wrong.")


def line_of_import(record: Record) -> str:
    if isinstance(record, MeterChange):
        return f"{record.date}; {record.meter} changed: {record.old} on the old one, {record.new} on the new one"
    read = [f"{meter} {reads}" for meter, reads in record.meters.items()]
    known = record.totals if isinstance(record, PaperEntry) else {}
    totals = [f"total {meter} {total}" for meter, total in known.items()]
    by = f"by {record.by.name}" if record.by else ""
    # A line that wraps loses its blanks, and with them what parts a column from the next.
    return "; ".join(word for word in (str(record.date), *read, *totals, record.text, by, record.paper) if word)


def _from(entry: PaperEntry) -> str:
    return entry.imported.file if entry.imported else ""


def _cells(entry: PaperEntry) -> str:
    return entry.imported.cells if entry.imported else entry.text


def with_imported(logbook: Logbook, records: Sequence[Record]) -> Logbook:
    together = sorted((*logbook.records, *records), key=lambda each: (each.date, each.name))
    return replace(logbook, records=tuple(together))
