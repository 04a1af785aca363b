"""Records: one YAML file each, told apart by `kind`. Kinds told by a table of keys are read by `text.kinds`.

    format: 1     kind: KIND     date: DATE     and the keys of the kind, as its `_read_…` function asks for them
    any kind may have   entered: DATE   meters: {NAME: NUMBER}   text   by: NAME | {name [kind] [certificate] [ssh]}
                        at   paper   files: {NAME: SHA-256}   after: [SHA-256 …]
                        flight-check: as in `text.flight_check`
"""

import re
from collections.abc import Callable
from functools import partial
from typing import Any

from inspect_kit.model.aircraft import Identity
from inspect_kit.model.kinds import KINDS as TABLES
from inspect_kit.model.record import (
    Amendment,
    BroughtForward,
    Field,
    FileSum,
    FindingRecord,
    Hours,
    Inspection,
    Installed,
    LastDone,
    MeterChange,
    ReadsTotal,
    Record,
    Removed,
    Seal,
    Signature,
    Work,
)
from inspect_kit.text import grammar
from inspect_kit.text.aircraft import read_format, read_identity
from inspect_kit.text.fields import Mapping, read_yaml
from inspect_kit.text.flight_check import read_flight_check
from inspect_kit.text.grammar import Unreadable, did_you_mean
from inspect_kit.text.kinds import parse_record_name, read_kind
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_facts import read_finding, read_page_facts, read_readings
from inspect_kit.text.page_values import parse_reference
from inspect_kit.text.people import read_by
from inspect_kit.text.source import Source, split_lines

Reader = Callable[[Fields, dict[str, Any]], Record | None]


def read_record(text: str, file: str) -> tuple[Record | None, Source]:
    """The record, or None when its kind, its date or what its kind must have cannot be read."""
    source = Source(file, split_lines(text))
    node, problems = read_yaml(text, file)
    source.problems += problems
    if node is None:
        return None, source
    fields = Fields(node, source)
    read_format(fields)
    kind = fields.text("kind", required=True)
    common = _common(fields, plain_meters=kind != "brought-forward")
    if kind and kind not in KINDS:
        fields.problem("kind", f"`{kind[:40]}` is no kind of record{did_you_mean(kind, KINDS)}")
    if kind not in KINDS:
        fields.look_into_texts()
        return None, source
    record = KINDS[kind](fields, common)
    fields.finish()
    return (record if common["date"] is not None else None), source


def _common(fields: Fields, *, plain_meters: bool) -> dict[str, Any]:
    """What every kind may have; the meters of a `brought-forward` are read by its own reader."""
    meters = fields.mapping("meters") if plain_meters else None
    files = fields.mapping("files")
    return {
        "name": fields.source.file.rsplit("/", 1)[-1].removesuffix(".yaml"),
        "date": fields.date("date", required=True),
        "entered": fields.date("entered"),
        "meters": meters.each_parsed(grammar.parse_number) if meters else {},
        "text": fields.text("text"),
        "by": read_by(fields),
        "at": fields.text("at"),
        "paper": fields.text("paper"),
        "files": tuple(
            FileSum(name=name, sha256=digest) for name, digest in (files.each_parsed(_sha256) if files else {}).items()
        ),
        "after": fields.list_of("after", _sha256),
        "flight_check": read_flight_check(fields),
        "seal": _seal(fields),
        "place": fields.source.place(fields.line),
        "lines": fields.lines(),
    }


def _sha256(value: str) -> str:
    """SHA-256 = 64 lower-case hexadecimal digits"""
    if not re.fullmatch(r"[0-9a-f]{64}", value):
        raise Unreadable("expected a SHA-256 of 64 lower-case hexadecimal digits")
    return value


def _seal(fields: Fields) -> Seal | None:
    seal = fields.mapping("seal")
    if seal is None:
        return None
    made = Seal(
        record=seal.text("record", required=True),
        page=seal.text("page"),
        worksheet=seal.parsed("worksheet", _sha256, required=True) or "",
        after=seal.list_of("after", _sha256),
        sha256=seal.parsed("sha256", _sha256, required=True) or "",
    )
    seal.finish()
    return made


def _read_hours(fields: Fields, common: dict[str, Any]) -> Record | None:
    node = fields.node_of("meters", required=True)
    if isinstance(node, Mapping) and not node.pairs:
        fields.problem("meters", "expected at least one reading, such as `{tach: 412.6}`")
    added = fields.mapping("added")
    for name, _ in added.each() if added else ():
        if name.text in fields.asked:
            fields.problem_with(name, f"`{name.text}` stands under `added`: is it indented too far?")
    return Hours(added=added.each_parsed(str) if added else {}, permit=fields.text("permit"), **common)


