"""What a record says was done on a day that is not its own, and that has not come yet: until then it was not done."""

import datetime as dt
from dataclasses import replace
from operator import is_
from typing import Any, TypeVar

from inspect_kit.model.finding import Finding
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.directive import Directive
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.logbook import OF_TELLING, Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import REQUIRED, Record

Page = TypeVar("Page", bound=PageRecord)
# Kinds of records that say when something was done that need not be their own day, beside pages of what they found; of
# any kind a flight check does.
TELLING = (Directive, FindingRecord, Stock, Installed, BroughtForward)


def done_by(logbook: Logbook, day: dt.date) -> Logbook:
    """The logbook without what its records say was done after a day; the same one where none of them does.

    A finding is open, one cleared by a later page too; a directive is not complied with; a flight check is not flown;
    nothing is known of what was last done, or of when a part was made, first fitted or overhauled.
    """
    telling = logbook.once(OF_TELLING, lambda: [record for record in logbook.records if _may_tell(record)])
    done = [_done_by(record, day) for record in telling]
    if all(map(is_, done, telling)):
        return logbook
    # Records are laid under their amendments anew by some answers, from what they were before.
    amended = {name: replace(each, original=_done_by(each.original, day)) for name, each in logbook.amended.items()}
    # Nothing that was reckoned of the others holds of these: a finding that was cleared on a day to come stands.
    return replace(logbook, records=tuple(_done_by(each, day) for each in logbook.records), amended=amended)


def _may_tell(record: Record) -> bool:
    """Whether a record may say that something was done on another day than its own: of a long life most do not."""
    if isinstance(record, PageRecord):
        return bool(record.findings or record.cleared) or record.flight_check is not None
    return record.flight_check is not None or isinstance(record, TELLING)


def _done_by(record: Record, day: dt.date) -> Record:
    flown = record.flight_check
    if flown is not None and flown.date is not None and flown.date > day:
        record = replace(record, flight_check=replace(flown, word=REQUIRED, date=None, pilot=None, words=""))
    if isinstance(record, PageRecord):
        return _page_by(record, day)
    if isinstance(record, Directive) and record.done_on is not None and record.done_on > day:
        record = replace(record, done_on=None, done="", done_by="")
    if isinstance(record, FindingRecord) and _later(record.finding, day):
        record = replace(record, finding=replace(record.finding, cleared=None))
    if isinstance(record, Stock) and record.opened_on is not None and record.opened_on > day:
        # Never opened it would last longer than opened on the day on which it was counted.
        record = replace(record, opened_on=record.date)
    if isinstance(record, Installed):
        return _part_by(record, day)
    if isinstance(record, BroughtForward):
        last = {name: how for name, how in record.last.items() if how.date is None or how.date <= day}
        fitted = tuple(_part_by(part, day) for part in record.fitted)
        return record if (last, fitted) == (record.last, record.fitted) else replace(record, last=last, fitted=fitted)
    return record


def _part_by(part: Installed, day: dt.date) -> Installed:
    ages = {key: getattr(part, key) for key in ("made", "fitted_on", "overhauled")}
    later: dict[str, Any] = {key: None for key, date in ages.items() if date is not None and date > day}
    return replace(part, **later) if later else part


def _page_by(record: Page, day: dt.date) -> Page:
    if any(_later(finding, day) for finding in record.findings):
        findings = (replace(each, cleared=None) if _later(each, day) else each for each in record.findings)
        record = replace(record, findings=tuple(findings))
    late = {reference for reference, how in record.cleared.items() if how.date > day}
    if late:
        clears = tuple(each for each in record.clears if each not in late)
        cleared = {name: how for name, how in record.cleared.items() if name not in late}
        record = replace(record, clears=clears, cleared=cleared)
    return record


def _later(finding: Finding, day: dt.date) -> bool:
    return finding.cleared is not None and finding.cleared.date > day
