"""The page of the trade's calculations: each one's inputs, result, working and picture."""
