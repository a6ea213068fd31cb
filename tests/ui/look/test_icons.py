"""Icons and fonts have ink."""

import numpy as np
import pytest
from PyQt5.QtCore import QRectF
from PyQt5.QtGui import QColor, QFontInfo, QImage, QPainter

from funnelfinder.marks import MarkKind
from ui.canvas.lettering import text_box
from ui.kinds import KINDS
from ui.look import draw_icon, font
from ui.look.icons import DRAWINGS


def ink(image: QImage) -> np.ndarray:
    bits = image.convertToFormat(QImage.Format_Grayscale8)
    data = bits.constBits().asstring(bits.sizeInBytes())
    return np.frombuffer(data, np.uint8).reshape(bits.height(), bits.bytesPerLine()) < 128


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_icon_stays_in_its_box_and_has_ink(qapp, name: str) -> None:
    image = QImage(64, 64, QImage.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    draw_icon(painter, name, QRectF(8, 8, 48, 48), QColor("black"))
    painter.end()
    dark = ink(image)
    assert 25 < dark[8:56, 8:56].sum() < 48 * 48 * 0.6
    dark[6:58, 6:58] = False
    assert not dark.any()


def test_every_kind_of_mark_has_an_icon_and_a_word(qapp) -> None:
    assert set(KINDS) == set(MarkKind)
    assert all(one.icon in DRAWINGS for one in KINDS.values())
    keys = [one.key for one in KINDS.values() if one.key]
    assert len(keys) == len(set(keys))


def test_the_fonts_of_the_program_are_there(qapp) -> None:
    assert QFontInfo(font(16)).family() == "Source Sans Pro"
    assert QFontInfo(font(16, serif=True)).family() == "Source Serif Pro"
    assert text_box("Alder knob")[0] > 50


def test_letters_have_ink(qapp) -> None:
    image = QImage(200, 40, QImage.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.setFont(font(20))
    painter.drawText(4, 28, "Alder knob ≥ ′ → ½")
    painter.end()
    assert ink(image).sum() > 200
