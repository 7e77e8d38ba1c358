"""Tests of the settings page."""
