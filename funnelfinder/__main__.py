"""Start the command line by ``python -m funnelfinder``."""

from funnelfinder.cli import main

if __name__ == "__main__":
    main()
