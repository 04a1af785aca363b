"""Records of every kind, as a person or the program could have written them."""

import contextlib
import dataclasses
import datetime as dt
import string
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from inspect_kit.errors import Place
from inspect_kit.model import kind
from inspect_kit.model.aircraft import Identity, Person
from inspect_kit.model.checklist import Bound, ChangeLimit
from inspect_kit.model.finding import DONE, NOT_APPLICABLE, NOT_DONE, Cleared, Finding, Fix, Reading, Result
from inspect_kit.model.interval import AtInspection, Limit
from inspect_kit.model.kind import Below, ChosenWord, Key, Kind
from inspect_kit.model.kinds import KINDS as TABLES
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.brought_forward import BroughtForward, LastDone, ReadsTotal
from inspect_kit.model.kinds.finding import FindingRecord
from inspect_kit.model.kinds.hours import Hours
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.meter_change import MeterChange
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.kinds.signature import Signature
from inspect_kit.model.kinds.work import Work
from inspect_kit.model.quantity import ARM, VOLUME, WEIGHT, Quantity, units_of
from inspect_kit.model.reason import names_no_page
from inspect_kit.model.record import FLOWN, NOT_NEEDED, REQUIRED, FileSum, FlightCheck, Record
from inspect_kit.text.grammar import Unreadable
from inspect_kit.text.page_facts import parse_parts_used

NOWHERE = Place("r.yaml", 1)

# Built from their parts: drawn by a regular expression, character by character, they took half of the time.
SMALL = string.ascii_lowercase
ids = st.builds(
    lambda letter, more, parts: "-".join((letter + more, *parts)),
    st.sampled_from(SMALL),
    st.text(SMALL + string.digits, max_size=8),
    st.lists(st.text(SMALL + string.digits, min_size=1, max_size=6), max_size=3),
)
meter_names = ids.filter(lambda name: name not in ("date", "paper"))
# Values lose the blanks around them and nothing else; a value with nothing in it is no value.
texts = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=60).map(str.strip).filter(bool)
words = st.one_of(
    texts,
    st.sampled_from(
        ["NO", "010", "00123", "1e3", "12:30", "null", "~", "true", "2026-05-14", "on", "- a", "a: b", "#", "&a", "*a"]
    ),
)
lines = words.filter(lambda text: "\n" not in text and "\r" not in text)
names = st.builds(
    lambda first, own, last, of_family: f"{first}{own} {last}{of_family}",
    st.sampled_from(string.ascii_uppercase),
    st.text(SMALL + "é'-", min_size=1, max_size=10),
    st.sampled_from(string.ascii_uppercase),
    st.text(SMALL, min_size=1, max_size=10),
)
dates = st.dates(dt.date(1900, 1, 1), dt.date(2199, 12, 31))


def decimals(least: int, most: int, places: int) -> st.SearchStrategy[Decimal]:
    return st.builds(
        lambda digits, behind: Decimal(digits).scaleb(-behind), st.integers(least, most), st.integers(0, places)
    )


numbers, signed = decimals(0, 999_999, 3), decimals(-9_999, 9_999, 2)
digests = st.binary(min_size=32, max_size=32).map(bytes.hex)
references = st.from_regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}-[a-z-]{1,8}#F[0-9]{1,3}", fullmatch=True)
meters = st.dictionaries(meter_names, numbers, max_size=3)


def names_parts(told: str) -> bool:
    """Whether a line is parts that were used, which a page or a command had taken: nothing is left open in it."""
    with contextlib.suppress(Unreadable):
        return bool(parse_parts_used(told))
    return False


def lists(of: st.SearchStrategy[str]) -> st.SearchStrategy[tuple[str, ...]]:
    return st.lists(of, max_size=3, unique=True).map(tuple)


limits_told = st.builds(
    Limit, number=st.integers(1, 500).map(Decimal), unit=st.sampled_from(["h", "landings", "days", "months"])
)
changes = st.builds(
    ChangeLimit, verb=st.sampled_from(["falls", "rises"]), amount=st.integers(1, 90).map(Decimal), within=limits_told
)
ends = st.one_of(
    st.builds(Bound, table=ids, at=ids),
    st.builds(Bound, low=signed),
    st.builds(Bound, high=signed),
    st.tuples(signed, signed).map(lambda ends: Bound(low=min(ends), high=max(ends))),
)
bounds = st.one_of(
    st.none(),
    ends,
    st.builds(Bound, change=changes),
    st.tuples(ends, changes).map(lambda both: dataclasses.replace(both[0], change=both[1])),
)
arithmetic = st.sampled_from(["", "1 gal x 3600 / 160 s", "2 x arcsin(6 in / (2 x 14 in))"])
measures = st.from_regex(r"[A-Za-z°%][A-Za-z0-9°/%]{0,6}( [a-z]{1,5})?", fullmatch=True).filter(lambda m: m != "words")
said = lines.filter(lambda text: not text.startswith("__"))
cleared = st.builds(
    Cleared, date=dates, text=said.filter(lambda text: "; by:" not in text), by=st.one_of(st.just(""), names)
)
fixes = st.one_of(
    st.just(Fix()),
    st.builds(Fix, by_date=dates),
    st.builds(Fix, by_total=numbers, meter=st.one_of(st.none(), ids)),
    st.builds(Fix, at_inspection=ids),
)


