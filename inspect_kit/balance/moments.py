"""Weight times arm. All amounts are exact fractions in one unit of weight and one of arm; nothing is rounded.

Source: FAA-H-8083-1B, chapters 2 and 3: the centre of gravity is the sum of moments over the sum of weights.
"""

from fractions import Fraction

from inspect_kit.noun import dataclass


@dataclass(frozen=True, slots=True)
class Moments:
    """A weight and the sum of its moments."""

    weight: Fraction = Fraction()
    moment: Fraction = Fraction()

    @property
    def arm(self) -> Fraction:
        """The centre of gravity; ZeroDivisionError where nothing weighs anything."""
        return self.moment / self.weight

    def plus(self, weight: Fraction, arm: Fraction) -> "Moments":
        """With so much more at an arm; a negative weight is taken off."""
        return Moments(self.weight + weight, self.moment + weight * arm)


def percent_of_chord(arm: Fraction, leading_edge: Fraction, length: Fraction) -> Fraction:
    """Where an arm is on the mean aerodynamic chord, in per cent of its length."""
    return (arm - leading_edge) / length * 100
