"""The open text format and the sample house."""
