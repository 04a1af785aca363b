"""Verbs on an open page: tick, write a reading, find, clear. Each takes the page's text and gives the new one.

What was written is read back before it is given out: what a page cannot hold is refused, and if any other box came out
changed, the program says that it is at fault. Nothing is written then.
"""

import contextlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from inspect_kit.errors import Misused, Place, ProgramFault
from inspect_kit.model.checklist import CLOSED, Check, Panel
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Cleared, Finding
from inspect_kit.model.worksheet import Entry, Missing, Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.text import page_edit
from inspect_kit.text.page_values import cleared_text, measured_text, reading_text
from inspect_kit.text.worksheet import read_worksheet
from inspect_kit.text.worksheet_out import check_box, finding_lines, panel_box

COME_BACK = "What has come back is a new finding: inspect-kit finding WHERE WHAT"

ANSWERS = (NOT_APPLICABLE, NOT_DONE)
SETTLED = ("cleared", "fix", "may wait because")
NOWHERE = Place("")


@dataclass(frozen=True, slots=True)
class OpenPage:
    """A page with its text, so that both always belong together; `faults` is how many problems it was read with."""

    text: str
    page: Worksheet
    faults: int = 0

    @property
    def entries(self) -> tuple[Entry, ...]:
        return self.page.entries

    def box(self, name: str, verb: str = "") -> int | None:
        """The place of the first box of that id (and verb) that is not ticked yet, else of the last one."""
        found = [at for at, entry in enumerate(self.entries) if entry.id == name and entry.verb == verb]
        unticked = [at for at in found if not self.entries[at].ticked]
        return next(iter(unticked or found[-1:]), None)


def opened(text: str, file: str) -> OpenPage | None:
    """The page of a text, or None when its front matter cannot be read."""
    page, source = read_worksheet(text, file)
    return OpenPage(text, page, len(source.problems)) if page else None


def tick_in_order(sheet: OpenPage, box: int) -> OpenPage:
    """Tick a box: done, found in order unless a finding stands under it."""
    text = page_edit.drop_keys(page_edit.write_tick(sheet.text, box), box, ANSWERS)
    return _read_back(sheet, text, {box})


def untick(sheet: OpenPage, box: int, settled: Sequence[str] = SETTLED) -> OpenPage:
    """Take a tick or an answer back; of a finding that stands from before also how it was `settled`, by these keys."""
    keys = (*ANSWERS, *settled) if sheet.entries[box].is_standing else ANSWERS
    text = page_edit.drop_keys(page_edit.write_tick(sheet.text, box, ticked=False), box, keys)
    return _read_back(sheet, text, {box})


def answer(sheet: OpenPage, box: int, kind: str, reason: str) -> OpenPage:
    """Answer `not applicable` or `not done`, with the reason."""
    text = page_edit.write_tick(sheet.text, box, ticked=False)
    text = page_edit.drop_keys(text, box, [other for other in ANSWERS if other != kind])
    return _read_back(sheet, page_edit.write_key(text, box, kind, reason), {box})


def leave_undone(sheet: OpenPage, reason: str) -> OpenPage:
    """Answer every box that is still open `not done`; findings that stand from before stay as they are."""
    text, edited = sheet.text, set()
    for box, entry in enumerate(sheet.entries):
        if not entry.answered and not entry.is_standing:
            text = page_edit.write_key(text, box, NOT_DONE, reason)
            edited.add(box)
    return _read_back(sheet, text, edited) if edited else sheet


def measure(sheet: OpenPage, box: int, label: str, value: str) -> OpenPage:
    """Write a reading: in the place of its blank, or as `again` where one stands already."""
    reading = next((reading for reading in sheet.entries[box].readings if reading.label == label), None)
    if reading is None:
        text = page_edit.write_key(sheet.text, box, label, value)
    elif reading.value:
        text = page_edit.write_again(sheet.text, box, label, measured_text(value, reading))
    else:
        text = page_edit.write_key(sheet.text, box, label, reading_text(value, reading))
    return _read_back(sheet, text, {box})


