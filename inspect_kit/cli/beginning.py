"""What `new` asks: the aircraft, its owner, what is fitted, and its past item by item.

Every answer is kept in DIR.answers.yaml beside the folder that is to be made, until it is made: after an interruption
the same command goes on there. What nobody knows stays out of the files, and is unknown.
"""

import contextlib
import datetime as dt
import os
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field
from decimal import Decimal
from pathlib import Path

from inspect_kit.audit.past import too_long_before
from inspect_kit.cli.said import NO, YES, asked, confirmed, say, yes_or_no
from inspect_kit.errors import Misused, Problem
from inspect_kit.model.checklist import DID, INSTALLED, Check
from inspect_kit.model.interval import CALENDAR_MONTHS, AtInspection, Limit
from inspect_kit.noun import dataclass
from inspect_kit.past import parse_said_date, parse_said_label_date, parse_said_last_day
from inspect_kit.text.checklist import read_checklist
from inspect_kit.text.fields import Scalar, read_yaml, write_yaml
from inspect_kit.text.grammar import Unreadable, parse_date, parse_number

NONE, SAME, STOP = "none", "=", "."
WITH_IT = "with the inspection"
INSPECTED_EVERY = Limit(number=Decimal(12), unit=CALENDAR_MONTHS)

# The kinds of certificate that operating limitations of amateur-built aircraft usually name; yours say which.
KINDS = (
    "repairman (experimental aircraft builder)",
    "mechanic (airframe and powerplant)",
)
# What is asked: the option, the words, and what Enter takes.
QUESTIONS: tuple[tuple[str, str, str], ...] = (
    ("registration", "Registration", ""),
    ("make", "Make, as on the certificate", ""),
    ("model", "Model", ""),
    ("serial", "Serial number", ""),
    ("certificate_date", "Date of the airworthiness certificate (2019-05-17)", ""),
    ("name", "Your name, as on your certificate", ""),
    ("kind", "Kind of your certificate: 1 builder's repairman, 2 mechanic, or its own words", KINDS[0]),
    ("certificate", "Number of your certificate", ""),
    ("tach", "The tachometer reads today", ""),
    ("total", "Total time today (Enter if the tachometer shows it)", SAME),
    ("last_inspection", "Date of the last condition inspection, or none", NONE),
    ("last_total", "Total time then", ""),
    ("last_paper", "Where it is entered: logbook and page", "aircraft logbook"),
)
WHEELS = ("nose", "tail")
SHAPE: tuple[tuple[str, str], ...] = (
    ("wheel", "Third wheel: nose or tail"),
    ("seats", "Number of seats"),
    ("tanks", "Number of fuel tanks"),
)
POSITIONS = {
    "engine": "Engine",
    "magneto-left": "Left magneto",
    "magneto-right": "Right magneto",
    "propeller": "Propeller",
}
OPTIONAL = ("magneto-left", "magneto-right")
PART: tuple[tuple[str, str], ...] = (
    ("serial", "serial number"),
    ("part", "maker and type"),
    ("since-new", "its own hours since new"),
    ("since-overhaul", "its own hours since overhaul"),
    ("fitted-on", "when it was first fitted"),
)


# By this a file of answers is known, so that no other file is taken for one, written over or taken away.
OURS = ("answers", "kept by inspect-kit new until the store is made")


class Ended(Exception):
    """The input has ended where an answer may be left out: nothing more is asked."""


