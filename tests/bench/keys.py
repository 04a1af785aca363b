"""How many keys a whole inspection of the sample takes in the walk, by kind: one person, all in order, nothing weak.

Every value is that of last time, or one within the limits; every word is `clean`. A typed line counts its Enter. The
walk before single keys took 921 in the count of its reader, 931 by the policy of this script: 199 for Enter, 341 for
numbers, 299 for names, 54 for words, 12 for boxes together, 7 for papers, 19 for findings from before; its page had 226
boxes. On 2026-11-27 it is 734 for the 244 boxes of today, in 394 answers: 369 for numbers, 230 for single boxes, 66 for
words, 23 for names, 19 for parts used, 17 for findings from before, 9 for boxes together, 1 for what asks once. Half of
them are figures. What the script has no answer to ends it, with the question.
"""

import contextlib
import datetime as dt
import io
import re
import shutil
import tempfile
from collections import Counter
from decimal import Decimal
from pathlib import Path

from inspect_kit import store
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.main import main as program
from inspect_kit.cli.walk_keys import Keyboard
from inspect_kit.cli.walk_talk import Talk
from inspect_kit.cli.walking import walk_page

ROOT = Path(__file__).parents[2]
DAY = dt.date(2026, 11, 26)
# Where nothing was read before and nothing limits it: a temperature for which the tables of tension have a row, too.
ROOM = "60"
INSPECTOR, HELPER = "Hazel Quillfeather", "Pip Ashtally"


class Screen(io.TextIOBase):
    """What the walk says since it was last answered, and how many lines it said in all.

    No StringIO that is asked for its value between writes: that copies all that was ever said for each of them, which
    took seven of the ten minutes of a run.
    """

    encoding = "utf-8"

    def __init__(self) -> None:
        self.said, self.lines = "", 0

    def write(self, text: str) -> int:
        self.said += text
        self.lines += text.count("\n")
        return len(text)


class Person(Keyboard):
    """Reads what the walk says and answers it, counting keys by kind; knows nothing else of the walk."""

    def __init__(self, screen: Screen) -> None:
        self.screen, self.clock, self.asked = screen, 0.0, ""
        self.keys: Counter[str] = Counter()
        self.answers: Counter[str] = Counter()

    def now(self) -> float:
        return self.clock

    def size(self) -> tuple[int, int]:
        return (80, 24)

    def read(self, seconds: float) -> bytes | None:
        shown = self.screen.said
        if "is none of them" in shown:
            raise SystemExit(f"the walk asks what this script has no answer to:\n{self.asked}")
        if not shown.endswith("  > "):
            # Nothing is typed before the question is ready to be answered.
            self.clock += seconds
            return None
        self.clock += 30
        self.asked = shown
        kind, key = self._key(shown.rstrip("> \n").rpartition("\n  > ")[2])
        self._count(kind, key)
        self.screen.said = ""
        print()
        return key.encode()

    def line(self, prompt: str) -> str | None:
        print(prompt, end="")
        self.clock += 10
        asked = self.screen.said
        kind, text = self._line(asked)
        self._count(kind, text + "\n")
        self.screen.said = ""
        print(text)
        return text

    def _count(self, kind: str, typed: str) -> None:
        self.keys[kind] += len(typed)
        self.answers[kind] += 1

    def _key(self, shown: str) -> tuple[str, str]:
        offered = " ".join(shown.split("\n\n")[-1].split())
        if "Second look" in offered:
            return "names", re.findall(rf"(\d) {HELPER}", offered)[0]
        if "n no change" in offered:
            return "equipment", "n"
        if "Used:" in offered:
            return "parts used", "u"
        if "w looked at, waits" in offered:
            return "findings", "w"
        if "c corrected p put off" in offered:
            return "findings", "c"
        return ("together", "a") if " a all " in offered else ("ok", "o")

    def _line(self, asked: str) -> tuple[str, str]:
        told = " ".join(asked.split()).removesuffix(">").strip()
        if "How many are they?" in told:
            return "together", str(len(re.findall(r"(?m)^    \d+  ", asked)))
        if "How was it corrected?" in told:
            return "findings", "polished out"
        if told.endswith("paper:"):
            return "papers", "WO 118"
        if told.endswith("good until:"):
            return "dates", "2031-05-31"
        if ", words" in told:
            return "words", "clean"
        return "numbers", _number(told)


def _number(told: str) -> str:
    """The value of last time if it is within the limits, else one that is."""
    limits = re.search(r"at least (-?[\d.]+)|at most (-?[\d.]+)|(-?[\d.]+) to (-?[\d.]+)", told)
    low, high = (None, None) if limits is None else (limits[1] or limits[3], limits[2] or limits[4])
    last = re.search(r"last (-?[\d.]+)", told)
    value = last[1] if last else low or high or ROOM
    if (low and Decimal(value) < Decimal(low)) or (high and Decimal(value) > Decimal(high)):
        return low or high or ROOM
    return value


def main(_: list[str]) -> int:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "sample"
        for name in ("checklists", "records"):
            shutil.copytree(ROOT / name, root / name)
        words = ["start", "condition", "tach=250.4", "--by", INSPECTOR, "--helper", HELPER]
        with contextlib.redirect_stdout(io.StringIO()):
            assert program(["--store", str(root), "--on", str(DAY), *words]) == 0
        screen = Screen()
        person = Person(screen)
        with contextlib.redirect_stdout(screen):
            walk_page(Desk(folder=root, given_on=DAY, today=DAY), "", "", Talk(person))
        logbook = store.load(root).logbook
        assert logbook is not None
        (page,) = logbook.pages
        settled = sum(entry.answered for entry in page.entries)
        lines = screen.lines
    for kind, keys in sorted(person.keys.items(), key=lambda each: -each[1]):
        print(f"{keys:5}  {kind} ({person.answers[kind]} answers)")
    print(f"{sum(person.keys.values()):5}  keys in all, {sum(person.answers.values())} answers")
    print(f"{settled} of {len(page.entries)} boxes settled, {lines} lines shown at 80 columns")
    return 0
