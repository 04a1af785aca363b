"""Near-miss spellings of every key of every grammar, and what the program makes of them.

The keys come from the tables of the readers themselves: those of items from `KEYS` and the worksheet's tuples, those
of YAML from what a reader asks a mapping for. A key that no example below has is given a value from POOL; one for
which no value fits fails `test_spelling.py` until an example has it.
"""

import dataclasses
import random
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest

from inspect_kit.audit import audit
from inspect_kit.errors import Place, Problem
from inspect_kit.model import kind
from inspect_kit.model.checklist import Check, Reads
from inspect_kit.model.kind import Key
from inspect_kit.model.kinds import KINDS
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.quantity import units_of
from inspect_kit.store import pointed
from inspect_kit.text import checklist, mapping, worksheet
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.worksheet import read_worksheet

READ, TOLD, SILENT = "read as meant", "a problem with a caret", "silence"


@dataclass(frozen=True)
class Slot:
    """A key where it is spelt well: `line` of `text`, from 0; the key begins in `column`, its mark in `mark_at`."""

    grammar: str
    file: str
    text: str
    line: int
    mark_at: int
    column: int
    key: str

    @property
    def name(self) -> str:
        return f"{self.grammar} {self.key}"

    @property
    def in_yaml(self) -> bool:
        return self.mark_at == self.column

    def slips(self) -> "tuple[Slip, ...]":
        """The slips that can happen to it."""
        not_slips = [COMMENT] if self.in_yaml else []
        # A sealed text was folded by the program, also before a word with a semicolon behind it.
        not_slips += ["colon '; '", "colon ' = '", "colon '='"] if "\nseal:\n" in self.text else []
        return tuple(slip for slip in SLIPS if slip[0] not in not_slips)

    def parts(self) -> "Parts":
        whole = self.text.split("\n")[self.line]
        rest = whole[self.column + len(self.key) + 1 :]
        value = rest.lstrip(" ")
        return Parts(
            before=whole[: self.mark_at],
            mark=whole[self.mark_at : self.column],
            key=self.key,
            colon=":" + rest[: len(rest) - len(value)],
            value=value,
        )

    def spelt(self, parts: "Parts") -> str:
        lines = self.text.split("\n")
        lines[self.line] = parts.before + parts.mark + parts.key + parts.colon + parts.value + parts.after
        return "\n".join(lines)


@dataclass
class Parts:
    """A line in pieces, each of which can be spelt otherwise; `before` is its indent, or what stands before on it."""

    before: str
    mark: str
    key: str
    colon: str
    value: str
    after: str = ""


# --- how people spell -------------------------------------------------------------------------------------------------

Slip = tuple[str, Callable[[Parts, random.Random], None]]


def _marks() -> Iterator[Slip]:
    """What is typed, or made by an editor, in the place of the hyphen."""
    marks = ["– ", "— ", "− ", "‐ ", "* ", "+ ", "• ", "· ", "◦ ", "▪ ", "> ", "→ ", "-> ", "=> ", "» ", "1. ", "1) "]
    marks += ["(1) ", "12. ", "a. ", "a) ", "iv. ", "-", "–", "•", "- - ", "-  ", "-\u00a0", "", "-- "]
    marks += ["# ", "| ", "~~"]
    for mark in marks:

        def put(parts: Parts, _: random.Random, mark: str = mark) -> None:
            parts.mark = mark

        yield f"mark {mark!r}", put


def _wraps() -> Iterator[Slip]:
    pairs = [("**", "**"), ("*", "*"), ("__", "__"), ("_", "_"), ("`", "`"), ('"', '"'), ("'", "'"), ("“", "”")]
    pairs += [("[", "]"), ("(", ")"), ("<b>", "</b>"), ("‘", "’"), ("«", "»")]
    for left, right in pairs:

        def outside(parts: Parts, _: random.Random, left: str = left, right: str = right) -> None:
            parts.key = left + parts.key + right

        def around(parts: Parts, _: random.Random, left: str = left, right: str = right) -> None:
            parts.key, parts.colon = left + parts.key, ":" + right + " "

        yield f"wrap {left}key{right}:", outside
        if left != "[":
            yield f"wrap {left}key:{right}", around


