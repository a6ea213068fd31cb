"""Start the window: ``python -m ui [FILE ...] [--sample]``."""

import sys

if __name__ == "__main__":
    # Not above: the worker process reads this file too, and needs no window.
    from .app import main

    sys.exit(main())
