"""From a sheet that a pen has filled to the page: exceptions by number, then each panel's ticks by their count."""

import datetime as dt

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.walk_names import ask_doer
from inspect_kit.cli.walk_questions import is_none_any_more
from inspect_kit.cli.walk_state import ANSWERED, Walk, WalkAnswer
from inspect_kit.cli.walk_talk import Choice
from inspect_kit.cli.walk_ticks import doer_for, ticked
from inspect_kit.cli.walk_written import judge_reading
from inspect_kit.errors import Misused, Refused
from inspect_kit.inspection import edit
from inspect_kit.inspection.ordered import LENGTH, SHEET_OF, as_code, changed, code_of, sheet_lines
from inspect_kit.inspection.paper import (
    EMPTY,
    NOT_APPLICABLE,
    VALUES,
    Typed,
    as_numbers,
    boxes_by_count,
    parse_line,
    values_of,
)
from inspect_kit.inspection.walk import Blank, check_of_box
from inspect_kit.inspection.wanted import wanted
from inspect_kit.model import finding as nouns
from inspect_kit.model.checklist import Panel
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import Worksheet
from inspect_kit.past import parse_said_date
from inspect_kit.text.grammar import CODE_ALPHABET, Unreadable

MOST_TOLD = 12
HELP = (
    "32 76 75 69 77    box 32 is ticked; its readings in the order of its wells, - for an empty one",
    "47 f crack 8 mm   a finding at box 47; the box itself is asked later",
    "51 n no flaps     not applicable, and why",
    "52 d part late    not done, and why",
    "33 r touched up   a remark",
    "12 o              box 12 is ticked",
    "- 63 70-75        these were left empty on the paper",
)


def right_code(desk: Desk, logbook: Logbook, pages: tuple[Worksheet, ...], typed: str) -> Worksheet:
    """The page of which a sheet has this code; Refused, with what changed, when none has."""
    code = as_code(typed)
    if len(code) != LENGTH or not set(code) <= set(CODE_ALPHABET):
        raise Misused(f"`{typed[:40]}` is no code of a sheet: type the six characters at its foot")
    lines = {page.name: sheet_lines(logbook, page) for page in pages}
    found = next((page for page in pages if code_of(lines[page.name]) == code), None)
    if found is not None:
        return found
    told = ", ".join(f"{page.place.file} has {code_of(lines[page.name])}" for page in pages)
    kept = store.kept_sheet(desk.root, code)
    if kept is None or code_of(kept) != code:
        why = "that sheet was not printed from this folder, so which boxes have changed since cannot be told"
    elif kept[0] not in (each[0] for each in lines.values()):
        why = f"it is the {kept[0]}" if kept[0].startswith(SHEET_OF) else "it does not say of which page it was printed"
    else:
        (nearest,) = (changed(kept[1:], each[1:]) for each in lines.values() if each[0] == kept[0])
        why = "since it was printed: " + "; ".join(nearest[:MOST_TOLD])
        why += f"; and {len(nearest) - MOST_TOLD} more" if len(nearest) > MOST_TOLD else ""
    raise Refused(f"no open page has the boxes of sheet {code} ({told}); {why}. Print it anew with `sheet`")


def from_paper(walk: Walk, code: str, by: str) -> None:
    """Take a sheet in: who did it and when, the exceptions, each panel's ticks. What is left is asked box by box."""
    if not by:
        ask_doer(walk, "Who did what is on the sheet?")
    day = walk.desk.given_on or _day(walk)
    if day < walk.sheet.page.begun:
        raise Misused(
            f"{day} is before the job was begun, {walk.sheet.page.begun}; give the day of the pen with --on DATE"
        )
    walk.desk.given_on = day
    note = f"From the sheet {code}: done by {walk.doer} on {day}, typed in on {walk.desk.today}."
    walk.change(lambda sheet: edit.say_at_top(sheet, note))
    talk = walk.talk
    talk.say()
    talk.say("Exceptions by box number, one on a line; an empty line ends them.", strong=True)
    _help(walk)
    while lines := talk.lines("exception:"):
        for typed in lines:
            _take(walk, typed)
    talk.say()
    talk.say("Now the other ticks, panel by panel, by their count on the paper.", strong=True)
    talk.say("l leaves a panel for later; exceptions may still be typed; w is for another who did it.", indent="  ")
    waiting: set[str] = set()
    while (panel := _next_panel(walk, waiting)) is not None:
        _count(walk, *panel, waiting)
    talk.say()
    talk.say("What a count never confirms is asked box by box.", strong=True)


def _next_panel(walk: Walk, waiting: set[str]) -> tuple[Panel, tuple[int, ...]] | None:
    panels = boxes_by_count(walk.logbook, walk.sheet.page, walk.later)
    return next((each for each in panels if each[0].id not in waiting), None)


def _day(walk: Walk) -> dt.date:
    """The day on which it was done: today, yesterday or another, from the day the job was begun."""
    begun, today = walk.sheet.page.begun, walk.desk.today
    choices = (
        Choice(key="t", word=f"today, {today}"),
        *((Choice(key="y", word="yesterday"),) if begun < today else ()),
        Choice(key="x", word="another day"),
    )

    def draw() -> None:
        walk.talk.say("On which day was it done?", indent="  ")

    while True:
        draw()
        key = walk.talk.choose(choices, draw)
        if key != "x":
            return today if key == "t" else today - dt.timedelta(days=1)
        typed = walk.talk.line("Such as 2026-11-26:")
        if not typed:
            continue
        try:
            day = parse_said_date(typed, today)
        except Unreadable as fault:
            walk.talk.say(f"{fault.message}.", indent="  ")
            continue
        if begun <= day <= today:
            return day
        walk.talk.say(f"The job was begun on {begun}, and today is {today}.", indent="  ")


