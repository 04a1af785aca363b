"""Plans written by hand, each breaking one rule of the checker, and beside them the plans that only just keep it.

A plan is told as a foreman would write it on the wall: `5-15 look ann` is a check, `0-5 remove cowl ann` a panel;
`ann + bo` work together, and nobody is named where nobody is busy. What the checker must say stands below, word for
word; nothing means that the plan is in order.
"""

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Crew
from inspect_kit.model.checklist import Check, Lag, Panel, Retired, Trigger
from inspect_kit.model.interval import Limit
from inspect_kit.model.worksheet import Step
from inspect_kit.plan import Job, Plan, Shift

HERE = Place("x.md", 1)
STEP = re.compile(r"(\d+)-(\d+) (?:(remove|refit|make|undo) )?([a-z0-9-]+)(?: \((\d) people\))?((?: \+? ?[a-z]+)*)")


def panel(name: str, remove: int | None = 5, refit: int | None = 10, *behind: str, **more: object) -> Panel:
    return Panel(id=name, name=name, zone="z", remove=remove, refit=refit, behind=behind, place=HERE, **more)  # type: ignore[arg-type]


def check(name: str, where: str = "cowl", minutes: int = 10, **more: object) -> Check:
    return Check(id=name, panel=where, text=name, minutes=minutes, **({"who": "anyone", "place": HERE} | more))  # type: ignore[arg-type]


PANELS = (
    panel("cowl"),
    panel("inner", 2, 3, "cowl"),
    panel("duct", 2, 3, "shelf"),
    panel("shelf", None, None, "cowl", kind="place"),
    panel("on-jacks", 4, 6, kind="setup", needs=("jacks",), overnight=False),
    panel("on-stand", 4, 6, kind="setup", needs=("jacks",)),
    panel("heavy", 5, 5, people=2),
    panel("floor", None, None, kind="place"),
    panel("door", 3, 3),
    panel("seat", 3, 4, not_while=("on-jacks",)),
    panel("muff", 3, 4, wait=Lag(minutes=30, check="heat")),
)


def job(*checks: Check, **more: object) -> Job:
    """ann, who inspects, and bo, who does not; one pair of jacks; any hour."""
    usual = {
        "panels": {each.id: each for each in PANELS},
        "checks": {each.id: each for each in checks},
        "chosen": tuple(each.id for each in checks),
        "crew": Crew(people=2, inspectors=1),
        "names": ("ann", "bo"),
        "gear": {"jacks": 1},
    }
    return Job(**(usual | more))  # type: ignore[arg-type]


def told(question: Job, text: str) -> Plan:
    """The plan of these lines, with every sum and verdict as they follow from its steps."""
    steps = sorted((_step(question, line) for line in text.strip().splitlines()), key=lambda s: (s.start, s.end))
    return summed(question, steps)


def _step(question: Job, line: str) -> Step:
    match = STEP.fullmatch(line.strip())
    assert match, line
    start, end, verb, name, number, names = match.groups()
    who = tuple(re.findall(r"[a-z]+", names))
    if verb:
        people = question.panels[name].people
    else:
        people = 0 if name not in question.checks or not who else question.checks[name].people
    where = name if verb else question.checks[name].panel if name in question.checks else "floor"
    return Step(
        step=verb or "check",
        panel=where,
        check=None if verb else name,
        start=int(start),
        end=int(end),
        people=int(number) if number else people,
        who=who,
    )


def summed(question: Job, steps: Sequence[Step]) -> Plan:
    end = max((step.end for step in steps), default=0)
    return Plan(
        people=question.crew.people,
        inspectors=question.crew.inspectors,
        names=question.people_names(),
        checks=tuple(step.check for step in steps if step.check),
        panels=tuple(sorted({step.panel for step in steps if not step.check})),
        labour=sum((step.end - step.start) * step.people for step in steps),
        elapsed=end,
        lower_bound=end,
        proved=True,
        worked=end,
        worked_bound=end,
        steps=tuple(steps),
        critical=(),
        bars=(),
        cautions=(),
        parts=(),
        tools=(),
    )


@dataclass(frozen=True)
class Case:
    """A plan and what the checker says of it. `but` changes what the plan says of itself."""

    name: str
    job: Job
    steps: str
    says: tuple[str, ...] = ()
    but: dict[str, object] = field(default_factory=dict)

    def plan(self) -> Plan:
        return replace(told(self.job, self.steps), **self.but)


LOOK = check("look")
LIFE = (Limit(number=Decimal(8), unit="years"),)
SEALED = {each.id: each for each in PANELS} | {
    "cowl": panel("cowl", disturbs=("seal",)),
    "door": panel("door", 3, 3, disturbs=("latch",)),
}
EVENINGS = (
    Shift(start=0, end=20, people=2, inspectors=1),
    Shift(start=100, end=130, people=1, inspectors=1),
)
WHOLE = """
    0-5 remove cowl ann
    5-15 look ann
    15-25 refit cowl ann
"""