def _letters() -> Iterator[Slip]:
    def capital(parts: Parts, _: random.Random) -> None:
        parts.key = parts.key[:1].upper() + parts.key[1:]

    def capitals(parts: Parts, _: random.Random) -> None:
        parts.key = parts.key.upper()

    def title(parts: Parts, _: random.Random) -> None:
        parts.key = parts.key.title()

    def wide(parts: Parts, _: random.Random) -> None:
        if "<" not in parts.key:
            parts.key = re.sub("[a-z0-9]", lambda letter: chr(ord(letter.group()) + 0xFEE0), parts.key)

    def blanks(parts: Parts, _: random.Random) -> None:
        parts.key = re.sub(r"[ -]", " ", parts.key)

    def hyphens(parts: Parts, _: random.Random) -> None:
        parts.key = re.sub(r"[ -]", "-", parts.key)

    def underlines(parts: Parts, _: random.Random) -> None:
        parts.key = re.sub(r"[ -]", "_", parts.key)

    def no_break(parts: Parts, _: random.Random) -> None:
        parts.key = parts.key.replace(" ", "\u00a0")

    def invisible(parts: Parts, choose: random.Random) -> None:
        at = choose.randint(0, len(parts.key))
        parts.key = parts.key[:at] + choose.choice("\u200b\u200c\u2060\u00ad") + parts.key[at:]

    def other_alphabet(parts: Parts, _: random.Random) -> None:
        parts.key = parts.key.replace("e", "е", 1) if "e" in parts.key else parts.key.replace("a", "а", 1)

    yield from {
        "a capital": capital,
        "capitals": capitals,
        "every word a capital": title,
        "full width": wide,
        "blanks for hyphens": blanks,
        "hyphens for blanks": hyphens,
        "underlines": underlines,
        "no-break blanks": no_break,
        "an invisible character": invisible,
        "a letter of another alphabet": other_alphabet,
    }.items()


def _slips_of_the_finger() -> Iterator[Slip]:
    """One wrong letter; a key of two letters is another word then, not a slip."""

    def swapped(parts: Parts, choose: random.Random) -> None:
        if len(parts.key) > 2:
            at = choose.randrange(len(parts.key) - 1)
            parts.key = parts.key[:at] + parts.key[at + 1] + parts.key[at] + parts.key[at + 2 :]

    def doubled(parts: Parts, choose: random.Random) -> None:
        if len(parts.key) > 2:
            at = choose.randrange(len(parts.key))
            parts.key = parts.key[:at] + parts.key[at] + parts.key[at:]

    def left_out(parts: Parts, choose: random.Random) -> None:
        if len(parts.key) > 3:
            at = choose.randrange(len(parts.key))
            parts.key = parts.key[:at] + parts.key[at + 1 :]

    yield from {"two letters swapped": swapped, "a letter twice": doubled, "a letter left out": left_out}.items()


def _colons() -> Iterator[Slip]:
    colons = ["： ", "：", "﹕ ", "∶ ", " : ", ":", ":  ", ":\t", ":\u00a0", "\u00a0: ", " ：", ":: "]
    colons += ["; ", "；", " = ", "="]
    for colon in colons:

        def put(parts: Parts, _: random.Random, colon: str = colon) -> None:
            parts.colon = colon

        yield f"colon {colon!r}", put


def _places() -> Iterator[Slip]:
    def no_indent(parts: Parts, _: random.Random) -> None:
        parts.before = parts.before.lstrip()

    def one_blank(parts: Parts, _: random.Random) -> None:
        parts.before = " " + parts.before.lstrip()

    def deeper(parts: Parts, _: random.Random) -> None:
        parts.before = "    " + parts.before

    def tab(parts: Parts, _: random.Random) -> None:
        parts.before = "\t" + parts.before.lstrip()

    def no_break(parts: Parts, _: random.Random) -> None:
        parts.before = parts.before.replace(" ", "\u00a0")

    def line_between(parts: Parts, _: random.Random) -> None:
        parts.before = "\n" + parts.before

    def blank_line_between(parts: Parts, _: random.Random) -> None:
        parts.before = " \u00a0\t\n" + parts.before

    def line_between_and_no_indent(parts: Parts, _: random.Random) -> None:
        parts.before = "\n" + parts.before.lstrip()

    def trailing(parts: Parts, choose: random.Random) -> None:
        parts.after += choose.choice(["  ", "\t", "\u00a0", "\r"])

    yield from {
        "no indent": no_indent,
        "one blank": one_blank,
        "deeper": deeper,
        "a tab": tab,
        "no-break indent": no_break,
        "a line between": line_between,
        "a blank line between": blank_line_between,
        "a line between and no indent": line_between_and_no_indent,
        "blanks behind": trailing,
    }.items()


