"""What is unknown, and the line of which file it belongs in."""

from collections.abc import Iterator

from inspect_kit.due.answer import DueAnswer
from inspect_kit.due.unwritten import gaps
from inspect_kit.report.blocks import Block, Column, Heading, Row, table

COLUMNS = (Column(name="unknown"), Column(name="where it belongs", wide=True), Column(name="as", wide=True))


def unknown_blocks(answer: DueAnswer) -> Iterator[Block]:
    """Every item that is unknown, with the line where the fact belongs and how it is written there."""
    found = gaps(answer)
    if found:
        yield Heading(text="Unknown, and where to write it")
        yield table(COLUMNS, [Row(cells=(gap.check, str(gap.place), gap.words)) for gap in found])


def unknown_words(answer: DueAnswer) -> str:
    """What is unknown, in a line: `Unknown 3: 2 to be written in FILE:LINE, 1 elsewhere`; "" for nothing."""
    places = [gap.place for gap in gaps(answer)]
    if not places:
        return ""
    most = max(dict.fromkeys(places), key=places.count)
    others = len(places) - places.count(most)
    if not others:
        return f"Unknown {len(places)}: write {'it' if len(places) == 1 else 'them'} in {most}"
    return f"Unknown {len(places)}: write {len(places) - others} in {most}, {others} elsewhere"
