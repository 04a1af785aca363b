"""What a worksheet leaves in its record, whatever kind that is: the noun, and the keys it is read and written by."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from decimal import Decimal
from functools import cached_property
from typing import Protocol

from inspect_kit.model.checklist import OTHERS, Check
from inspect_kit.model.finding import DONE, Cleared, Finding, Reading, Result
from inspect_kit.model.kind import (
    BOXES,
    CLEARS,
    DATE,
    DATES,
    FINDINGS,
    IDS,
    METERS,
    PARTS,
    READINGS,
    RESULTS,
    TEXT,
    TEXTS,
    Key,
)
from inspect_kit.model.reason import says_uncorrected
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

# Under `opened` it says that no panel came off.
NONE_OPENED = "none"
# Under this a record that was made of kept facts has its results, until somebody asks for them.
MADE_LATER = "later"


class ResultsLater(Protocol):
    """The results of one record, still to be made; `only_done` as in `PageRecord`."""

    only_done: tuple[str, ...] | None

    def make(self) -> tuple[Result, ...]: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class PageRecord(Record):
    """What a worksheet leaves in its record: results, readings, findings, panels, standing findings cleared.

    `clears` are references RECORD#F1, `cleared` how they were put right where that was said; `next` the dates that
    parts carry.
    `equipment` is whether equipment changed, as the page answered: `no change`, or the records that tell of it.
    `totals` are meter totals at the end of the work; `begun` the day it began; `sheet` the name of the open page.
    `did` and `results` are in the order in which they were done. `left_owed` are checks that this work made owed and
    left so: not done, or done before it.
    `boxes` are what was said under the boxes of panels, of findings from before, and of a check that has another box
    below: each with `box_name` for its `check`.
    """

    sheet: str = ""
    begun: dt.date | None = None
    helpers: tuple[str, ...] = ()
    equipment: str = ""
    totals: Mapping[str, Decimal] = field(default_factory=dict)
    results: tuple[Result, ...] = ()
    boxes: tuple[Result, ...] = ()
    readings: tuple[Reading, ...] = ()
    findings: tuple[Finding, ...] = ()
    did: tuple[str, ...] = ()
    opened: tuple[str, ...] = ()
    left_owed: tuple[str, ...] = ()
    disturbed: tuple[str, ...] = ()
    clears: tuple[str, ...] = ()
    cleared: Mapping[str, Cleared] = field(default_factory=dict)
    parts: tuple[str, ...] = ()
    next: Mapping[str, dt.date] = field(default_factory=dict)

    @cached_property
    def only_done(self) -> tuple[str, ...] | None:
        """The checks of its results, where these say of each that it was done, and at most by whom, how long it took,
        on which paper and with what notes; None where one says more.
        """
        later: ResultsLater | None = vars(self).get(MADE_LATER)
        if later is not None:
            return later.only_done
        says_more = any(
            each.answer != DONE or each.good_until or each.disturbed or each.repaired or each.recheck
            for each in self.results
        )
        return None if says_more else tuple(each.check for each in self.results)


class _MadeLater:
    """What a record has for a field that is not among its own yet."""

    def __get__(self, record: PageRecord | None, kind: type) -> tuple[Result, ...]:
        later: ResultsLater | None = None if record is None else vars(record).get(MADE_LATER)
        if later is None:
            return ()
        made = vars(record)["results"] = later.make()
        return made


# Of nearly all that a big record says nobody asks more than `only_done`.
type.__setattr__(PageRecord, "results", _MadeLater())


# In the order of the file. What was disturbed may be a word of a check's own: `audit.records` looks it up.
PAGE_KEYS = (
    Key(name="sheet", holds=TEXT),
    Key(name="begun", holds=DATE),
    Key(name="totals", holds=METERS),
    Key(name="helpers", holds=TEXTS),
    Key(name="equipment", holds=TEXT),
    Key(name="did", holds=IDS, refers=("check",)),
    Key(name="next", holds=DATES, refers=("check",)),
    Key(name="results", holds=RESULTS),
    Key(name="boxes", holds=BOXES),
    Key(name="readings", holds=READINGS),
    Key(name="findings", holds=FINDINGS),
    Key(name="clears", holds=CLEARS, fills=("clears", "cleared")),
    Key(name="opened", holds=IDS, refers=("panel",), words=(NONE_OPENED,), empty=NONE_OPENED),
    Key(name="disturbed", holds=IDS),
    Key(name="left-owed", holds=IDS, refers=("check",)),
    Key(name="parts", holds=PARTS),
)


def by_others(check: Check | None, result: Result) -> str:
    """Who did a check that is for others, as its checklist calls them, where a record has their paper and no name: not
    whoever signs for the page. "" of any other.
    """
    for_others = check is not None and check.who == OTHERS and result.paper and not result.by
    return (check.others or OTHERS) if check is not None and for_others else ""


def box_name(verb: str, name: str, before: int = 0) -> str:
    """How a record calls a box: `refit cowl-lower`, RECORD#F1, a check; a number behind it where `before` boxes of that
    name stand above.
    """
    return " ".join(filter(None, (verb, name, str(before + 1) if before else "")))


def box_of(name: str) -> tuple[str, str]:
    """The verb ("" of a check or a finding) and the id in what `box_name` gives."""
    first, _, rest = re.sub(r" \d+$", "", name).rpartition(" ")
    return first, rest


def numbered(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in order of their numbers; a page has them in the order of its boxes."""
    return sorted(findings, key=lambda finding: int(finding.id[1:]))


def findings_words(record: PageRecord) -> Iterator[str]:
    """What was found, for the line that sums a record up."""
    yield from (f"found: {finding.text}" for finding in numbered(record.findings))


def says_undone_of(record: PageRecord, reference: str) -> bool:
    """Whether what a record says of a finding that it is to clear is that nothing was corrected: beside the finding,
    else in its own words.
    """
    how = record.cleared.get(reference)
    return how.undone if how is not None else bool(record.text) and says_uncorrected(record.text)
