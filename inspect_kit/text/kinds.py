"""What stands in a record: read and written by the table of its kind, one way for each thing that a key may hold.

    TEXT, TEXTS   text, a list of texts             QUANTITY  as in `text.quantities`
    DATE, NUMBER, MONEY  as in `text.grammar`       LIMITS    `every` of a check, as in `text.limits`
    ID, IDS       ids                               RECORD, RECORDS  names of records, folders and ending left out
    CHOICE        one of a few words                ANSWER    word | "word: reason" | {word: reason}
    TABLE         {NAME: text}                      METERS, DATES  {METER: NUMBER}, {CHECK: DATE}
    ROW, ROWS     keys of their own, a list of such LABEL_DATE, PAGE       as in `text.grammar`, `text.page_values`
    SHA256        64 lower-case hexadecimal digits  IDENTITY  {registration make model serial}
    OUTCOME       passed | not passed               UNRECORDED  {hours: NUMBER, how-known: text}
    READS_TOTALS, LAST_DONE, FITTED  as in `text.brought_forward`                      INSTEAD  as in `text.instead`
    ARMOUR        text, `unreadable` where it is none
    FINDING, FINDINGS, RESULTS, BOXES, READINGS, PARTS, CLEARS  as in `text.page_facts`
"""

import datetime as dt
import re
from collections import abc
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from inspect_kit.model.aircraft import Identity
from inspect_kit.model.finding import Finding
from inspect_kit.model.interval import Term
from inspect_kit.model.kind import (
    ANSWER,
    ARMOUR,
    BOXES,
    CHOICE,
    CLEARS,
    DATE,
    DATES,
    FINDING,
    FINDINGS,
    FITTED,
    ID,
    IDENTITY,
    IDS,
    INSTEAD,
    LABEL_DATE,
    LAST_DONE,
    LIMITS,
    METERS,
    MONEY,
    NUMBER,
    OUTCOME,
    PAGE,
    PARTS,
    QUANTITY,
    READINGS,
    READS_TOTALS,
    RECORD,
    RECORDS,
    RESULTS,
    ROW,
    ROWS,
    SHA256,
    TABLE,
    TEXT,
    TEXTS,
    UNRECORDED,
    Below,
    ChosenWord,
    Key,
    Kind,
)
from inspect_kit.model.kinds.installed import FITTED_KEYS, Installed
from inspect_kit.model.record import Record
from inspect_kit.text import grammar
from inspect_kit.text.aircraft import read_identity
from inspect_kit.text.brought_forward import (
    read_last_done,
    read_reads_totals,
    write_last_done,
    write_reads_total,
)
from inspect_kit.text.fields import Mapping, Plain, Scalar
from inspect_kit.text.grammar import Unreadable, did_you_mean
from inspect_kit.text.instead import read_instead, write_instead
from inspect_kit.text.limits import parse_every
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_facts import (
    parse_parts_used,
    read_boxes,
    read_clears,
    read_finding,
    read_findings,
    read_readings,
    read_results,
    write_clears,
    write_finding_keys,
    write_findings,
    write_readings,
    write_results,
)
from inspect_kit.text.page_values import parse_logbook_page
from inspect_kit.text.quantities import parse_quantity
from inspect_kit.text.source import Value

Keys = dict[str, Any]
# What every record may have, as `text.record` has read it.
Common = dict[str, Any]


def read_kind(kind: Kind, fields: Fields, common: Common) -> Record | None:
    """The record, or None where what it cannot be without is missing or cannot be read."""
    before = len(fields.source.problems)
    values, lost = _values(kind.keys, fields, common)
    if kind.names_doer and common["by"] is None and not fields.has("by"):
        fields.source.problem(fields.line, f"{kind.names_doer}: `by` is missing")
    all_read = len(fields.source.problems) == before
    # What is lost is no reason to keep silent about what else is missing.
    nothing: dict[str, Any] = dict.fromkeys(lost)
    record = kind.noun(**nothing | common | values)
    _tell_gaps(kind, record, fields)
    if lost or common["date"] is None:
        return None
    for key, told in kind.faults(record) if all_read else ():
        if key:
            fields.problem(key, told)
        else:
            fields.source.problem(fields.line, told)
    return record


