"""Findings in the walk: raised, corrected, put off; on this page, and those that stand from before."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from inspect_kit.cli.read_now import past_on_record
from inspect_kit.cli.walk_names import BACK, LATER
from inspect_kit.cli.walk_state import ANSWERED, Walk, WalkAnswer
from inspect_kit.cli.walk_talk import Choice
from inspect_kit.inspection import edit
from inspect_kit.inspection.walk import passed, waits_as_it_is
from inspect_kit.model.finding import Cleared, Finding, Fix
from inspect_kit.model.reason import may_not_wait
from inspect_kit.model.worksheet import JOB_WORK
from inspect_kit.past import parse_said_date
from inspect_kit.text.grammar import Unreadable, parse_fix
from inspect_kit.text.page_values import is_blank

GO = "g"
BEFORE_FLIGHT = Choice(key="1", word="before flight")
LIMITS = (
    Choice(key="2", word="by a date", does="and why it may wait"),
    Choice(key="3", word="by hours", does="and why it may wait"),
    Choice(key="4", word="at the next inspection", does="and why it may wait"),
)
FOR_A_PART = Choice(key="w", word="waits for a part", does="say which; then by when")


def raise_finding(walk: Walk, at: int) -> None:
    """Ask for a finding: what, by when it must be corrected, why it may wait, and for which part."""
    text = _words(walk, "What was found?")
    if not text:
        walk.talk.say("No finding was written.", indent="  ")
        return
    made = Finding(id="F1", text=text, place=walk.sheet.page.place)
    before = walk.sheet
    # Who sees a crack and closes the terminal has seen it: until somebody says otherwise it stops the aircraft.
    if not walk.change(lambda sheet: edit.write_finding(sheet, at, made)):
        return
    written = walk.sheet
    asked = _limit(walk, "It is to be corrected:", (BEFORE_FLIGHT, *LIMITS, FOR_A_PART))
    if asked is None:
        if walk.change(lambda sheet: before if sheet is written else sheet) and walk.sheet.text == before.text:
            walk.talk.say("No finding was written.", indent="  ")
        return
    fix, may_wait, waiting = asked
    made = replace(made, fix=fix, may_wait=may_wait, waiting=waiting)

    def say_until(sheet: edit.OpenPage) -> edit.OpenPage:
        if sheet is written:
            return edit.write_finding(before, at, made)
        named = written.page.entries[at].findings[-1].id
        return sheet if fix.before_flight else edit.put_off(sheet, named, str(fix), may_wait)

    if walk.change(say_until):
        box = walk.entries[at]
        told = f"{box.findings[-1].id} is written."
        if not (box.ticked or box.answer):
            told += " The box itself is still to be answered: ok says that the look is done."
        walk.talk.say(told, indent="  ")


def settle_finding(walk: Walk, finding: str, chosen: str = "") -> str:
    """A finding of this page: corrected, or put off with limit and reason; LATER, BACK, or "" when it was answered.

    `chosen` is the key that was pressed for it already.
    """
    at = edit.box_of_finding(walk.sheet, finding)
    if at is None:
        return ""
    found = next(each for each in walk.entries[at].findings if each.id == finding)
    choices = (
        Choice(key="c", word="corrected", does="say how"),
        Choice(key="p", word="may wait", does="until a limit, for a reason"),
        Choice(key=LATER, word="later"),
        Choice(key=BACK, word="back"),
    )

    def draw() -> None:
        walk.talk.say(f"{finding} {found.text} (fix {found.fix})", indent="  ")

    draw()
    return _settled(walk, finding, chosen or walk.talk.choose(choices, draw))


def standing(walk: Walk, at: int, draw: Callable[[], None]) -> str:
    """A finding from before: corrected, put off again, or left within its limit.

    LATER, BACK, GO, or "" when there is nothing else to do.
    """
    box, reference = walk.box(at), walk.entries[at].id
    waits = Choice(key="w", word="looked at, waits", does="no worse, and still within its limit")
    choices = (
        Choice(key="c", word="corrected", does="say how"),
        Choice(key="p", word="put off again", does="until a new limit, for a reason"),
        *((waits,) if _may_wait(walk, reference) else ()),
        Choice(key=LATER, word="later"),
        Choice(key=BACK, word="back"),
        Choice(key=GO, word="go", does="to a box, panel or check by its number or part of its name"),
    )
    key = walk.talk.choose(choices, draw)
    said = "" if key == "w" else _settled(walk, reference, key)
    if key == "w":
        walk.change(lambda sheet: edit.tick_in_order(sheet, at))
    place = walk.place(box)
    if key in "cpw" and place is not None and walk.entries[place].ticked:
        settled = {"c": ("cleared",), "p": ("fix", "may wait because")}.get(key, ())
        walk.trail.append(WalkAnswer(ANSWERED, (box,), settled=settled))
    return said


def _settled(walk: Walk, finding: str, key: str) -> str:
    """Do what was chosen about a finding; the key itself where there is nothing to write."""
    match key:
        case "c":
            if wants := _wants_reading(walk, finding):
                walk.talk.say(wants, indent="  ")
            elif how := _words(walk, "How was it corrected?"):
                cleared = Cleared(date=walk.desk.on, text=how, by=walk.doer)
                walk.change(lambda sheet: edit.clear(sheet, finding, cleared))
        case "p":
            asked = _limit(walk, "It may wait:", LIMITS)
            if asked is not None:
                fix, reason, _ = asked
                walk.change(lambda sheet: edit.put_off(sheet, finding, str(fix), reason))
        case _:
            return key
    return ""


def _wants_reading(walk: Walk, finding: str) -> str:
    """What has to be read before a finding from before may be cleared; "" where nothing has, and for one of the page.

    One of the page is asked for what it reads once it is cleared.
    """
    known = walk.logbook.findings().get(finding)
    check = walk.logbook.checks.get(walk.logbook.id_now(known.check)) if known is not None and known.check else None
    if check is None:
        return ""
    wants = past_on_record(walk.logbook, check, walk.judge(), walk.sheet.page)
    return f"{'; '.join(wants.values())}: read it again first, at `{check.id}`." if wants else ""


def _limit(walk: Walk, told: str, choices: Sequence[Choice]) -> tuple[Fix, str, str] | None:
    """By when a finding is to be corrected, why it may wait, and for which part; None if that was not said."""
    waiting = ""

    def draw() -> None:
        walk.talk.say(told + (f" (waits for {waiting})" if waiting else ""), indent="  ")

    draw()
    while True:
        match walk.talk.choose((*choices, Choice(key=BACK, word="back")), draw):
            case "1":
                return Fix(), "", waiting
            case "2":
                fix = _parsed(walk, "By which date, such as 2027-01-31?", "by {}")
            case "3":
                fix = _parsed(walk, f"By which total time in hours{_total_now(walk)}?", "by {} h")
            case "4":
                fix = _parsed(walk, "", f"at next {_inspection(walk)} inspection")
            case "w":
                waiting = _words(walk, "Which part, and when was it ordered?") or waiting
                draw()
                continue
            case _:
                return None
        if fix is not None and (reason := _words(walk, "It may wait because:")):
            if not may_not_wait(reason):
                return fix, reason, waiting
            walk.talk.say(f"`{reason[:40]}` is no reason.", indent="  ")
        draw()


def _parsed(walk: Walk, question: str, form: str) -> Fix | None:
    value = walk.talk.line(question).removeprefix("by ").removesuffix(" h") if question else ""
    if question and not value:
        return None
    try:
        if "date" in question:
            value = str(parse_said_date(value, walk.desk.today))
        fix = parse_fix(form.format(value))
    except Unreadable as fault:
        walk.talk.say(f"{fault.message}.", indent="  ")
        return None
    if gone := passed(fix, walk.desk.on, walk.totals(), walk.logbook.aircraft.time_in_service):
        walk.talk.say(f"{gone}.", indent="  ")
        return None
    return fix


def _words(walk: Walk, question: str) -> str:
    """What is typed as a line; "" for nothing, or for no more than a blank."""
    typed = walk.talk.line(question, prose=True)
    return "" if is_blank(typed) else typed


def _inspection(walk: Walk) -> str:
    """The inspection that a finding waits for: that of the page, else the first of the aircraft."""
    job = walk.sheet.page.job
    return job if job != JOB_WORK else next(iter(walk.logbook.aircraft.inspections), job)


def _total_now(walk: Walk) -> str:
    """` (now 607.0 h)`, of the meter that counts."""
    total = walk.totals().get(walk.logbook.aircraft.time_in_service)
    return "" if total is None else f" (now {total} h)"


def _may_wait(walk: Walk, reference: str) -> bool:
    """Whether a finding from before may be left as it stands; one that no record holds may not."""
    known = walk.logbook.findings().get(reference)
    if known is None:
        return False
    service = walk.logbook.aircraft.time_in_service
    return waits_as_it_is(known, walk.sheet.page.job, walk.desk.on, walk.totals(), service)
