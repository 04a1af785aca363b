"""A kind of record is one module, and whole: a noun of which every field has a key, every key a reader, a writer and
words, what it refers to looked up, and a line that says what the record says."""

import dataclasses
import importlib
import pkgutil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inspect_kit.model import kind as holding
from inspect_kit.model import kinds as modules
from inspect_kit.model.kind import DATES, ID, IDS, Key, Kind
from inspect_kit.model.kinds import KINDS, kind_of
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.report.pages.record import OWN
from inspect_kit.text.kinds import READERS, WRITERS
from tests.text import strategies

COMMON = {field.name for field in dataclasses.fields(Record)}
TABLES = [(each.name, each.noun, each.keys) for each in KINDS]
TABLES += [
    (f"{each.name}.{key.name}", key.below.noun, key.below.keys) for each in KINDS for key in each.keys if key.below
]
# Keys that hold ids and are looked up where their record is told apart from others, and what looks them up.
LOOKED_UP_ELSEWHERE = {
    ("work", "disturbed"): "audit.records: a word of a check's own may be meant",
    ("inspection", "disturbed"): "audit.records: a word of a check's own may be meant",
    ("installed", "position"): "audit.fittings",
    ("removed", "position"): "audit.fittings",
    ("meter-change", "meter"): "audit.meters",
    ("amendment", "not-done"): "audit.amendments",
    ("setting", "setting"): "a name of the owner's own",
}


def leaves(noun: type) -> set[type]:
    below = noun.__subclasses__()
    return {each for sub in below for each in leaves(sub)} if below else {noun}


def test_each_module_is_a_kind_and_each_noun_has_one() -> None:
    here = {name for _, name, _ in pkgutil.iter_modules(modules.__path__)}
    kinds = [importlib.import_module(f"{modules.__name__}.{name}").KIND for name in here]
    assert len(KINDS) == len(here) == len({kind.name for kind in KINDS})
    assert all(kind in KINDS for kind in kinds)
    # Slots make a class anew, and the old one lives on until it is collected.
    nouns = {noun for noun in leaves(Record) if "KIND" in vars(importlib.import_module(noun.__module__))}
    assert {noun.__name__ for noun in nouns} == {kind.noun.__name__ for kind in KINDS}
    for kind in KINDS:
        assert kind.noun.__module__.rpartition(".")[0] == modules.__name__


@pytest.mark.parametrize(("name", "noun", "keys"), TABLES, ids=[name for name, _, _ in TABLES])
def test_every_field_has_one_key(name: str, noun: type, keys: tuple[Key, ...]) -> None:
    common = COMMON if issubclass(noun, Record) else set()
    fields = {field.name: field for field in dataclasses.fields(noun) if field.init and field.name not in common}
    keys = tuple(key for key in keys if key.attribute not in common)
    assert sorted(fields) == sorted(attribute for key in keys for attribute in key.attributes)
    for key in keys:
        for attribute in key.attributes:
            optional = fields[attribute].default is not dataclasses.MISSING
            optional = optional or fields[attribute].default_factory is not dataclasses.MISSING
            assert optional != key.required, f"{name}: {key.name}"
        assert key.label or noun in OWN or issubclass(noun, PageRecord), f"no page says {name}: {key.name}"


@pytest.mark.parametrize("each", KINDS, ids=lambda each: each.name)
@settings(max_examples=5)
@given(data=st.data())
def test_it_is_read_written_and_told(each: Kind, data: st.DataObject) -> None:
    record = data.draw(strategies.KINDS[each.name])
    assert type(record) is each.noun
    assert kind_of(record) is each
    assert each.title
    assert isinstance(each.summary(record), str)
    assert {key.holds for key in each.keys} <= set(READERS) & set(WRITERS)


@pytest.mark.parametrize("each", KINDS, ids=lambda each: each.name)
def test_what_it_refers_to_is_looked_up(each: Kind) -> None:
    """An id that nobody ever had is told, by `audit.kinds` or by the room that knows more of it."""
    for key in each.keys:
        if key.holds in (ID, IDS):
            assert bool(key.refers) != ((each.name, key.name) in LOOKED_UP_ELSEWHERE), f"{each.name}: {key.name}"
        elif key.refers:
            assert key.holds == DATES, "no names are taken from such a key"


def test_what_a_key_may_hold_is_read_and_written_in_one_way() -> None:
    # What words are to say is no way of holding them.
    words = {value for name, value in vars(holding).items() if name.isupper()}
    words -= {holding.SOMETHING, holding.SOMETHING_OR_NONE, holding.REASON}
    assert words == set(READERS) == set(WRITERS)
