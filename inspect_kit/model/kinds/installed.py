"""A part that was fitted in a position (`no change`: why the weight is as before); the keys that tell of any part."""

import datetime as dt
import re
import unicodedata
from collections.abc import Iterable
from decimal import Decimal

from inspect_kit.model.kind import ID, LABEL_DATE, NUMBER, TEXT, Key, Kind
from inspect_kit.model.record import Record
from inspect_kit.noun import dataclass

# The serial of a part that has none: a new part at each fitting.
NO_SERIAL = "none"
# `M-1` and `M1` are one, `1-12` and `11-2` are two.
BETWEEN = r"(?<=[^\W\d_])[-./_](?=\d)|(?<=\d)[-./_](?=[^\W\d_])"
# Cyrillic and Greek letters whose capitals look like Latin ones. From memory; compare Unicode TR39, confusables.
LATIN = str.maketrans("авекмнорстухіѕјαβεηικμνορτυχζ", "abekmhopctyxisjabehikmnoptyxz")


def words_of_part(part: str) -> tuple[str, ...]:
    """The letters and the numbers of a part's name, in order, whatever stands between them: `M-4`, `M 4` and `m4`."""
    words: list[str] = []
    for run in re.findall(r"[^\W\d_]+|\d+", unicodedata.normalize("NFKC", part).casefold()):
        if words and not (run[0].isdigit() or words[-1][0].isdigit()):
            run = words.pop() + run
        words.append(run)
    return tuple(words) or (part,)


BEFORE_SERIAL = r"(?i)^\s*(?:s\s*[/.]?\s*n|serial(?:\s+(?:no|number))?|no|nr)(?:\s*[.:#]+\s*|\s+)(?=\S*\d)"


def without_remark(serial: str) -> str:
    """A serial without what is written round it: `SN M-77`, `s/n: M-77` and `M-77 (overhauled)` are M-77."""
    return re.sub(r"(?<=\S)\s*[(\[].*[)\]]\s*$", "", re.sub(BEFORE_SERIAL, "", serial)) or serial


def plain_serial(serial: str) -> str:
    """A serial without what is written round it, and without what an eye passes over: capitals, blanks, what cannot be
    seen, which dash it is, a dash, stop or stroke between a letter and a digit, and whose alphabet a letter is of.
    """
    same = unicodedata.normalize("NFKC", without_remark(serial)).casefold().translate(LATIN)
    dashed = ("-" if unicodedata.category(mark) == "Pd" else mark for mark in same)
    plain = "".join(mark for mark in dashed if not mark.isspace() and unicodedata.category(mark) != "Cf")
    return re.sub(BETWEEN, "", plain)


def nearly(serial: str) -> str:
    """What two serials share that differ by a zero before a number, or by a letter that looks like a digit."""
    plain = unicodedata.normalize("NFKC", without_remark(serial)).casefold()
    # `1-12` and `11-2` are two.
    plain = re.sub(r"[^a-z0-9]+", "", re.sub(r"(?<=\d)[^a-z0-9]+(?=\d)", "x", plain))
    alike = plain.translate(str.maketrans("oil", "011")) if any(map(str.isdigit, plain)) else plain
    return re.sub(r"(?<!\d)0+(?=\d)", "", alike)


def words_beside(serial: str, known: Iterable[str]) -> str:
    """The serial of these that differs from another one by a word beside it: `M-77 rebuilt`, `Makers M-77` and M-77; ""
    where none does.
    """

    def stands_in(one: str, other: str) -> bool:
        words = other.split()
        return len(words) > 1 and plain_serial(one) in [plain_serial(word) for word in words if re.search(r"\d", word)]

    return next((each for each in known if each != serial and (stands_in(each, serial) or stands_in(serial, each))), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Installed(Record):
    """A part fitted in a position, with its own time since new and since overhaul at that moment, in hours.

    `made` is the date on its label, `fitted_on` when it was first fitted anywhere, `overhauled` its last overhaul.
    `where` it came from and the `reason` may be told; `no_change` why it changed neither weight nor balance.
    """

    position: str
    serial: str
    part: str = ""
    since_new: Decimal | None = None
    since_overhaul: Decimal | None = None
    made: dt.date | None = None
    fitted_on: dt.date | None = None
    overhauled: dt.date | None = None
    where: str = ""
    reason: str = ""
    no_change: str = ""


POSITION_KEY = Key(name="position", holds=ID, required=True)
PART_KEYS = (
    Key(name="serial", holds=TEXT, required=True, stand_in=""),
    Key(name="part", holds=TEXT),
    Key(name="since-new", holds=NUMBER),
    Key(name="since-overhaul", holds=NUMBER),
)
AGE_KEYS = (
    Key(name="made", holds=LABEL_DATE),
    Key(name="fitted-on", holds=LABEL_DATE),
    Key(name="overhauled", holds=LABEL_DATE),
)
WHY_KEYS = (
    Key(name="where", holds=TEXT),
    Key(name="reason", holds=TEXT),
    Key(name="no change", holds=TEXT),
)
# What is said of a part that is fitted, besides its position.
FITTED_KEYS = (*PART_KEYS, *AGE_KEYS, *WHY_KEYS)


def _summary(record: Installed) -> str:
    return f"{record.position}: {record.part} serial {record.serial}"


KIND = Kind(
    name="installed",
    noun=Installed,
    title="part installed",
    summary=_summary,
    keys=(POSITION_KEY, *FITTED_KEYS),
)
