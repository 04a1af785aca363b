"""The keys of a check that are no limits: who and how long, in which phase and order, what is read and used.

    time   = minutes [ "," N " people" ]       who  = "inspector" | "anyone" | "others" [ ":" text ]
    when   = "before" | "open" | "closed" | "closed except " ids
    within = minutes " of " ID                 wait = minutes " after " ID
    reads  = label [ " " INT " to " INT ] "," measure [ "," bound ]
    bound  = ends [ "," change ] | change
    ends   = "at least " N | "at most " N | N " to " N | "by " TABLE " at " label
    change = ( "falls" | "rises" ) " at most " N " in " N " " unit
    reckons = label "," measure [ "," bound ] " = " FORMULA " of " operand { "," operand }
    operand = label [ " " INT " to " INT ] | N " " measure
    uses   = part { ";" part }                 tools = tool { ";" tool }
    owed-after = trigger { "," trigger }       trigger = ( "did" | "disturbed" | "installed" ) " " ID
"""

import re
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache

from inspect_kit.model import checklist as nouns
from inspect_kit.model.checklist import Bound, ChangeLimit, Lag, Part, Reads, Reckons, Trigger, decimal
from inspect_kit.model.formulas import FORMULAS
from inspect_kit.model.reason import in_doubt
from inspect_kit.text.grammar import (
    Unreadable,
    parse_at,
    parse_id,
    parse_ids,
    parse_list,
    parse_minutes,
    split_at,
    with_point,
)
from inspect_kit.text.limits import parse_limit


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


# What only a limit says: `lb at least 60`, `psi >60`, `psi; 60 to 90`, `lb by cable-tension at temperature`.
LIMIT_IN_LABEL = re.compile(r"[<>≤≥;]|\bat\s+(?:least|most)\b", re.IGNORECASE)
# In a measure a number that stands by itself too (`psi 60`, not `m3` or `psi/5`), where it does not say what the
# value is read at or per: `psi at 20 °C`, `qt per 10 h`.
LIMIT_IN_MEASURE = re.compile(
    r"[<>≤≥;=]|\b(?:least|most|more|less|than)\b|\bby\s+\S+\s+at\b|(?<=[^\W\d_])\d\d+"
    r"|(?<![\w/^])(?<!\bat )(?<!\bper )(?<!\bin )(?<!\bfor )(?<!\bafter )[-+]?\d[\d.]*"
    r"|(?<![\w/^])\d[\d.]*(?!\S*\s+[^\W\d]|\S*\s+[°%])",
    re.IGNORECASE,
)


def parse_reads(value: str) -> Reads:
    """reads = label [ " " INT " to " INT ] "," measure [ "," bound ]

    A range of labels makes one reading for each: `cylinder 1 to 4` reads cylinder 1, 2, 3 and 4.
    """
    label, measure, bound = _measured(value, "oil pressure, psi, 60 to 90")
    if bound is not None and measure == nouns.WORDS:
        raise Unreadable("words have no bound", split_at(value, ",")[2][1], len(value))
    return Reads(labels=_labels(label), measure=measure, bound=bound)


def _measured(value: str, example: str) -> tuple[str, str, Bound | None]:
    """label "," measure [ "," bound ]"""
    parts = split_at(value, ",")
    if len(parts) < 2 or not all(word for word, _ in parts):
        raise Unreadable(f"expected a label, a measure and perhaps a bound, such as `{example}`")
    label, measure = (" ".join(word.split()) for word, _ in parts[:2])
    if re.search(r"[:\[\]`]", label + measure):
        raise Unreadable("a label and a measure have no colon, bracket or backtick", 0, len(value))
    if re.match(r"[-0-9._(]", measure):
        raise Unreadable("a measure begins with a letter, such as `psi`", parts[1][1], parts[1][1] + len(measure))
    # Taken as a measure, or as part of one or of a label, a limit would limit nothing.
    if re.match(r"(at (least|most)|falls|rises|by) ", measure):
        told = f"`{measure[:40]}` is a limit: the measure stands before it, such as `{example}`"
        raise Unreadable(told, parts[1][1], parts[1][1] + len(measure))
    for (word, offset), limit in ((parts[0], LIMIT_IN_LABEL), (parts[1], LIMIT_IN_MEASURE)):
        if slip := limit.search(word):
            told = f"`{slip.group()[:40]}` is part of a limit, which stands behind a comma: `{example}`"
            where = offset + slip.start(), offset + slip.end()
            raise Unreadable(f"{told}. What a value is read at belongs to its label", *where)
    bound = parse_at(parse_bound, value[parts[2][1] :], parts[2][1]) if len(parts) > 2 else None
    return label, measure, bound


def parse_reckons(value: str) -> Reckons:
    """reckons = label "," measure [ "," bound ] " = " FORMULA " of " operand { "," operand }

    operand = label [ " " INT " to " INT ] | N " " measure
    """
    example = "left flow, gal/h, at least 15 = flow of left fuel, left time"
    head, found, formula = value.partition(" = ")
    if not found:
        raise Unreadable(f"expected what is reckoned and how, such as `{example}`")
    label, measure, bound = _measured(head.rstrip(), example)
    name, found, rest = formula.strip().partition(" of ")
    at = len(head) + 3 + len(formula) - len(formula.lstrip())
    if name not in FORMULAS or not found:
        raise Unreadable(f"expected {', '.join(FORMULAS)}, and `of` what, not `{name[:40]}`", at, at + len(name))
    operands: list[str | tuple[Decimal, str]] = []
    for word, offset in split_at(rest, ","):
        operands += parse_at(_operand, word, at + len(name) + 4 + offset)
    wanted = FORMULAS[name].operands
    if wanted is not None and len(operands) != len(wanted):
        raise Unreadable(f"{name} is of {len(wanted)}: {', '.join(wanted)}", at, len(value))
    return Reckons(label=label, measure=measure, bound=bound, formula=name, operands=tuple(operands))