@st.composite
def readings(draw: st.DrawFn) -> tuple[Reading, ...]:
    found = []
    for check, label in draw(st.lists(st.tuples(ids, lines), max_size=3, unique=True)):
        again = draw(st.lists(said, max_size=2).map(tuple))
        if draw(st.booleans()):
            value, measure, bound, reckoned = draw(said), "words", None, ""
        else:
            value, measure, bound, reckoned = str(draw(signed)), draw(measures), draw(bounds), draw(arithmetic)
        found.append(
            Reading(
                check=check,
                label=label,
                value=value,
                measure=measure,
                bound=bound,
                again=again,
                reckoned=reckoned,
                place=NOWHERE,
            )
        )
    # The readings of one check stand together.
    order = list(dict.fromkeys(reading.check for reading in found))
    return tuple(sorted(found, key=lambda reading: order.index(reading.check)))


@st.composite
def findings(draw: st.DrawFn, name: str = "F1") -> Finding:
    where = draw(st.sampled_from(["check", "panel", "both"]))
    return Finding(
        id=name,
        check=draw(ids) if where != "panel" else None,
        panel=draw(ids) if where != "check" else None,
        text=draw(words),
        fix=draw(fixes),
        may_wait=draw(st.one_of(st.just(""), words)),
        waiting=draw(st.one_of(st.just(""), words)),
        cleared=draw(st.one_of(st.none(), cleared)),
        recheck=draw(st.lists(limits_told, max_size=2).map(tuple)),
        place=NOWHERE,
    )


results = st.builds(
    Result,
    check=ids,
    answer=st.sampled_from([DONE, NOT_APPLICABLE, NOT_DONE]),
    reason=st.one_of(st.just(""), words),
    took=st.one_of(st.none(), st.integers(0, 7 * 24 * 60)),
    by=st.one_of(st.just(""), names),
    second_look=st.one_of(st.just(""), names),
    good_until=st.one_of(st.none(), dates),
    paper=st.one_of(st.just(""), words),
    disturbed=lists(ids),
    repaired=lists(lines),
    recheck=st.lists(limits_told, max_size=2).map(tuple),
    notes=st.lists(words, max_size=2).map(tuple),
    place=st.just(NOWHERE),
)

people = st.one_of(
    st.none(),
    st.builds(Person, name=names, place=st.just(NOWHERE)),
    st.builds(Person, name=names, kind=words, certificate=words, place=st.just(NOWHERE)),
)


pilots = st.builds(Person, name=names, kind=words, certificate=words, place=st.just(NOWHERE))
flight_checks = st.one_of(
    st.just(FlightCheck(word=REQUIRED, place=NOWHERE)),
    st.builds(FlightCheck, word=st.just(NOT_NEEDED), words=words, of=lists(ids), place=st.just(NOWHERE)),
    st.builds(
        FlightCheck, word=st.just(FLOWN), date=dates, pilot=pilots, words=words, of=lists(ids), place=st.just(NOWHERE)
    ),
)


@st.composite
def common(draw: st.DrawFn, *, with_meters: bool = True) -> dict[str, object]:
    return {
        "name": "r",
        "date": draw(dates),
        "entered": draw(st.one_of(st.none(), dates)),
        "meters": draw(meters) if with_meters else {},
        "text": draw(st.one_of(st.just(""), words)),
        "by": draw(people),
        "at": draw(st.one_of(st.just(""), words)),
        "paper": draw(st.one_of(st.just(""), words)),
        "files": draw(
            st.dictionaries(words, digests, max_size=2).map(
                lambda sums: tuple(FileSum(name=name, sha256=digest) for name, digest in sums.items())
            )
        ),
        "after": draw(st.lists(digests, max_size=2).map(tuple)),
        "flight_check": draw(st.one_of(st.none(), flight_checks)),
        "follows": draw(lists(ids)),
        "precedes": draw(lists(ids)),
        "place": NOWHERE,
    }


