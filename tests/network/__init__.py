"""No other computer is spoken to."""
