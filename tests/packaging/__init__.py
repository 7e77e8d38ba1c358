"""Tests of what is installed and how the parts may know each other."""
