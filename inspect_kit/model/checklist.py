"""What a checklist says: panels, setups and places, and the checks that belong to them."""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from inspect_kit.errors import Place
from inspect_kit.model.interval import AsMarked, AtInspection, Limit, Term, so_many
from inspect_kit.model.lines import Lines
from inspect_kit.noun import dataclass

if TYPE_CHECKING:
    from fractions import Fraction

PANEL, SETUP, PLACE_FILE = "panel", "setup", "place"
BEFORE, OPEN, CLOSED = "before", "open", "closed"
INSPECTOR, ANYONE, OTHERS = "inspector", "anyone", "others"
DID, DISTURBED, INSTALLED = "did", "disturbed", "installed"
WORDS = "words"  # The measure of a reading that is text.
CONSUMABLE = "(consumable)"
PIECES = ("", "set", "sets", "pair", "pairs")


@dataclass(frozen=True, slots=True, kw_only=True)
class Retired:
    """When a check, panel, position or person went, and why. Until that day it counts."""

    date: dt.date
    reason: str = ""


def gone(retired: Retired | None, day: dt.date) -> bool:
    """Whether what is retired, if it is, has gone by that day."""
    return retired is not None and retired.date <= day


@dataclass(frozen=True, slots=True, kw_only=True)
class Lag:
    """`30 min of run-before` or `20 min after run-before`: minutes counted from the end of that check."""

    minutes: int
    check: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """An access panel, a setup (a state of the aircraft), or a place where nothing comes off.

    `remove` and `refit` are minutes; for a setup the minutes to make and to undo it. Both are None for a place.
    `behind` names the panels that are off before this one and on after it; `needs` the shared tooling held meanwhile.
    `overnight` is False for a setup that must not stand from one session to the next. It is not moved while a setup of
    `not_while` stands, and comes off no sooner than `wait` says. `disturbs` names what moving it disturbs: it triggers
    `owed-after: disturbed ...`.
    """

    id: str
    name: str
    zone: str
    kind: str = PANEL
    remove: int | None = None
    refit: int | None = None
    people: int = 1
    behind: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    fasteners: str = ""
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    second_look: bool = False
    overnight: bool = True
    disturbs: tuple[str, ...] = ()
    not_while: tuple[str, ...] = ()
    wait: Lag | None = None
    notes: tuple[str, ...] = ()
    was: tuple[str, ...] = ()
    retired: Retired | None = None
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)

    @property
    def verbs(self) -> tuple[str, str]:
        """What is said of it on a worksheet: to open and to close."""
        return ("make", "undo") if self.kind == SETUP else ("remove", "refit")


