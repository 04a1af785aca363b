from inspect_kit.rules.cautions import CAUTIONS, DEFERRAL, NO_PERMISSION, PILOT_DECIDES
from inspect_kit.rules.coverage import Coverage, ScopeAnswer, UnknownCode, scope_coverage
from inspect_kit.rules.entry import CONTENTS, RETENTION, missing_contents, statement_doubts
from inspect_kit.rules.intervals import INTERVALS, grace_purpose, interval_doubt
from inspect_kit.rules.profile import PROFILES, US, Profile, profile_of
from inspect_kit.rules.scope import APPENDIX_D, Clause, Scope, paragraph
from inspect_kit.rules.signers import kind_refusal, number_refusal, signer_refusal, signer_reminder

__all__ = [
    "APPENDIX_D",
    "CAUTIONS",
    "CONTENTS",
    "DEFERRAL",
    "INTERVALS",
    "NO_PERMISSION",
    "PILOT_DECIDES",
    "PROFILES",
    "RETENTION",
    "US",
    "Clause",
    "Coverage",
    "Profile",
    "Scope",
    "ScopeAnswer",
    "UnknownCode",
    "grace_purpose",
    "interval_doubt",
    "kind_refusal",
    "missing_contents",
    "number_refusal",
    "paragraph",
    "profile_of",
    "scope_coverage",
    "signer_refusal",
    "signer_reminder",
    "statement_doubts",
]
