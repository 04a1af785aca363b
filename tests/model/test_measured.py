"""What speaks for a slip of the keyboard in a reading that keeps its limit."""

import datetime as dt
from decimal import Decimal

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.checklist import Bound, Check, Reads
from inspect_kit.model.measured import Earlier, When, slipped

HERE = Place("x")
PSI = Check(
    id="tyres",
    panel="gear",
    text="Tyres",
    place=HERE,
    reads=(
        Reads(labels=("main",), measure="psi"),
        Reads(labels=("least",), measure="psi", bound=Bound(low=Decimal(1))),
        Reads(labels=("wear",), measure="mm", bound=Bound(high=Decimal(3))),
    ),
)


def before(*values: str) -> list[Earlier]:
    return [Earlier(when=When(date=dt.date(2026, 1, 1)), value=Decimal(value)) for value in values]


@pytest.mark.parametrize(
    ("label", "value", "earlier", "asked"),
    [
        ("main", "1", ("20", "21"), True),
        ("main", "200", ("20", "21"), True),
        # Of less than a fifth of all that was read it is asked; a soft tyre is no slip.
        ("main", "3.9", ("20", "21"), True),
        ("main", "4.1", ("20", "21"), False),
        ("main", "3.9", ("20", "5"), False),
        ("main", "1", (), False),
        ("least", "1", ("20",), True),
        # Where a limit says only how much it may be, little is good.
        ("wear", "0.1", ("2.5",), False),
        ("nothing", "1", ("20",), False),
    ],
)
def test_little_where_much_was_read(label: str, value: str, earlier: tuple[str, ...], asked: bool) -> None:
    said = slipped(PSI, label, Decimal(value), before(*earlier))
    assert bool(said) == asked
    if asked:
        assert f"last it was {earlier[-1]}" in said
