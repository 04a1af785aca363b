"""What signing a page would seal, shown before it is; and the sealing of just that."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import field, replace
from pathlib import Path
from typing import TypedDict

from inspect_kit import store
from inspect_kit.audit import meter_problems
from inspect_kit.cli.desk import Desk
from inspect_kit.cli.entering import with_order
from inspect_kit.cli.signatures import ssh_signature
from inspect_kit.due import offsets_of_day, past_limits, readings_before, totals_before
from inspect_kit.errors import Refused
from inspect_kit.inspection import edit
from inspect_kit.inspection.missing import missing, missing_for_discrepancies, touching
from inspect_kit.inspection.sealing import record_of
from inspect_kit.inspection.signing import Request
from inspect_kit.model.aircraft import Person
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord
from inspect_kit.model.record import FileSum
from inspect_kit.model.worksheet import Missing, Worksheet
from inspect_kit.noun import dataclass
from inspect_kit.text.record import write_record


@dataclass(frozen=True, slots=True, kw_only=True)
class WayToClose:
    """How a page is signed: by whom; passed or not; or closed, with the reason why the rest of it was not done.

    `order` says of records of the same day whether it came after them; `new_meters` were changed that day and are read
    as the new ones, though the old ones had that too; `read_now` are those of which the signer said what they read.
    """

    signer: str
    passed: bool = True
    closing: str = ""
    order: Mapping[str, bool] = field(default_factory=dict)
    new_meters: frozenset[str] = frozenset()
    read_now: frozenset[str] = frozenset()

    @property
    def words(self) -> str:
        return "-not-done" if self.closing else "" if self.passed else "-not-passed"


# The record has no name before it is sealed.
UNNAMED = "to-be-signed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What would be sealed, for a person to look at: the record, the page as it would stand beside it, and what it
    rests on, so that a change behind the signer's back is noticed. `gaps` are what is missing; then there is no more.
    """

    sheet: edit.OpenPage
    gaps: tuple[Missing, ...]
    record: PageRecord
    rests_on: Mapping[str, bytes]

    def changed_since(self, shown: "Draft") -> list[str]:
        """The files on which it rests that are not as they were when it was shown."""
        names = sorted({*self.rests_on, *shown.rests_on})
        return [name for name in names if self.rests_on.get(name) != shown.rests_on.get(name)]


def drafted(desk: Desk, loaded: store.Loaded, logbook: Logbook, sheet: edit.OpenPage, way: WayToClose) -> Draft:
    """What signing this page would seal. Refused where that could not stand, or rests on what cannot be read."""
    file = sheet.page.place.file
    request = request_of(logbook, sheet, desk.on, way)
    if unsettled := touching(tuple(desk.told), (*loaded.problems, *meter_problems(logbook)), request):
        told = "\n".join(f"  {problem.place}: {problem.message}" for problem in unsettled)
        raise Refused(f"nothing is signed while what it would seal rests on a problem, mend that first:\n{told}")
    _refuse_signed_before(loaded, logbook, sheet.page)
    sums = store.file_sums(desk.root, file)
    record = record_of(
        request,
        name=UNNAMED,
        entered=desk.today,
        passed=way.passed,
        files=[FileSum(name=each, sha256=digest) for each, digest in sums.items()],
    )
    record = with_order(record, way.order)
    gaps = missing(request) if way.passed else missing_for_discrepancies(request)
    if not gaps:
        name = store.record_name(desk.on, f"{sheet.page.job}{way.words}", store.new_code())
        changes: dict[str, bytes | None] = {name: write_record(record).encode()}
        if way.passed:
            changes[file] = None
        if worse := desk.new_problems(loaded, changes):
            raise Refused(worse.refusal("not signed: once sealed this could not stand"))
    rests_on = {name: data for name, data in loaded.files.items() if not name.startswith("records/open/")}
    return Draft(sheet=sheet, gaps=gaps, record=record, rests_on=rests_on)


def _refuse_signed_before(loaded: store.Loaded, logbook: Logbook, page: Worksheet) -> None:
    """Refused if the page, under this name or another, is one that a sealed record has taken already."""
    digest = store.sha256(loaded.files[page.place.file])
    for record in logbook.of_kind(PageRecord):
        same = (record.sheet, record.begun) == (page.name, page.begun)
        if record.seal and record.seal.page and (same or record.seal.worksheet == digest):
            told = f"this page was signed already as {record.place.file}"
            raise Refused(f"not signed: {told}; write what was done since on a page of its own, or with `work`")


def request_of(logbook: Logbook, sheet: edit.OpenPage, on: dt.date, way: WayToClose) -> Request:
    """The question that signing asks of a page, with the totals recorded before."""
    totals, offsets = totals_before(logbook, on)
    of_day = offsets_of_day(logbook, on, sheet.page.meters)
    request = Request(
        logbook=logbook,
        page=sheet.page,
        signer=logbook.aircraft.person(way.signer),
        on=on,
        last_totals=totals,
        offsets=offsets | {name: each for name, each in of_day.items() if name not in way.new_meters},
        closing=way.closing,
        earlier=readings_before(logbook, on),
        named=way.signer,
        past=_past_by_check(logbook),
        read_now=way.read_now,
    )
    if any(total < totals.get(name, total) for name, total in request.totals().items()):
        request = replace(request, before_day=totals_before(logbook, on - dt.timedelta(days=1))[0])
    return request


def _past_by_check(logbook: Logbook) -> dict[str, dict[str, str]]:
    """How each last value on record is past its limit, by check and label."""
    return {
        check: {label: each.told for label, each in labels.items()} for check, labels in past_limits(logbook).items()
    }


def seal(desk: Desk, shown: Draft, read: bytes, way: WayToClose, key: Path | None) -> tuple[str, str]:
    """Make the page the sealed record that was shown; the record's file, and the signature if there is a key.

    Refused if anything that it rests on was changed while the statement was read.
    """
    page = shown.sheet.page.place.file
    with desk.writing("sign") as writer:
        loaded, logbook = desk.loaded()
        if page not in loaded.files:
            gone = "is no longer there: it was signed or moved meanwhile"
            raise Refused(f"not signed: {page} {gone}; `inspect-kit report` shows what was signed last")
        now = drafted(desk, loaded, logbook, shown.sheet, way)
        if changed := now.changed_since(shown):
            files = ", ".join(changed)
            raise Refused(f"not signed: while the statement was read this was changed: {files}. Look again, then sign")
        if now.gaps:
            known = "; ".join(gap.text for gap in now.gaps)
            raise Refused(f"not signed, look again, for meanwhile it became known: {known}")
        if now.record != shown.record:
            raise Refused("not signed: what would be sealed is no longer what was shown. Look again, then sign")
        name = store.record_name(desk.on, f"{shown.sheet.page.job}{way.words}", store.new_code())
        record = replace(now.record, name=name.rsplit("/", 1)[-1].removesuffix(".yaml"))
        text = shown.sheet.text.encode()
        sealing = Sealing(page=page, read=text, record=name, body=write_record(record).encode(), stays=not way.passed)
        armour = ""
        if key is not None:
            # Signed and checked before anything is written.
            by = record.by or Person(name=way.signer)
            armour = ssh_signature(store.sealed_bytes(writer, **sealing), key, by.ssh, by.name, logbook.aircraft)
        if text != read:
            store.replace(writer, page, text, read=read)
        store.sign(writer, **sealing)
    return name, armour


class Sealing(TypedDict):
    """The page that is sealed, the bytes it holds, and the record that it becomes."""

    page: str
    read: bytes
    record: str
    body: bytes
    stays: bool
