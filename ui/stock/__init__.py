"""The page Stock: lots, their containers, counted goods, and what is received."""
