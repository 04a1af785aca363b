"""When a plan ends, and which limits its likely and its late end lie past."""

import datetime as dt
from collections.abc import Iterator, Sequence

from inspect_kit import report as reports
from inspect_kit.due import limits_passed
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass
from inspect_kit.plan import Finish, Job, Plan, Spread, finish_estimate
from inspect_kit.report import End, PlanClock


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """The likely and the late end in minutes, and as days with the limits that they lie past.

    `planned` are the checks and inspections that are done by then.
    """

    logbook: Logbook
    on: dt.date
    plan: Plan
    hours: PlanClock
    strayed: Spread
    finish: Finish
    likely: End
    late: End
    planned: Sequence[str]

    def sentences(self, *, few: bool = False) -> Iterator[str]:
        yield from reports.finish_sentences(self.finish, self.strayed, self.hours)
        yield from reports.end_sentences(self.likely, self.late, self.planned, self.logbook, self.on, few=few)

    def facts(self) -> dict[str, object]:
        return {
            "likely_min": self.finish.likely,
            "late_min": self.finish.late,
            "limits_passed": reports.end_json(self.likely, self.late, self.planned),
        }


def ending(
    logbook: Logbook, job: Job, plan: Plan, hours: PlanClock, *, names: Sequence[str], on: dt.date, strayed: Spread
) -> Ending:
    """The ends of a plan of what is named, begun on a day or in the first session after it.

    Without sessions no day is known for certain: then only what it passes even if it goes on day and night.
    """
    ends = finish_estimate(job, plan, strayed)

    def end(minute: int | None) -> End:
        # What ends in no session at hand ends after the last one.
        last = hours.shifts[-1].end if minute is None and hours.shifts else minute or 0
        day = hours.date(last, on)
        passed = limits_passed(logbook, on, day)
        return End(day=day, at_least=minute is None or hours.began is None, passed=passed)

    return Ending(
        logbook=logbook,
        on=on,
        plan=plan,
        hours=hours,
        strayed=strayed,
        finish=ends,
        likely=end(ends.likely),
        late=end(ends.late),
        planned=(*names, *plan.checks),
    )
