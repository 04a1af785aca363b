"""A kind of record that is told by a table is told whole: every field has a key, every key a reader and a writer."""

import dataclasses

import pytest

from inspect_kit.model import kind as holding
from inspect_kit.model.kind import Key
from inspect_kit.model.kinds import KINDS
from inspect_kit.model.record import Record
from inspect_kit.text.kinds import READERS, WRITERS
from inspect_kit.text.record import KINDS as READ
from inspect_kit.text.record_out import KINDS as WRITTEN

COMMON = {field.name for field in dataclasses.fields(Record)}
TABLES = [(each.name, each.noun, each.keys) for each in KINDS]
TABLES += [
    (f"{each.name}.{key.name}", key.below.noun, key.below.keys) for each in KINDS for key in each.keys if key.below
]


@pytest.mark.parametrize(("name", "noun", "keys"), TABLES, ids=[name for name, _, _ in TABLES])
def test_every_field_has_one_key(name: str, noun: type, keys: tuple[Key, ...]) -> None:
    common = COMMON if issubclass(noun, Record) else set()
    fields = {field.name: field for field in dataclasses.fields(noun) if field.name not in common}
    assert sorted(fields) == sorted(key.attribute for key in keys)
    for key in keys:
        optional = fields[key.attribute].default is not dataclasses.MISSING
        optional = optional or fields[key.attribute].default_factory is not dataclasses.MISSING
        assert optional != key.required, f"{name}: {key.name}"
        assert key.label


@pytest.mark.parametrize("each", KINDS, ids=lambda each: each.name)
def test_it_can_be_read_written_and_told(each: holding.Kind) -> None:
    assert each.name in READ
    assert WRITTEN[each.noun][0] == each.name
    assert each.title


def test_what_a_key_may_hold_is_read_and_written_in_one_way() -> None:
    words = {value for name, value in vars(holding).items() if name.isupper()}
    assert words == set(READERS) == set(WRITERS)
