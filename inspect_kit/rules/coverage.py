"""Which clauses of a scope the checks cover, which do not apply, and which are missing."""

from collections.abc import Iterable, Mapping

from inspect_kit.errors import Place
from inspect_kit.model.aircraft import Aircraft
from inspect_kit.model.checklist import Check
from inspect_kit.noun import dataclass
from inspect_kit.rules.profile import profile_of
from inspect_kit.rules.scope import APPENDIX_D, Clause, Scope

COVERED, NOT_APPLICABLE, MISSING = "covered", "not applicable", "missing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """One clause: the checks that cover it, and why it does not apply ("" if it does).

    `in_part` are reasons given for splits of it alone (`f.2: no flaps`): they do not answer for the clause.
    """

    clause: Clause
    checks: tuple[str, ...]
    reason: str
    in_part: Mapping[str, str]

    @property
    def state(self) -> str:
        if self.checks:
            return COVERED
        return NOT_APPLICABLE if self.reason else MISSING

    @property
    def contradicts(self) -> bool:
        """Whether a check covers what the aircraft is said not to have."""
        return bool(self.checks and self.reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnknownCode:
    """A code that is none of the scope's: which check names it ("" for aircraft.yaml), and where."""

    code: str
    check: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeAnswer:
    """The coverage of every clause in order, and codes that nobody knows."""

    scope: Scope
    clauses: tuple[Coverage, ...]
    unknown: tuple[UnknownCode, ...]

    @property
    def missing(self) -> tuple[Clause, ...]:
        return tuple(entry.clause for entry in self.clauses if entry.state == MISSING)

    @property
    def complete(self) -> bool:
        return not self.missing and not self.unknown


def scope_coverage(checks: Iterable[Check], aircraft: Aircraft, scope: Scope = APPENDIX_D) -> ScopeAnswer:
    """How the checks that are not retired cover the scope, with what aircraft.yaml names not applicable.

    With the checks done on one page it says what that page leaves open. Codes of another scope are none of its own.
    """
    profile = profile_of(aircraft)
    covering: dict[str, list[str]] = {code: [] for code in scope.codes}
    unknown = []
    for check in checks:
        for code in check.covers if check.retired is None else ():
            clause = scope.clause(code)
            if clause is None:
                if not profile.knows(code):
                    unknown.append(UnknownCode(code=code, check=check.id, place=check.place))
            elif check.id not in covering[clause.code]:
                covering[clause.code].append(check.id)
    parts: dict[str, dict[str, str]] = {code: {} for code in scope.codes}
    for code, reason in aircraft.not_applicable.items():
        clause = scope.clause(code)
        if clause is None:
            if not profile.knows(code):
                unknown.append(UnknownCode(code=code, check="", place=aircraft.place))
        elif code != clause.code:
            parts[clause.code][code] = reason
    clauses = tuple(
        Coverage(
            clause=clause,
            checks=tuple(covering[clause.code]),
            reason=aircraft.not_applicable.get(clause.code, ""),
            in_part=parts[clause.code],
        )
        for clause in scope.clauses
    )
    return ScopeAnswer(scope=scope, clauses=clauses, unknown=tuple(unknown))
