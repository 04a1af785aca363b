"""The usual cautions in general words, and to whom this program defers.

Common practice unless a source stands beside it. The instructions of makers prevail.
"""

import re
from collections.abc import Iterable

from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualCaution:
    """A hazard, and what is customarily done about it.

    `met_with` are beginnings of words that show it where they stand in a check or the name of a panel; without them
    it is met with whatever is done.
    """

    hazard: str
    text: str
    citation: str = "common practice"
    met_with: tuple[str, ...] = ()


CAUTIONS = (
    UsualCaution(
        hazard="propeller",
        text="Treat every propeller as live: switches off and key out, mixture at idle cut-off, fuel off, throttle "
        "closed, chocks in. A broken magneto ground lead leaves the ignition hot with the switch off. Stay out of "
        "the arc.",
    ),
    UsualCaution(
        hazard="compression test",
        text="Air in the cylinder turns the propeller violently unless the piston is at top dead centre: a second "
        "person holds the propeller, feet and clothing clear, and the valve is opened slowly.",
        citation="AC 43.13-1B, 8-14",
        met_with=("compression",),
    ),
    UsualCaution(
        hazard="fuel",
        text="Bond and ventilate, keep sparks, heaters and unsuitable lamps away, an extinguisher at hand, the battery "
        "disconnected before a fuel line is opened. Never drain fuel indoors.",
        met_with=("fuel", "carburett", "tank", "strainer", "injector", "gascolator"),
    ),
    UsualCaution(
        hazard="battery",
        text="Ground side off first and on last; no sparks near a battery that vents; leave a swollen or hot lithium "
        "battery alone and follow its maker.",
        met_with=("battery", "batteries"),
    ),
    UsualCaution(
        hazard="jacks",
        text="The maker's jacking points only, a level floor, no wind, the tail or the nose held as the maker says; "
        "nobody in or under an aircraft that is not supported.",
        met_with=("jack",),
    ),
    UsualCaution(
        hazard="ballistic parachute",
        text="An armed rocket: safety pin in before any work, keep out of the exit path, no cutting or heat near it; "
        "only those whom its maker authorises service it. The pin comes out before flight.",
        met_with=("parachute",),
    ),
    UsualCaution(
        hazard="heat",
        text="Let engine, exhaust and oil cool, or protect hands and arms; a warm compression test burns.",
        met_with=("engine", "exhaust", "muffler", "oil", "compression"),
    ),
    UsualCaution(
        hazard="pressure",
        text="Eye protection with compressed air, never against skin; let the pressure out of struts, tyres, "
        "accumulators and oxygen before opening them; no oil near oxygen.",
        met_with=("tyre", "wheel", "strut", "brake", "hydraulic", "accumulator", "oxygen", "pressure"),
    ),
    UsualCaution(
        hazard="moving parts",
        text='Tag switches and controls "do not operate" while anybody works; hands out of surfaces and linkages.',
    ),
    UsualCaution(
        hazard="emergency transmitter",
        text="Test only in the first five minutes of an hour and for at most three sweeps, or as the maker of a 406 "
        "MHz beacon says; listen on 121.5 MHz after work.",
        citation="Aeronautical Information Manual 6-2-4",
        met_with=("emergency transmitter", "elt", "beacon"),
    ),
    UsualCaution(
        hazard="engine run",
        text="Area and cowling clear, brakes and chocks, an observer outside the arc with an extinguisher, signals "
        "agreed.",
        met_with=("engine run", "leak run", "run-up", "idle", "magneto", "running"),
    ),
    UsualCaution(
        hazard="dust and solvents",
        text="Gloves, eye protection, a suitable respirator and fresh air.",
        met_with=("clean", "wash", "solvent", "brake", "dust", "corrosion", "varnish", "paint", "dye", "grease"),
    ),
)


def met(texts: Iterable[str]) -> tuple[UsualCaution, ...]:
    """The cautions that what was done meets with, by its words: rather one too many than one too few."""
    told = " ".join(texts).lower()
    return tuple(
        caution
        for caution in CAUTIONS
        if not caution.met_with or any(re.search(rf"\b{re.escape(word)}", told) for word in caution.met_with)
    )


DEFERRAL = (
    "This program helps to organise an inspection; it neither performs nor approves one. The aircraft's operating "
    "limitations, the instructions of the makers and current regulations prevail over any text here. Work and "
    "signatures belong to appropriately certificated and competent persons; when in doubt, stop and ask one of them, "
    "or the local authority. Outside the United States other rules apply."
)
PILOT_DECIDES = (
    "A current inspection does not replace the decision of the pilot in command before each flight (14 CFR 91.7)."
)
NO_PERMISSION = "An empty list is no permission to fly."
BALANCE = (
    "Weight and balance here is arithmetic from what is on record and from the limits that the owner wrote down. "
    "Scales, the aircraft's own papers and its operating limitations prevail; whoever flies works out the loading of "
    "the day."
)
DIRECTIVES = (
    "This list holds what somebody entered; it is never complete, and nothing here searches for more. Whether a "
    "directive applies to this amateur-built aircraft, its engine, propeller or appliances is decided by its owner, "
    "who reads what each one says of its applicability (14 CFR 39, 91.403(a)). Search by every product that is fitted."
)
