"""Tests of the ingredients page."""
