"""The tour: the whole job by the commands a user would give, on a scratch copy; every output is the real one.

Each step shows at most 15 lines, how many more there are and the command that shows them; what warns and what is signed
is shown whole. On a terminal Enter goes on.
"""

import io
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from decimal import Decimal
from pathlib import Path
from typing import TextIO

import click

from inspect_kit import store
from inspect_kit.cli.said import asked, say
from inspect_kit.cli.sheets import again
from inspect_kit.cli.walk_keys import forget_typed
from inspect_kit.errors import INTERRUPTED, UNREADABLE, USAGE, ProgramFault, StoreUnreadable
from inspect_kit.inspection import edit
from inspect_kit.inspection.questions import EQUIPMENT, NO_CHANGE, open_questions
from inspect_kit.inspection.walk import Blank, blanks, check_of_box
from inspect_kit.model.checklist import Check
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import AS_PLANNED
from inspect_kit.report.measure import continued
from inspect_kit.report.words import counted
from inspect_kit.text.page_values import BLANK

DAY = "2026-11-25"
JOB = "condition"
LINES_SHOWN = 15
EVERY_LINE = sys.maxsize
# What was never read and has no limit of its own, because something is reckoned from it or has its limit by it.
PLAUSIBLE = {
    "time until cut-off": Decimal("4.0"),
    "left tank time": Decimal(255),
    "right tank time": Decimal(262),
    "temperature": Decimal(59),
    "height above ground": Decimal(0),
    "bearing error": Decimal(2),
}
# The one reading that is out of limits: of the cylinder whose trend was shown, and what it reads after it was mended.
WEAK_LABEL, WEAK, MENDED = "cylinder 3", "54", "72"
NEXT = ("inspect-kit new my-sample --sample", "cd my-sample", "inspect-kit due")
LOADING = ("balance", "--aboard", "185,155", "--fuel", "full")


class _Typed(io.StringIO):
    """Standard input that shows what is typed, as a terminal does."""

    def isatty(self) -> bool:
        return True

    def readline(self, size: int | None = -1, /) -> str:  # type: ignore[override]
        line = super().readline(-1 if size is None else size)
        click.echo(line.rstrip("\n"))
        return line


class _Trimmed(io.TextIOBase):
    """Standard output that passes the first lines on and counts the rest."""

    def __init__(self, stream: TextIO, most: int) -> None:
        super().__init__()
        self.stream, self.left, self.hidden = stream, most, 0

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self.stream.encoding

    def isatty(self) -> bool:
        return self.stream.isatty()

    def fileno(self) -> int:
        return self.stream.fileno()

    def flush(self) -> None:
        self.stream.flush()

    def write(self, text: str) -> int:
        if not isinstance(text, str):
            # Whoever probes for a binary stream must find that this is none.
            raise TypeError("expected text")
        for line in text.splitlines(keepends=True):
            if self.left > 0:
                self.stream.write(line)
            else:
                self.hidden += line.endswith("\n")
            self.left -= line.endswith("\n")
        return len(text)


