"""Who counts as a pilot for a flight that shows whether an aircraft may carry passengers again.

Source: 14 CFR 91.407(b): "an appropriately rated pilot with at least a private pilot certificate".
"""

import re

from inspect_kit.model.aircraft import Person
from inspect_kit.model.reason import in_doubt, is_no_number, names_nobody

PILOT = re.compile(r"(?:private|commercial|airline transport) pilot(?![\w'])(?P<ratings>[^,;:(/-]*)")
# What follows without a comma is a rating (14 CFR 61.5), its short form in use, or a number.
RATINGS = frozenset(
    (
        *("airplane", "airplanes", "aeroplane", "aeroplanes", "rotorcraft", "helicopter", "gyroplane", "glider"),
        *("airship", "balloon", "lighter", "than", "air", "powered", "lift", "single", "multi", "engine"),
        *("engines", "land", "sea", "seaplane", "asel", "ases", "amel", "ames", "sel", "ses", "mel", "mes"),
        *("instrument", "ifr", "vfr", "flight", "instructor", "cfi", "cfii", "mei", "certificate", "license"),
        *("licence", "with", "and", "rating", "ratings", "category", "class", "tailwheel"),
    )
)
# Who is none (`private pilot's mate`), not yet, or not any more.
LESS = frozenset(
    (
        *("not", "no", "mate", "wife", "husband", "friend", "student", "applicant", "candidate", "trainee", "training"),
        *("pending", "applied", "soon", "future", "checkride", "former", "formerly", "ex", "expired", "revoked"),
        *("suspended", "surrendered", "lapsed", "cancelled", "canceled", "denied"),
    )
)


def is_pilot(kind: str) -> bool:
    """Whether a kind of certificate is that of a private pilot or higher, whatever the ratings behind it."""
    words = " ".join(kind.casefold().split())
    found = PILOT.match(words)
    if found is None or in_doubt(words) or not LESS.isdisjoint(re.findall("[a-z]+", words)):
        return False
    return all(word.isdigit() or word in RATINGS for word in re.findall(r"\w+", found["ratings"]))


def is_named_in_full(who: Person) -> bool:
    """Whether somebody has a name and the number of a certificate, neither of them left open."""
    return not names_nobody(who.name) and not is_no_number(who.certificate)


def may_show(pilot: Person) -> bool:
    """Whether a flight of that person shows it: a private pilot or higher, with a name and a number."""
    return is_pilot(pilot.kind) and is_named_in_full(pilot)