@st.composite
def page(draw: st.DrawFn) -> dict[str, object]:
    clears = draw(lists(references))
    told = draw(st.lists(cleared, min_size=len(clears), max_size=len(clears)))
    how = {name: way for name, way in zip(clears, told, strict=True) if draw(st.booleans())}
    found = [draw(findings(f"F{number}")) for number in range(1, draw(st.integers(0, 2)) + 1)]
    return {
        "sheet": draw(st.one_of(st.just(""), ids)),
        "begun": draw(st.one_of(st.none(), dates)),
        "helpers": draw(lists(names)),
        "equipment": draw(st.one_of(st.just(""), words)),
        "totals": draw(meters),
        "results": tuple(draw(st.lists(results, max_size=3, unique_by=lambda result: result.check))),
        "readings": draw(readings()),
        "findings": tuple(found),
        "did": draw(lists(ids)),
        "opened": draw(lists(ids)),
        "disturbed": draw(lists(ids)),
        "left_owed": draw(lists(ids)),
        "clears": clears,
        "cleared": how,
        "parts": draw(lists(words.filter(names_parts))),
        "next": draw(st.dictionaries(ids, dates, max_size=2)),
    }


@st.composite
def records(draw: st.DrawFn) -> Record:
    return draw(draw(st.sampled_from(list(KINDS.values()))))


@st.composite
def hours(draw: st.DrawFn) -> Hours:
    base = draw(common())
    base["meters"] = draw(st.dictionaries(meter_names, numbers, min_size=1, max_size=3))
    permit = draw(st.one_of(st.just(""), words))
    # What begins like a number is an amount with its measure; of oil nothing else is told.
    amounts = st.builds(lambda tenths: f"{tenths / 10} qt", st.integers(1, 999))
    told = words.filter(lambda each: not (each.strip()[:1].isdigit() or each.strip()[:1] in ("-", ".")))
    added = draw(st.dictionaries(ids.filter(lambda each: each != "oil"), told | amounts, max_size=2))
    return Hours(added=added, permit=permit, **base)


identities = st.builds(Identity, registration=words, make=words, model=words, serial=words)


@st.composite
def work(draw: st.DrawFn) -> Work:
    made, base = draw(page()), draw(common())
    if not made["did"]:
        base["text"] = draw(words)
    return Work(identity=draw(st.one_of(st.none(), identities)), **made, **base)


@st.composite
def inspection(draw: st.DrawFn) -> Inspection:
    base = draw(common())
    keys = draw(lists(words))
    base["by"] = Person(name=draw(names), kind=draw(words), certificate=draw(words), ssh=keys, place=NOWHERE)
    passed = draw(st.booleans())
    return Inspection(
        inspection=draw(ids),
        passed=passed,
        identity=draw(identities),
        basis=draw(words),
        statement=draw(words) if passed else "",
        not_applicable=draw(st.dictionaries(ids, words, max_size=2)),
        signers=draw(lists(words)),
        **draw(page()),
        **base,
    )


@st.composite
def finding_record(draw: st.DrawFn) -> FindingRecord:
    return FindingRecord(finding=draw(findings()), **draw(common()))


@st.composite
def signature(draw: st.DrawFn) -> Signature:
    ink, ssh = draw(st.sampled_from([("ink", ""), ("", "ssh")]))
    digest = draw(st.sampled_from(["", "ab" * 32]))
    page = words.map(lambda told: f"{told} p. 4").filter(lambda told: not names_no_page(told))
    ink, ssh = ink and draw(page), ssh and draw(words)
    return Signature(of=draw(ids), ink=ink, ssh=ssh, sha256=digest, **draw(common()))


maybe_dates = st.one_of(st.none(), dates)
ages = st.fixed_dictionaries({"made": maybe_dates, "fitted_on": maybe_dates, "overhauled": maybe_dates})


@st.composite
def installed(draw: st.DrawFn) -> Installed:
    return Installed(position=draw(ids), **draw(part()), **draw(ages), **draw(common()))


@st.composite
def part(draw: st.DrawFn) -> dict[str, object]:
    return {
        "serial": draw(words),
        "part": draw(st.one_of(st.just(""), words)),
        "since_new": draw(st.one_of(st.none(), numbers)),
        "since_overhaul": draw(st.one_of(st.none(), numbers)),
        "where": draw(st.one_of(st.just(""), words)),
        "reason": draw(st.one_of(st.just(""), words)),
    }


@st.composite
def removed(draw: st.DrawFn) -> Removed:
    return Removed(position=draw(ids), **draw(part()), **draw(common()))