# In the order in which they happen to a word: it is misspelt before it is put in bold.
DIMENSIONS: tuple[tuple[Slip, ...], ...] = tuple(
    tuple(each()) for each in (_letters, _slips_of_the_finger, _wraps, _marks, _colons, _places)
)
COMMENT = "mark '# '"
SLIPS = tuple(slip for dimension in DIMENSIONS for slip in dimension)


def misspelt(slot: Slot, slips: Sequence[Slip], choose: random.Random) -> str:
    parts = slot.parts()
    for _, slip in slips:
        slip(parts, choose)
    return slot.spelt(parts)


# --- what is made of it -----------------------------------------------------------------------------------------------


def judge(slot: Slot, text: str) -> tuple[str, tuple[Problem, ...]]:
    """Whether a text with a key misspelt is read as if it were not, told with a caret, or neither."""
    wanted, problems = reference(slot.grammar, slot.file, slot.text)
    assert not problems, problems
    noun, problems = read(slot.grammar, slot.file, text)
    if any(problem.excerpt is not None and problem.end > problem.start for problem in problems):
        return TOLD, problems
    if problems:
        return SILENT, problems
    if slot.key in ("note", "found", "recheck") and words(noun) == words(wanted):
        # A remark that slipped from a box to the finding above it, or back: nothing is lost.
        return READ, problems
    return (READ if noun == wanted else SILENT), problems


def words(noun: Any) -> list[str]:
    return sorted(re.findall(r"\w+", str(noun)))


@cache
def reference(grammar: str, file: str, text: str) -> tuple[object, tuple[Problem, ...]]:
    return read(grammar, file, text)


def read(grammar: str, file: str, text: str) -> tuple[object, tuple[Problem, ...]]:
    """What a file says, wherever it stands in it, and its problems as they are shown."""
    match grammar.split()[0]:
        case "checklist":
            panel, checks, source = read_checklist(text, file)
            noun: object = (panel, checks)
            problems = source.problems
        case "worksheet":
            page, source = read_worksheet(text, file)
            noun = page
            problems = source.problems
            if page is not None:
                told = audit(dataclasses.replace(hangar(), pages=(page,)))
                problems = [*problems, *(problem for problem in told if problem.place.file == file)]
        case "aircraft":
            noun, source = read_aircraft(text, file)
            problems = source.problems
        case _:
            noun, source = read_record(text, file)
            problems = source.problems
    return said(noun), pointed(tuple(problems), {file: text.encode("utf-8", "replace")})


def said(noun: Any) -> Any:
    """A noun as nested tuples without the places of anything."""
    if isinstance(noun, Place):
        return None
    if dataclasses.is_dataclass(noun) and not isinstance(noun, type):
        names = [field.name for field in dataclasses.fields(noun) if field.name not in ("place", "lines")]
        return (type(noun).__name__, *((name, said(getattr(noun, name))) for name in names))
    if isinstance(noun, dict):
        return tuple((said(key), said(value)) for key, value in noun.items())
    if isinstance(noun, tuple | list):
        return tuple(map(said, noun))
    return noun


@cache
def hangar() -> Logbook:
    """An aircraft with the checks and panels of the example page."""
    aircraft, source = read_aircraft(AIRCRAFT[0], "records/aircraft.yaml")
    assert aircraft is not None, source.problems
    panel, checks, source = read_checklist(CHECKLISTS[0], "checklists/a.md")
    assert panel is not None, source.problems
    standing = re.sub("(?m)^cleared: .*\n", "", RECORDS["finding"])
    finding, _ = read_record(standing, "records/2026/2026-05-14-finding-k3f9.yaml")
    assert finding is not None
    panel = dataclasses.replace(panel, retired=None)
    first = checks[0]
    reads = (Reads(labels=("cylinder 1", "cylinder 2"), measure="psi"), Reads(labels=("filter",), measure="words"))
    kept = {
        check.id: dataclasses.replace(plain(check), reads=reads) if check is first else plain(check) for check in checks
    }
    return Logbook(aircraft=aircraft, panels={panel.id: panel}, checks=kept, records=(finding,))


def plain(check: Check) -> Check:
    return Check(id=check.id, panel=check.panel, text=check.text, place=check.place)


# --- the keys, from the readers' own tables ---------------------------------------------------------------------------

