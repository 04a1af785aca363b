"""A past brought forward, in YAML.

    meters: {METER: {reads: NUMBER, total: NUMBER}}
    last:   {CHECK | INSPECTION: {[date: DATE] [METER: NUMBER …] [paper: text] [good-until: DATE]}}
    fitted: {POSITION: the keys of a part that was installed, but its position}
"""

from collections import abc
from decimal import Decimal
from typing import Any

from inspect_kit.model.kinds.brought_forward import LastDone, ReadsTotal
from inspect_kit.text.fields import Mapping, Plain
from inspect_kit.text.mapping import Fields

Keys = dict[str, Any]


def read_reads_totals(fields: Fields, key: str) -> dict[str, ReadsTotal]:
    """What each meter reads and what that stands for."""
    node = fields.node_of(key)
    found: dict[str, ReadsTotal] = {}
    if not isinstance(node, Mapping):
        fields.problem(key, "expected for each meter what it reads and its total, `{tach: {reads: , total: }}`")
        return found
    for name, each in Fields(node, fields.source, key).each_mapping():
        if both := read_reads_total(each):
            found[name.text] = both
    return found


def read_reads_total(fields: Fields) -> ReadsTotal | None:
    """{reads: NUMBER, total: NUMBER}"""
    shown, total = fields.number("reads", required=True), fields.number("total", required=True)
    fields.finish()
    return None if shown is None or total is None else ReadsTotal(reads=shown, total=total)


def write_reads_total(both: ReadsTotal) -> Keys:
    return {"reads": Plain(str(both.reads)), "total": Plain(str(both.total))}


def read_last_done(fields: Fields, key: str) -> dict[str, LastDone]:
    """When each check or inspection was last done."""
    found = {}
    done = fields.mapping(key)
    for name, each in done.each_mapping() if done else ():
        date, paper, until = each.date("date"), each.text("paper"), each.date("good-until")
        found[name.text] = LastDone(date=date, totals=_totals(each), paper=paper, good_until=until)
    return found


def _totals(fields: Fields) -> dict[str, Decimal]:
    """All keys of a `last` entry but `date`, `paper` and `good-until`: meters with their totals."""
    names = [key.text for key, _ in fields.node.pairs if key.text not in ("date", "paper", "good-until")]
    found = {name: fields.number(name) for name in names}
    return {name: number for name, number in found.items() if number is not None}


def write_last_done(last: abc.Mapping[str, LastDone]) -> Keys:
    """What `read_last_done` reads."""
    found: Keys = {}
    for name, done in last.items():
        keys: Keys = {"date": Plain(str(done.date)) if done.date else None}
        keys |= {meter: Plain(str(total)) for meter, total in done.totals.items()}
        keys |= {"good-until": Plain(str(done.good_until)) if done.good_until else None, "paper": done.paper}
        found[name] = {key: value for key, value in keys.items() if value}
    return found
