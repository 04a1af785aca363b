"""What a command works with: the clock and the store. Only here are time and environment known.

Every command reads this module, and help and completion too: what only some of them use is imported where it is used.
"""

from __future__ import annotations

import datetime as dt
import os
import re
import sys
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import field, replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from inspect_kit import store
from inspect_kit.cli.alive import SignsOfLife
from inspect_kit.cli.said import say
from inspect_kit.errors import UNREADABLE, Fallen, InspectKitError, Misused, Place, Problem, StoreUnreadable
from inspect_kit.noun import dataclass

if TYPE_CHECKING:

    from inspect_kit.model.aircraft import Identity
    from inspect_kit.model.logbook import Logbook
    from inspect_kit.model.record import Record

    # From the logbook, the name of a new record and the seals that it is to name, to the record.
    Make = Callable[[Logbook, str, tuple[str, ...]], Record]


@dataclass(frozen=True, slots=True)
class Worse:
    """What a change would add to the problems of the store: `lines`, and a reading that would have `fallen` by it.

    Of the two readings `fallen` names the one that is on record; `is_earlier` says which that is. `past` are the words
    that put right what was brought forward, where that is contradicted. `doubts` are the same lines where words why it
    is right would be all that is missing.
    """

    lines: str
    fallen: Fallen | None
    is_earlier: bool = True
    past: str = ""
    doubts: str = ""

    def refusal(self, head: str) -> str:
        """What is refused, with these problems and what to do next."""
        told = f"{head}, because of\n{self.lines}\n"
        if self.past:
            return f"{told}If it was done last on that day, that is told instead: inspect-kit {self.past}"
        if self.fallen is None or not self.fallen.earlier.file.endswith(".yaml"):
            return f"{told}Give it otherwise, or correct first what it contradicts."
        meter, record = self.fallen.meter, Path(self.fallen.earlier.file).stem
        changed = f"If {meter} was changed: inspect-kit meter {meter}."
        if not self.is_earlier:
            changed = f"If {meter} was changed in between: inspect-kit --on DATE meter {meter}."
        which = "the earlier one" if self.is_earlier else "the later one"
        wrong = f"If {which} is wrong: inspect-kit amend {record} {meter}=READING."
        return f"{told}{changed} {wrong}"


class Unexplained(Misused):
    """What was to be written stands only with a reason why it is right: `doubts` are what makes it wrong without."""

    def __init__(self, worse: Worse) -> None:
        super().__init__(worse.refusal("nothing was written"))
        self.doubts = worse.doubts


