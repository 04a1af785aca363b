"""Why something is not on the aircraft, in honest words; and words that say that nobody looked, or how it was."""

import pytest

from inspect_kit.model.reason import is_no_reason_why_not, says_unlooked

NOT_THERE = (
    *("no flaps on this aircraft", "not fitted", "never fitted", "not installed", "none"),
    *("no heater; open cockpit", "nothing to check: no flaps", "nothing to inspect"),
    *("nothing to look at, no mixture control", "no flaps to check", "no hoses to inspect, fuel lines are rigid"),
    *("no pitot heat to test", "no cables to check, pushrods only", "no screen to look at", "not on this model"),
    *("only from serial 200 on", "only on serial 200 and later", "fitted on 1998 models and later"),
    *("only on models from 2003", "only from engine number 4000 on", "fixed gear, nothing to retract"),
    *("retractable gear only", "tail wheel has no brake", "removed in 2019", "removed in order to save weight"),
    *("taken out in 2022 because it was leaking", "primer removed, it was leaking"),
    *("wheel fairings removed, cracked, not to be fitted again", "old radio removed, corroded contacts"),
    *("fairings left off for good", "wheel fairings left off for the winter"),
    *("wheel fairings still off since the puncture", "skis not yet fitted this winter", "not yet fitted"),
    *("not yet installed", "not flown IFR", "not flown under IFR, no certification needed", "not flown at night"),
    *("omitted by the builder", "omitted in the plans for this engine", "left out by the builder"),
    *("sealed bearing, cannot be greased", "sealed battery, cannot be opened", "sealed hub, is not to be opened"),
    *("battery is maintenance-free and does not open", "side window does not open"),
    *("solid lifters: clearance cannot be measured", "not measured on this engine: hydraulic lifters"),
    *("not tested on this type: no stall warner", "not checked on this model"),
    *("not done on fixed-pitch propellers", "never done on a two-stroke", "no time limit on this hose (PTFE)"),
    *("no time between overhauls given for this part", "checked with the drawings: there is none"),
    *("checked: none fitted", "inspected the tail: no trim tab on this one", "no access: there is no such panel"),
    *("no access hole in this wing, none in the plans", "there is no inspection hole"),
    *("no baggage floor: not built", "single seat, no rear belts", "wooden airframe, no tubes to rust"),
    *("floats off, on wheels this season", "on skis until next month, no wheels"),
    *("ballistic parachute never bought", "parachute is worn by the pilot, none in the aircraft"),
    *("life jackets are worn", "no transponder, none required here", "electric starter deleted"),
    *("no vacuum system since the glass panel of 2021",),
    *("mechanical pump replaced by two electric ones; blanked off", "radio out for repair"),
    *("out for overhaul, position is empty", "magneto right replaced with electronic ignition", "one magneto only"),
    *("no co-pilot's brake", "not part of this kit", "not needed: dry sump", "air-cooled"),
    *("no coolant, air-cooled engine", "carburettor engine, no injection nozzles", "does not have one"),
    *("have none", "there isn't one", "we have no oil cooler", "no oil cooler; too cold here for one"),
    *("oil cooler blanked, too cold here", "cabin heat taken out: too hot here", "done away with in 2015"),
    *("done without since the new engine", "fine filter not in this system"),
    *("good weather aircraft, no pitot heat", "ELT exempt: single seat", "belongs to the amphibian only"),
    *("no door, canopy only", "doors off in summer", "rear stick removed, stowed", "no life limit for it"),
    *("not applicable to experimental", "nobody sits there: seat taken out"),
    *("no one but the pilot aboard: single seat", "cannot have any: fabric wing without ribs there"),
    *("closed wing, built without inspection openings", "built without access holes"),
    *("not accessible by design, glued shut", "box spar, closed at the factory, cannot be seen inside"),
    *("wooden spar, no corrosion to look for", "no cabin heat fitted; the muff is left off"),
    *("the left door has no lock to check", "oil screen: this engine has a spin-on filter, no screen to inspect"),
    *("checked by another check on this page: rig-check", "left off by the designer: no spats on this model"),
    *("skipped by the kit maker from serial 40 on", "can't be inspected: welded tube, no opening by design"),
    *("never did have flaps", "wooden aircraft, no corrosion to look for", "all-metal: no fabric to inspect"),
    *("no cables; the pushrods are checked under d5", "no hydraulics; left off by the kit maker"),
    *("no floats: floats are inspected when they are fitted", "no skis fitted; skis are checked before winter"),
    *("none, open cockpit; nothing to do", "not pressurised: no outflow valve will do"),
    *("composite, nothing to look at for rust", "the hull was checked by the maker; landplane"),
)
UNLOOKED = (
    *("not done", "ran out of time", "no time", "not inspected", "not checked", "not looked at", "nobody looked"),
    *("skipped", "forgot", "no access", "out of reach, not seen", "deferred", "postponed", "will do later"),
    *("do it next time", "see next inspection", "only looked from outside", "frayed through, replace"),
    *("looks good", "could not see it", "still to do", "no time, next year", "checked last year"),
    *("left for tomorrow", "not accessible", "inaccessible", "did not get to it", "needs the wing off"),
    *("panel stuck", "no tool", "helper went home", "not required", "not due", "unable", "left undone"),
    *("incomplete", "half done", "unchecked", "not examined", "not removed", "broken", "inoperative", "missing"),
    *("not refitted", "cowl removed, not looked at", "panel could not be removed", "no time, seat removed"),
    *("removed, no time to look", "good", "done", "fine", "was fine last year", "no cracks, looks good"),
    *("no corrosion seen, checked", "no access, later", "checked in spring", "not opened this year"),
    *("too dark inside", "worn, replaced next year", "cannot reach it", "can't see it", "will be done"),
    *("to be done", "no light", "next annual", "only from below", "no help to inspect it", "no way to inspect"),
    *("inspected in March", "busy", "out of time"),
)


@pytest.mark.parametrize("words", [*NOT_THERE, *UNLOOKED])
def test_why_it_is_not_there_is_not_that_nobody_looked(words: str) -> None:
    assert (is_no_reason_why_not(words) or says_unlooked(words)) == (words in UNLOOKED)
