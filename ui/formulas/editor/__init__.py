"""The editor: a form over the plain fields of a formula, the same that its open file has."""
