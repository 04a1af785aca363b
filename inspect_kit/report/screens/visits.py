"""The months ahead on one screen: the visits, one line each, then what they cost beside the habit."""

from collections.abc import Iterator, Mapping

from inspect_kit.due.answer import FINDING, INSPECTION, RECHECK, TREND
from inspect_kit.model.checklist import Check, duration
from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import STRONG, WARN, Block, Column, Page, Paragraph, Row, table
from inspect_kit.report.naming import check_title, with_id
from inspect_kit.report.pages.visits import NO_VISIT, least_words, pressing
from inspect_kit.report.screens.fit import ROOM, cut, more, one_screen, problems_first, so_many_at
from inspect_kit.report.words import WEEKDAYS, counted, money
from inspect_kit.visits.answer import Doing, Visit, VisitPlan
from inspect_kit.visits.rule import SOON_WORDS

COLUMNS = (
    Column(name="on"),
    Column(name="what for", wide=True),
    Column(name="labour"),
    Column(name="panels", right=True),
)
# More labour than this is no day's work for two.
A_DAY = 8 * 60 * 2
# What a visit is for stands in one line, on a narrow screen too.
WHAT_FOR, NARROW_WHAT_FOR = 33, 26


def visits_screen(plan: VisitPlan, logbook: Logbook, room: int = ROOM) -> Page:
    """As many visits as fit, the next ones first; `visits --all` has each with all that is done on it."""
    return one_screen(lambda rows: _page(plan, logbook, rows, room), len(plan.visits), room)


def _page(plan: VisitPlan, logbook: Logbook, shown: int, room: int) -> Page:
    rows = list(_rows(plan, logbook, shown, room))
    rest = len(plan.visits) - shown
    made = [
        *problems_first(logbook.problems),
        *pressing(plan),
        *([table(COLUMNS, rows)] if rows else []),
        *([Paragraph(text=f"and {counted(rest, 'visit')} more", tone="quiet")] if rest else []),
        *(_brief_costs(plan) if rest else cost_lines(plan) if plan.visits else [Paragraph(text=NO_VISIT, tone=STRONG)]),
    ]
    made += [Paragraph(text=words, tone="quiet") for words in [_days_counted(plan, logbook)] if words]
    if plan.left_out:
        told = "; ".join(with_id(logbook, each.item) for each in plan.left_out)
        made.append(Paragraph(text=f"Not planned: {cut(told, 120)} (the reasons: --all).", tone=WARN))
    first = [f"visits --plan {plan.visits[0].on}"] if plan.visits else []
    made.append(more("visits --all", *first, "visits --to FILE.html"))
    title = f"The {counted(plan.months, 'month')} ahead, {logbook.aircraft.identity.registration}, {plan.on}"
    return Page(title=title, blocks=tuple(made), dense=True)


def _days_counted(plan: VisitPlan, logbook: Logbook) -> str:
    """Why most visits are on one day of the week, and how another is named; "" where days are named, or they differ."""
    today = plan.on.weekday()
    same = [visit for visit in plan.visits if visit.on.weekday() == today]
    if logbook.aircraft.visits.weekdays or len(plan.visits) < 2 or 2 * len(same) <= len(plan.visits):
        return ""
    day = WEEKDAYS[today]
    return f"Mostly {day}s, as it is asked on one; `weekdays: [{day}]` under `visits` in aircraft.yaml names your days."


def _rows(plan: VisitPlan, logbook: Logbook, shown: int, room: int) -> Iterator[Row]:
    narrow = room < ROOM
    most = NARROW_WHAT_FOR if narrow else so_many_at(WHAT_FOR, room)
    for visit in plan.visits[:shown]:
        day = str(visit.on) if narrow else f"{WEEKDAYS[visit.on.weekday()][:3]} {visit.on}"
        labour = duration(visit.labour)
        if visit.labour > A_DAY:
            # The whole of it would leave half as many visits room on a narrow screen.
            labour = f"{round(visit.labour / 60)} h, {'days' if narrow else 'several days'}"
        panels = str(len(visit.panels)) if visit.panels else "none"
        tone = WARN if visit.outside else ""
        yield Row(cells=(day, what_for(visit, logbook, most), labour, panels), tone=tone)


