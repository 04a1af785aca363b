"""Walking a page at the aircraft, one question after another; every answer is on the disk before the next one."""

from dataclasses import replace

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.people_named import full_name
from inspect_kit.cli.sheets import find_page
from inspect_kit.cli.walk_disturbed import ask_disturbed, speaks_of_it, write_disturbed
from inspect_kit.cli.walk_drawn import VERBS, draw_box
from inspect_kit.cli.walk_findings import raise_finding, settle_finding, standing
from inspect_kit.cli.walk_names import BACK, LATER, ask_doer, ask_name
from inspect_kit.cli.walk_paper import from_paper, right_code
from inspect_kit.cli.walk_questions import ask_question, is_none_any_more
from inspect_kit.cli.walk_state import ANSWERED, WENT, WRITTEN, Walk, WalkAnswer
from inspect_kit.cli.walk_talk import Choice, Talk, WalkStopped
from inspect_kit.cli.walk_ticks import tick, tick_together
from inspect_kit.cli.walk_time import ask_took
from inspect_kit.cli.walk_written import (
    ask_blank,
    ask_blanks,
    blank_of,
    judge_reading,
    left_out,
    measure_again,
    out_of_limits,
    value_of,
)
from inspect_kit.due import readings_before
from inspect_kit.inspection import edit
from inspect_kit.inspection.boxes import Box, called, index_of
from inspect_kit.inspection.ordered import as_code
from inspect_kit.inspection.owed import without_box
from inspect_kit.inspection.people import is_somebody, known_names, last_doer, no_inspector
from inspect_kit.inspection.questions import question_words, to_ask
from inspect_kit.inspection.walk import blanks, check_of_box, next_box, open_findings, progress, together
from inspect_kit.inspection.wanted import last_times
from inspect_kit.model.finding import NOT_APPLICABLE, NOT_DONE
from inspect_kit.model.worksheet import Entry
from inspect_kit.report.naming import title
from inspect_kit.report.words import counted
from inspect_kit.text.page_values import is_blank

# Two boxes are two keys; their count and Enter would be three.
WORTH_A_COUNT = 3
OK = Choice(key="o", word="ok", does="done, and in order unless a finding is written under it", also=" ")
ALL = Choice(key="a", word="all", does="ok for the simple boxes of this panel: they are listed, you give their count")
FINDING = Choice(key="f", word="finding", does="something is wrong: what, and by when it is to be corrected")
ON = Choice(key="o", word="go on", does="to the next box", also=" ")
UNTICK = Choice(key="u", word="untick", does="take the answer of this box back")
PLAIN = (
    Choice(key=LATER, word="later", does="leave it; the next walk asks again"),
    Choice(key=BACK, word="back", does="to what was asked before"),
    Choice(key="g", word="go", does="to a box, panel or check by its number or part of its name"),
)
HIDDEN = (
    Choice(key="r", word="remark", does="write something down", shown=False),
    Choice(key="t", word="took", does="how long it took; the clock proposes", shown=False),
    Choice(key="w", word="who", does="who does it, from here on", shown=False),
)
DISTURBED = Choice(key="x", word="disturbed", does="what else was opened or parted, such as the static system")
NOT = (
    Choice(key="n", word="not applicable", does="and why", shown=False),
    Choice(key="d", word="not done", does="and why", shown=False),
)
CORRECTED = Choice(key="c", word="corrected", does="the finding under this box was corrected: say how")
MAY_WAIT = Choice(key="p", word="may wait", does="a finding under this box: until a limit, for a reason", shown=False)
VALUE = Choice(key="v", word="other value", does="a reading was written wrongly: the right value takes its place")
MEASURE = Choice(key="m", word="measured again", does="a second value; both stay, the last one counts", shown=False)


