"""Directives and letters by product and serial; what is not decided comes first, and no list is ever called complete.

The columns are those of 14 CFR 91.417(a)(2)(v): method of compliance, number, revision date, and for a recurring one
the time and date of the next action.
"""

import shlex
from collections.abc import Iterator

from inspect_kit.due.answer import DueAnswer, Item
from inspect_kit.due.directives import (
    APPLIES,
    DOES_NOT,
    NOT_FITTED,
    OPEN_AGAIN,
    REVIEWED,
    Directives,
    DirectiveState,
)
from inspect_kit.model.kinds.directive import AIRCRAFT
from inspect_kit.report.blocks import (
    QUIET,
    STOP,
    WARN,
    Block,
    Column,
    Heading,
    Page,
    Paragraph,
    Row,
    Table,
    table,
)
from inspect_kit.report.pages.due import TONES, WORDS, left_words, reached, reading_words
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.words import counted, joined
from inspect_kit.rules.cautions import DIRECTIVES

COLUMNS = (
    Column(name="number", wide=True),
    Column(name="revision date"),
    Column(name="subject", wide=True),
    Column(name="next action", wide=True),
    Column(name="applies", wide=True, rank=1),
    Column(name="done", wide=True, rank=2),
    Column(name="left", wide=True, rank=3),
    Column(name="method of compliance", wide=True, rank=4),
    Column(name="authority", wide=True, rank=5),
    Column(name="decided", wide=True, rank=6),
    Column(name="record", wide=True, rank=7),
)


def directives_page(answer: DueAnswer, found: Directives) -> Page:
    """Every directive on record, product by product, and the last searches."""
    registration = answer.seen.aircraft.identity.registration
    made: list[Block] = [*incomplete(answer.problems), *_verdict(answer, found)]
    if found.states:
        made += [Heading(text="Directives and letters on record"), directives_table(answer, found)]
    made += [Heading(text="Searches"), *search_blocks(found)]
    made += [*problem_blocks(answer.problems), Paragraph(text=DIRECTIVES, tone=QUIET)]
    title = f"Directives, {registration}, {answer.on}"
    return Page(title=title, blocks=tuple(made), foot=title)


def _verdict(answer: DueAnswer, found: Directives) -> Iterator[Block]:
    if found.undecided:
        count = counted(len(found.undecided), "directive or letter wants", "directives or letters want")
        yield Paragraph(text=f"NOT DECIDED: {count} the owner's decision.", tone=STOP)
    # One that only older work answers, or none, has a line of its own, and makes the check due for whatever else asks.
    now = {state.check.id for state in found.states if state.check and older_words(answer, state)}
    for state in found.states:
        item = item_of(answer, state)
        binds = state.directive.binds and state.state == APPLIES and item is not None and item.check not in now
        if binds and item is not None and item.state == "past-due":
            text = f"PAST ITS TIME: {number_and_revision(state)}, {state.directive.subject}: {left_words(item)}."
            yield Paragraph(text=text, tone=STOP)
        elif binds and item is not None and reached(item):
            named = f"{number_and_revision(state)}, {state.directive.subject}"
            yield Paragraph(text=f"! PROBABLY AT ITS TIME: {named}: {left_words(item)}.", tone=WARN)
    yield from (Paragraph(text=told, tone=WARN) for state in found.states if (told := older_words(answer, state)))
    if not found.states:
        yield Paragraph(text="No directive or letter is on record. That does not say that there is none.", tone=WARN)


def older_words(answer: DueAnswer, state: DirectiveState) -> str:
    """Which older work counts for nothing here, or that there is none, and what to do; "" where some counts."""
    directive, work, item = state.directive, state.older, item_of(answer, state)
    command = f"inspect-kit directive {shlex.quote(directive.number)}"
    if work is None and state.never and item is not None and item.asked:
        say_so = f"until it is done, or `{command}` says that it was done, and when"
        return f"DUE NOW: {number_and_revision(state)}: no record says that it was done, {say_so}."
    if work is None:
        return ""
    since = f"issued {directive.issued}" if directive.issued else f"first decided on {state.since}"
    named = "; ".join((work.record, *work_amended(answer, state)))
    done = f"the work of {work.date or 'a day not on record'} ({named})"
    if state.to_another:
        part = f"serial {state.serial}" if state.serial else "the part"
        told = f"{done} was done before {part} was in {state.product}, or may have been"
        return f"DUE NOW: {number_and_revision(state)}: {told}: it complies with nothing until it is done to that."
    older = f"{done} is older than it ({since})"
    say_so = f"until it is done, or `{command}` says that it was done as it asks"
    return f"DUE NOW: {number_and_revision(state)}: {older} and complies with nothing {say_so}."


