"""``python3 -m ui``: open the window, or draw it into a file."""

import sys

from ui.main import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
