"""The preparation at the bench: what happens, what it means, and what is allowed next."""
