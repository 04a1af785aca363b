"""What work makes owed: which checks, at once or later, and which box of a page, further down, answers it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field

from inspect_kit.model.checklist import DID, DISTURBED, INSTALLED, OTHERS, Check, Panel, Trigger
from inspect_kit.model.worksheet import CLOSING, Entry, Worksheet
from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """Why a check is owed: what it is owed after, and the check or panel that brought it about.

    `by` is "" where that was entered itself: `disturbed: static-system`, or a part that was fitted.
    """

    trigger: Trigger
    by: str = ""

    def __str__(self) -> str:
        """Words to follow "owed after", with ids."""
        return self.words(str)

    def words(self, named: Callable[[str], str]) -> str:
        """The same, with checks and panels as they are `named`."""
        what, by = self.trigger.what, named(self.by) if self.by else ""
        if self.trigger.verb == DID:
            return named(what)
        if self.trigger.verb == INSTALLED:
            return f"{by}, a new part in {what}" if by else f"a part was fitted in {what}"
        return f"{by}, which disturbs {what}" if by else f"{what} was disturbed"


def slip_of(word: str, known: Iterable[str]) -> str:
    """The known word that differs from one by a slip of a key: a letter more, less, turned or another; "" if none does.

    A digit, or a short part between hyphens, makes another word: `tank-1` and `tank-2`, `side-a` and `side-b`.
    """
    return next((other for other in sorted(known) if other != word and _is_slip(word, other)), "")


def _is_slip(one: str, other: str) -> bool:
    if len(one) > len(other):
        one, other = other, one
    at = next((at for at, mark in enumerate(one) if mark != other[at]), len(one))
    if any(mark.isdigit() for mark in (*one[at : at + 1], *other[at : at + 1])):
        return False
    if len(one) + 1 == len(other):
        return one[at:] == other[at + 1 :]
    if len(one) != len(other) or at == len(one):
        return False
    turned = one[at : at + 2] == other[at : at + 2][::-1] and one[at + 2 :] == other[at + 2 :]
    part = one[one.rfind("-", 0, at) + 1 :].partition("-")[0]
    return turned or (one[at + 1 :] == other[at + 1 :] and len(part) >= SHORT)


# A word of fewer letters tells two things apart by one of them.
SHORT = 4


By = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Deeds:
    """What was or will be done: checks, what is disturbed, the positions in which parts are fitted.

    `disturbed` and `installed` have behind each name the checks and panels that bring it about, "" where it was
    entered itself."""

    did: frozenset[str] = frozenset()
    disturbed: By = field(default_factory=dict)
    installed: By = field(default_factory=dict)


def deeds(
    checks: Mapping[str, Check],
    panels: Mapping[str, Panel],
    *,
    did: Iterable[str] = (),
    closed: Iterable[str] = (),
    disturbed: Iterable[str] = (),
    installed: Iterable[str] = (),
    renews: bool = False,
) -> Deeds:
    """What may make checks owed, by today's ids: checks done, what was put back, disturbed or fitted.

    `renews`: doing a check with a life means a new part in its position, as in a plan; a tick alone does not say so.
    """
    done = dict.fromkeys(name for name in did if name in checks)
    touched: dict[str, tuple[str, ...]] = {}
    fitted: dict[str, tuple[str, ...]] = {}
    for what in disturbed:
        touched[what] = (*touched.get(what, ()), "")
    for what in installed:
        fitted[what] = (*fitted.get(what, ()), "")
    nouns: list[Check | Panel] = [checks[name] for name in done]
    nouns += [panels[name] for name in dict.fromkeys(closed) if name in panels]
    for noun in nouns:
        for what in noun.disturbs:
            touched[what] = (*touched.get(what, ()), noun.id)
    for name in done if renews else ():
        position = checks[name].counts_on
        if checks[name].life and position is not None:
            fitted[position] = (*fitted.get(position, ()), name)
    return Deeds(did=frozenset(done), disturbed=touched, installed=fitted)


def causes(check: Check, done: Deeds) -> tuple[Cause, ...]:
    """All that these deeds give a check to be owed after; nothing that doing it brings about itself."""
    found = []
    for trigger in check.owed_after:
        if trigger.verb == DID:
            by: tuple[str, ...] = (trigger.what,) if trigger.what in done.did else ()
        else:
            by = (done.disturbed if trigger.verb == DISTURBED else done.installed).get(trigger.what, ())
        found += [Cause(trigger=trigger, by=each) for each in by if each != check.id]
    return tuple(found)


def owed_by(checks: Mapping[str, Check], done: Deeds) -> dict[str, tuple[Cause, ...]]:
    """The checks in use that are owed after these deeds, at once or later, in the order of their files."""
    found = {check.id: causes(check, done) for check in checks.values() if check.owed_after and check.retired is None}
    return {name: why for name, why in found.items() if why}


def at_once(check: Check) -> bool:
    """Whether an owed check can be done right after what made it owed: not one that comes hours later, or by others."""
    return not check.first and check.who != OTHERS


def behind_causes(checks: Mapping[str, Check], names: Iterable[str]) -> tuple[str, ...]:
    """These checks in their order, but each behind those among them that make it owed."""
    waiting, found = list(dict.fromkeys(names)), dict[str, None]()
    done = deeds(checks, {}, did=waiting)
    makers = {name: {why.by for why in causes(checks[name], done)} for name in waiting}
    while waiting:
        # Checks that make each other owed in a circle stay as they are.
        ready = next((name for name in waiting if not makers[name].intersection(waiting)), waiting[0])
        waiting.remove(ready)
        found[ready] = None
    return tuple(found)


# --- on a page ---


@dataclass(frozen=True, slots=True, kw_only=True)
class OwedOnPage:
    """A check that a page makes owed: why, the last box that did so, and the box below it that answers, if any.

    `above` is its last box that counts and stands above, so that it answers nothing.
    """

    check: Check
    cause: Cause
    after: Entry
    box: Entry | None
    above: Entry | None


def owed_on_page(
    page: Worksheet,
    checks: Mapping[str, Check],
    panels: Mapping[str, Panel],
    now: Callable[[str], str],
    counts: Callable[[Entry], bool],
) -> Iterator[OwedOnPage]:
    """Every check that boxes of a page make owed, by the order of the boxes. `counts` says which boxes are done.

    `now` gives today's id for a former one.
    """
    boxes = [entry for entry in page.entries if counts(entry)]
    deeds_of = [_deeds_of(entry, checks, panels, now) for entry in boxes]
    for check in checks.values():
        if not check.owed_after or check.retired is not None:
            continue
        why = [(place, cause) for place, done in enumerate(deeds_of) for cause in causes(check, done)[:1]]
        if why:
            last, cause = why[-1]
            own = [place for place, entry in enumerate(boxes) if entry.is_check and now(entry.id) == check.id]
            below = [boxes[place] for place in own if place > last]
            above = [boxes[place] for place in own if place <= last]
            yield OwedOnPage(
                check=check,
                cause=cause,
                after=boxes[last],
                box=below[-1] if below else None,
                above=above[-1] if above else None,
            )


def done_in_order(entry: Entry) -> bool:
    """Whether a box is ticked, and not answered otherwise."""
    return entry.ticked and not entry.answer


def _deeds_of(
    entry: Entry, checks: Mapping[str, Check], panels: Mapping[str, Panel], now: Callable[[str], str]
) -> Deeds:
    did = [now(entry.id)] if entry.is_check else []
    closed = [now(entry.id)] if entry.verb in CLOSING else []
    return deeds(checks, panels, did=did, closed=closed, disturbed=[now(what) for what in entry.disturbed])
