"""The arithmetic of one item, line by line, with the files it rests on, to be checked on paper."""

from inspect_kit.due.answer import DueAnswer, Item
from inspect_kit.due.unwritten import Gap, gap_of
from inspect_kit.report.blocks import QUIET, Block, Column, Heading, Page, Paragraph, Row, facts, table
from inspect_kit.report.pages.due import TONES, last_words, left_words, state_words
from inspect_kit.report.pages.next_due import due_words, expected_words, item_words
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.rules.cautions import NO_PERMISSION, PILOT_DECIDES

COLUMNS = (Column(name="", right=True), Column(name="arithmetic", wide=True), Column(name="from", rank=1))


def _written(gap: Gap | None) -> tuple[tuple[str, str], ...]:
    """Where what is unknown is written, and how; or that it waits for a part."""
    if gap is None:
        return ()
    if gap.empty:
        return (("Waits for", gap.words),)
    amends = (("or", f"inspect-kit {gap.amends}"),) if gap.amends else ()
    return (("Write it in", str(gap.place)), ("as", gap.told), *amends)


def item_page(answer: DueAnswer, item: Item) -> Page:
    """One item of the due list explained."""
    rows = [
        Row(cells=(str(index), line.text, ", ".join(str(place) for place in line.places)))
        for index, line in enumerate(item.lines, start=1)
    ]
    gap = gap_of(answer, item)
    made: list[Block] = [
        *incomplete(answer.problems),
        Paragraph(text=f"{state_words(item)}: {left_words(item) or 'no due point'}", tone=TONES[item.state]),
        facts(
            ("Item", item_words(item, whole=True)),
            ("Panel", item.panel or ""),
            ("Last done", last_words(item)),
            ("Due at", due_words(item)),
            ("Expected", expected_words(item)),
            ("Source", item.source),
            ("Stands in", str(item.place)),
            *_written(gap),
        ),
        Heading(text="How that is reckoned"),
        table(COLUMNS, rows) if rows else Paragraph(text="There is nothing to reckon."),
        *problem_blocks(answer.problems),
        Paragraph(text=f"{NO_PERMISSION} {PILOT_DECIDES}", tone=QUIET),
    ]
    registration = answer.seen.aircraft.identity.registration
    head = f"{item_words(item)}, {registration}, {answer.on}"
    return Page(title=head, blocks=tuple(made), foot=head)
