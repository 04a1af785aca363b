"""What `new` asks: the aircraft, its owner, what is fitted, and its past item by item.

Every answer is kept in DIR.answers.yaml beside the folder that is to be made, until it is made: after an interruption
the same command goes on there. What nobody knows stays out of the files, and is unknown.
"""

import datetime as dt
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from functools import partial

from inspect_kit.audit.past import too_long_before
from inspect_kit.cli.kept_answers import OPEN, SAME, STOP, Answers, Back, Ended, Reads, optional, said
from inspect_kit.cli.past_asked import NONE, PastAnswers, read_yes_or_no, total_today
from inspect_kit.cli.said import BACK, NO, confirmed, say, somebody
from inspect_kit.due import unusual_since
from inspect_kit.errors import Misused
from inspect_kit.model.aircraft import kind_named
from inspect_kit.model.checklist import Check
from inspect_kit.model.interval import CALENDAR_MONTHS, Limit
from inspect_kit.model.reason import in_doubt
from inspect_kit.past import parse_said_date, parse_said_label_date, parse_said_number
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.grammar import Unreadable, parse_date, parse_number
from inspect_kit.text.page_values import parse_name

# What is not asked where there was no inspection.
LEFT_OUT = ("last_total", "last_paper")
INSPECTED_EVERY = Limit(number=Decimal(12), unit=CALENDAR_MONTHS)

# The kinds of certificate that operating limitations of amateur-built aircraft usually name; yours say which.
KINDS = (
    "repairman (experimental aircraft builder)",
    "mechanic (airframe and powerplant)",
)
# What is asked: the option, the words, and what Enter takes.
QUESTIONS: tuple[tuple[str, str, str], ...] = (
    ("registration", "Registration", ""),
    ("make", "Make, as on the certificate", ""),
    ("model", "Model", ""),
    ("serial", "Serial number", ""),
    ("certificate_date", "Date of the airworthiness certificate, such as 2019-05-17", ""),
    ("name", "Your name, as on your certificate", ""),
    ("kind", "Kind of your certificate: 1 builder's repairman, 2 mechanic, or its own words", KINDS[0]),
    ("certificate", "Number of your certificate", ""),
    ("tach", "The tachometer reads today", ""),
    ("total", "Total time today", SAME),
    ("last_inspection", "Date of the last condition inspection, or none", NONE),
    ("last_total", "Total time then", ""),
    ("last_paper", "Where it is entered: logbook and page", "aircraft logbook"),
)
# What a question is called in a refusal: by its own words, up to where they go on with how it is answered.
ASKED_AS = {key: re.split("[,:]", words)[0] for key, words, _ in QUESTIONS}
# What Enter takes, where that is shown in other words.
SAID = {SAME: "as the tachometer shows", KINDS[0]: "1"}
WHEELS = ("nose", "tail")
# What else they are called. Common practice.
WHEEL_WORDS = {"tricycle": "nose", "taildragger": "tail", "conventional": "tail"}
PITCHES = ("fixed", "constant speed")
FUELS = ("carburettor", "injection")
# What else these are called. Common practice.
SAID_SHAPES = {
    **{"fixed pitch": "fixed", "ground adjustable": "fixed", "constant": "constant speed"},
    **{"variable": "constant speed", "variable pitch": "constant speed"},
    **{"carb": "carburettor", "carburetor": "carburettor", "injected": "injection", "fuel injection": "injection"},
}
SHAPE: tuple[tuple[str, str], ...] = (
    ("wheel", "Third wheel: nose or tail"),
    ("seats", "Number of seats"),
    ("tanks", "Number of fuel tanks"),
    ("pitch", "Propeller: fixed or constant speed"),
    ("fuel", "Fuel by carburettor or injection"),
)
POSITIONS = {
    "engine": "Engine",
    "magneto-left": "Left magneto",
    "magneto-right": "Right magneto",
    "propeller": "Propeller",
}
OPTIONAL = ("magneto-left", "magneto-right")
PART: tuple[tuple[str, str], ...] = (
    ("serial", "serial number"),
    ("part", "maker and type"),
    ("since-new", "its own hours since new, today"),
    ("since-overhaul", "its own hours since overhaul, today"),
    ("fitted-on", "when it was first fitted"),
)


