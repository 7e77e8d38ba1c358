"""A person's job with keys and clicks."""
