"""Whether the remark behind a value holds a second value: `27 psi, 20 after a minute`, `27 psi falling to 20`."""

import re
from functools import cache

# What is said of when and how something was read, by units of one kind; none of that of the value itself.
_TIME = "s|sec|secs|seconds?|min|mins|minutes?|h|hrs?|hours?|days?|weeks?|months?|years?|landings?"
_HEAT = "°|° ?[cf]|deg(?:rees)? ?[cf]?|[cf]|celsius|fahrenheit"
_TURNS = "rpm|r/min|revolutions?|turns?|blades?|cycles?|starts?"
_PRESSURE = "bar|mbar|hpa|kpa|psi|in ?hg"
_LENGTH = r"mm|cm|m|ft|in(?=\s*(?:$|[,;.)]))"
_OTHER = "%|v|volts?|a|amps?|mv|ma|ohms?|kg|g|lb|lbs|n|nm|in-lb|ft-lb|kt|mph|km/h|gal|gph|qt|l|ml"
_NUMBER = r"[-+]?\d+(?:[.,]\d+)?"
_BEFORE = "at|after|for|within|with|over|above|below|under|by|on|until|before|since|in"
_NAMED = r"no\.?|nr\.?|number|serial|part|cylinder|cyl\.?|plug|gauge|page|p\.|tank|cell|point|try|run|step|fig\.?"
_FIGURE = re.compile(rf"(?<![\w.,/-]){_NUMBER}(?:/\d+)?(?![\w-]*[-\d])")


def second_figure(remark: str, measure: str) -> str:
    """The first figure in a remark that may be another value in its measure; "" where there is none.

    None is what is plainly a condition (`after 5 min run`, `at 1700 rpm`), a date, a name (`gauge no. 2`, `plug 3`) or
    a limit in brackets (`(at least 60)`). In the measure of the value itself only what begins the remark with `at` is
    one. `remark` is what stands behind the measure.
    """
    if not re.search(r"\d", remark):
        return ""
    rest = remark.casefold()
    for pattern in _conditions(measure.casefold()):
        rest = pattern.sub(" ", rest)
    found = _FIGURE.search(rest)
    return found[0] if found else ""


@cache
def _conditions(measure: str) -> tuple[re.Pattern[str], ...]:
    """What is taken out of a remark before it is searched for figures, in this order."""
    own = re.escape(measure)
    kind = next((each for each in (_TIME, _HEAT, _TURNS) if re.fullmatch(each, measure)), "")
    other = "|".join(each for each in (_PRESSURE, _LENGTH, _OTHER) if each == _OTHER or not re.fullmatch(each, measure))
    free = "|".join(each for each in (_TIME, _HEAT, _TURNS) if each != kind)
    unit = rf"(?!{own}(?!\w))(?:{free}|{other}|{kind or free})(?!\w)"
    return tuple(
        re.compile(each)
        for each in (
            r"\((?:at least|at most) [-0-9.]+\)|\([-0-9.]+ to [-0-9.]+\)",
            r"\b\d{4}-\d\d-\d\d\b|\b\d+(?:st|nd|rd|th)\b",
            rf"^[\s,;(]*at {_NUMBER}\s?{own}(?!\w)",
            rf"\b(?:{_BEFORE})\s+(?:the\s+|about\s+|another\s+)?{_NUMBER}(?:\s?(?:{unit})|-(?:{free})\b)",
            r"\bat \d+/\d+(?= [a-z])",
            rf"(?<![\w.,/-]){_NUMBER}\s?(?!{own}(?!\w))(?:{free})(?!\w)",
            rf"(?:\b(?:{_NAMED})|#)\s*\d+\b",
        )
    )