COMPLETE = (
    Case("in order", job(LOOK), WHOLE),
    Case(
        "a check forgotten",
        job(LOOK, check("listen")),
        WHOLE,
        ("not every check asked for is planned exactly once, and no other",),
    ),
    Case(
        "a check twice",
        job(LOOK),
        WHOLE + "25-35 look bo",
        ("a step stands twice in the plan", "look is done while cowl is not off"),
    ),
    Case(
        "a panel off twice",
        job(LOOK),
        WHOLE + "0-5 remove cowl bo",
        ("a step stands twice in the plan",),
    ),
    Case(
        "a panel that is off comes off again",
        job(LOOK, off=("cowl",)),
        WHOLE,
        ("cowl is off already and is taken off again",),
    ),
    Case("a panel that is off goes back", job(LOOK, off=("cowl",)), "0-10 look ann\n10-20 refit cowl ann"),
    Case(
        "a panel stays off",
        job(LOOK),
        "0-5 remove cowl ann\n5-15 look ann",
        ("cowl comes off and is not put back",),
    ),
    Case(
        "a panel that is off stays off",
        job(LOOK, off=("cowl", "inner")),
        "0-10 look ann\n10-20 refit cowl ann",
        ("inner comes off and is not put back",),
    ),
    Case(
        "a panel goes on that never came off",
        job(LOOK),
        WHOLE + "25-28 refit door bo",
        ("door goes back on and never came off",),
    ),
    Case(
        "a check too short",
        job(LOOK),
        "0-5 remove cowl ann\n5-14 look ann\n14-24 refit cowl ann",
        ("look takes 9 min and should take 10",),
    ),
    Case(
        "a panel off too fast",
        job(LOOK),
        "0-4 remove cowl ann\n4-14 look ann\n14-24 refit cowl ann",
        ("remove cowl takes 4 min and should take 5",),
    ),
    Case(
        "a panel on too fast",
        job(LOOK),
        "0-5 remove cowl ann\n5-15 look ann\n15-24 refit cowl ann",
        ("refit cowl takes 9 min and should take 10",),
    ),
    Case(
        "learned minutes",
        job(LOOK, minutes={"look": 12, "remove cowl": 6}),
        "0-6 remove cowl ann\n6-18 look ann\n18-28 refit cowl ann",
    ),
    Case(
        "learned minutes not kept",
        job(LOOK, minutes={"look": 12, "refit cowl": 6}),
        WHOLE,
        ("look takes 10 min and should take 12", "refit cowl takes 10 min and should take 6"),
    ),
    Case(
        "a panel that only takes time to put back",
        job(check("peek", "hatch"), panels={"hatch": panel("hatch", None, 4)}),
        "0-0 remove hatch ann\n0-10 peek ann\n10-14 refit hatch ann",
    ),
    Case(
        "what others do takes none of our time, whatever was learned",
        job(LOOK, check("bench", "floor", who="others"), minutes={"bench": 30}),
        WHOLE + "25-25 bench",
    ),
    Case(
        "what others do takes our time",
        job(LOOK, check("bench", "floor", who="others")),
        WHOLE + "25-35 bench",
        ("bench takes 10 min and should take 0",),
    ),
)

ACCESS = (
    Case(
        "a panel never comes off",
        job(check("deep", "inner")),
        "0-5 remove cowl ann\n5-15 deep ann\n15-25 refit cowl ann",
        ("deep needs inner, which never comes off",),
    ),
    Case(
        "a panel in front never comes off",
        job(check("deep", "inner")),
        "0-2 remove inner ann\n2-12 deep ann\n12-15 refit inner ann",
        ("deep needs cowl, which never comes off", "inner is behind cowl, which never comes off"),
    ),
    Case(
        "a panel that is off already and in front is enough",
        job(check("deep", "inner"), off=("cowl", "inner")),
        "0-10 deep ann\n10-13 refit inner ann\n13-23 refit cowl ann",
    ),
    Case(
        "a check begins five minutes before the panel is off",
        job(LOOK),
        "0-5 remove cowl ann\n0-10 look bo\n10-20 refit cowl ann",
        ("look is done while cowl is not off",),
    ),
    Case(
        "a check begins a minute before the panel is off",
        job(LOOK),
        "0-5 remove cowl ann\n4-14 look bo\n14-24 refit cowl ann",
        ("look is done while cowl is not off",),
    ),
    Case(
        "a panel goes on five minutes early",
        job(LOOK),
        "0-5 remove cowl ann\n5-15 look ann\n10-20 refit cowl bo",
        ("look is done while cowl is not off",),
    ),
    Case(
        "a panel goes on a minute early",
        job(LOOK),
        "0-5 remove cowl ann\n5-15 look ann\n14-24 refit cowl bo",
        ("look is done while cowl is not off",),
    ),
    Case(
        "a place is behind what it stands on",
        job(check("feel", "shelf")),
        "0-5 remove cowl ann\n0-10 feel bo\n10-20 refit cowl ann",
        ("feel is done while cowl is not off",),
    ),
    Case(
        "what a check names with it must be off",
        job(check("reach", "floor", with_=("door",))),
        "0-3 remove door ann\n0-10 reach bo\n10-13 refit door ann",
        ("reach is done while door is not off",),
    ),
    Case(
        "a panel that no file describes stands in nobody's way",
        job(LOOK, panels={"cowl": panel("cowl", 5, 10, "nowhere")}),
        WHOLE,
    ),
    Case(
        "a retired panel need not come off",
        job(LOOK, panels={"cowl": panel("cowl", 5, 10, "gone"), "gone": panel("gone", 1, 1, retired=object())}),
        WHOLE,
    ),
    Case(
        "a setup stands while it must not",
        job(check("turn", "floor", not_while=("on-jacks",)), check("wheel", "on-jacks")),
        "0-4 make on-jacks ann\n4-14 wheel ann\n4-14 turn bo\n14-20 undo on-jacks ann",
        ("turn is done while on-jacks stands",),
    ),
    Case(
        "a setup is being made while it must not stand",
        job(check("turn", "floor", not_while=("on-jacks",)), check("wheel", "on-jacks")),
        "0-10 turn bo\n9-13 make on-jacks ann\n13-23 wheel ann\n23-29 undo on-jacks ann",
        ("turn is done while on-jacks stands",),
    ),
    Case(
        "a setup is being undone while it must not stand",
        job(check("turn", "floor", not_while=("on-jacks",)), check("wheel", "on-jacks")),
        "0-4 make on-jacks ann\n4-14 wheel ann\n14-20 undo on-jacks ann\n19-29 turn bo",
        ("turn is done while on-jacks stands",),
    ),
    Case(
        "just before and just after a setup",
        job(check("turn", "floor", not_while=("on-jacks",)), check("crank", "floor", not_while=("on-jacks",)),
            check("wheel", "on-jacks")),
        "0-10 turn bo\n10-14 make on-jacks ann\n14-24 wheel ann\n24-30 undo on-jacks ann\n30-40 crank bo",
    ),
    Case(
        "a setup that stands already while it must not",
        job(check("turn", "floor", not_while=("on-jacks",)), off=("on-jacks",)),
        "0-10 turn bo\n9-15 undo on-jacks ann",
        ("turn is done while on-jacks stands",),
    ),
    Case(
        "a setup that stands already, in the first minute",
        job(check("turn", "floor", 1, not_while=("on-jacks",)), off=("on-jacks",)),
        "0-1 turn bo\n1-7 undo on-jacks ann",
        ("turn is done while on-jacks stands",),
    ),
    Case(
        "a setup that never ends and must not stand",
        job(check("turn", "floor", not_while=("on-jacks",)), off=("on-jacks",)),
        "100-110 turn bo",
        ("on-jacks comes off and is not put back", "turn is done while on-jacks stands"),
    ),
    Case(
        "a setup that is not made at all",
        job(check("turn", "floor", not_while=("on-jacks",))),
        "0-10 turn bo",
    ),
)  # fmt: skip

