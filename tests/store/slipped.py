"""Slips in values that a person writes by hand, and what the program makes of them.

A value is a scalar of YAML, or a piece of a line `- key: value` of a checklist or a page. A slip is held where `verify`
names something that it did not name before, or where no answer is less strict; else it is silent.
"""

import datetime as dt
import random
import re
import shutil
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import TypeVar

import yaml

from inspect_kit import store
from inspect_kit.audit import unasked
from inspect_kit.balance import balance, unanswered
from inspect_kit.cli.desk import Desk
from inspect_kit.due import chronicle, done_by, due
from inspect_kit.due.directives import directives
from inspect_kit.errors import Problem
from inspect_kit.model.checklist import Reads
from inspect_kit.model.kinds.brought_forward import BroughtForward
from inspect_kit.model.kinds.stock import Stock
from inspect_kit.model.logbook import Logbook
from tests.store.slipped_store import write_small

NAMED, SAME, STRICTER, SILENT = "named by verify", "the same answers", "stricter", "SILENT"
HELD = (NAMED, SAME, STRICTER)
ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Value:
    """A value where it stands; `key` is the path of keys to it, ids of the store written as `*`."""

    file: str
    key: str
    start: int
    end: int
    text: str
    last: str


@dataclass(frozen=True)
class Judged:
    """What came of one slip."""

    key: str
    slip: str
    place: str
    was: str
    put: str
    verdict: str
    moved: tuple[str, ...] = ()


@dataclass
class Names:
    """All that a store has a name for, by what it is."""

    kinds: dict[str, list[str]] = field(default_factory=dict)

    def beside(self, name: str) -> Iterator[tuple[str, str]]:
        for kind, names in self.kinds.items():
            if name in names:
                for other in [each for each in names if each != name][:4]:
                    yield kind, other


# --- what stands where ------------------------------------------------------------------------------------------------

ITEM_LINE = re.compile(r"(?m)^[ ]*- (?P<key>[a-z][a-z -]*): (?P<value>.+)$")
READING_LINE = re.compile(r"(?m)^[ ]*- (?P<key>[a-z][a-z0-9 -]*): (?P<value>.+)$")


def _nodes(file: str, text: str, offset: int, path: str, node: yaml.Node) -> Iterator[Value]:
    if isinstance(node, yaml.ScalarNode):
        start, end = node.start_mark.index + offset, node.end_mark.index + offset
        yield Value(file, path, start, end, node.value, path.rsplit(".", 1)[-1])
    elif isinstance(node, yaml.SequenceNode):
        for each in node.value:
            yield from _nodes(file, text, offset, f"{path}[]", each)
    elif isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _nodes(file, text, offset, f"{path}.{key.value}" if path else key.value, value)


def yaml_of(file: str, text: str) -> tuple[str, int]:
    """The YAML of a file, and where it begins."""
    if file.endswith(".yaml"):
        return text, 0
    if text.startswith("---\n") and (end := text.find("\n---\n", 4)) > 0:
        return text[4 : end + 1], 4
    return "", 0


def values(file: str, text: str) -> Iterator[Value]:
    """Every value of a file."""
    part, offset = yaml_of(file, text)
    if part:
        root = yaml.compose(part, Loader=yaml.SafeLoader)
        if root is not None:
            yield from _nodes(file, text, offset, "", root)
    if file.endswith(".md"):
        for line in READING_LINE.finditer(text, offset + len(part)):
            yield Value(file, f"- {line['key']}", line.start("value"), line.end("value"), line["value"], line["key"])


# --- slips ------------------------------------------------------------------------------------------------------------

