"""What stands round the map: header, footpath, column."""
