"""Tests of the window, laid out like the package."""
