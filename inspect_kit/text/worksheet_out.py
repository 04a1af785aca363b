"""A worksheet as text: how a page is first written, and the lines of single boxes. Read back by `text.worksheet`."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from inspect_kit.model.checklist import OTHERS, Check, Panel, Reads
from inspect_kit.model.finding import Cleared, Finding
from inspect_kit.model.worksheet import REFIT
from inspect_kit.text.fields import Plain, write_yaml
from inspect_kit.text.page_values import BLANK, cleared_text
from inspect_kit.text.source import one_line
from inspect_kit.text.worksheet import is_note

# What is looked at before a panel hides it.
INSIDE = "inside free of tools, rags and parts"


def page_text(
    *,
    job: str,
    registration: str,
    begun: dt.date,
    meters: Mapping[str, Decimal | None],
    inspector: str,
    helpers: Sequence[str],
    questions: Sequence[str] = (),
    blocks: Iterable[Sequence[str]],
) -> str:
    """The whole page; `blocks` are headings, notes and boxes, each a few lines, set apart by blank lines.

    A meter without a number, and each of the `questions`, is written as a blank to be filled in.
    """
    front = write_yaml(
        {
            "job": Plain(job),
            "aircraft": registration,
            "begun": Plain(str(begun)),
            "meters": {name: Plain(BLANK if value is None else str(value)) for name, value in meters.items()},
            "inspector": inspector or Plain(BLANK),
            "helpers": list(helpers),
            **dict.fromkeys(questions, Plain(BLANK)),
        }
    )
    # What came from a record or a front matter may hold line breaks: here none may begin a line, and a box, of its own.
    body = ("\n".join(map(one_line, block)) for block in blocks)
    return f"---\n{front}---\n\n" + "\n\n".join(body) + "\n"


def panel_box(verb: str, panel: Panel, second_look: bool) -> list[str]:
    """The box of a panel that comes off or goes back, a setup that is made or undone."""
    lines = [f"- [ ] {verb} `{panel.id}` {panel_words(panel, verb)}"]
    return [*lines, f"  - second look by: {BLANK}"] if second_look else lines


def panel_words(panel: Panel, verb: str) -> str:
    """What stands behind the id in the box of a panel; a refit asks what is left inside."""
    people = f" ({panel.people} people)" if panel.people > 1 else ""
    return panel.name + people + (f"; {INSIDE}" if verb == REFIT else "")


def check_box(check: Check) -> list[str]:
    """The box of a check with a blank for everything it asks to be written."""
    lines = [f"- [ ] `{check.id}` {check.text}"]
    for reads in check.reads:
        lines += [f"  - {label}: {reading_blank(reads)}" for label in reads.labels]
    if check.marked:
        lines.append(f"  - good until: {BLANK}")
    if check.who == OTHERS:
        lines.append(f"  - paper: {BLANK}")
    if check.uses:
        lines.append(f"  - used: {BLANK} (planned: {'; '.join(map(str, check.uses))})")
    if check.second_look:
        lines.append(f"  - second look by: {BLANK}")
    return lines


def reading_blank(reads: Reads) -> str:
    """`____ psi (at least 60)`; words are asked for as `____ (words)`."""
    if reads.in_words:
        return f"{BLANK} (words)"
    return f"{BLANK} {reads.measure}" + (f" ({reads.bound})" if reads.bound else "")


def standing_box(reference: str, finding: Finding, fix: str = "") -> list[str]:
    """The box of a finding that still stands from an earlier record; `fix` is its limit in words, as it was written."""
    return [f"- [ ] `{reference}` {standing_words(finding, fix)}"]


def standing_words(finding: Finding, fix: str = "") -> str:
    """What stands behind the reference in the box of a finding from before."""
    where = finding.check or finding.panel or ""
    return f"{finding.text} ({where}; fix {fix or finding.fix})".replace(" (; ", " (")


CAUTION, TOOLS, OWED, RECKONED = "> CAUTION: ", "> Tools: ", "> Owed after ", "> Reckoned from these: "
FASTENERS, NOTE = "Fasteners: ", "From the checklist: "
PRINTED_BEFORE = (CAUTION, TOOLS, OWED, RECKONED, FASTENERS, NOTE)


def note_line(note: str) -> str:
    """A note of a checklist as it is printed between the boxes; one that looks like an entry says whose it is."""
    return note if is_note(note) else NOTE + note


def finding_lines(finding: Finding) -> list[str]:
    """`found: F1 text` with its keys below, as bullets without the indent of the box they stand under."""
    lines = [f"- found: {finding.id} {finding.text}", f"  - fix: {finding.fix}"]
    if finding.may_wait:
        lines.append(f"  - may wait because: {finding.may_wait}")
    if finding.waiting:
        lines.append(f"  - waiting: {finding.waiting}")
    if finding.recheck:
        lines.append(f"  - recheck: in {' or '.join(map(str, finding.recheck))}")
    if finding.cleared:
        lines.append(cleared_line(finding.cleared))
    return lines


def cleared_line(cleared: Cleared) -> str:
    """`- cleared: 2026-11-28 stack replaced; by: NAME`, indented as it stands under a finding."""
    return f"  - cleared: {cleared_text(cleared)}"
