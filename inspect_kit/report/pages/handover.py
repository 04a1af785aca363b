"""What goes with the aircraft when it is sold, in plain language, and an inspector's copy of what was done lately.

Sources: 14 CFR 91.417(a)(2)(i) to (vi), what is kept for good and passed on; 91.419, the seller transfers it and the
records of 91.417(a)(1). Costs and forecasts are left out: neither is a record.
"""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import replace
from decimal import Decimal
from itertools import groupby

from inspect_kit.due.answer import INSPECTION, DueAnswer
from inspect_kit.due.chronicle import chronicle
from inspect_kit.due.fitting import all_fittings, present
from inspect_kit.model.interval import FROM_OVERHAUL, HOURS
from inspect_kit.model.kinds import kind_of
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.change import MAJOR, Change
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.paper_entry import PaperEntry
from inspect_kit.model.kinds.phase import Phase
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.blocks import (
    QUIET,
    WARN,
    Block,
    Column,
    Heading,
    Listing,
    Paragraph,
    Row,
    Table,
    table,
)
from inspect_kit.report.blocks import Page as Sheet
from inspect_kit.report.cells import kind_words, record_words
from inspect_kit.report.naming import identity_words
from inspect_kit.report.pages.due import COLUMNS as DUE_COLUMNS
from inspect_kit.report.pages.due import item_row, left_words, reading_words, state_words
from inspect_kit.report.pages.findings import standing_table
from inspect_kit.report.pages.inspection import CAUTIONED, caution_blocks, closing, foot_of
from inspect_kit.report.pages.phases import passenger_lines, phase_blocks
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.pages.reasons import reasons
from inspect_kit.report.pages.record import report_page
from inspect_kit.report.pages.status import (
    aircraft_table,
    directive_blocks,
    life_items,
    parts_blocks,
    setting_blocks,
    totals_table,
    weight_blocks,
)
from inspect_kit.report.words import amount, counted, days, number
from inspect_kit.rules.cautions import CAUTIONS, DEFERRAL, DIRECTIVES, NO_PERMISSION, PILOT_DECIDES

# A section for each thing that the rule names, with the clause that names it.
TOTAL_TIME = "Total time in service: 14 CFR 91.417(a)(2)(i)"
LIVES = "Life-limited parts: 14 CFR 91.417(a)(2)(ii)"
OVERHAULS = "Time since overhaul: 14 CFR 91.417(a)(2)(iii)"
INSPECTIONS = "Inspections: 14 CFR 91.417(a)(2)(iv)"
DIRECTIVES_KEPT = "Directives and letters: 14 CFR 91.417(a)(2)(v)"
ALTERATIONS = "Changes, and forms of major repairs and alterations: 14 CFR 91.417(a)(2)(vi)"
RECORDS = "Index of all records: 14 CFR 91.417(a)(1), 91.419"
# A page of a paper book: `work order 12, airframe log p. 44`, `engine logbook, page 12`.
# A work order has no page but a number; a book that came in as a table has neither.
_NUMBER = re.compile(r"\s+#?[0-9].*")
_PAGE = re.compile(r"([^,;]+?),?\s+(?:pp?\.|pages?)\s*[0-9]")


