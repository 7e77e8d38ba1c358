"""The page *Bench*: one preparation at a time, one thing to do at a time."""