def correct(sheet: OpenPage, box: int, label: str, value: str) -> OpenPage:
    """Put another value in the place of the reading that counts: one that was mistyped, not one measured again."""
    reading = next(reading for reading in sheet.entries[box].readings if reading.label == label)
    if reading.again:
        text = page_edit.replace_again(sheet.text, box, label, measured_text(value, reading))
    else:
        text = page_edit.write_key(sheet.text, box, label, reading_text(value, reading))
    return _read_back(sheet, text, {box})


def write(sheet: OpenPage, box: int, key: str, value: str) -> OpenPage:
    """Write one of `note`, `took`, `by`, `good until`, `second look by`, `paper`, `disturbed`, `fix`, `cleared`."""
    if key == "note":
        return _read_back(sheet, page_edit.add_below(sheet.text, box, [f"- note: {value}"]), {box})
    return _read_back(sheet, page_edit.write_key(sheet.text, box, key, value), {box})


def add_helper(sheet: OpenPage, name: str) -> OpenPage:
    """Write a name behind those of the page's helpers."""
    with contextlib.suppress(Misused):
        after = _read_back(sheet, page_edit.write_helper(sheet.text, name), set())
        if after.page.helpers == (*sheet.page.helpers, name):
            return after
    file = sheet.page.place.file
    raise Misused(f"nothing was written: write `{name}` under `helpers` at the top of {file} by hand")


def say_at_top(sheet: OpenPage, note: str) -> OpenPage:
    """Write a sentence above everything else of the page, unless it stands there."""
    if note in sheet.text.split("\n"):
        return sheet
    return _read_back(sheet, page_edit.write_at_top(sheet.text, note), set())


def answer_page(sheet: OpenPage, key: str, value: str) -> OpenPage:
    """Answer a question of the page as a whole: `equipment`, `flight-check`; `value` as YAML."""
    return _read_back(sheet, page_edit.write_front(sheet.text, key, value), set())


def read_meters(sheet: OpenPage, meters: Mapping[str, Decimal]) -> OpenPage:
    """Write what meters read when the work is finished in the place of what they read when it was begun."""
    told = ", ".join(f"{name}: {reads}" for name, reads in {**sheet.page.meters, **meters}.items())
    return answer_page(sheet, "meters", f"{{{told}}}")


def as_it_stands(gaps: Iterable[Missing], edited: OpenPage, sheet: OpenPage) -> tuple[Missing, ...]:
    """What an edit that was not written misses, by the lines of the page that lies there."""
    gaps = tuple(gaps)
    if not gaps or edited.text == sheet.text:
        return gaps
    from difflib import SequenceMatcher

    now, before = edited.text.splitlines(), sheet.text.splitlines()
    lines: dict[int, int] = {}
    for _, old, old_end, new, new_end in SequenceMatcher(None, before, now, autojunk=False).get_opcodes():
        # What was written anew stands where the old lines did, the last of which what is more came behind.
        last = max(old, old_end - 1)
        lines |= {new + at + 1: min(old + at, last) + 1 for at in range(new_end - new)}
    file = sheet.page.place.file

    def stood(place: Place) -> Place:
        return Place(file, lines.get(place.line, place.line)) if place.file == file else place

    return tuple(replace(gap, place=stood(gap.place)) for gap in gaps)


def write_finding(sheet: OpenPage, box: int, finding: Finding) -> OpenPage:
    """Write a finding under a box; its id is the next free one of the page."""
    named = replace(finding, id=next_id(sheet.page))
    text = page_edit.add_below(sheet.text, box, finding_lines(named))
    return _read_back(sheet, text, {box})


def clear(sheet: OpenPage, finding: str, cleared: Cleared) -> OpenPage:
    """Write under a finding, F1 of this page or RECORD#F1 from before, how it was put right; the latter is ticked."""
    if "#" in finding:
        box = sheet.box(finding)
        assert box is not None
        text = page_edit.write_key(sheet.text, box, "cleared", cleared_text(cleared))
        return _read_back(sheet, page_edit.write_tick(text, box), {box})
    # What the page is told to have been cleared is called so on it.
    sheet = name_findings(sheet)
    box = box_of_finding(sheet, finding)
    assert box is not None
    line = _finding_in(sheet.entries[box], finding).place.line
    text = page_edit.write_below_finding(sheet.text, box, line, "cleared", cleared_text(cleared))
    return _read_back(sheet, text, {box})


