"""House formulas: what a version says, the kinds of quantity a line can have, and its states."""