@dataclass(slots=True)
class Answers:
    """Everything answered so far by question, in the file in which it is kept; "" is `not known`."""

    path: Path
    told: dict[str, str] = field(default_factory=dict)
    read: int = 0

    @classmethod
    def beside(cls, folder: Path) -> "Answers":
        """The answers kept from an earlier run, or none."""
        path = folder.resolve().parent / f"{folder.resolve().name}.answers.yaml"
        answers = cls(path)
        if not os.path.lexists(path):
            return answers
        if path.is_symlink() or not path.is_file():
            raise Misused(f"{path} is no file of answers: take it away to begin anew")
        problems: Sequence[Problem] = ()
        try:
            node, problems = read_yaml(path.read_text(encoding="utf-8"), path.name)
        except OSError:
            return answers
        except UnicodeDecodeError:
            node = None
        if node is None or problems:
            raise Misused(f"{path} cannot be read: mend it, or take it away to begin anew")
        answers.told = {key.text: value.text for key, value in node.pairs if isinstance(value, Scalar)}
        if answers.told.pop(OURS[0], None) != OURS[1]:
            raise Misused(f"{path} is no file of answers that `new` kept: give the folder another name, or move that")
        answers.read = len(answers.told)
        return answers

    def keep(self, key: str, value: str) -> None:
        self.told[key] = value
        # Where nothing can be kept the talk goes on: whether the store itself can be made is said at its end.
        with contextlib.suppress(OSError):
            half = self.path.with_name(f".{self.path.name}.half")
            half.unlink(missing_ok=True)
            with half.open("x", encoding="utf-8", newline="\n") as stream:
                stream.write(write_yaml(dict((OURS, *self.told.items()))))
            os.replace(half, self.path)

    def forget(self) -> None:
        """The store is made: the answers stand in it."""
        with contextlib.suppress(OSError):
            self.path.unlink(missing_ok=True)


def interview(answers: Answers, given: Mapping[str, object], checks: Iterable[Check], today: dt.date) -> None:
    """Ask whatever was neither given nor kept; Misused for what cannot be, and where a needed answer is missing.

    Where everything that is needed was given, nobody may be there to ask: then nothing more is asked.
    """
    if answers.read:
        _say(f"{answers.read} answers are kept in {answers.path}; it goes on there.")
    talking = bool(answers.read)
    for key, words, default in QUESTIONS:
        if key in ("last_total", "last_paper") and answers.told["last_inspection"] == NONE:
            continue
        talking |= given.get(key) is None
        _needed(answers, key, words, default, given.get(key), today)
    if answers.told["total"] == SAME:
        answers.told["total"] = answers.told["tach"]
    answers.told |= {key: str(given[key]) for key, _ in SHAPE if given.get(key) is not None}
    if not talking:
        return
    try:
        _shape(answers)
        _parts(answers, today)
        _items(answers, checks, today)
    except Ended:
        return


def _needed(answers: Answers, key: str, words: str, default: str, given: object, today: dt.date) -> None:
    """What was given or kept, or what a person answers; who answers what cannot be is told why and asked again."""
    if given is None and key in answers.told:
        return
    while True:
        value = given
        if value is None:
            value = asked(words, default=default or None, show_default=default not in ("", SAME, KINDS[0]), err=True)
        if value is None:
            kept = f"; {len(answers.told)} answers are kept in {answers.path}" if answers.path.exists() else ""
            raise Misused(f"the input ended at `{words}`: no store was made{kept}")
        try:
            answer = _checked(key, str(value).strip(), today)
            question = _doubt(key, answer, answers.told, today)
            if not question or confirmed(question):
                if given is None:
                    answers.keep(key, answer)
                answers.told[key] = answer
                return
            fault = Misused("nothing was made: see --last-inspection and --certificate-date")
        except Misused as misuse:
            fault = misuse
        if given is not None:
            raise fault
        say(str(fault), err=True)


