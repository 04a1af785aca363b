"""`import`: the past comes in, a paper or spreadsheet logbook, saved as CSV, one record a row."""

import datetime as dt
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

import click

from inspect_kit import past, store
from inspect_kit.audit import clock_behind
from inspect_kit.cli.desk import Desk, mark_of, show
from inspect_kit.cli.options import shared
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed, keep_asked, say
from inspect_kit.due import unusual_totals
from inspect_kit.errors import Misused, Place, Problem, Refused
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass
from inspect_kit.past.columns import column, column_names, parse_role
from inspect_kit.past.table import cells_of
from inspect_kit.report import blocks
from inspect_kit.report.words import counted
from inspect_kit.text.fields import Plain, yaml_line
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.record import write_record

T = TypeVar("T")
# A logbook of a long life has some thousand lines; what is larger is something else.
LARGEST = 32 * 1024 * 1024
SAMPLES, SHOWN = 3, 40
# Shorter words than a date stand in many a row.
TELLING = 11
# So few rows without a date are asked one by one; of more those that look like a sum.
FEW = 5
SUM = re.compile(r"(?i)\b(sums?|sub-?totals?|totals?|carried|brought|forward|b/f|c/f)\b")
LETTER = re.compile(r"[^\W\d]")
# More bad rows than a person answers for one by one.
MOST_ASKED = 20
# Where the rows stand that are no entries.
LEAVE_OUT = "leave-out"
# Totals that differ by less are the same, rounded.
SMALLEST = Decimal("0.1")


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
    text, encoding = past.decode_table(_bytes(file))
    lines = tuple(text.splitlines())
    beside = file.with_name(f"{file.stem}.columns.yaml")
    meters = tuple(logbook.aircraft.meters)
    if _is_there(beside):
        columns = _columns(beside, meters)
        table = past.read_table(text, columns.cells)
        _refuse_other_columns(columns, table, beside)
    else:
        table = past.read_table(text)
        columns = _asked(desk, logbook.aircraft, table, file, encoding, lines)
        store.write_outside(beside, past.write_columns(columns, file.name).encode(), mark_of(logbook.aircraft.identity))
        keep_asked()
        say(f"What the columns are is kept in {beside}.")
    _tell_untaken(table, columns, beside.name)
    found = past.entries_of(table, columns, file.name, desk.today)
    if out := _asked_out(found, columns, file.name, lines, beside):
        _keep(beside, LEAVE_OUT, {str(line): words for line, words in out.items()}, mark_of(logbook.aircraft.identity))
        say(f"Left out by `{LEAVE_OUT}` in {beside}: {counted(len(out), 'row')}.")
        columns = replace(columns, leave_out={**columns.leave_out, **out})
        found = past.entries_of(table, columns, file.name, desk.today)
    if people := _asked_people(logbook, columns, found, beside):
        _keep(beside, "people", people, mark_of(logbook.aircraft.identity))
        columns = replace(columns, people={**columns.people, **people})
        found = past.entries_of(table, columns, file.name, desk.today)
    asked = _Asked(desk=desk, columns=columns, found=found, file=file.name, lines=lines, beside=beside)
    loaded, matched, records = asked.records()
    _tell(found, matched, records, beside.name)
    _tell_doubtful(logbook, columns, records, beside.name)
    _tell_totals(logbook, found, records, beside.name)
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
        if [_line(record) for record in now] != [_line(record) for record in records]:
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
        matched = past.match(self.found.entries, kept, self.file, back)
        after = store.heads(loaded.files)
        loaded = replace(loaded, logbook=logbook)
        return loaded, matched, _records(self.desk, logbook, self.columns, matched.new, self.beside.name, after)

    def refuse_faults(self, loaded: store.Loaded, records: Sequence[Record]) -> None:
        """Misused, after every bad row, if one of them cannot be read or would contradict what stands, or the clock."""
        assert loaded.logbook is not None
        if (behind := clock_behind(loaded.logbook.records, self.desk.today)) is not None:
            raise Misused(f"nothing was written, because of\n  {behind}")
        faults = [*_bad(self.found.bad, self.file, self.lines), *self._contradictions(loaded, loaded.logbook, records)]
        if faults:
            say("\n".join(map(str, faults)), err=True)
            rows = ((row.line, row.text) for row in self.found.bad)
            raise Misused(
                f"nothing was written: mend these rows in the table, or name what is no entry under `leave-out` in "
                f"{self.beside.name}{_as_left_out(rows, self.columns.leave_out)}"
            )

    def _contradictions(self, loaded: store.Loaded, logbook: Logbook, records: Sequence[Record]) -> list[Problem]:
        """What the store as it would be says that it does not say now; each at the line of the table."""
        before = {(problem.place.file, problem.message) for problem in logbook.problems}
        rows = {each.name: each for each in records}
        files = _files(records)
        places = dict(zip(files, (each.place for each in records), strict=True))
        after = store.would_be(loaded, files)
        assert after.logbook is not None
        own = tuple(rows.get(each.name, each) for each in after.logbook.records)
        hint = f"; if the meter was changed, say so under `meter-changed` in {self.beside.name}"
        faults = []
        for problem in self.desk.problems_of(replace(after, logbook=replace(after.logbook, records=own))):
            if not problem.note and (problem.place.file, problem.message) not in before:
                told = f"{problem.message}{hint if problem.fallen else ''}"
                faults.append(Problem(places.get(problem.place.file, problem.place), told))
        return _once(faults)


