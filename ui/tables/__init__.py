"""Tables that are taken over: what would become of each row, before anything is written."""
