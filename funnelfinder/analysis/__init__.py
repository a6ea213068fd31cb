"""One full run, from a property and its grids to its findings."""
