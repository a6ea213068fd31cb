"""`python -m bench`."""

import sys

from bench.rows import main

sys.exit(main())