def _once(faults: Sequence[Problem]) -> list[Problem]:
    """The same of many items of one record told once: one row contradicts all that was last done on a later day."""
    alike: dict[tuple[str, str], list[Problem]] = {}
    for fault in faults:
        what, _, rest = fault.message.partition(" on ")
        alike.setdefault((fault.place.file, rest or what), []).append(fault)
    return [
        first if not more else Problem(first.place, first.message.replace(" on ", f" and {len(more)} more on ", 1))
        for first, *more in alike.values()
    ]


def _is_there(beside: Path) -> bool:
    try:
        return beside.exists()
    except OSError as error:
        raise Misused(f"{beside} is to say what the columns are, and cannot be: {error.strerror}") from None


def _bytes(file: Path) -> bytes:
    try:
        if not file.is_file():
            raise Misused(f"{file}: there is no such file; give the path of the CSV")
        if file.stat().st_size > LARGEST:
            raise Misused(f"{file} is larger than any logbook: give the CSV of one logbook")
        return file.read_bytes()
    except OSError as error:
        raise Misused(f"{file} cannot be read: {error.strerror}") from None


def _columns(beside: Path, meters: tuple[str, ...]) -> past.Columns:
    text, problems = store.decode(beside.name, _bytes(beside))
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


def _asked(
    desk: Desk, aircraft: Aircraft, table: past.LogbookTable, file: Path, encoding: str, lines: Sequence[str]
) -> past.Columns:
    """What the columns are: a guess, each shown with examples and asked for, and what the cells leave open."""
    columns = past.guess(table, aircraft.meters, aircraft.time_in_service)
    if not columns.roles:
        raise Misused(
            f"{file}: no columns can be seen in it; save the sheet as CSV, with the names of its columns in a line"
        )
    _show_columns(table, columns, file, encoding)
    meters = tuple(aircraft.meters)
    say(f"A column is: date, text, by, certificate, page, at, reads {meters[0]}, total {meters[0]} or left out.")
    roles = {
        name: _ask(f"`{name}` is", role, lambda word: parse_role(word, meters)) for name, role in columns.roles.items()
    }
    if "date" not in roles.values():
        raise Misused("an entry has a date: take one of the columns as it")
    columns = replace(columns, roles=roles)
    orders, decimals = past.known_orders(table, columns, desk.today)
    (dates,) = columns.with_role("date")[:1]
    by_sign = {}
    for sign, (example, may) in orders.items():
        if len(may) > 1:
            may = [_ask(f"Dates such as {example} are written ({', '.join(may)})", "", _one_of(may))]
        by_sign[sign] = may[0]
    order = next(iter(by_sign.values()), columns.dates)
    others = {sign: each for sign, each in by_sign.items() if each != order}
    columns = replace(columns, dates=order, dates_with=others)
    if len(decimals) > 1:
        decimals = [_ask("Decimals in numbers such as 1,234 are parted by a (point, comma)", "", _one_of(decimals))]
    columns = replace(columns, decimals=decimals[0])
    rows = past.entries_of(table, columns, file.name, desk.today)
    dateless = [row for row in rows.bad if "has no date" in row.reasons]
    carried, out = _asked_dateless(file, dateless, lines)
    carry = (dates,) if carried else ()
    named = Question(name="paper", words="What is this logbook called, such as `airframe log`", otherwise="nothing")
    paper = answers({}, [named])["paper"] or ""
    return replace(columns, carry=carry, paper=paper, leave_out=out)


