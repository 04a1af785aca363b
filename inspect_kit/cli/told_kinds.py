"""What is asked of a record told at the command line, kind by kind: its words, when it is asked, what Enter takes.

What was set, changed, fitted or stocked, a directive and a search for them. How it is asked is in `cli.telling`; the
keys are those of the kind in `model.kinds`.
"""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from inspect_kit.balance import unanswered
from inspect_kit.cli.complied_asked import OPTION, complied
from inspect_kit.due import standing_changes
from inspect_kit.due.shelf import in_other_measures
from inspect_kit.model.kind import Kind
from inspect_kit.model.kinds import change, directive, equipment, search, setting, stock, weighing
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable

Facts = Mapping[str, Any]
When = Callable[[Facts, Logbook], bool]


def always(facts: Facts, logbook: Logbook) -> bool:
    return True


def never(facts: Facts, logbook: Logbook) -> bool:
    """Told by its option alone."""
    return False


def nothing_usual(facts: Facts, logbook: Logbook) -> str:
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is asked for one key of the record, where its option does not say it.

    `option` is the option's name where that of the key means something else elsewhere; `when` it is asked, by what was
    answered before; `usual` the answer that Enter takes; `required` whether there must be one,
    `several` whether there may be more, `early` whether it is read before all others where it was given;
    `meant` what is kept of an answer, Unreadable where it cannot stand.
    """

    key: str
    words: str
    help: str
    metavar: str = "WORDS"
    option: str = ""
    when: When = always
    usual: Callable[[Facts, Logbook], str] = nothing_usual
    required: bool | When = False
    otherwise: str = "not known"
    several: bool = False
    early: bool = False
    meant: Callable[[Any, Logbook], Any] = lambda answer, logbook: answer

    @property
    def name(self) -> str:
        return self.option or self.key


def nothing_touched(facts: Facts) -> Sequence[str]:
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Then:
    """`asks` takes the facts, the logbook, the day and what the option gave; it gives facts and words of the entry."""

    option: str
    help: str
    asks: Callable[[dict[str, Any], Logbook, dt.date, str | None], tuple[dict[str, Any], str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One command: its kind, its help, what the word behind it says, and what is asked after that.

    `who` is asked where it is not "", `clock` whether the meter is that times are counted by. `flight` are the ids that
    were touched, for which a flight check may be wanted; None where it is asked of every such record. `then` is what
    is asked once the rest is known, with an option of its own that fills no key: the facts, and words for the entry.
    `ending` is what is said once it is written.
    """

    kind: Kind
    help: str
    first: Ask
    asks: tuple[Ask, ...]
    who: str = ""
    clock: bool = False
    flight: Callable[[Facts], Sequence[str]] | None = nothing_touched
    then: Then | None = None
    ending: Callable[[Facts, Logbook], Sequence[str]] = lambda facts, logbook: ()


def _authority(words: str, logbook: Logbook) -> str:
    """An airworthiness directive under its whole name, by which it binds, however it was said."""
    if directive.may_be_directive(words):
        raise Unreadable(f"`{words[:40]}` may be one that binds: say {directive.DIRECTIVE}, or what else it is")
    return directive.DIRECTIVE if directive.is_directive(words) else words


def _flown_somewhere(answer: str, logbook: Logbook) -> str:
    if answer == change.MAJOR and not logbook.aircraft.phases:
        raise Unreadable(f"a major change is flown in a phase, and {NO_PHASES}")
    return answer


def _decided(facts: Facts, logbook: Logbook) -> bool:
    return bool(facts["answer"] != change.NOT_DECIDED)


def _major(facts: Facts, logbook: Logbook) -> bool:
    return bool(facts["answer"] == change.MAJOR)


NO_PHASES = (
    "aircraft.yaml has no `phases`: write them there in the words of your operating limitations, such as\n"
    "phases: {flight-test: {hours: 5, statement: I certify that the flight test is complete.}}"
)