def handover_page(answer: DueAnswer, seals: Mapping[str, str], since: dt.date | None = None) -> Sheet:
    """The first page of what is handed over; `seals` says for each record how its seal was found.

    With `since` it is an inspector's copy: its index has only the records from that day on.
    """
    logbook = answer.seen
    registration = logbook.aircraft.identity.registration
    items = tuple(item for item in answer.items if item.kind != INSPECTION)
    standing = logbook.standing()
    what = "Records handed over" if since is None else f"Inspector's copy, records since {since}"
    made: list[Block] = [
        *incomplete(answer.problems),
        *passenger_lines(answer),
        *reasons(answer),
        Paragraph(text=_about(since)),
        Heading(text="The aircraft"),
        aircraft_table(answer),
        Heading(text=TOTAL_TIME),
        totals_table(answer),
        *list(parts_blocks(answer))[1:],
        Heading(text=LIVES),
        *_lives(answer, since),
        Heading(text=OVERHAULS),
        *_overhauls(answer),
        Heading(text=INSPECTIONS),
        table(DUE_COLUMNS, [item_row(item) for item in answer.items if item.kind == INSPECTION]),
        *_since_last(answer),
        *_inspections_done(logbook, seals),
        Heading(text=DIRECTIVES_KEPT),
        *(list(directive_blocks(answer))[1:] or [Paragraph(text="None on record.")]),
        Paragraph(text=DIRECTIVES, tone=QUIET),
        Heading(text=ALTERATIONS),
        *_changes(answer.seen.records),
        Heading(text="Open discrepancies"),
        standing_table(logbook, standing) if standing else Paragraph(text="None on record."),
        *phase_blocks(answer),
        *setting_blocks(answer),
        *weight_blocks(answer, history=True),
        Heading(text="What is due"),
        table(DUE_COLUMNS, [item_row(item) for item in items]) if items else Paragraph(text="Nothing is known."),
        Heading(text="Papers that belong to the aircraft"),
        *_papers(logbook, since),
        Heading(text=RECORDS if since is None else f"Records since {since}"),
        _index(logbook.records, seals, since),
        *_withdrawn(logbook.withdrawn),
        Heading(text="How to check the seals"),
        *_checking(since),
        *problem_blocks(answer.problems),
        Paragraph(text=f"{NO_PERMISSION} {PILOT_DECIDES} {DEFERRAL}", tone=QUIET),
    ]
    heading = f"{what}: {registration}, {answer.on}"
    return Sheet(title=heading, blocks=tuple(made), foot=heading)


def _about(since: dt.date | None) -> str:
    if since is not None:
        return (
            "This folder holds what an inspector may ask to see (14 CFR 91.417(c)): this page; records.html and "
            "records.txt, every record since that day in full; and under `signed` their signed pages and photographs."
        )
    return (
        "This folder holds all records of the aircraft as its owner kept them. This page is the status of today; "
        "records.html and records.txt tell every record in full, the oldest first. These pages leave costs and "
        "forecasts out. `store` is a copy of the whole store, byte for byte: checklists, records, signed and open "
        "pages, entries that were withdrawn, signatures and photographs. Nothing in it was left out or changed, what "
        "was paid for parts neither, because the seals are worked out from its bytes. "
        "The paper books named below are not in this folder: they belong to the aircraft and go with it."
    )


def _lives(answer: DueAnswer, since: dt.date | None) -> Iterator[Block]:
    """Each part with a life: its serial, its own time, what is left, and the papers that came with it."""
    fittings = all_fittings(chronicle(answer.seen))
    rows = []
    for item in life_items(answer):
        check = answer.seen.checks[item.check]
        stay = present(fittings.get(check.counts_on or "", ()))
        record = answer.seen.record(stay.start.record) if stay is not None else None
        cells = (
            check.counts_on or "",
            stay.part if stay is not None else "",
            stay.serial if stay is not None else "",
            " or ".join(map(str, check.life)),
            state_words(item),
            left_words(item),
            str(item.due.date) if item.due.date else "",
            reading_words(item),
            check.source,
            _certificates(answer.seen, record, "store/" if since is None else ""),
        )
        rows.append(Row(cells=cells))
    names = ("position", "part", "serial", "life", "state", "left", "ends on", "ends at", "asked by", "papers")
    ranks = {"asked by": 1, "papers": 2}
    wide = ("position", "part", "serial", "life", "left", "asked by", "papers")
    columns = tuple(Column(name=name, wide=name in wide, rank=ranks.get(name, 0)) for name in names)
    yield table(columns, rows) if rows else Paragraph(text="No part with a life limit is on record.")


def _certificates(book: Logbook, record: Record | None, folder: str) -> str:
    """What came with a part: the paper that its record names, and the files beside it, attached later too.

    `folder` is where the files are in what is handed over, `store/`.
    """
    if record is None:
        return "none on record"
    # What was brought forward speaks of many parts: its paper and its files may be of any of them.
    beside: list[Record] = [record] if isinstance(record, Installed) else []
    beside += [each for each in book.of_kind(Amendment) if each.of == record.name]
    told = list(dict.fromkeys(each.paper for each in beside if each.paper))
    told += [f"{folder}{each.place.file.removesuffix('.yaml')}/{file.name}" for each in beside for file in each.files]
    return "; ".join(told) or "none on record"


