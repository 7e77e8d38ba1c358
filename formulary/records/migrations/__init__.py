"""The steps that bring older databases to the tables of today."""
