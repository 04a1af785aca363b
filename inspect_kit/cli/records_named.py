"""A record by a part of its name, and what tells it from others of nearly that name."""

import shutil
from collections.abc import Callable
from pathlib import Path
from textwrap import shorten

from inspect_kit.errors import Misused
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.report.cells import checks_done, record_words
from inspect_kit.text.grammar import did_you_mean
from inspect_kit.text.searching import plain_words

# Of records that a part of a name may mean so many are named; the part has that many letters at least.
SHOWN, LEAST, DATE_LENGTH = 9, 4, 10
# Characters of what one of them says; and of what one says that stands alone.
SAYS, SAYS_ALONE = 60, 200
# A window is hardly so narrow that a name leaves less room.
LEAST_SAID = 12


def find_record(
    logbook: Logbook,
    name: str,
    kind: type[Record] = Record,
    meant: Callable[[Record], bool] = lambda record: False,
) -> Record:
    """A record by its path, its file name, a part of it or words it says that only one has; left out, the latest of the
    kind.

    Of several that have it, the only one that can be `meant`.
    """
    if not name:
        latest = logbook.of_kind(kind)
        if not latest:
            told = "no inspection is on record" if kind is Inspection else "no such record has been written"
            raise Misused(f"{told} yet: name a record, such as `inspect-kit find oil` finds them")
        return latest[-1]
    stem = Path(name).name.removesuffix(".yaml").removesuffix(".md")
    record = logbook.record(stem)
    # Words of a name are typed with blanks between them, the name has them with hyphens.
    stem = stem if record else "-".join(stem.split())
    if record is None:
        found = [each for each in logbook.records if is_part(stem.casefold(), each.name)]
        # What no name has may be what only one of them says.
        found = found or [each for each in logbook.records if _has_words(each, name)]
        if len(found) == 1:
            return found[0]
        if len(likely := [each for each in found if meant(each)]) == 1:
            return likely[0]
        if found:
            told = "".join(f"\n  {_in_a_line(each)}" for each in reversed(found[-SHOWN:]))
            more = f"\n  and {len(found) - SHOWN} older ones" if len(found) > SHOWN else ""
            raise Misused(
                f"`{stem}` may be one of {len(found)} records; name one, its last part is enough:{told}{more}"
            )
        if (gone := next((each for each in logbook.withdrawn if each.record.name == stem), None)) is not None:
            raise Misused(
                f"`{stem}` was {gone} ({gone.place.file}): it counts for nothing. If it was right after all, write it "
                "down anew"
            )
        hint = did_you_mean(stem, [each.name for each in logbook.records])
        raise Misused(f"no record is called `{name}`{hint or '; `inspect-kit find WORDS` looks for one'}")
    return record


def _in_a_line(record: Record) -> str:
    """A record and what it says, as much of it as a line of the window holds below an indent."""
    left = shutil.get_terminal_size().columns - len(f"  {record.name}  ")
    return f"{record.name}  {says(record, max(LEAST_SAID, min(SAYS, left)))}"


def says(record: Record, most: int = SAYS) -> str:
    """What a record says, shortened, by which it is known among others of nearly its name."""
    reads = (f"{meter} {number:f}" for meter, number in record.meters.items())
    words = (*reads, ", ".join(checks_done(record)), record_words(record))
    return shorten("; ".join(word for word in words if word), most, placeholder=" ...")


def _has_words(record: Record, typed: str) -> bool:
    """Whether a record says each of these words, one of them long enough to mean something."""
    wanted = {*plain_words(typed).split()}
    there = {*plain_words(" ".join((*checks_done(record), record_words(record)))).split()}
    return any(len(word) >= LEAST and not word.isdecimal() for word in wanted) and wanted <= there


def words_of_name(name: str) -> str:
    """The words of a record's name, without its day and its code."""
    return name[DATE_LENGTH + 1 :].rpartition("-")[0] or name


def is_part(words: str, name: str) -> bool:
    """Whether a name is meant by a part of it: its words without date and code, its beginning, its code.

    A year or a day alone names nothing, though only one record may have it: `records/2026` is a folder.
    """
    if words == name.rpartition("-")[2]:
        return True
    return (len(words) >= LEAST and not words.replace("-", "").isdecimal() and f"-{words}-" in f"-{name}-") or (
        len(words) >= DATE_LENGTH and name.startswith(words)
    )
