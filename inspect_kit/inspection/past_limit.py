"""Readings of a page past their limit, and what it takes to clear a finding that they raised: what they read since."""

import datetime as dt
from collections.abc import Mapping, Sequence
from decimal import Decimal

from inspect_kit.model.checklist import Check
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Earlier, Judged, When, judged
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.noun import dataclass

EarlierReadings = Mapping[tuple[str, str], Sequence[Earlier]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """What readings under a box are judged by: the day, the totals of the meters on it, what was read before.

    `earlier` are the values on the parts that are there now, by check and label.
    """

    logbook: Logbook
    on: dt.date
    totals: Mapping[str, Decimal]
    earlier: EarlierReadings

    def ones(self, entry: Entry, check: Check) -> tuple[Judged, ...]:
        """What is read under a box, and what follows from it, against the limits of its check.

        What is marked as repaired under the box begins anew: it may have changed since.
        """
        anew = {*entry.repaired}
        anew |= {each.label for each in check.reckons if anew & {*each.labels}}
        return judged(
            check,
            entry.numbers(),
            self.logbook.aircraft,
            when=When(date=self.on, totals=self.totals),
            earlier={
                label: found for (name, label), found in self.earlier.items() if name == check.id and label not in anew
            },
        )

    def past(self, entry: Entry, check: Check) -> dict[str, str]:
        """How each value of a box is past its limit, by label: the stricter of its check's and of the page's own."""
        ones = self.ones(entry, check)
        found = {one.label: one.fault for one in ones if one.fault and not one.refused}
        for reading in entry.readings:
            if reading.label not in found and reading.out_of_limits:
                told = f"{reading.label} is {reading.number} {reading.measure}".rstrip()
                found[reading.label] = f"{told}, the limit is {reading.bound}"
        return found

    def still_past(self, page: Worksheet, entry: Entry, check: Check) -> dict[str, str]:
        """The same without what a box of this check further down read again, within its limit."""
        found = self.past(entry, check)
        for below in page.checks if found else ():
            own = self.logbook.id_now(below.id) == check.id and below.lines > entry.lines and not below.answer
            if own:
                read = {one.label for one in self.ones(below, check) if not one.refused}
                read -= self.past(below, check).keys()
                found = {label: told for label, told in found.items() if label not in read}
        return found

    def read_on(self, page: Worksheet, check: Check, label: str) -> bool:
        """Whether a page has this label of a check, and has it within its limit where it was read last."""
        boxes = [each for each in page.checks if self.logbook.id_now(each.id) == check.id and not each.answer]
        read = [each for each in boxes if label in {one.label for one in self.ones(each, check) if not one.refused}]
        return bool(read) and label not in self.past(read[-1], check)


HOW = "a finding that a reading raised is cleared with what it reads since"
AGAIN = "`m` at its box in the walk, or `again: VALUE` under the reading"
