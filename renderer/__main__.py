"""``python -m renderer``: the same as the command ``pegline``."""

import sys

from renderer.cli import main

if __name__ == "__main__":
    sys.exit(main())
