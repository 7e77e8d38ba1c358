"""What stands on the shelf: lots, their containers, what moves in and out, and what to take."""
