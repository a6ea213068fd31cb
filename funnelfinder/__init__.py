"""Find where ground squeezes the travel of whitetails, and where scrapes catch it."""

import os

# A PROJ folder set by the user breaks the PROJ that rasterio brings ("Cannot find proj.db").
for _name in ("PROJ_DATA", "PROJ_LIB"):
    os.environ.pop(_name, None)

__version__ = "0.1.0"
