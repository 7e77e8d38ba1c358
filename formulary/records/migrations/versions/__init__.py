"""One step in each file, named by its revision."""
