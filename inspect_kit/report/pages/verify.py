"""What was read and checked, how much of it no seal protects and since when, and every fault that was found."""

from collections.abc import Iterator, Mapping, Sequence

from inspect_kit.balance import unanswered
from inspect_kit.errors import Problem
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Record
from inspect_kit.report.blocks import (
    GOOD,
    QUIET,
    STOP,
    WARN,
    Block,
    Column,
    Heading,
    Page,
    Paragraph,
    Row,
    facts,
    table,
)
from inspect_kit.report.pages.history import fitted_words
from inspect_kit.report.pages.problems import problem_blocks
from inspect_kit.report.words import counted

WHAT_A_SEAL_SHOWS = (
    "A whole seal shows that a record was not changed after it was sealed, not that what it says is right."
)


WHAT_NO_SEAL_SHOWS = (
    "An entry without a seal can be changed or taken away unnoticed. A sealed record that is changed, renamed or taken "
    "away is noticed here, as long as one later entry is left, or its own worksheet, or this folder's register. That "
    "somebody wrote the whole store anew, every seal included, is not found: against that stand copies in other hands, "
    "signatures with a key, and the ink in the paper logbook."
)


def verify_page(
    logbook: Logbook,
    files: Mapping[str, bytes],
    problems: Sequence[Problem],
    broken: Sequence[Problem],
    notes: Sequence[Problem] = (),
    *,
    above: bool = False,
) -> Page:
    """`problems` are what could not be read or contradicts itself, `broken` seals, signatures and files that fail.

    `notes` are what nobody can change any more or this computer cannot check: no answer is incomplete by them.
    `above` is whether each problem stands above already, with its line and a caret: then it is only counted.
    """
    sealed = [record for record in logbook.records if record.seal is not None]
    unsealed = [record for record in logbook.of_kind(Inspection) if record.seal is None]
    made: list[Block] = [
        _verdict(problems, broken, above=above),
        facts(
            ("Files read", str(len(files))),
            ("Records", str(len(logbook.records))),
            ("Sealed records", str(len(sealed))),
            ("Inspections without a seal", str(len(unsealed)) if unsealed else ""),
            ("Records that no seal protects", _unprotected(logbook.records)),
            ("Panels, setups and places", str(len(logbook.panels))),
            ("Checks", str(len(logbook.checks))),
            ("Open worksheets", str(len(logbook.pages))),
        ),
    ]
    if broken:
        made.append(Heading(text="Broken seals, signatures and files"))
        rows = [Row(cells=(str(each.place), each.message), tone=STOP) for each in broken]
        made.append(table((Column(name="where", wide=True), Column(name="what is wrong", wide=True)), rows))
    made += [*_unanswered(logbook), *(() if above else problem_blocks(problems))]
    if notes:
        made.append(Heading(text="Notes"))
        text = "What sealed records say wrongly stays as it was sealed; an `amendment` corrects it."
        made.append(Paragraph(text=text))
        rows = [Row(cells=(str(each.place), each.message)) for each in notes]
        made.append(table((Column(name="where", wide=True), Column(name="note", wide=True)), rows))
    made.append(Paragraph(text=f"{WHAT_A_SEAL_SHOWS} {WHAT_NO_SEAL_SHOWS}", tone=QUIET))
    title = f"Records of {logbook.aircraft.identity.registration} verified"
    return Page(title=title, blocks=tuple(made), foot=title)


def _unanswered(logbook: Logbook) -> Iterator[Block]:
    """Fittings since the last weighing that say nothing of the empty weight."""
    rows = [
        Row(cells=(str(record.place), f"{fitted_words(record)} ({record.position})")) for record in unanswered(logbook)
    ]
    if rows:
        yield Heading(text="Fitted or taken out, and nothing says whether the empty weight changed")
        yield table((Column(name="where", wide=True), Column(name="what", wide=True)), rows)
        yield Paragraph(text="Each wants an `equipment` record that came with it, or `no change` and why.", tone=WARN)


def _unprotected(records: Sequence[Record]) -> str:
    """How many records have no seal, since when, and how many of them came after the last seal."""
    bare = [record for record in records if record.seal is None]
    if not bare:
        return "none"
    told = f"{len(bare)}, since {bare[0].date}"
    last = max((record.date for record in records if record.seal is not None), default=None)
    if last is not None:
        told += f"; {sum(record.date > last for record in bare)} of them later than the last seal, of {last}"
    return told


def _verdict(problems: Sequence[Problem], broken: Sequence[Problem], *, above: bool) -> Paragraph:
    if not problems and not broken:
        return Paragraph(text="Every file was read, every seal is whole.", tone=GOOD)
    told = (
        [counted(len(broken), "seal, signature or file is wrong", "seals, signatures or files are wrong")]
        if broken
        else []
    )
    told += [counted(len(problems), "problem")] if problems else []
    return Paragraph(text=f"NOT GOOD: {' and '.join(told)}{', each told above' if above else ''}.", tone=STOP)
