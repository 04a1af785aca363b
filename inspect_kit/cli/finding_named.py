"""Which finding a name means that was typed: F1 of an open page, or RECORD#F1; or what became of the one it names."""

from collections.abc import Iterator

from inspect_kit.cli.called import near_or_find
from inspect_kit.cli.read_now import Meant
from inspect_kit.cli.records_named import is_part
from inspect_kit.errors import Misused
from inspect_kit.inspection import edit
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.worksheet import Worksheet


def meant_by(logbook: Logbook, which: str, page: str) -> Iterator[Meant]:
    """What a name may mean: F1 of every open page, and each open RECORD#F1, on its page if it has a box there.

    As everywhere a part of the record's name will do. One that has a box on several pages is told apart by its page.
    """
    pages = _pages_named(logbook, page)
    part, _, asked = which.rpartition("#")
    on_page, _, of_record = part.partition("#")
    for each in pages:
        own = {found.id: found for entry in each.entries for found in entry.findings}
        if asked in own and (part in ("", each.name) or is_part(part, each.name)):
            yield Meant(name=asked, page=each.name, finding=own[asked])
    for reference, standing in logbook.standing().items():
        record, _, short = reference.partition("#")
        if asked != short:
            continue
        boxes = [each.name for each in pages if any(entry.id == reference for entry in each.entries)]
        if on_page in boxes and (of_record in ("", record) or is_part(of_record, record)):
            yield Meant(name=reference, page=on_page, finding=standing)
        elif part in ("", record) or is_part(part, record):
            for name in boxes or ([] if page else [""]):
                yield Meant(name=reference, page=name, finding=standing)


def _pages_named(logbook: Logbook, page: str) -> list[Worksheet]:
    """The open pages, or of these the one that is named by its file, or by a part of it that no other one has."""
    stem = page.rsplit("/", 1)[-1].removesuffix(".md")
    whole = [each for each in logbook.pages if each.name == stem]
    alike = [each for each in logbook.pages if stem in each.name]
    return alike if not page else whole or (alike if len(alike) == 1 else [])


def the_one(logbook: Logbook, which: str, page: str) -> Meant:
    """The finding that is meant; Misused where none is open, with what became of it, or where several are."""
    found = list(meant_by(logbook, which, page))
    # On a page that is named F1 is what was found there; what is from before has its whole name there too.
    on_page = page or any(each.name == which.partition("#")[0] for each in logbook.pages)
    own = [each for each in found if "#" not in each.name] if on_page else []
    found = own or found
    # What was cleared on its page is meant where nothing else is: whoever clears it again is told.
    found = [each for each in found if each.finding.cleared is None] or found
    if len(found) == 1:
        return found[0]
    if found:
        names = [each.name for each in found]
        twice = {each for each in names if "#" in each and names.count(each) > 1}
        lines = (f"{each.finding.text} (name it {each.name} --page {each.page})" if each.name in twice else f"{each}"
                 for each in found)  # fmt: skip
        listed = "".join(f"\n  {each}" for each in lines)
        raise Misused(f"{which} may be one of {len(found)}, name one:{listed}")
    part, _, asked = which.rpartition("#")
    known = [each for each in logbook.findings() if each.endswith(f"#{asked}")]
    known = [each for each in known if part in ("", (record := each.rpartition("#")[0])) or is_part(part, record)]
    # Sealed before its page passed: it stands on that page still, or in what this became, and is cleared there.
    if len(known) == 1 and (stands := _lives_on_as(logbook, known[0])):
        return the_one(logbook, stands, page)
    told = "; ".join(f"{each} was cleared: {_how_cleared(logbook, each)}" for each in known)
    again = f". {edit.COME_BACK}" if told else near_or_find(which, logbook.standing())
    raise Misused(f"no finding {which} is open{f': {told}' if told else ''}{again}")


def _lives_on_as(logbook: Logbook, reference: str) -> str:
    """A discrepancy of an inspection that was not passed, by where it stands now: on the page that stayed open, or in
    the record that this became; "" where it stands nowhere any more.
    """
    name, _, own = reference.rpartition("#")
    early, here = logbook.record(name), logbook.findings()[reference]
    if not isinstance(early, PageRecord) or reference not in logbook.living_on():
        return ""
    sheet = logbook.page_of(early)
    for page in logbook.pages:
        if (page.name, page.begun) == sheet and any((f.id, f.text) == (own, here.text) for f in page.findings):
            return f"{page.name}#{own}"
    for standing, finding in logbook.standing().items():
        later = logbook.record(standing.rpartition("#")[0])
        same = isinstance(later, PageRecord) and logbook.page_of(later) == sheet
        if same and (finding.id, finding.text) == (own, here.text):
            return standing
    return ""


def _how_cleared(logbook: Logbook, reference: str) -> str:
    """When and how a finding was corrected, as the record that says so has it."""
    own = logbook.findings()[reference].cleared
    if own is not None:
        return f"{own.date} {own.text}"
    for record in logbook.of_kind(PageRecord):
        if reference in record.clears:
            how = record.cleared.get(reference)
            return f"{how.date} {how.text}" if how else f"{record.date} {record.text}"
    return "with the page that it stood on"
