"""Needs as an exact structure: cut sets, unavailability, importance, weights."""
