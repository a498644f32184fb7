"""`python -m tests.measure [pages papers …]`: measures, prints a table and keeps it in `measured.md`."""

import sys

from tests.measure.measuring import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
