"""Several aircraft at once: `--store` repeated, for `due` and `status` and nothing else."""

import datetime as dt
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from inspect_kit import report as reports
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.said import say
from inspect_kit.cli.shown import across, is_whole, print_json, show, to_file
from inspect_kit.due import DueAnswer
from inspect_kit.due import due as due_of
from inspect_kit.errors import NO, UNREADABLE, InspectKitError, Misused
from inspect_kit.report import Page

# A store by the name it is told by, its desk, its answer (None where it cannot be read) and why not.
Answers = list[tuple[str, Desk, DueAnswer | None, str]]
Told = list[tuple[str, DueAnswer | None, str]]


def ask_all(desk: Desk, by: dt.date | None = None, flying: Decimal = Decimal(0)) -> Answers:
    """The due answer of every store; what is wrong in one is told with its name and stops no other."""
    names = _names(desk.folders)
    found: Answers = []
    for name, folder in zip(names, desk.folders, strict=True):
        own = Desk(folder=folder, given_on=desk.given_on, today=desk.today, prefix=f"{name}: ")
        try:
            answer = due_of(own.logbook(), own.on, by=by, flying=flying)
        except InspectKitError as error:
            # The folder is named before it.
            why = str(error).removeprefix(f"{folder}: ")
            say(f"{name}: {why}", err=True)
            found.append((name, own, None, why.removeprefix("cannot be read: ")))
        else:
            found.append((name, own, answer, ""))
    marks = Counter(_marks(answer) for _, _, answer, _ in found if answer is not None)
    return [(_called(name, answer, marks), own, answer, why) for name, own, answer, why in found]


def _called(folder: str, answer: DueAnswer | None, marks: Counter[str]) -> str:
    """The aircraft by its registration, and by its folder too where two stores say that they are the same one."""
    if answer is None:
        return folder
    return _marks(answer) if marks[_marks(answer)] == 1 else f"{_marks(answer)} ({folder})"


def _marks(answer: DueAnswer) -> str:
    return answer.seen.aircraft.identity.registration


def _names(folders: tuple[Path, ...]) -> list[str]:
    """The last part of each folder's name, or the whole where two are alike; Misused if one is named twice."""
    resolved = [folder.resolve() for folder in folders]
    twice = next((folder for at, folder in enumerate(folders) if resolved[at] in resolved[:at]), None)
    if twice is not None:
        raise Misused(f"--store {twice} is named twice")
    last = [folder.name for folder in resolved]
    return [str(folder) if last.count(folder.name) > 1 else folder.name for folder in resolved]


def tell_all(
    found: Answers,
    page: Callable[[Told], Page],
    facts: Callable[[DueAnswer], dict[str, object]],
    *,
    strict: bool = False,
    target: Path | None = None,
    force: bool = False,
    as_json: bool = False,
) -> int:
    """Show all answers as one; the worst exit code of them."""
    if as_json:
        stores = [_facts(own, answer, why, facts) for _, own, answer, why in found]
        print_json({"format": 2, "stores": stores})
    else:
        drawn = page([(name, answer, why) for name, _, answer, why in found])
        seen = [answer.seen for _, _, answer, _ in found if answer is not None]
        if target is not None and seen:
            to_file(drawn, target, *seen, force=force)
        else:
            show(drawn)
    return max(_code(own, answer, strict) for _, own, answer, _ in found)


def _facts(
    desk: Desk, answer: DueAnswer | None, why: str, facts: Callable[[DueAnswer], dict[str, object]]
) -> dict[str, object]:
    told: dict[str, object] = {"store": str(desk.folder)}
    if answer is None:
        return told | {"registration": None, "unreadable": why}
    return told | {"registration": _marks(answer)} | facts(answer)


def _code(desk: Desk, answer: DueAnswer | None, strict: bool) -> int:
    if answer is None:
        return UNREADABLE
    return desk.code(NO if strict and answer.strict_no else 0)


def due_of_all(
    desk: Desk,
    by: dt.date | None,
    flying: Decimal,
    strict: bool,
    everything: bool,
    target: Path | None,
    force: bool,
    as_json: bool,
) -> int:
    """The due list of several aircraft: what presses, or everything."""
    whole = is_whole(everything, target)

    def page(told: Told) -> Page:
        return reports.hangar_due_page(told) if whole else reports.hangar_due_screen(told, across())

    found, facts = ask_all(desk, by, flying), reports.due_json
    return tell_all(found, page, facts, strict=strict, target=target, force=force, as_json=as_json)


def status_of_all(desk: Desk, everything: bool, target: Path | None, force: bool, as_json: bool) -> int:
    """The status of several aircraft: on a screen, or as the page."""
    page = reports.hangar_status_page if is_whole(everything, target) else reports.hangar_status_screen
    return tell_all(ask_all(desk), page, reports.status_json, target=target, force=force, as_json=as_json)
