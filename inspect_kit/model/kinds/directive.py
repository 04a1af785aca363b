"""An airworthiness directive or a maker's letter, and the owner's decision on it for one product.

Source: 14 CFR Part 39; 91.403(a) (the owner is responsible); 91.417(a)(2)(v) (method of compliance, number, revision
date, and for a recurring one the time and date of the next action). Whether a directive applies to an amateur-built
aircraft is the owner's recorded decision, after reading what it says of its applicability.
"""

import datetime as dt
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import field

from inspect_kit.model.interval import Limit, Term
from inspect_kit.model.kind import ANSWER, DATE, ID, LIMITS, SOMETHING, TEXT, ChosenWord, Key, Kind
from inspect_kit.model.reason import (
    is_no_reason,
    names_nobody,
    says_nothing,
    says_uncorrected,
    says_undone,
)
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

AIRCRAFT = "aircraft"
DIRECTIVE = "airworthiness directive"
# Of a decision not to apply it: words that say that there was none. Common practice, no source.
NOT_LOOKED = (
    r"(?i)(?:(?:not|never) (?:yet )?(?:been )?|(?:still |yet )?to be |(?:nobody|no one) (?:has |yet )*)"
    r"(?:looked|read|checked|seen|decided|reviewed)\b"
    r"|(?:no time|(?:ask|asked|call) (?:a |an |the |my )?\w+|(?:i )?(?:do not|don't) know|not sure|maybe|perhaps"
    r"|probably(?: not)?|i think(?: not| so)?|too (?:expensive|much)|(?:i )?will (?:look|check|see|ask|decide|do)\b.*"
    r"|next (?:year|time|annual|inspection)|(?:see )?(?:the )?log(?:book)?|(?:it )?applies\b.*)\.?$"
)
# Words that tell of no thing: they say who thinks so, that it was done, or that it will be. Any other word may be what
# a directive is not for. Common practice, no source.
OF_NO_THING = (
    "a an the it this that i me my we our us he she they is was are were be been has have had do does did will "
    "shall must should can cannot could may would to at in on by with of for and or no not never yet already ever "
    "anyway so as all any other here there now complied comply compliance done carried out accomplished completed "
    "made renewed replaced repaired inspected checked looked found find seen read ask asked says said told think "
    "thinks believe know want need needed needs decided necessary unnecessary required mandatory applicable "
    "relevant affected unclear clear unsure sure ok okay fine good safe seems looks works runs flies flying skip "
    "skipped money time trouble problem problems paper part parts thing check mechanic inspector owner builder "
    "pilot maker friend annual inspection year last next before after later soon long ago today log logbook book "
    "lost missing directive letter too late experimental aircraft aeroplane airplane plane"
)
# What a directive says that is to be done before anybody flies again, as a whole or between two stops. Common practice.
BEFORE_FLIGHT = (
    r"(?i)immediately|at once|"
    r"(?:before|prior to) (?:(?:any|the|all) )?(?:(?:further|next|first) )?(?:flights?|flying|operations?|take-?off)"
)
YES, NO, NOT_DECIDED, VOLUNTARY = "yes", "no", "not decided", "reviewed, voluntary"
# With what `directive` writes of older work beside the owner's own words: it says of no thing that it is not for it.
NOT_AS_ASKED, NOT_TO_THIS_PART = "was not done as it asks", "was not done to the part that is fitted"


# Who issues them and how; beside these words an airworthiness directive is one. Common practice.
AGENCIES = frozenset(("faa", "easa", "caa", "tcca", "casa", "emergency", "federal"))
ISSUED = AGENCIES | {"uk", "us", "an", "the", "foreign"}


# What papers are called that bind nobody by themselves, and who writes them; a letter more or less is asked about.
LETTERS = (
    r"(?:news)?letters?|bulletins?|advis\w+|advice|recommend\w+|instructions?|information|memo(?:randum)?|circulars?"
    r"|manuals?|reports?|makers?|manufacturers?|kits?|clubs?|vendors?|suppliers?|[mac]?sbs?|s[il]l?"
)
# What makes one of them bind all the same, or says no more than that it does. Common practice, no source.
BINDING = (
    r"ads?|directives?|binding|binds?|law|legal\w*|regulat\w+|rules?|authority|authorities|compulsory|required|mandated|made"
    r"|enforced|incorporated|ordered"
)


WHAT_ELSE = "what kind of paper it is, such as `maker's letter` or `service bulletin`"


def is_directive(authority: str) -> bool:
    """Whether words name an airworthiness directive, capitals, blanks and stops aside: `Emergency AD`."""
    return " ".join(word for word in _words(authority) if word not in ISSUED) in (
        *("airworthiness directive", "airworthiness directives", "ad", "ads", "a d"),
    )


