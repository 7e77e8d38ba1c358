"""Figures that others published, against the program."""
