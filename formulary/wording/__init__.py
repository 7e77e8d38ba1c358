"""Safe wording: directions from their parts, warnings by rule, what misleads, what is approved."""
