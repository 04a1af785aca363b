"""What a report rests on: a record, all that is known, and what was found about its seal and its signatures."""

import datetime as dt
from dataclasses import dataclass

from inspect_kit.due.answer import DueAnswer
from inspect_kit.errors import Problem
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Inspection, Page, Record, Signature


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureState:
    """A signature record and how it was found: `signed in ink, see …`, `SSH signature … good`, or why not."""

    record: Signature
    state: str

    @property
    def counts(self) -> bool:
        """Whether it is a signature: one in ink is taken at its word, one by key must have been found good."""
        return bool(self.record.ink) or self.state.endswith("good")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFacts:
    """A record to report on. `due` is the answer from which the next due points are taken; None leaves them out.

    `seal_faults` are what is wrong with the record's seal; `printed` is the day on which the report was made.
    """

    logbook: Logbook
    record: Record
    due: DueAnswer | None = None
    signatures: tuple[SignatureState, ...] = ()
    seal_faults: tuple[Problem, ...] = ()
    printed: dt.date | None = None

    @property
    def page(self) -> Page:
        """The record as an inspection or as work; ValueError for another kind."""
        if not isinstance(self.record, Page):
            raise ValueError(f"{self.record.name} is neither an inspection nor work")
        return self.record

    @property
    def signed(self) -> bool:
        return any(each.counts for each in self.signatures)

    @property
    def signature_words(self) -> str:
        """How the signature stands, in words."""
        if self.signatures:
            return "; ".join(each.state for each in self.signatures)
        sealed = "sealed" if self.record.seal else "not sealed"
        return f"{sealed}, signature not recorded"

    @property
    def seal_words(self) -> str:
        """The digest of the seal, or what is wrong with it."""
        if self.seal_faults:
            return "BROKEN: " + "; ".join(problem.message for problem in self.seal_faults)
        if self.record.seal is None:
            return "none" if not isinstance(self.record, Inspection) else "none: this record is not sealed"
        return self.record.seal.sha256


def signatures_of(logbook: Logbook, record: Record) -> tuple[Signature, ...]:
    """The signature records of a record, by date."""
    return tuple(each for each in logbook.of_kind(Signature) if each.of == record.name)
