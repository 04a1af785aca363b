"""Where bad news is likely: a weight for every check from what the records say of it.

weight = findings to be expected at one look x how grave x how long they keep the aircraft waiting.

* To be expected: findings there over looks (the check answered as done), drawn towards the rate of all checks as if
  there had been four looks more at that rate. The rate of all begins at one finding in twenty looks. A finding outside
  a worksheet (the walk-round, a flight) counts, and as a look; one under a panel is shared by the panel's checks.
* How grave: 1 for a finding to be fixed before flight, 1/3 for one that may wait; the mean of the findings there,
  drawn towards the mean of all as if there had been two more.
* How long: the checklists say nothing of how long a part takes to come, so the past must: the days from the day the
  page was begun to the day the finding was cleared, at least two weeks while it waits for a part, at most ninety; none
  for one that may wait and waits for no part, which keeps nobody. Drawn to the mean of all in the same way. A week
  counts as much again as the finding itself: 1 + days / 7.

The numbers one in twenty, four, two, 1/3 and two weeks are choices of this program, from no published source.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator

from inspect_kit.model.finding import DONE, Finding
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.noun import dataclass

FIRST_LOOKS, LOOKS_MORE, FINDINGS_MORE = 20, 4, 2
MAY_WAIT = 1 / 3
FEW_DAYS, PART_DAYS, MOST_DAYS = 3.0, 14, 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What the records say of one check: looks, findings, their gravity (0 to 1 each) and days to clear, summed."""

    looks: float = 0
    findings: float = 0
    gravity: float = 0
    days: float = 0

    def __add__(self, other: "Past") -> "Past":
        return Past(
            looks=self.looks + other.looks,
            findings=self.findings + other.findings,
            gravity=self.gravity + other.gravity,
            days=self.days + other.days,
        )


def news(logbook: Logbook, checks: Iterable[str]) -> dict[str, float]:
    """The weight of every check of these, in findings that wait for nothing and stop the aircraft."""
    pasts = logbook.once("looks and findings by check", lambda: past_of_checks(logbook))
    everything = sum(pasts.values(), Past())
    rate = (1 + everything.findings) / (FIRST_LOOKS + everything.looks)
    gravity = _drawn(everything.gravity, everything.findings, (1 + MAY_WAIT) / 2)
    days = _drawn(everything.days, everything.findings, FEW_DAYS)
    weights = {}
    for name in checks:
        own = pasts.get(name, Past())
        expected = (own.findings + LOOKS_MORE * rate) / (own.looks + LOOKS_MORE)
        waiting = 1 + _drawn(own.days, own.findings, days) / 7
        weights[name] = expected * _drawn(own.gravity, own.findings, gravity) * waiting
    return weights


def _drawn(total: float, count: float, mean: float) -> float:
    return (total + FINDINGS_MORE * mean) / (count + FINDINGS_MORE)


def past_of_checks(logbook: Logbook) -> dict[str, Past]:
    """What the records say of every check they name, by its id of today."""
    found: dict[str, Past] = {}
    behind: dict[str, list[str]] = {}
    for check in logbook.checks.values():
        if check.retired is None:
            behind.setdefault(check.panel, []).append(check.id)
    found |= {name: Past(looks=looks) for name, looks in _looks(logbook).items()}
    for name, more in _findings(logbook, behind):
        found[name] = found.get(name, Past()) + more
    return found


def _looks(logbook: Logbook) -> Counter[str]:
    found: Counter[str] = Counter()
    for record in logbook.of_kind(PageRecord):
        seen = [*record.did, *(result.check for result in record.results if result.answer == DONE)]
        seen += [finding.check for finding in record.findings if finding.check]
        found.update([*dict.fromkeys(logbook.id_now(name) for name in seen)])
    return found


def _findings(logbook: Logbook, behind: dict[str, list[str]]) -> Iterator[tuple[str, Past]]:
    cleared = _cleared(logbook)
    for record in logbook.records:
        if isinstance(record, FindingRecord):
            begun, look = record.date, 1
        elif isinstance(record, PageRecord):
            begun, look = record.begun or record.date, 0
        else:
            continue
        for finding in (record.finding,) if isinstance(record, FindingRecord) else record.findings:
            end = finding.cleared.date if finding.cleared else cleared.get(f"{record.name}#{finding.id}")
            waited = _days(finding, begun, end or max(begun, logbook.records[-1].date))
            places = [logbook.id_now(finding.check)] if finding.check else []
            places = places or behind.get(logbook.id_now(finding.panel or ""), [])
            for name in places:
                share = 1 / len(places)
                grave = 1 if finding.fix.before_flight or not finding.may_wait else MAY_WAIT
                yield name, Past(looks=look * share, findings=share, gravity=grave * share, days=waited * share)


def _cleared(logbook: Logbook) -> dict[str, dt.date]:
    """When findings were cleared by later records, by their references."""
    found: dict[str, dt.date] = {}
    for record in logbook.of_kind(PageRecord):
        for reference in record.clears:
            how = record.cleared.get(reference)
            found.setdefault(reference, how.date if how else record.date)
    return found


def _days(finding: Finding, begun: dt.date, end: dt.date) -> int:
    if finding.may_wait and not finding.waiting:
        return 0
    days = max(0, (end - begun).days)
    if finding.waiting and finding.stands:
        days = max(days, PART_DAYS)
    return min(days, MOST_DAYS)
