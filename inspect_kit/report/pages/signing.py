"""How the signature of a sealed inspection stands."""

from collections.abc import Mapping

from inspect_kit.model.logbook import Logbook
from inspect_kit.model.record import Inspection, Signature
from inspect_kit.report import blocks

# For each signature record by SSH key: None if it is good, else why not.
SshCheck = Mapping[str, str | None]


def signature_state(record: Inspection, logbook: Logbook, ssh: SshCheck | None = None) -> tuple[str, bool]:
    """How the signature stands, in words, and whether one that counts is on record."""
    found = [each for each in logbook.of_kind(Signature) if each.of == record.name]
    if not found:
        state = "sealed, signature not recorded" if record.seal else "not sealed, signature not recorded"
        return state, False
    words = []
    signed = False
    for each in found:
        if each.ink:
            words.append(f"signed in ink, see {each.ink} (recorded {each.entered or each.date})")
            signed = True
        elif ssh is None or each.name not in ssh:
            words.append("SSH signature recorded, not checked here")
            signed = True
        else:
            fault = ssh[each.name]
            words.append("SSH signature good" if fault is None else f"SSH signature {fault}")
            signed = signed or fault is None
    return "; ".join(words), signed


def signature_block(record: Inspection, logbook: Logbook, ssh: SshCheck | None = None) -> blocks.Signature:
    """The signer with certificate, date, and how the signature stands."""
    state, signed = signature_state(record, logbook, ssh)
    by = record.by
    return blocks.Signature(
        name=by.name if by else "NOT RECORDED",
        kind=(by.kind if by else "") or "kind NOT RECORDED",
        certificate=(by.certificate if by else "") or "NOT RECORDED",
        date=str(record.date),
        state=state,
        signed=signed,
    )