def _asked_dateless(file: Path, dateless: Sequence[past.BadRow], lines: Sequence[str]) -> tuple[bool, dict[int, str]]:
    """Whether rows without a date are of the day above, and which of them are none: a few are asked one by one, of many
    those that look like a sum apart.
    """
    are_many = len(dateless) > FEW
    sums = [row for row in dateless if are_many and (SUM.search(row.text) or not LETTER.search(row.text))]
    if sums and not _asked_of(sums, lines, "look like a sum: no entries, and left out of every import"):
        sums = []
    rest = [row for row in dateless if row not in sums]
    carried = []
    if len(rest) > FEW:
        carried = rest if _asked_of(rest, lines, "are of the day above, as merged cells are") else []
    else:
        for row in rest:
            say(f"  line {row.line}: {lines[row.line - 1]}", err=True)
            if confirmed(f"Line {row.line} has no date: is it of the day above, as merged cells are?"):
                carried.append(row)
    none = [row for row in rest if row not in carried] if carried else []
    for row in none:
        if not confirmed(f"Is line {row.line} no entry, and left out of every import?"):
            told = "is neither of the day above nor left out: write its date into the table, and import it again"
            raise Misused(f"nothing was written: {file.name}:{row.line} {told}")
    return bool(carried), {row.line: _words_of(row.text) for row in dateless if row in sums or row in none}


def _asked_of(rows: Sequence[past.BadRow], lines: Sequence[str], what: str) -> bool:
    """Whether rows without a date are all of that, as somebody says who sees the first of them."""
    for row in rows[:SAMPLES]:
        say(f"  line {row.line}: {lines[row.line - 1]}", err=True)
    if len(rows) > SAMPLES:
        say(f"  and {len(rows) - SAMPLES} more", err=True)
    return confirmed(f"{counted(len(rows), 'row')} without a date {what}?") is True


def _ask(question: str, default: str, parse: Callable[[str], T]) -> T:
    """The answer to a question; asked again after one that cannot be read."""
    asked = Question(name="", words=question, read=parse, default=default, required=True, stands=False)
    try:
        found: T = answers({}, [asked])[""]
    except Misused:
        told = f"nothing was written: nobody answers `{question}`"
        raise Misused(f"{told}; answer it at a terminal once: inspect-kit import FILE") from None
    return found


def _one_of(words: Sequence[str]) -> Callable[[str], str]:
    def parse(word: str) -> str:
        meant = [each for each in words if word and each.startswith(word.lower())]
        if len(meant) != 1:
            raise Unreadable(f"one of: {', '.join(words)}")
        return meant[0]

    return parse


def _show_columns(table: past.LogbookTable, columns: past.Columns, file: Path, encoding: str) -> None:
    rows = [
        blocks.Row(cells=(name, role, "; ".join(list(dict.fromkeys(column(table, columns, name)))[:SAMPLES])))
        for name, role in columns.roles.items()
    ]
    where = f"their names are in line {columns.names}" if columns.names else "no line has their names"
    said = f"{counted(len(rows), 'column')}, {where}; cells parted by a {columns.cells}; text in {encoding}."
    shape = (blocks.Column(name="column"), blocks.Column(name="taken as"), blocks.Column(name="examples", wide=True))
    made = (blocks.Paragraph(text=said), blocks.Table(columns=shape, rows=tuple(rows)))
    show(blocks.Page(title=f"Import of {file.name}", blocks=made, foot=file.name))


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
    for change in columns.meter_changed:
        if (change.meter, change.date, change.old, change.new) in stands:
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
                after=after,
                place=Place(beside),
            )
        )
    for entry in new:
        words = entry.text[:SHOWN] or "hours"
        made.append(replace(entry, name=_name(entry.date, words), after=after))
    return sorted(made, key=lambda record: (record.date, record.place))


def _name(date: dt.date, words: str) -> str:
    return store.record_name(date, words, store.new_code()).rsplit("/", 1)[-1].removesuffix(".yaml")


def _bad(rows: Iterable[past.BadRow], file: str, lines: Sequence[str]) -> list[Problem]:
    """What is wrong with these rows, each with its line as it stands in the file."""
    return [
        Problem(Place(file, row.line), reason).pointing(lines[row.line - 1]) for row in rows for reason in row.reasons
    ]


def _words_of(text: str) -> str:
    """Words by which a row is known again under `leave-out`: its longest cell, or all of them if that is short."""
    longest = max(cells_of(text), key=len, default="")
    return (longest if len(longest) >= TELLING else text.strip(' ,"'))[:SHOWN].strip()


