"""What a run of small changes of the code left unnoticed: each test here fails on one of them."""

import errno
import os
import stat
from base64 import b64encode
from pathlib import Path
from types import SimpleNamespace

import pytest

from inspect_kit import store
from inspect_kit.errors import StoreUnreadable
from inspect_kit.model.aircraft import Person
from inspect_kit.model.kinds.amendment import Amendment
from inspect_kit.model.kinds.inspection import Inspection
from inspect_kit.store import judging, outside, reading
from tests.due.small import AIRCRAFT, book, inspection
from tests.store.test_outside import MARK


def test_a_file_that_grows_while_it_is_read_is_read_no_further_than_any_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "long").write_bytes(b"x" * 50)
    monkeypatch.setattr(reading, "LARGEST", 20)
    status = SimpleNamespace(st_mode=stat.S_IFREG, st_size=0, st_ino=1, st_mtime_ns=0)
    monkeypatch.setattr(os, "fstat", lambda handle: status)
    with pytest.raises(reading.RefusedFile, match="is larger"):
        reading._bytes(os.open(tmp_path / "long", os.O_RDONLY))
    monkeypatch.setattr(reading, "LARGEST", 50)
    assert reading._bytes(os.open(tmp_path / "long", os.O_RDONLY))[0] == b"x" * 50


@pytest.mark.parametrize("number", sorted(outside.NO_LINKS))
def test_where_the_disk_has_no_links_a_file_is_written_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    monkeypatch.setattr(os, "link", refusing(number))
    store.write_outside(tmp_path / "due.txt", b"one\n", MARK)
    assert (tmp_path / "due.txt").read_bytes().startswith(b"one\n")


def test_a_full_disk_is_told_and_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", refusing(errno.ENOSPC))
    with pytest.raises(StoreUnreadable, match="cannot be written"):
        store.write_outside(tmp_path / "due.txt", b"one\n", MARK)
    assert list(tmp_path.iterdir()) == []


def refusing(number: int) -> object:
    def link(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    return link


@pytest.mark.parametrize(("signers", "may"), [("[builder]", True), ("[guild]", False), ("[guild, builder]", True)])
def test_who_is_permitted_today_may_amend_an_inspection_that_names_no_signers(signers: str, may: bool) -> None:
    made = book(
        records={
            "2018-02-01-condition": inspection(),
            "2018-02-02-amendment": (
                "kind: amendment\nof: 2018-02-01-condition\ninstead: {text: other words}\ntext: a slip\nby: Ada\n"
            ),
        },
        aircraft=AIRCRAFT.replace("signers: [builder]", f"signers: {signers}"),
    )
    (of,) = made.of_kind(Amendment)
    (inspected,) = made.of_kind(Inspection)
    assert inspected.signers == ()
    person = made.aircraft.person("Ada")
    assert person is not None
    told = judging._may_not_amend(person, of, {record.name: record for record in made.records}, made.aircraft)
    assert (told is None) is may


def test_an_amendment_of_work_is_signed_by_somebody_of_the_aircraft() -> None:
    made = book(
        records={
            "2018-02-01-work": "kind: work\nmeters: {tach: 5.0}\ntext: washed\n",
            "2018-02-02-amendment": (
                "kind: amendment\nof: 2018-02-01-work\ninstead: {text: other words}\ntext: a slip\nby: Ada\n"
            ),
        }
    )
    (of,) = made.of_kind(Amendment)
    records = {record.name: record for record in made.records}
    told = [judging._may_not_amend(Person(name=name), of, records, made.aircraft) for name in ("Ada", "Nobody Known")]
    assert told == [None, "Nobody Known is none of the people of aircraft.yaml"]


def test_a_key_whose_signature_does_not_hold_is_nobodys(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each key of aircraft.yaml is asked, and only one that holds names its person."""
    keys = {name: b64encode(b"\0\0\0\x0bssh-ed25519\0\0\0 " + name.encode() * 32).decode() for name in "AB"}
    people = "".join(
        f"  - {{name: {name}, kind: builder, ssh: [ssh-ed25519 {keys[name[0]]}]}}\n" for name in ("Ada", "Bo")
    )
    plane = book(aircraft=f"{AIRCRAFT.partition('people:')[0]}people:\n{people}").aircraft
    holds = {"Bo": None}

    def check(data: bytes, armour: str, keys: object) -> str | None:
        who = next(person.name for person in plane.people if person.ssh == keys)
        return holds.get(who, "does not hold")

    monkeypatch.setattr("inspect_kit.store.signature.check_signature", check)
    assert judging.whose_key(b"x", "armour", plane) == "Bo"
    holds.clear()
    assert judging.whose_key(b"x", "armour", plane) == ""
