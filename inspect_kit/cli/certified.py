"""The day on which a certificate ends, as people write it behind its number; asked where an inspection is signed anew.

`model.reason` reads the plain forms, of what was sealed and of entries on paper too, and refuses by them. Here it is
read as any date that a person types, and what says that it ends on a day that nobody can read is refused.
"""

import calendar
import datetime as dt
import re

from inspect_kit.errors import Refused
from inspect_kit.model.aircraft import Aircraft, Person
from inspect_kit.model.reason import ENDS
from inspect_kit.past import parse_said_date, parse_said_label_date
from inspect_kit.text.grammar import Unreadable

MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)"
# That a certificate ends; of the words in which people also say other things only before a day. Common practice, no
# source.
SAYS_SO = (
    r"\b(?:until|till|expires?|expiry|expiration|(?:valid|good) (?:to|thru|through)"
    r"|(?:valid|good) (?:for )?(?:[\w-]+ ){1,2}(?:days?|weeks?|months?|years?)"
    r"|(?:exp|ends?|thru|through|to|valid)\b(?=[ .:]*(?:on|date)?[ .:]*(?:\d{1,4}(?!\d)|" + MONTH + r")))\b"
)
# These two only where a day stands behind them that can be read.
UNSURE = ("to", "valid")
# That it does not, before and behind such a word: `no expiration date`, `expiry: none`.
ENDLESS = r"\b(?:no|not|never|non|without|\w+n't)\W+(?:\w+ )?$"
NO_DAY = r"^[\s:.-]*(?:date[\s:.-]*)?(?:none|never|n/a|na|nil|no|not|further notice)\b"
# What may stand between the word and the day.
LEADS_IN = r"^(?:[\s:.(-]|(?:on|by|to|thru|through|until|date|the|end of)\b)+"


def refuse_ended(who: Person, on: dt.date, aircraft: Aircraft) -> None:
    """Refused where the words behind the number of a certificate say that it ended before a day, or that it ends on one
    which cannot be read.
    """
    words = " ".join(who.certificate.replace("\u2019", "'").split())
    told = f"nothing was sealed: `{who.certificate[:40]}`, which {aircraft.place.file} has as the certificate of"
    plain = words.casefold()
    for found in re.finditer(SAYS_SO, plain):
        rest = plain[found.end() :]
        if re.search(ENDLESS, plain[: found.start()]) or re.match(NO_DAY, rest):
            continue
        last = _last_day(re.sub(LEADS_IN, "", rest), on)
        if last is not None and last < on:
            raise Refused(f"{told} {who.name}, ended on {last}: write there the number of one that is held")
        unread = last is None and found.group() not in UNSURE
        # What is read of it elsewhere was judged there; there a month in words is passed over.
        if unread and (re.match(ENDS, plain[found.start() :]) is None or re.search(rf"\b{MONTH}", rest)):
            number = words[: found.start()].strip(" ,;(") or "NUMBER"
            how = f"write it there as in `{number[:40]} until {on.year + 1}-05-31`"
            raise Refused(f"{told} {who.name}, says `{found.group()}`, and on what day it ends cannot be read: {how}")


def _last_day(words: str, on: dt.date) -> dt.date | None:
    """The day with which words begin, of a month or a year alone its last one; None where they begin with none."""
    parts = words.split(" ")[:4]
    for many in range(len(parts), 0, -1):
        typed = " ".join(parts[:many]).strip(" ,.;:()[]")
        try:
            return parse_said_date(typed, on)
        except Unreadable:
            pass
        try:
            first = parse_said_label_date(typed, on)
        except Unreadable:
            continue
        return first.replace(day=calendar.monthrange(first.year, first.month)[1])
    year = re.match(r"((?:19|20)\d\d)(?![\d/.-]*\d)", words)
    return dt.date(int(year[1]), 12, 31) if year is not None else None
