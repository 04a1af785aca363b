"""Amounts, durations and dates in the words of pages."""

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from inspect_kit.model.checklist import Part, added_up
from inspect_kit.model.interval import so_many
from inspect_kit.model.logbook import Logbook
from inspect_kit.model.page_record import PageRecord

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def number(amount: Decimal) -> str:
    """An exact decimal without an exponent, as it was written."""
    return format(amount, "f")


def amount(value: Decimal, unit: str) -> str:
    """`12.5 h`, `1 landing`."""
    return so_many(value, unit)


def money(amount: Decimal, currency: str) -> str:
    """`180 EUR`, `12.50 EUR`, `24,000 EUR`; without a currency the bare amount."""
    rounded = amount.quantize(Decimal("0.01"))
    told = f"{rounded:,.0f}" if rounded == rounded.to_integral_value() else f"{rounded:,.2f}"
    return f"{told} {currency}".strip()


def clock(minutes: int) -> str:
    """Minutes from the start as hours and minutes: `3:05`."""
    return f"{minutes // 60}:{minutes % 60:02}"


def days(count: int) -> str:
    return f"{count} day" if count in (1, -1) else f"{count} days"


def ago(then: dt.date, now: dt.date) -> str:
    """`today`, `1 day ago`, `12 days ago`."""
    return "today" if then == now else f"{days((now - then).days)} ago"


def first_of_months(start: dt.date, end: dt.date) -> tuple[dt.date, ...]:
    """The first days of the months after `start` that are not later than `end`."""
    found: list[dt.date] = []
    year, number_of_month = start.year, start.month
    while True:
        year, number_of_month = (year + 1, 1) if number_of_month == 12 else (year, number_of_month + 1)
        first = dt.date(year, number_of_month, 1)
        if first > end:
            return tuple(found)
        found.append(first)


def counted(count: int, one: str, many: str = "") -> str:
    """`1 panel`, `3 panels`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """A text with a capital at its beginning and a full stop at its end."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?", ":")) else ".")


def joined(words: "list[str] | tuple[str, ...]") -> str:
    """`a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def fitted(parts: Iterable[str]) -> tuple[str, ...]:
    """The parts without the consumables, the amounts of one name added up: what an entry for a logbook names."""
    return tuple(str(part) for part in _added(parts) if not part.consumable)


def summed(parts: Iterable[str]) -> tuple[str, ...]:
    """Parts and consumables with the amounts of one name added up: `1 ft wire` and `4 ft wire` are `5 ft wire`."""
    return tuple(str(part) for part in _added(parts))


def parts_used(logbook: Logbook) -> dict[str, tuple[Part, ...]]:
    """The parts that each page used, by the name of its record.

    A page that was sealed before, as not passed, names the parts of then once more: they were used once.
    """
    used: dict[str, tuple[Part, ...]] = {}
    for page in logbook.of_kind(PageRecord):
        parts = [*page.parts]
        for early in logbook.sealed_before().get(page.name, ())[-1:]:
            for part in early.parts:
                if part in parts:
                    parts.remove(part)
        if page.parts:
            used[page.name] = _added(parts)
    return used


def part_names(parts: Iterable[str]) -> set[str]:
    """The names of parts and consumables without their amounts."""
    return {part.name for part in _added(parts)}


def _added(parts: Iterable[str]) -> tuple[Part, ...]:
    from inspect_kit.text.check_values import parse_parts

    return added_up(parsed for part in parts for parsed in parse_parts(part))