# What is said where the certificate is no older than an inspection may be.
NEW_AIRCRAFT = (
    "  Of a new aircraft it is the inspection that was signed before its certificate, with the total time then, if the "
    "logbook has one."
)
# What is said before the meter is asked, and before the magnetos.
METERS = (
    "  This meter stands for time in service. A second one, such as a Hobbs, comes in afterwards: a line under "
    "`meters` of records/aircraft.yaml, where `time-in-service` names the one that counts."
)
IGNITION = (
    "  With an electronic ignition in the place of a magneto: no. It is a position of its own, such as "
    "`ignition-right: {on: engine}` under `positions` of records/aircraft.yaml; `install` says what is fitted there; "
    "of one that has been there before today, a line under `fitted` of what is brought forward."
)
# What holds for every question.
RULES = (
    f"What Enter takes stands in brackets; {OPEN} leaves open what need not be known. {BACK} goes back to the question "
    "before, whose answer Enter then takes. From the third wheel on a full stop ends the questions. Ctrl-C stops; the "
    "same command goes on there."
)
# What counts only later, where it is typed before.
NOT_YET = {
    STOP: ": a full stop ends the questions from the third wheel on",
    SAME: f": {SAME} is the answer before once more from the parts on",
    OPEN: f": {OPEN} leaves open what need not be known, and this is needed",
}
# What has letters in it, whoever is meant; an answer that does not belong there, such as a date, seldom has.
IN_LETTERS = ("make", "name", "kind")
# What no date is: answers that slipped by a line are seen by it.
NO_DATES = ("registration", "make", "model", "serial", "name", "kind", "certificate", "last_paper")


def interview(
    answers: Answers, given: Mapping[str, object], read: Callable[[], Iterable[Check]], today: dt.date
) -> None:
    """Ask whatever was neither given nor kept; Misused for what cannot be, and where a needed answer is missing.

    `read` gives the checks as the answers so far make them.
    Where everything that is needed was given, and nobody is there to ask, nothing more is asked.
    """
    talking = bool(answers.order) or any(given.get(key) is None and key not in LEFT_OUT for key, *_ in QUESTIONS)
    talking = talking or somebody()
    if answers.order:
        _say(f"{answers.many}; it goes on there.")
    if talking:
        _say(RULES)
    past = PastAnswers(answers, read, today)
    while True:
        try:
            for key, words, default in QUESTIONS:
                if key not in LEFT_OUT or answers.told["last_inspection"] != NONE:
                    _needed(answers, key, words, default, given.get(key), today)
            answers.told |= {key: str(given[key]) for key, _ in SHAPE if given.get(key) is not None}
            if talking:
                _shape(answers)
                _parts(answers, today)
                past.ask()
        except Back:
            answers.take_back()
            continue
        except Ended:
            pass
        past.fill()
        return


def _needed(answers: Answers, key: str, words: str, default: str, given: object, today: dt.date) -> None:
    """What was given or kept, or what a person answers; who answers what cannot be is told why and asked again."""
    if given is None and key in answers.told:
        return
    shown = f"{words} (Enter: {SAID.get(default, default)})" if default else words
    if key == "last_inspection" and given is None and _is_new(answers.told, today):
        say(NEW_AIRCRAFT, err=True)
    if key == "tach" and given is None:
        say(METERS, err=True)
    before = answers.before.get(key, "").replace(SAME, "")
    while True:
        value = given
        if value is None:
            # Of what is needed the total alone may be left open.
            value = said(words if before and default != SAME else shown, kept=before, default=default)
        if value is None:
            kept = f"; {answers.many}" if answers.path.exists() else ""
            raise Misused(f"the input ended at `{words}`: no store was made{kept}. Give the same command again")
        if value == "" and given is None:
            say("  this must be answered; Ctrl-C stops, and what was answered is kept", err=True)
            continue
        try:
            answer = _checked(key, str(value).strip(), today)
            question = _doubt(key, answer, answers.told, today)
        except Misused as fault:
            if given is not None:
                raise
            say(f"  {fault}", err=True)
            continue
        if given is None and key in ("kind", "registration") and answer != str(value).strip():
            say(f"  {SAME} {answer}", err=True)
        if not question or confirmed(f"{question} Is it right?", no=BACK):
            if given is None:
                answers.keep(key, answer)
            answers.told[key] = answer
            return
        if given is not None:
            raise Misused(f"nothing was made: say yes, or give another --{key.replace('_', '-')}")


