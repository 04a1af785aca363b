"""`start`: a worksheet begun, in the order of its plan. What it plans with is read for this command alone."""

import click

from inspect_kit import store
from inspect_kit.cli.called import CHECK, INSPECTION, id_meant
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entries import parse_readings, refuse_total, split_words
from inspect_kit.cli.options import shared
from inspect_kit.cli.people_named import full_name, refuse_gone
from inspect_kit.cli.planning import left_shut, page_steps, planned, sessions_of
from inspect_kit.cli.said import say
from inspect_kit.cli.typed import NAME
from inspect_kit.cli.unusual import asking, sure_of
from inspect_kit.errors import Misused, Refused
from inspect_kit.inspection import edit
from inspect_kit.inspection.people import no_inspector, only_inspector
from inspect_kit.inspection.start import new_page
from inspect_kit.model.worksheet import JOB_WORK


@click.command()
@click.argument("words", metavar="INSPECTION|CHECK... [METER=READING...]", nargs=-1, required=True)
@click.option("--helper", "helpers", type=NAME, multiple=True, metavar="NAME", help="Who helps; may be repeated.")
@shared("session", "people", "inspectors", "only", "by", "yes")
@click.pass_obj
def start(
    desk: Desk,
    words: tuple[str, ...],
    sessions: tuple[str, ...],
    people: int | None,
    inspectors: int | None,
    only: bool,
    by: str,
    helpers: tuple[str, ...],
    sure: bool,
) -> int:
    """Begin a worksheet, in the order of the plan.

    With --session the plan is made for these hours; nothing is left open over a break that need not be.

    \b
    start condition tach=611.2 --by "Your Name" --helper "Your Helper"
    start oil-change --only tach=611.2
    """
    on = desk.entry_day()
    typed, meters = split_words(words)
    if not typed:
        raise Misused("name an inspection or a check to start")

    notes: list[str] = []

    def begin(sure: bool) -> str:
        with desk.writing("start") as writer:
            loaded, logbook = desk.loaded()
            for each in helpers:
                refuse_gone(logbook, each)
            names = [id_meant(logbook, name, INSPECTION, CHECK) for name in typed]
            job = names[0] if names[0] in logbook.aircraft.inspections else JOB_WORK
            taken = next((page for page in logbook.pages if page.job == job != JOB_WORK), None)
            if taken is not None:
                raise Refused(
                    f"a page of this inspection is open already: {taken.place.file}; `inspect-kit walk` goes on with "
                    "it, `inspect-kit sign` ends it"
                )
            if job != JOB_WORK and logbook.unread:
                told = f"the open page {logbook.unread[0].file} cannot be read and may be of this inspection"
                raise Refused(f"{told}: mend it first")
            refuse_total(logbook, on, meters)
            read = parse_readings(meters, logbook.aircraft.meters)
            at_hand = sessions_of(logbook.aircraft.sessions, sessions, any_hours=True)
            plan = planned(
                logbook, names, at_hand, on=on, people=people, inspectors=inspectors, only=only, read=read
            )
            notes[:] = (*plan.notes, *filter(None, [left_shut(logbook, job, plan.checks, on=on, read=read)]))
            text = new_page(
                logbook,
                job=job,
                steps=plan.steps if at_hand else page_steps(logbook, plan),
                begun=on,
                meters=read,
                inspector=full_name(logbook, by) or only_inspector(logbook.aircraft, job),
                helpers=tuple(filter(None, helpers)),
            )
            name = store.open_name(on, names[0], store.new_code())
            if (sheet := edit.opened(text, name)) is None:
                raise Misused("the page cannot be written as it would not read back")
            if worse := desk.new_problems(loaded, {name: text.encode()}):
                raise Misused(worse.refusal("nothing was written"))
            sure_of(logbook, on, read, sure)
            named = full_name(logbook, by)
            if job != JOB_WORK and by and (refusal := no_inspector(logbook.aircraft, sheet.page, named)):
                cure = "name at `inspector` of the page who does it, or name them with kind and number under `people`"
                notes.append(f"`sign` will refuse the page's inspector: {refusal}. Before it is signed, {cure}.")
            store.create(writer, name, text.encode())
        return name

    say(asking(begin, sure))
    for note in notes:
        say(note, err=True)
    say(f"Next: {desk.typed('walk')}, or on paper: {desk.typed('sheet --to ../sheet.html')}", err=True)
    return desk.code(0)
