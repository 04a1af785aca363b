"""The words of `amend`, asked or given, as an amendment that the grammar of records reads."""

import contextlib
import datetime as dt
from collections.abc import Iterator, Sequence

from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import as_given, say
from inspect_kit.cli.written_anew import written_anew
from inspect_kit.errors import Misused
from inspect_kit.model.amended import replaceable, why_not
from inspect_kit.model.checklist import decimal
from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.past import parse_said_label_date, parse_said_last_day
from inspect_kit.text.fields import Writable, write_yaml
from inspect_kit.text.grammar import Unreadable, said_decimals
from inspect_kit.text.record import read_record

WHAT = "What it should say, such as tach=59.9 or text=..."
MORE = "What else it should say"
# Of what was read so much is shown.
LABELS = 12


def ask_fields(logbook: Logbook, record: Record, today: dt.date) -> Iterator[str]:
    """What is to be replaced, asked one by one; what cannot be replaced is said at once."""
    known = [*(f"{name}={reads}" for name, reads in record.meters.items()), f"date={record.date}"]
    labels = [f"{each.label}={each.bare}" for each in _readings(record)]
    known += [*labels[:LABELS], *([f"and {len(labels) - LABELS} readings more"] if len(labels) > LABELS else [])]
    say(f"{record.name} says {', '.join(known)}.", err=True)
    taken: list[str] = []

    def read(typed: str) -> str:
        try:
            refuse_unsaid(logbook, record, read_amendment(logbook, record, [*taken, typed], today, by="asked later"))
        except Misused as fault:
            raise Unreadable(str(fault)) from None
        return typed

    question = WHAT
    while True:
        more = Question(name="FIELD=VALUE", words=question, read=read, otherwise="no more" if taken else "words alone")
        word = answers({}, [more])[more.name]
        if word is None:
            return
        taken.append(word)
        yield word
        question = MORE


def refuse_unsaid(logbook: Logbook, record: Record, made: Amendment) -> None:
    """Misused where the past that is to be replaced was never brought forward: no later answer could mend that."""
    for field, value in made.instead.items():
        if not isinstance(record, BroughtForward) or field[0] not in ("last", "fitted"):
            continue
        if told := why_not(record, field, value, logbook.id_now):
            name = logbook.id_now(field[1])
            how = ""
            if field[0] == "last" and name in logbook.aircraft.inspections:
                keys = f"{{date: DATE, {logbook.aircraft.time_in_service}: TOTAL, paper: PAGE}}"
                how = f", or in {place_of(record, 'last', name)} as `{name}: {keys}` under `last`"
            elif field[0] == "last" and name in logbook.checks:
                how = f": inspect-kit --on DATE work {name}"
            elif field[0] == "fitted" and name in logbook.aircraft.positions:
                # Of its own day: fitted after the past was written, it is another part than what that says of it.
                how = f", of the day on which it was fitted: inspect-kit --on DATE install {name}"
            raise Misused(f"{told}{how}")


def read_amendment(
    logbook: Logbook,
    record: Record,
    words: Sequence[str],
    today: dt.date,
    date: dt.date | None = None,
    **told: Writable,
) -> Amendment:
    """The amendment of these words as the grammar of records reads it; Misused where it does not."""
    asked: dict[str, Writable] = {"format": "1", "kind": "amendment", "date": str(date or record.date)}
    asked |= {"of": record.name, "instead": _instead(logbook, record, words, today), "text": "words", **told}
    read, source = read_record(write_yaml({key: value for key, value in asked.items() if value}), "amendment.yaml")
    if source.problems or not isinstance(read, Amendment):
        why = "; ".join(problem.message for problem in source.problems)
        more = f"; what it leaves out is said in words alone, with --reason{written_anew(logbook, record)}"
        fields = ", ".join(replaceable(record))
        can_be = f"What can be replaced: {fields}{_anew(record)}" if fields else "No field of it can be replaced"
        raise Misused(f"{why}. {can_be}{more}")
    return read


def _anew(record: Record) -> str:
    """What the words for a past brought forward stand for."""
    if not isinstance(record, BroughtForward):
        return ""
    return "; CHECK may be an inspection, and besides the date there are METER=TOTAL, paper and good-until"


# What is a date is understood in every form in which `--on` is.
DATES = ("date", "good-until")
# What is a number may have its comma, as everywhere at the keys.
NUMBERS = ("meters", "totals", "reads", "old", "new", "unrecorded", "since-new", "since-overhaul")
LABEL_DATES = ("made", "fitted-on", "overhauled")


def _instead(logbook: Logbook, record: Record, words: Sequence[str], today: dt.date) -> dict[str, Writable]:
    """The words of `amend` as the keys of `instead`.

    `tach=59.9`, `date=...`, `next.CHECK=DATE`, `reads.CHECK.LABEL=VALUE`; `last.CHECK.date=...`,
    `fitted.POSITION.serial=...` of what was brought forward.
    """
    found: dict[str, Writable] = {}
    for word in words:
        key, equals, value = (part.strip() for part in word.partition("="))
        if not (key and equals and value):
            raise Misused(f"expected FIELD=VALUE such as tach=59.9, not `{word}`; words of one value stand in quotes")
        names = _names(logbook, record, key)
        below = found
        for name in names[:-1]:
            inner = below.setdefault(name, {})
            if not isinstance(inner, dict):
                raise Misused(f"`{name}` is given twice, in two ways: say it once")
            below = inner
        if names[-1] in below:
            raise Misused(f"`{key}` is given twice: say it once")
        if {names[0], names[-1]} & {*NUMBERS, *logbook.aircraft.meters}:
            value = said_decimals(as_given(key, value) if key in logbook.aircraft.meters else value)
        # What cannot be read stays as it is: the grammar of records says what is wrong with it.
        with contextlib.suppress(Unreadable):
            if names[-1] in LABEL_DATES:
                value = str(parse_said_label_date(value, today))
            elif names[-1] in DATES or names[0] == "next":
                value = str(parse_said_last_day(value, today))
        below[names[-1]] = value
    if isinstance(record, BroughtForward) and isinstance(meters := found.get("meters"), dict):
        meters |= {name: _reads_total(record, name, reads) for name, reads in meters.items() if isinstance(reads, str)}
    return found


def _readings(record: Record) -> Iterator[Reading]:
    """What was read at the checks of a record; what was reckoned from that follows from it."""
    yield from (each for each in (record.readings if isinstance(record, PageRecord) else ()) if not each.reckoned)


def _names(logbook: Logbook, record: Record, key: str) -> list[str]:
    """The field that is meant: a meter, a label that was read at one check of the record, else as it is written."""
    if key in logbook.aircraft.meters:
        return ["meters", key]
    at = [each.check for each in _readings(record) if each.label == key]
    if len(at) > 1:
        told = " or ".join(f'"reads.{check}.{key}=VALUE"' for check in at)
        raise Misused(f"`{key}` was read at {len(at)} checks: say which, {told}")
    return ["reads", at[0], key] if at else key.split(".", 2)


def _reads_total(record: BroughtForward, meter: str, reads: str) -> Writable:
    """What a meter read when the past was brought forward, with its total: what it lacked of that stays the same."""
    number, old = decimal(reads), record.reads.get(meter)
    if number is None or old is None:
        return reads
    return {"reads": reads, "total": f"{number + old.total - old.reads:f}"}
