"""Scaling: from a formula and a target to what is weighed."""
