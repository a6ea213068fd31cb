"""What a hand does on the map, as state machines that know no window."""

from .choosing import Choose
from .drawing import Draw, Form
from .hand import Hand
from .looking import LookAround, Outlook
from .measuring import Measure
from .outline import Outline, crossing_of, geometry_of, outline_of
from .placing import Place
from .shaping import Shape
from .snapping import Snapper
from .touch import Gesture, Key, Point, Sketch, Touch

__all__ = [
    "Choose",
    "Draw",
    "Form",
    "Gesture",
    "Hand",
    "Key",
    "LookAround",
    "Measure",
    "Outline",
    "Outlook",
    "Place",
    "Point",
    "Shape",
    "Sketch",
    "Snapper",
    "Touch",
    "crossing_of",
    "geometry_of",
    "outline_of",
]
