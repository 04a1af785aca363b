"""What a worksheet leaves in its record, in YAML: the grammars of `model.page_record` that are not one plain value.

    results:  {CHECK: "done" | {answer: done | not applicable | not done [reason] [took] [by] [second-look]
                                [good-until] [paper] [disturbed: [ID …]] [repaired: [LABEL …]]
                                [recheck: limits] [notes: [text …]]}}
    boxes:    {VERB PANEL [N] | CHECK [N] | RECORD#F1 [N]: as a result}
    readings: {CHECK: {LABEL: "76 psi (at least 60)" | ["58 psi (at least 60)", "68 psi after 5 min run"]
                                | "22.5 gal/h (at least 13.65) = 1 gal x 3600 / 160 s"}}
    findings: {F1: {check | panel, found, [fix] [may wait because] [waiting] [recheck: limits]
                    [cleared: DATE text; by: NAME]}}
    parts: [text …]
    clears: [RECORD#F1 …] | {RECORD#F1: DATE text; by: NAME}

A reading and a finding are written in the words of the page, so that one grammar reads both.
"""

import re
from collections import abc
from collections.abc import Iterable, Iterator
from typing import Any

from inspect_kit.model.checklist import WORDS
from inspect_kit.model.finding import DONE, NOT_APPLICABLE, NOT_DONE, Cleared, Finding, Fix, Reading, Result
from inspect_kit.model.page_record import box_of
from inspect_kit.model.worksheet import VERBS
from inspect_kit.text import grammar
from inspect_kit.text.check_values import parse_parts
from inspect_kit.text.fields import Mapping, Node, Plain, Scalar, Sequence
from inspect_kit.text.grammar import REF_PATTERN, Unreadable
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_values import cleared_text, parse_cleared, parse_recheck, reading_text, split_reading
from inspect_kit.text.source import Value

Keys = dict[str, Any]


def _reference(value: str) -> str:
    """REF = RECORD "#F" digits"""
    if not re.fullmatch(REF_PATTERN, value):
        raise Unreadable("expected a finding such as `2026-05-14-condition-k3f9#F1`")
    return value


def parse_parts_used(value: str) -> str:
    """parts = part { ";" part }, as under `uses`; kept in its own words"""
    parse_parts(value)
    return value


def read_clears(fields: Fields) -> tuple[tuple[str, ...], dict[str, Any]]:
    """clears = [REF …] | {REF: cleared | nothing}: nothing where the record itself says how"""
    node = fields.node_of("clears")
    if not isinstance(node, Mapping):
        return fields.list_of("clears", _reference), {}
    below = Fields(node, fields.source, "clears")
    references, cleared = [], {}
    for name, value in below.each():
        if fields.parse_scalar(name, _reference, "clears") is None:
            continue
        references.append(name.text)
        if isinstance(value, Scalar) and not value.text:
            continue
        how = below.parsed(name.text, parse_cleared)
        if how is not None:
            cleared[name.text] = how
    return tuple(references), cleared


def _answer(value: str) -> str:
    if value not in (DONE, NOT_APPLICABLE, NOT_DONE):
        raise Unreadable(f"expected `{DONE}`, `{NOT_APPLICABLE}` or `{NOT_DONE}`")
    return value


def _box(value: str) -> str:
    """[VERB " "] ID [" " digits] | REF [" " digits]"""
    verb, name = box_of(value)
    if verb and verb not in VERBS:
        raise Unreadable(f"expected a box such as `{VERBS[1]} cowl-lower`")
    (_reference if "#" in name else grammar.parse_id)(name)
    return value


def read_boxes(fields: Fields, key: str) -> tuple[Result, ...]:
    """{BOX: "done" | {answer: ...}} under a key, as results"""
    return tuple(each for name, each in _results(fields, key) if fields.parse_scalar(name, _box, key))


def read_results(fields: Fields, key: str) -> tuple[Result, ...]:
    """{CHECK: "done" | {answer: ...}} under a key"""
    return tuple(each for _, each in _results(fields, key))


def _results(fields: Fields, key: str) -> Iterator[tuple[Scalar, Result]]:
    results = fields.mapping(key)
    for name, value in results.each() if results else ():
        assert results is not None
        place = fields.source.place(name.line)
        if isinstance(value, Scalar):
            answer = results.parse_scalar(value, _answer, results.name(name.text))
            yield name, Result(check=name.text, answer=answer or NOT_DONE, place=place)
        elif isinstance(value, Mapping):
            below = Fields(value, fields.source, results.name(name.text))
            result = Result(
                check=name.text,
                answer=below.parsed("answer", _answer, required=True) or NOT_DONE,
                reason=below.text("reason"),
                took=below.parsed("took", grammar.parse_minutes),
                by=below.text("by"),
                second_look=below.text("second-look"),
                good_until=below.date("good-until"),
                paper=below.text("paper"),
                disturbed=below.list_of("disturbed", grammar.parse_id),
                repaired=below.texts("repaired"),
                recheck=below.parsed("recheck", parse_recheck) or (),
                notes=below.texts("notes"),
                place=place,
            )
            below.finish()
            yield name, result
        else:
            fields.problem_with(name, f"{key}.{name.text}: expected an answer")