PANEL_ORDER = (
    Case(
        "an inner panel comes off before the outer one",
        job(check("deep", "inner")),
        "0-5 remove cowl ann\n4-6 remove inner bo\n6-16 deep ann\n16-19 refit inner ann\n19-29 refit cowl ann",
        ("inner is behind cowl and moves while that is on",),
    ),
    Case(
        "an inner panel goes on after the outer one",
        job(check("deep", "inner")),
        "0-5 remove cowl ann\n5-7 remove inner ann\n7-17 deep ann\n17-20 refit inner ann\n19-29 refit cowl bo",
        ("inner is behind cowl and moves while that is on",),
    ),
    Case(
        "behind a place, and so behind what that is behind",
        job(check("blow", "duct")),
        "0-5 remove cowl ann\n4-6 remove duct bo\n6-16 blow ann\n16-19 refit duct ann\n19-29 refit cowl ann",
        ("duct is behind cowl and moves while that is on",),
    ),
    Case(
        "an inner panel that stays off",
        job(check("deep", "inner")),
        "0-5 remove cowl ann\n5-7 remove inner ann\n7-17 deep ann\n17-27 refit cowl ann",
        ("inner comes off and is not put back",),
    ),
    Case(
        "the outer one never comes off",
        job(check("feel", "floor"), off=("inner",)),
        "0-10 feel ann\n0-3 refit inner bo",
        ("inner is behind cowl, which never comes off",),
    ),
    Case(
        "the outer one is off already",
        job(check("deep", "inner"), off=("cowl",)),
        "0-2 remove inner ann\n2-12 deep ann\n12-15 refit inner ann\n15-25 refit cowl ann",
    ),
    Case(
        "one right after the other",
        job(check("deep", "inner")),
        "0-5 remove cowl ann\n5-7 remove inner bo\n7-17 deep ann\n17-20 refit inner bo\n20-30 refit cowl ann",
    ),
)