def _doubt(key: str, value: str, before: Mapping[str, str], today: dt.date) -> str:
    """Misused for a date to come, more than the total today, or an inspection long before the certificate.

    The question to ask of an inspection in the 12 months before the certificate, or one that has run out, else nothing.
    """
    if key == "last_total" and parse_number(value) > parse_number(before["total"].replace(SAME, before["tach"])):
        raise Misused(f"last total: {value} is above the total today, {before['total'].replace(SAME, before['tach'])}")
    if key not in ("certificate_date", "last_inspection") or value == NONE:
        return ""
    date, words = parse_date(value), key.replace("_", " ")
    if date > today:
        raise Misused(f"{words}: {date} is in the future")
    if key == "certificate_date":
        return ""
    certificate = parse_date(before["certificate_date"])
    if too_long_before(date, certificate):
        raise Misused(f"{words}: {date} is more than 12 months before the date of the certificate, {certificate}")
    if date < certificate:
        return f"{words}: {date} is before the date of the certificate, {certificate}. Is it right?"
    if (until := INSPECTED_EVERY.due_date(date)) < today:
        return f"{words}: after {date} it ran out on {until}. Is it right?"
    return ""


def _checked(key: str, value: str, today: dt.date) -> str:
    """The answer, if it can be what was asked for; a date in the form that files have."""
    try:
        if key == "certificate_date" or (key == "last_inspection" and value != NONE):
            value = str(parse_said_date(value, today))
        if key in ("tach", "last_total") or (key == "total" and value != SAME):
            parse_number(value)
    except Unreadable as fault:
        raise Misused(f"{key.replace('_', ' ')}: {fault.message}") from None
    if not value or any(not character.isprintable() for character in value):
        raise Misused(f"{key.replace('_', ' ')} has no value that can be written")
    if key == "kind" and value in ("1", "2"):
        return KINDS[int(value) - 1]
    return value


def _shape(answers: Answers) -> None:
    """Wheels, seats and tanks: what the starter's checklists are worded by."""
    for key, words in SHAPE:
        _optional(answers, key, words, _wheel if key == "wheel" else _count)


def _parts(answers: Answers, today: dt.date) -> None:
    """What is fitted in the usual positions, with its own times."""
    for position, name in POSITIONS.items():
        if position in OPTIONAL:
            _optional(answers, f"has {position}", f"{name}: is there one (yes, no; Enter: yes)", _yes_or_no)
            if answers.told[f"has {position}"] == NO:
                continue
        for key, words in PART:
            read = _part_value(key, today, answers.told.get(f"{position} since-new", ""))
            _optional(answers, f"{position} {key}", f"{name}, {words} (Enter: not known)", read)
            if key == "serial" and not answers.told[f"{position} serial"]:
                # Without a serial number its times belong to no part on record.
                break


Reads = Callable[[str], str]


def _wheel(typed: str) -> str:
    """nose | tail"""
    if typed.casefold() not in WHEELS:
        raise Unreadable(f"expected {WHEELS[0]} or {WHEELS[1]}")
    return typed.casefold()


def _count(typed: str) -> str:
    """A whole number from 1 to 20"""
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed) <= 20):
        raise Unreadable("expected a whole number from 1 to 20")
    return str(int(typed))


def _yes_or_no(typed: str) -> str:
    """yes | no"""
    if (said := yes_or_no(typed)) is None:
        raise Unreadable("expected yes or no")
    return YES if said else NO


def _part_value(key: str, today: dt.date, new: str) -> Reads:
    def read(typed: str) -> str:
        if key in ("since-new", "since-overhaul"):
            if key == "since-overhaul" and new and parse_number(typed) > parse_number(new):
                raise Unreadable(f"{typed} h since overhaul are more than {new} h since new")
            return str(parse_number(typed))
        if key == "fitted-on":
            if (day := parse_said_label_date(typed, today)) > today:
                raise Unreadable(f"{typed} is in the future")
            return str(day)
        return typed

    return read


def _until(today: dt.date) -> Reads:
    """The date on a part until which it is good"""

    def read(typed: str) -> str:
        return str(parse_said_last_day(typed, today))

    return read