def _is_new(told: Mapping[str, str], today: dt.date) -> bool:
    return INSPECTED_EVERY.due_date(parse_date(told["certificate_date"])) >= today


def _doubt(key: str, value: str, before: Mapping[str, str], today: dt.date) -> str:
    """Misused for a date to come, more than the total today, or an inspection long before the certificate.

    What speaks against an answer that may be right all the same: an inspection in the 12 months before the certificate,
    or one that has run out; more hours than the years hold; a date or no digit where neither is usual. Else nothing.
    """
    words = ASKED_AS[key]
    if key in ("tach", "total") and value != SAME:
        doubt = unusual_since(parse_number(value), parse_date(before["certificate_date"]), today)
        return f"{words}: {doubt}" if doubt else ""
    if key == "last_total":
        if parse_number(value) > parse_number(most := total_today(before)):
            raise Misused(f"{words}: {value} is above the total today, {most}: give the total of that day")
        return ""
    if key in NO_DATES and _is_date(value, today):
        return f"{words}: `{value}` is a date."
    if key == "certificate" and not any(map(str.isdigit, value)):
        return f"{words}: `{value}` has no digit."
    if key not in ("certificate_date", "last_inspection") or value == NONE:
        return ""
    date = parse_date(value)
    if date > today:
        raise Misused(f"{words}: {date} is in the future: give the day on which it was")
    if key == "certificate_date":
        return ""
    certificate = parse_date(before["certificate_date"])
    if too_long_before(date, certificate):
        raise Misused(
            f"{words}: {date} is more than 12 months before the date of the certificate, {certificate}: correct one of "
            "the two"
        )
    if date < certificate:
        return f"{words}: {date} is before the date of the certificate, {certificate}."
    if (until := INSPECTED_EVERY.due_date(date)) < today:
        return f"{words}: after {date} it ran out on {until}."
    return ""


def _is_date(value: str, today: dt.date) -> bool:
    try:
        parse_said_date(value, today)
    except Unreadable:
        return False
    return True


def _checked(key: str, value: str, today: dt.date) -> str:
    """The answer, if it can be what was asked for; a date or a number in the form that files have."""
    words = ASKED_AS[key]
    if key == "total" and value in (SAME, OPEN):
        return SAME
    if not value or any(not character.isprintable() for character in value):
        raise Misused(f"{words} has no value that can be written: type letters, digits and marks")
    if not any(map(str.isalnum, value)):
        later = NOT_YET.get(value, "")
        raise Misused(f"{words}: `{value}` has neither a letter nor a digit{later}; type the answer itself")
    if key == "registration":
        # Marks are painted in capitals.
        return value.upper()
    if key == "kind" and value in ("1", "2"):
        return KINDS[int(value) - 1]
    if key == "kind":
        value = kind_named(value, KINDS) or value
    if key in IN_LETTERS and not any(map(str.isalpha, value)):
        raise Misused(f"{words}: `{value}` has no letter: is it the answer to another question? Type letters")
    if key != "last_inspection" and in_doubt(value):
        raise Misused(f"{words}: `{value}` leaves something open: type it without the blank or the question mark")
    try:
        if key == "name":
            return parse_name(value)
        if key == "certificate_date" or (key == "last_inspection" and value != NONE):
            return str(parse_said_date(value, today))
        if key in ("tach", "total", "last_total"):
            return str(parse_said_number(value))
    except Unreadable as fault:
        raise Misused(f"{words}: {fault.message}") from None
    return value


