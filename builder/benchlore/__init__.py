"""Benchlore: a bench reference for valve guitar-amp technicians, built from YAML entries into an offline site."""

__version__ = "0.1.0"
