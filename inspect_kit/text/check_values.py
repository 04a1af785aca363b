"""The keys of a check that are no limits: who and how long, in which phase and order, what is read and used.

    time   = minutes [ "," N " people" ]       who  = "inspector" | "anyone" | "others" [ ":" text ]
    when   = "before" | "open" | "closed" | "closed except " ids
    within = minutes " of " ID                 wait = minutes " after " ID
    reads  = label [ " " INT " to " INT ] "," measure [ "," bound ]
    bound  = "at least " N | "at most " N | N " to " N
    uses   = part { ";" part }                 tools = tool { ";" tool }
    owed-after = trigger { "," trigger }       trigger = ( "did" | "disturbed" | "installed" ) " " ID
"""

import re
from decimal import Decimal

from inspect_kit.model import checklist as nouns
from inspect_kit.model.checklist import Bound, Lag, Part, Reads, Trigger, decimal
from inspect_kit.text.grammar import Unreadable, parse_at, parse_id, parse_ids, parse_list, parse_minutes, split_at


def parse_time(value: str) -> tuple[int, int]:
    """time = minutes [ "," N ( " people" | " person" ) ]; returns minutes and people"""
    head, comma, tail = value.partition(",")
    minutes = parse_at(parse_minutes, head.rstrip(), 0)
    if not comma:
        return minutes, 1
    match = re.fullmatch(r"([1-9]) (?:people|person)", tail.strip())
    if not match:
        raise Unreadable("expected people such as `2 people`", min(len(head) + 1, len(value) - 1), len(value))
    return minutes, int(match.group(1))


def parse_who(value: str) -> tuple[str, str]:
    """who = "inspector" | "anyone" | "others" [ ":" text ]; returns who and, for others, who they are"""
    head, _, detail = (part.strip() for part in value.partition(":"))
    if head not in (nouns.INSPECTOR, nouns.ANYONE, nouns.OTHERS) or (detail and head != nouns.OTHERS):
        raise Unreadable(f"expected `inspector`, `anyone` or `others: repair station`, not `{value[:40]}`")
    return head, detail


def parse_when(value: str) -> tuple[str, tuple[str, ...]]:
    """when = "before" | "open" | "closed" | "closed except " ids; returns the phase and the panels left off"""
    prefix = "closed except "
    if value.startswith(prefix):
        return nouns.OPEN, parse_at(parse_ids, value[len(prefix) :], len(prefix))
    if value not in (nouns.BEFORE, nouns.OPEN, nouns.CLOSED):
        raise Unreadable(f"expected `before`, `open`, `closed` or `closed except PANELS`, not `{value[:40]}`")
    return value, ()


def parse_within(value: str) -> Lag:
    """within = minutes " of " ID"""
    return _lag(value, "of")


def parse_wait(value: str) -> Lag:
    """wait = minutes " after " ID"""
    return _lag(value, "after")


def _lag(value: str, word: str) -> Lag:
    head, found, check = value.partition(f" {word} ")
    if not found:
        raise Unreadable(f"expected minutes and a check, such as `30 min {word} run-before`")
    offset = len(head) + len(word) + 2 + len(check) - len(check.lstrip())
    return Lag(minutes=parse_at(parse_minutes, head.rstrip(), 0), check=parse_at(parse_id, check.strip(), offset))


def parse_reads(value: str) -> Reads:
    """reads = label [ " " INT " to " INT ] "," measure [ "," bound ]

    A range of labels makes one reading for each: `cylinder 1 to 4` reads cylinder 1, 2, 3 and 4.
    """
    parts = split_at(value, ",")
    if len(parts) not in (2, 3) or not all(word for word, _ in parts):
        raise Unreadable("expected a label, a measure and perhaps a bound, such as `oil pressure, psi, 60 to 90`")
    label, measure = (" ".join(word.split()) for word, _ in parts[:2])
    if re.search(r"[:\[\]`]", label + measure):
        raise Unreadable("a label and a measure have no colon, bracket or backtick", 0, len(value))
    if re.match(r"[-0-9._(]", measure):
        raise Unreadable("a measure begins with a letter, such as `psi`", parts[1][1], parts[1][1] + len(measure))
    bound = parse_at(parse_bound, *parts[2]) if len(parts) == 3 else None
    if bound is not None and measure == nouns.WORDS:
        raise Unreadable("words have no bound", parts[2][1], len(value))
    return Reads(labels=_labels(label), measure=measure, bound=bound)


