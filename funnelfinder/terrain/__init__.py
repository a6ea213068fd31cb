"""Measures of the ground's shape: slope, position, fitted surfaces, forms, passes, drainage."""

from funnelfinder.terrain.forms import Form, Pass, drainage, geomorphons, passes
from funnelfinder.terrain.scale import coarsened, sampled, smoothed
from funnelfinder.terrain.slope import aspect_deg, gradient, slope_deg
from funnelfinder.terrain.surface import (
    Quadratic,
    SurfaceForm,
    fitted_quadratics,
    position_index_m,
    surface_forms,
)

__all__ = [
    "Form",
    "Pass",
    "Quadratic",
    "SurfaceForm",
    "aspect_deg",
    "coarsened",
    "drainage",
    "fitted_quadratics",
    "geomorphons",
    "gradient",
    "passes",
    "position_index_m",
    "sampled",
    "slope_deg",
    "smoothed",
    "surface_forms",
]