PHASES = (
    Case(
        "a panel comes off while a check of before is done",
        job(check("stains", "floor", when="before"), LOOK),
        "0-10 stains ann\n9-14 remove cowl bo\n14-24 look ann\n24-34 refit cowl ann",
        ("stains comes before opening, and cowl starts before it has ended",),
    ),
    Case(
        "an open check is done before a check of before",
        job(check("stains", "floor", when="before"), check("sit", "floor")),
        "0-10 sit bo\n0-10 stains ann",
        ("stains comes before opening, and sit starts before it has ended",),
    ),
    Case(
        "two checks of before together",
        job(check("stains", "floor", when="before"), check("papers", "floor", when="before"), LOOK),
        "0-10 stains ann\n0-10 papers bo\n10-15 remove cowl ann\n15-25 look ann\n25-35 refit cowl ann",
    ),
    Case(
        "a panel goes on while a check of the end is done",
        job(check("count", "floor", when="closed"), LOOK),
        WHOLE + "24-34 count bo",
        ("count comes when all is closed, and cowl has not ended",),
    ),
    Case(
        "an open check is done after a check of the end",
        job(check("count", "floor", when="closed"), check("sit", "floor")),
        "0-10 sit bo\n9-19 count ann",
        ("count comes when all is closed, and sit has not ended",),
    ),
    Case(
        "two checks of the end together",
        job(check("count", "floor", when="closed"), check("wipe", "floor", when="closed"), LOOK),
        WHOLE + "25-35 count ann\n25-35 wipe bo",
    ),
    Case(
        "a run with the cowl off while the door is open",
        job(check("run", "cowl", closed_except=("cowl",)), check("hinge", "door")),
        """
        0-5 remove cowl ann
        0-3 remove door bo
        3-13 hinge bo
        13-16 refit door bo
        15-25 run ann
        25-35 refit cowl ann
        """,
        ("run is done while door is not back on",),
    ),
    Case(
        "a run with the cowl off once the door is shut",
        job(check("run", "cowl", closed_except=("cowl",)), check("hinge", "door")),
        """
        0-5 remove cowl ann
        0-3 remove door bo
        3-13 hinge bo
        13-16 refit door bo
        16-26 run ann
        26-36 refit cowl ann
        """,
    ),
    Case(
        "what the panel left off is behind may be off as well",
        job(check("run", "inner", closed_except=("inner",))),
        "0-5 remove cowl ann\n5-7 remove inner ann\n7-17 run ann\n17-20 refit inner ann\n20-30 refit cowl ann",
    ),
)

RUN = check("run", "cowl", closed_except=("cowl",))
WITH_COWL_OFF = """
    0-5 remove cowl ann
    5-15 wire ann
    15-25 run ann
    25-35 refit cowl ann
"""


def turned(name: str, after_: Sequence[tuple[str, str]], **more: object) -> Check:
    return check(name, "floor", owed_after=tuple(Trigger(verb=verb, what=what) for verb, what in after_), **more)


RUNS = (
    Case("the wire before the run", job(RUN, check("wire")), WITH_COWL_OFF),
    Case(
        "the wire after the run",
        job(RUN, check("wire")),
        "0-5 remove cowl ann\n5-15 run ann\n15-25 wire ann\n25-35 refit cowl ann",
        ("run is done before wire has ended",),
    ),
    Case(
        "the wire while it runs",
        job(RUN, check("wire")),
        "0-5 remove cowl ann\n5-15 run ann\n14-24 wire bo\n24-34 refit cowl ann",
        ("run is done before wire has ended",),
    ),
    Case(
        "a check in the cabin while it runs",
        job(RUN, check("sit", "floor")),
        "0-5 remove cowl ann\n5-15 run ann\n14-24 sit bo\n15-25 refit cowl ann",
        ("run is done before sit has ended",),
    ),
    Case(
        "what comes after the run",
        job(
            RUN,
            check("wire", after=("run",)),
            check("paint", after=("wire",)),
            check("dry", wait=Lag(minutes=1, check="paint")),
        ),
        "0-5 remove cowl ann\n5-15 run ann\n15-25 wire ann\n25-35 paint ann\n36-46 dry ann\n46-56 refit cowl ann",
    ),
    Case(
        "what must soon follow the run",
        job(RUN, check("feel", within=Lag(minutes=5, check="run"))),
        "0-5 remove cowl ann\n5-15 run ann\n15-25 feel ann\n25-35 refit cowl ann",
    ),
    Case(
        "what comes after something else",
        job(RUN, check("wire", after=("bolt",)), check("bolt")),
        "0-5 remove cowl ann\n5-15 bolt ann\n15-25 run ann\n25-35 wire ann\n35-45 refit cowl ann",
        ("run is done before wire has ended",),
    ),
    Case(
        "two runs in any order",
        job(RUN, check("idle", closed_except=("cowl",))),
        "0-5 remove cowl ann\n5-15 run ann\n15-25 idle ann\n25-35 refit cowl ann",
    ),
    Case(
        "what is owed after the run",
        job(RUN, turned("sniff", after_=[("did", "run")])),
        "0-5 remove cowl ann\n5-15 run ann\n15-25 sniff bo\n15-25 refit cowl ann",
    ),
    Case(
        "what is owed after the panel that is off meanwhile is back",
        job(RUN, turned("fit", after_=[("disturbed", "seal")]), panels=SEALED),
        "0-5 remove cowl ann\n5-15 run ann\n15-25 refit cowl ann\n25-35 fit ann",
    ),
    Case(
        "what is owed after another panel is back",
        job(RUN, turned("fit", after_=[("disturbed", "latch")]), check("hinge", "door"), panels=SEALED),
        """
        0-5 remove cowl ann
        0-3 remove door bo
        3-13 hinge bo
        13-16 refit door bo
        16-26 run ann
        26-36 refit cowl ann
        26-36 fit bo
        """,
        ("run is done before fit has ended",),
    ),
    Case(
        "the end is no concern of the run",
        job(RUN, check("count", "floor", when="closed"), check("stains", "floor", when="before")),
        "0-10 stains bo\n10-15 remove cowl ann\n15-25 run ann\n25-35 refit cowl ann\n35-45 count ann",
    ),
)

