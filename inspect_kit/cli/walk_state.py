"""One walk of a page: what is on the disk, who answers, what was left for later, the way back, and the clock."""

import time
from collections.abc import Callable, Mapping
from dataclasses import field
from decimal import Decimal
from typing import NamedTuple

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.sheets import again, page_faults, save
from inspect_kit.cli.walk_talk import Talk
from inspect_kit.due import totals_with
from inspect_kit.errors import Misused, ProgramFault, Refused
from inspect_kit.inspection import edit
from inspect_kit.inspection.boxes import Box, box_at, index_of
from inspect_kit.inspection.past_limit import Judge
from inspect_kit.inspection.wanted import LastTime
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Earlier
from inspect_kit.model.worksheet import Entry
from inspect_kit.noun import dataclass
from inspect_kit.store import ChangedSinceRead, load

# What `back` takes back: a tick or an answer of a box, or something that was written under it.
# `WENT` is a box that was gone from: back leads there, and takes nothing back.
ANSWERED, WRITTEN, WENT = "answered", "written", "went"
Verb = Callable[[edit.OpenPage], edit.OpenPage]


class WalkAnswer(NamedTuple):
    """One answer of this walk: the boxes it ticked, or the key that it wrote under the only one of them.

    `settled` are the keys by which it settled a finding from before.
    """

    kind: str
    boxes: tuple[Box, ...]
    key: str = ""
    settled: tuple[str, ...] = ()


@dataclass(slots=True)
class Walk:
    """One walk: the page with the bytes it was read from, and all that is known only while it lasts.

    `doer` is who answers from here on. `here` is the box from which the next one is looked for, `visit` one that is
    asked next even if it is settled, `reading` a key under it that is asked again; `ahead` what was gone back over, the
    earliest last. `noted` are the panels whose notes
    were shown; `since` is when the box on the screen was first drawn, `times` are seconds at boxes that were answered,
    `finished` the panel at which none is open any more. `last` and `earlier` are what was read before, on any part and
    on those that are there now.
    """

    desk: Desk
    talk: Talk
    logbook: Logbook
    sheet: edit.OpenPage
    read: bytes
    doer: str
    last: Mapping[tuple[str, str], LastTime] = field(default_factory=dict)
    earlier: Mapping[tuple[str, str], tuple[Earlier, ...]] = field(default_factory=dict)
    later: set[Box | str] = field(default_factory=set)
    trail: list[WalkAnswer] = field(default_factory=list)
    here: Box | None = None
    visit: Box | None = None
    reading: str = ""
    ahead: list[tuple[Box, str]] = field(default_factory=list)
    noted: set[str] = field(default_factory=set)
    times: dict[Box, float] = field(default_factory=dict)
    since: float = 0.0
    drawn: Box | None = None
    finished: str = ""

    @property
    def entries(self) -> tuple[Entry, ...]:
        return self.sheet.entries

    def now(self) -> float:
        """Seconds, from any beginning."""
        return self.talk.source.now() if self.talk.source else time.monotonic()

    def box(self, at: int) -> Box:
        return box_at(self.sheet.page, at)

    def place(self, box: Box) -> int | None:
        return index_of(self.sheet.page, box)

    def change(self, verb: Verb) -> bool:
        """Change the page and save it; whether that was done.

        When the page was changed by hand meanwhile it is read again, and what cannot be written is said: nothing is
        written then. Refused when the page is no longer there.
        """
        try:
            after = verb(self.sheet)
        except (Misused, ProgramFault) as fault:
            self.talk.say(f"That was not written: {fault}.", indent="  ")
            return False
        if faults := page_faults(self.logbook, self.sheet, after):
            self.talk.say(f"That was not written: {'; '.join(faults)}.", indent="  ")
            return False
        try:
            self.read = save(self.desk, after, self.read)
        except ChangedSinceRead:
            file = self.sheet.page.place.file
            files = load(self.desk.root).files
            data = files.get(file)
            if data is None:
                # `sign` puts a page beside its record: the same front matter, under another name.
                head = self.read.partition(b"\n---\n")[0] + b"\n---\n"
                there = next((name for name, each in files.items() if each.startswith(head)), "")
                what = f"was signed or moved meanwhile ({there})" if there else "was signed, moved or deleted meanwhile"
                raise Refused(
                    f"{file} is no longer there: it {what}. The last answer was not written; every one before it was. "
                    "`inspect-kit walk` goes on with what is open"
                ) from None
            self.read, self.sheet = data, again(data, file)
            self.talk.say("The page was changed by hand meanwhile. It was read again; please answer once more.")
            return False
        self.sheet = after
        return True

    def totals(self) -> dict[str, Decimal]:
        """The totals on the page's day, those recorded before where it says nothing."""
        return totals_with(self.logbook, self.desk.on, self.sheet.page.meters)

    def judge(self) -> Judge:
        """What the readings of the page are judged by."""
        return Judge(logbook=self.logbook, on=self.desk.on, totals=self.totals(), earlier=self.earlier)

    def begin(self, at: int) -> None:
        """The clock of a box starts when it is first drawn."""
        box = self.box(at)
        if self.drawn != box:
            self.drawn, self.since = box, self.now()

    def leave(self, box: Box) -> None:
        """The clock of a box stops: it is answered."""
        if self.drawn == box:
            self.times[box] = self.now() - self.since
        self.drawn = None
