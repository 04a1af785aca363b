"""`noun.dataclass` against the standard one, whose name it has: the same classes made by both say and do the same."""

import dataclasses
import importlib
import pkgutil
from dataclasses import field
from typing import Any

import pytest

import inspect_kit
from inspect_kit import noun


def made(decorator: Any) -> tuple[type, type]:
    @decorator(frozen=True, slots=True)
    class Point:
        """By place."""

        x: int
        y: int = 2
        tags: list[str] = field(default_factory=list, compare=False)
        told: dict[str, int] = field(default_factory=dict, init=False, repr=False, compare=False)

        def __post_init__(self) -> None:
            if self.x < 0:
                raise ValueError("x")

    @decorator(frozen=True, slots=True, kw_only=True)
    class Named(Point):
        """By name, below one by place."""

        name: str
        more: tuple[str, ...] = ()

        def __str__(self) -> str:
            return self.name

    return Point, Named


OURS, THEIRS = made(noun.dataclass), made(dataclasses.dataclass)


@pytest.mark.parametrize(
    ("which", "values", "named"),
    [
        (0, (1,), {}),
        (0, (1, 5), {"tags": ["a"]}),
        (0, (), {"x": 3}),
        (1, (1,), {"name": "n"}),
        (1, (1, 2), {"name": "n", "more": ("m",)}),
    ],
)
def test_values_are_kept_as_the_standard_keeps_them(which: int, values: tuple[Any, ...], named: dict[str, Any]) -> None:
    ours, theirs = OURS[which](*values, **named), THEIRS[which](*values, **named)
    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)
    assert repr(ours) == repr(theirs)
    assert str(ours) == str(theirs)
    twin = OURS[which](*values, **named)
    assert (ours == twin, hash(ours) == hash(twin), ours == theirs) == (True, True, False)
    assert ours.told == {}
    assert ours.told is not twin.told
    changed = dataclasses.replace(ours, y=9)
    assert changed.y == 9
    assert changed != ours


@pytest.mark.parametrize(("values", "named"), [((), {}), ((1, 2, [], 4), {}), ((1,), {"z": 1}), ((-1,), {})])
def test_what_the_standard_refuses_is_refused(values: tuple[Any, ...], named: dict[str, Any]) -> None:
    for cls in (OURS[0], THEIRS[0]):
        with pytest.raises((TypeError, ValueError)):
            cls(*values, **named)


def test_nothing_can_be_changed() -> None:
    point = OURS[0](1)
    for change in (lambda: setattr(point, "x", 2), lambda: delattr(point, "x"), lambda: setattr(point, "new", 2)):
        with pytest.raises(dataclasses.FrozenInstanceError):
            change()


def test_the_fields_that_are_not_compared_are_not() -> None:
    assert OURS[0](1, tags=["a"]) == OURS[0](1, tags=["b"])
    assert hash(OURS[0](1, tags=["a"])) == hash(OURS[0](1))


def test_every_module_takes_its_dataclass_from_here() -> None:
    """One that took the standard one by habit would be slow again, and nobody would see it."""
    for info in pkgutil.walk_packages(inspect_kit.__path__, "inspect_kit."):
        if info.name != "inspect_kit.__main__":
            own = vars(importlib.import_module(info.name)).get("dataclass")
            assert own is not dataclasses.dataclass, info.name


def test_the_first_and_the_hundredth_are_made_alike() -> None:
    """`__init__` is compiled once some were made."""
    ours = made(noun.dataclass)[1]
    found = [ours(each, name="n", more=("m",)) for each in range(100)]
    assert [dataclasses.astuple(each) for each in found] == [(each, 2, [], {}, "n", ("m",)) for each in range(100)]
    assert repr(found[0]).replace("x=0", "x=99") == repr(found[99])


def test_in_order() -> None:
    def ordered(decorator: Any) -> Any:
        @decorator(frozen=True, order=True)
        class Pair:
            first: str
            second: int = 0

        return Pair

    for pair in (ordered(noun.dataclass), ordered(dataclasses.dataclass)):
        one, two, three = pair("a"), pair("a", 2), pair("b")
        assert sorted([three, two, one]) == [one, two, three]
        assert one < two <= two < three > one >= one
        with pytest.raises(TypeError):
            _ = one < ("a", 0)