CHECKLISTS = (
    """\
---
panel: belly
name: Belly
zone: fuselage
remove: 5 min
refit: 6 min
people: 2
behind: [cowl]
needs: [jacks]
overnight: yes
fasteners: 12 screws
tools: [driver]
caution: Mind the step.
second-look: yes
was: [belly-2]
retired: 2031-04-02, faired over
---
# Belly

Text before the first item is free. Every: day.

- [ ] `first` First check
@
- [ ] `last` Last check
""",
    """\
---
panel: on-jacks
name: On jacks
zone: gear
kind: setup
make: 5 min
undo: 6 min
---
""",
)
PAGE = """\
---
job: condition
aircraft: N0TS
begun: 2026-11-21
meters: {tach: 611.2}
inspector: Sample Builder
helpers: [Pip Ashtally]
equipment: no change
flight-check: {not needed: travel measured, of: [2026-05-14-radio]}
---
# Condition inspection

- [x] remove `belly` Belly
@PANEL
- [x] `first` First check
@CHECK
- [x] `2026-05-14-finding-k3f9#F1` a crack (belly; fix before flight)
@STANDING
- [ ] refit `belly` Belly
"""
VALUES_ON_A_PAGE = {
    "found": "F1 crack, 8 mm",
    "fix": "by 2027-01-31",
    "may wait because": "it is short",
    "waiting": "a stack, ordered 2026-11-22",
    "cleared": "2026-11-28 stop-drilled; by: Pip Ashtally",
    "again": "68 psi after 5 min run",
    "cylinder 1": "76 psi",
    "filter": "clean, no metal (words)",
    "not applicable": "no flaps on this aircraft",
    "not done": "no grease in the hangar",
    "note": "cold morning",
    "took": "25 min",
    "by": "Pip Ashtally",
    "second look by": "Hazel Quillfeather",
    "good until": "2027-05-31",
    "paper": "W/O 1234",
    "disturbed": "first",
    "repaired": "cylinder 1",
    "recheck": "in 50 h",
    "used": "5 qt engine oil",
}
AIRCRAFT = (
    """\
format: 1
aircraft:
  registration: N0TS
  make: Turnstone
  model: TS-2
  serial: "001"
  certificate-date: 2017-06-08
meters:
  tach:
    unit: h
time-in-service: tach
positions:
  engine: {}
  magneto:
    on: engine
    was: [magneto-left]
    retired: 2031-04-02, sold
inspections:
  condition:
    every: 12 calendar months
    scope: part 43 appendix D
    statement: I certify that this aircraft has been inspected.
    signers: [repairman]
    source: operating limitations
people:
  - name: Sample Builder
    kind: repairman
    certificate: "0000000"
    ssh: ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIMPrTN92s0i2M41hLz+rtwEi89heUFsJHGQc5VTx2JNw
    was: [Sample Maker]
    retired: 2031-04-02
tooling: {jacks: 1}
not-applicable: {b3: no gas bags}
crew:
  people: 2
  inspectors: 1
soon: 10 h, 30 days
sessions: [Saturday 09:00-12:30]
balance:
  units: lb, in
  datum: firewall
  source: the kit maker
  seats: {pilot: {arm: 42 in, weighs: 120 lb to 220 lb}}
  baggage: {shelf: {arm: 92 in, limit: 30 lb}}
  always: [{item: oil, weight: 9 lb, arm: -10 in}]
  tanks: {main: {arm: 24 in, holds: 15 gal}}
  burn: [main]
  fuel: 6 lb/gal
  power: 100 hp
  limits: {weight: 1450 lb, forward: 28 in, aft: 38 in}
  envelope: [{arm: 28 in, weight: 800 lb}, {arm: 30 in, weight: 1450 lb}, {arm: 38 in, weight: 1450 lb}]
  mac: {leading-edge: 20 in, length: 50 in}
  loadings: [{name: alone, seats: {pilot: 170 lb}, fuel: full, baggage: {shelf: 10 lb}}]
phases:
  flight-test:
    hours: 40
    tasks: [stalls]
    demonstrates: [Vso]
    area: around the field
    statement: I certify that Vso is {Vso}.
    signers: [private pilot]
    source: operating limitations
flight-check-after: [rigging]
lead-times: {oil filter: 10 days}
rules: US
scopes: {the programme of the maker: {m1: engine mounts}}
tables:
  cable-tension:
    at: °F
    gives: lb
    rows: [{at: 40, from: 20, to: 30}, {at: 100, from: 30, to: 40}]
    source: drawing 7
papers: [{what: airframe log, at: hangar shelf, copy: 2026-05-14-oil}]
visits:
  minutes: 30 min
  weekdays: [Saturday]
  not-in: [August]
  flying-season: [May]
  no-flying: [January]
  hour: 25
  currency: EUR
""",
    """\
format: 1
aircraft: {registration: N0TS, make: Turnstone, model: TS-2, serial: "001", certificate-date: 2017-06-08}
meters: {tach: {unit: h}}
time-in-service: tach
inspections: {}
people: [{name: Sample Builder}]
gear: {jacks: 1}
balance:
  units: lb, in
  datum: firewall
  seats: {pilot: {arm: 42 in, weighs: 120 lb to 220 lb}}
  tanks: {main: {arm: 24 in, holds: 15 gal}}
  minimum-fuel: 3 gal
  limits: {weight: 1450 lb, forward: 28 in, aft: 38 in}
""",
)
COMMON = """\
entered: 2026-05-16
text: Changed the oil.
by:
  name: Sample Builder
  kind: repairman
  certificate: "0000000"
at: Littlefield
paper: log p. 4
files: {tag.jpg: "%s"}
after: ["%s"]
""" % (("0" * 64,) * 2)
SEAL = """\
seal:
  record: records/2026/r.yaml
  page: records/open/p.md
  worksheet: "%s"
  after: ["%s"]
  sha256: "%s"
""" % (("0" * 64,) * 3)
FACTS = """\
meters: {tach: 412.6}
sheet: 2026-05-14-oil
begun: 2026-05-13
helpers: [Pip Ashtally]
totals: {tach: 612.6}
results:
  first:
    answer: not done
    reason: no grease
    took: 5 min
    by: Pip Ashtally
    second-look: Hazel Quillfeather
    good-until: 2027-05-31
    paper: W/O 1
    disturbed: [last]
    notes: [cold]
boxes:
  refit first:
    answer: done
    notes: [stiff]
readings: {first: {cylinder 1: 76 psi}}
findings:
  F1:
    check: first
    found: a crack
    fix: by 2027-01-31
    may wait because: it is short
    waiting: a stack
    cleared: 2026-05-14 welded
did: [first]
opened: [belly]
disturbed: [last]
clears: ["2026-01-01-finding#F1"]
parts: [1 filter]
next: {first: 2027-05-31}
"""


