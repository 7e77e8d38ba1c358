"""Tests of the trade, laid out like the package."""
