"""``python3 -m ui``: open the window, or draw it into a file."""

import gc
import sys

if __name__ == "__main__":
    # Nothing becomes garbage while modules load; main switches collecting on after the first paint.
    gc.disable()

    from ui.main import main

    sys.exit(main(sys.argv[1:]))
