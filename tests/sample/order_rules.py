"""The rules of `order.md` for any aircraft, over a plan as it is printed and checklists as a plain reading has them."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.sample.plain import Item

OFF, ON = ("remove", "make"), ("refit", "undo")


@dataclass(frozen=True)
class Ask:
    """What a check or panel says, by the keys of its file: lists of ids, lags as (minutes, check)."""

    panel: str = ""
    lists: Mapping[str, list[str]] = field(default_factory=dict)
    lags: Mapping[str, tuple[int, str]] = field(default_factory=dict)
    when: str = "open"
    closed_except: tuple[str, ...] = ()
    people: int = 1
    alone: bool = False
    inspector: bool = True
    moves: bool = True
    overnight: bool = True
    first: bool = False
    others: bool = False
    position: str = ""
    life: bool = False

    def of(self, key: str) -> list[str]:
        return self.lists.get(key, [])


@dataclass(frozen=True)
class Book:
    """Checks and panels of a store or a job, by id, and how many there are of each shared tool."""

    checks: Mapping[str, Ask]
    panels: Mapping[str, Ask]
    tools: Mapping[str, int]

    def outer(self, panel: str) -> set[str]:
        """A panel and all that it is behind, of those that come off or are set up."""
        found, waiting = set(), [panel]
        while waiting:
            name = waiting.pop()
            if name in self.panels and name not in found:
                found.add(name)
                waiting += self.panels[name].of("behind")
        return {name for name in found if self.panels[name].moves}

    def open_for(self, check: str) -> set[str]:
        ask = self.checks[check]
        return set().union(*(self.outer(name) for name in (ask.panel, *ask.of("with"), *ask.closed_except)))


@dataclass(frozen=True)
class Steps:
    """A plan: (start, end, people by name) of each check, of each way off and of each way on; sessions in minutes.

    `whole` says of each session whether everybody is there.
    """

    checks: Mapping[str, tuple[int, int, tuple[str, ...]]]
    off: Mapping[str, tuple[int, int, tuple[str, ...]]]
    on: Mapping[str, tuple[int, int, tuple[str, ...]]]
    sessions: tuple[tuple[int, int], ...] = ()
    inspectors: int = 1
    names: tuple[str, ...] = ()
    whole: tuple[bool, ...] = ()

    def all(self) -> Iterator[tuple[str, int, int, tuple[str, ...]]]:
        for where, word in ((self.checks, ""), (self.off, "off "), (self.on, "on ")):
            for name, (start, end, who) in where.items():
                yield word + name, start, end, who


def steps_of(plan: Mapping[str, Any]) -> Steps:
    """From `plan --json`."""
    found: tuple[dict[str, Any], dict[str, Any], dict[str, Any]] = ({}, {}, {})
    for step in plan["steps"]:
        place = 0 if step["step"] == "check" else 1 if step["step"] in OFF else 2
        found[place][step["check"] or step["panel"]] = (step["start_min"], step["end_min"], tuple(step["who"]))
    hours = tuple((each["start_min"], each["end_min"]) for each in plan.get("sessions") or ())
    names = tuple(sorted({name for step in plan["steps"] for name in step["who"]}))
    whole = tuple(each["people"] == plan["people"] == len(names) for each in plan.get("sessions") or ())
    return Steps(*found, hours, plan["inspectors"], names, whole)


def access(book: Book, plan: Steps) -> Iterator[str]:
    for name, (start, end, _) in plan.checks.items():
        for panel in book.open_for(name):
            if panel not in plan.off or plan.off[panel][1] > start:
                yield f"{name} before {panel} is off"
            if panel in plan.on and plan.on[panel][0] < end:
                yield f"{name} after {panel} goes on"
    for name, (start, _, _) in plan.off.items():
        for panel in book.outer(name) - {name}:
            if panel not in plan.off or plan.off[panel][1] > start:
                yield f"{name} comes off before {panel}"


def closing(book: Book, plan: Steps) -> Iterator[str]:
    for name in plan.off.keys() ^ plan.on.keys():
        yield f"{name} comes off or goes on once only"
    for name, (start, _, _) in plan.on.items():
        for inner, (_, end, _) in plan.on.items():
            if inner != name and name in book.outer(inner) and end > start:
                yield f"{name} goes on before {inner}, which is behind it"


def phases(book: Book, plan: Steps) -> Iterator[str]:
    opens = min((start for start, _, _ in plan.off.values()), default=None)
    shut = max((end for _, end, _ in plan.on.values()), default=0)
    for name, (start, end, _) in plan.checks.items():
        if book.checks[name].when == "before" and opens is not None and end > opens:
            yield f"{name} after something came off"
        if book.checks[name].when == "closed" and start < shut:
            yield f"{name} before all is on"


def after(book: Book, plan: Steps) -> Iterator[str]:
    for name, (start, _, _) in plan.checks.items():
        for first in book.checks[name].of("after"):
            if first in plan.checks and plan.checks[first][1] > start:
                yield f"{name} before {first} has ended"


def lags(book: Book, plan: Steps) -> Iterator[str]:
    places = [(book.checks[name], name, start) for name, (start, _, _) in plan.checks.items()]
    places += [(book.panels[name], name, start) for name, (start, _, _) in plan.off.items()]
    for ask, name, start in places:
        for key, (minutes, since) in ask.lags.items():
            if since in plan.checks:
                gap = start - plan.checks[since][1]
                if gap < (minutes if key == "wait" else 0) or (key == "within" and gap > minutes):
                    yield f"{name} {gap} min after {since}: {key} {minutes}"


def runs(book: Book, plan: Steps) -> Iterator[str]:
    comes_after = {name: set(_firsts(book, plan, name)) for name in plan.checks}
    for name, (start, _, _) in plan.checks.items():
        ask = book.checks[name]
        if not ask.closed_except:
            continue
        own = set().union(*(book.outer(panel) for panel in ask.closed_except), book.open_for(name))
        for panel, (_, end, _) in plan.on.items():
            if panel not in own and end > start:
                yield f"{name} before {panel} is on"
        followers = {name} | own
        while more := {other for other in comes_after if comes_after[other] & followers} - followers:
            followers |= more
        for other, (_, end, _) in plan.checks.items():
            open_ = book.checks[other].when == "open" and not book.checks[other].closed_except
            if open_ and other not in followers and end > start:
                yield f"{name} before {other} has ended"


def _firsts(book: Book, plan: Steps, name: str) -> Iterator[str]:
    """The checks, and the panels put back, that come before a check."""
    yield from book.checks[name].of("after")
    yield from (since for _, since in book.checks[name].lags.values())
    yield from (maker for maker, _ in _makers(book, plan, name))


def _makers(book: Book, plan: Steps, name: str) -> Iterator[tuple[str, int]]:
    """What makes a check owed, and when that has ended."""
    for words in book.checks[name].of("owed-after"):
        verb, what = words.split()
        for other, (_, end, _) in plan.checks.items():
            ask = book.checks[other]
            did = verb == "did" and other == what
            fits = verb == "installed" and ask.life and ask.position == what
            if other != name and (did or fits or (verb == "disturbed" and what in ask.of("disturbs"))):
                yield other, end
        for panel, (_, end, _) in plan.on.items():
            if verb == "disturbed" and what in book.panels[panel].of("disturbs"):
                yield panel, end


def owed(book: Book, plan: Steps) -> Iterator[str]:
    for name, ask in book.checks.items():
        if ask.first or ask.others:
            continue
        for maker, end in _makers(book, plan, name):
            if name not in plan.checks:
                yield f"{name} is owed after {maker} and left out"
            elif plan.checks[name][0] < end:
                yield f"{name} is owed after {maker} and comes before it has ended"


def alone(book: Book, plan: Steps) -> Iterator[str]:
    for name, (start, end, _) in plan.checks.items():
        if book.checks[name].alone:
            for other, since, until, _ in plan.all():
                if other != name and since < end and start < until and until > since:
                    yield f"{other} goes on while {name} is done alone"


def apart(book: Book, plan: Steps) -> Iterator[str]:
    places = [(book.checks[name], name, start, end) for name, (start, end, _) in plan.checks.items()]
    for moved in (plan.off, plan.on):
        places += [(book.panels[name], name, start, end) for name, (start, end, _) in moved.items()]
    for ask, name, start, end in places:
        for setup in ask.of("not-while"):
            if setup in plan.off and plan.off[setup][0] < end and start < plan.on[setup][1]:
                yield f"{name} while {setup} stands"


def people(book: Book, plan: Steps) -> Iterator[str]:
    busy: dict[str, list[tuple[int, int, str]]] = {}
    names = sorted({name for _, _, _, who in plan.all() for name in who}, key=lambda name: "inspector" not in name)
    for key, start, end, who in plan.all():
        name = key.rsplit(" ", 1)[-1]
        ask = book.checks[name] if key in plan.checks else book.panels[name]
        if end > start and len(set(who)) != ask.people:
            yield f"{key} takes {ask.people} and has {len(set(who))}"
        looks = key in plan.checks and ask.inspector and end > start
        if looks and not set(who) & set(names[: plan.inspectors]) and plan.inspectors < len(names):
            yield f"{key} without an inspector"
        for each in who:
            busy.setdefault(each, []).append((start, end, key))
    for each, steps in busy.items():
        for (_, end, one), (start, _, other) in zip(sorted(steps), sorted(steps)[1:], strict=False):
            if end > start:
                yield f"{each} does {one} and {other} at once"


def tools(book: Book, plan: Steps) -> Iterator[str]:
    held: dict[str, list[tuple[int, int]]] = {}
    for name, (start, end, _) in plan.checks.items():
        for tool in book.checks[name].of("needs"):
            held.setdefault(tool, []).append((start, end))
    for name, (start, _, _) in plan.off.items():
        for tool in book.panels[name].of("needs"):
            # What never goes back on is told by `closing`.
            if name in plan.on:
                held.setdefault(tool, []).append((start, plan.on[name][1]))
    for tool, spans in held.items():
        for start, end in spans:
            if sum(since <= start < until for since, until in spans if end > start) > book.tools.get(tool, 1):
                yield f"more than {book.tools.get(tool, 1)} of {tool} at minute {start}"


def hours(book: Book, plan: Steps) -> Iterator[str]:
    if not plan.sessions:
        return
    inside = [(min(a), max(b)) for a, b in (tuple(zip(*each, strict=True)) for each in _joined(plan.sessions))]
    for key, start, end, _ in plan.all():
        if end > start and not any(since <= start and end <= until for since, until in inside):
            yield f"{key} is not within a session"
    for name, (start, _, _) in plan.off.items():
        if not book.panels[name].overnight and not any(a <= start and plan.on[name][1] <= b for a, b in inside):
            yield f"{name} stands overnight"


def nights(book: Book, plan: Steps) -> Iterator[str]:
    """What stands open over a break before it is used, though somebody has the time for it later.

    It is moved by itself, everything else staying where it is: no plan gets longer by that.
    """
    for name, (start, end, who) in plan.off.items():
        uses = [plan.checks[check][0] for check in plan.checks if name in book.open_for(check)]
        uses += [plan.off[other][0] for other in plan.off if other != name and name in book.outer(other)]
        for (since, until), everybody in zip(plan.sessions, plan.whole, strict=False):
            if everybody and end > start and since > end and uses and since < min(uses):
                moment = _free(book, plan, name, end - start, since, min([until, *uses]), len(who))
                if moment is not None:
                    yield f"{name} comes off at {start}, though there is time at {moment}, before it is used"


def _free(book: Book, plan: Steps, name: str, minutes: int, since: int, until: int, many: int) -> int | None:
    """When so many people are free for so long between two moments, nothing being done alone."""
    busy = [(start, end, who, key) for key, start, end, who in plan.all() if end > start and key != f"off {name}"]
    kept = [(plan.off[each][0], plan.on[each][1]) for each in book.panels[name].of("not-while") if each in plan.off]
    for moment in sorted({since, *(end for _, end, _, _ in busy if since < end)}):
        there = [each for each in busy if each[0] < moment + minutes and moment < each[1]]
        taken = {person for _, _, who, _ in there for person in who}
        quiet = not any(key in book.checks and book.checks[key].alone for _, _, _, key in there)
        apart = not any(begins < moment + minutes and moment < ends for begins, ends in kept)
        if moment + minutes <= until and quiet and apart and len(set(plan.names) - taken) >= many:
            return moment
    return None


def _joined(sessions: Iterable[tuple[int, int]]) -> Iterator[list[tuple[int, int]]]:
    """Sessions that follow each other without a break."""
    stretch: list[tuple[int, int]] = []
    for each in sessions:
        if stretch and stretch[-1][1] != each[0]:
            yield stretch
            stretch = []
        stretch.append(each)
    yield stretch


RULES: tuple[Callable[[Book, Steps], Iterator[str]], ...] = (
    *(access, closing, phases, after, lags, runs, owed, alone, apart, people, tools, hours, nights),
)


def broken(book: Book, plan: Steps) -> list[str]:
    """Every rule of order that a plan breaks, with what breaks it."""
    return [f"{rule.__name__}: {told}" for rule in RULES for told in rule(book, plan)]


# --- the same from files ---


def _lag(words: str) -> tuple[int, str]:
    number, unit, name = re.fullmatch(r"(\d+) (min|h) (?:of|after) (\S+)", words).groups()  # type: ignore[union-attr]
    return int(number) * (60 if unit == "h" else 1), name


def book_of(found: Iterable[Item], fronts: Iterable[Mapping[str, Any]], tools_: Mapping[str, int]) -> Book:
    """From checklists as `plain` reads them."""
    checks, panels = {}, {}
    for item in found:
        if item.one("retired"):
            continue
        when, _, rest = item.one("when").partition(" except ")
        crew = re.search(r"(\d) people", item.one("time"))
        lists = ("after", "with", "not-while", "needs", "disturbs", "owed-after")
        checks[item.id] = Ask(
            panel=item.panel,
            lists={key: item.listed(key) for key in lists},
            lags={key: _lag(item.one(key)) for key in ("wait", "within") if item.one(key)},
            when="open" if rest else when or "open",
            closed_except=tuple(rest.split(", ")) if rest else (),
            people=int(crew[1]) if crew else 1,
            alone=item.one("alone") == "yes",
            inspector=item.one("who") in ("", "inspector"),
            first=bool(item.one("first")),
            others=item.one("who").startswith("others"),
            position=item.one("counts-on"),
            life=bool(item.one("life")),
        )
    for front in fronts:
        needs = list(front.get("needs", ()))
        stays = front.get("overnight")
        panels[front["panel"]] = Ask(
            lists={key: list(front.get(key, ())) for key in ("behind", "not-while", "needs", "disturbs")},
            lags={"wait": _lag(front["wait"])} if "wait" in front else {},
            people=front.get("people", 1),
            moves="remove" in front or front.get("kind") == "setup",
            overnight=stays if isinstance(stays, bool) else stays != "no" and not ("jacks" in needs and stays is None),
        )
    return Book(checks, panels, tools_)


def book_of_job(job: Any) -> Book:
    """From the nouns of an invented job, key by key."""
    checks = {}
    for name, check in job.checks.items():
        lags_ = {key: getattr(check, key) for key in ("wait", "within")}
        checks[name] = Ask(
            panel=check.panel,
            lists={
                "after": list(check.after),
                "with": list(check.with_),
                "not-while": list(check.not_while),
                "needs": list(check.needs),
                "disturbs": list(check.disturbs),
                "owed-after": [f"{trigger.verb} {trigger.what}" for trigger in check.owed_after],
            },
            lags={key: (lag.minutes, lag.check) for key, lag in lags_.items() if lag is not None},
            when=check.when,
            closed_except=tuple(check.closed_except),
            people=check.people,
            alone=check.alone,
            inspector=check.who == "inspector",
            first=bool(check.first),
            others=check.who == "others",
        )
    panels = {
        name: Ask(
            lists={
                "behind": list(panel.behind),
                "not-while": list(panel.not_while),
                "needs": list(panel.needs),
                "disturbs": list(panel.disturbs),
            },
            people=panel.people,
            moves=panel.remove is not None,
            overnight=panel.overnight,
        )
        for name, panel in job.panels.items()
    }
    return Book(checks, panels, dict(job.gear))


def steps_of_plan(plan: Any, job: Any) -> Steps:
    """From an answer of the planner."""
    found: tuple[dict[str, Any], dict[str, Any], dict[str, Any]] = ({}, {}, {})
    for step in plan.steps:
        place = 0 if step.check else 1 if step.step in OFF else 2
        found[place][step.check or step.panel] = (step.start, step.end, tuple(step.who))
    hours = tuple((each.start, each.end) for each in job.shifts)
    whole = tuple(each.people == job.crew.people for each in job.shifts)
    return Steps(*found, hours, job.crew.inspectors, tuple(job.people_names()), whole)
