"""Our times beside the peers', in one run on one machine: ``python -m bench``."""
