"""The starter's files as the answers of `new` have them: the aircraft, its shape, and its past."""

import datetime as dt
import re
from collections.abc import Mapping

from inspect_kit.cli.beginning import FUELS, OPTIONAL, PART, PITCHES, POSITIONS
from inspect_kit.cli.kept_answers import Answers
from inspect_kit.cli.past_asked import NONE, total_today
from inspect_kit.cli.said import NO


def filled_in(files: Mapping[str, str], answers: Answers, on: dt.date, today: dt.date) -> dict[str, str]:
    """The starter's files as the answers of a day have them, entered today."""
    told = answers.told
    fill = {
        **{key: told[key] for key in ("registration", "make", "model", "serial", "certificate_date")},
        **{key: told[key] for key in ("name", "kind", "certificate")},
        "today": str(on),
        "entered": str(today),
        "year": str(on.year),
        "tach_reads": told["tach"],
        "tach_total": total_today(told),
        "last_condition_date": told["last_inspection"],
        "last_condition_total": told.get("last_total", ""),
        "last_condition_paper": told.get("last_paper", ""),
    }
    made = shaped({name: _filled(text, fill) for name, text in files.items()}, told)
    made[PAST] = _past(made[PAST], told)
    return made


def shaped(files: Mapping[str, str], told: Mapping[str, str]) -> dict[str, str]:
    """The starter's files as the shape of the aircraft has them, as far as it was told."""
    made = {**files}
    for position in OPTIONAL:
        if told.get(f"has {position}") == NO:
            made = {name: _without(text, position) for name, text in made.items()}
    if wheel := told.get("wheel"):
        made = {name: text.replace("nose or tail pressure", f"{wheel} pressure") for name, text in made.items()}
    if seats := told.get("seats"):
        words = {"1": "The seat, its rails and lock", "2": "Both seats, their rails and locks"}
        said = words.get(seats, f"All {seats} seats, their rails and locks")
        made = {name: text.replace("` Seats, rails and locks", f"` {said}") for name, text in made.items()}
    if told.get("fuel") == INJECTION:
        made = {name: _replaced(text, INJECTED) for name, text in made.items()}
    if told.get("pitch") == CONSTANT_SPEED:
        made = _governed(made)
    return _tanks(made, told.get("tanks", ""))


PAST, AIRCRAFT = "records/brought-forward.yaml", "records/aircraft.yaml"
SPINNER = "checklists/nose/spinner.md"
CONSTANT_SPEED, INJECTION = PITCHES[1], FUELS[1]
# In the words of an engine with injection.
INJECTED = {
    "duct and carburettor heat valve": "duct and alternate air valve",
    "the carburettor inlet stopped": "the inlet of the fuel servo stopped",
    "Throttle, mixture and carburettor heat": "Throttle, mixture and alternate air",
    "carburettor or injection, fuel and vacuum pumps": "fuel servo, divider and lines, fuel and vacuum pumps",
    "filters and carburettor inlet screen": "filters and the inlet screen of the fuel servo",
    "magnetos, carburettor, appliances": "magnetos, fuel injection, appliances",
}
TANK_WORDS = "; tank, vent, cap and drain"
TANK_FILE = "checklists/fuselage/fuselage-plates.md"
TANK_CAUTION = "  - caution: Fuel vapour at an open tank: bond, ventilate, no sparks, no unsuitable lamp.\n"


def _replaced(text: str, words: Mapping[str, str]) -> str:
    for before, after in words.items():
        text = text.replace(before, after)
    return text


def _governed(files: dict[str, str]) -> dict[str, str]:
    """With a propeller that is governed the control of it is a check, as the comment in aircraft.yaml has it."""
    text = files[AIRCRAFT]
    example = re.search(r"(?m)^# for checklists/nose/spinner\.md:\n(#- \[ \] `propeller-control`.*\n(?:#.*\n)*)", text)
    assert example is not None
    check = re.sub(r"(?m)^#", "", example[1]) + "  - source: common practice\n"
    text = re.sub(r"(?m)^  h4: .*\n", "", text.replace(example[0], ""))
    return {**files, AIRCRAFT: text, SPINNER: f"{files[SPINNER].rstrip()}\n{check}"}


