"""What the walk asks to be written under a box: readings, dates, papers, parts used, second looks, minutes."""

from collections.abc import Sequence

from inspect_kit.cli.said import PRESSES
from inspect_kit.cli.walk_findings import raise_finding
from inspect_kit.cli.walk_names import BACK, LATER, ask_name
from inspect_kit.cli.walk_state import WRITTEN, Verb, Walk, WalkAnswer
from inspect_kit.cli.walk_talk import Choice, WalkStopped
from inspect_kit.inspection import edit
from inspect_kit.inspection.boxes import Box
from inspect_kit.inspection.people import doer_of
from inspect_kit.inspection.walk import GOOD_UNTIL, PAPER, SECOND_LOOK, USED, Blank, blanks, check_of_box
from inspect_kit.inspection.wanted import Wanted, wanted
from inspect_kit.model.checklist import WORDS, decimal
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.measured import Judged, slipped
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import AS_PLANNED, NOTHING_USED, Entry
from inspect_kit.past import parse_said_last_day, said_parts
from inspect_kit.text.grammar import Unreadable, said_decimals, with_point
from inspect_kit.text.page_values import is_blank, parse_used

# One letter instead of a value: what else may be said where one is asked.
TOLD = {
    LATER: "later, leave it blank",
    BACK: "back to what was asked before",
    "f": "finding, write down what is wrong",
    "s": "stop, all that was answered is saved",
}
# What is asked where a box wants no reading.
ASKED = {
    PAPER: "Paper reference, such as a work order or the page of a logbook:",
    GOOD_UNTIL: "Good until, the date marked on the part, such as 2031-05-31:",
}
USED_CHOICES = (
    Choice(key="u", word="as planned", does="all of it was used, and nothing else"),
    Choice(key="x", word="other", does="say what was used instead"),
    Choice(key="0", word="none", does="nothing was used"),
    Choice(key=LATER, word="later"),
    Choice(key=BACK, word="back"),
)
OUT_CHOICES = (
    Choice(key="m", word="measured again", does="write the second value; both stay"),
    Choice(key="f", word="finding", does="write down what is wrong"),
    Choice(key="c", word="correct it", does="the value was mistyped"),
    Choice(key=LATER, word="later", does="`sign` will ask for a finding"),
    Choice(key=BACK, word="back", does="to what was asked before"),
)


def ask_blanks(walk: Walk, at: int) -> str:
    """Ask all that a ticked box still wants written; BACK where the person goes back, else ""."""
    box = walk.box(at)
    while (place := walk.place(box)) is not None:
        open_now = blanks(walk.entries[place], check_of_box(walk.logbook, walk.entries[place]))
        if not open_now:
            return ""
        said = ask_blank(walk, place, open_now[0])
        if said == BACK:
            return BACK
        if said == LATER:
            walk.later.add(box)
            return ""
    return ""


def ask_blank(walk: Walk, at: int, blank: Blank, written: str = "") -> str:
    """Ask one thing; LATER, BACK, or "" when it was dealt with. `written` is the value that is asked once more."""
    if blank.key == SECOND_LOOK:
        return _ask_second_look(walk, at, written)
    if blank.key == USED:
        return _ask_used(walk, at, written)
    return _ask_value(walk, at, blank, written)


def blank_of(walk: Walk, at: int, key: str) -> Blank:
    """What was written under a key, as something to be asked again."""
    reading = next((each for each in _wanted(walk, at) if each.label == key), None)
    return Blank(key=key, measure=reading.measure if reading else "", is_reading=reading is not None)


def value_of(walk: Walk, at: int, key: str) -> str:
    """What stands under a key of a box now."""
    entry = walk.entries[at]
    keys = {GOOD_UNTIL: entry.good_until, PAPER: entry.paper, USED: entry.used, SECOND_LOOK: entry.second_look}
    if key in keys:
        return keys[key] or ""
    return next((reading.bare for reading in entry.readings if reading.label == key), "")


def prompt_of(each: Wanted) -> str:
    """`idle, rpm, 600 to 750 (before 680, last 700):`; words of before are too many, the table has them."""
    told = [each.label, each.measure] + ([each.limit] if each.limit else [])
    known = [f"before {each.before}"] if each.before and each.measure != WORDS else []
    if each.last is not None and each.measure != WORDS:
        known.append(f"last {each.last[1].bare}")
    return ", ".join(told) + (f" ({', '.join(known)})" if known else "") + ":"


