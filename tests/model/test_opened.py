"""What a record by hand says of the panels that came off."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

import pytest

from inspect_kit.model.kinds.work import Work
from inspect_kit.model.opened import panels_opened, says_the_rest
from inspect_kit.text.record import read_record

HEAD = "format: 1\nkind: work\ndate: 2026-11-20\ntext: greased\n"


class Unread(Mapping[tuple[str, str], int]):
    """Where the keys of a record stand, which is kept packed: to read it for thousands of records takes its time."""

    def __getitem__(self, key: tuple[str, str]) -> int:
        raise AssertionError(f"{key} was looked for")

    def __iter__(self) -> Iterator[tuple[str, str]]:
        raise AssertionError("they were looked for")

    def __len__(self) -> int:
        raise AssertionError("they were counted")


@pytest.mark.parametrize(
    ("line", "named", "is_all"),
    [
        ("", (), False),
        ("opened: none\n", (), True),
        ("opened: []\n", (), True),
        ("opened: [cowl]\n", ("cowl",), False),
        ("opened: [cowl, none]\n", ("cowl",), True),
    ],
)
def test_it_is_told_without_a_look_at_where_it_stands(line: str, named: tuple[str, ...], is_all: bool) -> None:
    record, source = read_record(HEAD + line, "records/2026/2026-11-20-by-hand.yaml")
    assert isinstance(record, Work)
    assert not source.problems
    record = replace(record, lines=Unread())
    assert (panels_opened(record), says_the_rest(record)) == (named, is_all)
