"""The page of formulas: index, leaf, scaling panel and editor."""
