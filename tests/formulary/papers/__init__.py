"""Papers: worksheets and records."""
