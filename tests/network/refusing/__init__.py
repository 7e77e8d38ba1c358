"""Goes before everything on the path of a Python whose sockets are refused."""
