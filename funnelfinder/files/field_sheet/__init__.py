"""The field sheet: printed pages for the pocket, map first, then a page for each cluster."""

from funnelfinder.files.field_sheet.make import WindRow, draw_sheet

__all__ = ["WindRow", "draw_sheet"]
