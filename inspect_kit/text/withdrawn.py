"""A record that was withdrawn: its text as it was, and below it why, when and by whom.

withdrawn = the record, then  withdrawn: {date: DATE, reason: text, by: NAME}
"""

import re

from inspect_kit.model.withdrawn import Withdrawn
from inspect_kit.text.fields import Plain, Writable, read_yaml, write_yaml
from inspect_kit.text.mapping import Fields
from inspect_kit.text.record import read_record
from inspect_kit.text.source import Source, split_lines

BLOCK = re.compile(r"^withdrawn:", re.MULTILINE)


def read_withdrawn(text: str, file: str) -> tuple[Withdrawn | None, Source]:
    """The record and its withdrawal; None where either cannot be read, and the source with all problems."""
    found = list(BLOCK.finditer(text))
    source = Source(file, split_lines(text))
    at = found[-1].start() if found else len(text)
    record, own = read_record(text[:at], file)
    source.problems += own.problems
    if not found:
        source.problem(1, "stands among the withdrawn records, and says not why, when and by whom: `withdrawn`")
        return None, source
    node, problems = read_yaml(text[at:], file, first_line=1 + text[:at].count("\n"))
    source.problems += problems
    said = Fields(node, source).mapping("withdrawn", required=True) if node is not None else None
    if said is None:
        return None, source
    date, reason = said.date("date", required=True), said.text("reason", required=True)
    by = said.text("by", required=True)
    said.finish()
    if record is None or date is None or not (reason and by):
        return None, source
    return Withdrawn(record=record, date=date, reason=reason, by=by, place=record.place), source


def write_withdrawn(text: str, noted: Withdrawn) -> str:
    """The text of a record with its withdrawal below."""
    said: dict[str, Writable] = {"date": Plain(str(noted.date)), "reason": noted.reason, "by": noted.by}
    return f"{text}{'' if text.endswith(chr(10)) else chr(10)}{write_yaml({'withdrawn': said})}"