def what_for(visit: Visit, logbook: Logbook, most: int = WHAT_FOR) -> str:
    """`Condition inspection and 13 more`, `Tyre pressures, VOR receiver check`: what could not wait for the next visit
    names it, of that what takes longest.
    """
    own = [doing for doing in visit.doings if not doing.with_]
    own.sort(key=lambda doing: (doing.kind != INSPECTION, doing.pulled, -_minutes(doing, logbook.checks)))
    if not own:
        return counted(len(visit.checks), "check")
    names = [_name(doing, logbook) for doing in own]
    both = ", ".join(names)
    if len(visit.doings) == len(own) and len(own) < 3 and len(both) <= most:
        return both
    rest = len(visit.doings) - 1
    told = f" and {rest} more" if rest else ""
    # An inspection is named whole, whatever the width.
    return (names[0] if own[0].kind == INSPECTION else cut(names[0], most - len(told))) + told


def _minutes(doing: Doing, checks: Mapping[str, Check]) -> int:
    check = checks.get(doing.item)
    return check.minutes * check.people if check is not None else 0


def _name(doing: Doing, logbook: Logbook) -> str:
    if doing.kind == INSPECTION:
        return f"{doing.item.capitalize()} inspection"
    return (doing.words or doing.item) if doing.kind in (FINDING, TREND, RECHECK) else check_title(logbook, doing.item)


def cost_lines(plan: VisitPlan) -> Iterator[Block]:
    """What the planned visits take and save, in words of an owner."""
    now, due = plan.costs, plan.when_due
    text = f"{counted(len(plan.visits), 'visit')} and {_hours(now.panels)} of panels off and on"
    others = [f"{_number(due.number)} and {_hours(due.panels)} if each item is done on the day it is due"]
    rule = plan.when_soon
    others.append(f"{_number(rule.number)} and {_hours(rule.panels)} with all that falls due within {SOON_WORDS} along")
    if plan.habit is not None:
        habit = plan.habit.scaled
        late = f", {plan.habit.late} of {plan.habit.done} times past a limit" if plan.habit.late else ""
        goes_on = f"if it goes on as your records since {plan.habit.since} show{late}"
        others.append(f"{_number(habit.number)} and {_hours(habit.panels)} {goes_on}")
    yield Paragraph(text=f"{text}; {'; '.join(others)}.", tone=STRONG)
    text = f"Work done before it is due comes round sooner: that is worth {_hours(now.given_away)}."
    yield Paragraph(text=f"{text} {least_words(plan)}")
    if plan.costs.money:
        unknown = f", besides {plan.costs.unpriced:.0f} whose price is not known" if plan.costs.unpriced else ""
        yield Paragraph(text=f"Parts and work by others: {money(plan.costs.money, plan.currency)}{unknown}.")
    yield from (Paragraph(text=note) for note in plan.notes)


# Of a note so much beside visits that do not all fit; whole with --all.
A_NOTE, NOTES = 120, 2


def _brief_costs(plan: VisitPlan) -> Iterator[Block]:
    """The same in a line where not all visits fit: those come first, and `visits --all` explains the rest."""
    now, due = plan.costs, plan.when_due
    text = f"{counted(len(plan.visits), 'visit')} and {_hours(now.panels)} of panels off and on"
    text += f"; {_number(due.number)} and {_hours(due.panels)} if each item is done on the day it is due"
    yield Paragraph(text=f"{text} (the costs: --all).", tone=STRONG)
    yield from (Paragraph(text=cut(note, A_NOTE)) for note in plan.notes[:NOTES])
    if left := plan.notes[NOTES:]:
        yield Paragraph(text=f"{counted(len(left), 'remark')} more: --all.", tone="quiet")


def _number(value: float) -> str:
    return counted(round(value), "visit")


def _hours(minutes: float) -> str:
    return duration(round(minutes))
