"""Runs and readings kept."""
