"""Words take the height that they need, more or less than before."""

from PyQt5.QtWidgets import QVBoxLayout, QWidget

from ui.controls import label


def test_fewer_words_take_less_height(qtbot) -> None:
    paper = QWidget()
    qtbot.addWidget(paper)
    column = QVBoxLayout(paper)
    words = label("A sentence that cannot stand in one line of so narrow a column. " * 3)
    column.addWidget(words)
    column.addStretch(1)
    paper.resize(260, 400)
    paper.show()
    qtbot.waitExposed(paper)
    tall = words.height()
    words.setText("One line.")
    line = words.height()
    assert line < tall / 3
    words.setText("A sentence that cannot stand in one line of so narrow a column. " * 3)
    assert words.height() == tall