def _read_work(fields: Fields, common: dict[str, Any]) -> Record | None:
    if not fields.has("did") and not common["text"]:
        fields.source.problem(fields.line, "work says what was done: `did` or `text` is missing")
    return Work(identity=_aircraft(fields, required=False), **read_page_facts(fields), **common)


def _aircraft(fields: Fields, *, required: bool) -> Identity | None:
    """aircraft = {registration make model serial}"""
    aircraft = fields.mapping("aircraft", required=required)
    if aircraft is None:
        return None
    identity = read_identity(aircraft)
    aircraft.finish()
    return identity


def _read_inspection(fields: Fields, common: dict[str, Any]) -> Record | None:
    identity = _aircraft(fields, required=True)
    outcome = fields.text("outcome", required=True)
    if outcome and outcome not in ("passed", "not passed"):
        fields.problem("outcome", "expected `passed` or `not passed`")
    not_applicable = fields.mapping("not-applicable")
    name = fields.parsed("inspection", grammar.parse_id, required=True)
    made: dict[str, Any] = {
        "basis": fields.text("basis", required=True),
        "statement": fields.text("statement", required=outcome == "passed"),
        "not_applicable": not_applicable.each_parsed(str) if not_applicable else {},
        "signers": fields.texts("signers"),
        **read_page_facts(fields),
    }
    by = common["by"]
    if by is None or not (by.name and by.kind and by.certificate):
        # 14 CFR 43.11(a)(3) as a model, and the operating limitations: name, certificate number and its kind.
        fields.source.problem(fields.line, "an inspection names its signer: `by` with name, kind and certificate")
    if identity is None or name is None:
        return None
    return Inspection(inspection=name, passed=outcome == "passed", identity=identity, **made, **common)


def _read_finding(fields: Fields, common: dict[str, Any]) -> Record | None:
    if not fields.has("fix"):
        fields.missing("fix")
    finding = read_finding("F1", fields)
    return FindingRecord(finding=finding, **common) if finding else None


def _read_signature(fields: Fields, common: dict[str, Any]) -> Record | None:
    of, ssh = fields.parsed("of", parse_record_name, required=True), fields.text("ssh")
    ink = fields.parsed("ink", parse_reference) or ""
    if bool(ink) == bool(ssh):
        fields.source.problem(fields.line, "a signature is in ink (logbook and page) or by ssh: one of the two")
    sha256 = fields.parsed("sha256", _sha256) or ""
    return Signature(of=of, ink=ink, ssh=ssh, sha256=sha256, **common) if of else None


def _part(fields: Fields) -> dict[str, Any]:
    return {
        "serial": fields.text("serial", required=True),
        "part": fields.text("part"),
        "no_change": fields.text("no change"),
        "since_new": fields.number("since-new"),
        "since_overhaul": fields.number("since-overhaul"),
        "where": fields.text("where"),
        "reason": fields.text("reason"),
    }


def _ages(fields: Fields) -> dict[str, Any]:
    return {
        "made": fields.parsed("made", grammar.parse_label_date),
        "fitted_on": fields.parsed("fitted-on", grammar.parse_label_date),
        "overhauled": fields.parsed("overhauled", grammar.parse_label_date),
    }


def _read_installed(fields: Fields, common: dict[str, Any]) -> Record | None:
    position = fields.parsed("position", grammar.parse_id, required=True)
    part = _part(fields) | _ages(fields)
    return Installed(position=position, **part, **common) if position else None


def _read_removed(fields: Fields, common: dict[str, Any]) -> Record | None:
    position = fields.parsed("position", grammar.parse_id, required=True)
    part = _part(fields)
    return Removed(position=position, **part, **common) if position else None


def _read_meter_change(fields: Fields, common: dict[str, Any]) -> Record | None:
    meter = fields.parsed("meter", grammar.parse_id, required=True)
    old, new = fields.number("old", required=True), fields.number("new", required=True)
    unrecorded, how_known = None, ""
    node = fields.node_of("unrecorded")
    if isinstance(node, Mapping):
        below = Fields(node, fields.source, "unrecorded")
        unrecorded, how_known = below.number("hours", required=True), below.text("how-known", required=True)
        below.finish()
    elif node is not None:
        fields.problem("unrecorded", "expected hours and how they are known, `{hours: 1.2, how-known: flight log}`")
    if meter is None or old is None or new is None:
        return None
    return MeterChange(meter=meter, old=old, new=new, unrecorded=unrecorded, how_known=how_known, **common)