def _finding_in(entry: Entry, finding: str) -> Finding:
    return next(each for each in entry.findings if each.id == finding)


def put_off(sheet: OpenPage, finding: str, fix: str, reason: str) -> OpenPage:
    """Give a finding a limit, and the reason why it may wait. Refused where it is cleared already."""
    sheet = name_findings(sheet)
    box = sheet.box(finding) if "#" in finding else box_of_finding(sheet, finding)
    assert box is not None
    entry = sheet.entries[box]
    cleared = entry.cleared if "#" in finding else _finding_in(entry, finding).cleared
    if cleared is not None:
        told = f"{cleared.date} {cleared.text}"
        raise Misused(f"{finding} is cleared already: {told}. {COME_BACK}")
    # Before flight asks no reason, and an empty one would be begun and say nothing.
    for key, value in (("fix", fix), *([("may wait because", reason)] if reason else ())):
        box = sheet.box(finding) if "#" in finding else box_of_finding(sheet, finding)
        assert box is not None
        if "#" in finding:
            text = page_edit.write_tick(page_edit.write_key(sheet.text, box, key, value), box)
        else:
            line = _finding_in(sheet.entries[box], finding).place.line
            text = page_edit.write_below_finding(sheet.text, box, line, key, value)
        sheet = _read_back(sheet, text, {box})
    return sheet


def name_findings(sheet: OpenPage) -> OpenPage:
    """Write the ids into the page that findings written by hand were given when it was read."""
    lines = page_edit.unnamed_findings(sheet.text)
    found = (finding for entry in sheet.entries for finding in entry.findings)
    unnamed = {finding.place.line: finding.id for finding in found if finding.place.line in lines}
    if not unnamed or sheet.faults:
        # On a page that cannot be read whole, such as one with two findings F1, a person has to say which is which.
        return sheet
    return _read_back(sheet, page_edit.write_finding_ids(sheet.text, unnamed), set())


def take_off_again(sheet: OpenPage, panel: Panel, owed: Sequence[Check] = ()) -> OpenPage:
    """A panel that is back on comes off once more for a late finding: two boxes more, at its last refit.

    `owed` are the checks that its going back makes owed: each gets a box below, and what wants all closed below the
    other panels too, which may be off here. What of it was done since the refit stays above, for it answers nothing any
    more.
    """
    opening, closing = panel.verbs
    done = {check.id for check in owed}
    last = max(
        (
            at
            for at, entry in enumerate(sheet.entries)
            if entry.id == panel.id or (entry.answered and entry.id in done)
        ),
        default=-1,
    )
    open_below = {entry.id for entry in sheet.entries[last + 1 :]}
    owed = [check for check in owed if check.id not in open_below]
    if last < 0:
        last = len(sheet.entries) - 1
    below = max([last, *(at for at, entry in enumerate(sheet.entries) if entry.is_panel)])
    if further := [check for check in owed if check.when == CLOSED and below > last]:
        # These first, so that `last` is still the same box.
        sheet = _with_boxes(sheet, below, [*map(check_box, further)], [check.id for check in further])
        owed = [check for check in owed if check not in further]
    boxes = [panel_box(opening, panel, False), panel_box(closing, panel, panel.second_look), *map(check_box, owed)]
    return _with_boxes(sheet, last, boxes, [panel.id, panel.id, *(check.id for check in owed)])


def add_checks(sheet: OpenPage, checks: Sequence[Check]) -> OpenPage:
    """A box more at the end of the page for each of these checks, which something on it made owed."""
    return _with_boxes(sheet, -1, [check_box(check) for check in checks], [check.id for check in checks])


