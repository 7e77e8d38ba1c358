"""Tests of the page of calculations."""