def may_be_directive(authority: str) -> bool:
    """Whether words that name none may mean one: they speak of one (`letter named in an AD`), misspell it, say that it
    binds, or do not say what kind of paper it is. A maker's letter, a bulletin or advice is none.
    """
    words = _words(authority)
    if is_directive(authority):
        return False
    near = any(word.startswith(("airw", "worth")) for word in words) and any("dir" in word for word in words)
    # A mandatory service bulletin is its maker's word, an authority's bulletin is advice: neither binds by itself.
    bulletin = any(word.startswith(("bulletin", "service", "sb")) for word in words)
    advice = bulletin or any(word.startswith(("advis", "inform")) for word in words)
    bound = ("mandatory" in words and not bulletin) or not (advice or AGENCIES.isdisjoint(words))
    bound = bound or any(re.fullmatch(BINDING, word) for word in words)
    return near or bound or not any(re.fullmatch(LETTERS, word) for word in words)


def leaves_why_open(authority: str, applies: ChosenWord) -> str:
    """What is asked of a decision that an airworthiness directive does not apply, where its reason names no thing that
    it is not for: `not necessary`, `complied with in 2019`; "" where it does, or nothing is decided.
    """
    binds = is_directive(authority) or may_be_directive(authority)
    if applies.word != NO or not binds or _names_a_thing(applies.reason):
        return ""
    told = f"`{applies.reason[:40]}` does not say what of this product it is not for"
    return f"{told}; of one that was done as it asks say yes, and when it was done"


def binds_all_the_same(record: "Directive") -> str:
    """What is to be known of an airworthiness directive that was reviewed and is done or left as one likes, where its
    words name no thing that it is not for; "" of any other decision.
    """
    ours = (NOT_AS_ASKED, NOT_TO_THIS_PART)
    own = " ".join(part for part in record.text.split("; ") if not part.endswith(ours))
    if record.applies.word != VOLUNTARY or not record.is_airworthiness or _names_a_thing(own):
        return ""
    told = f"an airworthiness directive binds wherever it applies, and as `{VOLUNTARY}` {record.number} bars nothing"
    return f"{told}: say yes if it applies, else `no: reason`, or in `text` what of this product it is not for"


def _names_a_thing(words: str) -> bool:
    """Whether words name anything that a directive may be for, or not; no year does."""
    said = {re.sub(r"^(?:19|20)\d\d$", "the", word) for word in _words(words)}
    return not said <= {*OF_NO_THING.split()}


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", unicodedata.normalize("NFKC", text).casefold())


@dataclass(frozen=True, slots=True, kw_only=True)
class Directive(Record):
    """One decision on one directive for one product; the newest by number and product counts.

    `on` is a position or `aircraft`, narrowed by `part`; `serial` that of the part it was decided for, where it is not
    the one fitted that day. `check` is the check whose arithmetic says when it is due next; `once` and `every` are what
    the directive asks, `grace` what it allows past that. `done`, `done_by` and `done_on` tell of one that was complied
    with for good, in records that are not here.
    """

    number: str
    revision: str = ""
    issued: dt.date | None = None
    issuer: str
    subject: str
    authority: str
    on: str
    part: str = ""
    serial: str = ""
    applies: ChosenWord
    check: str = ""
    once: str = ""
    every: tuple[Term, ...] = ()
    grace: tuple[Term, ...] = ()
    method: str = ""
    done: str = ""
    done_by: str = ""
    done_on: dt.date | None = None
    source: str = ""
    # Whether it says when, how and by whom it was complied with, and that it was; whether nobody has decided it: so it
    # says, or its `no` says that nobody has looked yet. Found when it is made, as the words of what was corrected are
    # judged (`finding.Cleared`).
    says_done: bool = field(default=False, init=False)
    undecided: bool = field(default=False, init=False)

    def __post_init__(self) -> None:
        # A date that could not be read is None here, and no such record is kept.
        day: dt.date | None = self.date
        on = self.done_on is not None and day is not None and self.done_on <= day
        done = on and not says_uncorrected(self.done) and not names_nobody(self.done_by)
        word, reason = self.applies.word, self.applies.reason
        not_looked = says_undone(reason) or re.match(NOT_LOOKED, reason) is not None
        object.__setattr__(self, "says_done", done)
        object.__setattr__(self, "undecided", word == NOT_DECIDED or (word == NO and not_looked))

    @property
    def binds(self) -> bool:
        """Whether it is an airworthiness directive that the owner decided to apply: past its time it bars flight.

        What may be one binds like one, until its `authority` says what it is.
        """
        return self.applies.word == YES and self.is_airworthiness

    @property
    def asks_at_once(self) -> bool:
        """Whether what it asks for once is to be done before anybody flies again."""
        return any(re.fullmatch(BEFORE_FLIGHT, " ".join(part.split())) for part in re.split("[,;.]", self.once))

    @property
    def is_airworthiness(self) -> bool:
        """Whether it is an airworthiness directive, or may be one."""
        return is_directive(self.authority) or may_be_directive(self.authority)

    @property
    def counts(self) -> bool:
        """Whether something is to be done for it: it applies, or the owner does it all the same."""
        return self.applies.word in (YES, VOLUNTARY)