DATE = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
NUMBER = re.compile(r"(?<![\w.:#-])-?\d+(?:\.\d+)?(?![\w.:#-]|\s*/)")
UNITS = [
    {"lb": "kg", "kg": "lb"},
    {"in": "mm cm", "mm": "in", "cm": "in"},
    {"h": "min landings", "min": "h", "landings": "h", "cycles": "h"},
    {"days": "months", "months": "days years", "years": "months", "calendar months": "days"},
    {"qt": "l", "l": "gal qt", "gal": "l"},
    {"psi": "bar", "bar": "psi", "V": "mV"},
]
UNIT = re.compile(r"(?<=\d )(lb|kg|in|mm|cm|h|min|landings|cycles|days|calendar months|months|years|qt|l|gal|psi|V)\b")
# Keys that take the same kind of value.
SIBLINGS = [
    ("aboard", "missing"),
    ("since-new", "since-overhaul"),
    ("made", "fitted-on", "overhauled"),
    ("did", "left-owed", "opened", "disturbed"),
    ("did", "clears"),
    ("good-until", "opened-on"),
    ("date", "entered"),
    ("date", "good-until"),
    ("scale", "tare"),
    ("reads", "total"),
    ("old", "new"),
    ("from", "to"),
    ("opens", "during", "closes"),
    ("every", "once", "life", "first", "grace"),
    ("at", "from", "to"),
    ("after", "with", "not-while"),
    ("forward", "aft"),
    ("leading-edge", "length"),
    ("arm", "limit"),
    ("part", "serial"),
    ("issued", "done-on"),
    ("revision", "part", "serial"),
    ("check", "panel"),
    ("found", "text", "waiting"),
    ("may wait because", "waiting"),
    ("fix", "waiting"),
    ("every", "once", "grace"),
    ("area", "notice", "concurrence", "entry"),
    ("ink", "paper"),
    ("what", "asked"),
    ("remove", "refit", "wait"),
    ("meters", "totals"),
    ("with", "after"),
    ("disturbs", "owed-after"),
    ("counts-on", "with"),
    ("next", "last"),
    ("last", "fitted"),
    ("readings", "results"),
    ("by", "at"),
    ("tach", "landings"),
    ("left", "right"),
    ("note", "found"),
    ("weekdays", "not-in"),
    ("flying-season", "no-flying", "not-in"),
]
OPPOSITES = {
    "in": "out",
    "out": "in",
    "yes": "no",
    "no": "yes",
    "required": "not needed",
    "major": "minor",
    "minor": "major",
    "not decided": "minor",
    "removed": "installed",
    "installed": "removed",
    "before flight": "at next condition inspection",
    "flight": "nothing",
    "full": "0 gal",
}


def of_number(word: str) -> Iterator[tuple[str, str]]:
    number = Decimal(word)
    places = max(0, -number.as_tuple().exponent) if isinstance(number.as_tuple().exponent, int) else 0
    yield "x10", f"{number * 10:.{max(places - 1, 0)}f}"
    yield "/10", f"{number / 10:.{places + 1}f}"
    yield "x100", f"{number * 100:.{max(places - 2, 0)}f}"
    yield "/100", f"{number / 100:.{places + 2}f}"
    yield "sign", word[1:] if word.startswith("-") else f"-{word}"
    digits = [place for place, letter in enumerate(word) if letter.isdigit()]
    for one, two in pairwise(digits):
        if word[one] != word[two]:
            letters = list(word)
            letters[one], letters[two] = letters[two], letters[one]
            yield "digits swapped", "".join(letters)
    if "." in word:
        yield "point lost", word.replace(".", "")
        yield "comma", word.replace(".", ",")


def of_date(word: str) -> Iterator[tuple[str, str]]:
    day = dt.date.fromisoformat(word)
    for by in (-1, 1, 10, 100):
        put = _date(day.year + by, day.month, day.day)
        if put:
            yield f"year {by:+}", put
    year = f"{day.year:04}"
    swapped = year[:2] + year[3] + year[2]
    for name, put in (
        ("year's digits swapped", _date(int(swapped), day.month, day.day)),
        ("day and month swapped", _date(day.year, day.day, day.month)),
        ("month's digits swapped", _date(day.year, int(f"{day.month:02}"[::-1]), day.day)),
        ("day's digits swapped", _date(day.year, day.month, int(f"{day.day:02}"[::-1]))),
        ("month +1", _date(day.year, day.month + 1, day.day)),
    ):
        if put and put != word:
            yield name, put


