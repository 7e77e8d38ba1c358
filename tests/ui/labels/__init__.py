"""Tests of the labels page."""