@dataclass(slots=True)
class Desk:
    """One run of the program. `today` is the clock's date, `on` what `--on` says, else today.

    `told` are the problems that were said, `mended` those that what is written takes away, `notes` what sealed records
    say wrongly, `written` the files written so far, `was_to_write` whether there was to be one.
    `signs` tell on a terminal that it still works.
    `folders` are the stores where several were named; `prefix` the name of this one in what is told of it then. `keeps`
    says whether what files were read as may be taken from the cache: not for what is written, sealed or verified.
    `options` are the options of this command by the keys that they fill, where they are called otherwise.
    """

    folder: Path | None
    given_on: dt.date | None
    today: dt.date
    told: list[Problem] = field(default_factory=list)
    mended: set[tuple[str, str]] = field(default_factory=set)
    notes: tuple[Problem, ...] = ()
    written: list[str] = field(default_factory=list)
    was_to_write: bool = False
    folders: tuple[Path, ...] = ()
    prefix: str = ""
    keeps: bool = False
    signs: SignsOfLife = field(default_factory=SignsOfLife)
    options: Mapping[str, str] = field(default_factory=dict)

    @property
    def on(self) -> dt.date:
        return self.given_on or self.today

    def typed(self, words: str) -> str:
        """A command line to type next: of the same day as this one."""
        on = "" if self.on == self.today else f"--on {self.on} "
        return f"inspect-kit {on}{words}"

    @property
    def root(self) -> Path:
        """The folder of the store: `--store`, or found upwards from the current folder."""
        return store.at(self.folder) if self.folder is not None else store.find_store(Path.cwd())

    def stamps(self) -> object:
        """How the files of the store stand, by which a change of one is known; the same wherever there is none."""
        try:
            return store.stamps(self.root)
        except InspectKitError:
            return {}

    def loaded(self) -> tuple[store.Loaded, Logbook]:
        """The store as read, with every problem told once; StoreUnreadable when no answer can be given.

        What sealed records say wrongly is kept in `notes`.
        """
        from inspect_kit.due import done_by
        from inspect_kit.model.in_use import in_use_on

        loaded = store.load(self.root, self.signs.count, cache_folder() if self.keeps else None)
        if self._as_of(loaded) is loaded:
            told = store.kept_problems(loaded, self.today, lambda: self._told(loaded))
        else:
            told = self._told(loaded)
        found = store.pointed(told, loaded.files)
        problems = tuple(problem for problem in found if not problem.note)
        self.notes = tuple(problem for problem in found if problem.note)
        self.tell(problems)
        if loaded.logbook is None:
            raise StoreUnreadable(
                "without a readable records/aircraft.yaml no answer can be given: mend what is named above"
            )
        # What was done on a day to come was not done: neither an answer nor a signature may rest on it.
        return loaded, with_problems(in_use_on(done_by(loaded.logbook, self.today), self.on), problems)

    def _told(self, loaded: store.Loaded) -> tuple[Problem, ...]:
        """All problems as an answer tells them: a clock that is behind once, and not at every record dated later."""
        from inspect_kit.audit import audit, clock_behind

        loaded = self._as_of(loaded)
        if loaded.logbook is None:
            return self.problems_of(loaded)
        if (behind := clock_behind(loaded.logbook.records, self.today)) is None:
            # Told, and no reason against a new record: each command that writes one asks the order where it matters.
            return (*self.problems_of(loaded), *_unsaid(loaded.logbook))
        clock = Problem(Place(loaded.logbook.aircraft.place.file), behind)
        return merged(loaded.problems, (*audit(loaded.logbook), *_problems_of_parts(loaded.logbook, self.today), clock))

    def notes_of_day(self, loaded: store.Loaded, logbook: Logbook) -> tuple[Problem, ...]:
        """The notes; of a day gone by also on what an answer of that day takes one way or the other, though later
        records settled it.
        """
        from inspect_kit.due import seen_on

        if self.on >= self.today:
            return self.notes
        return merged(self.notes, store.pointed(_unsaid(seen_on(logbook, self.on)[0]), loaded.files))

    def _as_of(self, loaded: store.Loaded) -> store.Loaded:
        """The store in which what went after the day of `--on` is still in use; the same one where nothing did."""
        from inspect_kit.model.in_use import in_use_on

        if loaded.logbook is None or self.on >= self.today:
            return loaded
        book = in_use_on(loaded.logbook, self.on)
        return loaded if book is loaded.logbook else replace(loaded, logbook=book)

    def problems_of(self, loaded: store.Loaded) -> tuple[Problem, ...]:
        """All that could not be read and all that contradicts itself or the clock, notes included.

        No answer counts what is dated after its day, so what is dated after the clock's is told by every command.
        """
        from inspect_kit.audit import audit

        loaded = self._as_of(loaded)
        if loaded.logbook is None:
            return loaded.problems
        found = (*audit(loaded.logbook, self.today), *_problems_of_parts(loaded.logbook, self.today))
        return merged(loaded.problems, found)

    def logbook(self) -> Logbook:
        return self.loaded()[1]

    def tell(self, problems: tuple[Problem, ...]) -> None:
        """Say problems on standard error, each once."""
        from inspect_kit.report.pages.problems import gathered

        new = [problem for problem in dict.fromkeys(problems) if problem not in {*self.told}]
        self.told += new
        for problem in gathered(new):
            say(f"{self.prefix}{problem}", err=True, always=True)

    def code(self, answer: int) -> int:
        """The exit code: a store that cannot be read whole beats a no. What this run put right is whole again."""
        mended = [each for each in self.told if self.written and _regardless_of_line(each) in self.mended]
        for problem in dict.fromkeys(each.place for each in mended):
            say(f"{self.prefix}{problem}: corrected by this, and no problem any more", err=True)
        return UNREADABLE if len(mended) < len(self.told) and answer in (0, 1) else answer

    def entry_day(self) -> dt.date:
        """The date of an entry: `--on`, never in the future."""
        if self.on > self.today:
            raise Misused(
                f"{self.on} is in the future: what has not been done cannot be written down. Give the day on which it "
                "was, --on DATE"
            )
        return self.on

    @contextmanager
    def writing(self, command: str) -> Iterator[store.Writer]:
        """The right to write, alone; whoever has to wait is told for whom."""
        self.was_to_write = True
        with store.writing(self.root, command=command, waiting=self.waiting) as writer:
            try:
                yield writer
            finally:
                self.written += [name for name in writer.wrote if name not in self.written]

    def so_far(self) -> str:
        """What this run has written, as the end of a sentence about why it stops."""
        if not self.written:
            return "nothing was written"
        # A page that was sealed is taken away from its place.
        gone = [name for name in self.written if not (self.root / name).exists()]
        ends = (([name for name in self.written if name not in gone], "written"), (gone, "taken away"))
        told = (f"{', '.join(names)} {'is' if len(names) == 1 else 'are'} {what}" for names, what in ends if names)
        return "; ".join(told)

    def waiting(self, holder: str) -> None:
        """Say for whom this command waits."""
        say(f"waiting for {holder} to finish writing ...", err=True)

    def enter(self, command: str, words: str, make: Make, *, beside: Mapping[str, bytes] = MappingProxyType({})) -> str:
        """Write a new record, and files `beside` it in its folder; the file's name relative to the store.

        `make` gets the logbook, the name of the record and the seals to name, and gives the record. If the new record
        would contradict what stands, nothing is written.
        """
        with self.writing(command) as writer:
            return self.put_all(writer, *self.loaded(), [(words, make)], beside)[0]

    def enter_all(self, command: str, entries: Sequence[tuple[str, Make]]) -> list[str]:
        """Several new records in one go: all of them, or none if they would contradict what stands."""
        with self.writing(command) as writer:
            return self.put_all(writer, *self.loaded(), entries)

    def put(self, writer: store.Writer, loaded: store.Loaded, logbook: Logbook, words: str, make: Make) -> str:
        """A new record with the lock held already, and the store as it was read since."""
        return self.put_all(writer, loaded, logbook, [(words, make)])[0]

    def put_all(
        self,
        writer: store.Writer,
        loaded: store.Loaded,
        logbook: Logbook,
        entries: Sequence[tuple[str, Make]],
        beside: Mapping[str, bytes] = MappingProxyType({}),
    ) -> list[str]:
        """The same with several records, each with these files beside it: all are looked at before one is written."""
        from inspect_kit.text.record import write_record

        texts: dict[str, bytes] = {}
        for words, make in entries:
            name = store.record_name(self.on, words, store.new_code())
            stem = name.rsplit("/", 1)[-1].removesuffix(".yaml")
            texts[name] = write_record(make(logbook, stem, store.heads(loaded.files))).encode()
        if worse := self.new_problems(loaded, texts):
            raise Unexplained(worse) if worse.doubts else Misused(worse.refusal("nothing was written"))
        papers = {store.beside(name, file): data for name in texts for file, data in beside.items()}
        store.create_all(writer, {**papers, **texts})
        if sys.stderr.isatty():
            say(whose(logbook.aircraft.identity), err=True)
        return list(texts)

    def new_problems(self, loaded: store.Loaded, changes: Mapping[str, bytes | None]) -> Worse | None:
        """What these files would add to the problems of the store, a line each; None if nothing.

        The whole store is asked as it would be. What was wrong before and stays so keeps nobody from writing.
        """
        from inspect_kit.audit import clock_behind
        from inspect_kit.model.kinds.amendment import Amendment

        after = store.would_be(loaded, changes)
        before = Counter(map(_regardless_of_line, self.problems_of(loaded)))
        lines: list[str] = []
        doubts: list[str] = []
        fallen: Fallen | None = None
        is_earlier = True
        places: set[Place] = set()
        never = [name for name, data in changes.items() if data is not None and name not in loaded.files]
        records = loaded.logbook.records if loaded.logbook else ()
        # What was written under a wrong date can be withdrawn all the same.
        if (behind := clock_behind(records, self.today)) is not None and not any(map(store.is_withdrawn, changes)):
            lines.append(f"  {behind}")
        there = after.logbook.of_kind(Amendment) if after.logbook else ()
        amended = {each.of for each in there if each.place.file in changes}
        own = [record.place.file for record in records if record.name in amended]
        left = self.problems_of(after)
        # What another record says stays wrong, in other words, where what it is told against changes.
        gone = before - Counter(map(_regardless_of_line, left))
        reworded = Counter(map(_in_other_words, gone.elements()))
        kept: list[tuple[str, str]] = []
        for problem in left:
            before[_regardless_of_line(problem)] -= 1
            # Of a withdrawal dated before what it withdraws a note is made: the clock was ahead then.
            noted = problem.note and store.is_withdrawn(problem.place.file)
            if before[_regardless_of_line(problem)] < 0 and not noted:
                words = _in_other_words(_regardless_of_line(problem))
                if reworded[words] > 0 and problem.place.file not in (*changes, *own):
                    reworded[words] -= 1
                    kept.append(words)
                    continue
                place = "" if problem.place.file in changes else f"{problem.place}: "
                told, doubt = self._by_options(problem, never)
                lines.append(f"  {place}{without(told, never)}")
                if problem.unless:
                    doubts.append(f"  {place}{without(doubt, never)}")
                places.add(problem.place)
                if fallen is None:
                    fallen, is_earlier = fallen_on_record(problem, never)
        self.mended = {each for each in gone if _in_other_words(each) not in kept}
        unexplained = "\n".join(doubts) if len(doubts) == len(lines) else ""
        sealed = [record.place.file for record in records if record.seal and record.name not in amended]
        if any(file in line for line in lines for file in sealed):
            cure = "what was sealed wrongly is corrected by an `amendment`: inspect-kit amend RECORD"
            lines.append(f"  {cure}")
        elif any(file in line for line in lines for file in own):
            lines.append("  what else is wrong in the same record is said in the same amendment")
        past = _of_the_past(loaded.logbook, places, self.on)
        return Worse("\n".join(lines), fallen, is_earlier, past, unexplained) if lines else None

    def _by_options(self, problem: Problem, never: Collection[str]) -> tuple[str, str]:
        """A message, and what is doubtful by it; of what this command was to write it names options and not keys."""
        doubt = problem.message.removesuffix(problem.unless)
        if problem.place.file not in never:
            return problem.message, doubt
        key, _, rest = doubt.partition(": ")
        doubt = f"--{self.options[key]}: {rest}" if key in self.options else doubt
        return f"{doubt}{problem.unless.replace('under `because`', 'with --reason')}", doubt