def _faults(record: Directive) -> Iterator[tuple[str, str]]:
    if may_be_directive(record.authority):
        told = f"`{record.authority[:40]}` may be one that binds: write `{DIRECTIVE}` if it is one"
        yield "authority", f"{told}, else {WHAT_ELSE}; until then it counts as one"
    if record.once and record.every:
        yield "every", "a directive asks once or again and again: one of `once` and `every`"
    if any(not isinstance(term, Limit) for term in (*record.every, *record.grace)):
        yield "every" if record.every else "grace", "is by hours, landings or the calendar"
    limits = [term for term in record.every if isinstance(term, Limit)]
    for grace in (term for term in record.grace if isinstance(term, Limit)):
        if grace.outlasts(limits):
            yield "grace", f"{grace} is no less than what it asks for"
    if record.applies.word == NO and record.undecided and not is_no_reason(record.applies.reason):
        yield "applies", f"`{record.applies.reason}` is no reason why not: say why, or `{NOT_DECIDED}`"
    if record.applies.word == YES:
        if not (record.once or record.every):
            yield "applies", "says what it asks: `once` or `every` is missing"
        if not (record.check or record.done_on):
            yield "applies", "names the `check` whose arithmetic it uses, or `done-on` where nothing more is to be done"
        if record.every and not record.check:
            yield "every", "comes round again: name the `check` whose arithmetic it uses"
    if record.done_on is not None and not (record.done and record.done_by):
        yield "done-on", "says what was done and by whom: `done` and `done-by`"
    elif record.done_on is not None and record.done_on > record.date:
        yield "done-on", f"{record.done_on} is after {record.date}, when it was written down"
    elif record.done_on is not None and not record.says_done:
        key, words = ("done", record.done) if says_uncorrected(record.done) else ("done-by", record.done_by)
        # What says nothing at all is told by its table.
        if not says_nothing(words):
            told = "leave it out, or say what was done, by whom"
            yield key, f"`{words[:40]}` does not say that it was complied with: {told}"


_APPLIES = {YES: "applies", NO: "does not apply", NOT_DECIDED: "not decided whether it applies"}


def _summary(record: Directive) -> str:
    revision = f" {record.revision}" if record.revision else ""
    word, reason = record.applies.word, record.applies.reason
    applies = f"{_APPLIES.get(word, word)}{f': {reason}' if reason else ''}"
    return f"{record.authority} {record.number}{revision}, {record.subject}: {applies}"


KIND = Kind(
    name="directive",
    noun=Directive,
    title="directive",
    summary=_summary,
    faults=_faults,
    keys=(
        Key(name="number", holds=TEXT, label="Number", required=True, says=SOMETHING),
        Key(name="revision", holds=TEXT, label="Revision"),
        Key(name="issued", holds=DATE, label="Revision date"),
        Key(name="issuer", holds=TEXT, label="Issuer", required=True, says=SOMETHING),
        Key(name="subject", holds=TEXT, label="Subject", required=True, says=SOMETHING),
        Key(name="authority", holds=TEXT, label="Authority", required=True, says=SOMETHING),
        Key(name="on", holds=ID, refers=("position",), words=(AIRCRAFT,), label="Product", required=True),
        Key(name="part", holds=TEXT, label="Part"),
        Key(name="serial", holds=TEXT, label="Serial"),
        Key(
            name="applies",
            holds=ANSWER,
            words=(YES, f"{NO}:", NOT_DECIDED, VOLUNTARY),
            label="Applies",
            required=True,
            stand_in=ChosenWord(word=NOT_DECIDED),
        ),
        Key(name="check", holds=ID, refers=("check",), label="Check"),
        Key(name="once", holds=TEXT, label="Once", says=SOMETHING),
        Key(name="every", holds=LIMITS, label="Every"),
        Key(name="grace", holds=LIMITS, label="Grace written in it"),
        Key(name="method", holds=TEXT, label="Method of compliance", says=SOMETHING),
        Key(name="done", holds=TEXT, label="Done", says=SOMETHING),
        Key(name="done-by", holds=TEXT, label="Done by", says=SOMETHING),
        Key(name="done-on", holds=DATE, label="Done on"),
        Key(name="source", holds=TEXT, label="Source"),
    ),
)
