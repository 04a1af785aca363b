"""What `import` asks: what each column is, which rows are no entries, who is meant; and how that is kept beside it."""

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from inspect_kit import past, store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed, say
from inspect_kit.cli.shown import show
from inspect_kit.errors import Misused, Place, Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.logbook import Logbook
from inspect_kit.past.columns import column, parse_role
from inspect_kit.past.table import cells_of
from inspect_kit.report import blocks
from inspect_kit.report.words import counted
from inspect_kit.text.fields import Plain, yaml_line
from inspect_kit.text.grammar import Unreadable

T = TypeVar("T")
# A logbook of a long life has some thousand lines; what is larger is something else.
LARGEST = 32 * 1024 * 1024
SAMPLES, SHOWN = 3, 40
# Shorter words than a date stand in many a row.
TELLING = 11
# So few rows without a date are asked one by one; of more those that look like a sum.
FEW = 5
SUM = re.compile(r"(?i)\b(sums?|sub-?totals?|totals?|carried|brought|forward|b/f|c/f)\b")
# What stands beside such a word in a row that says nothing but a sum.
OF_A_SUM = frozenset(("to", "from", "over", "next", "last", "previous", "this", "page", "p", "h", "hours", "of"))
LETTER = re.compile(r"[^\W\d]")
# More bad rows than a person answers for one by one.
MOST_ASKED = 20
# Where the rows stand that are no entries.
LEAVE_OUT = "leave-out"


def bytes_of_table(file: Path) -> bytes:
    try:
        if not file.is_file():
            raise Misused(f"{file}: there is no such file; give the path of the CSV")
        if file.stat().st_size > LARGEST:
            raise Misused(f"{file} is larger than any logbook: give the CSV of one logbook")
        return file.read_bytes()
    except OSError as error:
        raise Misused(f"{file} cannot be read: {error.strerror}") from None


