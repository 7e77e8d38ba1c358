"""A window while its formulary, disk or server fails."""
