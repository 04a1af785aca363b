"""A sealed inspection, passed with its statement, or not passed with a list of discrepancies.

Source: 14 CFR 43.11(a) as a model; the aircraft's own operating limitations for the words and for who signs.
"""

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import TypeGuard

from inspect_kit.model.aircraft import Identity
from inspect_kit.model.kind import ID, IDENTITY, OUTCOME, TABLE, TEXT, TEXTS, Key, Kind
from inspect_kit.model.page_record import PAGE_KEYS, PageRecord, findings_words
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection(PageRecord):
    """A sealed inspection. `passed` False is a list of discrepancies without a statement.

    `not_applicable` are the scope codes of what the aircraft does not have, as they stood then, with reasons.
    `signers` are the kinds of certificate that the limitations permitted to sign on that day; empty in older
    records, sealed before they were kept.
    """

    inspection: str
    passed: bool
    identity: Identity
    basis: str
    statement: str = ""
    not_applicable: Mapping[str, str] = field(default_factory=dict)
    signers: tuple[str, ...] = ()


def is_not_passed(record: Record) -> TypeGuard[Inspection]:
    """Whether it is an inspection that was not passed: a list of discrepancies, whose page goes on."""
    return isinstance(record, Inspection) and not record.passed


def _gaps(record: Inspection) -> Iterator[tuple[tuple[str, ...], str]]:
    if record.passed and not record.statement:
        yield ("statement",), ""
    by = record.by
    if by is None or not (by.name and by.kind and by.certificate):
        # 14 CFR 43.11(a)(3) as a model, and the operating limitations: name, certificate number and its kind.
        yield (), "an inspection names its signer: `by` with name, kind and certificate"


def _summary(record: Inspection) -> str:
    outcome = record.statement if record.passed else "not passed: a list of discrepancies"
    told = (outcome, *findings_words(record))
    # The statement ends with a full stop, what was found goes on after it.
    return "; ".join((*(each.rstrip(".") for each in told[:-1]), told[-1]))


KIND = Kind(
    name="inspection",
    noun=Inspection,
    title="inspection",
    summary=_summary,
    gaps=_gaps,
    keys=(
        Key(name="inspection", holds=ID, refers=("inspection",), required=True),
        Key(name="outcome", holds=OUTCOME, fills=("passed",), required=True, stand_in=False),
        Key(name="aircraft", holds=IDENTITY, fills=("identity",), required=True),
        Key(name="basis", holds=TEXT, required=True, stand_in=""),
        Key(name="statement", holds=TEXT),
        Key(name="not-applicable", holds=TABLE),
        Key(name="signers", holds=TEXTS),
        *PAGE_KEYS,
    ),
)