def _overhauls(answer: DueAnswer) -> Iterator[Block]:
    """Which parts must be overhauled at a time: those whose check counts hours or years from an overhaul."""
    wanted = [
        check
        for check in answer.seen.checks.values()
        if check.retired is None and check.counts_on and any(limit.start == FROM_OVERHAUL for limit in check.life)
    ]
    if wanted:
        told = ", ".join(f"{check.counts_on} ({' or '.join(map(str, check.life))})" for check in wanted)
        yield Paragraph(text=f"To be overhauled at a time: {told}. Their times are in the table of fitted parts above.")
    else:
        text = (
            "No life on record counts from an overhaul. What makers ask or advise stands among the lives above; times "
            "since overhaul are in the table of fitted parts."
        )
        yield Paragraph(text=text)


def _since_last(answer: DueAnswer) -> Iterator[Block]:
    """The time since the last inspection that was required."""
    clock = answer.seen.aircraft.time_in_service
    for item in answer.items:
        if item.kind == INSPECTION and item.last is not None and item.last.date is not None:
            told = days((answer.on - item.last.date).days)
            total = answer.totals.get(clock)
            if total is not None and item.last.total is not None:
                told += f" and {amount(total - item.last.total, HOURS)}"
            yield Paragraph(text=f"Since the last {item.check} inspection of {item.last.date}: {told}.")


def _inspections_done(logbook: Logbook, seals: Mapping[str, str]) -> Iterator[Block]:
    """Every inspection on record, the newest first: when, at which total time, how it ended, by whom; those on paper,
    brought forward or imported, with the paper.
    """
    rows = [
        Row(
            cells=(
                str(each.date),
                each.inspection,
                _at_total(each.totals.get(logbook.aircraft.time_in_service)),
                "passed" if each.passed else "not passed",
                _by(each),
                _signed_words(seals.get(each.name, "")),
                each.name,
            )
        )
        for each in logbook.of_kind(Inspection)
    ]
    rows = sorted([*rows, *_on_paper(logbook)], key=lambda row: (row.cells[0], row.cells[-1]), reverse=True)
    columns = (
        Column(name="date"),
        Column(name="inspection"),
        Column(name="total time", right=True),
        Column(name="outcome"),
        Column(name="by, certificate", wide=True),
        Column(name="signature", wide=True, rank=1),
        Column(name="record", wide=True, rank=2),
    )
    yield table(columns, rows) if rows else Paragraph(text="No inspection is on record.")


def _on_paper(logbook: Logbook) -> Iterator[Row]:
    """The inspections that count and were signed on paper, before records began or away from them."""
    for name, moments in chronicle(logbook).inspections.items():
        for moment in moments:
            record = logbook.record(moment.record)
            if isinstance(record, BroughtForward):
                paper, by = record.last[name].paper, "as the paper says"
            elif isinstance(record, PaperEntry):
                paper, by = record.paper, _by(record)
            else:
                continue
            date, total = str(moment.date or ""), _at_total(moment.clock)
            signed = f"on paper: {paper}" if paper else "on paper; nothing on record says where"
            yield Row(cells=(date, name, total, "passed", by, signed, record.name))


def _at_total(total: Decimal | None) -> str:
    return f"{number(total)} h" if total is not None else "not known"


def _by(record: Record) -> str:
    return f"{record.by.name}, {record.by.kind} {record.by.certificate}".strip(" ,") if record.by else ""


def _signed_words(sealed: str) -> str:
    """How a record was signed; with what is wrong with its seal, whose value stands in the index where it holds."""
    seal, _, signed = sealed.partition("; ")
    return signed if re.fullmatch("[0-9a-f]{64}", seal) else sealed


def _changes(records: Iterable[Record]) -> Iterator[Block]:
    found = [record for record in records if isinstance(record, Change | Phase)]
    if found:
        rows = [Row(cells=(str(each.date), record_words(each), _files(each), each.name)) for each in found]
        columns = (
            Column(name="date"),
            Column(name="what", wide=True),
            Column(name="papers", wide=True),
            Column(name="record", wide=True, rank=1),
        )
        yield table(columns, rows)
    else:
        yield Paragraph(text="No change of the aircraft is on record.")
    if not any(isinstance(each, Change) and each.answer == MAJOR for each in found):
        yield Paragraph(text="No change that its owner calls major is on record.")


def _files(record: Record) -> str:
    return ", ".join([*(file.name for file in record.files), *([record.paper] if record.paper else [])])


