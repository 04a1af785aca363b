"""A page of a job as a sheet for pen and gloves: HTML to print, each panel's boxes under one head, cautions first.

Boxes of 6 mm with the numbers they have on the page, wells of 26 x 6.5 mm for readings with their limit and the value
of last time, dashed ones with the sum beside them for what is worked out from these, 45 mm for a finding, and initials.
Black on white: nothing on it depends on a colour. What stands on the page already is printed as it stands. Without a
code it is a specimen, as before a job is begun: no numbers.
"""

import datetime as dt
import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from inspect_kit.model.aircraft import LimitTable
from inspect_kit.model.checklist import OTHERS, Bound, Check, Panel, Reckons, added_up, duration
from inspect_kit.model.finding import Reading
from inspect_kit.model.formulas import FORMULAS
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import CLOSING, JOB_WORK, MAKE, OPENING, REFIT, REMOVE, UNDO, Entry, Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.report.html import css_string, document, text_of
from inspect_kit.report.measure import kept_together
from inspect_kit.report.naming import in_words
from inspect_kit.rules import DEFERRAL

PAPERS = ("A4", "Letter")
VERBS = {REMOVE: "REMOVE", REFIT: "REFIT", MAKE: "SET UP", UNDO: "END SETUP"}

STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { font: 9pt/1.2 "Liberation Sans", Arial, Helvetica, sans-serif; color: #000; background: #fff; margin: 0 auto;
  max-width: 190mm; }
h1 { font-size: 14pt; margin: 0 0 1mm; }
p { margin: 0 0 1mm; unicode-bidi: isolate; overflow-wrap: anywhere; }
.job { display: grid; grid-template-columns: 1fr auto; gap: 0 6mm; border-bottom: .6mm double; padding-bottom: 1.5mm; }
.code { font: bold 15pt "Liberation Mono", "Courier New", monospace; border: .5mm solid; padding: 1mm 3mm;
  align-self: start; text-align: center; }
.code small { display: block; font: 7pt "Liberation Sans", Arial, sans-serif; }
.people { display: grid; grid-template-columns: repeat(3, 1fr); gap: 0 5mm; margin: 1.5mm 0 0; }
.people p { border-bottom: .2mm solid; height: 7.5mm; margin: 0; padding-top: 3.6mm; font-size: 7.5pt; }
.how { font-size: 8pt; margin: 1.5mm 0; }
h2 { font-size: 10pt; margin: 1.8mm 0 0; padding: .2mm 1.5mm; border: .4mm solid; border-left-width: 2mm;
  break-after: avoid; display: flex; justify-content: space-between; gap: 4mm; }
h2 span { font-weight: normal; font-size: 8pt; }
h2.again { font-size: 8.5pt; margin: .8mm 0 0; padding: 0 1.5mm; border: 0; border-left: 2mm solid; }
.about { font-size: 8pt; line-height: 1.15; margin: .3mm 0 0 2mm; break-inside: avoid; break-after: avoid; }
table { width: 100%; table-layout: fixed; border-collapse: collapse; }
td { padding: 0; }
thead { display: table-header-group; break-inside: avoid; break-after: avoid; }
tr, .step { break-inside: avoid; }
.caution { break-after: avoid; }
.caution { border: .5mm solid; padding: .2mm 1.5mm; margin: .6mm 0 .3mm; font-weight: bold; }
.row { display: grid; grid-template-columns: 8mm 8mm minmax(0, 1fr) 45mm 11mm; border-bottom: .15mm solid #555;
  padding: .6mm 0; min-height: 7.4mm; }
.no { text-align: right; padding-right: 1.5mm; font-size: 8.5pt; }
.box { width: 6mm; height: 6mm; border: .45mm solid; text-align: center; font: bold 13pt/5mm Arial, sans-serif; }
.what { padding-right: 2mm; }
.who { font-size: 7.5pt; white-space: nowrap; }
.at { display: block; font-weight: bold; font-size: 8pt; }
.find, .init { border-left: .15mm dotted; font-size: 6.5pt; padding-left: .8mm; overflow-wrap: anywhere; }
.find b { font-size: 8pt; }
.wells { grid-column: 3 / 6; display: grid; grid-template-columns: repeat(2, minmax(0, 1fr)); gap: .5mm 3mm;
  margin-top: .5mm; }
.well { display: grid; grid-template-columns: minmax(0, 1fr) 26mm minmax(0, 1fr); align-items: center; gap: 1.2mm;
  font-size: 8pt; break-inside: avoid; }