def on_the_way(
    panels: Mapping[str, Panel], ids: Iterable[str], now: Callable[[str], str] = str
) -> tuple[Panel, ...]:
    """These panels and all that they are behind, each once; retired and unknown ones left out.

    A place that is behind a panel passes on what that is behind. `now` gives today's id for one that may be an old one.
    """
    found: dict[str, Panel] = {}
    left = [*ids]
    while left:
        panel = panels.get(now(left.pop()))
        if panel is not None and panel.retired is None and panel.id not in found:
            found[panel.id] = panel
            left += panel.behind
    return tuple(found.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeLimit:
    """How far a reading may go from those before it: `falls at most 10 in 100 h`. `verb` is `falls` or `rises`."""

    verb: str
    amount: Decimal
    within: Limit

    def __str__(self) -> str:
        return f"{self.verb} at most {self.amount} in {so_many(self.within.number, self.within.unit)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What a reading must keep: `at least 60`, `at most 0.3`, `60 to 90`; both ends belong to it.

    Instead of ends it may name a `table` of aircraft.yaml and the reading of the same check `at` which it is read:
    `by cable-tension at temperature`. `change` depends on the readings before. What depends on something else is told
    by `model.measured`; `holds` asks the two ends alone.
    """

    low: Decimal | None = None
    high: Decimal | None = None
    table: str = ""
    at: str = ""
    change: ChangeLimit | None = None

    def holds(self, value: "Decimal | Fraction") -> bool:
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)

    def __str__(self) -> str:
        return ", ".join(filter(None, (self._ends(), str(self.change or ""))))

    def _ends(self) -> str:
        if self.table:
            return f"by {self.table} at {self.at}"
        if self.low is None:
            return "" if self.high is None else f"at most {self.high}"
        return f"at least {self.low}" if self.high is None else f"{self.low} to {self.high}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reads:
    """One line of `reads`: the labels it asks for, their measure, and the bound they must keep.

    A measure of `words` asks for text and has no bound.
    """

    labels: tuple[str, ...]
    measure: str
    bound: Bound | None = None

    @property
    def in_words(self) -> bool:
        return self.measure == WORDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckons:
    """A value reckoned from what a check reads: `left flow, gal/h, at least 13.65 = flow of left fuel, left time`.

    `formula` is a name of `model.formulas`. An operand is the label of a reading, or a fixed amount with its measure.
    """

    label: str
    measure: str
    bound: Bound | None = None
    formula: str
    operands: tuple[str | tuple[Decimal, str], ...]

    @property
    def labels(self) -> tuple[str, ...]:
        """The readings that it rests on."""
        return tuple(each for each in self.operands if isinstance(each, str))

    def __str__(self) -> str:
        told = (each if isinstance(each, str) else f"{each[0]} {each[1]}" for each in self.operands)
        bound = f", {self.bound}" if self.bound else ""
        return f"{self.label}, {self.measure}{bound} = {self.formula} of {', '.join(told)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trigger:
    """What makes a check owed: `did oil-change`, `disturbed static-system`, `installed magneto-left`."""

    verb: str
    what: str

    def __str__(self) -> str:
        return f"{self.verb} {self.what}"


def part_called(name: str) -> str:
    """What a part is called where its amount stands apart: `strut seals` of `1 set of strut seals`."""
    return name.removeprefix("of ")


def part_key(name: str) -> str:
    """A name of a part by which it is known again: capitals and the plural aside."""
    word = part_called(" ".join(name.split()).casefold())
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part or consumable: `6 qt engine oil` is amount `6 qt`, name `engine oil`.

    `marked` is whether `(consumable)` stands behind it, as in `6 clean cloths (consumable)`.
    """

    amount: str
    name: str
    marked: bool = False

    def __str__(self) -> str:
        return f"{self.amount} {self.name}{f' {CONSUMABLE}' if self.marked else ''}".strip()

    @property
    def consumable(self) -> bool:
        """Whether it is used up rather than fitted: poured, brushed on or cut to length, or marked as such.

        What is counted in pieces, sets or pairs is a part.
        """
        return self.marked or self.amount.partition(" ")[2] not in PIECES


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """What being past due, owed or unknown forbids: flight, or the use of `what`; neither: nothing (a maker's advice).

    `what` is worded to follow "not to be used": `the transponder`, `flight under IFR`.
    """

    flight: bool = False
    what: str = ""

    def __post_init__(self) -> None:
        if self.flight and self.what:
            raise ValueError("whatever bars flight names nothing besides")

    def __str__(self) -> str:
        return "flight" if self.flight else self.what or "nothing"


FLIGHT, NOTHING = Bars(flight=True), Bars()


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One thing to look at or to do, with when it is due and what it takes.

    `minutes` x `people` is its labour. `who` is inspector, anyone or others; `others` then says who.
    `when` is before, open or closed; `closed_except` names the panels of `closed except` (then `when` is open).
    `once_date` stands for `once: 2027-05-31`. `disturbs` names what doing it disturbs. `bars` is None where the
    checklist does not say. `directed` is what directives ask that nothing here keeps, beside a `once`, a `life` or a
    `first`: no checklist says it (`due.directives`). `costs` is what one doing costs besides one's own hours, in the
    owner's currency, or None.
    `unread` names keys that could not be read, as `text.checklist` says: such a check is unknown, never not due.
    """

    id: str
    panel: str
    text: str
    every: tuple[Term, ...] = ()
    once: tuple[Limit, ...] = ()
    once_date: dt.date | None = None
    life: tuple[Limit, ...] = ()
    first: tuple[Limit, ...] = ()
    directed: tuple[Limit, ...] = ()
    grace: tuple[Limit, ...] = ()
    counts_on: str | None = None
    owed_after: tuple[Trigger, ...] = ()
    disturbs: tuple[str, ...] = ()
    bars: Bars | None = None
    covers: tuple[str, ...] = ()
    minutes: int = 5
    people: int = 1
    who: str = INSPECTOR
    others: str = ""
    with_: tuple[str, ...] = ()
    when: str = OPEN
    closed_except: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    within: Lag | None = None
    wait: Lag | None = None
    not_while: tuple[str, ...] = ()
    alone: bool = False
    needs: tuple[str, ...] = ()
    reads: tuple[Reads, ...] = ()
    reckons: tuple[Reckons, ...] = ()
    uses: tuple[Part, ...] = ()
    tools: tuple[str, ...] = ()
    costs: Decimal | None = None
    source: str = ""
    cautions: tuple[str, ...] = ()
    second_look: bool = False
    replace: str = ""
    was: tuple[str, ...] = ()
    retired: Retired | None = None
    unread: tuple[str, ...] = ()
    place: Place
    lines: Lines = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        if self.minutes < 0 or self.people < 1:
            raise ValueError("a check takes no less than 0 min and 1 person")
        if sum(map(bool, (self.every, self.once or self.once_date, self.life))) > 1:
            raise ValueError("only one of `every`, `once` and `life` may stand")

    @property
    def title(self) -> str:
        """What it is about: its text up to the first colon."""
        return title(self.text)

    @property
    def named(self) -> str:
        """`Oil filled (oil-fill)`: its title and its id, to stand in a sentence or a list."""
        return named(self.title, self.id)

    @property
    def asked(self) -> Mapping[str, Reads]:
        """What it reads, by label; of two with one label the first."""
        return {label: reads for reads in reversed(self.reads) for label in reads.labels}

    @property
    def is_item(self) -> bool:
        """Whether it has a due point of its own: not a check that comes only with an inspection."""
        own = any(not isinstance(term, AtInspection) for term in self.every)
        return bool(own or self.once or self.once_date or self.life or self.first or self.owed_after or self.unread)

    @property
    def bars_past_due(self) -> Bars:
        """What it forbids past its limit: nothing unless it says so, but a life flight."""
        return self.bars or (FLIGHT if self.life else NOTHING)

    @property
    def bars_unknown(self) -> Bars:
        """What it forbids where nobody knows when it is due: only what it says itself."""
        return self.bars or NOTHING

    @property
    def bars_owed(self) -> Bars:
        """What it forbids while it is owed: flight, unless it says otherwise."""
        return self.bars or FLIGHT

    @property
    def marked(self) -> bool:
        """Whether the part itself carries its next date (`every: as marked`)."""
        return any(isinstance(term, AsMarked) for term in self.every)

    def at_inspection(self, name: str) -> bool:
        """Whether it comes with the inspection of that name by its interval."""
        return any(isinstance(term, AtInspection) and term.name == name for term in self.every)


def duration(minutes: int) -> str:
    """`45 min`, `2 h`, `2 h 10 min`."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def title(text: str) -> str:
    """The subject of a check: its text up to the first colon."""
    return text.partition(":")[0].strip()


def named(words: str, name: str) -> str:
    """A title or a name with its id: `Oil filled (oil-fill)`. It holds no semicolon, which parts those of a list.

    Words that are the id itself stand once.
    """
    told = words.replace(";", ",")
    return told if told == name else f"{told} ({name})"


def added_up(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The parts with the amounts of one thing in one measure added."""
    sums: dict[tuple[str, str, bool], Decimal | None] = {}
    for part in parts:
        number, _, measure = part.amount.partition(" ")
        amount = decimal(number)
        key = (part.name, measure if amount is not None else part.amount, part.marked)
        sums[key] = None if amount is None else amount + (sums.get(key) or Decimal(0))
    return tuple(
        Part(amount=measure if amount is None else f"{amount} {measure}".strip(), name=name, marked=marked)
        for (name, measure, marked), amount in sums.items()
    )


def decimal(text: str) -> Decimal | None:
    """A plain decimal number such as `412.6`, or None: no exponent, no sign but a minus, at most 15 digits."""
    body = text[1:] if text.startswith("-") else text
    whole, dot, fraction = body.partition(".")
    digits = whole + fraction
    # More digits are no reading of anything, and sums of so few stay exact in the 28 digits of decimal arithmetic.
    if not (digits.isascii() and digits.isdigit()) or len(digits) > 15 or (dot and not (whole and fraction)):
        return None
    try:
        return Decimal(text)
    except InvalidOperation:
        return None


def inspection_checks(checks: Mapping[str, Check], inspection: str) -> tuple[str, ...]:
    """The checks that belong on the page of an inspection, in the order of their files.

    Those whose interval names it, and all that cover a scope code, whatever their own interval.
    """
    return tuple(
        check.id
        for check in checks.values()
        if check.retired is None and (check.at_inspection(inspection) or check.covers)
    )
