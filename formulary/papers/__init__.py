"""Papers: worksheets and records as pages, ready to be drawn."""
