"""What every store keeps to, whatever it keeps things in."""
