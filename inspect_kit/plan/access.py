"""Which panels come off for which checks, and what is behind what."""

from collections.abc import Iterable, Mapping

from inspect_kit.model.checklist import Check, Panel, on_the_way


def opens(panel: Panel) -> bool:
    """Whether something comes off (or is made): not so in a place file."""
    return panel.remove is not None or panel.refit is not None


def behind(panels: Mapping[str, Panel], ids: Iterable[str]) -> tuple[str, ...]:
    """These panels and everything they are behind, sorted; retired and unknown ones, and places, left out."""
    return tuple(sorted(panel.id for panel in on_the_way(panels, ids) if opens(panel)))


def panels_for_check(panels: Mapping[str, Panel], check: Check) -> tuple[str, ...]:
    """All that is off or standing during a check: its panel, `with`, `closed except`, and what these are behind."""
    return behind(panels, (check.panel, *check.with_, *check.closed_except))


def panels_for(panels: Mapping[str, Panel], checks: Iterable[Check], off: Iterable[str] = ()) -> tuple[str, ...]:
    """Everything that has to come off for these checks, and what is off already, sorted."""
    needed = set(behind(panels, off))
    for check in checks:
        needed.update(panels_for_check(panels, check))
    return tuple(sorted(needed))


def access_labour(panels: Mapping[str, Panel], ids: Iterable[str]) -> int:
    """Minutes x people to take these panels off and put them on again."""
    return sum(((panels[name].remove or 0) + (panels[name].refit or 0)) * panels[name].people for name in ids)
