"""Weight and balance: the arithmetic of moments, exact, from records to loadings. Knows neither disk nor law.

    moments    weight times arm
    empty      the last weighing and every change of equipment since
    loading    a loading, and the fuel leaving it
    envelope   inside or outside, at take-off and all the way
    extremes   the loadings at the edge of what the owner's limits allow
    answer     all of it: `balance`
"""

from inspect_kit.late import fetch_late

fetch_late(__name__, __file__)
