"""Readings out of their limits under which nobody has written what was found."""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from decimal import Decimal, InvalidOperation

from inspect_kit.audit.known import Known
from inspect_kit.errors import Problem
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import WORDS, Check, Reads
from inspect_kit.model.figures import second_figure
from inspect_kit.model.finding import Reading
from inspect_kit.model.found import found_at, place_of_reading
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Judged, judged
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import Record
from inspect_kit.text.grammar import did_you_mean


def readings(names: Known) -> Iterator[Problem]:
    """Of every record as amended; told at the amendment, where that is what brought the reading out of its limit."""
    book = names.logbook
    for record in book.of_kind(PageRecord):
        for reading in unfound(book, record):
            told = f"{reading.label} of `{reading.check}` is {reading.last}, the limit is {reading.bound}"
            place = place_of_reading(book, record, reading)
            yield Problem(place, f"readings: {told}, and no finding says so")


def without_limit(names: Known) -> Iterator[Problem]:
    """Readings beside which no limit stands, by the limit that their check has today; and what is reckoned from them.

    A record that a command wrote has the limit of its day beside each reading, and what was reckoned behind them.
    """
    book = names.logbook
    for record in book.of_kind(PageRecord):
        found: set[str] | None = None
        for check, own in _numbers(book, record).items():
            faults = () if _are_within(book.checks[check], own) else _faults(book.aircraft, book.checks[check], own)
            for reading, told in faults:
                found = found_at(book, record) if found is None else found
                if check not in found:
                    yield Problem(place_of_reading(book, record, reading), f"readings: {told}")


def far_limits(names: Known) -> Iterator[Problem]:
    """A limit of its own beside a reading that keeps to it alone, so far from the one of the check that a digit must
    have slipped: 58 psi (at least 6), where the check asks at least 60.
    """
    book = names.logbook
    for record in book.of_kind(PageRecord):
        for check, own in _numbers(book, record).items():
            asked = book.checks[check].asked
            for label, reading in own.items():
                reads, said, number = asked.get(label), reading.bound, reading.number
                bound = reads.bound if reads and reading.is_in(reads.measure) else None
                if bound is None or said is None or number is None or bound.holds(number) or not said.holds(number):
                    continue
                low = said.low is not None and bound.low is not None and number < bound.low
                high = said.high is not None and bound.high is not None and number > bound.high
                if (low and FAR * (said.low or 0) <= (bound.low or 0)) or (
                    high and (said.high or 0) >= FAR * (bound.high or 0)
                ):
                    told = f"{label} of `{reading.check}` is {reading.last}, within {said} as written beside it"
                    asks = f"the limit of the check is {bound}: has a digit slipped in the limit?"
                    yield Problem(reading.place, f"readings: {told}, and {asks}")


# So many times the limit of today is none of another day (common practice, no source).
FAR = 5


def _numbers(book: Logbook, record: PageRecord) -> dict[str, dict[str, Reading]]:
    """The numbers of a record by check and label, of the checks that there are."""
    found: dict[str, dict[str, Reading]] = {}
    for reading in record.readings:
        if reading.number is not None:
            found.setdefault(book.id_now(reading.check), {})[reading.label] = reading
    return {name: own for name, own in found.items() if name in book.checks}


def _are_within(check: Check, own: Mapping[str, Reading]) -> bool:
    """Whether each number is within plain limits or has its own beside it, as nearly all do; then nothing more is to be
    reckoned.

    What has no limit is reckoned too: no command writes down what cannot be.
    """
    if not all(_says_limit(own.get(each.label)) for each in check.reckons):
        return False
    return all(
        reads.bound is None
        or _says_limit(own[label])
        or not (reads.bound.table or (number := own[label].number) is None or not reads.bound.holds(number))
        for reads in check.reads
        for label in reads.labels
        if label in own
    )


def _says_limit(said: Reading | None) -> bool:
    """Whether the limit of its day stands beside a value, not only the table it was read off."""
    return said is not None and said.bound is not None and not said.bound.table


