"""Records: one YAML file each, told apart by `kind`. What stands in a kind is read and written by `text.kinds`.

    format: 1     kind: KIND     date: DATE     and the keys of the kind, as its module in `model.kinds` has them
    any kind may have   entered: DATE   meters: {NAME: NUMBER}   text   by: NAME | {name [kind] [certificate] [ssh]}
                        at   paper   files: {NAME: SHA-256}   after: [SHA-256 …]
                        flight-check: as in `text.flight_check`   follows: [RECORD …]   precedes: [RECORD …]
"""

from collections.abc import Mapping
from typing import Any

from inspect_kit.model.kinds import KINDS, kind_of
from inspect_kit.model.record import FileSum, Record, Seal
from inspect_kit.text import grammar
from inspect_kit.text.aircraft import read_format
from inspect_kit.text.fields import Plain, read_yaml, write_yaml
from inspect_kit.text.flight_check import read_flight_check, write_flight_check
from inspect_kit.text.grammar import did_you_mean, parse_record_name
from inspect_kit.text.kinds import parse_sha256, read_kind, write_kind
from inspect_kit.text.mapping import Fields
from inspect_kit.text.people import read_by, write_by
from inspect_kit.text.source import Source, split_lines

Keys = dict[str, Any]
BY_NAME = {kind.name: kind for kind in KINDS}


def read_record(text: str, file: str) -> tuple[Record | None, Source]:
    """The record, or None when its kind, its date or what its kind must have cannot be read."""
    source = Source(file, split_lines(text))
    node, problems = read_yaml(text, file)
    source.problems += problems
    if node is None:
        return None, source
    fields = Fields(node, source)
    read_format(fields)
    name = fields.text("kind", required=True)
    kind = BY_NAME.get(name)
    common = _common(fields, {key.name for key in kind.keys} if kind else set())
    if name and kind is None:
        fields.problem("kind", f"`{name[:40]}` is no kind of record{did_you_mean(name, BY_NAME)}")
    if kind is None:
        fields.look_into_texts()
        return None, source
    record = read_kind(kind, fields, common)
    fields.finish()
    return record, source


def _common(fields: Fields, own: set[str]) -> dict[str, Any]:
    """What every kind may have; `own` are the keys of the kind, which may read `meters` otherwise."""
    meters = fields.mapping("meters") if "meters" not in own else None
    files = fields.mapping("files")
    sums = files.each_parsed(parse_sha256) if files else {}
    return {
        "name": fields.source.file.rsplit("/", 1)[-1].removesuffix(".yaml"),
        "date": fields.date("date", required=True),
        "entered": fields.date("entered"),
        "meters": meters.each_parsed(grammar.parse_number) if meters else {},
        "text": fields.text("text"),
        "by": read_by(fields),
        "at": fields.text("at"),
        "paper": fields.text("paper"),
        "files": tuple(FileSum(name=name, sha256=digest) for name, digest in sums.items()),
        "after": fields.list_of("after", parse_sha256),
        "flight_check": read_flight_check(fields),
        "follows": fields.list_of("follows", parse_record_name),
        "precedes": fields.list_of("precedes", parse_record_name),
        "seal": _seal(fields),
        "place": fields.source.place(fields.line),
        "lines": fields.lines(),
    }


def _seal(fields: Fields) -> Seal | None:
    seal = fields.mapping("seal")
    if seal is None:
        return None
    made = Seal(
        record=seal.text("record", required=True),
        page=seal.text("page"),
        worksheet=seal.parsed("worksheet", parse_sha256, required=True) or "",
        after=seal.list_of("after", parse_sha256),
        sha256=seal.parsed("sha256", parse_sha256, required=True) or "",
    )
    seal.finish()
    return made


def write_record(record: Record) -> str:
    """The YAML of a record without its seal, which `store` adds to the bytes. Keys that say nothing are left out."""
    kind = kind_of(record)
    own = write_kind(kind, record)
    head: Keys = {
        "format": Plain("1"),
        "kind": kind.name,
        "date": _plain(record.date),
        "entered": _plain(record.entered),
        "meters": own.pop("meters", None) or _plain_values(record.meters),
    }
    tail: Keys = {
        "text": record.text,
        "by": write_by(record.by),
        "at": record.at,
        "paper": record.paper,
        "flight-check": write_flight_check(record.flight_check),
        "follows": list(record.follows),
        "precedes": list(record.precedes),
        "files": {file.name: Plain(file.sha256) for file in record.files},
        "after": [Plain(digest) for digest in record.after],
    }
    return write_yaml({key: value for key, value in (head | own | tail).items() if value})


def _plain(value: object) -> Plain | None:
    return None if value is None else Plain(str(value))


def _plain_values(values: Mapping[str, object]) -> Keys:
    return {name: Plain(str(value)) for name, value in values.items()}
