"""What a pinch point is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PinchPoint:
    """A place where the ground squeezes trips.

    Parameters
    ----------
    x_m, y_m : float
        Where it is [m].
    squeeze : float
        How many times narrower trips run here than on even ground.
    width_m, even_width_m : float
        Effective width of the strand here, and on even ground at the same progress [m].
    share : float
        Share of all trips that pass through it.
    pairs : tuple of str
        The bed-food pairs concerned, "Bed to Food".
    from_bed_m, to_food_m : float
        Least-cost distance to the nearest bed and food of those pairs, along the trips [m].
    detour_share : float
        How much longer the least-cost trip becomes if a disc of reach is shut here
        (0.12 is 12 %); infinite if there is no other way.
    across_deg : float
        Bearing of the section, across the trips [deg, 0 to 180].
    kinds, reasons : tuple of str
        What the ground does here, and a measured sentence for each; empty if nothing explains it.
    """

    x_m: float
    y_m: float
    squeeze: float
    width_m: float
    even_width_m: float
    share: float
    pairs: tuple[str, ...]
    from_bed_m: float
    to_food_m: float
    detour_share: float
    across_deg: float
    kinds: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
