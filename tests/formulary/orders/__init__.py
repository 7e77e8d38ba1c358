"""Orders: what blocks what."""
