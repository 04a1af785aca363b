"""Walking a page at the aircraft, one question after another; every answer is on the disk before the next one."""

from dataclasses import dataclass, field

import click

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.sheets import again, find_page, save
from inspect_kit.errors import Misused
from inspect_kit.inspection import edit
from inspect_kit.inspection.walk import Blank, blanks, check_of, next_box, progress, together
from inspect_kit.model.checklist import Bound, Check, decimal
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE, Cleared, Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Entry
from inspect_kit.report import terminal
from inspect_kit.store import ChangedSinceRead, load
from inspect_kit.text.grammar import Unreadable, parse_date, parse_fix, parse_minutes

STOP = "stop"
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


@dataclass(slots=True)
class _Walk:
    """One walk: the page with the bytes it was read from, what was left for later, and the way back."""

    desk: Desk
    logbook: Logbook
    sheet: edit.OpenPage
    read: bytes
    by: str
    later: set[int] = field(default_factory=set)
    trail: list[int] = field(default_factory=list)

    def keep(self, sheet: edit.OpenPage) -> bool:
        """Save; when the page was changed by hand meanwhile, read it again and say so."""
        try:
            self.read = save(self.desk, sheet, self.read)
        except ChangedSinceRead:
            file = self.sheet.page.place.file
            self.read = load(self.desk.root).files[file]
            self.sheet = again(self.read, file)
            say("The page was changed by hand meanwhile. It was read again; please answer once more.")
            return False
        self.sheet = sheet
        return True


def say(text: str = "", *, strong: bool = False) -> None:
    click.secho(terminal.safe(text), bold=strong)


def ask(text: str, default: str = "") -> str:
    answer: str = click.prompt(text, default=default, show_default=False, prompt_suffix=" ")
    return answer.strip()


def walk_page(desk: Desk, name: str, by: str) -> None:
    """Ask box after box until all are settled or the person stops."""
    sheet, read = find_page(desk, name)
    walk = _Walk(desk, desk.logbook(), sheet, read, by)
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


def _box(walk: _Walk, box: int) -> str:
    """Ask one box; STOP ends the walk."""
    entry = walk.sheet.entries[box]
    check = check_of(walk.logbook, entry)
    _introduce(walk, box, entry, check)
    if entry.is_standing and not entry.answered:
        return _standing(walk, box)
    if entry.answered:
        return _blanks(walk, box)
    group = together(walk.logbook, walk.sheet.page, box)
    letters = _offered(entry, len(group))
    answer = ask(_choices(letters, len(group))).lower()
    letter = next((key for key in letters if answer in (key, WORDS[key])), "" if answer else letters[0])
    match letter:
        case "o":
            if _tick(walk, box):
                walk.trail.append(box)
                return _blanks(walk, box)
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
            _finding(walk, box)
        case "r":
            if remark := ask("  Remark:"):
                walk.keep(edit.write(walk.sheet, box, "note", remark))
        case "t":
            _took(walk, box)
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
    told = [f"[{key}] {words[key]}" for key in letters]
    return "  " + "  ".join(told) + "\n  >"


def _introduce(walk: _Walk, box: int, entry: Entry, check: Check | None) -> None:
    """Say where we are: panel, cautions first, then the box."""
    panel = walk.logbook.panels.get(walk.logbook.id_now(entry.id) if entry.is_panel else check.panel if check else "")
    say()
    say(f"--- {box + 1} of {len(walk.sheet.entries)}" + (f" · {panel.name}" if panel else ""))
    cautions = check.cautions if check else panel.cautions if panel and entry.is_panel else ()
    for caution in cautions:
        click.secho(terminal.safe(f"  CAUTION: {caution}"), bold=True, fg="red")
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


def _tick(walk: _Walk, box: int) -> bool:
    sheet = edit.in_order(walk.sheet, box)
    if walk.by and walk.by != sheet.page.inspector and not sheet.entries[box].by:
        sheet = edit.write(sheet, box, "by", walk.by)
    return walk.keep(sheet)


