"""Tests of the review: each rule with an example and a counter-example."""
