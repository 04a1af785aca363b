"""A flight-test phase: opened, flown in, closed with the statement that the aircraft's own limitations ask for.

Source: the operating limitations of the aircraft, which aircraft.yaml holds under `phases` as data; 14 CFR 91.319(b).
"""

from collections.abc import Iterator, Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.model.kind import ID, NUMBER, SOMETHING, TABLE, TEXT, TEXTS, Key, Kind
from inspect_kit.model.reason import in_doubt, says_nothing
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase(Record):
    """One entry of a phase, by its name in aircraft.yaml: it `opens` it, tells what was flown `during` it, or `closes`.

    `hours` are those owed where they are other than aircraft.yaml says. `did` are tasks, `demonstrated` values by the
    names that the limitations use; `statement` are the words as they were signed.
    """

    opens: str = ""
    during: str = ""
    closes: str = ""
    hours: Decimal | None = None
    area: str = ""
    did: tuple[str, ...] = ()
    demonstrated: Mapping[str, str] = field(default_factory=dict)
    statement: str = ""

    @property
    def phase(self) -> str:
        """The name of the phase."""
        return self.opens or self.during or self.closes


def _faults(record: Phase) -> Iterator[tuple[str, str]]:
    if sum(map(bool, (record.opens, record.during, record.closes))) != 1:
        yield "", "a phase is opened, flown in or closed: one of `opens`, `during`, `closes`"
        return
    if not record.opens:
        for key in ("hours", "area"):
            if getattr(record, key):
                yield key, "is said where the phase opens"
    if record.hours is not None and record.hours <= 0:
        yield "hours", "are more than none: leave the key out where the limitations say how many"
    if record.opens:
        for key in ("did", "demonstrated"):
            if getattr(record, key):
                yield key, "is said `during` the phase, or where it `closes`"
    for value in record.demonstrated.values():
        if in_doubt(value) and not says_nothing(value):
            yield "demonstrated", f"`{value[:40]}` leaves the value open: write it without the blank or question mark"
    if record.closes:
        if not record.statement:
            yield "", "a phase closes with its statement: `statement` is missing"
        if record.by is None or not (record.by.kind and record.by.certificate):
            yield "", "the statement names its signer: `by` with name, kind and certificate"
    elif record.statement:
        yield "statement", "is made where the phase closes"


def _summary(record: Phase) -> str:
    if record.opens:
        hours = f", {record.hours} h owed" if record.hours is not None else ""
        return f"{record.phase} phase opened{hours}"
    told = [*record.did, *(f"{name} {value}" for name, value in record.demonstrated.items())]
    verb = "closed" if record.closes else "flown in"
    return f"{record.phase} phase {verb}" + (f": {', '.join(told)}" if told else "")


KIND = Kind(
    name="phase",
    noun=Phase,
    title="flight-test phase",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(name="opens", holds=ID, refers=("phase",), label="Opens"),
        Key(name="during", holds=ID, refers=("phase",), label="During"),
        Key(name="closes", holds=ID, refers=("phase",), label="Closes"),
        Key(name="hours", holds=NUMBER, label="Hours owed"),
        Key(name="area", holds=TEXT, label="Area", says=SOMETHING),
        Key(name="did", holds=TEXTS, label="Tasks done", says=SOMETHING),
        Key(name="demonstrated", holds=TABLE, label="Demonstrated", says=SOMETHING),
        Key(name="statement", holds=TEXT, label="Statement"),
    ),
)
