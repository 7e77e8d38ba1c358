"""Misce's window, on Qt. It holds no rule of the trade; those are in :mod:`formulary`."""

from ui.steady_bools import take_reserve

take_reserve()
