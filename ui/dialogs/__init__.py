"""Windows and choices that know paths."""
