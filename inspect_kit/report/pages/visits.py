"""The months ahead: the strip of the year, each visit with what is done on it, and what the whole saves."""

from collections.abc import Iterator
from math import ceil, floor

from inspect_kit.due.answer import FINDING, INSPECTION
from inspect_kit.model.checklist import SETUP, duration
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import tool_words
from inspect_kit.report.blocks import (
    QUIET,
    STOP,
    STRONG,
    WARN,
    Block,
    Column,
    Heading,
    Listing,
    Page,
    Paragraph,
    Row,
    Table,
    table,
)
from inspect_kit.report.naming import check_title, listed, panel_name, with_id
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.pages.visit_strip import item_label, visit_strip
from inspect_kit.report.words import WEEKDAYS, counted, days, money, number
from inspect_kit.rules.cautions import DEFERRAL, NO_PERMISSION
from inspect_kit.visits.answer import Costs, Doing, Habit, Visit, VisitPlan
from inspect_kit.visits.rule import SOON_WORDS

# Nothing is compared with nothing.
NO_VISIT = "No visit: nothing that can be planned falls due in these months."


def visits_page(plan: VisitPlan, logbook: Logbook) -> Page:
    """The visits of an outlook as a page."""
    registration = logbook.aircraft.identity.registration
    made: list[Block] = [
        *incomplete(logbook.problems),
        *pressing(plan),
        Paragraph(text=_sentence(plan) if plan.visits else NO_VISIT, tone=STRONG),
        *([Paragraph(text=_capital(plan.margin) if plan.margin else NO_PERMISSION)] if plan.visits else ()),
        *(Paragraph(text=_capital(note)) for note in plan.notes),
    ]
    if plan.visits:
        asking = f"The plan of one visit, by person and clock: inspect-kit visits --plan {plan.visits[0].on}."
        made += [Heading(text="The visits"), Paragraph(text=asking), *_visits(plan, logbook)]
        made += [Heading(text="What it takes"), costs_table(plan), *_totals_words(plan)]
    made += _left_out(plan, logbook)
    strip = visit_strip(plan, logbook)
    if strip is not None:
        made += [Heading(text="The strip"), strip]
    made += [*problem_blocks(logbook.problems), Paragraph(text=f"{NO_PERMISSION} {DEFERRAL}", tone=QUIET)]
    title = f"The {counted(plan.months, 'month')} ahead, {registration}, {plan.on}"
    return Page(title=title, blocks=tuple(made), foot=title)


def pressing(plan: VisitPlan) -> Iterator[Block]:
    """What stands first, and whole, wherever the months ahead are shown."""
    yield from (Paragraph(text=_capital(each), tone=STOP) for each in plan.pressing)


def _capital(text: str) -> str:
    """A sentence with its capital and its stop."""
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")


def _sentence(plan: VisitPlan) -> str:
    now, before = plan.costs, plan.when_due
    return (
        f"{counted(len(plan.visits), 'visit')} with {_minutes(now.panels)} of work on panels, against "
        f"{_count(before.number)} with {_minutes(before.panels)} if each item is done when it is due; "
        f"work done before it is due comes round sooner: that is worth {_minutes(now.given_away)}. "
        f"{least_words(plan)}"
    )


def least_words(plan: VisitPlan) -> str:
    """How much better another plan could be at most, rounded up."""
    more = f" than another {duration(ceil(plan.could_save))}" if plan.could_save >= 0.5 else ""
    return f"No plan of these items on these days could save more{more}."


def _minutes(value: float) -> str:
    return duration(round(value))


def _count(value: float) -> str:
    """How many visits; a past year spread over the months ahead need not be a whole number."""
    return counted(round(value), "visit") if value == round(value) else f"{value:.1f} visits"


def _visits(plan: VisitPlan, logbook: Logbook) -> Iterator[Block]:
    for count, visit in enumerate(plan.visits, start=1):
        yield Heading(text=f"{count}. {visit.on}, {WEEKDAYS[visit.on.weekday()]}", level=3)
        yield Paragraph(text=_visit_words(visit, logbook), tone=WARN if visit.outside else "")
        if visit.money:
            yield Paragraph(text=_parts_and_others(plan, visit, logbook))
        tabled = [doing for doing in visit.doings if not (doing.with_ or doing.owed or doing.kind == FINDING)]
        if tabled:
            yield table(DOINGS, [_doing_row(doing, plan, logbook) for doing in tabled])
        yield from _besides(visit, logbook)
        followers: dict[str, list[tuple[str, str]]] = {}
        for doing in visit.doings:
            if doing.with_:
                followers.setdefault(doing.with_, []).append((_named(logbook, doing), _given(doing, plan)))
        leaders = {doing.item: f"the {item_label(doing)}" for doing in visit.doings if doing.kind == INSPECTION}
        for leader, told in followers.items():
            yield from _together(leaders.get(leader, with_id(logbook, leader)), told)
        if visit.owed:
            yield Paragraph(text=f"Owed some time after it: {'; '.join(visit.owed)}.", tone=WARN)


