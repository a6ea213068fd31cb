"""One undoable command for each decision on a stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from funnelfinder.marks import Property, StandPick
from funnelfinder.scrapes import Cluster
from funnelfinder.stands import Stand, pick_by_hand, pick_of_stand

from .edits import Edit


def take_stand(stand: Stand, spot: Cluster) -> Edit:
    """Take a tree that was found."""
    pick = pick_of_stand(stand, spot)
    return _edit(f"take {stand.name}", lambda place: place.with_stand(pick))


def untake_stand(stand: Stand) -> Edit:
    """Take back that a tree was taken; the best trees found come back where no other is left."""
    return _edit(f"untick {stand.name}", lambda place: place.without_stand(stand.key))


def leave_stand(stand: Stand, spot: Cluster) -> Edit:
    """Leave a tree out; one put by hand is taken away."""
    left = pick_of_stand(stand, spot, is_taken=False)

    def change(place: Property) -> Property:
        rest = place.without_stand(stand.key) if stand.key else place
        return rest if stand.is_by_hand else rest.with_stand(left)

    return _edit(f"leave {stand.name} out", change)


def put_stand(pick: StandPick) -> Edit:
    """Put a stand by hand."""
    return _edit(f"put {pick.name or 'a stand'}", lambda place: place.with_stand(pick))


def move_stand(stand: Stand, spot: Cluster, x_m: float, y_m: float) -> tuple[Edit, str]:
    """Move a stand to another tree; return also the key of the decision.

    A tree that was only found becomes the person's own there.
    """
    fresh = pick_by_hand(x_m, y_m, spot, name=stand.name)
    key = stand.key or fresh.key

    def change(place: Property) -> Property:
        own = next((one for one in place.stands if one.key == stand.key), None)
        if own is None:
            return place.with_stand(fresh)
        return place.with_stand(replace(own, x_m=x_m, y_m=y_m, is_by_hand=True))

    return _edit(f"move {stand.name}", change), key


def _edit(name: str, change: Callable[[Property], Property]) -> Edit:
    """Return an edit of the property alone."""
    return Edit(name=name, apply=lambda held: replace(held, place=change(held.place)))
