"""A freely composed prescription, read line by line into proposals that a person confirms."""