def _papers(logbook: Logbook, since: dt.date | None) -> Iterator[Block]:
    """Papers named in aircraft.yaml, and the paper books in which records are signed: not in the folder, and where."""
    papers = logbook.aircraft.papers
    rows = []
    for paper in papers:
        record = logbook.record(paper.copy) if paper.copy else None
        copy = "not included"
        if record is not None:
            folder = f"{'store' if since is None else 'signed'}/{record.place.file.removesuffix('.yaml')}"
            named = (f"{folder}/{file.name}" for file in record.files)
            copy = f"copy: {', '.join(named)}"
        rows.append(Row(cells=(paper.what, paper.at, copy)))
    known = {paper.what.casefold() for paper in papers}
    for book, times in ink_books(logbook.records).items():
        if book.casefold() not in known:
            told = f"not included; {counted(times, 'record names', 'records name')} it"
            rows.append(Row(cells=(book, "ask the seller: nothing on record says where", told), tone=WARN))
    columns = (Column(name="paper", wide=True), Column(name="where it is", wide=True), Column(name="here", wide=True))
    yield table(columns, rows) if rows else Paragraph(text="No paper is on record.")
    if not any("limitation" in paper.what.casefold() for paper in papers):
        text = "The operating limitations are not named under `papers` in aircraft.yaml: ask the seller for them."
        yield Paragraph(text=text, tone=WARN)


def ink_books(records: Iterable[Record]) -> dict[str, int]:
    """The papers that signatures and entries refer to, books without the page, and how many records name each."""
    found: dict[str, int] = {}
    for record in records:
        told = {record.paper, *(result.paper for result in record.results)} if isinstance(record, PageRecord) else set()
        told |= {record.paper, record.ink if isinstance(record, Signature) else ""}
        told |= {last.paper for last in record.last.values()} if isinstance(record, BroughtForward) else set()
        named = (book for text in told if text for book in _PAGE.findall(text) or [_NUMBER.sub("", text.split(",")[0])])
        for book in sorted({book.strip() for book in named}):
            found[book] = found.get(book, 0) + 1
    return found


def _said(record: Record) -> str:
    """What a record says in one line; one of readings those first, for often it says nothing else."""
    reads = record.meters if isinstance(record, Hours) else {}
    told = ", ".join(f"{meter} {number(reading)}" for meter, reading in reads.items())
    return "; ".join(words for words in (told, record_words(record)) if words)


def _index(records: Iterable[Record], seals: Mapping[str, str], since: dt.date | None) -> Table:
    rows = [
        Row(
            cells=(
                str(record.date),
                kind_words(record),
                _said(record),
                f"{record.by.name} {record.by.certificate}".strip() if record.by else "",
                seals.get(record.name, ""),
                record.name,
            )
        )
        for record in records
        if since is None or record.date >= since
    ]
    columns = (
        Column(name="date"),
        Column(name="kind"),
        Column(name="what", wide=True),
        Column(name="by, certificate", wide=True, rank=1),
        Column(name="seal", wide=True, rank=2),
        Column(name="record", wide=True, rank=3),
    )
    return table(columns, rows)


def _withdrawn(withdrawn: Sequence[Withdrawn]) -> Iterator[Block]:
    """Entries that were taken back: kept whole in records/withdrawn, and counted nowhere."""
    if withdrawn:
        yield Heading(text="Entries withdrawn, which count for nothing")
        yield Listing(
            items=tuple(
                f"{each.record.date} {record_words(each.record)}: {each} ({each.place.file})"
                for each in withdrawn
            )
        )


def _checking(since: dt.date | None) -> Iterator[Block]:
    yield Paragraph(
        text="A sealed record ends with `sha256:`, the SHA-256 of every byte of the file before that value; its line "
        "`worksheet:` is the SHA-256 of the signed page beside it. Both can be worked out with any tool that knows "
        "SHA-256. A seal shows that bytes were changed. It does not show who wrote them: against that stand the ink "
        "in the paper books and signatures with a key."
    )
    if since is None:
        yield Listing(items=("With this program: inspect-kit --store store verify",))