def _filled(text: str, fill: Mapping[str, str]) -> str:
    """The template with each `{{name}}` replaced; quotes and backslashes in a value are kept harmless in YAML."""

    def put(match: re.Match[str]) -> str:
        return _quoted(fill[match.group(1)])

    return re.sub(r"\{\{(\w+)\}\}", put, text)


def _quoted(value: str) -> str:
    return value.replace("\\", "\\\\").replace('"', '\\"')


def _without(text: str, position: str) -> str:
    """A file without a position: its line, its own checks, what is read on it, and what names any of these."""
    side = position.rpartition("-")[2]
    text = re.sub(rf"(?m)^  - reads: {side}(?: magneto drop)?, .*\n", "", text)
    text = re.sub(rf"(?m)^  - [a-z]+: .* = .*\b{side} magneto drop\b.*\n", "", text)
    text = re.sub(rf"(?m)^#?  {position}(?:-inside)?: .*\n", "", text)
    text = re.sub(rf"(?m)^- \[ \] `{position}-inside`.*\n(?:  .*\n)*\n?", "", text)
    named = rf"(?:installed|did) {position}(?:-inside)?"
    text = re.sub(rf", {named}\b|\b{named}, ", "", text)
    return re.sub(rf"(?m)^  - owed-after: {named}\n", "", text)


def _tanks(files: dict[str, str], tanks: str) -> dict[str, str]:
    """The starter has a tank in each wing; one tank, or more than two, get a check of their own."""
    if tanks in ("", "2"):
        return files
    if tanks == "1":
        files = {
            name: text.replace(TANK_WORDS, "").replace(TANK_CAUTION, "") if "/wings/" in name else text
            for name, text in files.items()
        }
    which = "Fuel tank" if tanks == "1" else f"The other fuel tanks ({int(tanks) - 2})"
    own = (
        f"- [ ] `fuel-tanks` {which}: straps and felt, seams for stains, vent, cap seal, drain shuts, sample clear\n"
        "  - every: condition inspection\n  - time: 10 min\n  - source: common practice\n" + TANK_CAUTION
    )
    return {**files, TANK_FILE: f"{files[TANK_FILE].rstrip()}\n{own}"}


def _past(text: str, told: Mapping[str, str]) -> str:
    """The brought-forward record with what is fitted and what was last done."""
    head, _, inspection = text.rpartition("last:\n")
    entries = [] if told["last_inspection"] == NONE else [inspection.rstrip("\n")]
    for key, value in told.items():
        name = key.removeprefix("last ")
        if key.startswith("last ") and value:
            entries.append(f"  {name}: {_last_words(value)}")
    # What was answered needs no example any more.
    for entry in entries:
        head = re.sub(rf"(?m)^#{re.escape(entry.partition(':')[0])}: .*\n", "", head)
    fitted = [f"  {name}: {{{_part_words(told, name)}}}" for name in POSITIONS if told.get(f"{name} serial")]
    if fitted:
        head = re.sub(r"(?m)^#fitted:\n(?:#  .*\n)*", lambda _: "\n".join(["fitted:", *fitted, ""]), head)
        head = head.replace("as far as you know them. Take the # away and write your own.", "as far as you know them.")
    return head + "\n".join(["last:", *entries, ""]) if entries else head


def _last_words(value: str) -> str:
    if "," not in value:
        return f"{{good-until: {value}}}"
    date, total, paper = (part.strip() for part in value.split(",", 2))
    paper = f'"{_quoted(paper)}"' if paper else ""
    words = (f"{key}: {word}" for key, word in (("date", date), ("tach", total), ("paper", paper)) if word)
    return f"{{{', '.join(words)}}}"


def _part_words(told: Mapping[str, str], position: str) -> str:
    words = []
    for key, _ in PART:
        if value := told.get(f"{position} {key}", ""):
            words.append(f'{key}: "{_quoted(value)}"' if key in ("part", "serial") else f"{key}: {value}")
    return ", ".join(words)