def _labels(label: str) -> tuple[str, ...]:
    match = re.fullmatch(r"(.*?) ?\b([0-9]+) to ([0-9]+)", label)
    if not match:
        return (label,)
    if max(len(match.group(2)), len(match.group(3))) > 2:
        raise Unreadable("a range of labels has no number above 99", 0, len(label))
    first, last = int(match.group(2)), int(match.group(3))
    if not first < last:
        raise Unreadable("a range of labels runs upwards, such as `cylinder 1 to 4`", 0, len(label))
    return tuple(f"{match.group(1)} {number}".strip() for number in range(first, last + 1))


def parse_bound(value: str) -> Bound:
    """bound = "at least " N | "at most " N | N " to " N, where N may have a minus; both ends belong to it"""
    match = re.fullmatch(r"at (least|most) +(\S+)", value)
    if match:
        number = parse_at(_signed, match.group(2), match.start(2))
        return Bound(low=number) if match.group(1) == "least" else Bound(high=number)
    low, found, high = value.partition(" to ")
    if not found:
        raise Unreadable(f"expected `at least 60`, `at most 0.3` or `60 to 90`, not `{value[:40]}`")
    low_end = parse_at(_signed, low.rstrip(), 0)
    high_end = parse_at(_signed, high.lstrip(), len(value) - len(high.lstrip()))
    if low_end > high_end:
        raise Unreadable("the lower end of a bound comes first", 0, len(value))
    return Bound(low=low_end, high=high_end)


def _signed(value: str) -> Decimal:
    number = decimal(value)
    if number is None:
        raise Unreadable(f"expected a number such as 412.6, not `{value[:40]}`")
    return number


# Measures that belong to an amount; any other word begins the name of the part.
PART_MEASURES = (
    *("qt", "gal", "oz", "pt", "ml", "l", "ft", "in", "m", "cm", "mm", "g", "kg", "lb"),
    *("set", "sets", "pair", "pairs", "tube", "tubes", "roll", "rolls", "sheet", "sheets", "can", "cans"),
)


def parse_parts(value: str) -> tuple[Part, ...]:
    """uses = part { ";" part }; part = [ NUMBER [ measure ] ] name [ "(consumable)" ]"""
    parts = []
    for piece in _semicolons(value):
        words = piece.split()
        marked = len(words) > 1 and words[-1] == nouns.CONSUMABLE
        words = words[:-1] if marked else words
        taken = 1 if len(words) > 1 and re.fullmatch(r"[0-9]+(?:[./][0-9]+)?", words[0]) else 0
        taken += 1 if taken and len(words) > 2 and words[1] in PART_MEASURES else 0
        parts.append(Part(amount=" ".join(words[:taken]), name=" ".join(words[taken:]), marked=marked))
    return tuple(parts)


def parse_tools(value: str) -> tuple[str, ...]:
    """tools = tool { ";" tool }"""
    return tuple(_semicolons(value))


def _semicolons(value: str) -> list[str]:
    pieces = [piece for piece, _ in split_at(value, ";")]
    if not pieces[-1]:
        pieces.pop()
    if not pieces or not all(pieces):
        raise Unreadable("something is missing between semicolons")
    return pieces


def parse_triggers(value: str) -> tuple[Trigger, ...]:
    """owed-after = trigger { "," trigger }; trigger = ( "did" | "disturbed" | "installed" ) " " ID"""

    def trigger(word: str) -> Trigger:
        verb, _, what = word.partition(" ")
        if verb not in (nouns.DID, nouns.DISTURBED, nouns.INSTALLED) or not what:
            raise Unreadable("expected `did CHECK`, `disturbed THING` or `installed POSITION`", 0, len(word))
        return Trigger(verb=verb, what=parse_at(parse_id, what.strip(), len(word) - len(what.lstrip())))

    return tuple(parse_at(trigger, word, offset) for word, offset in parse_list(value))
