"""One file per step: they show and ask, they do not compute."""
