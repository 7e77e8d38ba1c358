"""From a version of a formula and a target to what is weighed or measured, with its working."""