OWED = (
    Case(
        "owed and not planned",
        job(LOOK, checks={"look": LOOK, "wire": turned("wire", after_=[("did", "look")])}),
        WHOLE,
        ("wire is owed by look (`did look`) and is not planned",),
    ),
    Case(
        "owed and done before",
        job(LOOK, turned("wire", after_=[("did", "look")])),
        WHOLE + "14-24 wire bo",
        ("wire is owed by look (`did look`) and starts before that has ended",),
    ),
    Case("owed and done right after", job(LOOK, turned("wire", after_=[("did", "look")])), WHOLE + "15-25 wire bo"),
    Case(
        "owed after something that is not done",
        job(LOOK, checks={"look": LOOK, "wire": turned("wire", after_=[("did", "bolt"), ("disturbed", "look")])}),
        WHOLE,
    ),
    Case(
        "owed after what a check disturbs",
        job(check("unhook", "floor", disturbs=("stick",)), turned("free", after_=[("disturbed", "stick")])),
        "0-10 unhook ann\n9-19 free bo",
        ("free is owed by unhook (`disturbed stick`) and starts before that has ended",),
    ),
    Case(
        "owed after what a panel disturbs, and done before that is back",
        job(LOOK, turned("fit", after_=[("disturbed", "seal")]), panels=SEALED),
        WHOLE + "24-34 fit bo",
        ("fit is owed by cowl (`disturbed seal`) and starts before that has ended",),
    ),
    Case(
        "owed after a panel that was off already",
        job(check("sit", "floor"), checks={"sit": check("sit", "floor"), "fit": turned(
            "fit", after_=[("disturbed", "seal")])}, panels=SEALED, off=("cowl",)),
        "0-10 sit ann\n0-10 refit cowl bo",
        ("fit is owed by cowl (`disturbed seal`) and is not planned",),
    ),
    Case(
        "a panel that stays on disturbs nothing",
        job(LOOK, checks={"look": LOOK, "fit": turned("fit", after_=[("disturbed", "latch")])}, panels=SEALED),
        WHOLE,
    ),
    Case(
        "owed after a new part",
        job(check("hose", "floor", life=LIFE, counts_on="hoses"), turned("flow", after_=[("installed", "hoses")])),
        "0-10 hose ann\n9-19 flow bo",
        ("flow is owed by hose (`installed hoses`) and starts before that has ended",),
    ),
    Case(
        "no new part without a life, nor in another position",
        job(
            check("hose", "floor", counts_on="hoses"),
            check("belt", "floor", life=LIFE, counts_on="belts"),
            checks={
                "hose": check("hose", "floor", counts_on="hoses"),
                "belt": check("belt", "floor", life=LIFE, counts_on="belts"),
                "flow": turned("flow", after_=[("installed", "hoses")]),
            },
        ),
        "0-10 hose ann\n0-10 belt bo",
    ),
    Case(
        "a part disturbed is no part installed, nor a check done",
        job(
            check("seal", "floor", life=LIFE, counts_on="seal", disturbs=("other",)),
            checks={
                "seal": check("seal", "floor", life=LIFE, counts_on="seal", disturbs=("other",)),
                "flow": turned("flow", after_=[("disturbed", "seal"), ("installed", "other"), ("did", "other")]),
            },
        ),
        "0-10 seal ann",
    ),
    Case(
        "a panel that disturbs a part fits none",
        job(LOOK, checks={"look": LOOK, "flow": turned("flow", after_=[("installed", "seal")])}, panels=SEALED),
        WHOLE,
    ),
    Case(
        "what some hours later, others or nobody do any more is not owed here",
        job(
            LOOK,
            checks={
                "look": LOOK,
                "later": turned("later", after_=[("did", "look")], first=LIFE),
                "bench": turned("bench", after_=[("did", "look")], who="others"),
                "gone": turned("gone", after_=[("did", "look")], retired=Retired(date=dt.date(2031, 4, 2))),
            },
        ),
        WHOLE,
    ),
    Case(
        "what does itself is not owed by itself",
        job(turned("free", after_=[("disturbed", "stick"), ("did", "free")], disturbs=("stick",))),
        "0-10 free ann",
    ),
)

LAGS = (
    Case(
        "a check before the one that it comes after",
        job(check("cut", "floor", after=("drain",)), check("drain", "floor")),
        "0-10 drain ann\n9-19 cut bo",
        ("cut comes after drain and starts before that has ended",),
    ),
    Case(
        "a check right after",
        job(check("cut", "floor", after=("drain",)), check("drain", "floor")),
        "0-10 drain ann\n10-20 cut bo",
    ),
    Case("after a check that is not in the job", job(check("cut", "floor", after=("drain",))), "0-10 cut bo"),
    Case(
        "a minute too little to cool",
        job(check("touch", "floor", wait=Lag(minutes=30, check="heat")), check("heat", "floor")),
        "0-10 heat ann\n39-49 touch bo",
        ("touch does not wait 30 min after heat",),
    ),
    Case(
        "just cool",
        job(check("touch", "floor", wait=Lag(minutes=30, check="heat")), check("heat", "floor")),
        "0-10 heat ann\n40-50 touch bo",
    ),
    Case("cool long ago", job(check("touch", "floor", wait=Lag(minutes=30, check="heat"))), "0-10 touch bo"),
    Case(
        "half an hour too late to be warm",
        job(check("squeeze", "floor", within=Lag(minutes=30, check="heat")), check("heat", "floor")),
        "0-10 heat ann\n70-80 squeeze bo",
        ("squeeze starts 60 min after heat, 30 are allowed",),
    ),
    Case(
        "a minute too late to be warm",
        job(check("squeeze", "floor", within=Lag(minutes=30, check="heat")), check("heat", "floor")),
        "0-10 heat ann\n41-51 squeeze bo",
        ("squeeze starts 31 min after heat, 30 are allowed",),
    ),
    Case(
        "before it is warm",
        job(check("squeeze", "floor", within=Lag(minutes=30, check="heat")), check("heat", "floor")),
        "0-10 heat ann\n9-19 squeeze bo",
        ("squeeze starts -1 min after heat, 30 are allowed",),
    ),
    Case(
        "just warm, at either end",
        job(
            check("squeeze", "floor", within=Lag(minutes=30, check="heat")),
            check("sniff", "floor", within=Lag(minutes=30, check="heat")),
            check("heat", "floor"),
        ),
        "0-10 heat ann\n10-20 sniff bo\n40-50 squeeze bo",
    ),
    Case("warmed elsewhere", job(check("squeeze", "floor", within=Lag(minutes=30, check="heat"))), "0-10 squeeze bo"),
)

