"""Misce's window, on Qt. It holds no rule of the trade; those are in :mod:`formulary`."""
