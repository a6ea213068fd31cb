"""What a run found, in words for people and as data for programs."""

from funnelfinder.report.cameras import cameras_text, wind_words
from funnelfinder.report.cautions import CAUTIONS, LAST_HEADING
from funnelfinder.report.facts import findings_json
from funnelfinder.report.text import OUT_OF_DATE, report_text

__all__ = [
    "CAUTIONS",
    "LAST_HEADING",
    "OUT_OF_DATE",
    "cameras_text",
    "findings_json",
    "report_text",
    "wind_words",
]
