"""Weight and balance: the arithmetic of moments, exact, from records to loadings. Knows neither disk nor law.

    moments    weight times arm
    empty      the last weighing and every change of equipment since
    loading    a loading, and the fuel leaving it
    envelope   inside or outside, at take-off and all the way
    extremes   the loadings at the edge of what the owner's limits allow
    answer     all of it: `balance`
"""

from inspect_kit.balance.answer import BalanceAnswer, balance
from inspect_kit.balance.empty import Change, EmptyWeight, empty_weight, unanswered
from inspect_kit.balance.envelope import Envelope
from inspect_kit.balance.loading import Line, Loaded
from inspect_kit.balance.moments import Total, percent_of_chord

__all__ = [
    "BalanceAnswer",
    "Change",
    "EmptyWeight",
    "Envelope",
    "Line",
    "Loaded",
    "Total",
    "balance",
    "empty_weight",
    "percent_of_chord",
    "unanswered",
]