def _as_known(key: str) -> Callable[[Facts, Logbook], str]:
    """What the change says that is decided anew; of the hours and the area, where it says none, what its phase says."""

    def usual(facts: Facts, logbook: Logbook) -> str:
        decides, phase = logbook.record(facts.get("of") or ""), logbook.aircraft.phases.get(facts.get("phase") or "")
        known = (getattr(each, key, None) for each in (decides, phase))
        return str(next((each for each in known if each), ""))

    return usual


# By which option is told later what a major change still lacked when it was written down.
TOLD_LATER = {"entry": "--log-entry", "area": "--area", "notice": "--notice", "concurrence": "--concurrence"}


def _still_wanted(facts: Facts, logbook: Logbook) -> list[str]:
    """What a major change lacks before it is flown, and how that is told once it is there."""
    made = [each for each in standing_changes(logbook) if each.what == facts["what"]][-1:]
    options = " ".join(f'{option} "..."' for key, option in TOLD_LATER.items() if not facts[key])
    return [
        f"Not on record yet, a reason not to fly: {', '.join(each.wanted)}. When it is there: inspect-kit change "
        f'"{each.what}" --decides {each.name} --answer major {options}'
        for each in made
        if each.wanted
    ]


def _open_changes(logbook: Logbook) -> list[str]:
    changes = standing_changes(logbook)
    return [each.name for each in changes if each.answer == change.NOT_DECIDED]


def _counts(facts: Facts, logbook: Logbook) -> bool:
    return facts["applies"].word in (directive.YES, directive.VOLUNTARY)


def _applies(facts: Facts, logbook: Logbook) -> bool:
    return bool(facts["applies"].word == directive.YES)


def _in_other_measures(facts: Facts, logbook: Logbook) -> list[str]:
    """What is said of an item that is counted in another measure than the checks use it in."""
    counted = [each for each in logbook.of_kind(stock.Stock) if each.item == facts["item"]][-1:]
    return [f"{told}." for each in counted if (told := in_other_measures(each, logbook.checks.values()))]


def _on_the_scales(facts: Facts, logbook: Logbook) -> list[str]:
    """What is said of an item that goes out and is on no record of having come in: as weighed, it is taken off."""
    item, weighed = facts["item"], logbook.of_kind(weighing.Weighing)
    came = [each.item.casefold() for each in logbook.of_kind(equipment.Equipment) if each.change == equipment.IN]
    if facts["change"] != equipment.OUT or not weighed or str(item).casefold() in came:
        return []
    return [f"No record says that {item} came in: it is taken for what was weighed on {weighed[-1].date}."]


def _for_good(facts: Facts, logbook: Logbook) -> bool:
    return _applies(facts, logbook) and not facts["check"]


def _as_before(key: str) -> Callable[[Facts, Logbook], str]:
    """What the newest decision on the same directive says: a later one repeats what has not changed."""

    def usual(facts: Facts, logbook: Logbook) -> str:
        same = [each for each in logbook.of_kind(directive.Directive) if each.number == facts["number"]]
        attribute = next(each.attribute for each in directive.KIND.keys if each.name == key)
        value = getattr(same[-1], attribute) if same else ""
        return " or ".join(map(str, value)) if isinstance(value, tuple) else str(value or "")

    return usual


def _said_before(key: str) -> When:
    return lambda facts, logbook: bool(_as_before(key)(facts, logbook))


def _changed(facts: Facts, logbook: Logbook) -> bool:
    return not facts["no change"]


def _unanswered(facts: Facts, logbook: Logbook) -> str:
    return ", ".join(record.name for record in unanswered(logbook))


def _set_on(facts: Facts, logbook: Logbook) -> str:
    """On what this setting was last set; "" if it never was, or on nothing that has a name."""
    before = [each.on for each in logbook.of_kind(setting.Setting) if each.setting == facts["setting"]]
    return before[-1] if before else ""


