"""Law and health, which stand above every plan; in general words, for local law decides."""

from __future__ import annotations

from typing import Final

from funnelfinder.season import Allowance

_ALWAYS: Final = (
    "Check with the state agency before you put out anything that smells of deer: because of "
    "chronic wasting disease, natural scents are limited or banned in many places, and the rules "
    "change every year. No bait is ever proposed.",
    "Permission in writing, with you: for hunting, for cutting a branch, for a stand.",
    "Full-body harness, tied in from the ground to the ground; haul line; a saw only with both "
    "feet on the ground, gloves and glasses on; tell someone where you are.",
    "Rubber gloves at scrapes. Ticks: long sleeves, repellent, and look yourself over at home. "
    "Do not handle a deer that looks or acts sick; call the agency.",
    "Dates follow a peak that differs by a week and more from year to year: each is about, never "
    "to the day.",
)
_SCENT: Final = {
    Allowance.UNKNOWN: "You have not said what scent is allowed where you hunt, so none is named: "
    "bare ground and branch only, which is enough.",
    Allowance.NONE: "You said that no scent is allowed: bare ground and branch only.",
    Allowance.SYNTHETIC: "You said that only synthetic scent is allowed.",
    Allowance.CERTIFIED: "You said that only scent from tested, certified herds is allowed.",
    Allowance.NATURAL: "You said that natural scent is allowed; the agency's word counts, not "
    "this plan's.",
}


def plan_cautions(allowance: Allowance) -> tuple[str, ...]:
    """Return what stands above a plan."""
    return (_SCENT[allowance], *_ALWAYS)
