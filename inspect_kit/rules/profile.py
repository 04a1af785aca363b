"""One country's rules as one value: scopes, intervals, kinds of certificate, contents of an entry, what is kept.

Aircraft.yaml chooses it by `rules` (US if it does not say), and may add scopes of its own to it, such as a maker's
programme that the limitations permit. Another country is another value in PROFILES.
"""

from collections.abc import Mapping
from dataclasses import replace

from inspect_kit.model.aircraft import Aircraft
from inspect_kit.noun import dataclass
from inspect_kit.rules.entry import CONTENTS, RETENTION, Content, Retention
from inspect_kit.rules.intervals import GRACE, INTERVALS, RegulatoryInterval
from inspect_kit.rules.scope import APPENDIX_D, Clause, Scope
from inspect_kit.rules.signers import KINDS, KindOfCertificate


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The rules that are asked. `grace` is what a rule gives its grace for, by words of its citation."""

    name: str
    scopes: tuple[Scope, ...]
    intervals: tuple[RegulatoryInterval, ...]
    grace: tuple[tuple[str, str], ...]
    kinds: tuple[KindOfCertificate, ...]
    contents: tuple[Content, ...]
    retention: tuple[Retention, ...]

    def scope(self, name: str) -> Scope | None:
        """The scope that an inspection names, capitals and spaces aside; None for one that has no clauses here."""
        return next((scope for scope in self.scopes if _words(scope.name) == _words(name)), None)

    def knows(self, code: str) -> bool:
        """Whether a code is one of any scope."""
        return any(scope.clause(code) is not None for scope in self.scopes)


US = Profile(
    name="US",
    scopes=(APPENDIX_D,),
    intervals=INTERVALS,
    grace=GRACE,
    kinds=KINDS,
    contents=CONTENTS,
    retention=RETENTION,
)
PROFILES = {US.name: US}


def profile_of(aircraft: Aircraft) -> Profile:
    """The rules that an aircraft goes by, its own scopes added; those of the US where nobody knows the name.

    That a name is not known is told by the audit.
    """
    known = PROFILES.get(aircraft.rules, US)
    own = tuple(_scope(name, codes) for name, codes in aircraft.scopes.items())
    return replace(known, scopes=(*known.scopes, *own))


def _scope(name: str, codes: Mapping[str, str]) -> Scope:
    clauses = tuple(
        Clause(code=code, subject=subject, look_for=(), citation=f"{name}, as aircraft.yaml has it")
        for code, subject in codes.items()
    )
    groups = {clause.group: name for clause in clauses}
    return Scope(name=name, title=name, groups=groups, clauses=clauses)


def _words(text: str) -> str:
    return " ".join(text.casefold().split())