def _operand(word: str) -> list[str | tuple[Decimal, str]]:
    """operand = label [ " " INT " to " INT ] | N " " measure"""
    if not word:
        raise Unreadable("a reading is missing between commas", 0, 1)
    number, _, measure = word.partition(" ")
    amount = decimal(number)
    if amount is None:
        return [*_labels(" ".join(word.split()))]
    if not measure.strip():
        raise Unreadable("a fixed amount has its measure, such as `42 Ah`", 0, len(word))
    return [(amount, measure.strip())]


def _labels(label: str) -> tuple[str, ...]:
    match = re.fullmatch(r"(.*?) ?\b([0-9]+) to ([0-9]+)", label)
    if not match:
        if within := re.fullmatch(r"(.+?) ([0-9]{1,2} to [0-9]{1,2}) (.+)", label):
            before, span, behind = within.groups()
            told = f"`{span}` is a range of labels, which stands at their end: `{behind} {before} {span}`"
            raise Unreadable(told, len(before) + 1, len(before) + 1 + len(span))
        return (label,)
    if max(len(match.group(2)), len(match.group(3))) > 2:
        raise Unreadable("a range of labels has no number above 99", 0, len(label))
    first, last = int(match.group(2)), int(match.group(3))
    if not first < last:
        raise Unreadable("a range of labels runs upwards, such as `cylinder 1 to 4`", 0, len(label))
    return tuple(f"{match.group(1)} {number}".strip() for number in range(first, last + 1))


# Every record repeats the bounds of its readings.
@lru_cache(maxsize=1 << 10)
def parse_bound(value: str) -> Bound:
    """bound = ends [ "," change ] | change; both ends belong to it

    ends = "at least " N | "at most " N | N " to " N | "by " TABLE " at " label, where N may have a minus
    change = ( "falls" | "rises" ) " at most " N " in " N " " unit
    """
    pieces = split_at(value, ",")
    if re.match(r"(falls|rises)\b", pieces[0][0]):
        if len(pieces) > 1:
            raise Unreadable("one change is the last that a bound says", pieces[1][1], len(value))
        return Bound(change=_change(value))
    if len(pieces) > 2:
        raise Unreadable("a bound says its ends and one change", pieces[2][1], len(value))
    ends = parse_at(_ends, pieces[0][0], pieces[0][1])
    return replace(ends, change=parse_at(_change, *pieces[1])) if len(pieces) == 2 else ends


def _ends(value: str) -> Bound:
    match = re.fullmatch(r"at (least|most) +(\S+)", value)
    if match:
        number = parse_at(parse_signed, match.group(2), match.start(2))
        return Bound(low=number) if match.group(1) == "least" else Bound(high=number)
    match = re.fullmatch(r"by +(\S+) +at +(\S.*)", value)
    if match:
        table = parse_at(parse_id, match.group(1), match.start(1))
        return Bound(table=table, at=" ".join(match.group(2).split()))
    if re.match(r"by\b", value):
        told = "expected a table of aircraft.yaml and the reading that it is read at, such as `by cable-tension at"
        raise Unreadable(f"{told} temperature`, not `{value[:40]}`")
    low, found, high = value.partition(" to ")
    if not found:
        raise Unreadable(f"expected `at least 60`, `at most 0.3` or `60 to 90`, not `{value[:40]}`")
    low_end = parse_at(parse_signed, low.rstrip(), 0)
    high_end = parse_at(parse_signed, high.lstrip(), len(value) - len(high.lstrip()))
    if low_end > high_end:
        raise Unreadable("the lower end of a bound comes first", 0, len(value))
    return Bound(low=low_end, high=high_end)


def _change(value: str) -> ChangeLimit:
    match = re.fullmatch(r"(falls|rises) +at most +(\S+) +in +(\S.*)", value)
    if not match:
        raise Unreadable(f"expected a change such as `falls at most 10 in 100 h`, not `{value[:40]}`")
    amount = parse_at(parse_signed, match.group(2), match.start(2))
    if amount <= 0:
        raise Unreadable("a change is more than 0", match.start(2), match.end(2))
    within = parse_at(parse_limit, match.group(3), match.start(3))
    return ChangeLimit(verb=match.group(1), amount=amount, within=within)


def parse_signed(value: str) -> Decimal:
    """A number that may have a minus: `412.6`, `-10`"""
    number = decimal(value)
    if number is None:
        raise Unreadable(f"expected a number such as 412.6, not `{value[:40]}`{with_point(value)}")
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
        if re.match(r"[-+−–±]\s?\d", piece):
            raise Unreadable(f"`{piece[:40]}` begins with a sign: what is used has no less than nothing")
        words = piece.split()
        marked = len(words) > 1 and words[-1] == nouns.CONSUMABLE
        words = words[:-1] if marked else words
        taken = 1 if len(words) > 1 and re.fullmatch(r"[0-9]+(?:[./][0-9]+)?", words[0]) else 0
        taken += 1 if taken and len(words) > 2 and words[1] in PART_MEASURES else 0
        if in_doubt(piece):
            raise Unreadable(f"`{piece[:40]}` has a blank or a question left in it: write what it is")
        if taken and re.fullmatch(r"[0/.]+", words[0]):
            raise Unreadable(f"`{piece[:40]}` is none of it: leave it out")
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
