"""Which findings of earlier records have a box on a page."""

from inspect_kit.model.finding import Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import JOB_WORK


def boxed(logbook: Logbook, job: str, chosen: set[str]) -> dict[str, Finding]:
    """The findings that still stand: all of them on an inspection, on other work those of its own checks and panels."""
    panels = {logbook.checks[check].panel for check in chosen}
    return {
        reference: finding
        for reference, finding in logbook.standing().items()
        if job != JOB_WORK
        or logbook.id_now(finding.check or "") in chosen
        or logbook.id_now(finding.panel or "") in panels
    }