def _faults(aircraft: Aircraft, check: Check, own: Mapping[str, Reading]) -> Iterator[tuple[Reading, str]]:
    """What is out of the limit of a check, at its reading; what was reckoned at the last reading it rests on."""
    asked = {label: reads for reads in check.reads for label in reads.labels}
    values = {
        label: number
        for label, each in own.items()
        if label in asked and each.is_in(asked[label].measure) and (number := each.number) is not None
    }
    ones = judged(check, values, aircraft)
    for one in (*ones, *_alone(check, own, {one.label for one in ones})):
        said = own.get(one.label)
        if _says_limit(said):
            # It was asked.
            continue
        at = said or own[next(label for label in reversed(one.rests_on) if label in own)]
        if one.refused:
            yield at, one.refused
        elif one.fault:
            head, _, limit = one.fault.rpartition(", the limit is ")
            told = head.replace(one.label, f"{one.label} of `{at.check}`", 1)
            yield at, (
                f"{told}, the limit of the check is {limit}, and no finding says so. "
                "If another limit held on that day, write it behind the value, in brackets"
            )


def _alone(check: Check, own: Mapping[str, Reading], known: Collection[str]) -> Iterator[Judged]:
    """What is reckoned and stands by hand without what it is reckoned from, out of its limit; not what is known."""
    for each in check.reckons:
        said, limit = own.get(each.label), each.bound
        if each.label in known or said is None or limit is None or limit.table or not said.is_in(each.measure):
            continue
        if (number := said.number) is not None and not limit.holds(number):
            one = Judged(label=each.label, measure=each.measure, value=number, bound=limit)
            yield replace(one, fault=f"{one.told}, the limit is {limit}")


def unjudged(names: Known) -> Iterator[Problem]:
    """Readings without a limit of their own day that no limit of their check reaches: in another measure, or by a
    label that nothing asks for.

    A checklist may have asked otherwise before: what was read before the first reading in the measure of today is
    told by its newest only, until there is one, as a note where there are several; a note too is a label that looks
    like none of those asked for, of a value that keeps to what they ask.
    """
    book = names.logbook
    before: dict[tuple[str, str], Problem] = {}
    own: set[tuple[str, str]] = set()
    for record in book.of_kind(PageRecord):
        by_check: dict[str, dict[str, Reading]] = {}
        for reading in record.readings:
            if reading.number is not None and (name := book.id_now(reading.check)) in book.checks:
                by_check.setdefault(name, {})[reading.label] = reading
        for name, read in by_check.items():
            asked = book.checks[name].asked
            limited = {label: reads for label, reads in asked.items() if reads.bound is not None}
            yield from _by_another_label(book, record, book.checks[name], read, limited)
            for label in limited.keys() & read.keys():
                key, reading, measure = (name, label), read[label], limited[label].measure
                if reading.is_in(measure):
                    own.add(key)
                    before.pop(key, None)
                elif reading.bound is None:
                    told = f"{label} of `{reading.check}` is in {reading.measure[:40]}, its check reads {measure}."
                    problem = Problem(reading.place, f"readings: {told} {NO_LIMIT}", note=key in before)
                    if key in own:
                        yield problem
                    else:
                        before[key] = problem
    yield from before.values()


def _by_another_label(
    book: Logbook, record: PageRecord, check: Check, read: Mapping[str, Reading], limited: Mapping[str, Reads]
) -> Iterator[Problem]:
    """What was read by a label that a check does not ask for, while one with a limit in that measure was not read."""
    known = {*check.asked, *(each.label for each in check.reckons)}
    for label in read.keys() - known:
        missed = [each for each in limited if each not in read and read[label].is_in(limited[each].measure)]
        if missed and read[label].bound is None and not read[label].reckoned:
            short = next((each for each in missed if _is_short_of(label, each)), "")
            hint = f"; did you mean `{short}`?" if short else did_you_mean(label, missed)
            told = f"`{check.id}` asks for no `{label[:40]}`{hint or f', but for {missed[0]}.'}"
            out = any(_is_out(read[label], limited[each]) for each in missed)
            worse = bool(hint) or (out and check.id not in found_at(book, record))
            yield Problem(read[label].place, f"readings: {told} {NO_LIMIT}", note=not worse)