def _last_done(answers: Answers, today: dt.date) -> Reads:
    """DATE [, TOTAL] [, PAPER], the commas left out as one likes; kept with both commas"""
    most = parse_number(answers.told["total"])

    def read(typed: str) -> str:
        if said := re.match(r"([^,]*?[0-9]{4})(?=\s*,|$)", typed):
            typed = f"{parse_said_date(said.group(1), today)}{typed[said.end() :]}"
        match = re.fullmatch(r"(\S+?)(?:[\s,]+([0-9.]+)(?=[\s,]|$))?(?:[\s,]+(.*))?,*", typed)
        if match is None:
            raise Unreadable("expected a date, such as 2026-05-14")
        date, total, paper = match.groups(default="")
        if total and re.match(r",\d", typed[match.end(2) :]):
            raise Unreadable(f"`{total}{typed[match.end(2) :][:3]}`: a total has a point, such as 402.0")
        if parse_date(date) > today:
            raise Unreadable(f"{date} is in the future")
        if total and parse_number(total) > most:
            raise Unreadable(f"{total} is above the total today, {most}")
        return f"{date}, {total}, {paper.strip(' ,')}"

    return read


def _or_same(answers: Answers, read: Reads) -> Reads:
    """`=` is what was answered to the question before, at first the last inspection; else as `read` says"""

    def reads(typed: str) -> str:
        if typed != SAME:
            return read(typed)
        told = answers.told
        before = [value for key, value in told.items() if key.startswith("last ") and value.count(",") > 1]
        if before:
            return before[-1]
        if told["last_inspection"] == NONE:
            raise Unreadable("nothing was answered before")
        return f"{told['last_inspection']}, {told['last_total']}, {told['last_paper']}"

    return reads


def _stopped(answers: Answers) -> bool:
    return any(value == STOP for key, value in answers.told.items() if key.startswith("last ") or key == WITH_IT)


def _items(answers: Answers, checks: Iterable[Check], today: dt.date) -> None:
    """When each item was last done, by the checklists of the starter."""
    asked_of = list(checks)
    with_it = [check for check in asked_of if _comes_with_inspection(check)]
    if with_it and answers.told["last_inspection"] != NONE:
        names = ", ".join(check.id for check in with_it)
        if WITH_IT not in answers.told:
            _say(f"Now the past. {len(with_it)} items come with each condition inspection, and no sooner: {names}.")
        _optional(answers, WITH_IT, "All done at the last one (yes, no; Enter: each is asked)", _yes_or_no)
        if answers.told[WITH_IT] == YES:
            asked_of = [check for check in asked_of if check not in with_it]
            told = _or_same(answers, str)(SAME)
            answers.told |= {f"last {check.id}": told for check in with_it}
    own = [check for check in asked_of if _has_due_point(check)]
    if not _stopped(answers) and any(f"last {check.id}" not in answers.told for check in own):
        _say(
            f"Item by item ({len(own)} of them): date, total time then, logbook and page, such as "
            "`2026-05-14, 402.0, engine log p. 12`. Enter: not known; = the same as the one before (at first the last "
            "inspection). A full stop ends the questions."
        )
    for check in asked_of:
        if _stopped(answers):
            return
        if not _has_due_point(check) and not _followed(check, answers):
            continue
        words = "good until, the date on it" if check.marked else "last done"
        named = check.id if check.marked else f"{check.id} ({_how_often(check)})"
        read: Reads = _until(today) if check.marked else _or_same(answers, _last_done(answers, today))
        _optional(answers, f"last {check.id}", f"{named}: {words} (Enter: not known)", read)


def _has_due_point(check: Check) -> bool:
    return check.is_item and bool(check.every or check.once or check.life)


def _comes_with_inspection(check: Check) -> bool:
    """Whether nothing but the inspection says when it is due: then it was done with the last one, or not at all."""
    alone = check.every and all(isinstance(term, AtInspection) for term in check.every)
    return check.is_item and bool(alone) and not (check.once or check.life or check.marked)


