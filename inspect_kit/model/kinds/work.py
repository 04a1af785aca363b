"""Maintenance done, of checks or in plain words; from a worksheet also what its page held.

Source: 14 CFR 43.9(a): what was done, on which date, by whom.
"""

from collections.abc import Iterator

from inspect_kit.model.aircraft import Identity
from inspect_kit.model.kind import IDENTITY, Key, Kind
from inspect_kit.model.page_record import PAGE_KEYS, PageRecord, findings_words
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(PageRecord):
    """Maintenance done: `did` names checks. From a signed worksheet it also has what the page held, and of which
    aircraft it was."""

    identity: Identity | None = None


def _gaps(record: Work) -> Iterator[tuple[tuple[str, ...], str]]:
    if not record.did and not record.text:
        yield ("did", "text"), "work says what was done: `did` or `text` is missing"


def _summary(record: Work) -> str:
    return "; ".join(findings_words(record))


KIND = Kind(
    name="work",
    noun=Work,
    title="work",
    summary=_summary,
    gaps=_gaps,
    keys=(Key(name="aircraft", holds=IDENTITY, fills=("identity",)), *PAGE_KEYS),
)
