"""The palette and the stylesheet that every window of the program wears.

The palette is forced, so that a dark desktop does not mix in.
"""

from __future__ import annotations

from typing import Final

from PyQt5.QtGui import QColor, QPalette
from PyQt5.QtWidgets import QApplication, QStyleFactory

from . import colours
from .fonts import font, load_fonts, scaled

#: Qt 5 divides the weights of a stylesheet by 8: 504 is its semibold (63), 600 would be bold.
_SHEET: Final = """
* {{ font-family: "Source Sans Pro"; font-size: {text}px; color: {INK}; }}
QWidget {{ background: transparent; }}
QMainWindow, QDialog, #paper {{ background: {PAPER}; }}
#well {{ background: {WELL}; }}
#header {{ background: {PAPER}; border-bottom: 1px solid {RULE}; }}
#column {{ background: {PAPER}; border-right: 1px solid {RULE}; }}
#foot {{ background: {PAPER}; border-top: 1px solid {RULE}; border-right: 1px solid {RULE}; }}
#card {{ background: {WASH}; border-radius: 7px; }}
#note {{ background: {PAPER}; border: 1px solid {RULE}; border-radius: 7px; }}
#trouble {{ background: {ROSE}; border: 1px solid {PALE_INK}; border-radius: 7px; }}
#caution {{ background: {STRAW}; border-radius: 7px; }}
#caution-foot {{ background: {STRAW}; border-right: 1px solid {RULE}; }}
QLabel[kind="step"] {{ font-family: "Source Serif Pro"; font-weight: 504; font-size: {step}px; }}
QLabel[kind="thing"] {{ font-family: "Source Serif Pro"; font-weight: 504; font-size: {thing}px; }}
QLabel[kind="head"] {{ font-weight: 504; font-size: {text}px; }}
QLabel[kind="second"] {{ color: {GREY_INK}; font-size: {second}px; }}
QLabel[kind="small"] {{ color: {GREY_INK}; font-size: {small}px; }}
QLabel[kind="plain"] {{ font-size: {second}px; }}
QPushButton {{ background: {PAPER}; border: 1px solid {PALE_INK}; border-radius: 7px;
  min-height: 34px; padding: 0 14px; font-size: {second}px; }}
QPushButton:hover {{ background: {WELL}; }}
QPushButton:pressed {{ background: {PRESS}; }}
QPushButton:focus {{ border: 2px solid {PETROL}; }}
QPushButton:disabled {{ color: {PALE_INK}; border-color: {RULE}; }}
QPushButton[kind="solid"] {{ background: {PETROL}; color: white; border: 2px solid {PETROL};
  min-height: 42px; font-size: {text}px; font-weight: 504; }}
QPushButton[kind="solid"]:hover, QPushButton[kind="solid"]:pressed {{
  background: {PETROL_PRESSED}; border-color: {PETROL_PRESSED}; }}
QPushButton[kind="solid"]:focus {{ border: 2px solid {INK}; }}
QPushButton[kind="solid"]:disabled {{ background: {PRESS}; color: {GREY_INK};
  border-color: {PRESS}; }}
QPushButton[kind="link"] {{ border: 2px solid transparent; background: transparent;
  color: {PETROL}; padding: 0 2px; text-align: left; font-size: {second}px; }}
QPushButton[kind="link"]:hover {{ color: {PETROL_PRESSED}; text-decoration: underline; }}
QPushButton[kind="link"]:focus {{ border: 2px solid {PETROL}; border-radius: 5px; }}
QPushButton[kind="link"]:disabled {{ color: {PALE_INK}; }}
QLineEdit, QPlainTextEdit, QSpinBox, QDoubleSpinBox, QComboBox {{ background: {PAPER};
  border: 1px solid {PALE_INK}; border-radius: 5px; padding: 4px 8px; min-height: 24px;
  font-size: {second}px; selection-background-color: {PETROL}; selection-color: white; }}
QLineEdit:focus, QPlainTextEdit:focus, QSpinBox:focus, QDoubleSpinBox:focus, QComboBox:focus {{
  border: 2px solid {PETROL}; padding: 3px 7px; }}
QLineEdit[kind="thing"] {{ font-family: "Source Serif Pro"; font-weight: 504;
  font-size: {thing}px; background: transparent; border: 2px solid transparent; padding: 0 2px; }}
QLineEdit[kind="thing"]:hover {{ border-bottom: 2px solid {PALE_INK}; border-radius: 0; }}
QLineEdit[kind="thing"]:focus {{ background: {PAPER}; border: 2px solid {PETROL}; }}
QComboBox::drop-down {{ border: none; width: 26px; }}
QComboBox QAbstractItemView {{ background: {PAPER}; border: 1px solid {PALE_INK};
  selection-background-color: {WASH}; selection-color: {INK}; outline: none; }}
QCheckBox, QRadioButton {{ font-size: {second}px; spacing: 9px; min-height: 30px; }}
QCheckBox:focus, QRadioButton:focus {{ color: {PETROL}; }}
QToolTip {{ background: {PAPER}; color: {INK}; border: 1px solid {PALE_INK}; padding: 6px 8px;
  font-size: {small}px; }}
QMenu {{ background: {PAPER}; border: 1px solid {PALE_INK}; padding: 6px; }}
QMenu::item {{ padding: 8px 22px; border-radius: 5px; font-size: {second}px; }}
QMenu::item:selected {{ background: {WASH}; }}
QMenu::item:disabled {{ color: {PALE_INK}; }}
QScrollArea {{ border: none; background: transparent; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 2px; }}
QScrollBar::handle:vertical {{ background: {RULE}; border-radius: 3px; min-height: 32px; }}
QScrollBar::handle:vertical:hover {{ background: {PALE_INK}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 2px; }}
QScrollBar::handle:horizontal {{ background: {RULE}; border-radius: 3px; min-width: 32px; }}
QSlider {{ min-height: 26px; background: transparent; }}
QSlider::groove:horizontal {{ height: 5px; background: {PRESS}; border-radius: 2px; }}
QSlider::sub-page:horizontal {{ height: 5px; background: {PETROL}; border-radius: 2px; }}
QSlider::handle:horizontal {{ background: white; border: 2px solid {PETROL}; width: 13px;
  height: 13px; margin: -6px 0; border-radius: 8px; }}
QSlider::handle:horizontal:focus {{ background: {WASH}; }}
QProgressBar {{ background: {PRESS}; border: none; border-radius: 3px; max-height: 6px;
  min-height: 6px; }}
QProgressBar::chunk {{ background: {PETROL}; border-radius: 3px; }}
QTableView {{ background: {PAPER}; border: 1px solid {RULE}; gridline-color: {RULE};
  selection-background-color: {WASH}; selection-color: {INK}; font-size: {second}px; }}
QHeaderView::section {{ background: {WELL}; border: none; border-bottom: 1px solid {RULE};
  padding: 6px 8px; font-size: {small}px; color: {GREY_INK}; }}
QListWidget {{ background: transparent; border: none; outline: none; }}
"""


