"""What the register says beyond its list."""
