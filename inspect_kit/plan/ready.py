"""What to have ready before work begins: parts, tools, and the cautions in the order in which they are met."""

from collections.abc import Iterable, Sequence

from inspect_kit.model.checklist import Part, added_up
from inspect_kit.model.worksheet import Step
from inspect_kit.plan.answer import StepCaution
from inspect_kit.plan.request import Job


def parts_for(job: Job, steps: Iterable[Step]) -> tuple[Part, ...]:
    """All that is used up; amounts of one thing in one unit are added."""
    return added_up(part for step in steps if step.check for part in job.checks[step.check].uses)


def tools_for(job: Job, steps: Iterable[Step]) -> tuple[str, ...]:
    """Every tool once, in the order of first use; of shared tooling that a tool names more closely, that tool alone."""
    tools: dict[str, None] = {}
    for step in steps:
        noun = job.checks[step.check] if step.check else job.panels[step.panel]
        tools |= dict.fromkeys((*noun.tools, *(tool_words(name) for name in noun.needs)))
    return tuple(tool for tool in tools if not any(other.startswith(f"{tool} ") for other in tools))


def tool_words(name: str) -> str:
    """Shared tooling by its name in aircraft.yaml, in words: `torque wrench`."""
    return name.replace("-", " ")


def cautions_for(job: Job, steps: Sequence[Step]) -> tuple[StepCaution, ...]:
    """Each caution before the step it belongs to; a panel's before it comes off, a place's before its first check."""
    cautions: list[StepCaution] = []
    met: set[str] = set()
    for step in steps:
        panel = job.panels.get(step.panel)
        if panel is not None and panel.id not in met:
            met.add(panel.id)
            cautions += [StepCaution(at=panel.id, text=text) for text in panel.cautions]
        if step.check:
            cautions += [StepCaution(at=step.check, text=text) for text in job.checks[step.check].cautions]
    return tuple(cautions)