def _date(year: int, month: int, day: int) -> str:
    try:
        return dt.date(year, month, day).isoformat()
    except ValueError:
        return ""


def slips_of(value: Value, whole: str, names: Names) -> Iterator[tuple[str, str]]:
    """Every slip of one value: its name, and what the raw text of the value becomes."""
    raw = whole[value.start : value.end]
    if value.last in ("format", "statement", "text", "sha256"):
        return
    dates = [(match.start(), match.end()) for match in DATE.finditer(raw)]
    for start, end in dates:
        for slip, put in of_date(raw[start:end]):
            yield slip, raw[:start] + put + raw[end:]
    inner = raw.strip("\"'")
    free = ("name", "number", "lot", "serial", "certificate", "paper", "found", "source", "ink", "part", "asked")
    if value.last not in free:
        for match in NUMBER.finditer(raw):
            if not any(start <= match.start() < end for start, end in dates):
                for slip, put in of_number(match.group()):
                    yield slip, raw[: match.start()] + put + raw[match.end() :]
        for match in UNIT.finditer(raw):
            for group in UNITS:
                for put in group.get(match.group(), "").split():
                    yield f"unit {match.group()} for {put}", raw[: match.start()] + put + raw[match.end() :]
    if inner in OPPOSITES:
        yield "opposite", raw.replace(inner, OPPOSITES[inner])
    for kind, put in names.beside(inner):
        yield f"another {kind}", raw.replace(inner, put)
    if value.file.endswith(".md") and inner not in names.kinds.get("check", []):
        # An id among others of one line.
        for kind in ("check", "panel", "position"):
            for name in names.kinds.get(kind, ()):
                if re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", inner) and inner != name:
                    for other in [each for each in names.kinds[kind] if each != name][:2]:
                        yield f"another {kind}", re.sub(rf"(?<![\w-]){re.escape(name)}(?![\w-])", other, raw)


def structural(file: str, text: str, names: Names) -> Iterator[tuple[str, str, int, str]]:
    """Slips of entries, lists and keys: key, slip, offset, and the whole file as it becomes."""
    part, offset = yaml_of(file, text)
    root = yaml.compose(part, Loader=yaml.SafeLoader) if part else None
    if root is not None:
        yield from _structure(text, offset, "", root, names)
    if file.endswith(".md"):
        for line in READING_LINE.finditer(text, offset + len(part)):
            yield f"- {line['key']}", "line doubled", line.start(), text[: line.end() + 1] + text[line.start() :]
            for group in SIBLINGS:
                if line["key"] in group:
                    for other in group:
                        if other != line["key"]:
                            put = text[: line.start("key")] + other + text[line.end("key") :]
                            yield f"- {line['key']}", f"key {other}", line.start(), put


def _structure(
    text: str, offset: int, path: str, node: yaml.Node, names: Names
) -> Iterator[tuple[str, str, int, str]]:
    if isinstance(node, yaml.SequenceNode):
        for each in node.value:
            start, end = each.start_mark.index + offset, each.end_mark.index + offset
            piece = text[start:end]
            if node.flow_style:
                yield f"{path}[]", "entry doubled", start, text[:end] + ", " + piece + text[end:]
            elif "\n" not in piece.rstrip("\n"):
                line_end = text.index("\n", start) + 1
                line = text[text.rindex("\n", 0, start) + 1 : line_end]
                yield f"{path}[]", "entry doubled", start, text[:line_end] + line + text[line_end:]
            yield from _structure(text, offset, f"{path}[]", each, names)
    elif isinstance(node, yaml.MappingNode):
        keys = {key.value: (key, value) for key, value in node.value}
        for key, value in node.value:
            here = f"{path}.{key.value}" if path else key.value
            start, end = key.start_mark.index + offset, key.end_mark.index + offset
            for group in SIBLINGS:
                for other in group if key.value in group else ():
                    if other != key.value and other not in keys:
                        yield here, f"key {other}", start, text[:start] + other + text[end:]
                    elif other != key.value and start < keys[other][0].start_mark.index + offset:
                        put = _swapped(text, offset, keys, key.value, other)
                        yield here, f"keys {key.value} and {other} swapped", start, put
            for _, other in names.beside(key.value):
                if other not in keys:
                    yield f"{path}.*", "another id as the key", start, text[:start] + other + text[end:]
            if isinstance(value, yaml.SequenceNode) and value.value and value.flow_style:
                for group in SIBLINGS:
                    for other in group if key.value in group else ():
                        if other == key.value:
                            continue
                        put = _on_list(text, offset, keys, key.value, other, copy=True)
                        yield here, f"entry on `{other}` too", start, put
                        if other in keys:
                            put = _on_list(text, offset, keys, key.value, other, copy=False)
                            yield here, f"entry moved to `{other}`", start, put
            yield from _structure(text, offset, here, value, names)