def run_tour(root: Path, target: Path | None, *, force: bool = False) -> int:
    """Run the job on the copy at `root`, which the caller takes away; the report stays at `target`, if there is one."""
    tour = _Tour(root, can_wait=sys.stdin.isatty() and sys.stdout.isatty())
    left = f"leaves {target}" if target is not None else "leaves nothing"
    tour.say(f"This is the sample aircraft, invented from nose to tail. The tour works on a copy and {left}.")
    tour.step("What are the reasons not to fly, what is due, what comes next?", "due")
    tour.step("How is one of these dates reckoned?", "due", "oil-change")
    tour.step("What did one cylinder read over the years, and where does it lead?", "trend", WEAK_LABEL)
    tour.step("Is it within its limits with two aboard, until the fuel is gone?", *LOADING)
    tour.step("Does the checklist cover all of Part 43 Appendix D?", "scope")
    tour.step("Which panels come off, in which order, by whom?", "plan", JOB, whole=True)
    logbook = tour.logbook()
    signer = next(person for person in logbook.aircraft.people if "repairman" in person.kind)
    today = _readings_today(logbook)
    # Whoever sits at a terminal and does not say what each meter reads now is asked.
    pairs = [f"{meter}={reads}" for meter, reads in today.items()]
    tour.step(
        "The job begins: the checks are copied to a page with open boxes, which any editor can show.",
        *("start", JOB, *pairs, "--by", signer.name),
    )
    page = tour.logbook().pages[0].place.file
    tour.head(page)
    tour.step("At the aircraft: one question after another (here the first two).", "walk", typed=["l", "s"], whole=True)
    weak = _fill_in(tour, page, signer.name)
    tour.say(f"The rest was filled in by pen and keys. {WEAK_LABEL.capitalize()} reads {WEAK}; one box was forgotten.")
    tour.step("May it be signed?", "sign", *pairs, "--as", signer.name, typed=[signer.name], expect=1)
    tour.step(
        "No. The weak reading becomes a finding,",
        *("finding", weak, f"{WEAK_LABEL}, {WEAK} psi, leaks past the exhaust valve", "--fix", "before flight"),
        *("--by", signer.name),
    )
    tour.step(
        "it is corrected and measured again,",
        *("finding", f"{Path(page).stem}#F1", "--cleared", f"valve lapped in place, {MENDED} psi after 5 min run"),
        *("--read", f"{WEAK_LABEL}={MENDED}", "--by", signer.name),
    )
    _forgotten_box(tour, page)
    tour.step(
        "and now the statement is shown in full; the signer types the name.",
        *("sign", *pairs, "--as", signer.name, "--ink", "aircraft log p. 61"),
        typed=[signer.name],
        whole=True,
    )
    tour.step("The short entry for the paper logbook.", "report", "--entry")
    tour.step("The signed-off report.", "report")
    if target is not None:
        again_over = ("--force",) if force else ()
        tour.step("The same as a page to print.", "report", "--to", str(target), *again_over)
    tour.step("And the next due date?", "due", JOB)
    tour.step("Is every record as it was sealed?", "verify")
    tour.say("That was the whole job. To go on with a copy of the sample aircraft type:", wait=False)
    click.echo("\n".join(f"    {line}" for line in NEXT))
    return 0


class _Tour:
    """The steps, one after another; `can_wait` is whether somebody sits there to press Enter between them."""

    def __init__(self, root: Path, *, can_wait: bool) -> None:
        self.root, self.can_wait, self.begun = root, can_wait, False

    def say(self, text: str, *, wait: bool = True) -> None:
        if self.can_wait and self.begun and wait:
            click.echo()
            # What was typed while a step was reckoned is no answer to what was not there to be read.
            forget_typed()
            if asked("Enter goes on", default="") is None:
                self.can_wait = False
        self.begun = True
        click.echo()
        say(text, bold=True)

    def step(self, why: str, *words: str, typed: Sequence[str] = (), expect: int = 0, whole: bool = False) -> None:
        """Say why, show the command, run it, show the first lines of what it says, or the `whole` of it.

        A command that answers otherwise than it must is a fault of the program.
        """
        from inspect_kit.cli.main import main

        self.say(why)
        command = "inspect-kit " + " ".join(_quoted(word) for word in words)
        room = shutil.get_terminal_size().columns - 2 if sys.stdout.isatty() else len(command)
        click.echo("$ " + "\n  ".join(continued(command, room)))
        click.echo()
        trimmed = _Trimmed(sys.stdout, EVERY_LINE if whole else LINES_SHOWN)
        with _typing(typed), redirect_stdout(trimmed):
            code = main(["--store", str(self.root), "--on", DAY, "--no-pager", *words])
        # Raises what the command met where nobody reads on, or nothing can be written: that ends the tour, and is no
        # fault of it.
        sys.stdout.flush()
        if code == INTERRUPTED:
            raise click.exceptions.Exit(INTERRUPTED)
        if trimmed.hidden:
            say(f"    ... and {counted(trimmed.hidden, 'line')} more: {command}")
        if code in (USAGE, UNREADABLE) and "--to" in words:
            raise StoreUnreadable("the tour ends here, for why stands above: give another file with `--to`")
        if code != expect:
            raise ProgramFault(f"the tour's `{words[0]}` ended with {code} instead of {expect}")

    def logbook(self) -> Logbook:
        loaded = store.load(self.root)
        if loaded.logbook is None:
            raise ProgramFault("the sample aircraft cannot be read")
        return loaded.logbook

    def head(self, name: str) -> None:
        """Show how a page begins."""
        lines = (self.root / name).read_text(encoding="utf-8").split("\n")
        click.echo()
        for line in lines[:LINES_SHOWN]:
            say(f"    {line}")
        say(f"    ... and {counted(max(0, len(lines) - LINES_SHOWN), 'line')} more: {name}")

    def change(self, name: str, verb: Callable[[edit.OpenPage], edit.OpenPage]) -> None:
        """Do to a page what a pen would do."""
        data = (self.root / name).read_bytes()
        with store.writing(self.root, command="tour") as writer:
            store.replace(writer, name, verb(again(data, name)).text.encode(), read=data)


def _quoted(word: str) -> str:
    return f'"{word}"' if " " in word else word


