"""What a signature rests on: the question that `sign` asks of a page."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal

from inspect_kit.inspection.past_limit import Judge
from inspect_kit.inspection.people import doer_of, nobody
from inspect_kit.model.aircraft import InspectionRule, Person, plain_name
from inspect_kit.model.checklist import Check
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Earlier, Judged
from inspect_kit.model.worksheet import JOB_WORK, Entry, Worksheet
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """A page to be signed by a person on a day. `last_totals` are the totals recorded before, by meter.

    `offsets` turn the page's readings into totals (total = reading + offset). `closing` is the reason why the rest of
    a page was not done, where it is closed: then it is work, whatever it was begun as. `earlier` are the values that
    were read before on the parts that are there now, by check and label. `named` is what the signer was called.
    `past` are the last values on record that are past their limit, as sentences, by check and label. `before_day` are
    the totals recorded before that day, where the page reads less than one of that day; `read_now` are the meters of
    which somebody said just now what they read.
    """

    logbook: Logbook
    page: Worksheet
    signer: Person | None
    on: dt.date
    last_totals: Mapping[str, Decimal]
    offsets: Mapping[str, Decimal]
    closing: str = ""
    earlier: Mapping[tuple[str, str], tuple[Earlier, ...]] = field(default_factory=dict)
    named: str = ""
    past: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    before_day: Mapping[str, Decimal] = field(default_factory=dict)
    read_now: frozenset[str] = frozenset()

    @property
    def rule(self) -> InspectionRule | None:
        """The inspection's rule; None for other work."""
        return self.logbook.aircraft.inspections.get(self.page.job)

    @property
    def is_inspection(self) -> bool:
        return self.page.job != JOB_WORK and not self.closing

    def check(self, entry: Entry) -> Check | None:
        """The check of a box by its id of today or a former one."""
        return self.logbook.checks.get(self.logbook.id_now(entry.id))

    def done(self) -> tuple[Check, ...]:
        """The checks that are ticked, and not answered otherwise."""
        boxes = (self.check(entry) for entry in self.page.checks if entry.ticked and not entry.answer)
        return tuple(check for check in boxes if check is not None)

    def doer(self, entry: Entry) -> str:
        """Who did what a box says: whoever is named there, else the inspector of the page, else the signer."""
        return doer_of(self.page, entry) or (self.signer.name if self.signer else "")

    def is_known(self, name: str) -> bool:
        """Whether a name is one of the people of aircraft.yaml or of the helpers of this page."""
        helpers = map(plain_name, self.page.helpers)
        # Whoever puts a question mark behind a name does not know who it was.
        person = self.logbook.aircraft.person(name)
        listed = person is not None or plain_name(name) in helpers
        known = listed and not self.logbook.aircraft.gone_by(name, self.page.begun)
        return known and "?" not in name

    def stranger(self, name: str) -> str:
        """What is said of a name that is not known: of somebody who had gone when the page was begun, since when."""
        gone = self.logbook.aircraft.gone_by(name, self.page.begun)
        return f"`{name}`: {gone}" if gone else nobody(name)

    def judged(self, entry: Entry, check: Check) -> tuple[Judged, ...]:
        """What is read under a box, and what follows from it, against its limits."""
        return self.judge.ones(entry, check)

    @property
    def judge(self) -> Judge:
        """What the readings of the page are judged by."""
        totals = {**self.last_totals, **self.totals()}
        return Judge(logbook=self.logbook, on=self.on, totals=totals, earlier=self.earlier)

    def totals(self) -> dict[str, Decimal]:
        """The meters' totals on the page's day."""
        return {name: reads + self.offsets.get(name, Decimal(0)) for name, reads in self.page.meters.items()}
