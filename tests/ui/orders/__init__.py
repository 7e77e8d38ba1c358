"""The page Orders, by keys."""