def _as_left_out(rows: Iterable[tuple[int, str]], stands: Mapping[int, str]) -> str:
    """How the first of these rows is named there, with what `stands` there already, to go on a sentence with."""
    first = next(((line, words) for line, text in rows if (words := _words_of(text))), None)
    if first is None:
        return ""
    shown = yaml_line(LEAVE_OUT, {Plain(str(line)): words for line, words in sorted([*stands.items(), first])})
    return f", {'in the place of what stands there' if stands else 'such as'}\n  {shown}"


def _asked_out(
    found: past.Entries, columns: past.Columns, file: str, lines: Sequence[str], beside: Path
) -> dict[int, str]:
    """The rows that cannot be entries and are none, as a person says who sees each as it stands in the file."""
    rows = [row for row in found.bad if row.line not in columns.leave_out and _words_of(row.text)]
    # Where most rows are bad the columns are wrong; what was written there by hand in one line is not taken apart.
    if len(rows) > MOST_ASKED or not _can_be_kept(beside, LEAVE_OUT):
        return {}
    out: dict[int, str] = {}
    for row in rows:
        say("\n".join(map(str, _bad([row], file, lines))), err=True)
        is_none = confirmed(f"Is line {row.line} no entry, and left out of every import?")
        if is_none is None:
            break
        if is_none:
            out[row.line] = _words_of(row.text)
    return out


def _kept(beside: Path) -> str:
    return store.decode(beside.name, _bytes(beside))[0]


def _keep(beside: Path, key: str, said: Mapping[str, str], mark: store.AnswerMark) -> None:
    """Write what was answered into the file of the columns, in lines under `key`; it stays as it is otherwise."""
    text = _kept(beside)
    lines = (yaml_line(Plain(name) if name.isdecimal() else name, value) for name, value in said.items())
    added = "".join(f"  {line}\n" for line in lines)
    if (block := _block(key).search(text)) is not None:
        text = f"{text[: block.end()]}{added}{text[block.end() :]}"
    else:
        text = f"{text.rstrip()}\n{key}:\n{added}"
    store.write_outside(beside, text.encode(), mark, force=True)


def _block(key: str) -> re.Pattern[str]:
    """Where what is under a key stands in lines of its own."""
    return re.compile(rf"(?m)^{key}:[ \t]*\n")


def _can_be_kept(beside: Path, key: str) -> bool:
    """Whether a line can be written under a key: what stands there by hand in one line is not taken apart."""
    text = _kept(beside)
    return re.search(rf"(?m)^{key}\b", text) is None or _block(key).search(text) is not None


def _asked_people(logbook: Logbook, columns: past.Columns, found: past.Entries, beside: Path) -> dict[str, str]:
    """Who is meant by initials, or by initials and a name, as a person says who sees where they stand first."""
    signed: dict[str, int] = {}
    for entry in found.entries:
        if entry.by is not None and entry.by.name not in columns.people:
            signed.setdefault(entry.by.name, entry.place.line)
    names = [each.name for each in logbook.aircraft.people]
    said: dict[str, str] = {}
    for name, line in signed.items() if _can_be_kept(beside, "people") else ():
        may = [each for each in names if past.may_stand_for(name, each)]
        if name in names or len(said) == MOST_ASKED or not (len(may) == 1 or past.is_initials(name)):
            continue
        if len(may) == 1:
            meant = confirmed(f"Is `{name}`, in line {line}, {may[0]}?")
            told = None if meant is None else may[0] if meant else name
        else:
            offered = f": {', '.join(may)}" if may else ""
            question = Question(name="", words=f"Who is `{name}`, in line {line}{offered}", otherwise="as it stands")
            told = answers({}, [question])[""] or name
        if told is None:
            break
        said[name] = told
    return said


def _files(records: Sequence[Record]) -> dict[str, bytes]:
    return {f"records/{each.date.year:04d}/{each.name}.yaml": write_record(each).encode() for each in records}


def _together(logbook: Logbook, records: Sequence[Record]) -> Logbook:
    together = sorted((*logbook.records, *records), key=lambda each: (each.date, each.name))
    return replace(logbook, records=tuple(together))


def _ask_unusual(logbook: Logbook, records: Sequence[Record], file: str) -> None:
    """Misused unless somebody says that totals far above those before are right: a digit too much moves due points."""
    found = tuple(unusual_totals(_together(logbook, records), {record.name for record in records}))
    for slip in found:
        say(f"  {slip}", err=True)
    if found and not confirmed(f"{counted(len(found), 'row')} of {file} may be a slip. Right as they are?"):
        raise Misused("nothing was written; mend the table, or take the totals as they are with --yes")