def _of_the_past(logbook: Logbook | None, places: set[Place], day: dt.date) -> str:
    """What tells that something was last done on a day, where lines contradict it that brought its past forward."""
    from inspect_kit.due.unwritten import told_instead
    from inspect_kit.model.kinds.brought_forward import BroughtForward
    from inspect_kit.model.lines import place_of

    for start in logbook.of_kind(BroughtForward) if logbook is not None else ():
        found = [name for name in start.last if places & {place_of(start, "last", name)}]
        if found and logbook is not None and day < start.date:
            return told_instead(logbook, start, found, day)
    return ""


def _unsaid(logbook: Logbook) -> tuple[Problem, ...]:
    """What an answer takes one way only because nothing on record says otherwise, as notes."""
    from inspect_kit.due import opened_unsaid, order_unsaid, stay_unsaid

    return (*order_unsaid(logbook), *opened_unsaid(logbook), *stay_unsaid(logbook))


def _problems_of_parts(logbook: Logbook, day: dt.date) -> tuple[Problem, ...]:
    """What contradicts itself about parts, and about readings, one after another on the parts they were taken on."""
    from inspect_kit.due.changes import change_problems
    from inspect_kit.due.fitting import grown_younger
    from inspect_kit.due.past_limits import cleared_problems
    from inspect_kit.due.rechecks import owed_no_more, watched_no_more
    from inspect_kit.due.relabelled import ended_series

    found = (change_problems, grown_younger, cleared_problems, watched_no_more, ended_series)
    return (*(problem for each in found for problem in each(logbook)), *owed_no_more(logbook, day))