@st.composite
def meter_change(draw: st.DrawFn) -> MeterChange:
    flown = draw(st.one_of(st.none(), numbers))
    return MeterChange(
        meter=draw(ids),
        old=draw(numbers),
        new=draw(numbers),
        unrecorded=flown,
        how_known=draw(words) if flown is not None else "",
        **draw(common()),
    )


@st.composite
def brought_forward(draw: st.DrawFn) -> BroughtForward:
    base = draw(common(with_meters=False))
    last = st.builds(LastDone, date=st.one_of(st.none(), dates), totals=meters, paper=st.one_of(st.just(""), words))
    positions = draw(st.lists(ids, max_size=2, unique=True))
    return BroughtForward(
        reads=draw(st.dictionaries(ids, st.builds(ReadsTotal, reads=numbers, total=numbers), min_size=1, max_size=2)),
        last=draw(st.dictionaries(ids, last, max_size=2)),
        fitted=tuple(Installed(position=position, **draw(part()), **draw(ages), **base) for position in positions),
        **base,
    )


@st.composite
def amendment(draw: st.DrawFn) -> Amendment:
    base = draw(common())
    base["text"] = draw(words)
    instead, not_done = draw(replaced()), draw(lists(ids))
    if instead or not_done:
        base["by"] = Person(name=draw(names), place=NOWHERE)
    return Amendment(of=draw(ids), instead=instead, not_done=not_done, **base)


@st.composite
def replaced(draw: st.DrawFn) -> dict[tuple[str, ...], object]:
    """What an amendment says instead: any of the fields, with their values in the form of the record."""
    plain = {
        ("date",): dates,
        ("text",): words,
        ("serial",): words,
        ("part",): words,
        ("made",): dates,
        ("overhauled",): dates,
        ("old",): numbers,
        ("unrecorded",): numbers,
        ("since-new",): numbers,
    }
    found: dict[tuple[str, ...], object] = {}
    for field, value in plain.items():
        if draw(st.booleans()):
            found[field] = draw(value)
    if named := draw(st.lists(ids, max_size=2)):
        found[("follows",)] = tuple(named)
    both = st.builds(ReadsTotal, reads=numbers, total=numbers)
    meters_now = draw(st.dictionaries(meter_names, st.one_of(numbers, both), max_size=2))
    found |= {("meters", name): value for name, value in meters_now.items()}
    totals_now = draw(st.dictionaries(meter_names, numbers, max_size=2))
    found |= {("totals", name): value for name, value in totals_now.items()}
    found |= {("next", name): date for name, date in draw(st.dictionaries(ids, dates, max_size=2)).items()}
    done = {"date": dates, "good-until": dates, "paper": words, "tach": numbers}
    part = {"serial": words, "part": words, "made": dates, "since-new": numbers}
    for key, facts in (("last", done), ("fitted", part)):
        for name, fact in draw(st.lists(st.tuples(ids, st.sampled_from([*facts])), max_size=2, unique=True)):
            found[key, name, fact] = draw(facts[fact])
    found |= {("reads", reading.check, reading.label): reading for reading in draw(readings())}
    return found


quantities = {
    WEIGHT: st.builds(Quantity, numbers, st.sampled_from(units_of(WEIGHT))),
    ARM: st.builds(Quantity, signed, st.sampled_from(units_of(ARM))),
    VOLUME: st.builds(Quantity, numbers, st.sampled_from(units_of(VOLUME))),
}
terms = st.one_of(
    st.builds(AtInspection, name=ids),
    st.builds(Limit, number=st.integers(1, 200).map(Decimal), unit=st.sampled_from(["h", "months", "calendar months"])),
)


def holds(key: Key) -> st.SearchStrategy[Any]:
    """What a key of a table may hold."""
    words_of = [each for each in key.words if each]
    by_kind: dict[str, Callable[[], st.SearchStrategy[Any]]] = {
        kind.TEXT: lambda: words,
        kind.TEXTS: lambda: st.lists(words, min_size=1, max_size=3).map(tuple),
        kind.DATE: lambda: dates,
        kind.NUMBER: lambda: numbers,
        kind.MONEY: lambda: numbers,
        kind.QUANTITY: lambda: quantities[key.words[0]],
        kind.LIMITS: lambda: st.lists(terms, min_size=1, max_size=2).map(tuple),
        kind.ID: lambda: ids,
        kind.IDS: lambda: st.lists(ids, min_size=1, max_size=3, unique=True).map(tuple),
        kind.RECORD: lambda: ids,
        kind.RECORDS: lambda: st.lists(ids, min_size=1, max_size=3, unique=True).map(tuple),
        kind.CHOICE: lambda: st.sampled_from(words_of),
        kind.ANSWER: lambda: st.one_of(
            *(
                st.builds(
                    ChosenWord, word=st.just(word.rstrip(":")), reason=lines if word.endswith(":") else st.just("")
                )
                for word in words_of
            )
        ),
        kind.METERS: lambda: st.dictionaries(words, numbers, min_size=1, max_size=3),
        kind.TABLE: lambda: st.dictionaries(words, words, min_size=1, max_size=3),
        kind.ROW: lambda: row(key.below),
        kind.ROWS: lambda: st.lists(row(key.below), min_size=1, max_size=3).map(tuple),
    }
    return by_kind[key.holds]()


