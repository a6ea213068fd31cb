"""What stands under every result: how sure it is, permission, law and safety.

The words are general on purpose: local law decides, and it changes every year.
"""

from __future__ import annotations

from typing import Final

#: What stands above them, at the end of every report.
LAST_HEADING: Final = "Before you go"

CAUTIONS: Final[tuple[str, ...]] = (
    "This is a model. Its cost weights are judgement and it has not been validated on "
    "whitetails; it says what this ground does to the model's trips. Your own cameras are the "
    "check: hang one at a cluster and one where the model sees little.",
    "Hunt, hang and scout only where you have permission. The boundary is your own line, not a "
    "survey: posted signs and painted lines on the ground outrank it. Following or shooting at a "
    "deer across it needs the neighbor's word.",
    "Seasons, hours, bait, lures, scent, firearms, bows, orange, and distances from roads and "
    "houses are the state agency's to rule, and the rules change: read its current digest. "
    "Where chronic wasting disease is a concern, natural deer urine is often limited or banned. "
    "No lure and no bait is proposed here: a licking branch and bare ground are enough.",
    "In a tree stand wear a full-body harness, tied in from the ground up and down to the ground "
    "again. Haul bow or unloaded gun up on a line. Check straps and steps, and tell someone "
    "where you are and when you will be back.",
    "With firearm or bow, be sure of the deer and of what lies beyond it: the points here know "
    "nothing of who else is in the woods.",
)
