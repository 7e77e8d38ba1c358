"""A formula looked at as an expert would: one rule per function or row of data, giving findings."""