def sheet() -> str:
    """Return the stylesheet at the person's text size."""
    names = {name: getattr(colours, name) for name in colours.__all__}
    sizes = {"step": 27, "thing": 22, "text": 17, "second": 16, "small": 15}
    return _SHEET.format(**names, **{name: scaled(size) for name, size in sizes.items()})


def palette() -> QPalette:
    """Return the palette of paper and ink."""
    made = QPalette()
    roles = {
        QPalette.Window: colours.PAPER,
        QPalette.Base: colours.PAPER,
        QPalette.AlternateBase: colours.WELL,
        QPalette.Button: colours.PAPER,
        QPalette.ToolTipBase: colours.PAPER,
        QPalette.WindowText: colours.INK,
        QPalette.Text: colours.INK,
        QPalette.ButtonText: colours.INK,
        QPalette.ToolTipText: colours.INK,
        QPalette.PlaceholderText: colours.PALE_INK,
        QPalette.Highlight: colours.PETROL,
        QPalette.HighlightedText: colours.WHITE,
        QPalette.Link: colours.PETROL,
    }
    for role, value in roles.items():
        made.setColor(role, QColor(value))
    for role in (QPalette.WindowText, QPalette.Text, QPalette.ButtonText):
        made.setColor(QPalette.Disabled, role, QColor(colours.PALE_INK))
    return made


def dress(app: QApplication) -> None:
    """Give the whole program its fonts, palette and stylesheet."""
    load_fonts()
    app.setStyle(QStyleFactory.create("Fusion"))
    app.setPalette(palette())
    app.setFont(font(17))
    app.setStyleSheet(sheet())