def walk_page(desk: Desk, name: str, by: str, talk: Talk, code: str = "") -> None:
    """Ask box after box until all are settled or the person stops. With the `code` of a sheet, what it says first."""
    loaded, logbook = desk.loaded()
    by = full_name(logbook, by)
    if code and not name and logbook.pages:
        name = right_code(desk, logbook, logbook.pages, code).name
    sheet, read = find_page(loaded, logbook, name)
    if code:
        right_code(desk, logbook, (sheet.page,), code)
    walk = Walk(
        desk=desk,
        talk=talk,
        logbook=logbook,
        sheet=sheet,
        read=read,
        doer=by or sheet.page.inspector,
        last=last_times(logbook, sheet.page),
        earlier=readings_before(logbook, desk.on),
    )
    named = edit.name_findings(sheet)
    if named is not sheet:
        walk.change(lambda _: named)
    done, boxes = progress(walk.logbook, walk.sheet.page)
    told = f"{sheet.page.place.file}: {done} of {boxes} boxes are settled. Every answer is saved at once."
    talk.say(told, strong=True)
    if standing := sum(entry.is_standing and not entry.answered for entry in sheet.entries):
        findings = "1 finding from before is" if standing == 1 else f"{standing} findings from before are"
        talk.say(f"{findings} open (see the top of the page): asked where it can be looked at.")
    try:
        _begin(walk, by)
        # Whoever broke off at the words of a finding has read something that nobody may forget.
        while _ask_out_of_limits(walk):
            pass
        if code:
            from_paper(walk, as_code(code), by)
        while _next(walk):
            pass
    except WalkStopped:
        pass
    _end(walk)


def _begin(walk: Walk, by: str) -> None:
    """Who does it: as named with --by, or the page's inspector; asked where that says nobody."""
    page = walk.sheet.page
    same = walk.logbook.aircraft.same_person
    known = [name for name in known_names(walk.logbook.aircraft, page) if same(name, walk.doer)]
    if known:
        walk.doer = known[0]
    else:
        told = f'"{walk.doer}" is on no list of this aircraft' if is_somebody(walk.doer) else "No inspector is named"
        last = last_doer(walk.logbook.aircraft, page)
        did = f" {last} did the last boxes." if last else ""
        walk.doer = ask_name(walk, f"{told}.{did} Who does it?", first=last, more=())
    if page.inspector and (refusal := no_inspector(walk.logbook.aircraft, page, page.inspector)):
        walk.talk.say(f"`sign` will refuse the page's inspector: {refusal}.")


def _next(walk: Walk) -> bool:
    """Ask the next thing; False when nothing is left."""
    walk.talk.begin()
    if walk.visit is not None:
        box, key = walk.visit, walk.reading
        walk.visit, walk.reading = None, ""
        at = walk.place(box)
        if at is None:
            walk.talk.say(f"`{box.id}` is on the page no more.")
        elif key:
            _ask_again(walk, at, key)
        else:
            walk.here = box
            _box(walk, at)
        return True
    start = (walk.place(walk.here) or 0) if walk.here else 0
    at = next_box(walk.logbook, walk.sheet.page, walk.later, start)
    if at is not None:
        # A finding from before is asked in between: the walk goes on where it was.
        walk.here = walk.here if walk.entries[at].is_standing else walk.box(at)
        _box(walk, at)
        return True
    if _ask_out_of_limits(walk):
        return True
    for _, finding in open_findings(walk.sheet.page):
        if finding.id not in walk.later:
            match settle_finding(walk, finding.id):
                case "l":
                    walk.later.add(finding.id)
                case "b":
                    _back(walk)
                case _:
                    _ask_out_of_limits(walk)
            return True
    if _write_owed(walk):
        return True
    for key in to_ask(walk.logbook, walk.sheet.page, walk.desk.on):
        if key not in walk.later:
            if ask_question(walk, key) == BACK:
                _back(walk)
            return True
    return False


def _ask_out_of_limits(walk: Walk) -> bool:
    """A reading that was left out of its limits without a finding; whether there is one that was not left for later."""
    for at in range(len(walk.entries)):
        for label in out_of_limits(walk, at):
            box = walk.box(at)
            if left_out(box, label) not in walk.later:
                draw_box(walk, at)
                if judge_reading(walk, box, blank_of(walk, at, label)) == BACK:
                    _back(walk)
                return True
    return False


def _write_owed(walk: Walk) -> bool:
    """A box for each check that the page made owed and that has none below what made it so; whether there is one."""
    owed = without_box(walk.logbook, walk.sheet.page)
    if not owed or not walk.change(lambda sheet: edit.add_checks(sheet, [each.check for each in owed])):
        return False
    for each in owed:
        walk.talk.say(f"{each.check.id} is owed after {each.cause}: it has a box at the end of the page now.")
    return True