def _together(leader: str, followers: list[tuple[str, str]]) -> Iterator[Block]:
    """What comes with another item, and what that gives away: a few in a sentence, many in a table."""
    if len(followers) <= FEW:
        told = "; ".join(f"{name}: {given}" if given else name for name, given in followers)
        yield Paragraph(text=f"Together with {leader}: {told}.")
        return
    yield Paragraph(text=f"Together with {leader}:")
    yield table(TOGETHER, [Row(cells=each) for each in followers])


def _visit_words(visit: Visit, logbook: Logbook) -> str:
    reads = []
    for name, likely in visit.reads.items():
        heavy = visit.reads_heavy.get(name, likely)
        most = f", {number(heavy)} after heavy use" if heavy != likely else ""
        reads.append(f"{name} about {number(likely)}{most}")
    labour = f"{duration(visit.check_labour)} on checks"
    opened = "nothing off or set up"
    if visit.panels:
        opened = counted(len(visit.panels), "panel or setup", "panels and setups")
        labour = f"{duration(visit.panel_labour)} on panels, {labour}"
    words = [
        f"{'; '.join(reads)}." if reads else "",
        f"{counted(len(visit.checks), 'check')}, {opened}; {labour}.",
    ]
    if visit.outside:
        words.append("This is a day that was to be kept free: a limit asks for it.")
    if visit.in_season and not visit.outside:
        words.append("It is in the flying season.")
    standing = [name for name in visit.panels if name in logbook.panels and logbook.panels[name].kind == SETUP]
    off = [name for name in visit.panels if name not in standing]
    for title, names in (("Off", off), ("Set up", standing)):
        if names:
            words.append(f"{title}: {'; '.join(panel_name(logbook, name) for name in names)}.")
    if visit.tooling:
        words.append(f"Tooling: {', '.join(tool_words(name) for name in visit.tooling)}.")
    return " ".join(word for word in words if word)


def _named(logbook: Logbook, doing: Doing) -> str:
    """What is done, by its words: a check with its id behind them."""
    label = item_label(doing)
    return with_id(logbook, label) if label == doing.item else label


DOINGS = (
    Column(name="item", wide=True),
    Column(name="panel", wide=True, rank=2),
    Column(name="would be due"),
    Column(name="early", right=True),
    Column(name="lost", wide=True, rank=1),
    Column(name="saves", right=True),
)


TOGETHER = (Column(name="item", wide=True), Column(name="lost", wide=True))
# So many items that come with another one can still be read in a sentence.
FEW = 3


def _besides(visit: Visit, logbook: Logbook) -> Iterator[Block]:
    """What has no interval: findings to be fixed, and what is owed after an earlier visit."""
    for doing in visit.doings:
        if doing.kind == FINDING and not doing.with_:
            limit = f" by {doing.due}" if doing.due else ""
            saves = f"; on this visit it saves {_minutes(doing.saves)}" if round(doing.saves) > 0 else ""
            yield Paragraph(text=f"To be fixed{limit}: {doing.words or doing.item}{saves}.")
    owed = [f"{with_id(logbook, doing.item)} {doing.owed}" for doing in visit.doings if doing.owed]
    if owed:
        yield Paragraph(text=f"Owed from before: {'; '.join(owed)}.")


def _parts_and_others(plan: VisitPlan, visit: Visit, logbook: Logbook) -> str:
    """What a visit costs in money, and of which of its checks nobody knows it."""
    text = f"Parts and work by others: {money(visit.money, plan.currency)}"
    names = listed(check_title(logbook, name) for name in visit.unpriced)
    return f"{text}, and what is not known of {names}." if names else f"{text}."


def _doing_row(doing: Doing, plan: VisitPlan, logbook: Logbook) -> Row:
    return Row(
        cells=(
            item_label(doing).capitalize() if doing.kind == INSPECTION else check_title(logbook, item_label(doing)),
            panel_name(logbook, doing.panel) if doing.panel else "",
            str(doing.due) if doing.due else "later",
            days(doing.early) if doing.early else "",
            _given(doing, plan),
            _minutes(doing.saves) if round(doing.saves) > 0 else "",
        )
    )


def _given(doing: Doing, plan: VisitPlan) -> str:
    """What is given away, in the words of its limit, in minutes, and in money where an hour has a worth."""
    if not doing.given_away:
        return ""
    told = ", ".join([doing.given_away, _minutes(doing.wastes), *_in_money(plan, doing.wastes)])
    return told if doing.pulled or doing.with_ else f"{told}; heavy use allows no later"