def whose(identity: Identity) -> str:
    """Into whose records an entry went, for whoever sits in the folder of another aircraft."""
    return f"written for {identity.registration}, {identity.make} {identity.model} {identity.serial}"


def fallen_on_record(problem: Problem, never: Collection[str]) -> tuple[Fallen | None, bool]:
    """Of two readings of which one fell the one that stands in none of the files that are never written, and whether
    that is the earlier one: what was never written cannot be amended.
    """
    falls = problem.fallen
    if falls is None or falls.earlier.file not in never:
        return falls, True
    return (None, True) if problem.place.file in never else (replace(falls, earlier=problem.place), False)


def without(message: str, files: Iterable[str]) -> str:
    """A message in which no file is named that is never written."""
    for file in files:
        message = re.sub(rf"{re.escape(file)}(:[0-9]+)?", "what was to be written", message)
        # A photograph may be called by any word; a record's name is no word of a sentence.
        ticked = "?" if file.endswith(".yaml") else ""
        stem = re.escape(Path(file).stem)
        # Nor is it what somebody meant.
        message = re.sub(rf"`{stem}` or (?=`)|(?<=`) or `{stem}`(?=\?)|; did you mean `{stem}`\?", "", message)
        message = re.sub(rf"`{ticked}{stem}`{ticked}", "what was to be written", message)
    return message