def _end(walk: Walk) -> None:
    done, boxes = progress(walk.logbook, walk.sheet.page)
    left = open_findings(walk.sheet.page)
    walk.talk.begin()
    walk.talk.say()
    if walk.later:
        findings = sum(finding.id in walk.later for _, finding in left)
        beside = f", {counted(findings, 'finding')} among them" if findings else ""
        walk.talk.say(f"{len(walk.later)} left for later{beside}; `walk` asks them again.")
    for at, finding in left:
        walk.talk.say(f"Open: {finding.id} {finding.text} ({walk.entries[at].id}, fix {finding.fix})")
    for key in to_ask(walk.logbook, walk.sheet.page, walk.desk.on):
        walk.talk.say(f"Not answered: {question_words(walk.logbook, walk.sheet.page, key)}")
    told = f"{done} of {boxes} boxes are settled."
    walk.talk.say(told + (" `sign` says what is still missing." if done == boxes else ""))


def _box(walk: Walk, at: int) -> None:
    """Ask one box."""
    entry = walk.entries[at]

    def draw() -> None:
        draw_box(walk, at)

    draw()
    if entry.answered and blanks(entry, check_of_box(walk.logbook, entry)):
        if ask_blanks(walk, at) == BACK:
            _back(walk)
    elif entry.answered:
        _do(walk, at, walk.talk.choose(_of_settled(entry, told=speaks_of_it(walk, at)), draw))
    elif entry.is_standing:
        _do(walk, at, standing(walk, at, draw))
    else:
        group = together(walk.logbook, walk.sheet.page, at)
        _do(walk, at, walk.talk.choose(_of_open(entry, group, told=speaks_of_it(walk, at)), draw))


def _of_open(entry: Entry, group: tuple[int, ...], *, told: bool) -> list[Choice]:
    """What may be answered to a box that is open. `group` are those that one answer may tick."""
    return [
        OK,
        *((ALL,) if len(group) >= WORTH_A_COUNT else ()),
        FINDING,
        *((CORRECTED, MAY_WAIT) if _has_open_finding(entry) else ()),
        *PLAIN,
        *(NOT if entry.is_check else ()),
        *((VALUE,) if any(reading.value for reading in entry.readings) else ()),
        *HIDDEN,
        *_disturbed(entry, told=told),
    ]


def _disturbed(entry: Entry, *, told: bool) -> list[Choice]:
    """The key for what was disturbed: shown where the page or the notes of its panel speak of it."""
    return [] if entry.is_standing else [replace(DISTURBED, shown=told)]


def _of_settled(entry: Entry, *, told: bool) -> list[Choice]:
    """What may be done at a box that is settled, to which the person went."""
    changes = (
        *((FINDING,) if not entry.is_standing else ()),
        *((CORRECTED, MAY_WAIT) if _has_open_finding(entry) else ()),
        *((VALUE, MEASURE) if any(reading.value for reading in entry.readings) else ()),
    )
    return [ON, *changes, UNTICK, *PLAIN[1:], *HIDDEN, *_disturbed(entry, told=told)]


def _has_open_finding(entry: Entry) -> bool:
    return any(finding.stands for finding in entry.findings)


def _do(walk: Walk, at: int, key: str) -> None:
    """Do what was chosen at a box."""
    box = walk.box(at)
    match key:
        case "o" if not walk.entries[at].answered:
            if tick(walk, at) == BACK:
                _back(walk)
        case "a":
            tick_together(walk, at)
        case "n" | "d":
            _answer(walk, at, NOT_APPLICABLE if key == "n" else NOT_DONE)
        case "f":
            raise_finding(walk, at)
        case "c":
            _corrected(walk, at)
        case "p":
            _put_off(walk, at)
        case "m" | "v":
            if measure_again(walk, at, corrected=key == "v") == BACK:
                _back(walk)
        case "u":
            _reopen(walk, (box,))
        case "x":
            ask_disturbed(walk, at)
        case "r":
            if (remark := walk.talk.line("Remark:", prose=True)) and remark.casefold().startswith("disturbed:"):
                write_disturbed(walk, at, remark.partition(":")[2].strip())
            elif remark and not is_blank(remark):
                walk.change(lambda sheet: edit.write(sheet, at, "note", remark))
        case "t":
            ask_took(walk, at)
        case "w":
            ask_doer(walk)
        case "l":
            walk.later.add(box)
        case "b":
            _back(walk)
        case "g":
            _go(walk, box)


def _answer(walk: Walk, at: int, kind: str) -> None:
    box = walk.box(at)
    reason = walk.talk.line(f"{kind.capitalize()}, because:", prose=True)
    if kind == NOT_APPLICABLE and reason and not is_none_any_more(walk, at):
        return
    if reason and not is_blank(reason) and walk.change(lambda sheet: edit.answer(sheet, at, kind, reason)):
        walk.trail.append(WalkAnswer(ANSWERED, (box,)))