def _in_money(plan: VisitPlan, minutes: float) -> list[str]:
    """What minutes are worth, if that is known."""
    worth = plan.in_money(minutes)
    return [] if worth is None else [money(worth, plan.currency)]


def costs_table(plan: VisitPlan) -> Table:
    """Panel work and intervals given away, apart from each other, beside two rules of thumb and the present habit."""
    columns = [("this plan", plan.costs), ("each when due", plan.when_due)]
    columns.append((f"what falls due within {SOON_WORDS}", plan.when_soon))
    if plan.habit is not None:
        columns.append((f"habit since {plan.habit.since}", plan.habit.scaled))
    rows = [Row(cells=("visits", *(f"{round(costs.number, 1):g}" for _, costs in columns)))]
    rows += [
        Row(cells=(name, *(_minutes(getattr(costs, field)) for _, costs in columns)))
        for name, field in TOTALS.items()
        if field != "kept_free" or any(costs.kept_free for _, costs in columns)
    ]
    rows.append(Row(cells=("all but the checks", *(_minutes(costs.total) for _, costs in columns)), tone=STRONG))
    if any(costs.money for _, costs in columns):
        rows.append(Row(cells=("parts and work by others", *(_money_of(costs, plan) for _, costs in columns))))
    head = tuple(Column(name=name, right=True) for name, _ in columns)
    return table((Column(name="", wide=True), *head), rows)


def _money_of(costs: Costs, plan: VisitPlan) -> str:
    """What is known; a past year spread over the months ahead need not come to whole numbers."""
    unknown = f", {costs.unpriced:.0f} not known" if round(costs.unpriced) else ""
    return f"{money(costs.money, plan.currency)}{unknown}"


TOTALS = {
    "getting there, run-ups, paper": "visits",
    "panels off and on": "panels",
    "checks": "checks",
    "interval time lost": "given_away",
    "days that were to be kept free": "kept_free",
}


def _totals_words(plan: VisitPlan) -> Iterator[Block]:
    text = (
        f"What is kept small is all but the checks: {_minutes(plan.costs.total)}. No plan of these items on these days "
        f"can come to less than {_minutes(floor(plan.bound))}."
    )
    yield Paragraph(text=text)
    if plan.hour is not None:
        text = f"An hour counts {money(plan.hour, plan.currency)}, as aircraft.yaml says: that makes"
        yield Paragraph(text=f"{text} {_in_money(plan, plan.costs.total)[0]}.")
    yield Paragraph(text=rule_words(plan))
    if plan.costs.kept_free:
        text = "Days that were to be kept free count for more than they take, so that few are chosen: that is no work."
        yield Paragraph(text=text)
    saved = plan.saved
    if round(saved) > 0:
        share = saved / (plan.when_due.visits + plan.when_due.panels)
        text = f"Visits and panels take {_minutes(saved)} less than each item when due, {share * 100:.0f} % of it."
        yield Paragraph(text=text)
    if plan.habit is not None:
        text = (
            f"The habit is what the records since {plan.habit.since} show: work on "
            f"{round(plan.habit.seen.number)} of {days(plan.habit.days)}, spread over "
            f"{counted(plan.months, 'month')}. {_late(plan.habit)}"
        )
        yield Paragraph(text=text.strip(), tone=QUIET)


def rule_words(plan: VisitPlan) -> str:
    """What the plan gains against the rule that most owners go by."""
    rule = f"To do, whenever something is due, whatever falls due within {SOON_WORDS} as well"
    more = plan.when_soon.total - plan.costs.total
    if round(more) <= 0:
        return f"{rule} would cost no more than this plan."
    worth = "".join(f", {each}" for each in _in_money(plan, more))
    return f"{rule} would cost {_minutes(more)} more{worth}: {plan.rule_dearer * 100:.0f} % dearer than this plan."


def _late(habit: Habit) -> str:
    """What the habit left undone, without which it cannot be compared with a plan that keeps every limit."""
    words = []
    if habit.late:
        words.append(f"{habit.late} of {habit.done} times something was done after its limit by today's rules")
    if habit.past_due:
        words.append(f"{counted(habit.past_due, 'item is', 'items are')} past due today, which this plan makes good")
    return _capital("; ".join(words)) if words else ""


def _left_out(plan: VisitPlan, logbook: Logbook) -> Iterator[Block]:
    if plan.left_out:
        yield Heading(text="Not planned")
        yield Listing(items=tuple(f"{with_id(logbook, each.item)}: {each.reason}" for each in plan.left_out))