def _swapped(text: str, offset: int, keys: Mapping[str, tuple[yaml.Node, yaml.Node]], one: str, other: str) -> str:
    (first, _), (second, _) = keys[one], keys[other]
    a, b = first.start_mark.index + offset, first.end_mark.index + offset
    c, d = second.start_mark.index + offset, second.end_mark.index + offset
    return text[:a] + other + text[b:c] + one + text[d:]


def _on_list(
    text: str, offset: int, keys: Mapping[str, tuple[yaml.Node, yaml.Node]], key: str, other: str, *, copy: bool
) -> str:
    """The first entry of a list put on another one, which is made where there is none."""
    first = keys[key][1].value[0]
    start, end = first.start_mark.index + offset, first.end_mark.index + offset
    piece = text[start:end]
    edits = []
    if other in keys and isinstance(keys[other][1], yaml.SequenceNode):
        at = keys[other][1].start_mark.index + offset + 1
        edits.append((at, at, f"{piece}, "))
    else:
        at = keys[key][0].start_mark.index + offset
        indent = at - (text.rfind("\n", 0, at) + 1)
        edits.append((at, at, f"{other}: [{piece}]\n{' ' * indent}"))
    if not copy:
        after = re.match(r",\s*", text[end:])
        edits.append((start, end + (after.end() if after else 0), ""))
    for low, high, put in sorted(edits, reverse=True):
        text = text[:low] + put + text[high:]
    return text


# --- answers ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Facts:
    """What a store answers, in figures of which less is stricter (`amounts`), and in things that are there (`bars`)."""

    amounts: Mapping[str, Fraction]
    bars: Counter[str]
    told: Counter[tuple[str, str]]


RANK = {"past-due": 0, "in-grace": 1, "unknown": 2, "soon": 3, "later": 3}
FAR = Fraction(10**9)
STANDS = {"applies": 3}


