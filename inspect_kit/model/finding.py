"""Readings, results and findings: what was seen, on a page or in a record."""

import dataclasses
import datetime as dt
import re
from decimal import Decimal
from functools import lru_cache
from itertools import zip_longest

from inspect_kit.errors import Place
from inspect_kit.model.checklist import Bound, decimal
from inspect_kit.model.figures import second_figure
from inspect_kit.model.interval import Limit
from inspect_kit.model.reason import may_not_wait, says_uncorrected
from inspect_kit.noun import dataclass

DONE, NOT_APPLICABLE, NOT_DONE = "done", "not applicable", "not done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """When a finding must be fixed. With nothing set: before flight."""

    by_date: dt.date | None = None
    by_total: Decimal | None = None
    meter: str | None = None
    at_inspection: str | None = None

    @property
    def before_flight(self) -> bool:
        return self.by_date is None and self.by_total is None and self.at_inspection is None

    def is_surely_before(self, other: "Fix") -> bool:
        """Whether it is no later than another, whatever is flown; a day and a total cannot be told apart."""
        if self.before_flight or self == other:
            return True
        if self.by_date is not None and other.by_date is not None:
            return self.by_date <= other.by_date
        if self.by_total is not None and other.by_total is not None:
            return self.meter == other.meter and self.by_total <= other.by_total
        return False

    def __str__(self) -> str:
        if self.by_date is not None:
            return f"by {self.by_date}"
        if self.by_total is not None:
            return f"by {self.by_total} h" + (f" on {self.meter}" if self.meter else "")
        return f"at next {self.at_inspection} inspection" if self.at_inspection else "before flight"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleared:
    """That a finding stands no longer where it was written: corrected (when, how, by whom), or put off again.

    One that an inspector put off again is carried as a finding of the later record, and only its words say so: in a
    sealed record there is no key for it.
    """

    date: dt.date
    text: str
    by: str = ""
    # Whether its words say that nothing was corrected, or have a blank left in them: then it stands. Found when it is
    # made, and so kept with what was read: the patterns that judge words take as long to compile as all else here.
    undone: bool = dataclasses.field(default=False, init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "undone", says_uncorrected(self.text))

    @property
    def put_off(self) -> bool:
        """Whether it was put off again: nothing was corrected."""
        return bool(self.carried_as)

    @property
    def carried_as(self) -> str:
        """As which finding of the later record it stands on, `F2`; "" where it was corrected."""
        found = _PUT_OFF.fullmatch(self.text)
        return found[1] if found else ""


_PUT_OFF = re.compile(r"put off again as (F\d+) of this record")


def put_off_as(finding: str, date: dt.date, by: str) -> Cleared:
    """What stands at a finding that was put off again: this record carries it on as `finding`, such as F2."""
    return Cleared(date=date, text=f"put off again as {finding} of this record", by=by)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something found. `id` is F1, F2 … within its page or record; it stands under a check or a panel.

    A finding that may wait says until when (`fix`) and why (`may_wait`); `waiting` says for what part. `recheck` is
    when its check is to be done again to look at it, whichever limit comes first.
    """

    id: str
    check: str | None = None
    panel: str | None = None
    text: str
    fix: Fix = Fix()
    may_wait: str = ""
    waiting: str = ""
    cleared: Cleared | None = None
    recheck: tuple[Limit, ...] = ()
    place: Place

    @property
    def stands(self) -> bool:
        return self.cleared is None or self.cleared.undone or self.cleared.put_off

    @property
    def before_flight(self) -> bool:
        """Whether it stops the aircraft: no limit given, or a limit without a reason why it may wait."""
        return self.stands and (self.fix.before_flight or may_not_wait(self.may_wait))


    def is_surely_before(self, other: "Finding") -> bool:
        """Whether it has to be fixed no later than another."""
        return self.before_flight or (not other.before_flight and self.fix.is_surely_before(other.fix))


# In slots, as thousands of them are made of facts that were kept.
@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A measured value under a label of a check. `value` is its text without the measure; "" if still to be written.

    `again` holds later values of the same label in the order they were taken; the last one counts. `reckoned` is the
    arithmetic of a value that was not read but follows from others, such as `1 gal x 3600 / 160 s`.
    """

    check: str
    label: str
    value: str
    measure: str
    bound: Bound | None = None
    again: tuple[str, ...] = ()
    reckoned: str = ""
    place: Place
    # Where each of `again` stands, on a page; a record has them on the line of their label.
    again_at: tuple[Place, ...] = dataclasses.field(default=(), compare=False)

    @property
    def last(self) -> str:
        """The value that counts, with its remark."""
        return self.again[-1] if self.again else self.value

    @property
    def bare(self) -> str:
        """The same without its measure, which a later value is written with, where that stands beside it anyway."""
        number, _, rest = self.last.partition(" ")
        behind = rest.removeprefix(self.measure)
        return f"{number}{behind}" if self.measure and behind != rest and behind[:1] in ("", " ") else self.last

    @property
    def number(self) -> Decimal | None:
        """The number that counts, or None where there is none (yet), where it is words, or half a number: `7,5`."""
        if self.measure == "words":
            return None
        return _number(self.last)

    def is_in(self, measure: str) -> bool:
        """Whether it is in a measure, capitals and a remark behind it aside; a number alone is in that of its check."""
        return self.measure in ("", measure) or _is_measure(self.measure, measure)

    def astray(self, measure: str) -> tuple[tuple[Place, str, str], ...]:
        """The later values that are not one number in a measure, with a remark perhaps: where each stands, its words,
        and the second figure in its remark, "" where what is wrong is the measure: `70 kPa`, `70 / 58`.

        Under which condition it was read is no second figure: `120 rpm at 1700 rpm`, `68 psi after 5 min run`.
        """
        found = []
        for value, place in zip_longest(self.again, self.again_at[: len(self.again)], fillvalue=self.place):
            rest = str(value).partition(" ")[2].strip()
            is_measure = not rest or _is_measure(rest, measure)
            second = second_figure(rest[len(measure) :], measure) if rest and is_measure else ""
            if second or not is_measure:
                found.append((place, str(value), second))
        return tuple(found)

    @property
    def out_of_limits(self) -> bool:
        number = self.number
        return self.bound is not None and number is not None and not self.bound.holds(number)


def _is_measure(said: str, asked: str) -> bool:
    """Whether what stands behind a number is its measure, capitals and a remark behind it aside."""
    said, asked = said.casefold(), asked.casefold()
    return said == asked or (bool(asked) and re.match(rf"{re.escape(asked)}(?:[,;(]| \D)", said) is not None)


# Asked of every reading of every record, and most of them were read before.
@lru_cache(maxsize=4096)
def _number(told: str) -> Decimal | None:
    match = re.match(r"-?[0-9.]+(?=\s|$)", told)
    return decimal(match.group()) if match else None


# In slots, as thousands of them are made of facts that were kept.
@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What became of one check: done, not applicable or not done (with the reason); minutes it took; who did it.

    `good_until` is the date the part itself carries; `paper` the reference of work done by others; `disturbed` what
    else was disturbed by doing it. `repaired` are the labels of what was made good on the part that stays: their series
    begin anew. `recheck` is when to look again (whichever comes first), at what `notes` or a finding say.
    """

    check: str
    answer: str = DONE
    reason: str = ""
    took: int | None = None
    by: str = ""
    second_look: str = ""
    good_until: dt.date | None = None
    paper: str = ""
    disturbed: tuple[str, ...] = ()
    repaired: tuple[str, ...] = ()
    recheck: tuple[Limit, ...] = ()
    notes: tuple[str, ...] = ()
    place: Place
