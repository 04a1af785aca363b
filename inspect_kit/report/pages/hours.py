"""Minutes of a plan as people read them: from the start, or as days and times of the sessions at hand."""

import datetime as dt

from inspect_kit.noun import dataclass
from inspect_kit.plan.request import Shift, worked
from inspect_kit.report.words import WEEKDAYS, clock


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanClock:
    """The moment from which a plan's minutes count, and its sessions; without sessions minutes count from 0:00."""

    began: dt.datetime | None = None
    shifts: tuple[Shift, ...] = ()

    def at(self, minute: int) -> str:
        """`3:05` from the start, or the time of the day in a session."""
        if self.began is None:
            return clock(minute)
        moment = self.began + dt.timedelta(minutes=minute)
        return f"{moment.hour:02}:{moment.minute:02}"

    def moment(self, minute: int) -> str:
        """The same with the day in front: `Sat 11-28 09:10`."""
        if self.began is None:
            return clock(minute)
        moment = self.began + dt.timedelta(minutes=minute)
        return f"{WEEKDAYS[moment.weekday()][:3]} {moment.month:02}-{moment.day:02} {self.at(minute)}"

    def session(self, minute: int) -> int | None:
        """The session in which a step starts that begins at that minute, by its place; None without sessions."""
        return next((place for place, shift in enumerate(self.shifts) if shift.start <= minute < shift.end), None)

    def session_words(self, place: int) -> str:
        """`Session 1: Saturday 2026-11-28, 09:00 to 12:30, 2 people`."""
        shift = self.shifts[place]
        day = "" if self.began is None else f"{self.day(shift.start)}, "
        people = "1 person" if shift.people == 1 else f"{shift.people} people"
        return f"Session {place + 1}: {day}{self.at(shift.start)} to {self.at(shift.end)}, {people}"

    def day(self, minute: int) -> str:
        """The day of the week and the date."""
        if self.began is None:
            return ""
        date = (self.began + dt.timedelta(minutes=minute)).date()
        return f"{WEEKDAYS[date.weekday()]} {date}"

    def date(self, minute: int, on: dt.date) -> dt.date:
        """The day on which something ends at that minute; without sessions the first on which it can, begun `on`."""
        began = self.began or dt.datetime.combine(on, dt.time())
        return (began + dt.timedelta(minutes=max(0, minute - 1))).date()

    def worked(self, minute: int) -> int:
        """The minutes at hand until then, what lies between sessions left out."""
        return worked(self.shifts, minute)
