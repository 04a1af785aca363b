"""What the record of a condition inspection must show, and how long records are kept.

The operating limitations of the aircraft are the source; 14 CFR 43.11(a) is the model that they follow. The wording of
43.11(a)(4) belongs to type-certificated aircraft and is never used here: the finding is "in a condition for safe
operation".
"""

from collections.abc import Callable

from inspect_kit.model.aircraft import Aircraft, InspectionRule
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.noun import dataclass

FINDING_WORDS = "condition for safe operation"
# The finding of another kind of aircraft; a statement that holds this word was copied from the wrong paper.
FORBIDDEN_WORD = "airworthy"


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """One thing that an inspection entry shows, and who asks for it."""

    name: str
    citation: str
    shown: Callable[[Inspection, Aircraft], bool]


_LIMITATIONS = "operating limitations (the aircraft's own)"

CONTENTS = (
    Content(
        name="type of inspection",
        citation=f"14 CFR 43.11(a)(1); {_LIMITATIONS}",
        shown=lambda record, aircraft: bool(record.inspection),
    ),
    Content(
        name="basis (scope and detail)",
        citation=f"14 CFR 43.11(a)(1); {_LIMITATIONS}",
        shown=lambda record, aircraft: bool(record.basis),
    ),
    Content(
        name="date",
        citation=f"14 CFR 43.11(a)(2); {_LIMITATIONS}",
        shown=lambda record, aircraft: True,
    ),
    Content(
        name="total time in service",
        citation=f"14 CFR 43.11(a)(2); {_LIMITATIONS}",
        shown=lambda record, aircraft: aircraft.time_in_service in record.totals,
    ),
    Content(
        name="statement, or a dated list of discrepancies",
        citation=f"{_LIMITATIONS}; 14 CFR 43.11(a)(5), (b) for the list",
        shown=lambda record, aircraft: bool(record.statement) if record.passed else bool(record.findings),
    ),
    Content(
        name="name",
        citation=_LIMITATIONS,
        shown=lambda record, aircraft: record.by is not None and bool(record.by.name),
    ),
    Content(
        name="certificate number",
        citation=f"14 CFR 43.11(a)(3); {_LIMITATIONS}",
        shown=lambda record, aircraft: record.by is not None and bool(record.by.certificate),
    ),
    Content(
        name="kind of certificate",
        citation=f"14 CFR 43.11(a)(3); {_LIMITATIONS}",
        shown=lambda record, aircraft: record.by is not None and bool(record.by.kind),
    ),
)
# The signature is the ninth; it is no field of the record but a record of its own, or ink.
SIGNATURE_CITATION = f"14 CFR 43.11(a)(3); {_LIMITATIONS}"


def missing_contents(
    record: Inspection, aircraft: Aircraft, contents: tuple[Content, ...] = CONTENTS
) -> tuple[Content, ...]:
    """What the entry still lacks, the signature aside."""
    return tuple(content for content in contents if not content.shown(record, aircraft))


def statement_doubts(rule: InspectionRule) -> tuple[str, ...]:
    """What is doubtful about the wording in aircraft.yaml, a sentence each. The limitations' own text governs."""
    text = " ".join(rule.statement.casefold().split())
    doubts = []
    if FORBIDDEN_WORD in text:
        doubts.append(
            f"the statement speaks of `{FORBIDDEN_WORD}`; an amateur-built aircraft is found in a {FINDING_WORDS}: "
            "copy the words of its operating limitations"
        )
    elif FINDING_WORDS not in text:
        doubts.append(f"the statement does not say `{FINDING_WORDS}`: compare it with the operating limitations")
    if "{date}" not in rule.statement:
        doubts.append("the statement has no `{date}` where the date of the inspection goes")
    return tuple(doubts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Retention:
    """What is kept, for how long, and who asks for it."""

    what: str
    keep: str
    citation: str


RETENTION = (
    Retention(
        what="records of maintenance, alterations and required inspections, with date, signature and certificate",
        keep="until the work is repeated or superseded, or for one year",
        citation="14 CFR 91.417(a)(1), (b)(1)",
    ),
    Retention(
        what="total time in service of airframe, engine and propeller",
        keep="for good, passed on at sale",
        citation="14 CFR 91.417(a)(2)(i), (b)(2)",
    ),
    Retention(
        what="status of life-limited parts",
        keep="for good, passed on at sale",
        citation="14 CFR 91.417(a)(2)(ii), (b)(2)",
    ),
    Retention(
        what="time since overhaul of whatever must be overhauled at a time",
        keep="for good, passed on at sale",
        citation="14 CFR 91.417(a)(2)(iii), (b)(2)",
    ),
    Retention(
        what="inspection status, with the time since the last required inspection",
        keep="for good, passed on at sale",
        citation="14 CFR 91.417(a)(2)(iv), (b)(2)",
    ),
    Retention(
        what="status of airworthiness directives: how complied with, number, revision date, next action",
        keep="for good, passed on at sale",
        citation="14 CFR 91.417(a)(2)(v), (b)(2)",
    ),
    Retention(
        what="a list of discrepancies handed to the owner",
        keep="until they are corrected and the aircraft is approved for return to service",
        citation="14 CFR 91.417(b)(3)",
    ),
)
