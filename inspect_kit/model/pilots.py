"""Who counts as a pilot for a flight that shows whether an aircraft may carry passengers again.

Source: 14 CFR 91.407(b): "an appropriately rated pilot with at least a private pilot certificate".
"""

from inspect_kit.model.aircraft import Person
from inspect_kit.model.reason import names_nobody, says_nothing

PILOTS = ("private pilot", "commercial pilot", "airline transport pilot")


def is_pilot(kind: str) -> bool:
    """Whether a kind of certificate is that of a private pilot or higher, ratings behind it left aside."""
    return " ".join(kind.casefold().split()).startswith(PILOTS)


def may_show(pilot: Person) -> bool:
    """Whether a flight of that person shows it: a private pilot or higher, with a name and a number."""
    return is_pilot(pilot.kind) and not names_nobody(pilot.name) and not says_nothing(pilot.certificate)
