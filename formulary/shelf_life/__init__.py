"""How long a preparation lasts: by one rule set, its evidence, its formula and what is in it."""
