"""Positions as people write them."""

import pytest

from ui.look.said import said_position

# 33.3 N 44.4 E is UTM 38N 444140.54 3684706.36 and MGRS 38SMB4414084706 (GeographicLib manual;
# digits are cut off, never rounded).
PLACE = (444140.54, 3684706.36, 32638)


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ("utm", "38N 444141 E 3684706 N"),
        ("mgrs", "38SMB 44140 84706"),
        ("degrees", "N 33.30000° E 44.40000°"),
        ("minutes", "N 33° 18.000′ E 44° 24.000′"),
    ],
)
def test_a_place_in_every_form(form: str, said: str) -> None:
    assert said_position(*PLACE, form) == said


def test_minutes_carry_over() -> None:
    # 39.99999999 degrees must be written 40° 00.000′, not 39° 60.000′.
    from pyproj import Transformer

    to_utm = Transformer.from_crs(4326, 32617, always_xy=True)
    x, y = to_utm.transform(-81.0, 39.99999999)
    assert said_position(x, y, 32617, "minutes") == "N 40° 00.000′ W 81° 00.000′"
