"""What a worksheet leaves in its record, in YAML.

    sheet: NAME     begun: DATE     helpers: [NAME …]     totals: {NAME: NUMBER}     equipment: text
    results:  {CHECK: "done" | {answer: done | not applicable | not done [reason] [took] [by] [second-look]
                                [good-until] [paper] [disturbed: [ID …]] [repaired: [LABEL …]]
                                [recheck: limits] [notes: [text …]]}}
    readings: {CHECK: {LABEL: "76 psi (at least 60)" | ["58 psi (at least 60)", "68 psi after 5 min run"]
                                | "22.5 gal/h (at least 13.65) = 1 gal x 3600 / 160 s"}}
    findings: {F1: {check | panel, found, [fix] [may wait because] [waiting] [recheck: limits]
                    [cleared: DATE text; by: NAME]}}
    did: [CHECK …]   opened: [PANEL …]   disturbed: [ID …]   left-owed: [CHECK …]
    parts: [text …]   next: {CHECK: DATE}
    clears: [RECORD#F1 …] | {RECORD#F1: DATE text; by: NAME}

A reading and a finding are written in the words of the page, so that one grammar reads both.
"""

import re
from typing import Any

from inspect_kit.model.checklist import WORDS
from inspect_kit.model.finding import DONE, NOT_APPLICABLE, NOT_DONE, Finding, Fix, Reading, Result
from inspect_kit.text import grammar
from inspect_kit.text.check_values import parse_parts
from inspect_kit.text.fields import Mapping, Node, Scalar, Sequence
from inspect_kit.text.grammar import REF_PATTERN, Unreadable
from inspect_kit.text.mapping import Fields
from inspect_kit.text.page_values import parse_cleared, parse_recheck, split_reading
from inspect_kit.text.source import Value


def read_page_facts(fields: Fields) -> dict[str, Any]:
    """The fields of a `model.record.Page` that are its own."""
    totals, dates = fields.mapping("totals"), fields.mapping("next")
    clears, cleared = _clears(fields)
    return {
        "sheet": fields.text("sheet"),
        "begun": fields.date("begun"),
        "helpers": fields.texts("helpers"),
        "equipment": fields.text("equipment"),
        "totals": totals.each_parsed(grammar.parse_number) if totals else {},
        "results": _results(fields),
        "readings": read_readings(fields, "readings"),
        "findings": _findings(fields),
        "did": fields.list_of("did", grammar.parse_id),
        "opened": fields.list_of("opened", grammar.parse_id),
        "disturbed": fields.list_of("disturbed", grammar.parse_id),
        "left_owed": fields.list_of("left-owed", grammar.parse_id),
        "clears": clears,
        "cleared": cleared,
        "parts": fields.list_of("parts", _parts),
        "next": dates.each_parsed(grammar.parse_date) if dates else {},
    }


def _reference(value: str) -> str:
    """REF = RECORD "#F" digits"""
    if not re.fullmatch(REF_PATTERN, value):
        raise Unreadable("expected a finding such as `2026-05-14-condition-k3f9#F1`")
    return value


def _parts(value: str) -> str:
    """parts = part { ";" part }, as under `uses`; kept in its own words"""
    parse_parts(value)
    return value


def _clears(fields: Fields) -> tuple[tuple[str, ...], dict[str, Any]]:
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


def _results(fields: Fields) -> tuple[Result, ...]:
    found = []
    results = fields.mapping("results")
    for name, value in results.each() if results else ():
        assert results is not None
        place = fields.source.place(name.line)
        if isinstance(value, Scalar):
            answer = results.parse_scalar(value, _answer, results.name(name.text))
            found.append(Result(check=name.text, answer=answer or NOT_DONE, place=place))
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
            found.append(result)
        else:
            fields.problem_with(name, f"results.{name.text}: expected an answer")
    return tuple(found)


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


def _findings(fields: Fields) -> tuple[Finding, ...]:
    found = []
    findings = fields.mapping("findings")
    for name, below in findings.each_mapping() if findings else ():
        if not re.fullmatch(r"F[0-9]{1,5}", name.text):
            fields.problem_with(name, f"findings: `{name.text[:40]}` is no id of a finding such as `F1`")
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