def of_table(keys: tuple[Key, ...], indent: str = "") -> str:
    """A value for every key of a table."""
    return "".join(f"{indent}{key.name}: {_value_of(key, indent)}\n" for key in keys)


def _value_of(key: Key, indent: str) -> str:
    below = of_table(key.below.keys, indent + "    ") if key.below else ""
    match key.holds:
        case kind.TABLE:
            return "{first: some words}"
        case kind.METERS:
            return "{tach: 1.5}"
        case kind.ROW:
            return "\n" + below.rstrip("\n")
        case kind.ROWS:
            return f"\n{indent}  - " + below.strip() + f"\n{indent}  - " + below.strip()
        case kind.QUANTITY:
            return f"2 {units_of(key.words[0])[0]}"
        case kind.CHOICE:
            return key.words[0]
        case kind.ANSWER:
            return key.words[0].removesuffix(":") + (": a reason" if key.words[0].endswith(":") else "")
    return VALUES_OF_A_KIND[key.holds]


VALUES_OF_A_KIND = {
    kind.TEXT: "some words",
    kind.TEXTS: "[some words]",
    kind.DATE: "2031-04-02",
    kind.NUMBER: "1.5",
    kind.MONEY: "12.50",
    kind.LIMITS: "50 h",
    kind.ID: "first",
    kind.IDS: "[first]",
    kind.RECORD: "2026-05-14-radio",
    kind.RECORDS: "[2026-05-14-radio]",
}
PART = 'serial: "1"\npart: O-1\nsince-new: 1\nsince-overhaul: 1\nwhere: shelf\nreason: worn\n'
RECORDS = {
    "hours": "meters: {tach: 412.6}\nadded: {oil: 1 qt}\n",
    "work": FACTS,
    "work under seal": "did: [first]\n",
    "finding": "panel: belly\ncheck: first\nfound: a crack\nfix: by 2027-01-31\nmay wait because: it is short\n"
    "waiting: a stack\ncleared: 2026-05-14 welded\n",
    "inspection": FACTS + "inspection: condition\noutcome: passed\naircraft:\n  registration: N0TS\n  make: Turnstone\n"
    '  model: TS-2\n  serial: "001"\nbasis: part 43 appendix D\nstatement: I certify.\nnot-applicable: {b3: none}\n',
    "signature": "of: r\nink: log p. 4\n",
    "signature by key": "of: r\nssh: key\n",
    "installed": f"position: engine\n{PART}",
    "removed": f"position: engine\n{PART}",
    "meter-change": "meter: tach\nold: 1.5\nnew: 0\nunrecorded:\n  hours: 1.2\n  how-known: flight log\n",
    "brought-forward": "meters:\n  tach:\n    reads: 1.5\n    total: 2.5\nlast:\n  first:\n    date: 2026-01-01\n"
    '    tach: 1.5\n    paper: log p. 1\nfitted:\n  engine:\n    serial: "1"\n    part: O-1\n    since-new: 1\n'
    "    since-overhaul: 1\n    where: shelf\n    reason: new\n",
    "amendment": "of: r\n",
    "weighing": "points:\n  - {at: left main, scale: 400 lb, tare: 2 lb, arm: 20 in}\n"
    "  - {at: right main, scale: 400 lb, arm: 20 in}\naboard: [{item: oil can, weight: 2 lb, arm: 20 in}]\n"
    "missing: [{item: battery, weight: 9 lb, arm: -10 in}]\ndatum: firewall\nlevel: longerons\n"
    "unusable-fuel: drained\noil: full\n",
    "equipment": "item: radio\nweight: 2 lb\narm: 20 in\nchange: in\ncame-with: [2026-05-14-radio]\n",
    "equipment that changed nothing": "no change: the same again\ncame-with: [2026-05-14-radio]\n",
}
DIRECTIVE = "number: 0026-05-02\nrevision: R1\nissued: 2026-05-11\nissuer: nobody\nsubject: fuel pump\n"
DIRECTIVE += "authority: airworthiness directive\non: engine\npart: O-1\nserial: '1'\nmethod: seen\nsource: a list\n"
RECORDS |= {
    "phase": "opens: flight-test\nhours: 40\narea: around the field\n",
    "phase flown in": "during: flight-test\ndid: [stalls]\ndemonstrated: {Vso: 40 kt}\n",
    "phase closed": "closes: flight-test\ndid: [stalls]\ndemonstrated: {Vso: 40 kt}\nstatement: I certify.\n",
    "directive": DIRECTIVE + "applies: 'yes'\ncheck: first\nevery: 50 h\ngrace: 10 h\n",
    "directive for once": DIRECTIVE + "applies: reviewed, voluntary\nonce: before flight\ndone: looked at\n"
    "done-by: Sample Builder\ndone-on: 2026-05-12\n",
}
RECORDS["stock"] = "item: oil filter\namount: 2\nlot: A1\ngood-until: 2031-04-02\n"
RECORDS["stock"] += "opened-on: 2026-05-01\ngood-for: 6 months\ncosts: 36\n"
# A kind that is told by its table of keys is its own example.
RECORDS |= {kind.name: of_table(kind.keys) for kind in KINDS if kind.name not in RECORDS}
RECORDS["work"] += (
    "flight-check:\n  done: 2026-05-20\n  pilot:\n    name: Sample Builder\n    kind: private pilot\n"
    '    certificate: "1"\n  words: alone\n  of: [2026-05-14-radio]\n'
)
RECORDS["setting"] += "flight-check:\n  not needed: travel measured\n  of: [2026-05-14-radio]\n"
RECORDS = {
    name: f"format: 1\nkind: {name.split()[0]}\ndate: 2026-05-14\n{own}{COMMON if name != 'work under seal' else SEAL}"
    for name, own in RECORDS.items()
}
# Values for keys that are newer than the examples.
POOL = (
    *("2031-04-02", "1.5", "5 min", "10 h", "50 h", "12 months", "12 calendar months", "yes", "no", "flight", "first"),
    *("d3", "did first", "anyone", "before", "30 min of first", "30 min after first", "oil pressure, psi, 60 to 90"),
    *("gap, in = spread of 1.5 in, 2 in", "2031-04-02, faired over"),
    *("180", "[first]", "[belly]", "{first: 1.5}", "{first: 2031-04-02}", "{tach: 1.5}", "{first: some words}"),
    *("{text: some words}", "some words", "hours", "repairman", "ssh-ed25519 AAAA", "h", "0" * 64, f"['{'0' * 64}']"),
)


