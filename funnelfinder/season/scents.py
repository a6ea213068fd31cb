"""Scents in the trade's general words, and which of them a person may use.

Natural scent of deer is limited or banned in many places because of chronic wasting disease.
Until a person has said what is allowed, none is named.
"""

from __future__ import annotations

from enum import Enum
from typing import Final


class Allowance(Enum):
    """What the person says is allowed where they hunt; the agency decides, not the program."""

    UNKNOWN = "unknown"
    NATURAL = "natural"
    CERTIFIED = "certified"
    SYNTHETIC = "synthetic"
    NONE = "none"


class Scent(Enum):
    """Kinds of scent; the value is the word in the work table."""

    NONE = "none"
    FOREHEAD_GLAND = "forehead gland"
    YOUNG_BUCK = "young buck"
    DOE = "doe"
    MATURE_BUCK = "mature buck"
    DOE_IN_HEAT = "doe in heat"


_WORDS: Final = {
    Scent.FOREHEAD_GLAND: "forehead-gland scent on the branch",
    Scent.YOUNG_BUCK: "young-buck urine",
    Scent.DOE: "doe urine, not in heat",
    Scent.MATURE_BUCK: "mature-buck urine",
    Scent.DOE_IN_HEAT: "doe-in-heat urine",
}
_KINDS: Final = {
    Allowance.NATURAL: "",
    Allowance.CERTIFIED: "from a tested, certified herd only: ",
    Allowance.SYNTHETIC: "synthetic only: ",
}
_AMOUNTS: Final = {"": "", "sparing": ", a few drops", "full": ""}
BARE: Final = "bare ground and branch only"
KEEPING: Final = (
    "Keep scent cool, dark and sealed; never freeze it, and use none from last year "
    "(common practice, no source)."
)


def scent_words(scent: Scent, amount: str, allowance: Allowance) -> str:
    """Return what scent to use, within what is allowed.

    Examples
    --------
    >>> scent_words(Scent.MATURE_BUCK, "sparing", Allowance.SYNTHETIC)
    'synthetic only: mature-buck urine, a few drops'
    >>> scent_words(Scent.MATURE_BUCK, "sparing", Allowance.UNKNOWN)
    'bare ground and branch only'
    """
    if scent is Scent.NONE or allowance not in _KINDS:
        return BARE
    return f"{_KINDS[allowance]}{_WORDS[scent]}{_AMOUNTS[amount]}"
