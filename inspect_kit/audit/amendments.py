"""What an amendment replaces: that the record has it, that nothing contradicts itself, that old and new make sense."""

from collections.abc import Iterator

from inspect_kit.audit.known import CHECK, PANEL, Known, each_fault, missing_ever, unknown_meter
from inspect_kit.errors import Problem
from inspect_kit.model.amended import ADDED, LAST_FACTS, TAKEN_BACK, IdNow, fields_of, newest, too_late, why_not
from inspect_kit.model.anew import anew
from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import MOST_WAITING
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Field, Record

# The place of a finding: one of the two.
PLACES = {"check": CHECK, "panel": PANEL}


def amendments(names: Known) -> Iterator[Problem]:
    """Fields that the original does not have, ids and meters that nobody has, two amendments equally new."""
    now = names.logbook.id_now
    latest: dict[tuple[str, Field], list[tuple[Amendment, object]]] = {}
    for record in names.logbook.of_kind(Amendment):
        original = names.by_name.get(record.of)
        if original is None or original is record:
            # Who names nothing is told among the references.
            continue
        written = names.logbook.as_written(original)
        # One dated later than it was by a slip is put right by an amendment of its date.
        if record.date < (day := min(written.date, original.date)):
            told = f"date: {record.date} is before {day}, the date of what is amended ({original.place})"
            yield Problem(place_of(record, "date"), told)
        for field, value in fields_of(record).items():
            yield from _field(names, record, written, field, value)
            key = (record.of, ("place",) if field[0] in PLACES else (field[0], *map(now, field[1:])))
            latest.setdefault(key, []).append((record, (field, value)))
    for (of, field), each in latest.items():
        yield from _equally_new(of, field, each)
    yield from _following(names)


def waiting(names: Known) -> Iterator[Problem]:
    """More amendments without their signature than there can be told of which items fall due soonest with which."""
    found = names.logbook.waiting()
    if len(found) > MOST_WAITING:
        told = f"{len(found)} amendments of sealed records wait for a signature, and of more than {MOST_WAITING} not"
        told += " every combination is reckoned: an item may be due sooner than is told. Sign them, or withdraw one"
        yield Problem(found[-1].place, told)


def _following(names: Known) -> Iterator[Problem]:
    """What was reckoned from an amended reading, or has its limit off a table at one, and is not amended with it."""
    for name in names.logbook.amended:
        for each in anew(names.logbook, name):
            where = place_of(each.amendment, "instead", "reads")
            reading = each.reading
            # The writers of files, and YAML below them, are wanted by hardly any store.
            from inspect_kit.text.page_values import reading_text

            told = f"`{reading.label}: {reading_text(reading.value, reading)}`"
            told = f"what follows from these readings is not amended with them: under `{reading.check}` say also {told}"
            yield Problem(where, each.refused or told)


def _field(names: Known, record: Amendment, written: Record, field: Field, value: object) -> Iterator[Problem]:
    key, *below = field
    where = place_of(record, TAKEN_BACK, below[0]) if key == TAKEN_BACK else place_of(record, "instead", key)
    faults: list[str | None] = []
    # What was brought forward, or stands on paper, counts for inspections too.
    of_the_past = key == TAKEN_BACK and isinstance(written, BroughtForward | PaperEntry)
    if key in ("meters", "totals"):
        faults.append(unknown_meter(names, below[0]))
    elif key == ADDED or (of_the_past and below[0] in names.aircraft.inspections):
        pass
    elif key in PLACES:
        faults.append(missing_ever(names, (PLACES[key],), str(value)))
    elif key in ("last", "fitted"):
        meter = key == "last" and below[1] not in LAST_FACTS
        faults.append(unknown_meter(names, below[1]) if meter else None)
    elif below:
        faults.append(missing_ever(names, (CHECK,), below[0]))
    if faults in ([], [None]):
        faults = [why_not(written, field, value, names.logbook.id_now)]
    if faults == [None]:
        faults = [too_late(record, written, field, value)]
    if key == "reads" and faults == [None] and isinstance(written, PageRecord) and isinstance(value, Reading):
        faults = [
            _without_arithmetic(written, value, names.logbook.id_now) or _other_limit(names, record, written, value)
        ]
    if key == "next" and faults == [None] and isinstance(written, PageRecord):
        faults = [_next(names, written, names.logbook.id_now(below[0]))]
    yield from each_fault(where, faults, key)


def _next(names: Known, written: PageRecord, check: str) -> str | None:
    """Why a record cannot say when a check is due next: it says no such date, and nobody would ask it for one."""
    now = names.logbook.id_now
    if check in map(now, written.next):
        return None
    if check not in map(now, written.did):
        return f"{written.name} does not say that `{check}` was done"
    marked = names.logbook.checks[check].marked
    return None if marked else f"`{check}` does not count as marked on a part (`every: as marked`)"


def _without_arithmetic(written: PageRecord, value: Reading, now: IdNow) -> str | None:
    """A value that was reckoned is not read anywhere: what it was reckoned from is amended, and it follows."""
    for old in written.readings:
        if (now(old.check), old.label) == (now(value.check), value.label) and old.reckoned and not value.reckoned:
            return f"`{old.label}` was not read but reckoned ({old.reckoned}): amend what it was reckoned from"
    return None


def _other_limit(names: Known, record: Amendment, written: PageRecord, value: Reading) -> str | None:
    """A reading is replaced, never its limit: one off a table follows from another reading that is replaced with it."""
    now = names.logbook.id_now
    check = now(value.check)
    old = next((each for each in written.readings if (now(each.check), each.label) == (check, value.label)), None)
    if old is None or value.bound is None or value.bound == old.bound:
        return None
    noun = names.logbook.checks.get(check)
    plain = next((each.bound for each in noun.reads if value.label in each.labels), None) if noun else None
    others = [field for field in record.instead if field[0] == "reads" and now(field[1]) == check]
    if len(others) > 1 and (plain is None or plain.table or plain != old.bound):
        return None
    return f"the limit of `{old.label}` is {old.bound or 'none'}: an amendment replaces a reading, never its limit"


def _equally_new(of: str, field: Field, each: list[tuple[Amendment, object]]) -> Iterator[Problem]:
    first: dict[object, tuple[Amendment, object]] = {}
    for record, value in each:
        other = first.setdefault(newest(record), (record, value))
        if other[1] != value:
            what = f"{' '.join(field)} of {of}"
            told = f"{what} is amended otherwise in {other[0].place}, on the same day: which of the two?"
            yield Problem(place_of(record, "instead", field[0]), told)
