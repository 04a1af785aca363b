"""While it is open: what else is worth doing on one visit, in order of what it saves."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

from inspect_kit.due import CHECK, INSPECTION, DueAnswer, chronicle
from inspect_kit.model.checklist import OPEN, SETUP, Panel, duration
from inspect_kit.model.logbook import Logbook
from inspect_kit.noun import dataclass
from inspect_kit.plan import access_labour, behind
from inspect_kit.replenishment.problem import TODAY
from inspect_kit.visits.money import is_dear, labour
from inspect_kit.visits.outlook import end_of, outlook
from inspect_kit.visits.rule import Given, Rule
from inspect_kit.visits.slots import LIKELY_USE, Slots
from inspect_kit.visits.subjects import Subject, subjects
from inspect_kit.visits.telling import given_words

LOOK_AHEAD_MONTHS = 24
# Items due so close together behind the same panels would be done on one visit anyway.
TOGETHER_DAYS = 30
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Worth:
    """Checks behind the same panels that are worth doing now. Minutes are minutes x people.

    `labour` is the work itself, `extra` what has to come off besides; `saves` is the opening that is not needed on
    `due`, `wastes` what is given away of the intervals, `given_away` the same in words for the first of them. `what`
    names the checks, `sentence` says it all.
    """

    checks: tuple[str, ...]
    panels: tuple[str, ...]
    opened: tuple[str, ...]
    labour: int
    extra: int
    saves: int
    wastes: float
    due: dt.date
    given_away: str
    what: str
    sentence: str

    @property
    def gain(self) -> float:
        """What is saved in all, after what it costs and gives away."""
        return self.saves - self.extra - self.wastes


def worth_doing(
    logbook: Logbook, answer: DueAnswer, *, panels: Iterable[str], chosen: Iterable[str] = ()
) -> tuple[Worth, ...]:
    """What else is worth doing while these panels are open, best first; `chosen` are the checks to be done anyway.

    An item is offered where the opening that it saves is worth more than what has to come off for it now and the part
    of its cycle, the work and that opening, which is given away. What is past due or owed is no offer: it is to be
    done.
    """
    book = chronicle(answer.seen)
    on, off, named = answer.on, frozenset(behind(logbook.panels, panels)), set(chosen)
    end = end_of(on, LOOK_AHEAD_MONTHS)
    ahead = outlook(book, on, end)
    everything, slots = subjects(book, answer, end), Slots(book, ahead, (on,), on, end)
    inspections = {
        subject.name: (subject, due)
        for subject in everything
        if subject.kind == INSPECTION and (due := _due_day(Rule(subject, slots), on, end)) is not None
    }
    candidates: list[tuple[Subject, dt.date, Given]] = []
    for subject in everything:
        if subject.kind != CHECK or not subject.panels or named.intersection(subject.checks):
            continue
        check = logbook.checks[subject.name]
        if subject.guarded or is_dear(check) or check.when != OPEN or subject.renewal.at_once:
            continue
        rule = Rule(subject, slots)
        given = rule.given(TODAY, 0)
        due = _due_day(rule, on, end)
        if given is None or due is None or due <= on or not off.intersection(subject.panels):
            continue
        if not any(_comes_anyway(subject, due, *inspection) for inspection in inspections.values()):
            candidates.append((subject, due, given))
    offers = (_offer(logbook, off, group, on) for group in _grouped(candidates))
    found = [offer for offer in offers if offer.gain > 0]
    return tuple(sorted(found, key=lambda offer: (-offer.gain, offer.checks)))


def _comes_anyway(subject: Subject, due: dt.date, inspection: Subject, on: dt.date) -> bool:
    """Whether an inspection does it first, or opens its panels about when it is due: then nothing is saved now."""
    if inspection.name in subject.follows:
        return on <= due
    return set(subject.panels) <= set(inspection.panels) and abs((due - on).days) <= TOGETHER_DAYS


def _due_day(rule: Rule, on: dt.date, end: dt.date) -> dt.date | None:
    """The likely day on which it falls due; None beyond the look ahead."""
    first, last = on.toordinal(), end.toordinal()
    if rule.legal(TODAY, end, uses=LIKELY_USE):
        return None
    while first < last:
        middle = (first + last + 1) // 2
        if rule.legal(TODAY, dt.date.fromordinal(middle), uses=LIKELY_USE):
            first = middle
        else:
            last = middle - 1
    return dt.date.fromordinal(first)


def _grouped(candidates: list[tuple[Subject, dt.date, Given]]) -> list[list[tuple[Subject, dt.date, Given]]]:
    """Items behind the same panels, due within a month of each other."""
    groups: list[list[tuple[Subject, dt.date, Given]]] = []
    for each in sorted(candidates, key=lambda each: (each[0].panels, each[1], each[0].name)):
        near = groups and groups[-1][0][0].panels == each[0].panels
        if near and (each[1] - groups[-1][0][1]).days <= TOGETHER_DAYS:
            groups[-1].append(each)
        else:
            groups.append([each])
    return groups


def _offer(logbook: Logbook, off: frozenset[str], group: list[tuple[Subject, dt.date, Given]], on: dt.date) -> Worth:
    needed = group[0][0].panels
    extra = tuple(name for name in needed if name not in off)
    saves = access_labour(logbook.panels, needed)
    checks = tuple(dict.fromkeys(name for subject, _, _ in group for name in subject.checks))
    work = sum(labour(logbook.checks[name]) for name in checks)
    # A cycle is the work and its opening; doing it early makes every later one come sooner by the share given away.
    wastes = sum(subject.value * given.share for subject, _, given in group)
    wastes += saves * max(given.share for _, _, given in group)
    due = min(due for _, due, _ in group)
    given = max((given for _, _, given in group), key=lambda given: given.share)
    offer = Worth(
        checks=checks,
        panels=needed,
        opened=extra,
        labour=work,
        extra=access_labour(logbook.panels, extra),
        saves=saves,
        wastes=wastes,
        due=due,
        given_away=given_words(given),
        what="; ".join(logbook.checks[name].named for name in checks),
        sentence="",
    )
    return _told(offer, logbook.panels.get(group[0][0].panel or ""), on)


def _told(offer: Worth, panel: Panel | None, on: dt.date) -> Worth:
    """The offer with the sentence that a person needs."""
    where = ""
    if panel is not None and panel.remove is not None:
        name = f"{panel.name[0].lower()}{panel.name[1:]}"
        where = f" ({name})" if panel.kind == SETUP else f" behind the {name}"
    open_first = f" and {duration(offer.extra)} to open what is still shut" if offer.extra else ""
    gives = f" and loses {offer.given_away}" if offer.given_away else ""
    sentence = (
        f"{offer.what}: another {duration(offer.labour)}{where}{open_first} now saves {duration(offer.saves)} "
        f"{_when(offer.due, on)}{gives}"
    )
    return replace(offer, sentence=sentence)


def _when(due: dt.date, on: dt.date) -> str:
    month = MONTHS[due.month - 1]
    if due.year == on.year or (due - on).days < 300:
        return f"in {month}"
    return f"in {month} {due.year}"
