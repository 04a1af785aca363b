"""All that was loaded from a store, in one value."""

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import field, replace
from enum import Enum
from itertools import combinations
from typing import Any, TypeVar, cast

from inspect_kit.errors import Place, Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.amended import Amended, amended, in_date_order
from inspect_kit.model.checklist import Check, Panel, Retired
from inspect_kit.model.finding import Cleared, Finding, Fix
from inspect_kit.model.interval import HOURS
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.meters import MeterHistory, meter_history
from inspect_kit.model.owed import slip_of
from inspect_kit.model.page_record import PageRecord, says_undone_of
from inspect_kit.model.record import Record
from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.noun import dataclass

Kind = TypeVar("Kind", bound=Record)
Answer = TypeVar("Answer")
# What was reckoned from the records alone, by the beginning of its name.
OF_RECORDS = (OF_METER, OF_KIND, OF_FINDINGS, OF_PAGES, OF_TYPES, OF_NAMES, OF_FITTINGS, OF_TELLING) = (
    *("meter ", "kind ", "findings", "sealed before", "types", "named", "fittings", "telling"),
)
# Of so many amendments that wait for a signature every combination is reckoned: 32 answers to one question.
MOST_WAITING = 5


class Validity(Enum):
    """How a signature was found; only a refused one is none."""

    GOOD = "good"
    UNCHECKED = "unchecked"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What was found about a signature, with the words for people."""

    validity: Validity
    words: str

    @property
    def counts(self) -> bool:
        return self.validity is not Validity.REFUSED


@dataclass(frozen=True, slots=True, kw_only=True)
class Logbook:
    """The aircraft, its checklists, its records by date, and the pages in progress.

    `panels` and `checks` are by id, in the order of their files, retired ones included. `records` are sorted by date,
    then by name, as amended; `amended` has for each one that was what it said before. `current` leads from an old id
    (`was`) to today's. `problems` are all that could not be read; while there are any, every answer is incomplete.

    `broken` says of each record whose seal does not hold, why, `gone` of sealed records that are missed, what names
    them; `verdicts` of each signature what was found about it.
    A signature without a verdict was not judged and is taken at its word. `foreign` are records of another aircraft,
    which count for nothing. Neither do the `withdrawn`, which are kept to be shown. `unread` are the open pages that
    say nothing as they are: open they are all the same. `lost` are checklists and records of which nothing is read.
    `leaving` are checks in use that are to be retired, by id.
    """

    aircraft: Aircraft
    panels: Mapping[str, Panel] = field(default_factory=dict)
    checks: Mapping[str, Check] = field(default_factory=dict)
    records: tuple[Record, ...] = ()
    pages: tuple[Worksheet, ...] = ()
    current: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    amended: Mapping[str, Amended] = field(default_factory=dict)
    broken: Mapping[str, str] = field(default_factory=dict)
    gone: tuple[Problem, ...] = ()
    verdicts: Mapping[str, Verdict] = field(default_factory=dict)
    foreign: tuple[Record, ...] = ()
    withdrawn: tuple[Withdrawn, ...] = ()
    unread: tuple[Place, ...] = ()
    lost: tuple[Place, ...] = ()
    leaving: Mapping[str, Retired] = field(default_factory=dict)
    # What was reckoned from this logbook, which never changes; one with other records begins without it.
    reckoned: dict[str, object] = field(default_factory=dict, init=False, repr=False, compare=False)

    def once(self, what: str, reckon: Callable[[], Answer]) -> Answer:
        """What `reckon` says of this logbook, asked only the first time that `what` is wanted."""
        if what not in self.reckoned:
            self.reckoned[what] = reckon()
        return cast("Answer", self.reckoned[what])

    def meter_history(self, meter: str) -> MeterHistory:
        """The readings and totals of a meter by these records."""
        return self.once(f"{OF_METER}{meter}", lambda: self._with_the_one_before(self._alone(meter)))

    def _alone(self, meter: str) -> MeterHistory:
        return self.once(f"{OF_METER}{meter} alone", lambda: meter_history(meter, self.records))

    def _with_the_one_before(self, own: MeterHistory) -> MeterHistory:
        """The history of a clock for time in service that came after another one had run, which goes on from what that
        one had: a new clock is no new aircraft. Without the total of the aircraft nothing before it is known.
        """
        meters = self.aircraft.meters
        if not own.points or own.meter != self.aircraft.time_in_service or meters[own.meter].unit != HOURS:
            return own
        clocks = [self._alone(name) for name, each in meters.items() if each.unit == HOURS and name != own.meter]
        others = [each for each in clocks if each.points]
        first = own.points[0]
        if own.starts:
            # What was flown between a last reading and this first one nobody knows, unless both totals are one.
            older = [each for each in others if each.points[0].date < first.date]
            read = {each.meter: each.read_beside(first) for each in older}
            read |= {each.meter: first.total for each in older if each.by(first.date) == first.total}
            then = {name: total for name, total in read.items() if total is not None}
            if not then:
                return replace(own, before=max(older, key=lambda each: each.by_both(own))) if older else own
            # The one that had the total of the aircraft is the one that counted; else what gained most.
            name = max(then, key=lambda name: (then[name] == first.total, then[name]))
            return replace(own, before=self._alone(name), shift=first.total - then[name])
        ran = [each for each in others if _ran_before(own, each)]
        beside = (each for each in ran if each.read_beside(first) is not None)
        return replace(own, before=next(beside, ran[0])) if ran else own

    def with_same_records(self, **changed: Any) -> "Logbook":
        """Another logbook of the same records: what was reckoned from them alone is not reckoned anew."""
        twin = replace(self, **changed)
        twin.reckoned.update({what: known for what, known in self.reckoned.items() if what.startswith(OF_RECORDS)})
        return twin

    def fix_words(self, fix: Fix) -> str:
        """The limit of a finding; one by hours as the meter reads and as the total that this is, where they differ."""
        if fix.at_inspection is not None and fix.by_total is None and fix.by_date is None:
            return f"at the next {fix.at_inspection} inspection"
        if fix.by_total is None:
            return str(fix)
        meter = fix.meter or self.aircraft.time_in_service
        reads = self.meter_history(meter).reading_for(fix.by_total)
        if reads == fix.by_total:
            return str(fix)
        at = f"{meter} {reads:f}" if reads >= 0 else f"a reading before the present {meter}"
        return f"by {at} (total {fix.by_total:f} h)"

    def of_kind(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """The records of one kind, by date."""

        def find() -> tuple[Kind, ...]:
            # Of most kinds a logbook has none, and twenty of them are asked for.
            known = self.once(OF_TYPES, self._by_type)
            own = [each for each in known if issubclass(each, kind)]
            if len(own) == 1:
                return cast("tuple[Kind, ...]", known[own[0]])
            return tuple(record for record in self.records if isinstance(record, kind)) if own else ()

        return self.once(f"{OF_KIND}{kind.__name__}", find)

    def _by_type(self) -> dict[type, tuple[Record, ...]]:
        found: dict[type, list[Record]] = {}
        for record in self.records:
            found.setdefault(type(record), []).append(record)
        return {each: tuple(records) for each, records in found.items()}

    def id_now(self, name: str) -> str:
        """Today's id for an id that may be an old one."""
        return self.current.get(name, name)

    def check_in(self, entry: Entry) -> Check | None:
        """The check of a box of a page; None for a panel, a finding from before, or a check that is known no more."""
        return self.checks.get(self.id_now(entry.id)) if entry.is_check else None

    def panel_in(self, entry: Entry) -> Panel | None:
        """The panel, setup or place at which a box is worked on; None where it is known no more."""
        if entry.is_panel:
            return self.panels.get(self.id_now(entry.id))
        check, panel = self.check_in(entry), ""
        if entry.is_standing and (finding := self.findings().get(entry.id)) is not None:
            check, panel = self.checks.get(self.id_now(finding.check or "")), self.id_now(finding.panel or "")
        return self.panels.get(check.panel if check else panel)

    @property
    def flight_check_after(self) -> tuple[str, ...]:
        """What wants a flight check once it was disturbed, set or changed, by today's ids."""
        return tuple(dict.fromkeys(map(self.id_now, self.aircraft.flight_check_after)))

    def meant_to_be_disturbed(self, word: str) -> str:
        """The word that was meant by one after whose disturbance something is owed, and that nothing ever disturbs."""
        known = {*self.disturbed_by_work(), *self.flight_check_after}
        things = (self.panels, self.checks, self.aircraft.positions)
        return "" if word in known or any(self.id_now(word) in ids for ids in things) else slip_of(word, known)

    def disturbed_by_work(self) -> frozenset[str]:
        """Every word that a check or a panel disturbs, or that a record or a page says was."""
        return self.once("disturbed", lambda: frozenset(self._disturbed()))

    def _disturbed(self) -> Iterator[str]:
        yield from (word for check in self.checks.values() for word in check.disturbs)
        yield from (word for panel in self.panels.values() for word in panel.disturbs)
        for record in self.of_kind(PageRecord):
            yield from record.disturbed
            # What is only done disturbed nothing, and is not made into results for that.
            told = record.results if record.only_done is None else ()
            yield from (word for result in told for word in result.disturbed)
        yield from (word for page in self.pages for entry in page.entries for word in entry.disturbed)

    def record(self, name: str) -> Record | None:
        return self.once("records by name", lambda: {each.name: each for each in reversed(self.records)}).get(name)

    def as_written(self, record: Record) -> Record:
        """The record as its file says it, whatever was amended since."""
        return self.amended[record.name].original if record.name in self.amended else record

    def page_of(self, record: PageRecord) -> tuple[str, dt.date | None]:
        """By what an open page and each record that it was sealed as are known for one: its name, the day it began."""
        written = self.as_written(record)
        return record.sheet, written.begun if isinstance(written, PageRecord) else None

    def amendments(
        self,
        name: str,
        touches: Callable[[str], bool] | None = None,
        own: Collection[str] | None = None,
        *,
        attached: bool = True,
    ) -> tuple[str, ...]:
        """What stands beside a record wherever it is quoted: each field that was put right, each remark, and by whom.

        Where it is quoted for some checks alone `touches` says of today's id of one whether it is among them, and `own`
        are the item and the position of which what was brought forward is quoted. An amendment without fields puts
        right in words, which no arithmetic can follow; with files it is what was attached, and may be left out.
        """
        fields: tuple[str, ...] = ()
        if name in self.amended:
            fields = self.amended[name].words(
                None if touches is None else lambda check: touches(self.id_now(check)),
                None if own is None else lambda each: self.id_now(each) in own,
            )
        words = (
            f"{each.text.strip().rstrip('.')} ({each.name}{_with_files(each)})"
            for each in self.of_kind(Amendment)
            if each.of == name and not each.instead and not each.not_done and (attached or not each.files)
        )
        return (*fields, *words)

    def of_meters(self, name: str) -> tuple[str, ...]:
        """What stands beside the meters that a record read: a photograph attached to it corrects none of them."""
        return self.amendments(name, own=(), attached=False)

    def signatures(self, name: str) -> tuple[Signature, ...]:
        """The signatures of a record, by date, whether they count or not."""
        return tuple(each for each in self.of_kind(Signature) if each.of == name)

    def verdict(self, signature: Signature) -> Verdict:
        """What was found about a signature; one that nobody judged is taken at its word."""
        by = f" by {signature.by.name}" if signature.by else ""
        words = f"signed in ink{by}, see {signature.ink}" if signature.ink else f"SSH signature{by}, not judged"
        return self.verdicts.get(signature.name, Verdict(validity=Validity.GOOD, words=words))

    def is_signed(self, name: str) -> bool:
        """Whether a signature of that record counts."""
        return any(self.verdict(each).counts for each in self.signatures(name))

    def is_pending(self, amendment: Amendment, original: Record) -> bool:
        """Whether an amendment still wants the signature without which it does not count fully."""
        return original.seal is not None and not self.is_signed(amendment.name)

    def pending(self) -> tuple[Amendment, ...]:
        """The amendments of sealed records that replace something and are not signed yet."""
        found = {
            change.amendment.name: change.amendment
            for each in self.amended.values()
            for change in each.changes
            if change.pending
        }
        return tuple(found.values())

    def findings(self) -> Mapping[str, Finding]:
        """Every finding of every record by its reference RECORD#F1."""
        return self.once(OF_FINDINGS, self._findings)

    def _findings(self) -> Mapping[str, Finding]:
        found: dict[str, Finding] = {}
        for record in self.records:
            own = record.findings if isinstance(record, PageRecord) else ()
            if isinstance(record, FindingRecord):
                own = (record.finding,)
            for finding in own:
                found[f"{record.name}#{finding.id}"] = finding
        return found

    def standing(self) -> dict[str, Finding]:
        """The findings never put right, by reference: neither cleared where they stand nor by a later record.

        What a record with a broken seal says was cleared may have been written into it: it clears nothing elsewhere.
        """
        return dict(self.once("standing", self._standing))

    def _standing(self) -> dict[str, Finding]:
        cleared = {
            reference
            for record in self.of_kind(PageRecord)
            if record.name not in self.broken
            for reference in record.clears
            if not says_undone_of(record, reference)
            and not self._off_without_inspector(record, reference)
            and not self.is_before_found(record, reference)
        }
        cleared |= self.living_on() | self._carried_without_inspector()
        return {
            reference: replace(finding, cleared=None) if finding.cleared and not finding.cleared.undone else finding
            for reference, finding in self.findings().items()
            if reference not in cleared and (finding.stands or self.is_cleared_too_early(reference, finding))
        }

    def _named(self) -> Mapping[str, Record]:
        return self.once(OF_NAMES, lambda: {record.name: record for record in reversed(self.records)})

    def is_before_found(self, record: PageRecord, reference: str) -> bool:
        """Whether a record clears a finding by work that was done before it was found: on an earlier day, or on the
        same one at a lower reading, or before it by what the two say.
        """
        from inspect_kit.model.followed import followed

        found = self._named().get(reference.rpartition("#")[0])
        if found is None or found is record:
            return False
        # Only records of one day say which of them came first.
        if record.date == found.date and record.name in followed(self).before.get(found.name, ()):
            return True
        how = record.cleared.get(reference)
        if (how.date if how else record.date) != found.date:
            return (how.date if how else record.date) < found.date
        clock = self.aircraft.time_in_service
        then, at = record.meters.get(clock), found.meters.get(clock)
        return (
            record.date == found.date
            and then is not None
            and at is not None
            and then < at
            and not any(each.date == found.date for each in self.of_kind(MeterChange))
        )

    def is_cleared_too_early(self, reference: str, finding: Finding) -> bool:
        """Whether a finding is cleared where it stands on a day before it can have been found."""
        record = self._named().get(reference.rpartition("#")[0])
        since = (record.begun if isinstance(record, PageRecord) else None) or (record.date if record else None)
        if isinstance(record, Inspection):
            # Signed so; `sign` asks, and the audit says so of what was signed before that.
            since = None
        return finding.cleared is not None and since is not None and finding.cleared.date < since

    def _off_without_inspector(self, record: PageRecord, reference: str) -> bool:
        """Whether a record of other work puts a finding off, and nobody who holds a certificate signed it.

        By whose kind that was permitted is asked before it is sealed; what the limitations say later unmakes nothing.
        """
        if isinstance(record, Inspection) or not _how(record, reference).put_off:
            return False
        new, old = self._carried(record, reference), self.findings().get(reference)
        if new is not None and old is not None and new.is_surely_before(old):
            # To have it fixed sooner nobody's certificate is asked.
            return False
        by = record.by
        return by is None or not (by.kind and by.certificate) or not self.is_signed(record.name)

    def _carried_without_inspector(self) -> set[str]:
        """The findings as which such a record would carry them: until it is signed they stand where they were found."""
        return {
            f"{record.name}#{carried}"
            for record in self.of_kind(PageRecord)
            for reference in record.clears
            if self._off_without_inspector(record, reference) and (carried := _how(record, reference).carried_as)
            # Where nobody can tell which of the two is sooner both count.
            if (old := self.findings().get(reference)) is None
            or (new := self._carried(record, reference)) is None
            or old.is_surely_before(new)
        }

    def _carried(self, record: PageRecord, reference: str) -> Finding | None:
        """The finding of a record as which it carries one from before."""
        return self.findings().get(f"{record.name}#{_how(record, reference).carried_as}")

    def puts_off_unsigned(self, record: Record) -> bool:
        """Whether a record puts a finding off and that does not count before it is signed."""
        return isinstance(record, PageRecord) and any(
            self._off_without_inspector(record, reference) for reference in record.clears
        )

    def living_on(self) -> set[str]:
        """The discrepancies of inspections that were not passed that stand, as they were sealed, in what came after
        them: in the page that stayed open, or in a record of it.
        """
        found: set[str] = set()
        for early in self.of_kind(Inspection):
            if not early.passed and early.sheet:
                sheet = self.page_of(early)
                there = [each for page in self.pages if (page.name, page.begun) == sheet for each in page.findings]
                for record in self.of_kind(PageRecord):
                    if self.page_of(record) == sheet and self._came_after(record, early):
                        there += record.findings
                known = {self._as_found(finding) for finding in there}
                found |= {f"{early.name}#{each.id}" for each in early.findings if self._as_found(each) in known}
        return found

    def sealed_before(self) -> Mapping[str, tuple[PageRecord, ...]]:
        """By the name of a record those as which its page was sealed before it, in order: inspections not passed."""
        return self.once(OF_PAGES, self._sealed_before)

    def _sealed_before(self) -> Mapping[str, tuple[PageRecord, ...]]:
        pages: dict[tuple[str, dt.date | None], list[PageRecord]] = {}
        for record in self.of_kind(PageRecord):
            if record.sheet:
                pages.setdefault(self.page_of(record), []).append(record)
        found: dict[str, tuple[PageRecord, ...]] = {}
        for same in pages.values():
            # Of one day what was not passed comes first, whatever the names: a page that passed is a page no more.
            same.sort(key=lambda each: (each.date, not is_not_passed(each)))
            found |= {record.name: tuple(same[:place]) for place, record in enumerate(same) if place}
        return found

    def _as_found(self, finding: Finding) -> tuple[str, str, str]:
        """By what a finding of a page is known again; how long it may wait is decided anew each time."""
        return finding.id, self.id_now(finding.check or finding.panel or ""), finding.text

    def _came_after(self, later: Record, early: Record) -> bool:
        """Whether the seals show it: a clone that signs the same page knows nothing of what another one found on it."""
        sealed = self.once("seals", lambda: {each.seal.sha256: each.seal for each in self.records if each.seal})
        if later.name in self.broken or early.seal is None or later.seal is None:
            return False
        known: set[str] = set()
        left = list(later.seal.after)
        while left:
            if (seal := left.pop()) not in known:
                known.add(seal)
                left += sealed[seal].after if seal in sealed else ()
        return early.seal.sha256 in known

    def with_records(self, records: Iterable[Record], *, without: Iterable[str] = ()) -> "Logbook":
        """The logbook of these records as they were written, amendments laid over them but those left out."""
        written = tuple(sorted(map(self.as_written, records), key=in_date_order))
        book = replace(self, records=written, amended={})
        found, changed = amended(written, id_now=book.id_now, is_pending=book.is_pending, without=without)
        return replace(book, records=found, amended=changed)

    def readings(self) -> tuple["Logbook", ...]:
        """The records as amended; and while amendments wait for a signature, every other way in which they may count,
        the last one without any of them.

        Of more than `MOST_WAITING` it is all of them, none, each alone and all but each: the audit tells it.
        """
        names = [each.name for each in self.waiting()]
        if len(names) <= MOST_WAITING:
            sets = {frozenset(way) for size in range(len(names)) for way in combinations(names, size + 1)}
        else:
            sets = {frozenset(names), *(frozenset((name,)) for name in names)}
            sets |= {frozenset(names) - {name} for name in names}
        ways = sorted(sets, key=lambda way: (len(way), sorted(way)))
        return (self, *(self.with_records(self.records, without=way) for way in ways))

    def waiting(self) -> tuple[Amendment, ...]:
        """Every amendment that may come to count by a signature: those that are pending, and those that only these
        overtake.
        """
        found: dict[str, Amendment] = {}
        book = self
        while more := {each.name: each for each in book.pending()}.keys() - found.keys():
            found |= {each.name: each for each in book.pending() if each.name in more}
            book = self.with_records(self.records, without=found)
        return tuple(sorted(found.values(), key=in_date_order))

    def up_to(self, keep: Callable[[Record], bool]) -> "Logbook":
        """The logbook of the records that a test keeps; an amendment that it drops is not laid over anything, and one
        of which it drops the signature waits for that.
        """
        late = [record.name for record in self.of_kind(Amendment) if not keep(record)]
        unsigned = {record.name for record in self.of_kind(Signature) if not keep(record)}
        book = self
        if late or unsigned:
            book = self.with_records((each for each in self.records if each.name not in unsigned), without=late)
        kept = {record.name for record in book.records if keep(record)}
        return replace(book, records=tuple(each for each in book.records if each.name in kept))


