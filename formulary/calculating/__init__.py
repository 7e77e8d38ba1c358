"""How a calculation describes itself, reads its inputs and answers; the sums are next door."""
