"""Tests of signing in at the window."""
