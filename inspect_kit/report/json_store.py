"""The machine-readable answers about the store and a record of it, as those of `json`."""

from collections.abc import Iterable, Mapping, Sequence

from inspect_kit.errors import Problem
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.json import FORMAT, Facts
from inspect_kit.text import fields


def verify_json(
    logbook: Logbook,
    files: Mapping[str, bytes],
    problems: Sequence[Problem],
    broken: Sequence[Problem],
    notes: Sequence[Problem],
) -> Facts:
    """What was read and what is wrong with it; `good` says that nothing is."""
    return {
        "format": FORMAT,
        "registration": logbook.aircraft.identity.registration,
        "good": not (problems or broken),
        "files": len(files),
        "records": len(logbook.records),
        "sealed": sum(record.seal is not None for record in logbook.records),
        "panels": len(logbook.panels),
        "checks": len(logbook.checks),
        "open_pages": len(logbook.pages),
        "broken": _told(broken),
        "problems": _told(problems),
        "notes": _told(notes),
    }


def _told(problems: Iterable[Problem]) -> list[Facts]:
    return [{"file": each.place.file, "line": each.place.line, "message": each.message} for each in problems]


def report_json(asked: ReportFacts, text: str) -> Facts:
    """A record as its file says it, every value as it is written there, with what stands beside it."""
    record = asked.record
    says, _ = fields.read_yaml(text, record.place.file)
    return {
        "format": FORMAT,
        "record": record.name,
        "file": record.place.file,
        "says": _plain(says) if says is not None else None,
        "amendments": list(asked.logbook.amendments(record.name)),
        "signatures": [
            {
                "record": each.record.name,
                "date": each.record.date.isoformat(),
                "by": each.record.by.name if each.record.by else None,
                "counts": each.verdict.counts,
                "verdict": each.verdict.words,
            }
            for each in asked.signatures
        ],
        "seal_faults": _told(asked.seal_faults),
    }


def _plain(node: fields.Node) -> object:
    """Text, lists and keys; no value is taken for a number: a serial `00123` stays `00123`."""
    match node:
        case fields.Scalar():
            return node.text
        case fields.Sequence():
            return [_plain(each) for each in node.items]
        case fields.Mapping():
            return {key.text: _plain(value) for key, value in node.pairs}
