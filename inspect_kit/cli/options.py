"""The options that several commands have: one name, the same words and the same order wherever they stand.

What only one command takes stands beside that command, above these.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

import click
from click.decorators import FC

from inspect_kit.cli.shown import PAPERS
from inspect_kit.cli.typed import DATE, NAME, PAGE_OF_LOG, REFERENCE, PaperType, one_of

Attributes = Mapping[str, Any]
T = TypeVar("T")


class Count(click.IntRange):
    """A whole number within a range, which help and refusals tell in words."""

    name = "whole number"

    def _describe_range(self) -> str:
        return f"{self.min} to {self.max}"


# By their names, in the order in which every help shows them: the name of the parameter, and what click is told.
SHARED: dict[str, tuple[str, Attributes]] = {
    "page": ("page", {"default": "", "metavar": "PAGE", "help": "The open page, if there are several."}),
    "session": (
        "sessions",
        {
            "multiple": True,
            "metavar": '"DAY HH:MM-HH:MM"',
            "help": 'Hours at hand, such as "2026-11-28 09:00-12:30, 2 people" or "Saturday 09:00-17:00"; '
            "may be repeated.",
        },
    ),
    "people": ("people", {"type": Count(1, 4), "metavar": "N", "help": "How many work."}),
    "inspectors": ("inspectors", {"type": Count(1, 4), "metavar": "N", "help": "How many of them may inspect."}),
    "only": ("only", {"is_flag": True, "help": "Only what was named, without what else is due."}),
    "months": (
        "months",
        {"type": Count(1, 36), "metavar": "N", "show_default": True, "help": "How far to look ahead."},
    ),
    "until": ("until", {"type": DATE, "metavar": "DATE", "help": "As if it were then: what will be due by this day."}),
    "product": ("product", {"metavar": "PRODUCT", "help": "A position, or `aircraft`."}),
    "serial": ("serial", {"metavar": "NUMBER", "help": "The serial number; `none` if it has none."}),
    "part": ("part", {"metavar": "PART", "help": "What it is: maker and part number."}),
    "since-new": ("since_new", {"metavar": "HOURS", "help": "Its own hours since new; 0 for a new one."}),
    "since-overhaul": ("since_overhaul", {"metavar": "HOURS", "help": "Its own hours since overhaul."}),
    "made": ("made", {"metavar": "DATE", "help": "The date on its label."}),
    "fitted-on": ("fitted_on", {"metavar": "DATE", "help": "When it was first fitted, anywhere."}),
    "overhauled": ("overhauled", {"metavar": "DATE", "help": "When it was last overhauled."}),
    "from": ("from", {"metavar": "PLACE", "help": "Where it comes from."}),
    "where": ("where", {"metavar": "PLACE", "help": "Where what comes out goes: bench, overhaul, scrapped."}),
    "goes-with": (
        "goes_with",
        {
            **{"multiple": True, "metavar": "POSITION"},
            "help": "Where a part sat on what comes out and goes with it, or none; may be repeated.",
        },
    ),
    "reason": ("reason", {"metavar": "WHY", "help": "Why, in words of your own."}),
    "hours": ("hours", {"metavar": "HOURS", "help": "Hours to be flown, where they differ from the phase's."}),
    "area": ("area", {"metavar": "WORDS", "help": "The area in which they are flown."}),
    "came-with": (
        "came_with",
        {
            **{"multiple": True, "metavar": "RECORD"},
            "help": "The record of the work or the fitting that it came with; may be repeated.",
        },
    ),
    "good-until": ("good_until", {"metavar": "DATE", "help": "The date that the part or the lot carries."}),
    "no-change": ("no_change", {"metavar": "WHY", "help": "Why it changes neither weight nor balance."}),
    "flight-check": (
        "flight",
        {"metavar": "ANSWER", "help": "`required`, `not needed: WHAT SHOWS IT`, or `done`, by its pilot."},
    ),
    "follows": (
        "follows",
        {
            **{"multiple": True, "metavar": "RECORD"},
            "help": "A record of the same day that this came after, or none where it came first; may be repeated.",
        },
    ),
    "read": (
        "read",
        {"multiple": True, "metavar": "LABEL=VALUE", "help": "A reading that a check asks for, or that was out."},
    ),
    "found": (
        "found",
        {"multiple": True, "metavar": "CHECK=WHAT", "help": "What was found at it, to be fixed before flight."},
    ),
    "recheck": (
        "recheck",
        {"metavar": "LIMIT", "help": 'When to look at it again, such as "50 h or 3 months".'},
    ),
    "by": ("by", {"type": NAME, "default": "", "metavar": "NAME", "help": "Who does it, did it or says so."}),
    "at": ("at", {"default": "", "metavar": "PLACE", "help": "Where, if away from home."}),
    "paper": (
        "paper",
        {
            **{"type": REFERENCE, "default": "", "metavar": "REFERENCE"},
            "help": "Logbook and page, or the number of a work order.",
        },
    ),
    "text": (
        "text",
        {"default": "", "metavar": "WORDS", "help": "What was done or what it shows, in words of your own."},
    ),
    "as": ("signer", {"default": "", "metavar": "NAME", "help": "Who signs, as named in aircraft.yaml."}),
    "ink": (
        "ink",
        {
            **{"type": PAGE_OF_LOG, "default": "", "metavar": "REFERENCE"},
            "help": 'Where it is signed in ink, such as "airframe log p. 44".',
        },
    ),
    "ssh-key": ("ssh_key", {"type": click.Path(), "metavar": "KEY", "help": "Signed with this SSH key."}),
    "yes": ("sure", {"is_flag": True, "help": "Take unusual readings as they are, without asking."}),
    "strict": ("strict", {"is_flag": True, "help": "Exit 1 for a reason not to fly, or anything past due."}),
    "all": ("everything", {"is_flag": True, "help": "The whole answer, however long; else one screen of it."}),
    "to": ("target", {"type": PaperType(PAPERS), "metavar": "FILE", "help": f"Write {one_of(PAPERS)}."}),
    "force": ("force", {"is_flag": True, "help": "With --to, also over a file that this command did not write."}),
    "json": ("as_json", {"is_flag": True, "help": "Machine-readable: format 2, as documented."}),
}

# So many months `visits` looks ahead where nobody says how many.
AHEAD = 12
# Where only one check is meant its name may be left out; the command that takes several says so.
OF_CHECKS = "[CHECK=]"
# What an option was called before, by command: read for ever, and shown nowhere.
FORMER: dict[str, dict[str, str]] = {
    "finding": {"--may-wait": "--reason"},
    "setting": {"--because": "--reason"},
    "equipment": {"--change": "--direction", "--because": "--reason"},
    "weighing": {"--because": "--reason"},
    "work": {"--parts": "--used"},
    "change": {"--entered": "--paper", "--log-entry": "--paper"},
    # One that took its reason itself.
    "sign": {"--close": "--closed --reason"},
    "search": {"--products": "--product"},
    "amend": {"--text": "--reason"},
    "withdraw": {"--text": "--reason"},
}


def by_todays_names(command: str, words: Sequence[str]) -> list[str]:
    """The words of a command line with what options were called before under their names of today."""
    former = FORMER.get(command, {})
    found: list[str] = []
    for at, word in enumerate(words):
        if word == "--":
            return [*found, *words[at:]]
        name, equals, value = word.partition("=")
        *flags, last = former[name].split() if name in former else (name,)
        found += [*flags, f"{last}{equals}{value}"]
    return found


def shared(*names: str, **changed: Attributes) -> Callable[[FC], FC]:
    """The shared options of these names, in the order of the table.

    `changed` gives more to one of them, by its name with underscores: whether it is required, what else it is by
    itself, which files it writes, which check it is of; never other words.
    """

    def decorated(command: FC) -> FC:
        for name in reversed([each for each in SHARED if each in names]):
            parameter, attributes = SHARED[name]
            told = {**attributes, **changed.get(name.replace("-", "_"), {})}
            command = click.option(f"--{name}", parameter, **told)(command)
        return command

    unknown = {*names} - {*SHARED}
    assert not unknown, unknown
    return decorated


def written_as(*endings: str, required: bool = False) -> Attributes:
    """The attributes of --to for an answer that is written with these endings only."""
    return {"type": PaperType(endings), "help": f"Write {one_of(endings)}.", "required": required}
