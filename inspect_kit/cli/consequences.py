"""What the records that a command wrote made owed, told at its end."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path

from inspect_kit.cli.desk import Desk
from inspect_kit.cli.said import PRESSES, say
from inspect_kit.due import DueAnswer, all_fittings, chronicle, due, makes_owed
from inspect_kit.due.phases import lifted_by
from inspect_kit.due.sequences import too_early
from inspect_kit.model.checklist import SETUP, title
from inspect_kit.model.finding import DONE
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.kinds.installed import Installed
from inspect_kit.model.kinds.removed import Removed
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import Cause, Deeds, at_once, deeds, owed_by
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import FLOWN, Record
from inspect_kit.plan import in_order, out_of_order, panels_for
from inspect_kit.report import left_sentences
from inspect_kit.report.naming import flight_check_words, with_id
from inspect_kit.report.words import joined


def tell_consequences(desk: Desk) -> None:
    """Say what was made owed by what this command wrote, and what becomes due later by it; nothing where it is none."""
    if not desk.written:
        return
    logbook = desk.logbook()
    names = [Path(file).stem for file in desk.written if file.endswith(".yaml")]
    for reference, finding in logbook.standing().items():
        # What is signed was just read in full; whatever else raised a finding says that it stands now.
        if (name := reference.partition("#")[0]) in names and not isinstance(logbook.record(name), Inspection):
            mark = f"{PRESSES} " if finding.before_flight else ""
            say(f"{mark}{reference} is open, to fix {finding.fix}: {finding.text}")
    for sentence in _too_early(logbook, names):
        say(sentence)
    for sentence in _flown(logbook, names):
        say(sentence)
    out = {logbook.id_now(each.position) for each in logbook.of_kind(Removed) if each.name in names}
    made = made_owed(logbook, names)
    ticked = _ticked(logbook, names)
    if not made and not out and not ticked:
        return
    answer = due(logbook, desk.today, expect=False)
    for position in sorted(out & {*answer.emptied}):
        then = f"{_barred(logbook, position)}: {desk.typed(f'install {position}')}"
        mark = f"{PRESSES} " if logbook.aircraft.positions[position].bars.flight else ""
        say(f"{mark}Nothing is fitted in {position} now{then}", err=True)
    # Of what was entered for a day gone by: what was done by that day's end is owed by something later.
    that_day = due(logbook, desk.on, expect=False) if desk.on < desk.today else answer
    owed = [name for name in made if _is_owed(answer, name) and _is_owed(that_day, name)]
    still = {name: why for name, why in made.items() if logbook.checks[name].first or name in owed}
    for name in sorted(each for each in ticked if _is_owed(answer, each) and _is_owed(that_day, each)):
        # Of what a page ticks, what `due` says: something else may have made it owed while the page was open.
        since = made_owed(logbook, makes_owed(logbook, desk.today, name)).get(name, made.get(name, ()))
        still |= {name: tuple(dict.fromkeys(since))} if since else {}
    for sentence in left_sentences(still, logbook, answer):
        say(sentence)
    for sentence in _on_the_same_day(logbook, names, answer, made.keys() - still.keys()):
        say(sentence)
    # A page that was begun later is no place for what was owed then.
    pages = [page for page in logbook.pages if page.begun <= desk.on]
    boxes = {logbook.id_now(box.id) for page in pages for box in page.checks if not box.answered}
    now = [name for name in still if not logbook.checks[name].first]
    if now and boxes.issuperset(now):
        say(f"They stand on the open page, to be done there: {desk.typed('walk')}")
    elif now:
        said = {*now}
        # What was owed before and comes before an engine run of these: typed without it the line would be asked back.
        before = [item.check for item in answer.items if item.owed and item.check in logbook.checks]
        more = [""]
        while more:
            more = [*_by_these(logbook, now)]
            if not more:
                firsts = out_of_order(logbook.checks, logbook.panels, now, before)
                more = [*dict.fromkeys(each.before for each in firsts if each.before not in now)]
            now += more
        now = [*in_order(logbook.checks, logbook.panels, now), *_clock_then(logbook, names)]
        if with_it := [with_id(logbook, name) for name in now if name in logbook.checks and name not in said]:
            say(f"With it goes what is owed by that again, or comes before an engine runs: {joined(with_it)}.")
        line = desk.typed(f"work {' '.join(now)} --in-order")
        say(f"When that is done: {line}")


def _flown(logbook: Logbook, names: Sequence[str]) -> Iterator[str]:
    """By which words a flight check is done: no list of words tells them all that it was not found good."""
    for record in filter(None, map(logbook.record, names)):
        check = record.flight_check
        if check is not None and check.word == FLOWN:
            lifted = joined([each.name for each in lifted_by(chronicle(logbook), record.name)])
            told = f"Passengers are no longer barred by {lifted}" if lifted else "The flight check is done"
            words = flight_check_words(logbook.aircraft, check)
            yield f"{told}, by these words: {words.removesuffix('.')}."


def _too_early(logbook: Logbook, names: Sequence[str]) -> Iterator[str]:
    """What was done too early to answer what `first` asks for: it is due as it was."""
    book = chronicle(logbook)
    for name in names:
        for check in book.sequences.get(name, ()):
            if check not in logbook.checks or not logbook.checks[check].first:
                continue
            found = too_early(logbook.checks[check], book, all_fittings(book), name)
            if found is not None:
                entry, start = found
                told = f"was done too early to answer the {entry} {start.words} of {start.moment.date}"
                yield f"{with_id(logbook, check)} {told}: it is due as it was."


def _by_these(logbook: Logbook, names: Sequence[str]) -> Iterator[str]:
    """What these checks make owed themselves, by being done and by the setups that they are done in: plugs are out."""
    setups = {setup for name in names for setup in panels_for(logbook.panels, [logbook.checks[name]])}
    setups = {name for name in setups if logbook.panels[name].kind == SETUP}
    for name in owed_by(logbook.checks, deeds(logbook.checks, logbook.panels, did=names, closed=sorted(setups))):
        if name not in names and at_once(logbook.checks[name]):
            yield name


def _on_the_same_day(
    logbook: Logbook, names: Sequence[str], answer: DueAnswer, done: Collection[str]
) -> Iterator[str]:
    """What counts as done after the new entry because nothing says which of two of one day and reading came first."""
    clock = logbook.aircraft.time_in_service
    written = {record.date: record for record in map(logbook.record, names) if record is not None}
    for name in sorted(done):
        item = answer.item(name)
        other = logbook.record(Path(item.last.place.file).stem) if item is not None and item.last is not None else None
        if item is None or other is None or other.name in names or other.date not in written:
            continue
        if all(_answered_itself(logbook, each, name) for each in names if name in made_owed(logbook, [each])):
            continue
        now, then = written[other.date].meters.get(clock), other.meters.get(clock)
        if now is None or then is None or then <= now:
            yield (
                f"{title(item.name)} ({name}) of the same day, {other.name}, counts as done after this. If it came "
                "first, it is owed: do it once more, and write that down."
            )


def _answered_itself(logbook: Logbook, entry: str, name: str) -> bool:
    """Whether an entry that makes a check owed has done it too, after that: then nothing of the day is asked."""
    record = logbook.record(entry)
    if not isinstance(record, PageRecord) or name in map(logbook.id_now, record.left_owed):
        return False
    return name in map(logbook.id_now, _done(record))


def _barred(logbook: Logbook, position: str) -> str:
    """What an empty position forbids, to go on a sentence with."""
    bars = logbook.aircraft.positions[position].bars
    if bars.flight:
        return ", a reason on record not to fly"
    return f", and not to be used is {bars.what}" if bars.what else ""


def _clock_then(logbook: Logbook, names: Sequence[str]) -> tuple[str, ...]:
    """`tach=328.1`, as the records that were just written read it: nobody types it twice."""
    clock = logbook.aircraft.time_in_service
    written = [record for record in map(logbook.record, names) if record is not None]
    reads = [record.meters[clock] for record in written if clock in record.meters]
    return (f"{clock}={max(reads):f}",) if reads else ()


def _ticked(logbook: Logbook, names: Sequence[str]) -> set[str]:
    """The checks that are ticked on the pages which these records sealed."""
    sealed = [each for each in map(logbook.record, names) if isinstance(each, PageRecord) and each.sheet]
    return {now for each in sealed for name in _done(each) if (now := logbook.id_now(name)) in logbook.checks}


def _is_owed(answer: DueAnswer, name: str) -> bool:
    item = answer.item(name)
    return item is not None and item.owed


def made_owed(logbook: Logbook, names: Sequence[str]) -> Mapping[str, tuple[Cause, ...]]:
    """The checks that these records make owed, or due later, whether they have been done since or not."""
    found: dict[str, tuple[Cause, ...]] = {}
    for record in (logbook.record(name) for name in names):
        for check, why in owed_by(logbook.checks, _deeds_of(logbook, record)).items():
            found[check] = (*found.get(check, ()), *why)
    return found


def _deeds_of(logbook: Logbook, record: Record | None) -> Deeds:
    now = logbook.id_now
    if isinstance(record, Installed):
        return deeds(logbook.checks, logbook.panels, installed=[now(record.position)])
    if not isinstance(record, PageRecord):
        return Deeds()
    own = {*record.disturbed, *(what for result in record.results for what in result.disturbed)}
    made = deeds(
        logbook.checks,
        logbook.panels,
        did=[now(name) for name in _done(record)],
        closed=[now(name) for name in record.opened],
    )
    said = deeds(logbook.checks, logbook.panels, disturbed=sorted({now(what) for what in own} - set(made.disturbed)))
    return Deeds(did=made.did, disturbed={**made.disturbed, **said.disturbed})


def _done(record: PageRecord) -> Iterator[str]:
    answers = {result.check: result.answer for result in record.results}
    yield from (name for name, answer in answers.items() if answer == DONE)
    yield from (name for name in record.did if name not in answers)
