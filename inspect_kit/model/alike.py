"""All that a record says, without where it stands and when it was written: two that say the same tell one thing."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass

from inspect_kit.model.checklist import decimal
from inspect_kit.model.record import Record

# What sets a file apart, not what it says.
APART = ("name", "place", "lines", "entered", "after", "files", "seal")
WHERE = ("place", "lines")


def words_alone(text: str) -> str:
    """Words without capitals, and with one blank between them."""
    return " ".join(text.split()).casefold()


def all_said(record: Record) -> tuple[object, ...]:
    """What a record says under all of its keys."""
    keys = (each.name for each in fields(record) if each.name not in APART)
    return (type(record), *(what_is_said(getattr(record, key)) for key in keys))


def what_is_said(value: object) -> object:
    """What a value says, without where it stands: a person, a result and a reading know the line of their file."""
    if is_dataclass(value) and not isinstance(value, type):
        keys = (each.name for each in fields(value) if each.name not in WHERE)
        return (type(value), *(what_is_said(getattr(value, key)) for key in keys))
    if isinstance(value, Mapping):
        return {what_is_said(key): what_is_said(each) for key, each in value.items()}
    if isinstance(value, str):
        # `1 qt` and `1.0 qt` are one amount.
        number, _, rest = words_alone(value).partition(" ")
        amount = decimal(number)
        return number if amount is None and not rest else (number if amount is None else amount, rest)
    return tuple(map(what_is_said, value)) if isinstance(value, tuple) else value
