"""The page of the ingredients' master data."""
