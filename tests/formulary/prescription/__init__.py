"""Prescriptions as they are written."""
