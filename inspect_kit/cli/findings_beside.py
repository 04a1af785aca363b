"""Which open findings stand beside a plan or a page: what they take is no time of it, as nobody has said how long."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from inspect_kit.due import FINDING, IN_GRACE, PAST_DUE, SOON, DueAnswer
from inspect_kit.inspection.standing import boxed
from inspect_kit.model.finding import Finding
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.worksheet import JOB_WORK, Worksheet
from inspect_kit.plan import behind
from inspect_kit.report.naming import finding_number, listed, twin_titles
from inspect_kit.report.screens.due import belongs
from inspect_kit.report.screens.fit import cut

FEW, FEW_WORDS = 2, 40


def of_plan(
    logbook: Logbook, names: Sequence[str], checks: Iterable[str], off: Collection[str], answers: Sequence[DueAnswer]
) -> Mapping[str, Finding]:
    """The open findings that a plan leaves out: those that have a box on its page, all of them with an inspection; what
    presses today behind what comes `off`; and what falls due by the day or in the use that was asked for. What presses
    most comes first.

    `answers` are the due lists of today, and of what was asked for besides.
    """
    standing = logbook.standing()
    job = next((name for name in names if name in logbook.aircraft.inspections), JOB_WORK)
    found = boxed(logbook, job, {*checks})
    there = {each: finding for each, finding in standing.items() if _is_behind(logbook, finding, off)}
    today, *asked = answers
    found |= {each: there[each] for each in _pressing(today, there)}
    for answer in asked:
        found |= {each: standing[each] for each in _pressing(answer, standing)}
    rank = {item.check: at for at, item in enumerate(today.items)}
    return dict(sorted(found.items(), key=lambda each: -1 if each[1].before_flight else rank.get(each[0], len(rank))))


def of_page(logbook: Logbook, sheet: Worksheet) -> Mapping[str, Finding]:
    """The findings of earlier records that an open page still asks about."""
    left = {entry.id for entry in sheet.entries if entry.is_standing and not entry.answered}
    return {each: finding for each, finding in logbook.standing().items() if each in left}


def off_the_page(
    logbook: Logbook, job: str, checks: Collection[str], off: Collection[str], today: DueAnswer
) -> list[str]:
    """The open findings that press behind what comes `off` and have no box on the page, in words."""
    on_page, standing = boxed(logbook, job, {*checks}), logbook.standing()
    mine = {each: finding for each, finding in standing.items() if _is_behind(logbook, finding, off)}
    with_inspection = {item.check for item in today.items if item.kind == FINDING and belongs(today, item)}
    found = [each for each in _pressing(today, mine) if each not in on_page and each not in with_inspection]
    return [f"the finding {each}" for each in _words(logbook, {each: mine[each] for each in found}, few=False)]


def beside_words(logbook: Logbook, found: Mapping[str, Finding], *, few: bool) -> str:
    """`Open findings, not in this plan's time: ...`, in `few` words for a screen; "" where there is none."""
    words = _words(logbook, found, few=few)
    if few and len(words) > FEW:
        words = [*words[: FEW - 1], f"and {len(words) - FEW + 1} more"]
    return f"Open findings, not in this plan's time: {listed(words)}." if words else ""


def _words(logbook: Logbook, found: Mapping[str, Finding], *, few: bool) -> list[str]:
    twins = twin_titles(logbook)
    return [
        f"{cut(finding.text, FEW_WORDS) if few else finding.text} "
        f"({finding_number(each, twins) if few else each}, "
        f"{'before flight' if finding.before_flight else logbook.fix_words(finding.fix)})"
        for each, finding in found.items()
    ]


def _pressing(answer: DueAnswer, among: Mapping[str, Finding]) -> list[str]:
    """Which of these findings are to be fixed before flight, past their limit, or soon."""
    states = {item.check: item.state for item in answer.items if item.kind == FINDING}
    press = (PAST_DUE, IN_GRACE, SOON)
    return [each for each, finding in among.items() if finding.before_flight or states.get(each) in press]


def _is_behind(logbook: Logbook, finding: Finding, off: Collection[str]) -> bool:
    """Whether a finding is at a panel that comes off, with all that is before it."""
    check = logbook.checks.get(logbook.id_now(finding.check or ""))
    panel = check.panel if check is not None else logbook.id_now(finding.panel or "")
    needs = behind(logbook.panels, [panel])
    return bool(needs) and {*needs} <= {*off}