def read_readings(fields: Fields, key: str) -> tuple[Reading, ...]:
    """{CHECK: {LABEL: reading | [reading …]}} under a key"""
    found = []
    readings = fields.mapping(key)
    for check, below in readings.each_mapping() if readings else ():
        for label, value in below.each():
            if reading := _reading(check.text, label, value, below):
                found.append(reading)
    return tuple(found)


def _reading(check: str, label: Scalar, value: Node, fields: Fields) -> Reading | None:
    values = value.items if isinstance(value, Sequence) else (value,)
    texts = [item.text.strip() for item in values if isinstance(item, Scalar)]
    if not texts or len(texts) != len(values):
        fields.problem_with(label, f"{fields.name(label.text)}: expected a reading such as `76 psi`")
        return None
    first, _, reckoned = texts[0].partition(" = ") if not texts[0].endswith(f"({WORDS})") else (texts[0], "", "")
    number, measure, bound = split_reading(Value(first, label.line), fields.source, fields.name(label.text))
    return Reading(
        check=check,
        label=label.text,
        value=number,
        measure=measure,
        bound=bound,
        again=tuple(texts[1:]),
        reckoned=reckoned.strip(),
        place=fields.source.place(label.line),
    )


def read_findings(fields: Fields) -> tuple[Finding, ...]:
    found = []
    findings = fields.mapping("findings")
    for name, below in findings.each_mapping() if findings else ():
        if not re.fullmatch(r"F[0-9]{1,5}", name.text):
            fields.problem_with(name, f"findings: `{name.text[:40]}` is not an id of a finding such as `F1`")
        finding = read_finding(name.text, below)
        below.finish()
        if finding is not None:
            found.append(finding)
    return tuple(found)


def read_finding(name: str, fields: Fields) -> Finding | None:
    """The keys of a finding, under `findings` or at the top of a record of kind finding; the caller finishes."""
    text = fields.text("found", required=True)
    finding = Finding(
        id=name,
        check=fields.parsed("check", grammar.parse_id),
        panel=fields.parsed("panel", grammar.parse_id),
        text=text,
        fix=fields.parsed("fix", grammar.parse_fix) or Fix(),
        may_wait=fields.text("may wait because"),
        waiting=fields.text("waiting"),
        cleared=fields.parsed("cleared", parse_cleared),
        recheck=fields.parsed("recheck", parse_recheck) or (),
        place=fields.source.place(fields.line),
    )
    return finding if text else None


def _result(result: Result) -> str | Keys:
    more = {
        "reason": result.reason,
        "took": f"{result.took} min" if result.took is not None else "",
        "by": result.by,
        "second-look": result.second_look,
        "good-until": Plain(str(result.good_until)) if result.good_until else None,
        "paper": result.paper,
        "disturbed": list(result.disturbed),
        "repaired": list(result.repaired),
        "recheck": " or ".join(map(str, result.recheck)),
        "notes": list(result.notes),
    }
    told = {key: value for key, value in more.items() if value}
    return {"answer": result.answer, **told} if told or result.answer != DONE else result.answer


def write_results(results: Iterable[Result]) -> Keys:
    """What `read_results` reads."""
    return {result.check: _result(result) for result in results}


def write_readings(each: Iterable[Reading]) -> Keys:
    """What `read_readings` reads."""
    readings: Keys = {}
    for reading in each:
        first = reading_text(reading.value, reading)
        text = [first, *reading.again] if reading.again else first
        readings.setdefault(reading.check, {})[reading.label] = text
    return readings


def write_finding_keys(finding: Finding) -> Keys:
    """What `read_finding` reads."""
    keys = {
        "check": finding.check,
        "panel": finding.panel,
        "found": finding.text,
        "fix": str(finding.fix),
        "may wait because": finding.may_wait,
        "waiting": finding.waiting,
        "recheck": " or ".join(map(str, finding.recheck)),
        "cleared": cleared_text(finding.cleared) if finding.cleared else "",
    }
    return {key: value for key, value in keys.items() if value}


def write_findings(findings: Iterable[Finding]) -> Keys:
    """What `read_findings` reads."""
    return {finding.id: write_finding_keys(finding) for finding in findings}


def write_clears(clears: tuple[str, ...], cleared: abc.Mapping[str, Cleared]) -> list[str] | Keys:
    """What `read_clears` reads."""
    said = {name: cleared_text(how) for name, how in cleared.items()}
    return {name: said.get(name, "") for name in clears} if said else list(clears)
