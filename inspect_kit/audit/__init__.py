"""What contradicts itself across files: pure functions over the nouns, each yielding problems with their line.

    every       all of them, one after another
    ids         what has which id, and where an old one leads
    checklists  what checklists and aircraft.yaml name that is not there
    order       circles, phases that contradict each other, limits that count for nothing
    records     dates, ids, people, findings and signatures of records
    kinds       what the keys of records refer to
    amendments  what an amendment replaces, and in what
    directives  a directive that asks sooner than the check whose arithmetic it uses
    phases      flight-test phases against what the limitations ask
    readings    readings out of their limits without a finding
    same_day    two records of one day of which only one can be the newest, or that may be one
    meters      meters that run backwards or faster than the clock
    past        what was brought forward, against itself and older records
    fittings    parts removed where they are not, installed where others are
    pages       open pages against the checklists
"""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
