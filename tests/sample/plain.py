"""A plain second reading of the sample or the starter: regular expressions and plain YAML, none of our readers."""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]
CHECKLISTS = ROOT / "checklists"
RECORDS = ROOT / "records"
AS_TEXT = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
PLAIN = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Item:
    """A check as it stands in its file: `keys` are (key, value) in order, a key may stand more than once."""

    id: str
    text: str
    panel: str
    keys: tuple[tuple[str, str], ...]

    def all(self, key: str) -> list[str]:
        return [value for name, value in self.keys if name == key]

    def one(self, key: str) -> str:
        return next(iter(self.all(key)), "")

    def listed(self, key: str) -> list[str]:
        return [word for word in self.one(key).split(", ") if word]


def front_matters(checklists: Path = CHECKLISTS) -> dict[str, dict[str, Any]]:
    """The YAML between the dashes of every checklist, by the file's path in the store."""
    found = {}
    for path in sorted(checklists.rglob("*.md")):
        _, front, _ = path.read_text(encoding="utf-8").split("---\n", 2)
        found[str(path.relative_to(checklists.parent))] = yaml.load(front, PLAIN)
    return found


def items(checklists: Path = CHECKLISTS) -> list[Item]:
    """Every check of every checklist, retired ones included."""
    found = []
    for path in sorted(checklists.rglob("*.md")):
        text = path.read_text(encoding="utf-8")
        panel = yaml.load(text.split("---\n", 2)[1], PLAIN)["panel"]
        for block in re.split(r"(?m)^(?=- \[ \] )", text)[1:]:
            name, words = re.match(r"- \[ \] `([^`]+)` ([^\n]+)", block).groups()  # type: ignore[union-attr]
            # A line indented deeper than a key runs on from it; none does in the sample, and the next line says so.
            assert not re.search(r"(?m)^    ", block), f"{name}: this plain reading knows no value that runs on"
            keys = tuple(re.findall(r"(?m)^  - ([a-z-]+): (.+)$", block))
            found.append(Item(name, words, panel, keys))
    return found


def minutes(value: str) -> int:
    """`15 min` or `40 min, 2 people`: minutes x people."""
    match = re.fullmatch(r"(\d+) min(?:, (\d) people)?", value)
    assert match, value
    return int(match[1]) * int(match[2] or 1)


@cache
def records() -> tuple[dict[str, Any], ...]:
    """Every record with its file's stem as `name`, sorted by date and name; nobody changes one."""
    found = []
    for path in sorted(RECORDS.glob("20*/*.yaml")):
        # This loader keeps every value as text: no number is rounded on the way.
        found.append(yaml.load(path.read_text(encoding="utf-8"), AS_TEXT) | {"name": path.stem})
    return tuple(sorted(found, key=lambda record: (record["date"], record["name"])))


def totals_of_tach() -> list[tuple[str, Decimal, str]]:
    """Date, total and record of every tachometer reading: the new meter goes on where the old one stopped."""
    change = next(record for record in records() if record["kind"] == "meter-change")
    carried = Decimal(change["old"]) + Decimal(change["unrecorded"]["hours"]) - Decimal(change["new"])
    found = []
    for record in records():
        if record["kind"] != "meter-change" and "tach" in record.get("meters", {}):
            offset = carried if record["date"] >= change["date"] else Decimal(0)
            found.append((record["date"], Decimal(record["meters"]["tach"]) + offset, record["name"]))
    return sorted(found)
