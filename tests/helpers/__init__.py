"""Fakes, builders and readers that several tests share."""
