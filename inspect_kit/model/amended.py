"""What an amendment may replace in a record of each kind, and what records say then: amendments laid over them.

An original never changes: it stays under `Amended.original`, and whatever asks what happened reads the record as
amended. Of several amendments of one field the newest by `date`, then by `entered`, counts. An amendment of a sealed
record counts fully once it is signed; until then it is pending, and both readings of the records are kept.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from inspect_kit.model.checklist import Bound
from inspect_kit.model.finding import DONE, NOT_DONE, Reading
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward, LastDone, ReadsTotal
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.hours import Hours, filled_up
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Field, Record
from inspect_kit.noun import dataclass

# A tick taken back is a field like any other; the others are keys of the record.
TAKEN_BACK = "not-done"
# What was filled up, by what it was.
ADDED = "added"
# What was done on a day was not begun after it: an amended date takes the day along on which a page was begun.
BEGUN: Field = ("begun",)

IdNow = Callable[[str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class AmendedField:
    """One field of a record as it was written and as an amendment says it; `pending` until that is signed."""

    field: Field
    old: object | None
    new: object
    amendment: Amendment
    pending: bool

    def __str__(self) -> str:
        """`tach 59.9 instead of 95.9`, as it stands beside what was written."""
        kind, *names = self.field
        if kind == TAKEN_BACK:
            return f"{names[0]} was not done"
        whole = {"meters": names[0:1], "next": ["next", *names], "reads": [*reversed(names)]}
        whole |= {"totals": ["total", *names], ADDED: [ADDED, *names]}
        name = {**whole, "last": names, "fitted": names}.get(kind, [kind])
        told = " of ".join(name) if kind == "reads" else " ".join(name)
        if kind == "text":
            return f"{told}: {self.new}"
        limit = self._limit()
        beyond = f", out of its limit, {limit}" if limit and self._goes_out() else ""
        if limit and not beyond and isinstance(self.old, Reading) and limit != self.old.bound:
            beyond = f", the limit {limit} instead of {self.old.bound}"
        new = self.new
        if isinstance(new, Reading) and isinstance(self.old, Reading):
            new = replace(new, measure=self.old.measure)
        old = "nothing" if self.old is None else value_words(self.old)
        return f"{told} {value_words(new)} instead of {old}{beyond}"

    def _limit(self) -> Bound | None:
        """The limit of an amended reading: the one that stands beside it, else beside the old one."""
        if not (isinstance(self.old, Reading) and isinstance(self.new, Reading)):
            return None
        return self.new.bound or self.old.bound

    def _goes_out(self) -> bool:
        """Whether a reading is out of its limit, as it is amended."""
        if not (isinstance(self.old, Reading) and isinstance(self.new, Reading)):
            return False
        return replace(self.old, value=self.new.value, again=self.new.again, bound=self._limit()).out_of_limits

    @property
    def source(self) -> str:
        """The amendment by its name, and whether it still wants a signature."""
        return f"{self.amendment.name}{', not signed yet' if self.pending else ''}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Amended:
    """A record as it was written, and what amendments replace in it, in the order of their fields."""

    original: Record
    changes: tuple[AmendedField, ...]

    def words(
        self, touches: Callable[[str], bool] | None = None, own: Callable[[str], bool] | None = None
    ) -> tuple[str, ...]:
        """Each change with its amendment: what stands beside the old wherever the record is quoted.

        With `touches` those of one check only where it says that this check is quoted; with `own` what was brought
        forward of one item or position only where that is its own.
        """
        asked = {**dict.fromkeys(OF_A_CHECK, touches), **dict.fromkeys(OF_ITS_OWN, own)}
        return tuple(
            f"{change} ({change.source})"
            for change in self.changes
            if (is_meant := asked.get(change.field[0])) is None or is_meant(change.field[1])
        )

    def taken_back(self) -> tuple[str, ...]:
        """The checks whose ticks were taken back, as the amendments name them."""
        return tuple(change.field[1] for change in self.changes if change.field[0] == TAKEN_BACK)


# What an amendment replaces of one check, which is named behind it.
OF_A_CHECK = ("reads", "next", TAKEN_BACK)
# And what it replaces of one item or position in what was brought forward.
OF_ITS_OWN = ("last", "fitted")


def fields_of(amendment: Amendment) -> dict[Field, object]:
    """Everything that an amendment replaces, by field."""
    return {**amendment.instead, **{(TAKEN_BACK, check): NOT_DONE for check in amendment.not_done}}


def newest(amendment: Amendment) -> tuple[dt.date, dt.date]:
    """What decides between two amendments of one field: the date, then the day on which it was entered."""
    return amendment.date, amendment.entered or amendment.date


def amended(
    records: Iterable[Record],
    *,
    id_now: IdNow,
    is_pending: Callable[[Amendment, Record], bool],
    without: Iterable[str] = (),
) -> tuple[tuple[Record, ...], dict[str, Amended]]:
    """The records, by date, with every amendment laid over what it names; and what was changed, by record.

    `without` names amendments that are left out. What an amendment names and the record does not have is left alone
    here: the audit tells it.
    """
    records, left_out = tuple(records), set(without)
    by_original: dict[str, list[Amendment]] = {}
    for each in records:
        if isinstance(each, Amendment) and each.name not in left_out:
            by_original.setdefault(each.of, []).append(each)
    changed: dict[str, Amended] = {}
    if not by_original:
        return records, changed
    found: list[Record] = []
    for record in records:
        own = by_original.get(record.name)
        if own and (changes := _changes(record, own, id_now, is_pending)):
            changed[record.name] = Amended(original=record, changes=changes)
            for change in changes:
                way = _plain("begun") if change.field == BEGUN else _ways(record)[change.field[0]]
                record = way.put(record, change.field[1:], change.new, id_now)
        found.append(record)
    # What was changed may be of another day.
    return tuple(sorted(found, key=in_date_order)) if changed else records, changed


def in_date_order(record: Record) -> tuple[Any, ...]:
    """Records by date, then by name; of two of one name, which is a problem, by place."""
    return record.date, record.name, record.place


def _changes(
    record: Record,
    amendments: Iterable[Amendment],
    id_now: IdNow,
    is_pending: Callable[[Amendment, Record], bool],
) -> tuple[AmendedField, ...]:
    latest: dict[Field, AmendedField] = {}
    for amendment in sorted(amendments, key=lambda each: (newest(each), each.name)):
        for field, new in fields_of(amendment).items():
            if why_not(record, field, new, id_now) is None and too_late(amendment, record, field, new) is None:
                old = _ways(record)[field[0]].get(record, field[1:], id_now)
                key = (field[0], *map(id_now, field[1:]))
                latest[key] = AmendedField(
                    field=field, old=old, new=new, amendment=amendment, pending=is_pending(amendment, record)
                )
    day = latest.get(("date",))
    if day is not None and isinstance(record, PageRecord) and record.begun is not None:
        new = day.new
        if isinstance(new, dt.date) and new < record.begun:
            latest[BEGUN] = replace(day, field=BEGUN, old=record.begun)
    return tuple(latest.values())


def why_not(record: Record, field: Field, value: object, id_now: IdNow) -> str | None:
    """Why an amendment cannot replace that field of a record; None if it can."""
    ways = _ways(record)
    if field[0] not in ways:
        known = ", ".join(f"`{name}`" for name in ways)
        return f"`{field[0]}` of such a record cannot be replaced" + (f"; what can: {known}" if ways else "")
    if field[0] == "totals" and ways["totals"].get(record, field[1:], id_now) is None:
        return f"{record.name} does not say the total of {field[1]}"
    if field[0] in ("reads", TAKEN_BACK) and ways[field[0]].get(record, field[1:], id_now) is None:
        said = f"the reading {field[2]} of `{field[1]}`" if field[0] == "reads" else f"that `{field[1]}` was done"
        return f"{record.name} does not say {said}"
    if field[0] == ADDED and ways[ADDED].get(record, field[1:], id_now) is None:
        return f"{record.name} does not say that `{field[1]}` was added"
    if field[0] == ADDED:
        fault = f"`{str(value)[:40]}` is no amount with its measure, such as `1.5 qt`"
        return fault if filled_up(str(value)) is None else None
    if isinstance(record, BroughtForward) and field[0] in ("last", "fitted"):
        return _no_such_past(record, field, id_now)
    if field[0] == "reads" and isinstance(value, Reading):
        old = ways["reads"].get(record, field[1:], id_now)
        return _no_such_reading(old, value) if isinstance(old, Reading) else None
    if isinstance(record, FindingRecord) and field[0] in ("check", "panel"):
        place = record.finding.check or record.finding.panel
        return f"{record.name} says the place of its finding: `{place}`" if place else None
    return _no_such_meter(record, field[1], value) if field[0] == "meters" else None


def _no_such_meter(record: Record, meter: str, value: object) -> str | None:
    """Why a record says nothing of that kind of a meter: where the past begins both, else what it reads; a page states
    a total too.
    """
    if isinstance(record, MeterChange) and meter == record.meter:
        return f"`old` and `new` say what {meter} read"
    if isinstance(record, BroughtForward):
        told = f"{record.name} says of a meter what it reads and its total: `{{{meter}: {{reads: , total: }}}}`"
        return None if isinstance(value, ReadsTotal) else told
    if isinstance(record, PaperEntry) and meter in record.totals:
        return f"{record.name} says the total of {meter}, not what it read: `totals: {{{meter}: }}`"
    if isinstance(value, ReadsTotal) and not isinstance(record, PageRecord):
        return f"{record.name} says of a meter only what it reads: `{{{meter}: {value.reads}}}`"
    return None


def too_late(amendment: Amendment, written: Record, field: Field, value: object) -> str | None:
    """Why something cannot have been done on that day: it was written down before, by its record or by the amendment.

    Moved to a later day by a slip, all that counts from it is due later.
    """
    if field[0] != "date" or not isinstance(value, dt.date):
        return None
    if value > amendment.date:
        return f"{value} is after {amendment.date}, when it was amended"
    if written.entered is not None and value > written.entered:
        return f"{value} is after {written.entered}, when {written.name} was entered"
    return None


def replaceable(record: Record) -> tuple[str, ...]:
    """What may be replaced in a record, as `amend` is told it."""
    said = {"totals": "totals.METER=TOTAL"}
    said |= {"meters": "METER=READING", "next": "next.CHECK=DATE", "reads": '"reads.CHECK.LABEL=VALUE"'}
    said |= {"last": "last.CHECK.date=DATE", "fitted": "fitted.POSITION.serial=..."}
    said |= {TAKEN_BACK: "--not-done CHECK", ADDED: '"added.WHAT=AMOUNT"'}
    said |= dict.fromkeys(ORDER, "--follows RECORD")
    return tuple(dict.fromkeys(said.get(key, f"{key}=...") for key in _ways(record)))


def _no_such_past(record: BroughtForward, field: Field, id_now: IdNow) -> str | None:
    """Why a fact of what was brought forward cannot be replaced: of this check or position nothing was."""
    kind, name, fact = field
    known = record.last if kind == "last" else [part.position for part in record.fitted]
    if id_now(name) not in map(id_now, known):
        told = f"when `{name}` was last done" if kind == "last" else f"what is fitted in `{name}`"
        return f"{record.name} does not say {told}: write that down as an entry of its own"
    if kind == "fitted" and fact not in PART_KEYS:
        return f"of a part `{fact}` cannot be replaced; what can: {', '.join(PART_KEYS)}"
    return None


def _no_such_reading(old: Reading, new: Reading) -> str | None:
    """Why a reading cannot stand in the place of another: in another measure, or no number where one was read."""
    if old.measure == "words":
        return None if new.value else f"`{old.label}` has no words"
    if new.number is None or not new.value:
        return f"`{old.label}` is a number{f' of {old.measure}' if old.measure else ''}, not `{new.last[:40]}`"
    if new.measure and new.measure.split() != old.measure.split():
        return f"`{old.label}` was read in {old.measure or 'no measure'}, not in `{new.measure[:40]}`"
    return None


@dataclass(frozen=True, slots=True)
class _Way:
    """How one field of a record is read and replaced; `names` are what stands behind the key of the field."""

    get: Callable[[Any, Field, IdNow], object | None]
    put: Callable[[Any, Field, Any, IdNow], Record]


def _ways(record: Record) -> dict[str, _Way]:
    """What may be replaced in a record of this kind. Never a statement, a result, a finding or a signature.

    The place of a finding that was written down without one may be given.
    """
    if isinstance(record, Signature | Amendment):
        return {}
    ways = {name: _plain(name) for name in ("date", "text", *ORDER)}
    if isinstance(record, MeterChange):
        ways |= {"old": _plain("old"), "new": _plain("new"), "unrecorded": _plain("unrecorded")}
    if isinstance(record, Installed | Removed):
        own = {key.name: key.attribute for key in kind_of(record).keys}
        ways |= {key: _plain(own[key]) for key in PART_KEYS if key in own}
    if isinstance(record, FindingRecord):
        places = {"check": _Way(_get_place, _put_check), "panel": _Way(_get_place, _put_panel)}
        return ways | {"meters": _Way(_get_meter, _put_meter)} | places
    if isinstance(record, PageRecord):
        ways |= {"next": _Way(_get_next, _put_next), "reads": _Way(_get_reading, _put_reading)}
        ways[TAKEN_BACK] = _Way(_get_done, _take_back)
    if isinstance(record, Hours):
        ways[ADDED] = _Way(_get_added, _put_added)
    if isinstance(record, PaperEntry):
        ways[TAKEN_BACK] = _Way(_get_on_paper, _take_back_on_paper)
        ways["totals"] = _Way(_get_total, _put_total)
    if isinstance(record, BroughtForward):
        ways[TAKEN_BACK] = _Way(_get_last, _take_back_last)
        ways |= {"last": _Way(_get_past, _put_past), "fitted": _Way(_get_part, _put_part)}
    return ways | {"meters": _Way(_get_meter, _put_meter)}


# Which records of its day it came after, and before.
ORDER = ("follows", "precedes")
# Of a `last` that was brought forward; what is none of these is a meter.
LAST_FACTS = {"date": "date", "good-until": "good_until", "paper": "paper"}
PART_KEYS = ("serial", "part", "made", "fitted-on", "overhauled", "since-new", "since-overhaul")


def _plain(name: str) -> _Way:
    def put(record: Record, names: Field, value: Any, id_now: IdNow) -> Record:
        return replace(record, **{name: value})

    return _Way(lambda record, names, id_now: _said(getattr(record, name)), put)


def _get_meter(record: Record, names: Field, id_now: IdNow) -> object | None:
    reads: Mapping[str, object] = record.reads if isinstance(record, BroughtForward) else record.meters
    return reads.get(names[0])


def _put_meter(record: Record, names: Field, value: Decimal | ReadsTotal, id_now: IdNow) -> Record:
    (meter,) = names
    if isinstance(record, BroughtForward):
        assert isinstance(value, ReadsTotal)
        return replace(record, reads={**record.reads, meter: value})
    if isinstance(value, ReadsTotal):
        assert isinstance(record, PageRecord)
        record, value = replace(record, totals={**record.totals, meter: value.total}), value.reads
    elif isinstance(record, PageRecord):
        totals = dict(record.totals)
        old, total = record.meters.get(meter), totals.pop(meter, None)
        if old is not None and total is not None:
            # What the meter of that day lacked stays the same, whatever it read.
            totals[meter] = value + (total - old)
        record = replace(record, totals=totals)
    return replace(record, meters={**record.meters, meter: value})


def _get_added(record: Hours, names: Field, id_now: IdNow) -> object | None:
    return record.added.get(names[0])


def _put_added(record: Hours, names: Field, value: str, id_now: IdNow) -> Record:
    return replace(record, added={**record.added, names[0]: value})


def _get_place(record: FindingRecord, names: Field, id_now: IdNow) -> object | None:
    return record.finding.check or record.finding.panel


def _put_check(record: FindingRecord, names: Field, value: str, id_now: IdNow) -> Record:
    return replace(record, finding=replace(record.finding, check=value, panel=None))


def _put_panel(record: FindingRecord, names: Field, value: str, id_now: IdNow) -> Record:
    return replace(record, finding=replace(record.finding, check=None, panel=value))


def _get_next(record: PageRecord, names: Field, id_now: IdNow) -> object | None:
    check = id_now(names[0])
    dates = {id_now(result.check): result.good_until for result in record.results if result.good_until}
    return {**dates, **{id_now(name): date for name, date in record.next.items()}}.get(check)


def _put_next(record: PageRecord, names: Field, value: dt.date | None, id_now: IdNow) -> Record:
    check = id_now(names[0])
    kept = {name: date for name, date in record.next.items() if id_now(name) != check}
    results = tuple(
        replace(result, good_until=value) if result.good_until and id_now(result.check) == check else result
        for result in record.results
    )
    return replace(record, next={**kept, names[0]: value} if value else kept, results=results)


def _get_reading(record: PageRecord, names: Field, id_now: IdNow) -> object | None:
    check, label = id_now(names[0]), names[1]
    return next((each for each in record.readings if id_now(each.check) == check and each.label == label), None)


def _put_reading(record: PageRecord, names: Field, value: Reading, id_now: IdNow) -> Record:
    old = _get_reading(record, names, id_now)
    assert isinstance(old, Reading)
    # A limit off a table, and the arithmetic of what was reckoned, go with the value; a plain limit stays.
    new = replace(
        old,
        value=value.value,
        bound=value.bound or old.bound,
        again=value.again,
        reckoned=value.reckoned,
    )
    return replace(record, readings=tuple(new if each is old else each for each in record.readings))


def _get_done(record: PageRecord, names: Field, id_now: IdNow) -> object | None:
    check = id_now(names[0])
    answers = {id_now(result.check): result.answer for result in record.results}
    named = check in map(id_now, record.did)
    return DONE if answers.get(check, DONE if named else "") == DONE else None


def _take_back(record: PageRecord, names: Field, value: str, id_now: IdNow) -> Record:
    """The check was not done after all: its readings were not taken either, nor the date read that its part carries."""
    check = id_now(names[0])
    results = tuple(
        replace(result, answer=NOT_DONE, reason="taken back by an amendment")
        if id_now(result.check) == check
        else result
        for result in record.results
    )
    did = tuple(name for name in record.did if id_now(name) != check)
    readings = tuple(each for each in record.readings if id_now(each.check) != check)
    taken = replace(record, results=results, did=did, readings=readings)
    return _put_next(taken, names, None, id_now)


def _get_last(record: BroughtForward, names: Field, id_now: IdNow) -> object | None:
    return DONE if id_now(names[0]) in map(id_now, record.last) else None


def _take_back_last(record: BroughtForward, names: Field, value: str, id_now: IdNow) -> Record:
    """What was brought forward of a check is wrong: it is known no more, until an entry says how it was."""
    kept = {name: last for name, last in record.last.items() if id_now(name) != id_now(names[0])}
    return replace(record, last=kept)


def _get_on_paper(record: PaperEntry, names: Field, id_now: IdNow) -> object | None:
    return DONE if id_now(names[0]) in map(id_now, (*record.did, *record.last)) else None


def _take_back_on_paper(record: PaperEntry, names: Field, value: str, id_now: IdNow) -> Record:
    """The entry counts for that check, or that inspection, no more; what it says stays."""
    kept = [tuple(each for each in found if id_now(each) != id_now(names[0])) for found in (record.did, record.last)]
    return replace(record, did=kept[0], last=kept[1])


def _get_total(record: PaperEntry, names: Field, id_now: IdNow) -> object | None:
    return record.totals.get(names[0])


def _put_total(record: PaperEntry, names: Field, value: Decimal, id_now: IdNow) -> Record:
    return replace(record, totals={**record.totals, names[0]: value})


def _get_past(record: BroughtForward, names: Field, id_now: IdNow) -> object | None:
    last = next((each for name, each in record.last.items() if id_now(name) == id_now(names[0])), None)
    if last is None or names[1] not in LAST_FACTS:
        return last and last.totals.get(names[1])
    return _said(getattr(last, LAST_FACTS[names[1]]))


def _put_past(record: BroughtForward, names: Field, value: Any, id_now: IdNow) -> Record:
    fact = names[1]

    def changed(last: LastDone) -> LastDone:
        if fact in LAST_FACTS:
            return replace(last, **{LAST_FACTS[fact]: value})
        return replace(last, totals={**last.totals, fact: value})

    last = {
        name: changed(each) if id_now(name) == id_now(names[0]) else each for name, each in record.last.items()
    }
    return replace(record, last=last)


def _get_part(record: BroughtForward, names: Field, id_now: IdNow) -> object | None:
    part = next((each for each in record.fitted if id_now(each.position) == id_now(names[0])), None)
    return part and _said(getattr(part, names[1].replace("-", "_")))


def _put_part(record: BroughtForward, names: Field, value: Any, id_now: IdNow) -> Record:
    attribute = names[1].replace("-", "_")
    fitted = tuple(
        replace(each, **{attribute: value}) if id_now(each.position) == id_now(names[0]) else each
        for each in record.fitted
    )
    return replace(record, fitted=fitted)


def _said(value: object) -> object:
    """A value that a record has; None where it says nothing. A 0 says that there were none."""
    return value if value or isinstance(value, Decimal) else None


def value_words(value: object) -> str:
    """A value of a record in words."""
    if isinstance(value, Reading):
        told = " ".join(word for word in (value.last, "" if value.again else value.measure) if word != "words").strip()
        return f"{told} ({value.reckoned})" if value.reckoned else told
    if isinstance(value, ReadsTotal):
        return f"{value.reads:f} (total {value.total:f})"
    if isinstance(value, tuple):
        return ", ".join(map(value_words, value))
    return format(value, "f") if isinstance(value, Decimal) else str(value)
