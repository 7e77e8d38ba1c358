"""Orders: what was asked for, the questions it raised, and the signed check before making it."""
