"""The joint replenishment problem: several things ordered under one common cost, the textbook's oldest grouping.

The cost model (a common cost A, a cost a of each item's own, holding at interest r on value v of demand D) is common to
the literature, such as Goyal 1974, Management Science 20:1334-1336. The two worked examples, A = 10 and r = 0.2, are
from a published text whose figures are repeated here: each alone 95.43, together 80.00; and 73.21 alone, 76.32 together
with one cycle, 69.74 with multiples (1, 6). Names of sources from memory.
"""

import math

import pytest

from inspect_kit.replenishment.check import schedule_faults
from inspect_kit.replenishment.problem import TODAY, JointProblem, ReplenishedItem, item_from_rule
from inspect_kit.replenishment.search import Effort, replenish
from tests.replenishment.reference import solve as optimum

COMMON, INTEREST = 10.0, 0.2
Product = tuple[float, float, float]
ALIKE: tuple[Product, Product] = ((800, 1, 2), (400, 0.5, 4))
UNLIKE: tuple[Product, Product] = ((900, 1, 2), (20, 0.5, 4))
EFFORT = Effort(rounds=120, generations=4, shakes=200)


def holding(product: Product) -> float:
    """Holding cost a year for a cycle of one year; it goes with the length of the cycle."""
    demand, value, _ = product
    return INTEREST * value * demand / 2


def yearly(fixed: float, rate: float) -> float:
    """The least cost a year of a cycle with a fixed cost and a holding rate: 2 sqrt(fixed x rate)."""
    return 2 * math.sqrt(fixed * rate)


@pytest.mark.parametrize(
    ("products", "alone", "one_cycle"), [(ALIKE, 95.43, 80.00), (UNLIKE, 73.21, 76.32)], ids=["alike", "unlike"]
)
def test_the_published_figures_follow_from_the_model(
    products: tuple[Product, Product], alone: float, one_cycle: float
) -> None:
    each = sum(yearly(COMMON + own, holding((demand, value, own))) for demand, value, own in products)
    together = yearly(COMMON + sum(own for _, _, own in products), sum(holding(product) for product in products))
    assert each == pytest.approx(alone, abs=0.005)
    assert together == pytest.approx(one_cycle, abs=0.005)


def orders(products: tuple[Product, ...], slots: int, step: float) -> JointProblem:
    """The same as visits: a doing is an order, the visit is the common cost, an arc costs the holding up to it.

    Every product is ordered at the first slot and at the last one, so that whole cycles are counted.
    """

    def item(number: int, product: Product) -> ReplenishedItem:
        rate, own = holding(product), product[2]
        return item_from_rule(
            name=f"product-{number}",
            needs=(),
            slots=slots,
            latest=lambda last: 0 if last == TODAY else (slots - 1 if last < slots - 1 else slots),
            waste=lambda last, again: own if last == TODAY else own + rate * ((again - last) * step) ** 2,
        )

    items = tuple(item(number, product) for number, product in enumerate(products))
    return JointProblem(items=items, setups={}, visit=(COMMON,) * slots)


def cost_a_year(products: tuple[Product, ...], cycles: int, length: float, steps: int) -> tuple[float, float]:
    """Cost a year of the plan found and of the proved optimum, over so many cycles cut into steps."""
    made = orders(products, cycles * steps + 1, length / steps)
    found = replenish(made, EFFORT)
    assert schedule_faults(made, found) == []
    best, _, proved = optimum(made)
    assert proved
    last_orders = COMMON + sum(own for _, _, own in products)
    return tuple((total - last_orders) / (cycles * length) for total in (found.total, best))  # type: ignore[return-value]


def test_products_alike_are_ordered_together() -> None:
    found, best = cost_a_year(ALIKE, cycles=6, length=0.4, steps=4)
    assert best == pytest.approx(80.00, abs=0.005)
    assert found == pytest.approx(best, abs=0.005)


def test_a_product_of_little_demand_is_ordered_every_sixth_time() -> None:
    step = math.sqrt((COMMON + 2 + 4 / 6) / (holding(UNLIKE[0]) + 6 * holding(UNLIKE[1])))
    found, best = cost_a_year(UNLIKE, cycles=1, length=6 * step, steps=12)
    assert best == pytest.approx(69.74, abs=0.005)
    assert found == pytest.approx(best, abs=0.005)
    made = orders(UNLIKE, 13, step / 2)
    done = replenish(made, EFFORT).doings
    assert done["product-0"] == (0, 2, 4, 6, 8, 10, 12)
    assert done["product-1"] == (0, 12)
