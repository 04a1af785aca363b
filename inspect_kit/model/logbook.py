"""All that was loaded from a store, in one value."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from inspect_kit.errors import Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.finding import Finding
from inspect_kit.model.record import FindingRecord, Inspection, Page, Record
from inspect_kit.model.worksheet import Entry, Worksheet

Kind = TypeVar("Kind", bound=Record)


@dataclass(frozen=True, slots=True, kw_only=True)
class Logbook:
    """The aircraft, its checklists, its records by date, and the pages in progress.

    `panels` and `checks` are by id, in the order of their files, retired ones included. `records` are sorted by date,
    then by name. `current` leads from an old id (`was`) to today's. `problems` are all that could not be read; while
    there are any, every answer is incomplete. `broken` names the records whose seal does not hold.
    """

    aircraft: Aircraft
    panels: Mapping[str, Panel] = field(default_factory=dict)
    checks: Mapping[str, Check] = field(default_factory=dict)
    records: tuple[Record, ...] = ()
    pages: tuple[Worksheet, ...] = ()
    current: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    broken: frozenset[str] = frozenset()

    def of_kind(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """The records of one kind, by date."""
        return tuple(record for record in self.records if isinstance(record, kind))

    def id_now(self, name: str) -> str:
        """Today's id for an id that may be an old one."""
        return self.current.get(name, name)

    def check_in(self, entry: Entry) -> Check | None:
        """The check of a box of a page; None for a panel, a finding from before, or a check that is known no more."""
        return self.checks.get(self.id_now(entry.id)) if entry.is_check else None

    def panel_in(self, entry: Entry) -> Panel | None:
        """The panel, setup or place at which a box is worked on; None where it is known no more."""
        if entry.is_panel:
            return self.panels.get(self.id_now(entry.id))
        check, panel = self.check_in(entry), ""
        if entry.is_standing and (finding := self.findings().get(entry.id)) is not None:
            check, panel = self.checks.get(self.id_now(finding.check or "")), self.id_now(finding.panel or "")
        return self.panels.get(check.panel if check else panel)

    def record(self, name: str) -> Record | None:
        return next((record for record in self.records if record.name == name), None)

    def findings(self) -> dict[str, Finding]:
        """Every finding of every record by its reference RECORD#F1."""
        found: dict[str, Finding] = {}
        for record in self.records:
            own = record.findings if isinstance(record, Page) else ()
            if isinstance(record, FindingRecord):
                own = (record.finding,)
            found |= {f"{record.name}#{finding.id}": finding for finding in own}
        return found

    def standing(self) -> dict[str, Finding]:
        """The findings never put right, by reference: neither cleared where they stand nor by a later record."""
        cleared = {reference for record in self.of_kind(Page) for reference in record.clears}
        # The discrepancies of an inspection that was not passed live on in its page, or in what that page became.
        names = {page.name for page in self.pages}
        for early in self.of_kind(Inspection):
            later = (record for record in self.of_kind(Page) if record.sheet == early.sheet and record is not early)
            if not early.passed and early.sheet and (early.sheet in names or any(later)):
                cleared |= {f"{early.name}#{finding.id}" for finding in early.findings}
        return {
            reference: finding
            for reference, finding in self.findings().items()
            if finding.stands and reference not in cleared
        }
