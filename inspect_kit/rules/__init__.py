"""The rule profile as data, each clause with its citation.

    scope      the paragraphs of Appendix D; splits such as `f.1` count for their paragraph
    coverage   which of them the checks cover: `scope_coverage`
    signers    who may sign by the aircraft's own operating limitations: `signer_refusal`
    entry      what an inspection entry must show: `missing_contents`; doubtful wording; how long records are kept
    intervals  intervals that a regulation sets; a check whose own seems longer: `interval_doubt`
    profile    all of it as one value, chosen by aircraft.yaml: `profile_of`
    cautions   the usual cautions, and to whom the program defers

Wording and permitted signers of one aircraft are data of aircraft.yaml, never of this room.
"""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
