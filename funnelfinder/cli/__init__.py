"""The command line: reads options, calls down, prints; no science."""

from funnelfinder.cli.program import main

__all__ = ["main"]