def _blanks(walk: _Walk, box: int) -> str:
    """Ask what a ticked box still wants written; nothing but Enter leaves it for later."""
    while wanted := blanks(walk.sheet.entries[box], check_of(walk.logbook, walk.sheet.entries[box])):
        blank = wanted[0]
        bound = _bound(walk, box, blank)
        told = f"{blank.measure}" + (f", {bound}" if bound else "")
        value = ask(f"  {blank.key}" + (f" ({told})" if told else "") + ":")
        if value in ("", "l", "later"):
            walk.later.add(box)
            return ""
        if value in ("s", STOP):
            return STOP
        fault = _fault(blank, value)
        if fault:
            say(f"  {fault}")
            continue
        if blank.is_reading:
            kept = walk.keep(edit.measure(walk.sheet, box, blank.key, value))
        else:
            kept = walk.keep(edit.write(walk.sheet, box, blank.key, value))
        if not kept:
            return ""
        if blank.is_reading and bound and _is_out(value, bound):
            say(f"  {blank.key}: {value} is out of limits ({bound}).", strong=True)
            _out_of_limits(walk, box, blank)
    return ""


def _bound(walk: _Walk, box: int, blank: Blank) -> Bound | None:
    entry = walk.sheet.entries[box]
    check = check_of(walk.logbook, entry)
    for reads in check.reads if check else ():
        if blank.key in reads.labels:
            return reads.bound
    return None


def _fault(blank: Blank, value: str) -> str:
    """Why a value cannot be taken, or nothing."""
    if blank.is_reading and blank.measure != "words" and decimal(value.split()[0]) is None:
        return f"`{value}` is no number."
    if blank.key == "good until":
        try:
            parse_date(value)
        except Unreadable as fault:
            return f"{fault.message}."
    return ""


def _is_out(value: str, bound: Bound) -> bool:
    number = decimal(value.split()[0])
    return number is not None and not bound.holds(number)


def _out_of_limits(walk: _Walk, box: int, blank: Blank) -> None:
    """A reading out of limits is measured again, or becomes a finding."""
    value = ask("  Measure again: write the value, or press Enter to write a finding:")
    if value and decimal(value.split()[0]) is not None:
        if walk.keep(edit.measure(walk.sheet, box, blank.key, value)):
            bound = _bound(walk, box, blank)
            if bound is None or not _is_out(value, bound):
                return
            say(f"  {blank.key}: {value} is out of limits ({bound}) as well.", strong=True)
        else:
            return
    _finding(walk, box)


def _finding(walk: _Walk, box: int) -> None:
    """Ask for a finding: what, by when it must be fixed, and why it may wait."""
    text = ask("  What was found?")
    if not text:
        return
    fix = may_wait = ""
    while True:
        fix = ask("  Fix: Enter for before flight, or by 2027-01-31, by 430.0 h, at next condition inspection:")
        try:
            limit = parse_fix(fix or "before flight")
            break
        except Unreadable as fault:
            say(f"  {fault.message}.")
    if not limit.before_flight:
        may_wait = ask("  It may wait because:")
    waiting = ask("  Waiting for a part? Which one, and ordered when (Enter for none):")
    made = Finding(id="F1", text=text, fix=limit, may_wait=may_wait, waiting=waiting, place=walk.sheet.page.place)
    if walk.keep(edit.find(walk.sheet, box, made)):
        say(f"  {walk.sheet.entries[box].findings[-1].id} is written. The box is ticked when the look is done.")


def _standing(walk: _Walk, box: int) -> str:
    """A finding from before: cleared, put off again, still within its limit, or left for later."""
    reference = walk.sheet.entries[box].id
    choices = "  [c] cleared  [p] put off again  [w] looked at, waits as it is  [l] later  [s] stop\n  >"
    match ask(choices).lower()[:1]:
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


def _took(walk: _Walk, box: int) -> None:
    value = ask("  Minutes it took:")
    words = f"{value} min" if value.isdigit() else value
    try:
        parse_minutes(words)
    except Unreadable as fault:
        say(f"  {fault.message}.")
        return
    walk.keep(edit.write(walk.sheet, box, "took", words))


def _back(walk: _Walk) -> None:
    """Take the last answer of this walk back and ask it again."""
    if not walk.trail:
        say("  There is nothing to go back to in this walk.")
        return
    box = walk.trail.pop()
    walk.later.discard(box)
    if box >= len(walk.sheet.entries):
        raise Misused("the page has fewer boxes than before: stop and start the walk again")
    walk.keep(edit.untick(walk.sheet, box))
