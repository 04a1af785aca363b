"""Whether an aircraft flew before the date of the certificate that aircraft.yaml gives."""

from collections.abc import Mapping

from inspect_kit.model.aircraft import Aircraft, Meter
from inspect_kit.model.interval import HOURS, UNITS
from inspect_kit.model.meters import MeterHistory, Point


def first_flown(histories: Mapping[str, MeterHistory], aircraft: Aircraft) -> tuple[Meter, Point] | None:
    """The first reading, with its meter, by which it flew before its certificate: a landing, more than ground runs.

    Of the meters of hours that of time in service alone tells: another may run with the battery on.
    """
    clock = aircraft.time_in_service
    flown = [
        (meter, point)
        for name, meter in aircraft.meters.items()
        for point in (histories[name].points if name in histories else ())
        if (most := UNITS[meter.unit].on_ground) is not None and (name == clock or meter.unit != HOURS)
        if point.date < aircraft.certificate_date and point.total > most
    ]
    return min(flown, key=lambda found: found[1].date, default=None)
