"""The command line: reads options, calls down, prints; no science."""
