"""Misce's tests; ``python3 -m tests`` sets up and runs them."""