def _tell_untaken(table: past.LogbookTable, columns: past.Columns, beside: str) -> None:
    """The columns that nobody said anything of: a crack may stand in one."""
    untaken = [name for name in column_names(table, columns.names) if name not in columns.roles]
    if told := ", ".join(f"`{name}`" for name in untaken if any(column(table, columns, name))):
        say(f"`columns` in {beside} does not say what {told} is: its words are kept with their row, and count nowhere.")


def _tell(found: past.Entries, matched: past.Matched, records: Sequence[Record], beside: str) -> None:
    """The dry run: what would be written, and what of the table would not; `beside` is the file of the mapping."""
    days = f", from {records[0].date} to {records[-1].date}:" if records else ""
    say(f"{counted(len(records), 'record')} to be written{days}")
    shown = [*records[:SAMPLES], *records[SAMPLES:][-1:]]
    for record in shown:
        if len(records) > len(shown) and record is shown[-1]:
            say("    ...")
        say(f"    {_line(record)}")
    counting = [record for record in records if isinstance(record, PaperEntry) and (record.did or record.last)]
    if records:
        if counting:
            say(f"{counted(len(counting), 'row')} of them counted for a check or an inspection, as you said.")
        else:
            say(f"No row counts for a check or an inspection: which words do is said by `did` and `last` in {beside}.")
    if matched.before:
        say(f"{counted(len(matched.before), 'row')} imported before and left as they are.")
    others: dict[str, int] = {}
    for _, old in matched.elsewhere:
        others[_from(old)] = others.get(_from(old), 0) + 1
    for other, count in others.items():
        say(f"{counted(count, 'row')} imported before, from {other}, and left as {other} has them.")
    for row in found.left_out:
        say(f"left out, as you said: line {row.line}: {row.text}")
    for now, old in matched.changed:
        say(f"changed since it was imported, not written: {now.place}: {_cells(now)}")
        say(f"    was {_cells(old)}; its record stays: {old.place.file}")
    for old in matched.gone:
        say(f"not in the table any more; its record stays: {old.place.file}: {_cells(old)}")
    for now, back in matched.withdrawn:
        say(f"withdrawn since it was imported, not written: {now.place}: {_cells(now)}")
        say(f"    its entry stands in {back.place.file}; a row that is corrected is written")
    if matched.changed:
        say("Where the table is right now, `amend` the record, or `withdraw` it and import again.")


def _tell_doubtful(logbook: Logbook, columns: past.Columns, records: Sequence[Record], beside: str) -> None:
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
        leave = _as_left_out([(line, cells) for line, _, cells in twice], columns.leave_out)
        say(f"    each makes a record; one that is a slip is named under `{LEAVE_OUT}` in {beside}{leave}")


def _tell_totals(logbook: Logbook, found: past.Entries, records: Sequence[Record], beside: str) -> None:
    """The rows whose own total is another than their reading makes: then hours were flown that no meter counted."""
    book = _together(logbook, records)
    names = {each.imported.line: each.name for each in records if isinstance(each, PaperEntry) and each.imported}
    told = []
    for line, meter, total in found.stated:
        point = book.meter_history(meter).at_record.get(names.get(Decimal(line), ""))
        if point is not None and abs(point.total - total) >= SMALLEST:
            told.append(f"line {line} says a total {meter} of {total}, and its reading makes it {point.total}")
    if told:
        say(f"{counted(len(told), 'row gives', 'rows give')} another total than the readings make: {told[0]}.")
        say(f"Hours that no meter counted are `unrecorded` under `meter-changed` in {beside}; else a number is wrong.")


def _line(record: Record) -> str:
    if isinstance(record, MeterChange):
        return f"{record.date}  {record.meter} changed: {record.old} on the old one, {record.new} on the new one"
    read = [f"{meter} {reads}" for meter, reads in record.meters.items()]
    known = record.totals if isinstance(record, PaperEntry) else {}
    totals = [f"total {meter} {total}" for meter, total in known.items()]
    by = f"by {record.by.name}" if record.by else ""
    return "  ".join(word for word in (str(record.date), *read, *totals, record.text, by, record.paper) if word)


def _from(entry: PaperEntry) -> str:
    return entry.imported.file if entry.imported else ""


def _cells(entry: PaperEntry) -> str:
    return entry.imported.cells if entry.imported else entry.text


def _agreed(count: int) -> bool:
    return confirmed(f"Write {'this record' if count == 1 else f'these {count} records'}?") is True
