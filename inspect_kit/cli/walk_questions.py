"""What the walk asks when all boxes are settled: whether equipment changed, and whether a flight check is required; and
at a box whether what was done before is not applicable any more."""

import json

from inspect_kit.cli.records_named import find_record
from inspect_kit.cli.walk_names import BACK, LATER
from inspect_kit.cli.walk_state import Walk
from inspect_kit.cli.walk_talk import Choice
from inspect_kit.errors import Misused
from inspect_kit.inspection import edit
from inspect_kit.inspection.questions import (
    EQUIPMENT,
    FLIGHT_CHECK,
    NO_CHANGE,
    NO_RECORD_OF_CHANGE,
    changes_told,
    others_named,
    question_words,
)
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.reason import is_no_reason
from inspect_kit.report.cells import checks_done
from inspect_kit.text.page_values import is_blank

NONE_CHANGED = Choice(key="n", word="no change", does="all that is fitted is on record")
CHANGED = Choice(key="c", word="changed", does="name the records of kind `equipment` that tell of it")
ON_RECORD = Choice(key="n", word="no, nothing else", does="these records tell of all of it")
NOT_ANY_MORE = Choice(key="y", word="yes", does="it is not applicable any more")
AS_BEFORE = Choice(key="n", word="no", does="nothing is written; the box stays open")
REQUIRED = Choice(key="r", word="required", does="no passengers until a pilot has flown it and it is recorded")
NOT_NEEDED = Choice(key="n", word="not needed", does="say which ground tests or inspection show it conclusively")
WAYS = (Choice(key=LATER, word="later", does="leave it; the next walk asks again"), Choice(key=BACK, word="back"))


def ask_question(walk: Walk, key: str) -> str:
    """Ask one question of the page as a whole; BACK, or "" when it was answered or left."""

    told = ", ".join(changes_told(walk.logbook, walk.sheet.page, walk.desk.on)) if key == EQUIPMENT else ""

    def draw() -> None:
        walk.talk.say()
        words = question_words(walk.logbook, walk.sheet.page, key)
        if told:
            walk.talk.say(f"On record: {told}.")
            words = f"{words.removesuffix('?')}, beside what is on record?"
        walk.talk.say(words[:1].upper() + words[1:], strong=True)

    draw()
    own = (REQUIRED, NOT_NEEDED) if key == FLIGHT_CHECK else (ON_RECORD if told else NONE_CHANGED, CHANGED)
    chosen = walk.talk.choose((*own, *WAYS), draw)
    if chosen == BACK:
        return BACK
    # Without anything on record the same key says something else, of each question.
    value = json.dumps(told) if told and chosen == ON_RECORD.key else _value(walk, key, chosen)
    if chosen == LATER:
        walk.later.add(key)
    elif value:
        walk.change(lambda sheet: edit.answer_page(sheet, key, value))
    return ""


def is_none_any_more(walk: Walk, at: int) -> bool:
    """Whether a check that was done on record is not applicable: asked, for a wrong number is a box never looked at."""
    check, done = walk.entries[at].id, ""
    for record in walk.logbook.records:
        did = record.last if isinstance(record, BroughtForward) else checks_done(record)
        if check in {walk.logbook.id_now(each) for each in did}:
            done = record.name
    if not done:
        return True

    def draw() -> None:
        walk.talk.say(f"{check} was done before ({done}). Is it not applicable?", indent="  ")

    draw()
    return walk.talk.choose((NOT_ANY_MORE, AS_BEFORE), draw) == NOT_ANY_MORE.key


def _value(walk: Walk, key: str, chosen: str) -> str:
    """The answer as it is written on the page; "" where none was given."""
    if key == FLIGHT_CHECK and chosen == REQUIRED.key:
        return REQUIRED.word
    if key == FLIGHT_CHECK and chosen == NOT_NEEDED.key:
        reason = walk.talk.line("What shows it?", prose=True)
        # JSON's quotes are YAML's too: nothing in the words can be read as more of the page.
        return f"{{not needed: {json.dumps(reason, ensure_ascii=False)}}}" if not is_no_reason(reason) else ""
    if chosen == NONE_CHANGED.key:
        return NO_CHANGE
    if chosen == CHANGED.key:
        names = walk.talk.line("Which records, by commas?")
        return _changes_named(walk, names) if names and not is_blank(names) else ""
    return ""


def _changes_named(walk: Walk, words: str) -> str:
    """The records that somebody names as those of the change; "", with what is wrong said, where one is none."""
    try:
        names = ", ".join(find_record(walk.logbook, word.strip()).name for word in words.split(","))
    except Misused as fault:
        walk.talk.say(str(fault))
        return ""
    if others := others_named(walk.logbook, names):
        told = f"{', '.join(others)} {NO_RECORD_OF_CHANGE}: write one with inspect-kit equipment, and name that"
        walk.talk.say(told)
        return ""
    return json.dumps(names, ensure_ascii=False)