.well span:first-child { text-align: right; }
.well i { border: .3mm solid; height: 6.5mm; font: 11pt/5.6mm Arial, sans-serif; text-align: center; }
.well small { font-size: 7pt; line-height: 1.1; }
.wide { grid-column: 1 / 3; grid-template-columns: auto minmax(26mm, 1fr) auto; }
.sum { grid-column: 1 / 3; grid-template-columns: auto 26mm minmax(0, 1fr); }
.sum i { border-style: dashed; }
.by { grid-column: 1 / 3; grid-template-columns: minmax(0, 1fr) 26mm minmax(0, 5fr); }
.words { grid-template-columns: auto minmax(26mm, 1fr); }
footer { display: none; }
@page { size: PAPER; margin: 8mm 9mm 11mm 14mm; font: 8pt "Liberation Sans", Arial, sans-serif;
  @bottom-left { content: FOOT; } @bottom-right { content: "page " counter(page) " of " counter(pages); } }
@media screen { body { padding: 4mm; } footer { display: block; font-size: 8pt; margin-top: 4mm; } }
/* Looked up on a telephone, where two wells side by side would run over one another's limits. */
@media screen and (max-width: 40rem) {
  .people, .wells { grid-template-columns: minmax(0, 1fr); }
  .row { grid-template-columns: 8mm 8mm minmax(0, 1fr) 11mm; }
  .find { grid-column: 3; min-height: 7mm; }
  .wells { grid-column: 2 / -1; }
  .wells > * { grid-column: 1; }
  .sum { grid-template-columns: minmax(0, 1fr) 26mm minmax(0, 1fr); }
}
/* A page of Letter is no whole number of pixels wide, and what stands in the last of them is cut off. */
@media print { body { max-width: none; padding-right: 1px; } }
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFacts:
    """What a sheet is printed from. `last` is the latest recorded reading by today's id of its check and its label.

    `code` is that of the ordered boxes, "" for a specimen; `paper` one of PAPERS, or "" for that of the printer.
    """

    logbook: Logbook
    page: Worksheet
    last: Mapping[tuple[str, str], tuple[dt.date, Reading]]
    code: str = ""
    paper: str = ""


def render_sheet(facts: SheetFacts) -> str:
    """The whole file. It prints on A4 and Letter alike; the foot of every page says aircraft, job, date and page."""
    style = STYLE.replace("FOOT", css_string(_foot(facts))).replace("PAPER", facts.paper or "auto")
    numbered = list(enumerate(facts.page.entries, 1))
    blocks = itertools.groupby(numbered, key=lambda each: _block_of(facts, each[1]))
    seen: set[str] = set()
    body = [_job(facts)]
    for name, group in blocks:
        body.append(_block(facts, name, list(group), first=name not in seen))
        seen.add(name)
    return document(_title(facts), style, "\n".join([*body, f"<footer>{text_of(_foot(facts))}</footer>"]))


STANDING = "#"


def _block_of(facts: SheetFacts, entry: Entry) -> str:
    """What stands under one head: the findings from before, or what is worked on at one panel."""
    panel = facts.logbook.panel_in(entry)
    return STANDING if entry.is_standing else panel.id if panel else entry.id


def _title(facts: SheetFacts) -> str:
    aircraft = facts.logbook.aircraft.identity
    job = facts.page.job_name.capitalize()
    return f"{job} of {aircraft.registration}, {aircraft.make} {aircraft.model}" + ("" if facts.code else ": specimen")


def _foot(facts: SheetFacts) -> str:
    """`N0TS condition, begun 2026-11-26, tach 250.4, code k3f9qx`"""
    page = facts.page
    job = f"{facts.logbook.aircraft.identity.registration} {page.job}"
    if not facts.code:
        return f"{job}, specimen of {page.begun}: not a page of a job, nothing is recorded from it"
    return ", ".join((job, f"begun {page.begun}", *_meters(facts), f"code {facts.code}"))


def _meters(facts: SheetFacts) -> list[str]:
    return [f"{name} {reads}" for name, reads in facts.page.meters.items()]


def _job(facts: SheetFacts) -> str:
    """The head of the first page: what this is, who works, and how it is filled in."""
    page = facts.page
    told = [f"begun {page.begun}", *_meters(facts)] if facts.code else [f"as it would be on {page.begun}"]
    told += [f"{len(page.entries)} boxes", f"serial {facts.logbook.aircraft.identity.serial}"]
    absent = ", ".join(f"{code}: {why}" for code, why in facts.logbook.aircraft.not_applicable.items())
    people = [name for name in (page.inspector, *page.helpers) if name] if facts.code else []
    lines = [*people, *[""] * max(0, 3 - len(people))]
    code = (
        f'<div class="code"><small>code of these boxes</small>{text_of(facts.code)}</div>'
        if facts.code
        else '<div class="code">SPECIMEN<small>numbers and a code come with <b>start</b></small></div>'
    )
    how = (
        "Tick a box only when it was done and found in order, and put your initials beside it. Write what is wrong "
        "beside its box; leave a box open if it is left for later. Readings out of their limits are findings. What is "
        "worked out in a dashed well is not typed in at the desk: it is reckoned there. Nobody looks a second time at "
        "their own work."
    )
    back = f"Back at the desk: inspect-kit walk --from-paper {facts.code}" if facts.code else ""
    return "\n".join(
        (
            '<div class="job"><div>',
            f"<h1>{text_of(_title(facts))}</h1>",
            f"<p>{text_of(', '.join(told))}</p>",
            f"<p>{text_of(f'Not applicable: {absent}')}</p>" if absent and page.job != JOB_WORK else "",
            f"</div>{code}</div>",
            '<div class="people">',
            *(f"<p>{text_of(name) if name else 'name'} / initials / dates:</p>" for name in lines),
            "</div>",
            f'<p class="how">{text_of(how)} {text_of(back)}</p>',
            f'<p class="how">{text_of(DEFERRAL)}</p>',
        )
    )


