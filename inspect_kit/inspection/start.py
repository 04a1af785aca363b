"""Start a job: the checks that apply, and the page that they are copied to in the order of the plan."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from inspect_kit.inspection.questions import EQUIPMENT, FLIGHT_CHECK, asks_equipment
from inspect_kit.inspection.standing import boxed
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import BEFORE, CLOSED, OPEN, Check, Panel
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import Cause, deeds, owed_by
from inspect_kit.model.worksheet import CLOSING, JOB_WORK, OPENING, Step
from inspect_kit.text.worksheet_out import (
    CAUTION,
    FASTENERS,
    OWED,
    RECKONED,
    TOOLS,
    check_box,
    note_line,
    page_text,
    panel_box,
    standing_box,
)

PHASES = {
    BEFORE: "Before anything comes off",
    OPEN: "Panels off, checks, panels on",
    CLOSED: "When all is back on",
}
STANDING = "Findings open from before"


def new_page(
    logbook: Logbook,
    *,
    job: str,
    steps: Iterable[Step],
    begun: dt.date,
    meters: Mapping[str, Decimal],
    inspector: str = "",
    helpers: Sequence[str] = (),
) -> str:
    """The text of a new page: findings that still stand, then every step with its notes and cautions before it.

    `job` is an inspection's name or `work`. `meters` are the readings on the day; the meter that stands for time in
    service is asked for where it is not given.
    """
    steps = tuple(steps)
    chosen = {step.check for step in steps if step.check}
    blocks = [_title(logbook.aircraft, job), *_standing(logbook, job, chosen)]
    phase = panel = None
    owed = _owed_after(logbook, steps)
    for step in steps:
        check = logbook.checks.get(step.check or "")
        now = check.when if check else OPEN
        if now != phase:
            phase, panel = now, None
            blocks.append([f"## {PHASES[now]}"])
        blocks += _step(logbook.panels, step, check, owed.get(step.check or "", ()), heading=step.panel != panel)
        panel = step.panel
    asked: dict[str, Decimal | None] = {logbook.aircraft.time_in_service: None, **meters}
    return page_text(
        job=job,
        registration=logbook.aircraft.identity.registration,
        begun=begun,
        meters=asked,
        inspector=inspector,
        helpers=helpers,
        questions=_questions(logbook, job, steps),
        blocks=blocks,
    )


def _questions(logbook: Logbook, job: str, steps: Sequence[Step]) -> tuple[str, ...]:
    """What the page asks as a whole: whether equipment changed; a flight check where its steps disturb the controls."""
    moved = {name for step in steps if not step.check for name in logbook.panels[step.panel].disturbs}
    moved |= {name for step in steps if step.check for name in logbook.checks[step.check].disturbs}
    controls = {*map(logbook.id_now, moved)} & {*logbook.flight_check_after}
    return (*([EQUIPMENT] if asks_equipment(logbook, job) else ()), *([FLIGHT_CHECK] if controls else ()))


def _title(aircraft: Aircraft, job: str) -> list[str]:
    named = f"{aircraft.identity.registration}, {aircraft.identity.make} {aircraft.identity.model}"
    lines = [f"# {'Work' if job == JOB_WORK else job.capitalize() + ' inspection'} of {named}"]
    if job != JOB_WORK and aircraft.not_applicable:
        lines += ["", "Not applicable on this aircraft:", ""]
        lines += [f"* {code}: {reason}" for code, reason in aircraft.not_applicable.items()]
    return lines


def _standing(logbook: Logbook, job: str, chosen: set[str]) -> list[list[str]]:
    found = boxed(logbook, job, chosen)
    boxes = [standing_box(each, finding, logbook.fix_words(finding.fix)) for each, finding in found.items()]
    return [[f"## {STANDING}"], *boxes] if boxes else []


def _owed_after(logbook: Logbook, steps: Sequence[Step]) -> Mapping[str, tuple[Cause, ...]]:
    """The checks of these steps that others of them make owed, with what they are owed after."""
    did = [step.check for step in steps if step.check]
    closed = [step.panel for step in steps if step.step in CLOSING]
    return owed_by(logbook.checks, deeds(logbook.checks, logbook.panels, did=did, closed=closed, renews=True))


def _step(
    panels: Mapping[str, Panel], step: Step, check: Check | None, owed: Sequence[Cause], *, heading: bool
) -> list[list[str]]:
    panel = panels[step.panel]
    blocks = [[_heading(panel)]] if heading else []
    if check is not None:
        blocks += _notes(check.cautions, check.tools, ())
        if owed:
            blocks.append([f"{OWED}{'; '.join(dict.fromkeys(map(str, owed)))}."])
        if check.reckons:
            blocks.append([f"{RECKONED}{each}" for each in check.reckons])
        return [*blocks, check_box(check)]
    opening = step.step in OPENING
    notes = panel.notes if opening else ()
    blocks += _notes(panel.cautions if opening else (), panel.tools if opening else (), _kept(notes))
    if opening and panel.fasteners:
        blocks.append([FASTENERS + panel.fasteners])
    second_look = panel.second_look and step.step in CLOSING
    return [*blocks, panel_box(step.step, panel, second_look)]


def _notes(cautions: Sequence[str], tools: Sequence[str], notes: Sequence[str]) -> list[list[str]]:
    lines = [CAUTION + caution for caution in cautions]
    if tools:
        lines.append(TOOLS + "; ".join(tools))
    blocks = [lines] if lines else []
    return blocks + ([list(notes)] if notes else [])


def _kept(notes: Sequence[str]) -> list[str]:
    """The notes of a panel without its headings: the page has headings of its own."""
    return [note_line(note) for note in notes if not note.startswith("#")]


def _heading(panel: Panel) -> str:
    return f"### {panel.name}"


def printed_lines(panels: Mapping[str, Panel], checks: Mapping[str, Check]) -> Iterator[str]:
    """Every line that a page of today may have between its boxes; what it says is owed after what is left out."""
    yield from (f"## {words}" for words in (*PHASES.values(), STANDING))
    for panel in panels.values():
        yield from (_heading(panel), *_kept(panel.notes), FASTENERS + panel.fasteners)
        yield from (line for block in _notes(panel.cautions, panel.tools, ()) for line in block)
    for check in checks.values():
        yield from (line for block in _notes(check.cautions, check.tools, ()) for line in block)
        yield from (f"{RECKONED}{each}" for each in check.reckons)