def _shape(answers: Answers) -> None:
    """Wheels, seats, tanks, propeller and fuel: what the starter's checklists are worded by."""
    readers: dict[str, Reads] = {"wheel": _wheel, "pitch": partial(_one_of, PITCHES), "fuel": partial(_one_of, FUELS)}
    for key, words in SHAPE:
        optional(answers, key, f"{words} (Enter: not known)", readers.get(key, _count))


def _parts(answers: Answers, today: dt.date) -> None:
    """What is fitted in the usual positions, with its own times."""
    for position, name in POSITIONS.items():
        if position in OPTIONAL:
            if position == OPTIONAL[0] and f"has {position}" not in answers.told:
                say(IGNITION, err=True)
            optional(answers, f"has {position}", f"{name}: is there one (yes, no; Enter: yes)", read_yes_or_no)
            if answers.told[f"has {position}"] == NO:
                continue
        for key, words in PART:
            read = _part_value(key, today, answers.told, position)
            optional(answers, f"{position} {key}", f"{name}, {words} (Enter: not known)", read)
            if key == "serial" and not answers.told[f"{position} serial"]:
                # Without a serial number its times belong to no part on record.
                break


def _wheel(typed: str) -> str:
    """nose | tail, with `wheel` or without, or as the whole is called"""
    word = typed.casefold().replace("-", " ").removesuffix("wheel").strip()
    word = WHEEL_WORDS.get(word.removesuffix(" gear"), word)
    if word not in WHEELS:
        raise Unreadable(f"expected {WHEELS[0]} or {WHEELS[1]}")
    return word


def _one_of(words: Sequence[str], typed: str) -> str:
    """One of two words, or as that is called elsewhere"""
    word = " ".join(typed.casefold().replace("-", " ").split()).removesuffix(" propeller")
    word = SAID_SHAPES.get(word, word)
    if word not in words:
        raise Unreadable(f"expected {' or '.join(words)}")
    return word


def _count(typed: str) -> str:
    """A whole number from 1 to 20; behind it may stand of what"""
    typed = re.sub(r"(?<=[0-9]) +(seats?|tanks?|fuel tanks?)$", "", typed)
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed) <= 20):
        raise Unreadable("expected a whole number from 1 to 20")
    return str(int(typed))


def _part_value(key: str, today: dt.date, told: Mapping[str, str], position: str) -> Reads:
    """How a fact about a part is read; `=` is what was answered to the same question about the part before."""
    new = told.get(f"{position} since-new", "")

    def read(typed: str) -> str:
        if typed != SAME and not any(map(str.isalnum, typed)):
            raise Unreadable(f"`{typed}` has neither a letter nor a digit: say it, or Enter")
        if typed == SAME:
            before = [*POSITIONS][: [*POSITIONS].index(position)]
            said = [value for each in before if (value := told.get(f"{each} {key}", ""))]
            if not said or key == "serial":
                raise Unreadable(f"{SAME} is the answer for a part before, and there is none: say it, or Enter")
            typed = said[-1]
        if key in ("since-new", "since-overhaul"):
            if key == "since-overhaul" and new and parse_said_number(typed) > parse_number(new):
                raise Unreadable(f"{typed} h since overhaul are more than {new} h since new")
            return str(parse_said_number(typed))
        if key == "fitted-on":
            if (day := parse_said_label_date(typed, today)) > today:
                raise Unreadable(f"{typed} is in the future")
            return str(day)
        return typed

    return read


def _say(text: str) -> None:
    say(text, err=True)


def starter_checks(files: Mapping[str, str]) -> tuple[Check, ...]:
    """The checks of the starter's checklists that are items of the due list, in the order of the files."""
    found: list[Check] = []
    for name, text in files.items():
        if name.startswith("checklists/"):
            _, checks, _ = read_checklist(text, name)
            found += [check for check in checks if check.is_item]
    return tuple(found)