def _wanted(walk: Walk, at: int) -> tuple[Wanted, ...]:
    return wanted(walk.logbook, walk.sheet.page, at, walk.last)


def _ask_value(walk: Walk, at: int, blank: Blank, written: str) -> str:
    """A reading, a date or a reference, typed as a line."""
    box, typed = walk.box(at), ""
    if written:
        walk.talk.say(f"{blank.key}: {written} is written. Another value, or k keeps it.", indent="  ")
    while (place := walk.place(box)) is not None:
        reading = next((each for each in _wanted(walk, place) if each.label == blank.key), None)
        asked = ASKED.get(blank.key, f"{blank.key}:")
        known = _known_date(walk, place, blank)
        if known:
            asked = f"Good until, the date marked on the part (on record {known}; Enter: it still says so):"
        value = walk.talk.line(prompt_of(reading) if reading and blank.is_reading else asked)
        value = said_decimals(value) if _is_number(blank) else value or known
        match value.lower():
            case "":
                walk.talk.say("Nothing is written: a value, l later, b back, ? more.", indent="  ")
            case "l" | "b":
                return value.lower()
            case "k" if written:
                walk.trail.append(WalkAnswer(WRITTEN, (box,), blank.key))
                return ""
            case "f":
                raise_finding(walk, place)
            case "s":
                raise WalkStopped
            case "?":
                for key, does in TOLD.items():
                    walk.talk.say(f"{key}: {does}", indent="    ")
            case _:
                if fault := _fault(walk, blank, value) or _behind(blank, value):
                    walk.talk.say(fault, indent="  ")
                elif value != typed and (slip := _slip(walk, place, blank, value)):
                    walk.talk.say(f"{slip} Type it once more if it is so.", indent="  ")
                    typed = value
                elif walk.change(_writing(place, blank, _as_written(walk, blank, value), corrected=bool(written))):
                    walk.trail.append(WalkAnswer(WRITTEN, (box,), blank.key))
                    return judge_reading(walk, box, blank) if blank.is_reading else ""
    return ""


def _known_date(walk: Walk, at: int, blank: Blank) -> str:
    """The date on record of a part that carries its own, where it is still to come; "" for everything else."""
    check = check_of_box(walk.logbook, walk.entries[at])
    if blank.key != GOOD_UNTIL or check is None:
        return ""
    date = None
    for record in walk.logbook.records:
        dates = record.next if isinstance(record, PageRecord) else {}
        if isinstance(record, BroughtForward):
            dates = {name: last.good_until for name, last in record.last.items() if last.good_until is not None}
        date = next((each for name, each in dates.items() if walk.logbook.id_now(name) == check.id), date)
    return str(date) if date is not None and date >= walk.desk.on else ""


def _as_written(walk: Walk, blank: Blank, value: str) -> str:
    """A value as the page has it: a date in the form that every file has, a number without the measure typed behind."""
    if blank.key == GOOD_UNTIL:
        return str(parse_said_last_day(value, walk.desk.today))
    number, *rest = value.split(maxsplit=1)
    return number if _measured(blank) and rest == [blank.measure] else value


def _measured(blank: Blank) -> bool:
    """Whether a number is asked, and its measure known."""
    return blank.is_reading and blank.measure not in ("", WORDS)


def _is_number(blank: Blank) -> bool:
    return blank.is_reading and blank.measure != WORDS


def _behind(blank: Blank, value: str) -> str:
    """What keeps a first value from being a number alone, in a sentence; or nothing. Behind a second one a remark may
    stand."""
    number, *rest = value.split(maxsplit=1)
    if not _measured(blank) or not rest or rest == [blank.measure]:
        return ""
    return f"Write {number} alone, it is read in {blank.measure}; `{rest[0][:40]}` is a remark, r at the box writes it."


def _writing(at: int, blank: Blank, value: str, *, corrected: bool) -> Verb:
    """The edit that writes a value: in its blank, or in the place of one that was mistyped."""
    if not blank.is_reading:
        return lambda sheet: edit.write(sheet, at, blank.key, value)
    if corrected:
        return lambda sheet: edit.correct(sheet, at, blank.key, value)
    return lambda sheet: edit.measure(sheet, at, blank.key, value)