def _tell_gaps(kind: Kind, record: Record, fields: Fields) -> None:
    for keys, told in kind.gaps(record):
        if any(fields.has(key) for key in keys):
            # It is there, and why it could not be read is told already.
            continue
        if told:
            fields.source.problem(fields.line, told)
        else:
            fields.missing(keys[0])


def write_kind(kind: Kind, record: Record) -> Keys:
    """The keys of a record in the order of its table, those that say nothing left out."""
    return _written(kind.keys, record)


def read_answer(fields: Fields, key: str, words: Iterable[str], *, required: bool = False) -> ChosenWord | None:
    """answer = word | word ": " reason | {word: reason}; words that end with a colon ask for the reason"""
    parse = parse_answer(words)
    node = fields.node_of(key, required=required)
    if isinstance(node, Mapping) and len(node.pairs) == 1:
        (word, reason), *_ = node.pairs
        text = f"{word.text}: {reason.text}" if isinstance(reason, Scalar) else word.text
        return fields.source.parse(parse, Value(text, node.line), fields.name(key))
    return fields.parsed(key, parse)


def parse_answer(words: Iterable[str]) -> Callable[[str], ChosenWord]:
    """A parser of `word` or `word: reason`, by the words that an answer may be."""
    known = {word.rstrip(":"): word.endswith(":") for word in words}

    def parse(value: str) -> ChosenWord:
        word, _, reason = (part.strip() for part in value.partition(":"))
        if word not in known:
            told = ", ".join(f"`{each}: reason`" if asks else f"`{each}`" for each, asks in known.items())
            raise Unreadable(f"expected {told}, not `{value[:40]}`{did_you_mean(word, known)}")
        if known[word] and not reason:
            raise Unreadable(f"`{word}` wants its reason: `{word}: reason`")
        if reason and not known[word]:
            raise Unreadable(f"`{word}` stands alone, without a reason")
        return ChosenWord(word=word, reason=reason)

    return parse


def _values(keys: tuple[Key, ...], fields: Fields, common: Common) -> tuple[dict[str, Any], tuple[str, ...]]:
    """What each key holds, by the field of the noun, absent ones left to its defaults; and the fields that are lost."""
    found: dict[str, Any] = {}
    lost: list[str] = []
    for key in keys:
        before = len(fields.source.problems)
        value = READERS[key.holds](key, fields, common)
        if key.empty and value == () and fields.has(key.name):
            value = (key.empty,)
        # A sum without one of its parts would be wrong and look right.
        counts = key.holds in (QUANTITY, ROW, ROWS) and len(fields.source.problems) > before
        if value is None or value == () or counts:
            if key.required and len(fields.source.problems) == before:
                fields.problem(key.name, "names nothing")
            if key.stand_in is not None:
                found[key.attribute] = key.stand_in
            elif key.required or counts:
                lost.append(key.attribute)
        elif len(key.attributes) == 1:
            found[key.attribute] = value
        else:
            found |= zip(key.attributes, value, strict=True)
    return found, tuple(lost)


def _text(key: Key, fields: Fields, common: Common) -> str | None:
    return fields.text(key.name, required=key.required) or None


def _armour(key: Key, fields: Fields, common: Common) -> str | None:
    # What stands there and cannot be read is no good signature, and none in ink beside it.
    return fields.text(key.name, required=key.required) or ("unreadable" if fields.has(key.name) else None)


def _choice(key: Key, fields: Fields, common: Common) -> str | None:
    def parse(value: str) -> str:
        if value not in key.words:
            raise Unreadable(f"expected {' or '.join(f'`{word}`' for word in key.words)}, not `{value[:40]}`")
        return value

    return fields.parsed(key.name, parse, required=key.required)


def _every(key: Key, fields: Fields, common: Common) -> tuple[Term, ...] | None:
    return fields.parsed(key.name, parse_every, required=key.required)


def _table(key: Key, fields: Fields, common: Common) -> dict[str, str] | None:
    below = fields.mapping(key.name, required=key.required)
    for name, _ in below.each() if below else ():
        if name.text in fields.asked:
            fields.problem_with(name, f"`{name.text}` stands under `{key.name}`: is it indented too far?")
    return (below.each_parsed(str) or None) if below else None


