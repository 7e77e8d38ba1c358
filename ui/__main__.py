"""``python3 -m ui``: open the window, or draw it into a file."""

import gc
import sys

if __name__ == "__main__":
    # Nothing becomes garbage while modules load; after the first paint the window sees to it.
    gc.disable()

    from ui.main import main

    sys.exit(main(sys.argv[1:]))