def _with_boxes(sheet: OpenPage, last: int, boxes: Sequence[Sequence[str]], ids: Sequence[str]) -> OpenPage:
    """The page with boxes of these ids behind the box `last` (-1: at the end)."""
    after = _reread(sheet, page_edit.insert_boxes(sheet.text, last, boxes))
    first = len(sheet.entries) if last < 0 else last + 1
    if [entry.id for entry in after.entries[first : first + len(ids)]] != list(ids):
        raise ProgramFault("a box that was added to the page does not read back")
    return after


def replace_line(sheet: OpenPage, line: int, text: str) -> OpenPage:
    """Write one line of the page (from 1) anew, as a pen would."""
    lines = sheet.text.split("\n")
    lines[line - 1] = text
    return _reread(sheet, "\n".join(lines))


def next_id(page: Worksheet) -> str:
    """The next free id of a finding on this page."""
    taken = [int(finding.id[1:]) for entry in page.entries for finding in entry.findings]
    return f"F{max(taken, default=0) + 1}"


def box_of_finding(sheet: OpenPage, finding: str) -> int | None:
    """The place of the box under which a finding of this page stands."""
    boxes = (at for at, entry in enumerate(sheet.entries) if any(f.id == finding for f in entry.findings))
    return next(boxes, None)


def _reread(sheet: OpenPage, text: str) -> OpenPage:
    file = sheet.page.place.file
    page, source = read_worksheet(text, file)
    if page is None or len(source.problems) > sheet.faults:
        told = "; ".join(problem.message for problem in source.problems)
        raise Misused(f"nothing was written into {file}, for it could not be read again: {told}")
    return OpenPage(text, page, len(source.problems))


def _read_back(sheet: OpenPage, text: str, edited: set[int]) -> OpenPage:
    """Read the new text and make sure that every other box says what it said, and that no words went."""
    after = _reread(sheet, text)
    _keep_unread(sheet, after)
    if len(after.entries) != len(sheet.entries):
        raise ProgramFault("an edit changed the number of boxes of the page")
    for at, (old, new) in enumerate(zip(sheet.entries, after.entries, strict=True)):
        if at not in edited and _said(old) != _said(new):
            raise ProgramFault(f"an edit of another box would have changed `{old.id}`")
    return after


def _keep_unread(sheet: OpenPage, after: OpenPage) -> None:
    """Refused where words went that cannot be read: nobody would see them again. A mere `??` says nothing.

    What else was there may count now: a limit with a remark in it would be that of the checklist, and in order.
    """
    if after.faults >= sheet.faults:
        return
    from difflib import SequenceMatcher

    lines = sheet.text.split("\n")
    same = SequenceMatcher(None, lines, after.text.split("\n"), autojunk=False).get_matching_blocks()
    # The line of a box stays, but for its tick.
    kept = {at + 1 for block in same for at in range(block.a, block.a + block.size)}
    kept |= {entry.place.line for entry in sheet.entries}
    gone = {at: line for at, line in enumerate(lines, 1) if at not in kept}
    _, source = read_worksheet(sheet.text, sheet.page.place.file)
    unread = next((problem.place.line for problem in source.problems if problem.place.line in gone), None)
    # A remark in the head is kept below what is written there.
    head = sheet.entries[0].place.line if sheet.entries else len(lines)
    values = ((line.partition(" #")[0] if at < head else line).split(":", 1)[-1] for at, line in gone.items())
    if unread and any(letter.isalnum() for value in values for letter in value):
        told = f"line {unread} of the page cannot be read, and would be lost: `{gone[unread].strip()}`"
        raise Misused(f"{told}. Mend it there first, or make a `note` of it (`inspect-kit verify` says why)")


def _said(entry: Entry) -> Entry:
    """What an entry says, wherever it stands."""
    return replace(
        entry,
        place=NOWHERE,
        lines=(0, 0),
        readings=tuple(replace(reading, place=NOWHERE) for reading in entry.readings),
        findings=tuple(replace(finding, place=NOWHERE) for finding in entry.findings),
    )