JACKED = job(check("wheel", "on-jacks"), check("frame", "seat"))
HOT = job(check("heat", "floor"), check("shell", "muff"))
MOVED = (
    Case(
        "a seat out before it is jacked and in after that",
        JACKED,
        """
        0-3 remove seat bo
        3-13 frame bo
        3-7 make on-jacks ann
        7-17 wheel ann
        17-23 undo on-jacks ann
        23-27 refit seat bo
        """,
    ),
    Case(
        "a seat out while it is jacked",
        JACKED,
        """
        0-3 remove seat bo
        2-6 make on-jacks ann
        3-13 frame bo
        6-16 wheel ann
        16-22 undo on-jacks ann
        22-26 refit seat bo
        """,
        ("seat is moved while on-jacks stands",),
    ),
    Case(
        "a seat in while it comes off the jacks",
        JACKED,
        """
        0-3 remove seat bo
        3-13 frame bo
        3-7 make on-jacks ann
        7-17 wheel ann
        17-23 undo on-jacks ann
        22-26 refit seat bo
        """,
        ("seat is moved while on-jacks stands",),
    ),
    Case(
        "a seat out where it is on jacks already, and in where it stays on them",
        job(check("frame", "seat"), off=("on-jacks",)),
        "0-3 remove seat bo\n3-13 frame bo\n13-17 refit seat bo",
        (
            "on-jacks comes off and is not put back",
            "seat is moved while on-jacks stands",
            "seat is moved while on-jacks stands",
        ),
    ),
    Case(
        "a seat that is out already comes in after the jacks",
        job(check("wheel", "on-jacks"), off=("on-jacks", "seat")),
        "0-10 wheel ann\n10-16 undo on-jacks ann\n16-20 refit seat bo",
    ),
    Case("no jacks in the way", job(check("frame", "seat")), "0-3 remove seat bo\n3-13 frame bo\n13-17 refit seat bo"),
    Case("a muff off cold", HOT, "0-10 heat ann\n40-43 remove muff bo\n43-53 shell bo\n53-57 refit muff bo"),
    Case(
        "a muff off a minute too soon",
        HOT,
        "0-10 heat ann\n39-42 remove muff bo\n42-52 shell bo\n52-56 refit muff bo",
        ("muff does not wait 30 min after heat",),
    ),
    Case(
        "a muff where nothing ran",
        job(check("shell", "muff")),
        "0-3 remove muff bo\n3-13 shell bo\n13-17 refit muff bo",
    ),
)

PEOPLE = (
    Case(
        "one for two",
        job(check("swing", "floor", people=2)),
        "0-10 swing ann",
        ("swing takes 2 people and has ann",),
    ),
    Case(
        "one for two, and the plan says so",
        job(check("swing", "floor", people=2)),
        "0-10 swing (1 people) ann",
        ("swing takes 2 people and has ann",),
    ),
    Case(
        "two for one",
        job(check("swing", "floor")),
        "0-10 swing ann + bo",
        ("swing takes 1 people and has ann, bo",),
    ),
    Case(
        "nobody",
        job(check("swing", "floor")),
        "0-10 swing (1 people)",
        ("swing takes 1 people and has nobody",),
    ),
    Case(
        "somebody whom the job has not got",
        job(check("swing", "floor")),
        "0-10 swing zoe",
        ("swing takes 1 people and has zoe",),
    ),
    Case(
        "one person named twice",
        job(check("swing", "floor")),
        "0-10 swing ann + ann",
        ("swing takes 1 people and has ann, ann",),
    ),
    Case(
        "one for a panel of two",
        job(check("peer", "heavy")),
        "0-5 remove heavy ann + bo\n5-15 peer ann\n15-20 refit heavy bo",
        ("refit heavy takes 2 people and has bo",),
    ),
    Case(
        "one of us where others work",
        job(check("bench", "floor", who="others")),
        "0-0 bench (1 people) ann",
        ("bench takes 0 people and has ann",),
    ),
    Case(
        "nothing to do for anybody takes nobody",
        job(check("sign", "floor", minutes=0)),
        "0-0 sign (1 people)",
    ),
    Case(
        "no inspector",
        job(check("judge", "floor", who="inspector")),
        "0-10 judge bo",
        ("judge wants an inspector",),
    ),
    Case("an inspector", job(check("judge", "floor", who="inspector")), "0-10 judge ann"),
    Case(
        "an inspector among two",
        job(check("judge", "floor", who="inspector", people=2)),
        "0-10 judge ann + bo",
    ),
    Case(
        "the second of two inspectors",
        job(check("judge", "floor", who="inspector"), crew=Crew(people=2, inspectors=2)),
        "0-10 judge bo",
    ),
    Case("no minutes, no inspector", job(check("judge", "floor", 0, who="inspector")), "0-0 judge (1 people)"),
    Case(
        "two places at once",
        job(check("left", "floor"), check("right", "floor")),
        "0-10 left ann\n9-19 right ann",
        ("ann is in two places at minute 9",),
    ),
    Case(
        "two places, one after the other",
        job(check("left", "floor"), check("right", "floor")),
        "0-10 left ann\n10-20 right ann",
    ),
)

