"""Backups while the window is open: made on schedule, and missed aloud."""
