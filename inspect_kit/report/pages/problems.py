"""What could not be read, at the head and the end of an answer."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from inspect_kit.errors import Problem
from inspect_kit.report.blocks import STOP, Block, Column, Heading, Page, Paragraph, Row, table
from inspect_kit.report.words import counted

COLUMNS = (Column(name="where", wide=True), Column(name="problem", wide=True))


# What is said of every place that names an id which nothing has any more.
VANISHED = r"[\w-]+: (no [\w ]+ is called `[^`]+`)"


def gathered(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems with those of one id that has vanished told once, at the first place that names it.

    A renamed check would else be told of at every record that ever did it.
    """
    places: dict[str, list[Problem]] = {}
    for problem in problems:
        if match := re.match(VANISHED, problem.message):
            places.setdefault(match.group(1), []).append(problem)
    later = {id(problem) for found in places.values() for problem in found[1:]}
    told = []
    for problem in problems:
        match = re.match(VANISHED, problem.message)
        others = len(places[match.group(1)]) - 1 if match else 0
        if id(problem) not in later:
            also = f" (so do {counted(others, 'other line')})" if others > 1 else " (so does another line)"
            told.append(replace(problem, message=f"{problem.message}{also}") if others else problem)
    return tuple(told)


def incomplete(problems: Sequence[Problem]) -> Iterator[Block]:
    """The first line of an answer that could not take everything into account; nothing when it could."""
    if problems:
        text = (
            f"INCOMPLETE: {counted(len(problems), 'problem')} in the files; what cannot be read is missing here. "
            "They are listed at the end."
        )
        yield Paragraph(text=text, tone=STOP)


def problem_blocks(problems: Sequence[Problem]) -> Iterator[Block]:
    """Every problem with its file and line; nothing when there is none."""
    if problems:
        yield Heading(text="Problems in the files")
        rows = tuple(Row(cells=(str(problem.place), problem.message)) for problem in gathered(problems))
        yield table(COLUMNS, rows)


def page_with_problems(page: Page, problems: Sequence[Problem]) -> Page:
    """A page that says at its top that it is incomplete, and at its end why; the page itself when nothing is wrong."""
    return replace(page, blocks=(*incomplete(problems), *page.blocks, *problem_blocks(problems)))
