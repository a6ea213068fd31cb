"""Likely food and beds to start from; outlines that a person takes, changes or throws away."""

from funnelfinder.suggestions.beds import likely_beds
from funnelfinder.suggestions.food import likely_food
from funnelfinder.suggestions.suggest import suggestions
from funnelfinder.suggestions.suggestion import Suggestion

__all__ = ["Suggestion", "likely_beds", "likely_food", "suggestions"]
