"""From slots back to days, panels and minutes: what each visit does, and what each item saves by being early."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from inspect_kit.due import CHECK, FINDING, INSPECTION, RECHECK, TREND, Chronicle
from inspect_kit.model.checklist import Check, gone
from inspect_kit.model.interval import so_many
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import behind_causes
from inspect_kit.plan import access_labour
from inspect_kit.replenishment.problem import TODAY
from inspect_kit.visits.afterwards import Afterwards
from inspect_kit.visits.answer import Costs, Doing, Visit
from inspect_kit.visits.money import costs_together, labour, money_of
from inspect_kit.visits.outlook import Outlook
from inspect_kit.visits.question import YearQuestion
from inspect_kit.visits.rule import Given
from inspect_kit.visits.subjects import Subject

Doings = Mapping[str, tuple[int, ...]]
Asks = Callable[[Subject, int], float]


def check_minutes(checks: Mapping[str, Check], names: Iterable[str]) -> int:
    """Labour of the checks of these names, each once."""
    return sum(labour(checks[name]) for name in dict.fromkeys(names))


def costs_of(asked: YearQuestion, after: Afterwards, book: Chronicle) -> Costs:
    """What a choice of slots costs in minutes. What is owed gives nothing away: it was not done early by choice."""
    doings = after.doings
    panels = checks = visits = kept_free = 0.0
    money, known, unpriced = money_of(book.logbook), Decimal(0), 0
    for slot, there in _by_slot(asked, doings, book).items():
        visits += book.logbook.aircraft.visits.minutes
        kept_free += asked.problem.visit[slot] - book.logbook.aircraft.visits.minutes
        panels += access_labour(book.logbook.panels, {name for subject in there for name in subject.panels})
        names = dict.fromkeys(name for subject in there for name in subject.checks)
        checks += check_minutes(book.logbook.checks, names)
        costs, unknown = costs_together((book.logbook.checks[name] for name in names), money)
        known, unpriced = known + costs, unpriced + len(unknown)
    given = 0.0
    for name, slots in doings.items():
        given += sum(
            asked.rules[name].waste(last, again)
            for last, again in zip((TODAY, *slots), slots, strict=False)
            if (name, again) not in after.owed
        )
    return Costs(
        number=len(_by_slot(asked, doings, book)),
        visits=visits,
        panels=panels,
        checks=checks,
        given_away=given,
        kept_free=kept_free,
        money=known,
        unpriced=unpriced,
    )


def _by_slot(asked: YearQuestion, doings: Doings, book: Chronicle) -> dict[int, list[Subject]]:
    """What is done at each slot; a check that is retired by that day is not."""
    there: dict[int, list[Subject]] = {}
    for subject in asked.subjects:
        own = () if subject.kind == INSPECTION else subject.checks[:1]
        retired = [book.logbook.leaving.get(name, book.logbook.checks[name].retired) for name in own]
        for slot in doings[subject.name]:
            if not any(gone(each, asked.days[slot]) for each in retired):
                there.setdefault(slot, []).append(subject)
    return dict(sorted(there.items()))


def visits_of(asked: YearQuestion, after: Afterwards, book: Chronicle, ahead: Outlook) -> tuple[Visit, ...]:
    """The visits in order, with what is done on each."""
    doings = after.doings
    logbook = book.logbook
    slots = _by_slot(asked, doings, book)
    users = {slot: Counter(name for subject in there for name in subject.panels) for slot, there in slots.items()}
    crowd = {slot: len(there) for slot, there in slots.items()}

    def asks(subject: Subject, slot: int) -> float:
        """What this item alone makes a visit at that slot dearer, all others where they are."""
        alone = slot not in crowd or (crowd[slot] == 1 and slot in doings[subject.name])
        own = slot in doings[subject.name]
        opened = users.get(slot, Counter())
        extra = [name for name in subject.panels if opened[name] == (1 if own else 0)]
        return (asked.problem.visit[slot] if alone else 0.0) + access_labour(logbook.panels, extra)

    visits = []
    money = money_of(logbook)
    for slot, there in slots.items():
        opened = sorted({name for subject in there for name in subject.panels})
        checks = behind_causes(logbook.checks, (name for subject in there for name in subject.checks))
        reads = [ahead.totals(asked.days[slot], heavy=heavy) for heavy in (False, True)]
        shown = [
            {meter: book.histories[meter].reading_for(total) for meter, total in totals.items()} for totals in reads
        ]
        known, unpriced = costs_together((logbook.checks[name] for name in checks), money)
        visits.append(
            Visit(
                on=asked.days[slot],
                reads=shown[0],
                reads_heavy=shown[1],
                names=_names(there),
                findings=tuple(each.name for each in there if each.kind == FINDING),
                checks=checks,
                panels=tuple(opened),
                panel_labour=access_labour(logbook.panels, opened),
                check_labour=check_minutes(logbook.checks, checks),
                doings=tuple(_doing(asked, after, each, slot, asks) for each in there),
                outside=asked.days[slot] in asked.outside,
                in_season=asked.days[slot].month in logbook.aircraft.visits.season,
                tooling=_tooling(logbook, opened, checks),
                owed=tuple(sorted(words for (_, at), told in after.unplanned.items() if at == slot for words in told)),
                money=known,
                unpriced=unpriced,
            )
        )
    return tuple(visits)


def _names(there: Iterable[Subject]) -> tuple[str, ...]:
    """What to plan a visit by: inspections, checks, and the checks of readings that go to a limit."""
    own = [each.name for kind in (INSPECTION, CHECK) for each in there if each.kind == kind]
    covered = {name for each in there if each.kind not in (TREND, RECHECK) for name in each.checks}
    reads = (name for each in there if each.kind in (TREND, RECHECK) for name in each.checks if name not in covered)
    return tuple(dict.fromkeys([*own, *reads]))


def _tooling(logbook: Logbook, panels: Iterable[str], checks: Iterable[str]) -> tuple[str, ...]:
    """The shared tooling that panels, setups and checks need."""
    needed = {each for name in panels for each in logbook.panels[name].needs}
    return tuple(sorted(needed | {each for name in checks for each in logbook.checks[name].needs}))


def _doing(asked: YearQuestion, after: Afterwards, subject: Subject, slot: int, asks: Asks) -> Doing:
    rule = asked.rules[subject.name]
    doings = after.doings
    owed = after.owed.get((subject.name, slot), "")
    slots = doings[subject.name]
    turn = slots.index(slot)
    last = slots[turn - 1] if turn else TODAY
    latest = rule.latest(last)
    leaders = [name for name in subject.follows if slot in doings[name]]
    given = None if owed else rule.given(last, slot)
    due = rule.due_on(last)
    saves = 0.0
    if slot < latest and not owed:
        when = latest if latest < len(asked.days) else None
        own = min(asked.problem.visit) + sum(asked.problem.setups[name] for name in subject.panels)
        saves = (asks(subject, when) if when is not None else own) - asks(subject, slot)
    return Doing(
        item=subject.name,
        kind=subject.kind,
        words=subject.words,
        panel=subject.panel,
        on=asked.days[slot],
        due=due,
        early=max(0, (due - asked.days[slot]).days) if due is not None else 0,
        pulled=slot < latest and not owed,
        given_away=given_words(given),
        wastes=0.0 if owed else rule.waste(last, slot),
        saves=saves,
        with_=leaders[0] if leaders else "",
        owed=owed,
    )


def given_words(given: Given | None) -> str:
    """What is given away, such as `8 of the 50 h of its interval`; "" for nothing."""
    if given is None or given.left <= 0:
        return ""
    return f"{given.left} of the {so_many(given.whole, given.unit)} of its interval"
