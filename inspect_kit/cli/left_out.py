"""What a command cannot do without and was not given: asked where a person is at the keys."""

import click

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.questions import Question, answers
from inspect_kit.model.logbook import Logbook
from inspect_kit.text.grammar import Unreadable, parse_number

# What is asked, by what stands for it in the usage of a command; `{}` takes what there is.
WORDS = {
    "POSITION": "Which position: {}",
    "METER": "Which meter: {}",
    "METER=READING...": "What it reads, such as {}",
    "RECORD": "Which record, by its name or words of it",
    "RECORD|PAGE": "Which record or page, by its name or words of it",
    "FILE...": "Which file",
    "ID": "Which panel, check or position, by its id or name",
    "WORDS...": "Which words",
    "NAME": "Who helps",
    "INSPECTION|CHECK... [METER=READING...]": "Which inspection or check: {}, or a check",
    "[CHECK|PANEL|FINDING] [WHAT] [METER=READING...]": "What was found, or which finding, such as F1",
    "FILE.csv": "Which table (.csv)",
    "--to FILE": "Into which file, outside the store",
    "--to FOLDER": "Into which new folder, outside the store",
    "--as NAME": "Who signs",
}


def asked_for(missing: click.MissingParameter, desk: Desk) -> list[str]:
    """The words that a person types for what is missing, to go on with; none where it is not asked."""
    param = missing.param
    option = param.opts[0] if isinstance(param, click.Option) else ""
    metavar = (param.metavar if param is not None else "") or ""
    key = f"{option} {metavar.partition('.')[0] if option else metavar}".strip()
    if key not in WORDS:
        return []
    # Words that belong together are one word, where a command takes several of another kind.
    several = key in ("METER=READING...", "INSPECTION|CHECK... [METER=READING...]", "WORDS...")
    logbook = desk.logbook() if "{}" in WORDS[key] else None
    words = WORDS[key].format(_known(logbook, key)) if logbook is not None else WORDS[key]
    said = str(answers({}, [Question(name=option or "words", words=words, required=True)])[option or "words"])
    found = said.split() if several else [said]
    if logbook is not None and key == "METER=READING..." and len(found) == 1 and _is_number(said):
        found = [f"{logbook.aircraft.time_in_service}={said}"]
    return [option, said] if option else found


def _known(logbook: Logbook, key: str) -> str:
    aircraft = logbook.aircraft
    if key == "METER=READING...":
        return f"{aircraft.time_in_service}=412.6"
    names = {"POSITION": aircraft.positions, "METER": aircraft.meters}.get(key, aircraft.inspections)
    return ", ".join(names)


def _is_number(said: str) -> bool:
    try:
        parse_number(said)
    except Unreadable:
        return False
    return True
