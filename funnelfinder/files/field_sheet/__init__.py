"""The field sheet: printed pages for the pocket, map first, then a page for each cluster."""

from funnelfinder.files.field_sheet.make import WindRow, draw_sheet
from funnelfinder.files.field_sheet.on_foot import OnFoot

__all__ = ["OnFoot", "WindRow", "draw_sheet"]
