"""What is asked of a directive, of the decision on it, and of a search for directives.

The keys are those of the kinds in `model.kinds`.
"""

import shlex
from collections.abc import Callable, Iterator

from inspect_kit.audit import done_early, told_too_late
from inspect_kit.cli.complied_asked import OPTION, complied
from inspect_kit.cli.said import BACK
from inspect_kit.cli.told import Ask, Facts, Then, Told, When
from inspect_kit.errors import Misused
from inspect_kit.model.kinds import directive, search
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.revisions import newest_decision
from inspect_kit.text.grammar import Unreadable


def _authority(words: str, logbook: Logbook) -> str:
    """An airworthiness directive under its whole name, by which it binds, however it was said."""
    if directive.may_be_directive(words):
        raise Unreadable(f"`{words[:40]}` may be one that binds: say {directive.DIRECTIVE}, or {directive.WHAT_ELSE}")
    return directive.DIRECTIVE if directive.is_directive(words) else words


def _counts(facts: Facts, logbook: Logbook) -> bool:
    return facts["applies"].word in (directive.YES, directive.VOLUNTARY)


def _applies(facts: Facts, logbook: Logbook) -> bool:
    return bool(facts["applies"].word == directive.YES)


def _comes_again(facts: Facts, logbook: Logbook) -> bool:
    """Whether it asks more than once; Misused, before more is asked, where its check would tell it too late."""
    check = logbook.checks.get(logbook.id_now(facts["check"] or ""))
    if _applies(facts, logbook) and check is not None and (late := told_too_late(logbook, check, facts["every"] or ())):
        raise Misused(
            f"{facts['number']} {'; '.join(late)}. Correct that first, name another check, or go back and answer "
            f"`{directive.NOT_DECIDED}` till then"
        )
    return _counts(facts, logbook) and bool(facts["every"])


def _for_good(facts: Facts, logbook: Logbook) -> bool:
    return _applies(facts, logbook) and not facts["check"]


def _as_before(key: str) -> Callable[[Facts, Logbook], str]:
    """What the decision that counts says of the same directive: a later one repeats what has not changed."""

    def usual(facts: Facts, logbook: Logbook) -> str:
        same = [each for each in logbook.of_kind(directive.Directive) if each.number == facts["number"]]
        attribute = next(each.attribute for each in directive.KIND.keys if each.name == key)
        value = getattr(newest_decision(same), attribute) if same else ""
        return " or ".join(map(str, value)) if isinstance(value, tuple) else str(value or "")

    return usual


def _decided_before(facts: Facts, logbook: Logbook) -> str:
    """The decision on the same directive for the same product; for another one nobody has decided it yet."""
    numbered = [each for each in logbook.of_kind(directive.Directive) if each.number == facts["number"]]
    same = [each for each in numbered if logbook.id_now(each.on) == logbook.id_now(facts["on"])]
    applies = newest_decision(same).applies if same else None
    if applies is None:
        return directive.NOT_DECIDED
    return f"{applies.word}: {applies.reason}" if applies.reason else applies.word


def _said_before(key: str) -> When:
    return lambda facts, logbook: bool(_as_before(key)(facts, logbook))


def _open_elsewhere(facts: Facts, logbook: Logbook) -> list[str]:
    """What is said where the same number is on record about another product too, and not decided there."""
    by_product: dict[str, list[directive.Directive]] = {}
    for each in logbook.of_kind(directive.Directive):
        if each.number == facts["number"]:
            by_product.setdefault(logbook.id_now(each.on), []).append(each)
    by_product.pop(logbook.id_now(facts["on"]), None)
    newest = map(newest_decision, by_product.values())
    return [
        f"{each.number} on {each.on} stays not decided, for a decision is on one product ({each.name}).\n"
        f"Decide it there too: inspect-kit directive {shlex.quote(each.number)} --product {each.on}\n"
        f"or, if it was never about that: inspect-kit withdraw {each.name}"
        for each in newest
        if each.applies.word == directive.NOT_DECIDED
    ]


def _ending(facts: Facts, logbook: Logbook) -> list[str]:
    """The same, behind what is to be known of the decision itself."""
    numbered = [each for each in logbook.of_kind(directive.Directive) if each.number == facts["number"]]
    same = [each for each in numbered if logbook.id_now(each.on) == logbook.id_now(facts["on"])]
    told = directive.binds_all_the_same(newest_decision(same)) if same else ""
    return [*([f"Note: {told}."] if told else []), *_open_elsewhere(facts, logbook)]


def _doubts(facts: Facts, logbook: Logbook) -> Iterator[str]:
    """What may be a slip in a decision, and is not on record in so many words."""
    before = [each for each in logbook.of_kind(directive.Directive) if each.number == facts["number"]]
    if facts["applies"] not in [each.applies for each in before]:
        yield _sentence("", directive.leaves_why_open(facts["authority"], facts["applies"]))
    if facts["done-on"] not in [each.done_on for each in before]:
        yield _sentence("As done, ", done_early(logbook, facts["issued"], facts["done-on"]))


def _sentence(begins: str, told: str) -> str:
    return f"{begins}{told}." if told else ""


DIRECTIVE = Told(
    kind=directive.KIND,
    help="""A directive or a maker's letter, and your decision on it.

    One decision is on one product of yours.

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
            words="Its date, or that of the revision",
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
            usual=_decided_before,
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
            none_yet="; where there is no check for it yet, write one on its panel's page and name it here, or go back "
            f"with {BACK} and answer `{directive.NOT_DECIDED}` till then",
            otherwise="none: it is done for good",
            usual=_as_before("check"),
        ),
        Ask(
            key="grace",
            metavar="LIMITS",
            words="What it allows past that",
            help="What it allows past its time, where that is written in it.",
            when=_comes_again,
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
    doubts=_doubts,
    ending=_ending,
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
