"""How few people can do a job: the steps that take most of them, and the second looks that are nobody's own."""


from inspect_kit.model.checklist import OTHERS
from inspect_kit.noun import dataclass
from inspect_kit.plan.access import panels_for
from inspect_kit.plan.request import Job


@dataclass(frozen=True, slots=True, kw_only=True)
class Fewest:
    """The fewest people for a job. `together` is how many of its steps take more than one person at a time.

    `looks` is at how many steps another person must have looked, who is none of those that did it.
    """

    people: int
    together: int
    looks: int


def fewest(job: Job) -> Fewest:
    """How few can do the chosen checks of a job, with the panels that move for them."""
    checks = [job.checks[name] for name in job.chosen if name in job.checks]
    own = [check for check in checks if check.who != OTHERS]
    panels = [job.panels[name] for name in panels_for(job.panels, checks, job.off)]
    takes = [check.people for check in own]
    # Every panel moves twice; one that is off already only once.
    takes += [panel.people for panel in panels for _ in range(1 if panel.id in job.off else 2)]
    looks = sum(check.second_look for check in own) + sum(panel.second_look for panel in panels)
    most = max(takes, default=1)
    return Fewest(
        people=max(most, 2) if looks else most,
        together=sum(each > 1 for each in takes),
        looks=looks,
    )
