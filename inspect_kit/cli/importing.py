"""`import`: the past comes in, a paper or spreadsheet logbook, saved as CSV, one record a row."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import click

from inspect_kit import past, store
from inspect_kit.audit import clock_behind
from inspect_kit.cli.columns_asked import (
    LEAVE_OUT,
    as_left_out,
    asked_columns,
    asked_people,
    asked_rows_out,
    bad_rows,
    bytes_of_table,
    keep_beside,
)
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.kept_answers import kept_of_table
from inspect_kit.cli.options import shared
from inspect_kit.cli.said import confirmed, keep_asked, say
from inspect_kit.cli.shown import mark_of
from inspect_kit.cli.told_import import (
    line_of_import,
    tell_doubtful,
    tell_import,
    tell_otherwise,
    tell_totals,
    tell_unsaid,
    tell_untaken,
    with_imported,
)
from inspect_kit.due import unusual_totals
from inspect_kit.due.unwritten import TOTAL, amending_past
from inspect_kit.errors import Misused, Place, Problem, Refused
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass
from inspect_kit.past.columns import column_names
from inspect_kit.report.words import counted
from inspect_kit.text.record import write_record

# What a meter change that stands beside a table says of itself, so that it is missed there.
FROM = "`meter-changed` in {}"
# Where no row says it.
METER_CHANGED = "meter-changed: [{date: DATE, meter: METER, old: READING, new: READING}]"
# Of the words of a row so many stand in the name of its record.
SHOWN = 40


@click.command(name="import")
@click.argument("file", metavar="FILE.csv", type=click.Path(path_type=Path))
@click.option("--write", is_flag=True, help="Write the records; without it you are asked, after a dry run.")
@shared("yes")
@click.pass_obj
def import_(desk: Desk, file: Path, write: bool, sure: bool) -> int:
    """Take a paper or spreadsheet logbook in, one record a row.

    What the columns are is asked once and kept beside the file, in logbook.columns.yaml, to be edited by hand. Nothing
    is written before you have seen what would be. Rows that were imported before are never written twice. Words of a
    row count for a check only if you say so there; the paper stays the original.

    \b
    import ../logbook.csv
    """
    logbook = desk.logbook()
    mark = mark_of(logbook.aircraft.identity)
    data = bytes_of_table(file)
    text, encoding = past.decode_table(data)
    lines = tuple(text.splitlines())
    beside = file.with_name(f"{file.stem}.columns.yaml")
    meters = tuple(logbook.aircraft.meters)
    with kept_of_table(file.with_name(f"{file.stem}.answers.yaml"), store.sha256(data), mark):
        if _is_there(beside):
            columns = _columns(beside, meters)
            table = past.read_table(text, columns.cells)
            _refuse_other_columns(columns, table, beside)
        else:
            table = past.read_table(text)
            columns = asked_columns(desk, logbook.aircraft, table, file, encoding, lines)
            store.write_outside(beside, past.write_columns(columns, file.name).encode(), mark)
            keep_asked()
            say(f"What the columns are is kept in {beside}.")
        tell_untaken(table, columns, beside.name)
        found = past.entries_of(table, columns, file.name, desk.today)
        known = {each.imported.digest for each in logbook.of_kind(PaperEntry) if each.imported}
        if out := asked_rows_out(found, columns, file.name, lines, beside, known):
            keep_beside(beside, LEAVE_OUT, {str(line): words for line, words in out.items()}, mark, columns)
            keep_asked()
            say(f"Left out by `{LEAVE_OUT}` in {beside}: {counted(len(out), 'row')}.")
            columns = replace(columns, leave_out={**columns.leave_out, **out})
            found = past.entries_of(table, columns, file.name, desk.today)
        if people := asked_people(logbook, columns, found, beside):
            keep_beside(beside, "people", people, mark, columns)
            keep_asked()
            columns = replace(columns, people={**columns.people, **people})
            found = past.entries_of(table, columns, file.name, desk.today)
    asked = _Asked(desk=desk, columns=columns, found=found, file=file.name, lines=lines, beside=beside)
    loaded, matched, records = asked.records()
    tell_import(found, matched, records, beside.name, logbook.id_now)
    kept = logbook.of_kind(PaperEntry)
    tell_otherwise(past.entered_otherwise(matched.before, kept, _written_by(logbook), logbook.id_now), beside.name)
    for change, record in _changed_otherwise(logbook, columns):
        told = f"the change of {change.meter} on {change.date} says something else than {record.place.file}"
        say(f"{beside.name}: {told}, which stays: where it is right now, `amend` that.")
    for told in _changed_no_more(logbook, columns, beside.name):
        say(f"{beside.name}: {told}")
    tell_unsaid(found, columns, beside.name)
    tell_doubtful(logbook, columns, records, beside.name)
    tell_totals(logbook, found, records, beside.name)
    asked.refuse_faults(loaded, records)
    if not sure:
        _ask_unusual(logbook, records, file.name)
    if not records:
        say("Nothing is left to write.")
        return desk.code(0)
    if not write and not _agreed(len(records)):
        say("Nothing was written.")
        return desk.code(0)
    with desk.writing("import") as writer:
        # Somebody may have written meanwhile: what was shown is what is written, or nothing.
        loaded, _, now = asked.records()
        if [line_of_import(record) for record in now] != [line_of_import(record) for record in records]:
            raise Refused("the records were changed while you were asked; nothing was written. Run the command again")
        asked.refuse_faults(loaded, now)
        store.create_all(writer, _files(now))
    say(f"{counted(len(records), 'record')} written. The paper stays the original: keep it.")
    return desk.code(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """One import: the table as read, and what the store makes of it."""

    desk: Desk
    columns: past.Columns
    found: past.Entries
    file: str
    lines: tuple[str, ...]
    beside: Path

    def records(self) -> tuple[store.Loaded, past.Matched, list[Record]]:
        """The store as it is now, and what would be written to it."""
        loaded, logbook = self.desk.loaded()
        kept = [record for record in logbook.records if isinstance(record, PaperEntry)]
        back = [each.record for each in logbook.withdrawn if isinstance(each.record, PaperEntry)]
        out = {row.digest for row in self.found.left_out}
        matched = past.match(self.found.entries, kept, self.file, back, out)
        after = store.heads(loaded.files)
        loaded = replace(loaded, logbook=logbook)
        return loaded, matched, _records(self.desk, logbook, self.columns, matched.new, self.beside.name, after)

    def refuse_faults(self, loaded: store.Loaded, records: Sequence[Record]) -> None:
        """Misused, after every bad row, if one of them cannot be read or would contradict what stands, or the clock."""
        assert loaded.logbook is not None
        if (behind := clock_behind(loaded.logbook.records, self.desk.today)) is not None:
            raise Misused(f"nothing was written, because of\n  {behind}")
        bad = bad_rows(self.found.bad, self.file, self.lines)
        faults = self._contradictions(loaded, loaded.logbook, records)
        falls = [fault for fault in faults if fault.fallen]
        # With a meter changed in between every total after it is another: what contradicts those may be nothing.
        shown = [*bad, *(falls or _once(faults))]
        if not shown:
            return
        say("\n".join(map(str, shown)), err=True)
        if len(faults) > len(falls) > 0:
            more = counted(len(faults) - len(falls), "contradiction")
            say(f"{more} besides may come of that, and what is left is told when that is settled.", err=True)
        ways = "\n".join(self._what_to_do(loaded.logbook, records, falls, faults))
        raise Misused(f"nothing was written. Do what holds of these, and give the same command again:\n{ways}")

    def _what_to_do(
        self, logbook: Logbook, records: Sequence[Record], falls: Sequence[Problem], faults: Sequence[Problem]
    ) -> Iterator[str]:
        """What to do about rows that cannot be read, and about what contradicts itself with them, each in a line."""
        beside = self.beside.name
        if falls:
            yield f"- if a meter was changed, write into {beside}, with its day and what both read then:"
            yield f"  {self._meter_changed(logbook, records, falls) or METER_CHANGED}"
        elif past_ones := [*_amending(logbook, faults, records)]:
            yield "- where the table is right, amend what was brought forward:"
            yield from (f"  inspect-kit {line}" for line in past_ones)
        if any(row.counts for row in self.found.bad):
            yield f"- add to the table who signed, or the page, in a column that {beside} has as `by` or `page`"
        rows = [(row.line, row.text) for row in self.found.bad if not row.counts]
        if rows or faults:
            left_out = as_left_out(rows, self.columns.leave_out)
            told = "else mend the rows" if falls else "mend the rows"
            yield f"- {told} in the table, or name what is no entry under `{LEAVE_OUT}` in {beside}{left_out}"

    def _meter_changed(self, logbook: Logbook, records: Sequence[Record], falls: Sequence[Problem]) -> str:
        """The line that says that the meters were changed where their readings fall, with those said already."""
        read = {str(each.place): each for each in (*logbook.records, *records)}
        said = [(each.date, each.meter, each.old, each.new) for each in self.columns.meter_changed]
        for fault in falls:
            falls_at, falls_from = fault.place, fault.fallen.earlier if fault.fallen else fault.place
            now, before = read.get(str(falls_at)), read.get(str(falls_from))
            meter = fault.fallen.meter if fault.fallen else ""
            # What was brought forward, and a change of a meter, say what it read in words of their own.
            if now is not None and before is not None and meter in now.meters and meter in before.meters:
                said.append((now.date, meter, before.meters[meter], now.meters[meter]))
        told = ", ".join(f"{{date: {day}, meter: {meter}, old: {old}, new: {new}}}" for day, meter, old, new in said)
        return f"meter-changed: [{told}]" if told else ""

    def _contradictions(self, loaded: store.Loaded, logbook: Logbook, records: Sequence[Record]) -> list[Problem]:
        """What the store as it would be says that it does not say now; each at the line of the table."""
        before = {(problem.place.file, problem.message) for problem in logbook.problems}
        rows = {each.name: each for each in records}
        files = _files(records)
        places = dict(zip(files, (each.place for each in records), strict=True))
        after = store.would_be(loaded, files)
        assert after.logbook is not None
        own = tuple(rows.get(each.name, each) for each in after.logbook.records)
        faults = []
        for problem in self.desk.problems_of(replace(after, logbook=replace(after.logbook, records=own))):
            if not problem.note and (problem.place.file, problem.message) not in before:
                faults.append(replace(problem, place=places.get(problem.place.file, problem.place)))
        return faults


def _amending(logbook: Logbook, faults: Sequence[Problem], rows: Sequence[Record]) -> Iterator[str]:
    """The words that put right each line which was brought forward and is contradicted, its fact left to be typed."""
    places = {fault.place for fault in faults}
    for start in logbook.of_kind(BroughtForward):
        for name in start.last:
            if place_of(start, "last", name) in places:
                day = _done_since(logbook, start, name, rows)
                told = f"date: {day}, " if day is not None else ""
                yield amending_past(start, [name], f"{told}{logbook.aircraft.time_in_service}: {TOTAL}")


def _done_since(logbook: Logbook, start: BroughtForward, name: str, rows: Sequence[Record]) -> dt.date | None:
    """The day on which rows say that something was last done, if that is later than what was brought forward says."""
    last = start.last[name].date
    days = [
        row.date
        for row in rows
        if isinstance(row, PaperEntry) and logbook.id_now(name) in (*map(logbook.id_now, row.did), *row.last)
    ]
    later = [day for day in days if day < start.date and (last is None or last < day)]
    return max(later, default=None)


def _written_by(logbook: Logbook) -> Callable[[PaperEntry], PaperEntry]:
    """What gives an entry as its file has it."""

    def as_written(entry: PaperEntry) -> PaperEntry:
        was = logbook.as_written(entry)
        return was if isinstance(was, PaperEntry) else entry

    return as_written


def _once(faults: Sequence[Problem]) -> list[Problem]:
    """The same of many items of one record told once: one row contradicts all that was last done on a later day, and
    one total all rows before it or after it.
    """
    alike: dict[tuple[str, str], list[Problem]] = {}
    for fault in faults:
        what, _, rest = fault.message.partition(" on ")
        alike.setdefault((fault.place.file, rest or what), []).append(fault)
    each = [
        first if not more else Problem(first.place, first.message.replace(" on ", f" and {len(more)} more on ", 1))
        for first, *more in alike.values()
    ]
    rows: dict[tuple[Place, str], list[Problem]] = {}
    for fault in each:
        rows.setdefault((fault.place, fault.message.partition(" the total on ")[0]), []).append(fault)
    return [
        first if not more else replace(first, message=f"{first.message}, and {counted(len(more), 'row')} more")
        for first, *more in rows.values()
    ]


def _is_there(beside: Path) -> bool:
    try:
        return beside.exists()
    except OSError as error:
        raise Misused(f"{beside} is to say what the columns are, and cannot be: {error.strerror}") from None


def _columns(beside: Path, meters: tuple[str, ...]) -> past.Columns:
    text, problems = store.decode(beside.name, bytes_of_table(beside))
    columns, source = past.read_columns(text, beside.name, meters)
    faults = [*problems, *(() if problems else source.problems)]
    if columns is None or faults:
        raise Misused("\n".join(str(fault) for fault in faults))
    return columns


def _refuse_other_columns(columns: past.Columns, table: past.LogbookTable, beside: Path) -> None:
    names = column_names(table, columns.names)
    lost = [name for name in [*columns.roles, *columns.carry] if name not in names]
    if lost:
        told = ", ".join(f"`{name}`" for name in dict.fromkeys(lost))
        raise Misused(
            f"{beside.name} names {told}, and line {columns.names} of the table has {', '.join(names)}: mend `names` "
            f"or `columns`, or take the file away to be asked anew"
        )


def _records(
    desk: Desk,
    logbook: Logbook,
    columns: past.Columns,
    new: Iterable[PaperEntry],
    beside: str,
    after: tuple[str, ...],
) -> list[Record]:
    """The records to be written, by date, with their names; each still has its place in the table."""
    made: list[Record] = []
    known = [*logbook.of_kind(MeterChange), *(each.record for each in logbook.withdrawn)]
    stands = {(each.meter, each.date, each.old, each.new) for each in known if isinstance(each, MeterChange)}
    otherwise = [change for change, _ in _changed_otherwise(logbook, columns)]
    for change in columns.meter_changed:
        if change in otherwise or (change.meter, change.date, change.old, change.new) in stands:
            continue
        made.append(
            MeterChange(
                name=_name(change.date, "meter-change"),
                date=change.date,
                entered=desk.today,
                meter=change.meter,
                old=change.old,
                new=change.new,
                unrecorded=change.unrecorded,
                how_known=change.how_known,
                text=FROM.format(beside),
                after=after,
                place=Place(beside),
            )
        )
    for entry in new:
        words = entry.text[:SHOWN] or "hours"
        made.append(replace(entry, name=_name(entry.date, words), after=after))
    return sorted(made, key=lambda record: (record.date, record.place))


def _changed_otherwise(logbook: Logbook, columns: past.Columns) -> Iterator[tuple[past.MeterChanged, MeterChange]]:
    """Each meter change beside the table that is on record with other hours without a meter, or on another day."""
    days = {(each.meter, each.date) for each in columns.meter_changed}
    for change in columns.meter_changed:
        for record in logbook.of_kind(MeterChange):
            if (record.meter, record.old, record.new) != (change.meter, change.old, change.new):
                continue
            moved = record.date != change.date and (record.meter, record.date) not in days
            more = record.date == change.date and record.unrecorded != change.unrecorded
            if moved or more:
                yield change, record


def _changed_no_more(logbook: Logbook, columns: past.Columns, beside: str) -> Iterator[str]:
    """The meter changes that came from beside this table and stand there no more."""
    otherwise = {record.name for _, record in _changed_otherwise(logbook, columns)}
    stand = {(each.meter, each.date, each.old, each.new) for each in columns.meter_changed}
    for record in map(logbook.as_written, logbook.of_kind(MeterChange)):
        assert isinstance(record, MeterChange)
        key = (record.meter, record.date, record.old, record.new)
        if record.text == FROM.format(beside) and key not in stand and record.name not in otherwise:
            told = f"the change of {record.meter} on {record.date} stands there no more"
            yield f"{told}; its record stays, and all totals with it: {record.place.file}"


def _name(date: dt.date, words: str) -> str:
    return store.record_name(date, words, store.new_code()).rsplit("/", 1)[-1].removesuffix(".yaml")


def _files(records: Sequence[Record]) -> dict[str, bytes]:
    return {f"records/{each.date.year:04d}/{each.name}.yaml": write_record(each).encode() for each in records}


def _ask_unusual(logbook: Logbook, records: Sequence[Record], file: str) -> None:
    """Misused unless somebody says that totals far above those before are right: a digit too much moves due points."""
    found = tuple(unusual_totals(with_imported(logbook, records), {record.name for record in records}))
    for slip in found:
        say(f"  {slip}", err=True)
    if found and not confirmed(f"{counted(len(found), 'row')} of {file} may be a slip. Right as they are?"):
        raise Misused("nothing was written; mend the table, or take the totals as they are with --yes")


def _agreed(count: int) -> bool:
    return confirmed(f"Write {'this record' if count == 1 else f'these {count} records'}?") is True
