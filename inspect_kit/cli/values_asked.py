"""What the checks of an entry read: as given, or asked; and what follows from each value."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from inspect_kit import store
from inspect_kit.cli.entries import (
    pairs,
)
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import BACK, go_back, say
from inspect_kit.cli.said import asked as asked_for
from inspect_kit.due import readings_before, totals_with
from inspect_kit.due.relabelled import begins_anew
from inspect_kit.errors import Misused
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check, Reads, decimal
from inspect_kit.model.finding import Finding, Reading
from inspect_kit.model.kinds.hours import quarts
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import Judged, When, judged, kept, limit_words, slipped
from inspect_kit.noun import dataclass
from inspect_kit.past import said_units
from inspect_kit.text.grammar import Unreadable, did_you_mean, said_decimals


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One reading that a check asks for, and what was read; "" where nobody read it."""

    check: Check
    label: str
    reads: Reads
    value: str = ""

    def reading(self, place: Any) -> Reading:
        return Reading(
            check=self.check.id,
            label=self.label,
            value=self.value,
            measure=self.reads.measure,
            bound=self.reads.bound,
            place=place,
        )

    def parse(self, words: str) -> str:
        """The value without its measure: `76`, `76 psi`, or any words where it is read in words."""
        if self.reads.in_words:
            return words
        number = said_decimals(words.removesuffix(self.reads.measure).strip() if self.reads.measure else words)
        if decimal(number) is None:
            measure = self.reads.measure
            oil = quarts(said_units(words)) if measure == "qt" else None
            told = f", which would be {oil:.1f}" if oil is not None else ""
            raise Unreadable(f"expected a number{f' of {measure}' if measure else ''}{told}")
        return number


def read_and_found(
    logbook: Logbook,
    did: Sequence[str],
    given: Mapping[tuple[str, str], str],
    meters: Mapping[str, Decimal],
    on: dt.date,
    told: Mapping[str, str],
) -> tuple[tuple[Asked, ...], Mapping[str, tuple[Judged, ...]], tuple[Finding, ...]]:
    """What was read, what follows from it, and what was found: as given, and asked of a value out of its limit.

    All that was found is to be fixed before flight. What was typed wrongly is asked once more.
    """
    asked, found = _asked(logbook, did, given), dict(told)
    while True:
        ones = _judged(logbook, did, asked, meters, on)
        for one in (one for each in ones.values() for one in each):
            if one.refused:
                raise Misused(f"{one.refused}: correct the reading, or leave both out")
            if one.words:
                say(one.told)
        again = ""
        for check, judged_ones in ones.items():
            out = "; ".join(one.fault for one in judged_ones if one.fault)
            if out and not again and check not in found:
                words = _found_at(check, out, typed=any(each not in given for each in _labels(asked, check)))
                found |= {check: words} if words else {}
                again = "" if words else check
        if not again:
            break
        kept = {(each.check.id, each.label): each.value for each in asked if each.check.id != again}
        asked = _asked(logbook, did, {**kept, **given})
    findings = (
        Finding(id=f"F{at}", check=check, text=words, place=store.record_place("finding"))
        for at, (check, words) in enumerate(found.items(), start=1)
    )
    return asked, ones, tuple(findings)


def _judged(
    logbook: Logbook, did: Sequence[str], asked: Sequence[Asked], meters: Mapping[str, Decimal], on: dt.date
) -> dict[str, tuple[Judged, ...]]:
    """What was read at each check, and what follows from it, against its limits."""
    totals = totals_with(logbook, on, meters)
    earlier = readings_before(logbook, on) if any(each.value for each in asked) else {}
    found = {}
    for name in did:
        read = {each.label: decimal(each.value) for each in asked if each.check.id == name}
        values = {label: number for label, number in read.items() if number is not None}
        found[name] = judged(
            logbook.checks[name],
            values,
            logbook.aircraft,
            when=When(date=on, totals=totals),
            earlier={label: each for (check, label), each in earlier.items() if check == name},
        )
    return found


def reading_slips(logbook: Logbook, on: dt.date, asked: Sequence[Asked]) -> Iterator[str]:
    """What speaks for a slip in what was read."""
    read = [(each, value) for each in asked if (value := decimal(each.value)) is not None]
    earlier = readings_before(logbook, on) if read else {}
    for each, value in read:
        yield slipped(each.check, each.label, value, earlier.get((each.check.id, each.label), ()))
    for check in {each.check.id: each.check for each, _ in read}.values():
        yield begins_anew(logbook, check, [each.label for each, _ in read if each.check.id == check.id])


