"""Published practice, row by row, against the tests that show it."""
