"""The page of the first start: where nothing is kept yet."""
