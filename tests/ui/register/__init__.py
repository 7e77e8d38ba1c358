"""Tests of the register page."""