def _meters(key: Key, fields: Fields, common: Common) -> dict[str, Decimal] | None:
    below = fields.mapping(key.name, required=key.required)
    if below is not None and key.required and not below.node.pairs:
        fields.problem(key.name, "expected at least one reading, such as `{tach: 412.6}`")
    return (below.each_parsed(grammar.parse_number) or None) if below else None


def _dates(key: Key, fields: Fields, common: Common) -> dict[str, dt.date] | None:
    below = fields.mapping(key.name, required=key.required)
    return (below.each_parsed(grammar.parse_date) or None) if below else None


def _identity(key: Key, fields: Fields, common: Common) -> Identity | None:
    below = fields.mapping(key.name, required=key.required)
    identity = read_identity(below) if below else None
    if below:
        below.finish()
    return identity


def _outcome(key: Key, fields: Fields, common: Common) -> bool | None:
    word = fields.text(key.name, required=key.required)
    if word and word not in ("passed", "not passed"):
        fields.problem(key.name, "expected `passed` or `not passed`")
        return None
    return word == "passed" if word else None


def _finding_of_a_record(key: Key, fields: Fields, common: Common) -> Finding | None:
    # On a page a finding may do without: then it bars the signature.
    if not fields.has("fix"):
        fields.missing("fix")
    return read_finding("F1", fields)


def _unrecorded(key: Key, fields: Fields, common: Common) -> tuple[Decimal | None, str]:
    node = fields.node_of(key.name)
    if isinstance(node, Mapping):
        below = Fields(node, fields.source, key.name)
        hours, how_known = below.number("hours", required=True), below.text("how-known", required=True)
        below.finish()
        return hours, how_known
    if node is not None:
        fields.problem(key.name, "expected hours and how they are known, `{hours: 1.2, how-known: flight log}`")
    return None, ""


def _fitted(key: Key, fields: Fields, common: Common) -> tuple[Installed, ...]:
    """Each part by its position, with the date of the record that says that it was fitted by then."""
    found = []
    below = fields.mapping(key.name)
    for name, each in below.each_mapping() if below else ():
        part, _ = _values(FITTED_KEYS, each, common)
        here = common | {"place": each.source.place(name.line), "position": name.text}
        found.append(Installed(**here | part))
        each.finish()
    return tuple(found)


def parse_sha256(value: str) -> str:
    """SHA-256 = 64 lower-case hexadecimal digits"""
    if not re.fullmatch(r"[0-9a-f]{64}", value):
        raise Unreadable("expected a SHA-256 of 64 lower-case hexadecimal digits")
    return value


def _row(key: Key, fields: Fields, common: Common) -> Any:
    below = fields.mapping(key.name, required=key.required)
    return _noun(key.below, below, common) if below and key.below else None


def _rows(key: Key, fields: Fields, common: Common) -> tuple[Any, ...]:
    rows = fields.mappings(key.name, required=key.required)
    return tuple(_noun(key.below, each, common) for each in rows) if key.below else ()


def _noun(below: Below, fields: Fields, common: Common) -> Any:
    values, lost = _values(below.keys, fields, common)
    fields.finish()
    return None if lost else below.noun(**values)


