"""Why a finding may wait: no reason, or one that says that it may not, makes it one to fix before flight."""

import datetime as dt

import pytest

from inspect_kit.errors import Place
from inspect_kit.model.finding import Finding, Fix
from inspect_kit.model.reason import may_not_wait

NOT = ("before flight", "to be fixed before next flight", "must be fixed before flight", "Not airworthy.", "unsafe")
NOT += ("no time", "ask mechanic", "ask the inspector", "do not fly", "must not be flown", "grounded", "-", "TBD", "ok")
WAITS = ("stop-drilled, looked at before each flight", "cosmetic only", "not dangerous: outer strands", "not unsafe")
WAITS += ("the shield is grounded at one end", "the maker allows 10 h", "part on order", "checked before flight")
MORE = (
    *("stop-drilled, looked at before each flight", "cosmetic only", "cosmetic", "not safety related"),
    *("not safety-critical", "not a safety item", "no effect on safety", "does not affect safety"),
    *("safe for flight until then", "safe as it is", "not unsafe", "nothing unsafe about it"),
    *("no unsafe condition", "not an unsafe condition", "not considered unsafe"),
    *("not regarded as dangerous by the maker", "does not make it unsafe", "not unairworthy"),
    *("not a matter of airworthiness", "does not make the aircraft unairworthy", "nothing dangerous"),
    *("not at all dangerous", "never dangerous", "would be dangerous in rain only, flown dry until then"),
    *("would be unsafe at night; day VFR only until fixed", "must be replaced within 25 h by the maker's letter"),
    *("must be replaced by 500 h", "must be replaced at the next annual"),
    *("must be replaced by the end of next year", "must be repaired by the paint shop, cosmetic"),
    *("must be done at next overhaul", "must be done with the wing off, at the next inspection"),
    *("need not be fixed before the next annual", "does not have to be fixed before flight"),
    *("not something that must be fixed before flight",),
    *("landing light only: must not be flown at night until then", "do not fly at night until it is replaced"),
    *("do not fly IFR until then, placarded", "must not be flown inverted until then"),
    *("no aerobatics: must not fly aerobatics till fixed", "placarded: do not fly in rain"),
    *("rear seat placarded not to be used", "may be flown per maker's letter", "the maker allows 10 h"),
    *("within the maker's limit for wear", "within limits", "part on order, within wear limit", "part on order"),
    *("light surface rust, treated", "paint only", "grounded at one end only", "the shield is grounded at one end"),
    *("asked the maker: 25 h allowed", "inspector says it may stay until the annual"),
    *("mechanic looked at it: may fly 10 h", "see maker's letter SL-3: within 50 h", "checked before flight"),
    *("checked before each flight", "drained before every flight", "to be looked at before every flight"),
    *("it can be seen before flight", "still above 60 psi", "spare belt is fitted", "redundant: second pump works"),
    *("not required for day VFR", "needed at night only", "not in use", "inoperative and placarded"),
    *("slow leak, refilled before flight", "seep, not a leak", "wear even, 2 mm left", "cannot get worse"),
    *("cannot fail", "can not wait any longer than the annual, but till then", "can wait until the annual"),
    *("small", "hairline in the paint, not in the metal", "not structural", "secondary structure"),
    *("not in the load path", "does not move, torque is right", "as the maker says", "tolerable"),
    *("as found at the last inspection, has not grown", "no change since last year", "bulb only"),
    *("needs repair by a welder in spring; not structural", "no time limit given by the maker"),
    *("no go item? no: interior light", "not a no-go item", "fix it at annual, trim only"),
    *("dead bulb of the cabin light", "until the paint shop has time", "done before first flight of the season"),
    *("before next flight season", "unsafe only at night, day flight only"),
    *("must be replaced at overhaul per manual", "not safe to step on, placard put there"),
    *("do not fly above 120 kt is placarded", "not airworthy for IFR only; VFR is fine"),
    *("must not fly IFR, VFR only", "we do not fly in rain, the seal is of no matter"),
    *("must be fixed by summer only, it is a fairing",),
)
MORE_NOT = (
    *("before flight", "to be fixed before next flight", "must be fixed before flight", "Not airworthy.", "unsafe"),
    *("no time", "ask mechanic", "ask the inspector", "do not fly", "must not be flown", "grounded", "can't wait"),
    *("cannot wait", "don't fly", "prior to flight", "no idea", "not sure", "out of limits", "past the limit"),
    *("must fix", "has to be fixed", "needs replacing", "will fix later", "no parts", "in a hurry", "urgent"),
    *("immediately", "AOG", "not permitted", "should hold", "do not fly until fixed", "unsafe until fixed"),
    *("must be fixed by next flight", "must be repaired within the hour before the flight", "dangerous"),
    *("aircraft not safe", "it is unsafe and cracked", "not legal and unsafe", "must not be flown until repaired"),
    *("must be replaced", "unairworthy", "no doubt dangerous", "frayed, must be replaced before any flight"),
)
NOT, WAITS = (*NOT, *MORE_NOT), (*WAITS, *MORE)


@pytest.mark.parametrize("words", [*NOT, *WAITS])
def test_words_that_say_that_it_may_not_wait_are_no_reason(words: str) -> None:
    fix = Fix(by_date=dt.date(2030, 1, 1))
    finding = Finding(id="F1", panel=None, check="belts", text="frayed", fix=fix, may_wait=words, place=Place("r"))
    assert may_not_wait(words) == finding.before_flight == (words in NOT)
