from inspect_kit.balance.answer import BalanceAnswer, balance
from inspect_kit.balance.empty import EmptyWeight, WeightChange, empty_weight, unanswered
from inspect_kit.balance.envelope import Envelope
from inspect_kit.balance.loading import LoadingLine, WorkedLoading
from inspect_kit.balance.moments import Moments, percent_of_chord

__all__ = [
    "BalanceAnswer",
    "EmptyWeight",
    "Envelope",
    "LoadingLine",
    "Moments",
    "WeightChange",
    "WorkedLoading",
    "balance",
    "empty_weight",
    "percent_of_chord",
    "unanswered",
]
