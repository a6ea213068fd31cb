"""All that enters or leaves: grids, outlines, property files, points, pictures."""
