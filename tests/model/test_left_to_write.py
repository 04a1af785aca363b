"""Words that say what they should not: still to be written in a statement, not flown or not good of a flight."""

import datetime as dt

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.kinds.change import MAJOR, Change
from inspect_kit.model.kinds.paper_entry import tells_not_passed
from inspect_kit.model.reason import (
    is_no_number,
    left_to_write,
    names_nobody,
    says_needed,
    says_not_good,
    says_uncorrected,
)

STANDS_IN = [
    *("Inspected on <date>", "Inspected on [insert date]", "Inspected on DATE", "by NAME", "by YOUR NAME", "by <name>"),
    *("TBD", "tbc", "Tba.", "To do", "TODO: copy from the limitations", "copy it from the limitations", "xxx", "XX"),
    *("I certify that ... safe", "I certify that \u2026 safe", "in a condition for ???", "Inspected on ?"),
    *("Inspected on dd/mm/yyyy", "Inspected on YYYY-MM-DD", "Inspected on MM/DD/YY", "Inspected on  /  / 2026"),
    *("statement here", "your name", "fill in", "fill me in", "to be written", "insert statement here"),
    *("See the operating limitations", "as per operating limitations", "%date%", "$DATE", "lorem ipsum dolor"),
    *("at a total time of HOURS", "certificate NUMBER", "Inspected by (name) on (date)", "placeholder", "FIXME"),
]
WHOLE = [
    # As the order behind 91.319 has them in operating limitations; in capitals too.
    "I certify that this aircraft has been inspected on {date} in accordance with the scope and detail of appendix D "
    "to part 43, and was found to be in a condition for safe operation.",
    "I CERTIFY THAT THE PRESCRIBED FLIGHT TEST HOURS HAVE BEEN COMPLETED ON {date} AND THE TIME IS RECORDED.",
    "I certify that the prescribed flight test hours have been completed and the aircraft is controllable throughout "
    "its normal range of speeds and throughout all maneuvers to be executed, has no hazardous operating "
    "characteristics or design features, and is safe for operation. The following aircraft operating data has been "
    "demonstrated during the flight testing: speeds Vso {Vso}, Vx {Vx}, and Vy {Vy}, and the weight {weight} and CG "
    "location {CG location} at which they were obtained.",
    "Inspected on {date}; as per the operating limitations of 8 June 2017 it is in a condition for safe operation.",
]


@pytest.mark.parametrize("words", STANDS_IN)
def test_what_is_still_to_be_written(words: str) -> None:
    assert left_to_write(words)


@pytest.mark.parametrize("words", WHOLE)
def test_whole_statements(words: str) -> None:
    assert left_to_write(words) == ""


@pytest.mark.parametrize(
    "words",
    [
        *("no", "No.", "did not fly", "didn't fly", "aborted", "flight postponed", "flown, not satisfactory"),
        *("controls reversed", "flown, rolls left", "flown; pulls to the right", "left wing heavy", "never flown"),
        *("flown, not good", "turned back", "to be flown", "not yet", "not flown, weather", "scrubbed", "-"),
        *("flown ____", "flown?", "taxied only", "high speed taxi", "ground run only", "one circuit, stuck elevator"),
        *("weather", "see log", "done", "Flown.", "see logbook page 3", "will fly it tomorrow", "flew ... ??", "xx"),
        *("flown, elevator stiff", "one circuit; flutter at 90 kt", "flown; hard to trim", "flown by hand, vibrates"),
        *("flown, unsatisfactory", "flown and not completed", "could not be flown", "cancelled", "no flight"),
        *("high speed run", "planned", "simulated", "bench checked", "asked Bob", "needs another flight"),
        *("flown: to be repeated", "flown half of it", "flown partially", "flown, left rudder dead", "no good"),
    ],
)
def test_a_flight_check_that_was_not_flown_or_not_good(words: str) -> None:
    assert says_not_good(words)


@pytest.mark.parametrize(
    "words",
    [
        *("flown, found good", "satisfactory", "normal in all axes", "no abnormality", "flew hands off"),
        "trim unchanged",
        *("flew well", "well", "taxied, then flown: good", "no flutter or vibration to 120 kt", "one circuit, good"),
        *("flown free of binding; found to be good", "Alone, 0.5 h, trimmed hands off.", "climbed well, cables taut"),
        *("flew well; will watch the trim tab", "flight at 3 speeds: stable"),
    ],
)
def test_a_flight_check_that_was_found_good(words: str) -> None:
    assert not says_not_good(words)


@pytest.mark.parametrize(
    "words",
    [
        *("to be flown", "flight needed", "a flight check is required", "not yet", "-", "no", "will fly it tomorrow"),
        *("no time", "see log", "x", "not needed", "travel ____", "travel measured?", "weather", "fly it later", "log"),
        *("no pilot available", "pilot is ill", "busy", "test flight Saturday", "when the weather is better"),
        *("do it on the way home", "flown soon", "maybe", "I think", "Bob said so"),
    ],
)
def test_why_no_flight_is_needed_is_not_that_one_is(words: str) -> None:
    assert says_needed(words)


@pytest.mark.parametrize(
    "words",
    [
        *("ground test of full travel, cables untouched", "nothing of it was taken apart", "travel measured"),
        "it flew well",
        *("static run, 2150 rpm", "on the ground", "ground run at all speeds", "lit on the ground", "measured only"),
        *("pitch measured before and after: the same", "full travel, found to be free", "travel checked by two people"),
    ],
)
def test_what_shows_that_no_flight_is_needed(words: str) -> None:
    assert not says_needed(words)