def readings_kept(asked: Sequence[Asked], ones: Mapping[str, tuple[Judged, ...]], name: str) -> tuple[Reading, ...]:
    place = store.record_place(name)
    return tuple(
        reading
        for check, judged_ones in ones.items()
        if (read := [each.reading(place) for each in asked if each.value and each.check.id == check])
        for reading in kept(read, judged_ones)
    )


def values_given(logbook: Logbook, did: Sequence[str], words: Sequence[str]) -> dict[tuple[str, str], str]:
    """`cylinder 1=76` or, where two checks ask for one label, `compression.cylinder 1=76`, by check and label."""
    known = [(each.check.id, each.label) for each in _all_asked(logbook.checks, did)]
    return {label_named(logbook, name, known, "--read"): value for name, value in pairs(words, "LABEL=VALUE").items()}


def found_given(logbook: Logbook, did: Sequence[str], found: Mapping[str, str]) -> dict[str, str]:
    """What was found, as given, by today's ids."""
    told: dict[str, str] = {}
    for name, words in found.items():
        if (check := logbook.id_now(name)) not in did:
            raise Misused(
                f"--found: `{name}` is none of the checks of this entry; name one of {', '.join(did) or 'them'}"
            )
        told[check] = words
    return told


def labels_of(checks: Mapping[str, Check], did: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Every label that the checks read or reckon, with its check."""
    for name in did:
        check = checks[name]
        yield from ((name, label) for reads in check.reads for label in reads.labels)
        yield from ((name, reckons.label) for reckons in check.reckons)


def label_named(logbook: Logbook, words: str, known: Sequence[tuple[str, str]], option: str) -> tuple[str, str]:
    """The check and the label that `cylinder 1` or, where two checks read it, `compression.cylinder 1` names."""
    check, _, label = words.partition(".")
    exact = [each for each in known if each == (logbook.id_now(check), label)]
    fitting = exact or [each for each in known if each[1].casefold() == words.casefold()]
    if not fitting:
        # Where two checks have one label it is told with its check, as it is then typed.
        several = [each[1] for each in known]
        labels = [f"{check}.{label}" if several.count(label) > 1 else label for check, label in known]
        told = f" (readings: {', '.join(labels)})" if labels else ": none of the checks named asks for a reading"
        raise Misused(
            f"{option}: nothing asks for `{words}`{did_you_mean(words, labels)}{told}; name a label as its check has it"
        )
    if len(fitting) > 1:
        ways = " or ".join(f'`{name}.{label}`' for name, label in fitting)
        raise Misused(f"{option}: `{words}` is asked for by {len(fitting)} checks; write {ways}")
    return fitting[0]


def _all_asked(checks: Mapping[str, Check], did: Iterable[str]) -> Iterator[Asked]:
    for name in did:
        check = checks[name]
        for reads in check.reads:
            yield from (Asked(check=check, label=label, reads=reads) for label in reads.labels)


def _asked(logbook: Logbook, did: Sequence[str], given: Mapping[tuple[str, str], str]) -> tuple[Asked, ...]:
    """Every reading of the checks, given or asked; what nobody knows stays empty."""
    wanted = {f'read "{each.check.id}.{each.label}"': each for each in _all_asked(logbook.checks, did)}
    told = {key: given.get((each.check.id, each.label)) for key, each in wanted.items()}
    aircraft = logbook.aircraft
    questions = [Question(name=key, words=_question(each, aircraft), read=each.parse) for key, each in wanted.items()]
    values = answers(told, questions)
    return tuple(
        Asked(check=each.check, label=each.label, reads=each.reads, value=values[key] or "")
        for key, each in wanted.items()
    )


def _question(each: Asked, aircraft: Aircraft) -> str:
    measure = f" in {each.reads.measure}" if each.reads.measure and not each.reads.in_words else ""
    told = (f"{each.check.id}: {each.label}{measure}", limit_words(each.reads.bound, {}, aircraft))
    return ", ".join(filter(None, told))


def _labels(asked: Sequence[Asked], check: str) -> list[tuple[str, str]]:
    return [(check, each.label) for each in asked if each.check.id == check]


def _found_at(check: str, out: str, *, typed: bool) -> str:
    """What was found where a value is out of its limit; "" where a value that was typed is to be asked again."""
    hint = " (Enter: mistyped, asked again)" if typed else ""
    while (said := asked_for(f"{out}: what was found{hint}", default="", err=True)) is not None:
        if said.strip() == BACK:
            go_back()
        elif typed and not re.search(r"[^\W\d]{2}", said):
            # A number there is the reading that was meant.
            return ""
        elif said.strip():
            return " ".join(said.split())
    raise Misused(f"`{out}: what was found` has no answer: give it with --found {check}=WHAT")