def _block(facts: SheetFacts, name: str, boxes: Sequence[tuple[int, Entry]], *, first: bool) -> str:
    """One head with its boxes: what comes off and what it is behind, tools and parts for all of them.

    A single box of a panel that has had its head says where it is in a line of its own instead.
    """
    panel = None if name == STANDING else facts.logbook.panel_in(boxes[0][1])
    heading = "Findings open from before" if name == STANDING else panel.name if panel else name
    if len(boxes) == 1 and not first:
        return _step(facts, *boxes[0], at=heading)
    again = "" if first else ' class="again"'
    head = f"<h2{again}>{text_of(heading)} <span>{text_of(_state(facts, panel))}</span></h2>"
    about = " ".join(_about(facts, panel, [entry for _, entry in boxes], first=first))
    first_step, *steps = (_step(facts, number, entry) for number, entry in boxes)
    # What stands before the first box is in its row, so that no page ends with it; the head of a table stands anew on
    # each page that its rows run over to.
    first_step = f'<p class="about">{text_of(about)}</p>\n{first_step}' if about else first_step
    rows = (f"<tr><td>\n{step}\n</td></tr>" for step in (first_step, *steps))
    return "\n".join(("<table>", f"<thead><tr><td>{head}</td></tr></thead>", "<tbody>", *rows, "</tbody>", "</table>"))


def _state(facts: SheetFacts, panel: Panel | None) -> str:
    """What has to be off or stand before anything here, by name."""
    known = facts.logbook.panels
    behind = ", ".join(known[name].name for name in (panel.behind if panel else ()) if name in known)
    return f"behind: {behind}" if behind else ""


def _about(facts: SheetFacts, panel: Panel | None, entries: Sequence[Entry], *, first: bool) -> Iterator[str]:
    """Notes where it comes off, and the tools and parts of all the boxes of this block."""
    opening = any(entry.verb in OPENING for entry in entries)
    if panel is not None and (opening or (first and panel.remove is None and panel.refit is None)):
        yield from (in_words(facts.logbook, note) for note in panel.notes if not note.startswith("#"))
    checks = [check for entry in entries if (check := facts.logbook.check_in(entry)) is not None]
    tools = dict.fromkeys(tool for check in checks for tool in check.tools)
    if panel is not None and opening:
        tools = dict.fromkeys((*panel.tools, *tools))
    if tools:
        yield f"Tools: {'; '.join(tools)}."
    if used := added_up(part for check in checks for part in check.uses):
        yield f"Parts: {'; '.join(map(str, used))}."


def _step(facts: SheetFacts, number: int, entry: Entry, at: str = "") -> str:
    """One box, its cautions above it; `at` is where it is, tools and parts with it, if no head says so."""
    check = facts.logbook.check_in(entry)
    panel = facts.logbook.panel_in(entry)
    cautions: Iterable[str] = check.cautions if check else ()
    if entry.verb in OPENING and panel is not None:
        cautions = panel.cautions
    words = (f"{VERBS[entry.verb]} " if entry.verb else "") + in_words(facts.logbook, entry.text)
    mark = "X" if entry.ticked else "\u2013" if entry.answer else ""
    about = _about(facts, panel, [entry], first=False) if at else ()
    # What is told about a box ends with its own stop.
    where = ". ".join((*([at] if at and not entry.is_panel else []), *([told] if (told := " ".join(about)) else [])))
    wells = list(_wells(facts, entry, check, panel))
    return "\n".join(
        (
            '<div class="step">',
            *(f'<p class="caution">CAUTION: {text_of(in_words(facts.logbook, caution))}</p>' for caution in cautions),
            '<div class="row">',
            f'<div class="no">{number if facts.code else ""}</div>',
            f'<div><div class="box">{mark}</div></div>',
            '<div class="what">',
            f'<span class="at">{text_of(where)}</span>' if where else "",
            f'{text_of(words)} <span class="who">{text_of(_who(check, panel, entry))}</span></div>',
            f'<div class="find">{_finding(entry)}</div><div class="init">initials {text_of(entry.by)}</div>',
            *(('<div class="wells">', *wells, "</div>") if wells else ()),
            "</div></div>",
        )
    )


