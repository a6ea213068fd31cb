"""What is said of a point: why it is there, how many trips, how sure."""

from __future__ import annotations

import math
from typing import Final

from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster
from funnelfinder.staging import StagingSpot
from funnelfinder.units import said_length, said_share

MODEL_WORDS: Final = (
    "A model: its cost weights are judgement, not measured on deer; your own cameras are the check."
)
_UNEXPLAINED: Final = "Trips narrow here; no feature that we know explains it. Look on foot."


def said_steadiness(cluster: Cluster) -> str:
    """Return how often a cluster stayed chosen, in words.

    Examples
    --------
    >>> from funnelfinder.scrapes import ClusterKind
    >>> said_steadiness(Cluster(number=1, kind=ClusterKind.PINCH, scrapes_m=(), camera_m=(0, 0),
    ...     camera_bearing_deg=0, share=0.2, gain=0.2, steadiness=0.9, n_redraws=20))
    'stayed in 18 of 20'
    """
    if math.isnan(cluster.steadiness) or cluster.n_redraws == 0:
        return "not tested"
    return f"stayed in {round(cluster.steadiness * cluster.n_redraws)} of {cluster.n_redraws}"


def said_range(cluster: Cluster) -> str:
    """Return the range of a cluster's share over the redraws, empty where it was not tested.

    Examples
    --------
    >>> from funnelfinder.scrapes import ClusterKind
    >>> said_range(Cluster(number=1, kind=ClusterKind.PINCH, scrapes_m=(), camera_m=(0, 0),
    ...     camera_bearing_deg=0, share=0.2, gain=0.2, share_low=0.13, share_high=0.24))
    '13 to 24 of 100'
    """
    if math.isnan(cluster.share_low) or math.isnan(cluster.share_high):
        return ""
    return f"{100 * cluster.share_low:.0f} to {said_share(cluster.share_high)}"


def said_squeeze(squeeze: float | None) -> str:
    """Return the squeeze as a sentence."""
    if squeeze is None:
        return "Squeeze: none measured here."
    return f"Squeeze: {squeeze:.1f} times narrower than on even ground."


def why_pinch(pinch: PinchPoint) -> str:
    """Return why trips narrow at a pinch point, or that nothing explains it."""
    return " ".join(pinch.reasons) or _UNEXPLAINED


def why_staging(spot: StagingSpot) -> str:
    """Return why a staging spot is one."""
    return f"In cover {said_length(spot.edge_m)} from the edge of {spot.food}, on the way in."


def cluster_words(cluster: Cluster, what: str, squeeze: float | None) -> str:
    """Return all that is known of a scrape or camera, which ``what`` names."""
    share = f"{said_share(cluster.share)} {cluster.trips}"
    spread = said_range(cluster)
    parts = (
        f"{what}, cluster {cluster.number} ({cluster.kind.value}).",
        "" if share in cluster.why else f"{share} pass within reach of the cluster.",
        cluster.why,
        f"Over the redraws {spread}." if spread else "",
        "Put there by hand." if cluster.is_by_hand else "",
        said_squeeze(squeeze),
        f"Steadiness: {said_steadiness(cluster)}.",
        MODEL_WORDS,
    )
    return " ".join(filter(None, parts))


def pinch_words(pinch: PinchPoint, squeeze: float | None) -> str:
    """Return all that is known of a pinch point."""
    return (
        f"Pinch point. {said_share(pinch.share)} trips pass through a band"
        f" {said_length(pinch.width_m)} wide. {why_pinch(pinch)} {said_squeeze(squeeze)}"
        f" Steadiness: not tested. {MODEL_WORDS}"
    )


def staging_words(spot: StagingSpot) -> str:
    """Return all that is known of a staging spot."""
    return (
        f"Staging spot. {said_share(spot.share)} {spot.trips} pass within reach."
        f" {why_staging(spot)} {said_squeeze(None)} Steadiness: not tested. {MODEL_WORDS}"
    )


def plain(text: str) -> str:
    r"""Return text on one line, without characters that files or receivers cannot hold.

    Examples
    --------
    >>> plain("Beech\n ridge\x00")
    'Beech ridge'
    """
    kept = (char for char in text if char.isprintable() or char.isspace())
    return " ".join("".join(kept).split())