@cache
def slots() -> tuple[Slot, ...]:
    """Every key of every grammar in a place where it is read; each once for each place where it is asked for."""
    found: list[Slot] = []
    # In YAML a line that begins with # is a comment, and meant to be one.
    for text in CHECKLISTS:
        found += _yaml_slots("checklist", "checklists/a.md", text.replace("@\n", ""))
    found += _check_slots()
    found += _yaml_slots("worksheet", "records/open/2026-11-21-p.md", _page())
    found += _page_slots()
    for text in AIRCRAFT:
        found += _yaml_slots("aircraft", "records/aircraft.yaml", text)
    for name, text in RECORDS.items():
        found += _yaml_slots(f"record {name}", "records/2026/2026-05-14-r.yaml", text)
    return tuple({(slot.grammar, slot.text, slot.line, slot.column): slot for slot in found}.values())


def missing_keys() -> list[str]:
    """Keys that a reader asks for and no slot has: an example is missing."""
    there = {(slot.grammar.split()[0], slot.key) for slot in slots()}
    wanted = {("checklist", key) for key in checklist.KEYS} | {("worksheet", key) for key in worksheet.KNOWN}
    wanted |= {(grammar.split()[0], key) for grammar, key in _asked}
    kinds = {f"record: {name}" for name in {kind.name for kind in KINDS} - {name.split()[0] for name in RECORDS}}
    return sorted({*kinds, *(f"{grammar}: {key}" for grammar, key in wanted - there)})


