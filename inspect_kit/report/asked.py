"""What a report rests on: a record, all that is known, and what was found about its seal and its signatures."""

import datetime as dt

from inspect_kit.due.answer import DueAnswer
from inspect_kit.errors import Problem
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.logbook import Logbook, Verdict
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureState:
    """A signature record and what was found about it."""

    record: Signature
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFacts:
    """A record to report on, as it was written; the logbook knows what was amended.

    `due` is the answer from which the next due points are taken; None leaves them out. `seal_faults` are what is wrong
    with the record's seal; `printed` is the day on which the report was made.
    """

    logbook: Logbook
    record: Record
    due: DueAnswer | None = None
    signatures: tuple[SignatureState, ...] = ()
    seal_faults: tuple[Problem, ...] = ()
    printed: dt.date | None = None

    @property
    def page(self) -> PageRecord:
        """The record as an inspection or as work; ValueError for another kind."""
        if not isinstance(self.record, PageRecord):
            raise ValueError(f"{self.record.name} is neither an inspection nor work")
        return self.record

    @property
    def then(self) -> Logbook:
        """The logbook with the record as it was written: what stands beside it there has its place by that."""
        own = [each.name for each in self.logbook.of_kind(Amendment) if each.of == self.record.name]
        if self.record.name not in self.logbook.amended:
            return self.logbook
        key = f"as {self.record.name} was written"
        return self.logbook.once(key, lambda: self.logbook.with_records(self.logbook.records, without=own))

    @property
    def signed(self) -> bool:
        return any(each.verdict.counts for each in self.signatures) and not self.seal_faults

    @property
    def signature_words(self) -> str:
        """How the signature stands, in words."""
        if self.signatures:
            states = (each.verdict for each in self.signatures)
            return "; ".join(each.words if each.counts else f"NOT SIGNED: {each.words}" for each in states)
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