def _followed(check: Check, answers: Answers) -> bool:
    """Whether something that the answers tell would have made it owed: then only an answer says that it was done."""
    done = {f"{DID} {key.removeprefix('last ')}" for key, value in answers.told.items() if key[:5] == "last " and value}
    fitted = {f"{INSTALLED} {name}" for name in POSITIONS if answers.told.get(f"{name} serial")}
    return any(str(trigger) in done | fitted for trigger in check.owed_after)


def _how_often(check: Check) -> str:
    own = [*check.every, *check.once, *check.life, *check.first]
    after = " or ".join(trigger.what for trigger in check.owed_after)
    return " or ".join(str(getattr(term, "name", term)) for term in own) or f"after {after}"


def _optional(answers: Answers, key: str, words: str, read: Reads) -> None:
    """Ask what need not be known; Ended where the input has ended. What cannot be read is asked again."""
    if key in answers.told:
        return
    while True:
        typed = asked(words, default="", err=True)
        if typed is None:
            raise Ended
        typed = " ".join(typed.split())
        try:
            ends = typed == STOP and (key.startswith("last ") or key == WITH_IT)
            value = read(typed) if typed and not ends else typed
        except Unreadable as fault:
            say(f"  {fault.message}", err=True)
            continue
        answers.keep(key, value)
        return


def _say(text: str) -> None:
    say(text, err=True)


def starter_checks(files: Mapping[str, str]) -> tuple[Check, ...]:
    """The checks of the starter's checklists that are items of the due list, in the order of the files."""
    found: list[Check] = []
    for name, text in files.items():
        if name.startswith("checklists/"):
            _, checks, _ = read_checklist(text, name)
            found += [check for check in checks if check.is_item]
    return tuple(found)


def filled_in(files: Mapping[str, str], answers: Answers, today: dt.date) -> dict[str, str]:
    """The starter's files as the answers have them."""
    told = answers.told
    fill = {
        **{key: told[key] for key in ("registration", "make", "model", "serial", "certificate_date")},
        **{key: told[key] for key in ("name", "kind", "certificate")},
        "today": str(today),
        "year": str(today.year),
        "tach_reads": told["tach"],
        "tach_total": told["total"],
        "last_condition_date": told["last_inspection"],
        "last_condition_total": told.get("last_total", ""),
        "last_condition_paper": told.get("last_paper", ""),
    }
    made = {name: _filled(text, fill) for name, text in files.items()}
    for position in OPTIONAL:
        if told.get(f"has {position}") == NO:
            made = {name: _without(text, position) for name, text in made.items()}
    if wheel := told.get("wheel"):
        made = {name: text.replace("nose or tail pressure", f"{wheel} pressure") for name, text in made.items()}
    if seats := told.get("seats"):
        words = {"1": "The seat, its rails and lock", "2": "Both seats, their rails and locks"}
        said = words.get(seats, f"All {seats} seats, their rails and locks")
        made = {name: text.replace("` Seats, rails and locks", f"` {said}") for name, text in made.items()}
    made = _tanks(made, told.get("tanks", ""))
    made[PAST] = _past(made[PAST], told)
    return made


PAST = "records/brought-forward.yaml"
TANK_WORDS = "; tank, vent, cap and drain"
TANK_FILE = "checklists/fuselage/fuselage-plates.md"
TANK_CAUTION = "  - caution: Fuel vapour at an open tank: bond, ventilate, no sparks, no unsuitable lamp.\n"


def _filled(text: str, fill: Mapping[str, str]) -> str:
    """The template with each `{{name}}` replaced; quotes and backslashes in a value are kept harmless in YAML."""

    def put(match: re.Match[str]) -> str:
        return _quoted(fill[match.group(1)])

    return re.sub(r"\{\{(\w+)\}\}", put, text)


def _quoted(value: str) -> str:
    return value.replace("\\", "\\\\").replace('"', '\\"')


def _without(text: str, position: str) -> str:
    """A file without a position: its line, its own checks, and what names either."""
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
        if key.startswith("last ") and value not in ("", STOP):
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
