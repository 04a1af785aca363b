"""What comes off for a check, and in which order, against networkx (descendants, topological order, longest path)."""

from pathlib import Path

import networkx as nx
import pytest

from inspect_kit import store
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.logbook import Logbook
from inspect_kit.plan import Job, Plan, panels_for, panels_for_check, plan
from tests.plan.instances import FAMILIES, job_of

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def sample() -> Logbook:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    return loaded.logbook


def behind_graph(job: Job) -> "nx.DiGraph[str]":
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(job.panels)
    graph.add_edges_from((panel.id, first) for panel in job.panels.values() for first in panel.behind)
    return graph


def jobs(sample: Logbook) -> list[Job]:
    live = tuple(check.id for check in sample.checks.values() if check.retired is None and check.who != "others")
    crew = Crew(people=2, inspectors=1)
    whole = Job(panels=sample.panels, checks=sample.checks, chosen=live, crew=crew, gear=sample.aircraft.tooling)
    return [whole, *(job_of(family, seed) for family in FAMILIES[:4] for seed in (1, 2))]


def test_the_closure_is_that_of_networkx(sample: Logbook) -> None:
    for job in jobs(sample):
        graph = behind_graph(job)
        off = {panel.id for panel in job.panels.values() if panel.remove is not None and panel.retired is None}
        for check in job.checks.values():
            named = {check.panel, *check.with_, *check.closed_except} & set(graph)
            reached = named.union(*(nx.descendants(graph, name) for name in named)) & off
            assert set(panels_for_check(job.panels, check)) == reached
        chosen = [job.checks[name] for name in job.chosen]
        assert set(panels_for(job.panels, chosen)) == {
            panel for check in chosen for panel in panels_for_check(job.panels, check)
        }


def test_panels_come_off_and_go_back_in_an_order_of_the_graph(sample: Logbook) -> None:
    """Everything a panel is behind is off before it comes off, and goes back on after it is back."""
    for job in jobs(sample):
        made = plan(job)
        assert isinstance(made, Plan)
        start = {(step.step in ("remove", "make"), step.panel): step for step in made.steps if step.check is None}
        assert nx.is_directed_acyclic_graph(behind_graph(job))
        for panel in made.panels:
            for first in nx.descendants(behind_graph(job), panel) & set(made.panels):
                assert start[True, first].end <= start[True, panel].start
                assert start[False, panel].end <= start[False, first].start


def test_no_plan_is_shorter_than_the_longest_path(sample: Logbook) -> None:
    """networkx's longest path through panel off, check, panel on bounds every plan, and never exceeds our own bound."""
    for job in jobs(sample):
        made = plan(job)
        assert isinstance(made, Plan)
        graph: nx.DiGraph[str] = nx.DiGraph()
        for panel in made.panels:
            noun = job.panels[panel]
            graph.add_edge(f"off {panel}", f"off {panel}.", weight=noun.remove or 0)
            graph.add_edge(f"on {panel}", f"on {panel}.", weight=noun.refit or 0)
            for first in set(noun.behind) & set(made.panels):
                graph.add_edge(f"off {first}.", f"off {panel}", weight=0)
                graph.add_edge(f"on {panel}.", f"on {first}", weight=0)
        for name in job.chosen:
            check = job.checks[name]
            minutes = 0 if check.who == "others" else check.minutes
            graph.add_edge(name, f"{name}.", weight=minutes)
            for panel in panels_for_check(job.panels, check):
                graph.add_edge(f"off {panel}.", name, weight=0)
                graph.add_edge(f"{name}.", f"on {panel}", weight=0)
        longest = nx.dag_longest_path_length(graph)
        assert longest <= made.lower_bound <= made.elapsed
