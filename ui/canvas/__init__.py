"""The map: what is drawn on it and what lies on it."""
