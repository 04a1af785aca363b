"""Walking a page at the aircraft, one question after another; every answer is on the disk before the next one."""

import click

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.sheets import find_page
from inspect_kit.cli.walk_state import JOINT, STOP, Walk, ask, say, wrapped
from inspect_kit.cli.walk_written import ask_blanks, ask_finding, ask_took
from inspect_kit.errors import Misused
from inspect_kit.inspection import edit
from inspect_kit.inspection.walk import check_of, next_box, progress, together
from inspect_kit.model.checklist import Check
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Cleared
from inspect_kit.model.worksheet import Entry
from inspect_kit.report import terminal
from inspect_kit.text.grammar import Unreadable, parse_fix

# The words of an answer; the first letter is enough, and nothing but Enter means the first that is offered.
WORDS = {
    "o": "in order",
    "a": "all in order",
    "n": "not applicable",
    "d": "not done",
    "f": "finding",
    "r": "remark",
    "t": "took",
    "l": "later",
    "b": "back",
    "s": STOP,
}


def walk_page(desk: Desk, name: str, by: str) -> None:
    """Ask box after box until all are settled or the person stops."""
    loaded, logbook = desk.loaded()
    sheet, read = find_page(loaded, logbook, name)
    walk = Walk(desk, logbook, sheet, read, by)
    named = edit.name_findings(sheet)
    if named is not sheet:
        walk.keep(named)
    done, boxes = progress(walk.logbook, sheet.page)
    say(f"{sheet.page.place.file}: {done} of {boxes} boxes are settled. Every answer is saved at once.", strong=True)
    while (box := next_box(walk.logbook, walk.sheet.page, walk.later)) is not None:
        if _box(walk, box) == STOP:
            break
    done, boxes = progress(walk.logbook, walk.sheet.page)
    say()
    if walk.later:
        say(f"{len(walk.later)} left for later; `walk` asks them again.")
    say(f"{done} of {boxes} boxes are settled." + (" `sign` says what is still missing." if done == boxes else ""))


def _box(walk: Walk, box: int) -> str:
    """Ask one box; STOP ends the walk."""
    entry = walk.sheet.entries[box]
    check = check_of(walk.logbook, entry)
    _introduce(walk, box, entry, check)
    if entry.is_standing and not entry.answered:
        return _standing(walk, box)
    if entry.answered:
        return ask_blanks(walk, box)
    group = together(walk.logbook, walk.sheet.page, box)
    letters = _offered(entry, len(group))
    answer = ask(_choices(letters, len(group))).lower()
    letter = next((key for key in letters if answer in (key, WORDS[key])), "" if answer else letters[0])
    match letter:
        case "o":
            if _tick(walk, box):
                walk.trail.append(box)
                return ask_blanks(walk, box)
        case "a":
            sheet = walk.sheet
            for at in group:
                sheet = edit.in_order(sheet, at)
                if walk.by and walk.by != sheet.page.inspector:
                    sheet = edit.write(sheet, at, "by", walk.by)
            if walk.keep(sheet):
                walk.trail += group
        case "n" | "d":
            kind = NOT_APPLICABLE if letter == "n" else NOT_DONE
            if (reason := ask("  Why?")) and walk.keep(edit.answer(walk.sheet, box, kind, reason)):
                walk.trail.append(box)
        case "f":
            ask_finding(walk, box)
        case "r":
            if remark := ask("  Remark:"):
                walk.keep(edit.write(walk.sheet, box, "note", remark))
        case "t":
            ask_took(walk, box)
        case "l":
            walk.later.add(box)
        case "b":
            _back(walk)
        case "s":
            return STOP
        case _:
            say(f"  `{answer}` is none of the answers.")
    return ""


def _offered(entry: Entry, group: int) -> list[str]:
    letters = ["o"]
    if group > 1:
        letters.append("a")
    if entry.is_check:
        letters += ["n", "d"]
    return [*letters, "f", "r", "t", "l", "b", "s"]


def _choices(letters: list[str], group: int) -> str:
    words = {**WORDS, "a": f"all {group} in order"}
    told = [f"[{key}] {words[key]}".replace(" ", JOINT) for key in letters]
    return "  " + "  ".join(told) + "\n  >"


def _introduce(walk: Walk, box: int, entry: Entry, check: Check | None) -> None:
    """Say where we are: panel, cautions first, then the box."""
    panel = walk.logbook.panels.get(walk.logbook.id_now(entry.id) if entry.is_panel else check.panel if check else "")
    say()
    say(f"--- {box + 1} of {len(walk.sheet.entries)}" + (f" · {panel.name}" if panel else ""))
    cautions = check.cautions if check else panel.cautions if panel and entry.is_panel else ()
    for caution in cautions:
        click.secho(wrapped(terminal.safe(f"  CAUTION: {caution}")), bold=True, fg="red")
    verb = f"{entry.verb} " if entry.verb else ""
    say(f"{verb}{entry.text}  ({entry.id})", strong=True)
    if panel and entry.is_panel and panel.fasteners:
        say(f"  {panel.fasteners}")
    if check:
        for name, told in (("tools", "; ".join(check.tools)), ("uses", "; ".join(map(str, check.uses)))):
            if told:
                say(f"  {name}: {told}")
        if check.others:
            say(f"  done by others: {check.others}")
    for reading in entry.readings:
        if reading.value:
            say(f"  {reading.label}: {reading.last}")
    for finding in entry.findings:
        state = "cleared" if finding.cleared else f"fix {finding.fix}"
        say(f"  {finding.id} {finding.text} ({state})")


def _tick(walk: Walk, box: int) -> bool:
    sheet = edit.in_order(walk.sheet, box)
    if walk.by and walk.by != sheet.page.inspector and not sheet.entries[box].by:
        sheet = edit.write(sheet, box, "by", walk.by)
    return walk.keep(sheet)


def _standing(walk: Walk, box: int) -> str:
    """A finding from before: cleared, put off again, still within its limit, or left for later."""
    reference = walk.sheet.entries[box].id
    words = ("[c] cleared", "[p] put off again", "[w] looked at, waits as it is", "[l] later", "[s] stop")
    match ask("  " + "  ".join(word.replace(" ", JOINT) for word in words) + "\n  >").lower()[:1]:
        case "c":
            if how := ask("  How was it put right?"):
                who = walk.by or walk.sheet.page.inspector
                walk.keep(edit.clear(walk.sheet, reference, Cleared(date=walk.desk.on, text=how, by=who)))
        case "p":
            fix = ask("  Fix: by 2027-01-31, by 430.0 h or at next condition inspection:")
            try:
                parse_fix(fix)
            except Unreadable as fault:
                say(f"  {fault.message}.")
                return ""
            if reason := ask("  It may wait because:"):
                walk.keep(edit.put_off(walk.sheet, reference, fix, reason))
        case "w":
            walk.keep(edit.in_order(walk.sheet, box))
        case "s":
            return STOP
        case _:
            walk.later.add(box)
    return ""


def _back(walk: Walk) -> None:
    """Take the last answer of this walk back and ask it again."""
    if not walk.trail:
        say("  There is nothing to go back to in this walk.")
        return
    box = walk.trail.pop()
    walk.later.discard(box)
    if box >= len(walk.sheet.entries):
        raise Misused("the page has fewer boxes than before: stop and start the walk again")
    walk.keep(edit.untick(walk.sheet, box))