def _check_slots() -> Iterator[Slot]:
    for key, (_, parse) in checklist.KEYS.items():
        value = next(value for value in POOL if _fits(parse, value))
        # Another key above and below, so that a line that goes astray has something to be swallowed by.
        above, below = ("covers", "d3"), ("caution", "Stand clear.")
        neighbours = [(name, said) for name, said in (above, below) if name != key]
        pairs = [*neighbours[:-1], (key, value), neighbours[-1]]
        lines = [f"  - {name}: {said}" for name, said in pairs]
        text = CHECKLISTS[0].replace("@\n", "\n".join(lines) + "\n")
        yield _slot("checklist", "checklists/a.md", text, f"  - {key}: {value}")


def _fits(parse: Callable[[str], object], value: str) -> bool:
    try:
        parse(value)
    except Exception:
        return False
    return True


def _page(panel: Sequence[str] = (), check: Sequence[str] = (), standing: Sequence[str] = ()) -> str:
    text = PAGE
    for name, lines in (("@PANEL", panel), ("@CHECK", check), ("@STANDING", standing)):
        text = text.replace(f"{name}\n", "".join(f"{line}\n" for line in lines))
    return text


def _page_slots() -> Iterator[Slot]:
    file = "records/open/2026-11-21-p.md"
    boxes = {"panel": worksheet.PANEL_KEYS, "check": (*worksheet.CHECK_KEYS, "cylinder 1", "filter")}
    boxes["standing"] = worksheet.STANDING_KEYS
    for box, keys in boxes.items():
        for key in keys:
            own = f"  - {key}: {VALUES_ON_A_PAGE[key]}"
            around = ["  - note: a remark", own, "  - note: another"] if key != "note" else ["  - took: 5 min", own]
            text = _page(**{box: around})
            if key == "not done" or (key == "not applicable" and box == "panel"):
                ticked = "[x] remove `belly`" if box == "panel" else "[x] `first`"
                text = text.replace(ticked, ticked.replace("x", " ", 1))
            yield _slot("worksheet", file, text, own)
    for key in worksheet.FINDING_KEYS:
        own = f"    - {key}: {VALUES_ON_A_PAGE[key]}"
        # Only a check can be done again: under a panel `recheck` is a problem however it is spelled.
        for box in ("check",) if key == "recheck" else ("panel", "check"):
            yield _slot("worksheet", file, _page(**{box: ["  - found: F1 a dent", own]}), own)
    own = f"    - again: {VALUES_ON_A_PAGE['again']}"
    yield _slot("worksheet", file, _page(check=["  - cylinder 1: 58 psi", own, "  - note: cold"]), own)


def _slot(grammar: str, file: str, text: str, line: str) -> Slot:
    number = text.split("\n").index(line)
    mark_at = len(line) - len(line.lstrip())
    return Slot(grammar, file, text, number, mark_at, mark_at + 2, line.strip()[2:].partition(":")[0])