def records_page(answer: DueAnswer, told: Sequence[ReportFacts]) -> Sheet:
    """Every record in full, in order of date; what each report says at its end, and what the title says, is said once.

    Meter readings one after another are the rows of one table: half of all records are such, of four facts each.
    """
    aircraft = answer.seen.aircraft
    ends = {*caution_blocks(CAUTIONS), *closing(), Heading(text=CAUTIONED)}
    whole = identity_words(aircraft.identity)
    printed = next((each.printed for each in told if each.printed), answer.on)
    heading = f"Records of {whole}, {answer.on}{f', printed {printed}' if printed != answer.on else ''}"
    said = {("Aircraft", whole), ("Printed", str(printed))}
    made: list[Block] = []
    pages = [(each, report_page(_without_costs(each))) for each in told]
    split = [
        (each, page.title, [_without(block, said) for block in page.blocks if block not in ends])
        for each, page in pages
    ]
    for are_rows, group in groupby(split, key=lambda each: _fits_a_row(each[0], each[2])):
        if are_rows:
            made += _readings([(each.record, blocks) for each, _, blocks in group], tuple(aircraft.meters))
            continue
        for each, title, blocks in group:
            # An inspection goes over ten sheets and more: each says of which, as loose ones of its report do.
            foot = foot_of(each, f"{heading}: {each.record.name}") if isinstance(each.record, Inspection) else ""
            what = title.partition(f", {aircraft.identity.registration}")[0]
            made.append(Heading(text=f"{each.record.date} {what}", foot=foot))
            # What stands under a heading of its own on one page stands a step lower among many.
            made += [Heading(text=block.text, level=3) if isinstance(block, Heading) else block for block in blocks]
    made += [*caution_blocks(CAUTIONS), *closing()]
    return Sheet(title=heading, blocks=tuple(made), foot=heading)


def _without(block: Block, said: Set[tuple[str, ...]]) -> Block:
    """Facts but for those that the title says: of an aircraft that was registered anew it says not those of before."""
    if not isinstance(block, Table) or block.has_header:
        return block
    return replace(block, rows=tuple(row for row in block.rows if row.cells not in said))


# What the page of a record calls its facts; those beside these may fold below their row.
_DATE, _ENTERED, _METERS, _RECORD, _TOLD = "Date", "Entered", "Meters", "Record", "In words"


def _fits_a_row(facts: ReportFacts, blocks: Sequence[Block]) -> bool:
    """Whether a record is one of readings, of facts alone and words in one line."""
    in_one_line = all(isinstance(each, Paragraph) and "\n" not in each.text for each in blocks[1:])
    return isinstance(facts.record, Hours) and in_one_line


def _readings(group: Sequence[tuple[Record, Sequence[Block]]], known: Sequence[str]) -> Iterator[Block]:
    """Records of readings one after another: a column for each meter, those known first, and one for each fact."""
    first, last = group[0][0], group[-1][0]
    until = f" to {last.date}" if last.date != first.date else ""
    yield Heading(text=f"{first.date}{until} {kind_of(first).title.capitalize()}")
    meters = list(dict.fromkeys((*known, *(name for each, _ in group for name in each.meters))))
    told = [_facts_of(blocks) for _, blocks in group]
    own = (_DATE, _ENTERED, _METERS, _RECORD)
    others = [name for name in dict.fromkeys(name for row in told for name in row) if name not in own]
    columns = (
        Column(name="date"),
        Column(name="entered"),
        *(Column(name=meter, right=True) for meter in meters),
        Column(name="record", wide=True),
        *(Column(name=f"{name[0].lower()}{name[1:]}", wide=True, rank=n) for n, name in enumerate(others, 1)),
    )
    rows = []
    for (record, _), row in zip(group, told, strict=True):
        reads = (number(record.meters[meter]) if meter in record.meters else "" for meter in meters)
        more = (row.get(name, "") for name in others)
        rows.append(Row(cells=(row[_DATE], row.get(_ENTERED, ""), *reads, row[_RECORD], *more)))
    yield table(columns, rows)


def _facts_of(blocks: Sequence[Block]) -> dict[str, str]:
    """What a record says, by the names under which its own page says it."""
    found = {row.cells[0]: row.cells[1] for block in blocks if isinstance(block, Table) for row in block.rows}
    words = " ".join(block.text for block in blocks if isinstance(block, Paragraph))
    return found | ({_TOLD: words} if words else {})


def _without_costs(facts: ReportFacts) -> ReportFacts:
    """What was paid for something is nobody's business but the seller's."""
    record = facts.record
    return replace(facts, record=replace(record, costs=None)) if isinstance(record, Stock) else facts