@contextmanager
def _typing(lines: Sequence[str]) -> Iterator[None]:
    """Type these lines when a command asks; without any, standard input is empty."""
    before = sys.stdin
    sys.stdin = _Typed("".join(f"{line}\n" for line in lines))
    try:
        yield
    finally:
        sys.stdin = before


def _readings_today(logbook: Logbook) -> dict[str, Decimal]:
    """What the meters show on the day: the last readings."""
    found = {}
    for meter in logbook.aircraft.meters:
        points = logbook.meter_history(meter).points
        if points:
            found[meter] = points[-1].reads
    return found


def _fill_in(tour: _Tour, page: str, signer: str) -> str:
    """Tick every box but one and write every reading but a weak one; the check with the weak reading."""
    logbook = tour.logbook()
    last = _last_values(logbook)
    weak = next(
        check.id for check in logbook.checks.values() for reads in check.reads if WEAK_LABEL in reads.labels
    )
    other = next(person.name for person in logbook.aircraft.people if person.name != signer)

    def fill(sheet: edit.OpenPage) -> edit.OpenPage:
        simple = [at for at, entry in enumerate(sheet.entries) if entry.is_check and not entry.answered]
        forgotten = [at for at in simple if not blanks(sheet.entries[at], check_of_box(logbook, sheet.entries[at]))][-1]
        # As a pen does: a mark in each box, a value on each blank; the page is read when all is written.
        lines = sheet.text.split("\n")
        for at, entry in enumerate(sheet.entries):
            if at == forgotten:
                continue
            box = entry.place.line - 1
            lines[box] = lines[box].replace("[ ]", "[x]", 1)
            check = check_of_box(logbook, entry)
            for blank in blanks(entry, check):
                value = _plausible(blank, check, last, other)
                head = f"- {blank.key}: "
                place = next(number for number in range(*entry.lines) if lines[number].lstrip().startswith(head))
                before, _, printed = lines[place].partition(BLANK)
                lines[place] = f"{before}{value}{printed if blank.is_reading else ''}"
        sheet = again("\n".join(lines).encode(), page)
        for entry in sheet.entries:
            if entry.is_standing:
                why = "watched, and no worse than a year ago"
                sheet = edit.put_off(sheet, entry.id, f"at next {JOB} inspection", why)
        for key in open_questions(logbook, sheet.page):
            shown = NO_CHANGE if key == EQUIPMENT else "{not needed: full travel and direction checked by two people}"
            sheet = edit.answer_page(sheet, key, shown)
        return sheet

    def weaken(sheet: edit.OpenPage) -> edit.OpenPage:
        box = sheet.box(weak)
        assert box is not None
        reading = next(reading for reading in sheet.entries[box].readings if reading.label == WEAK_LABEL)
        old = sheet.text.split("\n")[reading.place.line - 1]
        return edit.replace_line(sheet, reading.place.line, old.replace(f": {reading.value} ", f": {WEAK} ", 1))

    tour.change(page, fill)
    tour.change(page, weaken)
    return weak


def _forgotten_box(tour: _Tour, page: str) -> None:
    """The forgotten box ticked."""

    def finish(sheet: edit.OpenPage) -> edit.OpenPage:
        for at, entry in enumerate(sheet.entries):
            if not entry.answered:
                sheet = edit.tick_in_order(sheet, at)
        return sheet

    tour.change(page, finish)


def _last_values(logbook: Logbook) -> dict[tuple[str, str], str]:
    """The readings of the last inspection, by check and label."""
    found: dict[tuple[str, str], str] = {}
    for record in logbook.of_kind(Inspection):
        found |= {(reading.check, reading.label): reading.last.split(" ")[0] for reading in record.readings}
    return found


def _plausible(blank: Blank, check: Check | None, last: dict[tuple[str, str], str], other: str) -> str:
    """What might be written on one blank."""
    if not blank.is_reading:
        return {
            "second look by": other,
            "good until": "2030-11-30",
            "paper": "work order 118",
            "used": AS_PLANNED,
        }[blank.key]
    assert check is not None
    reads = next(reads for reads in check.reads if blank.key in reads.labels)
    if reads.in_words:
        return "clean, nothing found"
    value = last.get((check.id, blank.key), "")
    number = Decimal(value) if value.replace(".", "", 1).isdigit() else None
    if number is None or (reads.bound and not reads.bound.holds(number)):
        low, high = (reads.bound.low, reads.bound.high) if reads.bound else (None, None)
        number = low if low is not None else high if high is not None else PLAUSIBLE.get(blank.key, Decimal(10))
    return str(number)
