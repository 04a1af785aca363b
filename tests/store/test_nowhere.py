"""Names of which a clone on Windows has no file: one by one, and all of a store at once."""

import pytest

from inspect_kit.store.layout import nowhere_on_windows

FINE = ("records/2026/2026-05-14-oil-k3f9.yaml", "checklists/console.md", "records/2026/nul-and-con.yaml", "a.b c.md")


@pytest.mark.parametrize(
    "name",
    ["con.md", "records/AUX.yaml", "records/nul", "records/com1/x.yaml", "records/lpt\u00b2.yaml", "records/a./x.yaml",
     "records/b /x.yaml", "records/c.", "records/a:b.yaml", "records/a\\b.yaml", 'a"b.md', "records/what?.yaml"],
)  # fmt: skip
def test_a_name_is_found_alone_and_among_others(name: str) -> None:
    assert nowhere_on_windows(name)
    assert nowhere_on_windows(*FINE, name, *FINE)


def test_names_that_windows_takes_are_not_found() -> None:
    assert not nowhere_on_windows(*FINE)
    assert not any(map(nowhere_on_windows, FINE))
