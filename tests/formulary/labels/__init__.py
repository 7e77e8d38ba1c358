"""Labels, from what they say to the dots on the paper."""
