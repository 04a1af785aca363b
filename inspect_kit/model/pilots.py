"""Who counts as a pilot for a flight that shows whether an aircraft may carry passengers again.

Source: 14 CFR 91.407(b): "an appropriately rated pilot with at least a private pilot certificate".
"""

PILOTS = ("private pilot", "commercial pilot", "airline transport pilot")


def is_pilot(kind: str) -> bool:
    """Whether a kind of certificate is that of a private pilot or higher, ratings behind it left aside."""
    return " ".join(kind.casefold().split()).startswith(PILOTS)
