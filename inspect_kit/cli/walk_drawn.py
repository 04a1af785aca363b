"""What the walk shows of a box: where we are, cautions first and whole, what is asked, what stands there already."""

import io
import sys
from collections.abc import Sequence

from rich.console import Console

from inspect_kit.cli.walk_state import Walk
from inspect_kit.inspection.walk import check_of_box
from inspect_kit.inspection.wanted import Wanted, wanted
from inspect_kit.model.checklist import OTHERS, SETUP, Check, Panel, duration
from inspect_kit.model.worksheet import MAKE, OPENING, REFIT, REMOVE, UNDO, Entry
from inspect_kit.report import terminal
from inspect_kit.report.blocks import Block, Column, Row, table

VERBS = {REMOVE: "REMOVE", REFIT: "REFIT", MAKE: "SET UP", UNDO: "END SETUP"}


def draw_box(walk: Walk, at: int) -> None:
    """Draw one box; its clock starts."""
    walk.begin(at)
    talk, entry = walk.talk, walk.entries[at]
    check, panel = check_of_box(walk.logbook, entry), walk.logbook.panel_in(entry)
    talk.begin()
    talk.say()
    talk.say(_head(walk, at, check, panel), hang="  ", strong=True)
    cautions = check.cautions if check else panel.cautions if panel and entry.is_panel else ()
    for caution in cautions:
        talk.caution(caution)
    if panel is not None and not entry.is_standing and _shows_notes(walk, entry, panel):
        for note in paragraphs(panel.notes):
            talk.say(note, indent="  ")
        walk.noted.add(panel.id)
    verb = f"{VERBS[entry.verb]} " if entry.verb else ""
    talk.say(f"{verb}{entry.text} ({entry.id})", hang="  ", strong=True)
    for name, told in _facts(walk, check, panel if entry.is_panel else None):
        talk.say(f"{name}: {told}", indent="  ", hang="  ")
    _readings(walk, wanted(walk.logbook, walk.sheet.page, at, walk.last))
    _written(walk, entry)


def _shows_notes(walk: Walk, entry: Entry, panel: Panel) -> bool:
    """The first time that this walk comes to a panel or place, and whenever it is moved, as it comes off or goes on."""
    return entry.is_panel or panel.id not in walk.noted


def paragraphs(notes: Sequence[str]) -> list[str]:
    """Notes without headings, their lines joined again where a sentence runs on: the window has a width of its own."""
    found: list[str] = []
    for note in notes:
        if note.startswith("#"):
            continue
        runs_on = found and not found[-1].endswith((".", ":", "!", "?", ";")) and note[:1] not in "-*+>|"
        if runs_on:
            found[-1] += f" {note}"
        else:
            found.append(note)
    return found


def _head(walk: Walk, at: int, check: Check | None, panel: Panel | None) -> str:
    """`31/226 · Upper cowling (off) · inspector · 20 min`"""
    entry = walk.entries[at]
    told = [f"{at + 1}/{len(walk.entries)}"]
    if panel is not None:
        told.append(panel.name + _state(walk, panel))
    if check is not None:
        told.append(check.others or "others" if check.who == OTHERS else check.who)
        if check.people > 1:
            told.append(f"{check.people} people")
        if check.who != OTHERS:
            told.append(duration(check.minutes))
    elif panel is not None and entry.is_panel:
        if panel.people > 1:
            told.append(f"{panel.people} people")
        told.append(duration((panel.remove if entry.verb in OPENING else panel.refit) or 0))
    elif entry.is_standing:
        told.append("open finding")
    if walk.doer and walk.doer != walk.sheet.page.inspector:
        told.append(f"by {walk.doer}")
    return " · ".join(told)


def _state(walk: Walk, panel: Panel) -> str:
    """How the panel is by what is ticked: (off), (on), (standing), (not standing); a place has no state."""
    if panel.remove is None and panel.refit is None:
        return ""
    is_open = panel.id in {walk.logbook.id_now(name) for name in walk.sheet.page.panels_off()}
    if panel.kind == SETUP:
        return " (standing)" if is_open else " (not standing)"
    return " (off)" if is_open else " (on)"