def _fault(walk: Walk, blank: Blank, value: str) -> str:
    """Why a value cannot be taken, in a sentence; or nothing."""
    if is_blank(value):
        return "That is a blank, no value."
    if _is_number(blank) and decimal(value.split()[0]) is None:
        return f"`{value.split()[0][:40]}` is no number such as 76 or 0.3{with_point(value)}."
    if blank.key == GOOD_UNTIL:
        try:
            date = parse_said_last_day(value, walk.desk.today)
        except Unreadable as fault:
            return f"{fault.message}."
        if date < walk.desk.on:
            return f"{date} is past: a part that has run out is a finding (f)."
    return ""


def _slip(walk: Walk, at: int, blank: Blank, value: str) -> str:
    """What speaks for a slip of a digit or a point in a reading, or nothing."""
    check, number = check_of_box(walk.logbook, walk.entries[at]), decimal(value.split()[0])
    if not blank.is_reading or check is None or number is None:
        return ""
    # What was read before the work, on this page, stands in the question: the value is held against that too.
    asked = next((each for each in _wanted(walk, at) if each.label == blank.key), None)
    shown = decimal(asked.before.split()[0]) if asked and asked.before else None
    return slipped(check, blank.key, number, walk.earlier.get((check.id, blank.key), ()), shown=shown)


def judge_reading(walk: Walk, box: Box, blank: Blank, told: set[str] | None = None) -> str:
    """Say what follows from a reading, and when that or the reading is out of its limits: then it is measured again,
    becomes a finding, or was mistyped. BACK where the person goes back, else "". What is in `told` was said."""
    told = set() if told is None else told
    while (at := walk.place(box)) is not None:
        entry, check = walk.entries[at], check_of_box(walk.logbook, walk.entries[at])
        reading = next((each for each in entry.readings if each.label == blank.key), None)
        if reading is None or check is None:
            return ""
        ones = [one for one in walk.judge().ones(entry, check) if blank.key in (one.label, *one.rests_on)]
        for one in ones:
            if one.words and not (one.fault or one.refused) and one.told not in told:
                told.add(one.told)
                walk.talk.say(f"{one.told}.", indent="  ")
        faults = [one.fault or one.refused for one in ones if (one.fault or one.refused) and not one.waits]
        if reading.out_of_limits and not any(one.fault for one in ones if one.label == blank.key):
            faults.append(f"{blank.key} is {reading.last}, the page says {reading.bound}")
        if not faults:
            return ""
        cleared = [finding.id for finding in entry.findings if not finding.stands]

        def draw(faults: list[str] = faults, cleared: list[str] = cleared) -> None:
            walk.talk.say(f"{PRESSES} OUT OF LIMITS: {'; '.join(faults)}.", indent="  ", strong=True)
            if cleared:
                walk.talk.say(f"{' and '.join(cleared)} is cleared: it stands so with what is read since.", indent="  ")

        draw()
        match walk.talk.choose(OUT_CHOICES, draw):
            case "f":
                raise_finding(walk, at)
                if any(finding.stands for finding in walk.entries[at].findings):
                    return ""
            case "b":
                return BACK
            case "m" | "c" as key:
                for label in _to_read(entry, blank.key, ones):
                    _second_value(walk, at, blank_of(walk, at, label), corrected=key == "c", keeps=label != blank.key)
            case _:
                walk.later.add(left_out(box, blank.key))
                return ""
    return ""


def _to_read(entry: Entry, label: str, ones: Sequence[Judged]) -> tuple[str, ...]:
    """What may be to blame for a value past its limit: its reading, and the others from which it was reckoned."""
    written = {reading.label for reading in entry.readings if reading.value}
    others = (each for one in ones if one.fault and one.words for each in one.rests_on if each in written)
    return tuple(dict.fromkeys((label, *others)))


def left_out(box: Box, label: str) -> str:
    """What stands for a reading that was left out of its limits, among all that was left for later."""
    return f"{box.id}: {label}"


