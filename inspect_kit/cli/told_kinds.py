"""What is asked of a record told at the command line, kind by kind: its words, when it is asked, what Enter takes.

What was set, changed, fitted or stocked; directives are in `cli.told_directives`. How it is asked is in `cli.telling`;
the keys are those of the kind in `model.kinds`.
"""

from collections.abc import Callable, Iterator

from inspect_kit.balance import unanswered
from inspect_kit.cli.told import Ask, Facts, Told, never
from inspect_kit.cli.told_directives import DIRECTIVE, SEARCH
from inspect_kit.due import standing_changes
from inspect_kit.due.shelf import in_other_measures
from inspect_kit.model.checklist import part_key
from inspect_kit.model.kinds import change, equipment, setting, stock, weighing
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import slip_of
from inspect_kit.model.part_names import item_doubt, wanted_items
from inspect_kit.model.settings import flown_after
from inspect_kit.text.grammar import Unreadable


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
        known = (getattr(each, key.replace("-", "_"), None) for each in (decides, phase))
        told = next((each for each in known if each), "")
        return ", ".join(told) if isinstance(told, tuple) else str(told)

    return usual


# By which option is told later what a major change still lacked when it was written down.
TOLD_LATER = {"entry": "--paper", "area": "--area", "notice": "--notice", "concurrence": "--concurrence"}


def _still_wanted(facts: Facts, logbook: Logbook) -> list[str]:
    """What a major change lacks before it is flown, and how that is told once it is there."""
    made = [each for each in standing_changes(logbook) if each.what == facts["what"]][-1:]
    options = " ".join(f'{option} "..."' for key, option in TOLD_LATER.items() if not facts[key])
    clock = logbook.aircraft.time_in_service
    unread = [
        f"{clock} was not read: the hours of its phase count from the first reading after it. If it was, "
        f"inspect-kit amend {each.name} {clock}=READING"
        for each in made
        if each.answer == change.MAJOR
        and not any(clock in other.meters for other in logbook.records if other.date == each.date)
    ]
    return unread + [
        f"Not on record yet, a reason not to fly: {', '.join(each.wanted)}. When it is there: inspect-kit change "
        f'"{each.what}" --decides {each.name} --answer major {options}'
        for each in made
        if each.wanted
    ]


def _open_changes(logbook: Logbook) -> list[str]:
    changes = standing_changes(logbook)
    return [each.name for each in changes if each.answer == change.NOT_DECIDED]


def _in_other_measures(facts: Facts, logbook: Logbook) -> list[str]:
    """What is said of an item that is counted in another measure than the checks use it in."""
    counted = [each for each in logbook.of_kind(stock.Stock) if each.item == facts["item"]][-1:]
    return [f"{told}." for each in counted if (told := in_other_measures(each, logbook.checks.values()))]


def _another_item(facts: Facts, logbook: Logbook) -> Iterator[str]:
    """What speaks for a slip in what is counted: nothing is called so, and something else nearly is."""
    counted = {part_key(each.item): each.item for each in logbook.of_kind(stock.Stock)}
    if told := item_doubt(wanted_items(logbook), facts["item"], counted):
        yield f"{told[0].upper()}{told[1:]}."


def _on_the_scales(facts: Facts, logbook: Logbook) -> list[str]:
    """What is said of an item that goes out and is on no record of having come in: as weighed, it is taken off."""
    item, weighed = facts["item"], logbook.of_kind(weighing.Weighing)
    moved, key = logbook.of_kind(equipment.Equipment), equipment.item_key(str(item))
    came = any(each.change == equipment.IN and equipment.item_key(each.item) == key for each in moved)
    if facts["change"] != equipment.OUT or not weighed or came:
        return []
    return [f"No record says that {item} came in: it is taken for what was weighed on {weighed[-1].date}."]


def _changed(facts: Facts, logbook: Logbook) -> bool:
    return not facts["no change"]


def _unanswered(facts: Facts, logbook: Logbook) -> str:
    return ", ".join(record.name for record in unanswered(logbook))


def _set_on(facts: Facts, logbook: Logbook) -> str:
    """On what this setting was last set; "" if it never was, or on nothing that has a name."""
    before = [each.on for each in logbook.of_kind(setting.Setting) if each.setting == facts["setting"]]
    return before[-1] if before else ""


def _another_setting(facts: Facts, logbook: Logbook) -> Iterator[str]:
    before = {each.setting for each in logbook.of_kind(setting.Setting)}
    if facts["setting"] not in before and (near := slip_of(facts["setting"], before)):
        yield f"No setting is called `{facts['setting']}` yet; `{near}` is, and what is set here would not follow it."


SETTING = Told(
    kind=setting.KIND,
    help="""What was set: propeller pitch, timing, rigging, idle mixture.

    It is a dated fact from then on, and shows in `trend`.

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
    flight=lambda facts, logbook: flown_after(logbook, facts["setting"], facts["on"] or ""),
    doubts=_another_setting,
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
            usual=_as_known("asked"),
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
            usual=_as_known("came-with"),
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
            option="paper",
            words="Where the entry before the flight stands",
            help="",
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
    equipment "second radio" --direction in --weight "2.4 lb" --arm "14.0 in" --by "Your Name"
    equipment --no-change "same type, same weight" --came-with 2026-11-28-magneto-left-fitted-k3f9
    """,
    first=Ask(key="item", words="What came in or went out", help="", metavar="ITEM", when=_changed, required=True),
    asks=(
        Ask(
            key="change",
            option="direction",
            metavar="in|out",
            words="Did it come in or go out (in, out)",
            help="Whether it came in or went out.",
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
        Ask(key="because", option="reason", words="", help="", when=never),
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
        Ask(
            key="opened-on",
            metavar="DATE",
            words="Opened on",
            help="When it was opened.",
            otherwise="not open, or since the day on record",
        ),
        Ask(
            key="good-for",
            metavar="TIME",
            words="How long it is good once it is open, such as 6 months",
            help="How long it is good once it is open, such as `6 months`.",
            when=lambda facts, logbook: bool(facts["opened-on"]),
        ),
        Ask(key="costs", metavar="SUM", words="What it was bought for, in all", help="What all of it was bought for."),
    ),
    doubts=_another_item,
    ending=_in_other_measures,
)
TOLD = (SETTING, CHANGE, EQUIPMENT, STOCK, DIRECTIVE, SEARCH)