def facts(loaded: store.Loaded, day: dt.date) -> Facts | None:
    """All that is compared; None where nothing can be answered at all."""
    if loaded.logbook is None:
        return None
    told = Counter((problem.place.file, _plain(problem.message)) for problem in named(loaded, day))
    book = done_by(loaded.logbook, day)
    amounts: dict[str, Fraction] = {}
    bars: Counter[str] = Counter()
    answer = due(book, day)
    for item in answer.items:
        bars[f"item {item.check}"] += 1
        amounts[f"state of {item.check}"] = Fraction(RANK[item.state])
        days, amount = item.left.days, item.left.amount
        if item.state != "unknown":
            amounts[f"days left of {item.check}"] = FAR if days is None else Fraction(days)
            amounts[f"amount left of {item.check}"] = FAR if amount is None else Fraction(amount)
        bars[f"{item.check} is owed"] += item.owed
        bars[f"{item.check} bars flight"] += item.bars.flight
        bars[f"{item.check} bars {item.bars.what}"] += bool(item.bars.what)
    for stop in answer.stops:
        bars[f"reason {stop.kind} {_plain(stop.text)}"] += 1
    for barred in answer.not_to_be_used:
        bars[f"not to be used {barred.what} {barred.check}"] += 1
    for phase in answer.no_passengers.phases:
        bars[f"phase {phase.name} open"] += 1
        owed = None if phase.hours is None else Fraction(phase.hours) - Fraction(phase.flown or 0)
        amounts[f"flown of phase {phase.name}"] = -owed if owed is not None else Fraction(0)
        bars[f"phase {phase.name} lacks"] += len(phase.lacks)
    for change in answer.no_passengers.undecided:
        bars[f"undecided {change.name}"] += 1
    for unflown in answer.no_passengers.unflown:
        bars[f"flight check after {unflown.record.name}"] += 1
    for state in directives(chronicle(book)).states:
        name = f"{state.directive.number} on {state.product}"
        # Of another product it is open again there, and bars more than it did.
        bars[f"directive {state.directive.number}"] += 1
        amounts[f"state of directive {name}"] = Fraction(2 if state.undecided else STANDS.get(state.state, 4))
        applies = state.state == "applies"
        complied = state.complied is not None or state.directive.done_on is not None
        amounts[f"compliance of directive {name}"] = Fraction(applies and complied)
    for check in book.checks.values():
        bars[f"second look of {check.id}"] += check.second_look
        bars[f"inspector of {check.id}"] += check.who == "inspector"
        for reads in check.asked.values():
            _bounds(amounts, check.id, reads)
    _weights(amounts, bars, book)
    for stock in book.of_kind(Stock):
        amounts[f"on the shelf {stock.item} {stock.lot}"] = Fraction(stock.number)
    return Facts(amounts, +bars, told)


def _bounds(amounts: dict[str, Fraction], check: str, reads: Reads) -> None:
    bound = reads.bound
    low, high = getattr(bound, "low", None), getattr(bound, "high", None)
    label = reads.labels[0]
    amounts[f"lower limit of {check} {label}"] = FAR if low is None else -Fraction(low)
    amounts[f"upper limit of {check} {label}"] = FAR if high is None else Fraction(high)


def _weights(amounts: dict[str, Fraction], bars: Counter[str], book: Logbook) -> None:
    answer = balance(book)
    bars["no balance"] += not answer.loadings
    bars["datums differ"] += answer.datums is not None
    if answer.empty is None:
        return
    bars["equipment unanswered"] += len(unanswered(book))
    amounts["lightness, empty"] = -answer.empty.total.weight
    if answer.envelope is None or answer.loads is None:
        return
    heaviest = answer.envelope.heaviest
    for each in answer.loadings:
        arm, weight = each.total.arm, each.total.weight
        bars[f"loading {each.name} outside"] += not each.inside
        if each.name.startswith("most "):
            continue
        amounts[f"room for weight of {each.name}"] = heaviest - weight
        amounts[f"arm of {each.name}"] = arm
        amounts[f"arm, turned, of {each.name}"] = -arm
    most = [each for each in answer.loadings if each.name.startswith("most ")]
    if most:
        amounts["most forward of all"] = min(each.total.arm for each in most)
        amounts["most aft of all"] = -max(each.total.arm for each in most)
        amounts["lightness of the heaviest"] = -max(each.total.weight for each in most)
    for outline in answer.envelope.outlines:
        amounts["aft limit"] = max(arm for arm, _ in outline)
        amounts["forward limit"] = -min(arm for arm, _ in outline)
        crossed = (a[0] * b[1] - b[0] * a[1] for a, b in pairwise((*outline, outline[0])))
        amounts["area of the envelope"] = abs(sum(crossed, Fraction()))
    amounts["greatest weight"] = heaviest


def named(loaded: store.Loaded, day: dt.date) -> list[Problem]:
    """All that `verify` names."""
    assert loaded.logbook is not None
    problems = [*Desk(folder=None, given_on=None, today=day).problems_of(loaded), *unasked(loaded.logbook)]
    return problems + [fault.problem for fault in loaded.broken]


