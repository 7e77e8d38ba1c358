"""The page of the house's own settings."""