def _read_brought_forward(fields: Fields, common: dict[str, Any]) -> Record | None:
    # Here `meters` says of each meter what it reads and what that stands for.
    node = fields.node_of("meters")
    reads: dict[str, ReadsTotal] = {}
    if isinstance(node, Mapping):
        for name, each in Fields(node, fields.source, "meters").each_mapping():
            shown, total = each.number("reads", required=True), each.number("total", required=True)
            each.finish()
            if shown is not None and total is not None:
                reads[name.text] = ReadsTotal(reads=shown, total=total)
    else:
        fields.problem("meters", "expected for each meter what it reads and its total, `{tach: {reads: , total: }}`")
    last = {}
    done = fields.mapping("last")
    for name, each in done.each_mapping() if done else ():
        date, paper, until = each.date("date"), each.text("paper"), each.date("good-until")
        last[name.text] = LastDone(date=date, totals=_totals(each), paper=paper, good_until=until)
    fitted = []
    parts = fields.mapping("fitted")
    for name, each in parts.each_mapping() if parts else ():
        here = common | {"place": each.source.place(name.line)}
        fitted.append(Installed(position=name.text, **_part(each), **_ages(each), **here))
        each.finish()
    return BroughtForward(reads=reads, last=last, fitted=tuple(fitted), **common)


def _totals(fields: Fields) -> dict[str, Any]:
    """All keys of a `last` entry but `date`, `paper` and `good-until`: meters with their totals."""
    names = [key.text for key, _ in fields.node.pairs if key.text not in ("date", "paper", "good-until")]
    found = {name: fields.number(name) for name in names}
    return {name: number for name, number in found.items() if number is not None}


def _read_amendment(fields: Fields, common: dict[str, Any]) -> Record | None:
    of = fields.parsed("of", parse_record_name, required=True)
    if not common["text"]:
        fields.missing("text")
    instead, not_done = _instead(fields), fields.list_of("not-done", grammar.parse_id)
    if (fields.has("instead") or not_done) and common["by"] is None:
        fields.missing("by")
    return Amendment(of=of, instead=instead, not_done=not_done, **common) if of else None


def _instead(fields: Fields) -> dict[Field, object]:
    """instead = { KEY: the value as the record has it }, for the keys that may be replaced (`model.amended`)

    meters: {NAME: NUMBER | {reads: NUMBER, total: NUMBER}}   next: {CHECK: DATE}   reads: {CHECK: {LABEL: reading}}
    date: DATE   made, fitted-on, overhauled: as on the label   old, new, since-new, since-overhaul: NUMBER
    serial, part, text: text   check, panel: ID, of a finding that was written down without a place
    """
    below = fields.mapping("instead")
    if below is None:
        return {}
    found: dict[Field, object] = {}
    for key, parser in INSTEAD.items():
        if below.has(key) and (value := below.parsed(key, parser)) not in (None, ""):
            found[(key,)] = value
    meters = below.mapping("meters")
    for name, node in meters.each() if meters else ():
        assert meters is not None
        if isinstance(node, Mapping):
            both = Fields(node, fields.source, meters.name(name.text))
            reads, total = both.number("reads", required=True), both.number("total", required=True)
            both.finish()
            if reads is not None and total is not None:
                found["meters", name.text] = ReadsTotal(reads=reads, total=total)
        elif (number := meters.number(name.text)) is not None:
            found["meters", name.text] = number
    dates = below.mapping("next")
    for check, date in (dates.each_parsed(grammar.parse_date) if dates else {}).items():
        found["next", check] = date
    # A checklist calls them `reads`, a record `readings`; who copies from either is understood.
    for key in ("reads", "readings"):
        for reading in read_readings(below, key):
            found["reads", reading.check, reading.label] = reading
    below.finish()
    if not found and not fields.source.problems:
        fields.problem("instead", "names nothing that is replaced")
    return found


INSTEAD: dict[str, Callable[[str], object]] = {
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
    "since-new": grammar.parse_number,
    "since-overhaul": grammar.parse_number,
}


KINDS: dict[str, Reader] = {
    "hours": _read_hours,
    "work": _read_work,
    "finding": _read_finding,
    "inspection": _read_inspection,
    "signature": _read_signature,
    "installed": _read_installed,
    "removed": _read_removed,
    "meter-change": _read_meter_change,
    "brought-forward": _read_brought_forward,
    "amendment": _read_amendment,
    **{kind.name: partial(read_kind, kind) for kind in TABLES},
}