def _facts(walk: Walk, check: Check | None, panel: Panel | None) -> list[tuple[str, str]]:
    if check is not None:
        facts = [("tools", "; ".join(check.tools)), ("parts", "; ".join(map(str, check.uses)))]
        return [(name, told) for name, told in facts if told]
    if panel is not None:
        known = walk.logbook.panels
        behind = ", ".join(known[name].name if name in known else name for name in panel.behind)
        facts = [("fasteners", panel.fasteners), ("tools", "; ".join(panel.tools)), ("behind", behind)]
        return [(name, told) for name, told in facts if told]
    return []


def _readings(walk: Walk, asked: tuple[Wanted, ...]) -> None:
    """A table of the readings: limits, the run before, last time, and what is written already."""
    if not asked:
        return
    dates = sorted({each.last[0] for each in asked if each.last})
    one_date = dates[0] if len(dates) == 1 else None
    columns = (
        Column(name="reading"),
        Column(),
        # Where it does not fit it folds below its row: the longer the table, the more of the caution is out of sight.
        Column(name="limit", wide=True, rank=1),
        Column(name="before"),
        Column(name=f"last {one_date or 'time'}", wide=True),
        Column(name="written"),
    )
    rows = [
        (each.label, each.measure, each.limit, each.before, _last(each, dated=one_date is None), each.written)
        for each in asked
    ]
    drawn = _table_of(walk, columns, rows)
    limits = [each.limit for each in asked if each.limit]
    if len(limits) > 1 and len({*limits}) == 1:
        # One line for all of them where it takes fewer than one beside or below each.
        other = _table_of(walk, columns, [(*row[:2], "", *row[3:]) for row in rows])
        if other.count("\n") + 1 < drawn.count("\n"):
            walk.talk.say(f"limit of {'both' if len(limits) == 2 else f'all {len(limits)}'}: {limits[0]}", indent="  ")
            drawn = other
    walk.talk.drawn(drawn)


def _table_of(walk: Walk, columns: Sequence[Column], rows: Sequence[tuple[str, ...]]) -> str:
    """Rows as the window shows them, without the columns in which nothing stands."""
    kept = [place for place in range(len(columns)) if any(row[place] for row in rows)]
    filled = [Row(cells=tuple(row[place] for place in kept)) for row in rows]
    return _drawn(table(tuple(columns[place] for place in kept), filled), walk.talk.width() - 2, "  ")


def _last(each: Wanted, *, dated: bool) -> str:
    if each.last is None:
        return ""
    date, reading = each.last
    return f"{reading.bare} ({date})" if dated else reading.bare


def _drawn(shown: Block, room: int, indent: str) -> str:
    """A table as text of so many columns, for a terminal or not, in characters that standard output has."""
    stream = io.StringIO()
    is_terminal = sys.stdout is not None and sys.stdout.isatty()
    console = Console(file=stream, width=room, force_terminal=is_terminal, highlight=False, markup=False, emoji=False)
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    for each in terminal.of_block(shown, room, encoding):
        console.print(each)
    return "".join(f"{indent}{line.rstrip()}\n" for line in stream.getvalue().splitlines())


def _written(walk: Walk, entry: Entry) -> None:
    """What stands under the box already."""
    facts = [
        (entry.answer, entry.reason),
        ("by", entry.by),
        ("good until", entry.good_until),
        ("paper", entry.paper),
        ("used", entry.used),
        ("second look by", entry.second_look),
        ("took", f"{entry.took} min" if entry.took is not None else ""),
        *(("remark", note) for note in entry.notes),
        ("corrected", f"{entry.cleared.date} {entry.cleared.text}" if entry.cleared else ""),
        ("fix", f"{entry.fix}, for {entry.may_wait}" if entry.fix else ""),
    ]
    for name, told in facts:
        if name and told:
            walk.talk.say(f"{name}: {told}", indent="  ", hang="  ")
    for finding in entry.findings:
        state = f"corrected {finding.cleared.date}" if finding.cleared else f"open, fix {finding.fix}"
        walk.talk.say(f"{finding.id} {finding.text} ({state})", indent="  ", hang="  ", strong=finding.stands)
