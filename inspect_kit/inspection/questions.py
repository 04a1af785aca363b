"""What a page asks as a whole, besides its boxes: whether equipment changed, and whether a flight check is required.

Answers stand in the front matter. Equipment is asked of an inspection where the aircraft was ever weighed; a flight
check of any page on which flight controls, rigging or propeller pitch were disturbed (14 CFR 91.407(b), (c)).
"""

import datetime as dt
from collections.abc import Iterator

from inspect_kit.balance import unanswered
from inspect_kit.errors import Place
from inspect_kit.inspection.signing import Request
from inspect_kit.model.kinds.equipment import Equipment
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.weighing import Weighing
from inspect_kit.model.lines import place_of
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import FLOWN
from inspect_kit.model.worksheet import JOB_WORK, NOT_WRITTEN, OPENING, Missing, Worksheet

EQUIPMENT, FLIGHT_CHECK = "equipment", "flight-check"
NO_CHANGE = "no change"
NO_RECORD_OF_CHANGE = "is no record of a change of equipment or of a weighing"


def asks_equipment(logbook: Logbook, job: str) -> bool:
    """Whether a page of that job asks whether equipment changed."""
    return job != JOB_WORK and bool(logbook.of_kind(Weighing))


def disturbed_by(logbook: Logbook, page: Worksheet) -> tuple[str, ...]:
    """What the page disturbed of that which wants a flight check: as written, and by what was ticked."""
    told = [name for entry in page.entries for name in entry.disturbed]
    for entry in page.entries:
        if entry.ticked and not entry.answer:
            now = logbook.id_now(entry.id)
            panel, check = logbook.panels.get(now), logbook.checks.get(now)
            if panel is not None and entry.verb in OPENING:
                told += panel.disturbs
            elif check is not None and entry.is_check:
                told += check.disturbs
    names = [logbook.id_now(name) for name in told]
    return tuple(name for name in logbook.flight_check_after if name in names)


def open_questions(logbook: Logbook, page: Worksheet) -> tuple[str, ...]:
    """The keys of the front matter that are still to be answered."""
    asked = [EQUIPMENT] if asks_equipment(logbook, page.job) and not page.equipment else []
    return (*asked, *([FLIGHT_CHECK] if disturbed_by(logbook, page) and page.flight_check is None else ()))


def changes_told(logbook: Logbook, page: Worksheet, on: dt.date) -> tuple[str, ...]:
    """The records that tell of a change of equipment since the inspection before, up to a day."""
    last = previous(logbook, page)
    since = last.date if last is not None else dt.date.min
    return tuple(
        record.name
        for record in (*logbook.of_kind(Equipment), *logbook.of_kind(Weighing))
        if since < record.date <= on and not (isinstance(record, Equipment) and record.no_change)
    )


def others_named(logbook: Logbook, answer: str) -> tuple[str, ...]:
    """What an answer names that is no record of a change of equipment or of a weighing."""
    names = () if answer == NO_CHANGE else tuple(word.strip() for word in answer.split(","))
    return tuple(name for name in names if not isinstance(logbook.record(name), Equipment | Weighing))


def to_ask(logbook: Logbook, page: Worksheet, on: dt.date) -> tuple[str, ...]:
    """The questions that are open, and that for equipment where the records contradict or do not have its answer."""
    answered = bool(page.equipment) and asks_equipment(logbook, page.job)
    denied = page.equipment == NO_CHANGE and changes_told(logbook, page, on)
    again = (EQUIPMENT,) if answered and (denied or others_named(logbook, page.equipment)) else ()
    return (*again, *open_questions(logbook, page))


def question_words(logbook: Logbook, page: Worksheet, key: str) -> str:
    """A question in words, as it is asked on the page and in the walk."""
    if key == FLIGHT_CHECK:
        what = " and ".join(disturbed_by(logbook, page))
        return f"{what} disturbed: is a flight check required before passengers are carried (14 CFR 91.407)?"
    last = previous(logbook, page)
    return f"has equipment changed since {f'the inspection of {last.date}' if last else 'the records begin'}?"


def previous(logbook: Logbook, page: Worksheet) -> Inspection | None:
    """The last inspection of the name of this page that was passed; None before the first."""
    before = [record for record in logbook.of_kind(Inspection) if record.inspection == page.job and record.passed]
    return before[-1] if before else None


def unanswered_questions(request: Request) -> Iterator[Missing]:
    """What is missing of the answers, or contradicts the records."""
    logbook, page = request.logbook, request.page
    for key in open_questions(logbook, page):
        if key == EQUIPMENT and request.closing:
            # A page that is closed is no inspection.
            continue
        how = "`no change`, or the records of kind `equipment` that tell of it"
        if key == FLIGHT_CHECK:
            how = "`required`, or `{not needed: WHAT SHOWS IT}`"
        told = f"is not answered: {question_words(logbook, page, key)} Write {how}"
        yield Missing(key, told, place_of(page, key), NOT_WRITTEN)
    if page.equipment and asks_equipment(logbook, page.job) and not request.closing:
        yield from _equipment(request, place_of(page, EQUIPMENT))
    if page.flight_check is not None and page.flight_check.word == FLOWN:
        told = "cannot be flown before the page is signed: write `required`, and record the flight after it"
        yield Missing(FLIGHT_CHECK, told, place_of(page, FLIGHT_CHECK))
    elif page.flight_check is not None and any(name.removesuffix(".md") == page.name for name in page.flight_check.of):
        told = f"`of` names this page, for which it answers anyway: take `{page.name}` out of it"
        yield Missing(FLIGHT_CHECK, told, place_of(page, FLIGHT_CHECK))


def _equipment(request: Request, place: Place) -> Iterator[Missing]:
    logbook, page = request.logbook, request.page
    told = ", ".join(changes_told(logbook, page, request.on)) if page.equipment == NO_CHANGE else ""
    if told:
        verb = "tell" if "," in told else "tells"
        yield Missing(EQUIPMENT, f"says `{NO_CHANGE}`, and {told} {verb} of one: `{EQUIPMENT}: {told}`", place)
    for name in others_named(logbook, page.equipment):
        yield Missing(EQUIPMENT, f"`{name}` {NO_RECORD_OF_CHANGE}: name one, or write `{NO_CHANGE}`", place)
    for fitting in unanswered(logbook):
        said = f"{fitting.name} does not say whether the empty weight changed: `equipment`, or `no change` and why"
        yield Missing(EQUIPMENT, said, place)
