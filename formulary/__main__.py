"""``python3 -m formulary``: set up on the first start, then open the window or run a command."""

import sys

from formulary import bootstrap

if __name__ == "__main__":
    sys.exit(bootstrap.start_program(sys.argv[1:]))