def _regardless_of_line(problem: Problem) -> tuple[str, str]:
    """A problem as the same one before and after an edit, which moves the lines of its file."""
    return problem.place.file, re.sub(r"((?<=line )|(?<=\.md:)|(?<=\.yaml:))\d+", "", problem.message)


def _in_other_words(problem: tuple[str, str]) -> tuple[str, str]:
    """A problem as the same one in whatever names, numbers and places it is told, and its advice."""
    file, message = problem
    return file, re.sub(r"inspect-kit .*|`[^`]*`|\(records/\S*\)|\d[\d.,:-]*", "...", message)


def cache_folder() -> Path | None:
    """The user's folder for what can be made anew: LOCALAPPDATA on Windows, else by the XDG Base Directory words."""
    said = os.environ.get("LOCALAPPDATA" if os.name == "nt" else "XDG_CACHE_HOME", "")
    if said and Path(said).is_absolute():
        return Path(said) / "inspect-kit"
    try:
        return Path.home() / ".cache" / "inspect-kit"
    except RuntimeError:
        return None


def merged(first: tuple[Problem, ...], second: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """All problems, each once, by place."""
    return tuple(sorted({*first, *second}, key=lambda problem: (problem.place, problem.message)))


def with_problems(logbook: Logbook, problems: tuple[Problem, ...]) -> Logbook:
    return logbook.with_same_records(problems=problems)
