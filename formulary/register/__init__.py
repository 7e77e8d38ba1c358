"""What the register says beyond its list: figures over time, the shelf, complaints. Pure."""
