"""What stands on a page and would be sealed unread: words that `start` did not print and that are no entry.

Nothing a person wrote may be overlooked, so each of them is named before a signature. What begins like a key is told
as soon as the page is read (`text.items`); here is the rest: remarks between the boxes, in a code fence, or written on
the line of a box. Text before the first box is free.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from inspect_kit.inspection.signing import Request
from inspect_kit.inspection.start import printed_lines
from inspect_kit.model.owed import causes, deeds
from inspect_kit.model.worksheet import Entry, Loose, Missing
from inspect_kit.text.spelling import DASHES
from inspect_kit.text.worksheet import NEVER_NOTES
from inspect_kit.text.worksheet_out import OWED, PRINTED_BEFORE, panel_words, standing_words


def unread(request: Request) -> Iterator[Missing]:
    """Every line, and every word on the line of a box, that is neither printed nor an entry."""
    printed = {_plain(line) for line in printed_lines(request.logbook.panels, request.logbook.checks)}
    below: dict[int, list[Loose]] = {}
    between = [loose for loose in request.page.loose if not loose.key and loose.box is None]
    wrapped = _wrapped(between, lambda line: _plain(line) in printed or _says_owed(request, line))
    for loose in request.page.loose:
        if loose.key:
            continue
        if loose.box is not None:
            below.setdefault(loose.box, []).append(loose)
        elif loose.place.line not in wrapped:
            told = f"{_quoted(loose.text)} is no entry and nothing that was printed"
            if loose.text.startswith(PRINTED_BEFORE):
                told += " by the checklists as they are now (if they were changed since, take the line out)"
            yield Missing("", f"{told}: {CURE}", loose.place)
    for at, entry in enumerate(request.page.entries):
        yield from _words(request, entry, below.get(at, []))
        for note in filter(LIKE_AN_ENTRY.match, entry.notes):
            told = f"{_quoted(note)} stands in a note: give it a line of its own, without `note`"
            if entry.is_panel and "disturbed" in note.casefold():
                told += ", under the box of a check of that panel"
            yield Missing(entry.id, told, entry.place)
        for words in _written(entry):
            if JOINED.search(words) and not (words in entry.notes and LIKE_AN_ENTRY.match(words)):
                told = f"{_quoted(words)} has an entry behind other words: give it a line of its own"
                yield Missing(entry.id, told, entry.place)
    yield from _unfound(request)


# Over so many lines an editor may break one that was printed.
WRAPPED = 20


def _wrapped(between: Sequence[Loose], was_printed: Callable[[str], bool]) -> set[int]:
    """The lines between the boxes that were printed, also where an editor broke one of them into several."""
    found: set[int] = set()
    for at, first in enumerate(between):
        words, lines = "", list[int]()
        for loose in between[at : at + WRAPPED] if first.place.line not in found else ():
            if lines and loose.place.line != lines[-1] + 1:
                break
            # A quotation may go on with its mark, or without.
            more = loose.text.removeprefix(">") if words.startswith(">") else loose.text
            words, lines = f"{words} {more}".strip(), [*lines, loose.place.line]
            if was_printed(words):
                found |= {*lines}
                break
    return found


def _says_owed(request: Request, line: str) -> bool:
    """Whether a line says what something is owed after, and nothing else: of what may make it so, any."""
    line = _plain(line)
    if not (line.startswith(OWED) and line.endswith(".")):
        return False
    book = request.logbook
    every = deeds(book.checks, book.panels, did=book.checks, closed=book.panels, renews=True)
    known = {_plain(str(each)) for check in book.checks.values() for each in causes(check, every)}
    return {*line.removeprefix(OWED)[:-1].split("; ")} <= known


def _unfound(request: Request) -> Iterator[Missing]:
    """The id of a finding within other words, where the page has no finding of that name: `- note: crack F1`."""
    known = {finding.id for entry in request.page.entries for finding in entry.findings}
    known |= {entry.id.partition("#")[2] for entry in request.page.entries if entry.is_standing}
    for entry in request.page.entries:
        for words in (*filter(lambda each: not LIKE_AN_ENTRY.match(each), entry.notes), *_told(entry)):
            for found in FINDING_ID.findall(words):
                if found.upper() not in known and not JOINED.search(words):
                    told = f"{_quoted(words)} names {found}, and the page has no such finding: {CURE_ID}"
                    yield Missing(entry.id, told, entry.place)
                    break


def _told(entry: Entry) -> Iterator[str]:
    """Words of a box that tell of what was seen, notes aside."""
    yield from (reading.last for reading in entry.readings)
    yield from filter(None, (entry.reason, entry.may_wait, entry.cleared.text if entry.cleared else ""))
    for finding in entry.findings:
        yield finding.text
        yield from filter(None, (finding.may_wait, finding.cleared.text if finding.cleared else ""))


# Not within a word, nor behind the name of a record: `2026-05-20-finding-f7xk#F1`.
FINDING_ID = re.compile(r"(?i)(?<![#\w-])F\d{1,2}(?![\w-])")
CURE_ID = "write `- found: ...` on a line of its own, or the earlier finding's whole name, RECORD#F1"


def _written(entry: Entry) -> Iterator[str]:
    """What a person may have written freely in the lines of a box."""
    yield from entry.notes
    yield from (reading.last for reading in entry.readings)
    yield from filter(None, (entry.used, entry.paper, entry.reason, entry.may_wait))
    if entry.cleared is not None:
        yield entry.cleared.text


# An entry behind other words of its line, as an editor joins two lines: `- note: looked - found: F1 crack`.
JOINED = re.compile(
    rf"(?i)\bfound\s?[:\uff1a]|[(\u2013\u2014;,.|)*>\u2022-]\s*(?:{'|'.join(map(re.escape, NEVER_NOTES))})\s?[:\uff1a]"
)
# A note that begins as an entry does: `- note: found: crack`, `- note: F1 crack`.
LIKE_AN_ENTRY = re.compile(
    rf"(?i)\W*(?:(?:{'|'.join(map(re.escape, NEVER_NOTES))})\W{{0,3}}[:\uff1a]|F\d+\b|not done\b)"
)
CURE = "write it below its box as `- note: ...` or `- found: ...`, or above the first box"


def _words(request: Request, entry: Entry, run_on: list[Loose]) -> Iterator[Missing]:
    """Words written on the line of a box, or below it as if its own words went on.

    Words that were changed may be those of the checklist when the page was begun: nobody can tell, so they are named.
    """
    words = _printed_words(request, entry)
    wanted, there = ([_plain(word) for word in each.split()] for each in (words, entry.text))
    if there == wanted:
        return
    rest = iter(there)
    if all(word in rest for word in wanted):
        added = entry.text.split()[_added(wanted, there)]
        place = next((loose.place for loose in run_on if added[-1] in loose.text.split()), entry.place)
        yield Missing(entry.id, f"{_quoted(' '.join(added))} is written into the words of the box: {CURE}", place)
        return
    for loose in run_on:
        yield Missing(entry.id, f"{_quoted(loose.text)} is none of its words and no entry: {CURE}", loose.place)
    if not run_on and entry.is_standing and _is_that_finding(request, entry):
        # Its limit in words is another where a meter was changed since.
        return
    if entry.is_panel and not Counter(_bare(there)) - Counter(_bare(wanted)):
        # Fewer words, as a page that was written by hand has them, hide nothing.
        return
    if not run_on:
        told = f"its words are not those of the checklist, which are `{' '.join(words.split())}`"
        yield Missing(entry.id, f"{told}: copy them there, and say below the box what was seen", entry.place)


def _bare(words: list[str]) -> list[str]:
    """Words without what stands before and behind them."""
    return re.findall(r"\w+", " ".join(words).casefold())


def _is_that_finding(request: Request, entry: Entry) -> bool:
    """Whether the box of a finding from before has its words, and nothing but its place and limit behind them."""
    finding = request.logbook.findings().get(entry.id)
    return finding is None or re.fullmatch(
        rf"{re.escape(_plain(finding.text))} \([^()]*\bfix [^()]*(?:\([^()]*\))?\)", _plain(entry.text)
    ) is not None


def _added(wanted: list[str], there: list[str]) -> slice:
    """Where the words stand that are not those that were printed, from the first to the last of them."""
    start = next((at for at, (one, other) in enumerate(zip(wanted, there, strict=False)) if one != other), len(wanted))
    tail = 0
    while tail < len(wanted) - start and wanted[-1 - tail] == there[-1 - tail]:
        tail += 1
    return slice(start, len(there) - tail)


def _printed_words(request: Request, entry: Entry) -> str:
    """What `start` would print behind the id of the box today; what the page says where that is not known."""
    if entry.is_standing:
        finding = request.logbook.findings().get(entry.id)
        if finding is None:
            return entry.text
        return standing_words(finding, request.logbook.fix_words(finding.fix))
    if entry.is_panel:
        panel = request.logbook.panels.get(request.logbook.id_now(entry.id))
        return panel_words(panel, entry.verb) if panel is not None else entry.text
    check = request.check(entry)
    return check.text if check is not None else entry.text


# What editors make of quotes, hyphens and dots, and of two hyphens, without being asked.
EDITED: dict[int, str | None] = {ord(mark): '"' for mark in "\u201c\u201d\u201e\u201f\u00ab\u00bb\u2033"}
EDITED |= {ord(mark): "'" for mark in "\u2018\u2019\u201a\u201b\u2032"}
EDITED |= {ord(mark): "-" for mark in DASHES} | {0xAD: None, 0x2026: "..."}


def _plain(line: str) -> str:
    """Words by which two lines are the same, whatever an editor makes of blanks, quotes and dashes."""
    return re.sub(r"-{2,}", "-", " ".join(line.translate(EDITED).split()))


def _quoted(words: str) -> str:
    return f"`{words[:80]}{' ...' if len(words) > 80 else ''}`"
