"""The trips that deer make: where they run, how many, and single ones drawn."""
