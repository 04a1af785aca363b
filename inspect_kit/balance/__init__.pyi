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
