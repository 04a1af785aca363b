"""What was checked: by panel, by scope code, by others, looked at twice, and what was not."""

from collections.abc import Iterator

from inspect_kit.model.checklist import duration
from inspect_kit.model.finding import DONE
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.report.asked import ReportFacts
from inspect_kit.report.blocks import STOP, Block, Column, Heading, Paragraph, Row, table
from inspect_kit.report.naming import (
    box_title,
    check_of,
    check_title,
    listed,
    name_words,
    others_words,
    panel_name,
    panel_of_check,
)
from inspect_kit.report.words import counted
from inspect_kit.rules.coverage import COVERED, scope_coverage
from inspect_kit.rules.profile import profile_of


def others(logbook: Logbook, record: PageRecord) -> dict[tuple[str, str], list[str]]:
    """What was done by somebody else than whoever the record is of: its boxes, by name and paper ("" without one)."""
    found: dict[tuple[str, str], list[str]] = {}
    for each in (*record.results, *record.boxes):
        own = record.by is not None and logbook.aircraft.same_person(each.by, record.by.name)
        name = others_words(logbook, each) or each.by
        if name and each.answer == DONE and not own:
            found.setdefault((name, each.paper), []).append(each.check)
    return found


def to_look_again(logbook: Logbook, record: PageRecord) -> tuple[str, ...]:
    """What is to be done again to look at what its notes say, and when: `Belts and harness: in 7 h or 3 months`."""
    told = ((each.check, each.recheck) for each in (*record.results, *record.boxes) if each.recheck)
    return tuple(f"{box_title(logbook, name)}: in {' or '.join(map(str, limits))}" for name, limits in told)


def check_blocks(asked: ReportFacts) -> Iterator[Block]:
    """The section on checks of a report; empty for work that was written down without a worksheet."""
    if not asked.page.results:
        return
    yield Heading(text="Checks")
    yield from _done(asked)
    yield from _scope(asked)
    yield from _skipped(asked)
    yield from _who_did(asked)
    yield from _by_others(asked)
    yield from _second_looks(asked)


def _done(asked: ReportFacts) -> Iterator[Block]:
    by_panel: dict[str, list[str]] = {}
    done = [result for result in asked.page.results if result.answer == DONE]
    for result in done:
        panel = panel_of_check(asked.logbook, result.check)
        by_panel.setdefault(panel, []).append(_with_codes(asked, result.check))
    took = sum(result.took or 0 for result in (*asked.page.results, *asked.page.boxes))
    noted = f" Time noted on the page: {duration(took)}." if took else ""
    at = counted(len(by_panel), "panel or place", "panels and places")
    yield Paragraph(text=f"{counted(len(done), 'check')} done, at {at}.{noted}")
    if by_panel:
        rows = tuple(
            Row(cells=(panel_name(asked.logbook, place) if place else "other", listed(titles)))
            for place, titles in by_panel.items()
        )
        covers = "done, and the codes it covers" if isinstance(asked.page, Inspection) else "done"
        yield table((Column(name="panel or place", wide=True), Column(name=covers, wide=True)), rows)


def _with_codes(asked: ReportFacts, name: str) -> str:
    """A check by its title, with the codes of the scope that it covers: `Exhaust stacks (d8)`."""
    check = check_of(asked.logbook, name)
    codes = check.covers if check and isinstance(asked.page, Inspection) else ()
    return check_title(asked.logbook, name) + (f" ({', '.join(codes)})" if codes else "")


def _scope(asked: ReportFacts) -> Iterator[Block]:
    """Which paragraphs of the scope the checks covered, by the checklists as they are today."""
    record, logbook = asked.page, asked.logbook
    if not isinstance(record, Inspection):
        return
    scope = profile_of(logbook.aircraft).scope(record.basis)
    if scope is not None:
        known = (check_of(logbook, result.check) for result in record.results if result.answer == DONE)
        answer = scope_coverage([check for check in known if check], logbook.aircraft, scope)
        covered = [entry.clause.code for entry in answer.clauses if entry.state == COVERED]
        without = [code for code in scope.codes if code in record.not_applicable and code not in covered]
        open_ = [code for code in scope.codes if code not in covered and code not in without]
        text = (
            f"{scope.title}, {counted(len(scope.codes), 'code')}: {len(covered)} covered by these checks "
            f"({', '.join(covered)}), {len(without)} not applicable to this aircraft."
        )
        yield Paragraph(text=text)
        if open_:
            yield Paragraph(text=f"Not covered, by the checklists as they are today: {', '.join(open_)}.", tone=STOP)
    if record.not_applicable:
        yield Heading(text="Codes that do not apply to this aircraft", level=3)
        rows = tuple(Row(cells=(code, reason)) for code, reason in record.not_applicable.items())
        yield table((Column(name="code"), Column(name="reason", wide=True)), rows)


def _skipped(asked: ReportFacts) -> Iterator[Block]:
    skipped = [result for result in (*asked.page.results, *asked.page.boxes) if result.answer != DONE]
    if skipped:
        yield Heading(text="Not applicable, not done", level=3)
        rows = tuple(Row(cells=(box_title(asked.logbook, each.check), each.answer, each.reason)) for each in skipped)
        columns = (Column(name="check", wide=True), Column(name="answer"), Column(name="reason", wide=True))
        yield table(columns, rows)


def _who_did(asked: ReportFacts) -> Iterator[Block]:
    did = {name: told for (name, paper), told in others(asked.logbook, asked.page).items() if not paper}
    if did:
        by = asked.page.by
        yield Heading(text=f"Done by others than {by.name}" if by else "Done by", level=3)
        rows = tuple(
            Row(cells=(name_words(asked.logbook, name), listed(box_title(asked.logbook, each) for each in told)))
            for name, told in did.items()
        )
        yield table((Column(name="by", wide=True), Column(name="done", wide=True)), rows)


def _by_others(asked: ReportFacts) -> Iterator[Block]:
    others = [result for result in (*asked.page.results, *asked.page.boxes) if result.paper]
    if others:
        yield Heading(text="Work by others", level=3)
        book = asked.logbook
        who = [others_words(book, each) or name_words(book, each.by) for each in others]
        told = zip(others, who, strict=True)
        rows = tuple(Row(cells=(box_title(book, each.check), by, each.paper)) for each, by in told)
        columns = (Column(name="check", wide=True), Column(name="by", wide=True), Column(name="paper", wide=True))
        yield table(columns, rows)


def _second_looks(asked: ReportFacts) -> Iterator[Block]:
    looked = [result for result in (*asked.page.results, *asked.page.boxes) if result.second_look]
    if looked:
        yield Heading(text="Second looks", level=3)
        signer = asked.record.by.name if asked.record.by else ""
        book = asked.logbook
        who = [each.by or others_words(book, each) or signer for each in looked]
        told = zip(looked, who, strict=True)
        rows = tuple(Row(cells=(box_title(book, each.check), by, each.second_look)) for each, by in told)
        columns = (
            Column(name="check", wide=True),
            Column(name="done by", wide=True),
            Column(name="second look by", wide=True),
        )
        yield table(columns, rows)