def _plain(text: str) -> str:
    return re.sub(r"\d+", "0", text)


# A change by so much is none that anybody would call one.
LEAST = Fraction(1, 100)


def looser(before: Facts, after: Facts) -> list[str]:
    """What is less strict than it was, in words."""
    found = []
    reasons = " ".join(after.bars)
    for name, was in before.bars.items():
        item = name.removeprefix("item ")
        # What is a reason now was an item before.
        if after.bars[name] < was and not (name != item and _plain(item) in reasons):
            found.append(f"{name}: {'fewer' if after.bars[name] else 'gone'}")
    for name, was in before.amounts.items():
        now = after.amounts.get(name)
        if now is not None and now - was > LEAST * max(abs(was), Fraction(1, 10)):
            found.append(f"{name}: {_number(was)} to {_number(now)}")
    return found


def _number(value: Fraction) -> str:
    return "none" if abs(value) >= FAR else f"{float(value):.1f}"


# --- what nothing in a store can tell --------------------------------------------------------------------------------

# By key and slip, each with the reason. All else that is silent is a fault.
OPEN = [
    (r".*(date|made|fitted-on|overhauled|issued|done-on|begun|good-until|opened-on|next\.\*|fix|once)",
     r"(year|month|day).*", "another date, between the others and the clock, is another fact"),
    (r"checklist - (every|once|life|first|grace)", r"x10|x100|/10|/100|digits swapped|unit .*",
     "an interval is what its source says; told is only what no aircraft has"),
    (r"checklist - every", r"key once", "what is done once may have been done"),
    (r"checklist - (reads|covers|bars|second-look|counts-on|retired|owed-after|disturbs|who|replace)", r".*",
     "what a check asks is the owner's to say; values and limits of two years may differ"),
    (r"(work|paper-entry) (did|clears)\[\]|finding (check|panel)|(work|amendment|signature) .*", r"another .*",
     "another check, finding or record that is there may be meant"),
    (r"(directive|installed|removed|brought-forward) .*", r"another .*",
     "another part may have that serial, or that place"),
    (r"aircraft.yaml balance\..*", r"x10|x100|/10|/100|sign|digits swapped|point lost|opposite|unit .*",
     "a figure among the others, with no fellow on the other side"),
    (r"weighing .*", r"x10|x100|/10|/100|sign|digits swapped|point lost|entry moved.*|keys aboard.*",
     "a weight or an arm among the others, no further from the weighing before than a repair moves it"),
    (r"equipment (weight|arm|change)", r".*", "a light item, or one that was on the scales"),
    (r".*(tach|landings|since-new|since-overhaul|total|old|new|hours)", r"/10|/100|x10|x100|digits swapped|point lost",
     "a reading between the two beside it, or hours of before the records"),
    (r"brought-forward fitted\.\*\..*", r"keys .* swapped",
     "a part may have been overhauled before it was fitted, or after"),
    (r"stock .*", r".*", "so many may lie there"),
    (r"(finding|work) .*recheck", r"x10|x100|digits swapped|unit .*", "when to look again is the owner's to say"),
    (r"aircraft.yaml (inspections|phases|soon|people|positions|flight-check-after|tables).*", r".*",
     "limitations in the owner's own words"),
    (r"page - .*", r"another .*", "another one that is there may be meant"),
]  # fmt: skip


def why_open(judged: Judged) -> str:
    """Why nobody can tell such a slip; "" where somebody should."""
    rows = (why for key, slip, why in OPEN if re.fullmatch(key, judged.key) and re.fullmatch(slip, judged.slip))
    return next(rows, "")


# --- the campaign -----------------------------------------------------------------------------------------------------


def small(folder: Path) -> Path:
    return write_small(folder / "small")


def sample(folder: Path) -> Path:
    for name in ("checklists", "records"):
        shutil.copytree(ROOT / name, folder / "sample" / name)
    return folder / "sample"


