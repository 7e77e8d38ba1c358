"""Tests of the stock page."""
