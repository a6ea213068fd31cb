"""What a run found, in words for people and as data for programs."""

from funnelfinder.report.cautions import CAUTIONS
from funnelfinder.report.facts import findings_json
from funnelfinder.report.text import report_text

__all__ = ["CAUTIONS", "findings_json", "report_text"]
