"""The plug is pulled: what was confirmed is there, the rest is a draft or never happened."""
