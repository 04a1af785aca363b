"""What bars passengers, said first: open flight-test phases, changes not decided, flight checks not flown."""

from collections.abc import Iterator

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.phases import PhaseState
from inspect_kit.model.interval import HOURS
from inspect_kit.report.blocks import STOP, Block, Heading, Paragraph, facts
from inspect_kit.report.words import amount


def passenger_lines(answer: DueAnswer) -> Iterator[Block]:
    """One line for each thing that bars passengers; nothing where nothing does."""
    barred = answer.no_passengers
    for phase in barred.phases:
        yield Paragraph(text=f"NO PASSENGERS: {phase_words(phase)}.", tone=STOP)
    for change in barred.undecided:
        text = f"NO PASSENGERS: change of {change.date}, {change.what}: not decided whether minor or major."
        yield Paragraph(text=f"{text} ({change.place})", tone=STOP)
    for unflown in barred.unflown:
        text = f"NO PASSENGERS: {unflown.record.date}: {unflown.text}. ({unflown.record.place})"
        yield Paragraph(text=text, tone=STOP)


def phase_words(phase: PhaseState) -> str:
    """`flight-test phase open since 2026-08-01, 18.4 h of 40 h flown; still to come: ...`"""
    told = f"{phase.name} phase open since {phase.since}"
    changes = "; ".join(change.what for change in phase.changes)
    if changes:
        told += f" ({changes})"
    if phase.hours is not None and phase.flown is not None:
        told += f", {amount(phase.flown, HOURS)} of {amount(phase.hours, HOURS)} flown"
    if phase.unread is not None and phase.hours is not None:
        told += f", counted from the first reading after {phase.unread.name}, which reads nothing"
    return f"{told}; still to come: {', '.join(phase.lacks)}"


def phase_blocks(answer: DueAnswer) -> Iterator[Block]:
    """The open phases with what the limitations ask and what is on record; for the page of the aircraft's status."""
    for phase in answer.no_passengers.phases:
        rule = phase.rule
        yield Heading(text=f"{phase.name.capitalize().replace('-', ' ')} phase")
        tasks = [f"{task} ({'done' if task in phase.did else 'to do'})" for task in (rule.tasks if rule else ())]
        values = [f"{name} {value}" for name, value in phase.demonstrated.items()]
        yield facts(
            ("Open since", f"{phase.since} ({phase.place})"),
            ("Opened by", "; ".join(f"{change.what}, asked: {change.asked}" for change in phase.changes)),
            ("Hours owed", amount(phase.hours, HOURS) if phase.hours is not None else ""),
            ("Flown", amount(phase.flown, HOURS) if phase.flown is not None else "no reading says it"),
            ("Counted from", f"the first reading after {phase.unread.name}" if phase.unread else ""),
            ("Tasks", "; ".join(tasks)),
            ("Demonstrated", ", ".join(values)),
            ("Area", phase.area),
            ("Still to come", "; ".join(phase.lacks)),
            ("Statement", statement_words(phase)),
            ("Source", rule.source if rule else ""),
        )


def statement_words(phase: PhaseState) -> str:
    """The statement that closes it, in the words of aircraft.yaml; what is not demonstrated yet is a blank."""
    return phase.rule.prescribed(phase.demonstrated, phase.openings[-1].date)[0] if phase.rule else ""
