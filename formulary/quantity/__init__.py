"""Amounts with units, exact: parsing, writing, converting and rounding them."""