def _who(check: Check | None, panel: Panel | None, entry: Entry) -> str:
    """`inspector, 2 people, 20 min`; of a panel `14 quarter-turn, 2 people, 6 min`."""
    told: list[str] = []
    if check is not None:
        told += [check.others or OTHERS if check.who == OTHERS else check.who]
        told += [f"{check.people} people"] if check.people > 1 else []
        told += [duration(check.minutes)] if check.who != OTHERS else []
    elif panel is not None and entry.is_panel:
        told += [panel.fasteners] if panel.fasteners else []
        told += [f"{panel.people} people"] if panel.people > 1 and "people)" not in entry.text else []
        told += [duration((panel.remove if entry.verb in OPENING else panel.refit) or 0)]
    return ", ".join(told)


def _finding(entry: Entry) -> str:
    """What is written beside a box already; otherwise room for it."""
    told = [f"{finding.id} {finding.text}" for finding in entry.findings]
    told += [f"{entry.answer}: {entry.reason}"] if entry.answer else []
    return "finding:" + (f" <b>{text_of('; '.join(told))}</b>" if told else "")


def _wells(facts: SheetFacts, entry: Entry, check: Check | None, panel: Panel | None) -> Iterator[str]:
    """Everything that is to be written under a box, each in a well of its own."""
    written = {reading.label: reading.bare for reading in entry.readings}
    for reads in check.reads if check else ():
        for label in reads.labels:
            last = facts.last.get((check.id if check else "", label))
            before = f"last {last[1].bare}" if last else ""
            table = facts.logbook.aircraft.tables.get(reads.bound.table) if reads.bound else None
            kind = "well wide" if reads.in_words else "well by" if table is not None else "well"
            limit = _limit(reads.bound, "" if reads.in_words else reads.measure, table)
            yield _well(label, written.get(label, ""), limit, before, kind=kind)
    for reckons in check.reckons if check else ():
        table = facts.logbook.aircraft.tables.get(reckons.bound.table) if reckons.bound else None
        limit = _limit(reckons.bound, reckons.measure, table)
        yield _well(f"{reckons.label} = {_by_hand(check, reckons)} =", "", limit, "", kind="well sum")
    if check is not None and check.marked:
        yield _well("good until", entry.good_until or "", "", "")
    if check is not None and check.who == OTHERS:
        yield _well("paper, reference", entry.paper or "", "", "", kind="well wide")
    if check is not None and check.uses:
        yield _well("used: as planned, none, or", entry.used or "", "", "", kind="well words")
    looked = check.second_look if check else panel is not None and panel.second_look and entry.verb in CLOSING
    if looked or entry.second_look is not None:
        yield _well("second look, name", entry.second_look or "", "", "")
    if entry.is_standing:
        yield _well("corrected, how", "", "", "", kind="well wide")
        yield _well("or waits until, because", "", "", "", kind="well wide")


def _limit(bound: Bound | None, measure: str, table: LimitTable | None) -> str:
    """`at least 60 psi, falls at most 10 in 100 h`; off a table its rows, for the pen has no other place to look."""
    if bound is None:
        return measure
    ends = str(replace(bound, change=None))
    limit = f"{ends} {measure}" if ends and measure else ends or measure
    if table is not None:
        limit = f"by {bound.at}: {table}"
    return f"{limit}, {bound.change}" if bound.change else limit


def _by_hand(check: Check | None, reckons: Reckons) -> str:
    """What is to be worked out at the aircraft: `1 gal x 3600 / left tank time`."""
    measures = {label: reads.measure for reads in check.reads for label in reads.labels} if check else {}
    names = [each if isinstance(each, str) else f"{each[0]} {each[1]}" for each in reckons.operands]
    units = [measures.get(each, "") if isinstance(each, str) else each[1] for each in reckons.operands]
    return FORMULAS[reckons.formula].by_hand(names, units)


def _well(name: str, value: str, limit: str, before: str, *, kind: str = "well") -> str:
    told = " ".join(filter(None, (_whole(limit), f"<small>{_whole(before)}</small>" if before else "")))
    return f'<div class="{kind}"><span>{_whole(name)}</span> <i>{text_of(value)}</i> <span>{told}</span></div>'


def _whole(text: str) -> str:
    """Text in which no number is parted from its unit, and what begins a last value not from its `last`."""
    words = kept_together(text)
    if words[:1] == ["last"]:
        words = [" ".join(words[:2]), *words[2:]]
    return " ".join("&nbsp;".join(text_of(part) for part in word.split(" ")) for word in words)
