"""Signing in at the desk, signing an act, and locking after a while."""
