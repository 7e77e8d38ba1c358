"""The page where a started preparation gets its labels."""