@pytest.mark.parametrize(
    "words",
    [
        *("stack renewed ____", "stack renewed?", "renewed (?)", "torqued to ?? lb-ft", "stack renewed ...", "did not"),
        *("not satisfactory", "looked at, not satisfactory", "rejected", "Cancelled.", "planned", "waits", "monitor"),
        *("left as it is", "x", "same", "F1", "see F2", "done", "cleared", "could not repair it", "monitor for growth"),
        *("stack not replaced", "will replace", "stop-drilled, still cracked", "partly", "see note", "see notes below"),
        *("cannot reproduce", "stack will be replaced", "not welded", "has not been welded", "weld next week"),
        *("welded, still leaks a little", "partially welded", "must be replaced", "never repaired", "repair later"),
        *("could not reproduce", "nothing was done", "stack to be renewed by the maker", "was not mended"),
        *("stack wasn't replaced", "not torqued", "unable to repair", "cleaned; still slightly loose", "not cut out"),
        *("weld failed", "crack remains", "leaks again", "needs new points", "half done", "tried to weld", "ask Rita"),
        *("Rita to look", "ferry only", "grounded", "same as before", "as found", "on order, old one refitted"),
        *("could not be reproduced", "unable to reproduce, cleaned for now", "pending, cleaned"),
        *("waiting for the part", "no", "failed", "half", "cracks found"),
        *("waiting on a bracket, old one refitted", "will not come loose again", "partly replaced"),
    ],
)
def test_a_clearing_that_says_nothing_of_what_was_done(words: str) -> None:
    assert says_uncorrected(words)


@pytest.mark.parametrize(
    "words",
    [
        *("stack renewed", "stop drilled; watched for 10 h: no growth", "raised in error: old paint"),
        *("found not satisfactory, renewed", "repaired", "no crack after all: dye, 2 lights", "monitored for 20 h"),
        *("renewed (was it the maker's? no)", "closed the gap with sealant", "Done: new gasket", "F1 and F2: one weld"),
        *("found not secured, torqued to 25 in-lb", "welded; the other stack was not touched", "failed O-ring renewed"),
        *("one turn of the fork, lock nut, 94 lb; fin still upright", "not cracked: a scratch, polished out"),
        *("raised in error: not cracked", "welded once more", "no longer leaks", "collar a quarter turn, 15 lb"),
        *("tightened two days later, dry", "beaten out", "stack replaced, will look again in 10 h", "wiped off"),
        *("sanded, will hold a coat of dope", "renewed; not leaking", "run 5 min, see trend", "welded, see WO 77"),
        *("torqued to 25, not 30 in-lb", "drain opened, dried to 13 %, no stain on the spar", "filed"),
        *("could not be reproduced in three runs; lead renewed", "unable to reproduce, connectors cleaned"),
        *("waiting part arrived and fitted", "pending item closed, bracket fitted"),
        *("deferred item of May: lens replaced", "no crack under dye, paint only: resprayed"),
        *("will not come loose again: Loctite 243", "partly worn pad replaced", "should be ok now: nut tightened"),
        *("watch glass replaced", "new points fitted, old ones failed inspection"),
    ],
)
def test_a_clearing_that_says_what_was_done(words: str) -> None:
    assert not says_uncorrected(words)


@pytest.mark.parametrize("number", ["123 (expired)", "12, suspended", "student 1", "applied for 2026", "1 not current"])
def test_a_number_of_a_certificate_that_is_not_held(number: str) -> None:
    assert is_no_number(number)
    assert not is_no_number("1234567 CFI exp 2028-05-31")


@pytest.mark.parametrize("name", ["pilot in command", "PIC", "Ann Lee (student)", "Test pilot", "Ann (Trainee pilot)"])
def test_a_name_that_names_nobody_who_may(name: str) -> None:
    assert names_nobody(name)
    assert not names_nobody("Ann Lee (Annie)")


@pytest.mark.parametrize(
    ("words", "there"),
    [
        *((words, False) for words in ("____", "p. ____", "?", "tbd", "pending", "not yet", "to be sent", "refused")),
        *((words, False) for words in ("letter of 3 June: denied", "not given", "awaiting the letter", "letter ...")),
        *((words, True) for words in ("by letter of 20 June", "log p. 3", "as before", "refused, then granted")),
        *((words, True) for words in ("not required by paragraph 12", "to the north of the A1")),
    ],
)
def test_what_a_major_change_asks_for_is_there_or_it_is_not(words: str, there: bool) -> None:
    keys = {"entry": words, "area": words, "notice": words, "concurrence": words}
    place = Place("c.yaml", 1)
    made = Change(name="c", place=place, date=dt.date(2026, 6, 2), what="propeller", answer=MAJOR, **keys)
    assert len(made.wanted) == (0 if there else 4)


@pytest.mark.parametrize(
    ("words", "passed"),
    [
        *((f"condition inspection {words}", False) for words in ("not completed", "____", "due", "failed")),
        *((f"condition inspection {words}", False) for words in ("due in May 2027, owner told", "incomplete", "begun")),
        ("condition inspection, not airworthy: crack in stack", False),
        ("list of discrepancies given to owner", False),
        ("found not to be in a condition for safe operation", False),
        ("unairworthy: list of items dated 2026-05-01 given to the owner", False),
        ("condition inspection, completed", True),
        ("condition inspection, list of discrepancies: none", True),
        ("condition inspection, next due March 2027", True),
        ("Annual due in May; inspected and found airworthy", True),
        ("inspected, not airworthy: crack. Corrected and returned to service", True),
        ("inspected and found to be in a condition for safe operation", True),
        ("inspection begun 3 May, completed 6 May", True),
        ("failed O-ring renewed; inspected", True),
        ("", True),
    ],
)
def test_an_entry_on_paper_that_says_that_an_inspection_was_not_passed(words: str, passed: bool) -> None:
    assert tells_not_passed(words) is not passed
