"""Whether a flight check is required, in records and pages.

    flight-check = "required" | {not needed: reason [of: [RECORD …]]}
                 | {done: DATE, pilot: {name, kind, certificate}, words: text [of: [RECORD …]]}
"""

from typing import Any

from inspect_kit.model.record import FLOWN, NOT_NEEDED, REQUIRED, FlightCheck
from inspect_kit.text.fields import Mapping, Plain
from inspect_kit.text.grammar import parse_record_name
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_values import on_the_line
from inspect_kit.text.people import read_by, write_by

KEY = "flight-check"


def read_flight_check(fields: Fields, *, on_page: bool = False) -> FlightCheck | None:
    """The value of the key, None where it is absent or cannot be read; on a page a blank says nothing yet."""
    node = fields.node_of(KEY)
    if isinstance(node, Mapping):
        below = Fields(node, fields.source, KEY)
        place = fields.source.place(node.line)
        if below.has("done"):
            date, pilot = below.date("done"), read_by(below, "pilot")
            words, of = below.text("words", required=True), below.list_of("of", parse_record_name)
            below.finish()
            if pilot is None or not (pilot.kind and pilot.certificate):
                below.problem("pilot", "the pilot is named with kind and number of the certificate")
            whole = date is not None and pilot is not None and bool(words)
            return FlightCheck(word=FLOWN, date=date, pilot=pilot, words=words, of=of, place=place) if whole else None
        words, of = below.text("not needed", required=True), below.list_of("of", parse_record_name)
        below.finish()
        return FlightCheck(word=NOT_NEEDED, words=words, of=of, place=place) if words else None
    word = fields.text(KEY)
    word = on_the_line(word) if on_page else word
    if word and word != REQUIRED:
        told = "expected `required`, `{not needed: reason}` or `{done: DATE, pilot: ..., words: ...}`"
        fields.problem(KEY, told)
    return FlightCheck(word=REQUIRED, place=fields.source.place(node.line)) if node and word == REQUIRED else None


def write_flight_check(check: FlightCheck | None) -> "str | dict[str, Any] | None":
    """The value of the key, as `read_flight_check` reads it."""
    if check is None or check.word == REQUIRED:
        return check.word if check else None
    of = {"of": list(check.of)} if check.of else {}
    if check.word == NOT_NEEDED:
        return {"not needed": check.words, **of}
    return {"done": Plain(str(check.date)), "pilot": write_by(check.pilot), "words": check.words, **of}
