"""What is unknown, and the line of which file it belongs in."""

import re
from collections.abc import Iterator, Sequence

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.unwritten import Gap, gaps
from inspect_kit.report.blocks import QUIET, Block, Column, Heading, Paragraph, Row, Table, table

COLUMNS = (Column(name="unknown"), Column(name="where it belongs", wide=True), Column(name="as", wide=True))

# For whoever opens no file: the same fact, as an entry of its day.
WITHOUT_AN_EDITOR = 'Or on its day, without an editor: inspect-kit --on DATE work CHECK tach=READING --paper "..."'
# On a line of a screen.
BRIEFLY = "What is unknown, without an editor: inspect-kit --on DATE work CHECK"


def unknown_blocks(answer: DueAnswer) -> Iterator[Block]:
    """Every item that is unknown, with the line where the fact belongs and how it is written there."""
    found = gaps(answer)
    if found:
        yield Heading(text="Unknown, and where to write it")
        yield _where(found)
        if _can_be_told(answer):
            yield Paragraph(text=WITHOUT_AN_EDITOR, tone=QUIET)
        yield from _amended(answer)


def _where(found: Sequence[Gap]) -> Table:
    """What to write where; a place that is the same for several is said once, above them, and so is its key."""
    places: dict[str, list[Gap]] = {}
    for gap in found:
        places.setdefault(str(gap.place), []).append(gap)
    if len(places) == len(found):
        return table(COLUMNS, [Row(cells=(gap.check, str(gap.place), gap.told)) for gap in found])
    rows = []
    for place, there in places.items():
        keys = {gap.under for gap in there}
        under = f", under `{there[0].under}`" if len(keys) == 1 and there[0].under else ""
        rows.append(Row(band=f"{place}{under}"))
        rows += [Row(cells=(gap.check, gap.words if under else gap.told)) for gap in there]
    return table((COLUMNS[0], COLUMNS[-1]), rows)


def without_an_editor(answer: DueAnswer) -> Iterator[Block]:
    """How what is unknown is told by a command, where one can, in a line."""
    if _can_be_told(answer):
        yield Paragraph(text=BRIEFLY, tone=QUIET)
    yield from _amended(answer)


def _amended(answer: DueAnswer) -> Iterator[Block]:
    """How what was brought forward is put right, where an entry of its own would contradict it."""
    by_check = {gap.check: gap.amends for gap in gaps(answer) if gap.amends}
    for how in dict.fromkeys(by_check.values() if len(by_check) == 1 else map(_of_any, by_check.values())):
        are = "is" if len(by_check) == 1 else "are"
        yield Paragraph(text=f"{', '.join(by_check)} {are} unknown; once known: inspect-kit {how}", tone=QUIET)


def _of_any(amends: str) -> str:
    """The command with CHECK in the place of the one that it is about."""
    return re.sub(r"(?<= last\.)[^.]+", "CHECK", amends)


def _can_be_told(answer: DueAnswer) -> bool:
    return any(gap.under == "last" and not gap.amends for gap in gaps(answer))


def unknown_words(answer: DueAnswer) -> str:
    """What is unknown, in a line: `Unknown 3: write 2 in FILE:LINE, 1 elsewhere`; "" for nothing.

    Of a position in which nothing is fitted nothing can be written: `nothing is fitted in magneto-left`.
    """
    found = gaps(answer)
    places = [gap.place for gap in found if not gap.empty]
    empty = dict.fromkeys(gap.empty for gap in found if gap.empty)
    told = [f"nothing is fitted in {', '.join(empty)}"] if empty else []
    if places:
        most = max(dict.fromkeys(places), key=places.count)
        others = len(places) - places.count(most)
        here = len(places) - others if others or empty else "it" if len(places) == 1 else "them"
        told = [f"write {here} in {most}", *([f"{others} elsewhere"] if others else []), *told]
    return f"Unknown {len(found)}: {', '.join(told)}" if found else ""
