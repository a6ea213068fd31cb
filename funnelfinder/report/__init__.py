"""What a run found, in words for people and as data for programs."""

from funnelfinder.report.cautions import CAUTIONS, LAST_HEADING
from funnelfinder.report.facts import findings_json
from funnelfinder.report.text import report_text

__all__ = ["CAUTIONS", "LAST_HEADING", "findings_json", "report_text"]