def _how(record: PageRecord, reference: str) -> Cleared:
    """What a record says of a finding that it clears: beside it, else in its own words."""
    return record.cleared.get(reference) or Cleared(date=record.date, text=record.text)


def _with_files(amendment: Amendment) -> str:
    """The photographs and papers that lie beside an amendment, behind its name."""
    return f", with {', '.join(sorted(each.name for each in amendment.files))}" if amendment.files else ""


# Hours on both of two clocks by which it is seen how much slower one of them runs.
ENOUGH_TO_COMPARE = 10


def _ran_before(own: MeterHistory, other: MeterHistory) -> bool:
    """Whether another clock had run before this one, of which no total was brought forward, was read first."""
    first = own.points[0]
    if any(each.record in other.starts and each.date <= first.date and each.total > 1 for each in other.points):
        # The aircraft came with a past, and of this clock none is told.
        return True
    had, then = own.by_both(other), other.by_both(own)
    if not (other.starts or other.points[0].date < first.date) or had + 1 >= then:
        return False
    # One that nobody read until then had run too if it is as much slower as it has been since; a tenth is weather.
    last = own.points[-1]
    ran, gained = (other.by(last.date) or then) - then, last.total - had
    return ran < ENOUGH_TO_COMPARE or 10 * had * ran < 9 * gained * then
