"""The question that an open page still asks: what is ticked is done, what is off is off, the rest is to be planned."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Panel
from inspect_kit.model.owed import at_once, done_in_order, owed_on_page
from inspect_kit.model.worksheet import CLOSING, Entry, Worksheet
from inspect_kit.plan.access import panels_for
from inspect_kit.plan.request import Job


def remaining_job(job: Job, page: Worksheet) -> Job:
    """The job of what is left on a page, from now on.

    `job` gives what the page does not say: panels, checks, gear, better estimates, wishes, and the hours at hand from
    now on. From the page come the checks without tick and answer, what is off or stands, what is done, what that made
    owed and no box below answers, and who works.
    """
    now = _ids_now(job)
    boxes = [(now.get(entry.id, entry.id), entry) for entry in page.checks]
    # A check that was answered on this page and stands there once more unticked has been dealt with.
    answered = {name for name, entry in boxes if entry.answered}
    left = [
        name for name, _ in boxes if name in job.checks and job.checks[name].retired is None and name not in answered
    ]
    for owed in owed_on_page(page, job.checks, job.panels, lambda name: now.get(name, name), done_in_order):
        if owed.box is None and at_once(owed.check):
            left.append(owed.check.id)
    done = {name: None for name, entry in boxes if entry.ticked and not entry.answer and name in job.checks}
    off = (now.get(panel, panel) for panel in page.panels_off())
    return with_names(
        replace(
            job,
            chosen=tuple(dict.fromkeys(left)),
            off=tuple(dict.fromkeys(name for name in off if name in job.panels)),
            done=tuple(done),
        ),
        page,
    )


def unplanned(job: Job, page: Worksheet) -> tuple[Entry, ...]:
    """The boxes still open on the page of which the plan of what is left knows nothing, in the order of the page.

    Findings that stand, checks that no checklist holds any more, and panels that nothing which is left needs: one that
    comes off once more for a finding, or one whose checks were ticked and its own box was not.
    """
    left = remaining_job(job, page)
    now = _ids_now(job)
    checks = [left.checks[name] for name in left.chosen]
    moving = set(panels_for(left.panels, checks, left.off))

    def known(entry: Entry) -> bool:
        name = now.get(entry.id, entry.id)
        if entry.is_panel:
            return name in moving and (entry.verb in CLOSING or name not in left.off)
        return entry.is_check and (name in left.chosen or name in left.done)

    return tuple(entry for entry in page.entries if not entry.answered and not known(entry))


def with_names(job: Job, page: Worksheet) -> Job:
    """The job with those who work by name, the inspector of the page first, then its helpers.

    A crew that is larger than the names on the page stays as large; helpers whom the crew lacks are added.
    """
    named = tuple(dict.fromkeys(name for name in (page.inspector, *page.helpers) if name))
    if not page.inspector:
        return job
    people = max(job.crew.people, len(named))
    others = [name for name in job.people_names() if name not in named]
    # Inspectors stand first in a crew, and the inspector of the page is one of them.
    names = (*named, *others[len(others) - (people - len(named)) :])
    return replace(job, crew=Crew(people=people, inspectors=job.crew.inspectors), names=names)


def _ids_now(job: Job) -> Mapping[str, str]:
    """Today's id by former id, of checks and panels."""
    nouns: Iterable[Check | Panel] = (*job.checks.values(), *job.panels.values())
    return {old: noun.id for noun in nouns for old in noun.was}
