"""Coverage of the scope on one screen: what is missing, what is not applicable and why, then each paragraph."""

from inspect_kit.model.logbook import Logbook
from inspect_kit.report.blocks import STOP, WARN, Column, Page, Paragraph, Row, table
from inspect_kit.report.naming import names_of
from inspect_kit.report.pages.scope import doubts_of, summary
from inspect_kit.report.screens.fit import ROOM, more, one_screen, problems_first
from inspect_kit.report.words import counted
from inspect_kit.rules.coverage import COVERED, MISSING, NOT_APPLICABLE, ScopeAnswer

COLUMNS = (Column(), Column(wide=True), Column(right=True), Column(right=True), Column(wide=True))


def scope_screen(answer: ScopeAnswer, logbook: Logbook, room: int = ROOM) -> Page:
    """What is missing, unknown or contradicts itself is never cut."""
    absent = sum(each.state == NOT_APPLICABLE for each in answer.clauses)
    return one_screen(lambda rows: _page(answer, logbook, rows), absent + len(answer.scope.groups), room)


def _page(answer: ScopeAnswer, logbook: Logbook, rows: int) -> Page:
    # What is missing is named below.
    made = [*problems_first(logbook.problems), summary(answer, named=False)]
    made += [Paragraph(text=f"Missing: {told}.", tone=STOP) for told in _missing(answer)]
    made += [
        Paragraph(text=f"Nobody knows the code {each.code} ({each.place}).", tone=STOP) for each in answer.unknown
    ]
    made += [
        Paragraph(
            text=f"! {each.clause.code} is named not applicable ({each.reason}) and covered: "
            f"{names_of(logbook, each.checks)}.",
            tone=WARN,
        )
        for each in answer.clauses
        if each.contradicts
    ]
    lines = [
        Row(
            cells=(
                f"({group})",
                name,
                counted(len(clauses := [e for e in answer.clauses if e.clause.group == group]), "code"),
                f"{sum(each.state == COVERED for each in clauses)} covered",
                counted(len({check for each in clauses for check in each.checks}), "check"),
            )
        )
        for group, name in answer.scope.groups.items()
    ]
    absent = [each for each in answer.clauses if each.state == NOT_APPLICABLE]
    shown = absent[: max(0, rows - len(lines))]
    if rows:
        made.append(table(COLUMNS, lines[:rows]))
    made.append(
        Paragraph(text=f"Not applicable, by aircraft.yaml: {', '.join(e.clause.code for e in absent) or 'none'}.")
    )
    if shown:
        # A reason is whole: half of one may say the opposite. Fewer of them fit instead; their codes are named above.
        cells = [Row(cells=(each.clause.code, each.clause.subject, each.reason)) for each in shown]
        made.append(table((Column(), Column(wide=True), Column(wide=True)), cells))
    if doubts := doubts_of(logbook):
        made.append(
            Paragraph(
                text=f"{counted(len(doubts), 'rule or interval is', 'rules or intervals are')} to be "
                "compared with the papers of the aircraft: scope --all.",
                tone=WARN,
            )
        )
    # How much is left out is told: a list that ends looks whole.
    left = len(absent) - len(shown) + max(0, len(lines) - rows)
    made.append(more(f"scope --all{f' ({left} more)' if left else ''}. The published text governs."))
    return Page(
        title=f"Scope, {answer.scope.title}, {logbook.aircraft.identity.registration}", blocks=tuple(made), dense=True
    )


def _missing(answer: ScopeAnswer) -> list[str]:
    """What is missing, a line each; where that is more than there are groups, by group, and all codes of it."""
    missing = [each.clause for each in answer.clauses if each.state == MISSING]
    if len(missing) <= len(answer.scope.groups):
        return [f"{clause.code} {clause.subject}" for clause in missing]
    codes: dict[str, list[str]] = {}
    for clause in missing:
        codes.setdefault(clause.group, []).append(clause.code)
    return [f"{', '.join(told)} ({answer.scope.groups[group]})" for group, told in codes.items()]
