"""Tests of the section Label layouts."""
