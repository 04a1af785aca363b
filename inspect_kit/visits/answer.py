"""What the room answers: the visits, what each saves and gives away, and how good the whole is."""

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal

from inspect_kit.noun import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Costs:
    """Minutes, kept apart: the fixed cost of visits, panels (minutes x people), checks, and intervals given away.

    `number` is how many visits. `kept_free` is no work: what visits on days that were to be kept free count for
    besides, so that they are seldom chosen. Only `total` is what the plan makes small: checks are not in it, since
    doing them more often is what is given away. `money` is what parts and others cost as far as that is known, in the
    owner's currency, of `unpriced` doings of checks it is not.
    """

    number: float
    visits: float
    panels: float
    checks: float
    given_away: float
    kept_free: float = 0.0
    money: Decimal = Decimal(0)
    unpriced: float = 0.0

    @property
    def labour(self) -> float:
        """Work at the aircraft: panels and checks."""
        return self.panels + self.checks

    @property
    def total(self) -> float:
        """What is made as small as can be: visits, panels and intervals given away, and days that were to be free."""
        return self.visits + self.panels + self.given_away + self.kept_free


@dataclass(frozen=True, kw_only=True, slots=True)
class Doing:
    """One item at one visit. `due` is the likely day on which it would fall due, or fell; None if after the outlook.

    `early` days it is done before that; `given_away` in words (`8 h of a 50 h interval`), "" where nothing is. `wastes`
    and `saves` are minutes: what is given away, and what a visit or opening of its own when due would cost more.
    `with_` names the item that it is done together with by rule, such as the inspection; `owed` after what it is owed.
    """

    item: str
    kind: str
    words: str
    panel: str | None
    on: dt.date
    due: dt.date | None
    early: int
    pulled: bool
    given_away: str
    wastes: float
    saves: float
    with_: str = ""
    owed: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Visit:
    """One day at the aircraft. `reads` is what each meter is likely to read, `reads_heavy` after heavy use.

    `checks` are all checks to be done, those that only come with an inspection included; `names` is what to plan it by
    (inspections, then checks with an interval of their own or whose reading goes to a limit). Minutes are minutes x
    people. `outside` marks a day that the owner wanted free: a limit asks for it; `in_season` one of the flying season.
    `tooling` is the shared tooling that it takes. `owed` becomes owed so soon after it that no day can be named.
    `money` is what parts and others cost as far as that is known; of the checks in `unpriced` it is not.
    """

    on: dt.date
    reads: Mapping[str, Decimal]
    reads_heavy: Mapping[str, Decimal]
    names: tuple[str, ...]
    findings: tuple[str, ...]
    checks: tuple[str, ...]
    panels: tuple[str, ...]
    panel_labour: int
    check_labour: int
    doings: tuple[Doing, ...]
    outside: bool
    in_season: bool = False
    tooling: tuple[str, ...] = ()
    owed: tuple[str, ...] = ()
    money: Decimal = Decimal(0)
    unpriced: tuple[str, ...] = ()

    @property
    def labour(self) -> int:
        """Panels and checks together, minutes x people."""
        return self.panel_labour + self.check_labour


@dataclass(frozen=True, kw_only=True, slots=True)
class Habit:
    """What the records say was done from `since` to the day of the question, and the same spread over the outlook.

    Of `done` doings of what comes round `late` were past their limit by today's rules; `past_due` is past it today.
    """

    since: dt.date
    days: int
    seen: Costs
    scaled: Costs
    done: int = 0
    late: int = 0
    past_due: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class LeftOut:
    """An item that cannot be planned, and why."""

    item: str
    reason: str


@dataclass(frozen=True, kw_only=True, slots=True)
class VisitPlan:
    """The months from `on` to `end`: visits in order, their costs beside each item when due and beside the habit.

    `when_soon` is the natural rule: whenever something is due, what falls due within 30 days or 10 h is done as well.
    `bound` is what no plan of these items on these days can beat in `costs.total`. `margin` says in words under which
    use nothing is past due. `pressing` are reasons not to fly today, and limits that the work of a visit outlasts;
    `notes` say what the plan cannot know. `hour` is what an hour is worth in `currency`, None where the owner does not
    say it.
    """

    on: dt.date
    end: dt.date
    months: int
    visits: tuple[Visit, ...]
    costs: Costs
    when_due: Costs
    when_soon: Costs
    habit: Habit | None
    bound: float
    margin: str
    left_out: tuple[LeftOut, ...] = ()
    pressing: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    hour: Decimal | None = None
    currency: str = ""

    def in_money(self, minutes: float) -> Decimal | None:
        """What so many minutes are worth; None where an hour has no worth."""
        return None if self.hour is None else Decimal(minutes) * self.hour / 60

    @property
    def could_save(self) -> float:
        """Minutes that no plan of these items on these days could save beyond this one."""
        return max(0.0, self.costs.total - self.bound)

    @property
    def above_bound(self) -> float:
        """The same as a share of the bound."""
        return self.could_save / self.bound if self.bound > 0 else 0.0

    @property
    def saved(self) -> float:
        """Minutes of panels and visits saved against doing each item when it is due, wasted intervals not counted."""
        before, now = self.when_due, self.costs
        return before.visits + before.panels - now.visits - now.panels

    @property
    def rule_dearer(self) -> float:
        """How much dearer the natural rule is than the plan, as a share of the plan."""
        return self.when_soon.total / self.costs.total - 1 if self.costs.total > 0 else 0.0

    def pulled(self) -> tuple[Doing, ...]:
        """Every doing before its last possible visit, by date."""
        return tuple(doing for visit in self.visits for doing in visit.doings if doing.pulled)
