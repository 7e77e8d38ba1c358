"""Formulas and houses in and out, in the open text format."""