def _put_off(walk: Walk, at: int) -> None:
    for finding in walk.entries[at].findings:
        if finding.stands and settle_finding(walk, finding.id, chosen="p") == BACK:
            return


def _corrected(walk: Walk, at: int) -> None:
    """The finding under a box was corrected; of several it is asked of each."""
    stands = [finding for finding in walk.entries[at].findings if finding.stands]
    for finding in stands:
        # With one there was nothing to choose: the key said that it was corrected.
        if settle_finding(walk, finding.id, chosen="c" if len(stands) == 1 else "") == BACK:
            return
    box = walk.box(at)
    for label in out_of_limits(walk, at):
        judge_reading(walk, box, blank_of(walk, at, label))


def _back(walk: Walk) -> None:
    """Take the last answer of this walk back and ask it again: a value, a name, a box, or boxes ticked together."""
    while walk.trail:
        step = walk.trail.pop()
        there = [box for box in step.boxes if walk.place(box) is not None]
        if not there:
            walk.talk.say(f"`{step.boxes[0].id}` is on the page no more.", indent="  ")
            continue
        walk.visit, walk.reading = there[0], step.key
        walk.later -= {*there}
        walk.ahead = [*walk.ahead, (there[0], step.key)] if step.kind == WRITTEN else []
        if step.kind == ANSWERED:
            _reopen(walk, tuple(there), step.settled)
        return
    walk.talk.say("There is nothing to go back to in this walk.", indent="  ")


def _reopen(walk: Walk, boxes: tuple[Box, ...], settled: tuple[str, ...] = edit.SETTLED) -> None:
    """Take ticks and answers back; what was written under them stays."""

    def reopened(sheet: edit.OpenPage) -> edit.OpenPage:
        for box in boxes:
            at = index_of(sheet.page, box)
            if at is not None:
                sheet = edit.untick(sheet, at, settled)
        return sheet

    if walk.change(reopened):
        walk.visit = boxes[0]
        if len(boxes) > 1:
            walk.talk.say(f"{len(boxes)} boxes are open again.", indent="  ")


def _ask_again(walk: Walk, at: int, key: str) -> None:
    """Ask something that was written under a box once more, and then go on."""
    draw_box(walk, at)
    if ask_blank(walk, at, blank_of(walk, at, key), value_of(walk, at, key)) == BACK:
        _back(walk)
    elif walk.ahead and walk.ahead[-1] == (walk.box(at), key):
        # What was gone back over comes in the order in which it was asked, though it is written.
        walk.ahead.pop()
        if walk.ahead:
            walk.visit, walk.reading = walk.ahead[-1]


def _go(walk: Walk, came_from: Box) -> None:
    """Go to a box by its number or part of a name; back leads to where it was gone from."""
    words = walk.talk.line("Go to box number, or part of a name:")
    found = called(walk.logbook, walk.sheet.page, words) if words else ()
    if words and not found:
        walk.talk.say(f"No box is called `{words}`.", indent="  ")
    if len(found) > 1:
        found = _one_of(walk, found)
    if found:
        walk.trail.append(WalkAnswer(WENT, (came_from,)))
        walk.visit, walk.reading = walk.box(found[0]), ""
        walk.later.discard(walk.box(found[0]))


def _one_of(walk: Walk, found: tuple[int, ...]) -> tuple[int, ...]:
    """The box that is meant of several; nothing if none is."""
    shown = found[:9]
    numbered = [Choice(key=str(number), word=_named(walk, at), shown=False) for number, at in enumerate(shown, 1)]

    def draw() -> None:
        for number, at in enumerate(shown, 1):
            walk.talk.say(f"{number}  {_named(walk, at)}", indent="    ", hang="   ")
        if len(found) > len(shown):
            walk.talk.say(f"and {len(found) - len(shown)} more: give more of the name", indent="    ")
        walk.talk.say("Which one?", indent="  ")

    draw()
    key = walk.talk.choose([*numbered, Choice(key=BACK, word="back")], draw)
    return () if key == BACK else (shown[int(key) - 1],)


def _named(walk: Walk, at: int) -> str:
    """`box 31, Baffles` by the short name of the check, and whether it is settled."""
    entry = walk.entries[at]
    verb = f"{VERBS[entry.verb]} " if entry.verb else ""
    return f"box {at + 1}, {verb}{title(entry.text)}" + (" (settled)" if entry.answered else "")
