"""`dataclass`, for nouns that never change, without what that costs while a program begins.

The standard one writes and compiles six functions for each class, 0.7 ms, and this house has three hundred of them,
half of the time that importing it took. Here what needs no code of its own is shared by all classes, and `__init__`
is compiled when the first one of a class is made. What is asked for and not frozen is the standard's own.
"""

import dataclasses
from collections.abc import Callable, Iterator
from operator import attrgetter, ge, gt, le, lt
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen: bool = False, slots: bool = False, kw_only: bool = False, order: bool = False):
        """A class decorator like the standard `dataclass`, with its fields, `replace` and `asdict`.

        `slots` promises that nothing but the fields is ever put into one, which `frozen` sees to; there are none, for
        they want a second class for each, and what is made of facts that were kept is given its dictionary whole.
        """
        if not frozen:
            return dataclasses.dataclass(slots=slots, kw_only=kw_only, order=order)

        def made(plain: type) -> type:
            cls = dataclasses.dataclass(init=False, repr=False, eq=False, kw_only=kw_only)(plain)
            own = vars(plain)
            compared = [each.name for each in dataclasses.fields(cls) if each.compare]
            equal, hashed = _by(compared)
            for name, function in (
                *(_in_order(compared) if order else ()),
                ("__init__", _no_init_yet(cls)),
                ("__repr__", _told),
                ("__eq__", equal),
                ("__hash__", hashed),
                ("__setattr__", _refuse_set),
                ("__delattr__", _refuse_delete),
            ):
                if name not in own or (name == "__hash__" and own[name] is None):
                    setattr(cls, name, function)
            return cls

        return made


_SET: Any = object.__setattr__
_NONE_GIVEN = object()


# So many of a class are made before its `__init__` is compiled: of most classes a command makes fewer.
FEW = 40


def _no_init_yet(cls: type) -> Callable[..., None]:
    """An `__init__` that is made when the first one is: of many classes a command makes none."""

    def __init__(self: object, *values: object, **named: object) -> None:
        init = _first_init(cls)
        type.__setattr__(cls, "__init__", init)
        init(self, *values, **named)

    return __init__


def _first_init(cls: type) -> Callable[..., None]:
    """An `__init__` that needs no compiling, and puts the compiled one in its own place in time."""
    fields = dataclasses.fields(cls)
    by_place = [each.name for each in fields if each.init and not each.kw_only]
    known = {each.name: each.default for each in fields if each.default is not dataclasses.MISSING}
    makes = [(each.name, each.default_factory) for each in fields if each.default_factory is not dataclasses.MISSING]
    names = {each.name for each in fields}
    settled = {each.name for each in fields if not each.init}
    finish: Callable[[object], None] | None = getattr(cls, "__post_init__", None)
    made = 0

    def __init__(self: object, *values: object, **named: object) -> None:
        nonlocal made
        made += 1
        own = {**known, **dict(zip(by_place, values, strict=False)), **named}
        for name, make in makes:
            if name not in own:
                own[name] = make()
        twice = not named.keys().isdisjoint(by_place[: len(values)])
        if made > FEW or twice or own.keys() != names or len(values) > len(by_place) or named.keys() & settled:
            # What is wrong with the arguments is told as Python tells it.
            compiled = _init(cls)
            type.__setattr__(cls, "__init__", compiled)
            compiled(self, *values, **named)
            return
        _SET(self, "__dict__", own)
        if finish is not None:
            finish(self)

    return __init__


def _init(cls: type) -> Callable[..., None]:
    """`__init__` as the standard's: every field by place or by name, then `__post_init__`."""
    known: dict[str, object] = {"_set": _SET, "_none": _NONE_GIVEN}
    by_place: list[str] = []
    by_name: list[str] = []
    body = []
    for each in dataclasses.fields(cls):
        name, value, default = each.name, each.name, ""
        if each.default is not dataclasses.MISSING:
            known[f"_default_{name}"], default = each.default, f" = _default_{name}"
            value = name if each.init else f"_default_{name}"
        elif each.default_factory is not dataclasses.MISSING:
            known[f"_make_{name}"], default = each.default_factory, " = _none"
            value = f"_make_{name}() if {name} is _none else {name}" if each.init else f"_make_{name}()"
        if each.init:
            (by_name if each.kw_only else by_place).append(f"{name}{default}")
        body.append(f"{name!r}: {value}")
    body = [f"    _set(self, '__dict__', {{{', '.join(body)}}})"]
    if hasattr(cls, "__post_init__"):
        body.append("    self.__post_init__()")
    arguments = ", ".join(["self", *by_place, *(["*", *by_name] if by_name else [])])
    exec("\n".join([f"def __init__({arguments}):", *body, "    pass"]), known)
    init: Any = known["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    return init  # type: ignore[no-any-return]


def _by(names: list[str]) -> tuple[Callable[[Any, object], Any], Callable[[Any], int]]:
    """`__eq__` and `__hash__` by the fields that are compared."""
    values: Callable[[Any], object] = attrgetter(*names) if names else lambda _: ()

    def __eq__(self: Any, other: object) -> Any:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def __hash__(self: Any) -> int:
        return hash((values(self),))

    return __eq__, __hash__


def _in_order(names: list[str]) -> Iterator[tuple[str, Callable[[Any, object], Any]]]:
    """The four comparisons, by the fields in their order."""
    values: Callable[[Any], object] = attrgetter(*names)

    def by(compare: Callable[[Any, Any], bool]) -> Callable[[Any, object], Any]:
        return lambda self, other: (
            compare(values(self), values(other)) if other.__class__ is self.__class__ else NotImplemented
        )

    for name, compare in (("__lt__", lt), ("__le__", le), ("__gt__", gt), ("__ge__", ge)):
        yield name, by(compare)


def _told(self: Any) -> str:
    told = ", ".join(f"{each.name}={getattr(self, each.name)!r}" for each in dataclasses.fields(self) if each.repr)
    return f"{type(self).__qualname__}({told})"


def _refuse_set(self: object, name: str, value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_delete(self: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")