def names_of(logbook: Logbook) -> Names:
    fitted = {getattr(record, "serial", "") for record in logbook.records} - {""}
    fitted |= {each.serial for record in logbook.of_kind(BroughtForward) for each in record.fitted}
    items = {record.item for record in logbook.records if getattr(record, "item", "")}
    return Names(
        {
            "check": sorted(logbook.checks),
            "panel": sorted(logbook.panels),
            "position": sorted(logbook.aircraft.positions),
            "meter": sorted(logbook.aircraft.meters),
            "person": sorted(person.name for person in logbook.aircraft.people),
            "serial": sorted(fitted),
            "record": sorted(record.name for record in logbook.records),
            "finding": sorted(logbook.findings()),
            "item": sorted(items),
        }
    )


def all_slips(loaded: store.Loaded) -> Iterator[tuple[str, str, str, str, str, str]]:
    """File, key, slip, what was, what is put, and the whole file with it."""
    assert loaded.logbook is not None
    names = names_of(loaded.logbook)
    sealed = {record.place.file for record in loaded.logbook.records if record.seal}
    pages = {file.removesuffix(".yaml") + ".md" for file in sealed}
    for file, data in loaded.files.items():
        if file in sealed or file in pages or not file.endswith((".yaml", ".md")):
            continue
        text = data.decode()
        for value in values(file, text):
            key = _general(value.key, names)
            for slip, put in slips_of(value, text, names):
                raw = text[value.start : value.end]
                if put != raw:
                    whole = text[: value.start] + put + text[value.end :]
                    yield file, _where(file, text, key), slip, _line(text, value.start, raw), put, whole
        for key, slip, start, put in structural(file, text, names):
            yield file, _where(file, text, _general(key, names)), slip, _line(text, start, ""), slip, put


def _line(text: str, start: int, raw: str) -> str:
    number = text.count("\n", 0, start) + 1
    return f"line {number} `{raw}`"


def _where(file: str, text: str, key: str) -> str:
    if file == "records/aircraft.yaml":
        return f"aircraft.yaml {key}"
    if file.endswith(".md"):
        return f"{'page' if '/open/' in file else 'checklist'} {key}"
    kind = re.search(r"(?m)^kind: (.*)$", text)
    return f"{kind.group(1) if kind else '?'} {key}"


def _general(key: str, names: Names) -> str:
    known = {name for kind in names.kinds.values() for name in kind if "." not in name} - set(names.kinds["meter"])
    return ".".join("*" if piece in known else piece for piece in key.split("."))


def campaign(root: Path, number: int | None, seed: int) -> list[Judged]:
    """Judge all slips, or so many drawn by a seed."""
    loaded = store.load(root)
    assert loaded.logbook is not None
    day = max(record.date for record in loaded.logbook.records) + dt.timedelta(days=2)
    before = facts(loaded, day)
    assert before is not None
    slips = all_slips(loaded)
    return [judge(loaded, before, day, *slip) for slip in (slips if number is None else drawn(slips, number, seed))]


Item = TypeVar("Item")


def drawn(things: Iterable[Item], number: int, seed: int) -> list[Item]:
    """So many of them, each as likely as the others, without all of them at once in memory."""
    chance, kept = random.Random(seed), list[Item]()
    for place, each in enumerate(things):
        if len(kept) < number:
            kept.append(each)
        elif (at := chance.randrange(place + 1)) < number:
            kept[at] = each
    return kept


def judge(
    loaded: store.Loaded, before: Facts, day: dt.date, file: str, key: str, slip: str, was: str, put: str, text: str
) -> Judged:
    made = Judged(key, slip, file, was, put, NAMED)
    after = facts(store.would_be(loaded, {file: text.encode()}), day)
    if after is None or sum((after.told - before.told).values()):
        return made
    moved = looser(before, after)
    if moved:
        return Judged(key, slip, file, was, put, SILENT, tuple(moved))
    verdict = SAME if (before.amounts, before.bars) == (after.amounts, after.bars) else STRICTER
    return Judged(key, slip, file, was, put, verdict)
