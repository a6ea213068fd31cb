"""One file for each feature of terrain or cover."""
