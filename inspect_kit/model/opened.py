"""Which panels work on record took off: as it says, and where it says nothing of them what its checks ask for.

A record by hand names what was done; that a panel had to come off for it, and what that disturbs, stands in the
checklists. Those that disturb something are taken as off unless it says that none did, or none but those it names: who
names the cowl in front of a setup has not said that it was not set up so.
"""

from collections.abc import Iterable, Mapping

from inspect_kit.model.checklist import on_the_way
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.late_clock import before_records
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import NONE_OPENED, PageRecord
from inspect_kit.model.record import Record


def says_the_rest(record: PageRecord) -> bool:
    """Whether a record says that no other panel came off than it names: `none`, alone or behind the others."""
    return NONE_OPENED in record.opened


def panels_opened(record: PageRecord) -> tuple[str, ...]:
    """The panels that a record says came off."""
    return tuple(name for name in record.opened if name != NONE_OPENED)


def taken_as_off(record: Record, did: Iterable[str], logbook: Logbook) -> tuple[str, ...]:
    """The panels that disturb something and stand between the hands and what was done, or what it says came off, by
    today's ids, where a record by hand, or an entry on paper, does not say whether they came off.

    A page has a box for each. Of a day before records begin it is not asked: the paper may well say what came after.
    """
    if isinstance(record, Work):
        if record.seal is not None or record.sheet:
            return ()
        said = tuple(map(logbook.id_now, panels_opened(record)))
    elif isinstance(record, PaperEntry):
        said = ()
    else:
        return ()
    behind = disturbing_panels(logbook)
    found = dict.fromkeys(panel for check in did if check in behind for panel in behind[check] if panel not in said)
    if said and behind:
        off = _off_for(logbook, said)
        found |= dict.fromkeys(name for name in off if logbook.panels[name].disturbs and name not in said)
    if not found or (isinstance(record, Work) and says_the_rest(record)):
        return ()
    return () if before_records(logbook, record.date) else tuple(found)


def unsaid_of_clearings(record: Work, logbook: Logbook) -> dict[str, str]:
    """The panels that disturb something, and stand before what a finding that a record by hand clears was found at,
    each with that finding, where the record does not say whether they came off. They are not taken as off: many a
    finding is cleared without a hand behind the panel.
    """
    if not record.clears or record.seal is not None or record.sheet or says_the_rest(record):
        return {}
    said = {*map(logbook.id_now, panels_opened(record))}
    said |= {*taken_as_off(record, map(logbook.id_now, record.did), logbook)}
    behind, findings = disturbing_panels(logbook), logbook.findings()
    found: dict[str, str] = {}
    for reference in record.clears:
        finding = findings.get(reference)
        check = finding.check if finding is not None else None
        for panel in behind.get(logbook.id_now(check), ()) if check else ():
            if panel not in said:
                found.setdefault(panel, reference)
    return {} if found and before_records(logbook, record.date) else found


def disturbing_panels(logbook: Logbook) -> Mapping[str, tuple[str, ...]]:
    """The panels and setups in use that disturb something, of each check that wants any of them off or standing."""
    return logbook.once("disturbing panels of checks", lambda: _of_checks(logbook))


def _of_checks(logbook: Logbook) -> dict[str, tuple[str, ...]]:
    if not any(panel.disturbs for panel in logbook.panels.values()):
        return {}
    found: dict[str, tuple[str, ...]] = {}
    for check in logbook.checks.values():
        wanted = _off_for(logbook, (check.panel, *check.with_, *check.closed_except))
        if disturbing := tuple(name for name in wanted if logbook.panels[name].disturbs):
            found[check.id] = disturbing
    return found


def _off_for(logbook: Logbook, ids: Iterable[str]) -> tuple[str, ...]:
    """These panels and all they are behind, sorted; places and what is retired left out."""
    found = on_the_way(logbook.panels, ids, logbook.id_now)
    return tuple(sorted(panel.id for panel in found if panel.remove is not None))
