"""Records whose kind is told by a table of keys: read and written by that table, one way for each thing a key may hold.

    TEXT, TEXTS   text, a list of texts             QUANTITY  as in `text.quantities`
    DATE, NUMBER, MONEY  as in `text.grammar`       LIMITS    `every` of a check, as in `text.limits`
    ID, IDS       ids                               RECORD, RECORDS  names of records, folders and ending left out
    CHOICE        one of a few words                ANSWER    word | "word: reason" | {word: reason}
    TABLE         {NAME: text}                      METERS    {METER: NUMBER}
    ROW, ROWS     keys of their own, a list of such
"""

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from inspect_kit.model.interval import Term
from inspect_kit.model.kind import (
    ANSWER,
    CHOICE,
    DATE,
    ID,
    IDS,
    LIMITS,
    METERS,
    MONEY,
    NUMBER,
    QUANTITY,
    RECORD,
    RECORDS,
    ROW,
    ROWS,
    TABLE,
    TEXT,
    TEXTS,
    Below,
    ChosenWord,
    Key,
    Kind,
)
from inspect_kit.model.record import Record
from inspect_kit.text import grammar
from inspect_kit.text.fields import Mapping, Plain, Scalar
from inspect_kit.text.grammar import Unreadable, did_you_mean
from inspect_kit.text.limits import parse_every
from inspect_kit.text.mapping import Fields
from inspect_kit.text.quantities import parse_quantity
from inspect_kit.text.source import Value

Keys = dict[str, Any]


def read_kind(kind: Kind, fields: Fields, common: dict[str, Any]) -> Record | None:
    """The record, or None where what it must have is missing or cannot be read."""
    before = len(fields.source.problems)
    values = _values(kind.keys, fields)
    if kind.names_doer and common["by"] is None and not fields.has("by"):
        fields.source.problem(fields.line, f"{kind.names_doer}: `by` is missing")
    if values is None or common["date"] is None:
        return None
    record = kind.noun(**values, **common)
    if len(fields.source.problems) == before:
        for key, told in kind.faults(record):
            if key:
                fields.problem(key, told)
            else:
                fields.source.problem(fields.line, told)
    return record


def write_kind(kind: Kind, record: Record) -> Keys:
    """The keys of a record in the order of its table; those that say nothing are left out by the caller."""
    return _written(kind.keys, record)


def parse_record_name(value: str) -> str:
    """RECORD = the name of its file, with or without its folders and its ending"""
    return value.rsplit("/", 1)[-1].removesuffix(".yaml")


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


def _values(keys: tuple[Key, ...], fields: Fields) -> dict[str, Any] | None:
    """What each key holds, by the field of the noun; absent ones are left to its defaults. None: something is lost."""
    found: dict[str, Any] = {}
    lost = False
    for key in keys:
        before = len(fields.source.problems)
        value = READERS[key.holds](key, fields)
        # A sum without one of its parts would be wrong and look right.
        counts = key.holds in (QUANTITY, ROW, ROWS) and len(fields.source.problems) > before
        if value is None or value == () or counts:
            lost = lost or key.required or counts
            if key.required and len(fields.source.problems) == before:
                fields.problem(key.name, "names nothing")
        else:
            found[key.attribute] = value
    return None if lost else found


def _text(key: Key, fields: Fields) -> str | None:
    return fields.text(key.name, required=key.required) or None


def _choice(key: Key, fields: Fields) -> str | None:
    def parse(value: str) -> str:
        if value not in key.words:
            raise Unreadable(f"expected {' or '.join(f'`{word}`' for word in key.words)}, not `{value[:40]}`")
        return value

    return fields.parsed(key.name, parse, required=key.required)


def _every(key: Key, fields: Fields) -> tuple[Term, ...] | None:
    return fields.parsed(key.name, parse_every, required=key.required)


def _table(key: Key, fields: Fields) -> dict[str, str] | None:
    below = fields.mapping(key.name, required=key.required)
    return (below.each_parsed(str) or None) if below else None


def _meters(key: Key, fields: Fields) -> dict[str, Decimal] | None:
    below = fields.mapping(key.name, required=key.required)
    return (below.each_parsed(grammar.parse_number) or None) if below else None


def _row(key: Key, fields: Fields) -> Any:
    below = fields.mapping(key.name, required=key.required)
    return _noun(key.below, below) if below and key.below else None


def _rows(key: Key, fields: Fields) -> tuple[Any, ...]:
    rows = fields.mappings(key.name, required=key.required)
    return tuple(_noun(key.below, each) for each in rows) if key.below else ()


def _noun(below: Below, fields: Fields) -> Any:
    values = _values(below.keys, fields)
    fields.finish()
    return None if values is None else below.noun(**values)


READERS: dict[str, Callable[[Key, Fields], Any]] = {
    TEXT: _text,
    TEXTS: lambda key, fields: fields.texts(key.name, required=key.required),
    DATE: lambda key, fields: fields.date(key.name, required=key.required),
    NUMBER: lambda key, fields: fields.number(key.name, required=key.required),
    MONEY: lambda key, fields: fields.parsed(key.name, grammar.parse_money, required=key.required),
    QUANTITY: lambda key, fields: fields.parsed(key.name, parse_quantity(key.words[0]), required=key.required),
    LIMITS: _every,
    ID: lambda key, fields: fields.parsed(key.name, grammar.parse_id, required=key.required),
    IDS: lambda key, fields: fields.list_of(key.name, grammar.parse_id, required=key.required),
    RECORD: lambda key, fields: fields.parsed(key.name, parse_record_name, required=key.required),
    RECORDS: lambda key, fields: fields.list_of(key.name, parse_record_name, required=key.required),
    CHOICE: _choice,
    ANSWER: lambda key, fields: read_answer(fields, key.name, key.words, required=key.required),
    TABLE: _table,
    METERS: _meters,
    ROW: _row,
    ROWS: _rows,
}


def _written(keys: tuple[Key, ...], noun: Any) -> Keys:
    found = {}
    for key in keys:
        value = getattr(noun, key.attribute)
        if value not in (None, (), "", {}):
            found[key.name] = WRITERS[key.holds](value, key)
    return found


def _plain(value: Any, key: Key) -> Plain:
    return Plain(str(value))


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
    METERS: lambda value, key: {name: Plain(str(number)) for name, number in value.items()},
    ROW: lambda value, key: _written(_below(key), value),
    ROWS: lambda value, key: [_written(_below(key), each) for each in value],
}
