"""Schemas: what a request may say, and what an answer looks like. Types, ranges, required, units, examples."""