def work_amended(answer: DueAnswer, state: DirectiveState) -> tuple[str, ...]:
    """What amendments put right in the work that complied with a directive, or is older than it."""
    record = state.complied.name if state.complied else state.older.record if state.older else ""
    check = state.check.id if state.check else ""
    return tuple(f"amended: {words}" for words in answer.seen.amendments(record, lambda each: each == check))


def number_and_revision(state: DirectiveState) -> str:
    """Number and revision."""
    return f"{state.directive.number} {state.directive.revision}".strip()


def item_of(answer: DueAnswer, state: DirectiveState) -> Item | None:
    """The due item whose arithmetic a directive uses."""
    return answer.item(state.check.id) if state.check is not None else None


def directives_table(answer: DueAnswer, found: Directives) -> Table:
    """What wants a decision, then what applies, product by product, then the rest."""
    rows: list[Row] = []
    for lead, states in (
        ("not decided: ", found.undecided),
        ("", tuple(state for state in found.states if not state.undecided)),
    ):
        for product in dict.fromkeys((state.product, state.part, state.serial) for state in states):
            rows.append(Row(band=lead + product_words(*product)))
            own = [state for state in states if (state.product, state.part, state.serial) == product]
            rows += [_row(answer, state) for state in own]
    return table(COLUMNS, rows)


def product_words(product: str, part: str, serial: str) -> str:
    """`engine: Dunlin D-4-100, serial D4-00417`."""
    told = ", ".join(word for word in (part, f"serial {serial}" if serial else "") if word)
    return f"{product}: {told}" if told else product


def _row(answer: DueAnswer, state: DirectiveState) -> Row:
    directive, item = state.directive, item_of(answer, state)
    counts = directive.counts and state.state in (APPLIES, REVIEWED)
    tone = STOP if state.undecided else ""
    if counts and item is not None and not tone:
        # What use has probably used up is past its time to whoever flies: its row is no small print.
        tone = (TONES[item.state] or (WARN if reached(item) else "")) if directive.binds else ""
    due = item if counts else None
    decided = f"{directive.date} by {directive.by.name}" if directive.by else str(directive.date)
    # What waits for a decision was written down on that day, and decided on none.
    decided = f"not yet; on record since {decided}" if directive.undecided else decided
    cells = (
        number_and_revision(state),
        str(directive.issued) if directive.issued else "",
        directive.subject,
        " or ".join(filter(None, (reading_words(due), str(due.due.date or "")))) if due else "",
        _applies(state),
        "; ".join((done_words(state), *work_amended(answer, state))) if state.complied else done_words(state),
        f"{WORDS[due.state]}, {left_words(due)}" if due else "",
        directive.method,
        f"{directive.authority}, {directive.issuer}",
        "; ".join((decided, *(f"amended: {words}" for words in answer.seen.amendments(directive.name)))),
        state.complied.name if state.complied else "",
    )
    return Row(cells=cells, tone=tone)


def _applies(state: DirectiveState) -> str:
    directive = state.directive
    if state.state == OPEN_AGAIN:
        return f"open again: another part is fitted than on {directive.date}"
    asks = f"every {' or '.join(map(str, directive.every))}" if directive.every else f"once: {directive.once}"
    if state.state in (APPLIES, REVIEWED):
        return f"{directive.applies}; {asks}" if directive.every or directive.once else str(directive.applies)
    if state.state == NOT_FITTED:
        return "nothing is fitted there now"
    return str(directive.applies) if state.state == DOES_NOT else "not decided"


def done_words(state: DirectiveState) -> str:
    """When a directive was last complied with, by whom, at which total."""
    directive, record = state.directive, state.complied
    if record is not None and (directive.done_on is None or record.date >= directive.done_on):
        by = f" by {state.complied_by}" if state.complied_by else ""
        return f"{record.date}{by}"
    if directive.done_on is not None:
        return f"{directive.done_on} by {directive.done_by}: {directive.done}"
    return ""


def search_blocks(found: Directives) -> Iterator[Block]:
    """The last search in each source, and what none covers."""
    last = {search.source: search for search in found.searches}
    if last:
        rows = [
            Row(
                cells=(
                    str(search.date),
                    search.source,
                    ", ".join(search.products),
                    search.found or "nothing noted",
                    search.by.name if search.by else "",
                )
            )
            for search in sorted(last.values(), key=lambda search: search.date, reverse=True)
        ]
        columns = (
            Column(name="last searched"),
            Column(name="where", wide=True),
            Column(name="for", wide=True),
            Column(name="found", wide=True),
            Column(name="by", wide=True),
        )
        yield table(columns, rows)
    else:
        yield Paragraph(text="No search is on record. Write one down: inspect-kit search", tone=WARN)
    if found.unsearched:
        told = joined([each if each != AIRCRAFT else "the aircraft itself" for each in found.unsearched])
        yield Paragraph(text=f"No search on record covers, as fitted now: {told}.", tone=WARN)