def out_of_limits(walk: Walk, at: int) -> tuple[str, ...]:
    """The readings of a box that are out of their limits while no finding stands under it: `sign` refuses them."""
    entry, check = walk.entries[at], check_of_box(walk.logbook, walk.entries[at])
    if check is None or any(finding.stands for finding in entry.findings):
        return ()
    judge = walk.judge()
    past = judge.still_past(walk.sheet.page, entry, check) if entry.findings else judge.past(entry, check)
    rests_on = {one.label: one.rests_on for one in judge.ones(entry, check)}
    written = {reading.label for reading in entry.readings if reading.value}
    # Of what was reckoned from several the last: asked at each of them, one fault would be asked as often.
    labels = ([each for each in (rests_on.get(label) or (label,)) if each in written][-1:] for label in past)
    return tuple(dict.fromkeys(label for found in labels for label in found))


def _second_value(walk: Walk, at: int, blank: Blank, *, corrected: bool, keeps: bool = False) -> None:
    stands = f" (Enter: {value_of(walk, at, blank.key)} stands)" if keeps else ""
    value = walk.talk.line(f"{blank.key}, {'the right value' if corrected else 'measured again'}{stands}:")
    if value.casefold() in ("", BACK, LATER):
        return
    value = said_decimals(value) if _is_number(blank) else value
    if fault := _fault(walk, blank, value) or _slip(walk, at, blank, value):
        walk.talk.say(fault, indent="  ")
    else:
        walk.change(_writing(at, blank, _as_written(walk, blank, value), corrected=corrected))


def measure_again(walk: Walk, at: int, *, corrected: bool) -> str:
    """A value that is written already, measured once more: both stay, the last one counts. Or `corrected`: it was
    written wrongly. BACK where the person goes back from what follows, else ""."""
    box = walk.box(at)
    labels = [reading.label for reading in walk.entries[at].readings if reading.value]
    numbered = [Choice(key=str(number), word=label) for number, label in enumerate(labels[:9], 1)]

    def draw() -> None:
        told = [f"{each.label} {each.bare}" for each in walk.entries[at].readings if each.value]
        asked = "Which one was written wrongly" if corrected else "Which one was measured again"
        walk.talk.say(f"{asked}: {', '.join(told)}?", indent="  ")

    if len(labels) > 1:
        draw()
        key = walk.talk.choose([*numbered, Choice(key=BACK, word="back")], draw)
        if key == BACK:
            return ""
        labels = [labels[int(key) - 1]]
    blank = blank_of(walk, at, labels[0])
    _second_value(walk, at, blank, corrected=corrected)
    return judge_reading(walk, box, blank)


def _ask_second_look(walk: Walk, at: int, written: str) -> str:
    """Who looked a second time: never who did it."""
    entry = walk.entries[at]
    doers = {doer_of(walk.sheet.page, entry), walk.doer if entry.is_panel else entry.by} - {""}
    question = f"Second look, by another than {' and '.join(sorted(doers)) or 'the doer'}"
    name = ask_name(walk, question + (f" ({written} is written):" if written else ":"), without=[*doers])
    if name in (LATER, BACK):
        return name
    return _written(walk, at, SECOND_LOOK, name)


def _ask_used(walk: Walk, at: int, written: str) -> str:
    """Which of the parts that the check lists were used."""
    check = check_of_box(walk.logbook, walk.entries[at])
    listed = "; ".join(map(str, check.uses)) if check else ""
    # The checklist was changed since, or somebody altered it on the page: an answer writes over that.
    planned = walk.entries[at].planned
    is_other = planned.split() not in ([], listed.split())
    other = f" (the page has planned: {planned}; an answer here writes over it)" if is_other else ""

    def draw() -> None:
        walk.talk.say(f"Used: {listed}?" + (f" ({written} is written)" if written else "") + other, indent="  ")

    while True:
        draw()
        key = walk.talk.choose(USED_CHOICES, draw)
        if key in (LATER, BACK):
            return key
        value = {"u": AS_PLANNED, "0": NOTHING_USED}.get(key) or said_parts(walk.talk.line("What was used:"))
        try:
            if value and not is_blank(value):
                parse_used(value)
                # What was confirmed stays beside it: the checklist may plan something else before it is signed.
                return _written(walk, at, USED, f"{value} (planned: {listed})" if key == "u" and listed else value)
        except Unreadable as fault:
            walk.talk.say(f"{fault.message}.", indent="  ")


def _written(walk: Walk, at: int, key: str, value: str) -> str:
    box = walk.box(at)
    if walk.change(lambda sheet: edit.write(sheet, at, key, value)):
        walk.trail.append(WalkAnswer(WRITTEN, (box,), key))
    return ""