READERS: dict[str, Callable[[Key, Fields, Common], Any]] = {
    TEXT: _text,
    TEXTS: lambda key, fields, _: fields.texts(key.name, required=key.required),
    DATE: lambda key, fields, _: fields.date(key.name, required=key.required),
    NUMBER: lambda key, fields, _: fields.number(key.name, required=key.required),
    MONEY: lambda key, fields, _: fields.parsed(key.name, grammar.parse_money, required=key.required),
    QUANTITY: lambda key, fields, _: fields.parsed(key.name, parse_quantity(key.words[0]), required=key.required),
    LIMITS: _every,
    ID: lambda key, fields, _: fields.parsed(key.name, grammar.parse_id, required=key.required),
    IDS: lambda key, fields, _: fields.list_of(key.name, grammar.parse_id, required=key.required),
    RECORD: lambda key, fields, _: fields.parsed(key.name, grammar.parse_record_name, required=key.required),
    RECORDS: lambda key, fields, _: fields.list_of(key.name, grammar.parse_record_name, required=key.required),
    CHOICE: _choice,
    ANSWER: lambda key, fields, _: read_answer(fields, key.name, key.words, required=key.required),
    TABLE: _table,
    METERS: _meters,
    DATES: _dates,
    ROW: _row,
    ROWS: _rows,
    LABEL_DATE: lambda key, fields, _: fields.parsed(key.name, grammar.parse_label_date, required=key.required),
    PAGE: lambda key, fields, _: fields.parsed(key.name, parse_logbook_page, required=key.required),
    ARMOUR: _armour,
    SHA256: lambda key, fields, _: fields.parsed(key.name, parse_sha256, required=key.required),
    IDENTITY: _identity,
    OUTCOME: _outcome,
    FINDING: _finding_of_a_record,
    FINDINGS: lambda key, fields, _: read_findings(fields),
    RESULTS: lambda key, fields, _: read_results(fields, key.name),
    BOXES: lambda key, fields, _: read_boxes(fields, key.name),
    READINGS: lambda key, fields, _: read_readings(fields, key.name),
    PARTS: lambda key, fields, _: fields.list_of(key.name, parse_parts_used),
    CLEARS: lambda key, fields, _: read_clears(fields),
    UNRECORDED: _unrecorded,
    READS_TOTALS: lambda key, fields, _: read_reads_totals(fields, key.name),
    LAST_DONE: lambda key, fields, _: read_last_done(fields, key.name),
    FITTED: _fitted,
    INSTEAD: lambda key, fields, _: read_instead(fields, key.name),
}


def _written(keys: tuple[Key, ...], noun: Any) -> Keys:
    """Keys that say nothing are left out."""
    found: Keys = {}
    for key in keys:
        values = [getattr(noun, name) for name in key.attributes]
        if all(value in (None, (), "", {}) for value in values):
            continue
        told = WRITERS[key.holds](values[0] if len(values) == 1 else tuple(values), key)
        # The keys of a finding stand among those of its record.
        found |= told if key.holds == FINDING else {key.name: told}
    return found


def _plain(value: Any, key: Key) -> Plain:
    return Plain(str(value))


def _plain_table(value: abc.Mapping[str, Any], key: Key) -> Keys:
    return {name: Plain(str(each)) for name, each in value.items()}


def write_answer(value: ChosenWord) -> str | Keys:
    return {value.word: value.reason} if value.reason else value.word


def _below(key: Key) -> tuple[Key, ...]:
    return key.below.keys if key.below else ()


WRITERS: dict[str, Callable[[Any, Key], Any]] = {
    TEXT: lambda value, key: value,
    TEXTS: lambda value, key: list(value),
    DATE: _plain,
    NUMBER: _plain,
    MONEY: _plain,
    QUANTITY: lambda value, key: str(value),
    LIMITS: lambda value, key: " or ".join(map(str, value)),
    ID: _plain,
    IDS: lambda value, key: [Plain(each) for each in value],
    RECORD: lambda value, key: value,
    RECORDS: lambda value, key: list(value),
    CHOICE: lambda value, key: value,
    ANSWER: lambda value, key: write_answer(value),
    TABLE: lambda value, key: dict(value),
    METERS: _plain_table,
    DATES: _plain_table,
    ROW: lambda value, key: _written(_below(key), value),
    ROWS: lambda value, key: [_written(_below(key), each) for each in value],
    LABEL_DATE: _plain,
    PAGE: lambda value, key: value,
    ARMOUR: lambda value, key: value,
    SHA256: _plain,
    IDENTITY: lambda value, key: {name: getattr(value, name) for name in ("registration", "make", "model", "serial")},
    OUTCOME: lambda value, key: "passed" if value else "not passed",
    FINDING: lambda value, key: write_finding_keys(value),
    FINDINGS: lambda value, key: write_findings(value),
    RESULTS: lambda value, key: write_results(value),
    BOXES: lambda value, key: write_results(value),
    READINGS: lambda value, key: write_readings(value),
    PARTS: lambda value, key: list(value),
    CLEARS: lambda value, key: write_clears(*value),
    UNRECORDED: lambda value, key: {"hours": Plain(str(value[0])), "how-known": value[1]},
    READS_TOTALS: lambda value, key: {name: write_reads_total(each) for name, each in value.items()},
    LAST_DONE: lambda value, key: write_last_done(value),
    FITTED: lambda value, key: {each.position: _written(FITTED_KEYS, each) for each in value},
    INSTEAD: lambda value, key: write_instead(value),
}
