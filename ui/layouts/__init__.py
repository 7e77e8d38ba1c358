"""Layouts of labels, laid out by the house itself."""