SETTING = Told(
    kind=setting.KIND,
    help="""What was set: propeller pitch, timing, rigging, idle mixture.

    From then on a dated fact, and a trend.

    \b
    setting idle-mixture tach=412.6 --of engine --set-to "rise of 25 rpm" --reason "hunting at idle" --by "Your Name"
    setting propeller-pitch --of propeller --found-at "12.0 deg" --set-to "12.5 deg" --flight-check required
    """,
    first=Ask(
        key="setting",
        words="What was set, such as idle-mixture or propeller-pitch",
        help="",
        metavar="SETTING",
        required=True,
    ),
    asks=(
        Ask(
            key="on",
            option="of",
            metavar="ID",
            words="Of which position, check or panel",
            help="The position, check or panel that it is a setting of.",
            usual=_set_on,
            otherwise="of the aircraft",
        ),
        Ask(key="from", option="found-at", metavar="VALUE", words="Found at", help="The value it was found at."),
        Ask(
            key="to",
            option="set-to",
            metavar="VALUE",
            words="Set to",
            help="The value it was set to, with its measure.",
            required=True,
        ),
        Ask(key="because", option="reason", words="Why", help="", required=True),
    ),
    who="Who set it",
    clock=True,
    flight=lambda facts: [each for each in (facts["setting"], facts["on"]) if each],
)
CHANGE = Told(
    kind=change.KIND,
    help="""A change of the aircraft: minor or major, and whom you asked.

    A major one opens the flight-test phase that it names, and bars passengers until that is closed; one not decided
    bars them too. Nothing here decides it.

    \b
    change "landing light of another maker" --answer minor --asked "the inspector who knows the aircraft"
    change "propeller of another make" --answer major --asked "district office, letter of 12 June" --phase flight-test
    """,
    first=Ask(key="what", words="What was changed", help="", metavar="WHAT", required=True, usual=_as_known("what")),
    asks=(
        Ask(
            key="answer",
            metavar="ANSWER",
            words="Your answer: minor, major or not decided",
            help="minor, major, or `not decided`.",
            required=True,
            meant=_flown_somewhere,
        ),
        Ask(
            key="asked",
            metavar="WHOM",
            words="Whom you asked, or nobody",
            help="Whom you asked; `nobody` is an answer.",
            when=_decided,
            required=True,
        ),
        Ask(
            key="of",
            option="decides",
            metavar="RECORD",
            words="Which change on record this decides",
            early=True,
            help="The change on record that this one decides, or of which it tells more.",
            when=lambda facts, logbook: bool(_open_changes(logbook)),
            usual=lambda facts, logbook: next(iter(reversed(_open_changes(logbook))), ""),
        ),
        Ask(
            key="came-with",
            words="Which records of work or fittings it came with",
            help="",
            otherwise="none",
        ),
        Ask(
            key="phase",
            metavar="PHASE",
            words="Phase of aircraft.yaml in which it is flown",
            help="The phase of aircraft.yaml in which a major change is flown.",
            when=_major,
            usual=lambda facts, logbook: _as_known("phase")(facts, logbook) or next(iter(logbook.aircraft.phases), ""),
            required=True,
        ),
        Ask(
            key="entry",
            option="log-entry",
            metavar="REFERENCE",
            words="Where the entry before the flight stands",
            help="Where the entry stands that was made before the flight.",
            when=_major,
            usual=_as_known("entry"),
        ),
        Ask(
            key="hours",
            words="Hours owed",
            help="",
            when=_major,
            usual=_as_known("hours"),
        ),
        Ask(
            key="area",
            words="Area in which they are flown",
            help="",
            when=_major,
            usual=_as_known("area"),
        ),
        Ask(
            key="notice",
            words="Notice to the district office (FSDO)",
            help="How and when notice was given to the FSDO.",
            when=_major,
            usual=_as_known("notice"),
            otherwise="not yet",
        ),
        Ask(
            key="concurrence",
            words="Concurrence of the district office (FSDO)",
            help="How and when the FSDO concurred.",
            when=_major,
            usual=_as_known("concurrence"),
            otherwise="not yet",
        ),
    ),
    who="Who says so",
    clock=True,
    flight=None,
    ending=_still_wanted,
)
EQUIPMENT = Told(
    kind=equipment.KIND,
    help="""An item that came in or went out, with its weight and its arm.

    Or why a fitting changed neither.

    \b
    equipment "second radio" --change in --weight "2.4 lb" --arm "14.0 in" --by "Your Name"
    equipment --no-change "same type, same weight" --came-with 2026-11-28-magneto-left-fitted-k3f9
    """,
    first=Ask(key="item", words="What came in or went out", help="", metavar="ITEM", when=_changed, required=True),
    asks=(
        Ask(
            key="change",
            metavar="WORD",
            words="Did it come in or go out (in, out)",
            help="`in` or `out`.",
            when=_changed,
            required=True,
        ),
        Ask(
            key="weight",
            metavar="WEIGHT",
            words="Its weight, such as 2.4 lb",
            help="Its weight, such as `2.4 lb`.",
            when=_changed,
            required=True,
        ),
        Ask(
            key="arm",
            metavar="ARM",
            words="Its arm from the datum, such as 14.0 in",
            help="Its arm from the datum, such as `14.0 in`.",
            when=_changed,
            required=True,
        ),
        Ask(
            key="came-with",
            words="Which fittings or work it came with",
            help="",
            usual=_unanswered,
            otherwise="none",
        ),
        Ask(key="because", words="", help="", when=never),
        Ask(key="no change", option="no-change", words="", help="", when=never),
    ),
    who="Who did it",
    ending=_on_the_scales,
)
STOCK = Told(
    kind=stock.KIND,
    help="""What lies on the shelf, as counted today.

    The newest count of an item and a lot is the one that counts.

    \b
    stock "oil filter" --amount 2 --lot 2605
    stock sealant --amount "1 tube" --good-until 2027-05-31 --costs 24
    """,
    first=Ask(
        key="item",
        words="What lies on the shelf, as `uses` of a check calls it",
        help="",
        metavar="ITEM",
        required=True,
    ),
    asks=(
        Ask(
            key="amount",
            metavar="AMOUNT",
            words="How much, such as 2 or 6 qt",
            help="How much: `2`, or `6 qt`; 0 clears the shelf.",
            required=True,
        ),
        Ask(key="lot", metavar="LOT", words="Its lot or batch", help="Its lot or batch.", otherwise="none"),
        Ask(key="good-until", words="Good until, the date on it", help="", otherwise="no date"),
        Ask(key="opened-on", metavar="DATE", words="Opened on", help="When it was opened.", otherwise="not open"),
        Ask(
            key="good-for",
            metavar="TIME",
            words="How long it is good once it is open, such as 6 months",
            help="How long it is good once it is open, such as `6 months`.",
            when=lambda facts, logbook: bool(facts["opened-on"]),
        ),
        Ask(key="costs", metavar="SUM", words="What it was bought for, in all", help="What all of it was bought for."),
    ),
    ending=_in_other_measures,
)
DIRECTIVE = Told(
    kind=directive.KIND,
    help="""A directive or a maker's letter, and your decision on it.

    For one product of yours.

    Whether it applies is your own recorded decision: yes, `no: reason`, `not decided` or `reviewed, voluntary`.

    \b
    directive SL-12 --issuer "maker of the exhaust" --subject "cracks at the collector" --authority "maker's letter"
    directive SL-12 --applies yes --every "100 h" --check exhaust-stacks --by "Your Name"
    """,
    first=Ask(key="number", words="Its number", help="", metavar="NUMBER", required=True),
    asks=(
        Ask(key="issuer", words="Who issued it", help="Who issued it.", required=True, usual=_as_before("issuer")),
        Ask(key="subject", words="Its subject", help="What it is about.", required=True, usual=_as_before("subject")),
        Ask(
            key="authority",
            words=f"What it is: {directive.DIRECTIVE} (or AD), or in its own words, such as maker's letter",
            help=f"What it is: `{directive.DIRECTIVE}` (or AD), or in its own words, such as `maker's letter`.",
            required=True,
            meant=_authority,
            usual=_as_before("authority"),
        ),
        Ask(key="revision", words="Its revision", help="Its revision.", otherwise="none", usual=_as_before("revision")),
        Ask(
            key="issued",
            metavar="DATE",
            words="Date of that revision",
            help="The date of that revision.",
            usual=_as_before("issued"),
        ),
        Ask(
            key="on",
            option="product",
            words="Which product it is about: a position, or aircraft",
            help="",
            usual=lambda facts, logbook: _as_before("on")(facts, logbook) or directive.AIRCRAFT,
            required=True,
        ),
        Ask(
            key="part",
            words="Which maker and part number",
            help="",
            when=_said_before("part"),
            usual=_as_before("part"),
        ),
        Ask(
            key="serial", words="Which serial number", help="", when=_said_before("serial"), usual=_as_before("serial")
        ),
        Ask(
            key="applies",
            metavar="ANSWER",
            words="Does it apply: yes, `no: reason`, `not decided` or `reviewed, voluntary`",
            help="yes, `no: reason`, `not decided` or `reviewed, voluntary`.",
            usual=lambda facts, logbook: directive.NOT_DECIDED,
            required=True,
        ),
        Ask(
            key="every",
            metavar="LIMITS",
            words="How often it asks for it, such as 100 h",
            help="How often it asks for it, such as `100 h`.",
            when=_counts,
            otherwise="once",
            usual=_as_before("every"),
        ),
        Ask(
            key="once",
            words="What it asks for once, and by when",
            help="What it asks for once, and by when.",
            when=lambda facts, logbook: _applies(facts, logbook) and not facts["every"],
            required=True,
            usual=_as_before("once"),
        ),
        Ask(
            key="check",
            metavar="CHECK",
            words="Which check does it, and says when it is due",
            help="The check that does it, and whose arithmetic says when it is due.",
            when=_counts,
            # What comes again and again is never done for good.
            required=lambda facts, logbook: _applies(facts, logbook) and bool(facts["every"]),
            otherwise="none: it is done for good",
            usual=_as_before("check"),
        ),
        Ask(
            key="grace",
            metavar="LIMITS",
            words="What it allows past that",
            help="What it allows past its time, where that is written in it.",
            when=lambda facts, logbook: _counts(facts, logbook) and bool(facts["every"]),
            otherwise="nothing",
            usual=_as_before("grace"),
        ),
        Ask(
            key="method",
            words="Method of compliance",
            help="The method of compliance.",
            when=_counts,
            usual=_as_before("method"),
        ),
        Ask(
            key="done-on",
            metavar="DATE",
            words="When it was done",
            help="When it was done, if for good.",
            when=_for_good,
            required=True,
            usual=_as_before("done-on"),
        ),
        Ask(
            key="done",
            words="What was done",
            help="What was done.",
            when=_for_good,
            required=True,
            usual=_as_before("done"),
        ),
        Ask(
            key="done-by",
            words="Who did it, with kind and number",
            help="Who did it, with kind and number.",
            when=_for_good,
            required=True,
            usual=_as_before("done-by"),
        ),
        Ask(
            key="source",
            words="Where it was read",
            help="Where it was read.",
            when=_said_before("source"),
            usual=_as_before("source"),
        ),
    ),
    who="Who says so",
    then=Then(option=OPTION, help="Whether older work was done as it asks: yes or no.", asks=complied),
)
SEARCH = Told(
    kind=search.KIND,
    help="""A search for directives and letters, and what was found.

    Where, and for which products.

    \b
    search "the authority's public list" --product aircraft --product engine --results "SL-12" --by "Your Name"
    """,
    first=Ask(
        key="source", words="Where you searched for directives and letters", help="", metavar="SOURCE", required=True
    ),
    asks=(
        Ask(
            key="products",
            option="product",
            words="For which products: all, aircraft, or positions",
            help="",
            required=True,
            several=True,
        ),
        Ask(key="found", option="results", words="What was found", help="What was found.", otherwise="nothing noted"),
    ),
    who="Who searched",
)


TOLD = (SETTING, CHANGE, EQUIPMENT, STOCK, DIRECTIVE, SEARCH)
