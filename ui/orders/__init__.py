"""The page *Orders*."""
