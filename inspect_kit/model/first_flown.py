"""Whether an aircraft flew before the date of the certificate that aircraft.yaml gives."""

from collections.abc import Mapping
from decimal import Decimal

from inspect_kit.model.aircraft import Aircraft, Meter
from inspect_kit.model.meters import MeterHistory, Point

# So long runs an engine on the ground before the first flight, taxiing included (common practice, no source).
GROUND_RUNS = Decimal(5)


def first_flown(histories: Mapping[str, MeterHistory], aircraft: Aircraft) -> tuple[Meter, Point] | None:
    """The first reading, with its meter, by which it flew before its certificate: a landing, more than ground runs."""
    most = {aircraft.time_in_service: GROUND_RUNS}
    most |= {name: Decimal(0) for name, meter in aircraft.meters.items() if meter.unit == "landings"}
    flown = [
        (aircraft.meters[name], point)
        for name, most_before in most.items()
        for point in (histories[name].points if name in histories else ())
        if point.date < aircraft.certificate_date and point.total > most_before
    ]
    return min(flown, key=lambda found: found[1].date, default=None)
