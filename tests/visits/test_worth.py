"""While it is open: what is offered on the sample aircraft saves what it says, and costs what it says."""

import datetime as dt
from pathlib import Path

import pytest

from inspect_kit import store
from inspect_kit.due import PAST_DUE, DueAnswer, due
from inspect_kit.model.checklist import duration
from inspect_kit.plan import access_labour, panels_for
from inspect_kit.visits import worth_doing

ROOT = Path(__file__).parents[2]
DAY = dt.date(2026, 11, 25)


@pytest.fixture(scope="module")
def answer() -> DueAnswer:
    loaded = store.load(store.at(ROOT))
    assert loaded.logbook is not None
    return due(loaded.logbook, DAY)


def test_every_offer_adds_up_and_is_worth_it(answer: DueAnswer) -> None:
    book = answer.seen
    named = ("oil-change",)
    # The nose wheel fairing and everything at the struts are off, beside what an oil change needs.
    asked = [book.checks[name] for name in ("oil-change", "nose-oleo", "strut-left", "strut-right")]
    off = panels_for(book.panels, asked)
    offers = worth_doing(book, answer, panels=off, chosen=named)
    assert offers
    for offer in offers:
        checks = [book.checks[name] for name in offer.checks]
        needed = panels_for(book.panels, checks)
        assert set(needed) <= set(offer.panels)
        assert offer.saves == access_labour(book.panels, offer.panels)
        assert set(offer.opened) == set(offer.panels) - set(off)
        assert offer.extra == access_labour(book.panels, offer.opened)
        assert offer.labour == sum(check.minutes * check.people for check in checks)
        assert offer.gain > 0
        assert offer.due > DAY
        assert f"another {duration(offer.labour)}" in offer.sentence
        assert f"saves {duration(offer.saves)}" in offer.sentence
    assert [offer.gain for offer in offers] == sorted((offer.gain for offer in offers), reverse=True)


def test_what_is_to_be_done_anyway_or_is_past_due_is_no_offer(answer: DueAnswer) -> None:
    book = answer.seen
    everything = [check for check in book.checks.values() if check.retired is None]
    off = panels_for(book.panels, everything)
    offered = {name for offer in worth_doing(book, answer, panels=off) for name in offer.checks}
    assert offered
    assert not offered & {item.check for item in answer.items if item.state == PAST_DUE or item.owed}
    chosen = next(iter(sorted(offered)))
    again = {name for offer in worth_doing(book, answer, panels=off, chosen=[chosen]) for name in offer.checks}
    assert chosen not in again


def test_nothing_open_offers_nothing(answer: DueAnswer) -> None:
    assert worth_doing(answer.seen, answer, panels=()) == ()
