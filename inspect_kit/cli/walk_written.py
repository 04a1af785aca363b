"""What the walk asks to be written under a box: readings, dates, second looks, findings, minutes."""

from collections.abc import Callable

from inspect_kit.cli.walk_state import STOP, Walk, ask, say
from inspect_kit.inspection import edit
from inspect_kit.inspection.walk import Blank, blanks, check_of
from inspect_kit.model.checklist import Bound, decimal
from inspect_kit.model.finding import Finding
from inspect_kit.model.worksheet import AS_PLANNED, NOTHING_USED
from inspect_kit.text.grammar import Unreadable, parse_date, parse_fix, parse_minutes
from inspect_kit.text.page_values import parse_used
from inspect_kit.text.worksheet import USED


def ask_blanks(walk: Walk, box: int) -> str:
    """Ask what a ticked box still wants written; nothing but Enter leaves it for later."""
    while wanted := blanks(walk.sheet.entries[box], check_of(walk.logbook, walk.sheet.entries[box])):
        blank = wanted[0]
        bound = _bound(walk, box, blank)
        told = f"{blank.measure}" + (f", {bound}" if bound else "")
        if blank.key == USED:
            check = check_of(walk.logbook, walk.sheet.entries[box])
            planned = "; ".join(map(str, check.uses)) if check and check.uses else "nothing"
            told = f"planned: {planned}; [p] as planned, [n] none, or what it was"
        value = ask(f"  {blank.key}" + (f" ({told})" if told else "") + ":")
        if value in ("", "l", "later"):
            walk.later.add(box)
            return ""
        if value in ("s", STOP):
            return STOP
        if blank.key == USED:
            value = {"p": AS_PLANNED, "n": NOTHING_USED}.get(value, value)
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


def _bound(walk: Walk, box: int, blank: Blank) -> Bound | None:
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
    parsers: dict[str, Callable[[str], object]] = {"good until": parse_date, USED: parse_used}
    if blank.key in parsers:
        try:
            parsers[blank.key](value)
        except Unreadable as fault:
            return f"{fault.message}."
    return ""


def _is_out(value: str, bound: Bound) -> bool:
    number = decimal(value.split()[0])
    return number is not None and not bound.holds(number)


def _out_of_limits(walk: Walk, box: int, blank: Blank) -> None:
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
    ask_finding(walk, box)


def ask_finding(walk: Walk, box: int) -> None:
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


def ask_took(walk: Walk, box: int) -> None:
    value = ask("  Minutes it took:")
    words = f"{value} min" if value.isdigit() else value
    try:
        parse_minutes(words)
    except Unreadable as fault:
        say(f"  {fault.message}.")
        return
    walk.keep(edit.write(walk.sheet, box, "took", words))
