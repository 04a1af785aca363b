"""Words that say nothing, where a reason, a reference or what was done is asked."""

NOTHING = frozenset(
    (
        *("none", "nothing", "n/a", "na", "n.a", "n/k", "nk", "n/d", "nil", "null", "tbd", "tba", "tbc"),
        *("todo", "to do", "unknown", "not known", "don't know", "dunno", "idk", "later", "pending", "xx", "xxx"),
        *("ditto", "as above", "see above", "same as above", "idem", "no reason", "reason", "because"),
        "not applicable",
    )
)
# Why something is not there can be said in one word.
NOT_THERE = frozenset(("none", "nothing", "nil", "null"))


def says_nothing(words: str) -> bool:
    """Whether words are none: no letter and no digit, or what people write who have nothing to say (`-`, `n/a`)."""
    return not any(map(str.isalnum, words)) or _plain(words) in NOTHING


def is_no_reason_why_not(words: str) -> bool:
    """Whether words say nothing where it is asked why something is not on the aircraft: there `none` is an answer."""
    return says_nothing(words) and _plain(words) not in NOT_THERE


def _plain(words: str) -> str:
    return " ".join(words.casefold().replace("\u2019", "'").split()).strip(" .!?-()")
