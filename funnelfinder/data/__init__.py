"""Tables of defaults; every line names its source."""
