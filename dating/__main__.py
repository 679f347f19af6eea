"""``python -m dating``: one JSON object a line in, one answer a line out."""

import sys

from .command import main

if __name__ == "__main__":
    sys.exit(main())