def _count(walk: Walk, panel: Panel, boxes: tuple[int, ...], waiting: set[str]) -> None:
    """One panel: its ticks are confirmed by their count, or nothing is ticked."""
    which = f"box {as_numbers(boxes)}: is it ticked on the paper (1, 0)?"
    if len(boxes) > 1:
        which = f"boxes {as_numbers(boxes)}: how many of these are ticked on the paper?"
    asked = f"{panel.name}, {which}"
    match walk.talk.line(asked):
        case "":
            return
        case "l":
            waiting.add(panel.id)
        case "w":
            ask_doer(walk, "Who did what is on the sheet?")
        case given if given.isascii() and given.isdigit():
            if given != str(len(boxes)):
                told = "Not all of them, then: nothing is ticked. Say which are empty, such as"
                walk.talk.say(f"{told} `- {boxes[0] + 1}`, and count again.", indent="  ")
            elif doer := doer_for(walk, boxes):
                named = tuple(walk.box(at) for at in boxes)
                if walk.change(lambda sheet: ticked(walk, sheet, boxes, doer)):
                    walk.trail.append(WalkAnswer(ANSWERED, named))
        case given:
            _take(walk, given)


def _help(walk: Walk) -> None:
    for line in HELP:
        walk.talk.say(line, indent="  ", hang=" " * 18)


def _take(walk: Walk, typed: str) -> None:
    """Write what one line says, or say what is wrong with it; nothing is written then."""
    if typed.strip() == "?":
        _help(walk)
        return
    try:
        said = parse_line(typed, len(walk.entries))
        if said.kind == VALUES:
            _take_values(walk, said)
        elif said.kind == EMPTY:
            _take_empty(walk, said)
        else:
            _take_words(walk, said)
    except Unreadable as fault:
        walk.talk.say(f"Not taken: {fault.message}.", indent="  ")


def _take_values(walk: Walk, said: Typed) -> None:
    (at,) = said.boxes
    entry, box = walk.entries[at], walk.box(at)
    if entry.answer:
        raise Unreadable(f"box {at + 1} says `{entry.answer}` on the page: the walk goes there to open it")
    wells = wanted(walk.logbook, walk.sheet.page, at, walk.last)
    check = check_of_box(walk.logbook, entry)
    if not wells and check is not None and (check.marked or check.second_look):
        what = "the date that the part carries" if check.marked else "who looked a second time"
        raise Unreadable(f"{what} is asked after this, when the walk comes to box {at + 1}")
    values = values_of(said.words, wells)
    written = {reading.label for reading in entry.readings if reading.value}
    if again := sorted(written.intersection(label for label, _ in values)):
        raise Unreadable(
            f"{', '.join(again)} of box {at + 1} is on the page already: go there in the walk to change it"
        )
    doer = doer_for(walk, (at,))
    if not doer:
        return

    def taken(sheet: edit.OpenPage) -> edit.OpenPage:
        sheet = ticked(walk, sheet, (at,), doer)
        for label, value in values:
            sheet = edit.measure(sheet, at, label, value)
        return sheet

    if walk.change(taken):
        _told(walk, at, ", ".join(f"{label} {value}" for label, value in values))
        told: set[str] = set()
        for label, _ in values:
            judge_reading(walk, box, Blank(key=label, is_reading=True), told)


def _take_empty(walk: Walk, said: Typed) -> None:
    for at in said.boxes:
        if walk.entries[at].answered:
            walk.talk.say(
                f"Box {at + 1} is answered on the page: the walk goes there to open it.", indent="  "
            )
        else:
            walk.later.add(walk.box(at))
    if empty := tuple(at for at in said.boxes if not walk.entries[at].answered):
        walk.talk.say(f"Left empty: {as_numbers(empty)}.", indent="  ")


def _take_words(walk: Walk, said: Typed) -> None:
    (at,) = said.boxes
    entry, page = walk.entries[at], walk.sheet.page
    words = said.words
    match said.kind:
        case "f" if entry.is_standing:
            raise Unreadable(f"box {at + 1} is a finding itself: it is asked later; `{at + 1} r ...` writes a remark")
        case "f":
            made = nouns.Finding(id="F1", text=words, place=page.place)
            done = walk.change(lambda sheet: edit.write_finding(sheet, at, made))
            told = f"{walk.entries[at].findings[-1].id} {words}, to be corrected before flight" if done else ""
        case "r":
            done = walk.change(lambda sheet: edit.write(sheet, at, "note", words))
            told = words
        case "o":
            if entry.is_standing:
                raise Unreadable(f"box {at + 1} is a finding from before: it is asked later")
            doer = doer_for(walk, (at,))
            done = bool(doer) and walk.change(lambda sheet: ticked(walk, sheet, (at,), doer))
            told = "ticked"
        case kind:
            if not entry.is_check:
                raise Unreadable(f"box {at + 1} is no check: it is ticked or not")
            if kind == NOT_APPLICABLE and not is_none_any_more(walk, at):
                return
            answer = nouns.NOT_APPLICABLE if kind == NOT_APPLICABLE else nouns.NOT_DONE
            done = walk.change(lambda sheet: edit.answer(sheet, at, answer, words))
            told = f"{answer}: {words}"
    if done:
        _told(walk, at, told)


def _told(walk: Walk, at: int, what: str) -> None:
    """What was understood: the box by its words, so that a wrong number is seen."""
    walk.talk.say(f"{at + 1} {walk.entries[at].text.partition(':')[0]}: {what}", indent="  ", hang="   ")
