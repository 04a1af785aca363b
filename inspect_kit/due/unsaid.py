"""What a line under a problem may have made owed: whether it did is not known before it is mended."""

import re
from collections.abc import Iterator

from inspect_kit.errors import Place
from inspect_kit.model.checklist import DID, DISTURBED, INSTALLED
from inspect_kit.model.lines import Placed
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.owed import slip_of

# The keys by which each comes about, of checks, panels and records.
KEYS = {
    DID: frozenset(("did", "results")),
    DISTURBED: frozenset(("disturbs", "disturb", "disturbed", "opened", "did", "results")),
    INSTALLED: frozenset(("position",)),
}
# A key in any spelling, or the first word of a line that lost its colon.
KEY = r"(?<![\w-])[\w-]++(?=\s*:)|(?<=^)[\W\d_]*([^\W\d_][\w-]*)"


def unsaid(logbook: Logbook, verb: str) -> Place | None:
    """The first line under a problem that may say that something was done, disturbed or fitted; None without one."""
    return logbook.once(f"unsaid {verb}", lambda: next(_unsaid(logbook, verb), None))


def _unsaid(logbook: Logbook, verb: str) -> Iterator[Place]:
    # What a page says that is still open counts for nothing yet.
    open_ = {page.place.file for page in logbook.pages}
    wrong = [problem for problem in logbook.problems if problem.place.file not in open_]
    if not wrong:
        return
    # Nearly all files are in order, and a line is asked about by its file.
    files = {problem.place.file for problem in wrong}
    nouns: list[Placed] = [*logbook.checks.values(), *logbook.panels.values(), *logbook.records]
    nouns = [noun for noun in nouns if noun.place.file in files]
    keyed = {(noun.place.file, line) for noun in nouns for (key, _), line in noun.lines.items() if _is(key, verb)}
    for problem in wrong:
        place = problem.place
        words = [found[1] or found[0] for found in re.finditer(KEY, problem.excerpt or "")]
        if (place.file, place.line) in keyed or any(_is(word, verb) for word in words):
            yield place


def _is(word: str, verb: str) -> bool:
    """Whether a word is one of the keys, or one with a slip in it."""
    plain = word.casefold()
    return plain in KEYS[verb] or bool(slip_of(plain, KEYS[verb]))
