"""Which codes of the scope the checks cover, which do not apply and why, which are missing."""

from collections.abc import Iterator

from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import (
    GOOD,
    QUIET,
    STOP,
    WARN,
    Block,
    Column,
    Heading,
    Listing,
    Page,
    Paragraph,
    Row,
    table,
)
from inspect_kit.report.naming import names_of
from inspect_kit.report.pages.problems import incomplete, problem_blocks
from inspect_kit.report.words import counted
from inspect_kit.rules.cautions import DEFERRAL
from inspect_kit.rules.coverage import COVERED, MISSING, NOT_APPLICABLE, Coverage, ScopeAnswer
from inspect_kit.rules.entry import statement_doubts
from inspect_kit.rules.intervals import interval_doubt
from inspect_kit.rules.profile import profile_of

COLUMNS = (
    Column(name="code"),
    Column(name="subject", wide=True),
    Column(name="covered by", wide=True),
    Column(name="look for", wide=True, rank=1),
)


def scope_page(answer: ScopeAnswer, logbook: Logbook) -> Page:
    """The coverage of every code, by lettered paragraph."""
    made: list[Block] = [*incomplete(logbook.problems), summary(answer)]
    if answer.unknown:
        made.append(Heading(text="Codes that nobody knows"))
        rows = [
            Row(cells=(each.code, each.check or "not-applicable", str(each.place)), tone=STOP)
            for each in answer.unknown
        ]
        made.append(
            table((Column(name="code"), Column(name="named by", wide=True), Column(name="where", wide=True)), rows)
        )
    contradictions = [entry for entry in answer.clauses if entry.contradicts]
    if contradictions:
        made.append(Heading(text="Named not applicable, and covered all the same"))
        rows = [
            Row(cells=(each.clause.code, each.reason, names_of(logbook, each.checks)), tone=WARN)
            for each in contradictions
        ]
        columns = (Column(name="code"), Column(name="reason", wide=True), Column(name="covered by", wide=True))
        made.append(table(columns, rows))
    rows = []
    for group, title in answer.scope.groups.items():
        rows.append(Row(band=f"({group}) {title}"))
        rows += [_row(entry, logbook) for entry in answer.clauses if entry.clause.group == group]
    made += [
        Heading(text=answer.scope.title),
        table(COLUMNS, rows),
        *_doubts(logbook),
        *problem_blocks(logbook.problems),
        Paragraph(text=f"The published text governs; the words here are short. {DEFERRAL}", tone=QUIET),
    ]
    title = f"Scope, {logbook.aircraft.identity.registration}"
    return Page(title=title, blocks=tuple(made), foot=title)


def _doubts(logbook: Logbook) -> Iterator[Block]:
    """What seems to differ from a rule or from the customary wording; the owner's papers govern."""
    if doubts := doubts_of(logbook):
        yield Heading(text="To be compared with the papers of the aircraft")
        yield Listing(items=tuple(doubts))


def doubts_of(logbook: Logbook) -> list[str]:
    """What seems to differ from a rule or from the customary wording, in sentences."""
    intervals = profile_of(logbook.aircraft).intervals
    doubts = [doubt for rule in logbook.aircraft.inspections.values() for doubt in statement_doubts(rule)]
    return doubts + [doubt for check in logbook.checks.values() if (doubt := interval_doubt(check, intervals))]


def summary(answer: ScopeAnswer, *, named: bool = True) -> Paragraph:
    """How many codes are covered, not applicable, missing; which are missing, if they are to be `named`."""
    counts = {
        state: sum(entry.state == state for entry in answer.clauses) for state in (COVERED, NOT_APPLICABLE, MISSING)
    }
    text = (
        f"{counted(len(answer.clauses), 'code')}: {counts[COVERED]} covered, {counts[NOT_APPLICABLE]} not applicable, "
        f"{counts[MISSING]} missing."
    )
    if answer.missing and named:
        text += f" Missing: {', '.join(clause.code for clause in answer.missing)}."
    return Paragraph(text=text, tone=GOOD if answer.complete else STOP)


def _row(entry: Coverage, logbook: Logbook) -> Row:
    clause = entry.clause
    parts = "; ".join(f"{code} not applicable: {reason}" for code, reason in entry.in_part.items())
    covered = {
        COVERED: names_of(logbook, entry.checks),
        NOT_APPLICABLE: f"not applicable: {entry.reason}",
        MISSING: "!! MISSING",
    }[entry.state]
    tone = STOP if entry.state == MISSING else WARN if entry.contradicts else ""
    return Row(
        cells=(
            clause.code,
            clause.subject,
            "; ".join(word for word in (covered, parts) if word),
            "; ".join(clause.look_for),
        ),
        tone=tone,
    )
