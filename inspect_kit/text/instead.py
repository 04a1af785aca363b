"""What an amendment says instead, in YAML.

    instead = { KEY: the value as the record has it }, for the keys that may be replaced (`model.amended`)
    meters: {NAME: NUMBER | {reads: NUMBER, total: NUMBER}}   totals: {NAME: NUMBER}, of an entry on paper
    next: {CHECK: DATE}   reads: {CHECK: {LABEL: reading}}
    date: DATE   made, fitted-on, overhauled: as on the label   old, new, unrecorded, since-new, since-overhaul: NUMBER
    follows, precedes: [RECORD ...], [] for none   serial, part, text: text
    added: {WHAT: AMOUNT}, of hours
    check, panel: ID, of a finding that was written down without a place
    last: {CHECK | INSPECTION: {date: DATE   good-until: DATE   paper: text   METER: NUMBER}}   fitted: {POSITION: the
    keys of a part as above}, both of what was brought forward
"""

from collections import abc
from collections.abc import Callable
from typing import Any

from inspect_kit.model.amended import ADDED, ORDER, PART_KEYS
from inspect_kit.model.finding import Reading
from inspect_kit.model.kinds.brought_forward import ReadsTotal
from inspect_kit.model.record import Field
from inspect_kit.text import grammar
from inspect_kit.text.brought_forward import read_reads_total, write_reads_total
from inspect_kit.text.fields import Mapping, Plain
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_facts import read_readings, write_readings


def read_instead(fields: Fields, key: str) -> dict[Field, object]:
    """Every field that is replaced, with its new value."""
    below = fields.mapping(key)
    if below is None:
        return {}
    found: dict[Field, object] = {}
    for name, parser in PLAIN.items():
        if below.has(name) and (value := below.parsed(name, parser)) not in (None, ""):
            found[(name,)] = value
    for name in ORDER:
        if below.has(name):
            # None at all is a value too: what was said of the order is taken back.
            found[(name,)] = below.list_of(name, grammar.parse_record_name)
    meters = below.mapping("meters")
    for meter, node in meters.each() if meters else ():
        assert meters is not None
        if isinstance(node, Mapping):
            if both := read_reads_total(Fields(node, fields.source, meters.name(meter.text))):
                found["meters", meter.text] = both
        elif (number := meters.number(meter.text)) is not None:
            found["meters", meter.text] = number
    totals = below.mapping("totals")
    for name, total in (totals.each_parsed(grammar.parse_number) if totals else {}).items():
        found["totals", name] = total
    filled = below.mapping(ADDED)
    for what, told in (filled.each_parsed(str) if filled else {}).items():
        found[ADDED, what] = told
    dates = below.mapping("next")
    for check, date in (dates.each_parsed(grammar.parse_date) if dates else {}).items():
        found["next", check] = date
    found |= _of_the_past(below, "last", lambda name: LAST.get(name, grammar.parse_number))
    found |= _of_the_past(below, "fitted", lambda name: PLAIN[name] if name in PART_KEYS else None)
    # A checklist calls them `reads`, a record `readings`; who copies from either is understood.
    for name in ("reads", "readings"):
        for reading in read_readings(below, name):
            found["reads", reading.check, reading.label] = reading
    below.finish()
    if not found and not fields.source.problems:
        fields.problem(key, "names nothing that is replaced")
    return found


PLAIN: dict[str, Callable[[str], object]] = {
    "date": grammar.parse_date,
    "text": str,
    "serial": str,
    "part": str,
    "check": grammar.parse_id,
    "panel": grammar.parse_id,
    "made": grammar.parse_label_date,
    "fitted-on": grammar.parse_label_date,
    "overhauled": grammar.parse_label_date,
    "old": grammar.parse_number,
    "new": grammar.parse_number,
    "unrecorded": grammar.parse_number,
    "since-new": grammar.parse_number,
    "since-overhaul": grammar.parse_number,
}


LAST: dict[str, Callable[[str], object]] = {
    "date": grammar.parse_date,
    "good-until": grammar.parse_date,
    "paper": str,
}


def _of_the_past(
    fields: Fields, key: str, parser_of: Callable[[str], Callable[[str], object] | None]
) -> dict[Field, object]:
    """{NAME: {FACT: its value}}, each fact by itself; what no parser is for stays unread, which is a problem."""
    below = fields.mapping(key)
    found: dict[Field, object] = {}
    for name, facts in below.each_mapping() if below else ():
        for fact in [each.text for each, _ in facts.node.pairs]:
            parser = parser_of(fact)
            if parser is not None and (value := facts.parsed(fact, parser)) not in (None, ""):
                found[key, name.text, fact] = value
        facts.finish()
    return found


def write_instead(instead: abc.Mapping[Field, object]) -> dict[str, Any]:
    """What `read_instead` reads."""
    found: dict[str, Any] = {}
    for (key, *names), value in instead.items():
        if isinstance(value, tuple):
            found[key] = list(value)
        elif not names:
            found[key] = value if isinstance(value, str) else Plain(str(value))
        elif isinstance(value, ReadsTotal):
            found.setdefault(key, {})[names[0]] = write_reads_total(value)
        elif isinstance(value, Reading):
            found[key] = write_readings(each for each in instead.values() if isinstance(each, Reading))
        else:
            below = found.setdefault(key, {})
            for name in names[:-1]:
                below = below.setdefault(name, {})
            below[names[-1]] = value if isinstance(value, str) else Plain(str(value))
    return found
