"""One file of a store to what it says: which reader is asked is told by its name."""

import re

from inspect_kit.errors import Place, Problem
from inspect_kit.store.decoding import decode
from inspect_kit.store.layout import AIRCRAFT, CHECKLISTS, OPEN, is_withdrawn
from inspect_kit.store.read_file import ReadFile
from inspect_kit.text.aircraft import read_aircraft
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.record import read_record
from inspect_kit.text.withdrawn import read_withdrawn
from inspect_kit.text.worksheet import read_worksheet


def parse(name: str, data: bytes) -> ReadFile:
    """What one file says. A sealed worksheet is what its seal says; its facts stand in its record."""
    is_page = name.startswith(f"{OPEN}/")
    if not (name.endswith(".yaml") or name.startswith(f"{CHECKLISTS}/") or is_page):
        return ReadFile(problems=decode(name, data)[1])
    text, unreadable = decode(name, data)
    if unreadable:
        return ReadFile(problems=unreadable)
    if name.startswith(f"{CHECKLISTS}/"):
        if _is_read_by_people(name, text):
            told = "has no head of a checklist: nothing of it is read"
            return ReadFile(problems=(Problem(Place(name), told, note=True),))
        panel, checks, source = read_checklist(text, name)
        return ReadFile(panel=panel, checks=tuple(checks), problems=tuple(source.problems))
    if name == AIRCRAFT:
        aircraft, source = read_aircraft(text, name)
        return ReadFile(aircraft=aircraft, problems=tuple(source.problems))
    if is_withdrawn(name):
        withdrawn, source = read_withdrawn(text, name)
        return ReadFile(withdrawn=withdrawn, problems=tuple(source.problems))
    if name.endswith(".yaml"):
        record, source = read_record(text, name)
        return ReadFile(record=record, problems=tuple(source.problems))
    return _page(text, name)


# What people put beside their checklists for each other. A checklist of that name has its head, or a box left of it.
READ_BY_PEOPLE = ("readme", "notes", "index", "contents", "todo", "changelog", "licence", "license")
CHECKLIST = re.compile(r"(?m)^(?:---|\s*(?:panel|name|zone)\s*:|\s*\S{0,3}\s*\[.?\])")


def _is_read_by_people(name: str, text: str) -> bool:
    stem = name.rsplit("/", 1)[-1].split(".")[0].casefold()
    return stem in READ_BY_PEOPLE and bool(text.strip()) and CHECKLIST.search(text) is None


def parse_page(name: str, data: bytes) -> ReadFile:
    """What a sealed worksheet says as a page."""
    text, unreadable = decode(name, data)
    return ReadFile(problems=unreadable) if unreadable else _page(text, name)


def _page(text: str, name: str) -> ReadFile:
    page, source = read_worksheet(text, name)
    return ReadFile(page=page, problems=tuple(source.problems))
