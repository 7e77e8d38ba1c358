"""Misce's trade: house formulas, exact scaling, records and labels. No Qt below here."""

__version__ = "0.1.0"