ALONE = (
    Case(
        "somebody works while the engine runs",
        job(check("run", "floor", alone=True), check("wipe", "floor")),
        "0-10 run ann\n9-19 wipe bo",
        ("run is done alone, and wipe goes on meanwhile",),
    ),
    Case(
        "somebody is still at work when the engine starts",
        job(check("run", "floor", alone=True), check("wipe", "floor")),
        "0-10 wipe bo\n9-19 run ann",
        ("run is done alone, and wipe goes on meanwhile",),
    ),
    Case(
        "a panel goes on while the engine runs",
        job(check("run", "floor", alone=True), LOOK),
        WHOLE + "16-26 run bo",
        ("run is done alone, and cowl goes on meanwhile",),
    ),
    Case(
        "before and after somebody works alone",
        job(check("run", "floor", alone=True), check("wipe", "floor"), check("dry", "floor")),
        "0-10 wipe bo\n10-20 run ann\n20-30 dry bo",
    ),
    Case(
        "what takes no time goes on beside it",
        job(check("run", "floor", alone=True), check("bench", "floor", who="others")),
        "0-10 run ann\n5-5 bench",
    ),
    Case(
        "alone, and over in no time",
        job(check("run", "floor", 0, alone=True), check("wipe", "floor")),
        "0-10 wipe bo\n5-5 run (1 people)",
    ),
)

GEAR = (
    Case(
        "one pair of jacks under two",
        job(check("wheel", "on-jacks"), check("axle", "on-stand")),
        """
        0-4 make on-jacks ann
        4-14 wheel ann
        14-20 undo on-jacks ann
        19-23 make on-stand bo
        23-33 axle bo
        33-39 undo on-stand bo
        """,
        ("2 of the tooling jacks are held at minute 19, and there are 1",),
    ),
    Case(
        "one pair of jacks, one after the other",
        job(check("wheel", "on-jacks"), check("axle", "on-stand")),
        """
        0-4 make on-jacks ann
        4-14 wheel ann
        14-20 undo on-jacks ann
        20-24 make on-stand bo
        24-34 axle bo
        34-40 undo on-stand bo
        """,
    ),
    Case(
        "two pairs of jacks",
        job(check("wheel", "on-jacks"), check("axle", "on-stand"), gear={"jacks": 2}),
        """
        0-4 make on-jacks ann
        0-4 make on-stand bo
        4-14 wheel ann
        4-14 axle bo
        14-20 undo on-jacks ann
        14-20 undo on-stand bo
        """,
    ),
    Case(
        "a check takes the wrench that another holds",
        job(check("left", "floor", needs=("wrench",)), check("right", "floor", needs=("wrench",)), gear={"wrench": 1}),
        "0-10 left ann\n9-19 right bo",
        ("2 of the tooling wrench are held at minute 9, and there are 1",),
    ),
    Case(
        "a check takes the wrench when it is free",
        job(check("left", "floor", needs=("wrench",)), check("right", "floor", needs=("wrench",)), gear={"wrench": 1}),
        "0-10 left ann\n10-20 right bo",
    ),
    Case(
        "the wrench in use while it stands on jacks",
        job(check("left", "floor", needs=("wrench",)), check("wheel", "on-jacks"), gear={"jacks": 1, "wrench": 1}),
        "0-4 make on-jacks ann\n0-10 left bo\n4-14 wheel ann\n14-20 undo on-jacks ann",
    ),
    Case(
        "gear that nobody has",
        job(check("left", "floor", needs=("wrench",)), gear={}),
        "0-10 left ann",
        ("1 of the tooling wrench are held at minute 0, and there are 0",),
    ),
    Case(
        "jacks under what stands already",
        job(check("lift", "floor", needs=("jacks",)), off=("on-jacks",)),
        "0-10 lift ann\n0-6 undo on-jacks bo",
        tuple(["2 of the tooling jacks are held at minute 0, and there are 1"] * 2),
    ),
    Case(
        "jacks that are never given back",
        job(check("lift", "floor", needs=("jacks",)), check("wheel", "on-jacks")),
        "0-4 make on-jacks ann\n4-14 wheel ann\n50-60 lift bo",
        (
            "on-jacks comes off and is not put back",
            "2 of the tooling jacks are held at minute 50, and there are 1",
        ),
    ),
    Case(
        "others bring their own",
        job(check("bench", "floor", who="others", needs=("wrench",)), gear={}),
        "0-0 bench",
    ),
    Case("nothing to hold it for", job(check("left", "floor", 0, needs=("wrench",)), gear={}), "0-0 left (1 people)"),
)

