"""Labels: what must be said, where it goes on the stock, and how it is drawn."""
