"""Many workstations at once: what they do at the same time, and what is there afterwards."""
