"""What is asked before a finding is cleared that a reading past its limit raised: what that measure reads now."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed
from inspect_kit.cli.unusual import not_so
from inspect_kit.due import past_limits, readings_before, totals_with
from inspect_kit.errors import Misused, Place
from inspect_kit.inspection.past_limit import Judge
from inspect_kit.model.checklist import Check, Reads, decimal
from inspect_kit.model.finding import Finding, Reading
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.measured import kept, limit_words, slipped
from inspect_kit.model.worksheet import Entry, Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.text.grammar import Unreadable, said_decimals


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """One finding that a typed name may mean: `name` is F1 of the page, or RECORD#F1; `page` "" where it has no box."""

    name: str
    page: str
    finding: Finding

    def __str__(self) -> str:
        how = f"name it {self.name}" if "#" in self.name else f"name it {self.page}#{self.name}"
        return f"{self.finding.text} ({how})"


def wanted_now(desk: Desk, logbook: Logbook, meant: Meant, given: Mapping[str, str]) -> tuple[Reading, ...]:
    """What is read now of all that is past its limit at the check of a finding: given, or asked; it has no place yet.

    Misused where a value is not within its limit, where nobody tells one, and for a label that nothing asks for.
    """
    page = next((each for each in logbook.pages if each.name == meant.page), None)
    judge = _judge(desk, logbook, page)
    check, past = _past(logbook, meant, page, judge)
    labels = _to_read(check, past) if check is not None else {}
    for label in given:
        if label not in labels:
            known = f"past its limit there is {', '.join(labels)}" if labels else "no reading is past its limit there"
            raise Misused(f"--read: nothing asks for `{label}` at {meant.name}: {known}")
    if check is None or not past:
        return ()

    stands = _standing(page, meant)

    def question(label: str) -> Question:
        reads = check.asked[label]
        told = ", ".join(filter(None, (reads.measure, limit_words(reads.bound, {}, logbook.aircraft))))
        words = f"{labels[label]}. What {label} reads now{f', {told}' if told else ''}"

        def read(typed: str) -> str:
            return _within(judge, page, check, label, reads, typed)

        # Of what is reckoned any of its readings may be to blame: Enter leaves one as it stands.
        usual = stands.get(label, "") if label not in past else ""
        return Question(name=f'read "{label}=VALUE"', words=words, read=read, required=True, default=usual)

    questions = {label: question(label) for label in labels}
    values = answers({each.name: given.get(label) for label, each in questions.items()}, questions.values())
    found = []
    for label, each in questions.items():
        value = values[each.name]
        number = decimal(value)
        slip = slipped(check, label, number, judge.earlier.get((check.id, label), ())) if number is not None else ""
        if slip and not confirmed(f"{slip} Is it right?"):
            raise not_so("nothing was written: give the reading as it is")
        found.append(_reading(check, label, value))
    # What stays as it was is no new reading.
    found = [each for each in found if each.label in past or each.value != stands.get(each.label)]
    # What is reckoned of them is judged when all are read; it stands in a record of its own, on a page it follows.
    ones = judge.ones(_with_readings(judge, page, check, found), check)
    reckoned = [one for one in ones if one.words and one.label in past]
    if out := "; ".join(one.fault or one.refused for one in reckoned if one.fault or one.refused):
        raise Misused(f"{out}: the finding stays open. Give what reads within the limit, or read it again")
    return tuple(found) if page is not None else kept(found, reckoned)


def _standing(page: Worksheet | None, meant: Meant) -> dict[str, str]:
    """The values that stand in the box of a finding of this page, by label; none for one that is on record."""
    if page is None or "#" in meant.name:
        return {}
    box = next(each for each in page.entries if any(found.id == meant.name for found in each.findings))
    return {each.label: each.bare for each in box.readings if each.number is not None}


def _to_read(check: Check, past: Mapping[str, str]) -> dict[str, str]:
    """What is to be read now, each with what is past its limit: what a reckoned value rests on in its place."""
    rests_on = {each.label: each.labels for each in check.reckons}
    found: dict[str, str] = {}
    for label, told in past.items():
        for each in rests_on.get(label, (label,)):
            if each in check.asked:
                found.setdefault(each, past.get(each, told))
    return found


def _with_readings(judge: Judge, page: Worksheet | None, check: Check, read: Sequence[Reading]) -> Entry:
    """The box of a check with these readings in the place of its own; an empty one where it has none."""
    boxes = [each for each in page.checks if judge.logbook.id_now(each.id) == check.id] if page is not None else []
    box = boxes[-1] if boxes else _empty(check)
    labels = {each.label for each in read}
    others = (each for each in box.readings if each.label not in labels)
    return replace(box, readings=(*others, *(replace(each, bound=None) for each in read)))


def _past(
    logbook: Logbook, meant: Meant, page: Worksheet | None, judge: Judge
) -> tuple[Check | None, dict[str, str]]:
    """The check of a finding, and what is past its limit there now, by label."""
    if page is not None and "#" not in meant.name:
        entry = next(each for each in page.entries if any(found.id == meant.name for found in each.findings))
        check = logbook.check_in(entry)
        return check, judge.still_past(page, entry, check) if check is not None else {}
    check = logbook.checks.get(logbook.id_now(meant.finding.check)) if meant.finding.check else None
    if check is None:
        return None, {}
    return check, past_on_record(logbook, check, judge, page)


def past_on_record(logbook: Logbook, check: Check, judge: Judge, page: Worksheet | None) -> dict[str, str]:
    """What a check reads past its limit on record and a page does not read again within it, by label."""
    return {
        label: each.told
        for label, each in past_limits(logbook, [check.id]).get(check.id, {}).items()
        if page is None or not judge.read_on(page, check, label)
    }


def _judge(desk: Desk, logbook: Logbook, page: Worksheet | None) -> Judge:
    totals = totals_with(logbook, desk.on, page.meters if page is not None else {})
    return Judge(logbook=logbook, on=desk.on, totals=totals, earlier=readings_before(logbook, desk.on))


def _within(judge: Judge, page: Worksheet | None, check: Check, label: str, reads: Reads, typed: str) -> str:
    """A value without its measure; Unreadable where it is no number, or not within its limit."""
    value = said_decimals(typed.removesuffix(reads.measure).strip())
    number = decimal(value)
    if number is None:
        raise Unreadable(f"expected a number of {reads.measure}" if reads.measure else "expected a number")
    boxes = [each for each in page.checks if judge.logbook.id_now(each.id) == check.id] if page is not None else []
    bounds = [each.bound for entry in boxes for each in entry.readings if each.label == label and each.bound]
    bounds += [reads.bound] if reads.bound is not None and not reads.bound.table else []
    for bound in bounds:
        if not bound.holds(number):
            raise Unreadable(f"{label} is {value} {reads.measure}, the limit is {bound}: the finding stays open")
    whole = _with_readings(judge, page, check, [_reading(check, label, value)])
    if untold := next((one.refused for one in judge.ones(whole, check) if one.refused and one.label == label), ""):
        raise Unreadable(f"{untold}: do `{check.id}` again, with all its readings; the finding stays open")
    if fault := judge.past(whole, check).get(label):
        raise Unreadable(f"{fault}: the finding stays open")
    return value


def _reading(check: Check, label: str, value: str) -> Reading:
    reads = check.asked[label]
    return Reading(
        check=check.id, label=label, value=value, measure=reads.measure, bound=reads.bound, place=Place("")
    )


def _empty(check: Check) -> Entry:
    return Entry(id=check.id, text=check.text, ticked=True, place=check.place, lines=(0, 0))