HOURS = (
    Case(
        "at work in the break",
        job(check("left", "floor"), check("right", "floor"), shifts=EVENINGS),
        "0-10 left ann\n11-21 right ann",
        ("right runs to 21 and ann is not there from 20",),
    ),
    Case(
        "at work before the session",
        job(check("left", "floor"), check("right", "floor"), shifts=EVENINGS),
        "0-10 left ann\n99-109 right ann",
        ("right runs to 109 and ann is not there from 99",),
    ),
    Case(
        "at work when nobody is there any more",
        job(check("left", "floor"), shifts=EVENINGS),
        "121-131 left ann",
        ("left runs to 131 and ann is not there from 130",),
    ),
    Case(
        "a panel goes on in the break",
        job(LOOK, shifts=EVENINGS),
        WHOLE,
        ("cowl runs to 25 and ann is not there from 20",),
    ),
    Case(
        "a helper who is not there",
        job(check("left", "floor"), check("right", "floor"), shifts=EVENINGS),
        "0-10 left bo\n100-110 right bo",
        ("right runs to 110 and bo is not there from 100",),
    ),
    Case(
        "an inspector who is not there",
        job(check("left", "floor"), shifts=(Shift(start=0, end=20, people=1, inspectors=0),)),
        "0-10 left ann",
        ("left runs to 10 and ann is not there from 0",),
    ),
    Case(
        "to the last minute",
        job(check("left", "floor"), check("right", "floor"), shifts=EVENINGS),
        "10-20 left bo\n120-130 right ann",
    ),
    Case(
        "on from one session into the next",
        job(
            check("left", "floor"),
            shifts=(Shift(start=0, end=5, people=2, inspectors=1), Shift(start=5, end=10, people=1, inspectors=1)),
        ),
        "0-10 left ann",
    ),
    Case(
        "what takes no time may be in the break",
        job(check("left", "floor", 0), shifts=EVENINGS),
        "50-50 left (1 people) ann",
    ),
    Case(
        "on jacks overnight",
        job(check("wheel", "on-jacks"), shifts=EVENINGS),
        "0-4 make on-jacks ann\n4-14 wheel ann\n100-106 undo on-jacks ann",
        ("on-jacks stands over the break at minute 20",),
    ),
    Case(
        "on jacks already, and overnight",
        job(check("wheel", "on-jacks"), shifts=EVENINGS, off=("on-jacks",)),
        "0-10 wheel ann\n100-106 undo on-jacks ann",
        ("on-jacks stands over the break at minute 20",),
    ),
    Case(
        "on jacks to the last minute",
        job(check("wheel", "on-jacks"), shifts=EVENINGS),
        "0-4 make on-jacks ann\n4-14 wheel ann\n14-20 undo on-jacks ann",
    ),
    Case(
        "on a stand that may stay overnight",
        job(check("axle", "on-stand"), shifts=EVENINGS),
        "0-4 make on-stand ann\n4-14 axle ann\n100-106 undo on-stand ann",
    ),
    Case(
        "a panel off overnight",
        job(LOOK, shifts=EVENINGS),
        "0-5 remove cowl ann\n5-15 look ann\n100-110 refit cowl ann",
    ),
)

SUMS = (
    Case("too short a day", job(LOOK), WHOLE, ("the elapsed time is not the end of the last step",),
         {"elapsed": 26, "lower_bound": 26}),
    Case("too little labour", job(LOOK), WHOLE, ("the labour is not the sum of minutes x people",), {"labour": 24}),
    Case(
        "the labour of two",
        job(check("swing", "floor", people=2)),
        "0-10 swing ann + bo",
        ("the labour is not the sum of minutes x people",),
        {"labour": 10},
    ),
    Case("a bound above the plan", job(LOOK), WHOLE, ("the bound and the verdict do not agree",),
         {"lower_bound": 26, "proved": False}),
    Case("proved and not at the bound", job(LOOK), WHOLE, ("the bound and the verdict do not agree",),
         {"lower_bound": 24}),
    Case("at the bound and not proved", job(LOOK), WHOLE, ("the bound and the verdict do not agree",),
         {"proved": False}),
    Case("below the bound and not proved", job(LOOK), WHOLE, (), {"lower_bound": 24, "proved": False}),
    Case(
        "out of order",
        job(LOOK),
        WHOLE,
        ("the steps are not sorted by start, then end",),
        {"steps": tuple(reversed(told(job(LOOK), WHOLE).steps))},
    ),
    Case(
        "the longer first",
        job(check("left", "floor", 5), check("right", "floor")),
        "0-5 left ann\n0-10 right bo",
        ("the steps are not sorted by start, then end",),
        {"steps": tuple(reversed(told(job(check("left", "floor", 5), check("right", "floor")),
                                      "0-5 left ann\n0-10 right bo").steps))},
    ),
    Case("nothing at all", job(), ""),
)  # fmt: skip

CASES = (
    *COMPLETE, *ACCESS, *PANEL_ORDER, *PHASES, *RUNS, *OWED, *LAGS, *MOVED, *PEOPLE, *ALONE, *GEAR, *HOURS,
    *SUMS,
)  # fmt: skip