_asked: set[tuple[str, str]] = set()


def _yaml_slots(grammar: str, file: str, text: str) -> list[Slot]:
    """The keys of the mappings of a file, after those were added that its reader asks for and the text has not got."""
    in_vain: set[str] = set()
    while True:
        finished = _finished(grammar, file, text)
        lacking = [(fields, key) for fields in finished for key in sorted(fields.asked - set(fields.values))]
        # What no value fitted a moment ago is tried again only where nothing else is left: it may want another key.
        lacking.sort(key=lambda each: each[1] in in_vain)
        added = None
        for fields, key in lacking:
            if added := _with_key(grammar, file, text, fields, key):
                break
            in_vain.add(key)
        if added is None:
            break
        text = added
    found = []
    for fields in finished:
        for name, _ in fields.node.pairs:
            if name.text in fields.asked:
                line = text.split("\n")[name.line - 1]
                plain_key = line[name.column : name.column + len(name.text)] == name.text
                assert plain_key, f"the example quotes {name.text}"
                found.append(Slot(grammar, file, text, name.line - 1, name.column, name.column, name.text))
        _asked.update((grammar, key) for key in fields.asked)
    return found


def _finished(grammar: str, file: str, text: str) -> list[mapping.Fields]:
    """Every mapping that the reader of a file asked for keys, in the order in which it was done with them."""
    found: list[mapping.Fields] = []
    with pytest.MonkeyPatch.context() as patch:
        finish = mapping.Fields.finish

        def noted(fields: mapping.Fields) -> None:
            found.append(fields)
            finish(fields)

        patch.setattr(mapping.Fields, "finish", noted)
        _, problems = read(grammar, file, text)
    assert not problems, [str(problem) for problem in problems]
    return found


def _with_key(grammar: str, file: str, text: str, fields: mapping.Fields, key: str) -> str | None:
    """The text with a key more in one of its mappings, if some value of the pool fits and makes a difference."""
    before, _ = read(grammar, file, text)
    lines = text.split("\n")
    for value in POOL:
        more = [*lines[: fields.node.line], " " * fields.node.column + f"{key}: {value}", *lines[fields.node.line :]]
        longer = "\n".join(more)
        noun, problems = read(grammar, file, longer)
        if not problems and noun != before:
            return longer
    return None


# --- the campaign -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Swallowed:
    """A spelling of which nothing was made, for a report."""

    slot: Slot
    slips: tuple[str, ...]
    text: str

    def __str__(self) -> str:
        said = "\n    ".join(repr(line) for line in self.text.split("\n")[self.slot.line : self.slot.line + 2])
        return f"{self.slot.name}: {' + '.join(self.slips)}\n    {said}"


def first_places() -> frozenset[Slot]:
    """Of every key of every grammar the first place where it stands."""
    first: dict[tuple[str, str], Slot] = {}
    for slot in slots():
        first.setdefault((slot.grammar.split()[0], slot.key), slot)
    return frozenset(first.values())


def one_by_one(seed: int) -> tuple[int, list[Swallowed]]:
    """Every slip alone, at every place of every key: how many there are, and what was silent."""
    choose = random.Random(seed)
    asked = [(slot, slip) for slot in slots() for slip in slot.slips()]
    tried = ((slot, slip, misspelt(slot, [slip], choose)) for slot, slip in asked)
    return len(asked), [
        Swallowed(slot, (slip[0],), text) for slot, slip, text in tried if judge(slot, text)[0] == SILENT
    ]


def campaign(number: int, seed: int) -> tuple[dict[str, int], list[Swallowed]]:
    """So many spellings, one to three slips each, of keys drawn at random: verdicts counted, and what was silent."""
    choose = random.Random(seed)
    counts = {READ: 0, TOLD: 0, SILENT: 0}
    silent = []
    for _ in range(number):
        slot = choose.choice(slots())
        dimensions = sorted(choose.sample(range(len(DIMENSIONS)), choose.choice([1, 2, 2, 3])))
        slips = [choose.choice(DIMENSIONS[dimension]) for dimension in dimensions]
        slips = [slip for slip in slips if slip in slot.slips()]
        text = misspelt(slot, slips, choose)
        verdict, _ = judge(slot, text)
        counts[verdict] += 1
        if verdict == SILENT:
            silent.append(Swallowed(slot, tuple(name for name, _ in slips), text))
    return counts, silent