@st.composite
def row(draw: st.DrawFn, below: Below) -> Any:
    return below.noun(**draw(values(below.keys)))


@st.composite
def values(draw: st.DrawFn, keys: tuple[Key, ...]) -> dict[str, Any]:
    return {key.attribute: draw(holds(key)) for key in keys if key.required or draw(st.booleans())}


@st.composite
def of_table(draw: st.DrawFn, table: Kind) -> Record:
    """A record of a kind by the table of its keys, without a contradiction of its own."""
    made = draw(values(table.keys))
    base = draw(common())
    if table.name == "equipment":
        made = draw(st.sampled_from([equipment_moved, equipment_stayed]))(draw, made, table)
    elif table.name == "phase":
        made = phase(draw, made)
        base["by"] = Person(name=draw(names), kind=draw(words), certificate=draw(words), place=NOWHERE)
    elif table.name == "directive":
        made = directive(draw, made)
    elif table.name == "stock":
        made["amount"] = draw(st.sampled_from(["2", "0", "6 qt", "1.5 ft"]))
        times = terms.filter(lambda term: isinstance(term, Limit) and term.is_calendar)
        made |= {"good_for": (draw(times),)} if "good_for" in made else {}
    record = table.noun(**made, **base)
    assume(not list(table.faults(record)) and not (table.names_doer and record.by is None))
    return record


def phase(draw: st.DrawFn, made: dict[str, Any]) -> dict[str, Any]:
    """One of the three entries of a phase, with what belongs to it."""
    verb = draw(st.sampled_from(["opens", "during", "closes"]))
    wanted = ("hours", "area") if verb == "opens" else ("did", "demonstrated")
    kept = {name: value for name, value in made.items() if name in wanted} | {verb: draw(ids)}
    return kept | {"statement": draw(words)} if verb == "closes" else kept


def directive(draw: st.DrawFn, made: dict[str, Any]) -> dict[str, Any]:
    """What it asks is by limits, once or again; one that applies has a check, one done for good says by whom.

    What it is called tells whether it binds, and what does not is a fault.
    """
    if "authority" in made:
        papers = ("airworthiness directive", "emergency AD", "maker's letter", "bulletin")
        made["authority"] = draw(st.sampled_from(papers))
    limits = st.lists(terms.filter(lambda term: isinstance(term, Limit)), min_size=1, max_size=2).map(tuple)
    made |= {name: draw(limits) for name in ("every", "grace") if name in made}
    if made["applies"].word == "yes":
        made |= {"check": draw(ids)} | ({} if "every" in made else {"once": draw(words)})
    if "every" in made:
        made.pop("once", None)
    if "done_on" in made:
        made |= {"done": draw(words), "done_by": draw(words)}
    return made


def equipment_moved(draw: st.DrawFn, made: dict[str, Any], table: Kind) -> dict[str, Any]:
    """An item came in or went out."""
    kept = {name: value for name, value in made.items() if name == "came_with"}
    wanted = ("item", "weight", "arm", "change")
    return kept | {key.attribute: draw(holds(key)) for key in table.keys if key.attribute in wanted}


def equipment_stayed(draw: st.DrawFn, made: dict[str, Any], table: Kind) -> dict[str, Any]:
    """The owner's word that nothing changed."""
    wanted = ("no_change", "came_with")
    return {key.attribute: draw(holds(key)) for key in table.keys if key.attribute in wanted}


# A kind that is told by plain keys needs nothing here.
KINDS: dict[str, st.SearchStrategy[Record]] = {table.name: of_table(table) for table in TABLES} | {
    "hours": hours(),
    "work": work(),
    "finding": finding_record(),
    "inspection": inspection(),
    "signature": signature(),
    "installed": installed(),
    "removed": removed(),
    "meter-change": meter_change(),
    "brought-forward": brought_forward(),
    "amendment": amendment(),
}
