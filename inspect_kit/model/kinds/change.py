"""A change of the aircraft and the owner's answer: minor or major, whom they asked, and what a major one asks for.

Source: 14 CFR 21.93(a); the aircraft's own operating limitations for what follows a major change: an entry before the
flight, hours in an area, notice to the FSDO and its concurrence. The answer is the owner's; nothing here decides it.
"""

import re
from collections.abc import Iterator
from decimal import Decimal

from inspect_kit.model.kind import CHOICE, ID, NUMBER, RECORD, RECORDS, SOMETHING, TEXT, Key, Kind
from inspect_kit.model.reason import in_doubt, says_nothing, says_undone
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

MINOR, MAJOR, NOT_DECIDED = "minor", "major", "not decided"
# Somebody was asked and said no; what was granted in the end is granted. Common practice, no source.
SAID_NO = (
    r"(?i)\b(?:refused|denied|withheld|rejected|declined|not (?:given|granted|sent|received|asked|entered|concurred))\b"
    r"(?!.*\b(?:granted|given|concurred|concurs|agreed|approved)\b)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Change(Record):
    """What was changed and how the owner answered; `asked` is whom, `of` an earlier record that this one decides.

    A major change opens the `phase` of that name: `hours` owed, in an `area`, with `notice` and `concurrence` of the
    FSDO, after an `entry` that was made before the flight.
    """

    what: str
    answer: str
    asked: str = ""
    of: str = ""
    came_with: tuple[str, ...] = ()
    phase: str = ""
    entry: str = ""
    hours: Decimal | None = None
    area: str = ""
    notice: str = ""
    concurrence: str = ""

    @property
    def wanted(self) -> tuple[str, ...]:
        """What a major change still lacks before it is flown."""
        told = {
            "the entry made before the flight": self.entry,
            "the area": self.area,
            "notice to the FSDO": self.notice,
            "concurrence of the FSDO": self.concurrence,
        }
        return tuple(name for name, value in told.items() if _is_not_there(value)) if self.answer == MAJOR else ()


def _is_not_there(words: str) -> bool:
    """Whether words that are to say where or how something was got say that it was not: a blank, `to be sent`."""
    return says_undone(words) or in_doubt(words) or re.search(SAID_NO, words) is not None


def may_decide(change: Change, named: Change, usual: Decimal | None) -> bool:
    """Whether a change can take the place of another one: no hours and no phase that a major change owes go with it.

    `usual` are the hours of the phase of the one that is named: what is owed where a change says none itself.
    """
    if named.answer != MAJOR:
        return True
    owed, now = (usual if each.hours is None else each.hours for each in (named, change))
    fewer = owed != now if owed is None or now is None else now < owed
    return change.answer == MAJOR and change.phase == named.phase and not fewer


def _faults(record: Change) -> Iterator[tuple[str, str]]:
    if record.answer != NOT_DECIDED and not record.asked:
        yield "answer", "says whom the owner asked: `asked` is missing (`nobody` is an answer)"
    if record.hours is not None and record.hours <= 0:
        yield "hours", "are more than none: leave the key out where the limitations say how many"
    for key in ("asked", "entry", "area", "notice", "concurrence"):
        words = getattr(record, key)
        # What says nothing at all is told by its table.
        if words and not says_nothing(words) and _is_not_there(words):
            yield key, f"`{words[:40]}` says that it is not there yet: leave it out until it is"
    if record.answer == MAJOR and not record.phase:
        yield "answer", "a major change is flown in a phase of aircraft.yaml: `phase` is missing"


def _summary(record: Change) -> str:
    return f"change, {record.answer}: {record.what}"


KIND = Kind(
    name="change",
    noun=Change,
    title="change of the aircraft",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(name="what", holds=TEXT, label="What", required=True, says=SOMETHING),
        Key(
            name="answer",
            holds=CHOICE,
            words=(MINOR, MAJOR, NOT_DECIDED),
            label="Owner's answer",
            required=True,
            stand_in=NOT_DECIDED,
        ),
        Key(name="asked", holds=TEXT, label="Asked", says=SOMETHING),
        Key(name="of", holds=RECORD, label="Decides"),
        Key(name="came-with", holds=RECORDS, label="Came with"),
        Key(name="phase", holds=ID, refers=("phase",), label="Phase"),
        Key(name="entry", holds=TEXT, label="Entry before the flight", says=SOMETHING),
        Key(name="hours", holds=NUMBER, label="Hours owed"),
        Key(name="area", holds=TEXT, label="Area", says=SOMETHING),
        Key(name="notice", holds=TEXT, label="Notice to the FSDO", says=SOMETHING),
        Key(name="concurrence", holds=TEXT, label="Concurrence of the FSDO", says=SOMETHING),
    ),
)
