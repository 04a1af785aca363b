"""Who counts as a pilot for a flight that shows whether an aircraft may carry passengers again.

Source: 14 CFR 91.407(b): "an appropriately rated pilot with at least a private pilot certificate".
"""

import re

from inspect_kit.model.aircraft import Person
from inspect_kit.model.reason import names_nobody, says_nothing

PILOT = r"(?:private|commercial|airline transport) pilot(?:$|[\s,;:(/-])"
# Who is none (`private pilot's mate`), or is none any more.
LESS = frozenset(
    ("not", "no", "mate", "wife", "husband", "friend", "student", "former", "expired", "revoked", "suspended")
)


def is_pilot(kind: str) -> bool:
    """Whether a kind of certificate is that of a private pilot or higher, ratings behind it left aside."""
    words = " ".join(kind.casefold().split())
    return re.match(PILOT, words) is not None and LESS.isdisjoint(re.findall("[a-z]+", words))


def may_show(pilot: Person) -> bool:
    """Whether a flight of that person shows it: a private pilot or higher, with a name and a number."""
    return is_pilot(pilot.kind) and not names_nobody(pilot.name) and not says_nothing(pilot.certificate)