def asked_columns(
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
        # Of the questions gone by it is none in particular.
        told = f"An entry has a date, and no column was taken as it; it is: {_numbered([*roles])}"
        roles |= {_ask(told, "", _one_of([*roles])): "date"}
    columns = replace(columns, roles=roles)
    orders, decimals = past.known_orders(table, columns, desk.today)
    (dates,) = columns.with_role("date")[:1]
    by_sign = {}
    for sign, (example, may) in orders.items():
        if len(may) > 1:
            may = [_ask(f"Dates such as {example} are written: {_numbered(may)}", "", _one_of(may))]
        by_sign[sign] = may[0]
    order = next(iter(by_sign.values()), columns.dates)
    others = {sign: each for sign, each in by_sign.items() if each != order}
    columns = replace(columns, dates=order, dates_with=others)
    if len(decimals) > 1:
        words = f"Decimals in numbers such as 1,234 are parted by a: {_numbered(decimals)}"
        decimals = [_ask(words, "", _one_of(decimals))]
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


def _numbered(words: Sequence[str]) -> str:
    """`1 day first, 2 month first`"""
    return ", ".join(f"{number} {word}" for number, word in enumerate(words, start=1))


def _one_of(words: Sequence[str]) -> Callable[[str], str]:
    numbers = {str(number): each for number, each in enumerate(words, start=1)}

    def parse(word: str) -> str:
        # A column may be called by a number itself.
        meant = [each for each in words if each == word] or [numbers[each] for each in numbers if each == word]
        meant = meant or [each for each in words if word and each.casefold().startswith(word.casefold())]
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


def bad_rows(rows: Iterable[past.BadRow], file: str, lines: Sequence[str]) -> list[Problem]:
    """What is wrong with these rows, each with its line as it stands in the file."""
    return [
        Problem(Place(file, row.line), reason).pointing(lines[row.line - 1]) for row in rows for reason in row.reasons
    ]


def _words_of(text: str) -> str:
    """Words by which a row is known again under `leave-out`: its longest cell, or all of them if that is short."""
    longest = max(cells_of(text), key=len, default="")
    return (longest if len(longest) >= TELLING else text.strip(' ,"'))[:SHOWN].strip()


def as_left_out(rows: Iterable[tuple[int, str]], stands: Mapping[int, str]) -> str:
    """How the first of these rows is named there, with what `stands` there already, to go on a sentence with."""
    first = next(((line, words) for line, text in rows if (words := _words_of(text))), None)
    if first is None:
        return ""
    shown = yaml_line(LEAVE_OUT, {Plain(str(line)): words for line, words in sorted([*stands.items(), first])})
    return f", {'in the place of what stands there' if stands else 'such as'}\n  {shown}"


def is_sum(words: str) -> bool:
    """Whether what a row says is a sum carried over, and nothing else."""
    rest = SUM.sub(" ", words)
    return rest != words and all(word in OF_A_SUM for word in re.findall(r"[^\W\d_]+", rest.casefold()))


def asked_rows_out(
    found: past.Entries, columns: past.Columns, file: str, lines: Sequence[str], beside: Path, known: Collection[str]
) -> dict[int, str]:
    """The rows that cannot be entries and are none, and those that only carry a sum over, as a person says who sees
    each as it stands in the file; one whose digest is `known` is on record.
    """
    rows = [row for row in found.bad if row.line not in columns.leave_out and _words_of(row.text) and not row.counts]
    # Where most rows are bad the columns are wrong; what was written there by hand in one line is not taken apart.
    if len(rows) > MOST_ASKED or not _can_be_kept(beside, LEAVE_OUT, columns):
        return {}
    out: dict[int, str] = {}
    sources = [each.imported for each in found.entries if each.imported and is_sum(each.text) and not each.did]
    for source in sources[:MOST_ASKED]:
        if source.digest in known:
            continue
        say(f"  line {source.line}: {lines[int(source.line) - 1]}", err=True)
        is_none = confirmed(f"Line {source.line} looks like a sum: is it no entry, and left out of every import?")
        if is_none is None:
            return out
        if is_none:
            out[int(source.line)] = _words_of(source.cells)
    for row in rows:
        say("\n".join(map(str, bad_rows([row], file, lines))), err=True)
        is_none = confirmed(f"Is line {row.line} no entry, and left out of every import?")
        if is_none is None:
            break
        if is_none:
            out[row.line] = _words_of(row.text)
    return out


def _kept(beside: Path) -> str:
    return store.decode(beside.name, bytes_of_table(beside))[0]


def keep_beside(
    beside: Path, key: str, said: Mapping[str, str], mark: store.AnswerMark, columns: past.Columns
) -> None:
    """Write what was answered into the file of the columns, in lines under `key`; it stays as it is otherwise."""
    text = _added(_kept(beside), key, said, columns)
    if text is None:
        told = yaml_line(key, {Plain(name) if name.isdecimal() else name: value for name, value in said.items()})
        raise Misused(f"nothing was written: no line can be added to {beside.name}; write into it by hand:\n  {told}")
    store.write_outside(beside, text.encode(), mark, force=True)


def _added(text: str, key: str, said: Mapping[str, str], columns: past.Columns) -> str | None:
    """The text of a file of columns with what was said under a key, set in as what stands there is; None where the
    file would not say all that it says and this besides, as where it is written in one line by hand, or has an end.
    """
    ending = "\r\n" if "\r\n" in text else "\n"
    block = re.search(rf"(?m)^{key}:[ \t]*(?:#.*?)?\r?\n", text)
    first = re.match(r"(?:[ \t]*(?:#.*)?\r?\n)*( +)[^\s#]", text[block.end() :]) if block else None
    lines = (yaml_line(Plain(name) if name.isdecimal() else name, value) for name, value in said.items())
    added = "".join(f"{first[1] if first else '  '}{line}{ending}" for line in lines)
    if block is not None:
        made = f"{text[: block.end()]}{added}{text[block.end() :]}"
    else:
        made = f"{text.rstrip()}{ending}{key}:{ending}{added}"
    before, after = _read(text, columns), _read(made, columns)
    if before is None or after is None:
        return None
    people, out = before.people, before.leave_out
    if key == LEAVE_OUT:
        out = {**out, **{int(line): words for line, words in said.items()}}
    else:
        people = {**people, **said}
    return made if after == replace(before, people=people, leave_out=out) else None


def _read(text: str, columns: past.Columns) -> past.Columns | None:
    """What a file of columns says; its meters are those that it was read with."""
    return past.read_columns(text, "", [role.partition(" ")[2] for role in columns.roles.values()] or [""])[0]


def _can_be_kept(beside: Path, key: str, columns: past.Columns) -> bool:
    """Whether a line can be written under a key: what stands there by hand in one line is not taken apart."""
    free = str(max(columns.leave_out, default=0) + 1)
    return _added(_kept(beside), key, {free: "x"}, columns) is not None


def asked_people(logbook: Logbook, columns: past.Columns, found: past.Entries, beside: Path) -> dict[str, str]:
    """Who is meant by initials, or by initials and a name, as a person says who sees where they stand first."""
    signed: dict[str, int] = {}
    for entry in found.entries:
        if entry.by is not None and entry.by.name not in columns.people:
            signed.setdefault(entry.by.name, entry.place.line)
    names = [each.name for each in logbook.aircraft.people]
    said: dict[str, str] = {}
    for name, line in signed.items() if _can_be_kept(beside, "people", columns) else ():
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