def _is_short_of(label: str, asked: str) -> bool:
    """Whether a label is another one in fewer letters: `cyl 1`, `cyl. 1`, `c1` of `cylinder 1`."""
    one, two = (re.findall(r"[^\W\d_]+|\d+", each.casefold()) for each in (label, asked))
    return len(one) == len(two) and all(long.startswith(word) for word, long in zip(one, two, strict=True))


def _is_out(reading: Reading, asked: Reads) -> bool:
    number = reading.number
    return number is not None and asked.bound is not None and not asked.bound.table and not asked.bound.holds(number)


NO_LIMIT = (
    "No limit is held against it. Write it as the check asks, or the limit of that day behind the value, in brackets"
)


AS_READ = "write one number and its measure, and what else there is to say behind that"


def astray_words(value: str, second: str, measure: str) -> str:
    """What is wrong with a later value, as `Reading.astray` has it, and what to write instead."""
    if not second:
        return f"`{value[:40]}` is not in {measure}: {AS_READ}"
    told = "write one number and its measure, each later one as an `again` of its own, or under which condition"
    return f"`{value[:60]}` holds a second figure, {second}: {told}: `after 5 min run`"


def numbers(names: Known) -> Iterator[Problem]:
    """A word where the check of today asks for a number: it would be in no trend, and kept to no limit."""
    book = names.logbook
    by_check = {name: check.asked for name, check in book.checks.items()}
    for record in book.of_kind(PageRecord):
        for reading in record.readings:
            asked = by_check.get(book.id_now(reading.check), {}).get(reading.label)
            if asked is None or asked.in_words or reading.measure == WORDS or not reading.last:
                continue
            if reading.number is None:
                told = f"{reading.label} of `{reading.check}` is a number of {asked.measure}, not `{reading.last[:40]}`"
                yield Problem(reading.place, f"readings: {told}")
            measure = asked.measure if reading.is_in(asked.measure) else reading.measure
            # A page has nothing behind the first measure; by hand all that was read may stand there.
            value = f"{reading.value} {reading.measure}"
            second = second_figure(reading.measure[len(measure) :], measure) if measure and not reading.again else ""
            # One that keeps to the limit may be what it was before, or what it was measured with.
            found = [(reading.place, value, second, _keeps(asked, second))] if second else []
            for place, value, second in reading.astray(measure):
                # Of one in its measure nobody was asked before.
                again = second and not re.search(rf"\d\s*{re.escape(measure)}(?!\w)", value.partition(" ")[2], re.I)
                found.append((place, value, second, bool(again)))
            for place, value, second, is_note in found:
                told = f"{reading.label} of `{reading.check}`: {astray_words(value, second, measure)}"
                yield Problem(place, f"readings: {told}", note=is_note)


def _keeps(asked: Reads, figure: str) -> bool:
    """Whether a figure keeps to the limit of what is asked for, or there is none."""
    try:
        return asked.bound is None or asked.bound.holds(Decimal(figure.replace(",", ".")))
    except InvalidOperation:
        return False


def unfound(book: Logbook, record: Record | None) -> tuple[Reading, ...]:
    """The readings of a record out of the limit that stands beside them, without a finding at their check.

    A finding counts that stands in the record, that was open on its day, or that was raised since, on an open page too.
    """
    out = [each for each in record.readings if each.out_of_limits] if isinstance(record, PageRecord) else []
    if not isinstance(record, PageRecord) or not out:
        return ()
    found = found_at(book, record)
    return tuple(reading for reading in out if book.id_now(reading.check) not in found)
