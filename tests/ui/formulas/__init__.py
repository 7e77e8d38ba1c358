"""Tests of the page of formulas, by keys and clicks."""
