"""What `work` asks: which panels came off for it that disturb something, and what was done after what.

A record names what was done and not when on that day. A leak run that is named beside the oil change answers it only if
it came after it.
"""

import datetime as dt
from collections.abc import Sequence

from inspect_kit.cli.called import PANEL, id_meant, near_or_find
from inspect_kit.cli.questions import Question, answers
from inspect_kit.cli.said import confirmed
from inspect_kit.due import due
from inspect_kit.errors import Misused
from inspect_kit.model.checklist import PANEL as OPENS
from inspect_kit.model.checklist import SETUP
from inspect_kit.model.late_clock import before_records
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import Cause, at_once, deeds, owed_by
from inspect_kit.model.page_record import NONE_OPENED
from inspect_kit.plan import OutOfOrder, out_of_order, panels_for
from inspect_kit.plan import in_order as safe_order
from inspect_kit.report.naming import with_id
from inspect_kit.report.words import joined


def opened_for(logbook: Logbook, did: Sequence[str], given: Sequence[str], on: dt.date) -> tuple[str, ...]:
    """The panels that came off for these checks: as given, and asked of those that disturb something, unless `none` is
    given: who names the cowl in front of a setup has not said that it was not set up so.

    What is told in words alone says nothing of panels: which came off for it is asked, and Enter leaves it open.
    Of a day before the records begin it is not asked: nothing says what was done after it, and the paper may well.
    """
    said = [each for each in given if each.strip()]
    if NONE_OPENED in said:
        return _panels(logbook, [name for name in said if name != NONE_OPENED])
    # Given with nothing in it is Enter.
    if given and not said and not did:
        return ()
    given = said
    history = before_records(logbook, on)

    def read(words: str) -> tuple[str, ...]:
        typed = [each.strip() for each in words.split(",") if each.strip()]
        return () if typed == [NONE_OPENED] else _panels(logbook, typed)

    if not (did or given or history):
        which = "Which panels came off for it and went on again"
        # Neither a setup nor a place comes off.
        off = [name for name, each in logbook.panels.items() if each.kind == OPENS and each.remove is not None]
        example = ", ".join(off[:2])
        words = f"{which}, such as {example}" if example else which
        asks = Question(name="opened", words=words, read=read, otherwise="none, or not known")
        given = answers({}, [asks])["opened"] or ()
    named = _panels(logbook, given)
    asked = () if history else panels_for(logbook.panels, [logbook.checks[name] for name in did], named)
    found, so_far = list(named), "".join(f"--opened {name} " for name in named)
    for name in (each for each in asked if each not in named):
        panel = logbook.panels[name]
        # Of several checks the question names its own.
        own = [each for each in did if name in panels_for(logbook.panels, [logbook.checks[each]])]
        it = joined([with_id(logbook, each) for each in own]) if len(did) > 1 and own else "it"
        was = f"Was the aircraft set up so for {it}" if panel.kind == SETUP else f"Did the panel come off for {it}"
        if panel.disturbs and _yes(
            f"{was}: {panel.name} ({name})? That disturbs {', '.join(panel.disturbs)}.",
            f"say which panels came off: {so_far}--opened {name}, or {so_far}--opened {NONE_OPENED}",
            # A check that names a setup was done in it, if nobody says otherwise.
            enter=True if panel.kind == SETUP else None,
        ):
            found.append(name)
    return tuple(found)


def _panels(logbook: Logbook, given: Sequence[str]) -> tuple[str, ...]:
    named = tuple(dict.fromkeys(id_meant(logbook, name, PANEL) for name in given))
    for name in named:
        if name not in logbook.panels:
            raise Misused(f"--opened: no panel is called `{name}`{near_or_find(name, logbook.panels)}")
    return named


def left_by(
    logbook: Logbook,
    did: Sequence[str],
    opened: Sequence[str],
    disturbed: Sequence[str],
    *,
    in_order: bool,
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The checks among `did` that did not come after what made them owed, by what is answered, and all of them in the
    order in which they came by that; with `in_order` by the order in which they stand.
    """
    now = logbook.id_now
    done = deeds(
        logbook.checks, logbook.panels, did=did, closed=opened, disturbed=[now(what) for what in disturbed]
    )
    left: list[str] = []
    after: list[tuple[str, str]] = []
    for name, why in owed_by(logbook.checks, done).items():
        if name not in did or not at_once(logbook.checks[name]):
            continue
        if in_order:
            early = any(each.by in did and did.index(each.by) > did.index(name) for each in why)
        else:
            early = not all(_after(logbook, name, each) for each in dict.fromkeys(why))
        if early:
            left.append(name)
        elif not in_order:
            after += [(each.by, name) for each in why if each.by in did]
    return tuple(left), _as_answered(did, after)


def _as_answered(did: Sequence[str], after: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """The checks as they are named, but each behind what it was said to come after: a record tells its order."""
    order = list(did)
    for _ in order:
        for before, name in after:
            if order.index(before) > order.index(name):
                order.remove(name)
                order.insert(order.index(before) + 1, name)
    return tuple(order)


def order_of(
    logbook: Logbook, did: Sequence[str], opened: Sequence[str], disturbed: Sequence[str], on: dt.date
) -> tuple[str, ...]:
    """The checks in the order in which they were done: as they are named, or in the safe one, if a person says so.

    Misused for an order in which an engine runs before what comes before every run, where nobody says that it was so.
    """
    now = [logbook.id_now(what) for what in disturbed]
    made = owed_by(logbook.checks, deeds(logbook.checks, logbook.panels, did=did, closed=opened, disturbed=now))
    owed = [name for name in made if name not in did and at_once(logbook.checks[name])]
    owed += [item.check for item in due(logbook, on, expect=False).items if item.owed and item.check in logbook.checks]
    found = [*out_of_order(logbook.checks, logbook.panels, did, owed)]
    if not found:
        return tuple(did)
    # All at once: who named ten checks in a wrong order is not asked ten times.
    told = "; ".join(dict.fromkeys(_told(logbook, each, did) for each in found))
    undone = [*dict.fromkeys(each.before for each in found if each.before not in did)]
    order = " ".join(safe_order(logbook.checks, logbook.panels, [*did, *undone]))
    otherwise = f"name them in the order in which they were done: {order}"
    if _yes(f"{told}. It is not safe before that: was it really done so?", otherwise):
        return tuple(did)
    if not undone and confirmed(f"Then they were done in this order: {order}", enter=None):
        return tuple(order.split())
    raise Misused(f"nothing was written: {otherwise}")


def _told(logbook: Logbook, each: OutOfOrder, did: Sequence[str]) -> str:
    run, before = with_id(logbook, each.run), with_id(logbook, each.before)
    if each.before not in did:
        return f"{before} is owed, and is not among what was done"
    told = f"{run} is named before {before}"
    if each.off:
        told += f", for which {joined([with_id(logbook, name) for name in each.off])} must be open"
    return told


def _after(logbook: Logbook, name: str, why: Cause) -> bool:
    after = why.words(lambda each: with_id(logbook, each))
    question = f"{with_id(logbook, name)} is owed after {after}. Was it done after that?"
    return _yes(question, "name the checks in the order in which they were done, with --in-order")


def _yes(question: str, otherwise: str, *, enter: bool | None = None) -> bool:
    """A yes or a no; Misused with what to write instead where nobody is there to ask."""
    said = confirmed(question, enter=enter)
    if said is None:
        raise Misused(f"nobody answers whether it was so: {otherwise}")
    return said
