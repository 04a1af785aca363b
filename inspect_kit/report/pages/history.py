"""Everything done to a panel, a check or a position, and each inspection, from the first record to the last."""

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from decimal import Decimal
from itertools import groupby

from inspect_kit.due.chronicle import chronicle
from inspect_kit.errors import Place
from inspect_kit.model.checklist import Check
from inspect_kit.model.finding import DONE, Finding, Result
from inspect_kit.model.followed import followed
from inspect_kit.model.kind import ID, IDS
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.inspection import Inspection, is_not_passed
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord, box_of
from inspect_kit.model.record import FLOWN, REQUIRED, Record
from inspect_kit.noun import dataclass
from inspect_kit.report import blocks
from inspect_kit.report.blocks import QUIET, Block, Column, Paragraph, Row, table
from inspect_kit.report.naming import box_title, check_title, fix, flight_check_words, others_words, panel_name, with_id
from inspect_kit.report.pages.findings import cleared_later
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.pages.readings import as_read
from inspect_kit.report.words import counted, number

PANEL, CHECK, POSITION, INSPECTION = "panel", "check", "position", "inspection"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that a record says: on which day, at what total time in service, what, and where it stands.

    What was amended is told as amended; below it stands what it was before.

    `total` is None where nothing is known; `estimated` where the record itself has no reading.
    """

    date: dt.date
    total: Decimal | None
    estimated: bool
    what: str
    record: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryAnswer:
    """The events of one id, which is a panel, a check, a position or an inspection, in order of time."""

    id: str
    kind: str
    name: str
    events: tuple[Event, ...]


def history_of(logbook: Logbook, name: str) -> HistoryAnswer:
    """Everything on record of an id of today; records that name it by an old id count as well."""
    clock = logbook.meter_history(logbook.aircraft.time_in_service)
    if name in logbook.panels:
        kind, title = PANEL, logbook.panels[name].name
    elif name in logbook.checks:
        kind, title = CHECK, logbook.checks[name].text
    elif name in logbook.aircraft.inspections and name not in logbook.aircraft.positions:
        kind, title = INSPECTION, f"{name} inspection"
    elif name in logbook.aircraft.positions:
        kind, title = POSITION, name
    else:
        kind, title = kind_on_record(logbook, name), name

    def here(check: str) -> bool:
        return _is_here(logbook, check, kind, name)

    events: list[Event] = []
    before, moved, asking = followed(logbook).before, _moved(logbook, kind, name), set[str]()
    for record in sorted(logbook.records, key=lambda each: _order(each, before)):
        if isinstance(record, BroughtForward):
            events += _brought(logbook, record, kind, name)
        at = clock.at(record)
        said = list(_said(logbook, record, kind, name))
        if not said and isinstance(record, PaperEntry):
            # What it counted for may have been taken back.
            said = list(_said(logbook, logbook.as_written(record), kind, name))
        page = record if isinstance(record, PageRecord) and kind != INSPECTION else None
        if said and page is not None and (later := _became(logbook, page)) is not None:
            # What was ticked by then and not done anew was done by then, as `due` counts it.
            stood = [check for check, of in chronicle(logbook).not_again if of == later.name]
            said = [*_page(logbook, page, kind, name, stood)]
            said += [f"on the page of an inspection that was not passed; told on {later.date}, when it was closed"]
        said += _flight_check(logbook, record, asking, here=bool(said) and (page is None or record.name in moved))
        if record.name in moved and not _answers(record):
            asking.add(record.name)
        # Once for all that a record says here, right below it.
        said += [f"amended: {words}" for words in logbook.amendments(record.name, here)] if said else []
        for what in said:
            events.append(
                Event(
                    date=record.date,
                    total=at.total,
                    estimated=at.estimated,
                    what=what,
                    record=record.name,
                    place=record.place,
                )
            )
    # What was brought forward stands where it was done, not on the day on which somebody wrote it down.
    events += _withdrawn(logbook, kind, name)
    return HistoryAnswer(id=name, kind=kind, name=title, events=tuple(sorted(events, key=lambda event: event.date)))


def kind_on_record(logbook: Logbook, name: str) -> str:
    """Of what an id is that records name and of which nothing is left in the checklists; "" where none names it."""
    for record in logbook.records:
        if isinstance(record, BroughtForward | PaperEntry | PageRecord):
            results = record.results if isinstance(record, PageRecord) else ()
            done = record.last if isinstance(record, BroughtForward) else record.did
            if name in done or any(each.check == name for each in results):
                return CHECK
            if isinstance(record, PageRecord) and name in record.opened:
                return PANEL
    return ""


def _became(logbook: Logbook, record: PageRecord) -> PageRecord | None:
    """What the page of an inspection that was not passed became later; None for any other."""
    if not is_not_passed(record):
        return None
    before = logbook.sealed_before()
    later = (each for each in logbook.of_kind(PageRecord) if record in before.get(each.name, ()))
    return next((each for each in later if not is_not_passed(each)), None)


def _moved(logbook: Logbook, kind: str, name: str) -> set[str]:
    """The records that disturbed or changed here what wants a flight check."""
    done, found = chronicle(logbook), set[str]()
    for thing in logbook.flight_check_after:
        moments = [*done.installed.get(thing, ())] if thing == name else []
        for each in done.disturbed.get(thing, ()):
            if thing == name or (each.by and (each.by == name or _is_here(logbook, each.by, kind, name))):
                moments.append(each.moment)
        found |= {moment.record for moment in moments}
    return found


def _answers(record: Record) -> bool:
    """Whether a record says that it was flown, or why it need not be."""
    return record.flight_check is not None and record.flight_check.word != REQUIRED


def _flight_check(logbook: Logbook, record: Record, asking: set[str], *, here: bool) -> Iterator[str]:
    """What a record says of the flight check, where it is one of these or answers for one that is `asking`."""
    check = record.flight_check
    if check is None:
        return
    answered = ({*asking} & {*check.of} if check.of else {*asking}) if _answers(record) else set()
    if here or answered:
        yield f"flight check {flight_check_words(logbook.aircraft, check)}"
    if check.word == FLOWN and not check.failed:
        asking -= answered


def _withdrawn(logbook: Logbook, kind: str, name: str) -> Iterator[Event]:
    """What entries said that were withdrawn since: told, and counted nowhere."""
    for each in logbook.withdrawn:
        if said := "; ".join(_said(logbook, each.record, kind, name)):
            yield Event(
                date=each.record.date,
                total=None,
                estimated=False,
                what=f"{each}; it said: {said}",
                record=each.record.name,
                place=each.place,
            )


def _order(record: Record, before: Mapping[str, Collection[str]]) -> tuple[dt.date, int, int]:
    """On one day what says that it came after something comes after it; else a part comes out before the next one goes
    in, and before what is done to it.
    """
    sort = 0 if isinstance(record, Removed) else 1 if isinstance(record, Installed) else 2
    return record.date, len(before.get(record.name, ())), sort


def _said(logbook: Logbook, record: Record, kind: str, name: str) -> Iterator[str]:
    if kind == INSPECTION and isinstance(record, Inspection) and record.inspection == name:
        yield _inspected(logbook, record)
    elif isinstance(record, PageRecord):
        yield from _page(logbook, record, kind, name)
    if isinstance(record, FindingRecord) and _concerns(logbook, record.finding, kind, name):
        yield _finding(record.name, record.finding, logbook)
    if isinstance(record, Installed | Removed):
        if logbook.id_now(record.position) == name:
            yield fitted_words(record)
    elif not isinstance(record, PageRecord) and _names(logbook, record, name):
        yield kind_of(record).summary(record)


def _inspected(logbook: Logbook, record: Inspection) -> str:
    """That an inspection was passed or not, by whom, and how that was signed."""
    by = f" by {record.by.name}" if record.by else ""
    signed = [logbook.verdict(each).words for each in logbook.signatures(record.name)] or [f"sealed{by}, not signed"]
    told = [f"{'passed' if record.passed else 'not passed'}, {' and '.join(signed)}"]
    told += [counted(len(record.findings), "finding")] if record.findings else []
    told += [f"on a page begun {record.begun}"] if record.begun not in (None, record.date) else []
    return "; ".join(told)


def _brought(logbook: Logbook, record: BroughtForward, kind: str, name: str) -> Iterator[Event]:
    """What was brought forward, each on its own date, with what was amended of it; without a date on the day on which
    it was written down.
    """
    clock, written = logbook.aircraft.time_in_service, logbook.as_written(record)

    def amended(date: dt.date, own: str) -> Iterator[Event]:
        for words in logbook.amendments(record.name, lambda check: check == own, own=(own,)):
            yield Event(
                date=date,
                total=None,
                estimated=False,
                what=f"amended: {words}",
                record=record.name,
                place=record.place,
            )

    # What was taken back is told as it was.
    for old, last in {**(written.last if isinstance(written, BroughtForward) else {}), **record.last}.items():
        check = logbook.id_now(old)
        if not _is_here(logbook, check, kind, name):
            continue
        lead = "" if kind in (CHECK, INSPECTION) else f"{with_id(logbook, check)}: "
        totals = [f"{meter} {number(total)}" for meter, total in last.totals.items() if meter != clock]
        when = "" if last.date else "on a date that is not on record"
        words = "; ".join(word for word in (when, *totals, last.paper) if word)
        if last.good_until is not None:
            carries = f"brought forward: {lead}good until {last.good_until}, as marked on the part"
            yield Event(
                date=record.date, total=None, estimated=False, what=carries, record=record.name, place=record.place
            )
        if not last.done:
            yield from amended(record.date, check)
            continue
        yield Event(
            date=last.date or record.date,
            total=last.totals.get(clock),
            estimated=False,
            what=f"brought forward: {lead}last done{f' {words}' if when else f'; {words}' if words else ''}",
            record=record.name,
            place=record.place,
        )
        yield from amended(last.date or record.date, check)
    for part in record.fitted if kind == POSITION else ():
        if logbook.id_now(part.position) != name:
            continue
        since = f"first fitted {part.fitted_on}" if part.fitted_on else "first fitting not on record"
        yield Event(
            date=record.date,
            total=record.reads[clock].total if clock in record.reads else None,
            estimated=False,
            what=f"brought forward: fitted already, {since}; {part_words(part)}",
            record=record.name,
            place=part.place,
        )
        yield from amended(record.date, name)


def _names(logbook: Logbook, record: Record, name: str) -> bool:
    """Whether a record names the id, or a record of what went in or came out there."""
    kind, named = kind_of(record), list[str]()
    for key in () if kind.of_a_record else kind.keys:
        if key.holds in (ID, IDS):
            named += _now(logbook, key.names(record)) if key.refers else []
            continue
        fittings = (logbook.record(each) for each in key.names(record))
        named += [logbook.id_now(each.position) for each in fittings if isinstance(each, Installed | Removed)]
    return name in named


def _page(
    logbook: Logbook, record: PageRecord, kind: str, name: str, alone: Collection[str] | None = None
) -> Iterator[str]:
    """What a page says of the id; of one that was signed again later the checks `alone` that stood on it by then."""
    by = f", by {record.by.name}" if record.by else ""
    # Each box was ticked on one of the days of its page, and no record says on which: the first line tells both ends.
    days = f", on a page begun {record.begun}" if record.begun not in (None, record.date) else ""
    if alone is None and kind == PANEL and name in _now(logbook, record.opened):
        yield f"opened{by}{days}"
        days = ""
    if alone is None and name in _now(logbook, record.disturbed):
        yield f"disturbed{by}"
    done = [each for each in record.did if _is_here(logbook, logbook.id_now(each), kind, name)]
    told = {logbook.id_now(result.check): result for result in record.results}
    here = dict.fromkeys([*_now(logbook, done), *(check for check in told if _is_here(logbook, check, kind, name))])
    # What was done is one line; the words of the record are a second one only where they are about several checks.
    words = record.text if done and not _only_names_checks(logbook, record) else ""
    before = logbook.sealed_before().get(record.name, ())
    for each in here if alone is None else [each for each in here if each in alone]:
        result = told.get(each)
        lead = "" if kind == CHECK else f"{with_id(logbook, each)}: "
        if (each, record.name) in chronicle(logbook).not_again:
            yield f"{lead}not done again, as it stood on the page when that was signed on {before[-1].date}"
            continue
        if result is not None and result.answer != DONE:
            yield f"{lead}{result.answer}: {result.reason}"
            continue
        extra = [
            f"{reading.label}: {as_read(reading)}"
            for reading in record.readings
            if logbook.id_now(reading.check) == each
        ]
        extra += [note for note in result.notes if note != words] if result is not None else []
        if result is not None and result.recheck:
            extra.append(f"look again in {' or '.join(map(str, result.recheck))}")
        extra += [words] if words and len(here) == 1 else []
        title = check_title(logbook, each) if kind == CHECK else with_id(logbook, each)
        who = f", by {result.by}" if result is not None and result.by else by
        if result is not None and (away := others_words(logbook, result)):
            who = f", by {away} ({result.paper})"
        yield f"done: {title}{who}{days}{'; ' + '; '.join(extra) if extra else ''}"
        days = ""
    if alone is not None:
        return
    if words and len(here) > 1:
        yield words
    for box in record.boxes:
        if _is_box_of(logbook, box.check, kind, name) and (said := "; ".join(_boxed(box))):
            yield f"{box_title(logbook, box.check)}: {said}"
    for finding in record.findings:
        if _concerns(logbook, finding, kind, name):
            yield _finding(record.name, finding, logbook)


def _is_box_of(logbook: Logbook, box: str, kind: str, name: str) -> bool:
    """Whether a box, by the name that a record gives it, is one of the id: its own, or of a finding there."""
    verb, own = box_of(box)
    if "#" in own:
        finding = logbook.findings().get(own)
        return finding is not None and _concerns(logbook, finding, kind, name)
    return logbook.id_now(own) == name if verb else _is_here(logbook, logbook.id_now(own), kind, name)


def _boxed(box: Result) -> Iterator[str]:
    """What was said under a box."""
    if box.answer != DONE:
        yield f"{box.answer}: {box.reason}"
    yield from box.notes
    if box.by:
        yield f"by {box.by}"
    if box.second_look:
        yield f"second look by {box.second_look}"


def _only_names_checks(logbook: Logbook, record: PageRecord) -> bool:
    """Whether the text of a record is what `work` writes where nobody said more: the words of its checks."""
    checks = [logbook.checks.get(name) for name in _now(logbook, record.did)]
    return record.text == "; ".join(check.text for check in checks if check is not None)


def _now(logbook: Logbook, names: "tuple[str, ...] | list[str]") -> list[str]:
    return [logbook.id_now(each) for each in names]


def _is_here(logbook: Logbook, check: str, kind: str, name: str) -> bool:
    """Whether a check is the one asked for, stands at the panel, or counts on the position."""
    known: Check | None = logbook.checks.get(check)
    if kind == CHECK or known is None:
        return check == name
    return known.panel == name if kind == PANEL else known.counts_on == name


def _concerns(logbook: Logbook, finding: Finding, kind: str, name: str) -> bool:
    check = logbook.id_now(finding.check) if finding.check else None
    if kind == PANEL and finding.panel is not None and logbook.id_now(finding.panel) == name:
        return True
    return check is not None and _is_here(logbook, check, kind, name)


def _finding(record: str, finding: Finding, logbook: Logbook) -> str:
    reference = f"{record}#{finding.id}"
    if finding.cleared is not None:
        state = f"corrected {finding.cleared.date}: {finding.cleared.text}"
    elif (later := cleared_later(logbook).get(reference)) is not None:
        record_of, cleared = later
        state = f"{'put off again' if cleared and cleared.put_off else 'corrected'} by {record_of.name}"
    elif reference not in logbook.standing():
        state = "open then, and carried on with its page"
    else:
        state = f"open, {fix(logbook, finding)}"
    return f"found {finding.id}: {finding.text} ({state})"


def fitted_words(record: Installed | Removed) -> str:
    """What went in or came out, with its own times."""
    if isinstance(record, Removed):
        rest = [record.reason, f"now: {record.where}" if record.where else ""]
        return "; ".join(["removed " + part_words(record), *(word for word in rest if word)])
    return "installed " + part_words(record)


def part_words(record: Installed | Removed) -> str:
    """A part with its own times and ages."""
    part = f"{record.part}, serial {record.serial}" if record.part else f"serial {record.serial}"
    if isinstance(record, Removed):
        return part
    times = []
    if record.since_new is not None:
        times.append(f"{number(record.since_new)} h since new")
    if record.since_overhaul is not None:
        times.append(f"{number(record.since_overhaul)} h since overhaul")
    times += [f"made {record.made}"] if record.made else []
    times += [f"overhauled {record.overhauled}"] if record.overhauled else []
    return "; ".join([part, *times])


def history_page(answer: HistoryAnswer, logbook: Logbook) -> blocks.Page:
    """The events as a table, the newest record first; what one record says stays in its order."""
    columns = (
        Column(name="date"),
        Column(name="total h", right=True),
        Column(name="what", wide=True),
        Column(name="record", rank=1),
    )
    said = [list(events) for _, events in groupby(answer.events, key=lambda event: event.record)]
    # Of what one record says its name stands beside the last line.
    newest = [(event, event is events[-1]) for events in reversed(said) for event in events]
    rows = [
        Row(cells=(str(event.date), history_total(event), event.what, event.record if last else ""))
        for event, last in newest
    ]
    name = panel_name(logbook, answer.id) if answer.kind == PANEL else answer.name
    count = f"{counted(len(rows), 'entry', 'entries')}, the newest first" if rows else "Nothing on record"
    made: list[Block] = [
        *incomplete(logbook.problems),
        Paragraph(text=f"{answer.kind.capitalize()}: {name}. {count}."),
    ]
    made += [table(columns, rows)] if rows else []
    if any(history_total(event).startswith("~") for event, _ in newest):
        made.append(Paragraph(text="~ total estimated: the record has no reading of its own.", tone=QUIET))
    made += problem_blocks(logbook.problems)
    title = f"History of {answer.id}, {logbook.aircraft.identity.registration}"
    return blocks.Page(title=title, blocks=tuple(made), foot=title)


def history_total(event: Event) -> str:
    """The total time in service; `~` before one that is estimated."""
    if event.total is None:
        return ""
    return f"~{number(event.total)}" if event.estimated else number(event.total)
