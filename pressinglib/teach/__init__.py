"""Exercises that the engine judges, and the lessons they belong to."""
