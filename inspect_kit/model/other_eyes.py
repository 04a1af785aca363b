"""Whether a second look is by another pair of eyes: by a name that is somebody's, and not the doer's own again."""

import unicodedata

from inspect_kit.model.aircraft import Aircraft, bare_number, has_number, plain_name
from inspect_kit.model.reason import names_nobody

TITLES = frozenset(("mr", "mrs", "ms", "miss", "dr", "the"))


def no_other(aircraft: Aircraft, name: str, doer: str) -> str:
    """By whom a second look is that is not by another person than who did it, in words; "" where it is by another."""
    if names_nobody(plain_name(name)) or names_nobody(name):
        return f"`{name}`, which names nobody"
    if aircraft.same_person(name, doer):
        return f"{name}, who did it"
    one, two = aircraft.person(name), aircraft.person(doer)
    listed = one is not None and two is not None
    numbers = {bare_number(each.certificate) for each in (one, two) if each is not None and has_number(each)}
    if len(numbers) > 1:
        # Two people, each with a certificate, whose names are alike: a father and his son.
        return ""
    if may_be_one(name, doer) or (not listed and _is_a_slip(_letters(name), _letters(doer))):
        return f"{name}, who may be {doer}, who did it"
    return ""


def may_be_one(name: str, other: str) -> bool:
    """Whether two names may be those of one person: `A. Bellcrank`, `Ada`, `Bellcrank, Ada`, `AB`, `Mr Bellcrank` of
    `Ada Bellcrank`.
    """
    if _letters(name) == _letters(other):
        # A blank that was lost, an accent.
        return True
    one, two = sorted((_without_title(name), _without_title(other)), key=len)
    if len(one) == 1 and len(two) > 1 and one[0] == "".join(word[0] for word in two):
        return True
    left = [*two]
    for word in sorted(one, key=len, reverse=True):
        like = (each for each in left if word == each or (min(len(word), len(each)) == 1 and word[0] == each[0]))
        found = next(like, None)
        if found is None:
            return False
        left.remove(found)
    return bool(one)


def _letters(name: str) -> str:
    return "".join(mark for mark in unicodedata.normalize("NFKD", plain_name(name)) if mark.isalnum())


def _without_title(name: str) -> list[str]:
    return [word for word in plain_name(name).split() if word not in TITLES]


def _is_a_slip(one: str, other: str) -> bool:
    """Whether two names differ by one letter, lost, added, changed or in the place of the one beside it."""
    short, long = sorted((one, other), key=len)
    start = next((at for at, marks in enumerate(zip(short, long, strict=False)) if marks[0] != marks[1]), len(short))
    left, more = short[start:], long[start:]
    return left[1:] == more[1:] or left == more[1:] or (left[:2] == more[1::-1] and left[2:] == more[2:])
